"""Swapping pans: how many of another pan a batter fills, and how full."""

from __future__ import annotations

import math
from dataclasses import dataclass

import pint

from kitchenkit.language import num, tr, trn
from kitchenkit.pans import Kind, Pan, PanError, say_length, say_volume, whole_number
from kitchenkit.units import Q, si

_SAME = 1e-12  # rounding of sums, relative


@dataclass(frozen=True)
class PanFit:
    """A batter in some pans of one kind, all filled alike.

    Attributes
    ----------
    pan : Pan
    count : int
        Pans, or wells of a tin.
    each : Quantity
        Batter in one, ml.
    fill : float
        Fraction of brimful capacity.
    depth : Quantity
        How deep the batter stands, cm.
    left_over : Quantity
        Batter that goes into none of them, ml.
    state : {"good", "under", "over"}
        Whether the fill lies within what this kind of pan takes.
    advice : str
        What to do, in US and metric units.
    """

    pan: Pan
    count: int
    each: pint.Quantity
    fill: float
    depth: pint.Quantity
    left_over: pint.Quantity
    state: str
    advice: str


def swap_pan(volume, pan: Pan, fill: float | None = None, have: int | None = None) -> PanFit:
    """Fit a batter to another pan: how many pans or wells, and how full.

    Parameters
    ----------
    volume : Quantity or str
        All of the batter.
    pan : Pan
    fill : float, optional
        Fraction of the brimful capacity, above 0 and at most 1. Pans are then filled exactly so
        and what is too little for one more is left over; a batter too small for even one fills
        one as far as it goes. When left out, the batter is spread evenly over the number of pans
        that comes nearest the usual fill of this kind of pan: within its limits if any number is,
        and otherwise rather too low than too high.
    have : int, optional
        How many pans (or wells) are at hand. What would overfill them is left over.

    Returns
    -------
    PanFit

    Raises
    ------
    MeasureError
        If the volume is no volume with its unit.
    PanError
        If there is no batter, or `fill` or `have` are out of range.
    """
    total = batter_m3(volume)
    have = math.inf if have is None else whole_number(have, "pans at hand", 1)
    limits = pan.fill_limits
    if fill is None:
        count = min(_best_count(total / pan.capacity_m3, limits), have)
        most = limits.high if count == have else math.inf
        fill = min(total / (count * pan.capacity_m3), most)
    else:
        fill = _fraction(fill)
        count = min(math.floor(total / (fill * pan.capacity_m3) * (1 + _SAME)), have)
        if count == 0:
            count, fill = 1, total / pan.capacity_m3
    return fit_alike(pan, count, fill, total)


def batter_m3(volume) -> float:
    """All of a batter in m³, above 0."""
    total = si(volume, "volume", "batter")
    if not total:
        raise PanError(tr("There is no batter to put into a pan. Give a volume above 0."))
    return total


def _fraction(fill) -> float:
    try:
        number = float(fill)
    except (TypeError, ValueError):
        number = math.nan
    if not 0 < number <= 1:
        raise PanError(f"A fill of {fill!r} must be above 0 and at most 1, like 0.67.")
    return number


def _best_count(pans_full: float, limits: Kind) -> int:
    """How many pans to share brimful pans' worth over."""
    below = max(1, math.floor(pans_full / limits.usual))

    def badness(count: int):
        fill = pans_full / count
        over, under = fill > limits.high * (1 + _SAME), fill < limits.low * (1 - _SAME)
        return over, under, round(abs(fill - limits.usual), 12), count

    return min((below, below + 1), key=badness)


def fit_alike(pan: Pan, count: int, fill: float, total: float) -> PanFit:
    each = fill * pan.capacity_m3
    left = total - count * each
    left = left if left > _SAME * total else 0.0
    limits = pan.fill_limits
    highest = num(limits.high, ".0%")
    state = (
        "over"
        if fill > limits.high * (1 + _SAME)
        else "under"
        if fill < limits.low * (1 - _SAME)
        else "good"
    )
    advice = [fill_words(pan, count, fill)]
    if state == "over":
        advice.append(
            tr(
                "That is too full: batter rises, and above {high} it may run over and smoke. Put "
                "at most {most} in each and bake the rest in another pan.",
                high=highest,
                most=say_volume(limits.high * pan.capacity_m3),
            )
        )
    if state == "under":
        advice.append(_under_words(pan, count, each, total))
    if left:
        advice.append(
            tr(
                "{left} is left over: bake it in another pan, and do not top these up above "
                "{high}.",
                left=say_volume(left),
                high=highest,
            )
        )
    return PanFit(
        pan=pan,
        count=int(count),
        each=Q(each * 1e6, "ml"),
        fill=fill,
        depth=Q(pan.depth_m(each) * 100, "cm"),
        left_over=Q(left * 1e6, "ml"),
        state=state,
        advice=" ".join(advice),
    )


def _how_many(pan: Pan, count: int) -> str:
    name, said = tr(pan.name), num(count, ",d")
    if pan.wells == 1:
        return trn("{n} pan ({name})", "{n} pans ({name})", count, n=said, name=name)
    pans = math.ceil(count / pan.wells)
    return trn(
        "{n} well ({name}, {pans})",
        "{n} wells ({name}, {pans})",
        count,
        n=said,
        name=name,
        pans=trn("{n} pan", "{n} pans", pans, n=num(pans, ",d")),
    )


def fill_words(pan: Pan, count: int, fill: float) -> str:
    each = fill * pan.capacity_m3
    values = {
        "pans": _how_many(pan, count),
        "volume": say_volume(each),
        "fill": num(fill, ".0%"),
        "depth": say_length(pan.depth_m(each)),
    }
    if count > 1:
        return tr("Fill {pans} with {volume} each: {fill} full, {depth} deep.", **values)
    return tr("Fill {pans} with {volume}: {fill} full, {depth} deep.", **values)


def _under_words(pan: Pan, count: int, each: float, total: float) -> str:
    limits = pan.fill_limits
    low, times = num(limits.low, ".0%"), num(limits.low * pan.capacity_m3 / each, ".2g")
    rest = total - (count - 1) * limits.high * pan.capacity_m3
    if count > 1 and rest > 0:
        return tr(
            "That is thin: below {low} it bakes fast, stays flat and dries out. Use a smaller pan, "
            "or make {times} times the batter, or fill only {fewer} to {high} and bake the other "
            "{rest} in a small dish.",
            low=low,
            times=times,
            fewer=num(count - 1, "d"),
            high=num(limits.high, ".0%"),
            rest=say_volume(rest),
        )
    return tr(
        "That is thin: below {low} it bakes fast, stays flat and dries out. Use a smaller pan, "
        "or make {times} times the batter.",
        low=low,
        times=times,
    )


@dataclass(frozen=True)
class SameDepth:
    """One pan's batter at the same depth in another.

    Attributes
    ----------
    depth : Quantity
        cm.
    each : Quantity
        What one of the new pans takes at that depth, ml.
    share : float
        That as a share of the whole batter: 0.5 is half the recipe.
    state : {"good", "under", "over"}
        Whether the new pan's fill lies within its limits.
    advice : str
    """

    depth: pint.Quantity
    each: pint.Quantity
    share: float
    state: str
    advice: str


def same_depth(volume, from_pan: Pan, to_pan: Pan, from_count: int = 1) -> SameDepth:
    """How much of a recipe another pan takes at the depth it stands in its own.

    The same depth keeps the baking time about the same.

    Parameters
    ----------
    volume : Quantity or str
        All of the batter.
    from_pan : Pan
        What the recipe is written for.
    to_pan : Pan
    from_count : int
        How many of `from_pan` (pans or wells) it fills.

    Returns
    -------
    SameDepth

    Raises
    ------
    PanError
        If the batter overflows `from_pan`, or stands deeper than `to_pan` is.

    Notes
    -----
    "Half a 13 x 9 recipe fits an 8 x 8 or a 9-inch round at the same depth" is said by Kansas
    State Univ. Extension, MF3531.
    """
    total = batter_m3(volume)
    count = whole_number(from_count, "pans", 1)
    depth = from_pan.depth_m(from_pan.held_m3(Q(total / count, "m**3")))
    if depth > to_pan.height * (1 + 1e-9):
        raise PanError(
            tr(
                "The batter stands {depth} deep in the {pan}, more than the {rim} of the {other}. "
                "Choose a deeper pan.",
                depth=say_length(depth),
                pan=tr(from_pan.name),
                rim=say_length(to_pan.height),
                other=tr(to_pan.name),
            )
        )
    each = to_pan.volume_m3(min(depth, to_pan.height))
    fit = fit_alike(to_pan, 1, each / to_pan.capacity_m3, each)
    parts = {
        "share": num(each / total, ".2g"),
        "count": num(total / each, ".2g"),
        "advice": fit.advice,
    }
    return SameDepth(
        depth=fit.depth,
        each=fit.each,
        share=each / total,
        state=fit.state,
        advice=(
            tr(
                "At the same depth one pan takes {share} of the recipe, so the whole of it needs "
                "{count}. {advice}",
                **parts,
            )
            if to_pan.wells == 1
            else tr(
                "At the same depth one well takes {share} of the recipe, so the whole of it needs "
                "{count}. {advice}",
                **parts,
            )
        ),
    )
