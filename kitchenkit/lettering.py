"""Words on paper: made harmless, measured, and broken into lines that fit."""

from __future__ import annotations

import re
import unicodedata
from functools import cache
from importlib.util import find_spec
from pathlib import Path

from fontTools.ttLib import TTFont

POINT = 25.4 / 72  # mm
_LOST = "\ufffd"
_NO_GLYPH = "□"
# What turns the reading order of all that follows; shown as a sign, so that nobody is deceived.
_TURNS = re.compile("[\u202a-\u202e\u2066-\u2069]")
_MARKS = 3  # accents on one letter; more of them only cover the lines above and below
# Kept of the invisible characters: the two that join and part letters of Arabic and Indian words.
_JOINERS = "\u200c\u200d"
_ARABIC = re.compile("[\u0600-\u06ff]")
_LAM_ALEF = ("\u0644\u0627", "\u0644\u0622", "\u0644\u0623", "\u0644\u0625")


def clean(text: str) -> str:
    """Any text as one line that can do no harm on paper or on a page.

    Control and other invisible characters go, line ends become spaces, what would turn the reading
    order becomes ``�``, and so do halves of characters.

    Parameters
    ----------
    text : str
        Anything that somebody may have typed or read from a file.

    Returns
    -------
    str
        Not yet escaped for HTML.

    Examples
    --------
    >>> clean(" two" + chr(10) + "lines" + chr(0))
    'two lines'
    """
    text = _TURNS.sub(_LOST, unicodedata.normalize("NFC", str(text)))
    kept, marks = [], 0
    for char in " ".join(text.split()):
        kind = unicodedata.category(char)
        marks = marks + 1 if kind in ("Mn", "Me") else 0
        if kind == "Cs":
            kept.append(_LOST)
        elif (kind not in ("Cc", "Cf") and marks <= _MARKS) or char in _JOINERS:
            kept.append(char)
    return " ".join("".join(kept).split())


def font_file(bold: bool = False) -> Path:
    """The DejaVu Sans that comes with matplotlib, found without loading matplotlib."""
    home = Path(next(iter(find_spec("matplotlib").submodule_search_locations)))
    return home / "mpl-data" / "fonts" / "ttf" / f"DejaVuSans{'-Bold' if bold else ''}.ttf"


@cache
def _advances(bold: bool) -> dict[int, float]:
    """Width of each letter that the font has, as a share of its size."""
    with TTFont(font_file(bold), lazy=True) as font:
        whole, widths = font["head"].unitsPerEm, font["hmtx"]
        return {code: widths[name][0] / whole for code, name in font.getBestCmap().items()}


def printable(text: str) -> str:
    """Clean text as the font can draw it: what it lacks in words, Arabic letters joined.

    A picture becomes its name, as ``[carrot]``. A letter of a script that the font has not becomes
    ``□``: such names print from the HTML page.
    """
    drawn = []
    for char in _joined(text):
        if char in _JOINERS:  # the letters beside it have their shapes by now
            continue
        if _has(char):
            drawn.append(char)
        elif unicodedata.category(char) == "So":
            drawn.append(f"[{unicodedata.name(char, 'picture').lower()}]")
        elif unicodedata.category(char)[0] not in ("M", "C") and char not in "🏻🏼🏽🏾🏿":
            drawn.append(_NO_GLYPH)
    return "".join(drawn)


def _has(char: str) -> bool:
    return ord(char) in _advances(False) and ord(char) in _advances(True)


@cache
def _arabic_forms() -> dict[str, dict[str, str]]:
    """Of each Arabic letter, or lam with alef, its shapes: isolated, initial, medial, final."""
    forms: dict[str, dict[str, str]] = {}
    for code in (*range(0xFB50, 0xFDF0), *range(0xFE70, 0xFEFD)):
        kind, *base = unicodedata.decomposition(chr(code)).split()[:3] or [""]
        letters = "".join(chr(int(part, 16)) for part in base)
        if letters and _has(chr(code)) and (len(letters) == 1 or letters[0] == "\u0644"):
            forms.setdefault(letters, {}).setdefault(kind.strip("<>"), chr(code))
    return forms


def _joined(text: str) -> str:
    """Arabic letters in the shapes that they take within a word.

    Notes
    -----
    The Unicode Standard, "Arabic cursive joining": a letter with an initial shape joins both
    neighbours, another only the one before it; accents between letters do not part them.
    """
    if not _ARABIC.search(text):  # spares most kitchens the table of shapes
        return text
    forms = _arabic_forms()
    shaped, before = [], False  # whether the letter before reaches out to this one
    letters = iter(enumerate(text))
    for at, char in letters:
        if unicodedata.category(char) == "Mn" or char not in forms:
            shaped.append(char)
            before = before if unicodedata.category(char) == "Mn" else char in "\u0640\u200d"
            continue
        pair = text[at : at + 2]
        letter = pair if pair in _LAM_ALEF and pair in forms else char
        if letter is pair:
            next(letters, None)
        after = next((c for c in text[at + len(letter) :] if unicodedata.category(c) != "Mn"), "")
        follows = "final" in forms.get(after, ()) or after in ("\u0640", "\u200d")
        reaches = "initial" in forms[letter]
        kinds = {
            (False, False): "isolated",
            (False, True): "initial",
            (True, False): "final",
            (True, True): "medial",
        }
        kind = kinds[before and "final" in forms[letter], reaches and follows]
        shaped.append(forms[letter].get(kind, letter))
        before = reaches
    return "".join(shaped)


def width_mm(text: str, size: float, bold: bool = False) -> float:
    """How wide a line is.

    Parameters
    ----------
    text : str
    size : float
        In points.
    bold : bool

    Returns
    -------
    float
        In mm. Letters that the font lacks are taken as wide as a Chinese one or a picture.
    """
    advances = _advances(bold)
    return sum(advances.get(ord(char), 1.3) for char in text) * size * POINT


def wrap(text: str, room: float, size: float, bold: bool = False) -> list[str]:
    """A line broken into lines that fit, long words too; a mixed number such as 8 1/2 stays whole.

    Parameters
    ----------
    text : str
        Clean.
    room : float
        In mm.
    size : float
        In points.
    bold : bool

    Returns
    -------
    list of str
        One empty line for no text.
    """
    lines, line = [], ""
    for word in re.sub(r"(\d) (\d+/\d)", "\\1\u00a0\\2", text).split(" "):
        longer = f"{line} {word}" if line else word
        if width_mm(longer, size, bold) <= room:
            line = longer
            continue
        if line:
            lines.append(line)
        *whole, line = _pieces(word, room, size, bold)
        lines += whole
    return [line.replace("\u00a0", " ") for line in (*lines, line)]


def _pieces(word: str, room: float, size: float, bold: bool) -> list[str]:
    """A word in pieces that fit; an accent stays with its letter."""
    pieces, used = [""], 0.0
    for char in word:
        wide = width_mm(char, size, bold)
        if pieces[-1] and used + wide > room and not unicodedata.combining(char):
            pieces.append("")
            used = 0.0
        pieces[-1] += char
        used += wide
    return pieces


def shorten(lines: list[str], most: int, room: float, size: float, bold: bool = False) -> list[str]:
    """The first lines, the last of them ending in ``…`` where there are more."""
    if len(lines) <= most:
        return lines
    last = lines[most - 1]
    while last and width_mm(f"{last}…", size, bold) > room:
        last = last[:-1]
    return [*lines[: most - 1], f"{last.rstrip()}…"]


def is_right_to_left(text: str) -> bool:
    """Whether a line begins on the right: its first letter with a direction says so (UAX #9)."""
    for char in text:
        direction = unicodedata.bidirectional(char)
        if direction in ("L", "R", "AL"):
            return direction != "L"
    return False
