"""Saying a quantity in the tools a kitchen really has, and how far off that is."""

from __future__ import annotations

import math
from fractions import Fraction

import pint

from kitchenkit.errors import MeasureError
from kitchenkit.language import num, tr, trc, trn
from kitchenkit.units import Q, read_measure, si

# One line may be rounded by up to this share before another spoon is asked for. It is a fifth of
# the 5 % by which a pan's or cup's marked capacity may be off in the trade.
GOOD_ENOUGH = 0.01

# Beside an exact figure, cups and spoons may be rounder: a reader wants the size of it.
_FOR_READING = 0.05  # as far as a marked cup itself may be off in the trade

_ML = {"cup": 236.5882365, "tbsp": 14.78676478125, "tsp": 4.92892159375}  # NIST SP 430
_CUP_SET = [Fraction(0), *(Fraction(f) for f in ("1/4", "1/3", "1/2", "2/3", "3/4"))]


class Spoken(str):
    """An amount in words, e.g. ``"1 1/2 cups + 1 tbsp"``; it is a plain string with a memory.

    Attributes
    ----------
    amount : Quantity
        What the words really measure.
    error : float
        ``(amount - wanted) / wanted``; 0 for nothing wanted.
    """

    amount: pint.Quantity
    error: float

    def __new__(cls, words: str, amount: pint.Quantity, wanted: float, got: float):
        made = super().__new__(cls, words)
        made.amount = amount
        made.error = (got - wanted) / wanted if wanted else 0.0
        return made


def say_measure(quantity, tools: str = "us", within: float = GOOD_ENOUGH) -> Spoken:
    """Say a quantity as the nearest amount that can be measured.

    Parameters
    ----------
    quantity : Quantity or str
        A volume, a weight or a count of pieces.
    tools : {"us", "metric", "scale"}
        ``us``: cups of 1, 2/3, 1/2, 1/3 and 1/4, spoons down to 1/8 tsp and a pinch, ounces;
        ``metric``: a jug marked every 25 ml, spoons of 15 and 5 ml and their parts, grams;
        ``scale``: whole grams.
    within : float
        The rounding to accept for the sake of fewer tools, as a share; 0.01 is 1 %.

    Returns
    -------
    Spoken
        The words, in the language in use, with ``amount`` and ``error``. The fewest tools that come
        `within` are used, and otherwise the nearest amount they can measure. What is too little for
        the finest tool is said so (``"less than a pinch"``), with an amount of 0.

    Raises
    ------
    MeasureError
        If the quantity is no volume, weight or count, if a volume is to be weighed on a scale, or
        if the tools are none of the three.

    Notes
    -----
    Rounding of pounds and ounces to the half ounce where that is near enough follows US Army
    TM 10-412 (2003), card A-1(2); below that, quarters and eighths of an ounce.

    Examples
    --------
    >>> say_measure("384 ml")
    '1 1/2 cups + 2 tbsp'
    """
    if isinstance(quantity, str):
        quantity = read_measure(quantity)
    _must_have_unit(quantity)
    if tools not in ("us", "metric", "scale"):
        raise MeasureError(f"Tools {tools!r} are not known. Choose us, metric or scale.")
    if quantity.check("[volume]"):
        if tools == "scale":
            raise MeasureError(
                f"{quantity:~g} is a volume and a scale weighs. Turn it into a weight first."
            )
        return _say_volume(si(quantity, "volume", "amount") * 1e6, tools, within)
    if quantity.check("[mass]"):
        grams = si(quantity, "mass", "amount") * 1e3
        return _say_ounces(grams, within) if tools == "us" else _say_grams(grams)
    if quantity.check(Q(1, "each").dimensionality):
        return _say_count(si(quantity, "count", "amount"))
    raise MeasureError(f"{quantity:~g} is no volume, weight or count, so no tool measures it.")


def _must_have_unit(quantity) -> None:
    if not isinstance(quantity, pint.Quantity):
        raise MeasureError(f"{quantity!r} has no unit. Write it like 384 ml or 1 1/2 cups.")


def say_fraction(value: float, thirds: bool = True) -> str:
    """A number to the nearest 1/8, or 1/3 where there are such cups, as cooks write it: ``1 2/3``.

    A ruler has no `thirds`.
    """
    parts = [Fraction(n, 8) for n in range(9)]
    parts += [Fraction(1, 3), Fraction(2, 3)] if thirds else []
    whole, part = math.floor(value), value - math.floor(value)
    nearest = min(parts, key=lambda f: abs(f - part))
    whole, nearest = (whole + 1, Fraction(0)) if nearest == 1 else (whole, nearest)
    return " ".join(str(p) for p in (whole, nearest) if p) or "0"


def say_inches(length) -> str:
    """A length in inches to the nearest eighth, as on a ruler."""
    return tr("{n} in", n=say_fraction(length.m_as("inch"), thirds=False))


def _tool(n: float, tool: str) -> str:
    """So many of a tool, in words."""
    said = say_fraction(n)
    count = 1 if n <= 1 or said == "1" else 2
    if tool == "cup":
        return trn("{n} cup", "{n} cups", count, n=said)
    if tool == "tbsp":
        return trn("{n} tbsp", "{n} tbsp", count, n=said)
    if tool == "tsp":
        return trn("{n} tsp", "{n} tsp", count, n=said)
    return tr("1 pinch") if tool == "pinch" else f"{num(n)} ml"


def _below(steps: float) -> int:
    return math.floor(steps + 1e-9)


def _above(steps: float) -> int:
    return math.ceil(steps - 1e-9)


def _teaspoons(n: float) -> list[tuple[float, str]]:
    """The spoons for `n` teaspoons: quarters together, then an eighth, then a pinch (1/16)."""
    quarters = math.floor(n * 4) / 4
    rest = n - quarters
    tools = [(quarters, "tsp")] if quarters else []
    tools += [(1 / 8, "tsp")] if rest >= 1 / 8 else []
    return tools + ([(1.0, "pinch")] if rest % (1 / 8) else [])


def _say_volume(ml: float, tools: str, within: float) -> Spoken:
    us = tools == "us"
    tbsp, tsp = (_ML["tbsp"], _ML["tsp"]) if us else (15.0, 5.0)
    if ml < tsp / 32:
        return Spoken(
            tr("less than a pinch") if ml else trc("an amount", "none"), Q(0, "ml"), ml, 0.0
        )
    step = 1 / 16 if ml < tbsp else 1 / 8 if ml < 3 * tbsp else 1 / 4
    choices = []
    for big_ml, big in (_us_cups if us else _jug)(ml):
        rest = max(ml - big_ml, 0.0)
        spoons = math.floor(rest / tbsp + 1e-9)
        for n_tbsp in {0, spoons, spoons + 1}:
            left = max(rest - n_tbsp * tbsp, 0.0) / tsp
            # Besides the finest step, coarser ones: fewer spoons may be near enough.
            n_tsps = {0.0}
            n_tsps |= {
                side(left / s) * s
                for s in (step, 1 / 8, 1 / 4)
                if s >= step
                for side in (_below, _above)
            }
            for n_tsp in n_tsps:
                if n_tbsp > 4 or n_tsp >= 3:
                    continue
                used = [*big, *([(n_tbsp, "tbsp")] if n_tbsp else []), *_teaspoons(n_tsp)]
                if used:
                    got = big_ml + n_tbsp * tbsp + n_tsp * tsp
                    choices.append((round(abs(got - ml), 6), len(used), n_tbsp + n_tsp, used, got))
    near = [choice for choice in choices if choice[0] <= within * ml]
    if near:
        *_, used, got = min(near, key=lambda choice: (choice[1], choice[0], choice[2]))
    else:
        least = min(choice[:3] for choice in choices)
        ways = [choice for choice in choices if choice[:3] == least]
        # Of two ways to say the same, the one with thirds of a cup rather than quarters.
        *_, used, got = min(ways, key=lambda way: [say_fraction(n) for n, _ in way[3]])
    words = " + ".join(_tool(n, tool) for n, tool in used)  # of the chosen one alone: it is slow
    return Spoken(words, Q(got, "ml"), ml, got)


def _us_cups(ml: float):
    """No cup at all, or a level of the cup set near the amount."""
    yield 0.0, []
    whole = math.floor(ml / _ML["cup"])
    for n in (whole - 1, whole, whole + 1):
        for part in _CUP_SET:
            cups = n + part
            size = float(cups) * _ML["cup"]
            if cups > 0 and abs(size - ml) < 0.26 * _ML["cup"]:
                yield size, [(float(cups), "cup")]


def _jug(ml: float):
    """No jug at all, or a 25 ml mark just below or above."""
    yield 0.0, []
    below = math.floor(ml / 25 + 1e-9) * 25
    for mark in (below - 25, below, below + 25):
        if mark >= 50:
            yield float(mark), [(float(mark), "ml")]


def _say_grams(grams: float) -> Spoken:
    got = float(math.floor(grams + 0.5))
    words = f"{num(got)} g" if got or not grams else tr("less than 1 g")
    return Spoken(words, Q(got, "g"), grams, got)


def _say_ounces(grams: float, within: float) -> Spoken:
    ounces = grams / 28.349523125  # NIST SP 430
    for step in (1 / 2, 1 / 4, 1 / 8):
        got = math.floor(ounces / step + 0.5) * step
        if abs(got - ounces) <= within * ounces:
            break
    pounds, rest = divmod(got, 16)
    words = [f"{num(pounds)} lb"] if pounds else []
    words += [f"{say_fraction(rest)} oz"] if rest or not pounds else []
    words = words if got or not ounces else [tr("less than 1/8 oz")]
    return Spoken(" ".join(words), Q(got, "oz"), ounces, got)


def _say_count(pieces: float) -> Spoken:
    got = math.floor(pieces * 4 + 0.5) / 4
    words = say_fraction(got) if got or not pieces else tr("less than 1/4")
    return Spoken(words, Q(got, "each"), pieces, got)


def say_both(quantity) -> str:
    """A quantity in metric and US units side by side, rounded for reading.

    Parameters
    ----------
    quantity : Quantity
        A volume, weight or length.

    Returns
    -------
    str
        Such as ``"891 ml (3 3/4 cups)"``, the cups within 5 %, ``"934 g (2.1 lb)"`` or
        ``"4.1 cm (1 5/8 in)"``.

    Raises
    ------
    MeasureError
        For any other kind of quantity.
    """
    _must_have_unit(quantity)
    if quantity.check("[volume]"):
        ml = quantity.m_as("ml")
        if ml < 0.5:
            return f"{num(ml, '.1f')} ml"
        return f"{num(ml)} ml ({say_measure(quantity, within=_FOR_READING)})"
    if quantity.check("[mass]"):
        grams = quantity.m_as("g")
        digits = 1 if grams < 10 else 0
        ounces = grams / 28.349523125
        us = f"{num(ounces, '.1f' if ounces < 10 else '.0f')} oz"
        us = us if ounces < 32 else f"{num(ounces / 16, '.1f')} lb"
        return f"{num(grams, f',.{digits}f')} g ({us})"
    if quantity.check("[length]"):
        return f"{num(quantity.m_as('cm'), '.1f')} cm ({say_inches(quantity)})"
    raise MeasureError(f"{quantity:~g} is no volume, weight or length.")
