"""A picture of how a class stands: a bar for each question, in its three parts."""

from __future__ import annotations

from kitchenkit.charts.base import CARROT, INK, OAT, TEAL, Chart, plain_axes, wrapped
from kitchenkit.language import mark, tr

STATES = (mark("right"), mark("nearly"), mark("not yet"))
_LOOKS = ((TEAL, ""), (OAT, "//"), (CARROT, "xx"))


class ProgressChart(Chart):
    """Up to `count` bars, each of the answers that are right, nearly so, and not yet."""

    count = 10

    def __init__(self):
        super().__init__(height=3.2)

    def draw(self) -> None:
        self.axes = self.figure.add_axes((0.27, 0.14, 0.62, 0.74))
        plain_axes(self.axes)
        self.axes.tick_params(labelsize=8)
        self.bars = []
        for colour, hatch in _LOOKS:
            style = {"facecolor": colour, "edgecolor": INK, "hatch": hatch}
            self.bars.append(self.axes.barh(range(self.count), [0.0] * self.count, 0.62, **style))
        self.labels = [
            self.axes.text(0, at, "", va="center", fontsize=8) for at in range(self.count)
        ]
        self.figure.legend(
            [bars[0] for bars in self.bars],
            [tr(state) for state in STATES],
            loc="upper center",
            bbox_to_anchor=(0.5, 1.0),
            ncols=3,
            frameon=False,
            fontsize=8.5,
            handlelength=1.5,
        )
        self.what = self.figure.text(0.58, 0.015, "", ha="center", va="bottom", fontsize=8.5)

    def update(self, names: list[str], counts: list[tuple[int, int, int]], what: str) -> None:
        """Show how many answers are what.

        Parameters
        ----------
        names : list of str
            Of the bars, from the top; at most `count`.
        counts : list of (int, int, int)
            Right, nearly and not yet, for each.
        what : str
            What the axis counts.
        """
        end = max([sum(parts) for parts in counts], default=0) or 1
        for at in range(self.count):
            parts = counts[at] if at < len(names) else (0, 0, 0)
            left = 0
            for bars, part in zip(self.bars, parts, strict=True):
                bars[at].set_x(left)
                bars[at].set_width(part)
                bars[at].set_visible(part > 0)
                left += part
            self.labels[at].set_x(left + end * 0.02)
            self.labels[at].set_text(
                tr("{right} of {all}", right=parts[0], all=left) if left else ""
            )
        self.axes.set_yticks(range(len(names)), [wrapped(name, 14) for name in names])
        self.axes.set_ylim(max(len(names), 4) - 0.4, -0.6)
        self.axes.set_xlim(0, end * 1.18)
        step = max(1, -(-end // 6))
        self.axes.set_xticks(range(0, end + 1, step))
        self.what.set_text(what)
