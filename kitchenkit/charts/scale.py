"""Pictures for scaling: the batter as written and as scaled, and what it is made of."""

from __future__ import annotations

from kitchenkit.charts.base import (
    CARROT,
    FAINT,
    GRID,
    HATCHES,
    INK,
    OAT,
    PAPER,
    STEEL,
    TEAL,
    Chart,
    plain_axes,
    wrapped,
)
from kitchenkit.language import num, tr


class BeforeAfterChart(Chart):
    """Two bars an ingredient: grams as written and grams as scaled.

    Parameters
    ----------
    names : list of str
        The ingredients, top to bottom.
    written : list of float
        Grams as written.
    """

    def __init__(self, names: list[str], written: list[float]):
        self.names, self.written = names, written
        super().__init__(height=0.85 + 0.29 * len(names))

    def draw(self) -> None:
        self.axes = self.figure.add_axes((0.45, 0.12, 0.51, 0.8))
        plain_axes(self.axes)
        where = range(len(self.names))
        self.before = self.axes.barh(
            [at - 0.2 for at in where], self.written, 0.36, color=STEEL, edgecolor=INK
        )
        self.after = self.axes.barh(
            [at + 0.2 for at in where], self.written, 0.36, color=OAT, edgecolor=INK, hatch="//"
        )
        self.labels = [self.axes.text(0, at + 0.2, "", va="center", fontsize=9) for at in where]
        self.axes.set_yticks(where, [wrapped(name, 20) for name in self.names])
        self.axes.invert_yaxis()
        self.axes.set_xlabel(tr("weight (g)"), color=INK)
        self.figure.legend(
            [self.before, self.after],
            [tr("as written"), tr("as scaled")],
            loc="upper center",
            bbox_to_anchor=(0.55, 1.0),
            ncols=2,
            frameon=False,
        )

    def update(self, grams: list[float]) -> None:
        """Show the scaled weights, in the order of the names."""
        longest = max(*grams, *self.written)
        rows = zip(self.after, self.before, self.labels, grams, strict=True)
        for bar, bar_before, label, value in rows:
            bar.set_width(value)
            label.set_x(max(value, bar_before.get_width()) + longest * 0.015)
            label.set_text(num(value, ",.0f" if value >= 10 else ".1f"))
        self.axes.set_xlim(0, longest * 1.16)


class BatterChart(Chart):
    """One bar cut into the parts of the batter, by weight.

    Parameters
    ----------
    parts : list of str
        Names of the parts, largest first.
    """

    _colours = (OAT, CARROT, TEAL, STEEL, GRID, FAINT, PAPER)

    def __init__(self, parts: list[str]):
        self.parts = parts
        super().__init__(height=0.7 + 0.27 * len(parts))

    def draw(self) -> None:
        self.axes = self.figure.add_axes((0.45, 0.16, 0.51, 0.82))
        plain_axes(self.axes)
        where = range(len(self.parts))
        self.bars = self.axes.barh(where, [1.0] * len(self.parts), 0.7, edgecolor=INK)
        for at, bar in enumerate(self.bars):
            bar.set_facecolor(self._colours[at % len(self._colours)])
            bar.set_hatch(HATCHES[at % len(HATCHES)])
        self.labels = [self.axes.text(0, at, "", va="center", color=INK) for at in where]
        self.axes.set_yticks(where, [wrapped(part, 20) for part in self.parts])
        self.axes.invert_yaxis()
        self.axes.set_xlabel(tr("weight (g)"), color=INK)

    def update(self, grams: list[float]) -> None:
        """Show the grams of each part, in the order of the names."""
        longest = max(grams)
        for bar, label, value in zip(self.bars, self.labels, grams, strict=True):
            bar.set_width(value)
            label.set_x(value + longest * 0.02)
            label.set_text(f"{num(value)} g")
        self.axes.set_xlim(0, longest * 1.22)
