"""Input spoilt by chance, the same for the same number."""

from __future__ import annotations

import random

# What reading stumbles over: signs of each form, odd numbers, odd letters, markup, paths.
_PIECES = [
    *("", " ", "\n", "\r\n", "\r", "\t", "\x00", "\x1b[31m", "\x85", "\u2028", "\ufeff", "\u202e"),
    *(",", ";", '"', '""', "'", "=", "|", "#", "---", "```", "[", "]", "{", "}", "[[", "\\", "\\u"),
    *("0", "-1", "1e309", "-0.0", "nan", "inf", "1/0", "0/0", "1 1/2", "½", "1⁄2", "²", "٣", "Ⅷ"),
    *("1,5", "1.250,5", "1'000", "9" * 40, "1e-400", "0x10", "1_000", "−2", "–", "‐", "10**9"),
    *("cup", "cups", "tbsp", "T", "g", "kg", "oz", "each", "stick", "°F", "degC", "gas mark", "%"),
    *("$", "€", "¢", "USD", "XXX", "free", "2026-11-25", "2026-02-30", "0000-00-00", "99999-1-1"),
    *(
        "true",
        "null",
        "[]",
        "{}",
        '{"@id": "x"}',
        "@context",
        "@graph",
        "@type",
        "recipeIngredient",
    ),
    *("ingredients", "name", "source", "lantern-street", "rolled-oats", "key", "__proto__"),
    *("<script>", "&amp;", "<!--", "=1+1", "@SUM(1)", "../../x", "/etc/hosts", "CON", "~", "%00"),
    *("é", "ß", "İ", "ﬀ", "e\u0301", "\U0001f9c1", "\ud800", "ﷺ", "a" * 300, "(" * 60, "[" * 3000),
]


def spoil(chance: random.Random, raw: bytes, others: list[bytes]) -> bytes:
    """A few chance changes to some bytes.

    Parameters
    ----------
    chance : random.Random
    raw : bytes
    others : list of bytes
        Of the same kind; parts of them may come in.

    Returns
    -------
    bytes
        At most a million.
    """
    data = bytearray(raw)
    for _ in range(chance.choice((1, 1, 1, 2, 3, 8))):
        at = chance.randrange(len(data) + 1)
        upto = min(len(data), at + chance.choice((0, 1, 1, 4, 30, 400)))
        way = chance.randrange(10)
        if way < 4:
            data[at:upto] = _piece(chance)
        elif way == 4:
            data[at:at] = data[at:upto] * chance.choice((1, 2, 50, 2000))
        elif way == 5:
            data[at:upto] = bytes(chance.randrange(256) for _ in range(chance.randrange(4)))
        elif way == 6:
            other = chance.choice(others)
            start = chance.randrange(len(other) + 1)
            data[at:upto] = other[start : start + chance.choice((5, 50, 5000))]
        elif way == 7:
            lines = bytes(data).split(b"\n")
            one, two = chance.randrange(len(lines)), chance.randrange(len(lines))
            lines[one], lines[two] = lines[two], lines[one]
            data = bytearray(b"\n".join(lines))
        elif way == 8:
            del data[at : len(data) if chance.random() < 0.1 else upto]
        else:
            data = bytearray(_recoded(chance, bytes(data)))
        del data[1_000_000:]
    return bytes(data)


def _piece(chance: random.Random) -> bytes:
    return chance.choice(_PIECES).encode("utf-8", "surrogatepass")


def _recoded(chance: random.Random, data: bytes) -> bytes:
    """As another program would save it."""
    code = chance.choice(("utf-8-sig", "utf-16", "utf-16-le", "cp1252", "latin-1"))
    return data.decode("utf-8", "replace").encode(code, "replace")
