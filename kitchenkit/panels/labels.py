"""The panel for freezer labels: what stands on one, how many sheets they take, saved to print."""

from __future__ import annotations

import datetime
import textwrap

import ipywidgets as widgets

from kitchenkit.charts.labels import LabelChart
from kitchenkit.errors import KitchenError
from kitchenkit.keeping import KeepBy, keep_by
from kitchenkit.labels import LABEL_MM, Label, LabelSheet, advice_for, freezer_labels, label_for
from kitchenkit.language import day, mark, num, tr, trc, trn
from kitchenkit.panels.base import Panel
from kitchenkit.panels.controls import dropdown, slider, text
from kitchenkit.panels.printing import PrintButtons
from kitchenkit.recipe import Recipe
from kitchenkit.sheets import PAPERS
from kitchenkit.typesetting import lay_card

# Where it is kept -> how a sentence names it.
_PLACES = {
    "freezer": mark("in the freezer"),
    "fridge": mark("in the fridge"),
    "counter": mark("on the counter"),
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

    title = mark("Labels for the freezer")
    cautions = (
        mark(
            "A label lists the allergens of the data, and never that one is absent: read the label "
            "of every package, and tell who eats it what went in."
        ),
    )

    def __init__(self, kit, today=None, folder=None):
        self._today, self._folder = str(today or datetime.date.today()), folder
        super().__init__(kit)

    def make_chart(self) -> LabelChart:
        return LabelChart()

    def make_controls(self) -> dict[str, widgets.ValueWidget]:
        products = [(tr(item.name), key) for key, item in self.kit.keeping.items()]
        if not products:
            raise KitchenError(tr("There are no keeping times yet. Add a table, keeping.csv."))
        places = [(tr(place), place) for place in _PLACES]
        papers = [(tr(paper), paper) for paper in PAPERS]
        sizes = [(trc("letters", "usual"), False), (tr("larger"), True)]
        return {
            "name": text(tr("Name on the label; empty: as it is called"), ""),
            "what": dropdown(tr("Made from"), self._bakes(), next(iter(self.kit.recipes))),
            "made": text(tr("Made on (year-month-day)"), self._today),
            "portions": slider(tr("Portions in a package"), 2, 1, 16, 1),
            "product": dropdown(tr("It keeps like"), products, products[0][1]),
            "place": dropdown(tr("Kept in"), places, "freezer"),
            "count": slider(tr("How many labels"), 8, 0, 60, 1),
            "paper": dropdown(tr("Paper"), papers, next(iter(PAPERS))),
            "large": dropdown(tr("Letters"), sizes, False),
        }

    def below(self) -> list[widgets.Widget]:
        self.saving = PrintButtons(
            self._to_print, lambda: tr("labels {name}", name=self._name), self._folder
        )
        self.saving.remove_class("kk-panel")  # it stands within this one
        return [self.saving]

    def _bakes(self) -> list[tuple[str, str]]:
        """Recipes by their key, and flavours of the first recipe by theirs, marked with a plus."""
        recipes = [(tr(recipe.name), key) for key, recipe in self.kit.recipes.items()]
        return [*recipes, *((tr(item.name), f"+{key}") for key, item in self.kit.flavours.items())]

    def refresh(self) -> None:
        value = self.values()
        name, recipe, like = self._bake(value["what"])
        kept = keep_by(self.kit, value["product"], value["place"], value["made"])
        notes = [kept.disagree] if kept.disagree else []
        care = kept.cautions
        if like and like in self.kit.keeping:
            other = keep_by(self.kit, like, value["place"], value["made"])
            care = dict.fromkeys((*other.cautions, *care))
            if other.by < kept.by:
                notes = [
                    tr(
                        "This flavour keeps like {product}, so the earlier date stands.",
                        product=tr(other.product),
                    )
                ]
                kept = other
        label = self._label(value["name"].strip() or name, recipe, kept, value["portions"])
        sheet = freezer_labels([(label, value["count"])], value["paper"], value["large"])
        size = LABEL_MM[value["large"]]
        self.chart.update(lay_card(label.card(value["large"]), size[0]), size, sheet)
        self._sheet, self._name = sheet, label.lines[0]
        if sheet.shortened:
            notes.append(tr("Its words are too long for the label: a last sheet has them in full."))
        notes.append(
            tr("Print at actual size (100 %), on ordinary paper; freezer tape holds best.")
        )
        self.show(
            self._sentence_for(label, kept, value["portions"], sheet),
            [tr("label"), tr("what it says")],
            self._rows(label, kept, sheet),
            [*notes, *care],
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
        if not kept.shortest.high:
            raise KitchenError(
                tr(
                    "{product}, {place}: do not keep it there, so there is no date to write. Bake "
                    "it first, or choose another place.",
                    product=tr(kept.product),
                    place=tr(kept.place),
                )
            )
        if kept.days < 1:
            raise KitchenError(
                tr(
                    "{product}, {place}: {limit}. No label makes that longer; choose the fridge or "
                    "the freezer.",
                    product=tr(kept.product),
                    place=tr(kept.place),
                    limit=kept.limit,
                )
            )
        advice = advice_for(kept.place)
        made = label_for(recipe, kept.made_on, kept.by, portions, advice)
        return Label(name, made.made_on, made.best_by, made.allergens, portions, advice)

    @staticmethod
    def _sentence_for(label: Label, kept: KeepBy, portions: int, sheet: LabelSheet) -> str:
        count, name = len(sheet.labels), textwrap.shorten(label.lines[0], 60, placeholder="…")
        if not count:
            return tr(
                "0 labels for {name} yet: choose how many. It would be best by {day}.",
                name=name,
                day=day(kept.by),
            )
        said = tr(
            "{labels} for {name}, {portions} in each package: best by {day}, {limit} {place}.",
            labels=trn("{n} label", "{n} labels", count, n=num(count)),
            name=name,
            portions=trn("{n} portion", "{n} portions", portions),
            day=day(kept.by),
            limit=kept.limit,
            place=tr(_PLACES[kept.place]),
        )
        sheets = trn(
            "They take {n} sheet of {paper}.",
            "They take {n} sheets of {paper}.",
            sheet.label_sheets,
            paper=tr(sheet.paper.name),
        )
        return f"{said} {sheets}"

    @staticmethod
    def _rows(label: Label, kept: KeepBy, sheet: LabelSheet) -> list[list[str]]:
        names = (
            tr("name"),
            tr("best by"),
            tr("made"),
            tr("allergens"),
            tr("keeping and thawing"),
        )
        rows = [[name, line] for name, line in zip(names, label.lines, strict=True)]
        why = {"product": tr(kept.product), "limit": kept.limit}
        rows.append(
            [
                tr("why that date"),
                tr("{product}: {limit}, for its quality", **why)
                if kept.about == "quality"
                else tr("{product}: {limit}, for safety", **why),
            ]
        )
        taken = trn(
            "{n} labels, {each} on a sheet of {paper}",
            "{n} labels, {each} on a sheet of {paper}",
            len(sheet.labels),
            each=sheet.per_sheet,
            paper=tr(sheet.paper.name),
        )
        return [*rows, [tr("sheets"), taken]]

    def _to_print(self) -> LabelSheet:
        if not self._sheet.labels:
            raise KitchenError(tr("There is no label to save. Choose how many."))
        return self._sheet
