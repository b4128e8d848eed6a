"""Facts that a lesson stands on, as tables to read: rules for add-ins, published keeping times."""

from __future__ import annotations

from kitchenkit.addins import RULES
from kitchenkit.keeping import CONDITIONS
from kitchenkit.panels.base import STYLE, table_html


class _Facts:
    """Rows under headings, in words and as a table."""

    headings: tuple[str, ...]
    rows: list[list[str]]

    def __repr__(self) -> str:
        return "\n".join(" | ".join(row) for row in self.rows)

    def _repr_html_(self) -> str:
        return f'{STYLE}<div class="kk-panel">{table_html(list(self.headings), self.rows)}</div>'


class AddInRules(_Facts):
    """What a batter carries, for 100 g of its flour, and by whose word.

    Parameters
    ----------
    kit : Kit
    """

    headings = ("rule, for 100 g of flour", "usual", "in words", "where from")

    def __init__(self, kit):
        self.rows = [
            [
                rule.name,
                f"{rule.low:g} to {rule.high:g} g".replace("-", "−"),
                rule.text,
                kit.cite(rule.source),
            ]
            for rule in RULES
        ]


class KeepingTimes(_Facts):
    """What each source says of how long something keeps, place by place.

    Parameters
    ----------
    kit : Kit
    *products : str
        Names in keeping.csv.

    Raises
    ------
    KitchenError
        If a product is not there.
    """

    headings = ("what", "where", "how long", "about", "by whose word")

    def __init__(self, kit, *products: str):
        self.rows = [
            [
                product.name,
                f"{time.place}: {CONDITIONS[time.place]}",
                time.said,
                time.about,
                kit.cite(time.source) + (f". {time.note}" if time.note else ""),
            ]
            for product in (kit.keeping[name] for name in products)
            for time in product.times
        ]
