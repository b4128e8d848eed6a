"""A question with its answer, hint, working and usual slips, and the checking of what is typed."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import reduce

import pint

from kitchenkit.errors import MeasureError
from kitchenkit.language import join_or, mark, num, tr
from kitchenkit.units import Q, read_measure, read_number

# What the answer box offers, shown by `tr` → the registry's unit.
UNITS = {
    "g": "gram",
    "oz": "ounce",
    "lb": "pound",
    "ml": "milliliter",
    mark("cups"): "cup",
    mark("tbsp"): "tablespoon",
    "cm": "centimeter",
    mark("in"): "inch",
    mark("pieces"): "each",
    mark("wells"): "each",
    mark("portions"): "each",
    mark("batches"): "each",
    mark("times"): "dimensionless",
    mark("min"): "minute",
    mark("hours"): "hour",
    mark("cents"): "dimensionless",
    mark("percent"): "dimensionless",
}


# English and Spanish, whatever language the kit speaks.
_SPOKEN_UNITS = {
    "x": "times",
    "time": "times",
    "well": "wells",
    "piece": "pieces",
    "portion": "portions",
    "batch": "batches",
    "cent": "cents",
    "%": "percent",
    "minutes": "min",
    "minute": "min",
    "mins": "min",
    "hour": "hours",
    "vez": "times",
    "veces": "times",
    "hueco": "wells",
    "huecos": "wells",
    "pieza": "pieces",
    "piezas": "pieces",
    "porción": "portions",
    "porcion": "portions",
    "porciones": "portions",
    "tanda": "batches",
    "tandas": "batches",
    "centavo": "cents",
    "centavos": "cents",
    "céntimo": "cents",
    "céntimos": "cents",
    "por ciento": "percent",
    "minuto": "min",
    "minutos": "min",
    "hora": "hours",
    "horas": "hours",
}
_UNIT_LETTERS = "a-záéíóú%"


@dataclass(frozen=True)
class Slip:
    """A wrong answer that many arrive at, and what to say to it."""

    answer: pint.Quantity
    say: str


@dataclass(frozen=True)
class Verdict:
    """What became of an answer: ``right``, ``nearly`` or ``again``, and why in plain words."""

    state: str
    say: str


@dataclass(frozen=True)
class Question:
    """One question with one answer.

    Attributes
    ----------
    key, ask : str
    answer : Quantity
    units : tuple of str
        Keys of `UNITS` that the box offers; the first is the usual one.
    hint : str
    working : str
        Its steps, with semicolons between; the last step ends in ``= the answer``, and sentences
        may follow.
    slips : tuple of Slip
    right, nearly : float
        Relative distance within which an answer is right, or nearly so.
    """

    key: str
    ask: str
    answer: pint.Quantity
    units: tuple[str, ...]
    hint: str
    working: str
    slips: tuple[Slip, ...] = ()
    right: float = 0.02
    nearly: float = 0.10

    def check(self, written: str, unit: str) -> Verdict:
        """Judge an answer.

        Parameters
        ----------
        written : str
            A number in `unit`, or an amount with its own unit, such as ``"162 g"``.
        unit : str
            A key of `UNITS`.

        Returns
        -------
        Verdict

        Raises
        ------
        MeasureError
            If it cannot be read at all.
        """
        given = self._read(written, unit)
        if not given.check(self.answer.dimensionality):
            return Verdict(
                "again",
                tr(
                    "That measures something else. The answer is in {units}.",
                    units=reduce(lambda some, one: join_or([some, one]), map(tr, self.units)),
                ),
            )
        # Rounded, so that an answer on the very limit is not failed by the 16th digit.
        off = round(abs((given / self.answer).m_as("") - 1), 9)
        if off <= self.right or self._as_typed(written, given):
            return Verdict("right", tr("Right. {working}", working=self.working))
        for slip in self.slips:
            if abs((given / slip.answer).m_as("") - 1) <= self.right:
                return Verdict("again", slip.say)
        if off <= self.nearly:
            return Verdict(
                "nearly", tr("Nearly: the way is right. Work it once more, rounding last.")
            )
        if given > self.answer:
            return Verdict("again", tr("Not yet: it is less than that. {hint}", hint=self.hint))
        return Verdict("again", tr("Not yet: it is more than that. {hint}", hint=self.hint))

    @property
    def first_step(self) -> str:
        """How the working begins; where one step is all, its result is left to be found."""
        first, *more = self.working.split("; ")
        return f"{first}; …" if more else self.covered_working

    @property
    def covered_working(self) -> str:
        """The working but for its last result."""
        return self.working[: self.working.rindex("=") + 1] + " …"

    @property
    def steps_count(self) -> int:
        """How many steps the working has."""
        return self.working.count("; ") + 1

    def _as_typed(self, written: str, given: pint.Quantity) -> bool:
        """Whether this is the answer rounded to the digits typed, as 1.8 oz is of 1.76 oz.

        Of a half, up and down are both right: schools differ.
        """
        digits = re.fullmatch(rf"\d*[.,](\d+)\s*[{_UNIT_LETTERS} ]*\.?", written.strip(), re.I)
        if not digits:
            return False
        off = abs(self.answer.m_as(given.units) - given.magnitude)
        return off <= 0.5 * 10.0 ** -len(digits[1]) * (1 + 1e-9)

    def _read(self, written: str, unit: str) -> pint.Quantity:
        """A number in the box's unit, or one with a unit of its own: 162 g, 3 times, 3x."""
        if not written.strip():
            raise MeasureError(
                tr("The box is empty. Type a number, like {number}.", number=num(12.5, "g"))
            )
        pattern = rf"\s*(.*?)\s*(por ciento|[{_UNIT_LETTERS}]*)\.?\s*"
        number, own = re.fullmatch(pattern, written, re.I | re.S).groups()
        own = _SPOKEN_UNITS.get(own.casefold(), own.casefold())
        try:
            if own and own not in self.units:
                return read_measure(written)
            return Q(read_number(number), UNITS[own or unit])
        except MeasureError:
            return read_measure(written)
