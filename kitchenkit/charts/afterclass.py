"""The picture of a class looked back upon: each station's window, and the minutes that it took."""

from __future__ import annotations

from matplotlib.lines import Line2D
from matplotlib.patches import Patch

from kitchenkit.charts.base import CARROT, INK, OAT, STEEL, TEAL, Chart, plain_axes
from kitchenkit.language import mark, num, tr

STATIONS = 20  # lanes; with more the names would run into each other
_LETTERS = 12
# Verdict -> mark, face, what it is called; told apart by form as well as by colour.
MARKS = {
    "early": ("<", TEAL, mark("done early")),
    "inside": ("o", "#ffffff", mark("in the window")),
    "late": (">", CARROT, mark("done late")),
    "odd": ("X", INK, mark("odd: no say")),
    "not done": ("|", INK, mark("came out, not done")),
}


class AfterClassChart(Chart):
    """A lane for each station: its window as a bar, its real minutes as a mark with the number."""

    def __init__(self):
        super().__init__(height=4.0)

    def draw(self) -> None:
        self.axes = self.figure.add_axes((0.28, 0.115, 0.63, 0.69))
        plain_axes(self.axes)
        none = [0.0] * STATIONS
        style = {"facecolor": OAT, "edgecolor": INK, "hatch": "//", "linewidth": 0.7}
        self.bars = self.axes.barh(range(STATIONS), none, 0.62, **style)
        self.likely = [
            self.axes.plot([], [], color=INK, lw=1.6, solid_capstyle="butt")[0]
            for _ in range(STATIONS)
        ]
        self.real, self.labels = [], []
        for at in range(STATIONS):
            self.real += self.axes.plot([], [], "o", ms=7, mec=INK, mew=1.2, clip_on=False)
            self.labels.append(self.axes.text(0, at, "", va="center", fontsize=8, color=INK))
        self.axes.tick_params(labelsize=8)
        self.axes.set_xlabel(tr("minutes in the oven"), color=INK, fontsize=8.5)
        handles = [
            Patch(**{**style, "label": tr("predicted window")}),
            Line2D([], [], color=INK, lw=1.6, label=tr("likeliest")),
        ]
        for sign, face, label in MARKS.values():
            look = {"marker": sign, "mfc": face, "mec": INK, "mew": _edge(sign), "ms": _size(sign)}
            handles.append(Line2D([], [], ls="", label=tr(label), **look))
        self.figure.legend(
            handles=handles, ncols=2, loc="upper left", bbox_to_anchor=(0.0, 1.0), fontsize=8,
            frameon=False, handlelength=1.8, columnspacing=1.2, labelspacing=0.3,
        )  # fmt: skip
        self.axes.spines["left"].set_color(STEEL)

    def update(self, bakes) -> None:
        """Show the bakes of a class.

        Parameters
        ----------
        bakes : list of (str, tuple, float or None, str)
            Station, window (early end, likeliest and late end, min), real minutes, and verdict as
            `BakeReview` has it. At most `STATIONS` are shown.
        """
        bakes = bakes[:STATIONS]
        usual = [m for _, _, m, verdict in bakes if m is not None and verdict != "odd"]
        end = max([high for _, (_, _, high), _, _ in bakes] + usual, default=1.0) * 1.12
        for at in range(STATIONS):
            shown = at < len(bakes)
            _, (low, likely, high), minutes, verdict = (
                bakes[at] if shown else ("", (0, 0, 0), 0, "")
            )
            self.bars[at].set_x(low)
            self.bars[at].set_width(high - low)
            tick = [likely, likely] if shown else []
            self.likely[at].set_data(tick, [at - 0.31, at + 0.31] if shown else [])
            self._mark(at, minutes if shown else None, verdict, high, end)
        names = [_short(name) for name, *_ in bakes]
        self.axes.set_yticks(range(len(bakes)), names)
        self.axes.set_ylim(max(len(bakes), 1) - 0.4, -0.6)
        self.axes.set_xlim(0, end)

    def _mark(self, at: int, minutes: float | None, verdict: str, high: float, end: float) -> None:
        if minutes is None:
            self.real[at].set_data([], [])
            self.labels[at].set_text("")
            return
        sign, face, _ = MARKS[verdict]
        self.real[at].set_marker(sign)
        self.real[at].set_markerfacecolor(face)
        self.real[at].set_markersize(_size(sign))
        self.real[at].set_markeredgewidth(_edge(sign))
        place = min(minutes, end)  # an odd one would press all others together
        self.real[at].set_data([place], [at])
        self.labels[at].set_text(num(minutes, "g"))
        beyond = max(place, high) if place < end else end
        self.labels[at].set_position((beyond + end * 0.035, at))


def _size(sign: str) -> float:
    return 11.0 if sign == "|" else 7.0


def _edge(sign: str) -> float:
    return 2.4 if sign == "|" else 1.2


def _short(name: str) -> str:
    return name if len(name) <= _LETTERS else name[: _LETTERS - 1] + "…"
