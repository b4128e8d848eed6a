"""Pictures for the freezer plan: stock in steps, its bakes, and the oldest portion's age."""

from __future__ import annotations

import datetime

from kitchenkit.charts.base import CARROT, FAINT, INK, TEAL, Chart, plain_axes
from kitchenkit.language import mark, num, tr

_MONTHS = (
    mark("Jan"),
    mark("Feb"),
    mark("Mar"),
    mark("Apr"),
    mark("May"),
    mark("Jun"),
    mark("Jul"),
    mark("Aug"),
    mark("Sep"),
    mark("Oct"),
    mark("Nov"),
    mark("Dec"),
)
_CROWDED = 20  # bakes beyond which their marks are drawn small
_TICKS = 5  # at most, so that dates do not run into one another


class StockChart(Chart):
    """Above, portions in the freezer under the line of its room; below, days of the oldest one."""

    def __init__(self):
        super().__init__(height=3.9)

    def draw(self) -> None:
        self.stock_axes = self.figure.add_axes((0.14, 0.5, 0.82, 0.31))
        self.age_axes = self.figure.add_axes((0.14, 0.11, 0.82, 0.26))
        for axes in (self.stock_axes, self.age_axes):
            plain_axes(axes)
            axes.tick_params(labelsize=8)
        steps = {"drawstyle": "steps-post"}
        (self.unchanged,) = self.stock_axes.plot([], [], ":", color=CARROT, lw=1.6, **steps)
        (self.stock,) = self.stock_axes.plot([], [], color=TEAL, lw=1.8, **steps)
        (self.bakes,) = self.stock_axes.plot([], [], "^", color=INK, ms=6, clip_on=False)
        hollow = {"mfc": "none", "mec": INK, "mew": 1.4, "ms": 7}
        (self.missed,) = self.stock_axes.plot([], [], "^", clip_on=False, **hollow)
        (self.short,) = self.stock_axes.plot([], [], "x", color=CARROT, ms=6, mew=1.6)
        (self.room,) = self.stock_axes.plot([], [], "--", color=FAINT, lw=1.4)
        (self.age,) = self.age_axes.plot([], [], color=TEAL, lw=1.8, **steps)
        (self.keep,) = self.age_axes.plot([], [], "--", color=FAINT, lw=1.4)
        style = {"fontsize": 8, "color": INK, "va": "bottom"}
        self.room_label = self.stock_axes.text(0, 0, "", **style)
        self.keep_label = self.age_axes.text(0, 0, "", **style)
        style = {"va": "center", "fontsize": 8.5}
        self.figure.text(0.02, 0.845, tr("portions in the freezer"), **style)
        self.figure.text(0.02, 0.405, tr("age of the oldest portion, days"), **style)
        self.key = self.figure.legend(
            [self.stock, self.unchanged, self.bakes, self.missed, self.short],
            [
                tr("in stock"),
                tr("if unchanged"),
                tr("bake"),
                tr("missed bake"),
                tr("some short"),
            ],
            loc="upper center",
            bbox_to_anchor=(0.5, 1.0),
            ncols=3,
            frameon=False,
            fontsize=8,
            columnspacing=0.9,
            handlelength=1.6,
            handletextpad=0.4,
        )

    def update(self, days, room: int, keep: int, unchanged=None, missed=()) -> None:
        """Show a plan.

        Parameters
        ----------
        days : DataFrame
            As `FreezerPlan.days`.
        room, keep : int
            Portions that fit, and days that one keeps.
        unchanged : DataFrame, optional
            The same days had nothing else changed after a missed bake.
        missed : sequence of date
            Bakes that were missed.
        """
        count = range(len(days))
        stock, oldest = list(days["stock"]), list(days["oldest"])
        self.stock.set_data(count, stock)
        self.unchanged.set_data(
            count if unchanged is not None else [],
            list(unchanged["stock"]) if unchanged is not None else [],
        )
        self.age.set_data(count, oldest)
        baked = [day for day in count if days["baked"].iloc[day]]
        short = [day for day in count if days["short"].iloc[day]]
        self.bakes.set_data(baked, [stock[day] for day in baked])
        self.bakes.set_markersize(6 if len(baked) <= _CROWDED else 3)
        self.missed.set_data([days.index.get_loc(date) for date in missed], [0] * len(missed))
        self.short.set_data(short, [0] * len(short))
        end = max(len(days) - 1, 1)
        for line, label, level, words in (
            (self.room, self.room_label, room, tr("room for {count}", count=num(room))),
            (self.keep, self.keep_label, keep, tr("keeps {count} days", count=num(keep))),
        ):
            line.set_data([0, end], [level, level])
            label.set_position((end * 0.01, level))
            label.set_text(words)
        self.stock_axes.set_ylim(-room * 0.04, room * 1.22)
        self.age_axes.set_ylim(0, keep * 1.25)
        marks, words = day_marks(days.index)
        for axes in (self.stock_axes, self.age_axes):
            axes.set_xlim(-end * 0.02, end * 1.02)
        self.stock_axes.set_xticks(marks, [""] * len(marks))
        self.age_axes.set_xticks(marks, words)


def day_marks(days) -> tuple[list[int], list[str]]:
    """Where the time axis names a day, week by week or in longer steps, and its short dates."""
    step = 7 * max(-(-len(days) // (7 * _TICKS)), 1)
    marks = list(range(0, len(days), step))
    return marks, [_short(days[mark]) for mark in marks]


def _short(day: datetime.date) -> str:
    return f"{day.day} {tr(_MONTHS[day.month - 1])}"
