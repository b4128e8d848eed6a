"""Every row of the ingredient and source tables: sums, ranges, names, allergens, sources."""

import csv
import re
from pathlib import Path

import pytest

from kitchenkit.ratios import RATIOS

TOP = Path(__file__).parents[1]
DATA = TOP / "data"
PARTS = ("water", "protein", "fat", "carbohydrate", "ash")
CUP = 236.588  # ml, NIST SP 430 (2004)
MEASURES = {"1 cup": CUP, "1 tbsp": CUP / 16, "1 tsp": CUP / 48}
# FALCPA (2004); FASTER Act, Pub. L. 117-11 (2021).
NINE = {
    "milk",
    "egg",
    "fish",
    "crustacean shellfish",
    "tree nuts",
    "peanut",
    "wheat",
    "soy",
    "sesame",
}
GROUPS = {
    *("flour", "grain", "starch", "sugar", "fat", "liquid", "dairy", "egg", "leavening", "salt"),
    *("fruit", "vegetable", "nut", "seed", "spice", "flavouring", "chocolate", "cheese"),
}
# Sources that no table names: they stand behind a formula, a column without a source of its own,
# or a lesson still to come.
KEPT = {
    "aceee-guide",
    "allergen-law",
    "ashrae-freezing-times",
    "bakery-math",
    "bls-average-prices",
    "cdc-raw-dough",
    "cfr-101-9",
    "choi-okos-1986",
    "class-receipts",
    "clemson-hgic-3065",
    "earle-unit-operations",
    "foodsafety-cold-storage",
    "foodsafety-power-cut",
    "fsis-mold",
    "icn-basics",
    "ksu-mf3531",
    "nist-hb-130",
    "nist-sp-430",
    "plank-encyclopaedia",
    "rask-bread",
    "riedel-bread",
    "tm-10-412",
    "vcc-costing",
}


def read(name):
    with (DATA / name).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


INGREDIENTS = read("ingredients.csv")
SOURCES = read("sources.csv")
every_ingredient = pytest.mark.parametrize("row", INGREDIENTS, ids=lambda row: row["key"])


def split(cell):
    return [part.strip() for part in cell.split(";") if part.strip()]


def numbers(row, *names):
    return [float(row[name]) for name in names]


def density(row):
    """Grams a millilitre as it lies in the measure, air between the grains included."""
    return float(row["measure_g"]) / MEASURES[row["measure"]]


# Ingredients -----------------------------------------------------------------------------------


def test_there_are_enough_ingredients_to_teach_with():
    assert len(INGREDIENTS) >= 55


@every_ingredient
def test_composition_adds_up(row):
    assert sum(numbers(row, *PARTS)) == pytest.approx(100, abs=1.5)
    assert min(numbers(row, *PARTS, "fibre")) >= 0
    fibre, carbohydrate = numbers(row, "fibre", "carbohydrate")
    assert fibre <= carbohydrate


@every_ingredient
def test_weights_and_yields_are_possible(row):
    assert 0.05 <= density(row) <= 1.6
    assert 0 < float(row["yield_pct"]) <= 100
    assert row["group"] in GROUPS
    if row["each_g"]:
        assert 1 <= float(row["each_g"]) <= 1000
        assert "Piece:" in row["note"]


@every_ingredient
def test_nothing_lies_heavier_in_the_cup_than_it_is_without_air(row):
    """Bulk weight against the solid one of its composition at 20 °C.

    Component densities: Choi & Okos (1986), in ASHRAE Refrigeration, "Thermal properties of
    foods", table 1, at 20 °C. The 3 % allowed holds the table's whole grams and a mixing rule that
    knows neither crystals in butter nor the shrinking of sugar in water; butter comes nearest.
    """
    solid = {
        "water": 998.2e-3,
        "protein": 1319.5e-3,
        "fat": 917.2e-3,
        "carbohydrate": 1592.9e-3,
        "fibre": 1304.2e-3,
        "ash": 2418.2e-3,
    }
    share = {part: float(row[part]) for part in solid}
    share["carbohydrate"] -= share["fibre"]
    volume = sum(share[part] / solid[part] for part in solid)
    assert density(row) <= 1.03 * sum(share.values()) / volume


def test_what_is_pressed_weighs_more_than_what_lies_loose():
    at = {row["key"]: row for row in INGREDIENTS}
    for loose, pressed in (
        ("brown-sugar-unpacked", "brown-sugar-packed"),
        ("raisins", "raisins-packed"),
        ("powdered-sugar-sifted", "powdered-sugar"),
        ("all-purpose-flour-sifted", "all-purpose-flour"),
        ("sliced-almonds", "almonds"),
    ):
        assert density(at[loose]) < density(at[pressed])
        assert numbers(at[loose], *PARTS) == numbers(at[pressed], *PARTS)


def test_eggs_grow_with_their_size_and_are_the_same_inside():
    at = {row["key"]: row for row in INGREDIENTS}
    eggs = [at[f"{size}-egg"] for size in ("small", "medium", "large", "extra-large")]
    weights = [float(egg["each_g"]) for egg in eggs]
    assert weights == sorted(set(weights))
    assert len({tuple(numbers(egg, *PARTS)) for egg in eggs}) == 1


# Names -----------------------------------------------------------------------------------------


def test_keys_are_plain_and_no_name_belongs_to_two_rows():
    owner = {}
    for row in INGREDIENTS:
        assert re.fullmatch(r"[a-z0-9]+(-[a-z0-9]+)*", row["key"])
        for name in (row["key"], row["name"], *split(row["also"])):
            plain = " ".join(name.casefold().replace("-", " ").split())
            assert owner.setdefault(plain, row["key"]) == row["key"], name


# Allergens -------------------------------------------------------------------------------------


@every_ingredient
def test_allergens_are_words_of_the_nine(row):
    listed = split(row["allergens"])
    assert set(listed) <= NINE
    assert len(listed) == len(set(listed))


@pytest.mark.parametrize(
    ("allergen", "keys"),
    [
        ("wheat", "all-purpose-flour all-purpose-flour-sifted whole-wheat-flour bread-flour"),
        ("milk", "butter unsalted-butter milk buttermilk plain-yogurt sour-cream cream-cheese"),
        ("milk", "shredded-cheddar"),
        ("egg", "small-egg medium-egg large-egg extra-large-egg"),
        ("tree nuts", "walnuts pecans almonds sliced-almonds almond-flour"),
        ("peanut", "peanut-butter"),
        ("soy", "soy-milk"),
        ("sesame", "sesame-seeds"),
    ],
)
def test_what_everyone_knows_to_hold_an_allergen_lists_it(allergen, keys):
    at = {row["key"]: row for row in INGREDIENTS}
    for key in keys.split():
        assert allergen in split(at[key]["allergens"]), key


def test_foods_of_one_kind_never_miss_the_allergen_of_their_kind():
    for row in INGREDIENTS:
        if row["group"] in ("dairy", "cheese"):
            assert "milk" in split(row["allergens"]), row["key"]
        if row["group"] == "egg":
            assert "egg" in split(row["allergens"]), row["key"]


@pytest.mark.parametrize(
    "key",
    [
        *("rolled-oats", "quick-oats", "oat-drink", "rye-flour", "baking-powder"),
        *("cinnamon", "ground-ginger", "nutmeg", "cocoa", "chocolate-chips", "coconut"),
        *("poppy-seeds", "sunflower-seeds", "pumpkin-seeds", "walnuts", "peanut-butter"),
        *("vegetable-oil", "shortening"),
    ],
)
def test_what_may_carry_more_sends_the_reader_to_the_label(key):
    (row,) = (row for row in INGREDIENTS if row["key"] == key)
    assert "read the label" in row["note"].casefold()


# Sources ---------------------------------------------------------------------------------------


def cited():
    """Every source key that a table, a recipe or a ratio of the trade names."""
    found = {ratio.source for ratio in RATIOS}
    for path in DATA.glob("*.csv"):
        if path.name != "sources.csv":
            for row in read(path.name):
                found |= {row[c] for c in ("source", "composition_source") if row.get(c)}
    for path in DATA.glob("recipes/*.toml"):
        found |= set(re.findall(r'^source = "(.+)"', path.read_text(encoding="utf-8"), re.M))
    return found


def test_sources_are_whole():
    keys = [row["key"] for row in SOURCES]
    assert len(keys) == len(set(keys))
    for row in SOURCES:
        assert row["citation"].strip()
        assert row["how"] in {"read", "computed", "memory", "practice", "measured", "invented"}


@every_ingredient
def test_every_ingredient_names_its_sources(row):
    keys = {source["key"] for source in SOURCES}
    assert {row["source"], row["composition_source"]} <= keys


def test_no_source_is_missing_and_none_lies_unused():
    keys = {row["key"] for row in SOURCES}
    assert cited() <= keys
    assert keys - cited() <= KEPT
    assert keys >= KEPT
