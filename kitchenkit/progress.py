"""A learner's own progress: every answer kept in one file in their folder, and read as data only.

Nothing is kept where there is no learner's folder, as in a plain copy of the lessons.
"""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from dataclasses import asdict, dataclass, field, fields, replace
from datetime import datetime
from pathlib import Path
from typing import Any

from kitchenkit.errors import KitchenError
from kitchenkit.exercises.numbers import LONGEST, code_word, seen
from kitchenkit.language import num, tr
from kitchenkit.places import STATE, learner_folder
from kitchenkit.saving import ChangedError, SavingError, save

FILE = "progress.json"
LARGEST = 1_000_000  # bytes; a whole course takes a hundredth of it
STATES = ("right", "nearly", "again", "")  # "" where only help was asked for
NAME_LENGTH = 60
_VERSION = 1
_MOST = 1000  # of answers, tries and the like: more is no learner's
_TYPED_LENGTH = 100
_TAKEN = 20  # times that another lesson may save in between before we give up
_KEY = re.compile(r"[a-z0-9][a-z0-9-]{0,39}")


class ProgressError(KitchenError):
    """A progress file that cannot be read, or is none; the message says why."""


class NewerError(ProgressError):
    """A progress file of a newer kit."""


@dataclass(frozen=True)
class Answered:
    """What became of one question with one set of numbers.

    Attributes
    ----------
    lesson, question : str
    numbers : str
        The code word of the numbers, empty for the class's.
    tries : int
        Answers given until the first right one, with it.
    typed, unit : str
        The last answer, as it was typed, and the unit chosen beside it.
    state : str
        Of the last answer: one of `STATES`.
    solved : bool
        Whether it has ever been right.
    hints : int
        Steps of help asked for.
    shown : bool
        Whether the answer was asked for.
    at : str
        When it was last touched, as ISO 8601.
    """

    lesson: str
    question: str
    numbers: str = ""
    tries: int = 0
    typed: str = ""
    unit: str = ""
    state: str = ""
    solved: bool = False
    hints: int = 0
    shown: bool = False
    at: str = ""

    @property
    def place(self) -> tuple[str, str, str]:
        """What it is the answer to: lesson, question and numbers."""
        return self.lesson, self.question, self.numbers

    def answered(self, typed: str, unit: str, state: str) -> Answered:
        """This, after one more answer; the same answer again is no further try."""
        typed = seen(typed)[:_TYPED_LENGTH]
        again = (typed, unit) == (self.typed, self.unit) and bool(self.state)
        tries = self.tries + (not again and not self.solved)
        solved = self.solved or state == "right"
        return replace(
            self, typed=typed, unit=unit, state=state, tries=min(tries, _MOST), solved=solved
        )


@dataclass(frozen=True)
class Progress:
    """What one progress file holds.

    Attributes
    ----------
    learner : str
        Name or nickname; may be empty.
    numbers : str
        The code word of the learner's own numbers, empty for the class's.
    answers : dict
        `Answered` by lesson, question and numbers.
    note : str
    """

    learner: str = ""
    numbers: str = ""
    answers: dict[tuple[str, str, str], Answered] = field(default_factory=dict)
    note: str = ""

    def written(self) -> str:
        """The text of its file."""
        whole: dict[str, Any] = {"kitchenkit progress": _VERSION, "learner": self.learner}
        whole |= {"numbers": self.numbers} | ({"note": self.note} if self.note else {})
        whole["answers"] = [asdict(self.answers[place]) for place in sorted(self.answers)]
        return json.dumps(whole, indent=1, ensure_ascii=False) + "\n"


def own_progress() -> ProgressFile | None:
    """The learner's own progress file, or None where there is no learner's folder."""
    folder = learner_folder()
    made_by_the_launcher = folder is not None and (folder / STATE).is_dir()
    return ProgressFile(folder / FILE) if made_by_the_launcher else None


class ProgressFile:
    """A learner's file: read when a question is shown, and saved at every answer.

    Parameters
    ----------
    path : Path
        It need not be there yet.
    """

    def __init__(self, path: Path):
        self.path = path

    def read(self) -> tuple[Progress, str]:
        """What the file holds, and what its owner must know about it, or ``""``.

        A damaged file is put aside under another name, never deleted.

        Returns
        -------
        (Progress, str)

        Raises
        ------
        ProgressError
            If it is there but may not or cannot be used, so that nothing should be saved over it.
        """
        progress, notice, _ = self._read()
        return progress, notice

    def put(self, answered: Answered) -> str:
        """Keep one answer; the rest of the file stays as it is, whoever wrote it meanwhile.

        Returns
        -------
        str
            What the owner must know, or ``""``.

        Raises
        ------
        KitchenError
            If it cannot be saved.
        """
        stamped = replace(answered, at=datetime.now().astimezone().isoformat(timespec="seconds"))

        def with_it(held: Progress) -> Progress:
            others = [one for place, one in held.answers.items() if place != stamped.place]
            newest = sorted(others, key=_when)[1 - _MOST :]
            return replace(held, answers={one.place: one for one in [*newest, stamped]})

        return self._change(with_it)

    def introduce(self, learner: str, own: bool) -> str:
        """Keep the learner's name, and whose numbers they want.

        Parameters
        ----------
        learner : str
            Name or nickname; empty for none.
        own : bool
            Whether the questions take numbers of the learner's own, made from the name.

        Returns
        -------
        str
            What the owner must know, or ``""``.

        Raises
        ------
        KitchenError
            If it is no name, if own numbers want a name, or if it cannot be saved.
        """
        name = " ".join(seen(learner).split())
        if len(name) > NAME_LENGTH:
            raise ProgressError(
                tr(
                    "That name has {n} characters. Write one of at most {most}.",
                    n=num(len(name)),
                    most=NAME_LENGTH,
                )
            )
        if own and not name:
            raise ProgressError(tr("Numbers of your own are made from your name: type one first."))
        word = code_word(name) if own else ""
        return self._change(lambda held: replace(held, learner=name, numbers=word))

    def _change(self, change: Callable[[Progress], Progress]) -> str:
        """Read, change and save, anew whenever another lesson has saved in between."""
        notices = []
        for _ in range(_TAKEN):
            progress, notice, held = self._read()
            notices += [notice] if notice else []
            try:
                save(self.path, change(progress).written(), keep=0, expecting=held)
                return " ".join(notices)
            except ChangedError:
                continue
        raise SavingError(
            tr("{file} is busy. Nothing has changed; try again in a moment.", file=self.path.name)
        )

    def _read(self) -> tuple[Progress, str, bytes | None]:
        held = self._held()
        if held is None:
            return Progress(), "", None
        try:
            return read_progress(held), "", held
        except NewerError:
            raise
        except ProgressError as error:
            if self._held() != held:  # another lesson has just dealt with it
                return self._read()
            aside = self._put_aside()
            notice = tr(
                "Your progress so far could not be read. {fault} It was put aside as {file}, and a "
                "new file is begun.",
                fault=error,
                file=aside.name,
            )
            return Progress(), notice, None

    def _held(self) -> bytes | None:
        if self.path.is_symlink() or (self.path.exists() and not self.path.is_file()):
            raise ProgressError(
                tr(
                    "{path} is no plain file, so nothing is kept. Move it somewhere else.",
                    path=self.path,
                )
            )
        try:
            with self.path.open("rb") as file:
                return file.read(LARGEST + 1)
        except FileNotFoundError:
            return None
        except OSError as error:
            raise ProgressError(
                tr(
                    "{path} could not be read ({fault}), so nothing is kept.",
                    path=self.path,
                    fault=error.strerror,
                )
            ) from error

    def _put_aside(self) -> Path:
        stamp = datetime.now().strftime("%Y-%m-%dT%H-%M-%S")
        count = 1
        while (aside := self.path.with_name(_aside_name(stamp, count))).exists():
            count += 1
        try:
            self.path.rename(aside)
        except OSError as error:
            raise ProgressError(
                tr(
                    "{path} is damaged and could not be put aside ({fault}), so nothing is kept.",
                    path=self.path,
                    fault=error.strerror,
                )
            ) from error
        return aside


def _aside_name(stamp: str, count: int) -> str:
    return f"progress-damaged-{stamp}{f'-{count}' if count > 1 else ''}.json"


def _when(one: Answered) -> datetime:
    return datetime.fromisoformat(one.at)


# Reading, as data only -------------------------------------------------------------------------


def read_progress(content: bytes) -> Progress:
    """Read a progress file, trusting nothing in it.

    Parameters
    ----------
    content : bytes
        UTF-8 JSON.

    Returns
    -------
    Progress

    Raises
    ------
    ProgressError
        If it is too large, no such file, or holds what no lesson writes; says what.
    """
    if len(content) > LARGEST:
        raise ProgressError(
            tr("It is larger than {size} kB, so no lesson wrote it.", size=LARGEST // 1000)
        )
    try:
        whole = json.loads(
            content.decode("utf-8-sig"), object_pairs_hook=_once, parse_constant=_no_constant
        )
    except UnicodeDecodeError:
        raise ProgressError(tr("It is no UTF-8 text, so no lesson wrote it.")) from None
    except RecursionError:
        raise ProgressError(tr("It is nested too deeply, so no lesson wrote it.")) from None
    except ValueError as error:
        if isinstance(error, ProgressError):
            raise
        raise ProgressError(tr("It is no JSON: cut off or edited, perhaps.")) from None
    if not isinstance(whole, dict) or type(whole.get("kitchenkit progress")) is not int:
        raise ProgressError(tr("It is no progress file."))
    if whole["kitchenkit progress"] > _VERSION:
        raise NewerError(
            tr("A newer version of the kit wrote this progress. Bring this one up first.")
        )
    if whole["kitchenkit progress"] != _VERSION:
        raise ProgressError(tr("Its version is unknown."))
    _only(whole, {"kitchenkit progress", "learner", "numbers", "note", "answers"})
    answers = whole.get("answers")
    if not isinstance(answers, list) or len(answers) > _MOST:
        raise ProgressError(tr("Its answers are no list of at most {most}.", most=_MOST))
    made: dict[tuple[str, str, str], Answered] = {}
    for one in map(_answered, answers):
        if made.setdefault(one.place, one) is not one:
            raise ProgressError(
                tr(
                    "It answers {lesson}, {question} twice.",
                    lesson=one.lesson,
                    question=one.question,
                )
            )
    return Progress(
        learner=_words(whole, "learner", NAME_LENGTH),
        numbers=_words(whole, "numbers", LONGEST),
        answers=made,
        note=_words(whole, "note", 300) if "note" in whole else "",
    )


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    made = dict(pairs)
    if len(made) != len(pairs):
        raise ProgressError(tr("It says the same thing twice."))
    return made


def _no_constant(word: str):
    raise ProgressError(tr("It holds {word}, which is no number.", word=word))


def _only(found: dict, allowed: set[str]) -> None:
    for name in found.keys() - allowed:
        raise ProgressError(tr("It holds {word}, which no lesson writes.", word=_short(name)))


def _short(value: Any) -> str:
    return ascii(value)[:60]


def _words(found: dict, name: str, longest: int) -> str:
    words = found.get(name)
    if not isinstance(words, str) or len(words) > longest:
        raise ProgressError(
            tr("Its {name} is no text of at most {longest} characters.", name=name, longest=longest)
        )
    if words != seen(words):
        raise ProgressError(tr("Its {name} holds characters that cannot be seen.", name=name))
    return words


_FIELDS = {part.name for part in fields(Answered)}


def _answered(found: Any) -> Answered:
    if not isinstance(found, dict):
        raise ProgressError(tr("One of its answers is none."))
    _only(found, _FIELDS)
    values: dict[str, Any] = {}
    for name in ("lesson", "question"):
        values[name] = _words(found, name, 40)
        if not _KEY.fullmatch(values[name]):
            raise ProgressError(
                tr("Its {name} {value} is none.", name=name, value=_short(values[name]))
            )
    for name, longest in (
        ("numbers", LONGEST),
        ("typed", _TYPED_LENGTH),
        ("unit", 20),
        ("at", 40),
    ):
        values[name] = _words(found, name, longest)
    for name in ("tries", "hints"):
        values[name] = found.get(name)
        if type(values[name]) is not int or not 0 <= values[name] <= _MOST:
            raise ProgressError(
                tr(
                    "Its {name} {value} is no count up to {most}.",
                    name=name,
                    value=_short(values[name]),
                    most=_MOST,
                )
            )
    for name in ("solved", "shown"):
        values[name] = found.get(name)
        if type(values[name]) is not bool:
            raise ProgressError(
                tr(
                    "Its {name} {value} is neither true nor false.",
                    name=name,
                    value=_short(values[name]),
                )
            )
    values["state"] = found.get("state")
    if values["state"] not in STATES:
        raise ProgressError(
            tr("Its state {value} is none of a lesson's.", value=_short(values["state"]))
        )
    try:
        when = datetime.fromisoformat(values["at"])
    except ValueError:
        when = None
    if when is None or when.tzinfo is None:
        raise ProgressError(tr("Its time {value} is none.", value=_short(values["at"])))
    return Answered(**values)
