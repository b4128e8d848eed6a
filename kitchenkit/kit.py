"""Reading and checking a data folder: every fault told at once, or a whole kit."""

from __future__ import annotations

import datetime
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from kitchenkit import tables
from kitchenkit.errors import DataError, Fault
from kitchenkit.flavour_files import read_flavours
from kitchenkit.ingredients import COMPONENTS, Ingredient
from kitchenkit.keeping import read_keeping
from kitchenkit.language import mark, tr
from kitchenkit.pans import KINDS, MATERIALS, SHAPES, Pan, PanError
from kitchenkit.places import data_folder, shipped_folder
from kitchenkit.prices import read_prices
from kitchenkit.recipe_files import read_recipes
from kitchenkit.shelf import Shelf, plain
from kitchenkit.swap_table import read_swaps
from kitchenkit.tables import Table, choice, names, number, several, text, whole
from kitchenkit.units import Q

# The nine major allergens of US law: FALCPA (2004) and the FASTER Act, Pub. L. 117-11 (2021).
ALLERGENS = (
    mark("milk"),
    mark("egg"),
    mark("fish"),
    mark("crustacean shellfish"),
    mark("tree nuts"),
    mark("peanut"),
    mark("wheat"),
    mark("soy"),
    mark("sesame"),
)
GROUPS = (
    mark("flour"),
    mark("grain"),
    mark("starch"),
    mark("sugar"),
    mark("fat"),
    mark("liquid"),
    mark("dairy"),
    mark("egg"),
    mark("leavening"),
    mark("salt"),
    mark("fruit"),
    mark("vegetable"),
    mark("nut"),
    mark("seed"),
    mark("spice"),
    mark("flavouring"),
    mark("chocolate"),
    mark("cheese"),
)
_DEMO_DAY = datetime.date(2026, 11, 25)  # a fortnight after the shipped prices were noted
# How the figures of a source came to be known.
READINGS = ("read", "computed", "memory", "practice", "measured", "invented")
UNPUBLISHED = ("practice", "measured", "invented")  # their citations are words of ours


@dataclass(frozen=True)
class Source:
    """Where a figure comes from, and how it was read."""

    key: str
    citation: str
    how: str
    note: str = ""

    @property
    def name(self) -> str:
        return self.citation


@dataclass(frozen=True)
class Kit:
    """A whole, checked data folder.

    Attributes
    ----------
    ingredients, pans, recipes, sources : Shelf
        Mappings by key that also answer to names, in any case.
    prices, packaging : Shelf
        A `PriceList` for each ingredient and each thing to wrap in; empty where there is no file.
    snacks, tariffs : Shelf
        Bought snacks, and what energy costs; empty where there is no file.
    flavours : Shelf
        A `Flavour` for each file of the folder flavours; empty where there is none.
    swaps : Shelf
        An `IngredientSwap` for each row of the table of swaps; empty where there is no file.
    keeping : Shelf
        A `Product` with its published keeping times for each thing baked; empty where there is no
        file.
    folder : Path
    """

    folder: Path
    ingredients: Shelf
    pans: Shelf
    recipes: Shelf
    sources: Shelf
    prices: Shelf = field(default_factory=lambda: Shelf("price"))
    packaging: Shelf = field(default_factory=lambda: Shelf("packaging"))
    snacks: Shelf = field(default_factory=lambda: Shelf("snack"))
    tariffs: Shelf = field(default_factory=lambda: Shelf("tariff"))
    flavours: Shelf = field(default_factory=lambda: Shelf("flavour"))
    swaps: Shelf = field(default_factory=lambda: Shelf("swap"))
    keeping: Shelf = field(default_factory=lambda: Shelf("product"))

    @property
    def today(self) -> datetime.date:
        """The day to count from: the reader's, or for the shipped data the day they tell of.

        So the shipped lessons always show the same, and in a folder of one's own a price of
        yesterday counts and a plan begins tomorrow.
        """
        if self.folder.resolve() == shipped_folder("data").resolve():
            return _DEMO_DAY
        return datetime.date.today()

    def cite(self, key: str) -> str:
        """A source in words, with how it was read."""
        source = self.sources[key]
        if source.how == "memory":
            return tr("{citation} (from memory, unverified)", citation=source.citation)
        return tr(source.citation) if source.how in UNPUBLISHED else source.citation


def open_kit(folder=None) -> Kit:
    """Read and check a data folder.

    Parameters
    ----------
    folder : str or Path, optional
        Holds ingredients.csv, pans.csv, sources.csv and recipes/*.toml, and perhaps prices.csv,
        packaging.csv, snacks.csv, tariffs.csv, keeping.csv, swaps.csv and flavours/*.toml. When
        left out: the data beside the learner's lessons, where the launcher named them, or else the
        shipped data.

    Returns
    -------
    Kit

    Raises
    ------
    DataError
        One error with every fault found: file, row, column, value and how to mend it.
    """
    folder = Path(folder) if folder is not None else data_folder()
    if not folder.is_dir():
        mend = "Give the folder that holds ingredients.csv and pans.csv."
        raise DataError([Fault(str(folder), "the folder", "-", "nothing", mend)])
    faults: list[Fault] = []
    sources, cited = _shelf("source", folder / "sources.csv", SOURCE_COLUMNS, _source, faults)
    ingredients, stocked = _shelf(
        "ingredient", folder / "ingredients.csv", INGREDIENT_COLUMNS, _ingredient, faults, cited
    )
    pans, _ = _shelf("pan", folder / "pans.csv", PAN_COLUMNS, _pan, faults, cited)
    recipes = read_recipes(folder / "recipes", ingredients, stocked, cited, faults)
    priced = read_prices(folder, ingredients, stocked, cited, faults)
    flavours = read_flavours(folder / "flavours", ingredients, stocked, cited, faults)
    swaps = read_swaps(folder, ingredients, stocked, cited, faults)
    keeping = read_keeping(folder, cited, faults)
    if faults:
        raise DataError(faults)
    return Kit(
        folder,
        ingredients,
        pans,
        recipes,
        sources,
        *priced,
        flavours=flavours,
        swaps=swaps,
        keeping=keeping,
    )


# Tables ----------------------------------------------------------------------------------------


SOURCE_COLUMNS = [
    tables.key("key"),
    text("citation"),
    choice("how", READINGS),
    text("note", False),
]

INGREDIENT_COLUMNS = [
    tables.key("key"),
    text("name"),
    names("also"),
    choice("group", GROUPS),
    tables.volume("measure"),
    number("measure_g", 0.1, 5000),
    number("each_g", 0.1, 5000, required=False),
    number("yield_pct", 1, 100),
    several("allergens", ALLERGENS),
    *(number(name, 0, 100) for name in COMPONENTS),
    tables.key("source"),
    tables.key("composition_source"),
    text("note", False),
]

PAN_COLUMNS = [
    tables.key("key"),
    text("name"),
    choice("kind", KINDS),
    choice("shape", SHAPES),
    number("top_length", 0.5, 100),
    number("top_width", 0.5, 100, required=False),
    number("bottom_length", 0.1, 100),
    number("bottom_width", 0.1, 100, required=False),
    number("depth", 0.2, 50),
    number("corner", 0, 50, required=False, empty=0.0),
    number("tube_top", 0, 50, required=False, empty=0.0),
    number("tube_bottom", 0, 50, required=False, empty=0.0),
    whole("wells", 1, 100),
    choice("material", MATERIALS),
    choice("unit", ("in", "cm")),
    text("nominal", False),
    tables.key("source"),
    text("note", False),
]


class _Named:
    """Every name that stands in a table, even in a row with a fault.

    A row with a fault is told once; what refers to it is not called missing as well.
    """

    def __init__(self, table: Table):
        self._complete = table.complete
        self._names = {plain(word) for word in table.unread}
        for _, values in table.rows:
            for name in (values["key"], values.get("name", ""), *values.get("also", ())):
                self._names.add(plain(name))

    def __contains__(self, name: str) -> bool:
        return not self._complete or plain(name) in self._names


_PAN_LENGTHS = [c.name for c in PAN_COLUMNS if c.is_number and c.name != "wells"]


def _shelf(
    what: str,
    path: Path,
    columns: list[tables.Column],
    build: Callable[[Table, int, dict[str, Any]], Any],
    faults: list[Fault],
    cited: _Named | None = None,
) -> tuple[Shelf, _Named]:
    """Read one table into a shelf, adding its faults to the list."""
    table = tables.read_table(path, columns)
    taken: dict[str, int] = {}
    made = []
    for row, values in table.rows:
        for column in ("source", "composition_source"):
            if cited is not None and column in values and values[column] not in cited:
                mend = "Add this key to sources.csv, or use one that is there."
                table.fault(row, column, values[column], mend)
        for column in ("key", "name", "also"):
            written = values.get(column, ())
            for name in (written,) if isinstance(written, str) else written:
                if taken.setdefault(plain(name), row) != row:
                    mend = f"Row {taken[plain(name)]} already has this name. Give each its own."
                    table.fault(row, column, name, mend)
        item = build(table, row, values)
        if item is not None:
            made.append(item)
    faults += table.faults
    return Shelf(what, made), _Named(table)


def _source(table: Table, row: int, values: dict[str, Any]) -> Source:
    return Source(**values)


def _ingredient(table: Table, row: int, values: dict[str, Any]) -> Ingredient | None:
    parts = {name: values[name] for name in COMPONENTS}
    total = sum(parts.values()) - parts["fibre"]
    if not 98 <= total <= 102:
        mend = "Water, protein, fat, carbohydrate and ash of 100 g must add up to 98 to 102 g."
        table.fault(row, "water", f"{total:g} g in all", mend)
        return None
    if parts["fibre"] > parts["carbohydrate"]:
        mend = "Fibre is part of carbohydrate and cannot be more."
        table.fault(row, "fibre", f"{parts['fibre']:g}", mend)
        return None
    density = values["measure_g"] / 1000 / values["measure"]
    if not 30 <= density <= 2000:
        mend = f"That is {density / 1000:.2f} g/ml; foods lie between 0.03 and 2. Weigh it again."
        table.fault(row, "measure_g", f"{values['measure_g']:g}", mend)
        return None
    return Ingredient(
        key=values["key"],
        name=values["name"],
        also=values["also"],
        group=values["group"],
        volume_m3=values["measure"],
        mass_kg=values["measure_g"] / 1000,
        each_kg=values["each_g"] / 1000 if values["each_g"] else None,
        edible_yield=values["yield_pct"] / 100,
        allergens=values["allergens"],
        composition={name: share / 100 for name, share in parts.items()},
        source=values["source"],
        composition_source=values["composition_source"],
        note=values["note"],
    )


def _pan(table: Table, row: int, values: dict[str, Any]) -> Pan | None:
    metre = Q(1, values["unit"]).m_as("m")
    lengths = {
        name: values[name] * metre if values[name] is not None else None for name in _PAN_LENGTHS
    }
    lengths["height"] = lengths.pop("depth")
    words = {name: value for name, value in values.items() if name not in (*_PAN_LENGTHS, "unit")}
    try:
        return Pan(**words, **lengths)
    except PanError as error:
        column = "depth" if error.field == "height" else error.field
        value = values[column] or ""  # a tube's size of 0 is an empty cell
        if value and column in _PAN_LENGTHS:
            value = f"{value:g} {values['unit']}"
        table.fault(row, column, str(value), str(error))
        return None
