"""Sharing one batter over pans of several kinds."""

from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kitchenkit.errors import MeasureError
from kitchenkit.pans import KINDS, Pan, PanError
from kitchenkit.sharing import share_batch
from kitchenkit.units import Q

LOAF = Pan.from_sizes("loaf", ("20 cm", "10 cm"), "5 cm", name="litre loaf")
WELLS = Pan.from_sizes("square well", "5 cm", "4 cm", wells=12, name="twelve wells")
ROUND = Pan.from_sizes("round", "20 cm", "5 cm", name="round")
MINI = Pan.from_sizes("mini muffin", "4.5 cm", "2 cm", "3.5 cm", wells=24, name="minis")


def ml(quantity):
    return quantity.m_as("ml")


def rooms(owned):
    """Low and high fill of one of each, in ml."""
    return [
        (KINDS[pan.kind].low * ml(pan.capacity), KINDS[pan.kind].high * ml(pan.capacity))
        for pan, _ in owned
    ]


def ways(volume, owned):
    """Brute force: every choice of pans that can be within limits, and what it leaves over."""
    room = rooms(owned)
    for counts in product(*(range(number + 1) for _, number in owned)):
        if sum(n * low for n, (low, _) in zip(counts, room, strict=True)) <= volume * (1 + 1e-12):
            high = sum(n * high for n, (_, high) in zip(counts, room, strict=True))
            yield counts, max(volume - high, 0.0)


OWNED = st.lists(
    st.tuples(st.sampled_from([LOAF, WELLS, ROUND, MINI]), st.integers(0, 7)),
    min_size=1,
    max_size=4,
).filter(lambda owned: any(number for _, number in owned))


@settings(max_examples=200)
@given(st.floats(5, 6000), OWNED)
def test_nothing_is_lost_and_as_little_left_as_can_be(volume, owned):
    share = share_batch(Q(volume, "ml"), owned)
    table = share.table
    least = min(left for _, left in ways(volume, owned))
    placed = (table["count"] * table["each_ml"]).sum()
    assert placed + ml(share.left_over) == pytest.approx(volume, rel=1e-12)
    assert ml(share.left_over) == pytest.approx(least, abs=1e-9 * volume)


@given(st.floats(5, 6000), OWNED)
def test_every_pan_used_is_within_its_limits_and_all_are_moved_alike(volume, owned):
    share = share_batch(Q(volume, "ml"), owned)
    moved = []
    for fit in share.fits:
        limits = KINDS[fit.pan.kind]
        assert limits.low - 1e-12 <= fit.fill <= limits.high + 1e-12
        assert fit.state == "good"
        moved.append((fit.fill - limits.low) / (limits.high - limits.low))
    assert max(moved, default=0) - min(moved, default=0) < 1e-9


@given(st.floats(5, 6000), OWNED)
def test_no_more_pans_are_used_than_are_owned(volume, owned):
    share = share_batch(Q(volume, "ml"), owned)
    for name in {pan.name for pan, _ in owned}:
        used = sum(fit.count for fit in share.fits if fit.pan.name == name)
        assert used <= sum(number for pan, number in owned if pan.name == name)


@given(st.floats(100, 6000), OWNED.filter(lambda owned: len({p for p, _ in owned}) == len(owned)))
def test_the_first_pans_are_used_most(volume, owned):
    """Among all choices that leave as little, none serves the earlier pans better."""
    usual = [KINDS[pan.kind].usual * ml(pan.capacity) for pan, _ in owned]

    def unserved(counts):
        out, wanting = [], volume
        for count, one in zip(counts, usual, strict=True):
            wanting = max(wanting - count * one, 0.0)
            out.append(round(wanting / volume, 7))
        return out

    used = {fit.pan: fit.count for fit in share_batch(Q(volume, "ml"), owned).fits}
    every = list(ways(volume, owned))
    least = min(left for _, left in every)
    best = min(unserved(counts) for counts, left in every if left <= least + 1e-9 * volume)
    assert unserved([used.get(pan, 0) for pan, _ in owned]) == pytest.approx(best, abs=1e-6)


# Plain cases -----------------------------------------------------------------------------------


def test_one_loaf_and_the_rest_muffins():
    share = share_batch("1270 ml", [(LOAF, 1), (WELLS, 24)])
    assert list(share.table["count"]) == [1, 10]
    assert share.table["each_ml"].to_numpy() == pytest.approx([620, 65], rel=0.03)
    assert ml(share.left_over) == 0
    assert share.advice.endswith("Nothing is left over.")


def test_too_little_batter_drops_the_last_pans():
    share = share_batch("1.2 l", [(LOAF, 2), (ROUND, 1), (WELLS, 12)])
    assert list(share.table["pan"]) == ["litre loaf"]
    assert "Not needed: round, twelve wells." in share.advice


def test_too_much_batter_says_which_pan_would_take_it():
    share = share_batch("2.1 l", [(LOAF, 2), (WELLS, 2)])
    assert list(share.table["fill"]) == pytest.approx([0.75, 0.8])
    assert ml(share.left_over) == pytest.approx(2100 - 1500 - 160)
    assert "is left over: with 1 more pan (litre loaf) it would all fit." in share.advice
    share = share_batch("1.65 l", [(LOAF, 2), (WELLS, 1)])
    left = "70 ml (1/4 cup + 2 1/4 tsp) is left over: with 1 more well (twelve wells) it would"
    assert left in share.advice


def test_a_gap_no_pan_can_take_is_told():
    share = share_batch("800 ml", [(LOAF, 2)])
    assert list(share.table["count"]) == [1]
    assert ml(share.left_over) == pytest.approx(50)
    assert "too little for one more" in share.advice


def test_too_little_for_any_pan():
    share = share_batch("200 ml", [(LOAF, 2), (ROUND, 1)])
    assert share.fits == ()
    assert share.table.empty
    assert ml(share.left_over) == pytest.approx(200)
    assert "make 2.5 times the batter" in share.advice


def test_a_pan_alone_is_one_with_all_its_wells():
    assert share_batch("780 ml", [WELLS]).table["count"].sum() == 12
    assert share_batch("620 ml", [LOAF]).table["count"].sum() == 1


def test_the_same_question_has_the_same_answer():
    ask = ("3.3 l", [(LOAF, 2), (ROUND, 2), (WELLS, 24), (MINI, 24)])
    assert share_batch(*ask).table.equals(share_batch(*ask).table)


@pytest.mark.parametrize(
    ("volume", "owned", "says"),
    [
        ("0 ml", [(LOAF, 1)], "no batter"),
        ("1 l", [], "no pan"),
        ("1 l", [(LOAF, 0)], "no pan"),
        ("1 l", [(LOAF, -1)], "0 or more"),
        ("1 l", [(LOAF, 1.5)], "whole"),
        ("99 l", [(pan, 99) for pan in (LOAF, ROUND, WELLS, MINI)], "too many"),
    ],
)
def test_what_cannot_be_shared_is_refused(volume, owned, says):
    with pytest.raises(PanError, match=says):
        share_batch(volume, owned)


def test_a_batter_needs_its_unit():
    with pytest.raises(MeasureError):
        share_batch(1000, [(LOAF, 1)])
