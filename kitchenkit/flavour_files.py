"""Reading flavours from their files, one a file, with every fault in them."""

from __future__ import annotations

from pathlib import Path

from kitchenkit import tables
from kitchenkit.errors import Fault
from kitchenkit.flavours import (
    IN_BATTER,
    KINDS_OF_FLAVOUR,
    MOMENTS,
    MOST_SQUEEZED,
    USUAL_SQUEEZE,
    Change,
    Flavour,
    TimedLine,
)
from kitchenkit.recipe_files import read_each, read_line, read_top
from kitchenkit.shelf import Shelf
from kitchenkit.tables import IF_NEW, Table

_FIELDS = {
    "name": str,
    "kind": str,
    "servings": (int, float),
    "keeping": str,
    "source": str,
    "note": str,
    "changes": list,
}
_NEEDED = ("name", "kind", "servings", "keeping", "source", "changes")
_CHANGE_FIELDS = ("remove", "replace", "with", "add", "amount", "when", "squeeze", "note")
# A change is one of these: the fields that say so, and where its ingredient stands.
_WAYS = {"remove": None, "replace": "with", "add": "add"}


def read_flavours(folder: Path, ingredients: Shelf, stocked, cited, faults: list[Fault]) -> Shelf:
    """Read every flavour of a folder; none where there is no folder.

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

    def build(table: Table, path: Path) -> Flavour | None:
        return _flavour(table, path, ingredients, stocked, cited)

    return read_each(folder, "flavour", build, faults)


def _flavour(table: Table, path: Path, ingredients: Shelf, stocked, cited) -> Flavour | None:
    written = read_top(table, path, "flavour", _FIELDS, _NEEDED, cited)
    if written is None:
        return None
    if written["kind"] not in KINDS_OF_FLAVOUR:
        mend = f"Choose one of: {', '.join(KINDS_OF_FLAVOUR)}."
        table.fault("the top", "kind", written["kind"], mend)
    if not tables.is_key(written["keeping"]):
        mend = "Use letters, digits and hyphens only, like muffins."
        table.fault("the top", "keeping", written["keeping"], mend)
    changes = [
        _change(table, f"change {n}", item, ingredients, stocked)
        for n, item in enumerate(written["changes"], 1)
    ]
    if not changes:
        table.fault("the end", "changes", "nothing", "Add at least one change.")
    if table.faults or None in changes:
        return None
    words = {name: written[name] for name in ("name", "kind", "keeping", "source")}
    return Flavour(
        key=path.stem,
        changes=tuple(changes),
        servings=float(written["servings"]),
        note=written.get("note", ""),
        **words,
    )


def _change(table: Table, where: str, written, ingredients: Shelf, stocked) -> Change | None:
    ways = [way for way in _WAYS if isinstance(written, dict) and way in written]
    if len(ways) != 1:
        mend = "Each change has exactly one of: remove, replace (with what), add."
        table.fault(where, "changes", str(written), mend)
        return None
    (way,) = ways
    known = {way, _WAYS[way], *(() if way == "remove" else _CHANGE_FIELDS[4:])}
    for name in written:
        if name not in known:
            mend = f"That says nothing to {way}. Use: {', '.join(sorted(filter(None, known)))}."
            table.fault(where, name, str(written[name]), mend)
    out = line = None
    if way != "add":
        out = _named(table, where, way, written[way], ingredients, stocked)
    if way != "remove":
        line = _timed(table, where, written, _WAYS[way], ingredients, stocked)
    squeeze = _squeeze(table, where, written.get("squeeze", 0.0))
    if squeeze is None or (way != "add" and out is None) or (way != "remove" and line is None):
        return None
    return Change(out, line, squeeze)


def _named(table: Table, where: str, column: str, name, ingredients: Shelf, stocked):
    if isinstance(name, str):
        return table.find(where, column, name, ingredients, IF_NEW, told=stocked)
    table.fault(where, column, str(name), 'Put it in quotation marks, like "cinnamon".')
    return None


def _timed(table: Table, where: str, written: dict, column: str, ingredients, stocked):
    if not {column, "amount"} <= written.keys():
        mend = f'This change needs {column} = "..." and amount = "...".'
        table.fault(where, "changes", str(written), mend)
        return None
    as_line = {name: written[name] for name in ("amount", "note") if name in written}
    as_line["ingredient"] = written[column]
    line = read_line(table, where, "changes", as_line, ingredients, stocked)
    when = written.get("when", IN_BATTER)
    if when not in MOMENTS:
        table.fault(where, "when", str(when), f"Choose one of: {', '.join(MOMENTS)}.")
        return None
    return line and TimedLine(line.ingredient, line.amount, line.note, when)


def _squeeze(table: Table, where: str, share) -> float | None:
    if share is True:
        return USUAL_SQUEEZE
    if share is False:
        return 0.0
    if isinstance(share, int | float) and 0 <= share <= MOST_SQUEEZED:
        return float(share)
    mend = "Write true, or the share of its water that is squeezed out: 0 to 0.9."
    table.fault(where, "squeeze", str(share), mend)
    return None
