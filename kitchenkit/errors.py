"""The kit's own errors: one plain sentence for a cook, never a library's traceback."""

from __future__ import annotations

from dataclasses import dataclass

_MOST_FAULTS = 300  # in one message; a thousand bad rows are one wrong file


def brief(value, most: int = 60) -> str:
    """What somebody wrote, quoted, and not too long for a sentence.

    Parameters
    ----------
    value : object
    most : int
        Letters shown.

    Returns
    -------
    str
    """
    if isinstance(value, str) and len(value) > most:
        value = value[: most - 3] + "..."
    shown = repr(value)
    return shown if len(shown) <= 4 * most else shown[: 4 * most - 3] + "..."


class KitchenError(ValueError):
    """A question the kit cannot answer as asked; the message says what to change."""

    def _render_traceback_(self) -> list[str]:
        # IPython calls this instead of printing a stack: a learner needs the sentence only.
        return [f"{type(self).__name__}: {self}"]


class MeasureError(KitchenError):
    """An amount, length or temperature that cannot be read or converted."""


class VagueError(MeasureError):
    """An amount in words that can mean many amounts."""


@dataclass(frozen=True)
class Fault:
    """One thing wrong in a data file, and how to mend it."""

    file: str
    row: str
    column: str
    value: str
    mend: str

    def __str__(self) -> str:
        shown = self.value if len(self.value) <= 60 else self.value[:57] + "..."
        return f"{self.file}, {self.row}, column {self.column}: found {shown!r}. {self.mend}"


class DataError(KitchenError):
    """Every fault found in a data folder, told at once.

    Attributes
    ----------
    faults : tuple of Fault
        In the order of the files and rows.
    """

    def __init__(self, faults):
        self.faults = tuple(faults)
        count = len(self.faults)
        heading = f"{count} {'thing' if count == 1 else 'things'} to mend in the data:"
        lines = [f"- {fault}" for fault in self.faults[:_MOST_FAULTS]]
        if count > _MOST_FAULTS:
            lines.append(f"- and {count - _MOST_FAULTS:,} more. See if this is the right file.")
        super().__init__("\n".join([heading, *lines]))
