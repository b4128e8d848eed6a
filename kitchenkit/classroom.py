"""A whole class: stations, batter and pans, the ovens' timetable, what to buy and what it costs."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from numbers import Real

import pandas as pd

from kitchenkit import mise
from kitchenkit.clock import Clock
from kitchenkit.costs import Cost, cost
from kitchenkit.errors import KitchenError
from kitchenkit.language import num, tr, trn
from kitchenkit.money import Money, measured
from kitchenkit.racks import Oven
from kitchenkit.recipe import Line, Recipe
from kitchenkit.remedies import WEIGH_OUT, Remedy, first_remedy, remedies_for
from kitchenkit.saying import say_both
from kitchenkit.shopping import ShoppingList, shopping_list
from kitchenkit.stations import Station, StationMaker
from kitchenkit.temperature import celsius
from kitchenkit.timetable import Batch, Timetable, oven_timetable, say_name
from kitchenkit.units import Q

# Minutes of a class, for two beginners at a station: common practice, no source. Time your own.
BEFORE = ((WEIGH_OUT, 10.0), ("mix", 10.0), ("fill the pans", 5.0))
PACK_MIN = 5.0
# Until it can be carried home in an open bag, to be wrapped there: common practice, no source.
CARRY_MIN = 20.0
COOLING = ("carry", "wrap")


@dataclass(frozen=True)
class ClassPlan:
    """A class, planned.

    Attributes
    ----------
    recipe : Recipe
        The base.
    students : int
    servings : float
        For each student to take home.
    stations : tuple of Station
    timetable : Timetable
    minutes : float
        How long the class lasts.
    clock : Clock
    cools : CoolTime
        How long the slowest station's bake takes until it may be wrapped.
    asked : dict
        What it was worked out from.
    maker : StationMaker
        Remembers what it has fitted, for `again`.
    """

    recipe: Recipe = field(repr=False)
    students: int
    servings: float
    stations: tuple[Station, ...] = field(repr=False)
    timetable: Timetable = field(repr=False)
    minutes: float
    clock: Clock
    cools: object = field(repr=False)
    asked: dict = field(repr=False)
    maker: StationMaker = field(repr=False, compare=False)

    @property
    def kit(self):
        """The kit it was planned with."""
        return self.maker.kit

    # Time --------------------------------------------------------------------------------------

    @property
    def finish(self) -> float:
        """Minutes after the start until the last station has packed."""
        return self.timetable.finish

    @property
    def fits(self) -> bool:
        """Whether that is within the class."""
        return self.finish <= self.minutes + 1e-9

    @property
    def spare(self) -> float:
        """Minutes left at the end; below 0 where it does not fit."""
        return self.minutes - self.finish

    @cached_property
    def likely_finish(self) -> float:
        """When the class ends if every bake takes its likeliest time."""
        if self.timetable.plan_for == "likeliest":
            return self.finish
        return self.again(plan_for="likeliest").finish

    @cached_property
    def remedies(self) -> tuple[Remedy, ...]:
        """What to change where it does not fit, each tried: what fits and asks least comes first.

        Empty where the class fits.
        """
        return () if self.fits else tuple(remedies_for(self))

    @cached_property
    def first_remedy(self) -> Remedy | None:
        """The first of the `remedies`, found without trying them all; None where it fits."""
        return None if self.fits else first_remedy(self)

    @property
    def changes(self) -> pd.DataFrame:
        """The remedies as a table.

        Index: what to change. Columns: ``ends`` (by the clock), ``saves`` (min), ``fits``.
        """
        rows = [(r.what, self.clock.at(r.finish), round(r.saves), r.fits) for r in self.remedies]
        return pd.DataFrame(rows, columns=["change", "ends", "saves", "fits"]).set_index("change")

    def again(self, **changed) -> ClassPlan:
        """The same class with something changed.

        Parameters
        ----------
        **changed
            As for `plan_class`.
        """
        return _plan(self.maker, self.asked | changed)

    # Food and money ----------------------------------------------------------------------------

    @cached_property
    def everything(self) -> Recipe:
        """All stations' ingredients as one recipe, each line added up."""
        grams: dict = {}
        for station, many in self.maker.alike(self.stations):
            for line in (*station.recipe.lines, *station.finish):
                item = line.ingredient
                found = grams.setdefault((item.key, item.name), [item, 0.0])
                found[1] += many * line.weight.m_as("g")
        return Recipe(
            key="class",
            name="the whole class",
            lines=tuple(Line(item, Q(weight, "g")) for item, weight in grams.values()),
            servings=self.students * self.servings,
            serving=self.recipe.serving,
        )

    @cached_property
    def shopping(self) -> ShoppingList:
        """Whole packages for all of it."""
        wanted = {name: self.asked[name] for name in ("place", "prefer", "have")}
        return shopping_list(self.kit, [self.everything], self.asked["on"], **wanted)

    @cached_property
    def cost(self) -> Cost:
        """What the ingredients used up cost, without what is left in the packages."""
        asked = {"place": self.asked["place"], "today": self.asked["on"]}
        return cost(self.kit, self.everything, self.students * self.servings, **asked)

    @property
    def cost_student(self) -> Money:
        """What one student's ingredients cost, used up."""
        used = (
            self.maker.serving_cost(station, self.asked["place"], self.asked["on"])
            * measured(many * station.recipe.servings)
            for station, many in self.maker.alike(self.stations)
        )
        return sum(used) / measured(self.students)

    @property
    def paid_student(self) -> Money | None:
        """One student's part of what is paid for whole packages; None if nothing is bought."""
        paid = self.shopping.paid
        return paid / measured(self.students) if paid is not None else None

    # Sheets ------------------------------------------------------------------------------------

    @property
    def flavours(self) -> dict[str, tuple[Station, ...]]:
        """Each flavour with its stations."""
        names = dict.fromkeys(station.flavour for station in self.stations)
        return {n: tuple(s for s in self.stations if s.flavour == n) for n in names}

    @property
    def groups(self) -> list[tuple[str, Station]]:
        """Stations that do the very same, as the reader calls them: ``"stations 1, 3"``."""
        found: dict = {}
        for s in self.stations:
            found.setdefault((id(s.recipe), s.pan, s.students), []).append(s)
        return [
            (say_stations([station.name for station in some]), some[0]) for some in found.values()
        ]

    @property
    def station_table(self) -> pd.DataFrame:
        """One row a station: who, what, in which pans, how deep, how long.

        Index: station. Columns: ``students``, ``flavour``, ``batter``, ``pans``, ``each``,
        ``depth``, ``fill``, ``bakes``.
        """
        rows = [
            {
                "station": s.name,
                "students": s.students,
                "flavour": tr(s.flavour),
                "batter": say_both(s.recipe.weight),
                "pans": _pans_words(s),
                "each": say_both(s.fit.each),
                "depth": say_both(s.fit.depth),
                "fill": s.fit.fill,
                "bakes": str(s.bake),
            }
            for s in self.stations
        ]
        return pd.DataFrame(rows).set_index("station")

    def amounts(self, station: str | Station) -> pd.DataFrame:
        """What a station weighs or measures out, as `Recipe.amounts`.

        Parameters
        ----------
        station : str or Station
        """
        return self.station(station).whole.amounts()

    def station(self, name: str | Station) -> Station:
        """One station by its name.

        Raises
        ------
        KitchenError
            If there is none of that name.
        """
        if isinstance(name, Station):
            return name
        for station in self.stations:
            if station.name == name:
                return station
        raise KitchenError(f"There is no {name!r}. There are {len(self.stations)} stations.")

    @property
    def mise_en_place(self) -> pd.DataFrame:
        """What to have ready; see `kitchenkit.mise.mise_en_place`."""
        return mise.mise_en_place(self)

    @property
    def clean_up(self) -> list[str]:
        """What to do between and afterwards; see `kitchenkit.mise.clean_up`."""
        return mise.clean_up(self)

    @property
    def allergens(self) -> pd.DataFrame:
        """What the data list for each flavour; see `kitchenkit.mise.allergen_sheet`."""
        return mise.allergen_sheet(self)

    @property
    def cautions(self) -> list[str]:
        """What to mind in this class; see `kitchenkit.mise.cautions`."""
        return mise.cautions(self)

    def __str__(self) -> str:
        done = trn(
            "{who} is done at {end}",
            "{who} are done at {end}",
            self.students,
            who=self._who,
            end=self.clock.at(self.finish),
        )
        return self._in_time(done)

    @property
    def summary(self) -> str:
        """Who bakes how many servings, until when, and whether that is in time."""
        many = self.students * self.servings
        done = trn(
            "{who} bakes {servings} servings and is done at {end}",
            "{who} bake {servings} servings and are done at {end}",
            self.students,
            who=self._who,
            servings=num(many, "g"),
            end=self.clock.at(self.finish),
        )
        return self._in_time(done)

    @property
    def _who(self) -> str:
        return tr(
            "{students} at {stations}",
            students=trn("{n} student", "{n} students", self.students),
            stations=trn("{n} station", "{n} stations", len(self.stations)),
        )

    def _in_time(self, done: str) -> str:
        """A clause on when it ends, and whether that fits the class."""
        if self.timetable.plan_for == "late":
            done = tr("{done} if every bake takes as long as it may", done=done)
        of_all, minutes = num(self.minutes, "g"), num(abs(self.spare), ".0f")
        if self.fits:
            return tr(
                "{done}: {spare} min to spare of {minutes}.",
                done=done,
                spare=minutes,
                minutes=of_all,
            )
        said = tr(
            "{done}: {over} min too long for {minutes}.", done=done, over=minutes, minutes=of_all
        )
        first = self.first_remedy
        known = {"change": first.what, "end": self.clock.at(first.finish)}
        more = (
            tr("Change first: {change} (then done at {end}).", **known)
            if first.fits
            else tr("Change first: {change} (then done at {end}, still too late).", **known)
        )
        return f"{said} {more}"


def say_stations(names: Sequence[str]) -> str:
    """One station or several, as the reader calls them: ``"stations 1, 3"``.

    Parameters
    ----------
    names : sequence of str
        Those of the kit, or a station's own.
    """
    if len(names) == 1:
        return say_name(names[0])
    return tr("stations {numbers}", numbers=", ".join(n.removeprefix("station ") for n in names))


def _pans_words(station: Station) -> str:
    if station.pan.wells == 1:
        return f"{station.pans} × {tr(station.pan.name)}"
    return trn(
        "{count} × {pan}, {n} well filled",
        "{count} × {pan}, {n} wells filled",
        station.fit.count,
        count=station.pans,
        pan=tr(station.pan.name),
    )


def plan_class(
    kit,
    recipe: Recipe | str | None = None,
    *,
    students: int = 16,
    stations: int = 8,
    ovens: Sequence[Oven] | int = 2,
    pans: str | Mapping[str, int] | None = None,
    servings: float = 6,
    minutes: float = 120,
    flavours: Sequence = (),
    start: str = "18:00",
    on=None,
    place: str = "cheapest",
    prefer: str = "money",
    have: Mapping | None = None,
    oven="350 degF",
    before: Sequence[tuple[str, float]] = BEFORE,
    cool: str | float = "carry",
    pack: float = PACK_MIN,
    early: float = 0.0,
    plan_for: str = "late",
    **baking,
) -> ClassPlan:
    """Plan a class: who bakes what in which pan, when, what to buy and what it costs.

    Parameters
    ----------
    kit : Kit
    recipe : Recipe or str, optional
        The base; the kit's first when left out.
    students, stations : int
        Students are shared out as evenly as can be.
    ovens : int or sequence of Oven
        How many usual home ovens, or which.
    pans : str or mapping, optional
        A pan by its key or name, as many as it takes, or how many of which are at hand:
        ``{"muffin-12": 6, "square-8": 2}``. Stations take the first that there are enough of.
        The kit's first muffin tin, or first pan, when left out.
    servings : float
        For each student to take home.
    minutes : float
        How long the class lasts.
    flavours : sequence of str, Flavour or Recipe
        Given to the stations in turn; the base as it is when empty.
    start : str
        ``"18:00"`` or ``"6 pm"``.
    on : date or str, optional
        Day of the class, for prices; today when left out.
    place, prefer, have
        As for `shopping_list`.
    oven : Quantity or str
        Its temperature.
    before : sequence of (str, float)
        Steps before the oven, and their minutes.
    cool : {"carry", "wrap"} or float
        Minutes on the rack: until it can be carried home in an open bag (20), until it may be
        wrapped by `cool_time` (its late end if `plan_for` is ``"late"``), or a number.
    pack : float
        Minutes to pack.
    early : float
        Minutes before the start from which ovens may be turned on.
    plan_for : {"late", "likeliest"}
        Count on the late end of each baking window, or on its likeliest time.
    **baking
        ``known``, ``batter``, ``altitude``, ``correction`` and ``heat`` as for `bake_time`.

    Returns
    -------
    ClassPlan

    Raises
    ------
    KitchenError
        If numbers make no class, a name is unknown, or there are too few pans.

    Notes
    -----
    Every station makes its students' servings of its recipe; minutes at the bench are common
    practice, no source. The timetable is `oven_timetable`'s.
    """
    asked = dict(
        students=students, stations=stations, ovens=ovens, pans=pans, servings=servings,
        minutes=minutes, flavours=flavours, start=start, on=on, place=place, prefer=prefer,
        have=have, oven=oven, before=before, cool=cool, pack=pack, early=early,
        plan_for=plan_for, **baking,
    )  # fmt: skip
    return _plan(StationMaker(kit, _recipe(kit, recipe)), asked)


def _plan(maker: StationMaker, asked: dict) -> ClassPlan:
    rest = dict(asked)
    minutes, before, pack = (rest.pop(name) for name in ("minutes", "before", "pack"))
    ovens, cool, early = (rest.pop(name) for name in ("ovens", "cool", "early"))
    start, plan_for = rest.pop("start"), rest.pop("plan_for")
    for name in ("on", "place", "prefer", "have"):  # only shopping asks for these
        rest.pop(name)
    least = sum(many for _, many in before) + pack
    if not (isinstance(minutes, Real) and math.isfinite(minutes) and minutes > least):
        raise KitchenError(
            tr(
                "A class of {minutes} min has no time to bake: weighing, mixing and packing alone "
                "take {least} min. Make it longer, or shorten the steps before.",
                minutes=minutes,
                least=num(least, "g"),
            )
        )
    stations = maker.stations(**rest)
    cools = max((s.cools for s in stations), key=lambda found: found.high)
    cool = _cool_minutes(cool, cools, plan_for)
    oven = Q(celsius(rest["oven"], "oven temperature"), "degC")
    batches = [
        Batch(s.name, s.pan, s.pans, oven, s.windows, tuple(before), cool, pack) for s in stations
    ]
    said = tuple((id(s.recipe), s.pan, s.pans) for s in stations)
    key = said, repr((ovens, plan_for, early, before, cool, pack, oven))
    if key not in maker.timetables:
        maker.timetables[key] = oven_timetable(batches, ovens, plan_for=plan_for, early=early)
    return ClassPlan(
        recipe=maker.base,
        students=rest["students"],
        servings=float(rest["servings"]),
        stations=stations,
        timetable=maker.timetables[key],
        minutes=float(minutes),
        clock=Clock(start),
        cools=cools,
        asked=asked,
        maker=maker,
    )


def _recipe(kit, recipe) -> Recipe:
    if isinstance(recipe, Recipe):
        return recipe
    return kit.recipes[recipe if recipe is not None else next(iter(kit.recipes))]


def _cool_minutes(cool, cools, plan_for: str) -> float:
    if cool == "carry":
        return CARRY_MIN
    if cool == "wrap":
        return (cools.high if plan_for == "late" else cools.minutes).m_as("min")
    if isinstance(cool, Real) and not isinstance(cool, bool):
        return float(cool)
    raise KitchenError(f"Cool {cool!r}? Choose carry or wrap, or write minutes, like 30.")
