"""Baking times: what must hold for any pan and batter, and what is refused in plain words."""

import dataclasses
import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

import kitchenkit as kk
from kitchenkit.bakelog import OvenCorrection
from kitchenkit.baking import (
    HEAT,
    REPEAT,
    WINDOW,
    BakeError,
    KnownBake,
    bake_minutes,
    bake_time,
    middle_celsius,
)
from kitchenkit.errors import MeasureError
from kitchenkit.pans import PanError
from kitchenkit.units import Q

PANS = dict(kk.open_kit().pans)
pans = st.sampled_from(list(PANS.values()))
fills = st.floats(0.05, 1.0)  # of the brim
ovens = st.floats(150, 230)  # °C


def _minutes(quantity):
    return quantity.m_as("min")


def _correction(factor=1.2, window=0.2):
    return OvenCorrection("left oven", factor, 0.05, 4, 0, window, "4 bakes say so")


# What must hold ---------------------------------------------------------------------------------


@given(pan=pans, fill=st.floats(0.05, 0.9), more=st.floats(1.02, 1.1), oven=ovens)
def test_time_rises_with_depth_and_falls_with_the_ovens_heat(pan, fill, more, oven):
    volume = fill * pan.capacity_m3
    here = bake_minutes(pan, volume, oven)
    assert 0 < here < math.inf
    assert bake_minutes(pan, volume * more, oven) > here
    assert bake_minutes(pan, volume, oven + 5) < here
    assert bake_minutes(pan, volume, oven, batter_c=5.0) > here


@given(fill=fills, oven=ovens)
def test_heat_goes_in_faster_through_dark_metal_and_slower_through_ceramic(fill, oven):
    metal = PANS["loaf-9x5"]
    volume = fill * metal.capacity_m3
    times = {
        material: bake_minutes(dataclasses.replace(metal, material=material), volume, oven)
        for material in ("dark metal", "metal", "ceramic")
    }
    assert times["dark metal"] < times["metal"] < times["ceramic"]


@given(pan=pans, fill=fills, oven=ovens)
def test_the_window_brackets_the_time_and_the_first_look_comes_before_it(pan, fill, oven):
    found = bake_time(pan, fill * pan.capacity, Q(oven, "degC"))
    low, minutes, high = map(_minutes, (found.low, found.minutes, found.high))
    assert 0 < low < minutes < high < math.inf
    first = _minutes(found.check_from)
    assert first == int(first) >= 1
    assert first <= max(low, 1)
    assert high / minutes == pytest.approx(math.exp(WINDOW))
    assert minutes / low >= math.exp(WINDOW) * (1 - 1e-9)
    assert found.depth.m_as("cm") == pytest.approx(pan.depth(fill * pan.capacity).m_as("cm"))


@given(pan=pans, fill=fills, oven=ovens, baked=st.floats(3, 200))
def test_a_known_bake_repeated_gives_its_own_minutes(pan, fill, oven, baked):
    volume, oven = fill * pan.capacity, Q(oven, "degC")
    found = bake_time(pan, volume, oven, known=(pan, volume, baked, oven))
    assert _minutes(found.minutes) == pytest.approx(baked)
    assert math.log(found.high / found.minutes) == pytest.approx(REPEAT)
    assert math.log(found.minutes / found.low) == pytest.approx(REPEAT)


@given(pan=pans, other=pans, fill=st.floats(0.2, 0.9), share=st.floats(0.3, 3))
def test_a_known_bake_stretches_every_pan_alike(pan, other, fill, share):
    volume, known = fill * pan.capacity, fill * other.capacity
    model = bake_time(pan, volume)
    baked = _minutes(bake_time(other, known).minutes) * share
    found = bake_time(pan, volume, known=KnownBake(other, known, baked))
    assert _minutes(found.minutes) == pytest.approx(share * _minutes(model.minutes))
    half = math.log(found.high / found.minutes)
    assert REPEAT * (1 - 1e-9) <= half <= WINDOW * (1 + 1e-9)


def test_the_window_widens_the_further_a_known_bake_is_from_the_new_one(kit):
    loaf, known = kit.pans["loaf-9x5"], "1.2 l"
    halves = [
        round(float(np.log(found.high / found.minutes)), 9)
        for volume in ("1.2 l", "1 l", "800 ml", "400 ml", "200 ml")
        for found in [bake_time(loaf, volume, known=(loaf, known, 60))]
    ]
    assert halves == sorted(halves)
    assert halves[0] == pytest.approx(REPEAT)
    assert halves[-1] == pytest.approx(WINDOW)


def test_minutes_may_be_written_as_a_time(kit):
    loaf = kit.pans["loaf-9x5"]
    as_number = bake_time(loaf, "1 l", known=(loaf, "1 l", 90))
    assert bake_time(loaf, "1 l", known=(loaf, "1 l", Q(1.5, "hour"))) == as_number


def test_an_oven_of_the_known_bake_is_taken_into_account(kit):
    loaf = kit.pans["loaf-9x5"]
    cool = bake_time(loaf, "1 l", "350 F", known=(loaf, "1 l", 60, "325 F"))
    assert _minutes(cool.minutes) < 60
    assert _minutes(bake_time(loaf, "1 l", known=(loaf, "1 l", 60)).minutes) == pytest.approx(60)


def test_a_bake_logs_correction_multiplies_and_sets_the_window(kit):
    pan = kit.pans["square-8"]
    model, found = bake_time(pan, "535 ml"), bake_time(pan, "535 ml", correction=_correction())
    assert _minutes(found.minutes) == pytest.approx(1.2 * _minutes(model.minutes))
    assert math.log(found.high / found.minutes) == pytest.approx(0.2)
    assert "4 bakes say so" in found.why


@given(count=st.integers(1, 30), seed=st.integers(0, 10**6))
def test_arrays_equal_scalars(count, seed):
    rng = np.random.default_rng(seed)
    pan = PANS[rng.choice(list(PANS))]
    volumes = rng.uniform(0.1, 1, count) * pan.capacity_m3
    heats, batters = rng.uniform(150, 230, count), rng.uniform(2, 30, count)
    together = bake_minutes(pan, volumes, heats, batters)
    assert together.shape == (count,)
    for n in range(count):
        one = bake_minutes(pan, float(volumes[n]), float(heats[n]), float(batters[n]))
        assert isinstance(one, float)
        assert one == pytest.approx(together[n], rel=1e-6)


def test_the_public_call_says_what_the_bare_model_says(kit):
    pan = kit.pans["rectangle-13x9"]
    found = bake_time(pan, "1.07 l", "180 C", batter="10 C")
    assert _minutes(found.minutes) == pytest.approx(bake_minutes(pan, 1.07e-3, 180.0, 10.0))
    assert kk.bake_time is bake_time


@given(pan=st.sampled_from([p for p in PANS.values() if p.shape == "tube"]), fill=fills)
def test_a_tube_bakes_sooner_than_the_same_pan_without_it(pan, fill):
    volume = fill * pan.capacity_m3
    plain = dataclasses.replace(pan, kind="round", shape="round", tube_top=0.0, tube_bottom=0.0)
    depth = pan.depth_m(volume)
    assert 0 < bake_minutes(pan, volume, 177.0) < bake_minutes(plain, plain.volume_m3(depth), 177.0)


def test_high_up_the_crumb_is_done_at_a_lower_temperature(kit):
    """Water boils at 92 °C at 8,000 ft, so a crumb cannot reach 96 °C there."""
    pan = kit.pans["loaf-8.5x4.5"]
    times = [
        _minutes(bake_time(pan, "535 ml", altitude=height).minutes)
        for height in ("0 m", "300 m", "5000 ft", "8000 ft", "4500 m")
    ]
    assert times[0] == times[1] == _minutes(bake_time(pan, "535 ml").minutes)
    assert times[1] > times[2] > times[3] > times[4]
    same = bake_minutes(pan, 535e-6, (350 - 32) / 1.8, done_c=kk.boiling_point("8000 ft").m - 2)
    assert times[3] == pytest.approx(same)


def test_each_further_rack_takes_a_tenth_more_and_leaves_the_first_look(kit):
    pan = kit.pans["muffin-12"]
    one, two, three = (bake_time(pan, "45 ml", racks=racks) for racks in (1, 2, 3))
    for racks, found in ((2, two), (3, three)):
        stretch = 1 + 0.1 * (racks - 1)
        assert _minutes(found.minutes) == pytest.approx(stretch * _minutes(one.minutes))
        assert _minutes(found.high) == pytest.approx(stretch * _minutes(one.high))
        assert found.low == one.low
        assert found.check_from == one.check_from
        turn = f"turn every pan at about {_minutes(found.minutes) / 2:.0f} min"
        assert any(turn in caution and "no source" in caution for caution in found.cautions)
    assert one.cautions == ()


# The middle's temperature, for the picture -----------------------------------------------------


@given(pan=pans, fill=fills, oven=ovens)
def test_the_middle_warms_from_the_room_to_done_at_the_time_told(pan, fill, oven):
    volume = fill * pan.capacity
    done = bake_minutes(pan, volume.m_as("m**3"), oven)
    curve = middle_celsius(pan, volume, oven, np.linspace(0, 2 * done, 41))
    assert curve[0] == pytest.approx(21)
    assert (np.diff(curve) >= -1e-2).all()
    assert curve[20] == pytest.approx(HEAT.done_c, abs=0.01)
    assert curve.max() <= 100
    later = middle_celsius(pan, volume, oven, np.array([1.3 * done]), done_min=1.3 * done)
    assert later[0] == pytest.approx(HEAT.done_c, abs=0.01)


# Words and cautions -----------------------------------------------------------------------------


def test_it_says_why_in_plain_words(kit):
    found = bake_time(kit.pans["loaf-8.5x4.5"], "535 ml")
    assert "in the loaf pan, 8 1/2 × 4 1/2 in" in found.why
    assert "350 °F (177 °C, gas mark 4)" in found.why
    assert "2.7 cm" in found.why
    assert "general model" in found.why
    low, high = round(_minutes(found.low)), round(_minutes(found.high))
    first = int(_minutes(found.check_from))
    expected = f"about {_minutes(found.minutes):.0f} min, most likely {low} to {high}"
    assert str(found) == f"{expected}; look from {first} min on"
    known = bake_time(kit.pans["square-8"], "535 ml", known=(kit.pans["loaf-9x5"], "1 l", 62))
    assert "your 62 min in the loaf pan, 9 × 5 in" in known.why


@pytest.mark.parametrize(
    ("key", "volume", "oven", "words"),
    [
        ("square-8-glass", "535 ml", "350 F", "15 °C (25 °F)"),
        ("loaf-9x5-dark", "600 ml", "350 F", "crust browns sooner"),
        ("quiche-10-ceramic", "500 ml", "350 F", "slower ceramic heats is an assumption"),
        ("muffin-6-silicone", "50 ml", "350 F", "slower silicone heats is an assumption"),
        ("loaf-9x5", "1.3 l", "350 F", "Deeper than the bakes"),
        ("square-8", "535 ml", "275 F", "take this as a guess"),
        ("square-8", "535 ml", "450 F", "take this as a guess"),
    ],
)
def test_a_caution_where_the_model_is_stretched_or_the_oven_wants_another_setting(
    kit, key, volume, oven, words
):
    (caution,) = bake_time(kit.pans[key], volume, oven).cautions
    assert words in caution


def test_no_caution_where_there_is_none(kit):
    assert bake_time(kit.pans["square-8"], "535 ml").cautions == ()


def test_deep_batter_is_looked_at_earlier_unless_a_bake_like_it_is_known(kit):
    """Steam carries heat to the middle of a deep batter too: see `baking._DEEPEST`."""
    loaf = kit.pans["loaf-9x5"]
    deep = bake_time(loaf, "1.3 l")
    assert _minutes(deep.minutes) / _minutes(deep.low) > 1.2 * math.exp(WINDOW)
    known = bake_time(loaf, "1.3 l", known=(loaf, "1.3 l", 70))
    assert known.cautions == ()
    assert _minutes(known.minutes) / _minutes(known.low) == pytest.approx(math.exp(REPEAT))


# What is refused --------------------------------------------------------------------------------


def _loaf():
    return PANS["loaf-9x5"]


REFUSED = {
    "oven at done": ({"oven": Q(96, "degC")}, BakeError, "never brings the crumb to 96 °C"),
    "oven far too cool": ({"oven": "150 F"}, BakeError, "Set it hotter"),
    "no oven scale": ({"oven": 350}, MeasureError, "no scale"),
    "no oven": ({"oven": "hot"}, MeasureError, "not a temperature"),
    "empty pan": ({"volume": "0 ml"}, BakeError, "no batter in the pan"),
    "overfull pan": ({"volume": "5 l"}, PanError, "more. Use a larger pan"),
    "below nothing": ({"volume": Q(-1, "ml")}, MeasureError, "0 or more"),
    "not finite": ({"volume": Q(math.nan, "ml")}, MeasureError, "0 or more"),
    "no unit": ({"volume": 500}, MeasureError, "no unit"),
    "a weight": ({"volume": "500 g"}, MeasureError, "not a volume"),
    "hot batter": ({"batter": "97 C"}, BakeError, "already hotter than a done crumb"),
    "batter without scale": ({"batter": 20}, MeasureError, "no scale"),
    "known below 0": ({"known": (_loaf(), "1 l", -5)}, BakeError, "-5 min is no bake"),
    "known 0": ({"known": (_loaf(), "1 l", 0)}, BakeError, "0 min is no bake"),
    "known nan": ({"known": (_loaf(), "1 l", math.nan)}, BakeError, "nan min is no bake"),
    "known endless": ({"known": (_loaf(), "1 l", math.inf)}, BakeError, "inf min is no bake"),
    "known in words": ({"known": (_loaf(), "1 l", "55 min")}, MeasureError, "number of minutes"),
    "known a weight": ({"known": (_loaf(), "1 l", Q(5, "g"))}, MeasureError, "not a time"),
    "known empty": ({"known": (_loaf(), "0 l", 55)}, BakeError, "no batter"),
    "known overfull": ({"known": (_loaf(), "9 l", 55)}, PanError, "to the brim"),
    "known cool": ({"known": (_loaf(), "1 l", 55, "180 F")}, BakeError, "never brings"),
    "known too short": ({"known": (_loaf(), "1 l")}, BakeError, "its batter and its minutes"),
    "known no pan": ({"known": ("loaf", "1 l", 55)}, BakeError, "its batter and its minutes"),
    "known a number": ({"known": 55}, BakeError, "its batter and its minutes"),
    "known and log": (
        {"known": (_loaf(), "1 l", 55), "correction": _correction()},
        MeasureError,
        "not both",
    ),
    "no height": ({"altitude": "200 F"}, MeasureError, "not"),
    "too high": ({"altitude": "60000 m"}, MeasureError, "higher than any kitchen"),
    "no racks": ({"racks": 0}, BakeError, "Choose 1, 2 or 3"),
    "four racks": ({"racks": 4}, BakeError, "Choose 1, 2 or 3"),
}


@pytest.mark.parametrize(("asked", "error", "words"), REFUSED.values(), ids=REFUSED)
def test_what_cannot_be_is_refused_in_plain_words(asked, error, words):
    with pytest.raises(error) as caught:
        bake_time(_loaf(), **({"volume": "1 l"} | asked))
    assert type(caught.value) is error
    assert words in str(caught.value)


def test_one_cool_oven_among_many_is_told():
    with pytest.raises(BakeError, match="80 °C never"):
        bake_minutes(_loaf(), 1e-3, np.array([180.0, 80.0, 170.0]))
    with pytest.raises(BakeError, match="already hotter"):
        bake_minutes(_loaf(), 1e-3, 180.0, np.array([20.0, 120.0]))
