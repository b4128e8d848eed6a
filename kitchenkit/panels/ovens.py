"""What the bake log says of each oven, as a table to read."""

from __future__ import annotations

from kitchenkit.bakelog import correct_oven, read_bake_log
from kitchenkit.language import day, num, tr, trc
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
        self._log = read_bake_log(kit)

    @property
    def bakes(self) -> list[list[str]]:
        """A row for each bake, in the language in use."""
        return [
            [
                f"{day(bake.date)}, {tr(bake.oven)}",
                tr(bake.pan.name),
                f"{num(bake.volume_m3 * 1e6, '.0f')} ml",
                f"{num(bake.real_c, '.0f')} °C ({num(bake.real_c * 1.8 + 32, '.0f')} °F)",
                f"{num(bake.minutes, '.0f')} min",
                f"{num(bake.model_minutes(), '.0f')} min",
            ]
            for bake in self._log
        ]

    @property
    def ovens(self) -> list[list[str]]:
        """A row for each oven, in the language in use."""
        rows = []
        for name in dict.fromkeys(bake.oven for bake in self._log):
            said = correct_oven(self._log, name)
            factor, spread = num(said.factor, ".2f"), num(said.factor * said.spread, ".2f")
            rows.append(
                [tr(name), num(said.bakes, "d"), f"× {factor} ± {spread}", num(said.odd, "d")]
            )
        return rows

    def __repr__(self) -> str:
        return "\n".join(" | ".join(row) for row in (*self.bakes, *self.ovens))

    def _repr_html_(self) -> str:
        bakes = table_html(
            [
                tr("bake"),
                tr("pan"),
                tr("batter in one"),
                tr("real oven"),
                tr("took"),
                tr("model says"),
            ],
            self.bakes,
        )
        ovens = table_html(
            [tr("oven"), trc("how many", "bakes"), tr("times the model"), tr("odd ones")],
            self.ovens,
        )
        return f'{STYLE}<div class="kk-panel">{bakes}{ovens}</div>'
