"""Reading a table that people edit in spreadsheets, and telling every fault in it."""

from __future__ import annotations

import csv
import datetime
import io
import re
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from kitchenkit.errors import Fault, KitchenError, MeasureError
from kitchenkit.language import num, tr
from kitchenkit.tabletext import decode, line_of, separator_of
from kitchenkit.units import read_number, si

_LONGEST_CELL = 500
IF_NEW = "Add it to ingredients.csv if it is new."  # the mend for an ingredient not found


@dataclass(frozen=True)
class Column:
    """One column: its name, how a cell is read, and whether it may be empty.

    `parse` takes the trimmed text (and, for numbers, the table's decimal sign is settled before)
    and raises `MeasureError` with the mend in its message. `options` are the only words it takes,
    where there are but a few.
    """

    name: str
    parse: Callable[[str], Any]
    required: bool = True
    empty: Any = None
    is_number: bool = False
    options: tuple[str, ...] = ()


@dataclass
class Table:
    """The rows that read right, as (row number in the spreadsheet, values), and the faults.

    `unread` holds the words of the rows that did not read right, so that a name in them is not
    called missing elsewhere; `complete` is False where whole rows may be out of sight.
    """

    file: str
    rows: list[tuple[int, dict[str, Any]]] = field(default_factory=list)
    faults: list[Fault] = field(default_factory=list)
    unread: set[str] = field(default_factory=set)
    complete: bool = False

    def fault(self, row, column: str, value: str, mend: str) -> None:
        where = f"row {row}" if isinstance(row, int) else row
        self.faults.append(Fault(self.file, where, column, value, mend))

    def find(self, row, column: str, name: str, shelf, mend: str, told=()):
        """The thing of that name on a shelf, or None with a fault.

        Names in `told` are faulty elsewhere and have been told there.
        """
        try:
            return shelf[name]
        except KitchenError as error:
            if name not in told:
                self.fault(row, column, name, f"{error} {mend}")
            return None


# How a cell is read ----------------------------------------------------------------------------


def text(name: str, required: bool = True) -> Column:
    """Any words."""
    return Column(name, str, required, "")


def is_key(word: str) -> bool:
    return re.fullmatch(r"[a-z0-9]+([.-][a-z0-9]+)*", word) is not None


def key(name: str) -> Column:
    """A short lower-case name made of letters, digits and hyphens."""

    def parse(cell: str) -> str:
        cell = cell.casefold()
        if not is_key(cell):
            raise MeasureError(tr("Use letters, digits and hyphens only, like rolled-oats."))
        return cell

    return Column(name, parse)


def names(name: str) -> Column:
    """Any number of names with semicolons between."""

    def parse(cell: str) -> tuple[str, ...]:
        return tuple(part.strip() for part in cell.split(";") if part.strip())

    return Column(name, parse, required=False, empty=())


def choice(name: str, options) -> Column:
    """One of a few words, in any case."""

    def parse(cell: str) -> str:
        word = " ".join(cell.casefold().split())
        if word not in options:
            raise MeasureError(tr("Choose one of: {words}.", words=", ".join(options)))
        return word

    return Column(name, parse, options=tuple(options))


def several(name: str, options) -> Column:
    """Any number of a few words, with semicolons between."""
    one = choice(name, options).parse

    def parse(cell: str) -> tuple[str, ...]:
        return tuple(one(part) for part in cell.split(";") if part.strip())

    return Column(name, parse, required=False, empty=())


def number(name: str, low: float, high: float, required: bool = True, empty=None) -> Column:
    """A number between two bounds."""

    def parse(cell: str) -> float:
        value = read_number(cell)
        if not low <= value <= high:
            raise MeasureError(
                tr("Write a number from {low} to {high}.", low=num(low, "g"), high=num(high, "g"))
            )
        return value

    return Column(name, parse, required, empty, is_number=True)


def whole(name: str, low: int, high: int) -> Column:
    """A whole number between two bounds."""
    inner = number(name, low, high).parse

    def parse(cell: str) -> int:
        value = inner(cell)
        if value != int(value):
            raise MeasureError(tr("Write a whole number."))
        return int(value)

    return Column(name, parse, is_number=True)


def volume(name: str) -> Column:
    """A volume above 0 with its unit, as m³."""

    def parse(cell: str) -> float:
        size = si(cell, "volume", name)
        if not size:
            raise MeasureError(tr("Write a volume above 0, like 1 cup or 535 ml."))
        return size

    return Column(name, parse)


def date(name: str) -> Column:
    """A day, as year-month-day."""

    def parse(cell: str) -> datetime.date:
        try:
            return datetime.date.fromisoformat(cell)
        except ValueError:
            raise MeasureError(tr("Write the date as year-month-day, like 2026-11-25.")) from None

    return Column(name, parse)


# The file --------------------------------------------------------------------------------------


def read_table(path: Path, columns: list[Column]) -> Table:
    """Read a table, with every fault in it.

    Byte-order marks, commas, semicolons or tabs between cells, decimal commas, blank lines,
    spaces around cells and mixed case are taken as they come.

    Parameters
    ----------
    path : Path
    columns : list of Column
        All must stand in the first row; further columns are left alone.

    Returns
    -------
    Table
    """
    table = Table(path.name)
    try:
        lines = decode(path.read_bytes())
    except FileNotFoundError:
        table.fault("the file", "-", "nothing", f"Put {path.name} back into {path.parent.name}/.")
        return table
    except OSError as error:
        table.fault("the file", "-", error.strerror or "?", "Make the file readable.")
        return table
    except MeasureError as error:
        table.fault(line_of(str(error)), "-", path.name, str(error))
        return table
    records = _records(table, lines, {c.name for c in columns})
    header = next(((n, cells) for n, cells in records if any(cells)), None)
    if header is None:
        if not table.faults:
            table.fault(1, "-", "nothing", f"The file is empty. Put {path.name} back.")
        return table
    cut_short = bool(table.faults)
    if not _check_header(table, *header, columns):
        return table
    table.complete = not cut_short
    body = [(n, cells) for n, cells in records if n > header[0] and any(cells)]
    where = {name: at for at, name in reversed(list(enumerate(_folded(header[1]))))}
    numeric = [where[c.name] for c in columns if c.is_number]
    comma = decimal_comma([cells[at] for _, cells in body for at in numeric if at < len(cells)])
    for n, cells in body:
        if any(cells[len(header[1]) :]):
            extra = next(c for c in cells[len(header[1]) :] if c)
            table.fault(n, "-", extra, 'More cells than columns. Put "" around words with commas.')
            table.unread.update(_words(cells))
            continue
        values, before = {}, len(table.faults)
        for column in columns:
            cell = cells[where[column.name]] if where[column.name] < len(cells) else ""
            try:
                values[column.name] = read_cell(column, cell, comma)
            except MeasureError as error:
                table.fault(n, column.name, cell, str(error))
        if len(table.faults) == before:
            table.rows.append((n, values))
        else:
            table.unread.update(_words(cells))
    if not body and not cut_short:
        table.fault(header[0] + 1, "-", "nothing", "There are no rows under the headings. Add one.")
    return table


def _words(cells: list[str]) -> set[str]:
    return {part.strip() for cell in cells for part in cell.split(";")}


def _folded(cells: list[str]) -> list[str]:
    return [cell.casefold() for cell in cells]


def _records(table: Table, lines: str, wanted: set[str]) -> list[tuple[int, list[str]]]:
    """Rows as a spreadsheet numbers them, cut at the separator that fits the headings best."""
    start, separator = separator_of(lines, wanted)
    records = []
    reader = csv.reader(io.StringIO(lines[start:], newline=""), delimiter=separator, strict=True)
    try:
        for n, cells in enumerate(reader, start=1):
            records.append((n, [" ".join(cell.split()) for cell in cells]))
    except csv.Error:
        mend = "A quotation mark is not closed, or stands inside a cell."
        table.fault(len(records) + 1, "-", '"', mend)
    return records


def _check_header(table: Table, n: int, cells: list[str], columns: list[Column]) -> bool:
    found = _folded(cells)
    missing = [c.name for c in columns if c.name not in found]
    for name in missing:
        table.fault(n, name, ", ".join(cells), f"The heading {name} is missing. Add the column.")
    twice = sorted({c.name for c in columns if found.count(c.name) > 1})
    for name in twice:
        table.fault(n, name, name, "The heading stands twice. Keep one of the two columns.")
    return not missing and not twice


def decimal_comma(cells: list[str]) -> bool:
    """Whether a table with these cells for numbers writes 2,5 for 2.5, so 1,250 means 1.25."""
    surely = any(re.fullmatch(r"\d+,(\d{1,2}|\d{4,})|0\d*,\d+", cell) for cell in cells)
    never = any(re.search(r"\.\d", cell) for cell in cells)
    return surely and not never


def read_cell(column: Column, cell: str, comma: bool = False) -> Any:
    """What one cell holds.

    Parameters
    ----------
    column : Column
    cell : str
        Without spaces around it.
    comma : bool
        Whether its table writes 2,5 for 2.5.

    Raises
    ------
    MeasureError
        If it cannot be read; the message is the mend.
    """
    if not cell:
        if column.required:
            raise MeasureError(tr("The cell is empty. Fill it in."))
        return column.empty
    if len(cell) > _LONGEST_CELL:
        raise MeasureError(tr("Too long. Write at most {n} letters.", n=_LONGEST_CELL))
    if column.is_number and comma and re.fullmatch(r"-?\d+,\d+", cell):
        cell = cell.replace(",", ".")
    return column.parse(cell)
