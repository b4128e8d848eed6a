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
from kitchenkit.panels.base import Panel
from kitchenkit.panels.controls import dropdown, number, pan_dropdown, slider
from kitchenkit.pans import MATERIALS, Pan
from kitchenkit.saying import say_both
from kitchenkit.temperature import celsius, say_temperature
from kitchenkit.units import Q


class BakePanel(Panel):
    """Up to three pans, one depth of batter, one oven: the windows, and who is done first."""

    title = "How long does it bake?"
    cautions = (
        "A window, not a promise. Done: a skewer comes out clean, the top springs back, the sides "
        "leave the pan; 93 to 98 °C (200 to 209 °F) in the middle. One sign alone is no proof.",
        "Oven, racks and pans burn: dry mitts, stand aside of the door, a clear place to set it.",
    )

    def make_chart(self) -> BakeChart:
        return BakeChart()

    def make_controls(self) -> dict[str, widgets.ValueWidget]:
        return {
            "pan_1": pan_dropdown(self.kit, "Pan 1", "loaf"),
            "pan_2": pan_dropdown(self.kit, "Pan 2", "square", none="no pan"),
            "pan_3": pan_dropdown(self.kit, "Pan 3", "muffin", none="no pan"),
            "depth": slider("Depth of the raw batter (cm)", 2.0, 0.5, 5.0, 0.1),
            "oven": slider("Oven, by its thermometer (°F)", 350, 250, 450, 5),
            "material": dropdown("Made of", [("as listed", ""), *((m, m) for m in MATERIALS)], ""),
            "which": dropdown("Which oven", self._ovens(), ""),
            "racks": slider("Racks in use", 1, 1, 3, 1),
            "altitude": slider("Height above the sea (ft)", 0, 0, 10000, 500),
            "known": number("Pan 1 took you so many minutes; 0: not baked yet", 0, 0, 300, 1),
        }

    def _ovens(self) -> list[tuple[str, str]]:
        """Ovens of the bake log, where there is one."""
        self._log = read_bake_log(self.kit) if has_bake_log(self.kit) else []
        names = dict.fromkeys(bake.oven for bake in self._log)
        return [("any: the general model", ""), *((f"{n}, by its bake log", n) for n in names)]

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
            raise KitchenError("Choose one: the oven's bake log, or your own minutes for pan 1.")
        circumstances = {
            "known": known,
            "correction": correct_oven(self._log, which) if which else None,
            "altitude": Q(value["altitude"], "foot"),
            "racks": value["racks"],
        }
        times = [bake_time(p, v, oven, **circumstances) for p, v in zip(pans, volumes, strict=True)]
        windows = [tuple(t.m_as("min") for t in (b.low, b.minutes, b.high)) for b in times]
        self._draw(pans, volumes, celsius(oven, "oven"), windows, times[0].done.m_as("degC"))
        first = min(range(len(pans)), key=lambda at: windows[at][1])
        high_up = altitude_advice(circumstances["altitude"]) if value["altitude"] >= 3000 else []
        notes = dict.fromkeys(note for bake in times for note in bake.cautions)
        self.show(
            self._sentence_for(pans, times, first, oven, value["depth"]),
            ["pan", "batter in one", "batter depth", "likeliest", "window", "look from"],
            [
                self._row(*bake)
                for bake in zip(range(1, len(pans) + 1), pans, volumes, times, strict=True)
            ],
            [*notes, *high_up, f"Pan 1: {times[0].why}"],
        )

    @staticmethod
    def _volume(pan: Pan, depth_cm: float):
        if depth_cm / 100 > pan.height:
            raise KitchenError(
                f"{depth_cm:.1f} cm is deeper than the {pan.name}, which is "
                f"{say_both(Q(pan.height * 100, 'cm'))}. Lower the batter or choose another pan."
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
        said = (
            f"With {say_both(Q(depth_cm, 'cm'))} of batter at {say_temperature(oven)}, the "
            f"{pans[first].name} is done first: {times[first]}."
        )
        if len(pans) > 1:
            last = max(range(len(pans)), key=lambda at: times[at].minutes)
            later = (times[last].minutes - times[first].minutes).m_as("min")
            said += (
                f" The {pans[last].name} needs the oven about {later:.0f} min longer."
                if round(later)
                else " All of them take about the same time."
            )
        return said

    @staticmethod
    def _row(at: int, pan: Pan, volume, bake) -> list[str]:
        low, high = round(bake.low.m_as("min")), round(bake.high.m_as("min"))
        return [
            f"{at}: {pan.name}",
            say_both(volume),
            say_both(bake.depth),
            f"{bake.minutes.m_as('min'):.0f} min",
            f"{low} to {high} min",
            f"{bake.check_from.m_as('min'):.0f} min",
        ]
