"""The trade's ratios for a quick-bread batter, checked, with advice in plain words."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import pandas as pd

from kitchenkit.language import mark
from kitchenkit.recipe import Recipe

_PRACTICE = "trade-practice"


@dataclass(frozen=True)
class Ratio:
    """One ratio the trade goes by, its usual range, and what to say outside it."""

    name: str
    unit: str
    low: float
    high: float
    value: Callable[[_Sums], float]
    too_low: str
    too_high: str
    source: str = _PRACTICE


class _Sums:
    """Grams and cups of a recipe by role, ingredient and group."""

    def __init__(self, recipe: Recipe):
        self._lines = recipe.lines
        self.flour = self.grams(role="flour")

    def grams(self, role: str) -> float:
        return sum(line.weight.m_as("g") for line in self._lines if line.role == role)

    def cups(self, role: str) -> float:
        return sum(
            line.ingredient.volume(line.weight).m_as("cup")
            for line in self._lines
            if line.role == role
        )

    def spoons(self, word: str) -> float:
        """Teaspoons of the leavenings whose name holds `word`."""
        return sum(
            line.ingredient.volume(line.weight).m_as("teaspoon")
            for line in self._lines
            if line.role == "leavening" and word in line.ingredient.name
        )

    def percent(self, role: str) -> float:
        return 100 * self.grams(role) / self.flour

    def lift(self) -> float:
        """Teaspoons of baking powder per cup of flour; soda counts four times."""
        flour_cups = self.flour / 125  # g a cup, USDA SR 20081
        return (self.spoons("powder") + 4 * self.spoons("soda")) / flour_cups


RATIOS = (
    Ratio(
        mark("liquid to flour"),
        mark("cups liquid a cup flour"),
        0.4,
        1.0,
        lambda s: s.cups("liquid") / s.cups("flour"),
        mark("The batter will be stiff and dry: add milk, yogurt or water a spoon at a time."),
        mark(
            "The batter will pour like a pancake's: add flour, or drain wet fruit and vegetables."
        ),
        "fireless-1909",
    ),
    Ratio(
        mark("lift"),
        mark("tsp baking powder a cup flour"),
        1.0,
        3.0,
        _Sums.lift,
        mark("It may stay dense: add baking powder up to 1 tsp a cup of flour."),
        mark("It may rise, fall and taste of soap: use less baking powder or soda."),
    ),
    Ratio(
        mark("salt"),
        mark("% of flour"),
        0.8,
        2.2,
        lambda s: s.percent("salt"),
        mark(
            "It may taste flat: 1/4 tsp a cup of flour is usual. A low-salt kitchen may leave it "
            "so."
        ),
        mark("It will taste salty: 1/4 tsp a cup of flour is usual."),
    ),
    Ratio(
        mark("sugar"),
        mark("% of flour"),
        25,
        100,
        lambda s: s.percent("sugar"),
        mark("It will be plain and brown slowly; right for a savoury bake."),
        mark("It may sink, stick and brown too soon: use less sugar than flour by weight."),
    ),
    Ratio(
        mark("fat"),
        mark("% of flour"),
        15,
        60,
        lambda s: s.percent("fat"),
        mark("It will stale sooner and may be tough: stir it less, or add oil."),
        mark("It may be greasy and heavy: use less oil or butter."),
    ),
    Ratio(
        mark("egg"),
        mark("% of flour"),
        15,
        60,
        lambda s: s.percent("egg"),
        mark("It may crumble: another egg helps it hold together."),
        mark("It may be rubbery: use fewer eggs, or more flour."),
    ),
)


def check_ratios(recipe: Recipe) -> pd.DataFrame:
    """Compare a batter with the trade's usual ratios.

    Parameters
    ----------
    recipe : Recipe

    Returns
    -------
    DataFrame
        Index: ratio. Columns: ``value``, ``low``, ``high``, ``unit``, ``verdict`` (usual, low or
        high), ``advice`` (empty when usual) and ``source``.

    Raises
    ------
    KitchenError
        If the recipe has no flour.

    Notes
    -----
    One cup of liquid to one (pour) or two (drop) cups of flour: M. Mitchell, The Fireless Cook
    Book (1909), table of proportions; down to 0.4 because eggs and shredded vegetables bring
    water of their own. The other ranges are common practice, no source; ranges, not laws.
    """
    recipe.bakers_percent()  # refuses a recipe without flour, in plain words
    sums = _Sums(recipe)
    rows = []
    for ratio in RATIOS:
        value = ratio.value(sums)
        low, high, usual = mark("low"), mark("high"), mark("usual")
        verdict = low if value < ratio.low else high if value > ratio.high else usual
        advice = {"low": ratio.too_low, "high": ratio.too_high, "usual": ""}[verdict]
        rows.append(
            (ratio.name, value, ratio.low, ratio.high, ratio.unit, verdict, advice, ratio.source)
        )
    columns = ["ratio", "value", "low", "high", "unit", "verdict", "advice", "source"]
    return pd.DataFrame(rows, columns=columns).set_index("ratio")
