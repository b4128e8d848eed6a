"""Baking times: one array call against a loop of single calls, and against a general solver.

Run by hand: ``.venv/bin/python tests/bench/bake_time.py``.

1. 10,000 batters and ovens in one pan: one call of ``baking.bake_minutes`` with arrays, against
   ``bake_time`` (the public call, with its window and words) and ``bake_minutes``, each in a loop
   of 300 calls and scaled up to 10,000.
2. The time to done of one loaf: ``seconds_until`` against SciPy's ``solve_ivp`` (BDF, method of
   lines with a sparse Jacobian, stopped when done), on the coarsest grid and loosest tolerance
   tried that comes within 0.2 % of the reference, which is the same solver on two fine grids,
   extrapolated. Making the body, and making the matrix, count.

Medians of repeated rounds, in one run.
"""

from __future__ import annotations

import statistics
import sys
import time
from pathlib import Path

import numpy as np
from scipy.integrate import solve_ivp

import kitchenkit as kk
from kitchenkit.baking import HEAT, bake_minutes, bake_time, body

sys.path.insert(0, str(Path(__file__).parents[1]))
from method_of_lines import ALPHA, K, half, line, together

COUNT, LOOPED, ROUNDS = 10_000, 300, 7
ACCURACY = 2e-3
# Cells along each half length and width (twice as many upright), and relative tolerance.
GRIDS = [(cells, rtol) for cells in (4, 6, 8, 10, 12) for rtol in (1e-3, 1e-4, 1e-5)]
OVEN_C, BATTER_C = 177.0, 21.0
DONE = (OVEN_C - HEAT.done_c) / (OVEN_C - BATTER_C)


def median_seconds(action, rounds: int = ROUNDS) -> float:
    """Median time of an action, the first time left out."""
    times = []
    for _ in range(rounds + 1):
        start = time.perf_counter()
        action()
        times.append(time.perf_counter() - start)
    return statistics.median(times[1:])


def print_array_against_loop(kit) -> None:
    pan = kit.pans["loaf-9x5"]
    rng = np.random.default_rng(20261125)
    volumes = rng.uniform(0.2, 0.9, COUNT) * pan.capacity_m3
    ovens = rng.uniform(150, 220, COUNT)
    asked = [
        (kk.Q(volume, "m**3"), kk.Q(oven, "degC"), float(volume), float(oven))
        for volume, oven in zip(volumes[:LOOPED], ovens[:LOOPED], strict=True)
    ]
    array = median_seconds(lambda: bake_minutes(pan, volumes, ovens))
    loops = {
        "bake_time": lambda: [bake_time(pan, volume, oven) for volume, oven, _, _ in asked],
        "bake_minutes": lambda: [bake_minutes(pan, volume, oven) for _, _, volume, oven in asked],
    }
    print(f"one array call for {COUNT:,}: {array * 1000:.1f} ms")
    for name, loop in loops.items():
        one = median_seconds(loop) / LOOPED
        print(
            f"{name:13} {one * 1e6:6.0f} µs a call; {COUNT:,} in a loop {one * COUNT:5.2f} s "
            f"({LOOPED} measured, scaled): {one * COUNT / array:.0f} times the array call"
        )


def solver_seconds(sizes, h_pan: float, cells: int, rtol: float) -> float:
    """Time to done by the solver alone."""
    length, width, height = sizes
    upright = line(height, 2 * cells, h_pan, HEAT.h_top)
    matrix = -together([upright, half(length, cells, h_pan), half(width, cells, h_pan)])

    def done(_, excess):
        return excess.max() - DONE

    done.terminal = True
    found = solve_ivp(
        lambda _, excess: matrix @ excess,
        (0.0, 50_000.0),
        np.ones(matrix.shape[0]),
        method="BDF",
        jac=matrix,
        rtol=rtol,
        atol=rtol / 100,
        events=done,
    )
    return float(found.t_events[0][0])


def print_solver_against_series(kit) -> None:
    pan = kit.pans["loaf-8.5x4.5"]
    assert (HEAT.conductivity, HEAT.diffusivity) == (K, ALPHA)
    volume = 535e-6
    depth = pan.depth_m(volume)
    sizes = (*pan.spans_m(depth / 2)[:2], depth * HEAT.rise)
    coarse, fine = (solver_seconds(sizes, HEAT.h_pan, cells, 1e-7) for cells in (8, 16))
    reference = fine + (fine - coarse) / 3

    def ours():
        return float(body(pan, volume).seconds_until(HEAT.diffusivity, DONE))

    print(
        f"\none loaf to done: {reference:.1f} s by the fine grids, {reference - fine:+.2f} beyond"
    )
    print(f"series: {ours():.1f} s, off by {abs(ours() / reference - 1):.3%}")
    good = []
    for cells, rtol in GRIDS:
        if abs(solver_seconds(sizes, HEAT.h_pan, cells, rtol) / reference - 1) <= ACCURACY:
            taken = median_seconds(
                lambda c=cells, r=rtol: solver_seconds(sizes, HEAT.h_pan, c, r), 3
            )
            good.append((taken, cells, rtol))
    taken, cells, rtol = min(good)
    own = median_seconds(ours, 50)
    print(
        f"solver within {ACCURACY:.1%}: {taken * 1000:.0f} ms ({cells} cells a half side, rtol "
        f"{rtol:g}); series {own * 1e6:.0f} µs: {taken / own:.0f} times as long"
    )


def main() -> None:
    """Print both comparisons."""
    kit = kk.open_kit()
    print_array_against_loop(kit)
    print_solver_against_series(kit)


if __name__ == "__main__":
    main()
