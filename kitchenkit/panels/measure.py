"""Panels for lesson 01: what an amount weighs, and what an oven heat is on every dial."""

from __future__ import annotations

import ipywidgets as widgets

from kitchenkit.charts.measure import HeatChart, SameAmountChart
from kitchenkit.errors import MeasureError
from kitchenkit.ingredients import Ingredient
from kitchenkit.panels.base import Panel
from kitchenkit.panels.controls import dropdown, percent, slider, text
from kitchenkit.saying import say_both, say_fraction, say_measure
from kitchenkit.temperature import gas_mark, say_temperature
from kitchenkit.units import Q, read_measure

# Shown beside the chosen one because they span what a kitchen pours: light, usual and heavy.
_NEIGHBOURS = (
    "water",
    "all-purpose flour",
    "rolled oats",
    "granulated sugar",
    "vegetable oil",
    "cocoa",
    "honey",
)


class MeasurePanel(Panel):
    """Type an amount, choose an ingredient: its weight, its volume, and tools that measure it."""

    title = "What does it weigh?"
    cautions = (
        "Weights are for level cups, spooned and not pressed. A scooped cup of flour can weigh a "
        "fifth more: where it matters, use a scale.",
    )

    def make_chart(self) -> SameAmountChart:
        return SameAmountChart()

    def make_controls(self) -> dict[str, widgets.ValueWidget]:
        names = sorted(item.name for item in self.kit.ingredients.values())
        return {
            "ingredient": dropdown("Ingredient", names, "rolled oats"),
            "amount": text("Amount, as you would write it", "1 1/2 cups"),
        }

    def refresh(self) -> None:
        item = self.kit.ingredients[self.controls["ingredient"].value]
        amount = read_measure(self.controls["amount"].value)
        weight, volume = item.weight(amount), item.volume(amount)
        if not weight.magnitude:
            raise MeasureError("That is nothing at all. Write an amount above 0, like 1 cup.")
        self._compare(item, volume)
        said = {tools: say_measure(volume, tools) for tools in ("us", "metric")}
        scale = say_measure(weight, "scale")
        rows = [
            ["exactly", say_both(weight), say_both(volume), ""],
            ["cups and spoons", _grams(item, said["us"]), said["us"], percent(said["us"].error)],
            [
                "jug and metric spoons",
                _grams(item, said["metric"]),
                said["metric"],
                percent(said["metric"].error),
            ],
            ["kitchen scale", scale, "", percent(scale.error)],
        ]
        self.show(
            f"{item.name.capitalize()}, {self.controls['amount'].value.strip()}: "
            f"{say_both(weight)}. "
            f"With cups and spoons: {said['us']}, off by {percent(said['us'].error)}.",
            ["how", "weight", "volume", "off by"],
            rows,
            [f"Weight of {item.name}: {self.kit.cite(item.source)}."],
        )

    def _compare(self, item: Ingredient, volume) -> None:
        beside = [self.kit.ingredients[n] for n in _NEIGHBOURS if n in self.kit.ingredients]
        shown = [item, *(other for other in beside if other is not item)]
        shown = shown[: self.chart.bars_count]
        grams = [each.density.m_as("g/ml") * volume.m_as("ml") for each in shown]
        self.chart.update([each.name for each in shown], grams)


def _grams(item: Ingredient, spoken) -> str:
    return f"{item.weight(spoken.amount).m_as('g'):,.1f} g"


class OvenHeatPanel(Panel):
    """Move one oven heat along °F, °C and gas mark."""

    title = "One heat, three dials"
    cautions = (
        "An oven's dial can be 15 °C (25 °F) off and more: a thermometer inside tells the truth.",
        "Oven, racks and tins burn. Dry mitts, sleeves up, door away from your face.",
    )

    def make_chart(self) -> HeatChart:
        return HeatChart()

    def make_controls(self) -> dict[str, widgets.ValueWidget]:
        low, high = HeatChart.lowest, HeatChart.highest
        return {"heat": slider("Oven heat (°F)", 350, low, high, 5)}

    def refresh(self) -> None:
        reading = Q(float(self.controls["heat"].value), "degF")
        self.chart.update(reading.m_as("degF"))
        celsius, mark = reading.m_as("degC"), gas_mark(reading)
        dial = 10 * round(celsius / 10)
        rows = [
            ["°F", f"{reading.m_as('degF'):.0f}", ""],
            ["°C", f"{celsius:.0f}", f"most dials: {dial} °C"],
            ["gas mark", say_fraction(mark), "the nearest"] if mark else ["gas mark", "none", ""],
        ]
        self.show(
            f"{say_temperature(reading)}. On a dial marked every 10 °C, set {dial} °C.",
            ["scale", "reading", "note"],
            rows,
        )
