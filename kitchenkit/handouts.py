"""Handouts of a class: a page for each station, a page to take home, and a worksheet with its key.

They take plain data, so that a teacher may fill them from a class plan or by hand.
"""

from __future__ import annotations

import datetime
from collections.abc import Sequence
from dataclasses import dataclass
from functools import reduce

import pint

from kitchenkit.allergens import READ_LABELS, allergens_in
from kitchenkit.costs import Cost, cost, read_day
from kitchenkit.errors import KitchenError
from kitchenkit.exercises.question import UNITS, Question
from kitchenkit.keeping import KeepBy
from kitchenkit.labels import LABEL_MM, Label
from kitchenkit.language import day, join_or, mark, num, tr, trn
from kitchenkit.recipe import Line, Recipe
from kitchenkit.saying import say_both
from kitchenkit.sheets import (
    Blanks,
    Cards,
    Care,
    Document,
    Grid,
    Heading,
    Listed,
    Sheet,
    Words,
    read_paper,
)

TOOLS = ("us", "metric", "both")
# How a quick bread is mixed: common practice, no source.
STEPS = (
    mark("Heat the oven; grease or line the pans."),
    mark("Measure everything. Dry things go into one bowl, wet ones into another."),
    mark("Pour wet onto dry; stir only until no dry flour shows."),
    mark("Fill the pans at once, and bake. Look from the minute given on."),
    mark("Done: a skewer comes out clean, the top springs back, the sides leave the pan."),
)
STATION_CARE = (
    mark("Do not taste the batter: raw flour and raw eggs can carry germs. Wash your hands."),
    mark("Oven, racks and pans burn: dry mitts, and a clear place to set them down."),
)
HOME_STEPS = (
    mark("Heat the oven; grease or line the pans."),
    mark(
        "Stir the dry things and the wet ones apart, then together, only until no dry flour shows."
    ),
    mark("Fill the pans and bake. Done: a skewer comes out clean, the top springs back."),
)
HOME_CARE = (
    mark("Hot pans burn, and raw batter is not for tasting."),
    mark("Wrap it only once it is cool, and date it. When in doubt, throw it out."),
)
_WHERE = {
    "counter": mark("on the counter"),
    "fridge": mark("in the fridge"),
    "freezer": mark("in the freezer"),
    "counter after freezing": mark("on the counter after freezing"),
    "fridge after freezing": mark("in the fridge after freezing"),
}
_WRITE_LINES = 3  # under each question of a worksheet


@dataclass(frozen=True)
class PanUse:
    """A pan of a station: how many, how deep, and when to look.

    Attributes
    ----------
    name : str
    count : int
        How many pans.
    wells : int
        How many of their wells are filled, where they have wells.
    depth : Quantity, optional
        Of the raw batter.
    look_from : float or Quantity, optional
        When to look first; plain numbers are minutes.
    window : (low, high), optional
        Between which minutes it is most likely done.
    """

    name: str
    count: int = 1
    depth: pint.Quantity | None = None
    look_from: float | pint.Quantity | None = None
    window: tuple | None = None
    wells: int = 0

    def __str__(self) -> str:
        said = f"{self.count} × {tr(self.name)}"
        if self.wells:
            said += ", " + trn("{n} well filled", "{n} wells filled", self.wells)
        if self.depth is not None:
            said += ", " + tr("batter {depth} deep", depth=say_both(self.depth))
        if self.look_from is not None:
            said += "; " + tr("look from {minutes} min on", minutes=_minutes(self.look_from))
        if self.window is not None:
            low, high = map(_minutes, self.window)
            said += ", " + tr("done most likely between {low} and {high} min", low=low, high=high)
        return f"{said}."


def _minutes(value) -> int:
    return round(value.m_as("min") if isinstance(value, pint.Quantity) else value)


@dataclass(frozen=True)
class StationPage:
    """What one station of a class reads.

    Attributes
    ----------
    name : str
        Such as ``"Station 3"``.
    recipe : Recipe
        Scaled to what the station makes, toppings included.
    who : str
        Who works there, or how many.
    flavour : str
        The recipe's name when left out.
    portions : float, optional
        The recipe's servings when left out.
    pans : tuple of PanUse
    oven : str
        Its heat in words, as °F and °C.
    steps, notes, care : tuple of str
    """

    name: str
    recipe: Recipe
    who: str = ""
    flavour: str = ""
    portions: float | None = None
    pans: tuple[PanUse, ...] = ()
    oven: str = ""
    steps: tuple[str, ...] = STEPS
    notes: tuple[str, ...] = ()
    care: tuple[str, ...] = STATION_CARE


@dataclass(frozen=True)
class HomePage:
    """What a student takes home.

    Attributes
    ----------
    recipe : Recipe
        In the size for a home kitchen, toppings included.
    name : str
        The recipe's when left out.
    pans : tuple of PanUse
    oven : str
    cost : Cost, optional
    kept : tuple of KeepBy
        Until when it keeps, a place each.
    label : Label, optional
    labels : int
        How many of it to cut out.
    steps, notes, care : tuple of str
    """

    recipe: Recipe
    name: str = ""
    pans: tuple[PanUse, ...] = ()
    oven: str = ""
    cost: Cost | None = None
    kept: tuple[KeepBy, ...] = ()
    label: Label | None = None
    labels: int = 2
    steps: tuple[str, ...] = HOME_STEPS
    notes: tuple[str, ...] = ()
    care: tuple[str, ...] = HOME_CARE


def handout(
    kit,
    *pieces: StationPage | HomePage | Recipe,
    tools: str = "both",
    large: bool = False,
    paper="A4",
    title: str = "",
    on=None,
) -> Document:
    """Pages to hand out: one for each station, and one to take home.

    Parameters
    ----------
    kit : Kit
        Whose prices a bare recipe is costed by.
    *pieces : StationPage, HomePage or Recipe
        A page each, in their order; a recipe becomes a page to take home.
    tools : {"us", "metric", "both"}
        How amounts are told: cups and spoons, scale and jug, or both side by side.
    large : bool
        In large print.
    paper : {"A4", "Letter"}
    title : str
        Of the file; ``"Handout"`` when left out.
    on : date or str, optional
        The day that prices are told for; today when left out.

    Returns
    -------
    Document
        For `print_html` and `print_pdf`. Letters shrink so that each piece keeps to one page, as
        far as they stay readable; a longer one goes on and says so.

    Raises
    ------
    KitchenError
        If there is no piece or it is none of these, or the tools or the paper are unknown.
    """
    if tools not in TOOLS:
        raise KitchenError(f"Tools {tools!r} are not known. Choose {', '.join(TOOLS)}.")
    if not pieces:
        raise KitchenError(tr("There is nothing to hand out yet. Give a station or a recipe."))
    paper, today = read_paper(paper), read_day(on)
    sheets = tuple(_sheet(kit, piece, tools, today) for piece in pieces)
    return Document(title or tr("Handout"), sheets, paper, large)


def _sheet(kit, piece, tools: str, today: datetime.date) -> Sheet:
    if isinstance(piece, StationPage):
        return _station(piece, tools)
    if isinstance(piece, Recipe):
        priced = cost(kit, piece, today=today) if kit.prices else None
        piece = HomePage(piece, cost=priced)
    if isinstance(piece, HomePage):
        return _take_home(piece, tools)
    raise KitchenError(f"{piece!r} is no StationPage, HomePage or Recipe.")


def _station(piece: StationPage, tools: str) -> Sheet:
    portions = piece.recipe.servings if piece.portions is None else piece.portions
    many = num(portions, "g")
    about = [tr("Makes {n} portion", n=many) if portions == 1 else tr("Makes {n} portions", n=many)]
    about += [piece.who] if piece.who else []
    blocks = [
        Words("; ".join(about)),
        amounts_table(piece.recipe, tools),
        *_baking(piece.pans, piece.oven),
        *_listed(piece.steps, "number"),
        Words(str(allergens_in(piece.recipe))),
        *_notes(piece),
        _care(piece.care or STATION_CARE),
    ]
    return Sheet(f"{piece.name}: {tr(piece.flavour or piece.recipe.name)}", tuple(blocks))


def _take_home(piece: HomePage, tools: str) -> Sheet:
    recipe = piece.recipe
    blocks = [
        Words(tr("Makes {n}: {serving}.", n=num(recipe.servings, "g"), serving=tr(recipe.serving))),
        amounts_table(recipe, tools),
        *_baking(piece.pans, piece.oven),
        *_listed(piece.steps, "number"),
        *([Words(cost_line(piece.cost))] if piece.cost is not None else []),
        *([Words(kept_line(piece.kept))] if piece.kept else []),
        Words(_allergens(recipe)),
        *_notes(piece),
        _care(piece.care or HOME_CARE),
    ]
    if piece.label is not None and piece.labels:
        card = piece.label.card()
        blocks.append(Cards((card,) * piece.labels, *LABEL_MM[False]))
    return Sheet(tr(piece.name or recipe.name), tuple(blocks))


def _allergens(recipe: Recipe) -> str:
    """The allergens of the data alone; the station's page tells which ingredient brings them."""
    listed = allergens_in(recipe)
    names = ", ".join(map(tr, listed.found))
    if not names:
        return str(listed)
    return " ".join((tr("In the data: {names}.", names=names), tr(READ_LABELS)))


def _listed(items: tuple[str, ...], sign: str) -> list:
    return [Listed(tuple(map(tr, items)), sign)] if items else []


def _care(items: tuple[str, ...]) -> Care:
    return Care(tuple(map(tr, items)))


def _baking(pans: tuple[PanUse, ...], oven: str) -> list:
    items = (tr("Oven: {heat}.", heat=oven),) if oven else ()
    return _listed((*items, *(str(pan) for pan in pans)), "box")


def _notes(piece: StationPage | HomePage) -> list:
    notes = [piece.recipe.note] if piece.recipe.note else []
    return [Words(tr(note)) for note in (*notes, *piece.notes)]


def amounts_table(recipe: Recipe, tools: str = "both") -> Grid:
    """What goes in, as a table to print: each line in the tools of the reader.

    Parameters
    ----------
    recipe : Recipe
    tools : {"us", "metric", "both"}

    Returns
    -------
    Grid
    """
    ways = ("us", "metric") if tools == "both" else (tools,)
    names = {"us": tr("cups, spoons"), "metric": tr("metric")}
    rows = tuple((_named(line), *(line.say(way) for way in ways)) for line in recipe.lines)
    return Grid((tr("what goes in"), *(names[way] for way in ways)), rows)


def _named(line: Line) -> str:
    """Its name, with how it is prepared and when it goes in."""
    about = [tr(part) for part in (line.note, getattr(line, "when", "")) if part]
    name = tr(line.ingredient.name)
    return f"{name} ({'; '.join(about)})" if about else name


def kept_line(kept: Sequence[KeepBy]) -> str:
    """Until when it keeps in each place, in one sentence.

    Parameters
    ----------
    kept : sequence of KeepBy

    Returns
    -------
    str
        The cautions are the pieces' own: `KeepBy.cautions`.
    """
    said = []
    for one in kept:
        known = {"where": tr(_WHERE[one.place]), "day": day(one.by), "time": one.limit}
        if one.days < 1:
            said.append(tr("{where} {time}", **known))
        elif one.about == "quality":
            said.append(tr("{where} until {day} (for its best)", **known))
        else:
            said.append(tr("{where} until {day} (for safety)", **known))
    return tr(
        "Wrapped, it keeps like {product}: {places}.",
        product=tr(kept[0].product),
        places="; ".join(said),
    )


def cost_line(priced: Cost) -> str:
    """What it costs, in one or two sentences with the currency, the places and the dates.

    Parameters
    ----------
    priced : Cost

    Returns
    -------
    str
    """
    known = priced.lines.dropna(subset=["cost"])
    places = ", ".join(dict.fromkeys(tr(str(place)) for place in known["place"] if place))
    serving, batch = (
        str(money) if priced.complete else tr("at least {sum}", sum=money)
        for money in (priced.serving, priced.batch)
    )
    about = {
        "serving": serving,
        "batch": batch,
        "currency": priced.currency,
        "places": places or tr("own prices"),
        "dates": priced.dates,
    }
    said = (
        tr(
            "Costs {serving} a portion, {batch} the batch ({currency}; {places}; noted {dates}).",
            **about,
        )
        if priced.dates
        else tr("Costs {serving} a portion, {batch} the batch ({currency}; {places}).", **about)
    )
    if priced.missing:
        names = ", ".join(map(tr, priced.missing))
        said += " " + tr("No price for {names}.", names=names)
    return said


# Worksheets ------------------------------------------------------------------------------------


def worksheet(
    questions: Sequence[Question],
    key: bool = False,
    *,
    title: str = "",
    large: bool = False,
    paper="A4",
) -> Document:
    """Questions with lines to answer on; or, apart from them, their key.

    Parameters
    ----------
    questions : sequence of Question
    key : bool
        The answers with their working and the usual slips, for the teacher.
    title : str
        ``"Worksheet"`` when left out.
    large : bool
    paper : {"A4", "Letter"}

    Returns
    -------
    Document
        A worksheet holds no answer.

    Raises
    ------
    KitchenError
        If there is no question, or the paper is unknown.
    """
    if not questions:
        raise KitchenError("There is no question to print. Give some of questions(kit, lesson).")
    name_and_day = tr("Name: ______________________   Day: ______________")
    blocks: list = [] if key else [Words(name_and_day)]
    for n, one in enumerate(questions, start=1):
        blocks.append(Heading(tr("Question {n}", n=n)))
        blocks.append(Words(one.ask))
        blocks += _answered(one) if key else _to_answer(one)
    title = title or tr("Worksheet")
    name = tr("{title}: key", title=title) if key else title
    return Document(name, (Sheet(name, tuple(blocks)),), read_paper(paper), large)


def _to_answer(one: Question) -> list:
    units = reduce(lambda some, unit: join_or([some, unit]), map(tr, one.units))
    return [Words(tr("Answer ({units}):", units=units)), Blanks(_WRITE_LINES)]


def _answered(one: Question) -> list:
    slips = tuple(f"{_short(slip.answer, one.units[0])}: {slip.say}" for slip in one.slips)
    return [
        Words(_short(one.answer, one.units[0]), bold=True),
        Words(one.working),
        *_listed(slips, "dot"),
    ]


def _short(answer: pint.Quantity, unit: str) -> str:
    return f"{num(answer.m_as(UNITS[unit]), '.4g')} {tr(unit)}"
