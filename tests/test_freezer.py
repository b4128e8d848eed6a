"""Cooling, freezing and thawing: what must hold for any piece, and what is refused plainly."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import kitchenkit as kk
from kitchenkit.errors import KitchenError, MeasureError
from kitchenkit.freezer import (
    COLD,
    COOLING,
    PACKING,
    ROOM,
    WRAPS,
    cool_time,
    freeze_time,
    freezer_load,
    middle_while_cooling,
    say_hours,
    thaw_time,
    wrap_at,
    wrapped_h,
)
from kitchenkit.pans import PanError
from kitchenkit.thermal import crumb_of
from kitchenkit.units import Q

PANS = dict(kk.open_kit().pans)
pans = st.sampled_from(list(PANS.values()))
fills = st.floats(0.1, 0.9)  # of the brim
thicknesses = st.floats(0.8, 8)  # cm
freezers = st.floats(-35, -17)  # °C
wraps = st.sampled_from(list(WRAPS))
few = settings(max_examples=30)  # each example is several runs of some 10 ms


def _in(unit, *quantities):
    return [quantity.m_as(unit) for quantity in quantities]


def cm(size):
    return Q(size, "cm")


def degrees(celsius):
    return Q(celsius, "degC")


# Cooling ----------------------------------------------------------------------------------------


@given(pan=pans, fill=fills, more=st.floats(1.02, 1.1), room=st.floats(10, 30))
def test_cooling_takes_longer_for_more_in_a_warmer_room_and_in_its_pan(pan, fill, more, room):
    volume = fill * pan.capacity
    here = cool_time(pan, volume, "rack", degrees(room), to="40 C")
    assert here.low < here.minutes < here.high
    assert cool_time(pan, volume * more, "rack", degrees(room), to="40 C").minutes > here.minutes
    assert cool_time(pan, volume, "pan", degrees(room), to="40 C").minutes > here.minutes
    assert cool_time(pan, volume, "rack", degrees(room), to="36 C").minutes > here.minutes


@given(fill=st.floats(0.3, 0.9), thick=st.floats(0.8, 4))
def test_slices_cool_sooner_the_thinner_they_are_and_before_the_whole(fill, thick):
    loaf = PANS["loaf-9x5"]
    volume = fill * loaf.capacity
    thin = cool_time(loaf, volume, "sliced", slices=cm(thick))
    thicker = cool_time(loaf, volume, "sliced", slices=cm(thick * 1.1))
    assert thin.minutes < thicker.minutes
    assert thin.minutes < cool_time(loaf, volume).minutes


@given(pan=pans, fill=fills, room=st.floats(12, 24))
def test_the_cooling_curve_passes_the_wrapping_temperature_at_the_time_told(pan, fill, room):
    volume = fill * pan.capacity
    found = cool_time(pan, volume, "rack", degrees(room))
    minutes = found.minutes.m_as("min")
    curve = middle_while_cooling(pan, volume, "rack", degrees(room), minutes * np.array([0, 1, 50]))
    assert curve == pytest.approx([96, 27, room], abs=0.1)


@pytest.mark.parametrize(
    ("room", "at"), [("18 C", 27), ("24 C", 27), ("30 C", 33), ("80 F", 29.67)]
)
def test_it_may_be_wrapped_near_the_rooms_temperature(room, at):
    assert wrap_at(room).m_as("degC") == pytest.approx(at, abs=0.01)


def test_the_three_ways_in_plain_words_with_their_cautions(kit, base):
    loaf = kit.pans["loaf-8.5x4.5"]
    rack = cool_time(loaf, "850 ml", crumb=base)
    assert "on a rack" in rack.why
    assert "70 °F (21 °C)" in rack.why
    assert "81 °F (27 °C)" in rack.why
    pan = cool_time(loaf, "850 ml", "pan", crumb=base)
    cut = cool_time(loaf, "850 ml", "sliced", slices="1/2 in", crumb=base)
    for found, word in ((rack, "two hours"), (pan, "sweats"), (cut, "tears")):
        said = " ".join(found.cautions)
        assert word in said
        assert "Never wrap it warm" in said
        assert "40 to 140 °F" in said
    assert str(cut) == (
        f"about {cut.minutes.m:.0f} min, most likely {cut.low.m:.0f} to {cut.high.m:.0f}"
    )
    assert kk.cool_time is cool_time


def test_usual_cooling_times_are_those_of_the_trade(kit):
    """Up to 2 to 3 h for a loaf on a rack, half to one and a half hours for muffins.

    Common practice, no source.
    """
    loaf = cool_time(kit.pans["loaf-8.5x4.5"], "850 ml")
    muffin = cool_time(kit.pans["muffin-12"], "60 ml")
    assert loaf.low.m_as("min") <= 180
    assert loaf.high.m_as("min") >= 120
    assert muffin.low.m_as("min") <= 60
    assert muffin.high.m_as("min") >= 45


# Freezing ---------------------------------------------------------------------------------------


@few
@given(thick=thicknesses, air=freezers, wrap=wraps)
def test_freezing_takes_longer_for_thicker_pieces_in_warmer_air(thick, air, wrap):
    here = freeze_time(cm(thick), freezer=degrees(air), wrap=wrap)
    assert here.low < here.hours < here.high
    assert Q(0, "hour") < here.begins <= here.met < here.hours
    assert freeze_time(cm(thick * 1.1), freezer=degrees(air), wrap=wrap).hours > here.hours
    end = here.to
    colder = freeze_time(cm(thick), freezer=degrees(air - 3), wrap=wrap, to=end)
    assert colder.hours < here.hours
    warmer = freeze_time(cm(thick), freezer=degrees(air), start="30 C", wrap=wrap)
    assert warmer.hours > here.hours


@few
@given(thick=thicknesses, air=freezers)
def test_the_more_still_air_under_the_wrap_the_longer(thick, air):
    hours = [freeze_time(cm(thick), freezer=degrees(air), wrap=wrap).hours for wrap in WRAPS]
    assert hours == sorted(hours)
    planks = [freeze_time(cm(thick), freezer=degrees(air), wrap=wrap).plank for wrap in WRAPS]
    assert planks == sorted(planks)


@few
@given(thick=thicknesses, length=st.floats(4, 25), width=st.floats(4, 25), air=freezers)
def test_cold_from_more_sides_is_faster(thick, length, width, air):
    sizes = (cm(thick), cm(length), cm(width))
    apart, touching, deep = (
        freeze_time(*sizes, freezer=degrees(air), packing=packing) for packing in PACKING
    )
    wide = freeze_time(cm(thick), freezer=degrees(air))
    assert apart.hours < touching.hours < deep.hours
    assert touching.hours.m == pytest.approx(wide.hours.m)
    assert touching.shape == 1 < apart.shape <= 3
    turned = freeze_time(cm(length), cm(thick), cm(width), freezer=degrees(air))
    assert turned.hours.m == pytest.approx(apart.hours.m, rel=1e-3)  # which way up is no matter


@few
@given(thick=thicknesses)
def test_a_very_wide_piece_is_a_slab(thick):
    slab, wide = freeze_time(cm(thick)), freeze_time(cm(thick), "100 cm", "100 cm")
    assert wide.hours.m == pytest.approx(slab.hours.m, rel=0.12)
    assert freeze_time(cm(thick), diameter="100 cm").hours <= 1.001 * slab.hours


@few
@given(thick=thicknesses, air=st.floats(-40, -20))
def test_the_course_starts_falls_and_ends_as_told(thick, air):
    found = freeze_time(cm(thick), "10 cm", "8 cm", freezer=degrees(air), to="-18 C")
    hours, middle, surface = found.course.seconds / 3600, found.course.middle, found.course.surface
    assert middle[0] == 21
    assert middle[-1] <= -18 < middle[-2]
    assert np.all(np.diff(hours) >= 0)
    assert np.all(np.diff(middle) < 0.05)
    assert np.all(surface <= middle + 0.05)
    assert hours[-2] <= found.hours.m <= hours[-1]


def test_plank_leaves_out_what_comes_before_and_after(base):
    crumb = crumb_of(base)
    found = freeze_time("2 cm", "10 cm", "6 cm", crumb=crumb)
    assert found.plank < found.hours
    h = wrapped_h(COLD.likely, "bag, air pressed out")
    latent = float(crumb.ice(-16) * crumb.density(crumb.freezing_c)) * 333.6e3
    k = float(crumb.conductivity(-16.0))
    shape = 1 + 1 / 3 + 1 / 5
    seconds = latent / (crumb.freezing_c + 17.78) / shape * (0.01 / h + 0.01**2 / (2 * k))
    # 0 °F is −17.78 °C, so that the end is −15.78 °C and a little less ice has formed.
    assert found.plank.m_as("s") == pytest.approx(seconds, rel=0.02)


def test_a_freezer_at_the_end_temperature_is_told_apart(base):
    usual, deep = freeze_time("2 cm"), freeze_time("2 cm", freezer="-25 C")
    assert usual.to.m_as("degC") == pytest.approx(-15.78, abs=0.01)
    assert deep.to.m_as("degC") == -18
    assert "0 °F (−18 °C)" in usual.why
    cautions = freeze_time("2 cm", freezer="8 F").cautions
    assert any("keeps its quality less long" in c for c in cautions)
    assert any("2 to 3 lb for each cubic foot" in c for c in usual.cautions)
    assert any("one layer" in c for c in freeze_time("2 cm", packing="two deep").cautions)
    assert any("Too warm for the freezer" in c for c in freeze_time("2 cm", start="50 C").cautions)
    assert kk.freeze_time is freeze_time


@pytest.mark.parametrize("wrap", WRAPS)
def test_wraps_are_resistances_in_a_row(wrap):
    gap = WRAPS[wrap]
    within = 1 / (0.024 / gap + 4) if gap else 0.0
    assert 1 / wrapped_h(8.0, wrap) == pytest.approx(1 / 8 + within)
    assert ROOM.low < ROOM.likely < ROOM.high


# Thawing ----------------------------------------------------------------------------------------


@few
@given(thick=thicknesses, wrap=wraps, air=st.floats(15, 30))
def test_thawing_takes_longer_for_thicker_pieces_in_cooler_air(thick, wrap, air):
    here = thaw_time(cm(thick), where=degrees(air), wrap=wrap)
    assert here.low < here.hours < here.high
    assert here.hours < here.unwrap
    assert thaw_time(cm(thick * 1.1), where=degrees(air), wrap=wrap).hours > here.hours
    assert thaw_time(cm(thick), where=degrees(air - 2), wrap=wrap).hours > here.hours
    assert thaw_time(cm(thick), where="fridge", wrap=wrap).hours > here.hours


def test_what_is_creamy_thaws_in_the_fridge(kit):
    room, fridge = thaw_time("2 cm"), thaw_time("2 cm", where="fridge")
    assert any("thaws in the refrigerator" in c for c in room.cautions)
    assert any("in its wrap" in c for c in room.cautions)
    assert not any("cream cheese" in c for c in fridge.cautions)
    assert fridge.to.m_as("degC") == 2
    assert "39 °F (4 °C)" in fridge.why
    assert thaw_time("2 cm", where="room").hours == room.hours


def test_usual_thawing_times_are_those_of_practice(base):
    """A slice in half an hour to an hour, a small loaf in 2 to 4 h: common practice, no source."""
    crumb = crumb_of(base)
    slice_ = thaw_time("1.5 cm", "10 cm", "6 cm", crumb=crumb)
    loaf = thaw_time("6 cm", "20 cm", "10 cm", crumb=crumb)
    assert slice_.low.m <= 1
    assert slice_.high.m >= 0.5
    assert loaf.low.m <= 4
    assert loaf.high.m >= 2


# How much at once -------------------------------------------------------------------------------


def test_a_freezer_takes_two_to_three_pounds_a_cubic_foot():
    """Clemson Cooperative Extension, HGIC 3065."""
    found = freezer_load(Q(3.5, "foot**3"))
    assert _in("lb", found.low, found.high) == pytest.approx([7.0, 10.5])
    assert str(found) == "3,175 g (7.0 lb) to 4,763 g (10.5 lb)"
    for written in ("3.5 cu ft", "3 1/2 cubic feet", "3.5 cu. ft."):
        assert freezer_load(written) == found
    litres = freezer_load("100 l")
    assert _in("kg", litres.low, litres.high) == pytest.approx([3.204, 4.806], abs=0.001)
    assert "3.5 cubic feet (100 l)" in litres.why


@pytest.mark.parametrize(
    ("hours", "said"),
    [
        (0.01, "1 min"),
        (0.2, "12 min"),
        (0.55, "35 min"),
        (1.3, "1.5 h"),
        (2.1, "2 h"),
        (12.4, "12 h"),
    ],
)
def test_times_are_said_as_one_plans_with_them(hours, said):
    assert say_hours(hours) == said


# What is refused --------------------------------------------------------------------------------

REFUSED = {
    "a warm freezer": (lambda: freeze_time("2 cm", freezer="-5 C"), "does not freeze through"),
    "an end colder than the air": (lambda: freeze_time("2 cm", to="-30 C"), "cannot be frozen"),
    "an end above freezing": (lambda: freeze_time("2 cm", to="0 C"), "cannot be frozen"),
    "frozen at the start": (lambda: freeze_time("2 cm", start="-5 C"), "Start between"),
    "no thickness": (lambda: freeze_time("0 cm"), "no piece"),
    "too thick": (lambda: freeze_time("3 m"), "no piece"),
    "a weight": (lambda: freeze_time("200 g"), "not a length"),
    "no unit": (lambda: freeze_time(2), "no unit"),
    "not finite": (lambda: freeze_time(Q(math.nan, "cm")), "0 or more"),
    "half a size": (lambda: freeze_time("2 cm", "10 cm"), "both length and width"),
    "two shapes": (lambda: freeze_time("2 cm", "9 cm", "9 cm", diameter="9 cm"), "not both"),
    "an odd wrap": (lambda: freeze_time("2 cm", wrap="a towel"), "no wrap called"),
    "an odd packing": (lambda: freeze_time("2 cm", packing="upright"), "Choose one of: apart"),
    "no scale": (lambda: freeze_time("2 cm", freezer=0), "no scale"),
    "no crumb": (lambda: freeze_time("2 cm", crumb="bread"), "no recipe"),
    "thawed at the start": (lambda: thaw_time("2 cm", start="-4 C"), "not frozen through"),
    "cold thawing": (lambda: thaw_time("2 cm", where="0 C"), "does not thaw"),
    "nowhere": (lambda: thaw_time("2 cm", where="oven"), "not a temperature"),
    "a hot room": (lambda: cool_time(PANS["loaf-9x5"], "1 l", room="97 C"), "cannot cool"),
    "too cool an end": (lambda: cool_time(PANS["loaf-9x5"], "1 l", to="20 C"), "cannot cool"),
    "an odd way": (lambda: cool_time(PANS["loaf-9x5"], "1 l", "fan"), "Choose one of: rack"),
    "no slices": (lambda: cool_time(PANS["loaf-9x5"], "1 l", "sliced"), "How thick"),
    "thick slices": (
        lambda: cool_time(PANS["loaf-9x5"], "1 l", "sliced", slices="50 cm"),
        "do not come from",
    ),
    "an empty pan": (lambda: cool_time(PANS["loaf-9x5"], "0 l"), "no batter"),
    "a full pan": (lambda: cool_time(PANS["loaf-9x5"], "9 l"), "larger pan"),
    "no freezer": (lambda: freezer_load("0 l"), "inside of the freezer"),
    "a freezer by weight": (lambda: freezer_load("3 kg"), "not a volume"),
}


@pytest.mark.parametrize(("asked", "words"), REFUSED.values(), ids=REFUSED)
def test_what_cannot_be_is_refused_in_plain_words(asked, words):
    with pytest.raises(KitchenError) as caught:
        asked()
    assert type(caught.value) in (KitchenError, MeasureError, PanError)
    assert words in str(caught.value)


def test_every_way_of_cooling_is_offered():
    assert COOLING == ("rack", "pan", "sliced")
