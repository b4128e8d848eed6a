"""Panels for lesson 06: a flavour and its add-ins, and one ingredient in another's place."""

from __future__ import annotations

from dataclasses import replace

import ipywidgets as widgets
import pandas as pd

from kitchenkit.addins import is_wet
from kitchenkit.allergens import AllergenList
from kitchenkit.charts.flavours import PairsChart
from kitchenkit.costs import Cost
from kitchenkit.effects import Effects, by_role, flavour_effects
from kitchenkit.errors import KitchenError
from kitchenkit.flavours import USUAL_SQUEEZE, Flavour, add_in, plain_flavour
from kitchenkit.money import say_money
from kitchenkit.panels.controls import dropdown, pan_dropdown, slider
from kitchenkit.panels.cost import price_notes
from kitchenkit.panels.scale import RecipePanel
from kitchenkit.recipe import Line
from kitchenkit.replacing import Swapped, swap_ingredient
from kitchenkit.saying import say_both
from kitchenkit.units import Q

_PARTS = ("liquid", "egg", "fat", "sugar", "leavening", "salt", "other")
_SHOWN = ("liquid", "eggs", "fat", "sugar", "leavening", "salt", "the rest")
_ADDABLE = ("fruit", "vegetable", "nut", "seed", "chocolate", "cheese", "spice", "flavouring")
_SQUEEZABLE = ("fruit", "vegetable")
_ALLERGY = (
    "Lists of allergens are what the data name, not what a package or a kitchen holds. Ask before "
    "you share food, and read every label."
)
_RAW = "Raw flour and raw eggs can carry germs: do not taste the batter, and wash your hands."
_PRICES = "Prices and shops of the demo are invented. Put your own into data/prices.csv."


class FlavourPanel(RecipePanel):
    """A flavour of the base, up to three more things in it, a finish and a pan: what changes.

    Parameters
    ----------
    kit : Kit
    recipe : str, optional
    today : date or str, optional
        Prices of later days are left out; today when left out.
    flavour : str, optional
        Key of the flavour to start with; the plain base when left out.
    """

    title = "Flavour the batter"
    cautions = (_RAW, _ALLERGY, _PRICES)

    def __init__(self, kit, recipe: str | None = None, today=None, flavour: str = ""):
        self._first = kit.flavours[flavour].key if flavour else ""
        self.today = today
        self._base_cost = None  # worked out once: it is the same whatever is chosen
        super().__init__(kit, recipe)

    def make_chart(self) -> PairsChart:
        changes = ["servings", "minutes", *(["cost"] if self.kit.prices else [])]
        return PairsChart(list(_SHOWN), changes, ("base", "flavoured"))

    def make_controls(self) -> dict[str, widgets.ValueWidget]:
        flavours = [(f.name, key) for key, f in self.kit.flavours.items() if self._fits(f)]
        finishes = [
            (f"that of {f.name}", key) for key, f in self.kit.flavours.items() if f.finish_changes
        ]
        things = [
            (item.name, key) for key, item in self.kit.ingredients.items() if item.group in _ADDABLE
        ]
        flavours = [("the plain base", ""), *flavours]
        controls = {"flavour": dropdown("Flavour", flavours, self._first)}
        for n in (1, 2, 3):
            controls[f"add_{n}"] = dropdown(f"Add-in {n}", [("nothing", ""), *things], "")
            controls[f"grams_{n}"] = slider(f"Weight of add-in {n} (g)", 100, 0, 300, 5)
        squeezes = [("no, as they are", 0.0), ("yes, a third of their water", USUAL_SQUEEZE)]
        controls["squeeze"] = dropdown("Squeeze wet add-ins?", squeezes, 0.0)
        ends = [("as the flavour has it", "own"), ("none", "none"), *finishes]
        controls["finish"] = dropdown("Finish", ends, "own")
        controls["pan"] = pan_dropdown(self.kit, "Pan, at 177 °C (350 °F)", "muffin")
        return controls

    def _fits(self, flavour: Flavour) -> bool:
        try:
            flavour.applied_to(self.recipe)
        except KitchenError:
            return False
        return True

    def _flavour(self) -> Flavour:
        value = self.values()
        chosen = self.kit.flavours[value["flavour"]] if value["flavour"] else None
        flavour = chosen or plain_flavour(self.recipe)
        if value["finish"] != "own":
            other = self.kit.flavours.get(value["finish"])
            flavour = flavour.with_finish_of(other)
        more, names = [], []
        for n in (1, 2, 3):
            name, grams = value[f"add_{n}"], value[f"grams_{n}"]
            if name and grams:
                item = self.kit.ingredients[name]
                wet = item.group in _SQUEEZABLE and is_wet(item)
                # The slider is for the base as written; the flavour may be for another number.
                amount = Q(grams, "g") * flavour.servings / self.recipe.servings
                more.append(add_in(self.kit, name, amount, squeeze=value["squeeze"] * wet))
                names.append(item.name)
        if names:
            flavour = replace(flavour, name=f"{flavour.name}, with {' and '.join(names)}")
        return flavour.plus(*more)

    def refresh(self) -> None:
        flavour = self._flavour()
        pan = self.kit.pans[self.controls["pan"].value]
        asked = {"today": self.today, "base_cost": self._base_cost}
        found = flavour_effects(self.kit, self.recipe, flavour, pan, **asked)
        self._base_cost = found.costs[0]
        self._draw(found)
        self.show(
            self._sentence_for(found),
            ["what", "base", "flavoured", "difference"],
            [*_rows(found.table), *_check_rows(found)],
            self._notes(found),
        )

    def _draw(self, found: Effects) -> None:
        before, after = (found.table[name].to_dict() for name in ("before", "after"))
        compared = [name for name in ("servings", "baking time", "cost") if name in before]
        words = [f"{before[name]:.1f} → {after[name]:.1f}" for name in compared]
        words[1] += " min"
        if found.costs[0] is not None:
            words[2] = " → ".join(str(cost.serving) for cost in found.costs)
        # What was free before has no percentage.
        shares = [100 * (after[x] / before[x] - 1) if before[x] else 0.0 for x in compared]
        parts = ([one[part] for part in _PARTS] for one in (before, after))
        self.chart.update(*parts, shares, words)

    def _sentence_for(self, found: Effects) -> str:
        before, after = found.bakes
        grams = found.table.loc["batter weight"]
        said = (
            f"{found.made.flavour.name.capitalize()}: {say_both(Q(grams.after, 'g'))} of batter, "
            f"{_by_how_much(grams.difference, '{:.0f} g')} the base. In {found.count} "
            f"{found.pan.unit}{'s' if found.count != 1 else ''} of the {found.pan.name}, it takes "
            f"{after} (the base in as many: {before.minutes.m_as('min'):.0f} min)."
        )
        if found.costs[1] is not None:
            said += _cost_words(found.costs, "the base")
        return said + " " + (found.advice[0] if found.advice else "Nothing is stretched.")

    def _notes(self, found: Effects) -> list[str]:
        made = found.made
        notes = [*found.advice, *made.steps(), *([made.flavour.note] if made.flavour.note else [])]
        notes += made.cautions()
        notes += _allergen_notes(found.allergens[1])
        notes.append(
            "The minutes follow from how deep the batter stands. What sugar, fruit or a topping "
            "change besides is not modelled: the window allows for it, and a skewer decides."
        )
        return notes + _price_notes(found.costs[1])


def _rows(table: pd.DataFrame) -> list[list[str]]:
    """The numbers in words; what the batter never has is left out."""
    rows = []
    for row in table.itertuples():
        name = row.Index
        if name == "flour" or not (row.before or row.after):  # flour is 100 always
            continue
        if name in ("batter weight", "batter volume", "finish"):
            said = [say_both(Q(size, row.unit)) for size in (row.before, row.after)]
            difference = _shift(row.difference, 0, row.unit)
        elif name == "cost":
            said = [f"{size:.3f} {row.unit}" for size in (row.before, row.after)]
            difference = _shift(row.difference, 3)
        else:
            unit = "%" if row.unit.startswith("%") else "min" if row.unit == "min" else ""
            said = [f"{size:.1f} {unit}".strip() for size in (row.before, row.after)]
            difference = _shift(row.difference, 1, unit)
        words = {"other": "the rest", "egg": "eggs", "finish": "finish, on top"}.get(name, name)
        of = ", of the flour" if row.unit.startswith("%") else ""
        rows.append([f"{words}{of}", *said, difference])
    return rows


def _shift(size: float, digits: int, unit: str = "") -> str:
    """A difference with its sign, which nothing has not."""
    if not round(size, digits):
        return "none"
    return f"{size:+.{digits}f} {unit}".strip().replace("-", "−")


def _check_rows(found: Effects) -> list[list[str]]:
    rows = []
    for row in found.checks.itertuples():
        usual = f"{row.low:g} to {row.high:g}"
        kind = "usual shift" if row.low < 0 else "usual"
        difference = _shift(row.value - row.base, 0, "g")
        rows.append(
            [
                f"{row.Index}, to 100 g of flour ({kind} {usual.replace('-', '−')} g)",
                f"{row.base:.0f} g",
                f"{row.value:.0f} g",
                difference,
            ]
        )
    return rows


def _by_how_much(difference: float, words: str) -> str:
    if abs(difference) < 0.5:
        return "as much as"
    size = words.format(abs(difference))
    return f"{size} {'more' if difference > 0 else 'less'} than"


def _cost_words(costs: tuple[Cost, Cost], than: str) -> str:
    """What a serving costs, in which currency, where and when."""
    before, after = costs
    least = "" if after.complete else "at least "
    change = float(after.serving) - float(before.serving)
    digits = after.serving.digits + 1
    shift = "as much as before"
    if abs(change) >= 0.5 * 10**-digits:
        size = say_money(abs(after.serving - before.serving), digits=digits)
        shift = f"{size} {'more' if change > 0 else 'less'} than {than}"
    return (
        f" A serving costs {least}{say_money(after.serving, digits=digits)}, {shift} "
        f"({after.currency}, each at its cheapest shop, {after.dates})."
    )


def _price_notes(cost: Cost | None) -> list[str]:
    if cost is None:
        return ["No prices are known, so there is no cost."]
    return price_notes(cost)


def _allergen_notes(listed: AllergenList) -> list[str]:
    notes = [f"Allergens. {listed}"]
    if listed.gluten_words:
        notes.append(listed.gluten_words)
    if listed.may:
        notes.append(f"Look closest at the labels of: {', '.join(listed.may)}.")
    return notes


_ALL_THE_TRADE_DOES = 0.0


class ReplacePanel(RecipePanel):
    """One ingredient in another's place: amounts, what the trade says, ratios, allergens, cost.

    Parameters
    ----------
    kit : Kit
    recipe : str, optional
    today : date or str, optional
        Prices of later days are left out; today when left out.

    Raises
    ------
    KitchenError
        If no swap of the kit fits the recipe.
    """

    title = "Put something else in its place"
    cautions = (_RAW, _ALLERGY, _PRICES)

    def __init__(self, kit, recipe: str | None = None, today=None):
        self.today = today
        self._base_cost = None  # worked out once: it is the same whatever is chosen
        super().__init__(kit, recipe)

    def make_chart(self) -> PairsChart:
        changes = ["weight", *(["cost"] if self.kit.prices else [])]
        return PairsChart(list(_SHOWN), changes, ("as written", "swapped"))

    def make_controls(self) -> dict[str, widgets.ValueWidget]:
        has = {line.ingredient.key for line in self.recipe.lines}
        swaps = [(s.name, key) for key, s in self.kit.swaps.items() if s.out.key in has]
        if not swaps:
            raise KitchenError("No swap fits this recipe. Add one to swaps.csv.")
        parts = [("as much as the trade swaps", _ALL_THE_TRADE_DOES)]
        parts += [(f"{share:.0%} of it", share) for share in (0.25, 0.5, 0.75, 1.0)]
        return {
            "swap": dropdown("Swap", swaps, swaps[0][1]),
            "share": dropdown("How much of it", parts, _ALL_THE_TRADE_DOES),
        }

    def refresh(self) -> None:
        share = self.controls["share"].value or None
        asked = {"today": self.today, "base_cost": self._base_cost}
        swap = self.controls["swap"].value
        done = swap_ingredient(self.kit, self.recipe, swap, share, **asked)
        self._base_cost = done.costs[0]
        self._draw(done)
        self.show(
            self._sentence_for(done),
            ["ratio", "as written", "swapped", "usual", "verdict"],
            [
                [
                    name,
                    f"{row.before:.2f}",
                    f"{row.value:.2f} {row.unit}",
                    f"{row.low:g} to {row.high:g}",
                    row.verdict,
                ]
                for name, row in done.ratios.iterrows()
            ],
            self._notes(done),
        )

    def _draw(self, done: Swapped) -> None:
        before, after = (by_role(one)[list(_PARTS)] for one in (done.base, done.recipe))
        pairs = [x.weight.m_as("g") for x in (done.base, done.recipe)]
        changes, words = [pairs[1] / pairs[0]], [f"{pairs[0]:.0f} → {pairs[1]:.0f} g"]
        if done.costs[0] is not None:
            old, new = (cost.serving for cost in done.costs)
            changes.append(float(new) / float(old) if old else 1.0)
            words.append(f"{old} → {new}")
        shares = [100 * (change - 1) for change in changes]
        self.chart.update(list(before), list(after), shares, words)

    def _sentence_for(self, done: Swapped) -> str:
        gone = self.recipe.line(done.swap.out.name)
        gone = replace(gone, amount=gone.amount * done.share)
        times = (gone.weight / done.swap.out.weight(done.swap.of)).m_as("")
        put = [f"{Line(item, amount * times).say()} {item.name}" for item, amount in done.swap.put]
        # Eggs are counted by name already.
        name = "" if gone.role == "egg" else f" {gone.ingredient.name}"
        said = f"For {gone.say()}{name} ({done.share:.0%} of it) put {' + '.join(put)}. "
        said += done.swap.does
        return said + (_cost_words(done.costs, "as written") if done.costs[1] is not None else "")

    def _notes(self, done: Swapped) -> list[str]:
        notes = [f"When it fails: {done.swap.fails}", *done.cautions]
        if done.new_allergens:
            notes.append(f"The data now name {', '.join(done.new_allergens)} as well.")
        notes += _allergen_notes(done.allergens)
        # What stands in for the egg is judged by the swap's own words, not by the egg it lacks.
        notes += [
            row.advice
            for name, row in done.ratios.iterrows()
            if row.advice and name != done.swap.kind
        ]
        source = f"Source: {self.kit.cite(done.swap.source)}."
        notes.append(f"{source} {done.swap.note}".strip())
        return notes + _price_notes(done.costs[1])
