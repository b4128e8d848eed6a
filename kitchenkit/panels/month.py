"""The panel for lesson 08: a month of snacks on a budget, with everything learnt before."""

from __future__ import annotations

import ipywidgets as widgets

from kitchenkit.charts.month import MonthChart
from kitchenkit.costs import places
from kitchenkit.errors import KitchenError
from kitchenkit.flavours import plain_flavour
from kitchenkit.keeping import keep_by
from kitchenkit.language import day, mark, tr, trn
from kitchenkit.month import MonthPlan, plan_month
from kitchenkit.panels.controls import dropdown, number, pan_dropdown, slider
from kitchenkit.panels.scale import RecipePanel
from kitchenkit.panels.stock import BAKE_ON, say_day
from kitchenkit.units import Q

_ROWS = 8  # bakes in the table
_PLAIN = ""
_FIRST = ("cocoa-cherry", "apple-ginger")  # to start with, where the kit has them


class MonthPanel(RecipePanel):
    """Who eats how much, which flavours, which pan, what budget: bakes, trips and money.

    Parameters
    ----------
    kit : Kit
    recipe : str, optional
    today : date or str, optional
        The plan begins on the first bake day after it; today when left out.

    Raises
    ------
    KitchenError
        If the kit has no snack to compare with, or nothing that keeps in a freezer.
    """

    title = mark("A month of snacks on a budget")
    cautions = (
        mark("Ask who is allergic to what before you choose flavours; read every label."),
        mark(
            "Cool, wrap, date; eat the oldest first. Opened packages keep only so long: read them."
        ),
        mark("Prices, shops and snacks of the demo are invented. Put your own into data."),
    )

    def __init__(self, kit, recipe: str | None = None, today=None):
        if not kit.snacks:
            raise KitchenError(tr("There is nothing to compare with. Add a snack to snacks.csv."))
        self.today = today
        self._plan: MonthPlan | None = None
        super().__init__(kit, recipe)

    def make_chart(self) -> MonthChart:
        return MonthChart()

    def make_controls(self) -> dict[str, widgets.ValueWidget]:
        flavours = [
            (tr(f.name), key)
            for key, f in self.kit.flavours.items()
            if f.keeping in self.kit.keeping and keep_by(self.kit, f.keeping, "freezer").days
        ]
        keys = [key for _, key in flavours]
        first, second = (next((k for k in keys if k == want), _PLAIN) for want in _FIRST)
        plain, none = (tr("the plain base"), _PLAIN), (tr("no other"), _PLAIN)
        shops = [(tr(place), place) for place in places(self.kit)]
        shops = [(tr("the cheapest shop for each"), "cheapest"), *shops]
        snacks = [(tr(s.name), key) for key, s in self.kit.snacks.items()]
        self._plain = plain_flavour(self.recipe)
        self._currency = next(iter(self.kit.snacks.values())).money.currency
        return {
            "eaters": slider(tr("Eaters"), 3, 1, 30, 1),
            "a_week": slider(tr("Portions each a week, Monday to Friday"), 5, 1, 14, 1),
            "flavour_1": dropdown(tr("First flavour"), [plain, *flavours], first),
            "flavour_2": dropdown(tr("in turn with"), [none, *flavours], second),
            "pan": pan_dropdown(self.kit, tr("Baked in"), "muffin"),
            "baking": dropdown(tr("Bake on"), [(tr(on), days) for on, days in BAKE_ON], "Sun"),
            "most": slider(tr("Batches on a bake day, at most"), 2, 1, 6, 1),
            "room": slider(tr("Room in the freezer (litres)"), 40, 5, 200, 5),
            "weeks": slider(tr("Weeks"), 4, 1, 12, 1),
            "place": dropdown(tr("Buy at"), shops, "cheapest"),
            "snack": dropdown(tr("Or buy instead"), snacks, snacks[0][1]),
            "budget": number(
                tr("Budget ({currency}); 0: none", currency=self._currency), 40, 0, 1000, 1
            ),
        }

    def refresh(self) -> None:
        plan = self._plan = self._planned(self.values())
        budget = float(plan.budget) if plan.budget is not None else None
        self.chart.update(plan.plan.days, plan.money, budget, self._currency)
        self.show(
            self._sentence_for(plan),
            [
                tr("shop by"),
                tr("bake on"),
                tr("what"),
                tr("portions"),
                tr("at the till"),
                tr("so far"),
            ],
            self._rows(plan),
            self._notes(plan),
        )

    def _planned(self, value: dict) -> MonthPlan:
        first, second = value["flavour_1"], value["flavour_2"]
        # The base alone needs no name; in turn with another it is a flavour like it.
        flavours = (first or self._plain, second) if second else (first,) if first else ()
        budget = f"{value['budget']:.2f} {self._currency}" if value["budget"] else None
        asked = {
            "recipe": self.recipe,
            "flavours": tuple(dict.fromkeys(flavours)),
            "eaters": value["eaters"],
            "a_week": value["a_week"],
            "pan": value["pan"],
            "room": Q(float(value["room"]), "liter"),
            "portion": Q(250.0, "milliliter"),
            "snack": value["snack"],
            "budget": budget,
            "baking": value["baking"],
            "most_batches": value["most"],
            "days": 7 * value["weeks"],
            "today": self.today,
            "place": value["place"],
        }
        return self._plan.again(**asked) if self._plan else plan_month(self.kit, **asked)

    @staticmethod
    def _rows(plan: MonthPlan) -> list[list[str]]:
        rows, so_far = [], None
        for bake in plan.bakes:
            paid = bake.shopping.paid
            so_far = paid if so_far is None else so_far + paid if paid is not None else so_far
            what = ", ".join(
                trn(
                    "{flavour} × {times} ({n} pan)",
                    "{flavour} × {times} ({n} pans)",
                    bake.pans[name][0],
                    flavour=tr(name),
                    times=times,
                )
                for name, times in bake.made.items()
            )
            rows.append(
                [
                    say_day(bake.shop_by),
                    say_day(bake.date),
                    what,
                    f"{bake.portions}",
                    str(paid) if paid is not None else tr("nothing"),
                    str(so_far) if so_far is not None else tr("nothing"),
                ]
            )
        if len(rows) > _ROWS:
            more = trn("and {n} more bake", "and {n} more bakes", len(rows) - _ROWS)
            rows = [*rows[:_ROWS], [more, "", "", "", "", rows[-1][-1]]]
        portions = sum(bake.portions for bake in plan.bakes)
        return [*rows, [tr("in all"), "", "", f"{portions}", str(plan.paid), _gap(plan)]]

    def _sentence_for(self, plan: MonthPlan) -> str:
        eaten = int(plan.plan.days["eaten"].sum())
        if not plan.bakes:
            wanted = plan.asked["eaters"] * plan.asked["a_week"]
            return trn(
                "{n} portion a week, and no bake that fits and is eaten in time: see below.",
                "{n} portions a week, and no bake that fits and is eaten in time: see below.",
                wanted,
            )
        paid, bought = plan.paid, plan.bought
        known = {
            "portions": trn("{n} portion", "{n} portions", eaten),
            "weeks": trn("{n} week", "{n} weeks", len(plan.plan.days) // 7),
            "bakes": trn("{n} bake day", "{n} bake days", len(plan.bakes)),
            "paid": tr("at least {sum}", sum=paid) if plan.missing else paid,
        }
        if plan.budget is None:
            said = tr("{portions} in {weeks} from {bakes}: {paid} at the till.", **known)
        else:
            known |= {"gap": abs(plan.budget - paid), "budget": plan.budget}
            said = (
                tr(
                    "{portions} in {weeks} from {bakes}: {paid} at the till, {gap} under your "
                    "budget of {budget}.",
                    **known,
                )
                if plan.within_budget
                else tr(
                    "{portions} in {weeks} from {bakes}: {paid} at the till, {gap} over your "
                    "budget of {budget}.",
                    **known,
                )
            )
        if paid < bought:
            more = tr(
                "The shop's snacks, weight for weight, would take {bought}: baking keeps {kept} in "
                "your purse.",
                bought=bought,
                kept=bought - paid,
            )
            return f"{said} {more}"
        more = tr(
            "The shop's snacks, weight for weight, would take {bought}: buying takes {less} less.",
            bought=bought,
            less=paid - bought,
        )
        if plan.used < bought:
            rest = tr(
                "But only {used} of yours is used up; the rest is there for next month.",
                used=plan.used,
            )
            more = f"{more} {rest}"
        return f"{said} {more}"

    def _notes(self, plan: MonthPlan) -> list[str]:
        notes = [*plan.advice]
        if plan.bakes:
            notes.append(
                tr(
                    "Of what is paid, {used} goes into these bakes; the rest waits in the "
                    "cupboard.",
                    used=plan.used,
                )
            )
            first = plan.bakes[0]
            aisles: dict[str, list[str]] = {}
            for one in first.shopping.bought:  # in the order of the aisles
                name = first.shopping.called(one["ingredient"])
                words = f"{one['packages']} × {name}, {one['package']} ({tr(one['place'])})"
                aisles.setdefault(one["aisle"], []).append(words)
            notes += [
                tr("First trip, {aisle}: {things}.", aisle=tr(aisle), things="; ".join(things))
                for aisle, things in aisles.items()
            ]
            for name, (_, time) in first.pans.items():
                notes.append(tr("In the oven, {flavour}: {time}.", flavour=tr(name), time=time))
            notes.append(
                tr(
                    "Prices in {currency}, noted {dates}.",
                    currency=self._currency,
                    dates=first.shopping.dates,
                )
            )
        for name, one in plan.against.items():
            notes.append(
                tr(
                    "{flavour}: a portion costs {cost}, used up; the shop takes {weight} for its "
                    "weight, {piece} for one piece ({place}, {date}).",
                    flavour=tr(name).capitalize(),
                    cost=one.cost.serving,
                    weight=one.bought_price(),
                    piece=one.bought.piece,
                    place=tr(one.bought.place),
                    date=day(one.bought.date),
                )
            )
        notes.append(
            tr(
                "{product} in the freezer: {limit}.",
                product=tr(plan.keep.product).capitalize(),
                limit=plan.keep.limit,
            )
        )
        return [*notes, *plan.cautions]


def _gap(plan: MonthPlan) -> str:
    """What is left of the budget, or over it; empty where there is none."""
    if plan.budget is None:
        return ""
    left = plan.budget - plan.paid
    gap = abs(left)
    return tr("{sum} left", sum=gap) if left.amount >= 0 else tr("{sum} over", sum=gap)
