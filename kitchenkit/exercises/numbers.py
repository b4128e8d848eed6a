"""The numbers in a question: the class's common ones, or a learner's own, drawn from their name."""

from __future__ import annotations

import hashlib
import unicodedata
from collections.abc import Sequence
from typing import TypeVar

Choice = TypeVar("Choice")

LONGEST = 180  # characters of a code word: a name's 60, some of which are spelled out as three
_UNSEEN = {"Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp"}  # characters that draw nothing, or turn text
_JOINERS = "\u200c\u200d"  # unseen too, but some scripts spell names with them


def seen(words: str) -> str:
    """Words without the characters that draw nothing, or turn the direction of text.

    Parameters
    ----------
    words : str

    Returns
    -------
    str
    """
    return "".join(c for c in words if c in _JOINERS or unicodedata.category(c) not in _UNSEEN)


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
    words = " ".join(seen(str(seed)[:LONGEST]).split()).translate(dict.fromkeys(map(ord, _JOINERS)))
    while (plain := _plain(words)) != words:  # now and then plain letters make others, to be folded
        words = plain
    return words


def _plain(words: str) -> str:
    folded = unicodedata.normalize("NFKC", unicodedata.normalize("NFKC", words).casefold())
    return " ".join(folded.split())[:LONGEST].rstrip()


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
        """One of the choices for a learner, but not the usual one, which is the class's.

        Parameters
        ----------
        name : str
            Of this number within its lesson.
        usual : any
            The class's common number, or numbers.
        choices : sequence
            What a learner may get; all must make a sensible question. The usual one may be among
            them; what is right or wrong together, such as the two sides of a pan, is one choice.

        Returns
        -------
        any
        """
        if not self._word:
            return usual
        text = "\0".join((self._word, self._lesson, name))
        drawn = int.from_bytes(hashlib.sha256(text.encode("utf-8", "replace")).digest())
        fresh = [choice for choice in choices if choice != usual]
        return fresh[drawn % len(fresh)]
