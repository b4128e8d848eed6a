"""Swapping one pan for another: counts, fills, what is left, and what is said."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kitchenkit.errors import MeasureError
from kitchenkit.pans import KINDS, Pan, PanError
from kitchenkit.swapping import same_depth, swap_pan
from kitchenkit.units import Q

# 1 litre and 100 ml, so that the sums can be done in the head.
LOAF = Pan.from_sizes("loaf", ("20 cm", "10 cm"), "5 cm", name="litre loaf")
WELLS = Pan.from_sizes("square well", "5 cm", "4 cm", wells=12, name="twelve wells")


def ml(quantity):
    return quantity.m_as("ml")


def kept(fit):
    return fit.count * ml(fit.each) + ml(fit.left_over)


# Evenly spread ---------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("volume", "count", "fill"),
    [
        ("1240 ml", 2, 0.62),
        ("650 ml", 1, 0.65),
        ("1070 ml", 2, 0.535),
        ("900 ml", 2, 0.45),  # one would run over
        ("5 ml", 1, 0.005),
    ],
)
def test_batter_is_spread_over_the_number_nearest_the_usual_fill(volume, count, fill):
    fit = swap_pan(volume, LOAF)
    assert (fit.count, ml(fit.left_over)) == (count, 0)
    assert fit.fill == pytest.approx(fill)
    assert fit.depth.m_as("cm") == pytest.approx(5 * fill)


def test_wells_are_counted_one_by_one():
    fit = swap_pan("1.3 l", WELLS)
    assert fit.count == 20
    assert ml(fit.each) == pytest.approx(65)
    assert fit.advice.startswith("Fill 20 wells (twelve wells, 2 pans) with 65 ml")


def test_pans_at_hand_are_the_most_used_and_never_overfilled():
    fit = swap_pan("2 l", LOAF, have=2)
    assert (fit.count, fit.fill) == (2, 0.75)
    assert ml(fit.left_over) == pytest.approx(500)
    assert "500 ml (2 cups + 2 tbsp) is left over" in fit.advice
    fit = swap_pan("1.4 l", LOAF, have=2)  # above the usual fill, within the limit
    assert (fit.count, ml(fit.left_over)) == (2, 0)
    assert swap_pan("600 ml", LOAF, have=9).count == 1


@given(st.floats(1, 50_000), st.sampled_from([LOAF, WELLS]), st.none() | st.integers(1, 30))
def test_no_batter_is_lost_and_no_pan_overfilled(volume, pan, have):
    fit = swap_pan(Q(volume, "ml"), pan, have=have)
    assert kept(fit) == pytest.approx(volume, rel=1e-12)
    assert 0 < fit.fill <= KINDS[pan.kind].high * (1 + 1e-12)
    assert have is None or fit.count <= have
    if have is None:
        assert ml(fit.left_over) == 0


@given(st.floats(1, 50_000), st.sampled_from([LOAF, WELLS]))
def test_no_other_number_of_pans_fits_better(volume, pan):
    limits, full = KINDS[pan.kind], volume / ml(pan.capacity)
    fit = swap_pan(Q(volume, "ml"), pan)
    low, high = limits.low - 1e-12, limits.high + 1e-12
    within = [n for n in range(1, int(full / limits.low) + 2) if low <= full / n <= high]
    if within:
        assert fit.state == "good"
        best = min(abs(full / n - limits.usual) for n in within)
        assert abs(fit.fill - limits.usual) == pytest.approx(best, abs=1e-9)
    else:
        assert fit.state == "under"


# A fill asked for ------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("volume", "fill", "count", "left"),
    [
        ("1.2 l", 0.6, 2, 0),
        ("1.5 l", 0.6, 2, 300),
        ("600 ml", 0.6, 1, 0),
        ("2.1 l", 0.7, 3, 0),  # 0.7 has no exact binary form
    ],
)
def test_a_fill_asked_for_is_kept_exactly(volume, fill, count, left):
    fit = swap_pan(volume, LOAF, fill=fill)
    assert (fit.count, fit.fill) == (count, fill)
    assert ml(fit.left_over) == pytest.approx(left)


def test_too_little_for_one_fills_one_as_far_as_it_goes():
    fit = swap_pan("300 ml", LOAF, fill=0.6)
    assert (fit.count, ml(fit.left_over), fit.state) == (1, 0, "under")
    assert fit.fill == pytest.approx(0.3)


def test_a_fill_with_few_pans_leaves_the_rest():
    fit = swap_pan("3 l", LOAF, fill=0.6, have=2)
    assert (fit.count, ml(fit.left_over)) == (2, pytest.approx(1800))


@given(st.floats(1, 50_000), st.floats(0.01, 1), st.sampled_from([LOAF, WELLS]))
def test_a_fill_loses_no_batter_and_leaves_less_than_one(volume, fill, pan):
    fit = swap_pan(Q(volume, "ml"), pan, fill=fill)
    assert kept(fit) == pytest.approx(volume, rel=1e-11)
    assert ml(fit.left_over) <= fill * ml(pan.capacity) * (1 + 1e-9)


# What is said ----------------------------------------------------------------------------------


def test_a_good_fill_is_said_in_both_units_and_without_alarm():
    fit = swap_pan("1240 ml", LOAF)
    assert fit.state == "good"
    assert fit.advice == (
        "Fill 2 pans (litre loaf) with 620 ml (2 2/3 cups) each: 62% full, 3.1 cm (1 1/4 in) deep."
    )


def test_an_overfull_pan_is_warned_of():
    fit = swap_pan("900 ml", LOAF, fill=0.9)
    assert fit.state == "over"
    assert "may run over" in fit.advice
    assert "at most 750 ml" in fit.advice


def test_a_thin_batter_is_warned_of_with_a_way_out():
    fit = swap_pan("900 ml", LOAF)
    assert fit.state == "under"
    assert "1.1 times the batter" in fit.advice
    assert "fill only 1 to 75% and bake the other 150 ml" in fit.advice
    alone = swap_pan("250 ml", LOAF)
    assert "2 times the batter." in alone.advice
    assert "fill only" not in alone.advice


# Refusals --------------------------------------------------------------------------------------


@pytest.mark.parametrize("volume", [1000, "1 kg", None])
def test_a_batter_needs_a_volume_with_its_unit(volume):
    with pytest.raises(MeasureError):
        swap_pan(volume, LOAF)


@pytest.mark.parametrize(
    ("changes", "says"),
    [
        ({"volume": "0 ml"}, "no batter"),
        ({"fill": 0}, "above 0"),
        ({"fill": 1.2}, "at most 1"),
        ({"fill": "some"}, "above 0"),
        ({"fill": float("nan")}, "above 0"),
        ({"have": 0}, "1 or more"),
        ({"have": 1.5}, "whole"),
    ],
)
def test_what_cannot_be_filled_is_refused(changes, says):
    with pytest.raises(PanError, match=says):
        swap_pan(**{"volume": "1 l", "pan": LOAF, **changes})


# The same depth --------------------------------------------------------------------------------


def test_the_same_depth_in_half_the_area_takes_half_the_batter():
    half = Pan.from_sizes("square", "10 cm", "5 cm")
    swap = same_depth("600 ml", LOAF, half)
    assert swap.share == pytest.approx(0.5)
    assert ml(swap.each) == pytest.approx(300)
    assert swap.depth.m_as("cm") == pytest.approx(3)
    assert swap.state == "good"
    assert "takes 0.5 of the recipe, so the whole of it needs 2." in swap.advice


def test_the_same_depth_from_several_pans():
    assert same_depth("1200 ml", LOAF, LOAF, from_count=2).share == pytest.approx(0.5)


def test_the_same_depth_may_be_too_deep():
    shallow = Pan.from_sizes("sheet", ("30 cm", "20 cm"), "2 cm")
    with pytest.raises(PanError, match="deeper pan"):
        same_depth("600 ml", LOAF, shallow)
    assert same_depth("380 ml", LOAF, shallow).state == "over"
    with pytest.raises(PanError, match="more"):
        same_depth("1200 ml", LOAF, shallow)
