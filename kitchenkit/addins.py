"""What add-ins do to a batter: their load, the water, sugar and fat they bring, and the limits."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import pandas as pd

from kitchenkit.ingredients import Ingredient
from kitchenkit.language import mark
from kitchenkit.recipe import Line, Recipe

_PRACTICE = "trade-practice"
_WET = 0.5  # of its weight
_PIECES = ("fruit", "vegetable", "nut", "seed", "chocolate", "cheese")
_SWEET = ("fruit", "vegetable", "chocolate")


def _grams(line: Line) -> float:
    return line.weight.m_as("g")


def _part(line: Line, name: str) -> float:
    return _grams(line) * line.ingredient.composition.get(name, 0.0)


def is_wet(item: Ingredient) -> bool:
    """Whether it gives water to a batter, being more than half water; drier things take it up.

    Parameters
    ----------
    item : Ingredient
    """
    return item.composition.get("water", 0.0) > _WET


def _is_cocoa(line: Line) -> bool:
    return line.ingredient.group == "chocolate" and "cocoa" in line.ingredient.key


def _dry_pieces(recipe: Recipe) -> float:
    return sum(
        _grams(line)
        for line in recipe.lines
        if line.ingredient.group in _PIECES and not is_wet(line.ingredient) and not _is_cocoa(line)
    )


def _wet_pieces(recipe: Recipe) -> float:
    return sum(
        _grams(x) for x in recipe.lines if x.ingredient.group in _PIECES and is_wet(x.ingredient)
    )


def _free_water(recipe: Recipe) -> float:
    return sum(_part(line, "water") for line in recipe.lines if is_wet(line.ingredient))


def _all_sugar(recipe: Recipe) -> float:
    """Sugars by weight, and carbohydrate less fibre of what is sweet by itself.

    That counts what starch a fruit still holds, so it is the most that the fruit can bring.
    """
    added = sum(_grams(line) for line in recipe.lines if line.role == "sugar")
    return added + sum(
        _part(line, "carbohydrate") - _part(line, "fibre")
        for line in recipe.lines
        if line.ingredient.group in _SWEET
    )


def _all_fat(recipe: Recipe) -> float:
    return sum(_part(line, "fat") for line in recipe.lines)


@dataclass(frozen=True)
class Rule:
    """One rule about add-ins, in grams for 100 g of flour and milled grain.

    Attributes
    ----------
    name : str
    grams : callable
        Grams of it in a recipe.
    low, high : float
        The usual range; of the shift from the base where `beside_base`.
    beside_base : bool
        Whether the difference from the base batter is judged, since the base is known to work.
    text, too_low, too_high : str
        The rule, and what to do beyond it, in plain words.
    source : str
        Key in sources.csv.
    """

    name: str
    grams: Callable[[Recipe], float]
    low: float
    high: float
    text: str
    too_low: str
    too_high: str
    beside_base: bool = False
    source: str = _PRACTICE


RULES = (
    Rule(
        mark("dry add-ins"),
        _dry_pieces,
        0,
        100,
        mark(
            "Dried fruit, nuts, seeds, chips and cheese together: up to as much as the flour by "
            "weight. Stir them in last; small pieces stay up better than large ones."
        ),
        "",
        mark(
            "The pieces outweigh the batter's hold: they sink and slices crumble. Use less, or "
            "chop them small."
        ),
    ),
    Rule(
        mark("wet fruit and vegetables"),
        _wet_pieces,
        0,
        100,
        mark(
            "Fresh fruit and vegetables, shredded or mashed: up to as much as the flour by weight."
        ),
        "",
        mark(
            "So much wet fruit bakes gummy in the middle. Use less, or squeeze it in a clean cloth."
        ),
    ),
    Rule(
        mark("water beside the base"),
        _free_water,
        -30,
        30,
        mark(
            "Water of all that is more than half water, for 100 g of flour: within 30 g of the "
            "base batter, which is known to work. Squeezing wet shreds takes out about a third of "
            "theirs."
        ),
        mark(
            "The batter loses water with what was taken out: add milk or water a spoon at a time "
            "until it drops from the spoon as the base does."
        ),
        mark(
            "The batter gains water: squeeze what is wet, leave out some milk, or add a spoon of "
            "flour at a time."
        ),
        beside_base=True,
    ),
    Rule(
        mark("sugar in all"),
        _all_sugar,
        0,
        110,
        mark(
            "Sugar, syrup and what fruit and chocolate bring of it: hardly more than the flour by "
            "weight. Fresh fruit brings about a tenth of its weight, ripe banana up to a fifth, "
            "dried fruit three quarters."
        ),
        "",
        mark("Very sweet: it browns early, sticks and may sink. Take out some of the added sugar."),
    ),
    Rule(
        mark("fat in all"),
        _all_fat,
        15,
        75,
        mark("Oil and butter, and what nuts, cheese and chocolate bring of it: 15 to 75 g."),
        mark("Lean: it will stale within a day or two. Add a spoon of oil, or wrap it well."),
        mark("Rich: it may be heavy and greasy. Take out some of the oil."),
    ),
)


def addin_checks(recipe: Recipe, base: Recipe | None = None) -> pd.DataFrame:
    """Compare a batter's add-ins with the trade's rules of thumb.

    Parameters
    ----------
    recipe : Recipe
        The batter, with what is swirled in.
    base : Recipe, optional
        The batter it was made from; without it, rules that look at the shift are left out.

    Returns
    -------
    DataFrame
        Index: rule. Columns: ``value`` and ``base`` (g for 100 g of flour; NaN without a base),
        ``low``, ``high``, ``verdict`` (usual, low or high), ``advice`` (empty when usual),
        ``text`` and ``source``. Of "water beside the base", value less base is judged.

    Raises
    ------
    KitchenError
        If a recipe has no flour.

    Notes
    -----
    All ranges are common practice, no source; water, sugar and fat are those of the composition
    table. Ranges, not laws: a bake that works is right.
    """
    both = (recipe,) if base is None else (recipe, base)
    flours = [_flour(one) for one in both]
    rows = []
    for rule in RULES:
        if rule.beside_base and base is None:
            continue
        value, *of_base = (
            100 * rule.grams(r) / flour for r, flour in zip(both, flours, strict=True)
        )
        judged = value - of_base[0] if rule.beside_base else value
        verdict = "low" if judged < rule.low else "high" if judged > rule.high else "usual"
        advice = {"low": rule.too_low, "high": rule.too_high, "usual": ""}[verdict]
        was = of_base[0] if of_base else float("nan")
        rows.append(
            (rule.name, value, was, rule.low, rule.high, verdict, advice, rule.text, rule.source)
        )
    columns = ["rule", "value", "base", "low", "high", "verdict", "advice", "text", "source"]
    return pd.DataFrame(rows, columns=columns).set_index("rule")


def _flour(recipe: Recipe) -> float:
    flour = sum(_grams(line) for line in recipe.lines if line.role == "flour")
    if not flour:
        recipe.bakers_percent()  # refuses it, in plain words
    return flour
