"""One slider move to a finished picture, against a bare redraw of the same figure by matplotlib.

Run by hand: ``.venv/bin/python tests/bench/slider_update.py``. For every panel it moves a control
back and forth, which calculates, updates the kept figure, writes the SVG, the sentence and the
table; in turn with it, it lets matplotlib alone write the same figure as SVG (``savefig``), with
its own settings, which turn letters into outlines, and with the kit's, which leave them text; and
draw it to pixels (``FigureCanvasAgg.draw``). Medians of paired rounds.
"""

from __future__ import annotations

import io
import os
import statistics
import time

import ipywidgets as widgets
import matplotlib
from matplotlib.backends.backend_agg import FigureCanvasAgg

import kitchenkit as kk
from kitchenkit.charts.base import _NO_METADATA, _SETTINGS

ROUNDS = 40
# A panel and the control that a learner moves most.
MOVES = {
    "GlancePanel": ("pieces", 20, 30),
    "MeasurePanel": ("amount", "1 cup", "2 1/4 cups"),
    "OvenHeatPanel": ("heat", 325, 400),
    "ScalePanel": ("by", 1.5, 2.5),
    "SwapPanel": ("batches", 1.0, 1.5),
    "SharePanel": ("batches", 1.5, 2.0),
    "BakePanel": ("oven", 340, 375),
    "CostPanel": ("pieces", 16, 20),
    "LabelsPanel": ("count", 8, 20),
    "FlavourPanel": ("flavour", "lemon-poppy", "cocoa-cherry"),
    "ReplacePanel": ("swap", "egg-flax", "oil-applesauce"),
    "HistoryPanel": ("item", "all-purpose flour", "rolled oats"),
    "ClassProgressPanel": ("lesson", "", "03-pans"),
    "StockPanel": ("eaters", 4, 5),
    "CoolPanel": ("room", 65, 75),
    "FreezePanel": ("thick", 1.5, 3.0),
    "AfterClassPanel": ("day", "2026-11-24", "2026-11-17"),
    "ClassPanel": ("students", 16, 18),
    "MonthPanel": ("eaters", 3, 4),
    "MyPanPanel": ("deep", "2 in", "2 1/2 in"),
}


# Processor time, since other programs hardly change it; on Windows it ticks too slowly.
_clock = time.perf_counter if os.name == "nt" else time.process_time


def _time(action) -> float:
    start = _clock()
    action()
    return _clock() - start


def rounds(panel, name: str, low, high) -> list[tuple[float, float, float, float]]:
    """Seconds of a move, a bare SVG in its own letters and in the kit's, and bare pixels."""
    control: widgets.ValueWidget = panel.controls[name]
    figure = panel.chart.figure
    pixels = FigureCanvasAgg(figure)

    def move():
        control.value = low if control.value == high else high

    def write():
        figure.savefig(io.StringIO(), format="svg", metadata=_NO_METADATA)

    rows = []
    for _ in range(ROUNDS + 3):
        moved, svg, pixel = _time(move), _time(write), _time(pixels.draw)
        with matplotlib.rc_context(_SETTINGS):
            rows.append((moved, svg, _time(write), pixel))
    return rows[3:]


def measure(panel, name: str, low, high) -> tuple[float, float, float, float]:
    """Median milliseconds of each."""
    columns = zip(*rounds(panel, name, low, high), strict=True)
    return tuple(1000 * statistics.median(column) for column in columns)


def main() -> None:
    """Print the table of medians and ratios."""
    kit = kk.open_kit()
    print(f"{'ms':20}{'move':>7}{'svg':>7}{'as text':>9}{'pixels':>8}  move/ {'svg':>7}", end="")
    print(f"{'as text':>9}{'pixels':>8}")
    for name, (control, low, high) in MOVES.items():
        move, svg, same, pixel = measure(getattr(kk, name)(kit), control, low, high)
        ratios = f"{move / svg:15.2f}{move / same:9.2f}{move / pixel:8.2f}"
        print(f"{name:20}{move:7.1f}{svg:7.1f}{same:9.1f}{pixel:8.1f}{ratios}")


if __name__ == "__main__":
    main()
