"""Food as heat sees it: limits, what must hold for any food, and what is refused."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

import kitchenkit as kk
from kitchenkit.errors import KitchenError
from kitchenkit.ingredients import _DENSITY
from kitchenkit.thermal import (
    CONDUCTIVITY,
    CRUMB,
    DENSITY,
    LATENT,
    SPECIFIC_HEAT,
    Food,
    crumb_of,
    freezing_point,
    maxwell_eucken,
    moist_air_conductivity,
    polynomial,
)

PARTS = ("water", "protein", "fat", "carbohydrate", "fibre", "ash")


@st.composite
def foods(draw):
    """Any moist food: half its water may be bound."""
    weights = [draw(st.floats(0.2, 1))] + [draw(st.floats(0, 0.5)) for _ in PARTS[1:]]
    parts = {name: w / sum(weights) for name, w in zip(PARTS, weights, strict=True)}
    bound = parts["water"] * draw(st.floats(0, 0.5))
    return Food(parts, draw(st.floats(-10, -0.5)), bound, draw(st.floats(0, 0.8)))


def pure(name):
    return Food({name: 1.0}, -1.0, 0.0)


# What must hold ---------------------------------------------------------------------------------


@given(food=foods(), t=st.floats(-40, 40))
def test_ice_is_none_above_the_freezing_point_and_grows_below_it(food, t):
    ice = float(food.ice(t))
    if t >= food.freezing_c:
        assert ice == 0
    else:
        assert 0 < ice < food.composition["water"] - food.bound + 1e-12
        assert food.ice(t - 1) > ice


@given(food=foods())
def test_heat_content_rises_with_temperature_and_has_no_jump(food):
    t = np.linspace(-40, 60, 4001)
    content = food.enthalpy(t)
    assert np.all(np.diff(content) > 0)
    # The steepest step is the ice just below the freezing point.
    most = LATENT * food.composition["water"] / -food.freezing_c + 6e3
    assert np.max(np.diff(content)) < most * 0.025 * 1.05


@given(food=foods(), t=st.floats(-35, 60))
def test_specific_heat_is_the_slope_of_heat_content(food, t):
    if abs(t - food.freezing_c) > 0.01 and abs(t) > 0.01:
        slope = (food.enthalpy(t + 0.005) - food.enthalpy(t - 0.005)) / 0.01
        assert float(food.heat(t)) == pytest.approx(slope, rel=5e-3)


@given(food=foods())
def test_freezing_makes_it_lighter_and_a_better_conductor(food):
    below, above = -20.0, 0.0
    if food.ice(below) > 0.05:
        assert food.density(below) < food.density(above) * 1.01
        assert food.conductivity(below) > food.conductivity(above) * 0.95


@given(food=foods(), t=st.floats(-20, 50))
def test_conductivity_lies_between_the_pores_and_the_solid(food, t):
    solid = Food(food.composition, food.freezing_c, food.bound)
    pores = float(moist_air_conductivity(t))
    ends = sorted((pores, float(solid.conductivity(t))))
    assert ends[0] * 0.999 <= float(food.conductivity(t)) <= ends[1] * 1.001


@given(k=st.floats(0.1, 3), pore=st.floats(0.02, 0.09), share=st.floats(0, 1))
def test_scattered_pores_conduct_between_series_and_parallel(k, pore, share):
    found = float(maxwell_eucken(k, pore, share))
    parallel = k * (1 - share) + pore * share
    series = 1 / ((1 - share) / k + share / pore)
    assert series * (1 - 1e-9) <= found <= parallel * (1 + 1e-9)


@pytest.mark.parametrize("name", PARTS)
def test_one_part_alone_has_its_own_properties(name):
    food = pure(name)
    assert float(food.density(20.0)) == pytest.approx(float(polynomial(DENSITY[name], 20.0)))
    heat = float(polynomial(SPECIFIC_HEAT[name], 20.0))
    assert float(food.heat(20.0)) == pytest.approx(heat, rel=1e-4)
    own = float(polynomial(CONDUCTIVITY[name], 20.0))
    assert float(food.conductivity(20.0)) == pytest.approx(own)


def test_freezing_water_gives_off_its_latent_heat():
    water = Food({"water": 1.0}, -1e-3, 0.0)
    gone = float(water.enthalpy(0.0) - water.enthalpy(-20.0))
    ice = 20 * (2062.3 - 6.0769 * 10)  # its specific heat at the mean of −10 °C
    assert gone == pytest.approx(333.6e3 + ice, rel=1e-3)


@given(food=foods())
def test_the_solvers_table_says_the_same(food):
    lowest, step, rows = food.by_content
    t = np.array([-30.0, -12.0, 10.0, 60.0])
    content = food.enthalpy(t)
    even = lowest + step * np.arange(len(rows))
    assert np.allclose(np.interp(content, even, rows[:, 0]), t, atol=0.02)
    assert np.allclose(np.interp(content, even, rows[:, 1]), food.conductivity(t), rtol=5e-3)


def test_the_kit_has_one_set_of_densities():
    for name, value in _DENSITY.items():
        assert value == pytest.approx(float(polynomial(DENSITY[name], 20.0)), rel=1e-9)


def test_steam_in_the_pores_helps_hot_crumb():
    cold, warm, hot = moist_air_conductivity(np.array([-18.0, 20.0, 55.0]))
    assert 0.02 < cold < 0.04 < warm < 0.12 < hot < 0.6


def test_arrays_equal_scalars():
    t = np.linspace(-30, 60, 7)
    for name in ("ice", "density", "enthalpy", "heat", "conductivity"):
        together = getattr(CRUMB, name)(t)
        assert np.allclose(together, [float(getattr(CRUMB, name)(x)) for x in t])


# A recipe's crumb -------------------------------------------------------------------------------


def test_a_recipes_crumb_is_its_lines_less_the_steam(base):
    food = crumb_of(base, bake_loss=0.1)
    assert sum(food.composition.values()) == pytest.approx(1)
    baked = base.weight.m_as("g") * 0.9
    protein = sum(x.weight.m_as("g") * x.ingredient.composition["protein"] for x in base.lines)
    assert food.composition["protein"] == pytest.approx(protein / baked)
    density = base.density.m_as("kg/m**3") * 0.9 / 1.6
    assert float(food.density(20.0)) == pytest.approx(density)
    assert -8 < food.freezing_c < -3
    assert kk.crumb_of is crumb_of


@given(loss=st.floats(0.02, 0.2), rise=st.floats(1.2, 2.2))
def test_a_drier_crumb_freezes_lower_and_a_lighter_one_conducts_less(loss, rise):
    base = kk.open_kit().recipes["carrot-oat-base"]
    here = crumb_of(base, loss, rise)
    drier, lighter = crumb_of(base, loss + 0.02, rise), crumb_of(base, loss, rise * 1.1)
    assert drier.freezing_c < here.freezing_c
    assert drier.composition["water"] < here.composition["water"]
    assert lighter.conductivity(-10.0) < here.conductivity(-10.0)
    assert lighter.composition == here.composition


def test_twice_the_recipe_has_the_same_crumb(base):
    one, two = crumb_of(base), crumb_of(base.scale(2))
    assert two.freezing_c == pytest.approx(one.freezing_c)
    assert two.air == pytest.approx(one.air)


def test_the_spread_runs_from_soonest_to_latest():
    soonest, likely, latest = CRUMB.spread
    assert likely is CRUMB
    assert soonest.ice(-16.0) < likely.ice(-16.0) < latest.ice(-16.0)


# What is refused --------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("made", "words"),
    [
        (lambda: Food({"water": 0.5}, -1.0, 0.0), "add up to 1"),
        (lambda: Food({"water": 1.2, "fat": -0.2}, -1.0, 0.0), "add up to 1"),
        (lambda: Food({"butter": 1.0}, -1.0, 0.0), "add up to 1"),
        (lambda: Food({"water": 1.0}, 0.0, 0.0), "below 0 °C"),
        (lambda: Food({"water": 1.0}, math.nan, 0.0), "below 0 °C"),
        (lambda: Food({"water": 0.5, "fat": 0.5}, -1.0, 0.6), "part of the water"),
        (lambda: Food({"water": 1.0}, -1.0, 0.0, 1.0), "part of the water"),
        (lambda: freezing_point(0.1, 0.1), "so dry"),
    ],
)
def test_what_is_no_food_is_refused(made, words):
    with pytest.raises(KitchenError, match=words):
        made()


def test_a_recipe_cannot_lose_more_water_than_it_has(base):
    with pytest.raises(KitchenError, match="not enough water"):
        crumb_of(base, bake_loss=0.5)
