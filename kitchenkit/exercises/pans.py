"""Questions of lesson 03: what a pan holds, and how many wells a batter fills."""

from __future__ import annotations

from itertools import product

from kitchenkit.exercises.numbers import Numbers
from kitchenkit.exercises.question import Question, Slip
from kitchenkit.language import mark, num, tr
from kitchenkit.pans import Pan
from kitchenkit.saying import say_both, say_fraction
from kitchenkit.units import Q

_CUBIC_INCH = 16.387  # ml, as the question gives it
_WORDS = {2: mark("two"), 3: mark("three")}
# How full, in words, and what that leaves free to rise.
_FILLS = {
    1 / 2: (mark("half"), mark("half")),
    2 / 3: (mark("two-thirds"), mark("a third")),
    3 / 4: (mark("three-quarters"), mark("a quarter")),
}
_BATCHES = {
    0.5: mark("Half the base batter"),
    1: mark("The base batter"),
    1.5: mark("One and a half times the base batter"),
    2: mark("Twice the base batter"),
    3: mark("Three times the base batter"),
}


def ask(kit, numbers: Numbers) -> list[Question]:
    """The lesson's questions with these numbers."""
    return [_square(numbers), _wells(kit, numbers)]


def _square(numbers: Numbers) -> Question:
    side, deep = numbers.pick("side and depth", (9, 2), list(product(range(6, 14), _WORDS)))
    pan = Pan.from_sizes("square", (f"{side} in", f"{side} in"), f"{deep} in", name="square")
    cubic = side * side * deep
    values = {
        "side": num(side, "d"),
        "deep": num(deep, "d"),
        "cubic": num(cubic, "d"),
        "ml": num(_CUBIC_INCH, "g"),
    }
    return Question(
        "square",
        tr(
            "A pan is {side} inches square inside and {deep} inches deep with upright walls. How "
            "much does it hold to the brim? (One cubic inch is {ml} ml.)",
            **values,
        ),
        pan.capacity,
        ("ml", "cups"),
        tr("Length × width × depth gives cubic inches; then turn those into millilitres."),
        "; ".join(
            [
                tr("{side} × {side} × {deep} = {cubic} cubic inches", **values),
                tr(
                    "{cubic} × {ml} = {volume} ml, {cups} cups.",
                    volume=num(pan.capacity.m_as("ml"), ",.0f"),
                    cups=say_fraction(pan.capacity.m_as("cup")),
                    **values,
                ),
            ]
        ),
        (
            Slip(
                Q(cubic, "ml"),
                tr("Those are cubic inches. Multiply by {ml} for millilitres.", **values),
            ),
            Slip(
                Q(side * side * _CUBIC_INCH, "ml"),
                tr("That is one inch deep. The pan is {depth}.", depth=tr(_WORDS[deep])),
            ),
        ),
    )


def _wells(kit, numbers: Numbers) -> Question:
    base = kit.recipes["carrot-oat-base"]
    well = next(pan for pan in kit.pans.values() if pan.kind == "muffin")
    batches, fill = numbers.pick("batter and fill", (1, 2 / 3), list(product(_BATCHES, _FILLS)))
    full, free = map(tr, _FILLS[fill])
    batter, one = base.volume * batches, well.capacity * fill
    wells = (batter / one).m_as("")
    values = {
        "share": say_fraction(fill),
        "capacity": num(well.capacity.m_as("ml"), ".0f"),
        "one": num(one.m_as("ml"), ".0f"),
        "batter": num(batter.m_as("ml"), ".0f"),
        "wells": num(wells, ".1f"),
    }
    return Question(
        "wells",
        tr(
            "{batches} is {batter}. A muffin well holds {capacity} to the brim and is filled "
            "{full}. About how many wells does the batter fill?",
            batches=tr(_BATCHES[batches]),
            batter=say_both(batter),
            capacity=say_both(well.capacity),
            full=full,
        ),
        Q(wells, "each"),
        ("wells",),
        tr("First find what goes into one well: {full} of what it holds.", full=full),
        "; ".join(
            [
                tr("{share} × {capacity} = {one} ml a well", **values),
                "{batter} ÷ {one} = {wells}.".format_map(values),
            ]
        ),
        (
            Slip(
                Q(wells * fill, "each"),
                tr("That fills them to the brim. Leave {free} of each free to rise.", free=free),
            ),
        ),
        right=0.05,
        nearly=0.12,
    )
