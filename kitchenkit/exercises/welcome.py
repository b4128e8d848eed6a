"""Questions of lesson 00: how many times the recipe."""

from __future__ import annotations

from itertools import product

from kitchenkit.exercises.numbers import Numbers
from kitchenkit.exercises.question import Question, Slip
from kitchenkit.units import Q


def ask(kit, numbers: Numbers) -> list[Question]:
    """The lesson's questions with these numbers."""
    base = kit.recipes["carrot-oat-base"]
    classes = list(product((12, 14, 16, 18, 20, 22, 24), (2, 3, 4, 5)))
    students, each = numbers.pick("students and pieces", (16, 3), classes)
    pieces = students * each
    return [
        Question(
            "times",
            f"{students} students each take home {each} pieces. The base batter as written makes "
            f"{base.servings:.0f}. How many times the recipe do they need?",
            Q(pieces / base.servings, "dimensionless"),
            ("times",),
            "First count the pieces, then see how often one batter goes into them.",
            f"{students} × {each} = {pieces} pieces; {pieces} ÷ {base.servings:.0f} = "
            f"{pieces / base.servings:.4g}.",
            (
                Slip(
                    Q(students / base.servings, "dimensionless"),
                    f"That feeds each student one piece. They take {each} each.",
                ),
                Slip(
                    Q(base.servings / pieces, "dimensionless"),
                    "That is the fraction turned over: divide what you want by what you have.",
                ),
            ),
        )
    ]
