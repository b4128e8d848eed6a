"""One ingredient in another's place: what the trade puts for it, what it does, when it fails."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from numbers import Real

import pandas as pd

from kitchenkit.allergens import READ_LABELS, AllergenList, allergens_in
from kitchenkit.costs import Cost
from kitchenkit.effects import cost_of
from kitchenkit.errors import KitchenError
from kitchenkit.flavours import carry_density, stir_in
from kitchenkit.language import num, phrase, tr
from kitchenkit.ratios import check_ratios
from kitchenkit.recipe import Line, Recipe
from kitchenkit.swap_table import IngredientSwap


@dataclass(frozen=True)
class Swapped:
    """A recipe with one ingredient, or part of it, changed for another.

    Attributes
    ----------
    swap : IngredientSwap
    base, recipe : Recipe
        Before and after.
    share : float
        Of the ingredient that went.
    ratios : DataFrame
        As `check_ratios` gives for the new recipe, with a column ``before``.
    allergens : AllergenList
        Of the new recipe.
    new_allergens : tuple of str
        That the data name now and did not before.
    unnamed : tuple of str
        That the data named before and name no longer; no promise that they are absent.
    costs : tuple of (Cost or None)
        Before and after; None where the kit has no prices.
    cautions : tuple of str
    """

    swap: IngredientSwap
    base: Recipe
    recipe: Recipe
    share: float
    ratios: pd.DataFrame
    allergens: AllergenList
    new_allergens: tuple[str, ...]
    unnamed: tuple[str, ...]
    costs: tuple[Cost | None, Cost | None]
    cautions: tuple[str, ...]


def swap_ingredient(
    kit,
    recipe: Recipe,
    swap: str | IngredientSwap,
    share=None,
    *,
    today=None,
    base_cost: Cost | None = None,
) -> Swapped:
    """Put another ingredient, or several, in the place of one.

    Parameters
    ----------
    kit : Kit
    recipe : Recipe
    swap : str or IngredientSwap
        Key or name in swaps.csv.
    share : float, optional
        Of the ingredient that goes, above 0 to 1; as much as the trade advises when left out.
    today : date or str, optional
        Prices of later days are left out.
    base_cost : Cost, optional
        What the recipe costs, where that is known already; it is worked out when left out.

    Returns
    -------
    Swapped

    Raises
    ------
    KitchenError
        If there is no such swap, the recipe lacks what shall go, or the share is none.

    Notes
    -----
    Amounts by weight or measure as swaps.csv has them, each row with its source. An allergen that
    the data no longer name is not gone: labels, shared mills and shared kitchens decide.
    """
    swap = kit.swaps[swap] if isinstance(swap, str) else swap
    share = swap.most if share is None else share
    if not (isinstance(share, Real) and 0 < share <= 1):
        raise KitchenError(f"A share of {share} cannot be swapped. Use more than 0 and at most 1.")
    made = carry_density(_exchanged(recipe, swap, float(share)), recipe)
    before, after = allergens_in(recipe), allergens_in(made)
    unnamed = tuple(name for name in before.found if name not in after.found)
    return Swapped(
        swap=swap,
        base=recipe,
        recipe=made,
        share=float(share),
        ratios=check_ratios(made).assign(before=check_ratios(recipe)["value"]),
        allergens=after,
        new_allergens=tuple(name for name in after.found if name not in before.found),
        unnamed=unnamed,
        costs=(base_cost or cost_of(kit, recipe, today=today), cost_of(kit, made, today=today)),
        cautions=tuple(_cautions(swap, share, unnamed)),
    )


def _exchanged(recipe: Recipe, swap: IngredientSwap, share: float) -> Recipe:
    at = next((n for n, x in enumerate(recipe.lines) if x.ingredient.key == swap.out.key), None)
    if at is None:
        raise KitchenError(
            tr(
                "{recipe} has no {ingredient} to swap. It has {have}.",
                recipe=tr(recipe.name),
                ingredient=tr(swap.out.name),
                have=", ".join(tr(line.ingredient.name) for line in recipe.lines),
            )
        )
    lines, old = list(recipe.lines), recipe.lines[at]
    times = (old.weight * share / swap.out.weight(swap.of)).m_as("")
    if share < 1:
        lines[at] = replace(old, amount=old.amount * (1 - share))
        at += 1
    else:
        del lines[at]
    for n, (item, amount) in enumerate(swap.put):
        stir_in(lines, Line(item, amount * times), at + n)
    return replace(
        recipe,
        key=f"{recipe.key}-{swap.key}",
        name=phrase("{recipe}, {swap}", recipe=recipe.name, swap=swap.name),
        lines=tuple(lines),
    )


def _cautions(swap: IngredientSwap, share: float, unnamed) -> Iterator[str]:
    if share > swap.most + 1e-9:
        yield tr(
            "The trade swaps at most {most} of it, you {share}. {fault}",
            most=num(swap.most, ".0%"),
            share=num(share, ".0%"),
            fault=tr(swap.fails),
        )
    if unnamed:
        yield tr(
            "The data no longer name {allergens}. That does not make it fit for someone with an "
            "allergy: packages, bowls, tins and hands carry traces. {labels}",
            allergens=", ".join(map(tr, unnamed)),
            labels=tr(READ_LABELS),
        )
