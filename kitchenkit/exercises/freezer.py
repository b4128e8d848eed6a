"""Questions of lesson 07: batches for a month, what fits, and what a freezer takes in a day."""

from __future__ import annotations

import math

from kitchenkit.exercises.numbers import Numbers
from kitchenkit.exercises.question import Question, Slip
from kitchenkit.freezer import freezer_load
from kitchenkit.language import num, tr
from kitchenkit.stock import PACKING
from kitchenkit.units import Q


def ask(kit, numbers: Numbers) -> list[Question]:
    """The lesson's questions with these numbers."""
    return [_batches(numbers), _fits(numbers), _load(numbers)]


def _batches(numbers: Numbers) -> Question:
    eaters = numbers.pick("eaters", 5, (6, 7, 9, 10, 11))  # so that something is left to round up
    each, weeks, batch = 5, 4, 16
    portions = eaters * each * weeks
    whole = math.ceil(portions / batch)
    return Question(
        "batches",
        tr(
            "{eaters} people each eat {each} portions a week. One batch gives {batch} portions. "
            "How many whole batches feed them for {weeks} weeks?",
            eaters=eaters,
            each=each,
            batch=batch,
            weeks=weeks,
        ),
        Q(whole, "each"),
        ("batches",),
        tr(
            "Count the portions of all the weeks, divide by a batch, and round up: half a batch is "
            "no batch."
        ),
        tr(
            "{eaters} × {each} × {weeks} = {portions} portions; {portions} ÷ {batch} = {exact}, "
            "rounded up = {whole} batches.",
            eaters=eaters,
            each=each,
            weeks=weeks,
            portions=portions,
            batch=batch,
            exact=num(portions / batch, "g"),
            whole=whole,
        ),
        (
            Slip(
                Q(math.ceil(eaters * each / batch), "each"),
                tr("That is for one week. They eat for {weeks}.", weeks=weeks),
            ),
            Slip(
                Q(portions // batch, "each"),
                tr("Then the last portions are missing: part of a batch is a batch too. Round up."),
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
        tr(
            "A freezer drawer holds {litres} litres. Wrapped portions of {each} ml fill {share}% "
            "of the room; the rest is air. About how many portions fit?",
            litres=litres,
            each=each,
            share=num(PACKING * 100),
        ),
        Q(fits, "each"),
        ("portions",),
        tr("Turn litres into millilitres, take the share that is filled, divide by one portion."),
        tr(
            "{litres} × {thousand} × {share} = {room} ml; {room} ÷ {each} = {fits} portions.",
            litres=litres,
            thousand=num(1000),
            share=num(PACKING, "g"),
            room=num(room),
            each=each,
            fits=num(fits, ".0f"),
        ),
        (
            Slip(
                Q(litres * 1000 / each, "each"),
                tr("That leaves no air between them. Portions never fill the whole room."),
            ),
        ),
        right=0.03,
    )


def _load(numbers: Numbers) -> Question:
    feet = numbers.pick("cubic feet", 3, (4, 5, 6, 7, 9))
    least = freezer_load(Q(feet, "foot**3")).low
    return Question(
        "load",
        tr(
            "A chest freezer of {feet} cubic feet freezes 2 to 3 lb for each cubic foot in a day. "
            "You go by the lower figure. How much may you put in at once?",
            feet=feet,
        ),
        least,
        ("lb", "g"),
        tr("Multiply the cubic feet by the pounds that each of them takes."),
        f"{feet} × 2 lb = {num(least.m_as('lb'), '.3g')} lb, {num(least.m_as('kg'), '.2f')} kg.",
        (
            Slip(
                least * 1.5,
                tr("That is the upper figure. A home freezer is sure of the lower."),
            ),
            Slip(
                Q(feet / 2, "lb"),
                tr("You divided. Each cubic foot takes two pounds: multiply."),
            ),
        ),
    )
