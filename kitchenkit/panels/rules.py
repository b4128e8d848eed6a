"""The rules for add-ins and the table of swaps, as a lesson shows them."""

from __future__ import annotations

from kitchenkit.addins import RULES
from kitchenkit.language import num, tr
from kitchenkit.panels.base import STYLE, table_html


class FlavourRules:
    """What the trade goes by for add-ins, and for one ingredient in another's place, with sources.

    Parameters
    ----------
    kit : Kit
    """

    def __init__(self, kit):
        self.kit = kit

    @property
    def rules(self) -> list[list[str]]:
        """A row for each rule about add-ins, in the language in use."""
        return [
            [
                tr(rule.name),
                tr(
                    "{low} to {high} g",
                    low=num(rule.low, "g").replace("-", "−"),
                    high=num(rule.high, "g"),
                ),
                tr(rule.text),
                self.kit.cite(rule.source),
            ]
            for rule in RULES
        ]

    @property
    def swaps(self) -> list[list[str]]:
        """A row for each swap, in the language in use."""
        return [
            [
                tr(swap.name),
                num(swap.most, ".0%"),
                tr(swap.does),
                tr(swap.fails),
                self.kit.cite(swap.source),
            ]
            for swap in self.kit.swaps.values()
        ]

    def __repr__(self) -> str:
        return "\n".join(" | ".join(row) for row in (*self.rules, *self.swaps))

    def _repr_html_(self) -> str:
        headings = [tr("add-ins"), tr("to 100 g of flour"), tr("rule"), tr("source")]
        rules = table_html(headings, self.rules)
        headings = [
            tr("swap"),
            tr("at most"),
            tr("what it does"),
            tr("when it fails"),
            tr("source"),
        ]
        swaps = table_html(headings, self.swaps) if self.kit.swaps else ""
        return f'{STYLE}<div class="kk-panel">{rules}{swaps}</div>'
