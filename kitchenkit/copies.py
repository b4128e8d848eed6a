"""Copies of the lessons and data in a folder of one's own: made, and kept up to date without loss.

A learner's folder has the lessons and data; a class folder has what is for instructors too.
"""

from __future__ import annotations

import hashlib
import json
import os
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path

from kitchenkit.errors import KitchenError, MeasureError
from kitchenkit.merging import merge_tables
from kitchenkit.places import PACKAGE, STATE, checkout, shipped_folder
from kitchenkit.saving import VERSIONS, save

# In it, each shipped file as it was when last brought in: what both sides' changes start from.
_BASE = "brought-in"
# The first release kept a digest of each instead.
_FIRST_RECORD = "copies.json"
_CLASS_MARK = "class-folder"
REPORT = "what-came-in.txt"
NEWER = "newer"
_SKIP = ("__pycache__", "my-lessons", VERSIONS)
_FOR_INSTRUCTORS = "instructor/"
# Data without which nothing opens: thrown away, they come back as a lesson does.
_NEEDED_DATA = ("data/ingredients.csv", "data/pans.csv", "data/sources.csv")
_LONGEST_REPORT = 200_000


class ClassFolderError(KitchenError):
    """A folder that cannot be a class folder, or a learner's; the message says why."""


@dataclass
class Refresh:
    """What bringing a folder up to date did, or would do.

    Attributes
    ----------
    written : list of Path
        Files that now hold exactly what is shipped.
    merged : list of Path
        Edited tables that newer cells and rows came into.
    beside : list of Path
        Newer files put beside ones that their owner has edited; these are in `written` too.
    told : list of str
        What the owner should know, a line each.
    """

    written: list[Path] = field(default_factory=list)
    merged: list[Path] = field(default_factory=list)
    beside: list[Path] = field(default_factory=list)
    told: list[str] = field(default_factory=list)


@dataclass(frozen=True)
class _Step:
    """One file to write: its name among the copies, what it will hold, and the shipped file."""

    name: str
    content: bytes | None  # None: nothing but the base is written
    shipped: bytes
    kind: str = "same"  # "new", "newer", "merged", "beside", "same" or "link"
    told: tuple[str, ...] = ()


def refresh(folder: Path, now: datetime | None = None, instructor: bool = False) -> Refresh:
    """Bring a folder up to date with the shipped lessons and data, without losing an edit.

    What its owner has not touched follows the kit. An edited table gets what is newer cell by cell;
    where both changed the same cell, the owner's stays and the other is told. Of any other edited
    file the owner's stays, and the newer one is put into a folder ``newer`` beside it. Only what a
    person writes counts as an edit of a notebook, not what running it leaves. Files of the owner's
    own are never touched. What is told is also put on top of ``what-came-in.txt``.

    A run that breaks off leaves whole files; the next run goes on.

    Parameters
    ----------
    folder : Path
        Made if it is not there.
    now : datetime, optional
        Heads the report, and names earlier versions.
    instructor : bool
        Whether to copy what is for instructors too.

    Returns
    -------
    Refresh

    Raises
    ------
    OSError
        If the folder cannot be read.
    SavingError
        If a file cannot be written; run it again when that is mended.
    """
    now = now or datetime.now()
    folder = Path(os.path.realpath(folder))
    steps = list(_plan(folder, instructor))
    done = _outcome(folder, steps)
    if done.told:  # first, so that a run that breaks off has said it
        _report(folder, done.told, now)
    for step in steps:
        if step.kind == "link":
            continue
        if step.content is not None:
            # What is beside an edited file may have been gone on with since.
            mine = step.kind in ("merged", "beside")
            save(folder / _target(step), step.content, now=now, **({} if mine else {"keep": 0}))
        save(folder / STATE / _BASE / step.name, step.shipped, keep=0)
    return done


def preview(folder: Path, instructor: bool = False) -> Refresh:
    """What `refresh` would do; nothing is written.

    Parameters
    ----------
    folder : Path
    instructor : bool

    Returns
    -------
    Refresh
    """
    folder = Path(os.path.realpath(folder))
    return _outcome(folder, list(_plan(folder, instructor)))


def class_folder(folder: Path, dry_run: bool = False, now: datetime | None = None) -> Refresh:
    """Make a class folder, or bring a newer kit into one.

    Parameters
    ----------
    folder : Path
        Not there yet, empty, or a class folder.
    dry_run : bool
        Write nothing.
    now : datetime, optional

    Returns
    -------
    Refresh

    Raises
    ------
    ClassFolderError
        If the folder holds other things, or belongs to the kit itself.
    SavingError
        If a file cannot be written.
    """
    folder = Path(os.path.realpath(folder))
    _check_place(folder)
    if dry_run:
        return preview(folder, instructor=True)
    save(folder / STATE / _CLASS_MARK, "A class folder of the kit.\n", keep=0)
    return refresh(folder, now, instructor=True)


def check_apart(folder: Path) -> None:
    """Refuse a folder of the kit itself, into which no copies belong.

    Parameters
    ----------
    folder : Path
        Links followed.

    Raises
    ------
    ClassFolderError
    """
    top = _top()
    own = [top / name for name in ("data", "kitchenkit", "lessons", "tests", ".git", ".venv")]
    if checkout() is None:
        own = [top]
    if folder == top or any(folder.is_relative_to(part) for part in own):
        raise ClassFolderError(f"{folder} belongs to the kit itself. Choose a folder of its own.")


def as_shipped(folder: Path, instructor: bool = False) -> list[Path]:
    """The copies in a folder that hold exactly what is shipped.

    Parameters
    ----------
    folder : Path
    instructor : bool

    Returns
    -------
    list of Path
    """
    pairs = [(folder / name, original) for name, original in _shipped(instructor)]
    return [copy for copy, original in pairs if _content(copy) == original.read_bytes()]


def is_class_folder(folder: Path) -> bool:
    """Whether `class_folder` has made this folder."""
    return (folder / STATE / _CLASS_MARK).is_file()


# What is to be done ----------------------------------------------------------------------------


def _plan(folder: Path, instructor: bool) -> Iterator[_Step]:
    first = _first_record(folder)
    for name, original in _shipped(instructor):
        if not all(_is_inside(folder, n) for n in (name, _beside(name), f"{STATE}/{_BASE}/{name}")):
            line = f"{name} was left alone: it, or a folder on the way to it, is a link."
            yield _Step(name, None, b"", "link", (line,))
            continue
        theirs = original.read_bytes()
        base, mine = _content(folder / STATE / _BASE / name), _content(folder / name)
        if base is None and mine is not None and first.get(name) == _fingerprint(name, mine):
            base = mine  # as the first release brought it in
        step = _step(name, base, mine, theirs)
        if step.content is not None or base != theirs:
            yield step


def _first_record(folder: Path) -> dict[str, str]:
    """The digest of what each file held when the first release brought it in."""
    try:
        record = json.loads(_content(folder / STATE / _FIRST_RECORD) or b"{}")
        return {name: known["written"] for name, known in record.items()}
    except (ValueError, KeyError, TypeError, AttributeError, RecursionError):
        return {}  # damaged: every copy then counts as edited, so nothing is lost


def _step(name: str, base: bytes | None, mine: bytes | None, theirs: bytes) -> _Step:
    """What to do with one file, from what it was, what its owner has, and what is shipped now."""
    if mine is None:
        unwanted = base is not None and name.startswith("data/") and name not in _NEEDED_DATA
        return _Step(name, None if unwanted else theirs, theirs, "same" if unwanted else "new")
    if mine == theirs or base == theirs:
        return _Step(name, None, theirs)
    held, was, shipped = (_fingerprint(name, content) for content in (mine, base, theirs))
    if held in (was, shipped):
        return _Step(name, theirs, theirs, "newer")
    if was == shipped:
        return _Step(name, None, theirs)
    if name.endswith(".csv"):
        try:
            done = merge_tables(Path(name).name, base, mine, theirs)
        except MeasureError as error:
            return _Step(name, theirs, theirs, "beside", (_kept(name, str(error)),))
        told = [f"{name}: {note}" for note in done.notes]
        told += [f"{name}: {conflict}." for conflict in done.conflicts]
        content = done.content if done.content != mine else None
        return _Step(name, content, theirs, "merged", tuple(told))
    return _Step(name, theirs, theirs, "beside", (_kept(name),))


def _kept(name: str, why: str = "") -> str:
    reason = f" It could not be merged: {why}" if why else ""
    return f"{name}: you have changed it, so yours stays.{reason} The newer one is {_beside(name)}."


def _beside(name: str) -> str:
    path = Path(name)
    return (path.parent / NEWER / path.name).as_posix()


def _target(step: _Step) -> str:
    return _beside(step.name) if step.kind == "beside" else step.name


def _outcome(folder: Path, steps: list[_Step]) -> Refresh:
    done = Refresh()
    for step in steps:
        done.told += step.told
        if step.content is None:
            continue
        path = folder / _target(step)
        (done.merged if step.kind == "merged" else done.written).append(path)
        if step.kind == "beside":
            done.beside.append(path)
    return done


def _shipped(instructor: bool) -> Iterator[tuple[str, Path]]:
    """Each shipped file with its place among the copies: lessons at the top, data in ``data``."""
    for top, prefix in ((shipped_folder("lessons"), ""), (shipped_folder("data"), "data/")):
        for path in sorted(top.rglob("*")):
            inside = path.relative_to(top)
            hidden = any(part.startswith(".") or part in _SKIP for part in inside.parts)
            name = prefix + inside.as_posix()
            if not path.is_file() or path.is_symlink() or hidden:
                continue
            if instructor or not name.startswith(_FOR_INSTRUCTORS):
                yield name, path


def _is_inside(folder: Path, name: str) -> bool:
    """Whether a name, links followed, lies in the folder, and is itself no link."""
    path = folder / name
    real = Path(os.path.realpath(path.parent))
    return real.is_relative_to(folder) and not path.is_symlink()


def _content(path: Path) -> bytes | None:
    return path.read_bytes() if path.is_file() else None


def _top() -> Path:
    return Path(os.path.realpath(checkout() or PACKAGE))


def _check_place(folder: Path) -> None:
    check_apart(folder)
    if _top().is_relative_to(folder):
        raise ClassFolderError(f"{folder} holds the kit itself. Choose a folder of its own.")
    if folder.exists() and not folder.is_dir():
        raise ClassFolderError(f"{folder} is a file. Choose a folder.")
    if not _is_inside(folder, f"{STATE}/{_CLASS_MARK}"):
        raise ClassFolderError(f"{STATE} in {folder} is a link to another place. Remove it first.")
    visible = [p for p in folder.iterdir() if p.name[0] != "."] if folder.is_dir() else []
    if visible and not (folder / STATE).is_dir():
        raise ClassFolderError(
            f"{folder} holds other things. Choose a folder that is empty or not there yet."
        )


def _report(folder: Path, told: list[str], now: datetime) -> None:
    path = folder / REPORT
    older = (_content(path) or b"").decode("utf-8", "replace") if not path.is_symlink() else ""
    lines = [f"Brought in on {now:%Y-%m-%d} at {now:%H:%M}", "", *(f"- {line}" for line in told)]
    text = "\n".join(lines) + "\n" + (f"\n{older}" if older else "")
    save(path, text[:_LONGEST_REPORT], keep=0)


# What a person writes --------------------------------------------------------------------------


def _fingerprint(name: str, content: bytes | None) -> str | None:
    """A digest of what a person writes: of a notebook its cells' sources, else every byte."""
    if content is None:
        return None
    if name.endswith(".ipynb"):
        try:
            cells = json.loads(content)["cells"]
            return _digest(json.dumps([_written(cell) for cell in cells]).encode())
        except (ValueError, KeyError, TypeError, AttributeError, RecursionError):
            pass  # no notebook any more: whatever it is, keep every byte of it
    return _digest(content)


def _written(cell: dict) -> list[str]:
    source = cell["source"]
    return [cell["cell_type"], source if isinstance(source, str) else "".join(source)]


def _digest(content: bytes) -> str:
    return hashlib.sha256(content).hexdigest()
