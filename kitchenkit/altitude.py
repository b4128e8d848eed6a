"""Baking high up: where water boils, and what published guidance says, as ranges."""

from __future__ import annotations

import math

import pint

from kitchenkit.errors import MeasureError
from kitchenkit.language import mark, num, tr
from kitchenkit.units import Q, si

_HIGHEST_M = 4500.0  # above every kitchen this was checked for


def pressure_pascal(altitude_m: float) -> float:
    """Mean air pressure at a height above the sea, Pa.

    Notes
    -----
    U.S. Standard Atmosphere, 1976, lowest layer: 101325 (1 − 2.25577e-5 h)^5.25588.
    """
    return 101325.0 * (1 - 2.25577e-5 * altitude_m) ** 5.25588


def boiling_celsius(altitude_m: float) -> float:
    """Where water boils at a height above the sea, °C.

    Notes
    -----
    Antoine's equation for water from 1 to 100 °C, log₁₀ p[mmHg] = 8.07131 − 1730.63 / (233.426 + T)
    (constants from memory, unverified; checked against a published table in the tests).
    """
    mmhg = pressure_pascal(altitude_m) / 133.322
    return 1730.63 / (8.07131 - math.log10(mmhg)) - 233.426


def boiling_point(altitude) -> pint.Quantity:
    """Where water boils at a height above the sea.

    Parameters
    ----------
    altitude : Quantity or str
        Such as ``"5000 ft"`` or ``"1500 m"``.

    Returns
    -------
    Quantity
        °C.

    Raises
    ------
    MeasureError
        If it is no height, or above 4,500 m.
    """
    return Q(boiling_celsius(_height(altitude)), "degC")


def altitude_advice(altitude) -> list[str]:
    """What published guidance says for a height: ranges with their source, no false precision.

    Parameters
    ----------
    altitude : Quantity or str

    Returns
    -------
    list of str

    Raises
    ------
    MeasureError
        As for `boiling_point`.
    """
    metres = _height(altitude)
    boils = boiling_point(altitude)
    said = [
        tr(
            "Water boils at about {fahrenheit} °F ({celsius} °C) here.",
            fahrenheit=num(boils.m_as("degF"), ".0f"),
            celsius=num(boils.m_as("degC"), ".0f"),
        )
    ]
    if metres < 900:  # 3,000 ft, where the usual advice begins
        return [*said, tr("Below about 900 m (3,000 ft) recipes need no change.")]
    return [
        *said,
        tr(
            "For cakes: baking powder down by an eighth to a quarter, oven up by 15 to 20 °F (8 to "
            "11 °C) (Colorado State Univ. Extension, 2002)."
        ),
        tr(
            "Quick breads often need little change (from memory, unverified): bake one as written "
            "first, and note it in the bake log."
        ),
    ]


def _height(altitude) -> float:
    metres = si(altitude, "length", mark("altitude"))
    if metres > _HIGHEST_M:
        raise MeasureError(
            tr(
                "{altitude} is higher than any kitchen here was checked for: 4,500 m.",
                altitude=str(altitude),
            )
        )
    return metres
