"""What the bake log says of each oven, as a table to read."""

from __future__ import annotations

from kitchenkit.bakelog import correct_oven, read_bake_log
from kitchenkit.panels.base import STYLE, table_html


class Ovens:
    """The kit's bake log, and each oven's correction.

    Parameters
    ----------
    kit : Kit

    Raises
    ------
    DataError
        If the log is missing or faulty.
    """

    def __init__(self, kit):
        bakes = read_bake_log(kit)
        self.bakes = [
            [
                f"{b.date}, {b.oven}",
                b.pan.name,
                f"{b.volume_m3 * 1e6:.0f} ml",
                f"{b.real_c:.0f} °C ({b.real_c * 1.8 + 32:.0f} °F)",
                f"{b.minutes:.0f} min",
                f"{b.model_minutes():.0f} min",
            ]
            for b in bakes
        ]
        self.ovens = []
        for name in dict.fromkeys(bake.oven for bake in bakes):
            said = correct_oven(bakes, name)
            sure = f"{said.factor:.2f} ± {said.factor * said.spread:.2f}"
            self.ovens.append([name, str(said.bakes), f"× {sure}", str(said.odd)])

    def __repr__(self) -> str:
        return "\n".join(" | ".join(row) for row in (*self.bakes, *self.ovens))

    def _repr_html_(self) -> str:
        headings = ["bake", "pan", "batter in one", "real oven", "took", "model says"]
        bakes = table_html(headings, self.bakes)
        ovens = table_html(["oven", "bakes", "times the model", "odd ones"], self.ovens)
        return f'{STYLE}<div class="kk-panel">{bakes}{ovens}</div>'
