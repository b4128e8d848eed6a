"""Spoil, read, and tell whatever is neither a result nor one plain sentence."""

from __future__ import annotations

import random
import re
import signal
import sys
import time
import traceback
import warnings
from collections import Counter
from dataclasses import dataclass, field
from pathlib import Path

from kitchenkit.errors import KitchenError

from .readers import Reader, readers
from .spoil import spoil

_LONGEST = 300_000  # letters of a message: a table may have a fault in every row
_AREAS = ("subprocess", "socket", "urllib", "ctypes", "webbrowser", "os.system", "os.exec")
_CHANGES = ("os.remove", "os.rename", "os.mkdir", "os.rmdir", "os.link", "os.symlink", "os.chmod")
_HANGS = 30  # seconds on the clock until an input is given up, where the system can


@dataclass
class Found:
    """Something wrong, and how to see it again."""

    reader: str
    number: int
    what: str
    data: bytes = field(repr=False)


class Watch:
    """Whether reading did something besides: wrote outside its folder, ran or fetched anything."""

    def __init__(self, scratch: Path):
        self.scratch, self.on, self.deeds = str(scratch), False, []
        sys.addaudithook(self._hear)  # it cannot be taken away again, only told to rest

    def _hear(self, event: str, words) -> None:
        if not self.on:
            return
        if event == "open":
            if isinstance(words[0], int):  # opened before, and heard then
                return
            mode, flags = words[1], words[2]
            writes = set(mode or "") & set("wax+") or (isinstance(flags, int) and flags & 3)
            deed = writes and not str(words[0]).startswith(self.scratch)
        elif event in _CHANGES:
            deed = not str(words[0]).startswith(self.scratch)
        else:
            deed = event.startswith(_AREAS)
        if deed:
            self.deeds.append(f"{event} {words!r:.200}")


class TooLong(BaseException):
    """An input that hangs; no reader may catch it."""


def _give_up(*_) -> None:
    raise TooLong


def one(reader: Reader, data: bytes, watch: Watch) -> tuple[str, str]:
    """Read one input.

    Returns
    -------
    tuple of str
        ``"read"``, ``"refused"`` or ``"wrong"``, and what is wrong.
    """
    watch.deeds.clear()
    alarm = hasattr(signal, "setitimer")
    if alarm:
        before = signal.signal(signal.SIGALRM, _give_up)
        signal.setitimer(signal.ITIMER_REAL, _HANGS)
    start = time.process_time()
    watch.on = True
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("error")
            reader.read(data)
        kind, what = "read", ""
    except KitchenError as error:
        words = str(error)
        kind, what = "refused", ""
        if not 5 < len(words) < _LONGEST or "Traceback" in words:
            kind, what = "wrong", f"refused in {len(words)} letters: {words[:200]}"
    except (Exception, TooLong) as error:
        last = traceback.extract_tb(error.__traceback__)[-3:]
        way = " < ".join(f"{Path(at.filename).name}:{at.lineno}" for at in reversed(last))
        kind, what = "wrong", f"{type(error).__name__}: {error!s:.200} ({way})"
    finally:
        watch.on = False
        if alarm:
            signal.setitimer(signal.ITIMER_REAL, 0)
            signal.signal(signal.SIGALRM, before)
    spent = time.process_time() - start
    if kind != "wrong" and spent > reader.seconds:
        kind, what = "wrong", f"took {spent:.1f} s of processor time, over {reader.seconds:g}"
    if watch.deeds:
        kind, what = "wrong", f"did something besides: {watch.deeds[0]}"
    reader.tidy()
    return kind, what


def _sort(reader: Reader, what: str) -> tuple[str, ...]:
    """What tells kinds of fault apart: the reader, the error and its place, but no number."""
    first, *rest = what.split(":")
    place = what[what.rfind(" (") :] if rest and not first.startswith("refused") else ""
    return reader.name, re.sub(r"\d+", "", first), place


def spoilt(reader: Reader, number: int, seed: int) -> bytes:
    """The input of a number."""
    chance = random.Random(f"{seed}/{reader.name}/{number}")
    return spoil(chance, chance.choice(reader.sound), reader.sound)


def run(scratch: Path, seconds: float, seed: int, only: str = "", number: int | None = None):
    """Spoil and read until the time is over, each reader for the same share of it.

    Parameters
    ----------
    scratch : Path
        An empty folder.
    seconds : float
        Of the clock; each reader has one input at the least.
    seed : int
    only : str
        Readers whose name holds this.
    number : int, optional
        Just the input of this number.

    Returns
    -------
    counts : dict of str to Counter
        For each reader, how many inputs were read, refused or wrong.
    found : list of Found
        The first of each kind.
    """
    chosen = [reader for reader in readers(scratch) if only in reader.name]
    watch, found, counts = Watch(scratch), {}, {}
    end = time.perf_counter() + seconds
    for at, reader in enumerate(chosen):
        count = counts[reader.name] = Counter()
        until = time.perf_counter() + (end - time.perf_counter()) / (len(chosen) - at)
        n = number or 0
        while True:
            data = spoilt(reader, n, seed)
            kind, what = one(reader, data, watch)
            count[kind] += 1
            if kind == "wrong":
                found.setdefault(_sort(reader, what), Found(reader.name, n, what, data))
            n += 1
            if number is not None or time.perf_counter() > until:
                break
    return counts, list(found.values())
