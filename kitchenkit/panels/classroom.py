"""The panel for preparing a class: does it fit, what to buy, who bakes when, what to change."""

from __future__ import annotations

import datetime

import ipywidgets as widgets
from traitlets import TraitError

from kitchenkit.charts.classroom import OVENS, ClassChart
from kitchenkit.classroom import ClassPlan, plan_class, say_stations
from kitchenkit.errors import KitchenError
from kitchenkit.language import day, mark, tr, trc
from kitchenkit.panels.controls import dropdown, pan_dropdown, slider, text
from kitchenkit.panels.scale import RecipePanel
from kitchenkit.racks import RACK_SIZES, Oven
from kitchenkit.saying import say_both
from kitchenkit.shopping import with_code
from kitchenkit.timetable import say_load
from kitchenkit.units import Q, si

_COOLING = [
    (mark("warm, in an open bag"), "carry"),
    (mark("cool enough to wrap"), "wrap"),
]
_PREFER = [(mark("the least money"), "money"), (mark("the least left over"), "leftovers")]
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

    title = mark("Prepare a class")
    cautions = (
        mark(
            "Minutes at the bench, racks, and room for tins are common practice or typical sizes: "
            "measure your ovens, and time your own class once."
        ),
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
        flavours = [(tr(flavour.name), key) for key, flavour in self.kit.flavours.items()]
        racks = [
            (f"{tr(name)}, {' × '.join(say_both(_length(side)) for side in size)}", name)
            for name, size in RACK_SIZES.items()
        ]
        plain, more = (tr("the base as it is"), ""), [(tr("no other"), ""), *flavours]
        self._sheets = {
            mark("timetable"): self._timetable,
            mark("stations"): self._stations,
            mark("what a station weighs out"): self._amounts,
            mark("shopping, by aisle"): self._shopping,
            mark("left over after shopping"): self._left,
            mark("allergens"): self._allergens,
            mark("to have ready"): self._ready,
            mark("cleaning up"): self._clean,
            mark("what to change"): self._changes,
        }
        sheets = [(tr(name), name) for name in self._sheets]
        cooling = [(tr(words), how) for words, how in _COOLING]
        prefer = [(tr(words), what) for words, what in _PREFER]
        controls = {
            "students": slider(tr("Students"), 16, 1, 40, 1),
            "stations": slider(tr("Stations"), 8, 1, 20, 1),
            "servings": slider(tr("Servings a student takes home"), 6, 1, 24, 1),
            "flavour_1": dropdown(tr("Flavour"), [plain, *flavours], ""),
            "flavour_2": dropdown(tr("Second flavour"), more, ""),
            "flavour_3": dropdown(tr("Third flavour"), more, ""),
            "pan": pan_dropdown(self.kit, tr("Pans"), "muffin"),
            "ovens": slider(tr("Ovens"), 2, 1, OVENS, 1),
            "rack": dropdown(tr("Racks inside"), racks, "wide"),
            "racks": slider(tr("Racks in each oven"), 2, 1, 3, 1),
            "minutes": slider(tr("Length of the class (minutes)"), 120, 60, 300, 5),
            "start": text(tr("Starts at (time of day)"), "18:00"),
            "cool": dropdown(tr("Packed when"), cooling, "carry"),
            "prefer": dropdown(tr("Buy for"), prefer, "money"),
            "sheet": dropdown(tr("Show the sheet"), sheets, "timetable"),
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
        try:
            used = plan.shopping.at_least(with_code(plan.cost_student))
        except KitchenError:
            no_price = tr("No price is known yet: add some to prices.csv.")
            return f"{plan.summary} {no_price}"
        if plan.paid_student is None:
            money = tr("What is used costs {used} a student.", used=used)
        else:
            money = tr(
                "What is used costs {used} a student; whole packages {paid}, by prices of {dates} "
                "({shops}).",
                used=used,
                paid=plan.shopping.at_least(plan.paid_student),
                dates=plan.shopping.dates,
                shops=", ".join(map(tr, plan.shopping.places)),
            )
        return f"{plan.summary} {money}"

    # Sheets ------------------------------------------------------------------------------------

    @staticmethod
    def _timetable(plan: ClassPlan):
        at = plan.clock.at
        rows = []
        for load in plan.timetable.loads:
            look = at(load.look_from)
            if load.turn is not None:
                look = tr("{look} (turn at {turn})", look=look, turn=at(load.turn))
            rows.append(
                [
                    say_load(load),
                    _who(load),
                    at(load.on),
                    at(load.into),
                    look,
                    tr("{likely}, at the latest {out}", likely=at(load.likely), out=at(load.out)),
                    at(load.cool_until),
                ]
            )
        end = tr("by {time}", time=at(plan.finish))
        rows.append([tr("all packed"), end, "", "", "", "", ""])
        headings = [
            trc("oven", "load"),
            tr("what"),
            tr("oven on"),
            trc("oven", "in"),
            tr("look from"),
            tr("likely out"),
            tr("cool by"),
        ]
        return headings, rows

    @staticmethod
    def _stations(plan: ClassPlan):
        rows = [
            [
                where,
                f"{s.students}",
                tr(s.flavour),
                say_both(s.recipe.weight),
                f"{s.pans} × {tr(s.pan.name)}",
                tr(
                    "{volume} in each of {n}, {depth} deep",
                    volume=say_both(s.fit.each),
                    n=s.fit.count,
                    depth=say_both(s.fit.depth),
                ),
                str(s.bake),
            ]
            for where, s in plan.groups
        ]
        headings = [
            tr("station"),
            tr("students at each"),
            tr("flavour"),
            tr("batter"),
            tr("pans"),
            tr("filled with"),
            tr("bakes, one rack in use"),
        ]
        return headings, rows

    @staticmethod
    def _amounts(plan: ClassPlan):
        rows = []
        for where, station in plan.groups:
            for line in station.whole.lines:
                moment = getattr(line, "when", "")
                name = ", ".join(tr(words) for words in (line.ingredient.name, moment) if words)
                rows.append([name, where, str(line.say("us")), str(line.say("metric"))])
        return [tr("ingredient"), tr("where"), tr("US tools"), tr("metric")], rows

    @staticmethod
    def _shopping(plan: ClassPlan):
        rows, shopping = [], plan.shopping
        for aisle, table in shopping.by_aisle().items():
            for row in table.itertuples():
                noted = day(row.date)
                rows.append(
                    [
                        shopping.called(row.ingredient),
                        tr(aisle),
                        f"{row.packages} × {row.package}",
                        tr(row.place),
                        f"{row.pay}",
                        tr("{date}, old", date=noted) if row.stale else noted,
                    ]
                )
        for name in shopping.missing:
            much, none = tr("as much as it takes"), tr("no price is known")
            rows.append([shopping.called(name), "", much, none, "", ""])
        if shopping.paid is not None:
            total = shopping.at_least(with_code(shopping.paid))
            rows.append([tr("all of it"), "", "", "", total, ""])
        headings = [
            tr("what"),
            tr("aisle"),
            tr("packages"),
            tr("where"),
            tr("pay"),
            tr("price of"),
        ]
        return headings, rows

    @staticmethod
    def _left(plan: ClassPlan):
        rows = [
            [
                plan.shopping.called(name),
                say_both(Q(row.buy_g, "g")),
                say_both(Q(row.bought_g, "g")),
                row.left,
            ]
            for name, row in plan.shopping.lines.iterrows()
        ]
        headings = [
            tr("what"),
            tr("needed, peel and shells too"),
            tr("bought"),
            tr("left over"),
        ]
        return headings, rows

    @staticmethod
    def _allergens(plan: ClassPlan):
        rows = [[str(x) for x in row] for row in plan.allergens.itertuples()]
        headings = [
            tr("flavour"),
            tr("stations"),
            tr("listed in the data"),
            tr("gluten"),
            tr("read the label of"),
        ]
        return headings, rows

    @staticmethod
    def _ready(plan: ClassPlan):
        rows = [list(row) for row in plan.mise_en_place.itertuples()]
        return [tr("where"), tr("when"), tr("what")], rows

    @staticmethod
    def _clean(plan: ClassPlan):
        rows = [[f"{n}", what] for n, what in enumerate(plan.clean_up, 1)]
        return [tr("step"), tr("what")], rows

    @staticmethod
    def _changes(plan: ClassPlan):
        rows = [
            [row.Index, row.ends, f"{row.saves} min", tr("yes") if row.fits else tr("no")]
            for row in plan.changes.itertuples()
        ]
        if not rows:
            rows = [[tr("nothing: it fits"), plan.clock.at(plan.finish), "0 min", tr("yes")]]
        return [tr("change"), tr("all packed at"), tr("saves"), tr("fits")], rows


def _length(size):
    return Q(si(size, "length", "rack") * 100, "cm")


def _who(load) -> str:
    """Stations of a load with their pans, those with the same pans together."""
    groups: dict = {}
    for station, pan, many in load.pans:
        groups.setdefault((pan.name, many), []).append(station)
    said = []
    for (name, many), some in groups.items():
        words = f"{say_stations(some)}: {many} × {tr(name)}"
        said.append(tr("{pans} each", pans=words) if len(some) > 1 else words)
    return "; ".join(said)
