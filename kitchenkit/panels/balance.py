"""A recipe's balance as two tables: baker's percentages, and the trade's ratios with advice."""

from __future__ import annotations

from kitchenkit.language import num, tr, trc
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
            [
                tr(name),
                f"{num(row.grams, ',.1f')} g",
                f"{num(row.percent, '.1f')} %",
                tr(row.role),
            ]
            for name, row in percents.iterrows()
        ]
        self.ratios = [
            [
                tr(name),
                f"{num(row.value, '.2f')} {tr(row.unit)}",
                tr("{low} to {high}", low=num(row.low, "g"), high=num(row.high, "g")),
                _verdict(row.verdict, tr(row.advice)),
            ]
            for name, row in check_ratios(recipe).iterrows()
        ]

    def __repr__(self) -> str:
        return "\n".join(" | ".join(row) for row in (*self.parts, *self.ratios))

    def _repr_html_(self) -> str:
        parts = table_html(
            [tr("ingredient"), tr("weight"), tr("of the flour"), tr("its work")], self.parts
        )
        ratios = table_html(
            [tr("ratio"), tr("this batter"), tr("usual"), tr("verdict")], self.ratios
        )
        return f'{STYLE}<div class="kk-panel">{parts}{ratios}</div>'


def _verdict(verdict: str, advice: str) -> str:
    if verdict == "low":
        return trc("a ratio", "low: {advice}", advice=advice)
    if verdict == "high":
        return trc("a ratio", "high: {advice}", advice=advice)
    return tr("usual")
