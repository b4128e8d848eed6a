"""Pans as solids: limits, round trips, the measured pan, and every refusal."""

import math
import pickle

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from kitchenkit.errors import KitchenError, MeasureError
from kitchenkit.pans import KINDS, Pan, PanError
from kitchenkit.units import Q


def loaf(**changes):
    sizes = {"top": ("9 in", "5 in"), "depth": "2 3/4 in", "bottom": ("8 1/4 in", "4 1/4 in")}
    return Pan.from_sizes("loaf", **{**sizes, **changes})


def tube(**changes):
    sizes = {"top": "9 in", "depth": "3 in", "bottom": "8 in", "tube": ("2 in", "3 in")}
    return Pan.from_sizes("tube", **{**sizes, **changes})


def cm(value):
    return Q(value, "cm")


SHARES = st.floats(0.3, 1)
SIZES = st.floats(3, 60)


@st.composite
def pans(draw):
    """Any pan of the three shapes, in centimetres."""
    kind = draw(st.sampled_from(["loaf", "round", "tube"]))
    depth = cm(draw(st.floats(1, 20)))
    length, share = draw(SIZES), draw(SHARES)
    if kind == "round":
        return Pan.from_sizes(kind, cm(length), depth, cm(length * share))
    if kind == "tube":
        wide = draw(st.floats(0.05, 0.95)) * length * share
        narrow = wide * draw(SHARES)
        sizes = {"bottom": cm(length * share), "tube": (cm(narrow), cm(wide))}
        return Pan.from_sizes(kind, cm(length), depth, **sizes)
    width, other = draw(SIZES), draw(SHARES)
    corner = draw(st.floats(0, 0.5)) * min(length * share, width * other)
    bottom = (cm(length * share), cm(width * other))
    return Pan.from_sizes(kind, (cm(length), cm(width)), depth, bottom, corner=cm(corner))


# Known solids ----------------------------------------------------------------------------------


def test_an_upright_box_holds_length_times_width_times_depth():
    pan = Pan.from_sizes("square", "8 in", "2 in")
    assert pan.capacity.m_as("inch**3") == pytest.approx(128)
    assert pan.volume("1 in").m_as("inch**3") == pytest.approx(64)
    assert pan.depth(Q(32, "inch**3")).m_as("inch") == pytest.approx(0.5)


def test_rounded_corners_take_their_part_away():
    sharp = Pan.from_sizes("square", "8 in", "2 in")
    rounded = Pan.from_sizes("square", "8 in", "2 in", corner="4 in")  # a cylinder
    assert rounded.capacity.m_as("inch**3") == pytest.approx(math.pi * 16 * 2)
    assert rounded.box_capacity == sharp.box_capacity


def test_a_sloping_round_is_a_cut_cone():
    pan = Pan.from_sizes("muffin", "6 cm", "3 cm", "4 cm")
    assert pan.capacity.m_as("cm**3") == pytest.approx(math.pi * 3 / 3 * (9 + 6 + 4))


def test_a_sloping_box_is_a_prismatoid():
    pan = Pan.from_sizes("loaf", ("9 cm", "5 cm"), "3 cm", ("8 cm", "3 cm"))
    assert pan.capacity.m_as("cm**3") == pytest.approx(3 / 6 * (45 + 4 * 8.5 * 4 + 24))


def test_a_tube_takes_its_cone_away():
    outer, pan = Pan.from_sizes("round", "9 in", "3 in", "8 in"), tube()
    cone = math.pi * 3 / 12 * (4 + 6 + 9)
    assert pan.capacity.m_as("inch**3") == pytest.approx(outer.capacity.m_as("inch**3") - cone)


# Properties ------------------------------------------------------------------------------------


@given(pans(), st.floats(0, 1))
def test_depth_and_volume_undo_each_other(pan, share):
    volume = share * pan.capacity
    there = pan.depth(volume)
    assert 0 <= there.m_as("m") <= pan.height
    assert pan.volume(there).m_as("ml") == pytest.approx(volume.m_as("ml"), rel=1e-11, abs=1e-15)
    depth = Q(share * pan.height, "m")
    assert pan.depth(pan.volume(depth)).m_as("m") == pytest.approx(share * pan.height, rel=1e-11)


@given(pans(), st.floats(0, 1), st.floats(0, 1))
def test_more_batter_stands_deeper_and_wider(pan, one, other):
    less, more = sorted((one, other))
    assume(more - less > 1e-6)
    assert pan.depth(less * pan.capacity) < pan.depth(more * pan.capacity)
    assert pan.top_area(less * pan.capacity).m_as("cm**2") <= pan.top_area(
        more * pan.capacity
    ).m_as("cm**2") * (1 + 1e-12)


@given(pans())
def test_no_pan_holds_more_than_its_upright_box(pan):
    assert pan.capacity.m_as("ml") <= pan.box_capacity.m_as("ml") * (1 + 1e-12)


@given(pans(), st.floats(0.05, 0.95))
def test_the_surface_is_the_rate_at_which_volume_grows(pan, share):
    step = 1e-5 * pan.height
    below, above = (Q(share * pan.height + side * step, "m") for side in (-1, 1))
    rate = (pan.volume(above) - pan.volume(below)) / (above - below)
    area = pan.top_area(pan.volume(Q(share * pan.height, "m")))
    assert rate.m_as("cm**2") == pytest.approx(area.m_as("cm**2"), rel=1e-6)


@given(pans(), st.floats(0.5, 1.5))
def test_a_pan_measured_with_water_holds_that_water(pan, ratio):
    weight = ratio * pan.capacity * Q(0.9982, "g/ml")
    assume(0.5001 < ratio < 1.4999)
    measured = pan.with_water(weight)
    assert measured.capacity.m_as("ml") == pytest.approx(ratio * pan.capacity.m_as("ml"))
    assert measured.measured
    assert measured.height == pan.height
    slope = pan.top_length / pan.bottom_length
    assert measured.top_length / measured.bottom_length == pytest.approx(slope)


# Limits ----------------------------------------------------------------------------------------


@pytest.mark.parametrize("pan", [loaf(), tube(), Pan.from_sizes("pie", "9 in", "1 in", "7 in")])
def test_empty_and_brimful(pan):
    assert pan.depth("0 ml").m_as("cm") == 0
    assert pan.volume("0 in").m_as("ml") == 0
    assert pan.depth(pan.capacity).m_as("m") == pytest.approx(pan.height, rel=1e-14)
    with pytest.raises(PanError, match="more"):
        pan.depth(1.01 * pan.capacity)


def test_too_much_batter_is_told_with_how_much():
    pan = Pan.from_sizes("square", "10 cm", "5 cm", name="little square")
    with pytest.raises(PanError, match=r"square holds 500 ml .* 100 ml \(1/4 cup \+ 3 tbsp\) more"):
        pan.depth("600 ml")


def test_a_depth_above_the_rim_is_refused():
    with pytest.raises(PanError, match="above the rim"):
        loaf().volume("3 in")


@pytest.mark.parametrize("plain", [500, 1.5, None, Q(3, "cm"), "3 in"])
def test_a_volume_needs_a_unit_of_volume(plain):
    with pytest.raises(MeasureError):
        loaf().depth(plain)


def test_answers_come_in_kitchen_units():
    pan = loaf()
    assert pan.capacity.units == Q(1, "ml").units
    assert pan.depth("2 cups").units == Q(1, "cm").units
    assert pan.usual_volume.m_as("ml") == pytest.approx(
        KINDS["loaf"].usual * pan.capacity.m_as("ml")
    )


def test_every_kind_has_rising_fill_limits():
    for kind in KINDS.values():
        assert 0 < kind.low < kind.usual < kind.high < 1


# What a drawing needs --------------------------------------------------------------------------


def test_size_at_bottom_and_rim():
    pan = loaf()
    assert [s.m_as("inch") for s in pan.size_at("0 in")] == pytest.approx([8.25, 4.25, 0])
    assert [s.m_as("inch") for s in pan.size_at("2 3/4 in")] == pytest.approx([9, 5, 0])
    assert [s.m_as("inch") for s in tube().size_at("1.5 in")] == pytest.approx([8.5, 8.5, 2.5])


def _area(outline):
    points = outline.m_as("cm")
    turned = [*points[1:], points[0]]
    return abs(sum(x * v - u * y for (x, y), (u, v) in zip(points, turned, strict=True))) / 2


def test_the_profile_is_the_cut_through_the_length():
    (outline,) = loaf().profile()
    assert _area(outline) == pytest.approx((9 + 8.25) / 2 * 2.75 * 2.54**2)
    (batter,) = loaf().profile("1 in")
    assert batter.m_as("inch").max(axis=0) == pytest.approx([(8.25 + 0.75 / 2.75) / 2, 1])


def test_a_tube_has_a_profile_on_either_side():
    right, left = tube().profile()
    assert _area(right) == pytest.approx((8.5 - 2.5) / 2 * 3 * 2.54**2)
    assert (left.m_as("cm")[:, 0] == -right.m_as("cm")[:, 0]).all()


# Water -----------------------------------------------------------------------------------------


def test_several_wells_are_weighed_at_once():
    well = Pan.from_sizes("muffin", "2.75 in", "1.25 in", "2 in", wells=12)
    assert well.with_water("600 g", wells=6).capacity.m_as("ml") == pytest.approx(100 / 0.9982)


@pytest.mark.parametrize("weight", ["500 g", "3 kg", "0 g"])
def test_an_absurd_weight_of_water_is_to_be_measured_again(weight):
    with pytest.raises(PanError, match="Weigh again"):
        loaf().with_water(weight)


def test_water_needs_a_weight():
    with pytest.raises(MeasureError):
        loaf().with_water("1 l")
    with pytest.raises(PanError, match="whole"):
        loaf().with_water("1800 g", wells=1.5)


# Pans that cannot be ---------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("make", "says"),
    [
        (lambda: loaf(bottom=("10 in", "4 in")), "lean outwards"),
        (lambda: loaf(top=("9 m", "5 m")), "Check its unit"),
        (lambda: loaf(depth="0 in"), "Check its unit"),
        (lambda: loaf(corner="3 in"), "at most half"),
        (lambda: loaf(tube="1 in"), "no tube"),
        (lambda: loaf(material="paper"), "material"),
        (lambda: loaf(wells=0), "1 or more"),
        (lambda: loaf(wells=2.5), "whole"),
        (lambda: loaf(top=("9 in", "5 in", "3 in")), "one or two sizes"),
        (lambda: tube(tube=None), "A tube needs"),
        (lambda: tube(tube=("3 in", "2 in")), "A tube needs"),
        (lambda: tube(tube="8 in"), "A tube needs"),
        (lambda: Pan.from_sizes("round", ("9 in", "8 in"), "2 in"), "is round"),
        (lambda: Pan.from_sizes("round", "9 in", "2 in", corner="1 in"), "0 for a round"),
        (lambda: Pan.from_sizes("bucket", "9 in", "9 in"), "no kind of pan"),
    ],
)
def test_what_is_no_pan_is_refused_in_plain_words(make, says):
    with pytest.raises(PanError, match=says) as caught:
        make()
    assert isinstance(caught.value, KitchenError)


def _row(**changes):
    sizes = {"top_length": 0.2, "bottom_length": 0.2, "height": 0.05}
    return Pan(**{"key": "p", "name": "p", "kind": "round", "shape": "round", **sizes, **changes})


def test_a_row_in_metres_makes_a_pan_too():
    assert _row().capacity.m_as("liter") == pytest.approx(math.pi * 0.1**2 * 0.05 * 1000)
    assert _row(top_width=0.2).capacity == _row().capacity  # said twice, but the same


@pytest.mark.parametrize(
    ("changes", "says"),
    [
        ({"shape": "box"}, "has the shape round"),
        ({"top_width": 0.3}, "one size across"),
        ({"height": math.nan}, "Check its unit"),
        ({"corner": -0.01}, "corner radius"),
        ({"corner": math.nan}, "corner radius"),
        ({"tube_top": math.nan}, "no tube"),
        ({"kind": "loaf", "shape": "box"}, "both needed"),
        ({"top_length": math.inf}, "Check its unit"),
    ],
)
def test_a_row_that_makes_no_pan(changes, says):
    with pytest.raises(PanError, match=says):
        _row(**changes)


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"kind": "bucket"}, "kind"),
        ({"shape": "box"}, "shape"),
        ({"material": "paper"}, "material"),
        ({"wells": 0}, "wells"),
        ({"wells": 1.5}, "wells"),
        ({"top_width": 0.3}, "top_width"),
        ({"bottom_width": 0.3}, "bottom_width"),
        ({"height": 0.5}, "height"),
        ({"height": 0.001}, "height"),
        ({"top_length": 2.0}, "top_length"),
        ({"bottom_length": 0.001}, "bottom_length"),
        ({"bottom_length": 0.3}, "bottom_length"),
        ({"corner": 0.01}, "corner"),
        ({"tube_top": 0.01}, "tube_top"),
        ({"tube_bottom": 0.01}, "tube_bottom"),
        ({"kind": "loaf", "shape": "box"}, "top_width"),
        ({"kind": "loaf", "shape": "box", "top_width": 0.1}, "bottom_width"),
        ({"kind": "tube", "shape": "tube"}, "tube_top"),
        ({"kind": "tube", "shape": "tube", "tube_top": 0.05}, "tube_bottom"),
    ],
)
def test_an_error_says_which_field_to_mend(changes, field):
    with pytest.raises(PanError) as caught:
        _row(**changes)
    assert caught.value.field == field


def test_an_error_survives_pickling():
    with pytest.raises(PanError) as caught:
        _row(height=0.5)
    again = pickle.loads(pickle.dumps(caught.value))
    assert (str(again), again.field) == (str(caught.value), "height")


def test_sizes_need_units():
    with pytest.raises(MeasureError, match="no unit"):
        Pan.from_sizes("round", 9, "2 in")
