"""The numbers in a question: the class's common ones, or a learner's own, drawn from their name."""

from __future__ import annotations

import hashlib
import unicodedata
from collections.abc import Sequence
from typing import TypeVar

Choice = TypeVar("Choice")

_LONGEST = 200  # characters of a name that count; a pasted page must not be hashed at each question


def code_word(seed: int | str | None) -> str:
    """A seed as it is compared: case, accents' way of writing and spare spaces do not count.

    Parameters
    ----------
    seed : int, str or None
        A number, or a learner's name or code word.

    Returns
    -------
    str
        Empty for the class's common numbers.

    Examples
    --------
    >>> code_word("  Ana   Maria ")
    'ana maria'
    """
    if seed is None:
        return ""
    words = unicodedata.normalize("NFKC", str(seed)[:_LONGEST]).casefold()
    return " ".join(unicodedata.normalize("NFKC", words).split())


class Numbers:
    """Draws the numbers of one lesson's questions.

    Each number has a draw of its own, by its name, so a question added to a lesson leaves the
    others as they were. The draw is a hash: the same on every computer and Python.

    Parameters
    ----------
    lesson : str
    seed : int, str or None
        ``None`` or an empty word give the class's common numbers.
    """

    def __init__(self, lesson: str, seed: int | str | None = None):
        self._lesson = lesson
        self._word = code_word(seed)

    def pick(self, name: str, usual: Choice, choices: Sequence[Choice]) -> Choice:
        """One of the choices for a learner, or the usual one for the class.

        Parameters
        ----------
        name : str
            Of this number within its lesson.
        usual : any
            The class's common number.
        choices : sequence
            What a learner may get; all must make a sensible question.

        Returns
        -------
        any
        """
        if not self._word:
            return usual
        text = "\0".join((self._word, self._lesson, name))
        drawn = int.from_bytes(hashlib.sha256(text.encode("utf-8", "replace")).digest())
        return choices[drawn % len(choices)]
