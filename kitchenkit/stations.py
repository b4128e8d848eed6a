"""The stations of a class: who, which flavour, how much batter, in which pans, how deep."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import reduce
from numbers import Real

from kitchenkit import language
from kitchenkit.baking import BakeTime, bake_time
from kitchenkit.costs import cost
from kitchenkit.errors import KitchenError
from kitchenkit.flavours import Flavour, Flavoured
from kitchenkit.freezer import CoolTime, cool_time
from kitchenkit.language import num, tr, trn
from kitchenkit.money import Money
from kitchenkit.pans import Pan, whole_number
from kitchenkit.recipe import Line, Recipe
from kitchenkit.swapping import PanFit, swap_pan
from kitchenkit.timetable import say_name, windows_of


@dataclass(frozen=True)
class Station:
    """One station of a class.

    Attributes
    ----------
    name : str
    students : int
    flavour : str
    recipe : Recipe
        Its batter.
    finish : tuple of Line
        What goes on top, with its moment in ``when``.
    pan : Pan
    pans : int
        Pans, or whole tins.
    fit : PanFit
        Wells or pans filled, fill and depth.
    bake : BakeTime
        With one rack in use; the timetable has the racks that are.
    windows : tuple of (float, float, float)
        Whole minutes to look from, likeliest and late end, with 1, 2 and 3 racks.
    cools : CoolTime
        On a rack, until it may be wrapped.
    """

    name: str
    students: int
    flavour: str
    recipe: Recipe
    finish: tuple[Line, ...]
    pan: Pan
    pans: int
    fit: PanFit
    bake: BakeTime
    windows: tuple[tuple[float, float, float], ...]
    cools: CoolTime

    @property
    def whole(self) -> Recipe:
        """Batter and finish: for weighing out, costs and allergens."""
        return self.recipe.with_finish(self.finish)


class StationMaker:
    """Sets up stations, and remembers every batter that it has once fitted to a pan.

    Parameters
    ----------
    kit : Kit
    base : Recipe

    Attributes
    ----------
    timetables : dict
        What `plan_class` has worked out for its stations.
    """

    def __init__(self, kit, base: Recipe):
        self.kit, self.base = kit, base
        self._fitted: dict = {}
        self._flavoured: dict = {}
        self._costs: dict = {}
        self.timetables: dict = {}

    def stations(
        self, *, students, stations, servings, flavours, pans, oven, **baking
    ) -> tuple[Station, ...]:
        """The stations of a class; takes and raises what `plan_class` does.

        Parameters
        ----------
        students, stations : int
        servings : float
        flavours : sequence of str, Flavour or Recipe
        pans : str, Pan or mapping, optional
        oven : Quantity or str
        **baking
            As for `bake_time`.

        Returns
        -------
        tuple of Station

        Raises
        ------
        KitchenError
            If numbers make no class, a name is unknown, or there are too few pans.
        """
        crowd = _crowd(students, stations)
        if not (isinstance(servings, Real) and math.isfinite(servings) and 0 < servings <= 1000):
            raise KitchenError(
                tr("{n} servings a student? Write how many, above 0.", n=f"{servings!r}")
            )
        bakes = self._bakes(flavours)
        shelf = self._shelf(pans)
        made = []
        for at, many in enumerate(crowd):
            name, bake = f"station {at + 1}", bakes[at % len(bakes)]
            fitted = self._take(shelf, bake, many * servings, name, oven, baking)
            made.append(replace(fitted, name=name, students=many))
        return tuple(made)

    def alike(self, stations) -> list[tuple[Station, int]]:
        """Stations that make and bake the very same, each with how many there are of it.

        Parameters
        ----------
        stations : sequence of Station
        """
        found: dict = {}
        for station in stations:
            found.setdefault((id(station.recipe), station.pan), [station, 0])[1] += 1
        return [tuple(pair) for pair in found.values()]

    def serving_cost(self, station: Station, place: str, on) -> Money:
        """What the ingredients of one serving of a station's flavour cost.

        Parameters
        ----------
        station : Station
        place : str
        on : date or str, optional
            As for `cost`.

        Returns
        -------
        Money
        """
        key = id(station.recipe), place, str(on)
        if key not in self._costs:
            self._costs[key] = station, cost(self.kit, station.whole, place=place, today=on).serving
        return self._costs[key][1]

    def _bakes(self, flavours) -> list[tuple]:
        """(name, batter, finish) of each flavour; the base alone when there is none."""
        if isinstance(flavours, str | Flavour | Recipe):
            flavours = (flavours,)
        found = []
        for one in flavours:
            one = self.kit.flavours[one] if isinstance(one, str) else one
            if id(one) not in self._flavoured:  # kept with it, so that the id stays its own
                self._flavoured[id(one)] = one, self._bake(one)
            found.append(self._flavoured[id(one)][1])
        return found or [(self.base.name, self.base, ())]

    def _bake(self, one) -> tuple:
        made = one.applied_to(self.base) if isinstance(one, Flavour) else one
        if isinstance(made, Flavoured):
            return made.flavour.name, made.recipe, made.finish
        if isinstance(made, Recipe):
            return made.name, made, ()
        raise KitchenError(f"{one!r} is no flavour. Give its name, or a recipe.")

    def _shelf(self, pans) -> list[list]:
        """[pan, how many are left] for each kind at hand."""
        known = self.kit.pans
        if pans is None:
            kinds = [pan for pan in known.values() if pan.kind == "muffin"]
            return [[kinds[0] if kinds else next(iter(known.values())), math.inf]]
        if isinstance(pans, str | Pan):
            return [[known[pans] if isinstance(pans, str) else pans, math.inf]]
        if not isinstance(pans, Mapping) or not pans:
            raise KitchenError('Pans are a name, or names and how many: {"muffin-12": 6}.')
        return [
            [known[name] if isinstance(name, str) else name, whole_number(many, "pans", 0)]
            for name, many in pans.items()
        ]

    def _take(self, shelf, bake, wanted: float, name: str, oven, baking) -> Station:
        """A batter in the first pans of the shelf that there are enough of."""
        short = []
        for entry in shelf:
            pan, left = entry
            fitted = self._fit(bake, wanted, pan, oven, baking)
            if fitted.pans <= left:
                entry[1] = left - fitted.pans
                return fitted
            words = tr(
                "{n} × {pan} ({left} left)", n=fitted.pans, pan=tr(pan.name), left=num(left, "g")
            )
            short.append(words)
        raise KitchenError(
            tr(
                "There are not enough pans for {station}. It needs {pans}. Borrow some, make fewer "
                "servings, or set up fewer stations.",
                station=say_name(name),
                pans=reduce(_or, short),
            )
        )

    def _fit(self, bake, wanted: float, pan: Pan, oven, baking: dict) -> Station:
        """A station without name and students, worked out once."""
        flavour, recipe, finish = bake
        # The language too: what fits how is told in words.
        of_all = str(oven), repr(sorted(baking.items())), language.current()
        key = id(recipe), wanted, pan, *of_all
        if key not in self._fitted:
            batter = recipe.scale(servings=wanted)
            fit = fit_tins(batter, pan)
            times = wanted / recipe.servings
            self._fitted[key] = Station(
                name="",
                students=0,
                flavour=flavour,
                recipe=batter,
                finish=tuple(replace(line, amount=line.amount * times) for line in finish),
                pan=pan,
                pans=math.ceil(fit.count / pan.wells),
                fit=fit,
                bake=bake_time(pan, fit.each, oven, **baking),
                windows=windows_of(pan, fit.each, oven, **baking),
                cools=cool_time(pan, fit.each, crumb=self.base),
            )
        return self._fitted[key]


def _or(first: str, last: str) -> str:
    # Not as a list: the names of pans have commas of their own.
    return tr("{first} or {last}", first=first, last=last)


def _crowd(students, stations) -> list[int]:
    """How many students at each station."""
    for name, value in (("students", students), ("stations", stations)):
        if isinstance(value, bool) or not isinstance(value, int) or not 1 <= value <= 500:
            words = tr("{n} students? Write a whole number, 1 to 500.", n=f"{value!r}")
            if name == "stations":
                words = tr("{n} stations? Write a whole number, 1 to 500.", n=f"{value!r}")
            raise KitchenError(words)
    if stations > students:
        raise KitchenError(
            trn(
                "{stations} stations are too many for {n} student: some would be empty. Set up at "
                "most {n}.",
                "{stations} stations are too many for {n} students: some would be empty. Set up "
                "at most {n}.",
                students,
                stations=stations,
            )
        )
    each, more = divmod(students, stations)
    return [each + (at < more) for at in range(stations)]


def fit_tins(batter: Recipe, pan: Pan) -> PanFit:
    """Wells or pans for a batter, without a whole tin for what the others can take in.

    Parameters
    ----------
    batter : Recipe
    pan : Pan

    Returns
    -------
    PanFit
        As `swap_pan`, but no more tins than needed at the fullest that such wells are filled.
    """
    fit = swap_pan(batter.volume, pan)
    if pan.wells == 1:
        return fit
    tin = pan.fill_limits.high * pan.capacity_m3 * pan.wells
    tins = max(1, math.ceil(batter.volume.m_as("m**3") / tin - 1e-9))
    if fit.count <= tins * pan.wells:
        return fit
    return swap_pan(batter.volume, pan, have=tins * pan.wells)
