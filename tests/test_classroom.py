"""A planned class: sums done apart, remedies that hold what they say, wrong numbers."""

import math
import re
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import kitchenkit as kk
from kitchenkit.classroom import CARRY_MIN, plan_class
from kitchenkit.errors import KitchenError
from kitchenkit.kit import ALLERGENS
from kitchenkit.money import measured
from kitchenkit.racks import Oven, on_racks
from kitchenkit.shopping import shopping_list
from kitchenkit.stations import fit_tins

TODAY = "2026-11-25"
NARROW = [Oven(f"oven {at}", 2, "46 cm", "36 cm") for at in (1, 2)]


@pytest.fixture(scope="module")
def plan(kit):
    """The demo's class."""
    return plan_class(kit, on=TODAY)


@pytest.fixture(scope="module")
def late(kit):
    """The same with narrow ovens, which does not fit."""
    return plan_class(kit, on=TODAY, ovens=NARROW)


# The demo -----------------------------------------------------------------------------------------


def test_sixteen_students_at_eight_stations_bake_ninety_six_servings(plan, base):
    assert len(plan.stations) == 8
    assert sum(station.students for station in plan.stations) == 16
    assert sum(station.recipe.servings for station in plan.stations) == pytest.approx(96)
    batter = sum(station.recipe.weight.m_as("g") for station in plan.stations)
    assert batter == pytest.approx(base.weight.m_as("g") * 96 / 16)


def test_it_fits_two_hours_and_says_when(plan):
    """25 min at the bench, the late end in the ovens, 20 to cool and 5 to pack."""
    assert plan.fits
    window = plan.stations[0].windows[1]  # two racks of two tins each
    assert plan.finish == 25 + window[2] + CARRY_MIN + 5
    assert plan.likely_finish == 25 + window[1] + CARRY_MIN + 5
    assert plan.clock.at(plan.finish) in str(plan)
    assert f"{plan.spare:.0f} min to spare of 120" in str(plan)
    assert plan.remedies == ()
    assert plan.first_remedy is None


def test_the_money_is_that_of_the_stations(kit, plan):
    """Used up: the sum of every station's own cost. Paid: whole packages, shared."""
    used = sum(kk.cost(kit, station.whole, today=TODAY).batch for station in plan.stations)
    assert float(plan.cost.batch) == pytest.approx(float(used))
    assert float(plan.cost_student) == pytest.approx(float(used) / 16)
    wanted = shopping_list(kit, [station.whole for station in plan.stations], TODAY)
    assert plan.shopping.paid == wanted.paid
    assert plan.paid_student == wanted.paid / measured(16)
    assert plan.paid_student > plan.cost_student


def test_amounts_stand_in_us_and_metric(plan):
    table = plan.amounts("station 3")
    flour = table.loc["all-purpose flour"]
    assert flour["grams"] == pytest.approx(187.5 * 12 / 16)
    assert re.search(r"cup|tbsp", flour["us"])
    assert flour["metric"].endswith(" g")
    assert "egg" in table.loc["large egg", "us"]


def test_every_station_can_look_up_its_pans_depth_and_window(plan):
    row = plan.station_table.loc["station 1"]
    assert row["students"] == 2
    assert row["pans"] == "1 × muffin tin, 12 cups, 12 wells filled"
    assert "cm" in row["depth"]
    assert re.search(r"most likely \d+ to \d+; look from \d+ min", row["bakes"])


# Stations, flavours and pans ----------------------------------------------------------------------


def test_students_are_shared_out_evenly(kit):
    plan = plan_class(kit, on=TODAY, students=17, stations=5)
    assert [station.students for station in plan.stations] == [4, 4, 3, 3, 3]
    for station in plan.stations:
        assert station.recipe.servings == pytest.approx(station.students * 6)


def test_flavours_go_round_and_their_finish_is_bought_and_listed(kit, base):
    keys = ["apple-ginger", "carrot-cream"]
    plan = plan_class(kit, on=TODAY, flavours=keys, stations=5)
    names = [kit.flavours[key].name for key in keys]
    assert [s.flavour for s in plan.stations] == [names[at % 2] for at in range(5)]
    for station, key in zip(plan.stations, keys * 2, strict=False):
        made = kit.flavours[key].applied_to(base).scale(servings=station.students * 6)
        assert station.recipe.weight.m_as("g") == pytest.approx(made.recipe.weight.m_as("g"))
        assert station.whole.weight.m_as("g") == pytest.approx(made.whole.weight.m_as("g"))
    assert "cream cheese" in plan.shopping.lines.index
    assert "cream cheese" in plan.allergens.loc[names[1], "listed"]
    (home,) = [words for words in plan.cautions if "goes home in a pot of its own" in words]
    assert "2 h at most, 1 h above 32 °C (90 °F)" in home


def test_a_recipe_of_ones_own_is_a_flavour_too(kit, base):
    twice = base.scale(2)
    plan = plan_class(kit, on=TODAY, flavours=[base, twice])
    assert {s.flavour for s in plan.stations} == {base.name}
    weights = {round(s.recipe.weight.m_as("g"), 6) for s in plan.stations}
    assert len(weights) == 1  # twice the recipe for twice the servings is the same station


def test_pans_at_hand_are_used_up_in_turn(kit):
    plan = plan_class(kit, on=TODAY, pans={"muffin-12": 5, "square-8": 4})
    assert [station.pan.key for station in plan.stations] == ["muffin-12"] * 5 + ["square-8"] * 3
    with pytest.raises(KitchenError, match="not enough pans for station 6"):
        plan_class(kit, on=TODAY, pans={"muffin-12": 5})


def test_no_tin_for_the_sake_of_one_muffin(kit, base):
    tin = kit.pans["muffin-12"]
    thirteen = base.scale(weight=tin.usual_volume * 13 * base.density)
    assert fit_tins(thirteen, tin).count == 12
    brim = base.scale(weight=tin.capacity * 0.81 * 12 * base.density)
    assert fit_tins(brim, tin).count > 12  # that would be above what such wells take
    loaf = kit.pans["loaf-8.5x4.5"]
    assert fit_tins(thirteen, loaf) == kk.swap_pan(thirteen.volume, loaf)


@settings(max_examples=40)
@given(
    students=st.integers(1, 40),
    share=st.floats(0.1, 1),
    ovens=st.integers(1, 4),
    servings=st.integers(1, 12),
    flavours=st.lists(st.sampled_from(["cocoa-cherry", "cheese-chive", "lemon-poppy"]), max_size=3),
    pan=st.sampled_from(["muffin-12", "loaf-8.5x4.5", "square-8", "mini-muffin-24"]),
)
def test_any_class_has_enough_of_everything(kit, students, share, ovens, servings, flavours, pan):
    stations = max(1, math.floor(students * share))
    plan = plan_class(
        kit,
        on=TODAY,
        students=students,
        stations=stations,
        ovens=ovens,
        servings=servings,
        flavours=flavours,
        pans=pan,
        minutes=600,
    )
    assert sum(s.students for s in plan.stations) == students
    for s in plan.stations:
        assert s.pans * s.pan.wells >= s.fit.count
        held = (s.fit.each * s.fit.count + s.fit.left_over).m_as("ml")
        assert held == pytest.approx(s.recipe.volume.m_as("ml"))
        assert not s.fit.left_over
    need: dict = {}
    for s in plan.stations:
        for line in s.whole.lines:
            grams = line.weight.m_as("g") / line.ingredient.edible_yield
            need[line.ingredient.name] = need.get(line.ingredient.name, 0) + grams
    lines = plan.shopping.lines
    for name, grams in need.items():
        (row,) = [
            x for x in lines.index if name.removesuffix(", squeezed") in x.split(", ") or name == x
        ]
        if row not in plan.shopping.missing and lines.loc[row, "bought_g"]:
            assert lines.loc[row, "bought_g"] >= grams * (1 - 1e-9)
    for load in plan.timetable.loads:
        oven = next(o for o in plan.timetable.ovens if o.name == load.oven)
        pans = [pan for _, pan, many in load.pans for _ in range(many)]
        assert on_racks(pans, oven, load.racks) is not None
        assert load.into >= 25
    baked = sum(many for load in plan.timetable.loads for _, _, many in load.pans)
    assert baked == sum(s.pans for s in plan.stations)


# What to change -----------------------------------------------------------------------------------


def test_a_class_that_does_not_fit_says_what_to_change_first(late):
    assert not late.fits
    assert late.first_remedy.fits
    assert late.first_remedy == late.remedies[0]
    assert late.first_remedy.what in str(late)
    assert f"{-late.spare:.0f} min too long" in str(late)


@pytest.mark.parametrize(
    "asked",
    [
        {"ovens": NARROW},
        {"ovens": NARROW, "cool": "wrap"},
        {"pans": "loaf-8.5x4.5"},
        {"minutes": 90, "servings": 12, "ovens": 1},
        {"ovens": NARROW, "flavours": ["cheese-chive", "cocoa-cherry"], "minutes": 100},
        {"before": (("weigh out", 10), ("mix", 2), ("fill", 1)), "minutes": 75, "students": 8},
    ],
)
def test_each_remedy_does_what_it_says(kit, asked):
    plan = plan_class(kit, on=TODAY, **asked)
    assert not plan.fits
    *tried, longer, home = plan.remedies
    for remedy in tried:
        again = plan_class(kit, plan.recipe, **plan.asked | remedy.asked)
        assert again.finish == remedy.finish, remedy.what
        assert again.fits == remedy.fits, remedy.what
        assert remedy.saves == plan.finish - again.finish
        assert remedy.saves > 0
    fitting = [remedy.fits for remedy in tried]
    assert fitting == sorted(fitting, reverse=True)
    assert plan.again(**longer.asked).fits
    assert home.finish == sum(m for _, m in plan.asked["before"]) + plan.asked["pack"]
    assert "4 °C (40 °F)" in home.what
    assert list(plan.changes.index) == [remedy.what for remedy in plan.remedies]


def test_wrapping_in_class_takes_longer_than_carrying_it_home_open(kit, plan):
    wrap = plan.again(cool="wrap")
    assert wrap.finish - plan.finish == pytest.approx(plan.cools.high.m_as("min") - CARRY_MIN)
    number = plan.again(cool=33)
    assert number.finish - plan.finish == pytest.approx(13)
    assert wrap.first_remedy.what.startswith("send it home in an open bag")


def test_the_same_class_planned_afresh_is_the_same(kit, plan):
    """What is remembered changes nothing."""
    moved = plan.again(servings=4).again(ovens=3).again(pans="square-8", flavours=["lemon-poppy"])
    fresh = plan_class(kit, plan.recipe, **moved.asked)
    assert moved.timetable.loads == fresh.timetable.loads
    assert moved.station_table.equals(fresh.station_table)
    assert moved.shopping.paid == fresh.shopping.paid


# Sheets -------------------------------------------------------------------------------------------


def test_the_allergen_sheet_lists_and_never_promises(kit, base):
    every = list(kit.flavours)
    plan = plan_class(kit, on=TODAY, flavours=every, stations=len(every), students=len(every))
    sheet = plan.allergens
    assert list(sheet.index) == [*plan.flavours, "the room"]
    for key in every:
        flavour = kit.flavours[key]
        holds = {
            allergen
            for line in flavour.applied_to(base).whole.lines
            for allergen in line.ingredient.allergens
        }
        listed = sheet.loc[flavour.name, "listed"]
        assert {a for a in ALLERGENS if re.search(rf"\b{a} \(", listed)} == holds
        assert holds <= {a for a in ALLERGENS if a in sheet.loc["the room", "listed"]}
    said = sheet.to_csv() + "".join(plan.cautions) + "".join(plan.clean_up)
    assert not re.search(
        r"allergen.free|free of|safe for|contains no|without (milk|egg|wheat)", said
    )
    assert "Read every label" in said


def test_mise_en_place_names_the_shopping_the_produce_and_each_ovens_start(plan):
    table = plan.mise_en_place
    room = " ".join(table.loc["the room", "what"])
    assert str(plan.shopping) in room
    assert "Wash and trim 1,207 g (2.7 lb) to have 990 g (2.2 lb) shredded carrot" in room
    for load in plan.timetable.loads:
        row = table[table["what"].str.startswith(f"Turn {load.oven} on")]
        assert list(row["when"]) == [plan.clock.at(load.on)]
    assert "stations 1, 2, 3, 4, 5, 6, 7, 8" in table.index


@pytest.mark.parametrize(
    ("flavour", "names"),
    [
        ("banana-peanut", None),
        ("apple-ginger", "butter"),
        ("carrot-cream", "cream cheese"),
    ],
)
def test_only_what_is_hard_from_the_cold_is_softened(kit, base, flavour, names):
    """Neither peanut butter nor a base of buttermilk."""
    milk = kit.ingredients["buttermilk"]
    lines = [
        replace(x, ingredient=milk) if x.ingredient.key == "plain-yogurt" else x for x in base.lines
    ]
    sour = replace(base, lines=tuple(lines))
    plan = plan_class(kit, sour, on=TODAY, flavours=[flavour])
    assert milk in [x.ingredient for x in plan.everything.lines]
    said = [words for words in plan.mise_en_place["what"] if "soften" in words]
    if names is None:
        assert not said
    else:
        assert said == [
            f"Let {names} soften, 30 min: out of the cold for 2 h at most, 1 h above 32 °C (90 °F)."
        ]


@pytest.mark.parametrize("key", ["butter", "unsalted-butter"])
def test_both_kinds_of_butter_are_softened(kit, base, key):
    item = kit.ingredients[key]
    fat = [
        replace(x, ingredient=item) if x.ingredient.key == "vegetable-oil" else x
        for x in base.lines
    ]
    plan = plan_class(kit, replace(base, lines=tuple(fat)), on=TODAY)
    assert any(f"Let {item.name} soften" in words for words in plan.mise_en_place["what"])


def test_weighed_out_before_the_class_is_on_the_list(plan):
    before = plan.again(before=(("mix", 10.0), ("fill the pans", 5.0)))
    words = " ".join(before.mise_en_place["what"])
    assert "Weighed out: all-purpose flour, 141 g" in words
    assert "Weighed out" not in " ".join(plan.mise_en_place["what"])


def test_clean_up_starts_with_the_first_load_and_ends_with_the_class(plan):
    said = plan.clean_up
    assert plan.clock.at(plan.timetable.loads[0].into) in said[0]
    assert plan.clock.at(plan.finish) in said[-1]
    assert any("2 h" in words for words in said)


def test_cautions_tell_of_pans_filled_badly(kit):
    plan = plan_class(kit, on=TODAY, students=8, servings=1, pans="rectangle-13x9")
    assert any("That is thin" in words for words in plan.cautions)
    assert any("fire and food rules" in words for words in plan.cautions)


# Wrong numbers ------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("asked", "says"),
    [
        ({"students": 0}, "0 students"),
        ({"students": 2.5}, "whole number"),
        ({"students": True}, "whole number"),
        ({"students": 10**9}, "1 to 500"),
        ({"stations": 0}, "0 stations"),
        ({"students": 3, "stations": 4}, "too many for 3 students"),
        ({"students": 1, "stations": 2}, "too many for 1 student:"),
        ({"servings": 0}, "servings a student"),
        ({"servings": "six"}, "servings a student"),
        ({"servings": float("nan")}, "servings a student"),
        ({"ovens": 0}, "1 or more"),
        ({"minutes": 20}, "no time to bake"),
        ({"minutes": float("inf")}, "no time to bake"),
        ({"pans": "cauldron"}, "no pan called 'cauldron'"),
        ({"pans": {}}, "Pans are a name"),
        ({"pans": {"muffin-12": -1}}, "0 or more"),
        ({"pans": {"muffin-12": 3}}, "not enough pans"),
        ({"recipe": "stew"}, "no recipe called"),
        ({"flavours": ["tar"]}, "no flavour called"),
        ({"flavours": [3]}, "is no flavour"),
        ({"start": "late"}, "no time of day"),
        ({"cool": "never"}, "carry or wrap"),
        ({"cool": -5}, "to cool"),
        ({"plan_for": "luck"}, "late, likeliest"),
        ({"oven": "80 C"}, "never brings the crumb"),
        ({"oven": 350}, "no scale"),
        ({"early": -1}, "0 or more"),
    ],
)
def test_wrong_numbers_are_answered_in_words(kit, asked, says):
    with pytest.raises(KitchenError, match=says):
        plan_class(kit, on=TODAY, **asked)


@pytest.mark.parametrize(
    ("asked", "says"),
    [
        ({"on": "someday"}, "no date"),
        ({"place": "nowhere"}, "No price is from"),
        ({"prefer": "speed"}, "money, leftovers"),
        ({"have": {"gold": "1 g"}}, "no ingredient"),
    ],
)
def test_wrong_shopping_is_answered_when_it_is_asked_for(kit, asked, says):
    with pytest.raises(KitchenError, match=says):
        plan_class(kit, **asked).shopping  # noqa: B018


def test_an_unknown_station(plan):
    with pytest.raises(KitchenError, match="There are 8 stations"):
        plan.amounts("station 9")
