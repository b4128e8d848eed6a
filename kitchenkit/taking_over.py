"""What a class taught, put into one's own tables: shown first, saved whole, taken back again."""

from __future__ import annotations

from pathlib import Path

from kitchenkit import saving
from kitchenkit.afterclass import ClassReview
from kitchenkit.editing import EditedTable, EditError
from kitchenkit.language import tr

TAKEN_OVER = ("bake-log", "prices")


class TakingOver:
    """The rows that a class offers to one of the tables.

    Parameters
    ----------
    review : ClassReview
    table : {"bake-log", "prices"}
    folder : str or Path
        The data folder.

    Attributes
    ----------
    table : str
    rows : tuple of dict
        Column to text, as they would be added.

    Raises
    ------
    EditError
        If there is no such table, or its file cannot be edited.
    DataError
        If a row cannot stand in it.
    """

    def __init__(self, review: ClassReview, table: str, folder):
        if table not in TAKEN_OVER:
            raise EditError(f"{table!r} takes nothing over. Choose {' or '.join(TAKEN_OVER)}.")
        self.table = table
        self.rows = review.bake_rows if table == "bake-log" else review.price_rows
        if not self.rows:
            raise EditError(
                tr(
                    "There is nothing new for {file}: it has these rows already, or they are held "
                    "back, as told below.",
                    file=f"{table}.csv",
                )
            )
        self._edited = EditedTable(table, folder)
        path = self._edited.path
        self._before = path.read_bytes() if path.is_file() else None
        for row in self.rows:
            self._edited.add(row)

    @property
    def name(self) -> str:
        """Of the file."""
        return self._edited.name

    def save(self, now=None) -> Path:
        """Check the whole folder and save; the file as it was stays among its earlier versions.

        Raises
        ------
        EditError
            If the folder is the kit's own.
        DataError
            With the faults that the rows would bring.
        SavingError
            If the file was changed meanwhile, or cannot be written.
        """
        return self._edited.save(now)

    def take_back(self, now=None) -> None:
        """Make the file again what it was before `save`.

        Raises
        ------
        EditError
            If it was changed since.
        SavingError
            If it cannot be written.
        """
        path, saved = self._edited.path, self._edited.content()
        if not path.is_file() or path.read_bytes() != saved:
            raise EditError(
                tr(
                    "{file} was changed since, so it is left alone. Mend it in its form, or bring "
                    "back an earlier version there.",
                    file=self.name,
                )
            )
        if self._before is None:
            saving.remove(path, expecting=saved, now=now)
        else:
            saving.save(path, self._before, expecting=saved, now=now)
