"""A recipe's weights, volume and percentages; scaling it; and what rounding to real tools costs."""

import csv
import re
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

import kitchenkit as kk
from kitchenkit.errors import KitchenError, MeasureError
from kitchenkit.ingredients import Ingredient
from kitchenkit.pans import Pan
from kitchenkit.places import shipped_folder
from kitchenkit.recipe import Line, Recipe
from kitchenkit.units import Q, read_measure

CUP = 236.5882365e-6  # m³
FLOUR = Ingredient("flour", "plain flour", "flour", CUP, 0.125)
OATS = Ingredient("oats", "rolled oats", "grain", CUP, 0.081)
MILK = Ingredient("milk", "milk", "dairy", CUP, 0.244, composition={"water": 0.88, "fat": 0.12})
EGG = Ingredient("egg", "large egg", "egg", CUP, 0.243, each_kg=0.05)
SODA = Ingredient("soda", "baking soda", "leavening", CUP / 48, 0.0046)
NUTMEG = Ingredient("nutmeg", "nutmeg", "spice", CUP / 48, 0.0022, also=("ground nutmeg",))


def recipe(*lines, **changes):
    made = tuple(Line(item, read_measure(amount)) for item, amount in lines)
    return Recipe(**{"key": "r", "name": "test batter", "lines": made, "servings": 12.0, **changes})


PLAIN = recipe((FLOUR, "2 cups"), (OATS, "100 g"), (MILK, "1 cup"), (EGG, "2"), (SODA, "1 tsp"))

with (shipped_folder("data") / "ingredients.csv").open(encoding="utf-8-sig", newline="") as file:
    ROWS = list(csv.DictReader(file))


# What it weighs and holds ------------------------------------------------------------------------


def test_weight_is_the_sum_of_the_lines():
    assert PLAIN.weight.m_as("g") == pytest.approx(250 + 100 + 244 + 100 + 4.6)
    assert PLAIN.line("Rolled Oats").weight.m_as("g") == pytest.approx(100)
    assert recipe((NUTMEG, "1 tsp")).line("ground-nutmeg").weight.m_as("g") == pytest.approx(2.2)


def test_volume_is_weight_over_a_stated_or_measured_density():
    stated = replace(PLAIN, density_kg_m3=1030.0, density_basis="stated")
    assert stated.volume.m_as("ml") == pytest.approx(698.6 / 1.03)
    assert stated.density_why.startswith("1.03 g/ml, stated with the recipe")
    measured = stated.with_cup_weight("240 g")
    assert measured.density.m_as("g/ml") == pytest.approx(240 / 236.5882365)
    assert "measured by weighing a cup" in measured.density_why
    assert measured.weight == stated.weight


def test_without_a_stated_density_it_comes_from_the_composition():
    watery = replace(MILK, composition={"water": 1.0})
    batter = recipe((watery, "500 g"))
    assert batter.density.m_as("g/ml") == pytest.approx(0.9957 * 0.92, abs=2e-4)
    assert "worked out from the ingredients with 8% air" in batter.density_why


def test_the_base_batters_stated_density_agrees_with_its_composition(base):
    ratio = base.density_from_composition / base.density
    assert ratio.m_as("") == pytest.approx(1, abs=0.08)


@pytest.mark.parametrize("weight", ["50 g", "400 g", "0 g"])
def test_no_batter_is_that_light_or_heavy(weight):
    with pytest.raises(KitchenError, match=r"between 0.4 and 1.4"):
        PLAIN.with_cup_weight(weight)


@pytest.mark.parametrize("weight", [240, "1 cup", None])
def test_a_cups_weight_needs_a_weight(weight):
    with pytest.raises(MeasureError):
        PLAIN.with_cup_weight(weight)


def test_bakers_percentages_are_of_all_the_flour():
    table = PLAIN.bakers_percent()
    assert table.loc[["plain flour", "rolled oats"], "percent"].sum() == pytest.approx(100)
    assert table.loc["milk", "percent"] == pytest.approx(100 * 244 / 350)
    assert table["percent"].sum() == pytest.approx(100 * 698.6 / 350)
    assert list(table["role"]) == ["flour", "flour", "liquid", "egg", "leavening"]


def test_without_flour_there_is_no_bakers_percentage():
    with pytest.raises(KitchenError, match="no flour"):
        recipe((MILK, "1 cup")).bakers_percent()


def test_an_ingredient_it_does_not_have_is_told_with_those_it_has():
    with pytest.raises(KitchenError, match=r"has no 'butter'. It has plain flour, rolled oats"):
        PLAIN.line("butter")


# Scaling -----------------------------------------------------------------------------------------


def test_each_way_to_scale_gives_its_own_factor(base):
    loaf = Pan.from_sizes("loaf", ("9 in", "5 in"), "3 in")
    assert base.scale(2).factor == 2
    assert base.scale(by="1.5").factor == 1.5
    assert base.scale(servings=40).servings == pytest.approx(40)
    assert base.scale(weight="2 kg").weight.m_as("g") == pytest.approx(2000)
    used = base.scale(using=("Shredded Carrot", "700 g"))
    assert used.line("shredded carrot").weight.m_as("g") == pytest.approx(700)
    cups = base.scale(using=("shredded carrot", "3 cups"))
    assert cups.factor == pytest.approx(2)
    filled = base.scale(pans=[loaf, (loaf, 2)])
    assert filled.volume.m_as("ml") == pytest.approx(3 * loaf.usual_volume.m_as("ml"))


def test_a_tin_alone_means_all_its_wells(kit, base):
    tin = kit.pans["muffin-12"]
    assert base.scale(pans=[tin]).factor == pytest.approx(base.scale(pans=[(tin, 12)]).factor)
    assert base.scale(pans=[(tin, 6)]).factor == pytest.approx(base.scale(pans=[tin]).factor / 2)


FACTORS = st.floats(0.01, 100)


@given(FACTORS)
def test_there_and_back_is_the_recipe_as_written(factor):
    back = PLAIN.scale(factor).scale(1 / factor)
    assert back.factor == pytest.approx(1)
    assert back.servings == pytest.approx(PLAIN.servings)
    for line, written in zip(back.lines, PLAIN.lines, strict=True):
        assert line.weight.m_as("g") == pytest.approx(written.weight.m_as("g"))


@given(st.floats(0.1, 10), st.floats(0.1, 10))
def test_scaling_twice_is_scaling_by_the_product(one, other):
    twice, once = PLAIN.scale(one).scale(other), PLAIN.scale(one * other)
    assert twice.factor == pytest.approx(once.factor)
    assert twice.weight.m_as("g") == pytest.approx(once.weight.m_as("g"))


@given(FACTORS)
def test_scaling_changes_amounts_and_nothing_else(factor):
    scaled = PLAIN.scale(factor)
    assert scaled.weight.m_as("g") == pytest.approx(PLAIN.weight.m_as("g") * factor)
    assert scaled.volume.m_as("ml") == pytest.approx(PLAIN.volume.m_as("ml") * factor)
    assert scaled.density.m_as("g/ml") == pytest.approx(PLAIN.density.m_as("g/ml"))
    percent = scaled.bakers_percent()["percent"]
    assert percent.to_numpy() == pytest.approx(PLAIN.bakers_percent()["percent"].to_numpy())
    table = kk.check_ratios(scaled)["value"].to_numpy()
    assert table == pytest.approx(kk.check_ratios(PLAIN)["value"].to_numpy())


@pytest.mark.parametrize(
    ("ways", "why"),
    [
        ({}, "not none"),
        ({"by": 2, "servings": 4}, "not by and servings"),
        ({"by": 0}, "0 times the recipe"),
        ({"by": -1}, "-1 times"),
        ({"by": 1001}, "at most 1,000"),
        ({"by": float("nan")}, "nan times"),
        ({"by": float("inf")}, "inf times"),
        ({"by": "two"}, "not a number"),
        ({"by": Q(2, "kg")}, "not a number"),
        ({"servings": "many"}, "not a number"),
        ({"weight": 500}, "no unit"),
        ({"weight": "2 cups"}, "not a mass"),
        ({"weight": "0 g"}, "0 times"),
        ({"using": ("butter", "1 cup")}, "has no 'butter'"),
        ({"using": ("milk", "some")}, "not exact"),
        ({"using": ("milk", 3)}, "no unit"),
        ({"using": "milk"}, "an ingredient and an amount"),
        ({"using": ("milk",)}, "an ingredient and an amount"),
        ({"using": ("milk", "1 cup", "2")}, "an ingredient and an amount"),
        ({"using": (3, "1 cup")}, "an ingredient and an amount"),
        ({"pans": []}, "0 times"),
        ({"pans": "9x5"}, "a list of pans"),
        ({"pans": 2}, "a list of pans"),
        ({"pans": ["9x5"]}, "a list of pans"),
        ({"pans": Pan.from_sizes("loaf", ("9 in", "5 in"), "3 in")}, "a list of pans"),
        ({"pans": [(Pan.from_sizes("loaf", ("9 in", "5 in"), "3 in"), -1)]}, "-.* times"),
        ({"pans": [(Pan.from_sizes("loaf", ("9 in", "5 in"), "3 in"), "two")]}, "a list of pans"),
    ],
    ids=lambda value: str(value)[:40],
)
def test_what_gives_no_sensible_factor_is_refused(ways, why):
    with pytest.raises(KitchenError, match=why):
        PLAIN.scale(**ways)


# Eggs and advice ---------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("grams", "said"),
    [
        (100, "2 eggs"),
        (50, "1 egg"),
        (99, "2 eggs"),
        (101.4, "2 eggs"),
        (24, "24 g beaten egg (1 tbsp + 1 3/4 tsp)"),
    ],
)
def test_eggs_are_whole_plus_a_weighed_part(grams, said):
    assert Line(EGG, Q(grams, "g")).say("us") == said


def test_part_of_an_egg_is_weighed_and_said_in_spoons_too():
    said = Line(EGG, Q(175, "g")).say("metric")
    assert re.fullmatch(r"3 eggs \+ 25 g beaten egg \(.+\)", said)
    assert said.amount.m_as("g") == pytest.approx(175)
    assert said.error == pytest.approx(0)


@given(st.floats(12, 3000))
def test_eggs_as_said_weigh_what_is_wanted_within_two_percent(grams):
    said = Line(EGG, Q(grams, "g")).say("us")
    got = grams_said(said, EGG)
    assert said.amount.m_as("g") == pytest.approx(got)
    assert said.error == pytest.approx(got / grams - 1, abs=1e-9)
    assert abs(got / grams - 1) <= max(0.02, 0.5 / grams)
    assert not re.search(r"\b(50|49|1|0) g beaten", said) or grams < 50


def test_eggs_without_a_weight_a_piece_are_measured_like_the_rest():
    yolks = replace(EGG, each_kg=None)
    assert Line(yolks, Q(243, "g")).say("us") == "1 cup"


def test_advice_says_what_does_not_scale_plainly(base):
    written = base.advice()
    assert len(written) == 1
    assert "bowl" in written[0]
    part = base.scale(1.3).advice()  # 2.6 eggs
    assert any("Beat one egg" in said and "3 whole eggs" in said for said in part)
    large = base.scale(6).advice()
    assert any("6 times the written recipe" in said and "leaven" not in said for said in large)
    assert not any("Beat one egg" in said for said in large)


@given(st.floats(0.05, 60))
def test_advice_on_eggs_is_right_and_worth_saying(factor):
    scaled = recipe((FLOUR, "2 cups"), (EGG, "2")).scale(factor)
    for said in scaled.advice():
        if found := re.search(
            r"for (\d+) whole eggs?, make (\d+)% (more|less) .*\((.+) times", said
        ):
            whole, percent, way, times = found.groups()
            assert int(percent) > 0, said
            sign = 1 if way == "more" else -1
            assert float(times) * 2 == pytest.approx(int(whole), rel=0.006)
            made = factor * (1 + sign * int(percent) / 100)
            assert made * 2 == pytest.approx(int(whole), rel=0.011)


def test_the_bowl_holds_twice_the_batter(base):
    bowl = next(said for said in base.scale(4).advice() if "bowl" in said)
    litres, quarts = map(float, re.search(r"([\d.]+) litres \(([\d.]+) quarts\)", bowl).groups())
    assert litres == pytest.approx(2 * base.scale(4).volume.m_as("liter"), abs=0.051)
    assert quarts == pytest.approx(litres / 0.946353, abs=0.11)


# Rounding: the batter that is really measured out ------------------------------------------------

ROLE_OF = {
    "flour": "flour",
    "grain": "flour",
    "starch": "flour",
    "liquid": "liquid",
    "dairy": "liquid",
    "egg": "egg",
    "leavening": "leavening",
}


def grams_said(words, item, tools="us"):
    """Grams of an amount in words, read apart from the kit's own reckoning."""
    words = re.sub(r" \(.*\)", "", words).replace(" beaten egg", "")
    tbsp, tsp = (15.0, 5.0) if tools == "metric" else (14.78676478125, 4.92892159375)
    ml_of = {"cup": 236.5882365, "cups": 236.5882365, "ml": 1, "tbsp": tbsp, "tsp": tsp}
    ml_of["pinch"] = tsp / 16
    total = 0.0
    for part in words.split(" + "):
        *pieces, unit = part.replace(",", "").split()
        number = sum(float(p.partition("/")[0]) / float(p.partition("/")[2] or 1) for p in pieces)
        if unit in ("egg", "eggs"):
            total += number * item.each_kg * 1000
        elif unit == "g":
            total += number
        else:
            total += number * ml_of[unit] * item.mass_kg / item.volume_m3 / 1000
    return total


def rounding(scaled, tools):
    """Relative error by weight of each structural role, from the words alone."""
    wanted, got = {}, {}
    for line in scaled.lines:
        role = ROLE_OF.get(line.ingredient.group)
        if role:
            grams = line.weight.m_as("g")
            wanted[role] = wanted.get(role, 0) + grams
            said = grams_said(line.say(tools), line.ingredient, tools)
            got[role] = got.get(role, 0) + said
    return {role: got[role] / wanted[role] - 1 for role in wanted}


def demo_batches(kit, base):
    return {
        "two loaf tins": base.scale(pans=[kit.pans["loaf-8.5x4.5"]] * 2),
        "24 muffins": base.scale(pans=[kit.pans["muffin-12"]] * 2),
        "700 g of carrot": base.scale(using=("shredded carrot", "700 g")),
    }


@pytest.mark.parametrize("batch", ["two loaf tins", "24 muffins", "700 g of carrot"])
@pytest.mark.parametrize("tools", ["us", "metric"])
def test_the_demo_batches_can_be_measured_within_two_percent(kit, base, batch, tools):
    scaled = demo_batches(kit, base)[batch]
    errors = rounding(scaled, tools)
    assert set(errors) == {"flour", "liquid", "egg", "leavening"}
    table = scaled.rounding()
    for role, error in errors.items():
        assert abs(error) < 0.02, f"{role}: {error:.2%}"
        assert table.loc[role, f"{tools}_error"] == pytest.approx(error, abs=1e-9)
        wanted = sum(x.weight.m_as("g") for x in scaled.lines if x.role == role)
        assert table.loc[role, "grams"] == pytest.approx(wanted)


def test_the_demo_batches_fill_the_pans_they_are_for(kit, base):
    for pans in ([kit.pans["loaf-8.5x4.5"]] * 2, [kit.pans["muffin-12"]] * 2):
        wanted = sum(pan.usual_volume.m_as("ml") * pan.wells for pan in pans)
        assert base.scale(pans=pans).volume.m_as("ml") == pytest.approx(wanted)


@given(factor=st.floats(0.5, 8))
def test_any_batch_keeps_its_flour_and_liquid_within_one_and_a_half_percent(kit, base, factor):
    for tools in ("us", "metric"):
        errors = rounding(base.scale(factor), tools)
        assert abs(errors["flour"]) < 0.015
        assert abs(errors["liquid"]) < 0.015
        assert abs(errors["egg"]) < 0.02


@given(factor=st.floats(0.5, 8))
def test_leavening_is_off_by_two_percent_or_half_the_finest_spoon(base, factor):
    scaled = base.scale(factor)
    for tools, tsp in (("us", 4.92892159375), ("metric", 5.0)):
        for line in scaled.lines:
            if line.role == "leavening":
                grams, density = line.weight.m_as("g"), line.ingredient.density.m_as("g/ml")
                # Half a pinch of 1/16 tsp; from a tablespoon on, half of 1/8 tsp.
                half = tsp / 32 if grams / density < 3 * tsp else tsp / 16
                off = abs(grams_said(line.say(tools), line.ingredient, tools) - grams)
                assert off <= max(half * density, 0.02 * grams) * (1 + 1e-6)


def test_the_table_of_amounts_shows_both_kitchens(base):
    table = base.amounts()
    assert list(table.columns) == ["role", "grams", "us", "us_error", "metric", "metric_error"]
    assert table.loc["all-purpose flour", "us"] == "1 1/2 cups"
    assert table.loc["large egg", "metric"] == "2 eggs"
    assert table["us_error"].abs().max() < 1e-9, "as written, every amount is a measure of its own"


def test_small_amounts_are_spooned_even_where_there_is_a_scale(base):
    table = base.amounts()
    assert table.loc["salt", "metric"].endswith("tsp")
    assert re.fullmatch(r"\d+ g", table.loc["all-purpose flour", "metric"])
