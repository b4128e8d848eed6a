"""The panel for preparing a class: does it fit, what to buy, who bakes when, what to change."""

from __future__ import annotations

import datetime

import ipywidgets as widgets
from traitlets import TraitError

from kitchenkit.charts.classroom import OVENS, ClassChart
from kitchenkit.classroom import ClassPlan, plan_class
from kitchenkit.errors import KitchenError
from kitchenkit.panels.controls import dropdown, pan_dropdown, slider, text
from kitchenkit.panels.scale import RecipePanel
from kitchenkit.racks import RACK_SIZES, Oven
from kitchenkit.saying import say_both
from kitchenkit.units import Q, si

_COOLING = [
    ("warm, in an open bag", "carry"),
    ("cool enough to wrap", "wrap"),
]
_PREFER = [("the least money", "money"), ("the least left over", "leftovers")]
_PLAIN = "the base as it is"
# Controls that `plan_class` takes as they are.
_AS_CHOSEN = ("students", "stations", "servings", "minutes", "start", "cool", "prefer")


class ClassPanel(RecipePanel):
    """A class from its numbers: a timetable as a picture, and one sheet at a time as a table.

    Parameters
    ----------
    kit : Kit
    recipe : str, optional
    today : date or str, optional
        Day of the class, for prices; today when left out.
    **chosen
        What controls start at, by their names: ``rack="narrow"``.

    Raises
    ------
    KitchenError
        If there is no such control or choice.
    """

    title = "Prepare a class"
    cautions = (
        "Minutes at the bench, racks, and room for tins are common practice or typical sizes: "
        "measure your ovens, and time your own class once.",
    )

    def __init__(self, kit, recipe: str | None = None, today=None, **chosen):
        self.today = today
        self._chosen = chosen
        self._first: ClassPlan | None = None
        super().__init__(kit, recipe)

    @property
    def plan(self) -> ClassPlan:
        """The class as it stands, for printing or going on with."""
        return self._plan

    def make_chart(self) -> ClassChart:
        return ClassChart()

    def make_controls(self) -> dict[str, widgets.ValueWidget]:
        flavours = [(flavour.name, key) for key, flavour in self.kit.flavours.items()]
        racks = [
            (f"{name}, {' × '.join(say_both(_length(side)) for side in size)}", name)
            for name, size in RACK_SIZES.items()
        ]
        more = [("no other", ""), *flavours]
        self._sheets = {
            "timetable": self._timetable,
            "stations": self._stations,
            "what a station weighs out": self._amounts,
            "shopping, by aisle": self._shopping,
            "left over after shopping": self._left,
            "allergens": self._allergens,
            "to have ready": self._ready,
            "cleaning up": self._clean,
            "what to change": self._changes,
        }
        controls = {
            "students": slider("Students", 16, 1, 40, 1),
            "stations": slider("Stations", 8, 1, 20, 1),
            "servings": slider("Servings a student takes home", 6, 1, 24, 1),
            "flavour_1": dropdown("Flavour", [(_PLAIN, ""), *flavours], ""),
            "flavour_2": dropdown("Second flavour", more, ""),
            "flavour_3": dropdown("Third flavour", more, ""),
            "pan": pan_dropdown(self.kit, "Pans", "muffin"),
            "ovens": slider("Ovens", 2, 1, OVENS, 1),
            "rack": dropdown("Racks inside", racks, "wide"),
            "racks": slider("Racks in each oven", 2, 1, 3, 1),
            "minutes": slider("Length of the class (minutes)", 120, 60, 300, 5),
            "start": text("Starts at (time of day)", "18:00"),
            "cool": dropdown("Packed when", _COOLING, "carry"),
            "prefer": dropdown("Buy for", _PREFER, "money"),
            "sheet": dropdown("Show the sheet", list(self._sheets), "timetable"),
        }
        for name, value in self._chosen.items():
            try:
                controls[name].value = value
            except (KeyError, TraitError):
                raise KitchenError(f"{name}={value!r} is no choice of this panel.") from None
        return controls

    def refresh(self) -> None:
        plan = self._made(self.values())
        headings, rows = self._sheets[self.controls["sheet"].value](plan)
        self.chart.update(plan.timetable, plan.minutes, plan.clock)
        self._plan = plan
        self.show(self._sentence_for(plan), headings, rows, plan.cautions)

    def _made(self, value: dict) -> ClassPlan:
        length, width = RACK_SIZES[value["rack"]]
        chosen = [value[name] for name in ("flavour_1", "flavour_2", "flavour_3")]
        asked = {
            "ovens": tuple(
                Oven(f"oven {at}", value["racks"], length, width)
                for at in range(1, value["ovens"] + 1)
            ),
            "pans": value["pan"],
            # The base itself is a flavour too, where others join it.
            "flavours": tuple(key or self.recipe for key in chosen[:1])
            + tuple(key for key in chosen[1:] if key),
            **{name: value[name] for name in _AS_CHOSEN},
        }
        if self._first is None:
            day = self.today or datetime.date.today()
            self._first = plan_class(self.kit, self.recipe, on=day, **asked)
            return self._first
        return self._first.again(**asked)

    @staticmethod
    def _sentence_for(plan: ClassPlan) -> str:
        many = plan.students * plan.servings
        said = f"{plan}".replace(" are done", f" bake {many:g} servings and are done", 1)
        try:
            money = f"{plan.cost_student} {plan.cost_student.currency}"
        except KitchenError:
            return f"{said} No price is known yet: add some to prices.csv."
        least = "at least " if plan.shopping.missing else ""
        said += f" What is used costs {least}{money} a student"
        if plan.paid_student is None:
            return f"{said}."
        shops = ", ".join(plan.shopping.places)
        return (
            f"{said}; whole packages {least}{plan.paid_student}, by prices of "
            f"{plan.shopping.dates} ({shops})."
        )

    # Sheets ------------------------------------------------------------------------------------

    @staticmethod
    def _timetable(plan: ClassPlan):
        at = plan.clock.at
        rows = []
        for load in plan.timetable.loads:
            turn = f" (turn at {at(load.turn)})" if load.turn is not None else ""
            rows.append(
                [
                    f"{load.oven}, load {load.number}",
                    _who(load),
                    at(load.on),
                    at(load.into),
                    f"{at(load.look_from)}{turn}",
                    f"{at(load.likely)}, at the latest {at(load.out)}",
                    at(load.cool_until),
                ]
            )
        rows.append(["all packed", f"by {at(plan.finish)}", "", "", "", "", ""])
        headings = ["load", "what", "oven on", "in", "look from", "likely out", "cool by"]
        return headings, rows

    @staticmethod
    def _stations(plan: ClassPlan):
        rows = [
            [
                where,
                f"{s.students}",
                s.flavour,
                say_both(s.recipe.weight),
                f"{s.pans} × {s.pan.name}",
                f"{say_both(s.fit.each)} in each of {s.fit.count}, {say_both(s.fit.depth)} deep",
                str(s.bake),
            ]
            for where, s in plan.groups
        ]
        headings = ["station", "students at each", "flavour", "batter", "pans", "filled with"]
        return [*headings, "bakes, one rack in use"], rows

    @staticmethod
    def _amounts(plan: ClassPlan):
        rows = []
        for where, station in plan.groups:
            for line in station.whole.lines:
                moment = getattr(line, "when", "")
                name = f"{line.ingredient.name}, {moment}" if moment else line.ingredient.name
                rows.append([name, where, str(line.say("us")), str(line.say("metric"))])
        return ["ingredient", "where", "US tools", "metric"], rows

    @staticmethod
    def _shopping(plan: ClassPlan):
        rows = []
        for aisle, table in plan.shopping.by_aisle().items():
            for row in table.itertuples():
                rows.append(
                    [
                        row.ingredient,
                        aisle,
                        f"{row.packages} × {row.package}",
                        row.place,
                        f"{row.pay}",
                        f"{row.date}{', old' if row.stale else ''}",
                    ]
                )
        for name in plan.shopping.missing:
            rows.append([name, "", "as much as it takes", "no price is known", "", ""])
        if plan.shopping.paid is not None:
            least = "at least " if plan.shopping.missing else ""
            total = f"{least}{plan.shopping.paid} {plan.shopping.paid.currency}"
            rows.append(["all of it", "", "", "", total, ""])
        return ["what", "aisle", "packages", "where", "pay", "price of"], rows

    @staticmethod
    def _left(plan: ClassPlan):
        rows = [
            [name, say_both(Q(row.buy_g, "g")), say_both(Q(row.bought_g, "g")), row.left]
            for name, row in plan.shopping.lines.iterrows()
        ]
        return ["what", "needed, peel and shells too", "bought", "left over"], rows

    @staticmethod
    def _allergens(plan: ClassPlan):
        rows = [[str(x) for x in row] for row in plan.allergens.itertuples()]
        headings = ["flavour", "stations", "listed in the data", "gluten", "read the label of"]
        return headings, rows

    @staticmethod
    def _ready(plan: ClassPlan):
        return ["where", "when", "what"], [list(row) for row in plan.mise_en_place.itertuples()]

    @staticmethod
    def _clean(plan: ClassPlan):
        return ["step", "what"], [[f"{n}", what] for n, what in enumerate(plan.clean_up, 1)]

    @staticmethod
    def _changes(plan: ClassPlan):
        rows = [
            [row.Index, row.ends, f"{row.saves} min", "yes" if row.fits else "no"]
            for row in plan.changes.itertuples()
        ]
        if not rows:
            rows = [["nothing: it fits", plan.clock.at(plan.finish), "0 min", "yes"]]
        return ["change", "all packed at", "saves", "fits"], rows


def _length(size):
    return Q(si(size, "length", "rack") * 100, "cm")


def _who(load) -> str:
    """Stations of a load with their pans, those with the same pans together."""
    groups: dict = {}
    for station, pan, many in load.pans:
        groups.setdefault((pan.name, many), []).append(station.removeprefix("station "))
    return "; ".join(
        f"{'stations' if len(some) > 1 else 'station'} {', '.join(some)}: {many} × {name}"
        f"{' each' if len(some) > 1 else ''}"
        for (name, many), some in groups.items()
    )
