"""Questions of lesson 00: how many times the recipe."""

from __future__ import annotations

from itertools import product

from kitchenkit.exercises.numbers import Numbers
from kitchenkit.exercises.question import Question, Slip
from kitchenkit.language import num, tr
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
            tr(
                "{students} students each take home {each} pieces. The base batter as written "
                "makes {servings}. How many times the recipe do they need?",
                students=students,
                each=each,
                servings=num(base.servings),
            ),
            Q(pieces / base.servings, "dimensionless"),
            ("times",),
            tr("First count the pieces, then see how often one batter goes into them."),
            tr("{students} × {each} = {n} pieces", students=students, each=each, n=pieces)
            + f"; {pieces} ÷ {num(base.servings)} = {num(pieces / base.servings, '.4g')}.",
            (
                Slip(
                    Q(students / base.servings, "dimensionless"),
                    tr("That feeds each student one piece. They take {each} each.", each=each),
                ),
                Slip(
                    Q(base.servings / pieces, "dimensionless"),
                    tr("That is the fraction turned over: divide what you want by what you have."),
                ),
            ),
        )
    ]
