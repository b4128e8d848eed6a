"""Weight and volume of ingredients, each the other's inverse, and the true density behind them."""

import csv
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

import kitchenkit as kk
from kitchenkit.errors import KitchenError, MeasureError
from kitchenkit.ingredients import COMPONENTS, Ingredient, to_volume, to_weight
from kitchenkit.places import shipped_folder
from kitchenkit.units import Q, read_measure

FLOUR = Ingredient("flour", "plain flour", "flour", volume_m3=236.5882365e-6, mass_kg=0.125)
EGG = Ingredient("egg", "large egg", "egg", 236.5882365e-6, 0.243, each_kg=0.05)

with (shipped_folder("data") / "ingredients.csv").open(encoding="utf-8-sig", newline="") as file:
    ROWS = list(csv.DictReader(file))


@pytest.mark.parametrize("row", ROWS, ids=[row["key"] for row in ROWS])
def test_the_kit_weighs_every_shipped_ingredient_as_its_row_says(kit, row):
    item = kit.ingredients[row["key"]]
    assert item.weight(row["measure"]).m_as("g") == pytest.approx(float(row["measure_g"]))
    assert item.volume(f"{row['measure_g']} g").m_as("ml") == pytest.approx(
        read_measure(row["measure"]).m_as("ml")
    )
    if row["each_g"]:
        assert item.weight("3").m_as("g") == pytest.approx(3 * float(row["each_g"]))
    for name in COMPONENTS:
        assert item.composition[name] == pytest.approx(float(row[name]) / 100)
    assert item.edible_yield == pytest.approx(float(row["yield_pct"]) / 100)
    for other in row["also"].split(";"):
        if other.strip():
            assert kit.ingredients[other.strip().upper()] is item


def test_a_weight_by_any_name_and_any_measure(kit):
    assert to_weight(kit, "Rolled  Oats", "2 1/2 cups").m_as("g") == pytest.approx(202.5)
    assert to_weight(kit, "rolled-oats", Q(40, "tablespoon")).m_as("g") == pytest.approx(202.5)
    assert to_weight(kit, "large egg", "3 eggs").m_as("g") == pytest.approx(150)
    assert to_weight(kit, "salt", "1 kg").m_as("g") == pytest.approx(1000)
    assert to_volume(kit, "rolled oats", "202.5 g").m_as("cup") == pytest.approx(2.5)
    assert str(to_volume(kit, "rolled oats", "202.5 g").units) == "cup"


GRAMS = st.floats(0.01, 1e6)


@given(GRAMS)
def test_volume_undoes_weight(grams):
    for item in (FLOUR, EGG):
        assert item.weight(item.volume(Q(grams, "g"))).m_as("g") == pytest.approx(grams)


@given(GRAMS)
def test_weight_undoes_volume(ml):
    for item in (FLOUR, EGG):
        assert item.volume(item.weight(Q(ml, "ml"))).m_as("ml") == pytest.approx(ml)


@given(st.floats(0, 1e4), st.floats(0, 100))
def test_twice_as_much_weighs_twice_as_much(cups, times):
    once, often = (FLOUR.weight(Q(n, "cup")).m_as("g") for n in (cups, cups * times))
    assert often == pytest.approx(once * times)


def test_density_is_weight_over_volume_as_it_lies_in_the_cup():
    assert FLOUR.density.m_as("g/ml") == pytest.approx(125 / 236.5882365)


@pytest.mark.parametrize(
    ("amount", "why"),
    [
        ("3", "3 of what"),
        ("9 in", "not a mass"),
        (Q(180, "degC"), "not a mass"),
        ("some", "not exact"),
        ("-1 cup", "below zero"),
        (Q(-1, "g"), "0 or more"),
        (Q(float("nan"), "cup"), "0 or more"),
        (350, "no unit"),
        (None, "no unit"),
    ],
)
def test_what_cannot_be_weighed_is_refused(amount, why):
    with pytest.raises(MeasureError, match=why):
        FLOUR.weight(amount)
    with pytest.raises(MeasureError, match=why):
        FLOUR.volume(amount)


def test_an_unknown_ingredient_gets_the_nearest_names(kit):
    with pytest.raises(KitchenError, match=r"Did you mean .*rolled oats"):
        to_weight(kit, "roled oats", "1 cup")
    with pytest.raises(KitchenError, match=r"no ingredient called 'qqqq'\.$"):
        kk.to_volume(kit, "qqqq", "1 cup")
    with pytest.raises(KitchenError, match="no ingredient called 7"):
        kit.ingredients[7]


# Density without the air between the grains ------------------------------------------------------


def pure(**parts):
    return replace(FLOUR, composition=dict.fromkeys(COMPONENTS, 0.0) | parts)


@pytest.mark.parametrize(
    ("part", "density"),
    [  # kg/m³ at 20 °C: Choi & Okos (1986), ASHRAE Refrigeration, thermal properties of foods
        ("water", 995.7),
        ("protein", 1319.5),
        ("fat", 917.2),
        ("carbohydrate", 1592.9),
        ("ash", 2418.2),
    ],
)
def test_a_pure_component_has_its_own_density(part, density):
    assert 1 / pure(**{part: 1.0}).solid_volume_per_kg == pytest.approx(density, abs=0.06)


def test_fibre_is_counted_within_carbohydrate_only_once():
    all_fibre = pure(carbohydrate=1.0, fibre=1.0)
    assert 1 / all_fibre.solid_volume_per_kg == pytest.approx(1304.2, abs=0.06)
    half = pure(carbohydrate=1.0, fibre=0.5).solid_volume_per_kg
    whole, none = all_fibre.solid_volume_per_kg, pure(carbohydrate=1.0).solid_volume_per_kg
    assert half == pytest.approx((whole + none) / 2)


def test_what_the_composition_leaves_out_is_taken_as_water():
    assert pure(fat=0.4).solid_volume_per_kg == pytest.approx(
        pure(fat=0.4, water=0.6).solid_volume_per_kg
    )
    assert pure().solid_volume_per_kg == pytest.approx(pure(water=1.0).solid_volume_per_kg)


def test_no_shipped_ingredient_lies_heavier_in_the_cup_than_it_is(kit):
    for item in kit.ingredients.values():
        true = 1 / item.solid_volume_per_kg
        assert item.density.m_as("kg/m**3") <= 1.03 * true, item.name
