"""A recipe in the words of schema.org, the open vocabulary that web pages share recipes in."""

from __future__ import annotations

import json
import math
import re
from collections import deque
from collections.abc import Callable
from typing import Any

from kitchenkit.amounts import METRIC, WORDS, parts, write_density, write_measure, write_number
from kitchenkit.errors import KitchenError, MeasureError
from kitchenkit.ingredient_lines import MOST_LINES
from kitchenkit.recipe import Line, Recipe
from kitchenkit.saying import say_measure
from kitchenkit.shelf import Shelf
from kitchenkit.tables import Table
from kitchenkit.units import read_measure

# UN/CEFACT Recommendation 20, common codes (read in a transcription), which schema.org's unitCode
# takes. A pinch, a dash, a stick and a metric cup have none, so each unit is in words too.
UNIT_CODES = {
    "each": "H87",
    "cup": "G21",
    "tablespoon": "G24",
    "teaspoon": "G25",
    "fluid_ounce": "OZA",
    "pint": "PTL",
    "quart": "QTL",
    "gallon": "GLL",
    "imperial_fluid_ounce": "OZI",
    "imperial_pint": "PTI",
    "milliliter": "MLT",
    "centiliter": "CLT",
    "deciliter": "DLT",
    "liter": "LTR",
    "gram": "GRM",
    "kilogram": "KGM",
    "milligram": "MGM",
    "ounce": "ONZ",
    "pound": "LBR",
}
_DENSITY_CODE = "KMQ"  # kilogram per cubic metre
_PLACES = ("http://schema.org/", "https://schema.org/", "schema:")
_DEEPEST = 50
_LONGEST_NUMBER = 30  # digits
# Amounts that a cook can measure as they are: fractions, and a few decimals of a metric unit.
_SHORT = re.compile(r"(\d+|\d+ \d+/\d+|\d+/\d+) .+")
_SHORT_METRIC = re.compile(r"(\d+|\d+\.\d{1,2}) .+")


def write_linked_data(recipe: Recipe, entry: dict[str, Any]) -> str:
    """A recipe as JSON-LD.

    Parameters
    ----------
    recipe : Recipe
    entry : dict
        The same as `recipe_of` takes it, and its ``key``.

    Returns
    -------
    str
        ``recipeIngredient`` in words for every reader; each ``supply`` with its exact amount for
        those that calculate. No ``nutrition``: the kit has no figures for a serving as eaten, and
        such a block reads as a label. No ``suitableForDiet``: only labels can tell. ``<``, ``>``
        and ``&`` are written by their numbers, so that the text may stand inside a web page.
    """
    made = {
        "@type": "QuantitativeValue",
        "value": entry["servings"],
        "unitText": recipe.serving,
    }
    if recipe.density_kg_m3 is not None:
        made["additionalProperty"] = {
            "@type": "PropertyValue",
            "name": "density of the raw batter",
            "value": _whole(recipe.density_kg_m3),
            "unitCode": _DENSITY_CODE,
            "unitText": "kg/m³",
            "measurementTechnique": recipe.density_basis,
        }
    data = {
        "@context": "https://schema.org",
        "@type": "Recipe",
        "name": recipe.name,
        "identifier": entry["key"],
        "description": recipe.note,
        "recipeYield": [f"{write_number(entry['servings'])} servings", made],
        "recipeIngredient": [_in_words(line) for line in recipe.lines],
        "supply": [_supply(n, line) for n, line in enumerate(recipe.lines, 1)],
        "citation": {"@type": "CreativeWork", "identifier": recipe.source},
    }
    if not recipe.note:
        del data["description"]
    if not recipe.source:
        del data["citation"]
    written = json.dumps(data, ensure_ascii=False, allow_nan=False, indent=2)
    for char in "<>&":
        written = written.replace(char, f"\\u{ord(char):04x}")
    return written + "\n"


def _supply(n: int, line: Line) -> dict[str, Any]:
    size, unit = parts(line.amount)
    amount = {"@type": "QuantitativeValue", "value": _whole(size), "unitText": WORDS[unit][0]}
    if unit in UNIT_CODES:
        amount["unitCode"] = UNIT_CODES[unit]
    made = {
        "@type": "HowToSupply",
        "position": n,
        "identifier": line.ingredient.key,
        "name": line.ingredient.name,
        "requiredQuantity": amount,
    }
    return made | ({"description": line.note} if line.note else {})


def _whole(size: float) -> float | int:
    return int(size) if size == int(size) else size


def _in_words(line: Line) -> str:
    """A line as people read it; an amount with many decimals is rounded to real tools."""
    size, unit = parts(line.amount)
    name, fits = line.ingredient.name, _SHORT_METRIC if unit in METRIC else _SHORT
    short = fits.fullmatch(write_measure(line.amount))
    if short:
        amount = short[1] if unit == "each" else short[0]
    elif line.amount.check("[volume]"):
        amount = say_measure(line.amount, "metric" if unit in METRIC else "us")
    else:
        amount = say_measure(line.weight, "scale")
    if short and line.role == "egg" and unit == "each" and size > 1:
        name += "s"
    return f"{amount} {name}" + (f", {line.note}" if line.note else "")


# Reading ---------------------------------------------------------------------------------------


def read_linked_data(
    table: Table,
    text: str,
    ingredients: Shelf,
    read_line: Callable,
    read_yield: Callable,
    name: str | None,
) -> dict[str, Any]:
    """The entry of the one recipe in JSON-LD, ours or any site's.

    Parameters
    ----------
    table : Table
        Takes the faults.
    text : str
    ingredients : Shelf
    read_line, read_yield : callable
        Read (where it stands, words), or tell a fault: an ingredient, and what the recipe makes.
    name : str or None
        Which recipe, where there are several.

    Returns
    -------
    dict
        An exact amount is taken from ``supply`` only where the words beside it say the same;
        otherwise the words count.
    """
    node = _the_recipe(table, _load(table, text), name)
    if node is None:
        return {}
    entry: dict[str, Any] = {
        part: word
        for part, key in (("name", "name"), ("note", "description"), ("key", "identifier"))
        if (word := _word(node.get(key)))
    }
    if source := _word(_short_keys(node.get("citation")).get("identifier")):
        entry["source"] = source
    exact = [made for made in map(_short_keys, _list(node.get("recipeYield"))) if "value" in made]
    if exact:
        entry |= _yield(exact[0])
    else:
        said = next(filter(None, map(_word, _list(node.get("recipeYield")))), "")
        entry |= read_yield("recipeYield", said) if said else {}
    words = _list(node.get("recipeIngredient", node.get("ingredients")))
    supplies = _supplies(node, ingredients)
    entry["ingredients"] = []
    for n, item in enumerate(words, 1):
        where = f"ingredient {n}"
        line = _word(item)
        if line is None:
            table.fault(where, "recipeIngredient", str(item)[:60], "Write it as a line of words.")
            continue
        supply = supplies.get(n)
        if supply and _in_words(supply) == line:
            made = {
                "ingredient": supply.ingredient.name,
                "amount": write_measure(supply.amount),
                "note": supply.note,
            }
            entry["ingredients"].append({key: value for key, value in made.items() if value})
        else:
            entry["ingredients"].append(read_line(where, line))
    return entry


def _load(table: Table, text: str):
    """JSON without what JSON-LD does not allow or what no recipe needs; None with a fault."""
    try:
        data = json.loads(
            text,
            object_pairs_hook=_once,
            parse_constant=_no_number,
            parse_int=_number(int),
            parse_float=_number(float),
        )
        _not_deep(data)
    except json.JSONDecodeError as error:
        mend = "Here it stops being JSON. Export it again, whole."
        table.fault(f"row {error.lineno}", "-", error.msg, mend)
    except KitchenError as error:
        table.fault("the text", "-", "JSON", str(error))
    except RecursionError:
        table.fault("the text", "-", "JSON", "It is nested too deep for a recipe.")
    else:
        return data
    return None


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    made: dict[str, Any] = {}
    for name, value in pairs:
        if name in made:
            raise MeasureError(f"{name[:40]!r} stands twice in one place. Keep one of the two.")
        made[name] = value
    return made


def _no_number(word: str):
    raise MeasureError(f"{word} is no number. Write one.")


def _number(kind: type) -> Callable:
    def read(digits: str):
        value = kind(digits) if len(digits) <= _LONGEST_NUMBER else math.inf
        if not math.isfinite(value):
            raise MeasureError(f"{digits[:20]}... is too large a number for a recipe.")
        return value

    return read


def _not_deep(data) -> None:
    layer = [data]
    for _ in range(_DEEPEST):
        layer = [
            child
            for node in layer
            if isinstance(node, list | dict)
            for child in (node.values() if isinstance(node, dict) else node)
        ]
    if layer:
        raise MeasureError("It is nested too deep for a recipe.")


def _the_recipe(table: Table, data, name: str | None) -> dict[str, Any] | None:
    """The one node that is a recipe: at the top, in a list or in a graph."""
    if table.faults:
        return None
    found, todo = [], deque([data])
    while todo:
        node = todo.popleft()
        if isinstance(node, list):
            todo.extendleft(reversed(node))
        elif isinstance(node, dict):
            node = _short_keys(node)
            if "Recipe" in {_short(kind) for kind in _list(node.get("@type", node.get("type")))}:
                found.append(node)
            todo.extendleft(reversed(_list(node.get("@graph"))))
    chosen = found
    if len(found) > 1 and name is not None:
        chosen = [node for node in found if _word(node.get("name")) == name]
    if len(chosen) == 1:
        return chosen[0]
    if not found:
        table.fault("the text", "@type", "nothing", "It holds no recipe of schema.org's.")
        return None
    names = ", ".join(str(_word(node.get("name")))[:40] for node in found[:10])
    table.fault("the text", "name", names, f"It holds {len(found)} recipes. Say which by name=.")
    return None


def _short(name):
    """A term without its place, whatever way it is written."""
    for place in _PLACES if isinstance(name, str) else ():
        name = name.removeprefix(place)
    return name if isinstance(name, str) else None


def _short_keys(node) -> dict[str, Any]:
    if isinstance(node, list) and len(node) == 1:
        node = node[0]
    return {_short(key): value for key, value in node.items()} if isinstance(node, dict) else {}


def _list(value) -> list:
    return value if isinstance(value, list) else [] if value is None else [value]


def _word(value) -> str | None:
    """Text, from a string, a number, or JSON-LD's longer ways of writing one."""
    if isinstance(value, list) and value:
        value = value[0]
    if isinstance(value, dict):
        value = value.get("@value")
    if isinstance(value, int | float) and not isinstance(value, bool) and value >= 0:
        return write_number(value)
    return value if isinstance(value, str) else None


def _size(value) -> float | None:
    value = value.get("@value") if isinstance(value, dict) else value
    if isinstance(value, int | float) and not isinstance(value, bool) and value >= 0:
        return float(value)
    return None


def _yield(made: dict[str, Any]) -> dict[str, Any]:
    entry: dict[str, Any] = {"servings": _size(made["value"])}
    if (serving := _word(made.get("unitText"))) is not None:
        entry["serving"] = serving
    batter = _short_keys(made.get("additionalProperty"))
    density = _size(batter.get("value"))
    if batter.get("unitCode") == _DENSITY_CODE and density is not None:
        basis = _word(batter.get("measurementTechnique"))
        entry["batter"] = {"density": write_density(density), "basis": basis or "stated"}
    return {key: value for key, value in entry.items() if value is not None}


def _supplies(node: dict[str, Any], ingredients: Shelf) -> dict[int, Line]:
    """The exact lines by their place; what is not whole or not ours is left to the words."""
    unit_of = {words[0]: unit for unit, words in WORDS.items()}
    found = {}
    for supply in map(_short_keys, _list(node.get("supply"))[:MOST_LINES]):
        amount = _short_keys(supply.get("requiredQuantity"))
        size, unit = _size(amount.get("value")), _word(amount.get("unitText"))
        item = ingredients.get(_word(supply.get("identifier")))
        place = supply.get("position")
        if size and unit in unit_of and item is not None and isinstance(place, int):
            try:
                line = Line(item, read_measure(f"{write_number(size)} {unit}"))
                _in_words(line)
            except KitchenError:
                continue
            found[place] = Line(item, line.amount, _word(supply.get("description")) or "")
    return found
