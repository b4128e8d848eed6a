"""The learner's copies of the lessons and data: made, kept, and refreshed without losing work."""

from __future__ import annotations

import hashlib
import json
import os
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path

from kitchenkit.places import shipped_folder

# What the launcher keeps beside the copies: its record and the notebook server's own files.
STATE = ".kitchen"
_RECORD = "copies.json"
_SKIP = ("__pycache__", "my-lessons")


@dataclass
class Refresh:
    """What one refresh did.

    Attributes
    ----------
    written : list of Path
        Copies that now hold exactly what is shipped, made or refreshed just now.
    kept : list of Path
        Where the learner's changed copies went, when a newer shipped file took their place.
    """

    written: list[Path] = field(default_factory=list)
    kept: list[Path] = field(default_factory=list)


def refresh(folder: Path, now: datetime | None = None) -> Refresh:
    """Bring a learner's folder up to date with the shipped lessons and data.

    A copy is left alone as long as its shipped original is the one it was made from. When the
    original has changed, the copy is refreshed; had the learner changed the copy, it is first kept
    under ``earlier/DATE-TIME/``. Only what a learner writes counts as a change, not what running a
    notebook leaves in it. Files of the learner's own are never touched.

    Parameters
    ----------
    folder : Path
        Made if it is not there.
    now : datetime, optional
        Names the folder of earlier copies.

    Returns
    -------
    Refresh

    Raises
    ------
    OSError
        If the folder cannot be read or written.
    """
    done = Refresh()
    record_file = folder / STATE / _RECORD
    record = _read_record(record_file)
    earlier = folder / "earlier" / f"{now or datetime.now():%Y-%m-%d-%H%M%S}"
    fresh = dict(record)
    for name, original in _shipped():
        copy = folder / name
        shipped = original.read_bytes()
        made_from = _digest(shipped)
        known = record.get(name, {})
        held = copy.read_bytes() if copy.is_file() else None
        if held is not None and known.get("made_from") == made_from:
            continue
        written = _fingerprint(name, shipped)
        if held is not None:
            found = _fingerprint(name, held)
            if found not in (written, known.get("written")):
                _write(earlier / name, held)
                done.kept.append(earlier / name)
        if held != shipped:
            _write(copy, shipped)
        done.written.append(copy)
        fresh[name] = {"made_from": made_from, "written": written}
    if fresh != record:
        text = json.dumps(fresh, indent=1, sort_keys=True)
        _write(record_file, text.encode())
    return done


def _shipped() -> Iterator[tuple[str, Path]]:
    """Each shipped file with its place among the copies: lessons at the top, data in ``data``."""
    for top, prefix in ((shipped_folder("lessons"), ""), (shipped_folder("data"), "data/")):
        for path in sorted(top.rglob("*")):
            inside = path.relative_to(top)
            hidden = any(part.startswith(".") or part in _SKIP for part in inside.parts)
            if path.is_file() and not hidden:
                yield prefix + inside.as_posix(), path


def _fingerprint(name: str, content: bytes) -> str:
    """A digest of what a person writes: of a notebook its cells' sources, else every byte."""
    if name.endswith(".ipynb"):
        try:
            cells = json.loads(content)["cells"]
            return _digest(json.dumps([_written(cell) for cell in cells]).encode())
        except (ValueError, KeyError, TypeError):
            pass  # no notebook any more: whatever it is, keep every byte of it
    return _digest(content)


def _written(cell: dict) -> list[str]:
    source = cell["source"]
    return [cell["cell_type"], source if isinstance(source, str) else "".join(source)]


def _digest(content: bytes) -> str:
    return hashlib.sha256(content).hexdigest()


def _read_record(path: Path) -> dict[str, dict]:
    try:
        record = json.loads(path.read_text(encoding="utf-8"))
        return {name: dict(known) for name, known in record.items()}
    except (OSError, ValueError, TypeError, AttributeError):
        return {}  # lost or damaged: every copy is then compared with what is shipped


def _write(path: Path, content: bytes) -> None:
    """Write a file whole or not at all."""
    path.parent.mkdir(parents=True, exist_ok=True)
    part = path.with_name(f".{path.name}.{os.getpid()}.part")
    try:
        part.write_bytes(content)
        part.replace(path)
    finally:
        part.unlink(missing_ok=True)
