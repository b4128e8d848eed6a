"""Oven temperatures: read, said on three scales, and never mixed up with differences."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kitchenkit.errors import MeasureError
from kitchenkit.temperature import gas_mark, read_temperature, say_temperature
from kitchenkit.units import Q


@pytest.mark.parametrize(
    ("text", "number", "unit"),
    [
        ("350 F", 350, "degF"),
        ("350F", 350, "degF"),
        ("350°F", 350, "degF"),
        ("350 degF", 350, "degF"),
        ("350 degrees Fahrenheit", 350, "degF"),
        ("180 °C", 180, "degC"),
        ("180 celsius", 180, "degC"),
        ("176,5 c", 176.5, "degC"),
        ("-18 °C", -18, "degC"),
        ("\N{MINUS SIGN}18 °C", -18, "degC"),
        ("0 F", 0, "degF"),
        # From memory, unverified: gas mark 4 is 350 °F, marks 1/4 and 1/2 are 225 and 250 °F.
        ("gas mark 4", 350, "degF"),
        ("Gas 4", 350, "degF"),
        ("mark ½", 250, "degF"),
        ("gas mark 1/4", 225, "degF"),
        ("gas mark 9", 475, "degF"),
        # Spanish is read whatever language the kit speaks.
        ("180 grados C", 180, "degC"),
        ("350 grados Fahrenheit", 350, "degF"),
        ("marca de gas 4", 350, "degF"),
        ("gas 1/2", 250, "degF"),
    ],
)
def test_what_cooks_write_is_read(text, number, unit):
    reading = read_temperature(text)
    assert reading.m_as(unit) == pytest.approx(number)
    assert reading.units == Q(0, unit).units


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("350", "not a temperature"),
        ("350 degrees", "not a temperature"),
        ("hot", "not a temperature"),
        ("", "not a temperature"),
        (350, "not a temperature"),
        (None, "not a temperature"),
        ("gas mark 10", "not on the dial"),
        ("gas mark 1.5", "not on the dial"),
        ("gas mark 0", "not on the dial"),
        ("gas mark four", "not a number"),
        ("x F", "not a number"),
        ("1,000 F", "beyond any kitchen"),
        ("450 C", "beyond any kitchen"),
        ("-150 F", "beyond any kitchen"),
        ("9" * 400 + " F", "too large"),
        ("9" * 400 + "/1 F", "too large"),
    ],
    ids=lambda value: str(value)[:20],
)
def test_what_is_no_kitchen_temperature_is_refused(text, why):
    with pytest.raises(MeasureError, match=why):
        read_temperature(text)


@pytest.mark.parametrize(
    ("reading", "said"),
    [
        ("350 F", "350 °F (177 °C, gas mark 4)"),
        ("180 C", "356 °F (180 °C, gas mark 4)"),
        ("gas mark 1/2", "250 °F (121 °C, gas mark 1/2)"),
        ("-18 C", "0 °F (−18 °C)"),
        ("212 F", "212 °F (100 °C, gas mark 1/4)"),
        ("209 F", "209 °F (98 °C)"),
    ],
)
def test_a_reading_is_said_on_all_scales(reading, said):
    assert say_temperature(read_temperature(reading)) == said


@pytest.mark.parametrize(
    "thing",
    [Q(25, "delta_degC"), Q(350, "degF") - Q(300, "degF"), Q(3, "g"), Q(float("nan"), "degF"), 350],
    ids=str,
)
def test_a_difference_never_passes_for_a_reading(thing):
    with pytest.raises(MeasureError, match="not a temperature reading"):
        say_temperature(thing)
    with pytest.raises(MeasureError, match="not a temperature reading"):
        gas_mark(thing)


def test_a_difference_of_readings_converts_without_the_offset():
    difference = Q(375, "degF") - Q(350, "degF")
    assert difference.m_as("delta_degC") == pytest.approx(25 * 5 / 9)


@pytest.mark.parametrize("mark", ["1/4", "1/2", *map(str, range(1, 10))])
def test_gas_marks_read_and_say_the_same(mark):
    assert f"gas mark {mark})" in say_temperature(read_temperature(f"gas mark {mark}"))


def test_off_the_dial_there_is_no_gas_mark():
    assert gas_mark(Q(491, "degF")) is None
    assert gas_mark(Q(209, "degF")) is None
    assert gas_mark(Q(490, "degF")) == 9


@given(st.integers(-100, 700))
def test_fahrenheit_written_and_said_is_the_same(degrees):
    said = f"{degrees} °F (".replace("-", "\N{MINUS SIGN}")
    assert say_temperature(read_temperature(f"{degrees} F")).startswith(said)


@given(st.floats(200, 500), st.floats(200, 500))
def test_hotter_is_never_a_lower_mark(one, other):
    low, high = (gas_mark(Q(t, "degF")) for t in sorted((one, other)))
    assert low is None or high is None or low <= high
