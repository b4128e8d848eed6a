"""Sheets for a planned class: what to have ready, what to clean, what the data say of allergens."""

from __future__ import annotations

import pandas as pd

from kitchenkit.allergens import READ_LABELS, allergens_in
from kitchenkit.flavours import AFTER
from kitchenkit.remedies import WEIGH_OUT
from kitchenkit.saying import say_both
from kitchenkit.units import Q

# Common practice, no source.
_SOFTEN_MIN = 30
_FRESH = ("fruit", "vegetable")
_FRESH_WATER = 0.5  # more water than this, and fruit is washed and cut, not opened
_COLD_GROUPS = ("dairy", "egg", "cheese")
_LINERS = {
    "muffin": "a paper case in each well, or grease",
    "mini muffin": "a paper case in each well, or grease",
    "jumbo muffin": "a paper case in each well, or grease",
    "square well": "grease each well",
    "loaf": "grease, and a strip of baking paper along the bottom and two sides",
    "tube": "grease and flour, the tube too",
    "ring": "grease and flour, the tube too",
}
_GREASE = "grease, and baking paper on the bottom"


def mise_en_place(plan) -> pd.DataFrame:
    """What has to be ready before the students come, for the room and by station.

    Parameters
    ----------
    plan : ClassPlan

    Returns
    -------
    DataFrame
        Index: where (``"the room"`` or a station). Columns: ``when``, ``what``.

    Notes
    -----
    Common practice, no source.
    """
    at = plan.clock.at
    rows = [
        ("the room", "the day before", f"Shop: {plan.shopping}"),
        ("the room", "the day before", "Ask every student about allergies, and read every label."),
        ("the room", at(-60), "Count pans, bowls, spoons, scales, dry mitts and cooling racks."),
        ("the room", at(-60), _racks(plan)),
    ]
    rows += [("the room", at(-30), words) for words in (*_produce(plan), *_soft(plan))]
    cold = [x.ingredient.name for x in plan.everything.lines if x.ingredient.group in _COLD_GROUPS]
    if cold:
        words = f"Keep cold until it is weighed: {', '.join(dict.fromkeys(cold))}."
        rows.append(("the room", at(0), words))
    firsts = {load.oven: load for load in reversed(plan.timetable.loads)}
    for load in sorted(firsts.values(), key=lambda load: load.on):
        rows.append(("the room", at(load.on), f"Turn {load.oven} on, racks in place."))
    weighed = all(step != WEIGH_OUT for step, _ in plan.asked["before"])
    for where, station in plan.groups:
        lined = _LINERS.get(station.pan.kind, _GREASE)
        rows.append((where, at(-15), f"{station.pans} × {station.pan.name}: {lined}."))
        bowl = station.recipe.bowl
        tools = (
            f"A bowl of at least {bowl.m_as('liter'):.1f} litres "
            f"({bowl.m_as('quart'):.1f} quarts), scale, spoons."
        )
        rows.append((where, at(-15), tools))
        if weighed:
            words = "; ".join(
                f"{x.ingredient.name}, {x.say('metric')}" for x in station.whole.lines
            )
            rows.append((where, at(-15), f"Weighed out: {words}."))
    return pd.DataFrame(rows, columns=["where", "when", "what"]).set_index("where")


def _racks(plan) -> str:
    most: dict[str, int] = {}
    for load in plan.timetable.loads:
        most[load.oven] = max(most.get(load.oven, 0), load.racks)
    words = ", ".join(f"{n} in {oven}" for oven, n in sorted(most.items()))
    return f"Set the racks while the ovens are cold: {words}. Hang a thermometer in each."


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
            said.append(f"Wash and trim {bought} to have {say_both(Q(grams, 'g'))} {item.name}.")
    return said


def _soft(plan) -> list[str]:
    soft = [
        x.ingredient.name
        for x in plan.everything.lines
        if "butter" in x.ingredient.key or x.ingredient.key == "cream-cheese"
    ]
    if not soft:
        return []
    return [f"Let {', '.join(soft)} soften, {_SOFTEN_MIN} min, at most 2 h out of the cold."]


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
        f"From {at(first)}, while it bakes: wash bowls, spoons and scales in hot soapy water, and "
        "wipe every surface that raw flour or egg has touched. Then wash hands.",
        "Milk, yogurt, eggs and cheese back into the cold at once. Out for more than 2 h, 1 h "
        "above 32 °C (90 °F): throw them out.",
        f"At {at(last)}, after the last load: ovens off, doors shut until they are cool. Hot pans "
        "stand where nobody reaches.",
        f"Label and date what is left of the packages, {_left(plan)}.",
        "Sweep flour up dry, wipe the floor where it is wet, and take the rubbish out.",
        f"By {at(plan.finish)}: count mitts, knives and thermometers.",
    ]


def _left(plan) -> str:
    lines = plan.shopping.lines
    left = lines[(lines["left_g"] >= 1) & (lines["bought_g"] > 0)]
    most = left.sort_values("left_g", ascending=False).head(3)
    words = "; ".join(f"{name} {row.left}" for name, row in most.iterrows())
    return f"most of all {words}" if words else "if anything is"


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
        may carry more).

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
                "flavour": name,
                "stations": ", ".join(s.name.removeprefix("station ") for s in stations),
                "listed": f"{found.listed}.",
                "gluten": ", ".join(found.gluten) or "none named in the data",
                "read": ", ".join(found.may) or "every label",
            }
        )
    shared = ", ".join(every) or "what any of them holds"
    rows.append(
        {
            "flavour": "the room",
            "stations": "all",
            "listed": f"One room, shared air and tools: any of them may carry {shared}.",
            "gluten": "flour dust settles everywhere",
            "read": READ_LABELS,
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
        "Hot ovens, racks and pans burn: dry mitts, one person at an open door, a clear way to a "
        "clear place, and nobody carries a hot pan past others.",
        "Raw flour and raw eggs can carry germs: nobody tastes batter, and hands are washed.",
        "Milk, yogurt, eggs and cheese stay cold until they are weighed: out of the cold for 2 h "
        "at most, 1 h above 32 °C (90 °F).",
        f"{_listed(plan)} {READ_LABELS} Ask every student beforehand.",
        f"It may be wrapped once it is cool, {plan.cools}. Wrapped warm, it gets wet and moulds.",
    ]
    if plan.timetable.plan_for == "late":
        said.append(
            "The timetable holds each oven for the whole baking window. Look from the time it "
            "says, and take out what is done."
        )
    for station in plan.stations:
        if station.fit.state != "good":
            said.append(f"{station.name.capitalize()}: {station.fit.advice}")
            break
    if any(getattr(x, "when", "") == AFTER for s in plan.stations for x in s.finish):
        said.append(
            "What goes on after cooling goes home in a pot of its own, cold if it holds milk, "
            "cheese or egg: 4 °C (40 °F), at most 2 h out of the cold."
        )
    if not plan.timetable.exact:
        said.append("So many kinds of pans: the timetable is a good one, perhaps not the best.")
    return [*said, "Your school's or hall's rules, and the fire and food rules there, come first."]


def _listed(plan) -> str:
    found: dict[str, None] = {}
    for stations in plan.flavours.values():
        found |= dict.fromkeys(allergens_in(stations[0].whole).found)
    return f"In the data: {', '.join(found) or 'none of the nine major allergens is named'}."
