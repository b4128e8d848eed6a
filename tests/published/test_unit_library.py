"""Units and temperatures against a second library, scipy.constants."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import constants

from kitchenkit.temperature import read_temperature
from kitchenkit.units import Q, read_measure

# The kit's word for it, the SI unit, and the size that scipy.constants gives.
SIZES = [
    ("1 in", "meter", constants.inch),
    ("1 ft", "meter", constants.foot),
    ("1 lb", "kilogram", constants.pound),
    ("1 oz", "kilogram", constants.ounce),
    ("1 g", "kilogram", constants.gram),
    ("1 l", "meter**3", constants.liter),
    ("1 ml", "meter**3", constants.liter / 1000),
    ("1 gallon", "meter**3", constants.gallon),
    ("1 quart", "meter**3", constants.gallon / 4),
    ("1 pint", "meter**3", constants.gallon / 8),
    ("1 cup", "meter**3", constants.gallon / 16),
    ("1 stick", "meter**3", constants.gallon / 32),
    ("1 fl oz", "meter**3", constants.fluid_ounce),
    ("1 tbsp", "meter**3", constants.fluid_ounce / 2),
    ("1 tsp", "meter**3", constants.fluid_ounce / 6),
    ("1 imperial fl oz", "meter**3", constants.fluid_ounce_imp),
    ("1 imperial pint", "meter**3", constants.gallon_imp / 8),
]


@pytest.mark.parametrize(("amount", "unit", "size"), SIZES, ids=[row[0] for row in SIZES])
def test_a_unit_has_the_size_the_other_library_gives(amount, unit, size):
    assert read_measure(amount).m_as(unit) == pytest.approx(size, rel=1e-9)


SCALES = {"F": ("degF", "Fahrenheit"), "C": ("degC", "Celsius")}


@given(st.floats(-80, 390), st.sampled_from("FC"), st.sampled_from("FC"))
def test_temperatures_convert_as_in_the_other_library(number, written, wanted):
    number = round(number, 2)
    reading = read_temperature(f"{number:.2f} {written}")
    expected = constants.convert_temperature(number, SCALES[written][1], SCALES[wanted][1])
    assert reading.m_as(SCALES[wanted][0]) == pytest.approx(expected, abs=1e-9)
    kelvin = constants.convert_temperature(number, SCALES[written][1], "Kelvin")
    assert reading.m_as("kelvin") == pytest.approx(kelvin, abs=1e-9)


def test_a_difference_converts_by_the_degree_alone():
    kelvins = 25 * constants.degree_Fahrenheit
    assert (Q(375, "degF") - Q(350, "degF")).m_as("kelvin") == pytest.approx(kelvins)
