"""The panel for lesson 07: a plan for the freezer, and what a missed bake does to it."""

from __future__ import annotations

import datetime

import ipywidgets as widgets

from kitchenkit.charts.stock import StockChart
from kitchenkit.costs import read_day
from kitchenkit.errors import KitchenError
from kitchenkit.keeping import keep_by
from kitchenkit.language import day as say_date
from kitchenkit.language import mark, num, tr, trc, trn
from kitchenkit.panels.base import Panel
from kitchenkit.panels.controls import dropdown, slider
from kitchenkit.stock import PACKING, WEEKDAYS, FreezerPlan, first_bake_day, freezer_plan
from kitchenkit.units import Q

BAKE_ON = [
    (mark("Sundays"), "Sun"),
    (mark("Saturdays"), "Sat"),
    (mark("Wednesdays"), "Wed"),
    (mark("Sundays and Wednesdays"), "Sun Wed"),
    (mark("Saturdays and Sundays"), "Sat Sun"),
    (mark("any day"), " ".join(WEEKDAYS)),
]
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

    title = mark("How much, and when to bake it?")
    cautions = (
        mark(
            "A freezer is no graveyard: write what it is and its date on every piece, the oldest "
            "in front."
        ),
        mark(
            "Power cut: keep it shut. A full freezer holds about 48 hours, a half-full one 24. "
            "Refreeze only what still has ice crystals or is at 4 °C (40 °F) or below; cakes with "
            "a custard or cheese filling above that for 2 hours are thrown away (FoodSafety.gov, "
            "food safety during a power outage; read in quotation)."
        ),
    )

    def __init__(self, kit, today=None, product: str | None = None):
        self.today = read_day(today)
        frozen = (p for p in kit.keeping.values() if p.at("freezer"))
        self._frozen = [p for p in frozen if keep_by(kit, p.key, "freezer").days]
        if not self._frozen:
            raise KitchenError(tr("Nothing keeps in the freezer yet. Add its time to keeping.csv."))
        self._product = kit.keeping[product].key if product else self._frozen[0].key
        super().__init__(kit)

    def make_chart(self) -> StockChart:
        return StockChart()

    def make_controls(self) -> dict[str, widgets.ValueWidget]:
        frozen = [(tr(p.name), p.key) for p in self._frozen]
        baking = [(tr(words), days) for words, days in BAKE_ON]
        missed = (
            trc("missed bake", "none"),
            trc("missed bake", "the first"),
            trc("missed bake", "the second"),
            trc("missed bake", "the third"),
            trc("missed bake", "the fourth"),
        )
        return {
            "product": dropdown(tr("What is frozen"), frozen, self._product),
            "eaters": slider(tr("Eaters"), 4, 1, 30, 1),
            "a_week": slider(tr("Portions each a week, Monday to Friday"), 5, 1, 14, 1),
            "batch": slider(tr("Portions in a batch"), 16, 4, 48, 1),
            "most": slider(tr("Batches on a bake day, at most"), 2, 1, 6, 1),
            "baking": dropdown(tr("Bake on"), baking, "Sun"),
            "room": slider(tr("Room in the freezer (litres)"), 40, 5, 200, 5),
            "portion": slider(tr("One wrapped portion (ml)"), 250, 100, 600, 10),
            "spare": slider(tr("Spare portions always in hand"), 0, 0, 40, 1),
            "weeks": slider(tr("Weeks shown"), 4, 1, 52, 1),
            "missed": dropdown(
                tr("A bake is missed"), [(words, n) for n, words in enumerate(missed)], 0
            ),
        }

    def refresh(self) -> None:
        value = self.values()
        plan, kept = self._plan(value)
        lost = None
        if value["missed"]:
            if value["missed"] > len(plan.bakes):
                raise KitchenError(
                    trn(
                        "The plan has {n} bake. Choose an earlier one, or more weeks.",
                        "The plan has {n} bakes. Choose an earlier one, or more weeks.",
                        len(plan.bakes),
                    )
                )
            lost = plan.without(plan.bakes["date"].iloc[value["missed"] - 1])
            plan = lost.plan
        after = (lost.unchanged.days, lost.dates) if lost else ()
        self.chart.update(plan.days, plan.room, plan.keep, *after)
        rows = [
            [
                say_day(bake.date),
                say_day(bake.shop_by),
                num(bake.portions),
                trn("{n} left at the end", "{n} left at the end", bake.left, n=num(bake.left))
                if bake.left
                else say_day(bake.eaten_by),
                say_day(bake.best_by),
            ]
            for bake in plan.bakes.head(_ROWS).itertuples()
        ]
        if len(plan.bakes) > _ROWS:
            more = trn("and {n} more bakes", "and {n} more bakes", len(plan.bakes) - _ROWS)
            rows.append([more, "", "", "", ""])
        rows = rows or [[tr("no bake"), "", "0", "", ""]]
        self.show(
            lost.advice if lost else self._sentence_for(plan, value),
            [
                tr("bake on"),
                tr("shop by"),
                tr("portions"),
                tr("eaten up by"),
                tr("label: best by"),
            ],
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
        wanted = num(value["eaters"] * value["a_week"])
        bakes = plan.bakes
        if len(bakes):
            first = bakes.iloc[0]
            said = trn(
                "{wanted} portions a week: {n} bake day in {weeks}, the first {count} portions on "
                "{day}. At most {most} of {room} that fit, the oldest {oldest} of {keep} days old.",
                "{wanted} portions a week: {n} bake days in {weeks}, the first {count} portions on "
                "{day}. At most {most} of {room} that fit, the oldest {oldest} of {keep} days old.",
                len(bakes),
                wanted=wanted,
                weeks=trn("a week", "{n} weeks", value["weeks"]),
                count=num(first["portions"]),
                day=say_day(first["date"]),
                most=num(plan.days["stock"].max()),
                room=num(plan.room),
                oldest=plan.days["oldest"].max(),
                keep=plan.keep,
            )
        else:
            said = tr(
                "{wanted} portions a week: nothing can be baked that is eaten in time and fits.",
                wanted=wanted,
            )
        if not plan.short:
            return said
        short = trn(
            "{n} portions are short: see below.",
            "{n} portions are short: see below.",
            plan.short,
            n=num(plan.short),
        )
        return f"{said} {short}"

    @staticmethod
    def _notes(plan: FreezerPlan, kept) -> list[str]:
        notes = [*plan.messages]
        if kept.disagree:
            where = tr("{product} in the freezer.", product=tr(kept.product).capitalize())
            notes.append(f"{where} {kept.disagree}")
        notes.append(
            tr(
                "Portions are taken to fill {share}% of the room (common practice, no source); a "
                "bake is eaten from the next day on.",
                share=num(PACKING * 100),
            )
        )
        return [*notes, *kept.cautions]


def say_day(day: datetime.date) -> str:
    return f"{tr(WEEKDAYS[day.weekday()])} {say_date(day)}"
