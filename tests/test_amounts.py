"""Amounts in full: what is written is read as the same amount, in the unit that was meant."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kitchenkit.amounts import WORDS, write_density, write_measure, write_number
from kitchenkit.errors import MeasureError
from kitchenkit.units import _UNIT_OF, Q, read_measure, read_number, registry, si

SIZES = st.floats(min_value=1e-6, max_value=1e6, allow_nan=False)
LENGTHS = {"inch", "foot", "centimeter", "millimeter", "meter"}


def test_every_unit_that_can_be_read_can_be_written():
    assert set(WORDS) == set(_UNIT_OF.values()) - LENGTHS


@given(SIZES)
def test_a_number_reads_as_the_very_same_float(size):
    written = write_number(size)
    assert "e" not in written
    assert read_number(written) == size


@given(SIZES, st.sampled_from(sorted(WORDS)))
def test_an_amount_reads_back_in_its_own_unit(size, unit):
    read = read_measure(write_measure(Q(size, unit)))
    assert str(read.units) == unit
    assert read.magnitude == pytest.approx(size, rel=1e-14, abs=0)


@given(st.integers(1, 40_000), st.sampled_from(sorted(WORDS)))
def test_hundredths_read_back_as_the_very_same_float(hundredths, unit):
    assert read_measure(write_measure(Q(hundredths / 100, unit))).magnitude == hundredths / 100


@pytest.mark.parametrize(
    ("text", "written"),
    [
        ("2/3 cup", "2/3 cup"),
        ("1 cup + 2 tbsp", "1 1/8 cups"),
        ("1 lb 4 oz", "1 1/4 lb"),
        ("half a cup", "1/2 cup"),
        ("a pinch", "1 pinch"),
        ("1 T", "1 tbsp"),
        ("350 g", "350 g"),
        ("0.35 kg", "0.35 kg"),
        ("1.25 l", "1.25 l"),
        ("2 metric cups", "2 metric cups"),
        ("3 fl oz", "3 fl oz"),
        ("3", "3 each"),
        ("0.3 cup", "0.3 cup"),
    ],
)
def test_amounts_are_written_as_cooks_do(text, written):
    assert write_measure(read_measure(text)) == written


def test_the_noise_of_floats_is_no_part_of_an_amount():
    assert write_measure(Q(1 / 3, "cup") * 2) == "2/3 cup"
    assert write_measure(Q(0.1, "cup") * 5 + Q(0.25, "cup")) == "3/4 cup"
    assert write_measure(Q(3 * (1 - 1e-15), "cup")) == "3 cups"


def test_a_unit_that_cooks_do_not_write_becomes_a_plain_one():
    dram = registry().Quantity(2, "dram")
    assert read_measure(write_measure(dram)).m_as("g") == pytest.approx(dram.m_as("g"), rel=1e-15)
    barrel = registry().Quantity(0.001, "barrel")
    assert write_measure(barrel).endswith(" ml")


@given(st.floats(min_value=400, max_value=1400))
def test_a_density_reads_as_the_same_one(density):
    read = si(write_density(density), "density", "density")
    assert read == pytest.approx(density, rel=1e-15, abs=0)


@pytest.mark.parametrize("grams", [100, 214, 230.5, 243.7, 300])
def test_a_measured_cup_weight_reads_as_the_very_same_density(base, grams):
    density = base.with_cup_weight(Q(grams, "g")).density_kg_m3
    assert si(write_density(density), "density", "density") == density


@pytest.mark.parametrize("size", [math.nan, math.inf, -1.0])
def test_what_is_no_amount_is_refused(size):
    with pytest.raises(MeasureError, match="number of 0 or more"):
        write_number(size)
    with pytest.raises(MeasureError):
        write_measure(Q(size, "cup"))


@pytest.mark.parametrize("thing", [Q(2, "inch"), 3, "2 cups", None])
def test_what_is_no_measure_is_refused(thing):
    with pytest.raises(MeasureError, match=r"no volume, weight or count|has no unit"):
        write_measure(thing)
