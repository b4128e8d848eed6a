"""What to buy: never short, and no choice of packages is better; against trying them all."""

import itertools
import math
from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

import kitchenkit as kk
from kitchenkit.costs import places
from kitchenkit.errors import KitchenError
from kitchenkit.flavours import squeezed
from kitchenkit.money import Money
from kitchenkit.prices import Price, PriceList
from kitchenkit.recipe import Line, Recipe
from kitchenkit.shelf import Shelf
from kitchenkit.shopping import AISLES, _least, aisle, shopping_list

TODAY = "2026-11-25"


def recipe_of(kit, *lines):
    made = tuple(Line(kit.ingredients[name], kk.read_measure(amount)) for name, amount in lines)
    return Recipe("made", "made-up batter", made, 10)


def priced(kit, key, *rows):
    """The kit with these packages of one ingredient instead of its own: (amount, price, place)."""
    item = kit.ingredients[key]
    made = []
    for amount, money, place in rows:
        held = kk.read_measure(amount)
        day = next(iter(kit.prices["salt"])).date.replace(year=2026, month=11, day=10)
        grams = item.weight(held).m_as("g")
        made.append(Price(item.key, held, Money(money, "USD"), place, day, size=grams))
    lists = [kit.prices[name] for name in kit.prices if name != item.key]
    lists += [PriceList(item.key, item.name, tuple(made))] if made else []
    return replace(kit, prices=Shelf("price", lists))


# The choice of packages ---------------------------------------------------------------------------


def every_way(goal, offers):
    """Every number of each package up to where it alone is enough, as (paid, over, count)."""
    most = [range(math.ceil(goal / size) + 1) for size, _ in offers]
    for counts in itertools.product(*most):
        weight = sum(n * size for n, (size, _) in zip(counts, offers, strict=True))
        if weight >= goal:
            paid = sum(n * price for n, (_, price) in zip(counts, offers, strict=True))
            yield paid, weight - goal, sum(counts)


offer_lists = st.lists(
    st.tuples(st.integers(1, 60), st.integers(1, 900).map(lambda cents: Decimal(cents) / 100)),
    min_size=1,
    max_size=3,
    unique_by=lambda offer: offer[0],
)


@given(goal=st.integers(1, 200), offers=offer_lists, prefer=st.sampled_from(["money", "leftovers"]))
def test_no_other_packages_are_better(goal, offers, prefer):
    if math.prod(math.ceil(goal / size) + 1 for size, _ in offers) > 20_000:
        offers = offers[:1]
    counts = _least(goal, offers, prefer)
    paid = sum(n * price for n, (_, price) in zip(counts, offers, strict=True))
    over = sum(n * size for n, (size, _) in zip(counts, offers, strict=True)) - goal
    assert over >= 0
    order = (lambda w: (w[0], w[1], w[2])) if prefer == "money" else (lambda w: (w[1], w[0], w[2]))
    assert (paid, over, sum(counts)) == min(every_way(goal, offers), key=order)


def test_a_cheap_rate_is_no_bargain_for_little(kit):
    """5 lb for $2 is the better rate, but 1 lb for $0.90 is enough."""
    some = priced(kit, "flour", ("5 lb", "2.00", "a"), ("1 lb", "0.90", "b"))
    found = shopping_list(some, [recipe_of(kit, ("flour", "400 g"))], TODAY)
    assert list(found.packages["package"]) == ["1 lb"]
    assert found.paid == Money("0.90", "USD")


def test_money_and_leftovers_choose_differently(kit):
    some = priced(kit, "flour", ("5 lb", "2.00", "a"), ("1 lb", "0.90", "b"))
    need = [recipe_of(kit, ("flour", "3 lb"))]
    by_money = shopping_list(some, need, TODAY)
    by_left = shopping_list(some, need, TODAY, prefer="leftovers")
    assert by_money.paid == Money("2.00", "USD")
    assert by_money.lines.loc["all-purpose flour", "left_g"] == pytest.approx(2 * 453.59237)
    assert by_left.paid == Money("2.70", "USD")
    assert by_left.lines.loc["all-purpose flour", "left_g"] == 0
    assert by_left.lines.loc["all-purpose flour", "left"] == "nothing"


def test_a_mixture_of_sizes_may_be_best(kit):
    some = priced(kit, "flour", ("5 lb", "2.00", "a"), ("1 lb", "0.90", "b"))
    found = shopping_list(some, [recipe_of(kit, ("flour", "6 lb"))], TODAY)
    assert dict(zip(found.packages["package"], found.packages["packages"], strict=True)) == {
        "5 lb": 1,
        "1 lb": 1,
    }


# Whole classes ------------------------------------------------------------------------------------


@given(
    factors=st.lists(st.floats(0.1, 40), min_size=1, max_size=6),
    prefer=st.sampled_from(["money", "leftovers"]),
    place=st.sampled_from(["cheapest", "the market", "the discount store"]),
    flour=st.floats(0, 3000),
)
def test_a_class_never_runs_short(kit, base, factors, prefer, place, flour):
    """Whatever is made, what is bought and at hand covers it, peel and shells counted."""
    found = shopping_list(
        kit,
        [(base, factor) for factor in factors],
        TODAY,
        prefer=prefer,
        place=place,
        have={"flour": f"{flour:.3f} g"},
    )
    for line in base.lines:
        row = found.lines.loc[line.ingredient.name]
        need = line.weight.m_as("g") * sum(factors) / line.ingredient.edible_yield
        assert row["buy_g"] == pytest.approx(need)
        if line.ingredient.name not in found.missing:
            assert row["have_g"] + row["bought_g"] >= need * (1 - 1e-9)
            assert row["left_g"] == pytest.approx(
                row["have_g"] + row["bought_g"] - need, abs=1e-6 * need
            )
    assert sum(found.packages["pay"]) == found.paid
    in_lines = [pay for pay in found.lines["pay"] if pay is not None]
    assert sum(in_lines) == found.paid
    if place != "cheapest":
        assert found.places in ((place,), ())


def test_the_cheapest_list_costs_no_more_than_any_one_shop(kit, base):
    paid = {
        place: shopping_list(kit, [(base, 6)], TODAY, place=place).paid
        for place in ("cheapest", *places(kit))
        if not shopping_list(kit, [(base, 6)], TODAY, place=place).missing
    }
    assert len(paid) > 2
    assert min(paid.values()) == paid["cheapest"]


def test_peel_and_shells_are_bought_too(kit):
    found = shopping_list(kit, [recipe_of(kit, ("carrot", "820 g"), ("egg", "12 eggs"))], TODAY)
    assert found.lines.loc["shredded carrot", "buy_g"] == pytest.approx(1000)  # 82 % is eaten
    eggs = found.packages[found.packages["ingredient"] == "large egg"]
    assert eggs["packages"].sum() == 1  # a dozen eggs are a dozen, shells or not
    assert found.lines.loc["large egg", "left"] == "nothing"


def test_what_is_squeezed_out_is_bought_first(kit):
    """A third of the water poured off a carrot of 88 % water: 0.293 of it is gone."""
    carrot = squeezed(kit.ingredients["carrot"], 1 / 3)
    dry = Recipe("dry", "dry", (Line(carrot, kk.read_measure("500 g")),), 1)
    found = shopping_list(kit, [dry, recipe_of(kit, ("carrot", "100 g"))], TODAY)
    gone = 0.8829 / 3  # USDA SR 11124, 88.29 % water
    assert len(found.lines) == 1
    assert found.lines["buy_g"].iloc[0] == pytest.approx(500 / (1 - gone) / 0.82 + 100 / 0.82)


def test_what_comes_out_of_one_package_is_bought_once(kit):
    made = recipe_of(
        kit, ("brown sugar, packed", "1 cup"), ("brown sugar, unpacked", "1 cup"), ("salt", "1 tsp")
    )
    found = shopping_list(kit, [made], TODAY)
    (row,) = [name for name in found.lines.index if "brown sugar" in name]
    assert row == "brown sugar, packed, brown sugar, unpacked"
    assert found.lines.loc[row, "need_g"] == pytest.approx(220 + 145)
    assert len(found.packages) == 2


SIFTED, PLAIN = "all-purpose-flour-sifted", "all-purpose-flour"


@pytest.mark.parametrize(("mine", "wanted"), [(PLAIN, SIFTED), (SIFTED, PLAIN)])
def test_what_is_at_home_is_found_under_another_name_of_its_package(kit, mine, wanted):
    found = shopping_list(kit, [recipe_of(kit, (wanted, "2 cups"))], TODAY, have={mine: "3 cups"})
    assert found.paid is None
    row = found.lines.iloc[0]
    have, need = (
        kk.to_weight(kit, name, cups).m_as("g")
        for name, cups in ((mine, "3 cups"), (wanted, "2 cups"))
    )
    assert row["have_g"] == pytest.approx(have)  # a cup of one is no cup of the other
    assert row["left_g"] == pytest.approx(have - need)


def test_what_is_at_home_under_two_names_counts_together(kit):
    have = {PLAIN: "100 g", SIFTED: "150 g"}
    found = shopping_list(kit, [recipe_of(kit, (SIFTED, "240 g"))], TODAY, have=have)
    assert found.paid is None
    assert found.lines["left_g"].iloc[0] == pytest.approx(10)


@pytest.mark.parametrize("names", [(SIFTED, PLAIN), (PLAIN, SIFTED)])
def test_what_a_trip_leaves_over_is_found_under_another_name_of_its_package(kit, names):
    trips = [[recipe_of(kit, (name, "2 cups"))] for name in names]
    first, second = kk.shopping_trips(kit, trips, TODAY)
    assert first.packages["packages"].sum() == 1
    assert second.paid is None
    assert second.lines["have_g"].iloc[0] == pytest.approx(first.lines["left_g"].iloc[0])


def test_a_price_noted_for_one_name_alone_parts_no_package(data_folder):
    table = data_folder / "prices.csv"
    row = f"{PLAIN},5 lb,2.59,USD,the discount store,2026-11-20,lantern-street,\n"
    table.write_text(table.read_text("utf-8") + row, "utf-8")
    some = kk.open_kit(data_folder)
    made = recipe_of(some, (PLAIN, "2 cups"), (SIFTED, "2 cups"))
    found = shopping_list(some, [made], TODAY, place="the discount store")
    assert (len(found.lines), found.paid) == (1, Money("2.59", "USD"))


def test_two_goods_at_one_price_are_two_packages(kit):
    """Sunflower seeds and flaxseed are sold alike in all that prices.csv says of them."""
    said = [
        [(p.place, p.date, p.money, str(p.amount)) for p in kit.prices[name]]
        for name in ("sunflower-seeds", "ground-flaxseed")
    ]
    assert said[0] == said[1]
    made = recipe_of(kit, ("sunflower-seeds", "50 g"), ("ground-flaxseed", "50 g"))
    found = shopping_list(kit, [made], TODAY, have={"ground-flaxseed": "60 g"})
    assert len(found.lines) == 2
    assert list(found.packages["ingredient"]) == [kit.ingredients["sunflower-seeds"].name]


def test_what_has_no_price_is_told_and_never_nothing(kit, base):
    bare = priced(kit, "plain-yogurt")
    found = shopping_list(bare, [base], TODAY)
    assert found.missing == ("plain yogurt",)
    assert found.lines.loc["plain yogurt", "pay"] is None
    assert "at least" in str(found)
    assert "No price is known for plain yogurt" in str(found)
    at_home = shopping_list(bare, [base], TODAY, have={"yogurt": "2 cups"})
    assert at_home.missing == ()


def test_water_is_not_carried_home(kit):
    found = shopping_list(kit, [recipe_of(kit, ("water", "1 l"), ("salt", "1 tsp"))], TODAY)
    assert list(found.packages["ingredient"]) == ["salt"]
    assert found.missing == ()


def test_enough_at_home_is_nothing_to_buy(kit):
    found = shopping_list(kit, [recipe_of(kit, ("egg", "4 eggs"))], TODAY, have={"eggs": "4 eggs"})
    assert found.paid is None
    assert str(found) == "Nothing has to be bought."
    one_short = shopping_list(
        kit, [recipe_of(kit, ("egg", "4 eggs"))], TODAY, have={"eggs": "3 eggs"}
    )
    assert one_short.packages["packages"].sum() == 1


def test_old_prices_are_told(kit):
    found = shopping_list(kit, [recipe_of(kit, ("molasses", "1 cup"))], TODAY)
    assert found.stale == ("molasses",)
    assert "Old prices: molasses" in str(found)


def test_prices_carry_currency_day_and_place(kit, base):
    said = str(shopping_list(kit, [(base, 6)], TODAY))
    assert "USD" in said
    assert "2026-11-10" in said
    assert "the discount store" in said


# Aisles -------------------------------------------------------------------------------------------


def test_every_ingredient_stands_in_an_aisle(kit):
    assert {aisle(item) for item in kit.ingredients.values()} <= set(AISLES)
    where = {
        "all-purpose flour": "baking shelf",
        "raisins": "dried fruit, nuts and seeds",
        "apple": "vegetables and fruit",
        "carrot": "vegetables and fruit",
        "eggs": "dairy and eggs",
        "butter": "oil, butter and other fats",
        "cinnamon": "spices and flavourings",
    }
    for name, place in where.items():
        assert aisle(kit.ingredients[name]) == place


def test_the_list_goes_by_aisles(kit, base):
    found = shopping_list(kit, [(base, 6)], TODAY)
    order = [AISLES.index(name) for name in found.packages["aisle"]]
    assert order == sorted(order)
    assert sum(len(table) for table in found.by_aisle().values()) == len(found.packages)


# Wrong questions ----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("recipes", "options", "says"),
    [
        ([], {}, "nothing to shop for"),
        (["muffins"], {}, "is no recipe"),
        ("base", {"prefer": "speed"}, "money, leftovers"),
        ("base", {"place": "mean"}, "mean of the shops"),
        ("base", {"place": "the moon"}, "No price is from"),
        ("base", {"on": "soon"}, "no date"),
        ("base", {"have": {"flour": "2 eggs"}}, "not counted in pieces"),
        ("base", {"have": {"gold": "2 g"}}, "no ingredient"),
        ("zero", {}, "is no recipe"),
    ],
)
def test_wrong_questions_are_answered_in_words(kit, base, recipes, options, says):
    recipes = {"base": [base], "zero": [(base, 0)]}.get(str(recipes), recipes)
    with pytest.raises(KitchenError, match=says):
        shopping_list(kit, recipes, **options)


def test_a_recipe_twice_is_twice_as_much(kit, base):
    twice = shopping_list(kit, [base, base], TODAY).lines["buy_g"]
    assert list(twice) == pytest.approx(list(shopping_list(kit, [(base, 2)], TODAY).lines["buy_g"]))
    assert twice["salt"] == pytest.approx(2 * base.line("salt").weight.m_as("g"))
