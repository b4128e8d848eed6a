"""Where each line of a sheet stands: laid out once, for the paper and for the page alike."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from itertools import permutations
from operator import truediv

from kitchenkit.language import tr
from kitchenkit.lettering import (
    POINT,
    clean,
    is_right_to_left,
    printable,
    shorten,
    width_mm,
    wrap,
)
from kitchenkit.sheets import (
    Blanks,
    Cards,
    Care,
    Document,
    Field,
    Grid,
    Heading,
    Listed,
    Paper,
    Sheet,
    Words,
)

LEADING = 1.2  # line to line, as a share of the letters' size
CARD_LEADING = 1.15
_RISE = 0.93  # from a line's top to its letters' foot: what DejaVu Sans has above it
# Points: where a sheet starts, and how far it may shrink to stay on one page. Large print is 16,
# and 14 at the least (common practice, no source); DejaVu Sans at 13.5 has small letters as high
# as usual plain fonts at 14: 0.547 of its size by its own tables, beside about 0.52 (from memory,
# unverified).
SIZES = {False: (11.0, 9.0), True: (16.0, 13.5)}
_STEP = 0.25
TITLE, HEADING = 1.5, 1.15  # letters' size beside the text's
GAP, HEADING_GAP = 0.4, 0.8  # between blocks, and before a heading, in lines
CELL = 1.6  # mm beside a table's cell
CELL_GAP = 0.35  # mm above and below it
INDENT = 1.4  # of a list's items, in letters' sizes
BLANK_MM = 9.0  # from one line to write on to the next
CARE_MM = 4.0  # from the bar of the cautions to their words
CARD_PAD = (3.0, 1.75)  # mm at a card's sides, and above and below


@dataclass(frozen=True)
class Line:
    """Words in one line; ``x`` is their left end, ``y`` their foot, in mm from the top left."""

    x: float
    y: float
    text: str
    size: float
    bold: bool = False


@dataclass(frozen=True)
class Stroke:
    """A straight line, in mm."""

    x1: float
    y1: float
    x2: float
    y2: float
    wide: float = 0.25
    dashed: bool = False


@dataclass
class Page:
    """What is drawn on one side of paper."""

    lines: list[Line] = field(default_factory=list)
    strokes: list[Stroke] = field(default_factory=list)


@dataclass(frozen=True)
class Laid:
    """A sheet as laid out: the size of its letters, and its pages."""

    sheet: Sheet
    size: float
    pages: tuple[Page, ...]

    @property
    def note(self) -> str:
        """What must be said where it does not fit on one page."""
        return length_note(len(self.pages))


def length_note(pages: int) -> str:
    """The words under the title of a sheet of several pages."""
    return tr("This sheet takes {pages} pages.", pages=pages) if pages > 1 else ""


def care_words(block: Care) -> list[str]:
    """What cautions say, the first with the words that set them apart."""
    first, *more = block.items
    return [tr("Take care: {words}", words=first), *more]


# Cards -----------------------------------------------------------------------------------------


@dataclass(frozen=True)
class CardField:
    """A field of a card as laid out.

    Attributes
    ----------
    lines : tuple of str
    size : float
        In points.
    top, step : float
        Where its first line begins, and from line to line, in mm.
    bold, shortened : bool
    """

    lines: tuple[str, ...]
    size: float
    top: float
    step: float
    bold: bool
    shortened: bool


def lay_card(fields, width: float, shown: Callable[[str], str] = printable) -> list[CardField]:
    """The lines of a card.

    Parameters
    ----------
    fields : sequence of Field
    width : float
        Of the card, in mm.
    shown : callable
        What becomes of a clean text: `printable` for the paper, `str` for a page whose reader has
        more fonts.

    Returns
    -------
    list of CardField
    """
    laid, top = [], CARD_PAD[1]
    room = width - 2 * CARD_PAD[0]
    for one in fields:
        placed = _lay_field(one, room, shown, top)
        top += placed.step * len(placed.lines)
        laid.append(placed)
    return laid


def _lay_field(one: Field, room: float, shown, top: float) -> CardField:
    text = shown(clean(one.text))
    for size, most in one.fits:
        lines = wrap(text, room, size, one.bold)
        if len(lines) <= most:
            break
    short = len(lines) > most
    if short and one.otherwise:
        instead = replace(one, text=one.otherwise, otherwise="")
        return replace(_lay_field(instead, room, shown, top), shortened=True)
    lines = shorten(lines, most, room, size, one.bold)
    return CardField(tuple(lines), size, top, size * POINT * CARD_LEADING, one.bold, short)


def card_columns(cards: Cards, room: float) -> int:
    """How many cards stand side by side in so many mm."""
    return max(int((room + 1e-6) // cards.width_mm), 1)


def place_of_card(paper: Paper, size: tuple[float, float], at: int) -> tuple[float, float]:
    """Left and top of a card of some size on a bare sheet, in mm: their grid is in its middle."""
    width, height = size
    columns, rows = grid_of(paper, *size)
    left = (paper.width_mm - columns * width) / 2
    top = (paper.height_mm - rows * height) / 2
    return left + at % columns * width, top + at // columns * height


def grid_of(paper: Paper, width: float, height: float, least: float = 9.0) -> tuple[int, int]:
    """How many cards across and down a paper holds, with at least so many mm left at its edges."""
    across = int((paper.width_mm - 2 * least) // width)
    return across, int((paper.height_mm - 2 * least) // height)


# Sheets ----------------------------------------------------------------------------------------


def lay_document(document: Document) -> list[Laid]:
    """Every sheet of a document, each in the largest letters that keep it on one page.

    Parameters
    ----------
    document : Document

    Returns
    -------
    list of Laid
        A sheet too long even in the smallest is laid in the usual size, on several pages.
    """
    return [_lay_sheet(document, sheet) for sheet in document.sheets]


def _lay_sheet(document: Document, sheet: Sheet) -> Laid:
    if sheet.bare:
        return Laid(sheet, SIZES[False][0], (_bare_page(document.paper, sheet),))
    usual, least = SIZES[document.large]
    size = usual
    while size >= least:
        pages = _Flow(document.paper, sheet, size).pages
        if len(pages) == 1:
            return Laid(sheet, size, tuple(pages))
        size -= _STEP
    pages = _Flow(document.paper, sheet, usual).pages
    # The note on their number takes room itself, and so may bring about one more.
    while len(more := _Flow(document.paper, sheet, usual, len(pages)).pages) != len(pages):
        pages = more
    return Laid(sheet, usual, tuple(more))


def _bare_page(paper: Paper, sheet: Sheet) -> Page:
    page = Page()
    [cards] = sheet.blocks
    for at, card in enumerate(cards.cards):
        _draw_card(page, card, cards, *place_of_card(paper, cards.size, at))
    if sheet.foot:
        size = 8.0
        wide = width_mm(sheet.foot, size)
        page.lines.append(Line((paper.width_mm - wide) / 2, paper.height_mm - 5, sheet.foot, size))
    return page


def _draw_card(page: Page, card, cards: Cards, left: float, top: float) -> None:
    right, bottom = left + cards.width_mm, top + cards.height_mm
    for stroke in ((left, top, right, top), (left, bottom, right, bottom)):
        page.strokes.append(Stroke(*stroke, 0.15, True))
    for x in (left, right):
        page.strokes.append(Stroke(x, top, x, bottom, 0.15, True))
    room = cards.width_mm - 2 * CARD_PAD[0]
    for one in lay_card(card, cards.width_mm):
        for n, text in enumerate(one.lines):
            y = top + one.top + n * one.step + _RISE * one.size * POINT
            x = left + CARD_PAD[0] + _aside(text, room, one.size, one.bold)
            page.lines.append(Line(x, y, text, one.size, one.bold))


def _aside(text: str, room: float, size: float, bold: bool) -> float:
    """How far a line is moved to the right: only what is read from there."""
    return max(room - width_mm(text, size, bold), 0.0) if is_right_to_left(text) else 0.0


class _Flow:
    """Blocks one under the other, on as many pages as it takes."""

    def __init__(self, paper: Paper, sheet: Sheet, size: float, told_pages: int = 1):
        self.left, self.right = paper.margin_mm, paper.width_mm - paper.margin_mm
        self.top = paper.margin_mm
        self.bottom = paper.height_mm - paper.margin_mm
        self.size, self.step = size, size * POINT * LEADING
        self.title = printable(clean(sheet.title))
        self.pages = [Page()]
        self.y = self.top
        if self.title:
            self.put(self.title, size * TITLE, bold=True)
        if note := length_note(told_pages):
            self.put(note)
        for block in sheet.blocks:
            self.add(block)

    @property
    def page(self) -> Page:
        return self.pages[-1]

    def need(self, height: float) -> None:
        """A new page where so many mm are no longer free."""
        if self.y + height <= self.bottom + 1e-6 or self.y <= self.top:
            return
        self.pages.append(Page())
        self.y = self.top
        if self.title:
            self.put(f"{self.title} (page {len(self.pages)})", self.size, bold=True)
            self.y += GAP * self.step

    def gap(self, lines: float) -> None:
        if self.y > self.top:
            self.y += lines * self.step

    def put(self, text: str, size: float | None = None, left: float = 0.0, bold=False) -> None:
        """A paragraph of printable text, `left` mm from the margin."""
        size = size or self.size
        room = self.right - self.left - left
        for line in wrap(text, room, size, bold):
            self.need(size * POINT * LEADING)
            self.line(line, self.left + left, room, self.y, size, bold)
            self.y += size * POINT * LEADING

    def line(self, text: str, x: float, room: float, top: float, size: float, bold: bool) -> None:
        """One line whose space begins at `top`."""
        foot = top + (_RISE + (LEADING - 1.164) / 2) * size * POINT
        self.page.lines.append(Line(x + _aside(text, room, size, bold), foot, text, size, bold))

    def add(self, block) -> None:
        for kind, way in _WAYS.items():
            if isinstance(block, kind):
                self.gap(HEADING_GAP if kind is Heading else GAP)
                way(self, block)

    def heading(self, block: Heading) -> None:
        self.need(4 * self.step)  # not alone at the foot of a page
        self.put(printable(clean(block.text)), self.size * HEADING, bold=True)

    def words(self, block: Words) -> None:
        self.put(printable(clean(block.text)), bold=block.bold)

    def listed(self, block: Listed) -> None:
        inset = INDENT * self.size * POINT * (1.4 if block.sign == "number" else 1)
        for n, item in enumerate(block.items, start=1):
            self.need(self.step)
            sign = {"dot": "•", "box": "☐"}.get(block.sign, f"{n}.")
            self.line(sign, self.left, inset, self.y, self.size, False)
            self.put(printable(clean(item)), left=inset)

    def care(self, block: Care) -> None:
        self.need(3 * self.step)
        began, page = self.y, self.page
        for item in care_words(block):
            self.put(printable(clean(item)), left=CARE_MM)
        top = began if page is self.page else self.top
        self.page.strokes.append(Stroke(self.left + 1, top, self.left + 1, self.y, 0.9))

    def blanks(self, block: Blanks) -> None:
        for _ in range(block.count):
            self.need(BLANK_MM)
            self.y += BLANK_MM
            self.page.strokes.append(Stroke(self.left, self.y, self.right, self.y, 0.15))

    def cards(self, block: Cards) -> None:
        columns = card_columns(block, self.right - self.left)
        for first in range(0, len(block.cards), columns):
            self.need(block.height_mm)
            for n, card in enumerate(block.cards[first : first + columns]):
                _draw_card(self.page, card, block, self.left + n * block.width_mm, self.y)
            self.y += block.height_mm

    def grid(self, block: Grid) -> None:
        rows = [[printable(clean(cell)) for cell in row] for row in block.rows]
        heads = [printable(clean(cell)) for cell in block.headings]
        wide = column_widths(heads, rows, self.right - self.left, self.size)
        self.need(3 * self.step)
        self.row(heads, wide, bold=True)
        for row in rows:
            pages = len(self.pages)
            self.need(self.height(row, wide))
            if len(self.pages) > pages:
                self.row(heads, wide, bold=True)
            self.row(row, wide, bold=False)

    def height(self, cells, wide) -> float:
        """Of a row, in mm, as far as a page can hold it."""
        most = max(len(self.cell(c, w, False)) for c, w in zip(cells, wide, strict=True))
        return min(most * self.step + 2 * CELL_GAP, self.bottom - self.top - 8 * self.step)

    def cell(self, text: str, wide: float, bold: bool) -> list[str]:
        return wrap(text, wide - 2 * CELL, self.size, bold)

    def row(self, cells, wide, bold: bool) -> None:
        broken = [self.cell(c, w, bold) for c, w in zip(cells, wide, strict=True)]
        self.y += CELL_GAP
        page, first, columns = self.page, len(self.page.lines), []
        for n in range(max(map(len, broken))):
            self.need(self.step)
            x = self.left + CELL
            for column, (lines, width) in enumerate(zip(broken, wide, strict=True)):
                if n < len(lines):
                    self.line(lines[n], x, width - 2 * CELL, self.y, self.size, bold)
                    columns.append(column)
                x += width
            self.y += self.step
        if page is self.page:  # who reads the file aloud hears one cell after the other
            drawn = zip(columns, page.lines[first:], strict=True)
            page.lines[first:] = [line for _, line in sorted(drawn, key=lambda pair: pair[0])]
        self.y += CELL_GAP
        thick = 0.4 if bold else 0.15
        self.page.strokes.append(Stroke(self.left, self.y, self.right, self.y, thick))


_WAYS = {
    Heading: _Flow.heading,
    Words: _Flow.words,
    Listed: _Flow.listed,
    Grid: _Flow.grid,
    Care: _Flow.care,
    Blanks: _Flow.blanks,
    Cards: _Flow.cards,
}


def column_widths(heads, rows, room: float, size: float) -> list[float]:
    """Widths of a table's columns, in mm, that fill so much room.

    Parameters
    ----------
    heads : list of str
    rows : list of list of str
    room : float
        In mm.
    size : float
        In points.

    Returns
    -------
    list of float
        What each column would take in one line, and a part of what is over; where there is not
        room enough, such that the rows together come out low.
    """
    table = [[width_mm(head, size, True) for head in heads]]
    table += [[width_mm(cell, size) for cell in row] for row in rows]
    wanted = [max(column) + 2 * CELL + 0.1 for column in zip(*table, strict=True)]
    free = room - sum(wanted)
    if free >= 0:
        return [width + free / len(wanted) for width in wanted]
    words = [
        [word for cell in column for word in cell.split()] for column in zip(*rows, strict=True)
    ]
    words = [[*some, *head.split()] for some, head in zip(words, heads, strict=True)]
    least = [
        min(max(width_mm(word, size, True) for word in (*some, "m")) + 2 * CELL, room / len(heads))
        for some in words
    ]
    return _lowest([room / len(heads)] * len(heads), least, table)


def _lowest(widths: list[float], least: list[float], table) -> list[float]:
    """Move room from one column to another as long as that makes the rows lower."""
    best, height = widths, _height_of(widths, table)
    for step in (16.0, 8.0, 4.0, 2.0, 1.0):
        moved = True
        while moved:
            moved = False
            for one, other in permutations(range(len(widths)), 2):
                tried = list(best)
                tried[one] += step
                tried[other] -= step
                if tried[other] >= least[other] and (low := _height_of(tried, table)) < height:
                    best, height, moved = tried, low, True
    return best


def _height_of(widths: list[float], table) -> float:
    """Lines of all rows together, about: each row is as high as its fullest cell."""
    rooms = [width - 2 * CELL for width in widths]
    return sum(max(1.0, *map(truediv, row, rooms)) for row in table)
