"""Freezer labels: what it is, when it was made, by when it is best, what is in it; to cut out."""

from __future__ import annotations

import datetime
import math
from collections.abc import Iterable
from dataclasses import dataclass
from numbers import Real

from kitchenkit.allergens import allergens_in
from kitchenkit.costs import read_day
from kitchenkit.errors import KitchenError
from kitchenkit.language import day, mark, num, tr, trn
from kitchenkit.lettering import clean, printable
from kitchenkit.recipe import Recipe
from kitchenkit.sheets import Cards, Document, Field, Sheet, Words, read_paper
from kitchenkit.typesetting import grid_of, lay_card

# Millimetres of a label, for small and for larger letters: as many as fit, the same on both papers.
LABEL_MM = {False: (90.0, 36.0), True: (90.0, 52.0)}
_LARGER = 1.45  # letters of the larger label beside the usual one
_MOST_LABELS = 500
_NO_NAME = mark("no name")
THAW = mark("Thaw in the refrigerator, still wrapped.")  # common practice, no source
_KEEP = {
    "freezer": mark("Keep at −18 °C (0 °F) or below."),
    "fridge": mark("Keep in the fridge, at 4 °C (40 °F) or below."),
    "counter": mark("Keep wrapped, at about 21 °C (70 °F)."),
}


@dataclass(frozen=True)
class Label:
    """What one label says.

    Attributes
    ----------
    name : str
        Any text; it is made harmless, and shortened where it is too long.
    made_on : datetime.date or str
    best_by : datetime.date or str, optional
        From the keeping times; ``Best by: ____`` to fill in by hand when left out.
    allergens : tuple of str
        Those that the data list for it. What they leave out may still be in it.
    portions : float, optional
        How many are in the package.
    advice : str
        How to thaw or keep it.
    """

    name: str
    made_on: datetime.date | str
    best_by: datetime.date | str | None = None
    allergens: tuple[str, ...] = ()
    portions: float | None = None
    advice: str = THAW

    def __post_init__(self):
        made = read_day(self.made_on)
        best = None if self.best_by is None else read_day(self.best_by)
        if best is not None and best < made:
            raise KitchenError(
                tr(
                    "Best by {best} is before the day it is made, {made}.",
                    best=day(best),
                    made=day(made),
                )
            )
        if self.portions is not None and not (
            isinstance(self.portions, Real) and math.isfinite(self.portions) and self.portions > 0
        ):
            raise KitchenError(f"{self.portions!r} portions? Write how many, above 0.")
        object.__setattr__(self, "made_on", made)
        object.__setattr__(self, "best_by", best)

    @property
    def allergen_line(self) -> str:
        """What the data list, and that the packages' own labels decide."""
        if not self.allergens:
            return tr("The data list none, which proves nothing: read every label.")
        return tr(
            "In the data: {allergens}. Read every label.",
            allergens=", ".join(map(tr, self.allergens)),
        )

    @property
    def lines(self) -> list[str]:
        """All that it says, line by line, in the language in use, nothing shortened."""
        made = tr("Made {day}", day=day(self.made_on))
        if self.portions is not None:
            made += " · " + trn("{n} portion", "{n} portions", self.portions)
        best = (
            tr("Best by {day}", day=day(self.best_by))
            if self.best_by
            else tr("Best by: ____________")
        )
        return [
            clean(tr(self.name)) or tr(_NO_NAME),
            best,
            made,
            *map(clean, (self.allergen_line, tr(self.advice))),
        ]

    def card(self, large: bool = False) -> tuple[Field, ...]:
        """Its fields, with the sizes in which each may be set.

        Parameters
        ----------
        large : bool
            For the larger label.
        """
        by = _LARGER if large else 1.0
        name, best, made, allergens, advice = self.lines

        def fits(*sizes):
            return tuple((size * by, most) for size, most in sizes)

        return (
            Field(name, fits((13, 1), (10.5, 2), (8, 3)), bold=True),
            Field(best, fits((10, 1)), bold=True),
            Field(made, fits((8.5, 1))),
            Field(
                allergens,
                fits((9, 2), (8, 2), (7.5, 3)),
                otherwise=tr(
                    "In the data: too many to print here, see the full list. Read every label."
                ),
            ),
            Field(advice, fits((8.5, 1), (7.5, 2))),
        )


@dataclass(frozen=True)
class LabelSheet(Document):
    """Sheets of labels.

    Attributes
    ----------
    labels : tuple of Label
        One for each label that is printed.
    across, down : int
        Labels on a full sheet.
    shortened : tuple of Label
        Those whose texts are too long for their label; a last sheet has them in full.
    """

    labels: tuple[Label, ...] = ()
    across: int = 0
    down: int = 0
    shortened: tuple[Label, ...] = ()

    @property
    def per_sheet(self) -> int:
        return self.across * self.down

    @property
    def label_sheets(self) -> int:
        """How many sheets of paper hold labels."""
        return math.ceil(len(self.labels) / self.per_sheet)


def advice_for(place: str) -> str:
    """How to keep what is labelled, and how to thaw it.

    Parameters
    ----------
    place : {"freezer", "fridge", "counter"}

    Returns
    -------
    str
    """
    return f"{tr(_KEEP[place])} {tr(THAW)}" if place == "freezer" else tr(_KEEP[place])


def label_for(
    recipe: Recipe, made_on, best_by=None, portions: float | None = None, advice: str = THAW
) -> Label:
    """The label of a recipe, with the allergens that the data list.

    Parameters
    ----------
    recipe : Recipe
    made_on : date or str
    best_by : date or str, optional
    portions : float, optional
        In one package.
    advice : str

    Returns
    -------
    Label

    Raises
    ------
    KitchenError
        If a date or the number of portions is none, or it is best by a day before it is made.
    """
    return Label(recipe.name, made_on, best_by, tuple(allergens_in(recipe).found), portions, advice)


def freezer_labels(labels: Iterable, paper="A4", large: bool = False) -> LabelSheet:
    """Sheets of freezer labels for ordinary paper, each of one exact size, with lines to cut along.

    Parameters
    ----------
    labels : iterable of Label, or of (Label, int)
        Each label once, or as often as said.
    paper : {"A4", "Letter"}
    large : bool
        Fewer labels in larger letters.

    Returns
    -------
    LabelSheet
        A `Document`: `print_html` and `print_pdf` write it. With no label it says so.

    Raises
    ------
    KitchenError
        If the paper is unknown, or the labels are fewer than none or more than 500.

    Notes
    -----
    Each label is 90 × 36 mm, two by seven on a sheet, or 90 × 52 mm, two by five.
    """
    paper = read_paper(paper)
    printed = tuple(_each(labels))
    size = LABEL_MM[large]
    across, down = grid_of(paper, *size)
    foot = tr(
        "Print at actual size (100 %), then cut along the dashed lines: each label is {width} × "
        "{height} mm ({width_in} × {height_in} in).",
        width=num(size[0], "g"),
        height=num(size[1], "g"),
        width_in=num(size[0] / 25.4, ".2f"),
        height_in=num(size[1] / 25.4, ".2f"),
    )
    sheets = []
    for first in range(0, len(printed), across * down):
        part = printed[first : first + across * down]
        cards = Cards(tuple(label.card(large) for label in part), *size)
        sheets.append(Sheet("", (cards,), bare=True, foot=foot))
    unlike = dict.fromkeys(printed)
    short = tuple(label for label in unlike if is_shortened(label, large))
    if short:
        texts = [Words(" / ".join(label.lines)) for label in short]
        sheets.append(Sheet(tr("Labels in full"), (Words(tr(_WHY_IN_FULL)), *texts)))
    title = tr("Freezer labels")
    if not printed:
        sheets.append(Sheet(title, (Words(tr("No label is chosen yet.")),)))
    return LabelSheet(title, tuple(sheets), paper, large, printed, across, down, short)


_WHY_IN_FULL = mark(
    "These say more than their labels have room for; keep this list by the freezer."
)


def is_shortened(label: Label, large: bool = False) -> bool:
    """Whether some of a label's text has no room on it, on paper or on the page."""
    ways = (lay_card(label.card(large), LABEL_MM[large][0], way) for way in (printable, str))
    return any(field.shortened for fields in ways for field in fields)


def _each(labels: Iterable):
    left = _MOST_LABELS
    for one in labels:
        label, count = one if isinstance(one, tuple) else (one, 1)
        if not isinstance(label, Label):
            raise KitchenError(f"{label!r} is no label. Make one with label_for or Label.")
        if isinstance(count, bool) or not isinstance(count, int) or count < 0:
            raise KitchenError(f"{count!r} labels? Write a whole number, 0 or more.")
        left -= count
        if left < 0:
            raise KitchenError(
                tr(
                    "That is more than {count} labels. Print them in parts.",
                    count=num(_MOST_LABELS),
                )
            )
        yield from [label] * count
