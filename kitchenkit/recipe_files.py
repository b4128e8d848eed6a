"""Reading recipes from their files, one a file, with every fault in them."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path
from typing import Any

from kitchenkit import tables
from kitchenkit.errors import Fault, MeasureError
from kitchenkit.recipe import Line, Recipe
from kitchenkit.shelf import Shelf, plain
from kitchenkit.tables import IF_NEW, Table
from kitchenkit.units import read_measure, si

_FIELDS = {
    "name": str,
    "servings": (int, float),
    "serving": str,
    "source": str,
    "note": str,
    "batter": dict,
    "ingredients": list,
}
_MOST_DOTS = 500
_NEEDED = ("name", "servings", "source", "ingredients")
_LINE_FIELDS = ("ingredient", "amount", "note")
DENSITY_BASES = ("stated", "measured", "carried")


def read_recipes(folder: Path, ingredients: Shelf, stocked, cited, faults: list[Fault]) -> Shelf:
    """Read every recipe of a folder.

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

    def build(table: Table, path: Path) -> Recipe | None:
        return _recipe(table, path, ingredients, stocked, cited)

    recipes = read_each(folder, "recipe", build, faults)
    if not recipes and not faults:
        faults.append(Fault("recipes/", "the folder", "-", "nothing", "Add a recipe, name.toml."))
    return recipes


def read_each(folder: Path, what: str, build, faults: list[Fault]) -> Shelf:
    """A shelf of what each TOML file of a folder holds, no two of one name; empty without a folder.

    Parameters
    ----------
    folder : Path
    what : str
        What a file holds, for the messages.
    build : callable
        Makes one of (table for its faults, path), or None.
    faults : list of Fault

    Returns
    -------
    Shelf
    """
    made, taken = [], {}
    for path in sorted(folder.glob("*.toml")) if folder.is_dir() else []:
        if path.name[0] == ".":  # some systems put such companions beside a file on a stick
            continue
        table = Table(f"{folder.name}/{path.name}")
        item = build(table, path)
        if item is not None and taken.setdefault(plain(item.name), path.name) != path.name:
            mend = f"{taken[plain(item.name)]} has this name too. Give each its own."
            table.fault("the top", "name", item.name, mend)
        faults += table.faults
        made += [item] if item is not None else []
    return Shelf(what, made)


def read_top(
    table: Table, path: Path, what: str, fields: dict, needed: tuple[str, ...], cited
) -> dict[str, Any] | None:
    """A TOML file whose top level holds the wanted fields and no others, or None with its faults.

    Parameters
    ----------
    table : Table
        Takes the faults.
    path : Path
    what : str
        What the file holds, for the messages.
    fields : dict of str to type
    needed : tuple of str
    cited : container of str

    Returns
    -------
    dict or None
    """
    try:
        raw = path.read_bytes()
    except OSError as error:
        table.fault("the file", "-", error.strerror or "?", "Make the file readable.")
        return None
    written = read_toml(table, raw, path.name, what)
    if written is None:
        return None
    if not _check_top(table, written, what, fields, needed, cited):
        return None
    if not tables.is_key(path.stem):
        mend = "Name the file with letters, digits and hyphens, like carrot-oat.toml."
        table.fault("the file", "-", path.name, mend)
    return written


def read_toml(table: Table, raw: bytes, name: str, what: str) -> dict[str, Any] | None:
    """What a TOML file holds, or None with its faults.

    Parameters
    ----------
    table : Table
        Takes the faults.
    raw : bytes
    name : str
        The file's, for the messages.
    what : str
        What the file holds, for the messages.

    Returns
    -------
    dict or None
    """
    try:
        text = tables.decode(raw)
        # The reader's memory grows with the square of the dots in a name: a.a.a.a...
        if any(line.count(".") > _MOST_DOTS for line in text.split("\n")):
            raise MeasureError(f"A line holds more than {_MOST_DOTS} dots. Take them out.")
        written = tomllib.loads(text)
        str(written)  # fails on numbers and lists too large to be shown in a message
    except tomllib.TOMLDecodeError as error:
        line = re.search(r"line (\d+)", str(error))
        where = f"row {line[1]}" if line else "the end"
        table.fault(where, "-", str(error), 'Mend the line: name = "words" or name = 12.')
        return None
    except MeasureError as error:
        table.fault(tables.line_of(str(error)), "-", name, str(error))
        return None
    except (RecursionError, ValueError):
        mend = f"It holds a number, date or list that is no part of a {what}. Take it out."
        table.fault("the file", "-", name, mend)
        return None
    return written


def _check_top(
    table: Table,
    written: dict[str, Any],
    what: str,
    fields: dict,
    needed: tuple[str, ...],
    cited,
) -> bool:
    """Whether the top level holds the wanted fields and no others; faults are told."""
    for name in needed:
        if name not in written:
            table.fault("the top", name, "", f"{name} is missing. Add it.")
    for name, value in written.items():
        if name not in fields:
            mend = f"This is not a part of a {what}. Use one of: {', '.join(fields)}."
            table.fault("the top", name, str(value), mend)
        elif not isinstance(value, fields[name]) or isinstance(value, bool):
            table.fault("the top", name, str(value), f"Write {name} like the shipped {what} does.")
        elif name in needed and value == "":
            table.fault("the top", name, "", f"{name} is empty. Fill it in.")
    if table.faults:
        return False
    if not 0 < written["servings"] <= 10_000:
        table.fault("the top", "servings", str(written["servings"]), "Write 1 to 10,000.")
    if written["source"] not in cited:
        mend = "Add this key to sources.csv, or use one that is there."
        table.fault("the top", "source", written["source"], mend)
    return True


def read_line(
    table: Table, where: str, list_name: str, written, ingredients: Shelf, stocked
) -> Line | None:
    """One ingredient and its amount, or None with a fault.

    Parameters
    ----------
    table : Table
    where : str
        Which one it is, for the message.
    list_name : str
        The list it stands in.
    written : dict
        ``ingredient``, ``amount`` and perhaps ``note``.
    ingredients : Shelf
    stocked : container of str

    Returns
    -------
    Line or None
    """
    if not isinstance(written, dict) or not {"ingredient", "amount"} <= written.keys():
        mend = 'Each one needs ingredient = "..." and amount = "...".'
        table.fault(where, list_name, str(written), mend)
        return None
    name, amount, note = written["ingredient"], written["amount"], written.get("note", "")
    for part, value in zip(_LINE_FIELDS, (name, amount, note), strict=True):
        if not isinstance(value, str):
            table.fault(where, part, str(value), 'Put it in quotation marks, like "2 cups".')
            return None
    item = table.find(where, "ingredient", name, ingredients, IF_NEW, told=stocked)
    if item is None:
        return None
    try:
        line = Line(item, read_measure(amount), note)
        if not 0 < line.weight.m_as("g") <= 1e6:
            raise MeasureError("Write an amount above 0 and below a tonne.")
        return line
    except MeasureError as error:
        table.fault(where, "amount", amount, str(error))
        return None


def _recipe(table: Table, path: Path, ingredients: Shelf, stocked, cited) -> Recipe | None:
    written = read_top(table, path, "recipe", _FIELDS, _NEEDED, cited)
    return _build(table, path.stem, written, ingredients, stocked) if written else None


def recipe_of(
    table: Table, key: str, written: dict[str, Any], ingredients: Shelf, cited
) -> Recipe | None:
    """A recipe from what a recipe file would hold, checked as such a file is.

    Parameters
    ----------
    table : Table
        Takes the faults.
    key : str
    written : dict
        As TOML reads it.
    ingredients : Shelf
    cited : container of str
        The keys of the sources.

    Returns
    -------
    Recipe or None
    """
    if not _check_top(table, written, "recipe", _FIELDS, _NEEDED, cited):
        return None
    return _build(table, key, written, ingredients, ())


def _build(
    table: Table, key: str, written: dict[str, Any], ingredients: Shelf, stocked
) -> Recipe | None:
    density, basis = _batter(table, written.get("batter", {}))
    lines = [
        read_line(table, f"ingredient {n}", "ingredients", item, ingredients, stocked)
        for n, item in enumerate(written["ingredients"], 1)
    ]
    if not lines:
        table.fault("the end", "ingredients", "nothing", "Add at least one ingredient.")
    if table.faults or None in lines:
        return None
    return Recipe(
        key=key,
        name=written["name"],
        lines=tuple(lines),
        servings=float(written["servings"]),
        serving=written.get("serving", "piece"),
        density_kg_m3=density,
        density_basis=basis,
        source=written["source"],
        note=written.get("note", ""),
    )


def _batter(table: Table, written: dict) -> tuple[float | None, str]:
    """The raw batter's density, and whether it was measured, stated or carried from a base."""
    if not written:
        return None, "computed"
    basis = written.get("basis", "stated")
    if basis not in DENSITY_BASES:
        table.fault("[batter]", "basis", str(basis), f"Choose one of: {', '.join(DENSITY_BASES)}.")
    try:
        density = si(written.get("density"), "density", "density")
        if not 400 <= density <= 1400:
            raise MeasureError("Batters lie between 0.4 and 1.4 g/ml. Weigh a cup of it again.")
        return density, basis
    except MeasureError as error:
        table.fault("[batter]", "density", str(written.get("density")), str(error))
        return None, basis
