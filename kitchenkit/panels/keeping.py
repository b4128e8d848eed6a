"""Published keeping times of a product, as a table to read."""

from __future__ import annotations

from kitchenkit.keeping import CONDITIONS
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

    def __repr__(self) -> str:
        return "\n".join(" | ".join(row) for row in self.rows)

    def _repr_html_(self) -> str:
        headings = ["what", "where", "how long", "about", "by whose word"]
        return f'{STYLE}<div class="kk-panel">{table_html(headings, self.rows)}</div>'
