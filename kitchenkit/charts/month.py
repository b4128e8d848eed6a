"""The picture of a month: portions in the freezer with its bakes, and the money so far."""

from __future__ import annotations

from kitchenkit.charts.base import CARROT, FAINT, INK, TEAL, Chart, plain_axes
from kitchenkit.charts.stock import day_marks
from kitchenkit.language import tr


class MonthChart(Chart):
    """Above, portions in the freezer; below, what was paid at the till beside the shop's snacks."""

    def __init__(self):
        super().__init__(height=3.9)

    def draw(self) -> None:
        self.stock_axes = self.figure.add_axes((0.14, 0.65, 0.82, 0.26))
        self.money_axes = self.figure.add_axes((0.14, 0.1, 0.82, 0.33))
        for axes in (self.stock_axes, self.money_axes):
            plain_axes(axes)
            axes.tick_params(labelsize=8)
        steps = {"drawstyle": "steps-post"}
        (self.stock,) = self.stock_axes.plot([], [], color=TEAL, lw=1.8, **steps)
        (self.bakes,) = self.stock_axes.plot([], [], "^", color=INK, ms=6, clip_on=False)
        (self.paid,) = self.money_axes.plot([], [], color=CARROT, lw=2.0, **steps)
        (self.trips,) = self.money_axes.plot([], [], "o", color=CARROT, mec=INK, ms=5)
        (self.bought,) = self.money_axes.plot([], [], "--", color=INK, lw=1.6, **steps)
        (self.budget,) = self.money_axes.plot([], [], ":", color=FAINT, lw=1.8)
        title = tr("portions in the freezer (▲ a bake)")
        self.figure.text(0.02, 0.955, title, va="center", size=8.5)
        self.money_title = self.figure.text(0.02, 0.555, "", va="center", size=8.5)
        self.figure.legend(
            [self.paid, self.bought, self.budget],
            [tr("paid for baking"), tr("snacks bought instead"), tr("budget")],
            loc="center",
            bbox_to_anchor=(0.5, 0.49),
            ncols=3,
            frameon=False,
            fontsize=7.5,
            columnspacing=0.8,
            handlelength=1.8,
            handletextpad=0.4,
        )

    def update(self, days, money, budget: float | None, currency: str) -> None:
        """Show a plan.

        Parameters
        ----------
        days : DataFrame
            As `FreezerPlan.days`.
        money : DataFrame
            As `MonthPlan.money`.
        budget : float or None
        currency : str
        """
        count = range(len(days))
        end = max(len(days) - 1, 1)
        stock, paid = list(days["stock"]), list(money["paid"])
        baked = [day for day in count if days["baked"].iloc[day]]
        trips = [day for day in count if paid[day] > (paid[day - 1] if day else 0)]
        self.stock.set_data(count, stock)
        self.bakes.set_data(baked, [stock[day] for day in baked])
        self.paid.set_data(count, paid)
        self.trips.set_data(trips, [paid[day] for day in trips])
        self.bought.set_data(count, list(money["bought"]))
        self.budget.set_data([0, end] if budget else [], [budget, budget] if budget else [])
        self.money_title.set_text(tr("money so far, {currency}", currency=currency))
        self.stock_axes.set_ylim(0, max(*stock, 1) * 1.12)
        most = max(paid[-1], money["bought"].iloc[-1], budget or 0.0, 0.01)
        self.money_axes.set_ylim(-0.02 * most, most * 1.08)
        marks, words = day_marks(days.index)
        for axes, names in ((self.stock_axes, [""] * len(marks)), (self.money_axes, words)):
            axes.set_xlim(-end * 0.02, end * 1.02)
            axes.set_xticks(marks, names)
