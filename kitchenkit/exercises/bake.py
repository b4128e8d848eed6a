"""Questions of lesson 04: carrying a known bake over, and two racks at once."""

from __future__ import annotations

from itertools import product

from kitchenkit.baking import bake_time
from kitchenkit.exercises.numbers import Numbers
from kitchenkit.exercises.question import Question, Slip
from kitchenkit.language import mark, num, tr
from kitchenkit.units import Q

_WORDS = {
    4: mark("four"),
    5: mark("five"),
    6: mark("six"),
    7: mark("seven"),
    8: mark("eight"),
    9: mark("nine"),
    10: mark("ten"),
}


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
    values = {"model": num(model, "d"), "yours": num(yours, "d"), "other": num(other, "d")}
    ratio = num(yours / model, ".2f")
    return Question(
        "carry-over",
        tr(
            "The model says {model} min for your loaf, and your oven took {yours}. For the same "
            "batter in the {pan} it says {other} min. What will your oven take?",
            pan=tr(square.name),
            **values,
        ),
        Q(carried, "minute"),
        ("min", "hours"),
        tr("Find how many times the model's minutes your oven takes; take as many times these."),
        f"{yours} ÷ {model} = {ratio}; {ratio} × {other} = {num(carried, '.0f')} min.",
        (
            Slip(
                Q(other + slower, "minute"),
                tr(
                    "You added the {slower} minutes. A short bake is slowed by less: use the "
                    "ratio.",
                    slower=tr(_WORDS[slower]),
                ),
            ),
            Slip(
                Q(other * model / yours, "minute"),
                tr("Your oven is slower than the model, so it takes more, not less."),
            ),
        ),
        right=0.025,
    )


def _racks(numbers: Numbers) -> Question:
    one = numbers.pick("one rack", 20, range(17, 31))
    both = one * 11 / 10
    return Question(
        "racks",
        tr(
            "One rack of muffins takes {one} min. You bake two racks at once, and each further "
            "rack stretches the time by a tenth. What is the likeliest time?",
            one=num(one, "d"),
        ),
        Q(both, "minute"),
        ("min",),
        tr("A tenth of {one} minutes is added for the second rack.", one=num(one, "d")),
        tr(
            "{one} min × {stretch} = {both} min. Swap the racks and turn the pans half-way.",
            one=num(one, "d"),
            stretch=num(1.1, "g"),
            both=num(both, ".3g"),
        ),
        (Slip(Q(2 * one, "minute"), tr("Two racks bake at the same time: do not double it.")),),
    )
