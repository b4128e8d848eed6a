"""Sheets for a planned class: what to have ready, what to clean, what the data say of allergens."""

from __future__ import annotations

import pandas as pd

from kitchenkit.allergens import READ_LABELS, allergens_in
from kitchenkit.flavours import AFTER, CHILLED_GROUPS
from kitchenkit.language import mark, num, tr, trc
from kitchenkit.remedies import WEIGH_OUT
from kitchenkit.saying import say_both
from kitchenkit.timetable import say_name
from kitchenkit.units import Q

# Common practice, no source.
_SOFTEN_MIN = 30
_FRESH = ("fruit", "vegetable")
_FRESH_WATER = 0.5  # more water than this, and fruit is washed and cut, not opened
_SOFTENED = ("butter", "unsalted-butter", "cream-cheese")
_CASES = mark("a paper case in each well, or grease")
_FLOURED = mark("grease and flour, the tube too")
_LINERS = {
    "muffin": _CASES,
    "mini muffin": _CASES,
    "jumbo muffin": _CASES,
    "square well": mark("grease each well"),
    "loaf": mark("grease, and a strip of baking paper along the bottom and two sides"),
    "tube": _FLOURED,
    "ring": _FLOURED,
}
_GREASE = mark("grease, and baking paper on the bottom")


def mise_en_place(plan) -> pd.DataFrame:
    """What has to be ready before the students come, for the room and by station.

    Parameters
    ----------
    plan : ClassPlan

    Returns
    -------
    DataFrame
        Index: where (``"the room"`` or stations). Columns: ``when``, ``what``. All as the reader
        calls it.

    Notes
    -----
    Common practice, no source.
    """
    at, room, before = plan.clock.at, tr("the room"), tr("the day before")
    rows = [
        (room, before, tr("Shop: {list}", list=plan.shopping)),
        (room, before, tr("Ask every student about allergies, and read every label.")),
        (room, at(-60), tr("Count pans, bowls, spoons, scales, dry mitts and cooling racks.")),
        (room, at(-60), _racks(plan)),
    ]
    rows += [(room, at(-30), words) for words in (*_produce(plan), *_soft(plan))]
    items = [x.ingredient for x in plan.everything.lines]
    cold = dict.fromkeys(tr(item.name) for item in items if item.group in CHILLED_GROUPS)
    if cold:
        words = tr("Keep cold until it is weighed: {names}.", names=", ".join(cold))
        rows.append((room, at(0), words))
    firsts = {load.oven: load for load in reversed(plan.timetable.loads)}
    for load in sorted(firsts.values(), key=lambda load: load.on):
        words = tr("Turn {oven} on, racks in place.", oven=say_name(load.oven))
        rows.append((room, at(load.on), words))
    weighed = all(step != WEIGH_OUT for step, _ in plan.asked["before"])
    for where, station in plan.groups:
        lined = _LINERS.get(station.pan.kind, _GREASE)
        words = f"{station.pans} × {tr(station.pan.name)}: {tr(lined)}."
        rows.append((where, at(-15), words))
        bowl = station.recipe.bowl
        tools = tr(
            "A bowl of at least {litres} litres ({quarts} quarts), scale, spoons.",
            litres=num(bowl.m_as("liter"), ".1f"),
            quarts=num(bowl.m_as("quart"), ".1f"),
        )
        rows.append((where, at(-15), tools))
        if weighed:
            words = "; ".join(
                f"{tr(x.ingredient.name)}, {x.say('metric')}" for x in station.whole.lines
            )
            rows.append((where, at(-15), tr("Weighed out: {amounts}.", amounts=words)))
    return pd.DataFrame(rows, columns=["where", "when", "what"]).set_index("where")


def _racks(plan) -> str:
    most: dict[str, int] = {}
    for load in plan.timetable.loads:
        most[load.oven] = max(most.get(load.oven, 0), load.racks)
    words = ", ".join(
        tr("{n} in {oven}", n=n, oven=say_name(oven)) for oven, n in sorted(most.items())
    )
    return tr(
        "Set the racks while the ovens are cold: {racks}. Hang a thermometer in each.", racks=words
    )


def _produce(plan) -> list[str]:
    """Fresh things to wash, peel and cut, with what to buy for them."""
    said = []
    for line in plan.everything.lines:
        item = line.ingredient
        if item.group not in _FRESH or item.composition.get("water", 0.0) < _FRESH_WATER:
            continue
        grams = line.weight.m_as("g")
        bought = say_both(Q(grams / item.edible_yield, "g"))
        if item.edible_yield < 1:
            said.append(
                tr(
                    "Wash and trim {bought} to have {weight} {ingredient}.",
                    bought=bought,
                    weight=say_both(Q(grams, "g")),
                    ingredient=tr(item.name),
                )
            )
    return said


def _soft(plan) -> list[str]:
    soft = [tr(x.ingredient.name) for x in plan.everything.lines if x.ingredient.key in _SOFTENED]
    if not soft:
        return []
    return [
        tr(
            "Let {names} soften, {minutes} min: out of the cold for 2 h at most, 1 h above 32 °C "
            "(90 °F).",
            names=", ".join(soft),
            minutes=_SOFTEN_MIN,
        )
    ]


def clean_up(plan) -> list[str]:
    """What to do while it bakes and at the end.

    Parameters
    ----------
    plan : ClassPlan

    Returns
    -------
    list of str

    Notes
    -----
    Common practice, no source; local rules come first.
    """
    loads = plan.timetable.loads
    first, last = min(load.into for load in loads), max(load.out for load in loads)
    at = plan.clock.at
    return [
        tr(
            "From {time}, while it bakes: wash bowls, spoons and scales in hot soapy water, and "
            "wipe every surface that raw flour or egg has touched. Then wash hands.",
            time=at(first),
        ),
        tr(
            "Milk, yogurt, eggs and cheese back into the cold at once. Out for more than 2 h, 1 h "
            "above 32 °C (90 °F): throw them out."
        ),
        tr(
            "At {time}, after the last load: ovens off, doors shut until they are cool. Hot pans "
            "stand where nobody reaches.",
            time=at(last),
        ),
        _left(plan),
        tr("Sweep flour up dry, wipe the floor where it is wet, and take the rubbish out."),
        tr("By {time}: count mitts, knives and thermometers.", time=at(plan.finish)),
    ]


def _left(plan) -> str:
    lines = plan.shopping.lines
    left = lines[(lines["left_g"] >= 1) & (lines["bought_g"] > 0)]
    most = left.sort_values("left_g", ascending=False).head(3)
    if most.empty:
        return tr("Label and date what is left of the packages, if anything is.")
    called = plan.shopping.called
    words = "; ".join(f"{called(name)} {row.left}" for name, row in most.iterrows())
    return tr("Label and date what is left of the packages, most of all {amounts}.", amounts=words)


def allergen_sheet(plan) -> pd.DataFrame:
    """What the data list for each flavour, and for the room that all of them share.

    Parameters
    ----------
    plan : ClassPlan

    Returns
    -------
    DataFrame
        Index: flavour, and ``"the room"`` last. Columns: ``stations``, ``listed`` (the nine major
        allergens of US law that the data name, with what brings them), ``gluten``, ``read`` (what
        may carry more). All as the reader calls it.

    Notes
    -----
    FALCPA (2004) and FASTER Act, Pub. L. 117-11 (2021). No row says that anything is absent.
    """
    rows = []
    every: dict[str, None] = {}
    for name, stations in plan.flavours.items():
        found = allergens_in(stations[0].whole)
        every |= dict.fromkeys(found.found)
        rows.append(
            {
                "flavour": tr(name),
                "stations": ", ".join(s.name.removeprefix("station ") for s in stations),
                "listed": f"{found.listed}.",
                "gluten": ", ".join(map(tr, found.gluten)) or tr("none named in the data"),
                "read": ", ".join(map(tr, found.may)) or tr("every label"),
            }
        )
    shared = ", ".join(map(tr, every)) or tr("what any of them holds")
    rows.append(
        {
            "flavour": tr("the room"),
            "stations": trc("stations", "all"),
            "listed": tr(
                "One room, shared air and tools: any of them may carry {allergens}.",
                allergens=shared,
            ),
            "gluten": tr("flour dust settles everywhere"),
            "read": tr(READ_LABELS),
        }
    )
    return pd.DataFrame(rows).set_index("flavour")


def cautions(plan) -> list[str]:
    """What to mind in this class.

    Parameters
    ----------
    plan : ClassPlan

    Returns
    -------
    list of str
    """
    said = [
        tr(
            "Hot ovens, racks and pans burn: dry mitts, one person at an open door, a clear way to "
            "a clear place, and nobody carries a hot pan past others."
        ),
        tr("Raw flour and raw eggs can carry germs: nobody tastes batter, and hands are washed."),
        tr(
            "Milk, yogurt, eggs and cheese stay cold until they are weighed: out of the cold for "
            "2 h at most, 1 h above 32 °C (90 °F)."
        ),
        " ".join((_listed(plan), tr(READ_LABELS), tr("Ask every student beforehand."))),
        tr(
            "It may be wrapped once it is cool, {time}. Wrapped warm, it gets wet and moulds.",
            time=plan.cools,
        ),
    ]
    if plan.timetable.plan_for == "late":
        said.append(
            tr(
                "The timetable holds each oven for the whole baking window. Look from the time it "
                "says, and take out what is done."
            )
        )
    for station in plan.stations:
        if station.fit.state != "good":
            said.append(f"{say_name(station.name).capitalize()}: {station.fit.advice}")
            break
    if any(getattr(x, "when", "") == AFTER for s in plan.stations for x in s.finish):
        said.append(
            tr(
                "What goes on after cooling goes home in a pot of its own, cold if it holds milk, "
                "cheese or egg: 4 °C (40 °F), out of the cold for 2 h at most, 1 h above 32 °C "
                "(90 °F)."
            )
        )
    if not plan.timetable.exact:
        said.append(tr("So many kinds of pans: the timetable is a good one, perhaps not the best."))
    return [
        *said,
        tr("Your school's or hall's rules, and the fire and food rules there, come first."),
    ]


def _listed(plan) -> str:
    found: dict[str, None] = {}
    for stations in plan.flavours.values():
        found |= dict.fromkeys(allergens_in(stations[0].whole).found)
    if not found:
        return tr("In the data: none of the nine major allergens is named.")
    return tr("In the data: {names}.", names=", ".join(map(tr, found)))
