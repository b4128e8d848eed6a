"""Questions of lesson 05: unit price, edible yield, a serving.

Textbook sums with their own figures, so that no price of the tables can make them stale.
"""

from __future__ import annotations

from kitchenkit.exercises.numbers import Numbers
from kitchenkit.exercises.question import Question, Slip
from kitchenkit.language import num, tr
from kitchenkit.units import Q


def ask(kit, numbers: Numbers) -> list[Question]:
    """The lesson's questions with these numbers."""
    return [_unit_price(numbers), _yield(numbers), _serving(numbers)]


def _cents(value: float):
    return Q(value, "dimensionless")


def _unit_price(numbers: Numbers) -> Question:
    ounces = numbers.pick("ounces", 18, (12, 14, 16, 20, 24, 28, 32))
    cents = numbers.pick("cents", 186, range(150, 400))
    return Question(
        "unit-price",
        tr(
            "A box of {ounces} oz costs {cents} cents. What does one ounce cost?",
            ounces=ounces,
            cents=cents,
        ),
        _cents(cents / ounces),
        ("cents",),
        tr("Divide the price by the number of ounces."),
        tr(
            "{cents} ÷ {ounces} = {result} cents an ounce.",
            cents=cents,
            ounces=ounces,
            result=num(cents / ounces, ".2f"),
        ),
        (Slip(_cents(ounces / cents), tr("That is ounces for a cent. Turn the fraction over.")),),
    )


def _yield(numbers: Numbers) -> Question:
    tenths = numbers.pick("tenths of a cent", 106, range(60, 160))
    percent = numbers.pick("percent", 75, (60, 65, 70, 75, 80, 85, 90))
    paid, share = tenths / 10, percent / 100
    return Question(
        "yield",
        tr(
            "Carrots cost {paid} cents an ounce as bought, and {percent} % of them is left once "
            "they are peeled and trimmed. What does an ounce that you can use cost?",
            paid=num(paid, "g"),
            percent=percent,
        ),
        _cents(paid / share),
        ("cents",),
        tr("You pay for the peel too: divide by the share that is left."),
        tr(
            "{paid} ÷ {share} = {result} cents an ounce.",
            paid=num(paid, "g"),
            share=num(share, ".2f"),
            result=num(paid / share, ".1f"),
        ),
        (
            Slip(
                _cents(paid * share),
                tr("That is less than you paid. What is thrown away makes the rest dearer."),
            ),
            Slip(
                _cents(paid * (2 - share)),
                tr("You added the share that is thrown away. Divide by the share that is left."),
            ),
        ),
        right=min(0.02, (1 - share) ** 2 / 3),  # a third of the way to that slip, which lies close
    )


def _serving(numbers: Numbers) -> Question:
    cents = numbers.pick("batch", 294, range(220, 480))
    pieces = numbers.pick("pieces", 16, (12, 16, 18, 20, 24))
    return Question(
        "serving",
        tr(
            "A batch costs {cents} cents and is cut into {pieces} pieces. What does one piece "
            "cost?",
            cents=cents,
            pieces=pieces,
        ),
        _cents(cents / pieces),
        ("cents",),
        tr("Divide the batch by the pieces, and round last."),
        tr(
            "{cents} ÷ {pieces} = {result}, about {whole} cents.",
            cents=cents,
            pieces=pieces,
            result=num(cents / pieces, ".3f"),
            whole=num(cents / pieces),
        ),
        (Slip(_cents(pieces / cents), tr("That is pieces for a cent. Turn the fraction over.")),),
        right=max(0.02, 0.5 * pieces / cents),  # to the whole cent, as the working ends
    )
