"""Printed sheets saved as files into the learner's own folder, each under a name of its own."""

from __future__ import annotations

from pathlib import Path

from kitchenkit.errors import KitchenError
from kitchenkit.language import tr
from kitchenkit.naming import file_name
from kitchenkit.places import learner_folder
from kitchenkit.printing import print_html
from kitchenkit.saving import ChangedError, save
from kitchenkit.sheets import Document

FOLDER = "to-print"
KINDS = ("html", "pdf")
_MOST_TRIES = 10_000


def save_printout(document: Document, name: str, kind: str = "pdf", folder=None) -> Path:
    """Save a document to print; what is there already stays, and the new file gets a number.

    Parameters
    ----------
    document : Document
    name : str
        Any words; the file's name is made from them.
    kind : {"html", "pdf"}
    folder : str or Path, optional
        It gets a folder ``to-print``; the learner's own when left out.

    Returns
    -------
    Path
        Of the file.

    Raises
    ------
    KitchenError
        If there is no folder of the learner's own, the kind is neither, or it cannot be written.
    """
    if kind not in KINDS:
        raise KitchenError(f"{kind!r} is no kind of file here. Choose {' or '.join(KINDS)}.")
    home = own_folder(folder)
    return save_new(home / FOLDER, name, f".{kind}", _content(document, kind), "sheets")


def own_folder(folder=None) -> Path:
    """The folder named, or else the learner's own.

    Parameters
    ----------
    folder : str or Path, optional

    Raises
    ------
    KitchenError
        If none is named, and these are the shipped lessons.
    """
    home = Path(folder) if folder is not None else learner_folder()
    if home is None:
        raise KitchenError(
            tr(
                "There is no folder of your own to save into, as these are the shipped lessons. "
                "Open the lessons with the command of the README, or name a folder."
            )
        )
    return home


def save_new(place: Path, name: str, ending: str, content: bytes | str, otherwise: str) -> Path:
    """Save a file beside those that are there, under a name of its own.

    Parameters
    ----------
    place : Path
        The folder, made if it is not there.
    name : str
        Any words; the file's name is made from them.
    ending : str
        Such as ``".pdf"``.
    content : bytes or str
    otherwise : str
        The name where nothing is left of the words.

    Returns
    -------
    Path
        Of the file.

    Raises
    ------
    KitchenError
        If the folder is a link, or it cannot be written.
    """
    if place.is_symlink():
        raise KitchenError(
            tr(
                "{folder} is a link to another place. Remove the link, then try again.",
                folder=place.name,
            )
        )
    taken = {entry.stem for entry in place.glob(f"*{ending}")} if place.is_dir() else set()
    for _ in range(_MOST_TRIES):
        stem = file_name(name, otherwise, taken)
        try:
            return save(place / f"{stem}{ending}", content, expecting=None)
        except ChangedError:  # somebody took that name a moment ago
            taken.add(stem)
    raise KitchenError(
        tr("{folder} holds too many files of that name. Clear some out.", folder=place.name)
    )


def _content(document: Document, kind: str) -> bytes | str:
    if kind == "html":
        return print_html(document)
    from kitchenkit.pdf import print_pdf  # its library takes a second to load

    return print_pdf(document)
