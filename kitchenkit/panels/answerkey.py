"""The answer key for the instructor: every question with its answer, working and usual slips."""

from __future__ import annotations

import html
import math

import ipywidgets as widgets

from kitchenkit.errors import KitchenError
from kitchenkit.exercises import LESSONS, UNITS, Question, code_word, questions
from kitchenkit.panels.base import STYLE, table_html
from kitchenkit.panels.controls import dropdown, text
from kitchenkit.panels.progress import lesson_title

_HEADINGS = ["question", "what is asked", "answer", "working", "usual slips"]


class AnswerKey(widgets.VBox):
    """All answers, for the class's numbers or for those of a learner whose name is typed.

    Parameters
    ----------
    kit : Kit
    """

    def __init__(self, kit):
        self.kit = kit
        self.name = text("A learner's name, as they typed it; empty: the class's numbers", "")
        lessons = [("all lessons", ""), *((lesson_title(name), name) for name in LESSONS)]
        self.lesson = dropdown("Lesson", lessons, "")
        self._key = widgets.HTML()
        super().__init__([widgets.HTML(STYLE), self.name, self.lesson, self._key])
        self.add_class("kk-panel")
        for control in (self.name, self.lesson):
            control.observe(lambda _: self.refresh(), names="value")
        self.refresh()

    def refresh(self) -> None:
        """Show the key that the controls ask for."""
        chosen = [self.lesson.value] if self.lesson.value else list(LESSONS)
        self._key.value = self._page(chosen, self.name.value)

    def _page(self, lessons: list[str], name: str) -> str:
        whose = f"the numbers of {name.strip()}" if code_word(name) else "the class's numbers"
        page = f'<p class="kk-say" role="status">Answers for {html.escape(whose)}.</p>'
        for lesson in lessons:
            page += f'<p class="kk-title">{lesson_title(lesson)}</p>'
            try:
                rows = [_row(question) for question in questions(self.kit, lesson, name)]
                page += table_html(_HEADINGS, rows)
            except KitchenError as error:
                page += f'<p class="kk-wrong">{html.escape(str(error))}</p>'
        return page

    def __repr__(self) -> str:
        told = []
        for lesson in LESSONS:
            told += [f"{lesson}, {q.key}: {_answers(q)}" for q in questions(self.kit, lesson)]
        return "\n".join(told)

    def _repr_mimebundle_(self, **kwargs):
        bundle = super()._repr_mimebundle_(**kwargs)
        still = f'{STYLE}<div class="kk-panel">{self._page(list(LESSONS), "")}</div>'
        return bundle | {"text/plain": repr(self), "text/html": still}


def _row(question: Question) -> list[str]:
    slips = [
        f"{_amount(slip.answer, question.units[0])}: {slip.say}"
        for slip in question.slips
        if slip.answer.check(question.answer.dimensionality)
    ]
    key = question.key.replace("-", " ")
    return [key, question.ask, _answers(question), question.working, " ".join(slips)]


def _answers(question: Question) -> str:
    """The answer in every unit that the box offers."""
    return " or ".join(_amount(question.answer, unit) for unit in question.units)


def _amount(quantity, unit: str) -> str:
    """Four digits' worth of it, as nobody measures finer."""
    value = quantity.m_as(UNITS[unit])
    digits = max(0, 3 - math.floor(math.log10(abs(value)))) if value else 0
    said = f"{value:,.{digits}f}"
    return f"{said.rstrip('0').rstrip('.') if '.' in said else said} {unit}"
