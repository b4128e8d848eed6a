"""From the oven to the freezer and back: when it may be wrapped, is frozen, is thawed."""

from __future__ import annotations

import re
from dataclasses import dataclass, field, replace
from typing import NamedTuple

import numpy as np
import pint

from kitchenkit.baking import HEAT, Heat, body
from kitchenkit.conduction import Body, box, two_faced_slab
from kitchenkit.errors import KitchenError
from kitchenkit.language import mark, num, tr
from kitchenkit.pans import Pan
from kitchenkit.phase_change import Case, Course, as_body, plank_seconds, run, shape_factor
from kitchenkit.recipe import Recipe
from kitchenkit.saying import say_both
from kitchenkit.temperature import celsius, say_temperature
from kitchenkit.thermal import CRUMB, FREEZES_WITHIN, LATENT, Food, crumb_of
from kitchenkit.units import Q, read_number, si


class Spread(NamedTuple):
    """A number that is known only roughly: its lower end, likeliest value and upper end."""

    low: float
    likely: float
    high: float


# Heat transfer coefficients of a surface in air, W/(m² K): natural convection of 3 to 6 and
# radiation of 4 to 6 together, with some evaporation from hot crumb. Assumptions; no measurement
# of home kitchens was read.
ROOM = Spread(8.0, 11.0, 15.0)
COLD = Spread(6.0, 8.0, 12.0)  # in a freezer or refrigerator without a strong fan
# Of that, what passes through a pan's bottom and sides: bright metal hardly radiates (assumption).
THROUGH_PAN = 0.7
# Crumb conducts this many times its likeliest value at the ends of its range (assumption).
_CONDUCTS = Spread(0.8, 1.0, 1.25)

# Still air between the wrap and what it wraps, m (assumptions). Film itself hardly hinders heat.
WRAPS = {
    mark("no wrap"): 0.0,
    mark("film, pressed on"): 0.0005,
    mark("bag, air pressed out"): 0.001,
    mark("box or puffed bag"): 0.005,
}
_AIR_CONDUCTS, _GAP_RADIATES = 0.024, 4.0  # W/(m K), W/(m² K) across a gap near 0 °C

# Where cold air reaches a piece: all around it, above and below, or above and below a pile of two.
PACKING = (mark("apart"), mark("side by side"), mark("two deep"))

COOLING = ("rack", "pan", "sliced")
_NEAR_ROOM, _WARM_C = 3.0, 27.0  # common practice, no source
_HARD_C, _NEAR_FREEZER = -18.0, 2.0
_THAWED_C, _NEAR_AIR = 2.0, 2.0
AIR_C = {"room": 21.0, "fridge": 4.0}  # where a piece thaws
_COOL_ENOUGH_C = 30.0  # at most, when it goes into the freezer
_CUBIC_FEET = re.compile(r"(.+?)\s*cu(?:bic)?\.?\s*(?:ft|feet|foot)\.?", re.I)
_POUNDS_A_CUBIC_FOOT = (2.0, 3.0)  # Clemson Cooperative Extension, HGIC 3065
_TWO_HOURS = mark(
    "In the danger zone, 40 to 140 °F (4 to 60 °C), germs grow: whatever has a filling or icing "
    "that is kept cold may stand out for 2 h in all, 1 h above 90 °F (32 °C) (USDA). Local rules "
    "come first."
)


@dataclass(frozen=True)
class CoolTime:
    """How long a bake cools in air until it may be wrapped.

    Attributes
    ----------
    minutes, low, high : Quantity
        The likeliest time, and the ends of the window (min).
    to : Quantity
        Temperature of the middle by then (°C).
    why : str
        In plain words.
    cautions : tuple of str
    """

    minutes: pint.Quantity
    low: pint.Quantity
    high: pint.Quantity
    to: pint.Quantity
    why: str
    cautions: tuple[str, ...] = ()

    def __str__(self) -> str:
        low, likely, high = (num(t.m_as("min"), ".0f") for t in (self.low, self.minutes, self.high))
        return tr(
            "about {likely} min, most likely {low} to {high}", likely=likely, low=low, high=high
        )


@dataclass(frozen=True)
class FreezeTime:
    """How long a wrapped piece takes to freeze.

    Attributes
    ----------
    hours, low, high : Quantity
        Until the middle is at `to`: the likeliest time, and the ends of the window (h).
    begins, met : Quantity
        Until the first ice forms at the surface, and until ice has reached the middle (h).
    plank : Quantity
        What Plank's formula gives for the ice alone, from its freezing point on (h).
    shape : float
        `phase_change.shape_factor`, which Plank's formula takes.
    to : Quantity
        Temperature of the middle at the end (°C).
    freezing_point : Quantity
        Where the first ice forms (°C).
    why : str
    cautions : tuple of str
    course : Course
        Temperatures against time, for a picture: s and °C.
    """

    hours: pint.Quantity
    low: pint.Quantity
    high: pint.Quantity
    begins: pint.Quantity
    met: pint.Quantity
    plank: pint.Quantity
    shape: float
    to: pint.Quantity
    freezing_point: pint.Quantity
    why: str
    cautions: tuple[str, ...] = ()
    course: Course | None = field(default=None, repr=False, compare=False)

    def __str__(self) -> str:
        return _about_hours(self)


@dataclass(frozen=True)
class ThawTime:
    """How long a wrapped piece takes to thaw.

    Attributes
    ----------
    hours, low, high : Quantity
        Until no ice is left in the middle: the likeliest time, and the ends of the window (h).
    unwrap : Quantity
        Until it is within 2 °C of its surroundings, when the wrap may come off (h).
    to : Quantity
        Temperature of the middle when it counts as thawed (°C).
    why : str
    cautions : tuple of str
    course : Course
        Temperatures against time, up to `unwrap`: s and °C.
    """

    hours: pint.Quantity
    low: pint.Quantity
    high: pint.Quantity
    unwrap: pint.Quantity
    to: pint.Quantity
    why: str
    cautions: tuple[str, ...] = ()
    course: Course | None = field(default=None, repr=False, compare=False)

    def __str__(self) -> str:
        return _about_hours(self)


@dataclass(frozen=True)
class FreezerLoad:
    """What a freezer takes at once and still freezes within a day: `low` to `high` (lb)."""

    low: pint.Quantity
    high: pint.Quantity
    why: str

    def __str__(self) -> str:
        low, high = (say_both(weight.to("g")) for weight in (self.low, self.high))
        return tr("{low} to {high}", low=low, high=high)


def _about_hours(found) -> str:
    low, likely, high = (say_hours(t.m_as("hour")) for t in (found.low, found.hours, found.high))
    return tr("about {likely}, most likely {low} to {high}", likely=likely, low=low, high=high)


def say_hours(hours: float) -> str:
    """A time as one plans with it: minutes at first, then half hours, then whole hours."""
    if hours < 1.25:
        return f"{max(1, round(hours * 60 / 5) * 5 if hours > 0.25 else round(hours * 60))} min"
    return f"{num(round(hours * 2) / 2, 'g') if hours < 10 else num(hours, '.0f')} h"


def _crumb(crumb) -> Food:
    if crumb is None:
        return CRUMB
    if isinstance(crumb, Recipe):
        return crumb_of(crumb)
    if not isinstance(crumb, Food):
        raise KitchenError(f"{crumb!r} is no recipe and no crumb. Give a recipe.")
    return crumb


# Cooling in air --------------------------------------------------------------------------------


def wrap_at(room) -> pint.Quantity:
    """Temperature of the middle at which a bake may be wrapped (°C).

    Parameters
    ----------
    room : Quantity or str

    Returns
    -------
    Quantity
        27 °C (80 °F), or 3 °C above the room where that is warmer: common practice, no source.
    """
    return Q(max(_WARM_C, celsius(room, "temperature of the room") + _NEAR_ROOM), "degC")


def cooling_body(
    pan: Pan, volume, how: str, h: float, conductivity: float, slices=None
) -> tuple[Body, float]:
    """A bake that cools, for `kitchenkit.conduction`, and its least thickness (m).

    Parameters
    ----------
    pan : Pan
    volume : Quantity or str
        Raw batter in one pan or well.
    how : {"rack", "pan", "sliced"}
    h, conductivity : float
        W/(m² K) of a bare surface, and W/(m K).
    slices : Quantity or str, optional
        Thickness of a slice, for ``"sliced"``.

    Raises
    ------
    KitchenError
        If the way is unknown, there is no batter, or the slices are thicker than the bake.
    """
    if how not in COOLING:
        raise KitchenError(f"Cooling {how!r}? Choose one of: {', '.join(COOLING)}.")
    volume_m3 = pan.held_m3(volume)
    if not volume_m3:
        raise KitchenError("There is no batter in the pan. Give a volume above 0.")
    risen = pan.depth_m(volume_m3) * HEAT.rise
    if how == "sliced":
        if slices is None:
            raise KitchenError('How thick are the slices? Write it like slices="1.5 cm".')
        thick = si(slices, "length", "thickness of a slice")
        length, width, _ = pan.spans_m(pan.depth_m(volume_m3) / 2)
        if not 0 < thick <= length:
            raise KitchenError(
                tr(
                    "Slices of {slices} do not come from the {pan}.",
                    slices=say_both(Q(thick * 100, "cm")),
                    pan=tr(pan.name),
                )
            )
        if pan.shape == "box":
            return box((width, risen, thick), conductivity, h, h, h), thick
        slab = two_faced_slab(h * thick / conductivity, h * thick / conductivity)
        return Body((slab,), (thick,)), thick
    sides = THROUGH_PAN * h if how == "pan" else h
    heat = Heat(h_pan=sides, h_top=h, conductivity=conductivity)
    bare = replace(pan, material="metal")  # how a material takes up an oven's heat is another thing
    return body(bare, volume_m3, heat), risen


def _mean_between(start: float, end: float, air: float) -> float:
    """The mean over the time in which something nears its surroundings at a falling rate."""
    share = (end - air) / (start - air)
    return air + (start - air) * (1 - share) / -np.log(share)


def _cooling(pan, volume, how, room_c, to_c, slices, food: Food, h=ROOM.likely, conducts=1.0):
    """The body that cools, its diffusivity (m²/s) and its least thickness (m)."""
    at_c = _mean_between(HEAT.done_c, to_c, room_c)
    k = float(food.conductivity(at_c)) * conducts
    cooling, thick = cooling_body(pan, volume, how, h, k, slices)
    return cooling, k / float(food.density(at_c) * food.heat(at_c)), thick


def cool_time(
    pan: Pan, volume, how: str = "rack", room="21 degC", *, slices=None, to=None, crumb=None
) -> CoolTime:
    """How long a bake cools in still air until it may be wrapped.

    Parameters
    ----------
    pan : Pan
        What it was baked in; a muffin tin's wells cool one by one.
    volume : Quantity or str
        Raw batter in one pan or well.
    how : {"rack", "pan", "sliced"}
        Turned out on a rack, left in its pan, or cut into slices that lie apart.
    room : Quantity or str
        The air around it.
    slices : Quantity or str, optional
        Thickness of a slice, for ``"sliced"``.
    to : Quantity or str, optional
        Temperature of the middle at which it may be wrapped; see `wrap_at`.
    crumb : Recipe or Food, optional
        What it is made of; a usual moist crumb when left out.

    Returns
    -------
    CoolTime

    Raises
    ------
    KitchenError
        If the room is not cooler than that temperature, or the pan, batter or slices cannot be.

    Notes
    -----
    Conduction in a finite body from 96 °C all through (see `kitchenkit.conduction`), with the
    crumb's properties at its mean temperature on the way (`kitchenkit.thermal`). The window comes
    from 8 to 15 W/(m² K) at the surface, 0.7 of it through a pan, and from crumb that conducts a
    fifth less to a quarter more. Draughts and fans cool faster.
    """
    food, room_c = _crumb(crumb), celsius(room, "temperature of the room")
    to_c = wrap_at(room).m if to is None else celsius(to, "temperature for wrapping")
    if not room_c < to_c < HEAT.done_c:
        raise KitchenError(
            tr(
                "In a room at {room} °C a bake cannot cool from {done} to {to} °C. Choose a "
                "temperature between the two.",
                room=num(room_c, ".0f"),
                done=num(HEAT.done_c, ".0f"),
                to=num(to_c, ".0f"),
            )
        )
    excess = (to_c - room_c) / (HEAT.done_c - room_c)
    minutes = []
    for h, conducts in zip(ROOM[::-1], _CONDUCTS[::-1], strict=True):
        cooling, diffusivity, thick = _cooling(
            pan, volume, how, room_c, to_c, slices, food, h, conducts
        )
        minutes.append(float(cooling.seconds_until(diffusivity, excess)) / 60)
    low, likely, high = (Q(t, "min") for t in minutes)
    state = {
        "rack": mark("turned out of the {pan} on a rack, {thickness} high"),
        "pan": mark("left in the {pan}, {thickness} high"),
        "sliced": mark("cut from the {pan} into slices of {thickness}, lying apart"),
    }[how]
    thickness = say_both(Q(thick * 100, "cm"))
    return CoolTime(
        minutes=likely,
        low=low,
        high=high,
        to=Q(to_c, "degC"),
        why=tr(
            "It cools {state}, from {done} °C (205 °F) in still air at {room} until its middle is "
            "at {to}.",
            state=tr(state, pan=tr(pan.name), thickness=thickness),
            done=num(HEAT.done_c, ".0f"),
            room=say_temperature(Q(room_c, "degC")),
            to=say_temperature(Q(to_c, "degC")),
        ),
        cautions=tuple(_cool_cautions(how, minutes[1])),
    )


def _cool_cautions(how: str, minutes: float):
    yield tr(
        "Never wrap it warm: its steam turns to drops inside the wrap, and a wet crust moulds "
        "and gathers ice."
    )
    if how == "sliced":
        yield tr(
            "Cut while hot, crumb tears and dries: let it cool whole until it can be held first."
        )
    if how == "pan":
        yield tr("In its pan a bake sweats: 10 min there, then out on a rack, is common practice.")
    yield tr(_TWO_HOURS)
    if minutes > 120:
        yield tr("Whole, it cools for more than two hours: fill or ice it only once it is cold.")


def middle_while_cooling(
    pan: Pan, volume, how: str, room, clock_min, *, slices=None, crumb=None
) -> np.ndarray:
    """The middle's temperature against time (°C), for a picture.

    Parameters
    ----------
    pan, volume, how, room, slices, crumb
        As for `cool_time`.
    clock_min : array_like
        Minutes.

    Returns
    -------
    ndarray
    """
    room_c = celsius(room, "temperature of the room")
    to_c = wrap_at(room).m
    cooling, diffusivity, _ = _cooling(pan, volume, how, room_c, to_c, slices, _crumb(crumb))
    excess = cooling.excess(diffusivity, np.asarray(clock_min, float) * 60)
    return room_c + (HEAT.done_c - room_c) * excess


# Freezing and thawing --------------------------------------------------------------------------


class _Piece(NamedTuple):
    """A piece as cold air sees it.

    `half` is half its least size (m), `shape` its factor, `sizes` length, width and height of a box
    or diameter and height of a round (m), none where only two faces count; `words` say it.
    """

    half: float
    shape: float
    sizes: tuple[float, ...]
    words: str

    def course(self, slab: Course, case: Case) -> Course:
        """Its own course from that of the slab of its least size."""
        return as_body(slab, case, self.sizes) if self.sizes else slab


def _piece(thickness, length, width, diameter, packing: str) -> _Piece:
    if packing not in PACKING:
        raise KitchenError(f"Packed {packing!r}? Choose one of: {', '.join(PACKING)}.")
    thick = _size(thickness, "thickness")
    if (length is None) != (width is None):
        raise KitchenError("Give both length and width of a piece, or neither.")
    if length is not None and diameter is not None:
        raise KitchenError("A piece has a length and width, or a diameter, not both.")
    words = say_thick(Q(thick * 100, "cm"))
    sizes, across = (), ()
    if diameter is not None:
        sizes = (_size(diameter, "diameter"), thick)
        across = (sizes[0], sizes[0])
        across_words = tr("{size} across", size=say_both(Q(sizes[0] * 100, "cm")))
        words = f"{words}, {across_words}"
    elif length is not None:
        across = (_size(length, "length"), _size(width, "width"))
        sizes = (*across, thick)
    if packing != "apart":
        layers = 2 if packing == "two deep" else 1
        return _Piece(thick / 2 * layers, 1.0, (), f"{words}, {tr(packing)}")
    half, *others = sorted(size / 2 for size in (thick, *across))
    return _Piece(half, shape_factor(half, *others), sizes, words)


def say_thick(size: pint.Quantity) -> str:
    """A thickness in words: ``"2.0 cm (3/4 in) thick"``."""
    return tr("{size} thick", size=say_both(size))


_SIZES = {
    "thickness": mark("thickness of the piece"),
    "length": mark("length of the piece"),
    "width": mark("width of the piece"),
    "diameter": mark("diameter of the piece"),
}


def _size(value, name: str) -> float:
    size = si(value, "length", _SIZES[name])
    if not 0.001 <= size <= 1.0:
        raise KitchenError(
            f"A {name} of {value} is no piece of cake. Write it like 2.5 cm or 1 in."
        )
    return size


def wrapped_h(h: float, wrap: str) -> float:
    """The heat transfer coefficient of a surface under its wrap (W/(m² K)).

    Parameters
    ----------
    h : float
        Of the bare surface, W/(m² K).
    wrap : str
        One of `WRAPS`.

    Raises
    ------
    KitchenError
        If there is no such wrap.

    Notes
    -----
    Resistances in a row: the air outside, and the still air under the wrap, which conducts
    0.024 W/(m K) and lets 4 W/(m² K) through as radiation.
    """
    if wrap not in WRAPS:
        raise KitchenError(f"There is no wrap called {wrap!r}. Choose from: {', '.join(WRAPS)}.")
    gap = WRAPS[wrap]
    return h if not gap else 1 / (1 / h + 1 / (_AIR_CONDUCTS / gap + _GAP_RADIATES))


def _courses(food: Food, piece: _Piece, wrap: str, still: Spread, start, air, until):
    """The likeliest case, and the courses soonest, likeliest and latest."""
    cases = [
        Case(variant, piece.half, wrapped_h(h, wrap), start, air, until, conducts)
        for variant, h, conducts in zip(food.spread, still[::-1], _CONDUCTS[::-1], strict=True)
    ]
    courses = [piece.course(slab, case) for slab, case in zip(run(cases), cases, strict=True)]
    return cases[1], courses


def freeze_time(
    thickness,
    length=None,
    width=None,
    *,
    diameter=None,
    freezer="0 degF",
    start="21 degC",
    wrap: str = "bag, air pressed out",
    packing: str = "apart",
    to=None,
    crumb=None,
) -> FreezeTime:
    """How long a piece takes to freeze through.

    Parameters
    ----------
    thickness : Quantity or str
        Of the piece in its wrap.
    length, width : Quantity or str, optional
        Of a slice or loaf; without them it counts as wide beside its thickness.
    diameter : Quantity or str, optional
        Of a muffin or round.
    freezer : Quantity or str
        The air in it.
    start : Quantity or str
        Of the piece when it goes in.
    wrap : str
        One of `WRAPS`.
    packing : {"apart", "side by side", "two deep"}
        Where cold air reaches it: all around, above and below only, or above and below a pile of
        two.
    to : Quantity or str, optional
        Middle when it is done; −18 °C, or 2 °C above the freezer where that is warmer.
    crumb : Recipe or Food, optional
        What it is made of; a usual moist crumb when left out.

    Returns
    -------
    FreezeTime

    Raises
    ------
    KitchenError
        If the freezer is not colder than the crumb's freezing point and the end temperature, or
        the piece cannot be.

    Notes
    -----
    Heat content followed through the piece (`phase_change`) with the crumb's own ice, heat and
    conduction (`kitchenkit.thermal`); `plank` beside it. The window comes from 6 to 12 W/(m² K) in
    still cold air, a freezing point 2 K either way, and ranges of the crumb's conduction and bound
    water, all pulling the same way at each end.
    """
    food = _crumb(crumb)
    air, begin = celsius(freezer, "temperature of the freezer"), celsius(start, "start")
    point = food.freezing_c
    if air >= point - FREEZES_WITHIN - 1:
        raise KitchenError(
            tr(
                "At {air} it does not freeze through: this crumb starts to freeze at about "
                "{point}. Set the freezer to 0 °F (−18 °C) or colder.",
                air=say_temperature(Q(air, "degC")),
                point=say_temperature(Q(point, "degC")),
            )
        )
    end = max(_HARD_C, air + _NEAR_FREEZER) if to is None else celsius(to, "end temperature")
    if not air < end < point:
        raise KitchenError(
            f"The middle cannot be frozen to {end:.0f} °C by air at {air:.0f} °C: choose between "
            f"that and its freezing point, {point:.0f} °C."
        )
    if not 0 < begin <= HEAT.done_c:
        raise KitchenError(f"Start between 0 and {HEAT.done_c:.0f} °C, not at {begin:.0f} °C.")
    piece = _piece(thickness, length, width, diameter, packing)
    case, (soonest, likely, latest) = _courses(food, piece, wrap, COLD, begin, air, end)
    frozen = float(food.ice(end)) * float(food.density(point)) * LATENT
    k = float(food.conductivity(end))
    plank = plank_seconds(piece.half, piece.shape, frozen, point - air, case.h, k)
    return FreezeTime(
        hours=_hours(likely.when(end)),
        low=_hours(soonest.when(end)),
        high=_hours(latest.when(end)),
        begins=_hours(likely.when(point, "surface")),
        met=_hours(likely.when(point)),
        plank=_hours(float(plank)),
        shape=piece.shape,
        to=Q(end, "degC"),
        freezing_point=Q(point, "degC"),
        why=tr(
            "A piece {piece} ({wrap}) goes from {start} to {end} in its middle, in a freezer at "
            "{air}; its crumb starts to freeze at about {point}.",
            piece=piece.words,
            wrap=tr(wrap),
            start=say_temperature(Q(begin, "degC")),
            end=say_temperature(Q(end, "degC")),
            air=say_temperature(Q(air, "degC")),
            point=say_temperature(Q(point, "degC")),
        ),
        cautions=tuple(_freeze_cautions(begin, air, packing)),
        course=likely,
    )


def _hours(seconds: float) -> pint.Quantity:
    return Q(seconds / 3600, "hour")


def _freeze_cautions(begin: float, air: float, packing: str):
    if begin > _COOL_ENOUGH_C:
        yield tr("Too warm for the freezer: it would steam in its wrap and thaw its neighbours.")
    if air > _HARD_C + 0.5:
        yield tr(
            "Warmer than 0 °F (−18 °C): what is in it keeps its quality less long. Check the "
            "freezer with a thermometer of its own."
        )
    if packing != "apart":
        yield tr("Spread the pieces in one layer with room between until hard; pile them up then.")
    yield tr(
        "Freeze no more at once than the freezer can take in a day: 2 to 3 lb for each cubic foot "
        "(Clemson Cooperative Extension, HGIC 3065)."
    )


def thaw_time(
    thickness,
    length=None,
    width=None,
    *,
    diameter=None,
    where="room",
    start="0 degF",
    wrap: str = "bag, air pressed out",
    packing: str = "apart",
    crumb=None,
) -> ThawTime:
    """How long a frozen piece takes to thaw, in its wrap.

    Parameters
    ----------
    thickness, length, width, diameter, wrap, packing, crumb
        As for `freeze_time`.
    where : {"room", "fridge"} or Quantity or str
        21 °C, 4 °C, or another temperature of the air.
    start : Quantity or str
        Of the frozen piece.

    Returns
    -------
    ThawTime

    Raises
    ------
    KitchenError
        If it is not frozen at the start, or the air is too cold to thaw it, or the piece cannot be.

    Notes
    -----
    As `freeze_time`, the other way. In a room, 8 to 15 W/(m² K) at the surface; dew that settles on
    a cold wrap speeds it up and is left out.
    """
    food = _crumb(crumb)
    named = isinstance(where, str) and where in AIR_C
    place = Q(AIR_C[where], "degC") if named else where
    air, begin = celsius(place, "temperature of the air"), celsius(start, "start")
    if not begin < food.freezing_c - FREEZES_WITHIN - 1:
        raise KitchenError(
            tr(
                "At {start} °C it is not frozen through: this crumb starts to freeze at about "
                "{point} °C.",
                start=num(begin, ".0f"),
                point=num(food.freezing_c, ".0f"),
            )
        )
    thawed = min(_THAWED_C, air - 1)
    if thawed <= 0:
        raise KitchenError(f"In air at {air:.0f} °C it does not thaw. Choose 2 °C (35 °F) or more.")
    piece = _piece(thickness, length, width, diameter, packing)
    still = ROOM if air > 12 else COLD
    warm = max(air - _NEAR_AIR, thawed)
    _, (soonest, likely, latest) = _courses(food, piece, wrap, still, begin, air, warm)
    return ThawTime(
        hours=_hours(likely.when(thawed)),
        low=_hours(soonest.when(thawed)),
        high=_hours(latest.when(thawed)),
        unwrap=_hours(likely.when(warm)),
        to=Q(thawed, "degC"),
        why=tr(
            "A piece {piece} ({wrap}) thaws from {start} to {end} in its middle, in air at {air}.",
            piece=piece.words,
            wrap=tr(wrap),
            start=say_temperature(Q(begin, "degC")),
            end=say_temperature(Q(thawed, "degC")),
            air=say_temperature(Q(air, "degC")),
        ),
        cautions=tuple(_thaw_cautions(air)),
        course=likely,
    )


def _thaw_cautions(air: float):
    yield tr(
        "Thaw it in its wrap until it is as warm as the air: the dew then settles on the wrap and "
        "not on the crust."
    )
    if air > AIR_C["fridge"] + 1:
        never = tr(
            "What holds cream cheese, custard, cream or meat thaws in the refrigerator, never in "
            "the room."
        )
        yield f"{never} {tr(_TWO_HOURS)}"


def freezer_load(volume) -> FreezerLoad:
    """How much a freezer takes at once so that all of it freezes within a day.

    Parameters
    ----------
    volume : Quantity or str
        Of the freezer or drawer inside: ``"100 l"`` or ``"3.5 cu ft"``.

    Returns
    -------
    FreezerLoad

    Raises
    ------
    KitchenError
        If it has no volume.

    Notes
    -----
    2 to 3 lb for each cubic foot in 24 h: Clemson Cooperative Extension, HGIC 3065.
    """
    written = _CUBIC_FEET.fullmatch(volume.strip()) if isinstance(volume, str) else None
    if written:
        volume = Q(read_number(written[1]), "foot**3")
    cubic_metres = si(volume, "volume", "volume of the freezer")
    if not 0 < cubic_metres <= 10:
        raise KitchenError(tr("Give the inside of the freezer, like 100 l or 3.5 cu ft."))
    feet = Q(cubic_metres, "m**3").m_as("foot**3")
    low, high = (Q(pounds * feet, "lb") for pounds in _POUNDS_A_CUBIC_FOOT)
    return FreezerLoad(
        low,
        high,
        tr(
            "{feet} cubic feet ({litres} l) take 2 to 3 lb each in 24 h (Clemson Cooperative "
            "Extension, HGIC 3065).",
            feet=num(feet, ".1f"),
            litres=num(cubic_metres * 1000, ".0f"),
        ),
    )
