"""Heat properties from composition against printed tables and handbook values."""

import pytest

from kitchenkit.thermal import (
    CONDUCTIVITY,
    DENSITY,
    LATENT,
    SPECIFIC_HEAT,
    Food,
    crumb_of,
    freezing_point,
    polynomial,
)

# ASHRAE Refrigeration (2006), "Thermal properties of foods", table 3, rows read in a stored copy:
# water, protein, fat, carbohydrate in all, fibre, ash (%), freezing point (°C), specific heat above
# freezing (kJ/(kg K)), latent heat (kJ/kg).
ASHRAE = {
    "artichokes, globe": (84.94, 3.27, 0.15, 10.51, 5.40, 1.13, -1.2, 3.90, 284),
    "asparagus": (92.40, 2.28, 0.20, 4.54, 2.10, 0.57, -0.6, 4.03, 309),
    "beans, snap": (90.27, 1.82, 0.12, 7.14, 3.40, 0.66, -0.7, 3.99, 302),
    "beans, lima": (70.24, 6.84, 0.86, 20.16, 4.90, 1.89, -0.6, 3.52, 235),
    "beets": (87.58, 1.61, 0.17, 9.56, 2.80, 1.08, -1.1, 3.91, 293),
    "carrots": (87.79, 1.03, 0.19, 10.14, 3.00, 0.87, -1.4, 3.92, 293),
    "corn, sweet": (75.96, 3.22, 1.18, 19.02, 2.70, 0.62, -0.6, 3.62, 254),
    "garlic": (58.58, 6.36, 0.50, 33.07, 2.10, 1.50, -0.8, 3.17, 196),
    "horseradish": (78.66, 9.40, 1.40, 8.28, 2.00, 2.26, -1.8, 3.70, 263),
    "lettuce, iceberg": (95.89, 1.01, 0.19, 2.09, 1.40, 0.48, -0.2, 4.09, 320),
    "artichokes, Jerusalem": (78.01, 2.00, 0.01, 17.44, 1.60, 2.54, -2.5, 3.63, 261),
}


def _parts(row):
    water, protein, fat, carbohydrate, fibre, ash = (share / 100 for share in row[:6])
    return {
        "water": water,
        "protein": protein,
        "fat": fat,
        "carbohydrate": carbohydrate - fibre,
        "fibre": fibre,
        "ash": ash,
    }


@pytest.mark.parametrize("name", ASHRAE)
def test_specific_heat_of_the_printed_foods(name):
    """The printed figures come out, within 0.3 %, when fibre is counted twice: within the
    carbohydrate of which it is a part and once more beside it. Counted once, as a food has it, they
    are up to 2.3 % less.
    """
    row = ASHRAE[name]
    parts = _parts(row)
    twice = parts | {"carbohydrate": row[3] / 100}
    summed = sum(x * float(polynomial(SPECIFIC_HEAT[part], 20.0)) for part, x in twice.items())
    assert summed / 1000 == pytest.approx(row[7], rel=0.003)
    total = sum(parts.values())
    food = Food({part: x / total for part, x in parts.items()}, row[6], 0.0)
    assert 0.975 * row[7] < float(food.heat(20.0)) / 1000 <= 1.003 * row[7]


@pytest.mark.parametrize("name", ASHRAE)
def test_latent_heat_of_the_printed_foods(name):
    row = ASHRAE[name]
    assert row[0] / 100 * LATENT / 1000 == pytest.approx(row[8], abs=1.0)


def test_water_and_ice_against_handbooks():
    """Water at 20 °C and ice at 0 °C in handbooks of physics (from memory, unverified)."""

    def at(table, name, celsius):
        return float(polynomial(table[name], celsius))

    assert at(DENSITY, "water", 20) == pytest.approx(998.2, rel=0.003)
    assert at(SPECIFIC_HEAT, "water", 20) == pytest.approx(4182, rel=0.003)
    assert at(CONDUCTIVITY, "water", 20) == pytest.approx(0.598, rel=0.012)
    assert at(DENSITY, "ice", 0) == pytest.approx(917, rel=0.001)
    assert at(SPECIFIC_HEAT, "ice", 0) == pytest.approx(2100, rel=0.03)
    assert at(CONDUCTIVITY, "ice", 0) == pytest.approx(2.22, rel=0.01)


@pytest.mark.parametrize(
    ("solution", "printed"),
    [
        ({"sugar": 0.10}, -0.63),
        ({"sugar": 0.20}, -1.46),
        ({"salt": 0.01}, -0.59),
        ({"salt": 0.05}, -3.05),
    ],
)
def test_freezing_points_of_solutions(solution, printed):
    """Handbook values of sucrose and salt in water (from memory, unverified); the law is ideal."""
    found = freezing_point(1 - sum(solution.values()), 0.0, **solution)
    assert found == pytest.approx(printed, rel=0.12)


def test_heat_content_of_frozen_bread():
    """White bread of 37.3 % water, 98 kJ/kg between −18 and 0 °C and 70 between −10 and 0 °C.

    L. Riedel's measurements as in ASHRAE Refrigeration, from memory, unverified. The share of bound
    water in `thermal` was set with the first in mind, so this is no proof of it; the shape between
    is. Composition: a usual one, from memory.
    """
    sugar, salt, minerals = 0.03, 0.011, 0.004
    parts = {"water": 0.373, "protein": 0.09, "fat": 0.03}
    parts |= {"carbohydrate": 0.47, "fibre": 0.022, "ash": 0.015}
    bound = 0.27 * (parts["protein"] + parts["carbohydrate"] - sugar + parts["fibre"])
    bread = Food(parts, freezing_point(0.373, bound, sugar, salt, minerals), bound, 0.7)
    zero = float(bread.enthalpy(0.0))
    assert (zero - float(bread.enthalpy(-18.0))) / 1000 == pytest.approx(98, rel=0.1)
    assert (zero - float(bread.enthalpy(-10.0))) / 1000 == pytest.approx(70, rel=0.15)


def test_crumb_conducts_as_bread_does(base):
    """Bread crumb: 0.23 to 0.25 W/(m K) and 2.74 to 2.80 kJ/(kg K).

    Rask's review of dough and bread (Journal of Food Engineering, 1989), read at second hand.
    """
    food = crumb_of(base)
    assert float(food.conductivity(25.0)) == pytest.approx(0.24, rel=0.1)
    assert float(food.heat(25.0)) / 1000 == pytest.approx(2.77, rel=0.05)
