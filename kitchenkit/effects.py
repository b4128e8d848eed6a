"""What a flavour does to a bake: balance, size, minutes, cost and allergens, before and after."""

from __future__ import annotations

from dataclasses import dataclass

import pandas as pd
import pint

from kitchenkit.addins import addin_checks
from kitchenkit.allergens import AllergenList, allergens_in
from kitchenkit.baking import BakeTime, bake_time
from kitchenkit.costs import Cost, cost
from kitchenkit.flavours import Change, Flavour, Flavoured, plain_flavour
from kitchenkit.pans import Pan
from kitchenkit.ratios import check_ratios
from kitchenkit.recipe import ROLES, Recipe
from kitchenkit.units import Q

PARTS = (*ROLES, "other")


@dataclass(frozen=True)
class Effects:
    """A flavoured batter beside its base.

    Attributes
    ----------
    made : Flavoured
    pan : Pan
    count : int
        Pans or wells that the batter is shared over, the same before and after.
    servings : (float, float)
        Of the base's serving of raw batter.
    table : DataFrame
        Index: what is compared. Columns: ``unit``, ``before``, ``after``, ``difference``. The
        baker's percentages by role, then batter, finish, servings, baking time and cost.
    bakes : tuple of BakeTime
        In the pan, before and after.
    costs : tuple of (Cost or None)
        Finish included, for servings of the base's size; None where the kit has no prices.
    allergens : tuple of AllergenList
    checks : DataFrame
        As `addin_checks` gives.
    ratios : DataFrame
        As `check_ratios` gives.
    advice : tuple of str
        What the flavour stretches and what to do, the gravest first.
    """

    made: Flavoured
    pan: Pan
    count: int
    servings: tuple[float, float]
    table: pd.DataFrame
    bakes: tuple[BakeTime, BakeTime]
    costs: tuple[Cost | None, Cost | None]
    allergens: tuple[AllergenList, AllergenList]
    checks: pd.DataFrame
    ratios: pd.DataFrame
    advice: tuple[str, ...]


def flavour_effects(
    kit,
    base: Recipe,
    what: Flavour | list[Change],
    pan: Pan | None = None,
    oven="350 degF",
    *,
    place: str = "cheapest",
    today=None,
    base_cost: Cost | None = None,
) -> Effects:
    """Compare a base batter with a flavour of it.

    Parameters
    ----------
    kit : Kit
    base : Recipe
    what : Flavour or list of Change
        A flavour, or things to add from `kitchenkit.flavours.add_in`.
    pan : Pan, optional
        What it is baked in; a muffin tin of the kit when left out. The batter is shared over as
        many of it, or of its wells, as the base usually fills.
    oven : Quantity or str
    place, today
        As for `kitchenkit.cost`.
    base_cost : Cost, optional
        What the base costs, where that is known already; it is worked out when left out.

    Returns
    -------
    Effects

    Raises
    ------
    KitchenError
        If the flavour does not fit the base, or the oven or pan cannot bake it.

    Notes
    -----
    The baking time is the heat model's for the new volume; what sugar, fat, fruit and a topping
    change besides lies within its window and is not modelled. Costs are those of the whole, finish
    included, over as many servings as there are of the base's raw weight.
    """
    flavour = what if isinstance(what, Flavour) else plain_flavour(base).plus(*what)
    made = flavour.applied_to(base)
    pan = pan if pan is not None else _usual_pan(kit)
    both = (base, made.recipe)
    volumes = [one.volume.m_as("m**3") for one in both]
    count = _shared(pan, volumes)
    bakes = tuple(bake_time(pan, Q(volume / count, "m**3"), oven) for volume in volumes)
    one_serving = base.weight / base.servings
    servings = (base.servings, (made.recipe.weight / one_serving).m_as(""))
    costs = (
        base_cost or cost_of(kit, base, place=place, today=today),
        cost_of(kit, made.whole, servings[1], place=place, today=today),
    )
    checks, ratios = addin_checks(made.recipe, base), check_ratios(made.recipe)
    return Effects(
        made=made,
        pan=pan,
        count=count,
        servings=servings,
        table=_table(made, servings, bakes, costs),
        bakes=bakes,
        costs=costs,
        allergens=tuple(allergens_in(one) for one in (base, made.whole)),
        checks=checks,
        ratios=ratios,
        advice=tuple(_advice(flavour, checks, ratios)),
    )


def _usual_pan(kit) -> Pan:
    pans = list(kit.pans.values())
    return next((pan for pan in pans if pan.kind == "muffin"), pans[0])


def _shared(pan: Pan, volumes: list[float]) -> int:
    """Pans or wells: as many as the base usually fills, more if the larger batter needs them."""
    count = max(1, round(volumes[0] / pan.usual_volume.m_as("m**3")))
    most = pan.capacity_m3 * pan.fill_limits.high
    while max(volumes) / count > most:
        count += 1
    return count


def cost_of(kit, recipe: Recipe, servings=None, **asked) -> Cost | None:
    """What `kitchenkit.cost` says, or None where the kit has no prices at all.

    Parameters
    ----------
    kit, recipe, servings, **asked
        As for `kitchenkit.cost`.

    Returns
    -------
    Cost or None
    """
    return cost(kit, recipe, servings, **asked) if kit.prices else None


def by_role(recipe: Recipe) -> pd.Series:
    """Baker's percentages by role, every role in its order, 0 where the recipe has none.

    Parameters
    ----------
    recipe : Recipe

    Returns
    -------
    Series
        Percent of the flour and milled grain.

    Raises
    ------
    KitchenError
        If the recipe has no flour.
    """
    grams = dict.fromkeys(PARTS, 0.0)
    for line in recipe.lines:
        grams[line.role] += line.weight.m_as("g")
    if not grams["flour"]:
        recipe.bakers_percent()  # refuses it, in plain words
    return pd.Series(grams) * 100 / grams["flour"]


def _table(made: Flavoured, servings, bakes, costs) -> pd.DataFrame:
    base, batter = made.base, made.recipe
    parts = zip(by_role(base), by_role(batter), strict=True)
    rows = [(name, "% of flour", *pair) for name, pair in zip(PARTS, parts, strict=True)]

    def row(name: str, unit: str, before: pint.Quantity, after: pint.Quantity):
        rows.append((name, unit, before.m_as(unit), after.m_as(unit)))

    row("batter weight", "g", base.weight, batter.weight)
    row("batter volume", "ml", base.volume, batter.volume)
    row("finish", "g", Q(0, "g"), made.finish_weight())
    rows.append(("servings", "of the base's size", *servings))
    row("baking time", "min", bakes[0].minutes, bakes[1].minutes)
    if None not in costs:
        unit = f"{costs[0].currency} a serving"
        rows.append(("cost", unit, *(float(one.serving) for one in costs)))
    table = pd.DataFrame(rows, columns=["what", "unit", "before", "after"]).set_index("what")
    return table.assign(difference=table["after"] - table["before"])


def _advice(flavour: Flavour, checks: pd.DataFrame, ratios: pd.DataFrame):
    yield from (text for text in checks["advice"] if text)
    for name, row in ratios.iterrows():
        # A savoury bake is meant to hold little sugar.
        if row.advice and not (
            flavour.kind == "savoury" and (name, row.verdict) == ("sugar", "low")
        ):
            yield row.advice
