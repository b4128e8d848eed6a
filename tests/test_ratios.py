"""The trade's ratios: worked by hand, told in plain words, and met by the demo's own batter."""

import math

import pytest

from kitchenkit.errors import KitchenError
from kitchenkit.ingredients import Ingredient
from kitchenkit.ratios import RATIOS, check_ratios
from kitchenkit.recipe import Line, Recipe
from kitchenkit.units import read_measure

CUP = 236.5882365e-6  # m³
STOCK = {
    "flour": Ingredient("flour", "plain flour", "flour", CUP, 0.125),
    "milk": Ingredient("milk", "milk", "dairy", CUP, 0.244),
    "powder": Ingredient("powder", "baking powder", "leavening", CUP / 48, 0.0046),
    "soda": Ingredient("soda", "baking soda", "leavening", CUP / 48, 0.0046),
    "salt": Ingredient("salt", "salt", "salt", CUP / 48, 0.006),
    "sugar": Ingredient("sugar", "sugar", "sugar", CUP, 0.2),
    "oil": Ingredient("oil", "oil", "fat", CUP, 0.218),
    "egg": Ingredient("egg", "egg", "egg", CUP, 0.243, each_kg=0.05),
}
USUAL = {
    "flour": "2 cups",
    "milk": "1 cup",
    "powder": "2 tsp",
    "soda": "1/2 tsp",
    "salt": "1/2 tsp",
    "sugar": "2/3 cup",
    "oil": "1/3 cup",
    "egg": "2",
}


def batter(**changes):
    amounts = {name: amount for name, amount in {**USUAL, **changes}.items() if amount}
    lines = tuple(Line(STOCK[name], read_measure(amount)) for name, amount in amounts.items())
    return Recipe("b", "test batter", lines, servings=12)


def test_the_ratios_are_what_a_hand_reckoning_gives():
    value = check_ratios(batter())["value"]
    assert value["liquid to flour"] == pytest.approx(0.5)
    assert value["lift"] == pytest.approx((2 + 4 * 0.5) / 2)
    assert value["salt"] == pytest.approx(100 * 3 / 250)
    assert value["sugar"] == pytest.approx(100 * 200 * 2 / 3 / 250)
    assert value["fat"] == pytest.approx(100 * 218 / 3 / 250)
    assert value["egg"] == pytest.approx(100 * 100 / 250)


def test_the_demo_batter_passes_all_of_the_trades_ratios(base):
    table = check_ratios(base)
    assert len(table) == len(RATIOS)
    assert set(table["verdict"]) == {"usual"}, table[table["verdict"] != "usual"].to_string()
    assert set(table["advice"]) == {""}


@pytest.mark.parametrize(
    ("change", "ratio", "verdict", "words"),
    [
        ({"milk": "1/2 cup"}, "liquid to flour", "low", "add milk"),
        ({"milk": "3 cups"}, "liquid to flour", "high", "add flour"),
        ({"powder": "", "soda": ""}, "lift", "low", "add baking powder"),
        ({"powder": "3 tbsp"}, "lift", "high", "use less baking powder"),
        ({"salt": ""}, "salt", "low", "low-salt kitchen"),
        ({"salt": "2 tsp"}, "salt", "high", "taste salty"),
        ({"sugar": ""}, "sugar", "low", "plain"),
        ({"sugar": "2 cups"}, "sugar", "high", "less sugar"),
        ({"oil": ""}, "fat", "low", "add oil"),
        ({"oil": "1 cup"}, "fat", "high", "less oil"),
        ({"egg": ""}, "egg", "low", "another egg"),
        ({"egg": "5"}, "egg", "high", "fewer eggs"),
    ],
)
def test_out_of_range_is_told_with_what_to_do(change, ratio, verdict, words):
    row = check_ratios(batter(**change)).loc[ratio]
    assert row["verdict"] == verdict
    assert words in row["advice"]
    assert (row["value"] < row["low"]) if verdict == "low" else (row["value"] > row["high"])


def test_only_the_ratio_that_is_out_gets_advice():
    table = check_ratios(batter(salt="2 tsp"))
    assert list(table[table["advice"] != ""].index) == ["salt"]


def test_a_recipe_without_flour_is_refused_plainly():
    with pytest.raises(KitchenError, match="no flour"):
        check_ratios(batter(flour=""))


def test_every_range_runs_upward_and_its_source_is_in_the_data(kit):
    for ratio in RATIOS:
        assert 0 < ratio.low < ratio.high < math.inf
        assert ratio.source in kit.sources
        assert ratio.too_low.endswith(".")
        assert ratio.too_high.endswith(".")
