"""A year's storage plan for thirty eaters: the public call, whole, with its two tables.

Run by hand: ``.venv/bin/python tests/bench/storage_plan.py``. Three portions a week each, batches
of sixteen, with two bake days a week, with seven, with spare portions, and a missed bake planned
anew. Medians of repeated rounds.
"""

from __future__ import annotations

import statistics
import time

import kitchenkit as kk

ROUNDS = 15
AT_MOST_MS = 50.0
ASKED = {
    "batch": 16,
    "most_batches": 6,
    "room": "120 l",
    "portion": "250 ml",
    "start": "2026-11-29",
    "days": 365,
}


def milliseconds(action) -> float:
    """Median time of an action, the first time left out."""
    times = []
    for _ in range(ROUNDS + 1):
        start = time.perf_counter()
        action()
        times.append(time.perf_counter() - start)
    return 1000 * statistics.median(times[1:])


def main() -> None:
    """Print the times; fail when one is above the limit."""
    every_day = "Mon Tue Wed Thu Fri Sat Sun"
    plan = kk.freezer_plan(30, 3, baking="Sun Wed", **ASKED)
    assert plan.works
    third = plan.bakes["date"].iloc[2]
    cases = {
        "two bake days a week": lambda: kk.freezer_plan(30, 3, baking="Sun Wed", **ASKED),
        "seven": lambda: kk.freezer_plan(30, 3, baking=every_day, **ASKED),
        "seven, 90 to spare": lambda: kk.freezer_plan(30, 3, baking=every_day, spare=90, **ASKED),
        "the third bake missed": lambda: plan.without(third),
    }
    for name, action in cases.items():
        took = milliseconds(action)
        print(f"{name:24}{took:7.1f} ms (at most {AT_MOST_MS:.0f})")
        assert took <= AT_MOST_MS


if __name__ == "__main__":
    main()
