"""Published keeping times of a product, as a table to read."""

from __future__ import annotations

from kitchenkit.keeping import CONDITIONS
from kitchenkit.language import tr
from kitchenkit.panels.base import STYLE, table_html


class KeepingTimes:
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

    def __init__(self, kit, *products: str):
        self.kit = kit
        self.products = [kit.keeping[name] for name in products]

    @property
    def rows(self) -> list[list[str]]:
        """A row for each time, in the language in use."""
        return [
            [
                tr(product.name),
                f"{tr(time.place)}: {tr(CONDITIONS[time.place])}",
                time.said,
                tr(time.about),
                self.kit.cite(time.source) + (f". {tr(time.note)}" if time.note else ""),
            ]
            for product in self.products
            for time in product.times
        ]

    def __repr__(self) -> str:
        return "\n".join(" | ".join(row) for row in self.rows)

    def _repr_html_(self) -> str:
        headings = [
            tr("what"),
            tr("where"),
            tr("how long"),
            tr("about"),
            tr("by whose word"),
        ]
        return f'{STYLE}<div class="kk-panel">{table_html(headings, self.rows)}</div>'
