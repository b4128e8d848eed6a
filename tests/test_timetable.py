"""The ovens' timetable: nothing over-full or out of order, and no order of loads is quicker."""

import itertools
import math
import time

import pytest
from hypothesis import given
from hypothesis import strategies as st

import kitchenkit as kk
from kitchenkit.errors import KitchenError
from kitchenkit.racks import Oven, on_racks
from kitchenkit.timetable import REHEAT_MIN, RELOAD_MIN, Batch, oven_timetable
from kitchenkit.units import Q

HAIR = 1e-6
NARROW = ("46 cm", "36 cm")


def windows(low, likely, late):
    """A batch's windows with one, two and three racks in use."""
    return tuple((low, likely * s, late * s) for s in (1, 1.1, 1.2))


def batch(kit, name="a", pan="muffin-12", pans=1, heat=175, times=(20, 25, 30), **rest):
    return Batch(name, kit.pans[pan], pans, Q(heat, "degC"), windows(*times), **rest)


@st.composite
def batches(draw, most=6, pans=2, kinds=("loaf-8.5x4.5", "muffin-12", "square-8")):
    found = []
    for at in range(draw(st.integers(1, most))):
        low = draw(st.integers(10, 40))
        likely = low + draw(st.integers(0, 10))
        found.append(
            (
                f"station {at + 1}",
                draw(st.sampled_from(kinds)),
                draw(st.integers(1, pans)),
                draw(st.sampled_from([175, 190])),
                (low, likely, likely + draw(st.integers(0, 15))),
                (("mix", float(draw(st.integers(5, 30)))), ("fill", 5.0)),
                float(draw(st.integers(0, 40))),
            )
        )
    return found


def made(kit, rows):
    return [
        batch(kit, name, pan, many, heat, times, before=before, cool=cool)
        for name, pan, many, heat, times, before, cool in rows
    ]


ovens = st.lists(
    st.tuples(st.integers(1, 3), st.sampled_from([("24 in", "16 in"), NARROW])),
    min_size=1,
    max_size=3,
).map(lambda some: [Oven(f"oven {at}", n, *size) for at, (n, size) in enumerate(some, 1)])


@given(rows=batches(), ovens=ovens, plan_for=st.sampled_from(["late", "likeliest"]))
def test_nothing_is_over_full_or_out_of_order(kit, rows, ovens, plan_for):
    some = made(kit, rows)
    found = oven_timetable(some, ovens, plan_for=plan_for)
    by_name = {oven.name: oven for oven in ovens}
    baked = {one.station: 0 for one in some}
    for load in found.loads:
        oven = by_name[load.oven]
        pans = [pan for _, pan, many in load.pans for _ in range(many)]
        assert on_racks(pans, oven, load.racks) is not None
        assert load.racks <= oven.racks
        assert load.on >= -HAIR
        assert load.into >= load.on + oven.preheat * (load.number == 1) - HAIR
        assert load.into < load.look_from <= load.likely <= load.out + HAIR
        assert (load.turn is None) == (load.racks == 1)
        heats = set()
        for station, pan, many in load.pans:
            one = next(b for b in some if b.station == station)
            assert pan == one.pan
            assert load.into >= one.ready - HAIR
            heats.add(one.oven.m_as("degC"))
            baked[station] += many
        assert heats == {load.temperature.m_as("degC")}
    assert baked == {one.station: one.pans for one in some}
    end = {"late": "out", "likeliest": "likely"}[plan_for]
    for name in by_name:
        mine = [load for load in found.loads if load.oven == name]
        assert [load.number for load in mine] == list(range(1, len(mine) + 1))
        for before, after in itertools.pairwise(mine):
            change = RELOAD_MIN + REHEAT_MIN * (before.temperature != after.temperature)
            assert after.into >= getattr(before, end) + change - HAIR
    for one in some:
        steps = found.steps[found.steps["station"] == one.station]
        assert list(steps["step"])[:2] == ["mix", "fill"]
        assert steps["step"].iloc[-1] == "pack"
        benches = steps[steps["where"] == "bench"]
        for before, after in itertools.pairwise(benches.itertuples()):
            assert before.end <= after.start + HAIR
        bakes, cools = (steps[steps["step"] == step] for step in ("bake", "cool"))
        assert bakes["start"].min() >= benches["end"].iloc[-2] - HAIR
        assert list(cools["start"]) == list(bakes["end"])
        assert steps["start"].iloc[-1] >= cools["end"].max() - HAIR
    assert found.finish == found.steps["end"].max()


def every_way(some, ovens):
    """The least finish over every assignment of every pan to an oven and a place in its order."""
    pans = [one for one in some for _ in range(one.pans)]
    places = list(itertools.product(range(len(ovens)), range(len(pans))))
    least = float("inf")
    for chosen in itertools.product(places, repeat=len(pans)):
        finish = _finish(pans, ovens, chosen)
        least = min(least, finish)
    return least


def _finish(pans, ovens, chosen):
    last = 0.0
    for at, oven in enumerate(ovens):
        free, heat = oven.preheat, None
        for place in range(len(pans)):
            load = [p for p, where in zip(pans, chosen, strict=True) if where == (at, place)]
            if not load:
                continue
            if len({p.oven.m_as("degC") for p in load}) > 1:
                return float("inf")
            fits = [n for n in range(1, oven.racks + 1) if on_racks([p.pan for p in load], oven, n)]
            if not fits:
                return float("inf")
            new = load[0].oven.m_as("degC")
            if heat is not None:
                free += RELOAD_MIN + (REHEAT_MIN if new != heat else 0)
            into = max(free, *(p.ready for p in load))
            lasts = [p.windows[fits[0] - 1][2] for p in load]
            last = max(
                last, *(into + n + p.cool + p.pack for p, n in zip(load, lasts, strict=True))
            )
            free, heat = into + max(lasts), new
    return last


few = batches(most=3, pans=1)
few_ovens = st.lists(st.integers(1, 2), min_size=1, max_size=2).map(
    lambda some: [Oven(f"oven {at}", n, *NARROW) for at, n in enumerate(some, 1)]
)


@given(rows=few, ovens=few_ovens)
def test_no_order_of_loads_is_quicker(kit, rows, ovens):
    some = made(kit, rows)
    found = oven_timetable(some, ovens)
    assert found.exact
    assert found.finish == pytest.approx(every_way(some, ovens))


def test_four_pans_of_one_station_in_one_oven(kit):
    some = [batch(kit, pans=4)]
    oven = [Oven("one", 2, *NARROW)]
    assert oven_timetable(some, oven).finish == pytest.approx(every_way(some, oven))


def test_by_hand(kit):
    """Three tins, one narrow oven of one rack: 15 to warm up, but the batter is ready at 25."""
    found = oven_timetable([batch(kit, pans=3)], [Oven("one", 1, *NARROW)])
    assert [load.into for load in found.loads] == [25, 58, 91]
    assert [load.on for load in found.loads] == [10, 55, 88]
    assert [load.look_from for load in found.loads] == [45, 78, 111]
    assert found.finish == 25 + 3 * 30 + 2 * 3 + 30 + 5
    table = found.table(kk.Clock("6:00 pm"))
    assert list(table["in"]) == ["6:25 pm", "6:58 pm", "7:31 pm"]
    assert table["pans"].iloc[0] == "a: 1 × muffin tin, 12 cups"


def test_two_ovens_with_one_rack_each_beat_one_with_two(kit):
    found = oven_timetable([batch(kit, pans=2)], [Oven(n, 2, *NARROW) for n in ("one", "two")])
    assert {load.racks for load in found.loads} == {1}
    assert found.finish == 25 + 30 + 35


def test_more_of_anything_never_takes_longer(kit):
    some = [batch(kit, f"s{at}", "square-8", times=(25, 30, 40)) for at in range(8)]
    finishes = [oven_timetable(some, n).finish for n in (1, 2, 3, 4)]
    assert finishes == sorted(finishes, reverse=True)
    racks = [oven_timetable(some, [Oven("one", n, *NARROW)]).finish for n in (1, 2, 3)]
    assert racks[1] < racks[0]
    late, likely = (oven_timetable(some, 2, plan_for=p).finish for p in ("late", "likeliest"))
    assert likely < late


def test_an_oven_turned_on_early_is_hot_in_time(kit):
    quick = [batch(kit, before=(("fill", 5.0),))]
    assert oven_timetable(quick, 1).loads[0].into == 15
    assert oven_timetable(quick, 1, early=15).loads[0].into == 5


def test_the_same_answer_every_time_and_soon(kit):
    some = [
        batch(kit, f"s{at}", ("loaf-8.5x4.5", "muffin-12", "square-8")[at % 3], times=(20, 30, 40))
        for at in range(9)
    ]
    first = oven_timetable(some, 2)
    began = time.perf_counter()
    again = oven_timetable(some, 2)
    assert time.perf_counter() - began < 2
    assert first.loads == again.loads


def test_many_kinds_of_pans_are_still_planned_and_said_to_be_by_rule(kit):
    kinds = ["loaf-8.5x4.5", "muffin-12", "square-8", "mini-loaf", "round-9x2", "tube-10x4"]
    some = [
        batch(kit, pan, pan, 2, times=(20 + at, 30 + at, 40 + at)) for at, pan in enumerate(kinds)
    ]
    found = oven_timetable(some, [Oven("one", 2, *NARROW)])
    assert not found.exact
    assert sum(many for load in found.loads for _, _, many in load.pans) == 12


def test_windows_are_those_of_the_bake_time(kit):
    pan = kit.pans["muffin-12"]
    one = Batch.of("a", pan, "60 ml", 1, "350 degF", cool=20)
    for racks, window in enumerate(one.windows, 1):
        said = kk.bake_time(pan, "60 ml", "350 degF", racks=racks)
        expected = (said.check_from, said.minutes, said.high)
        assert window == tuple(math.ceil(x.m_as("min")) for x in expected)
    assert one.oven.m_as("degF") == pytest.approx(350)
    assert one.cool == 20


@pytest.mark.parametrize(
    ("options", "says"),
    [
        ({"ovens": 0}, "1 or more"),
        ({"ovens": 1.5}, "whole"),
        ({"ovens": []}, "at least one Oven"),
        ({"ovens": ["hot"]}, "at least one Oven"),
        ({"plan_for": "luck"}, "late, likeliest"),
        ({"early": -5}, "Write 0 or more"),
        ({"reload_min": float("nan")}, "Write 0 or more"),
        ({"ovens": [Oven("toy", 1, "10 in", "8 in")]}, "fits on no rack"),
    ],
)
def test_wrong_questions_are_answered_in_words(kit, options, says):
    with pytest.raises(KitchenError, match=says):
        oven_timetable([batch(kit)], **options)


@pytest.mark.parametrize(
    ("options", "says"),
    [
        ({"pans": 0}, "1 or more"),
        ({"times": (30, 25, 40)}, "Windows are three"),
        ({"times": (0, 25, 40)}, "Windows are three"),
        ({"cool": -1}, "to cool"),
        ({"before": (("mix", float("nan")),)}, "to mix"),
    ],
)
def test_no_batch_is_said_so(kit, options, says):
    with pytest.raises(KitchenError, match=says):
        batch(kit, **options)


def test_nothing_to_bake():
    with pytest.raises(KitchenError, match="nothing to bake"):
        oven_timetable([], 2)


def test_more_racks_never_bake_faster(kit):
    with pytest.raises(KitchenError, match="never bake faster"):
        Batch("a", kit.pans["muffin-12"], 1, Q(175, "degC"), ((9, 9, 9), (8, 8, 8), (9, 9, 9)))
