"""A recipe's balance as two tables: baker's percentages, and the trade's ratios with advice."""

from __future__ import annotations

from kitchenkit.panels.base import STYLE, table_html
from kitchenkit.ratios import check_ratios
from kitchenkit.recipe import Recipe


class Balance:
    """How a batter balances, to read.

    Parameters
    ----------
    recipe : Recipe

    Raises
    ------
    KitchenError
        If the recipe has no flour.
    """

    def __init__(self, recipe: Recipe):
        percents = recipe.bakers_percent()
        self.parts = [
            [name, f"{row.grams:,.1f} g", f"{row.percent:.1f} %", row.role]
            for name, row in percents.iterrows()
        ]
        self.ratios = [
            [
                name,
                f"{row.value:.2f} {row.unit}",
                f"{row.low:g} to {row.high:g}",
                f"{row.verdict}: {row.advice}" if row.advice else row.verdict,
            ]
            for name, row in check_ratios(recipe).iterrows()
        ]

    def __repr__(self) -> str:
        return "\n".join(" | ".join(row) for row in (*self.parts, *self.ratios))

    def _repr_html_(self) -> str:
        parts = table_html(["ingredient", "weight", "of the flour", "its work"], self.parts)
        ratios = table_html(["ratio", "this batter", "usual", "verdict"], self.ratios)
        return f'{STYLE}<div class="kk-panel">{parts}{ratios}</div>'
