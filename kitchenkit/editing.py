"""Editing one's own tables and recipes: checked as typed, undone step by step, saved whole."""

from __future__ import annotations

import os
import re
import tempfile
from collections import Counter
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

import tomlkit
from tomlkit.exceptions import TOMLKitError

from kitchenkit import saving
from kitchenkit.afterclass import RESULT_COLUMNS, has_class_results, read_class_results
from kitchenkit.bakelog import BAKE_COLUMNS, has_bake_log, read_bake_log
from kitchenkit.errors import DataError, Fault, KitchenError, MeasureError
from kitchenkit.exchange import recipe_toml
from kitchenkit.keeping import KEEPING_COLUMNS
from kitchenkit.kit import INGREDIENT_COLUMNS, PAN_COLUMNS, SOURCE_COLUMNS, open_kit
from kitchenkit.language import current, tr
from kitchenkit.merging import Merged, merge_tables
from kitchenkit.money import read_money
from kitchenkit.naming import file_name
from kitchenkit.places import PACKAGE, data_folder, shipped_folder
from kitchenkit.prices import PACKAGING_COLUMNS, PRICE_COLUMNS, SNACK_COLUMNS, TARIFF_COLUMNS
from kitchenkit.recipe import Recipe
from kitchenkit.recipe_files import DENSITY_BASES
from kitchenkit.swap_table import SWAP_COLUMNS
from kitchenkit.tables import Column, choice, decimal_comma, is_key, number, read_cell, text
from kitchenkit.tabletext import Record, TableText, decode
from kitchenkit.units import read_measure, read_number, si

TABLES = {
    "ingredients": INGREDIENT_COLUMNS,
    "pans": PAN_COLUMNS,
    "prices": PRICE_COLUMNS,
    "packaging": PACKAGING_COLUMNS,
    "snacks": SNACK_COLUMNS,
    "tariffs": TARIFF_COLUMNS,
    "keeping": KEEPING_COLUMNS,
    "swaps": SWAP_COLUMNS,
    "bake-log": BAKE_COLUMNS,
    "class-results": RESULT_COLUMNS,
    "sources": SOURCE_COLUMNS,
}
# What a folder's check looks at.
_CHECKED = ("*.csv", "recipes/*.toml", "flavours/*.toml")
# Spreadsheets run a cell that begins with one of these, in its wide form too (the advice of the
# Open Worldwide Application Security Project on CSV injection, from memory, unverified). A
# spreadsheet may cut a cell at another separator than ours, so each part counts.
_FORMULA = re.compile(r"\s*['\"]?\s*[=+\-@＝＋－＠]")
_PLAIN_NUMBER = re.compile(r"-?\d+(?:[.,]\d+)?(?:\s?[A-Za-z°%]+)?")
# Marks that turn the direction of writing or take no room: a name could look like another.
_UNSEEN = re.compile("[\u200b-\u200f\u202a-\u202e\u2060-\u2069\ufeff]")
_STAND_IN = "new"


class EditError(KitchenError):
    """An edit that cannot be made; the message says why and what to do."""


def is_own(folder) -> bool:
    """Whether a data folder is somebody's own, not what the kit ships, so that it may be changed.

    Parameters
    ----------
    folder : str or Path
    """
    real = Path(os.path.realpath(folder))
    shipped = [Path(os.path.realpath(shipped_folder("data"))), PACKAGE]
    return not any(real.is_relative_to(place) for place in shipped)


def tidy(words: str) -> str:
    """What is typed into a cell, without spaces around it and line ends.

    Raises
    ------
    EditError
        If it would run as a formula in a spreadsheet, or holds what cannot be seen.
    """
    words = " ".join(str(words).split())
    try:
        decode(words.encode("utf-8"))
    except MeasureError as error:
        raise EditError(str(error).replace("Line 1", "The cell")) from None
    except UnicodeEncodeError:
        raise EditError(tr("The cell holds half a letter. Type it again.")) from None
    if _UNSEEN.search(words):
        raise EditError(tr("The cell holds a mark that cannot be seen. Type the words again."))
    parts = [part.strip() for part in re.split(r"[,;]", words)]
    if any(_FORMULA.match(part) and not _PLAIN_NUMBER.fullmatch(part) for part in [words, *parts]):
        raise EditError(
            tr(
                "A spreadsheet would run this as a formula: no part of a cell may begin with =, "
                "+, - or @. Begin it with a word."
            )
        )
    return words


def folder_faults(folder, name: str, content: bytes | None) -> list[Fault]:
    """What would be wrong in a data folder if one of its files held something else.

    Parameters
    ----------
    folder : str or Path
    name : str
        Of the file in it, such as ``"pans.csv"`` or ``"recipes/loaf.toml"``.
    content : bytes or None
        None for no such file.

    Returns
    -------
    list of Fault
        Empty when the folder opens.
    """
    folder = Path(folder)
    found = {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for pattern in _CHECKED
        for path in folder.glob(pattern)
        if path.is_file() and path.name[0] != "."
    }
    if content is None:
        found.pop(name, None)
    else:
        found[name] = content
    return list(_faults_of(folder.name, tuple(sorted(found.items())), current()))


@lru_cache(maxsize=4)  # Save asks again what was asked when the edit was taken over
def _faults_of(folder: str, files: tuple[tuple[str, bytes], ...], said_in: str) -> list[Fault]:
    """What is wrong in a folder that holds these files; the faults' words are of a language."""
    with tempfile.TemporaryDirectory() as place:
        trial = Path(place) / folder
        trial.mkdir()
        for name, content in files:
            file = trial / name
            file.parent.mkdir(exist_ok=True)
            file.write_bytes(content)
        try:
            kit = open_kit(trial)
            if has_bake_log(kit):
                read_bake_log(kit)
            if has_class_results(kit):
                read_class_results(kit)
        except DataError as error:
            return list(error.faults)
    return []


class _Edited:
    """One file being edited: its states so far, what it held when read, and its earlier versions.

    A subclass keeps a state that is never changed in place, gives the bytes of one, and counts in
    how many places two differ.
    """

    def __init__(self, folder, name: str):
        self.folder = Path(folder) if folder is not None else data_folder()
        self.name = name
        self._read: bytes | None = None
        self._now = self._saved = None
        self._past: list = []
        self._future: list = []

    @property
    def path(self) -> Path:
        return self.folder / self.name

    def _load(self) -> bytes | None:
        if self.path.is_symlink():
            raise EditError(
                tr("{file} is a link to another place, so it is left alone.", file=self.name)
            )
        try:
            return self.path.read_bytes()
        except FileNotFoundError:
            return None
        except OSError as error:
            raise EditError(
                tr("{file} cannot be read: {why}.", file=self.name, why=error.strerror)
            ) from error

    def _begin(self, read: bytes | None, state) -> None:
        self._read, self._now, self._saved = read, state, state
        self._past, self._future = [], []

    def _step(self, state) -> None:
        if state != self._now:
            self._past, self._future = [*self._past, self._now], []
            self._now = state

    def _content(self, state) -> bytes:
        raise NotImplementedError

    def _count(self, before, after) -> int:
        raise NotImplementedError

    @property
    def can_undo(self) -> bool:
        return bool(self._past)

    @property
    def can_redo(self) -> bool:
        return bool(self._future)

    @property
    def unsaved(self) -> int:
        """How many rows differ from what is saved."""
        return self._count(self._saved, self._now)

    def undo(self) -> None:
        """Go back one edit."""
        if self._past:
            self._future.append(self._now)
            self._now = self._past.pop()

    def redo(self) -> None:
        """Make the last edit undone once more."""
        if self._future:
            self._past.append(self._now)
            self._now = self._future.pop()

    def content(self) -> bytes:
        """The file as it would be saved."""
        return self._content(self._now)

    def new_faults(self) -> list[Fault]:
        """Faults that the folder would have after saving, beyond those that it has now."""
        after = folder_faults(self.folder, self.name, self.content())
        before = folder_faults(self.folder, self.name, self._read) if after else []
        told = Counter(map(_same_fault, before))
        found = []
        for fault in after:
            told[_same_fault(fault)] -= 1
            if told[_same_fault(fault)] < 0:
                found.append(fault)
        return found

    def save(self, now=None) -> Path:
        """Check the whole folder and save the file, keeping the one before as an earlier version.

        Raises
        ------
        EditError
            If the folder is the kit's own.
        DataError
            With the faults that the edits would bring.
        ChangedError
            If the file was changed elsewhere meanwhile.
        SavingError
            If it cannot be written.
        """
        self._must_be_own()
        if faults := self.new_faults():
            raise DataError(faults)
        content = self.content()
        saving.save(self.path, content, expecting=self._read, now=now)
        self._read, self._saved = content, self._now
        return self.path

    def versions(self) -> list[saving.Version]:
        """The file's earlier versions, the newest first."""
        return saving.versions(self.path)

    def bring_back(self, version, now=None) -> None:
        """Make an earlier version the file's content again.

        Raises
        ------
        EditError
            If edits are not saved yet, or the folder is the kit's own.
        SavingError
            If there is no such version, or the file cannot be written.
        """
        self._must_be_own()
        if self.unsaved:
            raise EditError(tr("Save your changes or undo them first."))
        saving.bring_back(self.path, version, now=now)
        self.reload()

    def reload(self) -> None:
        """Read the file anew; edits that are not saved are gone."""
        raise NotImplementedError

    def _must_be_own(self) -> None:
        if not is_own(self.folder):
            raise EditError(
                tr(
                    "These are the kit's own data, which stay as they are. Open the lessons by "
                    "the launcher, or make a class folder, and change the data there."
                )
            )


def _same_fault(fault: Fault) -> tuple:
    mend = re.sub(r"Row \d+", "Row", fault.mend)
    return fault.file, fault.column, fault.value, mend


# A table ---------------------------------------------------------------------------------------


@dataclass(frozen=True)
class EditedRow:
    """A row of a table being edited.

    Attributes
    ----------
    id : int
        Stays the row's own through all edits.
    number : int
        As a spreadsheet counts.
    texts : dict of str to str
        Column -> what its cell says.
    label : str
        What to call it in a list.
    """

    id: int
    number: int
    texts: dict[str, str]
    label: str


class EditedTable(_Edited):
    """One of a data folder's tables, edited without touching what is not meant to change.

    Further columns, their order, rows of notes, separators, decimal commas, marks, line ends and
    the text of every untouched cell stay as they are.

    Parameters
    ----------
    name : str
        One of `TABLES`, such as ``"pans"``.
    folder : str or Path, optional
        The data folder; else the one that `open_kit` opens.

    Raises
    ------
    EditError
        If there is no such table, or its file cannot be edited here.
    """

    def __init__(self, name: str, folder=None):
        if name not in TABLES:
            raise EditError(f"There is no table {name!r}. There are: {', '.join(TABLES)}.")
        super().__init__(folder, f"{name}.csv")
        self.columns: list[Column] = TABLES[name]
        self._comma_of: tuple = (None, False)
        self.reload()

    def reload(self) -> None:
        """Read the file anew; edits that are not saved are gone."""
        self._take(self._load())

    def _take(self, read: bytes | None, content: bytes | None = None) -> None:
        names = [column.name for column in self.columns]
        shown = read if content is None else content
        try:
            empty = ",".join(names).encode() + b"\n"
            table = TableText.read(empty if shown is None else shown, names)
        except MeasureError as error:
            raise EditError(
                tr(
                    "{file} cannot be read. {why} Mend it in a spreadsheet, or bring back an "
                    "earlier version.",
                    file=self.name,
                    why=error,
                )
            ) from None
        header = [] if table.header is None else table.records[table.header]
        folded = [header[n].casefold() for n in range(len(header.cells))] if header else []
        for name in names:
            if folded.count(name) != 1:
                which = {"name": name, "file": self.name}
                raise EditError(
                    tr(
                        "The heading {name} is missing in {file}. Mend it in a spreadsheet, or "
                        "bring back an earlier version.",
                        **which,
                    )
                    if name not in folded
                    else tr(
                        "The heading {name} stands twice in {file}. Mend it in a spreadsheet, or "
                        "bring back an earlier version.",
                        **which,
                    )
                )
        self._table, self._places = table, table.columns
        self._begin(read, tuple(enumerate(table.records)))
        self._next = len(table.records)
        if content is not None and read is not None:  # what is on the disk is what is saved
            self._saved = tuple((-1 - n, r) for n, r in enumerate(self._other(read).records))

    def _other(self, raw: bytes) -> TableText:
        return TableText.read(raw, [column.name for column in self.columns])

    # What it holds -----------------------------------------------------------------------------

    @property
    def own_columns(self) -> list[str]:
        """Headings that the kit does not know; they stay as they are."""
        known = {column.name for column in self.columns}
        header = self._table.records[self._table.header]
        return [header[at] for name, at in self._places.items() if name not in known]

    @property
    def rows(self) -> list[EditedRow]:
        """The rows as edited so far."""
        found = []
        for number_, (id_, record) in enumerate(self._now, start=1):
            if number_ - 1 > self._table.header and not record.blank:
                texts = {c.name: record[self._places[c.name]] for c in self.columns}
                found.append(EditedRow(id_, number_, texts, self._label(texts)))
        return found

    def row(self, id_: int) -> EditedRow:
        """One row.

        Raises
        ------
        EditError
            If it is not there (any more).
        """
        for row in self.rows:
            if row.id == id_:
                return row
        raise EditError(tr("This row is not there any more. Choose another."))

    def _label(self, texts: dict[str, str]) -> str:
        names = [texts[name] for name in ("name", "citation") if texts.get(name)]
        if "key" in texts:
            names.append(texts["key"])
        else:
            names = [words for words in texts.values() if words][:5]
        label = ", ".join(names)
        return label if len(label) <= 80 else label[:79] + "…"

    @property
    def _comma(self) -> bool:
        if self._comma_of[0] is not self._now:  # asked at every key, and only edits change it
            self._comma_of = self._now, self._reads_commas(self._now)
        return self._comma_of[1]

    def _reads_commas(self, state) -> bool:
        places = [self._places[c.name] for c in self.columns if c.is_number]
        body = [r for n, (_, r) in enumerate(state) if n > self._table.header]
        return decimal_comma([record[at] for record in body for at in places])

    # Checking ----------------------------------------------------------------------------------

    def column(self, name: str) -> Column:
        """A column by its name."""
        return next(column for column in self.columns if column.name == name)

    def complaint(self, name: str, words: str, currency: str = "") -> str:
        """What is wrong with a text for a column, and its mend; empty when nothing is.

        Parameters
        ----------
        name : str
            The column's.
        words : str
            As typed so far.
        currency : str
            Of the row: a price is read with it.
        """
        try:
            self._written(self.column(name), words)
            if name == "price" and words.strip():  # where it may be left out
                read_money(words, currency)
        except KitchenError as error:
            return str(error)
        return ""

    def _written(self, column: Column, words: str) -> str:
        """A typed text as this table writes it."""
        words = tidy(words)
        comma = self._comma
        if column.is_number:
            words = _in_sign(words, comma)
        read_cell(column, words, comma)
        return words

    def _checked(self, texts: dict[str, str], old: Record | None) -> dict[str, str]:
        """Texts that differ from a row's, as they are to be written; every fault told at once."""
        written, faults = {}, []
        for column in self.columns:
            words = texts.get(column.name, "" if old is None else None)
            if words is None or (old and words.strip() == old[self._places[column.name]]):
                continue
            try:
                written[column.name] = self._written(column, words)
            except KitchenError as error:
                faults.append(Fault(self.name, "this row", column.name, words, str(error)))
        if "price" in written and (mend := self._price_fault(texts, old)):
            faults.append(Fault(self.name, "this row", "price", texts["price"], mend))
        if faults:
            raise DataError(faults)
        return written

    def _price_fault(self, texts: dict[str, str], old: Record | None) -> str:
        held = old[self._places["currency"]] if old else ""
        return self.complaint("price", texts["price"], texts.get("currency", held).strip())

    # Edits -------------------------------------------------------------------------------------

    def add(self, texts: dict[str, str]) -> int:
        """Add a row under the last one.

        Parameters
        ----------
        texts : dict of str to str
            Column -> what is typed; what is left out is empty.

        Returns
        -------
        int
            The row's id.

        Raises
        ------
        DataError
            With a fault for each cell that cannot be read.
        """
        written = self._checked(texts, None)
        state = list(self._now)
        last = max(n for n, (_, record) in enumerate(state) if not record.blank)
        width = len(self._table.records[self._table.header].cells)
        new = Record(("",) * width, state[last][1].end)
        for name, words in written.items():
            new = self._table.put(new, self._places[name], words)
        id_, self._next = self._next, self._next + 1
        self._try([*state[: last + 1], (id_, new), *state[last + 1 :]])
        return id_

    def change(self, id_: int, texts: dict[str, str]) -> None:
        """Change cells of a row; those left out or typed as they were stay to the last letter.

        Raises
        ------
        DataError
            With a fault for each changed cell that cannot be read.
        EditError
            If the row is not there.
        """
        self.row(id_)
        at = next(n for n, (known, _) in enumerate(self._now) if known == id_)
        record = self._now[at][1]
        for name, words in self._checked(texts, record).items():
            record = self._table.put(record, self._places[name], words)
        self._try([*self._now[:at], (id_, record), *self._now[at + 1 :]])

    def remove(self, id_: int) -> None:
        """Take a row out.

        Raises
        ------
        EditError
            If the row is not there.
        """
        self.row(id_)
        self._try([row for row in self._now if row[0] != id_])

    def _try(self, state: list) -> None:
        """Make the next state, unless it makes other cells read otherwise or cannot be written."""
        state = tuple(state)
        if self._reads_commas(state) != self._reads_commas(self._now):
            known = dict(self._now)
            places = [self._places[c.name] for c in self.columns if c.is_number]
            kept = [record for id_, record in state if known.get(id_) == record]
            if any("," in record[at] for record in kept for at in places):
                raise EditError(
                    tr(
                        "With this edit the numbers of the other rows would be read otherwise. "
                        "Write a comma before the decimals, and at least one."
                    )
                    if self._comma
                    else tr(
                        "With this edit the numbers of the other rows would be read otherwise. "
                        "Write a point before the decimals, and at least one."
                    )
                )
        self._content(state)
        self._step(state)

    def _content(self, state) -> bytes:
        try:
            return self._table.with_records([record for _, record in state]).write()
        except MeasureError as error:
            raise EditError(str(error)) from None

    def _count(self, before, after) -> int:
        was, is_ = Counter(r.cells for _, r in before), Counter(r.cells for _, r in after)
        return max((was - is_).total(), (is_ - was).total())

    # Somebody else's changes -------------------------------------------------------------------

    def catch_up(self) -> Merged:
        """Put the edits onto the file as it is now, after a `ChangedError`.

        A cell changed on both sides keeps what the file says.

        Returns
        -------
        Merged
            Its conflicts are the cells whose edit was not taken.

        Raises
        ------
        EditError
            If the file cannot be read as this table.
        """
        disk = self._load()
        if disk is None:
            raise EditError(tr("{file} is gone. Bring back an earlier version.", file=self.name))
        try:
            merged = merge_tables(self.name, self._read, disk, self.content())
        except MeasureError as error:
            raise EditError(
                tr(
                    "The changes made elsewhere cannot be put together with yours. {why} Mend the "
                    "file in a spreadsheet.",
                    why=error,
                )
            ) from None
        self._take(disk, merged.content)
        return merged


def _in_sign(words: str, comma: bool) -> str:
    """A typed number with the decimal sign that its table uses."""
    if comma and re.search(r"\.\d", words):
        if re.search(r"\.\d{3}(?!\d)", words) or words.count(".") > 1:
            raise MeasureError(tr("This table writes 2,5 for 2.5. Write the number in that way."))
        return words.replace(".", ",")
    if not comma and re.fullmatch(r"-?(\d+,(\d{1,2}|\d{4,})|0\d*,\d+)", words):
        return words.replace(",", ".")
    return words


# A recipe --------------------------------------------------------------------------------------


def _measured(name: str, read, required: bool = True) -> Column:
    return Column(name, read, required)


RECIPE_COLUMNS = [
    text("name"),
    number("servings", 0.1, 10_000),
    text("serving", required=False),
    text("source"),
    _measured("density", lambda cell: si(cell, "density", "density"), required=False),
    Column(
        "basis",
        choice("basis", DENSITY_BASES).parse,
        required=False,
        options=DENSITY_BASES,
    ),
    text("note", required=False),
]
LINE_COLUMNS = [
    text("ingredient"),
    _measured("amount", read_measure),
    text("note", required=False),
]
_IN_BATTER = ("density", "basis")


class EditedRecipe(_Edited):
    """A recipe's file being edited; comments and order of an existing file stay.

    Parameters
    ----------
    key : str or None
        Of a recipe that is there, or None for a new one.
    folder : str or Path, optional
        The data folder; else the one that `open_kit` opens.

    Raises
    ------
    EditError
        If there is no such recipe, or its file cannot be edited here.
    """

    columns = RECIPE_COLUMNS
    line_columns = LINE_COLUMNS

    def __init__(self, key: str | None = None, folder=None):
        if key is not None and not is_key(key):
            raise EditError(f"There is no recipe called {key!r}.")
        super().__init__(folder, f"recipes/{key or _STAND_IN}.toml")
        self.key = key
        self.reload()

    def reload(self) -> None:
        """Read the file anew; edits that are not saved are gone."""
        read = self._load() if self.key else None
        if self.key and read is None:
            raise EditError(tr("There is no recipe called {name} any more.", name=repr(self.key)))
        words = self._decoded(read) if read is not None else ""
        self._document(words)
        self._begin(read, words)

    def _decoded(self, raw: bytes) -> str:
        try:
            return decode(raw)
        except MeasureError as error:
            raise EditError(tr("{file} cannot be read. {why}", file=self.name, why=error)) from None

    def _document(self, words: str | None = None) -> tomlkit.TOMLDocument:
        try:
            return tomlkit.parse(self._now if words is None else words)
        except (TOMLKitError, ValueError, RecursionError) as error:
            raise EditError(
                tr(
                    "{file} cannot be read: {why}. Mend it in a text editor, or bring back an "
                    "earlier version.",
                    file=self.name,
                    why=error,
                )
            ) from None

    def _content(self, state: str) -> bytes:
        return state.encode("utf-8")

    def _count(self, before: str, after: str) -> int:
        was, is_ = self._parts(before), self._parts(after)
        return max((was - is_).total(), (is_ - was).total())

    def _parts(self, words: str) -> Counter:
        head = [(name, cell) for name, cell in self._texts(words).items() if cell]
        return Counter([*head, *(tuple(line.items()) for line in self._lines(words))])

    # What it holds -----------------------------------------------------------------------------

    @property
    def texts(self) -> dict[str, str]:
        """What stands at its top, by the name of each part."""
        return self._texts(self._now)

    def _texts(self, words: str) -> dict[str, str]:
        document = self._document(words).unwrap()
        batter = document.get("batter")
        inner = batter if isinstance(batter, dict) else {}
        return {
            c.name: str((inner if c.name in _IN_BATTER else document).get(c.name, ""))
            for c in RECIPE_COLUMNS
        }

    @property
    def lines(self) -> list[dict[str, str]]:
        """Its ingredients in order: ingredient, amount and note of each."""
        return self._lines(self._now)

    def _lines(self, words: str) -> list[dict[str, str]]:
        written = self._document(words).unwrap().get("ingredients", [])
        rows = written if isinstance(written, list) else []
        return [
            {c.name: str(row.get(c.name, "")) for c in LINE_COLUMNS}
            for row in rows
            if isinstance(row, dict)
        ]

    def complaint(self, name: str, words: str, line: bool = False) -> str:
        """What is wrong with a text for a part, and its mend; empty when nothing is.

        Parameters
        ----------
        name : str
            Of the part.
        words : str
            As typed so far.
        line : bool
            Whether it belongs to an ingredient.
        """
        columns = LINE_COLUMNS if line else RECIPE_COLUMNS
        try:
            read_cell(next(c for c in columns if c.name == name), tidy(words))
        except KitchenError as error:
            return str(error)
        return ""

    def _checked(self, texts: dict[str, str], columns, old: dict[str, str]) -> dict[str, str]:
        written, faults = {}, []
        for column in columns:
            words = texts.get(column.name, old.get(column.name, ""))
            if column.name in old and words.strip() == old[column.name]:
                continue
            try:
                written[column.name] = tidy(words)
                read_cell(column, written[column.name])
            except KitchenError as error:
                faults.append(Fault(self.name, "this recipe", column.name, words, str(error)))
        if faults:
            raise DataError(faults)
        return written

    # Edits -------------------------------------------------------------------------------------

    def change(self, texts: dict[str, str]) -> None:
        """Change what stands at the top.

        Raises
        ------
        DataError
            With a fault for each part that cannot be read.
        """
        document = self._document()
        empty = not document
        old = {} if empty else self.texts
        for name, words in self._checked(texts, RECIPE_COLUMNS, old).items():
            self._put(document, name, words)
        if empty:
            document = self._ordered(document)
        self._step(tomlkit.dumps(document))

    def _put(self, document, name: str, words: str) -> None:
        if name in _IN_BATTER:
            if "batter" not in document and words:
                document["batter"] = tomlkit.table()
            home = document.get("batter", {})
        else:
            home = document
        if words:
            home[name] = _plain_number(words) if name == "servings" else words
        elif name in home:
            del home[name]
        if name in _IN_BATTER and "batter" in document and not document["batter"]:
            del document["batter"]

    def _ordered(self, document):
        """Plain parts above tables, as TOML wants them."""
        fresh = tomlkit.document()
        for name in sorted(document, key=lambda name: isinstance(document[name], dict)):
            fresh[name] = document[name]
        return fresh

    def add_line(self, texts: dict[str, str]) -> None:
        """Add an ingredient at the end.

        Raises
        ------
        DataError
            With a fault for each part that cannot be read.
        """
        written = self._checked(texts, LINE_COLUMNS, {})
        document = self._document()
        if "ingredients" not in document:
            document["ingredients"] = tomlkit.aot()
        line = {name: words for name, words in written.items() if words}
        document["ingredients"].append(tomlkit.item(line))
        self._step(tomlkit.dumps(document))

    def change_line(self, at: int, texts: dict[str, str]) -> None:
        """Change one ingredient, counted from 0.

        Raises
        ------
        DataError
            With a fault for each part that cannot be read.
        EditError
            If there is no such line.
        """
        old = self._line(at)
        document = self._document()
        line = document["ingredients"][at]
        for name, words in self._checked(texts, LINE_COLUMNS, old).items():
            if words:
                line[name] = words
            elif name in line:
                del line[name]
        self._step(tomlkit.dumps(document))

    def remove_line(self, at: int) -> None:
        """Take one ingredient out, counted from 0.

        Raises
        ------
        EditError
            If there is no such line.
        """
        self._line(at)
        document = self._document()
        del document["ingredients"][at]
        self._step(tomlkit.dumps(document))

    def _line(self, at: int) -> dict[str, str]:
        if not 0 <= at < len(self.lines):
            raise EditError(tr("This ingredient is not there any more. Choose another."))
        return self.lines[at]

    def take(self, recipe: Recipe) -> None:
        """Make it the same as a recipe that came from elsewhere.

        Parameters
        ----------
        recipe : Recipe
            A new one's file is named after it, whatever its key.

        Raises
        ------
        KitchenError
            If its words cannot stand in a file.
        """
        self._step(recipe_toml(recipe))

    # Its file ----------------------------------------------------------------------------------

    def save(self, now=None) -> Path:
        """Check the whole folder and save; a new recipe's file is named after the recipe.

        Raises
        ------
        EditError
            If the folder is the kit's own.
        DataError
            With the faults that the edits would bring.
        ChangedError
            If the file was changed elsewhere meanwhile.
        SavingError
            If it cannot be written.
        """
        if self.key is None:
            taken = {path.stem.casefold() for path in (self.folder / "recipes").glob("*")}
            named = file_name(self.texts["name"] or _STAND_IN, taken=taken)
            self.name = f"recipes/{named}.toml"
        path = super().save(now)
        self.key = path.stem
        return path

    def remove(self, now=None) -> None:
        """Delete the recipe's file; it stays among the earlier versions.

        Raises
        ------
        EditError
            If the folder is the kit's own, the recipe is not saved yet, or it is the last.
        DataError
            If something else needs the recipe.
        SavingError
            If it cannot be deleted.
        """
        self._must_be_own()
        if self.key is None:
            raise EditError(tr("This recipe is not saved yet, so there is nothing to remove."))
        before = {_same_fault(f) for f in folder_faults(self.folder, self.name, self._read)}
        found = folder_faults(self.folder, self.name, None)
        if faults := [fault for fault in found if _same_fault(fault) not in before]:
            raise DataError(faults)
        saving.remove(self.path, expecting=self._read, now=now)

    def catch_up(self) -> None:
        """Take the file as it is now, after a `ChangedError`; undo gives one's own edits back."""
        mine, disk = self._now, self._load()
        if disk is None:
            raise EditError(tr("{file} is gone. Bring back an earlier version.", file=self.name))
        words = self._decoded(disk)
        self._document(words)
        self._begin(disk, words)
        self._past = [mine]


def recipe_keys(folder=None) -> list[str]:
    """The keys of the recipes in a data folder, also of those that cannot be read.

    Parameters
    ----------
    folder : str or Path, optional
        The data folder; else the one that `open_kit` opens.
    """
    home = (Path(folder) if folder is not None else data_folder()) / "recipes"
    found = home.glob("*.toml")
    return sorted(path.stem for path in found if is_key(path.stem) and not path.is_symlink())


def removed_recipes(folder=None) -> list[str]:
    """The keys of recipes that are gone but among the earlier versions.

    Parameters
    ----------
    folder : str or Path, optional
        The data folder; else the one that `open_kit` opens.
    """
    home = (Path(folder) if folder is not None else data_folder()) / "recipes"
    kept = home / saving.VERSIONS
    names = [path.name for path in kept.glob("*.toml")] if kept.is_dir() else []
    gone = [name for name in names if not (home / name).exists() and saving.versions(home / name)]
    return sorted(name.removesuffix(".toml") for name in gone)


def _plain_number(words: str) -> int | float:
    value = read_number(words)
    return int(value) if value == int(value) else value


def column_texts(name: str, column: str, folder=None) -> list[str]:
    """Every text of one column of a table, to choose from; empty where it cannot be read.

    Parameters
    ----------
    name : str
        One of `TABLES`.
    column : str
    folder : str or Path, optional
        The data folder; else the one that `open_kit` opens.
    """
    try:
        rows = EditedTable(name, folder).rows
    except EditError:
        return []
    return list(dict.fromkeys(row.texts[column] for row in rows if row.texts.get(column)))
