"""Panels for lesson 01: what an amount weighs, and what an oven heat is on every dial."""

from __future__ import annotations

import ipywidgets as widgets

from kitchenkit.charts.measure import HeatChart, SameAmountChart
from kitchenkit.errors import MeasureError
from kitchenkit.ingredients import Ingredient
from kitchenkit.language import mark, num, tr, trc
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

    title = mark("What does it weigh?")
    cautions = (
        mark(
            "Weights are for level cups, spooned and not pressed. A scooped cup of flour can weigh "
            "a fifth more: where it matters, use a scale."
        ),
    )

    def make_chart(self) -> SameAmountChart:
        return SameAmountChart()

    def make_controls(self) -> dict[str, widgets.ValueWidget]:
        names = sorted((tr(item.name), item.name) for item in self.kit.ingredients.values())
        return {
            "ingredient": dropdown(tr("Ingredient"), names, "rolled oats"),
            "amount": text(tr("Amount, as you would write it"), "1 1/2 cups"),
        }

    def refresh(self) -> None:
        item = self.kit.ingredients[self.controls["ingredient"].value]
        amount = read_measure(self.controls["amount"].value)
        weight, volume = item.weight(amount), item.volume(amount)
        if not weight.magnitude:
            raise MeasureError(tr("That is nothing at all. Write an amount above 0, like 1 cup."))
        self._compare(item, volume)
        said = {tools: say_measure(volume, tools) for tools in ("us", "metric")}
        scale = say_measure(weight, "scale")
        rows = [
            [tr("exactly"), say_both(weight), say_both(volume), ""],
            [
                tr("cups and spoons"),
                _grams(item, said["us"]),
                said["us"],
                percent(said["us"].error),
            ],
            [
                tr("jug and metric spoons"),
                _grams(item, said["metric"]),
                said["metric"],
                percent(said["metric"].error),
            ],
            [tr("kitchen scale"), scale, "", percent(scale.error)],
        ]
        self.show(
            tr(
                "{ingredient}, {amount}: {weight}. With cups and spoons: {said}, off by {off}.",
                ingredient=tr(item.name).capitalize(),
                amount=self.controls["amount"].value.strip(),
                weight=say_both(weight),
                said=said["us"],
                off=percent(said["us"].error),
            ),
            [tr("how"), tr("weight"), tr("volume"), tr("off by")],
            rows,
            [
                tr(
                    "Weight of {ingredient}: {source}.",
                    ingredient=tr(item.name),
                    source=self.kit.cite(item.source),
                )
            ],
        )

    def _compare(self, item: Ingredient, volume) -> None:
        beside = [self.kit.ingredients[n] for n in _NEIGHBOURS if n in self.kit.ingredients]
        shown = [item, *(other for other in beside if other is not item)]
        shown = shown[: self.chart.bars_count]
        grams = [each.density.m_as("g/ml") * volume.m_as("ml") for each in shown]
        self.chart.update([tr(each.name) for each in shown], grams)


def _grams(item: Ingredient, spoken) -> str:
    return f"{num(item.weight(spoken.amount).m_as('g'), ',.1f')} g"


class OvenHeatPanel(Panel):
    """Move one oven heat along °F, °C and gas mark."""

    title = mark("One heat, three dials")
    cautions = (
        mark(
            "An oven's dial can be 15 °C (25 °F) off and more: a thermometer inside tells the "
            "truth."
        ),
        mark("Oven, racks and tins burn. Dry mitts, sleeves up, door away from your face."),
    )

    def make_chart(self) -> HeatChart:
        return HeatChart()

    def make_controls(self) -> dict[str, widgets.ValueWidget]:
        low, high = HeatChart.lowest, HeatChart.highest
        return {"heat": slider(tr("Oven heat (°F)"), 350, low, high, 5)}

    def refresh(self) -> None:
        reading = Q(float(self.controls["heat"].value), "degF")
        self.chart.update(reading.m_as("degF"))
        celsius, gas = reading.m_as("degC"), gas_mark(reading)
        dial = 10 * round(celsius / 10)
        rows = [
            ["°F", f"{reading.m_as('degF'):.0f}", ""],
            ["°C", f"{celsius:.0f}", tr("most dials: {dial} °C", dial=dial)],
            [tr("gas mark"), say_fraction(gas), tr("the nearest")]
            if gas
            else [tr("gas mark"), trc("a gas mark", "none"), ""],
        ]
        self.show(
            tr(
                "{reading}. On a dial marked every 10 °C, set {dial} °C.",
                reading=say_temperature(reading),
                dial=dial,
            ),
            [trc("of temperature", "scale"), tr("reading"), tr("note")],
            rows,
        )
