"""Pictures for costs: a serving's parts stacked beside the bought snack, and what moves it most."""

from __future__ import annotations

import matplotlib.dates as mdates

from kitchenkit.charts.base import CARROT, FAINT, INK, OAT, STEEL, TEAL, Chart, plain_axes, wrapped
from kitchenkit.language import day, mark, tr, trc

PARTS = (mark("ingredients"), mark("packaging"), mark("energy"), mark("time"))
_LOOKS = ((OAT, ""), (STEEL, "//"), (TEAL, "xx"), ("#ffffff", "--"))


class CostChart(Chart):
    """Above, two bars for one serving: baked, in its parts, and bought. Below, what moves it."""

    swings_count = 5

    def __init__(self):
        super().__init__(height=3.7)

    def draw(self) -> None:
        self.axes = self.figure.add_axes((0.2, 0.6, 0.74, 0.27))
        self.swing_axes = self.figure.add_axes((0.46, 0.11, 0.48, 0.31))
        for axes in (self.axes, self.swing_axes):
            plain_axes(axes)
            axes.tick_params(labelsize=8.5)
        self.stack = []
        for colour, hatch in _LOOKS:
            style = {"facecolor": colour, "edgecolor": INK, "hatch": hatch}
            self.stack.append(self.axes.barh(0, 0.0, 0.6, **style)[0])
        self.bought = self.axes.barh(1, 0.0, 0.6, facecolor=CARROT, edgecolor=INK, hatch="||")[0]
        self.labels = [self.axes.text(0, at, "", va="center", color=INK) for at in (0, 1)]
        self.axes.set_ylim(1.5, -0.5)
        self.axes.set_yticks([0, 1], [trc("a serving", "baked"), trc("a serving", "bought")])
        self.key = self.figure.legend(
            self.stack,
            [tr(part) for part in PARTS],
            loc="upper center",
            bbox_to_anchor=(0.5, 1.0),
            ncols=4,
            frameon=False,
            fontsize=8,
            columnspacing=0.7,
            handlelength=1.3,
            handletextpad=0.4,
        )
        self.swings = self.swing_axes.barh(
            range(self.swings_count), [0.0] * self.swings_count, 0.6, color=OAT, edgecolor=INK
        )
        self.middle = self.swing_axes.axvline(0, color=FAINT, lw=1)
        self.swing_axes.set_ylim(self.swings_count - 0.4, -0.6)
        self.title = self.figure.text(0.02, 0.47, "", va="center", color=INK, fontsize=8.5)
        self.unit = self.figure.text(0.94, 0.015, "", ha="right", va="bottom", fontsize=8.5)

    def update(self, parts: dict, bought: float, said: tuple[str, str], swings, unit: str) -> None:
        """Show one serving.

        Parameters
        ----------
        parts : dict of str to float
            Of the baked serving, in the currency's unit; those of `PARTS` that are counted.
        bought : float
            The same weight of the bought snack.
        said : (str, str)
            Both sums in words.
        swings : list of (str, float, float)
            What a serving costs with one price low and high; the widest first.
        unit : str
            What the axes count, such as ``"US dollars"``.
        """
        left = 0.0
        for bar, part in zip(self.stack, PARTS, strict=True):
            bar.set_x(left)
            bar.set_width(parts.get(part, 0.0))
            left += parts.get(part, 0.0)
        self.bought.set_width(bought)
        end = max(left, bought) or 1.0
        for label, at, words in zip(self.labels, (left, bought), said, strict=True):
            label.set_x(at + end * 0.02)
            label.set_text(words)
        self.axes.set_xlim(0, end * 1.25)
        shown = swings[: self.swings_count]
        for at, bar in enumerate(self.swings):
            low, high = shown[at][1:] if at < len(shown) else (0.0, 0.0)
            bar.set_x(min(low, high))
            bar.set_width(abs(high - low))
        self.swing_axes.set_yticks(range(len(shown)), [wrapped(name, 21) for name, *_ in shown])
        lows, highs = [s[1] for s in shown], [s[2] for s in shown]
        room = (max(highs) - min(lows)) * 0.1 or 0.01
        self.swing_axes.set_xlim(min(lows) - room, max(highs) + room)
        self.middle.set_xdata([left, left])
        self.title.set_text(tr("a serving baked, with one price 20 % down or up"))
        self.unit.set_text(unit)


class HistoryChart(Chart):
    """Two pictures on one calendar: an ingredient's price at each shop, and a serving's cost."""

    shops_count = 4
    _styles = (("-", "o", CARROT), ("--", "s", TEAL), (":", "^", INK), ("-.", "D", OAT))

    def __init__(self):
        super().__init__(height=3.4)

    def draw(self) -> None:
        self.price_axes = self.figure.add_axes((0.17, 0.55, 0.73, 0.28))
        self.cost_axes = self.figure.add_axes((0.17, 0.12, 0.73, 0.24))
        for axes in (self.price_axes, self.cost_axes):
            plain_axes(axes)
            axes.tick_params(labelsize=8)
            axes.xaxis_date()
        self.shops = []
        for dash, sign, colour in self._styles:
            self.shops += self.price_axes.plot([], [], dash, marker=sign, ms=5, color=colour)
        (self.serving,) = self.cost_axes.plot(
            [], [], color=INK, marker="o", ms=4, drawstyle="steps-post"
        )
        self.title = self.figure.text(0.02, 0.97, "", va="top", fontsize=8.5, color=INK)
        self.below = self.figure.text(0.02, 0.43, "", va="center", fontsize=8.5, color=INK)

    def update(self, shops: dict, serving: tuple, titles: tuple[str, str]) -> None:
        """Show the prices.

        Parameters
        ----------
        shops : dict of str to (list of date, list of float)
            Price of the same amount at each shop, in the currency's unit.
        serving : (list of date, list of float)
            What a serving cost.
        titles : (str, str)
            What the two pictures count, with the unit.
        """
        shown = list(shops.items())[: self.shops_count]
        for line, (name, (days, values)) in zip(self.shops, shown, strict=False):
            line.set_data(mdates.date2num(days), values)
            line.set_label(name)
        for line in self.shops[len(shown) :]:
            line.set_data([], [])
        self.serving.set_data(mdates.date2num(serving[0]), serving[1])
        every = [value for _, (_, values) in shown for value in values]
        days = [one for _, (days, _) in shown for one in days] + list(serving[0])
        first, last = mdates.date2num(min(days)), mdates.date2num(max(days))
        for axes, values in ((self.price_axes, every), (self.cost_axes, serving[1])):
            axes.set_xlim(first - 15, last + 15)
            axes.set_ylim(0, max(values) * 1.25)
        ends = sorted({min(days), max(days)})
        self.price_axes.set_xticks(mdates.date2num(ends), [""] * len(ends))
        self.cost_axes.set_xticks(mdates.date2num(ends), [day(one) for one in ends])
        for legend in self.figure.legends[:]:
            legend.remove()
        self.figure.legend(
            self.shops[: len(shown)],
            [wrapped(name) for name, _ in shown],
            loc="upper center",
            bbox_to_anchor=(0.5, 0.935),
            ncols=3,
            frameon=False,
            fontsize=7.5,
            columnspacing=0.8,
            handlelength=2.2,
            handletextpad=0.4,
        )
        self.title.set_text(titles[0])
        self.below.set_text(titles[1])
