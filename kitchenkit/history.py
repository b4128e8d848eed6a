"""Prices over time: a line for each ingredient, and what a serving cost on each day."""

from __future__ import annotations

import pandas as pd

from kitchenkit.costs import cost, read_day, say_package
from kitchenkit.errors import KitchenError
from kitchenkit.language import tr
from kitchenkit.money import measured
from kitchenkit.recipe import Recipe


def price_history(kit, ingredient: str) -> pd.DataFrame:
    """Every price that was ever noted for an ingredient.

    Parameters
    ----------
    kit : Kit
    ingredient : str

    Returns
    -------
    DataFrame
        By place, then date. Columns: ``place``, ``date``, ``package``, ``price`` and
        ``per_100g`` as bought, both `Money`.

    Raises
    ------
    KitchenError
        If it has none.
    """
    item = kit.ingredients[ingredient]
    listed = kit.prices.get(item.key, ())
    if not listed:
        raise KitchenError(
            tr("{item} has no price yet. Add one to prices.csv.", item=tr(item.name))
        )
    rows = []
    for price in sorted(listed, key=lambda price: (price.place, price.date)):
        grams = measured(price.size)
        if price.by_piece:  # a piece's weight is what can be eaten of it
            grams = grams / measured(item.edible_yield)
        rows.append(
            {
                "place": price.place,
                "date": price.date,
                "package": say_package(price.amount),
                "price": price.money,
                "per_100g": price.money * 100 / grams,
            }
        )
    return pd.DataFrame(rows)


def cost_history(kit, recipe: Recipe, days=None, **how) -> pd.DataFrame:
    """What a serving cost on each day, by the prices that were known then.

    Parameters
    ----------
    kit : Kit
    recipe : Recipe
    days : iterable of date or str, optional
        Each day on which a price of its ingredients changed, when left out.
    **how
        As for `kitchenkit.costs.cost`, without ``today``.

    Returns
    -------
    DataFrame
        Index: date. Columns: ``serving``, ``batch`` (`Money`), ``missing`` and ``stale`` (tuples).
        Days before anything had a price are left out.
    """
    if days is None:
        keys = {line.ingredient.key for line in recipe.lines}
        days = {price.date for key in keys for price in kit.prices.get(key, ()) if price.money}
    rows = []
    for day in sorted(map(read_day, days)):
        if any(_priced(kit, line.ingredient.key, day) for line in recipe.lines):
            found = cost(kit, recipe, today=day, **how)
            rows.append((day, found.serving, found.batch, found.missing, found.stale))
    columns = ["date", "serving", "batch", "missing", "stale"]
    return pd.DataFrame(rows, columns=columns).set_index("date")


def _priced(kit, key: str, day) -> bool:
    return any(price.date <= day for price in kit.prices.get(key, ()))
