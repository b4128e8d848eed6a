"""The language of what people read: words from a catalogue, numbers and dates as it writes them.

English is written in the code, each text inside `tr`; a catalogue in the folder languages, in the
format of GNU gettext, holds another language.
"""

from __future__ import annotations

import gettext
import io
import os
import re
import string
import weakref
from collections.abc import Iterable, Iterator
from contextlib import contextmanager, suppress
from datetime import date
from functools import cache
from pathlib import Path

from kitchenkit.errors import KitchenError
from kitchenkit.places import PACKAGE, STATE, learner_folder

CATALOGUES = PACKAGE / "languages"
# Offered to learners; a catalogue serves every country of its language.
LANGUAGES = {
    "en_US": "English",
    "es_US": "Español (Estados Unidos: 12,345.50)",
    "es_ES": "Español (España: 12.345,50)",
}
ENGLISH = "en_US"
VARIABLE = "KITCHENKIT_LANGUAGE"  # what a room starts with, until a learner chooses


class LanguageError(KitchenError):
    """A language that the kit does not speak."""


class _Speech:
    """One language: its texts, and how its numbers are written."""

    def __init__(self, name: str):
        self.name, self.code, self.english = name, "en", name == ENGLISH
        self.texts, self.marks = gettext.NullTranslations(), {}
        if self.english:
            return
        from babel.core import Locale, UnknownLocaleError

        try:
            locale = Locale.parse(name)
            if str(locale) != name:  # it forgives much, which others may not
                raise ValueError(name)
            self.texts = _texts(CATALOGUES / f"{locale.language}.po")
        except (UnknownLocaleError, ValueError, TypeError, FileNotFoundError):
            known = ", ".join(LANGUAGES)
            raise LanguageError(f"The kit does not speak {name!r}. It speaks {known}.") from None
        self.code = locale.language
        signs = locale.number_symbols["latn"]
        # A catalogue serves every country, so a percentage is written as the language alone does.
        percent = Locale(locale.language).percent_formats[None].pattern.partition("0")[2]
        self.marks = str.maketrans(
            {",": signs["group"], ".": signs["decimal"], "%": percent or "%"}
        )


def _texts(file) -> gettext.GNUTranslations:
    from babel.messages.mofile import write_mo  # English needs neither
    from babel.messages.pofile import read_po

    compiled = io.BytesIO()
    with file.open("rb") as written:
        write_mo(compiled, read_po(written))
    compiled.seek(0)
    return gettext.GNUTranslations(compiled)


@cache
def _speech_of(name: str) -> _Speech:
    """A language by its name; read once."""
    return _Speech(name)


_FOUR_DIGITS = re.compile(r"(?<![\d,.])(\d),(\d{3})(?![\d,])")
_speech: _Speech | None = None
_listening: weakref.WeakSet = weakref.WeakSet()


def _now() -> _Speech:
    global _speech
    if _speech is None:
        _speech = _speech_of(ENGLISH)
        # Words that nobody here can change are no fault of theirs, nor that nothing is installed.
        with suppress(LanguageError, ImportError):
            _speech = _speech_of(_kept() or os.environ.get(VARIABLE) or ENGLISH)
    return _speech


def _file(home: Path | None = None) -> Path | None:
    if home is None:
        home = learner_folder()
        if home is None or not (home / STATE).is_dir():  # tables of their own alone are no copies
            return None
    return home / STATE / "language"


def _kept() -> str:
    file = _file()
    try:
        return file.read_text(encoding="utf-8").strip()[:20] if file else ""
    except (OSError, UnicodeError):
        return ""


def current() -> str:
    """The language and country in use, such as ``"en_US"``.

    The learner's kept choice; else what the variable ``KITCHENKIT_LANGUAGE`` says; else English.
    """
    return _now().name


def code() -> str:
    """The language alone, as a page tells it to a screen reader: ``"es"``."""
    return _now().code


def use(name: str) -> None:
    """Speak a language from now on; whatever is shown and can be said anew is.

    Parameters
    ----------
    name : str
        Language and country, such as ``"es_US"``.

    Raises
    ------
    LanguageError
        If there is no catalogue of it.
    """
    global _speech
    _speech = _speech_of(name)
    for box in list(_listening):
        box.retell()


def keep(name: str, home: Path | None = None) -> bool:
    """Keep a choice in the learner's own folder, for every lesson.

    Parameters
    ----------
    name : str
    home : Path, optional
        That folder; the one that the lessons were opened from when left out.

    Returns
    -------
    bool
        False where there is no folder of their own.

    Raises
    ------
    LanguageError
        If there is no catalogue of it.
    SavingError
        If it cannot be written.
    """
    _speech_of(name)
    file = _file(home)
    if file is None:
        return False
    from kitchenkit.saving import save

    save(file, name + "\n", keep=0)
    return True


@contextmanager
def speaking(name: str) -> Iterator[None]:
    """Make and say things in a language for a while; what is shown already stays as it is.

    Parameters
    ----------
    name : str

    Raises
    ------
    LanguageError
        If there is no catalogue of it.
    """
    global _speech
    before = _now()
    _speech = _speech_of(name)
    try:
        yield
    finally:
        _speech = before


def listen(box) -> None:
    """Have ``box.retell()`` called whenever another language is chosen, while `box` lives."""
    _listening.add(box)


_phrases: dict[str, tuple[str, dict[str, str]]] = {}
_MOST_PHRASES = 2000  # a name is made anew whenever its panel answers

# Words -----------------------------------------------------------------------------------------


def tr(text: str, /, **values) -> str:
    """A text in the language in use, with values put into its ``{names}``.

    Parameters
    ----------
    text : str
        In English, as it stands in the catalogue; the empty text stays empty.
    **values
        Ready to be read: numbers by `num`.
    """
    if text in _phrases and not values:
        text, parts = _phrases[text]
        values = {name: tr(part) for name, part in parts.items()}
    found = _now().texts.gettext(text) if text else ""
    return found.format(**values) if values else found


def trc(context: str, text: str, /, **values) -> str:
    """`tr` for an English text that means two things, told apart by a `context`."""
    found = _now().texts.pgettext(context, text)
    return found.format(**values) if values else found


def trn(one: str, many: str, n: float, /, **values) -> str:
    """`tr` by number: `one` of something, or `many`.

    Parameters
    ----------
    one, many : str
        ``{n}`` stands for the number, unless `values` say otherwise.
    n : float
        English takes `one` for exactly 1, so a fraction is rounded by the caller first.
    **values
    """
    count = int(n) if n == int(n) else 2  # rules of plurals know whole numbers only
    found = _now().texts.ngettext(one, many, count)
    return found.format(**({"n": num(n, "g")} | values))


def mark(text: str) -> str:
    """A text for the catalogue that is looked up later, by `tr`; returned as it is."""
    return text


def phrase(text: str, /, **parts: str) -> str:
    """An English name made up of others, which `tr` can say in another language later.

    Parameters
    ----------
    text : str
        For the catalogue, such as ``"{name}, squeezed"``.
    **parts
        In English too, each looked up by itself.
    """
    made = text.format(**parts)
    _phrases.pop(made, None)
    _phrases[made] = text, parts
    if len(_phrases) > _MOST_PHRASES:
        del _phrases[next(iter(_phrases))]  # the one made longest ago
    return made


def join_and(words: Iterable[str]) -> str:
    """Words as a list: ``"flour, milk and eggs"``."""
    return _join(list(words), mark("{first} and {last}"))


def join_or(words: Iterable[str]) -> str:
    """Words as a choice: ``"g, oz or lb"``."""
    return _join(list(words), mark("{first} or {last}"))


def _join(words: list[str], pattern: str) -> str:
    if len(words) < 2:
        return "".join(words)
    return tr(pattern, first=", ".join(words[:-1]), last=words[-1])


# Numbers and dates -----------------------------------------------------------------------------


def num(value: float, spec: str = ",.0f") -> str:
    """A number as the language writes it.

    Parameters
    ----------
    value : float
    spec : str
        Python's format: ``",.1f"``, ``"g"``, ``"+.1f"``.
    """
    return as_written(format(value, spec))


def as_written(digits: str) -> str:
    """Digits written the English way, such as ``"1,234.5"``, with the language's marks."""
    speech = _now()
    if speech.marks.get(ord(",")) == ".":
        # A point in 1.234 would be read as a decimal one where such a number is typed in again.
        # Spanish spelling parts no number of four digits anyway (from memory, unverified).
        digits = _FOUR_DIGITS.sub(r"\1\2", digits)
    return digits.translate(speech.marks) if speech.marks else digits


def day(when: date) -> str:
    """A date: in English 2026-11-25, which no country misreads; else as the language writes it."""
    speech = _now()
    if speech.english:
        return when.isoformat()
    from babel.dates import format_date  # slow to load, and only needed here

    return format_date(when, "medium", speech.name)


def weekday(when: date) -> str:
    """The day of the week in full."""
    from babel.dates import format_date

    return format_date(when, "EEEE", _now().name)


def blanks(text: str) -> set[str]:
    """The ``{names}`` in a text, which its translation must hold too."""
    return {name for _, name, _, _ in string.Formatter().parse(text) if name}
