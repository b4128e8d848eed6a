"""Saving a file whole or not at all, with the last versions kept.

Imports the standard library only: the launcher saves before anything is installed, and says in
English what went wrong then.
"""

from __future__ import annotations

import contextlib
import os
import re
import secrets
import shutil
import time
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from kitchenkit.errors import KitchenError
from kitchenkit.language import mark, tr

KEEP = 10
VERSIONS = "earlier-versions"
_LOCK = ".saving"
_WAIT = 10.0  # seconds for another writer; a save takes a small part of one
# Seconds. On Windows whoever reads a file, such as a virus scanner, bars it for a moment.
_BARRED = 1.0 if os.name == "nt" else 0.0
_STAMP = "%Y-%m-%dT%H-%M-%S"  # a colon may stand in no file name on Windows
_NAMED = re.compile(r"(\d{4}-\d\d-\d\dT\d\d-\d\d-\d\d)(?:-(\d+))?")
_ANY = object()
_CHANGED = mark(
    "{file} has been changed elsewhere since it was read, so it was not overwritten. Read it "
    "again, then make your changes anew."
)


class SavingError(KitchenError):
    """A file that could not be saved; the message says why, and that nothing has changed."""


class ChangedError(SavingError):
    """The file is no longer what it was when it was read; nothing was written."""


@dataclass(frozen=True)
class Version:
    """An earlier version of a file.

    Attributes
    ----------
    path : Path
        Where it is kept.
    until : datetime
        When something newer took its place.
    number : int
        Counts the versions of one second, from 1.
    """

    path: Path
    until: datetime
    number: int = 1

    @property
    def name(self) -> str:
        """The file's own name, by which `bring_back` finds it."""
        return self.path.name


def save(path, data: bytes | str, *, keep: int = KEEP, expecting=_ANY, now=None) -> Path:
    """Write a file whole or not at all, and keep what it held before.

    The new content goes into a temporary file in the same folder, is forced to the disk and then
    takes the old one's place in one step. Whoever pulls the plug in between finds the old file or
    the new one, never a part. A link at `path` is replaced, not followed.

    Parameters
    ----------
    path : str or Path
        Its folder is made if it is not there.
    data : bytes or str
        Text is written as UTF-8, its line ends as they are.
    keep : int
        How many earlier versions are kept, in ``earlier-versions/NAME`` beside the file.
    expecting : bytes or None, optional
        What the file must still hold, None for no file, else `ChangedError`.
    now : datetime, optional
        Names the earlier version.

    Returns
    -------
    Path
        The file's path.

    Raises
    ------
    SavingError
        If it could not be written, or somebody else is saving in this folder; the file is then as
        it was.
    """
    path = Path(path)
    content = data.encode("utf-8") if isinstance(data, str) else bytes(data)
    with _told(path):
        path.parent.mkdir(parents=True, exist_ok=True)
        with _alone(path.parent) as locked:
            if locked:  # else another's half-written file could be taken for a stray one
                _sweep(path)
            held = _held(path)
            if expecting is not _ANY and held != expecting:
                raise ChangedError(tr(_CHANGED, file=path.name))
            if held == content:
                return path
            kept = None
            if held is not None and keep > 0:
                kept = _put_away(path, held, now or datetime.now())
            _write(path, content)
            if keep > 0:
                _thin_out(path, keep, kept)
    return path


def remove(path, *, expecting=_ANY, now=None) -> None:
    """Delete a file after keeping what it holds as an earlier version.

    Parameters
    ----------
    path : str or Path
    expecting : bytes, optional
        What the file must still hold, else `ChangedError`.
    now : datetime, optional
        Names the earlier version.

    Raises
    ------
    SavingError
        If it could not be kept or deleted; it is then still there.
    """
    path = Path(path)
    with _told(path), _alone(path.parent):
        held = _held(path)
        if held is None:
            raise SavingError(tr("There is no {file} to remove.", file=path.name))
        if expecting is not _ANY and held != expecting:
            raise ChangedError(tr(_CHANGED, file=path.name))
        kept = _put_away(path, held, now or datetime.now())
        path.unlink()
        _sync(path.parent)
        _thin_out(path, KEEP, kept)


def versions(path) -> list[Version]:
    """The earlier versions of a file, the newest first.

    Parameters
    ----------
    path : str or Path
        Of the file itself; it need not be there any more.

    Returns
    -------
    list of Version
    """
    path = Path(path)
    folder = _versions_folder(path)
    if _is_link(folder) or not folder.is_dir():
        return []
    found = []
    for kept in folder.iterdir():
        name = _NAMED.fullmatch(kept.name.removesuffix(path.suffix))
        if not name or kept.is_symlink() or not kept.is_file():
            continue
        with contextlib.suppress(ValueError):  # the 40th of a month, say
            until = datetime.strptime(name[1], _STAMP)
            found.append(Version(kept, until, int(name[2] or 1)))
    return sorted(found, key=lambda version: (version.until, version.number), reverse=True)


def bring_back(path, version: Version | str, *, now=None) -> Path:
    """Make an earlier version the file's content again; today's becomes an earlier version.

    Parameters
    ----------
    path : str or Path
        Of the file itself.
    version : Version or str
        One of `versions`, or its name.
    now : datetime, optional
        Names the earlier version that today's content becomes.

    Returns
    -------
    Path

    Raises
    ------
    SavingError
        If there is no such version, or it cannot be read or written.
    """
    wanted = version.name if isinstance(version, Version) else version
    for known in versions(path):
        if known.name == wanted:
            try:
                content = known.path.read_bytes()
            except OSError as error:
                raise SavingError(
                    tr("{file} could not be read: {why}.", file=wanted, why=error.strerror)
                ) from error
            return save(path, content, now=now)
    raise SavingError(
        tr(
            "There is no earlier version of {file} called {name}.",
            file=Path(path).name,
            name=repr(str(wanted)),
        )
    )


# Inside ----------------------------------------------------------------------------------------


@contextlib.contextmanager
def _told(path: Path) -> Iterator[None]:
    """Say in plain words what the system says of a file."""
    try:
        yield
    except SavingError:
        raise
    except PermissionError as error:
        raise SavingError(
            tr(
                "{path} could not be saved: {why}. Close it in other programs, and see that its "
                "folder may be written to. Nothing has changed.",
                path=path,
                why=error.strerror,
            )
        ) from error
    except (OSError, ValueError) as error:  # the second is a name that no disk takes
        why = getattr(error, "strerror", None) or str(error)
        raise SavingError(
            tr("{path} could not be saved: {why}. Nothing has changed.", path=path, why=why)
        ) from error


def _versions_folder(path: Path) -> Path:
    return path.parent / VERSIONS / path.name


def _is_link(folder: Path) -> bool:
    return folder.is_symlink() or folder.parent.is_symlink()


def _held(path: Path) -> bytes | None:
    """What the file holds, or None where there is none; of a link, what it leads to is not ours."""
    if path.is_symlink():
        return None
    try:
        return path.read_bytes()
    except FileNotFoundError:
        return None


def _put_away(path: Path, held: bytes, now: datetime) -> Path:
    """Keep the content that is about to be replaced, unless a broken-off save has done so."""
    before = versions(path)
    if before and before[0].path.read_bytes() == held:
        return before[0].path
    folder = _versions_folder(path)
    if _is_link(folder):
        raise SavingError(
            tr(
                "{file} was not saved: {folder} is a link to another place. Remove the link.",
                file=path.name,
                folder=VERSIONS,
            )
        )
    folder.mkdir(parents=True, exist_ok=True)
    _sweep(folder / path.name)
    stamp = now.strftime(_STAMP)
    number = 1 + max((v.number for v in before if v.path.name.startswith(stamp)), default=0)
    while os.path.lexists(folder / _name(stamp, number, path)):  # something that is no version
        number += 1
    kept = folder / _name(stamp, number, path)
    _write(kept, held, part_of=path.name)
    return kept


def _name(stamp: str, number: int, path: Path) -> str:
    return stamp + (f"-{number}" if number > 1 else "") + path.suffix


def _thin_out(path: Path, keep: int, kept: Path | None) -> None:
    old = [version.path for version in versions(path) if version.path != kept]
    for one in old[keep - (kept is not None) :]:
        with contextlib.suppress(OSError):  # too many is no harm
            one.unlink()


def _write(path: Path, content: bytes, part_of: str | None = None) -> None:
    part = path.with_name(f".{part_of or path.name}.{secrets.token_hex(4)}.part")
    flags = os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0)
    try:
        with open(os.open(part, flags, 0o666), "wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        if path.is_file() and not path.is_symlink():
            with contextlib.suppress(
                OSError
            ):  # who may read it stays the same, where that is known
                shutil.copymode(path, part)
        _replace(part, path)
    finally:
        part.unlink(missing_ok=True)
    _sync(path.parent)


def _replace(part: Path, path: Path) -> None:
    deadline = time.monotonic() + _BARRED
    while True:
        try:
            os.replace(part, path)
            return
        except PermissionError:
            if time.monotonic() >= deadline:
                raise
            time.sleep(0.05)


def _sync(folder: Path) -> None:
    """Force to the disk which names a folder holds, where the system can do so."""
    if os.name != "posix":
        return
    with contextlib.suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


def _sweep(path: Path) -> None:
    """Remove what saves of this file that were killed have left."""
    stray = re.compile(rf"\.{re.escape(path.name)}\.[0-9a-f]{{8}}\.part")
    for entry in path.parent.iterdir():
        if stray.fullmatch(entry.name):
            with contextlib.suppress(OSError):
                entry.unlink()


@contextlib.contextmanager
def _alone(folder: Path) -> Iterator[bool]:
    """Hold the folder's lock; the system lets go of it when this program dies.

    Gives False where the folder's disk knows no locks: then saving without one is better than not
    saving.
    """
    flags = os.O_RDWR | os.O_CREAT | getattr(os, "O_NOFOLLOW", 0)
    handle = os.open(folder / _LOCK, flags, 0o666)
    try:
        yield _lock(handle, folder)
    finally:
        os.close(handle)


def _lock(handle: int, folder: Path) -> bool:
    deadline = time.monotonic() + _WAIT
    while True:
        try:
            _try_lock(handle)
            return True
        except (BlockingIOError, PermissionError):  # the second is how Windows says it
            if time.monotonic() > deadline:
                raise SavingError(
                    tr(
                        "Another program is saving in {folder}. Nothing has changed; try again in "
                        "a moment.",
                        folder=folder.name,
                    )
                ) from None
            time.sleep(0.02)
        except OSError:
            return False


if os.name == "nt":
    import msvcrt

    def _try_lock(handle: int) -> None:
        msvcrt.locking(handle, msvcrt.LK_NBLCK, 1)

else:
    import fcntl

    def _try_lock(handle: int) -> None:
        fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
