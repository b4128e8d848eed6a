"""What a batch and a serving cost, against the same sum done apart, cell by cell."""

import csv
import datetime
from dataclasses import replace
from decimal import ROUND_HALF_UP, Decimal

import numpy as np
import pandas as pd
import pytest
from hypothesis import given
from hypothesis import strategies as st

import kitchenkit as kk
from kitchenkit import language
from kitchenkit.costs import (
    BAKE_LOSS,
    PARTS,
    OvenUse,
    baked_weight,
    cost,
    cost_many,
    pieces,
    places,
    read_day,
    recipe_table,
    say_days,
    say_package,
    slices,
    tariff,
    unit_prices,
)
from kitchenkit.errors import KitchenError
from kitchenkit.money import Money, MoneyError
from kitchenkit.places import shipped_folder
from kitchenkit.prices import Price, Tariff
from kitchenkit.recipe import Line, Recipe
from kitchenkit.units import Q, read_measure

TODAY = "2026-11-25"
DATA = shipped_folder("data")


def usd(amount):
    return Money(amount, "USD")


def recipe_of(kit, *lines, servings=10):
    made = tuple(Line(kit.ingredients[name], kk.read_measure(amount)) for name, amount in lines)
    return Recipe("made", "made-up batter", made, servings)


@pytest.fixture(scope="module")
def whole(kit, base):
    """The base with all that can be counted."""
    return cost(
        kit,
        base,
        today=TODAY,
        packaging=("paper case", ("foil", "12 in", "batch")),
        energy=OvenUse(tariff(kit, "electricity", TODAY), 25),
        time_value=("15", 40),
    )


# The same sum by other means ---------------------------------------------------------------------

GRAMS = {
    "lb": Decimal("453.59237"),
    "oz": Decimal("28.349523125"),
    "g": Decimal(1),
    "kg": Decimal(1000),
}
# US gallon of 231 cubic inches of 2.54 cm each
ML = {"gal": Decimal(231) * Decimal("2.54") ** 3, "l": Decimal(1000), "ml": Decimal(1)}
ML |= {"qt": ML["gal"] / 4, "pint": ML["gal"] / 8, "cup": ML["gal"] / 16, "fl oz": ML["gal"] / 128}
ML |= {"tbsp": ML["gal"] / 256, "tsp": ML["gal"] / 768, "cups": ML["cup"]}


def sheet(name):
    with (DATA / name).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def edible_grams(row, amount):
    """Edible grams of a package, straight from the cells."""
    number, unit = amount.split(" ", 1)
    number = Decimal(number)
    if unit == "each":
        return number * Decimal(row["each_g"])
    share = Decimal(row["yield_pct"]) / 100
    if unit in GRAMS:
        return number * GRAMS[unit] * share
    measured, measure = row["measure"].split(" ")
    per_ml = Decimal(row["measure_g"]) / (Decimal(measured) * ML[measure])
    return number * ML[unit] * per_ml * share


def sheet_cost(key, grams, place):
    """Cost of some grams at a place, by its latest rows."""
    (row,) = (r for r in sheet("ingredients.csv") if r["key"] == key)
    rows = [
        r
        for r in sheet("prices.csv")
        if key in [k.strip() for k in r["ingredient"].split(";")] and r["date"] == "2026-11-10"
    ]
    by_place = {}
    for r in rows:
        each = Decimal(r["price"]) / edible_grams(row, r["amount"])
        by_place[r["place"]] = min(each, by_place.get(r["place"], each))
    if place == "cheapest":
        return min(by_place.values()) * grams
    if place == "mean":
        return sum(by_place.values()) / len(by_place) * grams
    return by_place[place] * grams


# Grams of the base from its cups, straight from ingredients.csv: a cup of flour is 125 g, ...
BASE = {
    "all-purpose-flour": Decimal(125) * 3 / 2,
    "rolled-oats": Decimal(81) * 3 / 4,
    "brown-sugar-packed": Decimal(220) * 2 / 3,
    "baking-powder": Decimal("4.6") * 3 / 2,
    "baking-soda": Decimal("4.6") / 2,
    "salt": Decimal(6) / 2,
    "cinnamon": Decimal("7.9") / 2,
    "large-egg": Decimal(50) * 2,
    "vegetable-oil": Decimal(218) / 3,
    "plain-yogurt": Decimal(245),
    "shredded-carrot": Decimal(110) * 3 / 2,
}


def cents(amount):
    return amount.quantize(Decimal("0.01"), ROUND_HALF_UP)


@pytest.mark.parametrize(
    "place", ["cheapest", "mean", "the corner shop", "the market", "the discount store"]
)
@pytest.mark.parametrize("times", [1, 3, 250])
def test_equal_to_the_cent_with_a_sum_done_apart(kit, base, place, times):
    found = cost(kit, base.scale(times), place=place, today=TODAY)
    expected = {key: sheet_cost(key, grams * times, place) for key, grams in BASE.items()}
    assert found.batch.rounded().amount == cents(sum(expected.values()))
    assert found.batch.amount == pytest.approx(sum(expected.values()), rel=Decimal("1e-12"))
    for money, amount in zip(found.lines["cost"], expected.values(), strict=True):
        assert money.rounded().amount == cents(amount)
    assert found.serving.rounded().amount == cents(sum(expected.values()) / (16 * times))
    baked = sum(BASE.values()) * times * Decimal("0.9")
    assert found.per_100g.rounded().amount == cents(sum(expected.values()) * 100 / baked)


def test_all_parts_equal_to_the_cent_with_a_sum_done_apart(whole):
    ingredients = sum(sheet_cost(key, grams, "cheapest") for key, grams in BASE.items())
    packaging = 16 * Decimal("1.99") / 100 + Decimal("4.29") / 75
    energy = Decimal(2) * 40 / 60 * Decimal("0.178")
    time = Decimal(15) * 40 / 60
    expected = dict(zip(PARTS, (ingredients, packaging, energy, time), strict=True))
    for part, amount in expected.items():
        assert whole.parts[part].rounded().amount == cents(amount)
    assert whole.batch.rounded().amount == cents(sum(expected.values()))
    assert whole.fixed.rounded().amount == cents(Decimal("4.29") / 75 + energy + time)


# Parts -------------------------------------------------------------------------------------------


def test_each_part_can_be_switched_off_and_on(whole):
    assert whole.batch == sum(whole.parts.values())
    bare = whole.without("time", "energy")
    assert bare.batch == whole.parts["ingredients"] + whole.parts["packaging"]
    assert bare.parts == whole.parts
    assert bare.only(*PARTS).batch == whole.batch
    assert whole.only("energy").batch == whole.parts["energy"]
    assert whole.serving_parts["time"] * 16 == whole.parts["time"]
    assert "ingredients and packaging counted" in str(bare)
    for wrong in (lambda: whole.only("gas"), lambda: whole.only(), lambda: whole.without(*PARTS)):
        with pytest.raises(KitchenError):
            wrong()


def test_shares_add_up_and_lines_are_those_of_the_recipe(whole, base):
    assert list(whole.lines.index) == [line.ingredient.name for line in base.lines]
    assert whole.lines["share"].sum() == pytest.approx(1)
    assert sum(whole.lines["cost"]) == whole.parts["ingredients"]
    carrot = whole.lines.loc["shredded carrot"]
    assert carrot["buy_g"] == pytest.approx(carrot["grams"] / 0.82)


def test_an_oven_shared_and_kept_hot_costs_each_batch_less(kit):
    power = tariff(kit, "electricity", TODAY)
    one = OvenUse(power, 45)
    assert one.energy.m_as("kWh") == pytest.approx(2.0)
    assert OvenUse(power, 45, batches=2).energy.m_as("kWh") == pytest.approx(1.0)
    assert OvenUse(power, 45, loads=3).energy.m_as("kWh") == pytest.approx(2 * 50 / 60)
    assert OvenUse(power, 45, preheat=0).energy.m_as("kWh") == pytest.approx(1.5)
    assert OvenUse(power, Q(0.75, "hour"), hourly=Q(3, "kWh")).energy.m_as("kWh") == 3
    gas = OvenUse(tariff(kit, "gas", TODAY), 45)
    assert gas.money == usd("1.45") * "0.112"
    for wrong in (
        OvenUse(power, -1),
        OvenUse(power, 45, batches=0),
        OvenUse(power, 45, loads=0.5),
        OvenUse(power, float("nan")),
        OvenUse(power, "45"),
        OvenUse(power, Q(3, "g")),
        OvenUse(power, 45, hourly=Q(3, "kW")),
    ):
        with pytest.raises(KitchenError):
            wrong.money  # noqa: B018


def test_the_latest_tariff_by_the_day_is_the_one_that_counts(kit):
    assert tariff(kit, "electricity", "2026-08-31").key == "electricity-winter"
    assert tariff(kit, "electricity", "2026-09-01").key == "electricity-autumn"
    for fuel, day in (("wood", TODAY), ("gas", "2025-01-01")):
        with pytest.raises(KitchenError, match="Add a row"):
            tariff(kit, fuel, day)


def test_gas_may_be_sold_by_the_kilowatt_hour():
    by_hour = Tariff("x", "gas", "kWh", usd("0.05"))
    # a therm is 100,000 BTU of 1055.06 J
    assert float(by_hour.of(Q(1, "therm"))) == pytest.approx(1e5 * 1055.06 / 3.6e6 * 0.05, rel=1e-4)


@pytest.mark.parametrize(
    "packaging",
    [
        ("gold leaf",),
        (("foil", 2),),
        (("paper case", "12 in"),),
        (("paper case", -1),),
        (("paper case", float("nan")),),
        (("paper case", 1, "week"),),
    ],
)
def test_packaging_that_cannot_be_is_told(kit, base, packaging):
    with pytest.raises(KitchenError):
        cost(kit, base, today=TODAY, packaging=packaging)


def test_packaging_grows_with_the_servings_or_stays(kit, base):
    for count in (8, 16, 40):
        found = cost(
            kit,
            base,
            count,
            today=TODAY,
            packaging=[("paper case", 2), ("paper bag", 1, "batch")],
        )
        assert found.extras.loc["paper case", "cost"] == usd("0.0199") * 2 * count
        assert found.extras.loc["paper bag", "cost"] == usd("0.0349")


# Servings ----------------------------------------------------------------------------------------


def test_a_serving_by_count_by_weight_by_slices_and_by_pieces(kit, base):
    batch = cost(kit, base, today=TODAY)
    assert batch.servings == 16
    assert (cost(kit, base, 24, today=TODAY).serving * 24).rounded(9) == batch.batch.rounded(9)
    by_weight = cost(kit, base, "55 g", today=TODAY)
    assert by_weight.servings == pytest.approx(baked_weight(base).m_as("g") / 55)
    assert by_weight.serving_weight.m_as("g") == pytest.approx(55)
    assert float(by_weight.serving) == pytest.approx(float(batch.per_100g) * 0.55)
    loaf = kit.pans["loaf-8.5x4.5"]  # 8 1/2 in long at the top
    assert slices(loaf, "1/2 in") == 17
    assert slices(loaf, "3/4 in", loaves=2) == 22
    assert pieces(4, 6, pans=2) == 48
    assert cost(kit, base, slices(loaf, "1/2 in"), today=TODAY).servings == 17


@pytest.mark.parametrize(
    "servings", [0, -3, float("nan"), float("inf"), "0 g", "5 kg", "3 cups", [16]]
)
def test_servings_that_cannot_be_are_told(kit, base, servings):
    with pytest.raises(KitchenError):
        cost(kit, base, servings, today=TODAY)


def test_slices_and_pieces_that_cannot_be_are_told(kit):
    loaf = kit.pans["loaf-8.5x4.5"]
    for wrong in (
        lambda: slices(loaf, "0 in"),
        lambda: slices(loaf, "1 ft"),
        lambda: pieces(0, 6),
        lambda: pieces(4, 6, pans=0),
    ):
        with pytest.raises(KitchenError):
            wrong()


def test_what_bakes_off_makes_what_is_left_dearer(kit, base):
    assert baked_weight(base).m_as("g") == pytest.approx(base.weight.m_as("g") * (1 - BAKE_LOSS))
    costs = [cost(kit, base, today=TODAY, bake_loss=loss) for loss in (0.05, 0.1, 0.15)]
    assert [c.serving for c in costs] == [costs[0].serving] * 3
    assert costs[0].per_100g < costs[1].per_100g < costs[2].per_100g
    for wrong in (-0.1, 0.6, "a tenth"):
        with pytest.raises(KitchenError):
            cost(kit, base, today=TODAY, bake_loss=wrong)


# Which price -------------------------------------------------------------------------------------


def test_cheapest_is_never_dearer_and_the_mean_lies_between(kit, base):
    by_place = [cost(kit, base, place=place, today=TODAY).batch for place in places(kit)]
    cheapest, mean = (cost(kit, base, place=p, today=TODAY).batch for p in ("cheapest", "mean"))
    assert cheapest <= min(by_place)
    assert min(by_place) < mean < max(by_place)
    assert float(mean) == pytest.approx(float(sum(by_place)) / 3)


def test_a_place_answers_to_any_spelling_and_an_unknown_one_is_told(kit, base):
    found = cost(kit, base, place="The Corner-Shop", today=TODAY)
    assert set(found.lines["place"]) == {"the corner shop"}
    with pytest.raises(KitchenError, match=r"Choose cheapest, mean or one of: the discount store"):
        cost(kit, base, place="the moon", today=TODAY)


def test_a_price_from_tomorrow_is_not_known_today(kit, base):
    before = cost(kit, base, today="2026-11-09")
    assert max(before.lines["date"]) == datetime.date(2026, 6, 9)
    assert cost(kit, base, today=datetime.date(2026, 11, 10)).batch != before.batch
    with pytest.raises(KitchenError, match="has a price by 2020-01-01"):
        cost(kit, base, today="2020-01-01")
    with pytest.raises(KitchenError, match="is no date"):
        cost(kit, base, today="yesterday")


def test_without_a_day_it_is_today():
    assert read_day() == datetime.date.today()
    assert read_day(datetime.datetime(2026, 11, 25, 9, 30)) == read_day(TODAY)


def test_old_prices_are_flagged_by_their_age(kit, base):
    assert cost(kit, base, today=TODAY).stale == ()
    late = cost(kit, base, today="2027-05-10")  # 181 days after 2026-11-10
    assert set(late.stale) == {line.ingredient.name for line in base.lines}
    assert set(late.lines["age"]) == {181}
    assert "Look them up again" in str(late)
    assert cost(kit, base, today="2027-05-09").stale == ()
    assert cost(kit, base, today=TODAY, stale_days=14).stale == late.stale
    spiced = recipe_of(kit, ("flour", "200 g"), ("cloves", "1 tsp"))
    assert cost(kit, spiced, today=TODAY).stale == ("ground cloves",)


def test_a_fresh_price_goes_before_an_old_one_that_is_cheaper(kit):
    other = with_prices(
        kit,
        "flour",
        ("0.10", 1000.0, "the old shop", "2024-01-01"),
        ("9.00", 1000.0, "the new shop", "2026-11-01"),
    )
    found = cost(other, recipe_of(kit, ("flour", "100 g")), today=TODAY)
    assert found.batch == usd("0.90")
    assert not found.stale


def with_prices(kit, name, *rows):
    """A kit with other prices of one ingredient: (price, grams, place, day)."""
    key = kit.ingredients[name].key
    made = tuple(
        Price(key, Q(grams, "g"), usd(price), place, datetime.date.fromisoformat(day), size=grams)
        for price, grams, place, day in rows
    )
    shelf = {known: kit.prices[known] for known in kit.prices}
    return replace(kit, prices={**shelf, key: replace(kit.prices[key], rows=made)})


def test_of_two_packages_at_one_place_the_cheaper_by_weight_counts(kit):
    other = with_prices(
        kit,
        "flour",
        ("1.00", 500.0, "the market", "2026-11-10"),
        ("1.50", 1000.0, "the market", "2026-10-10"),
        ("1.40", 1000.0, "the market", "2026-07-10"),
        ("4.00", 1000.0, "the mill", "2026-11-10"),
    )
    batter = recipe_of(kit, ("flour", "100 g"))
    # The newer price of the small package does not end the large one's; its own newer price does.
    for place in ("cheapest", "the market"):
        assert cost(other, batter, place=place, today=TODAY).batch == usd("0.15")
    mean = cost(other, batter, place="mean", today=TODAY)
    assert mean.batch == usd("0.275")  # of each place's best
    assert mean.lines["basis"].iloc[0] == "mean of 2 places"
    assert mean.lines["date"].iloc[0] == datetime.date(2026, 10, 10)  # the oldest that is in it


# Missing -----------------------------------------------------------------------------------------


def test_a_missing_price_is_listed_and_never_nothing(kit, base):
    unpriced = recipe_of(kit, ("flour", "200 g"), ("small egg", "100 g"), ("small egg", "1 each"))
    found = cost(kit, unpriced, today=TODAY)
    assert found.missing == ("small egg",)
    assert not found.complete
    egg = found.lines.loc["small egg"]
    assert list(egg["cost"]) == [None, None]
    assert egg["share"].isna().all()
    assert list(found.packages.index) == ["all-purpose flour"]
    assert "at least" in str(found)
    assert "No price is known for small egg" in str(found)
    with pytest.raises(KitchenError, match="Nothing in made-up batter has a price"):
        cost(kit, recipe_of(kit, ("small egg", "100 g")), today=TODAY)


def test_what_one_shop_does_not_sell_is_missing_there(kit):
    nutty = recipe_of(kit, ("flour", "200 g"), ("walnuts", "50 g"))
    assert cost(kit, nutty, place="the corner shop", today=TODAY).missing == ("chopped walnuts",)
    assert cost(kit, nutty, today=TODAY).complete


def test_water_is_free_everywhere_and_is_not_missing(kit):
    wet = recipe_of(kit, ("flour", "200 g"), ("water", "1 cup"))
    for place in ("cheapest", "mean", "the corner shop"):
        found = cost(kit, wet, place=place, today="2028-01-01")
        assert found.complete
        assert found.lines.loc["water", "cost"] == usd(0)
        assert "water" not in found.stale
    assert "the tap" not in places(kit)


# Packages ----------------------------------------------------------------------------------------


def test_whole_packages_and_what_is_left_of_them(kit, base):
    found = cost(kit, base.scale(10), today=TODAY).packages
    eggs = found.loc["large egg"]
    assert eggs["packages"] == 2  # 20 eggs
    assert eggs["pay"] == usd("5.58")
    assert eggs["left_g"] == pytest.approx(4 * 50 / 0.88)  # four eggs in their shells
    flour = found.loc["all-purpose flour"]
    assert flour["packages"] == 1
    assert flour["left_g"] == pytest.approx(5 * 453.59237 - 1875)
    assert (found["left_g"] >= 0).all()


def test_exactly_a_package_is_one_package(kit):
    dozen = recipe_of(kit, ("large egg", "12 each"))
    assert list(cost(kit, dozen, today=TODAY).packages["packages"]) == [1]
    sack = recipe_of(kit, ("flour", "5 lb"))
    found = cost(kit, sack, today=TODAY)
    assert list(found.packages["packages"]) == [1]
    assert found.packages["left_g"].iloc[0] == pytest.approx(0, abs=1e-6)
    assert found.to_buy == usd("2.69")


def test_thirds_that_fill_a_package_do_not_open_another(kit):
    thirds = recipe_of(kit, *[("flour", "2/3 g")] * 3)
    found = cost(kit, thirds, today=TODAY, prices={"flour": ("1.00", "2 g")})
    assert list(found.packages["packages"]) == [1]
    assert found.packages["left_g"].iloc[0] == pytest.approx(0, abs=1e-9)


def test_what_comes_out_of_one_package_is_bought_once(kit):
    sugars = recipe_of(kit, ("brown sugar, packed", "500 g"), ("brown sugar, unpacked", "500 g"))
    found = cost(kit, sugars, today=TODAY)
    assert list(found.packages.index) == ["brown sugar, packed, brown sugar, unpacked"]
    assert list(found.packages["packages"]) == [2]


@given(times=st.floats(0.05, 50))
def test_the_till_never_takes_less_than_what_is_used(kit, base, times):
    found = cost(kit, base.scale(times), today=TODAY)
    assert found.to_buy.amount >= found.batch.amount * Decimal("0.9999999")
    assert (found.packages["packages"] >= 1).all()


def test_tables_are_made_when_they_are_looked_at(kit, base):
    """A slider asks for the sums alone, and making the tables takes longer than all of them."""
    found = cost(kit, base, today=TODAY, packaging=["paper case"])
    assert found.serving
    assert found.fixed is not None
    assert found.to_buy
    assert found.dates
    assert str(found)
    tables = {"lines", "extras", "packages"}
    assert not tables & set(vars(found))
    assert all(isinstance(getattr(found, name), pd.DataFrame) for name in tables)
    assert found.lines is found.lines
    assert sum(found.lines["cost"]) == found.parts["ingredients"]
    assert found.packages["package"].str.contains("lb").any()


def test_offers_kept_of_one_day_or_yield_are_not_those_of_another(kit, base):
    def asked(**how):
        return cost(kit, base, **{"today": TODAY, **how}).batch

    first = asked()
    assert asked(today="2026-03-01") != first
    assert asked(yields={"plain yogurt": 0.5}) > first
    assert asked(place="the market") > first
    assert asked() == first
    own = {"plain yogurt": ("$9.99", "32 oz")}
    assert asked(prices=own) > first
    assert asked() == first


@pytest.mark.parametrize("language_", ["en_US", "es_US", "es_ES"])
@pytest.mark.parametrize(
    "package", ["5 lb", "8.1 oz", "12 each", "1 each", "48 fl oz", "1 gal", "2 qt", "75 ft"]
)
def test_what_a_package_says_is_read_back_in_each_language(language_, package):
    with language.speaking(language_):
        assert read_measure(say_package(read_measure(package))) == read_measure(package)


# Limits ------------------------------------------------------------------------------------------


@given(times=st.floats(0.01, 100))
def test_cost_grows_in_step_with_the_recipe(kit, base, times):
    one, many = cost(kit, base, today=TODAY), cost(kit, base.scale(times), today=TODAY)
    assert float(many.batch) == pytest.approx(float(one.batch) * times, rel=1e-9)
    assert float(many.serving) == pytest.approx(float(one.serving), rel=1e-9)
    assert all(money.amount > 0 for money in many.lines["cost"])


@given(price=st.decimals("0.01", 100, places=2), grams=st.integers(1, 10_000))
def test_cost_grows_in_step_with_a_price(kit, price, grams):
    batter = recipe_of(kit, ("flour", "300 g"))
    found = cost(kit, batter, today=TODAY, prices={"flour": (usd(price), f"{grams} g")})
    assert found.batch.amount == pytest.approx(price * 300 / grams, rel=Decimal("1e-12"))
    assert found.lines.loc["all-purpose flour", "place"] == "your own price"


@given(share=st.floats(0.05, 1))
def test_a_lower_yield_is_dearer(kit, share):
    carrot = recipe_of(kit, ("carrot", "100 g"))
    whole_, part = (
        cost(kit, carrot, today=TODAY, yields={"carrot": y}, prices={"carrot": ("1.00", "1 kg")})
        for y in (1, share)
    )
    assert float(part.batch) == pytest.approx(float(whole_.batch) / share)


def test_a_yield_of_ones_own_is_of_what_is_squeezed_afterwards(kit, base):
    lemon = kit.flavours["lemon-poppy"].applied_to(base).whole
    (line,) = (line for line in lemon.lines if line.ingredient.key == "chopped-zucchini")
    name, left = line.ingredient.name, line.ingredient.edible_yield / 0.95
    assert left < 0.7
    before = line.weight.m_as("g") / left
    assert before == pytest.approx(186)
    known, own = (cost(kit, lemon, today=TODAY, yields=y) for y in (None, {"zucchini": 0.9}))
    assert own.lines.loc[name, "buy_g"] == pytest.approx(before / 0.9)
    dearer = float(own.lines.loc[name, "cost"] / known.lines.loc[name, "cost"])
    assert dearer == pytest.approx(0.95 / 0.9)
    as_known = cost(kit, lemon, today=TODAY, yields={"zucchini": 0.95})
    assert float(as_known.batch) == pytest.approx(float(known.batch), rel=1e-12)


@pytest.mark.parametrize(
    ("prices", "mend"),
    [
        ({"flour": ("0", "5 lb")}, "a price of 0"),
        ({"flour": ("-1", "5 lb")}, "below zero"),
        ({"flour": ("cheap", "5 lb")}, "is not a price"),
        ({"flour": ("£3.49", "5 lb")}, "not in USD"),
        ({"flour": ("3.49 XXQ", "5 lb")}, "no currency"),
        ({"flour": ("3.49", "0 g")}, "holds nothing"),
        ({"flour": ("3.49", "12 each")}, "piece"),
        ({"flour": "3.49"}, "is not a price and a package"),
        ({"sawdust": ("3.49", "1 lb")}, "no ingredient called 'sawdust'"),
    ],
)
def test_a_price_of_ones_own_that_cannot_be_is_told(kit, base, prices, mend):
    with pytest.raises(KitchenError, match=mend):
        cost(kit, base, today=TODAY, prices=prices)


@pytest.mark.parametrize("written", ["$2.69", "2,69", "2.69", "2.69 USD"])
def test_a_price_of_ones_own_as_people_write_it(kit, base, written):
    own = cost(kit, base, today=TODAY, prices={"flour": (written, "5 lb")})
    assert own.batch == cost(kit, base, today=TODAY).batch


def test_mixed_currencies_are_refused(kit, base):
    euro = Price("all-purpose-flour", Q(1, "kg"), Money("0.79", "EUR"), "the market", None)
    with pytest.raises((MoneyError, KitchenError)):
        cost(kit, base, today=TODAY, prices={"flour": euro})
    abroad = OvenUse(Tariff("x", "electricity", "kWh", Money("0.30", "EUR")), 25)
    with pytest.raises(MoneyError, match="cannot be put together"):
        cost(kit, base, today=TODAY, energy=abroad)
    with pytest.raises(MoneyError, match="not in USD"):
        cost(kit, base, today=TODAY, time_value=("15 EUR", 10))


@pytest.mark.parametrize("time_value", ["15", ("15",), ("15", -1), ("0", 10)])
def test_a_value_of_time_that_cannot_be_is_told(kit, base, time_value):
    with pytest.raises(KitchenError):
        cost(kit, base, today=TODAY, time_value=time_value)


@pytest.mark.parametrize("share", [0, -0.5, 1.2, "most"])
def test_a_yield_that_cannot_be_is_told(kit, base, share):
    with pytest.raises(KitchenError):
        cost(kit, base, today=TODAY, yields={"carrot": share})


# Unit prices -------------------------------------------------------------------------------------


def test_unit_prices_agree_with_each_other(kit):
    for name in ("flour", "carrot", "large egg", "vegetable oil"):
        table = unit_prices(kit, name, TODAY)
        item = kit.ingredients[name]
        edible = [float(x) for x in table["edible_100g"]]
        assert edible == sorted(edible)
        for row in table.to_dict("records"):
            assert float(row["per_lb"]) == pytest.approx(float(row["per_100g"]) * 4.5359237)
            assert float(row["per_oz"]) * 16 == pytest.approx(float(row["per_lb"]))
            expected = float(row["per_100g"]) / item.edible_yield
            assert float(row["edible_100g"]) == pytest.approx(expected)
    eggs = unit_prices(kit, "egg", TODAY)
    assert eggs["each"].iloc[0] == usd("2.79") / 12
    assert set(eggs["per_100ml"]) == {None}
    oil = unit_prices(kit, "oil", TODAY).set_index("place").loc["the discount store"]
    assert float(oil["per_100ml"]) == pytest.approx(3.49 / (48 * 29.5735) * 100, rel=1e-5)
    assert oil["each"] is None
    with pytest.raises(KitchenError, match="has no price yet"):
        unit_prices(kit, "small egg", TODAY)


# Many at once ------------------------------------------------------------------------------------


@pytest.mark.parametrize("place", ["cheapest", "mean", "the corner shop"])
def test_many_at_once_cost_what_each_costs_alone(kit, base, place):
    recipes = [replace(base.scale(by), key=f"n{by}") for by in (1, 2, 0.5)]
    recipes.append(recipe_of(kit, ("flour", "200 g"), ("small egg", "100 g")))
    recipes.append(replace(recipe_of(kit, ("small egg", "100 g")), key="eggs"))
    many = cost_many(kit, recipe_table(recipes), place=place, today=TODAY)
    assert list(many.index) == ["n1", "n2", "n0.5", "made", "eggs"]
    for recipe in recipes[:4]:
        alone = cost(kit, recipe, place=place, today=TODAY)
        assert float(many.loc[recipe.key, "batch"]) == pytest.approx(float(alone.batch), rel=1e-12)
        assert many.loc[recipe.key, "missing"] == alone.missing
    assert many.loc["eggs", "batch"] is None
    assert many.loc["eggs", "missing"] == ("small egg",)


def test_many_names_and_an_unknown_one(kit):
    table = pd.DataFrame(
        {"recipe": ["a", "a"], "ingredient": ["flour", "AP flour"], "grams": np.array([100, 100])}
    )
    assert float(cost_many(kit, table, today=TODAY).loc["a", "batch"]) == pytest.approx(
        200 * 2.69 / (5 * 453.59237)
    )
    with pytest.raises(KitchenError, match="no ingredient called 'sawdust'"):
        cost_many(kit, table.assign(ingredient="sawdust"), today=TODAY)


def test_days_are_said_from_the_first_to_the_last():
    first, last = datetime.date(2026, 6, 9), datetime.date(2026, 11, 10)
    assert say_days([last, None, float("nan"), first, last]) == "2026-06-09 to 2026-11-10"
    assert (say_days([first, None]), say_days([None])) == ("2026-06-09", "")
