"""Questions whose answers are worked out from the same kit: one module a lesson.

A lesson's module has ``ask(kit, numbers)``, which gives its questions. What differs from learner to
learner it takes by ``numbers.pick(name, usual, choices)``.
"""

from __future__ import annotations

from collections.abc import Callable

from kitchenkit.errors import KitchenError
from kitchenkit.exercises import bake, cost, flavours, freezer, measure, pans, plan, scale, welcome
from kitchenkit.exercises.numbers import Numbers, code_word
from kitchenkit.exercises.question import UNITS, Question, Slip, Verdict

__all__ = ["LESSONS", "UNITS", "Question", "Slip", "Verdict", "code_word", "questions"]

# In teaching order.
LESSONS: dict[str, Callable[..., list[Question]]] = {
    "00-welcome": welcome.ask,
    "01-measure": measure.ask,
    "02-scale": scale.ask,
    "03-pans": pans.ask,
    "04-bake": bake.ask,
    "05-cost": cost.ask,
    "06-flavours": flavours.ask,
    "07-freezer": freezer.ask,
    "08-plan": plan.ask,
}


def questions(kit, lesson: str, seed: int | str | None = None) -> list[Question]:
    """The questions of a lesson, worked out from this kit.

    Parameters
    ----------
    kit : Kit
    lesson : str
        Such as ``"01-measure"``.
    seed : int or str, optional
        A number, or a learner's name or code word: the same one always gives the same numbers,
        however it is capitalised. When left out or empty, the numbers are the class's common ones.

    Returns
    -------
    list of Question

    Raises
    ------
    KitchenError
        If there is no such lesson.
    """
    if lesson not in LESSONS:
        raise KitchenError(f"No lesson {lesson!r} has questions. They are: {', '.join(LESSONS)}.")
    return LESSONS[lesson](kit, Numbers(lesson, seed))
