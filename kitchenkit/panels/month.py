"""The panel for lesson 08: a month of snacks on a budget, with everything learnt before."""

from __future__ import annotations

import ipywidgets as widgets

from kitchenkit.charts.month import MonthChart
from kitchenkit.costs import places
from kitchenkit.errors import KitchenError
from kitchenkit.keeping import keep_by
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

    title = "A month of snacks on a budget"
    cautions = (
        "Ask who is allergic to what before you choose flavours; read every label.",
        "Cool, wrap, date; eat the oldest first. Opened packages keep only so long: read them.",
        "Prices, shops and snacks of the demo are invented. Put your own into data.",
    )

    def __init__(self, kit, recipe: str | None = None, today=None):
        if not kit.snacks:
            raise KitchenError("There is nothing to compare with. Add a snack to snacks.csv.")
        self.today = today
        self._plan: MonthPlan | None = None
        super().__init__(kit, recipe)

    def make_chart(self) -> MonthChart:
        return MonthChart()

    def make_controls(self) -> dict[str, widgets.ValueWidget]:
        flavours = [
            (f.name, key)
            for key, f in self.kit.flavours.items()
            if f.keeping in self.kit.keeping and keep_by(self.kit, f.keeping, "freezer").days
        ]
        keys = [key for _, key in flavours]
        first, second = (next((k for k in keys if k == want), _PLAIN) for want in _FIRST)
        plain, none = ("the plain base", _PLAIN), ("no other", _PLAIN)
        shops = [("the cheapest shop for each", "cheapest"), *((p, p) for p in places(self.kit))]
        snacks = [(s.name, key) for key, s in self.kit.snacks.items()]
        self._currency = next(iter(self.kit.snacks.values())).money.currency
        return {
            "eaters": slider("Eaters", 3, 1, 30, 1),
            "a_week": slider("Portions each a week, Monday to Friday", 5, 1, 14, 1),
            "flavour_1": dropdown("First flavour", [plain, *flavours], first),
            "flavour_2": dropdown("in turn with", [none, *flavours], second),
            "pan": pan_dropdown(self.kit, "Baked in", "muffin"),
            "baking": dropdown("Bake on", BAKE_ON, "Sun"),
            "most": slider("Batches on a bake day, at most", 2, 1, 6, 1),
            "room": slider("Room in the freezer (litres)", 40, 5, 200, 5),
            "weeks": slider("Weeks", 4, 1, 12, 1),
            "place": dropdown("Buy at", shops, "cheapest"),
            "snack": dropdown("Or buy instead", snacks, snacks[0][1]),
            "budget": number(f"Budget ({self._currency}); 0: none", 40, 0, 1000, 1),
        }

    def refresh(self) -> None:
        plan = self._plan = self._planned(self.values())
        budget = float(plan.budget) if plan.budget is not None else None
        self.chart.update(plan.plan.days, plan.money, budget, self._currency)
        self.show(
            self._sentence_for(plan),
            ["shop by", "bake on", "what", "portions", "at the till", "so far"],
            self._rows(plan),
            self._notes(plan),
        )

    def _planned(self, value: dict) -> MonthPlan:
        names = dict.fromkeys((value["flavour_1"], value["flavour_2"]))
        budget = f"{value['budget']:.2f} {self._currency}" if value["budget"] else None
        asked = {
            "recipe": self.recipe,
            "flavours": tuple(name for name in names if name),
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
                f"{name} × {times} ({bake.pans[name][0]} pans)" for name, times in bake.made.items()
            )
            rows.append(
                [
                    say_day(bake.shop_by),
                    say_day(bake.date),
                    what,
                    f"{bake.portions}",
                    str(paid) if paid is not None else "nothing",
                    str(so_far) if so_far is not None else "nothing",
                ]
            )
        if len(rows) > _ROWS:
            more = len(rows) - _ROWS
            rows = [*rows[:_ROWS], [f"and {more} more bakes", "", "", "", "", rows[-1][-1]]]
        left = plan.budget - plan.paid if plan.budget is not None else None
        over = "" if left is None else f"{abs(left)} {'left' if left.amount >= 0 else 'over'}"
        portions = sum(bake.portions for bake in plan.bakes)
        return [*rows, ["in all", "", "", f"{portions}", str(plan.paid), over]]

    def _sentence_for(self, plan: MonthPlan) -> str:
        eaten = int(plan.plan.days["eaten"].sum())
        if not plan.bakes:
            wanted = plan.asked["eaters"] * plan.asked["a_week"]
            return (
                f"{wanted} portions a week, and no bake that fits and is eaten in time: see below."
            )
        paid, bought = plan.paid, plan.bought
        least = "at least " if plan.missing else ""
        said = (
            f"{eaten} portions in {len(plan.plan.days) // 7} weeks from {len(plan.bakes)} bake "
            f"days: {least}{paid} at the till"
        )
        if plan.budget is not None:
            inside = plan.within_budget
            gap = abs(plan.budget - paid)
            said += f", {gap} {'under' if inside else 'over'} your budget of {plan.budget}"
        said += f". The shop's snacks, weight for weight, would take {bought}: "
        if paid < bought:
            return said + f"baking keeps {bought - paid} in your purse."
        said += f"buying takes {paid - bought} less."
        if plan.used < bought:
            said += f" But only {plan.used} of yours is used up; the rest is there for next month."
        return said

    def _notes(self, plan: MonthPlan) -> list[str]:
        notes = [*plan.advice]
        if plan.bakes:
            notes.append(
                f"Of what is paid, {plan.used} goes into these bakes; the rest waits in the "
                "cupboard."
            )
            first = plan.bakes[0]
            aisles: dict[str, list[str]] = {}
            for one in first.shopping.bought:  # in the order of the aisles
                words = (
                    f"{one['packages']} × {one['ingredient']}, {one['package']} ({one['place']})"
                )
                aisles.setdefault(one["aisle"], []).append(words)
            notes += [f"First trip, {a}: {'; '.join(things)}." for a, things in aisles.items()]
            for name, (_, time) in first.pans.items():
                notes.append(f"In the oven, {name}: {time}.")
            notes.append(f"Prices in {self._currency}, noted {first.shopping.dates}.")
        for name, one in plan.against.items():
            notes.append(
                f"{name.capitalize()}: a portion costs {one.cost.serving}, used up; the shop takes "
                f"{one.bought_price()} for its weight, {one.bought.piece} for one piece "
                f"({one.bought.place}, {one.bought.date})."
            )
        notes.append(f"{plan.keep.product.capitalize()} in the freezer: {plan.keep.limit}.")
        return notes
