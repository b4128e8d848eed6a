"""Who bakes when: every station's steps, and the ovens' loads by the clock."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from itertools import pairwise

import pandas as pd
import pint

from kitchenkit.baking import bake_time
from kitchenkit.clock import Clock
from kitchenkit.errors import KitchenError
from kitchenkit.language import mark, tr
from kitchenkit.loading import Kind, Put, Search
from kitchenkit.pans import Pan, whole_number
from kitchenkit.racks import Oven
from kitchenkit.temperature import celsius, say_temperature
from kitchenkit.units import Q

# Minutes to change an oven's pans, and to bring it to another heat: common practice, no source.
RELOAD_MIN = 3.0
REHEAT_MIN = 10.0
PLAN_FOR = ("late", "likeliest")


@dataclass(frozen=True)
class Batch:
    """What a station brings to the ovens: so many pans, all alike.

    Attributes
    ----------
    station : str
    pan : Pan
    pans : int
        Pans, or whole tins.
    oven : Quantity
        Its temperature, °C.
    windows : tuple of (float, float, float)
        Minutes to look from, likeliest, and late end; with one, two and three racks in use.
    before : tuple of (str, float)
        Steps from the start of the class until the pans can go in, with their minutes.
    cool, pack : float
        Minutes on the rack, and to pack afterwards.
    """

    station: str
    pan: Pan
    pans: int
    oven: pint.Quantity
    windows: tuple[tuple[float, float, float], ...]
    before: tuple[tuple[str, float], ...] = (("mix and fill", 25.0),)
    cool: float = 30.0
    pack: float = 5.0

    def __post_init__(self):
        whole_number(self.pans, "pans", 1)
        if len(self.windows) != 3 or not all(0 < a <= b <= c for a, b, c in self.windows):
            raise KitchenError(
                "Windows are three, for 1, 2 and 3 racks: look from, likeliest, late."
            )
        if any(
            b < a for one, more in pairwise(self.windows) for a, b in zip(one, more, strict=True)
        ):
            raise KitchenError("More racks in use never bake faster. Check the windows.")
        for name, minutes in (*self.before, ("cool", self.cool), ("pack", self.pack)):
            if not (math.isfinite(minutes) and minutes >= 0):
                raise KitchenError(f"{minutes} min to {name}? Write 0 or more.")

    @property
    def ready(self) -> float:
        """Minutes after the start at which the pans can go in."""
        return float(sum(minutes for _, minutes in self.before))

    @classmethod
    def of(cls, station: str, pan: Pan, volume, pans: int, oven="350 degF", **rest) -> Batch:
        """A batch whose windows `bake_time` gives, in whole minutes: a late end is rounded up.

        Parameters
        ----------
        station : str
        pan : Pan
        volume : Quantity or str
            Raw batter in one pan or well.
        pans : int
        oven : Quantity or str
        **rest
            ``known``, ``batter``, ``altitude``, ``correction`` and ``heat`` as for `bake_time`;
            ``before``, ``cool`` and ``pack`` as attributes.

        Returns
        -------
        Batch
        """
        own = {name: rest.pop(name) for name in ("before", "cool", "pack") if name in rest}
        windows = windows_of(pan, volume, oven, **rest)
        heat = Q(round(celsius(oven, "oven temperature"), 6), "degC")
        return cls(station, pan, pans, heat, windows, **own)


def windows_of(pan: Pan, volume, oven="350 degF", **baking) -> tuple:
    """Whole minutes to look from, likeliest, and late end, with 1, 2 and 3 racks in use.

    Parameters
    ----------
    pan : Pan
    volume : Quantity or str
        Raw batter in one pan or well.
    oven : Quantity or str
    **baking
        As for `bake_time`.

    Returns
    -------
    tuple of (float, float, float)
        Rounded up, so that no window is cut short.
    """
    found = []
    for racks in (1, 2, 3):
        time = bake_time(pan, volume, oven, racks=racks, **baking)
        minutes = (x.m_as("min") for x in (time.check_from, time.minutes, time.high))
        found.append(tuple(float(math.ceil(x - 1e-6)) for x in minutes))
    return tuple(found)


@dataclass(frozen=True)
class Load:
    """Pans that are in one oven at once. All times are minutes after the start of the class.

    Attributes
    ----------
    oven : str
    number : int
        Of this oven, from 1.
    pans : tuple of (str, Pan, int)
        Station, pan and how many of it.
    temperature : Quantity
        °C.
    racks : int
    on : float
        When to turn the oven to this heat.
    into, look_from, likely, out : float
        In; when the first may be done; the likeliest time for the last; and its late end.
    turn : float or None
        When to swap racks and turn the pans; None with one rack in use.
    cool_until : float
        When the last of them is cool, if it comes out at the end planned for.
    """

    oven: str
    number: int
    pans: tuple[tuple[str, Pan, int], ...]
    temperature: pint.Quantity
    racks: int
    on: float
    into: float
    look_from: float
    turn: float | None
    likely: float
    out: float
    cool_until: float

    @property
    def stations(self) -> tuple[str, ...]:
        """Whose pans they are."""
        return tuple(dict.fromkeys(station for station, _, _ in self.pans))


@dataclass(frozen=True)
class Timetable:
    """The ovens' loads and every station's steps.

    Attributes
    ----------
    loads : tuple of Load
        In the order in which they go in.
    steps : DataFrame
        Columns: ``station``, ``step``, ``start``, ``end`` (minutes), ``where``.
    finish : float
        Minutes after the start until the last station has packed.
    plan_for : {"late", "likeliest"}
        Which end of the baking windows it counts on.
    exact : bool
        Whether no order of loads is quicker. If not, the search was cut short, and it is the
        best that was found.
    ovens : tuple of Oven
    """

    loads: tuple[Load, ...]
    steps: pd.DataFrame = field(repr=False)
    finish: float
    plan_for: str
    exact: bool
    ovens: tuple[Oven, ...] = field(repr=False)

    def table(self, clock: Clock | None = None) -> pd.DataFrame:
        """The loads by the clock.

        Parameters
        ----------
        clock : Clock, optional
            From 18:00 when left out.

        Returns
        -------
        DataFrame
            Index: load. Columns: ``pans``, ``heat``, ``on``, ``in``, ``look from``, ``turn``,
            ``likely out``, ``out at the latest``, ``cool``.
        """
        at = (clock or Clock()).at
        rows = [
            {
                "load": say_load(load),
                "pans": "; ".join(
                    f"{say_name(station)}: {many} × {tr(pan.name)}"
                    for station, pan, many in load.pans
                ),
                "heat": say_temperature(load.temperature),
                "on": at(load.on),
                "in": at(load.into),
                "look from": at(load.look_from),
                "turn": at(load.turn) if load.turn is not None else "",
                "likely out": at(load.likely),
                "out at the latest": at(load.out),
                "cool": at(load.cool_until),
            }
            for load in self.loads
        ]
        return pd.DataFrame(rows).set_index("load")


# What the kit itself numbers; whoever names an oven or a station is not translated.
_NUMBERED = {"oven": mark("oven {n}"), "station": mark("station {n}")}


def say_name(name: str) -> str:
    """An oven's or a station's name in the reader's language: ``oven 2``, ``station 3``.

    Parameters
    ----------
    name : str

    Returns
    -------
    str
        Any other name as it is.
    """
    kind, _, number = name.rpartition(" ")
    return tr(_NUMBERED[kind], n=number) if kind in _NUMBERED and number.isdecimal() else name


def say_load(load: Load) -> str:
    """A load by its oven and number, in the reader's language.

    Parameters
    ----------
    load : Load

    Returns
    -------
    str
        Such as ``"oven 1, load 2"``.
    """
    return tr("{oven}, load {n}", oven=say_name(load.oven), n=load.number)


def oven_timetable(
    batches: Iterable[Batch],
    ovens: Sequence[Oven] | int = 2,
    *,
    plan_for: str = "late",
    early: float = 0.0,
    reload_min: float = RELOAD_MIN,
    reheat_min: float = REHEAT_MIN,
) -> Timetable:
    """Loads for the ovens so that the last station has packed as early as can be.

    Parameters
    ----------
    batches : iterable of Batch
    ovens : sequence of Oven, or int
        Or how many usual home ovens.
    plan_for : {"late", "likeliest"}
        Keep an oven for the whole baking window, or only up to the likeliest time.
    early : float
        Minutes before the start from which ovens may be turned on.
    reload_min : float
        Minutes between two loads of an oven.
    reheat_min : float
        Minutes more where the next load wants another temperature.

    Returns
    -------
    Timetable

    Raises
    ------
    KitchenError
        If there is no batch or no oven, or a pan fits on no rack.

    Notes
    -----
    First plain rules: the oven that is free first takes the longest bakes, or those ready first,
    as many as it holds on one, two or all racks. Then, for up to four kinds of pans, branch and
    bound over all orders of loads: the oven that is free first takes another load or rests for
    good; pans alike are not told apart, and a load that could hold one more of what is in it, on
    the same racks, is not tried. Where that is cut short, `Timetable.exact` is False.

    A load has one temperature; more racks in use bake slower, as `bake_time` says; a pan that is
    done earlier than the rest of its load comes out.
    """
    batches = list(batches)
    ovens = _ovens(ovens)
    if plan_for not in PLAN_FOR:
        raise KitchenError(f"Plan for {plan_for!r}? Choose one of: {', '.join(PLAN_FOR)}.")
    if not batches:
        raise KitchenError(tr("There is nothing to bake. Give at least one batch."))
    for name, minutes in (("early", early), ("reload_min", reload_min), ("reheat_min", reheat_min)):
        if not (math.isfinite(minutes) and minutes >= 0):
            raise KitchenError(f"{name}={minutes} is no number of minutes. Write 0 or more.")
    end = 2 if plan_for == "late" else 1
    stock: dict[Kind, list[int]] = {}
    for at, batch in enumerate(batches):
        kind = Kind(
            batch.pan, batch.oven.m_as("degC"), batch.windows, batch.ready, batch.cool + batch.pack
        )
        stock.setdefault(kind, []).extend([at] * batch.pans)
    search = Search(list(stock), ovens, end, early, reload_min, reheat_min)
    puts = search.best({kind: len(pans) for kind, pans in stock.items()})
    loads, steps, finish = _say(puts, search, stock, batches)
    return Timetable(loads, steps, finish, plan_for, search.exact, ovens)


def _ovens(ovens) -> tuple[Oven, ...]:
    if isinstance(ovens, Sequence) and not isinstance(ovens, str):
        if not ovens or not all(isinstance(oven, Oven) for oven in ovens):
            raise KitchenError("Give at least one Oven, or how many usual ones there are.")
        return tuple(ovens)
    many = whole_number(ovens, "ovens", 1)
    return tuple(Oven(f"oven {at}") for at in range(1, many + 1))


def _say(puts: list[Put], search: Search, stock, batches: list[Batch]):
    """Loads and steps of a search's answer; pans go to the stations in their order."""
    waiting = {kind: list(pans) for kind, pans in stock.items()}
    numbers = [0] * len(search.ovens)
    free = [0.0] * len(search.ovens)
    loads, baked = [], []
    for put in sorted(puts, key=lambda put: (put.into, put.oven)):
        oven = search.ovens[put.oven]
        taken: list[tuple[int, int]] = []
        for kind, many in zip(search.kinds, put.counts, strict=True):
            mine, waiting[kind] = waiting[kind][:many], waiting[kind][many:]
            taken += [(at, mine.count(at)) for at in dict.fromkeys(mine)]
        windows = {at: batches[at].windows[put.racks - 1] for at, _ in taken}
        likely = max(window[1] for window in windows.values())
        heat = batches[taken[0][0]].oven
        on = free[put.oven] if numbers[put.oven] else put.into - oven.preheat
        numbers[put.oven] += 1
        cool = [put.into + windows[at][search.end] + batches[at].cool for at, _ in taken]
        loads.append(
            Load(
                oven=oven.name,
                number=numbers[put.oven],
                pans=tuple((batches[at].station, batches[at].pan, n) for at, n in taken),
                temperature=heat,
                racks=put.racks,
                on=on,
                into=put.into,
                look_from=put.into + min(window[0] for window in windows.values()),
                turn=put.into + likely / 2 if put.racks > 1 else None,
                likely=put.into + likely,
                out=put.into + max(window[2] for window in windows.values()),
                cool_until=max(cool),
            )
        )
        free[put.oven] = put.over
        baked += [(at, oven.name, put.into, put.into + windows[at][search.end]) for at, _ in taken]
    rows = [row for at, batch in enumerate(batches) for row in _steps(at, batch, baked)]
    steps = pd.DataFrame(rows, columns=["station", "step", "start", "end", "where"])
    return tuple(loads), steps, float(steps["end"].max())


def _steps(at: int, batch: Batch, baked) -> list[tuple]:
    rows, clock = [], 0.0
    for step, minutes in batch.before:
        rows.append((batch.station, step, clock, clock + minutes, "bench"))
        clock += minutes
    cool = clock
    for whose, oven, into, out in baked:
        if whose == at:
            rows.append((batch.station, "bake", into, out, oven))
            rows.append((batch.station, "cool", out, out + batch.cool, "cooling rack"))
            cool = max(cool, out + batch.cool)
    rows.append((batch.station, "pack", cool, cool + batch.pack, "bench"))
    return rows
