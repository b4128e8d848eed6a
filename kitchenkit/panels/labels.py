"""The panel for freezer labels: what stands on one, how many sheets they take, saved to print."""

from __future__ import annotations

import datetime
import textwrap

import ipywidgets as widgets

from kitchenkit.charts.labels import LabelChart
from kitchenkit.errors import KitchenError
from kitchenkit.keeping import KeepBy, keep_by
from kitchenkit.labels import LABEL_MM, THAW, Label, LabelSheet, freezer_labels, label_for
from kitchenkit.panels.base import Panel
from kitchenkit.panels.controls import dropdown, slider, text
from kitchenkit.panels.printing import PrintButtons
from kitchenkit.recipe import Recipe
from kitchenkit.sheets import PAPERS
from kitchenkit.swapping import counted
from kitchenkit.typesetting import lay_card

_ADVICE = {
    "freezer": f"Keep at −18 °C (0 °F) or below. {THAW}",
    "fridge": "Keep in the fridge, at 4 °C (40 °F) or below.",
    "counter": "Keep wrapped, at about 21 °C (70 °F).",
}


class LabelsPanel(Panel):
    """Labels for one bake: its name, dates, portions and allergens, on A4 or Letter.

    Parameters
    ----------
    kit : Kit
    today : date or str, optional
        The day that stands as made on at the start; today when left out.
    folder : str or Path, optional
        Where files are saved; the learner's own folder when left out.
    """

    title = "Labels for the freezer"
    cautions = (
        "A label lists the allergens of the data, and never that one is absent: read the label of "
        "every package, and tell who eats it what went in.",
    )

    def __init__(self, kit, today=None, folder=None):
        self._today = str(today or datetime.date.today())
        super().__init__(kit)
        self.saving = PrintButtons(self._to_print, lambda: f"labels {self._name}", folder)
        self.saving.remove_class("kk-panel")  # it stands within this one
        self.children = (*self.children, self.saving)

    def make_chart(self) -> LabelChart:
        return LabelChart()

    def make_controls(self) -> dict[str, widgets.ValueWidget]:
        products = [(item.name, key) for key, item in self.kit.keeping.items()]
        if not products:
            raise KitchenError("There are no keeping times yet. Add a table, keeping.csv.")
        return {
            "name": text("Name on the label; empty: as it is called", ""),
            "what": dropdown("Made from", self._bakes(), next(iter(self.kit.recipes))),
            "made": text("Made on (year-month-day)", self._today),
            "portions": slider("Portions in a package", 2, 1, 16, 1),
            "product": dropdown("It keeps like", products, products[0][1]),
            "place": dropdown("Kept in", list(_ADVICE), "freezer"),
            "count": slider("How many labels", 8, 0, 60, 1),
            "paper": dropdown("Paper", list(PAPERS), next(iter(PAPERS))),
            "large": dropdown("Letters", [("usual", False), ("larger", True)], False),
        }

    def _bakes(self) -> list[tuple[str, str]]:
        """Recipes by their key, and flavours of the first recipe by theirs, marked with a plus."""
        recipes = [(recipe.name, key) for key, recipe in self.kit.recipes.items()]
        return [*recipes, *((item.name, f"+{key}") for key, item in self.kit.flavours.items())]

    def refresh(self) -> None:
        value = self.values()
        name, recipe, like = self._bake(value["what"])
        kept = keep_by(self.kit, value["product"], value["place"], value["made"])
        notes = [kept.disagree] if kept.disagree else []
        if like and like in self.kit.keeping:
            other = keep_by(self.kit, like, value["place"], value["made"])
            if other.by < kept.by:
                notes = [f"This flavour keeps like {other.product}, so the earlier date stands."]
                kept = other
        label = self._label(value["name"].strip() or name, recipe, kept, value["portions"])
        sheet = freezer_labels([(label, value["count"])], value["paper"], value["large"])
        size = LABEL_MM[value["large"]]
        self.chart.update(lay_card(label.card(value["large"]), size[0]), size, sheet)
        self._sheet, self._name = sheet, label.lines[0]
        if sheet.shortened:
            notes.append("Its words are too long for the label: a last sheet has them in full.")
        notes.append("Print at actual size (100 %), on ordinary paper; freezer tape holds best.")
        self.show(
            self._sentence_for(label, kept, value["portions"], sheet),
            ["label", "what it says"],
            self._rows(label, kept, sheet),
            [*notes, *kept.cautions],
        )

    def _bake(self, what: str) -> tuple[str, Recipe, str]:
        """Its name, all that goes in, and what its flavour keeps like."""
        if not what.startswith("+"):
            recipe = self.kit.recipes[what]
            return recipe.name, recipe, ""
        flavour = self.kit.flavours[what[1:]]
        base = next(iter(self.kit.recipes.values()))
        return flavour.name, flavour.applied_to(base).whole, flavour.keeping

    @staticmethod
    def _label(name: str, recipe: Recipe, kept: KeepBy, portions: int) -> Label:
        if kept.days < 1:
            raise KitchenError(
                f"{kept.product}, {kept.place}: {kept.limit}. No label makes that longer; choose "
                "the fridge or the freezer."
            )
        advice = _ADVICE[kept.place]
        made = label_for(recipe, kept.made_on, kept.by, portions, advice)
        return Label(name, made.made_on, made.best_by, made.allergens, portions, advice)

    @staticmethod
    def _sentence_for(label: Label, kept: KeepBy, portions: int, sheet: LabelSheet) -> str:
        count, name = len(sheet.labels), textwrap.shorten(label.lines[0], 60, placeholder="…")
        if not count:
            return f"0 labels for {name} yet: choose how many. It would be best by {kept.by}."
        where = "on" if kept.place == "counter" else "in"
        return (
            f"{counted(count, 'label')} for {name}, {counted(portions, 'portion')} in each "
            f"package: best by {kept.by}, {kept.limit} {where} the {kept.place}. They take "
            f"{counted(sheet.label_sheets, 'sheet')} of {sheet.paper.name}."
        )

    @staticmethod
    def _rows(label: Label, kept: KeepBy, sheet: LabelSheet) -> list[list[str]]:
        names = ("name", "best by", "made", "allergens", "keeping and thawing")
        rows = [[name, line] for name, line in zip(names, label.lines, strict=True)]
        about = "its quality" if kept.about == "quality" else "safety"
        rows.append(["why that date", f"{kept.product}: {kept.limit}, for {about}"])
        taken = f"{len(sheet.labels)} labels, {sheet.per_sheet} on a sheet of {sheet.paper.name}"
        return [*rows, ["sheets", taken]]

    def _to_print(self) -> LabelSheet:
        if not self._sheet.labels:
            raise KitchenError("There is no label to save. Choose how many.")
        return self._sheet
