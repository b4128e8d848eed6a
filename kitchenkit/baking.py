"""How long a batter bakes: heat conducted into it until its slowest point is a done crumb."""

from __future__ import annotations

import math
from dataclasses import dataclass
from numbers import Real

import numpy as np
import pint

from kitchenkit.altitude import boiling_point
from kitchenkit.conduction import Body, box, round_body, two_faced_slab, wall
from kitchenkit.errors import KitchenError, MeasureError
from kitchenkit.language import mark, num, tr
from kitchenkit.pans import Pan
from kitchenkit.saying import say_both
from kitchenkit.temperature import celsius, say_temperature
from kitchenkit.units import Q, si


class BakeError(KitchenError):
    """A bake that cannot be: an oven too cool to do the crumb, no batter, or too much of it."""


@dataclass(frozen=True)
class Heat:
    """The few numbers of the heat model. All are effective values, one set for every pan.

    Attributes
    ----------
    h_pan : float
        Heat transfer coefficient of the pan's bottom and sides, W/(m² K). Measured on cakes in a
        tunnel oven: 20 to 48 (Baik et al., J. Food Science 64:688, 1999); home ovens: assumed.
    h_top : float
        Of the batter's open top, net of the heat that evaporating water takes; an assumption,
        5 to 20.
    conductivity : float
        W/(m K); batter and crumb 0.1 to 0.25 (from memory, unverified).
    diffusivity : float
        m²/s; 1e-7 to 2.5e-7 (from memory, unverified).
    rise : float
        Depth once risen over raw depth; 1.3 to 2 (common practice, no source).
    done_c : float
        °C of a done crumb; muffins 93 to 98 °C (Home Baking Association).
    """

    h_pan: float = 21.0
    h_top: float = 10.0
    conductivity: float = 0.25
    diffusivity: float = 1.1e-7
    rise: float = 1.6
    done_c: float = 96.0


HEAT = Heat()

# How much more or less heat a pan lets in than light metal: an assumption within 0.8 to 1.35. The
# published advice to turn the oven down 25 °F for glass and dark metal (Kansas State Univ.
# Extension, MF3531) is about the crust; 1.35 would make the middle obey it too.
MATERIAL_HEAT = {"metal": 1.0, "dark metal": 1.1, "glass": 1.1, "ceramic": 0.9, "silicone": 0.9}
_BROWNS_SOON = ("dark metal", "glass")

# The model's residual over the common-practice table in tests/published/test_baking_practice.py:
# the standard deviation of ln(predicted / practice) over its 6 rows, less the 2 numbers (h_pan,
# h_top) that were set on them: 0.13. Other numbers were tried on the same few rows too, so it is
# the least that the residual may be. The window is twice it either way.
RESIDUAL = 0.13
WINDOW = 2 * RESIDUAL
# With a bake of one's own: the same pan again repeats to about 5 %, the half-width of the table's
# own ranges, and another pan to no better than the residual. The further the model's time is from
# the known one, the more of the window returns, all of it at half again as long.
REPEAT = 0.05
_FAR = math.log(1.5)

# Raw depths that the table covers, m. In deeper batter steam carries heat to the middle as well,
# and it is done sooner than conduction says: the early end is widened by as much as it is deeper.
_DEEPEST = 0.035
_USUAL_C = (150.0, 220.0)  # ovens between which the model has been compared with practice and sense
_ROOM_C = 21.0
_SHADE = 0.10  # by which each further rack stretches the time; common practice, no source
_BOILING_C = 100.0
# A crumb still full of water cannot pass its boiling point.
_BELOW_BOILING = 2.0


@dataclass(frozen=True)
class BakeTime:
    """A baking time with its window.

    Attributes
    ----------
    minutes, low, high : Quantity
        The likeliest time, and the ends of the window (min).
    check_from : Quantity
        When to look first (min): the early end, in whole minutes.
    depth : Quantity
        Raw batter's depth (cm).
    done : Quantity
        Temperature of the middle when done (°C).
    why : str
        In plain words.
    cautions : tuple of str
        Where the model is stretched, or the oven wants another setting.
    """

    minutes: pint.Quantity
    low: pint.Quantity
    high: pint.Quantity
    check_from: pint.Quantity
    depth: pint.Quantity
    done: pint.Quantity
    why: str
    cautions: tuple[str, ...] = ()

    def __str__(self) -> str:
        return tr(
            "about {minutes} min, most likely {low} to {high}; look from {first} min on",
            minutes=num(self.minutes.m_as("min"), ".0f"),
            low=num(round(self.low.m_as("min")), "d"),
            high=num(round(self.high.m_as("min")), "d"),
            first=num(self.check_from.m_as("min"), ".0f"),
        )


def body(pan: Pan, volume_m3, heat: Heat = HEAT) -> Body:
    """The risen batter in a pan as a body for `kitchenkit.conduction`.

    Parameters
    ----------
    pan : Pan
    volume_m3 : float or ndarray
        Raw batter in one pan or well, m³.
    heat : Heat

    Returns
    -------
    Body
        A box, a short cylinder or, around a tube, a ring as wide as the batter and endless along.

    Notes
    -----
    Walls lean, the body's do not: its length and width are the pan's at half the raw depth.
    """
    depth = pan.depth_m(volume_m3)
    length, width, tube = pan.spans_m(depth / 2)
    h_pan = heat.h_pan * MATERIAL_HEAT[pan.material]
    k, risen = heat.conductivity, depth * heat.rise
    if pan.shape == "box":
        return box((length, width, risen), k, h_pan, heat.h_top, h_pan)
    if pan.shape == "round":
        return round_body((length, risen), k, h_pan, heat.h_top, h_pan)
    half = (length - tube) / 4
    upright = two_faced_slab(h_pan * risen / k, heat.h_top * risen / k)
    return Body((upright, wall(h_pan * half / k)), (risen, half))


def bake_minutes(pan: Pan, volume_m3, oven_c, batter_c=_ROOM_C, heat: Heat = HEAT, done_c=None):
    """Minutes until the slowest point is done: the bare model, for floats and arrays alike.

    Parameters
    ----------
    pan : Pan
    volume_m3 : float or ndarray
        Raw batter in one pan or well, m³, above 0.
    oven_c, batter_c : float or ndarray
        Oven, and batter when it goes in, °C.
    heat : Heat
    done_c : float or ndarray, optional
        Crumb when done, °C; `heat.done_c` when left out.

    Returns
    -------
    float or ndarray
        Minutes.

    Raises
    ------
    BakeError
        If an oven is not hotter than a done crumb, or a batter not cooler.

    Notes
    -----
    Transient conduction in a finite body heated through its surface, by the product of full
    series (see `kitchenkit.conduction`). Left out: the front of evaporating water, the crust, the
    pan's own warming, and a door that is opened.
    """
    done_c = heat.done_c if done_c is None else done_c
    oven_c, batter_c = np.asarray(oven_c, float), np.asarray(batter_c, float)
    if np.any(oven_c <= done_c):
        raise BakeError(
            tr(
                "An oven at {oven} °C never brings the crumb to {done} °C, when it is done. Set it "
                "hotter; 160 to 190 °C (325 to 375 °F) is usual.",
                oven=num(np.min(oven_c), ".0f"),
                done=num(np.min(done_c), ".0f"),
            )
        )
    if np.any(batter_c >= done_c):
        raise BakeError(
            tr("The batter is already hotter than a done crumb. Check its temperature.")
        )
    excess = (oven_c - done_c) / (oven_c - batter_c)
    minutes = body(pan, volume_m3, heat).seconds_until(heat.diffusivity, excess) / 60
    return minutes if np.ndim(minutes) else float(minutes)


def middle_celsius(
    pan: Pan, volume, oven_c: float, clock_min, done_min=None, done_c=None, heat: Heat = HEAT
):
    """The slowest point's temperature against time, for a picture.

    Parameters
    ----------
    pan : Pan
    volume : Quantity or str
        Raw batter in one pan or well.
    oven_c : float
        °C.
    clock_min : ndarray
        Minutes.
    done_min : float, optional
        Stretch the clock so that the crumb is done at this time, as a known bake or a bake log
        says; the model's own time when left out.
    done_c : float, optional
        Crumb at that time, °C; `heat.done_c` when left out.
    heat : Heat

    Returns
    -------
    ndarray
        °C, no higher than boiling water: a moist crumb stays below it.
    """
    batter = body(pan, _held(pan, volume), heat)
    seconds = np.asarray(clock_min, float) * 60
    if done_min is not None:
        done_c = heat.done_c if done_c is None else done_c
        done_excess = (oven_c - done_c) / (oven_c - _ROOM_C)
        seconds *= batter.seconds_until(heat.diffusivity, done_excess) / 60 / done_min
    excess = batter.excess(heat.diffusivity, seconds)
    return np.minimum(oven_c - excess * (oven_c - _ROOM_C), _BOILING_C)


@dataclass(frozen=True)
class KnownBake:
    """A bake of one's own that came out right: the pan, the batter in one of it, its minutes."""

    pan: Pan
    volume: pint.Quantity | str
    minutes: float | pint.Quantity
    oven: pint.Quantity | str = "350 degF"


def bake_time(
    pan: Pan,
    volume,
    oven="350 degF",
    known: KnownBake | tuple | None = None,
    *,
    batter=None,
    altitude=None,
    racks: int = 1,
    correction=None,
    heat: Heat = HEAT,
) -> BakeTime:
    """How long one pan or well of batter bakes.

    Parameters
    ----------
    pan : Pan
    volume : Quantity or str
        Raw batter in one pan or well.
    oven : Quantity or str
        The air inside, by a thermometer if you can: ``"350 degF"``, ``"180 C"``, ``"gas mark 4"``.
    known : KnownBake or tuple, optional
        A bake of the baker's own: ``(pan, volume, minutes)`` or with its oven as a fourth. The
        model then only carries it over to the new pan.
    batter : Quantity or str, optional
        Temperature of the batter when it goes in; 21 °C when left out.
    altitude : Quantity or str, optional
        Height above the sea. Water boils cooler there, and a crumb cannot pass that.
    racks : int
        Racks in use at once, 1 to 3. Each beyond the first stretches the likeliest time and the
        late end by a tenth, and leaves the early end: pans shade one another. Common practice, no
        source.
    correction : OvenCorrection, optional
        What a bake log says of this oven, from `kitchenkit.bakelog`. Not with `known`.
    heat : Heat
        The model's numbers.

    Returns
    -------
    BakeTime
        The window is exp(±0.26), about a quarter less to a third more: twice the model's residual
        of 0.13 over the common-practice table of the tests. Near a known bake it is
        narrower: down to 5 % in the same pan, and to 13 % in another. With a bake log's correction
        it is twice that residual and the correction's own spread together. For batter deeper than
        the table covers (3.5 cm) it starts earlier.

    Raises
    ------
    BakeError
        If there is no batter, the oven is too cool, or a time is not above 0.
    PanError
        If the pan cannot hold the batter.
    MeasureError
        If a quantity cannot be read.

    Notes
    -----
    See `bake_minutes` for the model and `Heat` for its numbers and their published ranges.
    """
    volume_m3, oven_c = _held(pan, volume), celsius(oven, mark("oven temperature"))
    batter_c = _ROOM_C if batter is None else celsius(batter, mark("batter's temperature"))
    done_c = heat.done_c
    if altitude is not None:
        done_c = min(done_c, boiling_point(altitude).m_as("degC") - _BELOW_BOILING)
    minutes = bake_minutes(pan, volume_m3, oven_c, batter_c, heat, done_c)
    window, share, because = WINDOW, 1.0, tr("from the general model alone")
    if known is not None and correction is not None:
        raise MeasureError("Give either a known bake or a bake log's correction, not both.")
    if known is not None:
        known = _known(known)
        theirs, baked = _model_and_real(known, batter_c, heat, done_c)
        share = min(abs(math.log(minutes / theirs)) / _FAR, 1.0)
        least = REPEAT if known.pan == pan else RESIDUAL
        window = least + (WINDOW - least) * share
        because = tr(
            "carried over from your {minutes} min in the {pan}",
            minutes=num(baked, ".0f"),
            pan=tr(known.pan.name),
        )
        minutes *= baked / theirs
    elif correction is not None:
        minutes *= correction.factor
        window, because = correction.window, correction.why
    depth = Q(pan.depth_m(volume_m3) * 100, "cm")
    deeper = share * max(0.0, math.log(depth.m / 100 / _DEEPEST))
    low, high = minutes * math.exp(-window - deeper), minutes * math.exp(window)
    if racks not in (1, 2, 3):
        raise BakeError(f"{racks} racks at once? Choose 1, 2 or 3.")
    stretch = 1 + _SHADE * (racks - 1)
    minutes, high = minutes * stretch, high * stretch
    return BakeTime(
        minutes=Q(minutes, "min"),
        low=Q(low, "min"),
        high=Q(high, "min"),
        check_from=Q(max(1.0, math.floor(low)), "min"),
        depth=depth,
        done=Q(done_c, "degC"),
        why=tr(
            "The batter stands {depth} deep in the {pan} and the heat has to reach its middle, at "
            "{oven} in the oven; {because}.",
            depth=say_both(depth),
            pan=tr(pan.name),
            oven=say_temperature(Q(oven_c, "degC")),
            because=because,
        ),
        cautions=tuple(_cautions(pan, oven_c, deeper, racks, minutes)),
    )


def _held(pan: Pan, volume) -> float:
    volume_m3 = si(volume, "volume", mark("batter"))
    if not volume_m3:
        raise BakeError(tr("There is no batter in the pan. Give a volume above 0."))
    pan.depth(Q(volume_m3, "m**3"))  # refuses what overflows, in its own words
    return volume_m3


def _known(known: KnownBake | tuple) -> KnownBake:
    try:
        known = known if isinstance(known, KnownBake) else KnownBake(*known)
    except TypeError:
        known = None
    if known is None or not isinstance(known.pan, Pan):
        raise BakeError("A known bake is a pan, its batter and its minutes, and perhaps the oven.")
    return known


def _model_and_real(known: KnownBake, batter_c, heat: Heat, done_c) -> tuple[float, float]:
    """The model's and the baker's minutes for a known bake."""
    baked = known.minutes
    if isinstance(baked, pint.Quantity):
        if not baked.check("[time]"):
            raise MeasureError(f"The known time {baked:~g} is not a time. Write it like 55 min.")
        baked = baked.m_as("min")
    elif not isinstance(baked, Real):
        raise MeasureError(f"The known time {baked!r} is no number of minutes. Write it like 55.")
    if not (math.isfinite(baked) and baked > 0):
        raise BakeError(
            tr("A bake of {n} min is no bake. Write its minutes, like 55.", n=num(baked, "g"))
        )
    oven_c = celsius(known.oven, mark("oven temperature of the known bake"))
    volume_m3 = _held(known.pan, known.volume)
    return bake_minutes(known.pan, volume_m3, oven_c, batter_c, heat, done_c), float(baked)


def _cautions(pan: Pan, oven_c: float, deeper: float, racks: int, minutes: float):
    if racks > 1:
        yield tr(
            "With {racks} racks in use, swap them and turn every pan at about {half} min, with "
            "room for the air around each: time and late end are stretched by a tenth for each "
            "further rack (common practice, no source).",
            racks=num(racks, "d"),
            half=num(minutes / 2, ".0f"),
        )
    if deeper:
        yield tr(
            "Deeper than the bakes this was set on ({depth}): it may be done a good deal sooner. "
            "Look early, and note the time in the bake log.",
            depth=say_both(Q(_DEEPEST * 100, "cm")),
        )
    if not _USUAL_C[0] <= oven_c <= _USUAL_C[1]:
        low, high = (say_temperature(Q(c, "degC")) for c in _USUAL_C)
        yield tr(
            "The model is meant for ovens from {low} to {high}: take this as a guess and look.",
            low=low,
            high=high,
        )
    if pan.material in _BROWNS_SOON:
        yield tr(
            "In {material} the crust browns sooner: the usual advice is an oven 15 °C (25 °F) "
            "cooler (Kansas State Univ. Extension, MF3531).",
            material=tr(pan.material),
        )
    if pan.material in ("ceramic", "silicone"):
        yield tr(
            "How much slower {material} heats is an assumption: look more than once.",
            material=tr(pan.material),
        )
