"""A table as its file has it, to the last byte: cells, line ends, marks and odd rows kept as found.

Imports the standard library only: the launcher merges tables before anything is installed.
"""

from __future__ import annotations

import codecs
import re
from collections.abc import Iterable
from dataclasses import dataclass, replace

from kitchenkit.errors import MeasureError

_LARGEST_FILE = 5_000_000  # bytes; a kitchen's table is a thousand times smaller
SEPARATORS = (",", ";", "\t")
_MARKS = {
    codecs.BOM_UTF8: "utf-8-sig",
    codecs.BOM_UTF16_LE: "utf-16-le",
    codecs.BOM_UTF16_BE: "utf-16-be",
}
# All control characters of Unicode but tab and the line ends.
_CONTROL = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f]")
_LOST = re.compile("\ufffd")  # what a program writes for a letter that it could not read
# UTF-8 that a spreadsheet took for Windows-1252 and saved so: "×" became "Ã—".
_LATER_BYTE = "".join(bytes([n]).decode("cp1252", "ignore") for n in range(0x80, 0xC0))
_GARBLED = re.compile(f"[ÂÃ][{_LATER_BYTE}]|â[€…][{_LATER_BYTE}]")
# A letter of two bytes or more in UTF-8; words in Windows-1252 practically never hold such a pair.
_UTF8_LETTER = re.compile(rb"[\xc2-\xdf][\x80-\xbf]|[\xe0-\xef][\x80-\xbf]{2}")


def decode(raw: bytes) -> str:
    """Text of a file as spreadsheets save it: UTF-8 or UTF-16 with a mark, UTF-8, Windows-1252.

    Raises
    ------
    MeasureError
        If it is not text; the message names the line.
    """
    return decode_as(raw)[0]


def decode_as(raw: bytes) -> tuple[str, str]:
    """Text of a file, and the code it is in: a name of Python's, ``-sig`` for UTF-8 with a mark.

    Raises
    ------
    MeasureError
        If it is not text; the message names the line.
    """
    if len(raw) > _LARGEST_FILE:
        raise MeasureError("The file is far too large for a kitchen's table. Is it the right one?")
    mark = next((mark for mark in _MARKS if raw.startswith(mark)), b"")
    raw = raw.removeprefix(mark)
    if mark:
        candidates = [_MARKS[mark]]
    elif _UTF8_LETTER.search(raw):
        # A damaged UTF-8 file must not pass for Windows-1252 with its names garbled.
        candidates = ["utf-8"]
    else:
        candidates = ["utf-8", "cp1252"]
    for encoding in candidates:
        try:
            out = raw.decode(encoding.removesuffix("-sig"))
            break
        except UnicodeDecodeError as error:
            line = raw.count(b"\n", 0, error.start) + 1
    else:
        raise MeasureError(f"Line {line} is not text. Save it again as CSV UTF-8.")
    for faulty, what in (
        (_CONTROL, "a hidden control character"),
        (_LOST, "a lost letter, \ufffd"),
        (_GARBLED, "a garbled letter"),
    ):
        if found := faulty.search(out):
            line = out.count("\n", 0, found.start()) + 1
            near = out[max(found.start() - 12, 0) : found.end()].split("\n")[-1]
            raise MeasureError(
                f"Line {line} holds {what}, in {near!r}. Mend it and save it as CSV UTF-8."
            )
    return out, encoding


def line_of(message: str) -> str:
    """Where a message from `decode` points: its row, or the file."""
    found = re.match(r"Line (\d+)", message)
    return f"row {found[1]}" if found else "the file"


def separator_of(lines: str, wanted: set[str]) -> tuple[int, str]:
    """Where the rows of a table begin, after a spreadsheet's own hint, and what parts its cells.

    Parameters
    ----------
    lines : str
    wanted : set of str
        Headings that tell by which separator the first row falls apart best.
    """
    hint = re.match(r"sep=[,;\t]\r?\n", lines)
    start = hint.end() if hint else 0
    rest = lines[start:].splitlines()
    first = next((line for line in rest if line.strip(" ,;\t")), "")
    parts = {sep: {c.strip(' "').casefold() for c in first.split(sep)} for sep in SEPARATORS}
    return start, max(SEPARATORS, key=lambda sep: len(wanted & parts[sep]))


@dataclass(frozen=True)
class Record:
    """One row as written: the text of each cell with its quotation marks, and the line's end."""

    cells: tuple[str, ...]
    end: str

    def __getitem__(self, at: int) -> str:
        """What a cell says, without quotation marks and odd spaces; empty beyond the last."""
        return " ".join(bare(self.cells[at]).split()) if at < len(self.cells) else ""

    @property
    def blank(self) -> bool:
        return not any(self[at] for at in range(len(self.cells)))


@dataclass(frozen=True)
class TableText:
    """A table's file, taken apart so that it goes together again to the last byte.

    Attributes
    ----------
    encoding : str
    start : str
        What stands before the first row: a spreadsheet's hint of the separator.
    separator : str
    records : tuple of Record
        Rows as a spreadsheet numbers them, so the first is row 1.
    """

    encoding: str
    start: str
    separator: str
    records: tuple[Record, ...]

    @classmethod
    def read(cls, raw: bytes, wanted: Iterable[str]) -> TableText:
        """Take a file apart.

        Parameters
        ----------
        raw : bytes
        wanted : iterable of str
            Headings that the table ought to have.

        Raises
        ------
        MeasureError
            If it is not text, or a quotation mark is not closed; the message names the line.
        """
        lines, encoding = decode_as(raw)
        start, separator = separator_of(lines, {name.casefold() for name in wanted})
        return cls(encoding, lines[:start], separator, tuple(_records(lines[start:], separator)))

    @property
    def header(self) -> int | None:
        """Where the headings stand: the first row that is not blank."""
        return next((n for n, record in enumerate(self.records) if not record.blank), None)

    @property
    def columns(self) -> dict[str, int]:
        """Heading, in small letters, -> its place."""
        at = self.header
        if at is None:
            return {}
        record = self.records[at]
        return {record[n].casefold(): n for n in reversed(range(len(record.cells))) if record[n]}

    @property
    def line_end(self) -> str:
        """How most of its lines end."""
        ends = [record.end for record in self.records if record.end]
        return max(set(ends), key=ends.count) if ends else "\n"

    def put(self, record: Record, at: int, words: str) -> Record:
        """A row with another text in one cell; the others stay as they are written."""
        cells = list(record.cells) + [""] * (at + 1 - len(record.cells))
        cells[at] = self.quoted(words, always=cells[at].startswith('"'))
        return replace(record, cells=tuple(cells))

    def quoted(self, words: str, always: bool = False) -> str:
        """A cell's text as it is written in this table."""
        special = any(c in words for c in (self.separator, '"', "\r", "\n"))
        if always or special or words != words.strip():
            return '"' + words.replace('"', '""') + '"'
        return words

    def with_records(self, records: Iterable[Record]) -> TableText:
        """The same file with other rows; each but the last has a line's end."""
        rows = list(records)
        for n, record in enumerate(rows[:-1]):
            if not record.end:
                rows[n] = replace(record, end=self.line_end)
        return replace(self, records=tuple(rows))

    def write(self) -> bytes:
        """The file's bytes.

        Raises
        ------
        MeasureError
            If a letter is not to be had in the file's old code.
        """
        parts = [self.start]
        for record in self.records:
            parts += [self.separator.join(record.cells), record.end]
        try:
            content = "".join(parts).encode(self.encoding.removesuffix("-sig"))
        except UnicodeEncodeError as error:
            letter = error.object[error.start]
            raise MeasureError(
                f"This table is kept in an old code that has no {letter!r}. Leave the letter out, "
                "or save the table as CSV UTF-8 in a spreadsheet first."
            ) from None
        mark = next((mark for mark, name in _MARKS.items() if name == self.encoding), b"")
        return mark + content


def bare(cell: str) -> str:
    """What a cell as written says."""
    return cell[1:-1].replace('""', '"') if cell.startswith('"') else cell


def _records(lines: str, separator: str) -> Iterable[Record]:
    cell = re.compile(rf'("(?:[^"]|"")*"|(?!")[^{separator}\r\n]*)({separator}|\r\n|\r|\n|\Z)')
    at, cells = 0, []
    while at < len(lines) or cells:
        found = cell.match(lines, at)
        if not found:
            line = lines.count("\n", 0, at) + 1
            raise MeasureError(
                f"Line {line} holds a quotation mark that is not closed, or stands inside a cell."
            )
        cells.append(found[1])
        at = found.end()
        if found[2] != separator:
            yield Record(tuple(cells), found[2])
            cells = []
