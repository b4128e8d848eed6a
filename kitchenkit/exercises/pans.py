"""Questions of lesson 03: what a pan holds, and how many wells a batter fills."""

from __future__ import annotations

from itertools import product

from kitchenkit.exercises.numbers import Numbers
from kitchenkit.exercises.question import Question, Slip
from kitchenkit.pans import Pan
from kitchenkit.saying import say_both, say_fraction
from kitchenkit.units import Q

_CUBIC_INCH = 16.387  # ml, as the question gives it
_WORDS = {2: "two", 3: "three"}
# How full, in words, and what that leaves free to rise.
_FILLS = {
    1 / 2: ("half", "half"),
    2 / 3: ("two-thirds", "a third"),
    3 / 4: ("three-quarters", "a quarter"),
}
_BATCHES = {
    0.5: "Half the base batter",
    1: "The base batter",
    1.5: "One and a half times the base batter",
    2: "Twice the base batter",
    3: "Three times the base batter",
}


def ask(kit, numbers: Numbers) -> list[Question]:
    """The lesson's questions with these numbers."""
    return [_square(numbers), _wells(kit, numbers)]


def _square(numbers: Numbers) -> Question:
    side, deep = numbers.pick("side and depth", (9, 2), list(product(range(6, 14), _WORDS)))
    pan = Pan.from_sizes("square", (f"{side} in", f"{side} in"), f"{deep} in", name="square")
    cubic = side * side * deep
    return Question(
        "square",
        f"A pan is {side} inches square inside and {deep} inches deep with upright walls. How much "
        f"does it hold to the brim? (One cubic inch is {_CUBIC_INCH} ml.)",
        pan.capacity,
        ("ml", "cups"),
        "Length × width × depth gives cubic inches; then turn those into millilitres.",
        f"{side} × {side} × {deep} = {cubic} cubic inches; {cubic} × {_CUBIC_INCH} = "
        f"{pan.capacity.m_as('ml'):,.0f} ml, {say_fraction(pan.capacity.m_as('cup'))} cups.",
        (
            Slip(Q(cubic, "ml"), "Those are cubic inches. Multiply by 16.387 for millilitres."),
            Slip(
                Q(side * side * _CUBIC_INCH, "ml"),
                f"That is one inch deep. The pan is {_WORDS[deep]}.",
            ),
        ),
    )


def _wells(kit, numbers: Numbers) -> Question:
    base = kit.recipes["carrot-oat-base"]
    well = next(pan for pan in kit.pans.values() if pan.kind == "muffin")
    batches, fill = numbers.pick("batter and fill", (1, 2 / 3), list(product(_BATCHES, _FILLS)))
    full, free = _FILLS[fill]
    batter, one = base.volume * batches, well.capacity * fill
    wells = (batter / one).m_as("")
    share = say_fraction(fill)
    return Question(
        "wells",
        f"{_BATCHES[batches]} is {say_both(batter)}. A muffin well holds "
        f"{say_both(well.capacity)} to the brim and is filled {full}. About how many wells "
        "does the batter fill?",
        Q(wells, "each"),
        ("wells",),
        f"First find what goes into one well: {full} of what it holds.",
        f"{share} × {well.capacity.m_as('ml'):.0f} = {one.m_as('ml'):.0f} ml a well; "
        f"{batter.m_as('ml'):.0f} ÷ {one.m_as('ml'):.0f} = {wells:.1f}.",
        (
            Slip(
                Q(wells * fill, "each"),
                f"That fills them to the brim. Leave {free} of each free to rise.",
            ),
        ),
        right=0.05,
        nearly=0.12,
    )
