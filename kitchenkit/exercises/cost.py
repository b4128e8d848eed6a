"""Questions of lesson 05: unit price, edible yield, a serving.

Textbook sums with their own figures, so that no price of the tables can make them stale.
"""

from __future__ import annotations

from kitchenkit.exercises.numbers import Numbers
from kitchenkit.exercises.question import Question, Slip
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
        f"A box of {ounces} oz costs {cents} cents. What does one ounce cost?",
        _cents(cents / ounces),
        ("cents",),
        "Divide the price by the number of ounces.",
        f"{cents} ÷ {ounces} = {cents / ounces:.2f} cents an ounce.",
        (Slip(_cents(ounces / cents), "That is ounces for a cent. Turn the fraction over."),),
    )


def _yield(numbers: Numbers) -> Question:
    tenths = numbers.pick("tenths of a cent", 106, range(60, 160))
    percent = numbers.pick("percent", 75, (60, 65, 70, 75, 80, 85, 90))
    paid, share = tenths / 10, percent / 100
    return Question(
        "yield",
        f"Carrots cost {paid:g} cents an ounce as bought, and {percent} % of them is left once "
        "they are peeled and trimmed. What does an ounce that you can use cost?",
        _cents(paid / share),
        ("cents",),
        "You pay for the peel too: divide by the share that is left.",
        f"{paid:g} ÷ {share:.2f} = {paid / share:.1f} cents an ounce.",
        (
            Slip(
                _cents(paid * share),
                "That is less than you paid. What is thrown away makes the rest dearer.",
            ),
        ),
    )


def _serving(numbers: Numbers) -> Question:
    cents = numbers.pick("batch", 294, range(220, 480))
    pieces = numbers.pick("pieces", 16, (12, 16, 18, 20, 24))
    return Question(
        "serving",
        f"A batch costs {cents} cents and is cut into {pieces} pieces. What does one piece cost?",
        _cents(cents / pieces),
        ("cents",),
        "Divide the batch by the pieces, and round last.",
        f"{cents} ÷ {pieces} = {cents / pieces:.3f}, about {cents / pieces:.0f} cents.",
        (Slip(_cents(pieces / cents), "That is pieces for a cent. Turn the fraction over."),),
    )
