"""What a class has got right so far, from the progress files its learners hand in."""

from __future__ import annotations

import os
import stat
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import NamedTuple

import pandas as pd

from kitchenkit.errors import KitchenError
from kitchenkit.exercises import LESSONS
from kitchenkit.exercises.numbers import code_word, seen
from kitchenkit.language import mark, tr
from kitchenkit.progress import LARGEST, Answered, Progress, ProgressError, read_progress

MOST_FILES = 500
_LINK = mark("It is a link to another place, which is not followed.")
mark("Invented for the demo: no such learner answered these.")  # the note in its files
_STATES = ["right", "nearly", "not_yet"]
_COUNTS = [*_STATES, "tries", "hints", "shown"]


class Hardest(NamedTuple):
    """A question with how many learners met it, how many are right, and all their tries."""

    lesson: str
    question: str
    right: int
    met: int
    tries: int


@dataclass(frozen=True)
class ClassSummary:
    """How a class stands.

    Attributes
    ----------
    learners : DataFrame
        A row for each learner and lesson: ``learner``, ``lesson``, how many questions are
        ``right``, ``nearly`` and ``not_yet``, and how many ``tries``, ``hints`` and answers
        ``shown`` that took.
    questions : DataFrame
        The same counts for each ``lesson`` and ``question``, over the learners.
    refused : list of (str, str)
        Files that were left out, and why.
    remarks : list of str
        What else to know, such as two files of one learner.
    """

    learners: pd.DataFrame
    questions: pd.DataFrame
    refused: list[tuple[str, str]]
    remarks: list[str]

    @property
    def names(self) -> list[str]:
        """The learners."""
        return list(dict.fromkeys(self.learners["learner"]))

    @property
    def hardest(self) -> tuple[str, str] | None:
        """Lesson and question of the hardest, or None; see `hardest_of`."""
        found = self.hardest_of()
        return (found.lesson, found.question) if found else None

    def hardest_of(self, lesson: str = "") -> Hardest | None:
        """The question with the smallest share of learners right, and of such with most tries.

        Parameters
        ----------
        lesson : str
            Of this lesson; of all when left out.

        Returns
        -------
        Hardest or None
            None where nobody has tried, or everybody was right at once.
        """
        found = [
            Hardest(row.lesson, row.question, row.right, met, row.tries)
            for row in self.questions.itertuples()
            if (not lesson or row.lesson == lesson)
            and (met := row.right + row.nearly + row.not_yet)
            and (row.right < met or row.tries > met)
        ]
        return min(found, key=lambda q: (q.right / q.met, -q.tries / q.met), default=None)


def class_summary(where) -> ClassSummary:
    """Sum up progress files.

    The files are data only: nothing in them runs, a link is not followed, and a file that no
    lesson wrote is left out and told.

    Parameters
    ----------
    where : str, Path, or iterable of them
        A folder, whose folders are looked through too, or files ending in ``.json``.

    Returns
    -------
    ClassSummary

    Raises
    ------
    KitchenError
        If there is no such folder, or it holds more files than a class hands in.
    """
    refused: list[tuple[str, str]] = []
    remarks: list[str] = []
    read: list[tuple[str, Progress]] = []
    seen_before: dict[bytes, str] = {}
    for name, path in _files(where, refused):
        name = seen(name)
        try:
            content = file_content(path)
            progress = read_progress(content)
        except ProgressError as error:
            refused.append((name, str(error)))
            continue
        if content in seen_before:
            remarks.append(
                tr(
                    "{file} is the same file as {other}: counted once.",
                    file=name,
                    other=seen_before[content],
                )
            )
            continue
        seen_before[content] = name
        read.append((name, progress))
    return _summed(read, refused, remarks)


# Files -----------------------------------------------------------------------------------------


def _files(where, refused: list) -> Iterator[tuple[str, Path]]:
    """Each file with the name to call it by; what is no plain file is refused."""
    if isinstance(where, str | os.PathLike):
        top = _folder(str(where).strip())
        found = list(_inside(top, refused))
    else:
        found = [(Path(one).name, Path(one)) for one in where]
    if len(found) > MOST_FILES:
        raise KitchenError(
            tr(
                "There are {n} files, more than the {most} that a class hands in. Give a folder "
                "with the progress files alone.",
                n=len(found),
                most=MOST_FILES,
            )
        )
    yield from found


def _folder(text: str) -> Path:
    try:
        top = Path(text).expanduser()
        if text and top.is_dir():
            return top
    except (OSError, RuntimeError, ValueError):  # no name of a folder could be so
        pass
    shown = text if len(text) <= 60 else text[:57] + "..."
    raise KitchenError(
        tr(
            "There is no folder {folder}. Give the one with the progress files.",
            folder=f"{shown!r}",
        )
    )


def _inside(top: Path, refused: list) -> Iterator[tuple[str, Path]]:
    for folder, below, files in os.walk(top, followlinks=False):
        below.sort()
        for name in [*below]:
            if (Path(folder) / name).is_symlink():
                shown = (Path(folder) / name).relative_to(top).as_posix()
                refused.append((seen(shown), tr(_LINK)))
        for name in sorted(files):
            path = Path(folder) / name
            if name.casefold().endswith(".json"):
                yield path.relative_to(top).as_posix(), path


def file_content(path: Path) -> bytes:
    """What a plain file holds; nothing is waited for, and no link is followed.

    Parameters
    ----------
    path : Path

    Returns
    -------
    bytes
        No more than one byte over the largest progress file.

    Raises
    ------
    ProgressError
        If it is no plain file or cannot be read.
    """
    flags = os.O_RDONLY | getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_NONBLOCK", 0)
    try:
        if path.is_symlink():
            raise ProgressError(tr(_LINK))
        with open(os.open(path, flags | getattr(os, "O_BINARY", 0)), "rb") as file:
            if not stat.S_ISREG(os.fstat(file.fileno()).st_mode):
                raise ProgressError(tr("It is no plain file."))
            return file.read(LARGEST + 1)
    except OSError as error:
        why = tr("It could not be read: {error}.", error=error.strerror)
        raise ProgressError(why) from None


# Sums ------------------------------------------------------------------------------------------


def _summed(read: list, refused: list, remarks: list) -> ClassSummary:
    """Put the files together by learner, then count."""
    files: dict[str, list[str]] = {}
    names: dict[str, str] = {}
    newest: dict[tuple, Answered] = {}
    unknown: set[str] = set()
    for file, progress in read:
        name = progress.learner or tr("no name ({file})", file=file)
        learner = names.setdefault(code_word(name), name)
        files.setdefault(learner, []).append(file)
        for one in progress.answers.values():
            if one.lesson not in LESSONS:
                unknown.add(one.lesson)
                continue
            kept = newest.setdefault((learner, *one.place), one)
            if _at(one) > _at(kept):
                newest[learner, *one.place] = one
    counted = _counted(newest)
    answering = {learner for (learner, *_), one in newest.items() if _tried(one)}
    notes = dict.fromkeys(progress.note for _, progress in read if progress.note)
    remarks += [tr("A note in the files: {note}", note=tr(note)) for note in notes]
    remarks += _remarks(files, answering, unknown)
    learners = counted.groupby(["learner", "lesson"], as_index=False, sort=False)[_COUNTS].sum()
    by_name = learners["learner"].str.casefold().sort_values(kind="stable").index
    asked = counted.groupby(["lesson", "question"], as_index=False, sort=False)[_COUNTS].sum()
    return ClassSummary(learners.loc[by_name].reset_index(drop=True), asked, refused, remarks)


def _counted(newest: dict[tuple, Answered]) -> pd.DataFrame:
    """A row for each learner and question, whichever numbers it was answered with."""
    order = {lesson: at for at, lesson in enumerate(LESSONS)}
    rows = pd.DataFrame(
        [_row(learner, one) for (learner, *_), one in newest.items()],
        columns=["learner", "lesson", "question", *_COUNTS],
    ).astype(dict.fromkeys(_COUNTS, int))
    how = {name: "max" if name in _STATES else "sum" for name in _COUNTS}
    rows = rows.groupby(["learner", "lesson", "question"], as_index=False, sort=False).agg(how)
    rows["nearly"] = rows["nearly"].where(rows["right"] == 0, 0)
    rows["not_yet"] = rows["not_yet"].where(rows["right"] + rows["nearly"] == 0, 0)
    return rows.sort_values("lesson", key=lambda column: column.map(order), kind="stable")


def _row(learner: str, one: Answered) -> list:
    nearly = not one.solved and one.state == "nearly"
    states = [int(one.solved), int(nearly), int(_tried(one) and not one.solved and not nearly)]
    return [learner, one.lesson, one.question, *states, one.tries, one.hints, int(one.shown)]


def _tried(one: Answered) -> bool:
    """Who only asked for a hint has not."""
    return one.solved or one.tries > 0


def _at(one: Answered) -> datetime:
    return datetime.fromisoformat(one.at)


def _remarks(files: dict[str, list[str]], answering: set[str], unknown: set[str]) -> list[str]:
    said = [
        tr(
            "{learner} is the name in {n} files ({files}): taken as one learner, with the newest "
            "answer to each question.",
            n=len(names),
            learner=learner,
            files=", ".join(names),
        )
        for learner, names in files.items()
        if len(names) > 1
    ]
    said += [
        tr("{learner} has answered nothing yet.", learner=learner)
        for learner in files
        if learner not in answering
    ]
    if unknown:
        lessons = ", ".join(sorted(unknown))
        said.append(
            tr("Left out, since this kit has no questions for it: {lessons}.", lessons=lessons)
        )
    return said
