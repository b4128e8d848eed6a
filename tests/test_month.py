"""A month end to end: every trip is enough, money adds up, one change changes just that."""

from collections import Counter

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import kitchenkit as kk
from kitchenkit import language
from kitchenkit.errors import KitchenError
from kitchenkit.keeping import COLD
from kitchenkit.money import read_money
from kitchenkit.shopping import shopping_list, shopping_trips

TODAY = "2026-11-25"
FLAVOURS = ("cocoa-cherry", "apple-ginger", "cheese-chive")


def planned(kit, **changed):
    asked = {
        "flavours": FLAVOURS[:2],
        "eaters": 3,
        "a_week": 5,
        "pan": "muffin-12",
        "room": "40 l",
        "portion": "250 ml",
        "snack": "snack-bar",
        "budget": "40 USD",
        "today": TODAY,
    }
    return kk.plan_month(kit, "carrot-oat-base", **{**asked, **changed})


@pytest.fixture(scope="module")
def plan(kit):
    return planned(kit)


def test_flavours_are_baked_in_turn_batch_by_batch(kit):
    plan = planned(kit, flavours=FLAVOURS, eaters=6)
    made = Counter()
    for bake in plan.bakes:
        assert sum(bake.made.values()) * 16 == bake.portions
        made.update(bake.made)
    assert max(made.values()) - min(made.values()) <= 1
    assert set(made) == {kit.flavours[key].name for key in FLAVOURS}


@settings(max_examples=25, deadline=None)
@given(
    eaters=st.integers(1, 9),
    weeks=st.integers(1, 6),
    flavours=st.lists(st.sampled_from(FLAVOURS), unique=True),
    prefer=st.sampled_from(["money", "leftovers"]),
)
def test_no_trip_falls_short_of_its_bake(kit, eaters, weeks, flavours, prefer):
    plan = planned(kit, eaters=eaters, days=7 * weeks, flavours=flavours)
    base = kit.recipes["carrot-oat-base"]
    whole = {f.name: f.applied_to(base).whole for f in (kit.flavours[k] for k in flavours)}
    whole = whole or {"plain": base}
    trips = [[(whole[name], times) for name, times in b.made.items()] for b in plan.bakes]
    lists = shopping_trips(kit, trips, TODAY, prefer=prefer)
    held = Counter()
    for recipes, found in zip(trips, lists, strict=True):
        needed = Counter()
        for recipe, times in recipes:
            for line in recipe.lines:
                item = kit.ingredients[line.ingredient.key]
                grams = line.weight.m_as("g") * times / float(item.edible_yield)
                needed[item.name] += grams
        for row in found.rows:
            held[row.name] += float(row.bought)
            need = sum(needed[item.name] for item in row.items)
            assert held[row.name] >= need * (1 - 1e-9), row.name
            held[row.name] -= need


def test_a_second_trip_buys_no_more_than_a_first(kit):
    whole = kit.flavours["cocoa-cherry"].applied_to(kit.recipes["carrot-oat-base"]).whole
    first, second = shopping_trips(kit, [[whole], [whole]], TODAY)
    alone = shopping_list(kit, [whole], TODAY)
    assert first.paid == alone.paid
    assert second.paid < alone.paid
    together = shopping_list(kit, [(whole, 2)], TODAY)
    assert together.paid <= first.paid + second.paid <= alone.paid + alone.paid
    assert shopping_trips(kit, [], TODAY) == []


def test_money_adds_up(plan):
    paid = sum(float(bake.shopping.paid) for bake in plan.bakes)
    assert float(plan.paid) == pytest.approx(paid)
    assert plan.money["paid"].iloc[-1] == pytest.approx(paid)
    used = sum(float(plan.costs[n].batch) * t for b in plan.bakes for n, t in b.made.items())
    assert float(plan.used) == pytest.approx(used)
    eaten = plan.plan.days["eaten"].sum()
    each = [
        float(one.bought.per_100g) * one.cost.serving_weight.m_as("g") / 100
        for one in plan.against.values()
    ]
    assert float(plan.bought) == pytest.approx(eaten * sum(each) / len(each), rel=1e-6)
    assert plan.money["bought"].iloc[-1] == pytest.approx(float(plan.bought), rel=1e-6)
    assert plan.money["paid"].is_monotonic_increasing
    assert plan.money["bought"].is_monotonic_increasing
    assert plan.used < plan.paid


def test_the_budget_is_held_against_the_till(kit, plan):
    assert plan.within_budget is (plan.paid <= read_money("40 USD"))
    assert planned(kit, budget=None).within_budget is None
    small = planned(kit, budget="10 USD")
    assert small.within_budget is False
    said = " ".join(small.advice)
    assert f"{small.paid - read_money('10 USD')} more than the budget" in said
    assert "Cocoa and cherry costs" in said
    assert planned(kit, budget="500 USD").advice == []


def test_again_is_the_same_as_from_the_start(kit, plan):
    for changed in ({"eaters": 7}, {"flavours": ()}, {"budget": "9 USD"}, {"room": "12 l"}):
        again, fresh = plan.again(**changed), planned(kit, **changed)
        assert again.money.equals(fresh.money)
        assert [b.made for b in again.bakes] == [b.made for b in fresh.bakes]
        assert again.advice == fresh.advice


def test_what_keeps_least_rules_the_plan(kit):
    short = planned(kit, flavours=("lemon-poppy", "cocoa-cherry"))
    assert short.keep.days < planned(kit, flavours=("cocoa-cherry",)).keep.days
    assert short.plan.days["oldest"].max() <= short.keep.days


def test_pans_and_minutes_are_those_of_the_batch(kit, plan):
    bake = plan.bakes[0]
    for name, (pans, time) in bake.pans.items():
        assert pans >= 1
        flavour = next(f for f in kit.flavours.values() if f.name == name)
        volume = flavour.applied_to(kit.recipes["carrot-oat-base"]).recipe.volume
        fit = kk.swap_pan(volume * bake.made[name], kit.pans["muffin-12"])
        assert pans == -(-fit.count // 12)
        assert time.low < time.minutes < time.high


@pytest.mark.parametrize(
    ("wrong", "why"),
    [
        ({"snack": "moon pie"}, "no snack called 'moon pie'"),
        ({"flavours": ("tar",)}, "no flavour called 'tar'"),
        ({"pan": "hat"}, "no pan called 'hat'"),
        ({"eaters": 0}, "eaters"),
        ({"budget": "lots"}, "lots"),
        ({"room": "0.1 l"}, "Not one portion"),
        ({"place": "the moon"}, "No price is from 'the moon'"),
    ],
)
def test_wrong_input_is_told_plainly(kit, wrong, why):
    with pytest.raises(KitchenError, match=why):
        planned(kit, **wrong)


def test_without_prices_there_is_no_sum_but_a_plan(kit):
    panel = kk.MonthPanel(kit, today=TODAY)
    panel.controls["budget"].value = 0
    assert "budget" not in panel.sentence
    panel.controls["budget"].value = 20
    assert "over your budget of $20.00" in panel.sentence


def test_the_picture_shows_the_plan(kit):
    panel = kk.MonthPanel(kit, today=TODAY)
    chart, plan = panel.chart, panel._plan
    assert list(chart.stock.get_ydata()) == list(plan.plan.days["stock"])
    assert list(chart.paid.get_ydata()) == pytest.approx(list(plan.money["paid"]))
    assert list(chart.bought.get_ydata()) == pytest.approx(list(plan.money["bought"]))
    assert len(chart.trips.get_xdata()) == len(plan.bakes)
    assert list(chart.budget.get_ydata()) == [40, 40]
    looks = {line.get_linestyle() for line in (chart.paid, chart.bought, chart.budget)}
    assert len(looks) == 3


def test_again_in_another_language_tells_all_of_it_in_that(kit, plan):
    limit = plan.keep.limit
    with language.speaking("es_US"):
        there = plan.again()
        assert there.keep.limit not in ("", limit)
        # Names that plans and tables are looked up by stay as they are.
        assert there.costs.keys() == plan.costs.keys()
        assert there.bakes[0].made == plan.bakes[0].made
    assert there.again().keep.limit == limit


def test_the_plain_base_takes_its_turn(kit):
    panel = kk.MonthPanel(kit, today=TODAY)
    panel.controls["flavour_1"].value = ""
    panel.controls["flavour_2"].value = "cocoa-cherry"
    made = Counter()
    for bake in panel._plan.bakes:
        made.update(bake.made)
    assert set(made) == {"plain", kit.flavours["cocoa-cherry"].name}
    assert max(made.values()) - min(made.values()) <= 1


@pytest.mark.parametrize("flavours", [("cocoa-cherry", "cheese-chive"), ("carrot-cream", "")])
def test_a_month_says_what_needs_cold(kit, flavours):
    panel = kk.MonthPanel(kit, today=TODAY)
    assert language.tr(COLD) not in panel.notes
    for name, flavour in zip(("flavour_1", "flavour_2"), flavours, strict=True):
        panel.controls[name].value = flavour
    assert language.tr(COLD) in panel.notes
    glazed = any("Freeze them plain" in note for note in panel.notes)
    assert glazed == ("carrot-cream" in flavours)
