"""The panel for lesson 07: a plan for the freezer, and what a missed bake does to it."""

from __future__ import annotations

import datetime

import ipywidgets as widgets

from kitchenkit.charts.stock import StockChart
from kitchenkit.costs import read_day
from kitchenkit.errors import KitchenError
from kitchenkit.keeping import keep_by
from kitchenkit.panels.base import Panel
from kitchenkit.panels.controls import dropdown, slider
from kitchenkit.stock import PACKING, WEEKDAYS, FreezerPlan, first_bake_day, freezer_plan
from kitchenkit.swapping import counted
from kitchenkit.units import Q

BAKE_ON = [
    ("Sundays", "Sun"),
    ("Saturdays", "Sat"),
    ("Wednesdays", "Wed"),
    ("Sundays and Wednesdays", "Sun Wed"),
    ("Saturdays and Sundays", "Sat Sun"),
    ("any day", " ".join(WEEKDAYS)),
]
_MISSED = [("none", 0), ("the first", 1), ("the second", 2), ("the third", 3), ("the fourth", 4)]
_ROWS = 8  # bakes in the table
_SHOP_DAYS = 1


class StockPanel(Panel):
    """Who eats how much, what fits and when one can bake: when to bake, and what lies how long.

    Parameters
    ----------
    kit : Kit
    today : date or str, optional
        The plan begins on the first bake day after it; today when left out.
    product : str, optional
        A product of keeping.csv to start with; the first that can be frozen when left out.

    Raises
    ------
    KitchenError
        If the kit has nothing that keeps in a freezer.
    """

    title = "How much, and when to bake it?"
    cautions = (
        "A freezer is no graveyard: write what it is and its date on every piece, the oldest in "
        "front.",
        "Power cut: keep it shut. A full freezer holds about 48 hours, a half-full one 24. "
        "Refreeze only what still has ice crystals or is at 4 °C (40 °F) or below; cakes with a "
        "custard or cheese filling above that for 2 hours are thrown away (FoodSafety.gov, food "
        "safety during a power outage; read in quotation).",
    )

    def __init__(self, kit, today=None, product: str | None = None):
        self.today = read_day(today)
        frozen = (p for p in kit.keeping.values() if p.at("freezer"))
        self._frozen = [(p.name, p.key) for p in frozen if keep_by(kit, p.key, "freezer").days]
        if not self._frozen:
            raise KitchenError("Nothing keeps in the freezer yet. Add its time to keeping.csv.")
        self._product = kit.keeping[product].key if product else self._frozen[0][1]
        super().__init__(kit)

    def make_chart(self) -> StockChart:
        return StockChart()

    def make_controls(self) -> dict[str, widgets.ValueWidget]:
        return {
            "product": dropdown("What is frozen", self._frozen, self._product),
            "eaters": slider("Eaters", 4, 1, 30, 1),
            "a_week": slider("Portions each a week, Monday to Friday", 5, 1, 14, 1),
            "batch": slider("Portions in a batch", 16, 4, 48, 1),
            "most": slider("Batches on a bake day, at most", 2, 1, 6, 1),
            "baking": dropdown("Bake on", BAKE_ON, "Sun"),
            "room": slider("Room in the freezer (litres)", 40, 5, 200, 5),
            "portion": slider("One wrapped portion (ml)", 250, 100, 600, 10),
            "spare": slider("Spare portions always in hand", 0, 0, 40, 1),
            "weeks": slider("Weeks shown", 4, 1, 52, 1),
            "missed": dropdown("A bake is missed", _MISSED, 0),
        }

    def refresh(self) -> None:
        value = self.values()
        plan, kept = self._plan(value)
        lost = None
        if value["missed"]:
            if value["missed"] > len(plan.bakes):
                raise KitchenError(
                    f"The plan has {counted(len(plan.bakes), 'bake')}. Choose an earlier one, or "
                    "more weeks."
                )
            lost = plan.without(plan.bakes["date"].iloc[value["missed"] - 1])
            plan = lost.plan
        after = (lost.unchanged.days, lost.dates) if lost else ()
        self.chart.update(plan.days, plan.room, plan.keep, *after)
        rows = [
            [
                say_day(bake.date),
                say_day(bake.shop_by),
                f"{bake.portions:,}",
                say_day(bake.eaten_by) if not bake.left else f"{bake.left:,} left at the end",
                say_day(bake.best_by),
            ]
            for bake in plan.bakes.head(_ROWS).itertuples()
        ]
        if len(plan.bakes) > _ROWS:
            rows.append([f"and {len(plan.bakes) - _ROWS} more bakes", "", "", "", ""])
        rows = rows or [["no bake", "", "0", "", ""]]
        self.show(
            lost.advice if lost else self._sentence_for(plan, value),
            ["bake on", "shop by", "portions", "eaten up by", "label: best by"],
            rows,
            self._notes(plan, kept),
        )

    def _plan(self, value: dict):
        kept = keep_by(self.kit, value["product"], "freezer", self.today)
        plan = freezer_plan(
            value["eaters"],
            value["a_week"],
            batch=value["batch"],
            most_batches=value["most"],
            baking=value["baking"],
            room=Q(float(value["room"]), "liter"),
            portion=Q(float(value["portion"]), "milliliter"),
            spare=value["spare"],
            keep=kept,
            start=first_bake_day(self.today, value["baking"], _SHOP_DAYS),
            days=7 * value["weeks"],
            shop_days=_SHOP_DAYS,
        )
        return plan, kept

    @staticmethod
    def _sentence_for(plan: FreezerPlan, value: dict) -> str:
        wanted = value["eaters"] * value["a_week"]
        bakes = plan.bakes
        said = f"{wanted:,} portions a week: "
        if len(bakes):
            first = bakes.iloc[0]
            weeks = "a week" if value["weeks"] == 1 else f"{value['weeks']} weeks"
            said += (
                f"{counted(len(bakes), 'bake day')} in {weeks}, the first {first['portions']:,} "
                f"portions on {say_day(first['date'])}. At most {plan.days['stock'].max():,} of "
                f"{plan.room:,} that fit, the oldest {plan.days['oldest'].max()} of {plan.keep} "
                "days old."
            )
        else:
            said += "nothing can be baked that is eaten in time and fits."
        return said + (f" {plan.short:,} portions are short: see below." if plan.short else "")

    @staticmethod
    def _notes(plan: FreezerPlan, kept) -> list[str]:
        notes = [*plan.messages]
        if kept.disagree:
            notes.append(f"{kept.product.capitalize()} in the freezer. {kept.disagree}")
        notes.append(
            f"Portions are taken to fill {PACKING:.0%} of the room (common practice, no source); "
            "a bake is eaten from the next day on."
        )
        return [*notes, *kept.cautions]


def say_day(day: datetime.date) -> str:
    return f"{WEEKDAYS[day.weekday()]} {day}"
