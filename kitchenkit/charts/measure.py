"""Pictures for measuring: what the same amount weighs, and one heat on three scales."""

from __future__ import annotations

from kitchenkit.charts.base import CARROT, FAINT, INK, OAT, PAPER, Chart, plain_axes, wrapped
from kitchenkit.language import num, tr


class SameAmountChart(Chart):
    """Bars: what the same volume of several ingredients weighs, the chosen one marked."""

    bars_count = 6

    def draw(self) -> None:
        self.axes = self.figure.add_axes((0.42, 0.19, 0.55, 0.79))
        plain_axes(self.axes)
        where = range(self.bars_count)
        self.bars = self.axes.barh(where, [1.0] * self.bars_count, color=OAT, edgecolor=INK)
        self.labels = [self.axes.text(0, at, "", va="center", color=INK) for at in where]
        self.axes.invert_yaxis()
        self.axes.set_xlabel(tr("weight (g)"), color=INK)

    def update(self, names: list[str], grams: list[float]) -> None:
        """Show the weights; the first is the chosen one.

        Parameters
        ----------
        names : list of str
            As many as `bars_count`.
        grams : list of float
        """
        longest = max(grams) or 1.0
        for at, (bar, label, value) in enumerate(zip(self.bars, self.labels, grams, strict=True)):
            bar.set_width(value)
            bar.set_facecolor(CARROT if at == 0 else OAT)
            bar.set_hatch("//" if at == 0 else "")
            label.set_x(value + longest * 0.02)
            label.set_text(num(value, ",.0f" if value >= 10 else ".1f"))
            label.set_fontweight("bold" if at == 0 else "normal")
        self.axes.set_yticks(range(self.bars_count), [wrapped(name, 19) for name in names])
        self.axes.set_xlim(0, longest * 1.24)  # room for 1,234 in bold


class HeatChart(Chart):
    """One oven heat as a line across three scales: °F, °C and gas mark."""

    lowest, highest = 200, 500  # °F

    def __init__(self):
        super().__init__(height=1.9)

    def draw(self) -> None:
        self.axes = self.figure.add_axes((0.23, 0.06, 0.72, 0.88))
        self.axes.set_xlim(self.lowest - 3, self.highest + 5)
        self.axes.set_ylim(-0.4, 2.9)
        self.axes.axis("off")
        celsius = {c: c * 1.8 + 32 for c in range(100, 261, 20)}
        fahrenheit = {f: f for f in range(200, 501, 50)}
        marks = {mark: 250 + 25 * mark for mark in range(1, 10)}
        for y, name, ticks in (
            (2, "°F", fahrenheit),
            (1, "°C", celsius),
            (0, tr("gas mark"), marks),
        ):
            self.axes.plot([self.lowest, self.highest], [y, y], color=FAINT, lw=1.5)
            self.axes.text(self.lowest - 6, y, wrapped(name, 9), ha="right", va="center", color=INK)
            for label, at in ticks.items():
                self.axes.plot([at, at], [y - 0.12, y + 0.12], color=FAINT, lw=1)
                # On paper of its own, so that the line never crosses a number.
                paper = {"facecolor": PAPER, "edgecolor": "none", "pad": 0.6}
                style = {"ha": "center", "va": "bottom", "color": INK, "bbox": paper, "zorder": 4}
                self.axes.text(at, y + 0.2, str(label), **style)
        (self.line,) = self.axes.plot([350, 350], [-0.3, 2.75], color=CARROT, lw=3, marker="D")

    def update(self, fahrenheit: float) -> None:
        """Move the line to a temperature in °F."""
        self.line.set_xdata([fahrenheit, fahrenheit])
