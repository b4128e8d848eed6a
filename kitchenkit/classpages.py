"""The handout of a planned class: a page a station, and a page to take home for each flavour."""

from __future__ import annotations

import math
from dataclasses import replace

from kitchenkit.costs import cost, read_day
from kitchenkit.flavours import CHILLED_GROUPS
from kitchenkit.handouts import (
    HOME_CARE,
    STATION_CARE,
    HomePage,
    PanUse,
    StationPage,
    handout,
)
from kitchenkit.keeping import COLD, KeepBy, keep_by
from kitchenkit.labels import THAW, Label, advice_for, label_for
from kitchenkit.language import mark, tr, trn
from kitchenkit.saying import say_both
from kitchenkit.sheets import Document
from kitchenkit.temperature import celsius, say_temperature
from kitchenkit.timetable import say_name
from kitchenkit.units import Q

_PLACES = ("counter", "fridge", "freezer")
_COLD = mark(
    "The topping holds milk, cheese or egg: keep it cold, at most 2 hours out of it in all, 1 hour "
    "above 32 °C (90 °F)."
)


def class_handout(
    plan, *, tools: str = "both", large: bool = False, paper="A4", home: bool = True
) -> Document:
    """All pages of a class: a page a station, and a page to take home for each flavour.

    Parameters
    ----------
    plan : ClassPlan
    tools : {"us", "metric", "both"}
    large : bool
    paper : {"A4", "Letter"}
    home : bool
        Whether the pages to take home come too.

    Returns
    -------
    Document

    Raises
    ------
    KitchenError
        If the tools or the paper are unknown.
    """
    pages = [station_page(plan, station) for station in plan.stations]
    if home:
        pages += [home_page(plan, some[0]) for some in plan.flavours.values()]
    day = plan.asked["on"]
    return handout(
        plan.kit, *pages, tools=tools, large=large, paper=paper, title=tr("Class"), on=day
    )


def station_page(plan, station) -> StationPage:
    """The page of one station, with the times of its pans by the clock.

    Parameters
    ----------
    plan : ClassPlan
    station : Station

    Returns
    -------
    StationPage
        Its minutes are its own pans', with as many racks as the timetable uses.
    """
    uses, notes = [], []
    for load in plan.timetable.loads:
        for name, pan, many in load.pans:
            if name != station.name:
                continue
            # The load's own times are those of all its pans, other stations' too.
            first, _, last = station.windows[load.racks - 1]
            wells = min(station.fit.count, many * pan.wells) if pan.wells > 1 else 0
            uses.append(PanUse(pan.name, many, station.fit.depth, first, (first, last), wells))
            at = plan.clock.at
            notes.append(
                tr(
                    "{oven}: in at {into}, look from {look} on, out at {out} at the latest.",
                    oven=say_name(load.oven).capitalize(),
                    into=at(load.into),
                    look=at(load.into + first),
                    out=at(load.into + last),
                )
            )
    care = [*STATION_CARE, _COLD] if _chilled(station) else STATION_CARE
    return StationPage(
        say_name(station.name).capitalize(),
        station.whole,
        who=trn("{n} student", "{n} students", station.students),
        flavour=station.flavour,
        pans=tuple(uses),
        oven=_heat(plan),
        notes=tuple(notes),
        care=tuple(care),
    )


def home_page(plan, station) -> HomePage:
    """The page to take home of a station's flavour, in the size of the base recipe.

    Parameters
    ----------
    plan : ClassPlan
    station : Station

    Returns
    -------
    HomePage
        Without dates where the keeping table does not know the flavour.
    """
    times = plan.recipe.servings / station.recipe.servings
    batter, whole = station.recipe.scale(times), station.whole.scale(times)
    places = math.ceil((batter.volume / station.fit.each).m_as("") - 0.05)
    wells = places if station.pan.wells > 1 else 0
    bake = station.bake
    use = PanUse(
        station.pan.name,
        math.ceil(places / station.pan.wells),
        station.fit.depth,
        bake.check_from,
        (bake.low, bake.high),
        wells,
    )
    day = read_day(plan.asked["on"])
    kept = _kept(plan, station.flavour, day)
    place = plan.asked["place"]
    priced = cost(plan.kit, whole, place=place, today=day) if plan.kit.prices else None
    return HomePage(
        replace(whole, serving=plan.recipe.serving),
        name=station.flavour,
        pans=(use,),
        oven=_heat(plan),
        cost=priced,
        kept=kept,
        label=_label(station.flavour, whole, day, kept),
        notes=(tr("All of it: {weight}.", weight=say_both(whole.weight)),),
        care=(*HOME_CARE, *_cold(plan.kit, station, kept)),
    )


def _chilled(station) -> bool:
    """Whether something that keeps cold goes on it."""
    return any(line.ingredient.group in CHILLED_GROUPS for line in station.finish)


def _cold(kit, station, kept: tuple[KeepBy, ...]) -> list[str]:
    """What to say at home of one that needs cold."""
    if _chilled(station):
        return [_COLD]
    return [COLD] if any(kit.keeping[one.product].needs_cold for one in kept) else []


def _heat(plan) -> str:
    return say_temperature(Q(celsius(plan.asked["oven"], "oven temperature"), "degC"))


def _kept(plan, name: str, day) -> tuple[KeepBy, ...]:
    flavour = plan.kit.flavours.get(name)
    product = plan.kit.keeping.get(flavour.keeping) if flavour is not None else None
    if product is None:
        return ()
    known = {time.place for time in product}
    return tuple(keep_by(plan.kit, product.key, place, day) for place in _PLACES if place in known)


def _label(name: str, whole, day, kept: tuple[KeepBy, ...]) -> Label:
    frozen = next((one for one in kept if one.place == "freezer"), None)
    # A date of the freezer's holds there only.
    advice = advice_for("freezer") if frozen else THAW
    made = label_for(whole, day, frozen.by if frozen else None, advice=advice)
    return replace(made, name=tr(name))
