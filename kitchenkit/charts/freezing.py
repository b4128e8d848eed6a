"""Pictures for cooling and freezing: temperatures as they fall, and when the next step may come."""

from __future__ import annotations

import numpy as np

from kitchenkit.charts.base import CARROT, FAINT, INK, OAT, STEEL, TEAL, Chart, plain_axes
from kitchenkit.language import tr

# Told apart by dashes and marks as well as by colour.
_LINES = ((CARROT, "-", "o"), (TEAL, "--", "s"), (INK, ":", "^"))
_BARS = ((OAT, "//"), (STEEL, "xx"), ("#ffffff", "--"))
POINTS = 60


def _both_scales(celsius) -> dict[float, str]:
    return {c: f"{c} °C\n{round(c * 1.8 + 32)} °F".replace("-", "−") for c in celsius}


def _reading(celsius: float) -> str:
    return f"{celsius:.0f} °C ({celsius * 1.8 + 32:.0f} °F)"


class CoolChart(Chart):
    """Curves of the middle's temperature as it cools, and bars of when each may be wrapped."""

    count = 3

    def __init__(self):
        super().__init__(height=3.6)

    def draw(self) -> None:
        self.curves_axes = self.figure.add_axes((0.15, 0.5, 0.81, 0.43))
        self.bars_axes = self.figure.add_axes((0.15, 0.13, 0.81, 0.27))
        for axes in (self.curves_axes, self.bars_axes):
            plain_axes(axes)
            axes.tick_params(labelsize=7)
        self.curves, self.likeliest, self.labels = [], [], []
        for at, (colour, dash, mark) in enumerate(_LINES):
            style = {"color": colour, "lw": 1.8, "marker": mark, "ms": 4}
            self.curves += self.curves_axes.plot([], [], dash, markevery=8, **style)
            self.likeliest += self.bars_axes.plot([], [], mark, color=colour, ms=7, mec=INK)
            self.labels.append(self.bars_axes.text(0, at, "", va="center", fontsize=8))
        self.bars = self.bars_axes.barh(range(self.count), [0.0] * self.count, 0.55, edgecolor=INK)
        for bar, (colour, hatch) in zip(self.bars, _BARS, strict=True):
            bar.set_facecolor(colour)
            bar.set_hatch(hatch)
        (self.wrap,) = self.curves_axes.plot([], [], color=FAINT, lw=1)
        self.wrap_label = self.figure.text(0.96, 0.93, "", fontsize=8, va="top", ha="right")
        (self.room,) = self.curves_axes.plot([], [], color=FAINT, lw=1, ls=(0, (1, 2)))
        self.curves_axes.set_ylim(0, 100)
        marks = _both_scales((20, 60, 100))
        self.curves_axes.set_yticks(list(marks), list(marks.values()))
        self.curves_axes.tick_params(axis="x", labelbottom=False)  # the clock below serves both
        self.bars_axes.set_ylim(self.count - 0.4, -0.6)
        self.bars_axes.set_yticks(range(self.count), ["1", "2", "3"])
        self.bars_axes.set_xlabel(tr("minutes out of the oven"), color=INK)
        self.figure.text(0.15, 0.985, tr("temperature in the middle"), va="top", color=INK)
        said = tr("when it may be wrapped: 1, 2, 3")
        self.figure.text(0.15, 0.445, said, va="center", color=INK)

    def update(self, clock, curves, windows, wrap_c: float, room_c: float) -> None:
        """Show some bakes that cool.

        Parameters
        ----------
        clock : ndarray
            Minutes.
        curves : list of ndarray
            °C in the middle, up to `count`.
        windows : list of (float, float, float)
            Low, likeliest and high, minutes.
        wrap_c, room_c : float
            °C in the middle when it may be wrapped, and of the room.
        """
        end = clock[-1]
        for at in range(self.count):
            self.curves[at].set_data(clock, curves[at])
            low, middle, high = windows[at]
            self.bars[at].set_x(low)
            self.bars[at].set_width(high - low)
            self.likeliest[at].set_data([middle], [at])
            self.labels[at].set_text(f"{middle:.0f}")
            self.labels[at].set_position((high + end * 0.015, at))
        self.wrap.set_data([0, end], [wrap_c, wrap_c])
        self.room.set_data([0, end], [room_c, room_c])
        self.wrap_label.set_text(
            tr("line: may be wrapped, {reading}", reading=_reading(wrap_c))
            + "\n"
            + tr("dots: the room, {reading}", reading=_reading(room_c))
        )
        for axes in (self.curves_axes, self.bars_axes):
            axes.set_xlim(0, end)


class FreezeChart(Chart):
    """Middle and surface against hours, with the level stretch where ice forms; a window beneath.

    It serves thawing too, where the curves rise.
    """

    def __init__(self):
        super().__init__(height=3.6)

    def draw(self) -> None:
        self.curves_axes = self.figure.add_axes((0.15, 0.37, 0.81, 0.56))
        self.bar_axes = self.figure.add_axes((0.15, 0.14, 0.81, 0.13))
        for axes in (self.curves_axes, self.bar_axes):
            plain_axes(axes)
            axes.tick_params(labelsize=7)
        style = {"lw": 1.8, "ms": 4, "markevery": 6}
        (self.middle,) = self.curves_axes.plot(
            [], [], "-o", color=CARROT, label=tr("middle"), **style
        )
        (self.surface,) = self.curves_axes.plot(
            [], [], "--s", color=TEAL, label=tr("surface"), **style
        )
        levels = range(2)  # ice forms, done
        self.levels = [self.curves_axes.plot([], [], color=FAINT, lw=1)[0] for _ in levels]
        self.level_labels = [self.curves_axes.text(0, 0, "", fontsize=8) for _ in levels]
        dots = {"color": FAINT, "lw": 1, "ls": (0, (1, 2))}
        (self.air,) = self.curves_axes.plot([], [], label=tr("air"), **dots)
        self.curves_axes.legend(
            loc="upper right", fontsize=8, frameon=False, ncols=3, bbox_to_anchor=(1.02, 1.06)
        )
        self.curves_axes.set_ylim(-32, 32)
        marks = _both_scales((-30, -18, 0, 20))
        self.curves_axes.set_yticks(list(marks), list(marks.values()))
        self.curves_axes.tick_params(axis="x", labelbottom=False)
        (self.bar,) = self.bar_axes.barh([0], [0.0], 0.6, color=OAT, hatch="//", edgecolor=INK)
        (self.likeliest,) = self.bar_axes.plot([], [], "o", color=CARROT, ms=7, mec=INK)
        (self.plank,) = self.bar_axes.plot([], [], "D", color="#ffffff", ms=6, mec=INK)
        self.bar_axes.set_ylim(-0.7, 0.7)
        self.bar_axes.set_yticks([])
        self.bar_axes.set_xlabel(tr("hours"), color=INK)
        self.figure.text(0.15, 0.985, tr("temperature of the piece"), va="top", color=INK)
        self.bar_label = self.figure.text(0.15, 0.305, "", va="center", color=INK)

    def update(self, course, window, levels, air_c: float, words: str, plank=None) -> None:
        """Show one piece.

        Parameters
        ----------
        course : (ndarray, ndarray, ndarray)
            Hours, and °C of the middle and the surface.
        window : (float, float, float)
            Low, likeliest and high, hours.
        levels : list of (float, str)
            Up to two temperatures to mark (°C), with their words.
        air_c : float
            °C of the air around it.
        words : str
            What the window is of.
        plank : float, optional
            Plank's time, hours.
        """
        hours, middle, surface = course
        low, likeliest, high = window
        end = max(high, hours[-1]) * 1.04
        for axes in (self.curves_axes, self.bar_axes):
            axes.set_xlim(0, end)
        # Evenly in time, so that the marks do not crowd where the steps were short.
        even = np.linspace(0, hours[-1], POINTS)
        self.middle.set_data(even, np.interp(even, hours, middle))
        self.surface.set_data(even, np.interp(even, hours, surface))
        for at, (line, label) in enumerate(zip(self.levels, self.level_labels, strict=True)):
            shown = at < len(levels)
            celsius, said = levels[at] if shown else (0.0, "")
            line.set_data(*([[0, end], [celsius, celsius]] if shown else [[], []]))
            label.set_text(said)
            self._place(label, celsius, air_c, falls=middle[-1] < middle[0], first=at == 0)
        self.air.set_data([0, end], [air_c, air_c])
        self.bar.set_x(low)
        self.bar.set_width(high - low)
        self.likeliest.set_data([likeliest], [0])
        self.plank.set_data([] if plank is None else [plank], [] if plank is None else [0])
        self.bar_label.set_text(words)

    @staticmethod
    def _place(label, celsius: float, air_c: float, falls: bool, first: bool) -> None:
        """Out of the curves' way, and clear of the dots of the air."""
        near = abs(air_c - celsius) < 8
        above = first or not falls
        beyond = air_c if near and above != falls else celsius
        label.set(y=beyond + (0.5 if above else -0.8), va="bottom" if above else "top")
        left, right = label.axes.get_xlim()
        label.set(x=right if falls else left, ha="right" if falls else "left")
