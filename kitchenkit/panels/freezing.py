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
    say_thick,
    thaw_time,
    wrap_at,
)
from kitchenkit.language import mark, num, tr
from kitchenkit.panels.controls import dropdown, pan_dropdown, slider
from kitchenkit.panels.pieces import show_if
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

    title = mark("When may it be wrapped?")
    cautions = (
        mark(
            "The pan, its rack and the crumb's steam burn for a long while: dry mitts, out of "
            "reach of children."
        ),
        mark(
            "A window, not a promise: touch the underside, or put a clean thermometer in the "
            "middle."
        ),
    )

    def make_chart(self) -> CoolChart:
        return CoolChart()

    def make_controls(self) -> dict[str, widgets.ValueWidget]:
        return {
            "room": slider(tr("The room (°F)"), 70, 55, 90, 1),
            "pan": pan_dropdown(self.kit, tr("1 and 2: baked in"), "loaf"),
            "how": dropdown(
                tr("1: the whole cools"),
                [(tr("on a rack"), "rack"), (tr("in its pan"), "pan")],
                "rack",
            ),
            "thick": slider(tr("2: slices (cm)"), 1.5, 0.5, 4.0, 0.25),
            "small": pan_dropdown(self.kit, tr("3: small ones, on a rack"), "muffin"),
        }

    def refresh(self) -> None:
        value = self.values()
        room = Q(float(value["room"]), "degF")
        pan, small = (self.kit.pans[value[name]] for name in ("pan", "small"))
        slices = Q(value["thick"], "cm")
        ways = [
            (tr("1: {pan}, whole", pan=tr(pan.name)), pan, value["how"], None),
            (tr("2: its slices of {size}", size=say_both(slices)), pan, "sliced", slices),
            (f"3: {tr(small.name)}", small, "rack", None),
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
            tr(
                "In a room at {room}, wrap the slices of {slices} after about {sliced}, the "
                "{small_pan} after about {small} and the whole {pan} after about {whole}.",
                room=say_temperature(room),
                slices=say_both(slices),
                sliced=_said(windows[1]),
                small_pan=tr(small.name),
                small=_said(windows[2]),
                pan=tr(pan.name),
                whole=_said(windows[0]),
            ),
            [tr("what cools"), tr("likeliest"), tr("window"), tr("middle by then")],
            [
                [
                    words,
                    f"{num(middle, '.0f')} min",
                    tr("{low} to {high} min", low=num(low, ".0f"), high=num(high, ".0f")),
                    say_temperature(cooled.to),
                ]
                for (words, *_), (low, middle, high), cooled in zip(
                    ways, windows, found, strict=True
                )
            ],
            notes,
        )


def _said(window: tuple[float, float, float]) -> str:
    low, middle, high = (num(minutes, ".0f") for minutes in window)
    return tr("{middle} min ({low} to {high})", low=low, middle=middle, high=high)


# A piece in words -> what it is called, and its length and width, or its diameter.
_PIECES = {
    mark("slice of a loaf, 10 × 7 cm (4 × 2 3/4 in)"): (
        mark("slice of a loaf"),
        {"length": "10 cm", "width": "7 cm"},
    ),
    mark("muffin, 7 cm (2 3/4 in) across"): (mark("muffin"), {"diameter": "7 cm"}),
    mark("loaf, 20 × 10 cm (8 × 4 in)"): (mark("loaf"), {"length": "20 cm", "width": "10 cm"}),
    mark("half a sheet, 30 × 20 cm (12 × 8 in)"): (
        mark("half a sheet"),
        {"length": "30 cm", "width": "20 cm"},
    ),
}
_WAYS = {
    "freezes": mark("freeze it"),
    "room": mark("thaw it in the room"),
    "fridge": mark("thaw it in the refrigerator"),
}
_PACKED = {
    "apart": mark("apart, air all around"),
    "side by side": mark("side by side, a full tray"),
    "two deep": mark("two deep, a full tray"),
}


class FreezePanel(_CrumbPanel):
    """One wrapped piece in the freezer, or on its way back: the level stretch, and the window."""

    title = mark("How long until it is frozen through?")
    cautions = (
        mark(
            "0 °F (−18 °C) keeps food safe; it does not make it so: cool, clean and dated it goes "
            "in."
        ),
        mark("Metal and walls of a freezer can burn bare wet skin."),
    )

    def make_chart(self) -> FreezeChart:
        return FreezeChart()

    def make_controls(self) -> dict[str, widgets.ValueWidget]:
        return {
            "way": dropdown(
                tr("What to do"), [(tr(words), way) for way, words in _WAYS.items()], "freezes"
            ),
            "piece": dropdown(
                tr("The piece"), [(tr(words), words) for words in _PIECES], next(iter(_PIECES))
            ),
            "thick": slider(tr("Its thickness (cm)"), 2.0, 0.5, 10.0, 0.25),
            "wrap": dropdown(
                tr("Its wrap"), [(tr(wrap), wrap) for wrap in WRAPS], "bag, air pressed out"
            ),
            "packing": dropdown(tr("On the tray"), [(tr(_PACKED[p]), p) for p in PACKING], "apart"),
            "freezer": slider(tr("Freezer, by its thermometer (°F)"), 0, -20, 15, 1),
            "inside": slider(tr("Freezer inside (litres)"), 60, 10, 400, 10),
        }

    def refresh(self) -> None:
        value = self.values()
        freezer = Q(float(value["freezer"]), "degF")
        name, size = _PIECES[value["piece"]]
        wrap, packing = value["wrap"], value["packing"]
        piece = {
            **size,
            "thickness": Q(value["thick"], "cm"),
            "wrap": wrap,
            "packing": packing,
            "crumb": self.crumb,
        }
        words = {
            "piece": tr(name),
            "thick": say_thick(piece["thickness"]),
            "wrap": tr(wrap),
            "packing": tr(packing),
        }
        show_if(self.controls["inside"], value["way"] == "freezes")
        if value["way"] == "freezes":
            self._freeze(freezer, piece, words)
        else:
            self._thaw(value["way"], freezer, piece, words)

    def _freeze(self, freezer, piece: dict, words: dict) -> None:
        found = freeze_time(freezer=freezer, **piece)
        levels = [(found.freezing_point, tr("ice forms")), (found.to, tr("frozen through"))]
        plank = found.plank.m_as("hour")
        window = self._draw(found, levels, freezer, tr("until frozen through; ◇ Plank"), plank)
        load = freezer_load(Q(float(self.values()["inside"]), "l"))
        self.show(
            tr(
                "A {piece} {thick} ({wrap}; {packing}) is frozen through in {time}, at {air}.",
                time=found,
                air=say_temperature(freezer),
                **words,
            ),
            [tr("step"), tr("time"), tr("window")],
            [
                [tr("first ice, at the surface"), say_hours(found.begins.m_as("hour")), ""],
                [tr("ice reaches the middle"), say_hours(found.met.m_as("hour")), ""],
                [
                    tr("middle at {reading}", reading=say_temperature(found.to)),
                    say_hours(found.hours.m_as("hour")),
                    window,
                ],
                [tr("the ice alone, by Plank's formula"), say_hours(found.plank.m_as("hour")), ""],
            ],
            [
                *found.cautions,
                tr("At once into this freezer: {load}; {why}", load=load, why=load.why),
            ],
        )

    def _thaw(self, where: str, freezer, piece: dict, words: dict) -> None:
        found = thaw_time(where=where, start=freezer, **piece)
        air = Q(AIR_C[where], "degC")
        window = self._draw(
            found, [(found.to, tr("thawed"))], air, tr("until thawed in the middle")
        )
        words |= {"time": found, "start": say_temperature(freezer)}
        self.show(
            tr(
                "A {piece} {thick} ({wrap}; {packing}) thaws in the room in {time}, from {start}.",
                **words,
            )
            if where == "room"
            else tr(
                "A {piece} {thick} ({wrap}; {packing}) thaws in the refrigerator in {time}, from "
                "{start}.",
                **words,
            ),
            [tr("step"), tr("time"), tr("window")],
            [
                [
                    tr("thawed: middle at {reading}", reading=say_temperature(found.to)),
                    say_hours(found.hours.m_as("hour")),
                    window,
                ],
                [tr("unwrap: nearly as warm as the air"), say_hours(found.unwrap.m_as("hour")), ""],
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
        return tr("{low} to {high}", low=say_hours(low), high=say_hours(high))


def _short(reading) -> str:
    return f"{reading.m_as('degC'):.0f} °C ({reading.m_as('degF'):.0f} °F)".replace("-", "−")
