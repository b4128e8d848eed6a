"""Stock that is eaten oldest first: what a calendar of bakes leaves, and the best such calendar.

Days are numbered from 0. On a day the freezer is first cleared of what is past its date, then
people eat, then a bake goes in; so a bake is eaten from the next day on.
"""

from __future__ import annotations

from collections import deque
from dataclasses import dataclass

import numpy as np


@dataclass
class Lot:
    """Portions made on one day. A lot that was there at the start has a `made` below 0."""

    made: int
    portions: int
    eaten_by: int | None = None  # the last day on which some of it was eaten


@dataclass
class Walk:
    """What happened day by day: integer arrays of one number a day, and the lots.

    Attributes
    ----------
    eaten, short, thrown, stock, age : ndarray
        Portions eaten, not to be had, thrown away; left at the day's end; and the oldest one's
        age in days then, 0 where nothing is left.
    lots : list of Lot
        Every lot, oldest first, with what is left of it.
    """

    eaten: np.ndarray
    short: np.ndarray
    thrown: np.ndarray
    stock: np.ndarray
    age: np.ndarray
    lots: list[Lot]


def walk(wanted, baked, keep: int, start=()) -> Walk:
    """Live through the days, oldest first.

    Parameters
    ----------
    wanted, baked : sequence of int
        Portions wanted and baked on each day.
    keep : int
        Days: what is made on day 3 and keeps 10 is eaten on day 13 at the latest.
    start : iterable of (int, int)
        Made on day (0 or below) and portions of each lot that is there at the start.

    Returns
    -------
    Walk
    """
    lots = [Lot(made, portions) for made, portions in sorted(start)]
    held = deque(lots)
    rows = []
    for day, (want, bake) in enumerate(zip(wanted, baked, strict=True)):
        thrown = 0
        while held and held[0].made + keep < day:
            thrown += held.popleft().portions
        eaten = 0
        while held and eaten < want:
            taken = min(held[0].portions, want - eaten)
            held[0].portions -= taken
            held[0].eaten_by = day
            eaten += taken
            if not held[0].portions:
                held.popleft()
        if bake:
            lots.append(Lot(day, int(bake)))
            held.append(lots[-1])
        stock = sum(lot.portions for lot in held)
        rows.append((eaten, want - eaten, thrown, stock, day - held[0].made if held else 0))
    columns = np.array(rows, dtype=np.int64).reshape(len(rows), 5).T
    kept = {id(lot) for lot in held}
    for lot in lots:
        lot.portions = lot.portions if id(lot) in kept else 0
    return Walk(*columns, lots)


def best_batches(wanted, may_bake, batch: int, most: int, room, keep: int, spare=None):
    """The best calendar of whole batches for an empty freezer.

    Parameters
    ----------
    wanted : sequence of int
        Portions wanted on each day, `keep` days beyond the plan included, so that its last bakes
        are not larger than what is eaten in time.
    may_bake : sequence of bool
        For each day of the plan.
    batch, most : int
        Portions in a batch, and batches in a bake at most.
    room : sequence of int
        Portions that fit, for each day of the plan; never shrinking.
    keep : int
        Days, as in `walk`.
    spare : sequence of int, optional
        Portions to have in hand at the end of each day of the plan, from its first bake on.

    Returns
    -------
    ndarray of int
        Batches on each day of the plan.

    Notes
    -----
    Best means, in this order: the fewest portions that cannot be had; the fewest missing from the
    spare ones, summed over the days; the fewest bake days; the least stock summed over the days, so
    that bakes are late and portions fresh. Nothing is baked that cannot be eaten in time or does
    not fit.

    Exact, by dynamic programming backwards over the bake days. The stock alone is state enough:
    whatever is there is eaten oldest first, so the portions in stock after a bake on day u are
    gone by day u + keep if and only if they are no more than what is wanted on the days u + 1 to
    u + keep. Serving all that is there is never worse than holding back. The aims are one
    whole number: each unit of an earlier aim outweighs all that the later ones can add up to.
    """
    days = len(may_bake)
    bake_days = np.flatnonzero(may_bake)
    plan = np.zeros(days, dtype=np.int64)
    until = np.concatenate([[0], np.cumsum(wanted, dtype=np.int64)])  # wanted before day t
    fits = [int(min(room[u], until[u + keep + 1] - until[u + 1])) for u in bake_days]
    largest = max(fits, default=0)
    if largest < batch:
        return plan
    spare = np.zeros(days, dtype=np.int64) if spare is None else np.asarray(spare, np.int64)
    size = largest + 1
    a_day = days * largest + 1
    a_spare = a_day * (len(bake_days) + 1)
    a_portion = a_spare * (int(spare.sum()) + 1)
    # Whole numbers of any size are slow, and only for the largest kitchens.
    kind = np.int64 if a_portion * (int(until[-1]) + 1) < 2**62 else object
    stock = np.arange(size).astype(kind)
    after = np.zeros(size, dtype=kind)  # the least cost from the next bake day on, by stock
    choices = np.zeros((len(bake_days), size), dtype=np.int16)
    for at in range(len(bake_days) - 1, -1, -1):
        u = int(bake_days[at])
        last = at + 1 == len(bake_days)
        v = days if last else int(bake_days[at + 1])
        need = int(until[min(v + 1, days)] - until[u + 1])
        here = _reached(after, need)
        here[:need] += (need - stock[:need]) * a_portion
        for day in range(u, v):
            left = np.maximum(stock - int(until[day + 1] - until[u + 1]), 0)
            here += left
            if spare[day]:
                here += np.maximum(int(spare[day]) - left, 0) * a_spare
        best = here.copy()
        for n in range(1, min(most, fits[at] // batch) + 1):
            made = n * batch
            tried = here[made : fits[at] + 1] + a_day
            better = tried < best[: len(tried)]
            best[: len(tried)][better] = tried[better]
            choices[at, : len(tried)][better] = n
        after = best
    held, before = 0, 0
    for at, u in enumerate(bake_days):
        held = max(held - int(until[u + 1] - before), 0)
        plan[u] = choices[at, held]
        held, before = held + int(plan[u]) * batch, until[u + 1]
    return plan


def _reached(after: np.ndarray, need: int) -> np.ndarray:
    """Costs by stock before `need` portions are wanted, from those by stock after."""
    need = min(need, len(after))
    return np.concatenate([np.full(need, after[0]), after[: len(after) - need]])
