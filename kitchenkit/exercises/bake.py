"""Questions of lesson 04: carrying a known bake over, and two racks at once."""

from __future__ import annotations

from itertools import product

from kitchenkit.baking import bake_time
from kitchenkit.exercises.numbers import Numbers
from kitchenkit.exercises.question import Question, Slip
from kitchenkit.units import Q

_WORDS = {4: "four", 5: "five", 6: "six", 7: "seven", 8: "eight", 9: "nine", 10: "ten"}


def ask(kit, numbers: Numbers) -> list[Question]:
    """The lesson's questions with these numbers."""
    return [_carry_over(kit, numbers), _racks(numbers)]


def _carry_over(kit, numbers: Numbers) -> Question:
    loaf, square = kit.pans["loaf-8.5x4.5"], kit.pans["square-8"]
    volumes = (480, 500, 520, 540, 560, 580, 600)
    ml, slower = numbers.pick("batter and oven", (535, 6), list(product(volumes, _WORDS)))
    batter = Q(ml, "ml")
    model = round(bake_time(loaf, batter).minutes.m_as("min"))
    other = round(bake_time(square, batter).minutes.m_as("min"))
    yours = model + slower
    carried = other * yours / model
    return Question(
        "carry-over",
        f"The model says {model} min for your loaf, and your oven took {yours}. For the same "
        f"batter in the {square.name} it says {other} min. What will your oven take?",
        Q(carried, "minute"),
        ("min", "hours"),
        "Find how many times the model's minutes your oven takes; take as many times these.",
        f"{yours} ÷ {model} = {yours / model:.2f}; {yours / model:.2f} × {other} = "
        f"{carried:.0f} min.",
        (
            Slip(
                Q(other + slower, "minute"),
                f"You added the {_WORDS[slower]} minutes. A short bake is slowed by less: use the "
                "ratio.",
            ),
            Slip(
                Q(other * model / yours, "minute"),
                "Your oven is slower than the model, so it takes more, not less.",
            ),
        ),
        right=0.025,
    )


def _racks(numbers: Numbers) -> Question:
    one = numbers.pick("one rack", 20, range(17, 31))
    both = one * 11 / 10
    return Question(
        "racks",
        f"One rack of muffins takes {one} min. You bake two racks at once, and each further rack "
        "stretches the time by a tenth. What is the likeliest time?",
        Q(both, "minute"),
        ("min",),
        f"A tenth of {one} minutes is added for the second rack.",
        f"{one} min × 1.1 = {both:.3g} min. Swap the racks and turn the pans half-way.",
        (Slip(Q(2 * one, "minute"), "Two racks bake at the same time: do not double it."),),
    )
