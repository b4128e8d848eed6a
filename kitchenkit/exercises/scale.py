"""Questions of lesson 02: the factor, and using up what there is."""

from __future__ import annotations

from kitchenkit.exercises.numbers import Numbers
from kitchenkit.exercises.question import Question, Slip
from kitchenkit.language import num, tr
from kitchenkit.units import Q


def ask(kit, numbers: Numbers) -> list[Question]:
    """The lesson's questions with these numbers."""
    base = kit.recipes["carrot-oat-base"]
    return [_factor(base, numbers), _use_up(base, numbers)]


def _factor(base, numbers: Numbers) -> Question:
    wanted = numbers.pick("pieces", 40, (20, 24, 28, 36, 40, 44, 50, 60, 72))
    return Question(
        "factor",
        tr(
            "The base batter makes {servings} pieces and you want {wanted}. "
            "How many times the recipe is that?",
            servings=num(base.servings),
            wanted=wanted,
        ),
        Q(wanted / base.servings, "dimensionless"),
        ("times",),
        tr("Divide what you want by what you have."),
        f"{wanted} ÷ {num(base.servings)} = {num(wanted / base.servings, '.3g')}.",
        (
            Slip(
                Q(base.servings / wanted, "dimensionless"),
                tr("That is the fraction turned over: divide what you want by what you have."),
            ),
        ),
    )


def _use_up(base, numbers: Numbers) -> Question:
    carrot = Q(numbers.pick("carrot", 700, (400, 450, 500, 550, 600, 650, 700, 750, 800)), "g")
    flour, has = base.line("all-purpose flour").weight, base.line("shredded carrot").weight
    factor = (carrot / has).m_as("")
    return Question(
        "use-up",
        tr(
            "You have {carrot} g of shredded carrot to use up. The recipe takes {has} g of it with "
            "{flour} g of flour. How much flour goes with all the carrot?",
            carrot=num(carrot.m_as("g"), ".0f"),
            has=num(has.m_as("g"), ".0f"),
            flour=num(flour.m_as("g"), ".1f"),
        ),
        flour * factor,
        ("g", "oz", "lb"),
        tr("Find how many times the recipe's carrot you have, and take as many times its flour."),
        tr(
            "{carrot} ÷ {has} = {factor} times",
            carrot=num(carrot.m_as("g"), ".0f"),
            has=num(has.m_as("g"), ".0f"),
            factor=num(factor, ".3f"),
        )
        + f"; {num(factor, '.3f')} × {num(flour.m_as('g'), '.1f')} g = "
        f"{num((flour * factor).m_as('g'), '.0f')} g.",
        (
            Slip(
                flour / factor,
                tr("You divided by the factor. More carrot wants more flour: multiply."),
            ),
        ),
    )
