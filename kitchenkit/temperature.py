"""Oven temperatures: °F, °C and gas mark; readings and differences are kept apart."""

from __future__ import annotations

import math
import re

import pint

from kitchenkit.errors import MeasureError, brief
from kitchenkit.language import num, tr
from kitchenkit.saying import say_fraction
from kitchenkit.units import Q, read_number

# Gas marks of British ovens: ¼ = 225 °F, ½ = 250 °F, then 1 = 275 °F and 25 °F a mark up to 9.
# From memory, unverified.
_GAS_F = {0.25: 225.0, 0.5: 250.0} | {float(n): 250.0 + 25.0 * n for n in range(1, 10)}

# No oven, freezer or kitchen goes beyond these; what lies outside is a slip of the pen.
_COLDEST_C, _HOTTEST_C = -90.0, 400.0

_LONGEST = 500  # letters of a temperature
_WRITTEN = re.compile(
    r"(?:gas(?:\s*mark)?|mark|marca(?:\s*de\s*gas)?)\s*(?P<gas>.+)"
    r"|(?P<number>.+?)\s*(?:°|º|deg(?:rees?)?|grados?)?\s*(?P<unit>[cf]|celsius|fahrenheit)",
    re.I,
)


def read_temperature(text: str) -> pint.Quantity:
    """Read a temperature as a cook writes it.

    Parameters
    ----------
    text : str
        ``"350 F"``, ``"180 °C"``, ``"350 degF"``, ``"gas mark 4"``; in Spanish ``"180 grados C"``
        or ``"marca de gas 4"`` too, whatever language the kit speaks.

    Returns
    -------
    Quantity
        A reading in °F or °C as written; a gas mark in °F.

    Raises
    ------
    MeasureError
        If the scale is missing, the mark is not on the dial, or no kitchen is that hot or cold.

    Notes
    -----
    Gas marks: table in this module, from memory, unverified.
    """
    short = isinstance(text, str) and len(text) <= _LONGEST
    found = _WRITTEN.fullmatch(text.strip()) if short else None
    if not found:
        raise MeasureError(
            tr(
                "{text} is not a temperature. Write one like 350 F, 180 C or gas mark 4.",
                text=brief(text),
            )
        )
    if found["gas"]:
        mark = read_number(found["gas"])
        if mark not in _GAS_F:
            raise MeasureError(
                tr("Gas mark {mark} is not on the dial: 1/4, 1/2, 1 to 9.", mark=repr(found["gas"]))
            )
        return Q(_GAS_F[mark], "degF")
    reading = Q(read_number(found["number"]), "degF" if found["unit"][0] in "fF" else "degC")
    if not _COLDEST_C <= reading.m_as("degC") <= _HOTTEST_C:
        raise MeasureError(
            tr("{text} is beyond any kitchen. Check the number and the scale.", text=repr(text))
        )
    return reading


def gas_mark(reading: pint.Quantity) -> float | None:
    """The nearest gas mark to a reading, or None more than 15 °F off the dial's ends.

    Raises
    ------
    MeasureError
        If it is no reading on a scale: a difference, say, or a plain number.
    """
    fahrenheit = _on_scale(reading).m_as("degF")
    mark, at = min(_GAS_F.items(), key=lambda pair: abs(pair[1] - fahrenheit))
    return mark if abs(at - fahrenheit) <= 15 else None


def say_temperature(reading: pint.Quantity) -> str:
    """A reading on all three scales, e.g. ``"350 °F (177 °C, gas mark 4)"``.

    Parameters
    ----------
    reading : Quantity
        A temperature, not a difference.

    Returns
    -------
    str

    Raises
    ------
    MeasureError
        As for `gas_mark`.
    """
    mark = gas_mark(reading)
    fahrenheit, celsius_ = (
        num(round(reading.m_as(unit)), "d").replace("-", "−") for unit in ("degF", "degC")
    )
    if not mark:
        return f"{fahrenheit} °F ({celsius_} °C)"
    return tr(
        "{fahrenheit} °F ({celsius} °C, gas mark {mark})",
        fahrenheit=fahrenheit,
        celsius=celsius_,
        mark=say_fraction(mark),
    )


def celsius(value, name: str) -> float:
    """A reading in °C, for inner sums.

    Parameters
    ----------
    value : Quantity or str
        A temperature, or text such as ``"350 F"``.
    name : str
        What to call it when it is wrong; in English, from the catalogue.

    Raises
    ------
    MeasureError
        If it is no temperature; a bare number has no scale.
    """
    if isinstance(value, str):
        value = read_temperature(value)
    if not isinstance(value, pint.Quantity):
        raise MeasureError(
            tr(
                "The {name} {value} has no scale. Write it like 350 F or 180 C.",
                name=tr(name),
                value=repr(value),
            )
        )
    return float(_on_scale(value).m_as("degC"))


def _on_scale(reading) -> pint.Quantity:
    """The reading itself; a difference of 25 °C is no reading and must not pass for one."""
    scales = (Q(0, "degF").units, Q(0, "degC").units, Q(0, "kelvin").units)
    on_one = isinstance(reading, pint.Quantity) and reading.units in scales
    if not on_one or not math.isfinite(reading.magnitude):
        raise MeasureError(
            tr("{value} is not a temperature reading. Write it like 350 F.", value=str(reading))
        )
    return reading
