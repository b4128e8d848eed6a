"""Questions of lesson 02: the factor, and using up what there is."""

from __future__ import annotations

from kitchenkit.exercises.numbers import Numbers
from kitchenkit.exercises.question import Question, Slip
from kitchenkit.units import Q


def ask(kit, numbers: Numbers) -> list[Question]:
    """The lesson's questions with these numbers."""
    base = kit.recipes["carrot-oat-base"]
    return [_factor(base, numbers), _use_up(base, numbers)]


def _factor(base, numbers: Numbers) -> Question:
    wanted = numbers.pick("pieces", 40, (20, 24, 28, 36, 40, 44, 50, 60, 72))
    return Question(
        "factor",
        f"The base batter makes {base.servings:.0f} pieces and you want {wanted}. "
        "How many times the recipe is that?",
        Q(wanted / base.servings, "dimensionless"),
        ("times",),
        "Divide what you want by what you have.",
        f"{wanted} ÷ {base.servings:.0f} = {wanted / base.servings:.3g}.",
        (
            Slip(
                Q(base.servings / wanted, "dimensionless"),
                "That is the fraction turned over: divide what you want by what you have.",
            ),
        ),
    )


def _use_up(base, numbers: Numbers) -> Question:
    carrot = Q(numbers.pick("carrot", 700, (400, 450, 500, 550, 600, 650, 700, 750, 800)), "g")
    flour, has = base.line("all-purpose flour").weight, base.line("shredded carrot").weight
    factor = (carrot / has).m_as("")
    return Question(
        "use-up",
        f"You have {carrot.m_as('g'):.0f} g of shredded carrot to use up. The recipe takes "
        f"{has.m_as('g'):.0f} g of it with {flour.m_as('g'):.1f} g of flour. How much flour "
        "goes with all the carrot?",
        flour * factor,
        ("g", "oz", "lb"),
        "Find how many times the recipe's carrot you have, and take as many times its flour.",
        f"{carrot.m_as('g'):.0f} ÷ {has.m_as('g'):.0f} = {factor:.3f} times; {factor:.3f} × "
        f"{flour.m_as('g'):.1f} g = {(flour * factor).m_as('g'):.0f} g.",
        (
            Slip(
                flour / factor,
                "You divided by the factor. More carrot wants more flour: multiply.",
            ),
        ),
    )
