"""The table of swaps: what the trade puts in an ingredient's place, with every fault in it."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import pint

from kitchenkit import tables
from kitchenkit.errors import Fault, MeasureError
from kitchenkit.ingredients import Ingredient
from kitchenkit.shelf import Shelf, plain
from kitchenkit.tables import IF_NEW, Table, choice, number, text
from kitchenkit.units import read_measure

KINDS_OF_SWAP = ("milk", "egg", "fat", "flour", "sugar")


@dataclass(frozen=True)
class IngredientSwap:
    """What the trade puts in an ingredient's place.

    Attributes
    ----------
    key, name, kind : str
    out : Ingredient
        What is left out.
    of : Quantity
        How much of it the `put` stands for.
    put : tuple of (Ingredient, Quantity)
    most : float
        Share of the ingredient that may go before the bake suffers, above 0 to 1.
    does, fails : str
        What it does to the bake, and when it goes wrong.
    source, note : str
    """

    key: str
    name: str
    kind: str
    out: Ingredient
    of: pint.Quantity
    put: tuple[tuple[Ingredient, pint.Quantity], ...]
    most: float
    does: str
    fails: str
    source: str
    note: str = ""


def _each_with_amount(name: str) -> tables.Column:
    """Names with amounts, ``water: 3 tbsp; ground-flaxseed: 1 tbsp``."""

    def parse(cell: str) -> tuple[tuple[str, pint.Quantity], ...]:
        pairs = []
        for part in cell.split(";"):
            item, colon, amount = part.partition(":")
            if not (colon and item.strip()):
                raise MeasureError(
                    "Write names with amounts: water: 3 tbsp; ground-flaxseed: 1 tbsp"
                )
            pairs.append((item.strip(), read_measure(amount)))
        return tuple(pairs)

    return tables.Column(name, parse)


SWAP_COLUMNS = [
    tables.key("key"),
    text("name"),
    choice("kind", KINDS_OF_SWAP),
    text("out"),
    tables.Column("of", read_measure),
    _each_with_amount("put"),
    number("most_pct", 1, 100),
    text("does"),
    text("fails"),
    tables.key("source"),
    text("note", False),
]


def read_swaps(folder: Path, ingredients: Shelf, stocked, cited, faults: list[Fault]) -> Shelf:
    """Read swaps.csv; none where there is no such file.

    Parameters
    ----------
    folder : Path
    ingredients : Shelf
    stocked, cited : container of str
        Every name in the tables of ingredients and of sources, those of faulty rows too.
    faults : list of Fault
        What is wrong is added here.

    Returns
    -------
    Shelf
    """
    path = folder / "swaps.csv"
    if not path.exists():
        return Shelf("swap")
    table = tables.read_table(path, SWAP_COLUMNS)
    taken: dict[str, int] = {}
    made = []
    for row, values in table.rows:
        for column in ("key", "name"):
            if taken.setdefault(plain(values[column]), row) != row:
                mend = f"Row {taken[plain(values[column])]} has this name too. Give each its own."
                table.fault(row, column, values[column], mend)
        if values["source"] not in cited:
            mend = "Add this key to sources.csv, or use one that is there."
            table.fault(row, "source", values["source"], mend)
        made.append(_swap(table, row, values, ingredients, stocked))
    faults += table.faults
    return Shelf("swap", filter(None, made))


def _swap(table: Table, row: int, values: dict, ingredients: Shelf, stocked):
    out = table.find(row, "out", values["out"], ingredients, IF_NEW, told=stocked)
    put = [
        (table.find(row, "put", name, ingredients, IF_NEW, told=stocked), amount)
        for name, amount in values["put"]
    ]
    if out is None or any(item is None for item, _ in put):
        return None
    for column, item, amount in (("of", out, values["of"]), *(("put", *pair) for pair in put)):
        try:
            if not 0 < item.weight(amount).m_as("g") <= 1e6:
                raise MeasureError("Write an amount above 0 and below a tonne.")
        except MeasureError as error:
            table.fault(row, column, f"{amount:~g}", str(error))
            return None
    words = {name: values[name] for name in ("key", "name", "kind", "does", "fails", "source")}
    return IngredientSwap(
        out=out,
        of=values["of"],
        put=tuple(put),
        most=values["most_pct"] / 100,
        note=values["note"],
        **words,
    )
