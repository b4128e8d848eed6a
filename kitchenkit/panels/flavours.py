"""Panels for lesson 06: a flavour and its add-ins, and one ingredient in another's place."""

from __future__ import annotations

from dataclasses import replace

import ipywidgets as widgets

from kitchenkit.addins import is_wet
from kitchenkit.allergens import AllergenList
from kitchenkit.charts.flavours import PairsChart
from kitchenkit.costs import Cost
from kitchenkit.effects import Effects, by_role, flavour_effects
from kitchenkit.errors import KitchenError
from kitchenkit.flavours import USUAL_SQUEEZE, Flavour, add_in, plain_flavour
from kitchenkit.language import mark, num, phrase, tr, trc, trn
from kitchenkit.money import say_money
from kitchenkit.panels.controls import dropdown, pan_dropdown, slider
from kitchenkit.panels.cost import price_notes
from kitchenkit.panels.scale import RecipePanel
from kitchenkit.recipe import Line
from kitchenkit.replacing import Swapped, swap_ingredient
from kitchenkit.saying import say_both
from kitchenkit.units import Q

_SHOWN = {
    "liquid": mark("liquid"),
    "egg": mark("eggs"),
    "fat": mark("fat"),
    "sugar": mark("sugar"),
    "leavening": mark("leavening"),
    "salt": mark("salt"),
    "other": mark("the rest"),
}
_ADDABLE = ("fruit", "vegetable", "nut", "seed", "chocolate", "cheese", "spice", "flavouring")
_SQUEEZABLE = ("fruit", "vegetable")
_ALLERGY = mark(
    "Lists of allergens are what the data name, not what a package or a kitchen holds. Ask before "
    "you share food, and read every label."
)
_RAW = mark("Raw flour and raw eggs can carry germs: do not taste the batter, and wash your hands.")
_PRICES = mark("Prices and shops of the demo are invented. Put your own into data/prices.csv.")
# Of the base, or of the recipe as it is written.
_THAN_BASE = (mark("{size} more than the base"), mark("{size} less than the base"))
_THAN_WRITTEN = (mark("{size} more than as written"), mark("{size} less than as written"))


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

    title = mark("Flavour the batter")
    cautions = (_RAW, _ALLERGY, _PRICES)

    def __init__(self, kit, recipe: str | None = None, today=None, flavour: str = ""):
        self._first = kit.flavours[flavour].key if flavour else ""
        self.today = today
        self._base_cost = None  # worked out once: it is the same whatever is chosen
        super().__init__(kit, recipe)

    def make_chart(self) -> PairsChart:
        changes = [tr("servings"), tr("minutes"), *([tr("cost")] if self.kit.prices else [])]
        return PairsChart(_shown(), changes, (tr("base"), tr("flavoured")))

    def make_controls(self) -> dict[str, widgets.ValueWidget]:
        flavours = [(tr(f.name), key) for key, f in self.kit.flavours.items() if self._fits(f)]
        finishes = [
            (tr("that of {flavour}", flavour=tr(f.name)), key)
            for key, f in self.kit.flavours.items()
            if f.finish_changes
        ]
        things = [
            (tr(item.name), key)
            for key, item in self.kit.ingredients.items()
            if item.group in _ADDABLE
        ]
        flavours = [(tr("the plain base"), ""), *flavours]
        controls = {"flavour": dropdown(tr("Flavour"), flavours, self._first)}
        for n in (1, 2, 3):
            controls[f"add_{n}"] = dropdown(
                tr("Add-in {n}", n=n), [(tr("nothing"), ""), *things], ""
            )
            controls[f"grams_{n}"] = slider(tr("Weight of add-in {n} (g)", n=n), 100, 0, 300, 5)
        squeezes = [
            (tr("no, as they are"), 0.0),
            (tr("yes, a third of their water"), USUAL_SQUEEZE),
        ]
        controls["squeeze"] = dropdown(tr("Squeeze wet add-ins?"), squeezes, 0.0)
        ends = [
            (tr("as the flavour has it"), "own"),
            (trc("finish", "none"), "none"),
            *finishes,
        ]
        controls["finish"] = dropdown(tr("Finish"), ends, "own")
        controls["pan"] = pan_dropdown(self.kit, tr("Pan, at 177 °C (350 °F)"), "muffin")
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
            flavour = replace(flavour, name=_with(flavour.name, names))
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
            [tr("what"), tr("base"), tr("flavoured"), tr("difference")],
            [*_rows(found), *_check_rows(found)],
            self._notes(found),
        )

    def _draw(self, found: Effects) -> None:
        before, after = (found.table[name].to_dict() for name in ("before", "after"))
        compared = [name for name in ("servings", "baking time", "cost") if name in before]
        words = [f"{num(before[x], '.1f')} → {num(after[x], '.1f')}" for x in compared]
        words[1] += " min"
        if found.costs[0] is not None:
            words[2] = " → ".join(str(cost.serving) for cost in found.costs)
        # What was free before has no percentage.
        shares = [100 * (after[x] / before[x] - 1) if before[x] else 0.0 for x in compared]
        parts = ([one[part] for part in _SHOWN] for one in (before, after))
        self.chart.update(*parts, shares, words)

    def _sentence_for(self, found: Effects) -> str:
        before, after = found.bakes
        grams = found.table.loc["batter weight"]
        said = [
            tr(
                "{flavour}: {weight} of batter, {compared}.",
                flavour=_capital(tr(found.made.flavour.name)),
                weight=say_both(Q(grams.after, "g")),
                compared=_compared(grams.difference),
            )
        ]
        times = {
            "pan": tr(found.pan.name),
            "time": str(after),
            "base": num(before.minutes.m_as("min"), ".0f"),
        }
        if found.pan.wells == 1:
            takes = trn(
                "In {n} pan of the {pan}, it takes {time} (the base in as many: {base} min).",
                "In {n} pans of the {pan}, it takes {time} (the base in as many: {base} min).",
                found.count,
                **times,
            )
        else:
            takes = trn(
                "In {n} well of the {pan}, it takes {time} (the base in as many: {base} min).",
                "In {n} wells of the {pan}, it takes {time} (the base in as many: {base} min).",
                found.count,
                **times,
            )
        said.append(takes)
        if found.costs[1] is not None:
            said.append(_cost_words(found.costs, _THAN_BASE))
        said.append(tr(found.advice[0]) if found.advice else tr("Nothing is stretched."))
        return " ".join(said)

    def _notes(self, found: Effects) -> list[str]:
        made = found.made
        notes = [*map(tr, found.advice), *made.steps()]
        notes += [tr(made.flavour.note)] if made.flavour.note else []
        notes += made.cautions()
        notes += _allergen_notes(found.allergens[1])
        notes.append(
            tr(
                "The minutes follow from how deep the batter stands. What sugar, fruit or a "
                "topping change besides is not modelled: the window allows for it, and a skewer "
                "decides."
            )
        )
        return notes + _price_notes(found.costs[1])


def _shown() -> list[str]:
    return [tr(part) for part in _SHOWN.values()]


def _with(flavour: str, added: list[str]) -> str:
    """The name of a flavour with one, two or three more things in it."""
    first, *more = added
    if not more:
        return phrase("{flavour}, with {first}", flavour=flavour, first=first)
    second, *more = more
    if not more:
        return phrase(
            "{flavour}, with {first} and {second}", flavour=flavour, first=first, second=second
        )
    return phrase(
        "{flavour}, with {first} and {second} and {third}",
        flavour=flavour,
        first=first,
        second=second,
        third=more[0],
    )


def _capital(words: str) -> str:
    return words[:1].upper() + words[1:]


def _rows(found: Effects) -> list[list[str]]:
    """The numbers in words; what the batter never has is left out."""
    rows = []
    for row in found.table.itertuples():
        name = row.Index
        if name == "flour" or not (row.before or row.after):  # flour is 100 always
            continue
        if name in ("batter weight", "batter volume", "finish"):
            said = [say_both(Q(size, row.unit)) for size in (row.before, row.after)]
            difference = _shift(row.difference, 0, row.unit)
        elif name == "cost":
            said = [
                tr("{cost} a serving", cost=f"{num(size, '.3f')} {found.costs[0].currency}")
                for size in (row.before, row.after)
            ]
            difference = _shift(row.difference, 3)
        else:
            unit = "%" if row.unit.startswith("%") else "min" if row.unit == "min" else ""
            said = [f"{num(size, '.1f')} {unit}".strip() for size in (row.before, row.after)]
            difference = _shift(row.difference, 1, unit)
        words = tr((_SHOWN | _MEASURED)[name])
        if row.unit.startswith("%"):
            words = tr("{part}, of the flour", part=words)
        rows.append([words, *said, difference])
    return rows


_MEASURED = {
    "batter weight": mark("batter weight"),
    "batter volume": mark("batter volume"),
    "finish": mark("finish, on top"),
    "servings": mark("servings"),
    "baking time": mark("baking time"),
    "cost": mark("cost"),
}


def _shift(size: float, digits: int, unit: str = "") -> str:
    """A difference with its sign, which nothing has not."""
    if not round(size, digits):
        return trc("difference", "none")
    return f"{num(size, f'+.{digits}f')} {unit}".strip().replace("-", "−")


def _check_rows(found: Effects) -> list[list[str]]:
    rows = []
    for row in found.checks.itertuples():
        said = {
            "what": tr(row.Index),
            "low": num(row.low, "g").replace("-", "−"),
            "high": num(row.high, "g"),
        }
        if row.low < 0:
            rule = tr("{what}, to 100 g of flour (usual shift {low} to {high} g)", **said)
        else:
            rule = tr("{what}, to 100 g of flour (usual {low} to {high} g)", **said)
        rows.append(
            [
                rule,
                f"{num(row.base, '.0f')} g",
                f"{num(row.value, '.0f')} g",
                _shift(row.value - row.base, 0, "g"),
            ]
        )
    return rows


def _compared(grams: float) -> str:
    """A batter's weight beside the base's."""
    if abs(grams) < 0.5:
        return tr("as much as the base")
    said = _THAN_BASE[0] if grams > 0 else _THAN_BASE[1]
    return tr(said, size=f"{num(abs(grams), '.0f')} g")


def _cost_words(costs: tuple[Cost, Cost], than: tuple[str, str]) -> str:
    """What a serving costs, in which currency, where and when."""
    before, after = costs
    change = float(after.serving) - float(before.serving)
    digits = after.serving.digits + 1
    compared = tr("as much as before")
    if abs(change) >= 0.5 * 10**-digits:
        shift = than[0] if change > 0 else than[1]
        size = say_money(abs(after.serving - before.serving), digits=digits)
        compared = tr(shift, size=size)
    said = {
        "cost": say_money(after.serving, digits=digits),
        "compared": compared,
        "currency": after.currency,
        "dates": after.dates,
    }
    if after.complete:
        return tr(
            "A serving costs {cost}, {compared} ({currency}, each at its cheapest shop, {dates}).",
            **said,
        )
    return tr(
        "A serving costs at least {cost}, {compared} ({currency}, each at its cheapest shop, "
        "{dates}).",
        **said,
    )


def _price_notes(cost: Cost | None) -> list[str]:
    if cost is None:
        return [tr("No prices are known, so there is no cost.")]
    return price_notes(cost)


def _allergen_notes(listed: AllergenList) -> list[str]:
    notes = [tr("Allergens. {listed}", listed=str(listed))]
    if listed.gluten_words:
        notes.append(listed.gluten_words)
    if listed.may:
        names = ", ".join(map(tr, listed.may))
        notes.append(tr("Look closest at the labels of: {ingredients}.", ingredients=names))
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

    title = mark("Put something else in its place")
    cautions = (_RAW, _ALLERGY, _PRICES)

    def __init__(self, kit, recipe: str | None = None, today=None):
        self.today = today
        self._base_cost = None  # worked out once: it is the same whatever is chosen
        super().__init__(kit, recipe)

    def make_chart(self) -> PairsChart:
        changes = [tr("weight"), *([tr("cost")] if self.kit.prices else [])]
        return PairsChart(_shown(), changes, (tr("as written"), tr("swapped")))

    def make_controls(self) -> dict[str, widgets.ValueWidget]:
        has = {line.ingredient.key for line in self.recipe.lines}
        swaps = [(tr(s.name), key) for key, s in self.kit.swaps.items() if s.out.key in has]
        if not swaps:
            raise KitchenError(tr("No swap fits this recipe. Add one to swaps.csv."))
        parts = [(tr("as much as the trade swaps"), _ALL_THE_TRADE_DOES)]
        parts += [
            (tr("{share} of it", share=num(share, ".0%")), share)
            for share in (0.25, 0.5, 0.75, 1.0)
        ]
        return {
            "swap": dropdown(tr("Swap"), swaps, swaps[0][1]),
            "share": dropdown(tr("How much of it"), parts, _ALL_THE_TRADE_DOES),
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
            [tr("ratio"), tr("as written"), tr("swapped"), tr("usual"), tr("verdict")],
            [
                [
                    tr(name),
                    num(row.before, ".2f"),
                    f"{num(row.value, '.2f')} {tr(row.unit)}",
                    tr("{low} to {high}", low=num(row.low, "g"), high=num(row.high, "g")),
                    tr(row.verdict),
                ]
                for name, row in done.ratios.iterrows()
            ],
            self._notes(done),
        )

    def _draw(self, done: Swapped) -> None:
        before, after = (by_role(one)[list(_SHOWN)] for one in (done.base, done.recipe))
        pairs = [x.weight.m_as("g") for x in (done.base, done.recipe)]
        changes, words = (
            [pairs[1] / pairs[0]],
            [" → ".join(num(size, ".0f") for size in pairs) + " g"],
        )
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
        put = [_so_much(Line(item, amount * times)) for item, amount in done.swap.put]
        said = [
            tr(
                "For {amount} ({share} of it) put {instead}.",
                # Eggs are counted by name already.
                amount=gone.say() if gone.role == "egg" else _so_much(gone),
                share=num(done.share, ".0%"),
                instead=" + ".join(put),
            ),
            tr(done.swap.does),
        ]
        if done.costs[1] is not None:
            said.append(_cost_words(done.costs, _THAN_WRITTEN))
        return " ".join(said)

    def _notes(self, done: Swapped) -> list[str]:
        notes = [tr("When it fails: {fault}", fault=tr(done.swap.fails)), *done.cautions]
        if done.new_allergens:
            names = ", ".join(map(tr, done.new_allergens))
            notes.append(tr("The data now name {allergens} as well.", allergens=names))
        notes += _allergen_notes(done.allergens)
        # What stands in for the egg is judged by the swap's own words, not by the egg it lacks.
        notes += [
            tr(row.advice)
            for name, row in done.ratios.iterrows()
            if row.advice and name != done.swap.kind
        ]
        source = tr("Source: {source}.", source=self.kit.cite(done.swap.source))
        notes.append(f"{source} {tr(done.swap.note)}".strip())
        return notes + _price_notes(done.costs[1])


def _so_much(line: Line) -> str:
    return tr("{amount} {ingredient}", amount=line.say(), ingredient=tr(line.ingredient.name))
