"""Writing an amount in full, so that reading it gives the same amount back."""

from __future__ import annotations

import math
from decimal import Decimal
from fractions import Fraction

import pint

from kitchenkit.errors import MeasureError
from kitchenkit.units import Q, si

# Unit of the registry -> how a cook writes one and several of it.
WORDS = {
    "each": ("each", "each"),
    "cup": ("cup", "cups"),
    "tablespoon": ("tbsp", "tbsp"),
    "teaspoon": ("tsp", "tsp"),
    "stick": ("stick", "sticks"),
    "dash": ("dash", "dashes"),
    "pinch": ("pinch", "pinches"),
    "metric_cup": ("metric cup", "metric cups"),
    "fluid_ounce": ("fl oz", "fl oz"),
    "pint": ("pint", "pints"),
    "quart": ("quart", "quarts"),
    "gallon": ("gallon", "gallons"),
    "imperial_fluid_ounce": ("imperial fl oz", "imperial fl oz"),
    "imperial_pint": ("imperial pint", "imperial pints"),
    "ounce": ("oz", "oz"),
    "pound": ("lb", "lb"),
    "milliliter": ("ml", "ml"),
    "centiliter": ("cl", "cl"),
    "deciliter": ("dl", "dl"),
    "liter": ("l", "l"),
    "gram": ("g", "g"),
    "kilogram": ("kg", "kg"),
    "milligram": ("mg", "mg"),
}
METRIC = {word for word in WORDS if word.endswith(("liter", "gram"))}
_KITCHEN_PARTS = sorted({Fraction(n, d) for d in (2, 3, 4, 8, 16) for n in range(d)})
_NOISE = 1e-14  # share by which a float may be off the fraction that is meant


def write_number(value: float) -> str:
    """A number of 0 or more in digits, without an exponent, that reads as the very same float.

    Raises
    ------
    MeasureError
        If it is not finite or below 0.

    Examples
    --------
    >>> write_number(16.0), write_number(0.1), write_number(1e-7)
    ('16', '0.1', '0.0000001')
    """
    value = float(value)
    if not math.isfinite(value) or value < 0:
        raise MeasureError(f"{value!r} is no kitchen amount. Write a number of 0 or more.")
    written = format(Decimal(repr(value)), "f")
    return written.rstrip("0").rstrip(".") if "." in written else written


def write_measure(quantity: pint.Quantity) -> str:
    """An amount in full, as `read_measure` reads it: nothing is rounded.

    Parameters
    ----------
    quantity : Quantity
        A volume, weight or count.

    Returns
    -------
    str
        In its own unit, or in grams, millilitres or pieces where cooks do not write that unit.
        Cups, spoons and the like in fractions where they are meant (a part in 10¹⁴ aside), and
        otherwise, as for metric units, in as many decimals as it takes.

    Raises
    ------
    MeasureError
        If it is none of the three, or not finite.

    Examples
    --------
    >>> write_measure(Q(1.5, "cup")), write_measure(Q(2, "each")), write_measure(Q(0.35, "kg"))
    ('1 1/2 cups', '2 each', '0.35 kg')
    """
    size, unit = parts(quantity)
    number = (None if unit in METRIC else _fraction(size)) or write_number(size)
    one, several = WORDS[unit]
    return f"{number} {one if size <= 1 else several}"


def parts(quantity: pint.Quantity) -> tuple[float, str]:
    """The number and the unit that `write_measure` writes: one of the keys of `WORDS`.

    Raises
    ------
    MeasureError
        If it is no volume, weight or count.
    """
    if not isinstance(quantity, pint.Quantity):
        raise MeasureError(f"{quantity!r} has no unit. Write it like 350 g.")
    unit = str(quantity.units)
    if unit not in WORDS:
        plain = (x for x in ("gram", "milliliter", "each") if quantity.is_compatible_with(Q(1, x)))
        unit = next(plain, None)
        if unit is None:
            raise MeasureError(f"{quantity:~g} is no volume, weight or count.")
        quantity = quantity.to(unit)
    return float(quantity.magnitude), unit


def _fraction(size: float) -> str | None:
    """The kitchen fraction that is meant, if one is."""
    if not 0 < size < 1e6:
        return None
    whole = math.floor(size * (1 + _NOISE))
    for part in _KITCHEN_PARTS:
        if abs(float(whole + part) - size) <= _NOISE * size:
            return " ".join(str(x) for x in (whole, part) if x) or None
    return None


def write_density(kg_m3: float) -> str:
    """A density in g/ml that reads as the very same float.

    Parameters
    ----------
    kg_m3 : float

    Raises
    ------
    MeasureError
        If it is not finite or below 0.

    Examples
    --------
    >>> write_density(1030.0)
    '1.03 g/ml'
    """
    size = float(kg_m3) / 1000
    # Dividing and multiplying again may miss by the last bit: the neighbours are tried too.
    near = [size, math.nextafter(size, 0), math.nextafter(size, math.inf)]
    written = [f"{write_number(x)} g/ml" for x in near]
    return next((text for text in written if si(text, "density", "density") == kg_m3), written[0])
