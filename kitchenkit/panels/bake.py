"""The panel for lesson 04: how long each pan bakes, and which frees the oven first."""

from __future__ import annotations

from dataclasses import replace

import ipywidgets as widgets
import numpy as np

from kitchenkit.altitude import altitude_advice
from kitchenkit.bakelog import correct_oven, has_bake_log, read_bake_log
from kitchenkit.baking import bake_time, middle_celsius
from kitchenkit.charts.bake import POINTS, BakeChart
from kitchenkit.errors import KitchenError
from kitchenkit.language import mark, num, tr
from kitchenkit.panels.base import Panel
from kitchenkit.panels.controls import dropdown, number, pan_dropdown, slider
from kitchenkit.pans import MATERIALS, Pan
from kitchenkit.saying import say_both
from kitchenkit.temperature import celsius, say_temperature
from kitchenkit.units import Q


class BakePanel(Panel):
    """Up to three pans, one depth of batter, one oven: the windows, and who is done first."""

    title = mark("How long does it bake?")
    cautions = (
        mark(
            "A window, not a promise. Done: a skewer comes out clean, the top springs back, the "
            "sides leave the pan; 93 to 98 °C (200 to 209 °F) in the middle. One sign alone is no "
            "proof."
        ),
        mark(
            "Oven, racks and pans burn: dry mitts, stand aside of the door, a clear place to set "
            "it."
        ),
    )

    def make_chart(self) -> BakeChart:
        return BakeChart()

    def make_controls(self) -> dict[str, widgets.ValueWidget]:
        return {
            "pan_1": pan_dropdown(self.kit, tr("Pan 1"), "loaf"),
            "pan_2": pan_dropdown(self.kit, tr("Pan 2"), "square", none=tr("no pan")),
            "pan_3": pan_dropdown(self.kit, tr("Pan 3"), "muffin", none=tr("no pan")),
            "depth": slider(tr("Depth of the raw batter (cm)"), 2.0, 0.5, 5.0, 0.1),
            "oven": slider(tr("Oven, by its thermometer (°F)"), 350, 250, 450, 5),
            "material": dropdown(
                tr("Made of"), [(tr("as listed"), ""), *((tr(m), m) for m in MATERIALS)], ""
            ),
            "which": dropdown(tr("Which oven"), self._ovens(), ""),
            "racks": slider(tr("Racks in use"), 1, 1, 3, 1),
            "altitude": slider(tr("Height above the sea (ft)"), 0, 0, 10000, 500),
            "known": number(tr("Pan 1 took you so many minutes; 0: not baked yet"), 0, 0, 300, 1),
        }

    def _ovens(self) -> list[tuple[str, str]]:
        """Ovens of the bake log, where there is one."""
        self._log = read_bake_log(self.kit) if has_bake_log(self.kit) else []
        names = dict.fromkeys(bake.oven for bake in self._log)
        return [
            (tr("any: the general model"), ""),
            *((tr("{oven}, by its bake log", oven=tr(name)), name) for name in names),
        ]

    def refresh(self) -> None:
        value = self.values()
        pans = [self.kit.pans[value[n]] for n in ("pan_1", "pan_2", "pan_3") if value[n]]
        if value["material"]:
            pans = [replace(pan, material=value["material"]) for pan in pans]
        oven = Q(float(value["oven"]), "degF")
        volumes = [self._volume(pan, value["depth"]) for pan in pans]
        known = (pans[0], volumes[0], value["known"], oven) if value["known"] else None
        which = value["which"]
        if known and which:
            raise KitchenError(
                tr("Choose one: the oven's bake log, or your own minutes for pan 1.")
            )
        circumstances = {
            "known": known,
            "correction": correct_oven(self._log, which) if which else None,
            "altitude": Q(value["altitude"], "foot"),
            "racks": value["racks"],
        }
        times = [bake_time(p, v, oven, **circumstances) for p, v in zip(pans, volumes, strict=True)]
        windows = [tuple(t.m_as("min") for t in (b.low, b.minutes, b.high)) for b in times]
        self._draw(pans, volumes, celsius(oven, mark("oven")), windows, times[0].done.m_as("degC"))
        first = min(range(len(pans)), key=lambda at: windows[at][1])
        high_up = altitude_advice(circumstances["altitude"]) if value["altitude"] >= 3000 else []
        notes = dict.fromkeys(note for bake in times for note in bake.cautions)
        self.show(
            self._sentence_for(pans, times, first, oven, value["depth"]),
            [
                tr("pan"),
                tr("batter in one"),
                tr("batter depth"),
                tr("likeliest"),
                tr("window"),
                tr("look from"),
            ],
            [
                self._row(*bake)
                for bake in zip(range(1, len(pans) + 1), pans, volumes, times, strict=True)
            ],
            [*notes, *high_up, *self._on_pan_1(times[0], known)],
        )

    @staticmethod
    def _on_pan_1(time, known) -> list[str]:
        said = tr("Pan 1: {why}", why=time.why)
        if not known:
            return [said]
        again = tr("Your minutes are for this depth and this heat: type others if you change them.")
        return [said, again]

    @staticmethod
    def _volume(pan: Pan, depth_cm: float):
        if depth_cm / 100 > pan.height:
            raise KitchenError(
                tr(
                    "{depth} cm is deeper than the {pan}, which is {rim}. Lower the batter or "
                    "choose another pan.",
                    depth=num(depth_cm, ".1f"),
                    pan=tr(pan.name),
                    rim=say_both(Q(pan.height * 100, "cm")),
                )
            )
        return pan.volume(Q(depth_cm, "cm"))

    def _draw(self, pans, volumes, oven_c: float, windows, done_c: float) -> None:
        clock = np.linspace(0, max(high for _, _, high in windows) * 1.08, POINTS)
        curves = []
        for pan, volume, (_, minutes, _) in zip(pans, volumes, windows, strict=True):
            curves.append((clock, middle_celsius(pan, volume, oven_c, clock, minutes, done_c)))
        self.chart.update(curves, windows, done_c)

    @staticmethod
    def _sentence_for(pans, times, first: int, oven, depth_cm: float) -> str:
        said = tr(
            "With {depth} of batter at {oven}, the {pan} is done first: {time}.",
            depth=say_both(Q(depth_cm, "cm")),
            oven=say_temperature(oven),
            pan=tr(pans[first].name),
            time=str(times[first]),
        )
        if len(pans) == 1:
            return said
        last = max(range(len(pans)), key=lambda at: times[at].minutes)
        later = (times[last].minutes - times[first].minutes).m_as("min")
        if not round(later):
            return tr("{said} All of them take about the same time.", said=said)
        return tr(
            "{said} The {pan} needs the oven about {minutes} min longer.",
            said=said,
            pan=tr(pans[last].name),
            minutes=num(later, ".0f"),
        )

    @staticmethod
    def _row(at: int, pan: Pan, volume, bake) -> list[str]:
        low, high = (num(round(end.m_as("min")), "d") for end in (bake.low, bake.high))
        return [
            f"{at}: {tr(pan.name)}",
            say_both(volume),
            say_both(bake.depth),
            f"{num(bake.minutes.m_as('min'), '.0f')} min",
            tr("{low} to {high} min", low=low, high=high),
            f"{num(bake.check_from.m_as('min'), '.0f')} min",
        ]
