"""Questions of lesson 01: what cups weigh, and packing."""

from __future__ import annotations

from itertools import product

from kitchenkit.exercises.numbers import Numbers
from kitchenkit.exercises.question import Question, Slip
from kitchenkit.language import mark, num, tr, trn
from kitchenkit.saying import say_fraction
from kitchenkit.units import Q, read_number

_WATER = 236.5882  # g: what a US cup of water weighs, near enough
_SUGAR = (1 / 4, 1 / 3, 1 / 2, 2 / 3, 3 / 4, 5 / 4, 4 / 3, 3 / 2, 5 / 3, 7 / 4)  # cups
_PARTS = {
    "1/4": mark("There is a quarter of a cup more."),
    "1/2": mark("There is half a cup more."),
    "3/4": mark("There is three quarters of a cup more."),
}


def ask(kit, numbers: Numbers) -> list[Question]:
    """The lesson's questions with these numbers."""
    return [_oats(kit, numbers), _packing(kit, numbers)]


def _oats(kit, numbers: Numbers) -> Question:
    oats = kit.ingredients["rolled oats"]
    whole, part = numbers.pick("oats", (2, "1/2"), list(product(range(1, 6), _PARTS)))
    cup, number = oats.weight("1 cup"), f"{whole} {part}"
    count, weight = read_number(number), oats.weight(f"{number} cups")
    return Question(
        "oats",
        tr(
            "One cup of rolled oats weighs {cup} g. A batter wants {number} cups. "
            "What do they weigh?",
            cup=num(cup.m_as("g"), ".0f"),
            number=number,
        ),
        weight,
        ("g", "oz"),
        tr("Multiply the weight of one cup by the number of cups."),
        f"{num(count, 'g')} × {num(cup.m_as('g'), '.0f')} g = {num(weight.m_as('g'), '.1f')} g.",
        (
            Slip(
                oats.weight(f"{whole} cups"),
                trn("That is {n} cup.", "That is {n} cups.", whole) + " " + tr(_PARTS[part]),
            ),
            Slip(
                Q(count * _WATER, "g"),
                tr("That is what water would weigh. Oats are lighter: use what their cup weighs."),
            ),
        ),
    )


def _packing(kit, numbers: Numbers) -> Question:
    packed, loose = kit.ingredients["brown sugar, packed"], kit.ingredients["brown sugar, unpacked"]
    cups = numbers.pick("sugar, cups", 2 / 3, _SUGAR)
    said, cup = say_fraction(cups), "1 cup"
    wanted = trn("{n} cup", "{n} cups", 1 if cups < 1 else 2, n=said)
    more = packed.weight(Q(cups, "cup")) - loose.weight(Q(cups, "cup"))
    return Question(
        "packing",
        tr(
            "A packed cup of brown sugar weighs {packed} g, a loose one {loose} g. A recipe wants "
            "{wanted} packed and you pour it loose. How much sugar is missing?",
            packed=num(packed.weight(cup).m_as("g"), ".0f"),
            loose=num(loose.weight(cup).m_as("g"), ".0f"),
            wanted=wanted,
        ),
        more,
        ("g", "oz"),
        tr("Work out {share} of each cup, then take one from the other.", share=said),
        f"{said} × ({num(packed.weight(cup).m_as('g'), '.0f')} − "
        f"{num(loose.weight(cup).m_as('g'), '.0f')}) g = {num(more.m_as('g'), '.0f')} g.",
        (
            Slip(
                packed.weight(cup) - loose.weight(cup),
                tr("That is for a whole cup. The recipe wants {share} of one.", share=said)
                if cups < 1
                else tr("That is for a whole cup. The recipe wants {amount}.", amount=wanted),
            ),
        ),
    )
