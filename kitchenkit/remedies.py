"""What to change when a class does not fit its time: each change tried, and ranked."""

from __future__ import annotations

import math
from dataclasses import dataclass, field, replace

from kitchenkit.errors import KitchenError
from kitchenkit.language import num, tr, trn
from kitchenkit.pans import Pan

_NO_GAIN = 0.5  # minutes; what saves no more is no remedy
WEIGH_OUT = "weigh out"  # the step of a class that can be done before it
# Kinds of pans tried in place of one that is too slow, the shallow ones first.
_QUICK_KINDS = ("mini muffin", "muffin", "square well", "mini loaf", "sheet", "square")


@dataclass(frozen=True)
class Remedy:
    """One change to a class that does not fit, tried out.

    Attributes
    ----------
    what : str
        What to do, in plain words.
    finish : float
        When the class then ends, minutes after its start.
    saves : float
        Minutes gained, below 0 where it takes longer.
    fits : bool
    asked : dict
        What to give `plan_class` for it.
    """

    what: str
    finish: float
    saves: float
    fits: bool
    asked: dict = field(repr=False)


def remedies_for(plan) -> list[Remedy]:
    """Every change tried on a class that does not fit; pairs where none alone will do.

    Parameters
    ----------
    plan : ClassPlan

    Returns
    -------
    list of Remedy
        Those that fit, the least trouble first; then the rest, the soonest end first; last what
        always works.
    """
    singles = [
        tried
        for what, changed in _ideas(plan)
        if (tried := _tried(plan, what, changed)) is not None
    ]
    useful = [tried for tried in singles if tried.saves > _NO_GAIN]
    if not any(tried.fits for tried in useful):
        useful += _pairs(plan, useful)
    order = {tried.what: at for at, tried in enumerate(useful)}
    useful.sort(key=lambda r: (not r.fits, order[r.what] if r.fits else r.finish, r.finish))
    return [*useful, *_last_resorts(plan)]


def first_remedy(plan) -> Remedy:
    """What fits and asks least, without trying all of it.

    Parameters
    ----------
    plan : ClassPlan

    Returns
    -------
    Remedy
        The first of `remedies_for`.
    """
    for what, changed in _ideas(plan):
        tried = _tried(plan, what, changed)
        if tried is not None and tried.fits and tried.saves > _NO_GAIN:
            return tried
    return plan.remedies[0]


def _tried(plan, what: str, changed: dict) -> Remedy | None:
    try:
        again = plan.again(**changed)
    except KitchenError:
        return None
    return Remedy(what, again.finish, plan.finish - again.finish, again.fits, changed)


def _ideas(plan):
    """Changes worth trying, the least trouble first: what to say, and what to ask for."""
    asked = plan.asked
    ovens = plan.timetable.ovens
    warm = max(oven.preheat for oven in ovens)
    ready = sum(minutes for _, minutes in asked["before"])
    if ready < warm and asked["early"] < warm:
        yield tr("turn the ovens on before the class"), {"early": warm}
    first, *others = asked["before"]
    if first[0] == WEIGH_OUT and others:
        yield tr("have everything weighed out before the class"), {"before": tuple(others)}
    if asked["cool"] == "wrap":
        words = tr("send it home in an open bag, to be wrapped there when cool")
        yield words, {"cool": "carry"}
    half = math.ceil(plan.servings / 2)  # with less than that it is another class
    for many in range(math.ceil(plan.servings) - 1, half - 1, -1):
        tried = _tried(plan, "", {"servings": many})
        if tried and (tried.fits or many == half) and tried.saves > _NO_GAIN:
            words = tr(
                "let each student take home {many} of {all}", many=many, all=num(plan.servings, "g")
            )
            yield words, {"servings": many}
            break
    quick = _quickest_pan(plan)
    if quick is not None:
        yield tr("bake in the {pan}", pan=tr(quick.name)), {"pans": quick.key}
    half = len(plan.stations) // 2
    if half:
        words = trn(
            "let the students share {n} station", "let the students share {n} stations", half
        )
        yield words, {"stations": half}
    more = replace(ovens[0], name=f"oven {len(ovens) + 1}")
    yield tr("borrow one more oven"), {"ovens": (*ovens, more)}


def _quickest_pan(plan) -> Pan | None:
    """The kit's pan that ends the class soonest and is filled as such pans are."""
    kinds = {
        pan.kind: pan for pan in reversed(list(plan.kit.pans.values())) if pan.material == "metal"
    }
    best, least = None, plan.finish - _NO_GAIN
    for kind in _QUICK_KINDS:
        pan = kinds.get(kind)
        if pan is None or pan.key in {s.pan.key for s in plan.stations}:
            continue
        try:
            again = plan.again(pans=pan.key)
        except KitchenError:
            continue
        if again.finish < least and all(s.fit.state == "good" for s in again.stations):
            best, least = pan, again.finish
    return best


def _pairs(plan, singles: list[Remedy]) -> list[Remedy]:
    """Two changes at once, where they do not touch the same thing."""
    found = []
    for at, one in enumerate(singles):
        for other in singles[at + 1 :]:
            if one.asked.keys() & other.asked.keys():
                continue
            what = tr("{one}, and {other}", one=one.what, other=other.what)
            tried = _tried(plan, what, one.asked | other.asked)
            if tried is not None and tried.fits:
                found.append(tried)
    return found


def _last_resorts(plan) -> list[Remedy]:
    """What always works: a longer class, or baking at home."""
    longer = math.ceil(plan.finish / 5) * 5
    ready = sum(minutes for _, minutes in plan.asked["before"]) + plan.asked["pack"]
    return [
        Remedy(
            tr("make the class {n} min longer", n=num(longer - plan.minutes, ".0f")),
            plan.finish, 0.0, True, {"minutes": longer},
        ),
        Remedy(
            tr(
                "bake at home: carry the filled pans home cold, covered, below 4 °C (40 °F), and "
                "bake them the same evening"
            ),
            ready, plan.finish - ready, True, {},
        ),
    ]  # fmt: skip
