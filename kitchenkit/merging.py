"""Brings a newer table into one that its owner has edited, cell by cell; the owner's word stands.

Imports the standard library only: the launcher merges tables before anything is installed.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass, field
from decimal import Decimal

from kitchenkit.errors import MeasureError
from kitchenkit.tabletext import Record, TableText

# What tells one row of a table from the others, where the table has no column "key".
IDENTITY = {
    "prices.csv": ("ingredient", "amount", "place", "date"),
    "packaging.csv": ("item", "amount", "place", "date"),
    "keeping.csv": ("product", "place", "source"),
    "bake-log.csv": ("date", "oven", "pan", "volume"),
    "class-results.csv": ("date", "station", "pan", "ingredient", "amount"),
}
_NUMBER = re.compile(r"-?\d+(\.\d+)?")


@dataclass(frozen=True)
class Conflict:
    """A cell that both sides changed; what the owner wrote has stayed.

    Attributes
    ----------
    row, column : str
        The row by what names it, and the heading.
    mine, theirs : str
        What the owner wrote, and what the newer table says.
    """

    row: str
    column: str
    mine: str
    theirs: str

    def __str__(self) -> str:
        theirs = repr(self.theirs) if self.theirs else "nothing"
        mine = repr(self.mine) if self.mine else "the empty cell"
        return f"{self.row}, {self.column}: yours, {mine}, stays; the newer table says {theirs}"


@dataclass
class Merged:
    """An edited table with what is newer brought in.

    Attributes
    ----------
    content : bytes
        Of the file.
    conflicts : list of Conflict
    notes : list of str
        Whatever else its owner should know, a sentence each.
    """

    content: bytes
    conflicts: list[Conflict] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)


def merge_tables(name: str, base: bytes | None, mine: bytes, theirs: bytes) -> Merged:
    """Merge two descendants of one table.

    Parameters
    ----------
    name : str
        Of the file, such as ``"prices.csv"``: it says what tells the rows apart.
    base : bytes or None
        The table that both come from. Without it, whatever differs counts as changed by both.
    mine : bytes
        The edited table. Its separator, decimal sign, code, line ends and column order are kept.
    theirs : bytes
        The newer table.

    Returns
    -------
    Merged

    Raises
    ------
    MeasureError
        If one of them is no table, or lacks what tells its rows apart.

    Notes
    -----
    A cell follows the side that changed it; where both did, `mine` stands and the two are told. New
    rows and columns come in. A row that `theirs` no longer has goes if `mine` had not changed it. A
    row that `mine` no longer has stays away.
    """
    return _Merge(name, base, mine, theirs).run()


class _Side:
    """One of the tables: its rows by what names them."""

    def __init__(self, table: TableText, identity: tuple[str, ...], numeric: Iterable[str] = ()):
        self.table = table
        self.columns = table.columns
        missing = [column for column in identity if column not in self.columns]
        if missing:
            raise MeasureError(f"The heading {missing[0]} is missing.")
        cells = [r[self.columns[c]] for r in table.records for c in numeric if c in self.columns]
        commas = any(re.fullmatch(r"-?\d+,\d+", cell) for cell in cells)
        self.comma = commas and not any(re.fullmatch(r"-?\d+\.\d+", cell) for cell in cells)
        self.numeric = set(numeric)
        self.rows: dict[tuple, Record] = {}
        self.order: list[tuple | None] = []  # of every record, those that are no rows too
        for n, record in enumerate(table.records):
            row = None
            if n > table.header and not record.blank:
                words = tuple(record[self.columns[c]].casefold() for c in identity)
                count = 1
                while (*words, count) in self.rows:
                    count += 1
                row = (*words, count)
                self.rows[row] = record
            self.order.append(row)

    def says(self, record: Record, column: str) -> str:
        """A cell's meaning: 7,50 in a table with decimal commas says the same as 7.5."""
        cell = record[self.columns[column]] if column in self.columns else ""
        if self.comma and column in self.numeric and re.fullmatch(r"-?\d+,\d+", cell):
            cell = cell.replace(",", ".")
        if _NUMBER.fullmatch(cell):
            return str(Decimal(cell).normalize() + 0)
        return cell


class _Merge:
    def __init__(self, name: str, base: bytes | None, mine: bytes, theirs: bytes):
        identity = IDENTITY.get(name, ("key",))
        newer = TableText.read(theirs, identity)
        wanted = set(newer.columns)
        self.identity = identity
        self.theirs = _Side(newer, identity)
        numeric = {
            column
            for column, at in newer.columns.items()
            if all(_NUMBER.fullmatch(r[at]) for r in self.theirs.rows.values() if r[at])
        } - set(identity)
        self.mine = _Side(TableText.read(mine, wanted), identity, numeric)
        self.base = _Side(TableText.read(base, wanted), identity) if base is not None else None
        self.merged = Merged(mine)
        self.updated = 0

    def run(self) -> Merged:
        placed = list(zip(self.mine.order, self.mine.table.records, strict=True))
        came = self._new_columns(placed)
        columns = [c for c in self.theirs.columns if c in self.mine.columns]
        gone = []
        for at, (row, record) in enumerate(placed):
            if row in self.theirs.rows:
                placed[at] = row, self._merged_row(row, record, columns, came)
            elif row is not None and self._is_gone(row):
                gone.append(row)
        self._place_new_rows(placed)
        self._tell(gone)
        kept = [record for row, record in placed if row is None or row not in gone]
        self.merged.content = self.mine.table.with_records(kept).write()
        return self.merged

    def _new_columns(self, placed: list[tuple]) -> set[str]:
        """Give the headings that are new a place at the end."""
        known = {**self.mine.columns, **(self.base.columns if self.base else {})}
        new = [column for column in self.theirs.columns if column not in known]
        at = self.mine.table.header
        heading = self.theirs.table.records[self.theirs.table.header]
        for column in new:
            record = placed[at][1]
            self.mine.columns[column] = len(record.cells)
            words = heading[self.theirs.columns[column]]
            placed[at] = None, self.mine.table.put(record, len(record.cells), words)
            self.merged.notes.append(f"A column came in: {words}.")
        return set(new)

    def _merged_row(self, row: tuple, record: Record, columns: list[str], came: set[str]) -> Record:
        newer = self.theirs.rows[row]
        older = self.base.rows.get(row) if self.base else None
        for column in columns:
            mine, theirs = self.mine.says(record, column), self.theirs.says(newer, column)
            before = "" if column in came else None
            if older is not None:
                before = self.base.says(older, column)
            if theirs in (mine, before) or column in self.identity:
                continue
            there = newer[self.theirs.columns[column]]
            if mine == before:
                record = self._put(record, column, there)
                self.updated += 1
            else:
                here = record[self.mine.columns[column]]
                self.merged.conflicts.append(Conflict(_words(row), column, here, there))
        return record

    def _put(self, record: Record, column: str, words: str) -> Record:
        if self.mine.comma and column in self.mine.numeric:
            words = words.replace(".", ",")
        return self.mine.table.put(record, self.mine.columns[column], words)

    def _is_gone(self, row: tuple) -> bool:
        """Whether the newer table has dropped a row that its owner had left alone."""
        if row in self.theirs.rows or not self.base or row not in self.base.rows:
            return False
        older, record = self.base.rows[row], self.mine.rows[row]
        columns = [c for c in self.mine.columns if c in self.base.columns]
        if all(self.mine.says(record, c) == self.base.says(older, c) for c in columns):
            return True
        self.merged.notes.append(
            f"The newer table no longer has {_words(row)}; you had changed it, so yours stays."
        )
        return False

    def _place_new_rows(self, placed: list[tuple]) -> None:
        """Put each new row after the one that it follows in the newer table."""
        came, at = [], self.mine.table.header
        for row, newer in self.theirs.rows.items():
            if row in self.mine.rows:
                at = next(n for n, (known, _) in enumerate(placed) if known == row)
            elif self.base and row in self.base.rows:
                self._stays_away(row, newer)
            else:
                at += 1
                placed.insert(at, (row, self._fresh(newer)))
                came.append(_words(row))
        if came:
            self.merged.notes.append(f"{_rows(len(came))} came in: {_listed(came)}.")

    def _stays_away(self, row: tuple, newer: Record) -> None:
        """Tell of a row that its owner removed and that has changed since."""
        older = self.base.rows[row]
        both = [c for c in self.theirs.columns if c in self.base.columns]
        if any(self.theirs.says(newer, c) != self.base.says(older, c) for c in both):
            self.merged.notes.append(
                f"You had removed {_words(row)}, and the newer table has changed it; it stays away."
            )

    def _fresh(self, newer: Record) -> Record:
        """A row of the newer table in the columns of the other."""
        width = max(self.mine.columns.values()) + 1
        record = Record(("",) * width, self.mine.table.line_end)
        for column in self.theirs.columns:
            if column in self.mine.columns:
                record = self._put(record, column, newer[self.theirs.columns[column]])
        return record

    def _tell(self, gone: list[tuple]) -> None:
        if self.updated:
            cells = "1 cell was" if self.updated == 1 else f"{self.updated} cells were"
            self.merged.notes.append(f"{cells} brought up to date.")
        if gone:
            self.merged.notes.append(
                f"{_rows(len(gone))} went, as the newer table no longer has them: "
                f"{_listed([_words(row) for row in gone])}."
            )


def _words(row: tuple) -> str:
    """What names a row; a second one of the same name is numbered."""
    *words, count = row
    return ", ".join(words) + (f" ({count})" if count > 1 else "")


def _rows(count: int) -> str:
    return "1 row" if count == 1 else f"{count} rows"


def _listed(names: list[str]) -> str:
    more = len(names) - 8
    return "; ".join(names[:8]) + (f"; and {more} more" if more > 0 else "")
