"""Picture of a freezer label at about its own size, and of the sheets that hold so many."""

from __future__ import annotations

from matplotlib.patches import PathPatch
from matplotlib.path import Path

from kitchenkit.charts.base import FAINT, INK, OAT, PAPER, Chart
from kitchenkit.labels import LABEL_MM, LabelSheet
from kitchenkit.language import num, tr
from kitchenkit.lettering import is_right_to_left
from kitchenkit.typesetting import CARD_PAD, CardField, place_of_card

_LINES = 12  # more than any label has
_SHEETS = 6  # drawn side by side
_GAP = 24.0  # mm between two papers
_WIDE, _TALL = LABEL_MM[True]
_EMPTY = Path([[0.0, 0.0]])


class LabelChart(Chart):
    """One label above, the sheets below."""

    sheets_shown = _SHEETS

    def __init__(self):
        super().__init__(height=3.35)

    def draw(self) -> None:
        self.card_axes = self.figure.add_axes((0.015, 0.4, 0.97, 0.6))
        self.map_axes = self.figure.add_axes((0.015, 0.08, 0.97, 0.29))
        for axes in (self.card_axes, self.map_axes):
            axes.axis("off")
            axes.set_aspect("equal", anchor="N")
        self.card_axes.set_xlim(-0.5, _WIDE + 0.5)
        self.card_axes.set_ylim(_TALL + 0.5, -0.5)
        # A label's points, as the picture's scale makes them.
        inches = self.figure.get_figwidth() * self.card_axes.get_position().width
        self.scale = inches * 25.4 / (_WIDE + 1)
        self.card = self._patch(self.card_axes, facecolor="#ffffff", edgecolor=INK, ls="--")
        style = {"va": "baseline", "color": "#000000", "parse_math": False}
        self.lines = [self.card_axes.text(0, 0, "", **style) for _ in range(_LINES)]
        self.papers = self._patch(self.map_axes, facecolor="#ffffff", edgecolor=FAINT)
        self.empty = self._patch(self.map_axes, facecolor=PAPER, edgecolor=FAINT, lw=0.5)
        self.full = self._patch(self.map_axes, facecolor=OAT, edgecolor=INK, lw=0.7, hatch="//")
        style = {"ha": "center", "va": "bottom", "color": INK}
        self.caption = self.figure.text(0.5, 0.01, "", **style)

    @staticmethod
    def _patch(axes, **style):
        return axes.add_patch(PathPatch(_EMPTY, **style))

    def update(self, fields: list[CardField], size: tuple, sheet: LabelSheet) -> None:
        """Show a label and how many sheets so many of them take.

        Parameters
        ----------
        fields : list of CardField
            As laid out for paper.
        size : (float, float)
            Of the label, mm.
        sheet : LabelSheet
        """
        width, height = size
        self.card.set_path(_boxes([(0, 0, width, height)]))
        lines = [(one, n, text) for one in fields for n, text in enumerate(one.lines)]
        for artist, line in zip(self.lines, lines + [None] * (_LINES - len(lines)), strict=True):
            if line is None:
                artist.set_text("")
                continue
            one, n, text = line
            turned = is_right_to_left(text)
            artist.set_text(text)
            artist.set_position(
                (width - CARD_PAD[0] if turned else CARD_PAD[0], one.top + (n + 0.8) * one.step)
            )
            artist.set_ha("right" if turned else "left")
            artist.set_fontsize(one.size * self.scale)
            artist.set_fontweight("bold" if one.bold else "normal")
        self._draw_map(size, sheet)

    def _draw_map(self, size: tuple, sheet: LabelSheet) -> None:
        paper, count = sheet.paper, len(sheet.labels)
        shown = max(min(sheet.label_sheets, _SHEETS), 1)
        papers, cells = [], []
        for at in range(shown):
            left = at * (paper.width_mm + _GAP)
            papers.append((left, 0, paper.width_mm, paper.height_mm))
            for n in range(sheet.per_sheet):
                x, y = place_of_card(paper, size, n)
                cells.append((left + x, y, *size))
        self.papers.set_path(_boxes(papers))
        self.full.set_path(_boxes(cells[:count]))
        self.empty.set_path(_boxes(cells[count:]))
        across = shown * (paper.width_mm + _GAP) - _GAP
        self.map_axes.set_xlim(-2, across + 2)
        self.map_axes.set_ylim(paper.height_mm + 2, -2)
        said = {"count": num(count, "d"), "paper": tr(paper.name)}
        self.caption.set_text(
            tr(
                "{count} labels on {sheets} sheets of {paper}, the first {shown} shown",
                sheets=sheet.label_sheets,
                shown=_SHEETS,
                **said,
            )
            if sheet.label_sheets > _SHEETS
            else tr("{count} of {all} places on {paper}", all=sheet.per_sheet * shown, **said)
        )


def _boxes(boxes) -> Path:
    if not boxes:
        return _EMPTY
    return Path.make_compound_path(
        *(
            Path([(x, y), (x + w, y), (x + w, y + h), (x, y + h), (x, y)], closed=True)
            for x, y, w, h in boxes
        )
    )
