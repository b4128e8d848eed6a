"""Pictures for baking: the middle's temperature as it rises to done, and the windows as bars."""

from __future__ import annotations

import numpy as np

from kitchenkit.charts.base import CARROT, FAINT, INK, OAT, STEEL, TEAL, Chart, plain_axes
from kitchenkit.language import num, tr

# Told apart by dashes and marks as well as by colour.
_LINES = ((CARROT, "-", "o"), (TEAL, "--", "s"), (INK, ":", "^"))
_BARS = ((OAT, "//"), (STEEL, "xx"), ("#ffffff", "--"))
POINTS = 80
_BOILING = 100.0


class BakeChart(Chart):
    """Curves of the middle's temperature above, bars of the windows below, on one clock."""

    count = 3

    def __init__(self):
        super().__init__(height=3.6)

    def draw(self) -> None:
        self.curves_axes = self.figure.add_axes((0.15, 0.52, 0.8, 0.41))
        self.bars_axes = self.figure.add_axes((0.15, 0.13, 0.8, 0.3))
        for axes in (self.curves_axes, self.bars_axes):
            plain_axes(axes)
        self.curves, self.done, self.labels = [], [], []
        for at, (colour, dash, mark) in enumerate(_LINES):
            style = {"color": colour, "lw": 1.8, "marker": mark, "ms": 4}
            self.curves += self.curves_axes.plot([], [], dash, markevery=10, **style)
            self.done += self.bars_axes.plot([], [], mark, color=colour, ms=7, mec=INK)
            self.labels.append(self.bars_axes.text(0, at, "", va="center", fontsize=8))
        self.bars = self.bars_axes.barh(range(self.count), [0.0] * self.count, 0.55, edgecolor=INK)
        for bar, (colour, hatch) in zip(self.bars, _BARS, strict=True):
            bar.set_facecolor(colour)
            bar.set_hatch(hatch)
        (self.crumb,) = self.curves_axes.plot([], [], color=FAINT, lw=1)
        self.crumb_label = self.curves_axes.text(0, 0, "", fontsize=8, va="bottom", color=INK)
        self.curves_axes.set_ylim(10, 110)
        marks = {20: "20 °C\n68 °F", 60: "60 °C\n140 °F", 100: "100 °C\n212 °F"}
        self.curves_axes.set_yticks(list(marks), list(marks.values()))
        self.curves_axes.tick_params(labelsize=7)
        self.curves_axes.tick_params(axis="x", labelbottom=False)  # the clock below serves both
        self.bars_axes.set_ylim(self.count - 0.4, -0.6)
        self.bars_axes.set_yticks(range(self.count), ["1", "2", "3"])
        self.bars_axes.set_xlabel(tr("minutes in the oven"), color=INK)
        self.figure.text(0.15, 0.985, tr("temperature in the middle"), va="top", color=INK)
        self.figure.text(0.15, 0.475, tr("when it may be done: 1, 2, 3"), va="center", color=INK)

    def update(self, curves, windows, done_c: float) -> None:
        """Show up to `count` bakes.

        Parameters
        ----------
        curves : list of (ndarray, ndarray)
            Minutes and °C in the middle.
        windows : list of (float, float, float)
            Low, likeliest and high, minutes.
        done_c : float
            °C of a done crumb.
        """
        end = max(high for _, _, high in windows) * 1.08
        for at in range(self.count):
            shown = at < len(windows)
            minutes, celsius = curves[at] if shown else (np.empty(0), np.empty(0))
            risen = celsius < _BOILING  # from there on the model has nothing more to say
            self.curves[at].set_data(minutes[risen], celsius[risen])
            low, middle, high = windows[at] if shown else (0.0, 0.0, 0.0)
            self.bars[at].set_x(low)
            self.bars[at].set_width(high - low)
            self.done[at].set_data([middle] if shown else [], [at] if shown else [])
            self.labels[at].set_text(num(middle, ".0f") if shown else "")
            self.labels[at].set_position((high + end * 0.01, at))
        self.crumb.set_data([0, end], [done_c, done_c])
        done = {"celsius": num(done_c, ".0f"), "fahrenheit": num(done_c * 1.8 + 32, ".0f")}
        self.crumb_label.set_text(tr("done: {celsius} °C ({fahrenheit} °F)", **done))
        self.crumb_label.set_position((end * 0.01, done_c + 1))
        self.curves_axes.set_xlim(0, end * 1.04)
        self.bars_axes.set_xlim(0, end * 1.04)
