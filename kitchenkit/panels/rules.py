"""The rules for add-ins and the table of swaps, as a lesson shows them."""

from __future__ import annotations

from kitchenkit.addins import RULES
from kitchenkit.panels.base import STYLE, table_html


class FlavourRules:
    """What the trade goes by for add-ins, and for one ingredient in another's place, with sources.

    Parameters
    ----------
    kit : Kit
    """

    def __init__(self, kit):
        self.rules = [
            [
                rule.name,
                f"{rule.low:g} to {rule.high:g} g".replace("-", "−"),
                rule.text,
                kit.cite(rule.source),
            ]
            for rule in RULES
        ]
        self.swaps = [
            [swap.name, f"{swap.most:.0%}", swap.does, swap.fails, kit.cite(swap.source)]
            for swap in kit.swaps.values()
        ]

    def __repr__(self) -> str:
        return "\n".join(" | ".join(row) for row in (*self.rules, *self.swaps))

    def _repr_html_(self) -> str:
        rules = table_html(["add-ins", "to 100 g of flour", "rule", "source"], self.rules)
        headings = ["swap", "at most", "what it does", "when it fails", "source"]
        swaps = table_html(headings, self.swaps) if self.swaps else ""
        return f'{STYLE}<div class="kk-panel">{rules}{swaps}</div>'
