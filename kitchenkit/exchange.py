"""Recipes out to other programs and in from them, as text; importing runs and writes nothing."""

from __future__ import annotations

import itertools
import re
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import tomlkit

from kitchenkit.amounts import write_density, write_measure, write_number
from kitchenkit.errors import DataError, KitchenError, MeasureError, brief
from kitchenkit.ingredient_lines import MOST_LINES, read_ingredient_line
from kitchenkit.language import tr
from kitchenkit.markdown import read_page, write_page
from kitchenkit.naming import file_name
from kitchenkit.recipe import Line, Recipe
from kitchenkit.recipe_files import read_toml, recipe_of
from kitchenkit.saving import save
from kitchenkit.schema_org import read_linked_data, write_linked_data
from kitchenkit.spreadsheet import read_table_of_recipe, write_table
from kitchenkit.tables import Table, is_key
from kitchenkit.tabletext import decode, line_of
from kitchenkit.units import read_number

# How a recipe can be written -> the endings of such files, the usual one first.
ENDINGS = {
    "json-ld": (".jsonld", ".json"),
    "csv": (".csv",),
    "markdown": (".md", ".markdown"),
    "toml": (".toml",),
}
_LARGEST = 1_000_000  # bytes; a recipe is a thousand times smaller
_LONGEST = {"name": 200, "serving": 200, "note": 2000}
_LONGEST_WORD = 500
# Control characters but tab and line ends, and halves of letters.
_NO_TEXT = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\ud800-\udfff]")


def _amount(line: Line) -> str:
    """A line's amount in full; eggs are called eggs."""
    written = write_measure(line.amount)
    if line.role == "egg" and written.endswith(" each"):
        return written.removesuffix("each") + ("egg" if line.amount.magnitude <= 1 else "eggs")
    return written


def _must_be_on_the_shelf(line: Line) -> None:
    """Refuse what was squeezed: it has the key of the whole thing, and no file knows its name."""
    item = line.ingredient
    if item.name.endswith(", squeezed") and "squeezed" not in item.key:
        raise KitchenError(
            tr(
                "{ingredient} cannot be written to a file, which knows only what ingredients.csv "
                "holds: add it there as an ingredient of its own and use that, or leave the "
                "squeezing out.",
                ingredient=brief(tr(item.name)),
            )
        )


def _entry(recipe: Recipe) -> dict[str, Any]:
    """A recipe in plain words and numbers, in the shape of a recipe file."""
    for line in recipe.lines:
        _must_be_on_the_shelf(line)
    servings = write_number(recipe.servings)
    entry = {
        "name": recipe.name,
        "servings": float(servings) if "." in servings else int(servings),
        "serving": recipe.serving,
        "source": recipe.source,
    }
    if recipe.note:
        entry["note"] = recipe.note
    if recipe.density_kg_m3 is not None:
        density = write_density(recipe.density_kg_m3)
        entry["batter"] = {"density": density, "basis": recipe.density_basis}
    entry["ingredients"] = [
        {"ingredient": line.ingredient.name, "amount": _amount(line)}
        | ({"note": line.note} if line.note else {})
        for line in recipe.lines
    ]
    return entry


def recipe_toml(recipe: Recipe) -> str:
    """A recipe as a file of the data folder, ``recipes/KEY.toml``.

    Parameters
    ----------
    recipe : Recipe
        Its amounts as they are; a scaled recipe becomes a recipe of that size.

    Returns
    -------
    str
        What opening a kit reads as the same recipe. Comments of an older file are not in it, nor
        when a line goes in: a swirl is a line like the others.

    Raises
    ------
    KitchenError
        If its words cannot stand in a text file, such as half a letter, or an ingredient was
        squeezed and so is not in ingredients.csv as it is here.
    """
    entry = _entry(recipe)
    written = tomlkit.document()
    for name, value in entry.items():
        if name == "ingredients":
            lines = tomlkit.aot()
            for line in value:
                lines.append(tomlkit.item(line))
            written[name] = lines
        else:
            written[name] = value
    return _readable(tomlkit.dumps(written))


def _readable(written: str) -> str:
    """The same text, if a file of it can be read again."""
    try:
        decode(written.encode("utf-8"))
    except MeasureError as error:
        raise KitchenError(
            tr("This recipe cannot be written to a file. {why}", why=error)
        ) from None
    except UnicodeEncodeError as error:
        raise KitchenError(
            tr(
                "This recipe holds half a letter, {letter}. Write that word again.",
                letter=repr(written[error.start]),
            )
        ) from None
    return written


def recipe_text(recipe: Recipe, form: str = "json-ld") -> str:
    """A recipe in one of four forms, each of which `read_recipe` reads as the same recipe.

    Parameters
    ----------
    recipe : Recipe
        Its amounts as they are; a scaled recipe becomes a recipe of that size. When a line goes
        in is not written: a swirl is a line like the others.
    form : {"json-ld", "csv", "markdown", "toml"}
        schema.org's Recipe in JSON-LD; a table for a spreadsheet, where a cell that it would run
        is led by a single quote; a page to read; a file of the data folder.

    Returns
    -------
    str

    Raises
    ------
    KitchenError
        If there is no such form, if the recipe's words are too long or cannot stand in a file, or
        if an ingredient was squeezed and so is not in ingredients.csv as it is here.
    """
    _must_be(form)
    entry = _entry(recipe) | {"key": recipe.key}
    told = Table(recipe.key)
    _check_words(told, entry)
    if told.faults:
        raise DataError(told.faults)
    if form == "toml":
        return recipe_toml(recipe)
    if form == "json-ld":
        return _readable(write_linked_data(recipe, entry))
    return _readable(write_table(entry) if form == "csv" else write_page(entry))


def write_recipe(recipe: Recipe, path, form: str | None = None) -> Path:
    """Save a recipe to a file, whole or not at all.

    Parameters
    ----------
    recipe : Recipe
    path : str or Path
        A file, or a folder, which gets a file named after the recipe.
    form : {"json-ld", "csv", "markdown", "toml"}, optional
        The file's ending says it when left out.

    Returns
    -------
    Path
        The file.

    Raises
    ------
    KitchenError
        As for `recipe_text`, and if the file cannot be saved.
    """
    path = Path(path)
    if path.is_dir():
        _must_be(form)
        path = path / (file_name(recipe.name) + ENDINGS[form][0])
    form = form or _form_of(path)
    written = recipe_text(recipe, form)
    # The mark tells spreadsheets that the letters are UTF-8.
    save(path, written.encode("utf-8-sig" if form == "csv" else "utf-8"))
    return path


def read_recipe(
    kit,
    given: str | bytes | Path,
    form: str | None = None,
    *,
    name: str | None = None,
    servings: float | None = None,
    source: str | None = None,
    settled: Mapping[str, str] | None = None,
) -> Recipe:
    """Read a recipe that was exported here, or one from elsewhere, against a kit's ingredients.

    Parameters
    ----------
    kit : Kit
    given : str, bytes or Path
        The text, the bytes of a file, or where the file is.
    form : {"json-ld", "csv", "markdown", "toml"}, optional
        The file's ending says it when left out.
    name : str, optional
        What to call it; in JSON-LD of several recipes, which one.
    servings : float, optional
        How many it makes, where the text does not say one number.
    source : str, optional
        A key of the kit's sources: where the recipe comes from.
    settled : mapping of str to str, optional
        What to read in the place of a line of words, or of an ingredient's name or amount where
        the text has a cell for each; an empty text leaves the line out.

    Returns
    -------
    Recipe
        Whole and checked as a file of the data folder is. Steps, pictures, times, nutrition and
        claims of diet are no part of it and stay behind: read every label.

    Raises
    ------
    DataError
        One error with every line that could not be read, and its mend. Nothing is guessed, and
        nothing half-read comes back.
    KitchenError
        If there is no such form, or the file cannot be read.

    Examples
    --------
    >>> from kitchenkit import open_kit
    >>> page = "# Flatbread" + chr(10) + "Makes 4" + chr(10) + "## Ingredients"
    >>> page += chr(10) + "- 2 cups flour, spooned" + chr(10) + "- 3/4 cup water"
    >>> read = read_recipe(open_kit(), page, "markdown", source="lantern-street")
    >>> [line.ingredient.name for line in read.lines], read.servings
    (['all-purpose flour', 'water'], 4.0)
    """
    label, stem = "the text", ""
    if isinstance(given, Path):
        label, stem, form = given.name, given.stem, form or _form_of(given)
        given = _bytes_of(given)
    _must_be(form)
    table = Table(label)
    entry = _entry_of(table, kit, given, form, name, servings, settled or {})
    if not entry and table.faults:
        raise _error(table)
    for part, value in (("name", name), ("servings", servings), ("source", source)):
        if value is not None:
            entry[part] = value
        elif part not in entry:
            table.fault("the top", part, "nothing", f"The text does not say it. Give {part}=.")
            entry[part] = 1 if part == "servings" else "?"
    key = entry.pop("key", stem)
    if not (is_key(key) and len(key) <= 60):
        key = file_name(str(entry["name"]))
    _check_words(table, entry)
    recipe = recipe_of(table, key, entry, kit.ingredients, kit.sources)
    if table.faults:
        raise _error(table)
    return recipe


def _error(table: Table) -> DataError:
    """Every fault, or as many as a recipe can have lines; a wrong file has one on each line."""
    more = len(table.faults) - MOST_LINES
    if more > 0:
        del table.faults[MOST_LINES:]
        table.fault("the rest", "-", f"{more:,} more", "Mend these, or see if the file is right.")
    return DataError(table.faults)


def _must_be(form: str | None) -> None:
    if form not in ENDINGS:
        raise KitchenError(f"The form {form!r} is not known. Choose one of: {', '.join(ENDINGS)}.")


def _form_of(path: Path) -> str:
    for form, endings in ENDINGS.items():
        if path.suffix.lower() in endings:
            return form
    known = ", ".join(ending for endings in ENDINGS.values() for ending in endings)
    raise KitchenError(
        f"{path.name!r} does not say what it holds. End its name in one of: {known}."
    )


def _bytes_of(path: Path) -> bytes:
    try:
        if not path.is_file():
            raise KitchenError(f"{path.name!r} is no file. Choose the file that holds the recipe.")
        with path.open("rb") as file:
            return file.read(_LARGEST + 1)
    except (OSError, ValueError) as error:
        if isinstance(error, KitchenError):
            raise
        raise KitchenError(f"{path.name!r} cannot be read. Choose a file that opens.") from None


def _entry_of(
    table: Table,
    kit,
    given: str | bytes,
    form: str,
    name: str | None,
    servings: float | None,
    settled: Mapping[str, str],
) -> dict[str, Any]:
    """What the text holds, in the shape of a recipe file; faults are told."""
    if not isinstance(given, str | bytes | bytearray | memoryview):
        raise KitchenError(f"{given!r:.60} is no text. Give text, bytes, or a Path to a file.")
    try:
        raw = given.encode("utf-8") if isinstance(given, str) else bytes(given)
    except UnicodeEncodeError:
        table.fault("the text", "-", "half a letter", "Copy the text again, whole.")
        return {}
    if len(raw) > _LARGEST:
        table.fault("the text", "-", f"{len(raw):,} bytes", "That is far too large for a recipe.")
        return {}
    if form == "toml":
        return _settle(read_toml(table, raw, table.file, "recipe") or {}, settled)
    try:
        text = decode(raw)
    except MeasureError as error:
        table.fault(line_of(str(error)), "-", table.file, str(error))
        return {}

    seen = itertools.count(1)

    def read_line(where: str, words: str):
        words = settled.get(words, words)
        if not words or next(seen) > MOST_LINES + 1:
            return None
        try:
            return read_ingredient_line(words, kit.ingredients)
        except MeasureError as error:
            table.fault(where, "ingredient", words, str(error))
            return None

    def read_yield(where: str, words: str):
        words = settled.get(words, words)
        try:
            return _read_yield(words)
        except MeasureError as error:
            if servings is None:
                table.fault(where, "servings", words, f"{error} Or give servings=.")
                return {"servings": 1}
            return {}

    if form == "json-ld":
        entry = read_linked_data(table, text, kit.ingredients, read_line, read_yield, name)
    elif form == "csv":
        entry = read_table_of_recipe(table, text, read_line)
        if next(seen) == 1:  # no line of words: a table of ours, with a cell for each part
            entry = _settle(entry, settled)
    else:
        entry = read_page(table, text, read_line, read_yield)
    if "ingredients" in entry:
        entry["ingredients"] = [line for line in entry["ingredients"] if line is not None]
    return entry


def _settle(entry: dict[str, Any], settled: Mapping[str, str]) -> dict[str, Any]:
    """An entry with what is settled in the place of names and amounts."""
    lines = entry.get("ingredients")
    if not settled or not isinstance(lines, list):
        return entry

    def new(line: dict, part: str):
        held = line.get(part)
        return settled.get(held, held) if isinstance(held, str) else held

    kept = []
    for line in lines:
        if isinstance(line, dict):
            line = {part: new(line, part) if part != "note" else line[part] for part in line}
            if "" in (line.get("ingredient"), line.get("amount")):
                continue
        kept.append(line)
    return entry | {"ingredients": kept}


def _read_yield(words: str) -> dict[str, Any]:
    """How many a recipe makes, and of what, from words such as ``12 muffins``."""
    numbers = list(re.finditer(r"\d+ \d+/\d+|\d+/\d+|\d+(?:[.,]\d+)*", words))
    if len(numbers) != 1:
        raise MeasureError("Write one number, like 12 muffins.")
    made = {"servings": read_number(numbers[0][0])}
    of_what = words[numbers[0].end() :].strip(" .:*_")
    if of_what and not re.fullmatch(r"(servings?|portions?|people|persons?)", of_what, re.I):
        made["serving"] = of_what
    return made


def _check_words(table: Table, entry: dict[str, Any]) -> None:
    """Faults for words that are too long or hold what is no letter, and for too many lines."""
    lines = entry.get("ingredients", [])
    lines = lines if isinstance(lines, list) else []
    if len(lines) > MOST_LINES:
        mend = f"A recipe has at most {MOST_LINES} ingredients. Split it."
        table.fault("the end", "ingredients", f"{len(lines)} lines", mend)
    places = [("the top", part, value) for part, value in entry.items()]
    places += [
        (f"ingredient {n}", part, value)
        for n, line in enumerate(lines[:MOST_LINES], 1)
        if isinstance(line, dict)
        for part, value in line.items()
    ]
    for where, part, value in places:
        if not isinstance(value, str):
            continue
        longest = _LONGEST.get(part, _LONGEST_WORD)
        if len(value) > longest:
            table.fault(where, part, value, f"Too long. Write at most {longest:,} letters.")
        elif found := _NO_TEXT.search(value):
            mend = f"It holds a hidden control character after {value[: found.start()][-12:]!r}."
            table.fault(where, part, value, f"{mend} Take it out.")
