"""A recipe as Markdown: a page to read, and to read in again; what is markup in a name is text."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

from kitchenkit.amounts import write_number
from kitchenkit.tables import Table

_HEADINGS = ("Amount", "Ingredient", "Note")
# CommonMark, 2.4: a backslash makes any ASCII punctuation plain. These are all that could begin
# markup inside a line; the last two stand in addresses that some readers turn into links.
_MARKUP = re.compile(r"[\\`*_\[\]<>&|~#@$^{}=!]|:(?=/)|(?<=www)\.", re.I)
# What would end a line or be trimmed is written by its number (CommonMark, 2.5).
_TRIMMED = re.compile(r"[\n\r\t]|^ | $")
_WRITTEN = re.compile(r"\\([!-/:-@\[-`{-~])|&#(9|10|13|32);")
_CELL = re.compile(r"((?:\\.|[^\\|])*)\|")
_FIELDS = ("Servings", "One serving", "Batter", "Source", "Key", "Note")
_FIELD = re.compile(rf"[-*+] +({'|'.join(_FIELDS)}): *(.*)", re.I)
_HEADING = re.compile(r"(#{1,6}) +(.*)")
_ITEM = re.compile(r" *(?:[-*+]|\d{1,3}[.)]) +(?:\[[ xX]\] +)?(.+)")
_YIELD = re.compile(r"[\s*_>-]*(?:serves|makes|yields?|servings?)\b[\s*_:]*(.+)", re.I)


def escape(text: str) -> str:
    """Any text as one line of Markdown that shows it as it is.

    Examples
    --------
    >>> print(escape("**bold** <b>"))
    \\*\\*bold\\*\\* \\<b\\>
    """
    plain = _MARKUP.sub(lambda found: "\\" + found[0], text)
    return _TRIMMED.sub(lambda found: f"&#{ord(found[0])};", plain)


def unescape(written: str) -> str:
    """The text that `escape` was given."""
    return _WRITTEN.sub(lambda found: found[1] or chr(int(found[2])), written)


def write_page(entry: dict[str, Any]) -> str:
    """A recipe's entry as a page.

    Parameters
    ----------
    entry : dict
        As `recipe_of` takes it, and its ``key``.

    Returns
    -------
    str
    """
    fields = {
        "Servings": write_number(entry["servings"]),
        "One serving": entry["serving"],
        "Source": entry["source"],
        "Key": entry["key"],
    }
    if "batter" in entry:
        fields["Batter"] = f"{entry['batter']['density']}, {entry['batter']['basis']}"
    if "note" in entry:
        fields["Note"] = entry["note"]
    lines = [f"# {escape(entry['name'])}", ""]
    lines += [f"- {name}: {escape(value)}".rstrip(" ") for name, value in fields.items()]
    lines += ["", "## Ingredients", "", _row(_HEADINGS), "|---|---|---|"]
    for line in entry["ingredients"]:
        cells = (line["amount"], line["ingredient"], line.get("note", ""))
        lines.append(_row(map(escape, cells)))
    return "\n".join([*lines, ""])


def _row(cells) -> str:
    return f"| {' | '.join(cells)} |"


def read_page(table: Table, text: str, read_line: Callable, read_yield: Callable) -> dict[str, Any]:
    """The entry that a page holds: one of ours, or a list of ingredients under such a heading.

    Parameters
    ----------
    table : Table
        Takes the faults.
    text : str
    read_line, read_yield : callable
        Read (where it stands, words), or tell a fault: an ingredient, and what the recipe makes.

    Returns
    -------
    dict
    """
    entry: dict[str, Any] = {}
    lines: list | None = None
    level = ours = 0
    for n, line in enumerate(text.replace("\r\n", "\n").split("\n"), 1):
        where = f"row {n}"
        if heading := _HEADING.fullmatch(line):
            if "name" not in entry and len(heading[1]) == 1:
                entry["name"] = unescape(heading[2].strip(" "))
            elif lines is None and "ingredient" in heading[2].casefold():
                lines, level = [], len(heading[1])
            elif lines is not None and len(heading[1]) <= level:
                break
        elif lines is None and (field := _FIELD.fullmatch(line)):
            name, value = field[1].casefold(), unescape(field[2].strip(" "))
            if name == "servings":
                entry |= read_yield(where, value)
            elif name == "batter":
                density, _, basis = value.rpartition(", ")
                entry["batter"] = {"density": density, "basis": basis}
            else:
                entry["serving" if name == "one serving" else name] = value
        elif lines is None and "servings" not in entry and (made := _YIELD.fullmatch(line)):
            entry |= read_yield(where, unescape(made[1]))
        elif lines is not None and line.lstrip().startswith("|"):
            cells = [unescape(cell.strip(" ")) for cell in _CELL.findall(line.strip(" \t")[1:])]
            if ours < 2:  # the headings and the rule under them
                ours += 1
                if ours == 1 and tuple(cells) != _HEADINGS:
                    mend = f"Head the columns {', '.join(_HEADINGS)}, or write a list."
                    table.fault(where, "-", line, mend)
            elif len(cells) == len(_HEADINGS):
                row = zip(("amount", "ingredient", "note"), cells, strict=True)
                lines.append({name: cell for name, cell in row if cell})
            else:
                table.fault(where, "-", line, "Write three cells: amount, ingredient, note.")
        elif lines is not None and (item := _ITEM.fullmatch(line)):
            lines.append(read_line(where, unescape(item[1].strip())))
    if lines is None:
        mend = "Put the ingredients under a heading, ## Ingredients."
        table.fault("the text", "ingredients", "nothing", mend)
    return entry | {"ingredients": lines or []}
