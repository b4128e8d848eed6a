"""What a printed sheet is made of: the paper, and the few blocks that stand on it."""

from __future__ import annotations

from dataclasses import dataclass, field

from kitchenkit.errors import KitchenError, brief
from kitchenkit.language import join_or, mark, tr
from kitchenkit.units import Q


@dataclass(frozen=True)
class Paper:
    """A sheet of paper, upright, and the margin that any home printer leaves.

    Attributes
    ----------
    name : str
    width_mm, height_mm, margin_mm : float
    """

    name: str
    width_mm: float
    height_mm: float
    margin_mm: float = 10.0

    @property
    def size(self) -> tuple:
        """Width and height (mm)."""
        return Q(self.width_mm, "mm"), Q(self.height_mm, "mm")


# ISO 216, A4; ANSI/ASME Y14.1, size A (8 1/2 × 11 in), the US Letter sheet.
PAPERS = {"A4": Paper("A4", 210.0, 297.0), mark("Letter"): Paper("Letter", 215.9, 279.4)}


def read_paper(name) -> Paper:
    """A paper by its name, in any case.

    Parameters
    ----------
    name : str or Paper
        ``"A4"`` or ``"Letter"``.

    Returns
    -------
    Paper

    Raises
    ------
    KitchenError
        For any other.
    """
    if isinstance(name, Paper):
        return name
    wanted = str(name).casefold().removeprefix("us ").strip()
    for key, paper in PAPERS.items():
        if wanted == key.casefold():
            return paper
    raise KitchenError(
        tr(
            "There is no paper {name} here. Choose {known}.",
            name=brief(name),
            known=join_or(PAPERS),
        )
    )


@dataclass(frozen=True)
class Heading:
    """A line in bold that opens a part of a sheet."""

    text: str


@dataclass(frozen=True)
class Words:
    """A paragraph."""

    text: str
    bold: bool = False


@dataclass(frozen=True)
class Listed:
    """Short texts, one under the other.

    Attributes
    ----------
    items : tuple of str
    sign : {"dot", "box", "number"}
        A dot, a box to tick, or the number of a step.
    """

    items: tuple[str, ...]
    sign: str = "dot"


@dataclass(frozen=True)
class Grid:
    """A table: as many cells in each row as there are headings."""

    headings: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


@dataclass(frozen=True)
class Care:
    """Cautions, at least one, set apart by a bar and by their first words."""

    items: tuple[str, ...]


@dataclass(frozen=True)
class Blanks:
    """Empty lines to write on."""

    count: int


@dataclass(frozen=True)
class Field:
    """One text of a card.

    Attributes
    ----------
    text : str
    fits : tuple of (float, int)
        Sizes in points, each with the most lines at that size; the first that holds the text is
        taken, and at the last one the rest becomes ``…``.
    bold : bool
    otherwise : str
        What to write instead of a shortened text, where a part of it would mislead.
    """

    text: str
    fits: tuple[tuple[float, int], ...]
    bold: bool = False
    otherwise: str = ""


@dataclass(frozen=True)
class Cards:
    """Cards of one exact size, side by side, to cut along the dashed lines."""

    cards: tuple[tuple[Field, ...], ...]
    width_mm: float
    height_mm: float

    @property
    def size(self) -> tuple[float, float]:
        """Width and height of each, in mm."""
        return self.width_mm, self.height_mm


@dataclass(frozen=True)
class Sheet:
    """What begins on a new sheet of paper.

    Attributes
    ----------
    title : str
        None is written where it is empty.
    blocks : tuple
    bare : bool
        Nothing but cards in the middle of the paper, with `foot` below.
    foot : str
    """

    title: str
    blocks: tuple = ()
    bare: bool = False
    foot: str = ""


@dataclass(frozen=True)
class Document:
    """Sheets to print together.

    Attributes
    ----------
    title : str
    sheets : tuple of Sheet
    paper : Paper
    large : bool
        Large print: 16 points, and never below 13.5; else 11, and never below 9.
    """

    title: str
    sheets: tuple[Sheet, ...]
    paper: Paper = field(default_factory=lambda: PAPERS["A4"])
    large: bool = False
