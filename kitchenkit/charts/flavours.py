"""Pictures for flavours: the batter's parts before and after in pairs, and what follows from it."""

from __future__ import annotations

from kitchenkit.charts.base import CARROT, FAINT, INK, OAT, STEEL, Chart, plain_axes
from kitchenkit.language import num, tr

_ROW, _SMALL_ROW = 0.31, 0.27  # inches a row
_LONG = 18  # letters; two prices in a country's long way of writing them


class PairsChart(Chart):
    """Two bars a part, before and after; below, changes in percent to either side of a line.

    Parameters
    ----------
    parts : list of str
        Top to bottom; percent of the flour.
    changes : list of str
        What is compared below.
    words : (str, str)
        What before and after are called.
    """

    def __init__(self, parts: list[str], changes: list[str], words: tuple[str, str]):
        self.parts, self.changes, self.words = parts, changes, words
        super().__init__(height=1.4 + _ROW * len(parts) + _SMALL_ROW * len(changes))

    def draw(self) -> None:
        height = self.figure.get_figheight()
        upper, lower = _ROW * len(self.parts) / height, _SMALL_ROW * len(self.changes) / height
        bottom = 0.2 / height
        self.axes = self.figure.add_axes((0.25, 1 - 0.33 / height - upper, 0.63, upper))
        self.change_axes = self.figure.add_axes((0.25, bottom, 0.4, lower))
        for axes in (self.axes, self.change_axes):
            plain_axes(axes)
            axes.tick_params(labelsize=8.5)
        where = range(len(self.parts))
        blank = [0.0] * len(self.parts)
        self.before = self.axes.barh([at - 0.2 for at in where], blank, 0.36)
        self.after = self.axes.barh([at + 0.2 for at in where], blank, 0.36, hatch="//")
        for bars, colour in ((self.before, STEEL), (self.after, OAT)):
            for bar in bars:
                bar.set(facecolor=colour, edgecolor=INK)
        self.labels = [
            self.axes.text(0, at, "", va="center", fontsize=8, color=INK) for at in where
        ]
        self.axes.set_yticks(where, self.parts)
        self.axes.set_ylim(len(self.parts) - 0.5, -0.5)
        self.axes.set_xlabel(tr("% of the flour's weight"), color=INK, fontsize=8.5)
        rows = range(len(self.changes))
        self.bars = self.change_axes.barh(
            rows, [0.0] * len(self.changes), 0.55, facecolor=CARROT, edgecolor=INK, hatch="\\\\"
        )
        self.said = [
            self.figure.text(0, 0, "", va="center", ha="right", fontsize=8, color=INK) for _ in rows
        ]
        for at, text in enumerate(self.said):
            share = 1 - (at + 0.5) / len(self.changes)
            text.set_position((0.985, bottom + lower * share))
            text.set_parse_math(False)  # two prices in a row are no formula
        self.shares = [
            self.change_axes.text(0, at, "", va="center", fontsize=8, color=INK) for at in rows
        ]
        self.change_axes.axvline(0, color=FAINT, lw=1)
        self.change_axes.set_yticks(rows, self.changes)
        self.change_axes.set_ylim(len(self.changes) - 0.5, -0.5)
        self.change_axes.set_xticks([])
        self.figure.text(
            0.02, bottom + lower + 0.13 / height, tr("what that changes, in %"), fontsize=8.5
        )
        self.figure.legend(
            [self.before, self.after],
            self.words,
            loc="upper center",
            bbox_to_anchor=(0.55, 1.0),
            ncols=2,
            frameon=False,
            fontsize=8.5,
        )

    def update(self, before: list[float], after: list[float], changes, said: list[str]) -> None:
        """Show a batter before and after.

        Parameters
        ----------
        before, after : list of float
            Percent of the flour, in the order of the parts.
        changes : list of float
            Percent of what it was, in the order of the changes.
        said : list of str
            Each change in words.
        """
        longest = max(*before, *after, 1.0)
        rows = zip(self.before, self.after, self.labels, before, after, strict=True)
        for bar_before, bar_after, label, old, new in rows:
            bar_before.set_width(old)
            bar_after.set_width(new)
            label.set_x(max(old, new) + longest * 0.02)
            same = abs(old - new) < 0.05
            label.set_text(_said(new) if same else f"{_said(old)} → {_said(new)}")
        self.axes.set_xlim(0, longest * 1.3)
        widest = max(10.0, *(abs(change) for change in changes))
        lower = zip(self.bars, self.shares, self.said, changes, said, strict=True)
        for bar, share, text, change, words in lower:
            bar.set_width(change)
            share.set_x(max(change, 0.0) + widest * 0.08)
            share.set_text(num(change, "+.0f").replace("-", "−") if round(change) else "0")
            text.set(text=words, fontsize=8 if len(words) < _LONG else 7)
        self.change_axes.set_xlim(-widest * 1.05, widest * 1.7)


def _said(percent: float) -> str:
    return num(percent, ".0f" if percent >= 10 or not percent else ".1f")
