"""Pictures of pans: cross-section and plan to one scale, with the batter in them; and fills."""

from __future__ import annotations

import math

import numpy as np
from matplotlib.patches import PathPatch
from matplotlib.path import Path

from kitchenkit.charts.base import (
    CARROT,
    FAINT,
    INK,
    OAT,
    PAPER,
    STEEL,
    Chart,
    plain_axes,
    wrapped,
)
from kitchenkit.language import num, tr, trn
from kitchenkit.pans import KINDS, Pan
from kitchenkit.saying import say_both, say_fraction
from kitchenkit.units import Q, si

_EMPTY = Path(np.zeros((1, 2)))
_GAP = 2.5  # cm between the cross-section and the plan
_LINE = 0.057  # height of a caption's line, as a share of the picture's


class PanChart(Chart):
    """One or two pans side by side, cut upright above and from above below, to one scale.

    Parameters
    ----------
    titles : list of str
        What each place is for, left to right.
    """

    def __init__(self, titles: list[str]):
        self.titles = titles
        super().__init__(height=2.8)

    def draw(self) -> None:
        count = len(self.titles)
        self.places = []
        for _ in range(count):
            axes = self.figure.add_axes((0, 0, 1, 1))
            axes.set_aspect("equal", anchor="N")
            axes.axis("off")
            self.places.append(_Place(axes))
        middles = [(at + 0.5) / count for at in range(count)]
        style = {"ha": "center", "color": INK}
        self.captions = [self.figure.text(x, 0.97, "", va="top", **style) for x in middles]
        self.sizes = [
            self.figure.text(x, 0.02, "", va="bottom", fontsize=8, **style) for x in middles
        ]

    def update(self, pans: list[Pan], volumes: list, counts: list[int]) -> None:
        """Show the pans with the batter in each.

        Parameters
        ----------
        pans : list of Pan
        volumes : list of Quantity
            Batter in one pan or well; what is above the rim is drawn at the rim and said so.
        counts : list of int
            How many pans or wells are filled.
        """
        widest = max(_top(pan)[0] for pan in pans)  # walls lean outwards
        deepest = max(pan.height * 100 for pan in pans)
        longest = max(_top(pan)[1] for pan in pans)
        for place, pan, volume in zip(self.places, pans, volumes, strict=True):
            place.update(pan, volume)
            half = widest / 2 + 0.6
            place.axes.set_xlim(-half, half)
            place.axes.set_ylim(-longest - _GAP - 0.6, deepest + 0.6)
        for text, title, pan, count in zip(self.captions, self.titles, pans, counts, strict=True):
            text.set_text(f"{title}\n{wrapped(_count_words(pan, count))}")
        self._make_room()
        for text, pan, volume in zip(self.sizes, pans, volumes, strict=True):
            text.set_text(f"{_depth_words(pan, volume)}\n{_size_words(pan)}")

    def _make_room(self) -> None:
        """Let the drawings begin below the longest caption: names are longer in some languages."""
        lines = 1 + max(caption.get_text().count("\n") for caption in self.captions)
        top, count = min(0.78, 0.952 - lines * _LINE), len(self.places)
        for at, place in enumerate(self.places):
            place.axes.set_position((at / count + 0.01, 0.21, 1 / count - 0.02, top - 0.21))


def _count_words(pan: Pan, count: int) -> str:
    values = {"n": num(count, "d"), "name": tr(pan.name)}
    if pan.wells == 1:
        return trn("{n} pan: {name}", "{n} pans: {name}", count, **values)
    return trn("{n} well: {name}", "{n} wells: {name}", count, **values)


def _top(pan: Pan) -> tuple[float, float]:
    length, width, _ = pan.spans_m(pan.height)
    return length * 100, width * 100


def _depth_words(pan: Pan, volume) -> str:
    volume = si(volume, "volume", "batter")
    if volume > pan.capacity_m3:
        return tr("batter more than it holds")
    return tr("batter {depth} deep", depth=say_both(Q(pan.depth_m(volume) * 100, "cm")))


def _size_words(pan: Pan) -> str:
    sides = _top(pan)[: 2 if pan.shape == "box" else 1]
    metric = " × ".join(num(side, ".1f") for side in sides)
    inches = " × ".join(say_fraction(side / 2.54, thirds=False) for side in sides)
    return tr("rim {metric} cm\n{inches} in", metric=metric, inches=inches)


class _Place:
    """The artists of one pan."""

    def __init__(self, axes):
        self.axes = axes

        def patch(**style):
            return axes.add_patch(PathPatch(_EMPTY, **style))

        self.batter = patch(facecolor=OAT, edgecolor=CARROT, lw=0.8, hatch="--")
        self.wall = patch(facecolor="none", edgecolor=INK, lw=2.2)
        self.rim = patch(facecolor=STEEL, edgecolor=INK, lw=1.6)
        self.plan_batter = patch(facecolor=OAT, edgecolor=CARROT, lw=0.8, hatch="--")
        self.base = patch(facecolor="none", edgecolor=INK, lw=0.8, ls="--")
        self.hole = patch(facecolor=PAPER, edgecolor=INK, lw=1.0)

    def update(self, pan: Pan, volume) -> None:
        volume = si(volume, "volume", "batter")
        full = volume > pan.capacity_m3
        level = pan.height if full else pan.depth_m(volume)
        outlines = [side.m_as("cm") for side in pan.profile()]
        self.wall.set_path(_walls(outlines))
        self.batter.set_path(_closed([side.m_as("cm") for side in pan.profile(Q(level, "m"))]))
        middle = -_GAP - _top(pan)[1] / 2
        self.rim.set_path(_plan(pan, pan.height, middle))
        self.plan_batter.set_path(_plan(pan, level, middle))
        self.base.set_path(_plan(pan, 0.0, middle))
        tube = pan.spans_m(level)[2] * 100
        self.hole.set_path(_oval(tube, middle) if tube else _EMPTY)


def _closed(outlines) -> Path:
    return Path.make_compound_path(*(Path(np.vstack([o, o[:1]]), closed=True) for o in outlines))


def _walls(outlines) -> Path:
    """The outlines without their open top: down one side, along the bottom, up the other."""
    return Path.make_compound_path(*(Path(o[[3, 0, 1, 2]]) for o in outlines))


def _plan(pan: Pan, height_m: float, middle: float) -> Path:
    length, width, _ = (span * 100 for span in pan.spans_m(height_m))
    if pan.shape != "box":
        return _oval(length, middle)
    radius = min(pan.corner * 100, length / 2, width / 2)
    points = []
    for sx, sy, start in ((1, 1, 0), (-1, 1, 90), (-1, -1, 180), (1, -1, 270)):
        for turn in np.radians(np.linspace(start, start + 90, 9)):
            x = sx * (length / 2 - radius) + radius * math.cos(turn)
            y = sy * (width / 2 - radius) + radius * math.sin(turn)
            points.append((x, y + middle))
    return _closed([np.array(points)])


def _oval(diameter: float, middle: float) -> Path:
    turn = np.linspace(0, 2 * np.pi, 73)[:-1]
    ring = np.column_stack([np.cos(turn), np.sin(turn)]) * diameter / 2
    return _closed([ring + np.array([0.0, middle])])


class FillChart(Chart):
    """A bar for each kind of pan: how full it is, between the least and most it should be."""

    bars_count = 3

    def __init__(self):
        super().__init__(height=2.2)

    def draw(self) -> None:
        self.axes = self.figure.add_axes((0.45, 0.27, 0.49, 0.71))
        plain_axes(self.axes)
        where = range(self.bars_count)
        self.bars = self.axes.barh(where, [0.0] * self.bars_count, 0.5, color=OAT, edgecolor=INK)
        for bar in self.bars:
            bar.set_hatch("--")
        (self.limits,) = self.axes.plot([], [], "|", color=CARROT, ms=26, mew=2.5)
        (self.usual,) = self.axes.plot([], [], "D", color=INK, ms=5)
        self.labels = [self.axes.text(0, at, "", va="center", fontsize=8.5) for at in where]
        self.axes.set_xlim(0, 118)
        self.axes.set_xticks(range(0, 101, 25))
        self.axes.set_ylim(self.bars_count - 0.4, -0.6)
        key = tr("how full, %   (| | least and most, ◆ usual)")
        self.figure.text(0.5, 0.02, key, ha="center", va="bottom", color=INK)
        self.axes.axvline(100, color=FAINT, lw=1)

    def update(self, pans: list[Pan], fills: list[float], counts: list[int]) -> None:
        """Show up to `bars_count` pans with their fill as a fraction and how many are used."""
        blank = self.bars_count - len(pans)
        names = [f"{n} × {tr(pan.name)}" for pan, n in zip(pans, counts, strict=True)]
        lines, size = [wrapped(name, 17) for name in names], None
        if any(name.count("\n") > 1 for name in lines):  # a third line would touch the next name
            lines, size = [wrapped(name, 23) for name in names], 7.7
        self.axes.set_yticks(range(len(pans)), lines, fontsize=size)
        for bar, label, fill in zip(self.bars, self.labels, fills + [0.0] * blank, strict=True):
            bar.set_width(fill * 100)
            label.set_text(num(fill, ".0%") if fill else "")
            label.set_x(101)
        kinds = [KINDS[pan.kind] for pan in pans]
        at = list(range(len(pans)))
        self.limits.set_data([k.low * 100 for k in kinds] + [k.high * 100 for k in kinds], at + at)
        self.usual.set_data([k.usual * 100 for k in kinds], at)
