"""Panels for lessons 00 and 02: the batter at a glance, and the batter scaled five ways."""

from __future__ import annotations

import ipywidgets as widgets

from kitchenkit.charts.scale import BatterChart, BeforeAfterChart
from kitchenkit.errors import MeasureError
from kitchenkit.language import mark, num, tr, trn
from kitchenkit.panels.base import Panel
from kitchenkit.panels.controls import dropdown, pan_dropdown, percent, slider, text, times
from kitchenkit.panels.pieces import show_if
from kitchenkit.saying import say_both
from kitchenkit.units import Q


class RecipePanel(Panel):
    """A panel over one recipe.

    Parameters
    ----------
    kit : Kit
    recipe : str, optional
        Its key or name; the kit's first when left out.
    """

    def __init__(self, kit, recipe: str | None = None):
        self.recipe = kit.recipes[recipe if recipe is not None else next(iter(kit.recipes))]
        super().__init__(kit)


class GlancePanel(RecipePanel):
    """How many pieces? What goes into the bowl."""

    title = mark("The batter at a glance")
    cautions = (
        mark(
            "Raw flour and raw eggs can carry germs: do not taste the batter, and wash your hands."
        ),
    )

    def make_chart(self) -> BatterChart:
        table = self.recipe.bakers_percent().groupby("role")["grams"].sum()
        self._roles = list(table.sort_values(ascending=False).index)
        self._words = _role_words(self.recipe)
        return BatterChart([self._words[part] for part in self._roles])

    def make_controls(self) -> dict[str, widgets.ValueWidget]:
        return {"pieces": slider(tr("How many pieces?"), self.recipe.servings, 1, 96, 1)}

    def refresh(self) -> None:
        made = self.recipe.scale(servings=self.controls["pieces"].value)
        grams = made.bakers_percent().groupby("role")["grams"].sum()
        self.chart.update([grams[part] for part in self._roles])
        one = made.weight / made.servings
        rows = [[self._words[part], say_both(Q(grams[part], "g"))] for part in self._roles]
        self.show(
            trn(
                "{n} piece of about {one} each: make {times}, {all} in all.",
                "{n} pieces of about {one} each: make {times}, {all} in all.",
                self.controls["pieces"].value,
                one=say_both(one),
                times=times(made.factor),
                all=say_both(made.weight),
            ),
            [tr("part of the batter"), tr("weight")],
            [*rows, [tr("all of it"), say_both(made.weight)]],
        )


def _role_words(recipe) -> dict[str, str]:
    """A role's name to show: the ingredient itself where it is alone in it."""
    names: dict[str, list[str]] = {}
    for line in recipe.lines:
        names.setdefault(line.role, []).append(line.ingredient.name)
    many = {"flour": mark("flour and grain"), "egg": mark("eggs"), "other": mark("the rest")}
    return {
        role: tr(found[0]) if len(found) == 1 else tr(many.get(role, role))
        for role, found in names.items()
    }


_WAYS = {
    "by": mark("so many times the recipe"),
    "servings": mark("for so many pieces"),
    "weight": mark("to a weight of batter"),
    "using": mark("to use something up"),
    "pans": mark("to fill pans"),
}
# Which controls a way needs.
_SHOWN_FOR = {
    "by": ["by"],
    "servings": ["servings"],
    "weight": ["weight"],
    "using": ["use_up", "use_amount"],
    "pans": ["pan", "pan_count"],
}


class ScalePanel(RecipePanel):
    """Scale a recipe by factor, pieces, weight, what must be used up, or pans to fill."""

    title = mark("Scale the batter")
    cautions = (mark("Raw flour and raw eggs can carry germs: do not taste the batter."),)

    def make_chart(self) -> BeforeAfterChart:
        table = self.recipe.amounts()
        return BeforeAfterChart([tr(name) for name in table.index], list(table["grams"]))

    def make_controls(self) -> dict[str, widgets.ValueWidget]:
        lines = [(tr(line.ingredient.name), line.ingredient.name) for line in self.recipe.lines]
        most = max(self.recipe.lines, key=lambda line: line.role == "other" and line.weight)
        return {
            "way": dropdown(
                tr("Scale it"), [(tr(words), way) for way, words in _WAYS.items()], "by"
            ),
            "by": slider(tr("Times the recipe"), 2, 0.25, 8, 0.05),
            "servings": slider(tr("Pieces"), 24, 1, 120, 1),
            "weight": slider(tr("Weight of batter (g)"), 1500, 200, 8000, 50),
            "use_up": dropdown(tr("Use up"), lines, most.ingredient.name),
            "use_amount": text(tr("How much of it you have"), "700 g"),
            "pan": pan_dropdown(self.kit, tr("Pan to fill")),
            "pan_count": slider(tr("How many of that pan"), 2, 1, 12, 1),
        }

    def refresh(self) -> None:
        way = self.controls["way"].value
        for name, control in self.controls.items():
            if name != "way":
                show_if(control, name in _SHOWN_FOR[way])
        made = self._scaled(way)
        table = made.amounts()
        self.chart.update(list(table["grams"]))
        rows = [
            [
                tr(name),
                f"{num(row.grams, ',.0f' if row.grams >= 10 else '.1f')} g",
                f"{row.us} ({percent(row.us_error)})",
                f"{row.metric} ({percent(row.metric_error)})",
            ]
            for name, row in table.iterrows()
        ]
        self.show(
            trn(
                "Make {times}: {weight} of batter, {volume}, for about {n} piece.",
                "Make {times}: {weight} of batter, {volume}, for about {n} pieces.",
                round(made.servings),
                times=times(made.factor),
                weight=say_both(made.weight),
                volume=say_both(made.volume),
            ),
            [
                tr("ingredient"),
                tr("exactly"),
                tr("cups and spoons (off by)"),
                tr("scale and metric spoons (off by)"),
            ],
            rows,
            [*made.advice(), tr("Batter weighs {density}.", density=made.density_why)],
        )

    def _scaled(self, way: str):
        value = self.values()
        if way == "using":
            if not value["use_amount"].strip():
                raise MeasureError(tr("Write how much you have, like 700 g."))
            return self.recipe.scale(using=(value["use_up"], value["use_amount"]))
        if way == "pans":
            return self.recipe.scale(pans=[self.kit.pans[value["pan"]]] * value["pan_count"])
        if way == "weight":
            return self.recipe.scale(weight=Q(value["weight"], "g"))
        return self.recipe.scale(**{way: value[way]})
