"""Panels for lesson 07: when a bake may be wrapped, and how long it takes to freeze and to thaw."""

from __future__ import annotations

from functools import cached_property

import ipywidgets as widgets
import numpy as np

from kitchenkit.charts.freezing import POINTS, CoolChart, FreezeChart
from kitchenkit.freezer import (
    AIR_C,
    PACKING,
    WRAPS,
    cool_time,
    freeze_time,
    freezer_load,
    middle_while_cooling,
    say_hours,
    thaw_time,
    wrap_at,
)
from kitchenkit.panels.controls import dropdown, pan_dropdown, slider
from kitchenkit.panels.scale import RecipePanel
from kitchenkit.saying import say_both
from kitchenkit.temperature import say_temperature
from kitchenkit.thermal import Food, crumb_of
from kitchenkit.units import Q


class _CrumbPanel(RecipePanel):
    """A panel about the crumb of one recipe."""

    @cached_property
    def crumb(self) -> Food:
        """Worked out once, with the tables that it carries."""
        return crumb_of(self.recipe)


class CoolPanel(_CrumbPanel):
    """A whole loaf, its slices and muffins cooling in one room: when each may be wrapped."""

    title = "When may it be wrapped?"
    cautions = (
        "The pan, its rack and the crumb's steam burn for a long while: dry mitts, out of reach of "
        "children.",
        "A window, not a promise: touch the underside, or put a clean thermometer in the middle.",
    )

    def make_chart(self) -> CoolChart:
        return CoolChart()

    def make_controls(self) -> dict[str, widgets.ValueWidget]:
        return {
            "room": slider("The room (°F)", 70, 55, 90, 1),
            "pan": pan_dropdown(self.kit, "1 and 2: baked in", "loaf"),
            "how": dropdown(
                "1: the whole cools", [("on a rack", "rack"), ("in its pan", "pan")], "rack"
            ),
            "thick": slider("2: slices (cm)", 1.5, 0.5, 4.0, 0.25),
            "small": pan_dropdown(self.kit, "3: small ones, on a rack", "muffin"),
        }

    def refresh(self) -> None:
        value = self.values()
        room = Q(float(value["room"]), "degF")
        pan, small = (self.kit.pans[value[name]] for name in ("pan", "small"))
        slices = Q(value["thick"], "cm")
        ways = [
            (f"1: {pan.name}, whole", pan, value["how"], None),
            (f"2: its slices of {say_both(slices)}", pan, "sliced", slices),
            (f"3: {small.name}", small, "rack", None),
        ]
        found = [
            cool_time(p, p.usual_volume, how, room, slices=thick, crumb=self.crumb)
            for _, p, how, thick in ways
        ]
        windows = [tuple(t.m_as("min") for t in (c.low, c.minutes, c.high)) for c in found]
        clock = np.linspace(0, 1.1 * max(high for _, _, high in windows), POINTS)
        curves = [
            middle_while_cooling(
                p, p.usual_volume, how, room, clock, slices=thick, crumb=self.crumb
            )
            for _, p, how, thick in ways
        ]
        to_c = wrap_at(room).m_as("degC")
        self.chart.update(clock, curves, windows, to_c, room.m_as("degC"))
        notes = dict.fromkeys(note for cooled in found for note in cooled.cautions)
        self.show(
            f"In a room at {say_temperature(room)}, wrap the slices of {say_both(slices)} after "
            f"about {windows[1][1]:.0f} min, the {small.name} after about {windows[2][1]:.0f} and "
            f"the whole {pan.name} after about {windows[0][1]:.0f}.",
            ["what cools", "likeliest", "window", "middle by then"],
            [
                [
                    words,
                    f"{middle:.0f} min",
                    f"{low:.0f} to {high:.0f} min",
                    say_temperature(cooled.to),
                ]
                for (words, *_), (low, middle, high), cooled in zip(
                    ways, windows, found, strict=True
                )
            ],
            notes,
        )


# A piece in words -> its length and width, or its diameter.
_PIECES = {
    "slice of a loaf, 10 × 7 cm (4 × 2 3/4 in)": {"length": "10 cm", "width": "7 cm"},
    "muffin, 7 cm (2 3/4 in) across": {"diameter": "7 cm"},
    "loaf, 20 × 10 cm (8 × 4 in)": {"length": "20 cm", "width": "10 cm"},
    "half a sheet, 30 × 20 cm (12 × 8 in)": {"length": "30 cm", "width": "20 cm"},
}
_WAYS = {
    "freezes": "freeze it",
    "room": "thaw it in the room",
    "fridge": "thaw it in the refrigerator",
}
_PACKED = {
    "apart": "apart, air all around",
    "side by side": "side by side, a full tray",
    "two deep": "two deep, a full tray",
}


class FreezePanel(_CrumbPanel):
    """One wrapped piece in the freezer, or on its way back: the level stretch, and the window."""

    title = "How long until it is frozen through?"
    cautions = (
        "0 °F (−18 °C) keeps food safe; it does not make it so: cool, clean and dated it goes in.",
        "Metal and walls of a freezer can burn bare wet skin.",
    )

    def make_chart(self) -> FreezeChart:
        return FreezeChart()

    def make_controls(self) -> dict[str, widgets.ValueWidget]:
        return {
            "way": dropdown(
                "What to do", [(words, way) for way, words in _WAYS.items()], "freezes"
            ),
            "piece": dropdown("The piece", list(_PIECES), next(iter(_PIECES))),
            "thick": slider("Its thickness (cm)", 2.0, 0.5, 10.0, 0.25),
            "wrap": dropdown("Its wrap", list(WRAPS), "bag, air pressed out"),
            "packing": dropdown("On the tray", [(_PACKED[p], p) for p in PACKING], "apart"),
            "freezer": slider("Freezer, by its thermometer (°F)", 0, -20, 15, 1),
            "inside": slider("Freezer inside (litres)", 60, 10, 400, 10),
        }

    def refresh(self) -> None:
        value = self.values()
        freezer = Q(float(value["freezer"]), "degF")
        piece = {
            **_PIECES[value["piece"]],
            "thickness": Q(value["thick"], "cm"),
            "wrap": value["wrap"],
            "packing": value["packing"],
            "crumb": self.crumb,
        }
        words = f"{value['piece'].split(',')[0]} {say_both(piece['thickness'])} thick"
        self.controls["inside"].layout.display = "" if value["way"] == "freezes" else "none"
        if value["way"] == "freezes":
            self._freeze(freezer, piece, words)
        else:
            self._thaw(value["way"], freezer, piece, words)

    def _freeze(self, freezer, piece: dict, words: str) -> None:
        found = freeze_time(freezer=freezer, **piece)
        levels = [(found.freezing_point, "ice forms"), (found.to, "frozen through")]
        plank = found.plank.m_as("hour")
        window = self._draw(found, levels, freezer, "until frozen through; ◇ Plank", plank)
        load = freezer_load(Q(float(self.values()["inside"]), "l"))
        self.show(
            f"A {words} ({piece['wrap']}; {piece['packing']}) is frozen through in {found}, at "
            f"{say_temperature(freezer)}.",
            ["step", "time", "window"],
            [
                ["first ice, at the surface", say_hours(found.begins.m_as("hour")), ""],
                ["ice reaches the middle", say_hours(found.met.m_as("hour")), ""],
                [
                    f"middle at {say_temperature(found.to)}",
                    say_hours(found.hours.m_as("hour")),
                    window,
                ],
                ["the ice alone, by Plank's formula", say_hours(found.plank.m_as("hour")), ""],
            ],
            [*found.cautions, f"At once into this freezer: {load}; {load.why}"],
        )

    def _thaw(self, where: str, freezer, piece: dict, words: str) -> None:
        found = thaw_time(where=where, start=freezer, **piece)
        air = Q(AIR_C[where], "degC")
        window = self._draw(found, [(found.to, "thawed")], air, "until thawed in the middle")
        place = "the room" if where == "room" else "the refrigerator"
        self.show(
            f"A {words} ({piece['wrap']}; {piece['packing']}) thaws in {place} in {found}, from "
            f"{say_temperature(freezer)}.",
            ["step", "time", "window"],
            [
                [
                    f"thawed: middle at {say_temperature(found.to)}",
                    say_hours(found.hours.m_as("hour")),
                    window,
                ],
                ["unwrap: nearly as warm as the air", say_hours(found.unwrap.m_as("hour")), ""],
            ],
            found.cautions,
        )

    def _draw(self, found, levels, air, words: str, plank=None) -> str:
        """Show it in the picture; the window in words."""
        low, likeliest, high = (t.m_as("hour") for t in (found.low, found.hours, found.high))
        course = found.course
        marked = [(at.m_as("degC"), f"{said}: {_short(at)}") for at, said in levels]
        self.chart.update(
            (course.seconds / 3600, course.middle, course.surface),
            (low, likeliest, high),
            marked,
            air.m_as("degC"),
            words,
            plank,
        )
        return f"{say_hours(low)} to {say_hours(high)}"


def _short(reading) -> str:
    return f"{reading.m_as('degC'):.0f} °C ({reading.m_as('degF'):.0f} °F)".replace("-", "−")
