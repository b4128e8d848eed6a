"""The conduction series against a general-purpose solver: SciPy's solve_ivp, method of lines.

See `method_of_lines` beside this folder. What its cutting leaves is held under 0.2 % by a test.
"""

import numpy as np
import pytest
from method_of_lines import ALPHA, K, half, line, solve

from kitchenkit.baking import HEAT, MATERIAL_HEAT, bake_minutes
from kitchenkit.conduction import Body, box, cylinder, round_body, two_faced_slab, wall

ONE_PERCENT = 0.01

# Excess when done in the usual bake: 177 °C oven, batter from 21 to 96 °C.
DONE = (177 - 96) / (177 - 21)

SLAB = 0.05
SLABS = {
    "alike": (25.0, 25.0),
    "unlike": (21.0, 10.0),  # a pan's bottom and the open top
    "far from alike": (40.0, 2.0),
    "one face closed": (25.0, 0.0),
}
EARLY = dict.fromkeys(SLABS.values(), ONE_PERCENT) | {(40.0, 2.0): 0.02}


def _compare(body: Body, lines, early=ONE_PERCENT):
    last = 1.8 * float(body.seconds_until(ALPHA, DONE))
    seconds = np.linspace(last / 40, last, 16)
    series = body.excess(ALPHA, seconds)
    solved, done_at = solve(lines, seconds, DONE)
    # Of the whole difference between batter and oven, at every time on the way.
    assert np.all(np.abs(series - solved) <= np.where(solved > 0.9, early, ONE_PERCENT))
    assert 0.9 < solved[0] <= 1.0001  # the times run from hardly warmed
    assert solved[-1] < 0.75 * DONE  # to well past done
    assert body.seconds_until(ALPHA, DONE) == pytest.approx(done_at, rel=ONE_PERCENT)


@pytest.mark.parametrize(("below", "above"), SLABS.values(), ids=SLABS)
def test_a_slab_agrees_with_the_solver(below, above):
    """The solver's slowest node is sought anew at each time; the series keeps to one point.

    Where the faces are far from alike that costs up to 0.02 while the point has hardly warmed.
    """
    slab = two_faced_slab(below * SLAB / K, above * SLAB / K)
    _compare(Body((slab,), (SLAB,)), [line(SLAB, 80, below, above)], EARLY[below, above])


def test_a_slab_alike_on_both_faces_agrees_with_the_solver():
    body = Body((wall(25.0 * SLAB / 2 / K),), (SLAB / 2,))
    _compare(body, [half(SLAB, 40, 25.0)])


def test_a_long_cylinder_agrees_with_the_solver():
    body = Body((cylinder(25.0 * SLAB / 2 / K),), (SLAB / 2,))
    lines = [line(SLAB / 2, 40, 0.0, 25.0, around=True)]
    _compare(body, lines)


@pytest.mark.parametrize(
    ("across", "height", "below", "above", "side"),
    [(0.06, 0.05, 25.0, 25.0, 25.0), (0.06, 0.03, 21.0, 10.0, 21.0), (0.23, 0.05, 30.0, 8.0, 30.0)],
    ids=["alike", "a muffin", "a round pan"],
)
def test_a_short_cylinder_agrees_with_the_solver(across, height, below, above, side):
    body = round_body((across, height), K, below, above, side)
    lines = [line(height, 32, below, above), line(across / 2, 32, 0.0, side, around=True)]
    _compare(body, lines)


@pytest.mark.parametrize(
    ("sizes", "below", "above", "side"),
    [((0.09, 0.07, 0.05), 25.0, 25.0, 25.0), ((0.20, 0.10, 0.05), 21.0, 10.0, 21.0)],
    ids=["alike", "a loaf"],
)
def test_a_brick_agrees_with_the_solver(sizes, below, above, side):
    length, width, height = sizes
    body = box(sizes, K, below, above, side)
    lines = [line(height, 20, below, above), half(length, 10, side), half(width, 10, side)]
    _compare(body, lines)


@pytest.mark.parametrize("key", ["loaf-8.5x4.5", "square-9-glass", "muffin-12"])
def test_baking_minutes_of_a_pan_agree_with_the_solver(kit, key):
    """From the pan's own sizes and the model's numbers, by another way all through."""
    pan = kit.pans[key]
    volume = pan.usual_volume
    depth = pan.depth(volume)
    length, width, _ = (size.m_as("m") for size in pan.size_at(depth / 2))
    risen = depth.m_as("m") * HEAT.rise
    h_pan = HEAT.h_pan * MATERIAL_HEAT[pan.material]
    assert (HEAT.conductivity, HEAT.diffusivity) == (K, ALPHA)
    lines = [line(risen, 20, h_pan, HEAT.h_top)]
    if pan.shape == "round":
        lines.append(line(length / 2, 16, 0.0, h_pan, around=True))
    else:
        lines += [half(length, 10, h_pan), half(width, 10, h_pan)]
    minutes = bake_minutes(pan, volume.m_as("m**3"), 177.0, 21.0)
    _, seconds = solve(lines, np.array([0.0, minutes * 90]), (177 - HEAT.done_c) / (177 - 21))
    assert minutes == pytest.approx(seconds / 60, rel=ONE_PERCENT)


def test_the_cutting_itself_is_fine_enough():
    """The coarsest grid, the brick's: halving the step tells what error is left (Richardson)."""
    times = []
    for cells in (5, 10):
        lines = [line(0.05, 2 * cells, 21.0, 10.0), half(0.2, cells, 21.0)]
        lines.append(half(0.1, cells, 21.0))
        times.append(solve(lines, np.array([0.0, 6000.0]), DONE)[1])
    # The error falls fourfold with half the step, so a third of the change is what is left.
    assert abs(times[1] - times[0]) / 3 <= 0.002 * times[1]
