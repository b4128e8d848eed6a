"""Questions of lesson 01: what cups weigh, and packing."""

from __future__ import annotations

from itertools import product

from kitchenkit.exercises.numbers import Numbers
from kitchenkit.exercises.question import Question, Slip
from kitchenkit.saying import say_fraction
from kitchenkit.units import Q, read_number

_WATER = 236.5882  # g: what a US cup of water weighs, near enough
_SUGAR = (1 / 4, 1 / 3, 1 / 2, 2 / 3, 3 / 4, 5 / 4, 4 / 3, 3 / 2, 5 / 3, 7 / 4)  # cups
_PARTS = {"1/4": "a quarter of a cup", "1/2": "half a cup", "3/4": "three quarters of a cup"}


def ask(kit, numbers: Numbers) -> list[Question]:
    """The lesson's questions with these numbers."""
    return [_oats(kit, numbers), _packing(kit, numbers)]


def _oats(kit, numbers: Numbers) -> Question:
    oats = kit.ingredients["rolled oats"]
    whole, part = numbers.pick("oats", (2, "1/2"), list(product(range(1, 6), _PARTS)))
    cup, cups = oats.weight("1 cup"), f"{whole} {part} cups"
    count = read_number(f"{whole} {part}")
    return Question(
        "oats",
        f"One cup of rolled oats weighs {cup.m_as('g'):.0f} g. A batter wants {cups}. "
        "What do they weigh?",
        oats.weight(cups),
        ("g", "oz"),
        "Multiply the weight of one cup by the number of cups.",
        f"{count:g} × {cup.m_as('g'):.0f} g = {oats.weight(cups).m_as('g'):.1f} g.",
        (
            Slip(
                oats.weight(f"{whole} cups"),
                f"That is {whole} {'cup' if whole == 1 else 'cups'}. There is {_PARTS[part]} more.",
            ),
            Slip(
                Q(count * _WATER, "g"),
                "That is what water would weigh. Oats are lighter: use what their cup weighs.",
            ),
        ),
    )


def _packing(kit, numbers: Numbers) -> Question:
    packed, loose = kit.ingredients["brown sugar, packed"], kit.ingredients["brown sugar, unpacked"]
    cups = numbers.pick("sugar, cups", 2 / 3, _SUGAR)
    said, cup = say_fraction(cups), "1 cup"
    wanted, of_one = (f"{said} cup", f"{said} of one") if cups < 1 else (f"{said} cups",) * 2
    more = packed.weight(Q(cups, "cup")) - loose.weight(Q(cups, "cup"))
    return Question(
        "packing",
        f"A packed cup of brown sugar weighs {packed.weight(cup).m_as('g'):.0f} g, a loose "
        f"one {loose.weight(cup).m_as('g'):.0f} g. A recipe wants {wanted} "
        "packed and you pour it loose. How much sugar is missing?",
        more,
        ("g", "oz"),
        f"Work out {said} of each cup, then take one from the other.",
        f"{said} × ({packed.weight(cup).m_as('g'):.0f} − "
        f"{loose.weight(cup).m_as('g'):.0f}) g = {more.m_as('g'):.0f} g.",
        (
            Slip(
                packed.weight(cup) - loose.weight(cup),
                f"That is for a whole cup. The recipe wants {of_one}.",
            ),
        ),
    )
