"""Water's boiling point and the advice for kitchens high up against what is published.

Colorado State Univ. Extension: water boils at 212, 208, 203, 198 and 193 °F at 0, 2,000, 5,000,
7,500 and 10,000 ft. It is printed in whole degrees, and ours is a standard atmosphere, so 1 °F.
"""

import pytest

from kitchenkit.altitude import altitude_advice, boiling_point, pressure_pascal
from kitchenkit.errors import MeasureError
from kitchenkit.units import Q

BOILS_F = [(0, 212), (2000, 208), (5000, 203), (7500, 198), (10000, 193)]


@pytest.mark.parametrize(("feet", "fahrenheit"), BOILS_F)
def test_water_boils_where_the_published_table_says(feet, fahrenheit):
    assert boiling_point(f"{feet} ft").m_as("degF") == pytest.approx(fahrenheit, abs=1)


# U.S. Standard Atmosphere, 1976: pressure in hPa at whole kilometres. From memory, unverified.
PRESSURE = [(0, 1013.25), (1000, 898.76), (2000, 795.01), (3000, 701.21), (4000, 616.60)]


@pytest.mark.parametrize(("metres", "hectopascal"), PRESSURE)
def test_pressure_is_that_of_the_standard_atmosphere(metres, hectopascal):
    assert pressure_pascal(metres) / 100 == pytest.approx(hectopascal, rel=1e-3)


def test_boiling_falls_steadily_and_reads_any_length():
    heights = [Q(100.0 * n, "m") for n in range(46)]
    points = [boiling_point(height).m_as("degC") for height in heights]
    assert points == sorted(points, reverse=True)
    assert points[0] == pytest.approx(100, abs=0.1)
    assert boiling_point("5000 ft") == boiling_point("1524 m")


# The advice -----------------------------------------------------------------------------------


@pytest.mark.parametrize("height", ["3000 ft", "5000 ft", "10000 ft", "4500 m"])
def test_high_up_the_guidance_is_a_range_with_its_source(height):
    """Colorado State Univ. Extension, 2002: leavening down 1/8 to 1/4, oven up 15 to 20 °F."""
    said = altitude_advice(height)
    cake = next(line for line in said if "baking powder" in line)
    assert "an eighth to a quarter" in cake
    assert "15 to 20 °F" in cake
    low, high = (Q(number, "delta_degF").m_as("delta_degC") for number in (15, 20))
    assert f"{low:.0f} to {high:.0f} °C" in cake
    assert "Colorado State Univ. Extension" in cake
    assert "unverified" in next(line for line in said if "Quick breads" in line)
    boils = boiling_point(height)
    assert f"{boils.m_as('degF'):.0f} °F ({boils.m_as('degC'):.0f} °C)" in said[0]


@pytest.mark.parametrize("height", ["0 m", "500 m", "2900 ft"])
def test_lower_down_nothing_need_change(height):
    said = altitude_advice(height)
    assert "no change" in said[-1]
    assert not any("oven up" in line for line in said)


@pytest.mark.parametrize(
    ("height", "why"),
    [
        ("5000 m", "higher than any kitchen"),
        ("200 km", "not a length"),
        ("high", "not a length"),
        ("5000", "not a length"),
        (5000, "no unit"),
        ("-10 m", "below zero"),
        (Q(-10, "m"), "0 or more"),
        (Q(float("nan"), "m"), "0 or more"),
        ("5 kg", "not a length"),
    ],
)
def test_what_is_no_height_is_refused_plainly(height, why):
    for ask in (boiling_point, altitude_advice):
        with pytest.raises(MeasureError, match=why):
            ask(height)
