"""Picture of a class: bench, ovens and cooling racks as lanes against the clock."""

from __future__ import annotations

import math

from matplotlib.collections import PolyCollection
from matplotlib.patches import Patch

from kitchenkit.charts.base import CARROT, FAINT, INK, OAT, PAPER, STEEL, TEAL, Chart, plain_axes
from kitchenkit.clock import Clock
from kitchenkit.language import mark, tr
from kitchenkit.timetable import Timetable, say_name

# Told apart by hatch as well as by colour: name, face, hatch.
_PHASES = {
    "bench": (mark("at the bench"), "#ffffff", "//"),
    "warm": (mark("oven warms up"), STEEL, "\\\\"),
    "bake": (mark("bakes"), OAT, ""),
    "window": (mark("may be done: look"), CARROT, "xx"),
    "cool": (mark("cools"), "#ffffff", "--"),
    "pack": (mark("packed"), TEAL, "||"),
}
OVENS = 4
_NUMBERS = 24  # loads that get their number; with more the lanes are too fine to read one
_TALL = 0.36  # half of a lane's bar


class ClassChart(Chart):
    """Lanes against the clock; a line where the class should end."""

    def __init__(self):
        super().__init__(height=3.7)

    def draw(self) -> None:
        self.axes = self.figure.add_axes((0.2, 0.17, 0.755, 0.585))
        plain_axes(self.axes)
        self.bars = {}
        for name, (_, face, hatch) in _PHASES.items():
            bars = PolyCollection([], facecolor=face, edgecolor=INK, hatch=hatch, linewidth=0.7)
            self.bars[name] = self.axes.add_collection(bars, autolim=False)
        style = {"ha": "center", "va": "center", "fontsize": 8, "color": INK, "clip_on": True}
        box = {"boxstyle": "square,pad=0.15", "facecolor": PAPER, "edgecolor": "none"}
        self.numbers = [
            self.axes.text(0, 0, "", bbox=box, visible=False, **style) for _ in range(_NUMBERS)
        ]
        (self.end,) = self.axes.plot([], [], color=INK, lw=2, dashes=(3, 1.5))
        self.end_label = self.axes.text(
            0, 0, "", fontsize=8, color=INK, va="bottom", ha="center", clip_on=False
        )
        handles = [
            Patch(facecolor=face, edgecolor=INK, hatch=hatch, label=tr(label), linewidth=0.7)
            for label, face, hatch in _PHASES.values()
        ]
        self.figure.legend(
            handles=handles, ncols=2, loc="upper left", bbox_to_anchor=(0.0, 1.0), fontsize=8,
            frameon=False, handlelength=1.8, columnspacing=1.2, labelspacing=0.35,
        )  # fmt: skip
        self.axes.tick_params(labelsize=8)
        self.axes.set_xlabel(tr("time of day; numbers are loads"), color=INK, fontsize=8.5)

    def update(self, table: Timetable, minutes: float, clock: Clock) -> None:
        """Show a timetable.

        Parameters
        ----------
        table : Timetable
            Of at most `OVENS` ovens.
        minutes : float
            When the class should end.
        clock : Clock
        """
        names = [oven.name for oven in table.ovens]
        lanes = [tr("bench"), *map(say_name, names), tr("cooling")]
        found = {name: [] for name in _PHASES}
        steps = table.steps
        bench = steps[steps["where"] == "bench"]
        before = bench[bench["step"] != "pack"]
        ready = before.groupby("station")["end"].max().max() if len(before) else 0.0
        found["bench"].append(_bar(0.0, ready, 0))
        packs = bench[bench["step"] == "pack"][["start", "end"]].drop_duplicates()
        found["pack"] += [_bar(start, end, 0) for start, end in packs.itertuples(index=False)]
        for load in table.loads:
            lane = 1 + names.index(load.oven)
            if load.number == 1:
                found["warm"].append(_bar(load.on, load.into, lane))
            found["bake"].append(_bar(load.into, load.look_from, lane))
            found["window"].append(_bar(load.look_from, load.out, lane))
        self._cooling(table, found["cool"], len(lanes) - 1)
        for name, bars in found.items():
            self.bars[name].set_verts(bars)
        self._number(table, names)
        self._scale(table, minutes, clock, lanes)

    @staticmethod
    def _cooling(table: Timetable, bars: list, lane: int) -> None:
        """A thin bar for each load, side by side in one lane."""
        thin = 2 * _TALL / len(table.loads)
        cools = table.steps[table.steps["step"] == "cool"]
        for at, load in enumerate(table.loads):
            start = cools.loc[cools["station"].isin(load.stations), "start"]
            first = min(x for x in start if x >= load.into)
            middle = lane - _TALL + (at + 0.5) * thin
            bars.append(_bar(first, load.cool_until, middle, thin / 2))

    def _number(self, table: Timetable, names: list[str]) -> None:
        some = len(table.loads) <= _NUMBERS
        for at, text in enumerate(self.numbers):
            shown = some and at < len(table.loads)
            text.set_visible(shown)
            if shown:
                load = table.loads[at]
                text.set_text(f"{load.number}")
                middle = (load.into + load.look_from) / 2
                text.set_position((middle, 1 + names.index(load.oven)))

    def _scale(self, table: Timetable, minutes: float, clock: Clock, lanes: list[str]) -> None:
        last = max(table.finish, minutes, *(load.out for load in table.loads)) * 1.03
        early = min(0.0, *(load.on for load in table.loads))
        step = next(n for n in (15, 30, 60, 120, 240, 480, math.inf) if (last - early) / n <= 5)
        ticks = [at * step for at in range(math.ceil(early / step), math.floor(last / step) + 1)]
        self.axes.set_xticks(ticks, [clock.at(at).replace(" ", "\n", 1) for at in ticks])
        self.axes.set_xlim(early - 0.01 * last, last)
        self.axes.set_yticks(range(len(lanes)), lanes)
        self.axes.set_ylim(len(lanes) - 0.45, -0.55)
        self.end.set_data([minutes, minutes], [-0.55, len(lanes) - 0.45])
        self.end.set_color(INK if table.finish <= minutes else CARROT)
        self.end_label.set_position((minutes, -0.6))
        self.end_label.set_text(tr("end, {time}", time=clock.at(minutes)))
        self.end_label.set_ha("right" if minutes > 0.75 * last else "center")
        self.axes.spines["left"].set_color(FAINT)


def _bar(start: float, end: float, lane: float, half: float = _TALL) -> list[tuple[float, float]]:
    low, high = lane - half, lane + half
    return [(start, low), (end, low), (end, high), (start, high)]
