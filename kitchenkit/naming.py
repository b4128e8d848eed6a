"""A file name that any computer takes, made from whatever a cook calls a thing."""

from __future__ import annotations

import re
import unicodedata
import zlib

_LONGEST = 60
# Letters that Unicode does not take apart into a plain one and a mark.
_PLAIN = str.maketrans(
    {"æ": "ae", "œ": "oe", "ø": "o", "ł": "l", "đ": "d", "ð": "d", "þ": "th", "ı": "i"}
)
# Names of devices that Windows keeps for itself, with any ending.
_DEVICE = re.compile(r"con|prn|aux|nul|(?:com|lpt)\d")


def file_name(name: str, otherwise: str = "recipe", taken=()) -> str:
    """A safe file name, without an ending, that is a key of the data folder too.

    Parameters
    ----------
    name : str
        Any text, hostile or not.
    otherwise : str
        What stands in where nothing of the name is left, and beside a name that Windows keeps for
        itself; a key.
    taken : collection of str
        Names in use; a number is put after one that is among them.

    Returns
    -------
    str
        1 to 60 of the letters a to z, digits and hyphens between them. A name without such letters
        gives `otherwise` and eight digits of its own, the same each time.

    Examples
    --------
    >>> file_name("Crème brûlée No. 2"), file_name("../con"), file_name("NUL")
    ('creme-brulee-no-2', 'con-recipe', 'nul-recipe')
    >>> file_name("Carrot loaf", taken={"carrot-loaf"})
    'carrot-loaf-2'
    """
    apart = unicodedata.normalize("NFKD", name.casefold().translate(_PLAIN))
    ascii_only = "".join(char for char in apart if not unicodedata.combining(char))
    slug = "-".join(re.findall(r"[a-z0-9]+", ascii_only.lower()))[:_LONGEST].strip("-")
    if not slug:
        slug = f"{otherwise}-{zlib.crc32(name.encode('utf-8', 'surrogatepass')):08x}"
    elif _DEVICE.fullmatch(slug):
        slug = f"{slug}-{otherwise}"
    found, n = slug, 1
    while found in taken:
        n += 1
        found = f"{slug[: _LONGEST - len(str(n)) - 1].rstrip('-')}-{n}"
    return found
