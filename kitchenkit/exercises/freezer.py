"""Questions of lesson 07: batches for a month, what fits, and what a freezer takes in a day."""

from __future__ import annotations

import math

from kitchenkit.exercises.numbers import Numbers
from kitchenkit.exercises.question import Question, Slip
from kitchenkit.freezer import freezer_load
from kitchenkit.stock import PACKING
from kitchenkit.units import Q


def ask(kit, numbers: Numbers) -> list[Question]:
    """The lesson's questions with these numbers."""
    return [_batches(numbers), _fits(numbers), _load(numbers)]


def _batches(numbers: Numbers) -> Question:
    eaters = numbers.pick("eaters", 5, (4, 6, 7, 8, 9))
    each, weeks, batch = 5, 4, 16
    portions = eaters * each * weeks
    whole = math.ceil(portions / batch)
    return Question(
        "batches",
        f"{eaters} people each eat {each} portions a week. One batch gives {batch} portions. How "
        f"many whole batches feed them for {weeks} weeks?",
        Q(whole, "each"),
        ("batches",),
        "Count the portions of all the weeks, divide by a batch, and round up: half a batch is "
        "no batch.",
        f"{eaters} × {each} × {weeks} = {portions} portions; {portions} ÷ {batch} = "
        f"{portions / batch:g}, rounded up = {whole} batches.",
        (
            Slip(
                Q(math.ceil(eaters * each / batch), "each"),
                f"That is for one week. They eat for {weeks}.",
            ),
        ),
        right=0.001,
        nearly=0.15,
    )


def _fits(numbers: Numbers) -> Question:
    litres = numbers.pick("litres", 40, (20, 25, 30, 35, 45, 50, 60))
    each = numbers.pick("portion", 240, (200, 250, 300))
    room = litres * 1000 * PACKING
    fits = room / each
    return Question(
        "fits",
        f"A freezer drawer holds {litres} litres. Wrapped portions of {each} ml fill "
        f"{PACKING:.0%} of the room; the rest is air. About how many portions fit?",
        Q(fits, "each"),
        ("portions",),
        "Turn litres into millilitres, take the share that is filled, divide by one portion.",
        f"{litres} × 1,000 × {PACKING:g} = {room:,.0f} ml; {room:,.0f} ÷ {each} = "
        f"{fits:.0f} portions.",
        (
            Slip(
                Q(litres * 1000 / each, "each"),
                "That leaves no air between them. Portions never fill the whole room.",
            ),
        ),
        right=0.03,
    )


def _load(numbers: Numbers) -> Question:
    feet = numbers.pick("cubic feet", 3, (4, 5, 6, 7, 9))
    least = freezer_load(Q(feet, "foot**3")).low
    return Question(
        "load",
        f"A chest freezer of {feet} cubic feet freezes 2 to 3 lb for each cubic foot in a day. "
        "You go by the lower figure. How much may you put in at once?",
        least,
        ("lb", "g"),
        "Multiply the cubic feet by the pounds that each of them takes.",
        f"{feet} × 2 lb = {least.m_as('lb'):.3g} lb, {least.m_as('kg'):.2f} kg.",
        (
            Slip(least * 1.5, "That is the upper figure. A home freezer is sure of the lower."),
            Slip(Q(feet / 2, "lb"), "You divided. Each cubic foot takes two pounds: multiply."),
        ),
    )
