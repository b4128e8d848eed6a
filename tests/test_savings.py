"""Baked against bought, what the answer hangs on, and prices over time."""

import datetime
from dataclasses import replace
from decimal import Decimal

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

import kitchenkit as kk
from kitchenkit.costs import OvenUse, cost, tariff
from kitchenkit.errors import KitchenError
from kitchenkit.history import cost_history, price_history
from kitchenkit.money import Money, MoneyError
from kitchenkit.prices import Snack
from kitchenkit.recipe import Line
from kitchenkit.savings import (
    WAYS,
    change_first,
    cheapest_of,
    compare,
    what_matters,
)

TODAY = "2026-11-25"
WEIGHT, PIECES = WAYS


def usd(amount):
    return Money(amount, "USD")


def snack(price, pieces=6, grams=240.0):
    return Snack("s", "test snack", pieces, grams, usd(price))


@pytest.fixture(scope="module")
def baked(kit, base):
    return cost(
        kit,
        base,
        today=TODAY,
        packaging=("paper case",),
        energy=OvenUse(tariff(kit, "electricity", TODAY), 25),
    )


@pytest.fixture(scope="module")
def gapped(kit, base):
    """A cost with a price missing."""
    odd = Line(kit.ingredients["small egg"], kk.Q(1, "each"))
    return cost(kit, replace(base, lines=(*base.lines, odd)), today=TODAY)


# Baked against bought ----------------------------------------------------------------------------


def test_the_same_weight_and_piece_for_piece_by_hand(baked):
    found = compare(baked, snack("4.80"), per_week=10, weeks=6)
    grams = Decimal(repr(baked.baked.m_as("g"))) / 16
    assert float(found.bought_price(WEIGHT)) == pytest.approx(float(grams) * 4.80 / 240)
    assert found.bought_price(PIECES) == usd("0.80")
    saving = usd("0.80") - baked.serving
    row = found.table.loc[PIECES]
    assert (row["saving"], row["week"], row["term"]) == (saving, saving * 10, saving * 60)
    assert row["winner"] == "baking"


def test_the_shop_wins_and_it_is_said_plainly(kit, baked):
    found = compare(baked, "cookie-large-bag")
    assert found.winner(WEIGHT) == found.winner(PIECES) == "the shop"
    assert found.saving(WEIGHT).amount < 0
    assert str(found).startswith(
        "Buying is cheaper: for the same weight, the big bag of plain cookies from the discount "
        "store costs "
    )
    assert found.break_even_batch(PIECES) is None
    # There is an outcome of each kind among the shipped snacks.
    winners = {compare(baked, key).winner(way) for key in kit.snacks for way in WAYS}
    assert winners == {"the shop", "baking"}


def test_at_the_break_even_price_neither_saves(baked):
    for way in WAYS:
        at = compare(baked, snack("3.00")).break_even_price(way)
        assert compare(baked, snack(at.amount)).winner(way) == "neither"
        assert "costs the same" in compare(baked, snack(at.amount)).say(way)
        assert compare(baked, snack(at.amount + Decimal("0.10"))).winner(way) == "baking"
        assert compare(baked, snack(at.amount - Decimal("0.10"))).winner(way) == "the shop"


@given(price=st.decimals("0.2", 20, places=2), way=st.sampled_from(WAYS))
def test_break_even_batch_is_the_first_that_pays(kit, baked, price, way):
    bought = snack(price)
    count = compare(baked, bought).break_even_batch(way)
    each = (baked.batch - baked.fixed) / 16

    def saving(servings):
        return compare(baked, bought).bought_price(way) - each - baked.fixed / servings

    if count is None:
        assert saving(10**7).amount <= Decimal("1e-6")
    else:
        assert saving(count).amount >= Decimal("-1e-9")
        assert count == 1 or saving(count - 1).amount < 0


def test_without_anything_fixed_one_serving_pays_or_none(kit, base):
    bare = cost(kit, base, today=TODAY)
    assert compare(bare, snack("4.80")).break_even_batch(PIECES) == 1
    assert compare(bare, snack("0.06")).break_even_batch(PIECES) is None


@pytest.mark.parametrize(
    ("apart", "said"),
    [
        ("0.0042", "Baking is cheaper: piece for piece, it saves $0.004 a serving"),
        ("-0.0042", " costs $0.004 less a serving than baking, $0.004 in 1 weeks."),
        ("0.0052", "Baking is cheaper: piece for piece, it saves $0.01 a serving"),
        ("0.0004", "Neither saves anything"),
    ],
)
def test_a_saving_of_less_than_a_cent_is_not_said_to_be_nothing(baked, apart, said):
    even = compare(baked, snack("1")).break_even_price(PIECES)
    bought = snack(even.amount + 6 * Decimal(apart))
    assert said in compare(baked, bought, per_week=1, weeks=1).say(PIECES)
    # In a term of none there is nothing to save: no digit more of that.
    found = compare(baked, bought, per_week=0)
    assert found.winner(PIECES) == "neither" or ", $0.00 in 6 weeks." in found.say(PIECES)


def test_with_a_price_missing_baking_cannot_win_but_the_shop_can(gapped):
    open_ = compare(gapped, snack("4.80"))
    assert open_.winner() == "unknown"
    assert open_.say() == (
        "Nobody can say yet whether baking saves anything: no price is known for small egg."
    )
    lost = compare(gapped, snack("0.60"))
    assert lost.winner() == "the shop"
    assert lost.say().endswith("Baking costs more still: no price is known for small egg.")


def test_time_can_turn_the_answer_round(kit, base):
    timed = cost(kit, base, today=TODAY, time_value=("15", 40))
    assert compare(timed, "snack-bar-box").winner(PIECES) == "the shop"
    assert compare(timed.without("time"), "snack-bar-box").winner(PIECES) == "baking"


@pytest.mark.parametrize(
    "asked",
    [{"bought": "gold bar"}, {"per_week": -1}, {"weeks": -1}, {"per_week": float("nan")}],
)
def test_what_cannot_be_compared_is_told(baked, asked):
    with pytest.raises(KitchenError):
        compare(baked, **{"bought": "snack-bar", **asked})
    with pytest.raises(KitchenError, match="equal weight or equal pieces"):
        compare(baked, "snack-bar").saving("by eye")


def test_a_snack_in_another_currency_is_refused(baked):
    abroad = replace(snack("3"), money=Money(3, "EUR"))
    with pytest.raises(MoneyError, match="cannot be put together"):
        compare(baked, abroad)


# What it hangs on --------------------------------------------------------------------------------


def test_each_bar_of_the_tornado_by_hand(baked):
    found = what_matters(baked, "snack-bar-box", spread=0.25)
    assert float(found.point) == pytest.approx(float(compare(baked, "snack-bar-box").saving()))
    yogurt = found.tornado.loc["plain yogurt"]
    part = baked.lines.loc["plain yogurt", "cost"] / 16
    assert float(yogurt["price"]) == pytest.approx(float(part))
    assert float(yogurt["low"]) == pytest.approx(float(found.point - part / 4))
    assert float(yogurt["high"]) == pytest.approx(float(found.point + part / 4))
    swings = [float(swing) for swing in found.tornado["swing"]]
    assert swings == sorted(swings, reverse=True)
    assert found.tornado.index[0] == "box of wrapped snack bars"
    total = sum(found.tornado["price"].drop("box of wrapped snack bars"))
    assert float(total) == pytest.approx(float(baked.serving))


def test_a_bar_agrees_with_the_cost_worked_out_anew(kit, base, baked):
    table = what_matters(baked, spread=0.1).tornado
    dearer = cost(kit, base, today=TODAY, prices={"carrot": ("3.619", "5 lb")})  # 3.29 and a tenth
    plain_ = cost(kit, base, today=TODAY)
    moved = dearer.serving - plain_.serving
    bar = table.loc["shredded carrot", "high"] - baked.serving
    assert float(bar) == pytest.approx(float(moved), rel=1e-9)


@pytest.mark.parametrize("bought", [None, "snack-bar-box"])
def test_the_draws_have_the_mean_and_spread_of_the_formula(baked, bought):
    spread = {"plain yogurt": 0.4, "large egg": 0.0, "shredded carrot": 0.3}
    found = what_matters(baked, bought, spread=spread, draws=200_000)
    # Mean of a sum of independent uniforms: the point; standard error of 200,000 draws, thrice.
    error = found.closed_sd / np.sqrt(len(found.draws))
    assert abs(found.draws.mean() - found.closed_mean) < 3 * error
    assert found.draws.std() == pytest.approx(found.closed_sd, rel=0.01)
    assert found.closed_mean == pytest.approx(float(found.point))
    by_hand = sum(
        (float(row["price"]) * found.spread[name]) ** 2 / 3
        for name, row in found.tornado.iterrows()
    )
    assert found.closed_sd == pytest.approx(by_hand**0.5)
    low, high = found.within(0.9)
    assert low < found.mean < high


def test_draws_are_the_same_each_time_and_stay_in_their_range(baked):
    one, two = (what_matters(baked, draws=1000) for _ in range(2))
    assert np.array_equal(one.draws, two.draws)
    assert not np.array_equal(one.draws, what_matters(baked, draws=1000, seed=1).draws)
    point = float(baked.serving)
    assert one.draws.min() >= point * 0.8
    assert one.draws.max() <= point * 1.2
    assert one.chance == 1.0
    still = what_matters(baked, spread=0, draws=10)
    assert still.draws == pytest.approx([point] * 10)
    assert "up to 20% off" in str(one)
    assert "plain yogurt" in str(one)


def test_only_what_is_counted_matters(kit, base, baked):
    assert "oven, electricity" in what_matters(baked).tornado.index
    assert "oven, electricity" not in what_matters(baked.without("energy")).tornado.index
    timed = cost(kit, base, today=TODAY, time_value=("15", 40))
    assert what_matters(timed).tornado.index[0] == "your time"


def test_an_ingredient_that_comes_twice_is_one_bar(kit, base):
    twice = replace(base, lines=(*base.lines, base.line("plain yogurt")))
    one, two = (what_matters(cost(kit, r, today=TODAY)).tornado for r in (base, twice))
    swing = float(one.loc["plain yogurt", "swing"])
    assert float(two.loc["plain yogurt", "swing"]) == pytest.approx(2 * swing)


def test_a_missing_price_is_not_hidden_by_the_draws(gapped):
    found = what_matters(gapped)
    assert not found.complete
    assert "missing" in str(found)


@pytest.mark.parametrize(
    "asked", [{"spread": -0.1}, {"spread": 1.5}, {"spread": {"sawdust": 0.1}}, {"draws": 0}]
)
def test_a_range_that_cannot_be_is_told(baked, asked):
    with pytest.raises(KitchenError):
        what_matters(baked, **asked)


# What to change, which to bake -------------------------------------------------------------------


def test_every_change_saves_what_it_says(kit, base):
    dear = cost(
        kit,
        base,
        place="the corner shop",
        today=TODAY,
        packaging=("paper case", ("foil", "12 in")),
        energy=OvenUse(tariff(kit, "electricity", TODAY), 25),
    )
    table = change_first(dear)
    assert table.index[0] == "buy everything at the discount store"
    saves = [money.amount for money in table["saves"]]
    assert saves == sorted(saves, reverse=True)
    assert min(saves) > 0
    for row in table.to_dict("records"):
        assert float(dear.serving - row["saves"]) == pytest.approx(float(row["serving"]))
    # One change by hand: yogurt at 2.49 for 32 oz in place of 2.79 for 16 oz, 245 g of it.
    (yogurt,) = (name for name in table.index if name.startswith("buy plain yogurt"))
    by_hand = 245 / 16 * (2.79 / 16 - 2.49 / 32) / 28.349523125
    assert float(table.loc[yogurt, "saves"]) == pytest.approx(by_hand)
    assert float(table.loc["do without the foil", "saves"]) == pytest.approx(2.19 / 25, rel=1e-6)
    oven = float(table.loc["bake two batches in the oven at once", "saves"])
    assert oven == pytest.approx(2 * 40 / 60 * 0.178 / 2 / 16)


def test_an_ingredient_that_comes_twice_is_bought_elsewhere_for_both(kit, base):
    apple = kit.flavours["apple-ginger"].applied_to(base).whole
    dear = cost(kit, apple, place="the corner shop", today=TODAY)
    flour = [line for line in apple.lines if line.ingredient.key == "all-purpose-flour"]
    assert len(flour) == 2
    grams = sum(line.weight.m_as("g") for line in flour)
    table = change_first(dear)
    (change,) = (name for name in table.index if name.startswith("buy all-purpose flour"))
    # 1.99 for 2 lb there, 2.69 for 5 lb at the discount store
    by_hand = grams * (1.99 / 2 - 2.69 / 5) / 453.59237 / apple.servings
    assert float(table.loc[change, "saves"]) == pytest.approx(by_hand)


def test_what_is_squeezed_and_what_is_not_are_bought_together(kit):
    zucchini = kit.ingredients["zucchini"]
    lines = (Line(zucchini, kk.Q(100, "g")), Line(kk.squeezed(zucchini), kk.Q(100, "g")))
    dear = cost(kit, kk.Recipe("z", "zucchini twice", lines, 4), place="mean", today=TODAY)
    saves = dict(change_first(dear)["saves"])
    alone = saves["buy chopped zucchini at the market: 1 lb for $1.29"]
    assert alone == saves["buy everything at the market"]


def test_with_no_prices_but_ones_own_there_is_nowhere_else_to_buy(kit):
    other = replace(kit, prices={})
    bread = kk.Recipe("b", "bread", (Line(kit.ingredients["flour"], kk.Q(500, "g")),), 8)
    own = {"prices": {"flour": ("2.69 USD", "5 lb")}, "today": TODAY}
    assert list(change_first(cost(other, bread, **own)).index) == []
    wrapped = cost(other, bread, packaging=("paper case",), **own)
    assert list(change_first(wrapped).index) == ["do without the paper case"]


def test_nothing_to_change_is_an_empty_table(kit, base):
    assert list(change_first(cost(kit, base, today=TODAY)).index) == []


def test_the_cheapest_recipe_comes_first_and_an_unknown_one_last(kit, base, gapped):
    plain_ = replace(base, key="plain", name="plain batter", lines=base.lines[:-1])
    rich = replace(base, key="rich", name="rich batter")
    rich = replace(rich, lines=(*base.lines, Line(kit.ingredients["walnuts"], kk.Q(1, "cup"))))
    odd = replace(gapped.recipe, name="odd batter", lines=gapped.recipe.lines[-2:])
    table = cheapest_of(kit, [odd, rich, "carrot-oat-base", plain_], today=TODAY)
    assert list(table.index) == [plain_.name, base.name, "rich batter", "odd batter"]
    assert table.loc["odd batter", "missing"] == ("small egg",)
    assert cheapest_of(kit, [rich, base], by="per_100g", today=TODAY).index[0] == base.name
    with pytest.raises(KitchenError):
        cheapest_of(kit, [base], by="colour")


@pytest.mark.parametrize("by", ["serving", "per_100g"])
def test_a_recipe_without_any_price_comes_last_and_hides_no_other(kit, base, gapped, by):
    egg = gapped.recipe.lines[-1]
    bare = replace(base, name="eggs only", lines=(egg, egg))
    table = cheapest_of(kit, [bare, gapped.recipe, bare, base], by=by, today=TODAY)
    assert list(table["missing"]) == [(), *[("small egg",)] * 3]
    assert list(table.index[2:]) == ["eggs only"] * 2
    for column in ("serving", "per_100g", "batch"):
        assert [money is None for money in table[column]] == [False, False, True, True]
    # What is asked wrongly is no want of prices.
    with pytest.raises(KitchenError, match="No price is from"):
        cheapest_of(kit, [base], place="the moon")


# Over time ---------------------------------------------------------------------------------------


def test_a_line_for_an_ingredient_over_its_dates(kit):
    table = price_history(kit, "egg")
    at = table[table["place"] == "the discount store"]
    assert list(at["date"]) == [
        datetime.date(2026, 2, 10),
        datetime.date(2026, 6, 9),
        datetime.date(2026, 11, 10),
    ]
    assert list(at["price"]) == [usd("3.49"), usd("2.69"), usd("2.79")]
    assert list(at["package"]) == ["12 each"] * 3
    # as bought, in the shell: 12 × 50 g / 0.88
    assert float(at["per_100g"].iloc[0]) == pytest.approx(3.49 / (600 / 0.88) * 100)
    with pytest.raises(KitchenError, match="has no price yet"):
        price_history(kit, "small egg")


def test_a_serving_over_time_is_its_cost_on_each_day(kit, base):
    table = cost_history(kit, base, place="the corner shop")
    assert len(table) == 3
    for day, row in table.iterrows():
        assert row["serving"] == cost(kit, base, place="the corner shop", today=day).serving
    assert table["serving"].iloc[0] < table["serving"].iloc[-1]


def test_a_day_on_which_nothing_but_water_changed_is_no_day_of_its_own(kit, base):
    water = kit.prices["water"]
    row = replace(water.rows[0], date=datetime.date(2026, 3, 3))
    shelf = {key: kit.prices[key] for key in kit.prices}
    other = replace(kit, prices={**shelf, "water": replace(water, rows=(row,))})
    wet = replace(base, lines=(*base.lines, Line(kit.ingredients["water"], kk.Q(1, "cup"))))
    assert datetime.date(2026, 3, 3) not in cost_history(other, wet).index


def test_days_before_any_price_are_left_out(kit, base):
    table = cost_history(kit, base, ["2020-01-01", "2026-02-10", "2026-03-01"])
    assert list(table.index) == [datetime.date(2026, 2, 10), datetime.date(2026, 3, 1)]
    assert table["serving"].iloc[0] == table["serving"].iloc[1]
