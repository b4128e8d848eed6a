"""Recipes out to other programs and in from them, as text; importing runs and writes nothing."""

from __future__ import annotations

from typing import Any

import tomlkit

from kitchenkit import tables
from kitchenkit.amounts import write_density, write_measure, write_number
from kitchenkit.errors import KitchenError, MeasureError
from kitchenkit.recipe import Line, Recipe


def _amount(line: Line) -> str:
    """A line's amount in full; eggs are called eggs."""
    written = write_measure(line.amount)
    if line.role == "egg" and written.endswith(" each"):
        return written.removesuffix("each") + ("egg" if line.amount.magnitude <= 1 else "eggs")
    return written


def _entry(recipe: Recipe) -> dict[str, Any]:
    """A recipe in plain words and numbers, in the shape of a recipe file."""
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
        What opening a kit reads as the same recipe. Comments of an older file are not in it.

    Raises
    ------
    KitchenError
        If its words cannot stand in a text file, such as half a letter.
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
        tables.decode(written.encode("utf-8"))
    except MeasureError as error:
        raise KitchenError(f"This recipe cannot be written to a file. {error}") from None
    except UnicodeEncodeError as error:
        raise KitchenError(
            f"This recipe holds half a letter, {written[error.start]!r}. Write that word again."
        ) from None
    return written
