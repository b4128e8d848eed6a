"""One unit registry for the whole kit, and the reading of amounts as cooks write them."""

from __future__ import annotations

import math
import re
import unicodedata
from functools import cache, lru_cache

import pint

from kitchenkit.errors import MeasureError, VagueError, brief
from kitchenkit.language import as_written, mark, tr

# pint's own cup, tablespoon and teaspoon are the US customary ones of NIST SP 430. Its cup is
# defined once more because pint would write it "cp".
_KITCHEN_UNITS = """
each = [count]
cup = pint / 2 = _
stick = 0.5 * cup
dash = teaspoon / 8
pinch = teaspoon / 16
metric_cup = 250 * milliliter
""".strip().splitlines()


@cache
def registry() -> pint.UnitRegistry:
    """The one registry, made on first use; pint keeps its parsed definitions on disk."""
    made = pint.UnitRegistry(
        autoconvert_offset_to_baseunit=True, cache_folder=":auto:", on_redefinition="ignore"
    )
    for line in _KITCHEN_UNITS:
        made.define(line)
    return made


@cache
def unit(name: str) -> pint.Unit:
    """A unit of the registry; kept, because reading its name anew is slow enough to feel."""
    return registry().Unit(name)


def Q(value, name: str | None = None) -> pint.Quantity:  # noqa: N802 - the field's customary name
    """A quantity of the kit's registry, e.g. ``Q(2, "cup")``."""
    return registry().Quantity(value, unit(name) if name is not None else None)


# What a cook writes, in English or Spanish whatever language the kit speaks -> the registry's unit.
# Case only matters for T and t, handled in _unit().
_SPELLINGS = {
    "each": (
        "each ea piece pieces pc pcs whole egg eggs "
        "pieza piezas pza pzas unidad unidades huevo huevos"
    ),
    "cup": "cup cups c taza tazas",
    "tablespoon": "tbsp tbsps tbs tbls tblsp tablespoon tablespoons cda cdas cucharada cucharadas",
    "teaspoon": "tsp tsps teaspoon teaspoons cdta cdtas cdita cditas cucharadita cucharaditas",
    "stick": "stick sticks barra barras",
    "dash": "dash dashes",
    "pinch": "pinch pinches pizca pizcas",
    "metric_cup": "metric_cup metric_cups",
    "fluid_ounce": "floz fl_oz fluid_ounce fluid_ounces",
    "pint": "pint pints pt pinta pintas",
    "quart": "quart quarts qt cuarto cuartos",
    "gallon": "gallon gallons gal galón galon galones",
    "imperial_fluid_ounce": "imperial_fl_oz imperial_fluid_ounce imperial_fluid_ounces",
    "imperial_pint": "imperial_pint imperial_pints",
    "milliliter": "ml milliliter milliliters millilitre millilitres mililitro mililitros",
    "centiliter": "cl centiliter centiliters centilitre centilitres centilitro centilitros",
    "deciliter": "dl deciliter deciliters decilitre decilitres decilitro decilitros",
    "liter": "l liter liters litre litres litro litros",
    "gram": "g gr gm gram grams gramme grammes gramo gramos",
    "kilogram": "kg kgs kilo kilos kilogram kilograms kilogramo kilogramos",
    "milligram": "mg milligram milligrams miligramo miligramos",
    "ounce": "oz ounce ounces onza onzas",
    "pound": "lb lbs pound pounds libra libras",
    "inch": 'in inch inches " pulgada pulgadas pulg',
    "foot": "ft foot feet pie pies",
    "centimeter": (
        "cm centimeter centimeters centimetre centimetres "
        "centímetro centímetros centimetro centimetros"
    ),
    "millimeter": (
        "mm millimeter millimeters millimetre millimetres milímetro milímetros milimetro milimetros"
    ),
    "meter": "m meter meters metre metres metro metros",
}
_UNIT_OF = {word: unit for unit, words in _SPELLINGS.items() for word in words.split()}
_TWO_WORDS = {"fl", "fluid", "metric", "imperial"}
_WORD_NUMBERS = {
    "a": 1, "an": 1, "one": 1, "two": 2, "three": 3, "four": 4, "five": 5, "six": 6, "seven": 7,
    "eight": 8, "nine": 9, "ten": 10, "eleven": 11, "twelve": 12, "dozen": 12, "half": 0.5,
    "quarter": 0.25, "third": 1 / 3,
    "un": 1, "uno": 1, "una": 1, "dos": 2, "tres": 3, "cuatro": 4, "cinco": 5, "seis": 6,
    "siete": 7, "ocho": 8, "nueve": 9, "diez": 10, "once": 11, "doce": 12, "docena": 12,
    "medio": 0.5, "media": 0.5,
}  # fmt: skip
_SILENT_WORDS = {
    "of", "level", "packed", "large", "medium", "small", "and", "plus",
    "de", "y", "más", "mas", "rasa", "rasas", "raso", "rasos", "grande", "grandes",
    "mediano", "mediana", "medianos", "medianas", "chico", "chica", "chicos", "chicas",
}  # fmt: skip
_VAGUE_WORDS = {
    "heaped", "heaping", "rounded", "scant", "generous", "about", "to", "or", "some",
    "colmada", "colmadas", "colmado", "colmados", "escasa", "escasas", "escaso", "escasos",
    "generosa", "generosas", "aproximadamente", "aprox", "casi", "unos", "unas", "o",
    "chorrito", "chorritos",
}  # fmt: skip

_NUMBER = r"""
    \d+\ \d+/\d+                       # 1 1/2
  | \d+/\d+                            # 1/2
  | \d{1,3}(?:\.\d{3})+,\d+            # 1.250,5
  | [1-9]\d{0,2}(?:[,\ ]\d{3})+(?:\.\d+)?(?![\d,/])   # 1,250.5 or 1 250
  | \d+[.,]\d+                         # 2.5 or 2,5
  | [.,]\d+                            # .5
  | \d+                                # 2
"""
_TOKEN = re.compile(rf"\s*(?:(?P<number>{_NUMBER})|(?P<word>[^\W\d]+\.?|\")|(?P<join>[+&]))", re.X)


# Spanish says the half after the unit, "2 tazas y media", and a part of one by its name.
_COUNT = rf"(?<![\d/.,])(?:\d+|{'|'.join(_WORD_NUMBERS)})"
_AND_PART = re.compile(
    rf"(?:\b(?P<count>{_COUNT}) )?(?:(?P<unit>[^\W\d]+\.?) )?y "
    r"(?P<part>medi[oa]|(?:un )?cuarto|\d+/\d+)(?=$| \+)",
    re.I,
)
_COUNT_AND_HALF = re.compile(rf"\b({_COUNT}) y medi[oa]\b", re.I)
_NAMED_PART = re.compile(rf"(?:\b({_COUNT}) )?\b(tercio|cuarto|octavo)s? de\b", re.I)
_PARTS = {"medio": "1/2", "media": "1/2", "tercio": "1/3", "cuarto": "1/4", "octavo": "1/8"}
_SPANISH_PAIRS = (
    (re.compile(r"\bonzas? l[ií]quidas?\b", re.I), "fl_oz"),
    (re.compile(r"\btazas? m[eé]tricas?\b", re.I), "metric_cup"),
)

_LONGEST = 10_000  # letters of an amount


def _must_be_short(text: str) -> None:
    """A slip of pasting is told at once, before it is read letter by letter."""
    if len(text) > _LONGEST:
        raise MeasureError(
            tr("{text} is too long for an amount. Write one like 2 1/2 cups.", text=brief(text))
        )


# Tables say the same few amounts in row after row, and are read again after every change of one.
_kept = lru_cache(maxsize=4000)


@_kept
def _tidy(text: str) -> str:
    """Fractions as 1/2 with a space before them, plain dashes and spaces."""
    tidy = " ".join((text if text.isascii() else _plain_letters(text)).split())
    tidy = re.sub(r" and (?:a |one )?half\b", " and 1/2", tidy)
    tidy = re.sub(r" and (?:a |one )?quarter\b", " and 1/4", tidy)
    tidy = re.sub(rf"^({'|'.join(_WORD_NUMBERS)}) and (?=\d+/)", _digits, tidy, flags=re.I)
    tidy = re.sub(r"(\d)(?:-| and )(\d+/\d)", r"\1 \2", tidy)  # 1-1/2, 1 and 1/2
    tidy = re.sub(r"\s*/\s*", "/", tidy)
    return _spanish(tidy) if re.search(r" y |\bde |l[ií]quida|m[eé]trica", tidy, re.I) else tidy


def _plain_letters(text: str) -> str:
    out = []
    for char in text:
        plain = unicodedata.normalize("NFKC", char)
        if unicodedata.category(char) == "No" and "\N{FRACTION SLASH}" not in plain:
            out.append(char)  # a superscript is no amount: leave it, to be refused
        elif "\N{FRACTION SLASH}" in plain and len(plain) > 1:
            out.append(" " + plain.replace("\N{FRACTION SLASH}", "/"))
        elif char in "\N{FRACTION SLASH}\N{DIVISION SLASH}":
            out.append("/")
        elif unicodedata.category(char) == "Pd" or char == "\N{MINUS SIGN}":
            out.append("-")
        else:
            out.append(plain)
    return "".join(out)


def _digits(match: re.Match) -> str:
    return f"{_count(match[1])} "


def _count(word: str | None) -> str:
    """A whole number in digits; nothing said is one."""
    return f"{_WORD_NUMBERS.get((word or 'un').lower(), word)}"


def _spanish(tidy: str) -> str:
    """The Spanish ways of saying a part, in digits before the unit."""

    def and_part(match: re.Match) -> str:
        part = match["part"].lower().removeprefix("un ")
        words = (_count(match["count"]), _PARTS.get(part, part), match["unit"] or "")
        return " ".join(words).strip()

    for pattern, word in _SPANISH_PAIRS:
        tidy = pattern.sub(word, tidy)
    tidy = _NAMED_PART.sub(lambda m: f"{_count(m[1])}{_PARTS[m[2].lower()][1:]}", tidy)
    return _COUNT_AND_HALF.sub(lambda m: f"{_count(m[1])} 1/2", _AND_PART.sub(and_part, tidy))


def read_number(text: str) -> float:
    """Read one number as people write it.

    Parameters
    ----------
    text : str
        ``"2 1/2"``, ``"2½"``, ``"1-1/2"``, ``"2.5"``, ``"2,5"`` (a decimal comma) or ``"1,250"``:
        a comma before exactly three digits groups thousands, unless the number starts with 0.
        A point never does so by itself, whatever language the kit speaks: ``"1.987"`` is a little
        less than two, also where people write a point for thousands (``"1.987,5"`` is read so).

    Returns
    -------
    float

    Raises
    ------
    MeasureError
        If it is no single, finite number, or divides by zero.
    """
    _must_be_short(text)
    if re.fullmatch(r"\d{1,9}(?:\.\d+)?", text, re.A):  # nearly every cell: spare the tidying
        return float(text)
    tidy = _tidy(text)
    sign = -1 if tidy.startswith("-") else 1
    tidy = tidy.removeprefix("-").removeprefix("+").strip()
    if not re.fullmatch(_NUMBER, tidy, re.X):
        raise MeasureError(
            tr("{text} is not a number. Write it like 2, 2.5, 2,5 or 2 1/2.", text=repr(text))
        )
    return sign * _number(tidy)


def _number(token: str) -> float:
    if "/" in token:
        *whole, fraction = token.split()
        above, below = map(float, fraction.split("/"))
        if below == 0:
            raise MeasureError(
                tr("{text} divides by zero. Write the fraction again.", text=repr(token[:20]))
            )
        value = (float(whole[0]) if whole else 0.0) + above / below
    elif re.fullmatch(r"\d{1,3}(?:\.\d{3})+,\d+", token):
        value = float(token.replace(".", "").replace(",", "."))
    elif re.fullmatch(r"[1-9]\d{0,2}(?:[, ]\d{3})+(?:\.\d+)?", token):
        value = float(token.replace(",", "").replace(" ", ""))
    else:
        value = float(token.replace(",", "."))
    if not math.isfinite(value):
        raise MeasureError(
            tr("{text}... is too large to be a kitchen amount.", text=repr(token[:20]))
        )
    return value


def read_measure(text: str) -> pint.Quantity:
    """Read an amount as a cook writes it.

    Parameters
    ----------
    text : str
        ``"2 1/2 cups"``, ``"2½ cups"``, ``"1-1/2 tsp"``, ``"1,5 kg"``, ``"1 lb 4 oz"``,
        ``"1 cup + 2 tbsp"``, ``"half a cup"``, ``"a pinch"``, ``"3 large eggs"``; a bare number
        counts pieces. Spanish is read too, whatever language the kit speaks: ``"2 tazas y media"``,
        ``"1 1/2 cdas"``, ``"media libra"``, ``"un cuarto de taza"`` (``"un cuarto"`` alone is a
        quart). Spoons and cups are US customary; ``T`` is a tablespoon, ``t`` a teaspoon. A stick
        of butter is 1/2 cup. Lengths (``"9 in"``) are read too.

    Returns
    -------
    Quantity
        In the unit written first.

    Raises
    ------
    MeasureError
        If the words are no single exact amount; says what to write instead.

    Notes
    -----
    US customary relations: NIST SP 430. A pinch as 1/16 and a dash as 1/8 teaspoon are common
    practice, no source.

    Examples
    --------
    >>> read_measure("2 1/2 cups")
    <Quantity(2.5, 'cup')>
    """
    if not isinstance(text, str):
        raise MeasureError(f"An amount is written as text like '2 1/2 cups', not {brief(text)}.")
    _must_be_short(text)
    total = None
    for number, unit in _pairs(text):
        part = Q(number, unit)
        if total is None:
            total = part
        elif total.check(part.dimensionality):
            total = total + part
        else:
            raise MeasureError(
                tr("{text} adds unlike things. Write one weight or one volume.", text=repr(text))
            )
    return total


@_kept
def _pairs(text: str) -> tuple[tuple[float, str], ...]:
    """Cut an amount into (number, unit) pairs, refusing whatever is left over."""
    tidy = _tidy(text)
    if not tidy:
        raise MeasureError(tr("The amount is empty. Write one like 2 1/2 cups or 350 g."))
    if tidy.startswith("-"):
        raise MeasureError(
            tr("{text} is below zero. Write an amount of 0 or more.", text=repr(text))
        )
    pairs, number, unit, at, held = [], None, None, 0, ""
    while at < len(tidy):
        token = _TOKEN.match(tidy, at)
        if not token:
            raise MeasureError(
                tr(
                    "{text} is not one amount: stuck at {rest}. "
                    "Write one like 2 1/2 cups, 1 lb 4 oz or 350 g.",
                    text=repr(text),
                    rest=repr(tidy[at : at + 12]),
                )
            )
        at = token.end()
        word = token["word"]
        low = word.rstrip(".").lower() if word else ""
        if token["number"] or (low in _WORD_NUMBERS and not held):
            value = _number(token["number"]) if token["number"] else _WORD_NUMBERS[low]
            if number is None or unit is not None:
                if number is not None:
                    pairs.append((number, unit))
                number, unit = value, None
            elif low in ("dozen", "docena") or {number, value} == {
                1,
                min(number, value),
            }:  # "half a", "a half"
                number *= value
            else:
                raise MeasureError(
                    tr("{text} has two numbers and no unit between. Write one.", text=repr(text))
                )
        elif token["join"] or low in _SILENT_WORDS:
            continue
        elif low in _VAGUE_WORDS:
            raise VagueError(
                tr(
                    "{text} is not exact: {word} can mean many amounts. Level it and write one.",
                    text=repr(text),
                    word=repr(low),
                )
            )
        elif low in _TWO_WORDS and not held:
            held = {"fluid": "fluid_", "fl": "fl_"}.get(low, low + "_")
        elif low in ("fl", "fluid"):
            held += low + "_"
        else:
            found = _unit(held, word)
            if found is None:
                raise MeasureError(
                    tr(
                        "{text}: {word} is not a unit the kit knows. Use g, kg, oz, lb, ml, l, "
                        "tsp, tbsp, cup, fl oz, stick, pinch or each.",
                        text=repr(text),
                        word=repr(word),
                    )
                )
            if unit is not None and not (unit == "each" or found == "each"):
                raise MeasureError(
                    tr("{text} has two units for one number. Write one of them.", text=repr(text))
                )
            unit, held = (found if unit in (None, "each") else unit), ""
            if number is None:
                raise MeasureError(
                    tr(
                        "{text} has no number before {word}. Write how many.",
                        text=repr(text),
                        word=repr(word),
                    )
                )
    if number is None or held:
        raise MeasureError(
            tr("{text} is not an amount. Write one like 2 1/2 cups or 350 g.", text=repr(text))
        )
    pairs.append((number, unit))
    return tuple((n, u or "each") for n, u in pairs)


def _unit(held: str, word: str) -> str | None:
    bare = word.rstrip(".")
    if not held and bare in ("T", "t"):
        return "tablespoon" if bare == "T" else "teaspoon"
    return _UNIT_OF.get(held + bare.lower())


# What a kind is called when it is missed, and how to write one.
_SI = {
    "length": ("meter", mark("9 in or 23 cm")),
    "mass": ("kilogram", mark("350 g or 12 oz")),
    "volume": ("meter**3", mark("900 ml or 4 cups")),
    "density": ("kilogram/meter**3", "1.02 g/ml"),
    "count": ("each", "3"),
}
_NOT_SUCH = {
    "length": mark("The {name} {value} is not a length. Write it like {example}."),
    "mass": mark("The {name} {value} is not a mass. Write it like {example}."),
    "volume": mark("The {name} {value} is not a volume. Write it like {example}."),
    "density": mark("The {name} {value} is not a density. Write it like {example}."),
    "count": mark("The {name} {value} is not a count. Write it like {example}."),
}
_NO_UNIT = mark("The {name} {value} has no unit. Write it like {example}.")
_BELOW = mark("The {name} {value} must be 0 or more. Write it like {example}.")
_BY_ZERO = mark("The {name} {value} divides by zero. Write it like {example}.")
# Units that are words; the others are symbols everywhere.
_UNIT_WORDS = {
    mark("cup"),
    mark("tbsp"),
    mark("tsp"),
    mark("pinch"),
    mark("dash"),
    mark("stick"),
    mark("each"),
    mark("in"),
    mark("ft"),
    mark("qt"),
    mark("pt"),
    mark("gal"),
    mark("fl_oz"),
}


def in_short(quantity: pint.Quantity) -> str:
    """A quantity as a message shows it: ``"9 in"``."""
    number, _, symbol = f"{quantity:~g}".partition(" ")
    shown = tr(symbol) if symbol in _UNIT_WORDS else symbol
    return f"{as_written(number)} {shown}".strip()


def si(value, kind: str, name: str) -> float:
    """The size of `value` in SI units, for inner sums.

    Parameters
    ----------
    value : Quantity or str
        A quantity, or text such as ``"700 g"``.
    kind : {"length", "mass", "volume", "density", "count"}
        What it must measure: metres, kilograms, cubic metres, kg/m³ or pieces.
    name : str
        What to call it when it is wrong; the catalogue takes it from the call.

    Returns
    -------
    float

    Raises
    ------
    MeasureError
        If it is not a finite quantity of that kind, 0 or more.
    """
    if isinstance(value, str):
        return _si_of_text(value, kind, name)
    return _si_of(value, kind, name)


@_kept
def _si_of_text(text: str, kind: str, name: str) -> float:
    return _si_of(_read(text, kind, name), kind, name)


def _si_of(value, kind: str, name: str) -> float:
    si_unit = _SI[kind][0]
    if not isinstance(value, pint.Quantity):
        raise _fault(_NO_UNIT, value, kind, name)
    if value.dimensionality != unit(si_unit).dimensionality:
        raise _fault(_NOT_SUCH[kind], value, kind, name)
    size = float(value.magnitude * _in_si(value.units, si_unit))
    if not math.isfinite(size) or size < 0:
        raise _fault(_BELOW, value, kind, name)
    return size


@cache
def _in_si(of: pint.Unit, si_unit: str) -> float:
    """How many SI units one unit is; none of these scales has a zero of its own."""
    return registry().Quantity(1.0, of).m_as(unit(si_unit))


def _fault(text: str, value, kind: str, name: str) -> MeasureError:
    shown = in_short(value) if isinstance(value, pint.Quantity) else repr(value)
    return MeasureError(tr(text, name=tr(name), value=shown, example=tr(_SI[kind][1])))


def _read(text: str, kind: str, name: str) -> pint.Quantity:
    """Text of one kind, refused in that kind's own words: a ruler has no cups."""
    _must_be_short(text)
    if kind == "density":
        return _read_density(text, name)
    if kind != "length":
        return read_measure(text)
    try:
        length = read_measure(text)
    except MeasureError:
        if text.strip().startswith(("-", "\N{MINUS SIGN}")):
            raise
        length = Q(0, "each")
    if not length.check("[length]"):
        raise _fault(_NOT_SUCH[kind], text, kind, name)
    return length


def _read_density(text: str, name: str) -> pint.Quantity:
    mass, slash, volume = text.partition("/")
    if not slash:
        raise _fault(_NOT_SUCH["density"], text, "density", name)
    volume = volume if volume.strip()[:1].isdigit() else "1 " + volume
    size = read_measure(volume)
    if not size.magnitude:
        raise _fault(_BY_ZERO, text, "density", name)
    return read_measure(mass) / size
