"""A recipe as a table that spreadsheets open, with no cell that one would run."""

from __future__ import annotations

import csv
import io
from collections.abc import Callable
from typing import Any

from kitchenkit.amounts import write_number
from kitchenkit.errors import MeasureError
from kitchenkit.tables import Table
from kitchenkit.units import read_number

# A spreadsheet takes what begins so for a formula, in half or in full width. OWASP Application
# Security Verification Standard 5.0, 1.2.10 (read in a transcription): =, +, -, @, tab and NUL are
# led by a single quote, and cells are quoted as in RFC 4180. The line ends are of an older edition
# of the advice, from memory, unverified. NUL is refused with all control characters.
_SIGNS = tuple("=+-@＝＋－＠")
_ENDS = tuple("\t\r\n")
_HEADINGS = ("part", "name", "amount", "note")
_ONCE = ("recipe", "servings", "batter", "source", "key")


def guard(cell: str) -> str:
    """A cell that no spreadsheet runs: a quote before what it would take for a formula.

    Examples
    --------
    >>> guard("=1+1"), guard("'til soft"), guard("flour")
    ("'=1+1", "''til soft", 'flour')
    """
    return f"'{cell}" if _needs_guard(cell) else cell


def unguard(cell: str) -> str:
    """The text of a guarded cell."""
    return cell[1:] if cell.startswith("'") and _needs_guard(cell[1:]) else cell


def _needs_guard(cell: str) -> bool:
    # A text with a quote of its own gets a second one, so that taking one off loses nothing.
    return cell.startswith(("'", *_ENDS)) or cell.lstrip().startswith(_SIGNS)


def write_table(entry: dict[str, Any]) -> str:
    """A recipe's entry as a table: one row a part, every cell quoted as in RFC 4180.

    Parameters
    ----------
    entry : dict
        As `recipe_of` takes it, and its ``key``.

    Returns
    -------
    str
    """
    rows = [
        ("recipe", entry["name"], "", entry.get("note", "")),
        ("servings", entry["serving"], write_number(entry["servings"]), ""),
        ("source", entry["source"], "", ""),
        ("key", entry["key"], "", ""),
    ]
    if "batter" in entry:
        rows.append(("batter", entry["batter"]["basis"], entry["batter"]["density"], ""))
    rows += [
        ("ingredient", line["ingredient"], line["amount"], line.get("note", ""))
        for line in entry["ingredients"]
    ]
    out = io.StringIO()
    writer = csv.writer(out, quoting=csv.QUOTE_ALL, lineterminator="\r\n")
    writer.writerow(_HEADINGS)
    writer.writerows([guard(cell) for cell in row] for row in rows)
    return out.getvalue()


def read_table_of_recipe(table: Table, text: str, read_line: Callable) -> dict[str, Any]:
    """The entry that a table holds: one of ours, or bare columns ``ingredient`` and ``amount``.

    Parameters
    ----------
    table : Table
        Takes the faults.
    text : str
    read_line : callable
        Reads (where it stands, a line of words), or tells a fault and gives None.

    Returns
    -------
    dict
    """
    head, rows = _rows(table, text)
    if head is None:
        return {}
    if set(_HEADINGS) <= set(head):
        return _ours(table, head, rows)
    if {"ingredient", "amount"} <= set(head):
        lines = []
        for n, cells in rows:
            row = dict(zip(head, cells, strict=False))
            words = (row.get("amount", ""), row.get("ingredient", ""), row.get("note", ""))
            amount, name, note = (" ".join(word.split()) for word in words)
            lines.append(read_line(f"row {n}", f"{amount} {name}" + (f", {note}" if note else "")))
        return {"ingredients": lines}
    mend = "Head the columns part, name, amount and note, or ingredient and amount."
    table.fault(1, "-", ", ".join(head)[:60], mend)
    return {}


def _rows(table: Table, text: str):
    """The headings and the numbered rows under them, cut where the headings part best."""
    known = {*_HEADINGS, "ingredient"}
    first = text.partition("\n")[0]
    separator = max(
        ",;\t", key=lambda s: len(known & {c.strip(' "\r').casefold() for c in first.split(s)})
    )
    rows = []
    try:
        reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator, strict=True)
        for n, cells in enumerate(reader, 1):
            if any(cell.strip() for cell in cells):
                rows.append((n, [unguard(cell) for cell in cells]))
    except csv.Error:
        mend = "A quotation mark is not closed or stands inside a cell, or a cell is far too long."
        table.fault(len(rows) + 1, "-", '"', mend)
        return None, []
    if not rows:
        table.fault(1, "-", "nothing", "The table is empty.")
        return None, []
    head = [cell.strip().casefold() for cell in rows[0][1]]
    for n, cells in rows[1:]:
        if any(cells[len(head) :]):
            table.fault(n, "-", ", ".join(cells)[:60], "More cells than headings. Take them out.")
    return head, rows[1:]


def _ours(table: Table, head: list[str], rows: list) -> dict[str, Any]:
    entry: dict[str, Any] = {"ingredients": []}
    seen: set[str] = set()
    at = {name: head.index(name) for name in _HEADINGS}
    for n, cells in rows:
        cells = cells + [""] * len(head)
        part, name, amount, note = (cells[at[heading]] for heading in _HEADINGS)
        part = part.strip().casefold()
        if part in seen:
            table.fault(n, "part", part, "This part stands twice. Keep one of the two.")
        if part == "ingredient":
            line = {"ingredient": name, "amount": amount, "note": note}
            entry["ingredients"].append({key: value for key, value in line.items() if value})
            continue
        seen.add(part)
        if part == "recipe":
            entry |= {"name": name} | ({"note": note} if note else {})
        elif part == "servings":
            entry["serving"] = name
            try:
                entry["servings"] = read_number(amount)
            except MeasureError as error:
                table.fault(n, "amount", amount, str(error))
        elif part == "batter":
            entry["batter"] = {"density": amount, "basis": name}
        elif part in ("source", "key"):
            entry[part] = name
        else:
            mend = f"Choose one of: {', '.join(_ONCE)}, ingredient."
            table.fault(n, "part", part, mend)
    return entry
