"""The freezer plan: nothing lost, nothing old, nothing too much; no better one by trying all."""

import datetime
import itertools

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

import kitchenkit as kk
from kitchenkit import language
from kitchenkit.errors import KitchenError, MeasureError
from kitchenkit.rotation import best_batches, walk
from kitchenkit.stock import WEEKDAYS, first_bake_day

USUAL = {"batch": 16, "room": "60 l", "portion": "250 ml", "start": "2026-11-29"}  # a Sunday


def plan(eaters=4, a_week=5, **other):
    return kk.freezer_plan(eaters, a_week, **(USUAL | other))


def day(text):
    return datetime.date.fromisoformat(text)


# The best of all calendars -----------------------------------------------------------------------


def live(wanted, batches, batch, room, keep, start, spare, first):
    """A diary of single portions, apart from the kit's: what is to be least, in order, or None.

    Portions short, spare ones missing from the first day on which one can bake, bake days, stock.

    None where a bake does not fit, or something baked here is not eaten in time.
    """
    freezer = sorted(made for made, portions in start for _ in range(portions))
    short, missing, stocks = 0, 0, []
    for today, want in enumerate(wanted):
        if any(0 <= made < today - keep for made in freezer):
            return None
        freezer = [made for made in freezer if today - made <= keep]
        if today < len(batches):
            short += max(want - len(freezer), 0)
        freezer = freezer[want:]
        if today < len(batches):
            freezer += [today] * (batches[today] * batch)
            if len(freezer) > room:
                return None
            stocks.append(len(freezer))
            missing += max(spare - len(freezer), 0) if today >= first else 0
    if any(made >= 0 for made in freezer):  # the days beyond the plan are as many as it keeps
        return None
    return short, missing, sum(n > 0 for n in batches), sum(stocks)


DAYS = 5


@given(
    wanted=st.lists(st.integers(0, 6), min_size=DAYS + 9, max_size=DAYS + 9),
    may_bake=st.lists(st.booleans(), min_size=DAYS, max_size=DAYS),
    batch=st.integers(2, 7),
    most=st.integers(1, 2),
    room=st.integers(4, 20),
    keep=st.integers(1, 9),
    start=st.lists(st.tuples(st.integers(-4, -1), st.integers(1, 4)), max_size=1),
    spare=st.sampled_from([0, 0, 1, 4]),
)
def test_no_calendar_of_bakes_is_better(wanted, may_bake, batch, most, room, keep, start, spare):
    """All calendars of five days are tried; shortage, bake days and stock are one order."""
    wanted = wanted[: DAYS + keep]
    # What is there already comes first, whatever is baked: the rest is the question.
    rest = walk(wanted, [0] * len(wanted), keep, start)
    held = rest.stock[:DAYS]
    least = np.maximum(spare - held, 0)
    ours = best_batches(rest.short, may_bake, batch, most, room - held, keep, least)
    first = may_bake.index(True) if any(may_bake) else DAYS
    case = (batch, room, keep, start, spare, first)
    choices = [range(most + 1) if may else (0,) for may in may_bake]
    tried = (live(wanted, batches, *case) for batches in itertools.product(*choices))
    best = min(result for result in tried if result is not None)
    assert live(wanted, [int(n) for n in ours], *case) == best


# What always holds -------------------------------------------------------------------------------

questions = st.fixed_dictionaries(
    {
        "eaters": st.integers(1, 40),
        "a_week": st.sampled_from([1, 2, 2.5, 5, 7]),
        "batch": st.integers(4, 30),
        "most_batches": st.integers(1, 4),
        "room": st.integers(5, 200).map(lambda litres: f"{litres} l"),
        "baking": st.sets(st.sampled_from(WEEKDAYS), min_size=1).map(sorted),
        "eating": st.sets(st.sampled_from(WEEKDAYS), min_size=1).map(sorted),
        "keep": st.integers(1, 90),
        "days": st.integers(1, 45),
        "held": st.lists(st.tuples(st.integers(0, 100), st.integers(1, 6)), max_size=1),
        "off": st.sets(st.integers(0, 60), max_size=6),
        "missed": st.integers(0, 3),
        "spare": st.integers(0, 2),
    }
)


def asked(question):
    """A plan, its stock at the start, and the plan after a missed bake where there is one."""
    question = dict(question)
    start, missed = day(USUAL["start"]), question.pop("missed")
    held = [(n, start - datetime.timedelta(days=age)) for age, n in question.pop("held")]
    question["off"] = [start + datetime.timedelta(days=n) for n in question["off"]]
    found = plan(**question, stock=held)
    plans = [found]
    if missed < len(found.bakes):
        lost = found.without(found.bakes["date"].iloc[missed])
        plans += [lost.unchanged, lost.plan]
    return plans, sum(n for n, _ in held)


@given(questions)
def test_portions_are_never_lost_nor_made_up(question):
    plans, held = asked(question)
    for found in plans:
        days = found.days
        flow = days["baked"] - days["eaten"] - days["thrown"]
        assert list(days["stock"]) == list(held + flow.cumsum())
        assert held + days["baked"].sum() == (
            days["eaten"].sum() + days["thrown"].sum() + days["stock"].iloc[-1]
        )
        assert (days[["baked", "eaten", "short", "thrown", "stock", "oldest"]] >= 0).all().all()


@given(questions)
def test_never_more_than_fits_nor_older_than_it_keeps(question):
    plans, _ = asked(question)
    for found in plans:
        assert found.days["stock"].max() <= found.room
        assert found.days["litres"].max() <= float(question["room"].split()[0]) + 1e-9
        assert (found.days["oldest"] <= question["keep"]).all()
        for bake in found.bakes.itertuples():
            if bake.eaten_by is not None:
                assert bake.date < bake.eaten_by <= bake.best_by


@given(questions)
def test_nothing_that_was_planned_is_thrown_away(question):
    """Only stock that was there at the start may pass its date, even after a missed bake."""
    plans, held = asked(question)
    for found in plans:
        assert found.thrown <= held


@given(questions)
def test_only_on_bake_days_whole_batches_and_no_more_than_the_most(question):
    plans, _ = asked(question)
    for found in plans:
        for bake in found.bakes.itertuples():
            assert WEEKDAYS[bake.date.weekday()] in question["baking"]
            assert bake.portions == bake.batches * question["batch"]
            assert 1 <= bake.batches <= question["most_batches"]


@given(questions)
def test_a_bigger_freezer_and_more_bake_days_never_leave_more_people_without(question):
    question = question | {"missed": 99}
    short = asked(question)[0][0].short
    assert asked(question | {"room": "400 l"})[0][0].short <= short
    assert asked(question | {"baking": WEEKDAYS})[0][0].short <= short
    assert asked(question | {"most_batches": 5})[0][0].short <= short


@given(
    st.lists(st.integers(0, 5), min_size=12, max_size=12),
    st.lists(st.integers(0, 9), min_size=12, max_size=12),
    st.integers(1, 12),
)
def test_the_oldest_are_eaten_first(wanted, baked, keep):
    """Each lot is done with before the next is begun: last days eaten stand in order of making."""
    lived = walk(wanted, baked, keep)
    lasts = [lot.eaten_by for lot in lived.lots if lot.eaten_by is not None]
    assert lasts == sorted(lasts)
    assert all(lot.eaten_by is None or lot.eaten_by <= lot.made + keep for lot in lived.lots)
    left = [lot for lot in lived.lots if lot.portions]
    assert all(lot.made >= left[0].made for lot in left)
    assert sum(lot.portions for lot in left) == lived.stock[-1]


# Plans one can follow by hand --------------------------------------------------------------------


def test_a_family_of_four():
    """By hand: 80 portions are 5 batches, of which 2 a day make 3 bakes; the small one second.

    32 last a week of 20 and 12 more; with 16 from the second Sunday 8 are left on the third, which
    with 32 last the two weeks. Were the small one third, more would lie there for longer.
    """
    found = plan()
    assert list(found.bakes["portions"]) == [32, 16, 32]
    assert list(found.bakes["date"])[:2] == [day("2026-11-29"), day("2026-12-06")]
    assert found.bakes["shop_by"].iloc[0] == day("2026-11-28")
    assert list(found.days["stock"][:8]) == [32, 28, 24, 20, 16, 12, 12, 28]
    assert found.days["litres"].iloc[0] == pytest.approx(32 * 0.25 / 0.6)
    assert found.short == 0
    assert found.works
    assert not found.messages


def test_the_fewest_bake_days_come_before_fresh_ones():
    found = plan(days=14, most_batches=3, baking=WEEKDAYS)
    assert list(found.bakes["portions"]) == [48]
    assert found.bakes["date"].iloc[0] == day("2026-11-29")


def test_bakes_are_as_late_as_may_be():
    """16 last four eating days, so the second bake is on the eve of the fifth."""
    found = plan(days=9, most_batches=1, baking=WEEKDAYS)
    assert list(found.bakes["date"]) == [day("2026-11-29"), day("2026-12-03")]


def test_holidays_eat_nothing():
    off = [day("2026-11-30") + datetime.timedelta(days=n) for n in range(14)]
    found = plan(off=off)
    assert found.days["eaten"][off].sum() == 0
    assert found.days["eaten"].sum() == 40
    assert found.bakes["date"].iloc[0] == day("2026-12-13")


def test_portions_a_week_are_spread_evenly_and_add_up():
    found = plan(eaters=3, a_week=2.5, days=28, start="2026-11-23", baking=WEEKDAYS)
    wanted = found.days["eaten"] + found.days["short"]
    assert wanted.sum() == 30
    assert set(wanted[[d.weekday() < 5 for d in wanted.index]]) == {1, 2}


def test_portions_a_day():
    by_day = kk.freezer_plan(4, a_day=1, **USUAL)
    assert by_day.days.equals(plan(a_week=5).days)


def test_stock_at_the_start_is_eaten_first_and_counted():
    found = plan(stock=[(10, "2026-11-29"), (6, "2026-10-20")])
    assert found.days["oldest"].iloc[0] == 40
    assert found.days["oldest"].iloc[1] == 41
    assert found.days["oldest"].iloc[2] == 2  # the six old ones and two more are gone
    assert found.days["stock"].iloc[0] == 16 + found.bakes["portions"].iloc[0]


def test_old_stock_is_thrown_away_on_the_day_after_its_last_and_said():
    found = plan(stock=[(20, "2026-10-01")], keep=61)
    assert found.days["eaten"].iloc[1:3].tolist() == [4, 4]
    assert found.days["thrown"].tolist()[:4] == [0, 0, 0, 12]
    assert not found.works
    assert "12 portions in stock pass their date, the first on 2026-12-02" in found.messages[0]


def test_a_year_for_a_class_works_out():
    found = kk.freezer_plan(
        30, 3, batch=16, room="120 l", portion="250 ml", start="2026-11-29", days=365,
        baking="Sun Wed", most_batches=6,
    )  # fmt: skip
    assert found.works
    assert len(found.days) == 365
    assert str(found).startswith(f"{len(found.bakes)} bake days, ")


def test_keeping_comes_from_the_table(kit):
    frozen = kk.keep_by(kit, "quick bread", "freezer", "2026-11-29")
    found = plan(keep=frozen)
    assert found.keep == 60
    assert found.bakes["best_by"].iloc[0] == frozen.by


# What does not work out --------------------------------------------------------------------------


def test_eaters_before_the_first_bake_are_told_apart():
    found = plan(start="2026-11-25")
    assert found.late == found.short == 12  # Wednesday, Thursday and Friday
    assert found.works
    assert "12 portions are short before the first bake can be eaten, on 2026-11-30" in str(
        found.messages
    )


def test_each_change_offered_is_enough():
    found = plan(room="10 l", most_batches=2)  # 24 portions fit, and a week eats 20
    assert found.short
    assert "room of 14 l (32 portions)" in found.messages[-1]
    assert "baking on" in found.messages[-1]
    assert plan(room="14 l").short == 0
    assert plan(room="13 l").short > 0


def test_a_batch_that_cannot_be_eaten_in_time_is_not_baked():
    found = plan(eaters=1, a_week=1, keep=30)
    assert not len(found.bakes)
    assert found.short == 4
    assert "batches of" in found.messages[-1]
    fewer = int(found.messages[-1].split("batches of ")[1].split()[0])
    assert plan(eaters=1, a_week=1, keep=30, batch=fewer).short == 0
    assert plan(eaters=1, a_week=1, keep=30, batch=fewer + 1).short > 0


def test_spare_portions_that_cannot_be_had_are_told():
    found = plan(spare=30)
    assert found.short == 0
    fewer = found.days["stock"] < 30
    assert f"not all there on {fewer.sum()} days, the first on 2026-11-30" in found.messages[-1]
    assert not plan(spare=12, most_batches=3).messages


def test_far_too_little_of_everything_is_said_with_its_size():
    found = plan(eaters=30)
    assert "150 portions a week are wanted, 32 can be baked" in found.messages[-1]
    assert "No single change is enough" in found.messages[-1]
    assert "portions short" in str(found)


def test_no_day_to_bake_on():
    found = plan(no_baking=["2026-11-29"], days=3)
    assert found.short == found.late == 8
    assert "no day to bake on" in found.messages[0]


# A missed bake -----------------------------------------------------------------------------------


def test_with_a_few_to_spare_a_missed_bake_is_made_up_on_the_next_free_day():
    found = plan(spare=8, baking="Sun Wed")
    assert found.days["stock"].min() >= 8
    second = found.bakes["date"].iloc[1]
    lost = found.without(second)
    assert lost.unchanged.days["baked"][second] == 0
    assert lost.unchanged.short > 0
    assert lost.plan.short == 0
    assert second not in list(lost.plan.bakes["date"])
    again = lost.plan.bakes["date"].iloc[1]
    assert second < again <= lost.catch_up_by
    assert f"The next bake is on {again}" in lost.advice
    assert lost.advice.endswith("Then nobody goes without.")
    # What was before the missed bake stays as it was.
    assert lost.plan.days[: second - datetime.timedelta(days=1)].equals(
        found.days[: second - datetime.timedelta(days=1)]
    )


def test_a_plan_without_spare_cannot_be_made_up_and_says_so():
    lost = plan(most_batches=1, a_week=4).without("2026-12-06")
    assert lost.short_days.index[0] == day("2026-12-07")
    assert lost.catch_up_by == day("2026-12-06")
    assert "portions stay short: it is too late to bake for them" in lost.advice


def test_a_bake_on_another_day_is_named_while_it_helps():
    lost = plan(baking="Sun").without("2026-12-06")
    assert lost.catch_up_by == day("2026-12-09")
    assert "bake on another day up to 2026-12-09" in lost.advice


def test_a_missed_bake_that_nobody_needs():
    """The last bake is for the spare portions only, and the plan ends before they are eaten."""
    found = plan(days=10, spare=8, baking="Sun Wed")
    lost = found.without(found.bakes["date"].iloc[-1])
    assert not len(lost.short_days)
    assert "there is still enough" in lost.advice
    assert "nobody goes without" not in lost.advice
    assert lost.catch_up_by is None


def test_with_a_week_to_spare_nobody_notices():
    lost = plan(spare=20, baking="Sun Wed").without("2026-12-02")
    assert lost.unchanged.short == 0
    assert "there is still enough. The next bake is on 2026-12-06: 32 portions" in lost.advice


def test_missed_as_an_argument_is_the_plan_anew():
    found = plan(baking="Sun Wed")
    second = found.bakes["date"].iloc[1]
    again = plan(baking="Sun Wed", missed=second)
    assert again.days.equals(found.without(second).plan.days)
    assert plan(baking="Sun Wed", missed=[str(second)]).days.equals(again.days)


def test_two_missed_bakes_and_another_after():
    found = plan(baking="Sun Wed")
    dates = list(found.bakes["date"])
    lost = found.without(*dates[1:3])
    assert not set(dates[1:3]) & set(lost.plan.bakes["date"])
    later = lost.plan.without(lost.plan.bakes["date"].iloc[-1])
    assert not set(dates[1:3]) & set(later.plan.bakes["date"])


def test_only_a_bake_can_be_missed():
    with pytest.raises(
        KitchenError, match=r"Nothing is to be baked on 2026-12-01\. Bakes: 2026-11"
    ):
        plan().without("2026-12-01")
    with pytest.raises(KitchenError, match="Which bake was missed"):
        plan().without()


# Wrong questions ---------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("wrong", "why"),
    [
        ({"eaters": 0}, "from 1 to 1,000"),
        ({"eaters": 2.5}, "only whole ones"),
        ({"eaters": "four"}, "write a whole number"),
        ({"eaters": True}, "write a whole number"),
        ({"eaters": float("nan")}, "write a whole number"),
        ({"a_week": 0}, "above 0"),
        ({"a_week": -1}, "above 0"),
        ({"a_week": "some"}, "above 0"),
        ({"a_week": float("inf")}, "up to 100"),
        ({"a_week": None}, "either a week or a day"),
        ({"a_day": 1}, "either a week or a day"),
        ({"batch": 0}, "from 1"),
        ({"days": 0}, "from 1"),
        ({"days": 5000}, "800"),
        ({"most_batches": 0}, "from 1"),
        ({"shop_days": -1}, "from 0"),
        ({"spare": -1}, "from 0 to 144"),
        ({"spare": 145}, "from 0 to 144"),
        ({"keep": 0}, "from 1"),
        ({"keep": None}, "whole number"),
        ({"packing": 0}, "0.6"),
        ({"packing": 1.2}, "0.6"),
        ({"packing": "half"}, "0.6"),
        ({"room": "0 l"}, "Not one portion"),
        ({"room": "200 ml"}, "Not one portion"),
        ({"room": "9000000 l"}, "no household's freezer"),
        ({"portion": "0 ml"}, "no volume"),
        ({"start": "soon"}, "no date"),
        ({"off": ["soon"]}, "no date"),
        ({"missed": ["soon"]}, "no date"),
        ({"eating": ""}, "no day for eating"),
        ({"eating": "Funday"}, "no weekday"),
        ({"eating": ["2026-11-30"]}, "no weekday"),
        ({"baking": ["Sun", 3]}, "no weekday|no date"),
        ({"baking": ["2026-13-01"]}, "no date"),
        ({"stock": [(1, "2026-12-24")]}, "cannot be there"),
        ({"stock": [(0, "2026-11-24")]}, "from 1"),
        ({"stock": [12]}, "the day they were made"),
        ({"stock": [(500, "2026-11-24")]}, "more than the 144 portions that fit"),
    ],
)
def test_a_wrong_question_is_refused_plainly(wrong, why):
    with pytest.raises(KitchenError, match=why):
        plan(**wrong)


@pytest.mark.parametrize("wrong", ["60", 60, "9 in", "60 kg", ""])
def test_a_room_that_is_no_volume(wrong):
    with pytest.raises(MeasureError):
        plan(room=wrong)


def test_only_a_time_of_the_freezer_fits(kit):
    with pytest.raises(KitchenError, match="Ask keep_by for the freezer"):
        plan(keep=kk.keep_by(kit, "muffins", "counter"))
    with pytest.raises(KitchenError, match="raw batter is not kept in the freezer"):
        plan(keep=kk.keep_by(kit, "raw batter", "freezer"))


def test_weekdays_and_dates_are_read_as_people_write_them():
    same = plan(baking="sunday, Wednesday").days
    assert plan(baking=["Sun", "wed"]).days.equals(same)
    one = plan(baking=[day("2026-11-29")], days=5)
    assert list(one.bakes["date"]) == [day("2026-11-29")]


def test_numbers_too_large_for_the_machine_give_the_same_plan():
    """Counted in whole numbers of any size where 64 bits are too few."""
    small = best_batches([3] * 12, [True] * 6, 5, 2, [20] * 6, 6, [4] * 6)
    large = best_batches([3] * 6 + [10**13] * 6, [True] * 6, 5, 2, [20] * 6, 6, [4] * 6)
    assert list(small) == list(large)


def test_an_empty_walk_and_no_room_at_all():
    assert walk([], [], 3).stock.size == 0
    assert not best_batches([1] * 9, [True] * 4, 5, 1, [4] * 4, 5).any()
    assert isinstance(best_batches([1] * 9, [True] * 4, 5, 1, [9] * 4, 5), np.ndarray)


@pytest.mark.parametrize(
    ("baking", "shop_days", "first"),
    [
        ("Sun", 1, "2026-11-29"),
        ("wednesday", 1, "2026-12-02"),  # today is one, and there is no time to shop
        ("Wed", 0, "2026-11-25"),
        (["Sun", "2026-11-27"], 1, "2026-11-27"),
        (["2026-11-20"], 1, "2026-11-25"),
    ],
)
def test_the_first_bake_leaves_time_to_shop(baking, shop_days, first):
    today = datetime.date(2026, 11, 25)
    assert str(first_bake_day(today, baking, shop_days)) == first


def test_what_is_wrong_with_a_plan_is_said_in_the_language_of_the_moment():
    found = plan(room="5 l")
    english = found.messages
    with language.speaking("es_ES"):
        assert found.messages[-1].startswith("Con esto basta: un espacio de ")
        assert len(found.messages) == len(english)
        assert str(found) != english
    assert found.messages == english


def test_a_missed_bake_is_told_with_the_languages_own_dates():
    lost = plan(most_batches=1, a_week=4).without("2026-12-06")
    with language.speaking("es_ES"):
        assert lost.advice.startswith("Sin la hornada del 6 dic 2026")
    assert lost.advice.startswith("Without the bake of 2026-12-06")
