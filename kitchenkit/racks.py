"""What an oven holds: pans in straight rows on its racks, with air around each."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import product

import pint

from kitchenkit.errors import KitchenError
from kitchenkit.language import mark, num, tr
from kitchenkit.pans import Pan, whole_number
from kitchenkit.units import Q, si

# Racks of home ovens, and how long one takes to be hot: typical, from memory, unverified. A wide
# oven is the usual one of North America, a narrow one that of a 60 cm kitchen. Measure your own.
RACK_SIZES = {mark("wide"): ("24 in", "16 in"), mark("narrow"): ("46 cm", "36 cm")}
RACKS = 2
PREHEAT_MIN = 15.0
# Common practice, no source: the air left around a pan, the walls included; what a rim or a
# handle adds at each side; what lies between the wells of a tin.
AIR_M = 0.025
RIM_M = 0.010
WEB_M = 0.012
_SAME = 1e-9


@dataclass(frozen=True)
class Oven:
    """An oven and its racks.

    Parameters
    ----------
    name : str
    racks : int
        Used at once, 1 to 3.
    length, width : Quantity or str
        Inside, along and across a rack.
    preheat : float
        Minutes until it is hot.

    Raises
    ------
    KitchenError
        If it is no oven: no rack, no size, or minutes below 0.
    """

    name: str = "oven"
    racks: int = RACKS
    length: pint.Quantity | str = RACK_SIZES["wide"][0]
    width: pint.Quantity | str = RACK_SIZES["wide"][1]
    preheat: float = PREHEAT_MIN

    def __post_init__(self):
        if whole_number(self.racks, "racks", 1) > 3:
            raise KitchenError(tr("{n} racks at once? Choose 1, 2 or 3.", n=self.racks))
        if not min(self.size_m) > 2 * AIR_M:
            raise KitchenError(
                tr(
                    "A rack of {length} × {width} holds no pan. Measure it.",
                    length=self.length,
                    width=self.width,
                )
            )
        if not (math.isfinite(self.preheat) and self.preheat >= 0):
            raise KitchenError(
                tr(
                    "An oven is not hot after {minutes} min. Write 0 or more.",
                    minutes=num(self.preheat, ""),
                )
            )

    @cached_property
    def size_m(self) -> tuple[float, float]:
        """Length and width of a rack, m."""
        return tuple(si(x, "length", "size of the rack") for x in (self.length, self.width))

    @property
    def alike(self) -> tuple:
        """What tells it from another oven, but for its name."""
        return self.racks, self.size_m, self.preheat


def footprint(pan: Pan) -> tuple[pint.Quantity, pint.Quantity]:
    """Room that a pan or a whole tin takes up on a rack: length and width, cm.

    Parameters
    ----------
    pan : Pan

    Notes
    -----
    Inside size at the rim and 1 cm more at each side. The wells of a tin stand in as square a
    block as their number allows, 1.2 cm apart. Both are common practice, no source: measure a tin
    whose handles are wide.
    """
    return tuple(Q(size * 100, "cm") for size in _footprint_m(pan))


def _footprint_m(pan: Pan) -> tuple[float, float]:
    length, width, _ = pan.spans_m(pan.height)
    across = next(n for n in range(math.isqrt(pan.wells), 0, -1) if pan.wells % n == 0)
    along = pan.wells // across
    return tuple(
        wells * span + (wells - 1) * WEB_M + 2 * RIM_M
        for wells, span in ((along, length), (across, width))
    )


@dataclass(frozen=True)
class Spot:
    """Where a pan stands: its rack, the corner nearest the origin and its sides, m."""

    rack: int
    x: float
    y: float
    length: float
    width: float


def on_racks(pans: Sequence[Pan], oven: Oven, racks: int | None = None) -> list[Spot] | None:
    """A way to stand pans on an oven's racks in straight rows, with air around each.

    Parameters
    ----------
    pans : sequence of Pan
    oven : Oven
    racks : int, optional
        How many of its racks to use; all when left out.

    Returns
    -------
    list of Spot or None
        None where rows hold them in neither direction. Who turns pans askew may get one more in.
    """
    racks = oven.racks if racks is None else racks
    sizes = [_footprint_m(pan) for pan in pans]
    kinds = list(dict.fromkeys(sizes))
    for turned in product((False, True), repeat=len(kinds)):
        flip = dict(zip(kinds, turned, strict=True))
        laid = [size[::-1] if flip[size] else size for size in sizes]
        for across in (False, True):
            room = oven.size_m[::-1] if across else oven.size_m
            spots = _rows([s[::-1] for s in laid] if across else laid, room, racks)
            if spots is not None:
                return (
                    [Spot(r, y, x, w, n) for r, x, y, n, w in spots]
                    if across
                    else [Spot(*spot) for spot in spots]
                )
    return None


def _rows(sizes, room: tuple[float, float], racks: int) -> list[tuple] | None:
    """First fit by falling width: (rack, x, y, length, width) for each size, in their order."""
    length, width = (side - AIR_M + _SAME for side in room)
    rows: list[list[float]] = []  # rack, y, width with its air, x of the next pan
    used = [AIR_M] * racks
    spots: dict[int, tuple] = {}
    for at in sorted(range(len(sizes)), key=lambda at: (-sizes[at][1], -sizes[at][0])):
        along, across = sizes[at]
        for row in rows:
            if row[3] + along <= length and across + AIR_M <= row[2] + _SAME:
                break
        else:
            rack = next((r for r in range(racks) if used[r] + across <= width), None)
            if rack is None or AIR_M + along > length:
                return None
            row = [rack, used[rack], across + AIR_M, AIR_M]
            rows.append(row)
            used[rack] += across + AIR_M
        spots[at] = (row[0], row[3], row[1], along, across)
        row[3] += along + AIR_M
    return [spots[at] for at in range(len(sizes))]
