"""Questions whose answers are worked out from the same kit: one module a lesson.

A lesson's module has ``ask(kit, numbers)``, which gives its questions. What differs from learner to
learner it takes by ``numbers.pick(name, usual, choices)``.
"""

from __future__ import annotations

from importlib import import_module

from kitchenkit.errors import KitchenError
from kitchenkit.exercises.numbers import Numbers, code_word
from kitchenkit.exercises.question import UNITS, Question, Slip, Verdict

__all__ = ["LESSONS", "UNITS", "Question", "Slip", "Verdict", "code_word", "questions"]

# In teaching order, each with its module, loaded once it is asked for: a lesson needs one of them.
LESSONS = {
    "00-welcome": "welcome",
    "01-measure": "measure",
    "02-scale": "scale",
    "03-pans": "pans",
    "04-bake": "bake",
    "05-cost": "cost",
    "06-flavours": "flavours",
    "07-freezer": "freezer",
    "08-plan": "plan",
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
    return import_module(f"{__name__}.{LESSONS[lesson]}").ask(kit, Numbers(lesson, seed))
