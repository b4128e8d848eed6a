"""Sharing one batter over pans of several kinds."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from itertools import product
from typing import NamedTuple

import pandas as pd
import pint

from kitchenkit.language import num, tr, trn
from kitchenkit.pans import Pan, PanError, say_volume, whole_number
from kitchenkit.swapping import PanFit, batter_m3, fill_words, fit_alike
from kitchenkit.units import Q

_SAME = 1e-12  # rounding of sums, relative
_MOST_TRIES = 20_000  # ways of sharing looked at; more would keep a learner waiting


@dataclass(frozen=True)
class BatchShare:
    """A batter shared over pans of several kinds.

    Attributes
    ----------
    fits : tuple of PanFit
        The pans used, in the order of preference.
    left_over : Quantity
        ml.
    advice : str
    """

    fits: tuple[PanFit, ...]
    left_over: pint.Quantity
    advice: str

    @property
    def table(self) -> pd.DataFrame:
        """The pans used: ``pan``, ``count``, ``each_ml``, ``fill`` (a fraction), ``depth_cm``."""
        rows = [
            (fit.pan.name, fit.count, fit.each.m_as("ml"), fit.fill, fit.depth.m_as("cm"))
            for fit in self.fits
        ]
        return pd.DataFrame(rows, columns=["pan", "count", "each_ml", "fill", "depth_cm"])


def share_batch(volume, pans: Iterable) -> BatchShare:
    """Share a batter over the pans owned: "one loaf and the rest muffins".

    Parameters
    ----------
    volume : Quantity or str
        All of the batter.
    pans : list of (Pan, int), or of Pan
        Dearest first, with the number at hand: of pans, or of wells. A pan alone stands for one,
        with all its wells.

    Returns
    -------
    BatchShare
        Of all ways that keep every pan used within its limits, one that leaves least over; of
        those, one that uses the first pans most, up to their usual fill; of those, the one
        nearest the usual fill overall.

    Raises
    ------
    MeasureError
        If the volume is no volume with its unit.
    PanError
        If there is no batter or no pan, or the ways are too many to look through.

    Notes
    -----
    Every pan is filled to ``low + t (high - low)`` of its kind with one t between 0 and 1 for all,
    so that none is brimming while another is bare.
    """
    total = batter_m3(volume)
    owned = [_owned(item) for item in pans]
    if not any(number for _, number in owned):
        raise PanError(tr("There is no pan to fill. Give at least one."))
    limits = [(p.capacity_m3, p.fill_limits) for p, _ in owned]
    rooms = [_Room(c * k.low, c * k.usual, c * k.high) for c, k in limits]
    counts = _best_counts(total, rooms, [number for _, number in owned])
    low, _, high = _sum_rooms(rooms, counts)
    t = min(max((total - low) / (high - low), 0.0), 1.0) if high else 0.0
    fits = []
    for (pan, _), count in zip(owned, counts, strict=True):
        if count:
            kind = pan.fill_limits
            fill = kind.low + t * (kind.high - kind.low)
            fits.append(fit_alike(pan, count, fill, count * fill * pan.capacity_m3))
    left = max(total - high, 0.0)
    left = left if left > _SAME * total else 0.0
    return BatchShare(
        fits=tuple(fits),
        left_over=Q(left * 1e6, "ml"),
        advice=_share_words(total, owned, rooms, counts, fits, left),
    )


class _Room(NamedTuple):
    """Batter in one pan at its low, usual and high fill, m³."""

    low: float
    usual: float
    high: float


def _owned(item) -> tuple[Pan, int]:
    pan, number = (item, item.wells) if isinstance(item, Pan) else item
    return pan, whole_number(number, "pans at hand", 0)


def _sum_rooms(rooms, counts) -> _Room:
    return _Room(*(sum(n * r[at] for n, r in zip(counts, rooms, strict=True)) for at in range(3)))


def _best_counts(total: float, rooms: list[_Room], owned: list[int]) -> tuple[int, ...]:
    """Look through the numbers of every pan but the most plentiful, and solve for that one."""
    most = [
        min(n, math.floor(total / room.low * (1 + _SAME)))
        for n, room in zip(owned, rooms, strict=True)
    ]
    free = most.index(max(most))
    choices = [range(n + 1) if at != free else (0,) for at, n in enumerate(most)]
    if math.prod(map(len, choices)) > _MOST_TRIES:
        raise PanError(tr("That is too many pans to look through. Give fewer kinds at once."))
    ways = (
        (*counts[:free], count, *counts[free + 1 :])
        for counts in product(*choices)
        for count in _free_counts(total, rooms, counts, free, most[free])
    )
    return min(ways, key=lambda counts: _dislike(total, rooms, counts))


def _free_counts(total, rooms, others, free, most) -> set[int]:
    """The numbers of the one free pan, beside the others, among which the best must be.

    What is asked of it falls or rises steadily with its number except at these: where the batter
    overfills or underfills, where it has taken all the others do not want, and at usual fill.
    """
    room, beside = rooms[free], _sum_rooms(rooms, others)
    highest = math.floor((total * (1 + _SAME) - beside.low) / room.low)
    if highest < 0:
        return set()
    highest = min(highest, most)
    lowest = min(max(math.ceil((total * (1 - _SAME) - beside.high) / room.high), 0), highest)
    before = _sum_rooms(rooms[:free], others[:free]).usual
    turns = {
        math.ceil(max(total - before, 0.0) / room.usual - 1e-9),
        math.floor((total - beside.usual) / room.usual),
        math.floor((total - beside.usual) / room.usual) + 1,
        highest,
    }
    return {min(max(turn, lowest), highest) for turn in turns}


def _dislike(total: float, rooms: list[_Room], counts: tuple[int, ...]) -> tuple:
    """What to make small, weightiest first; rounded, so that no rounding error decides."""
    _, usual, high = _sum_rooms(rooms, counts)
    wanting, unserved = 1.0, []
    for count, room in zip(counts, rooms, strict=True):
        wanting = max(wanting - count * room.usual / total, 0.0)
        unserved.append(round(wanting, 9))
    left = max(1 - high / total, 0.0)
    return round(left, 11), unserved, round(abs(usual / total - 1), 9), sum(counts), counts


def _share_words(total, owned, rooms, counts, fits, left) -> str:
    if not fits:
        least = min(room.low for (_, n), room in zip(owned, rooms, strict=True) if n)
        return tr(
            "{volume} is too little for any of these pans: the smallest wants at least {least}. "
            "Use a smaller pan, or make {times} times the batter.",
            volume=say_volume(total),
            least=say_volume(least),
            times=num(least / total, ".2g"),
        )
    words = [fill_words(fit.pan, fit.count, fit.fill) for fit in fits]
    idle = [tr(pan.name) for (pan, n), count in zip(owned, counts, strict=True) if n and not count]
    if idle:
        words.append(tr("Not needed: {pans}.", pans=", ".join(idle)))
    words.append(
        _left_words(total, owned, rooms, counts, left) if left else tr("Nothing is left over.")
    )
    return " ".join(words)


def _left_words(total, owned, rooms, counts, left) -> str:
    """Which pan, had there been more of it, would have taken what is left: the fewest, smallest."""
    low = _sum_rooms(rooms, counts).low
    ways = []
    for (pan, _), room in zip(owned, rooms, strict=True):
        more = math.ceil(left / room.high * (1 - _SAME))
        if low + more * room.low <= total:
            ways.append((more, room.high, pan.unit, pan.name))
    if not ways:
        return tr(
            "{left} is left over, too little for one more of these: bake it in a smaller pan, and "
            "do not top these up.",
            left=say_volume(left),
        )
    more, _, one, name = min(ways)
    parts = {"n": num(more, ",d"), "left": say_volume(left), "name": tr(name)}
    if one == "pan":
        return trn(
            "{left} is left over: with {n} more pan ({name}) it would all fit.",
            "{left} is left over: with {n} more pans ({name}) it would all fit.",
            more,
            **parts,
        )
    return trn(
        "{left} is left over: with {n} more well ({name}) it would all fit.",
        "{left} is left over: with {n} more wells ({name}) it would all fit.",
        more,
        **parts,
    )
