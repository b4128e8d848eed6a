"""The answer key for the instructor: every question with its answer, working and usual slips."""

from __future__ import annotations

import html
import math
from functools import reduce

from kitchenkit import language
from kitchenkit.errors import KitchenError
from kitchenkit.exercises import LESSONS, UNITS, Question, code_word, questions
from kitchenkit.language import as_written, join_or, mark, tr
from kitchenkit.panels.base import STYLE, spoken, table_html
from kitchenkit.panels.controls import dropdown, text
from kitchenkit.panels.pieces import Frame, passage
from kitchenkit.panels.progress import lesson_title, question_name
from kitchenkit.panels.relabel import Labels

_NAME = mark("A learner's name, as they typed it; empty: the class's numbers")


class AnswerKey(Frame):
    """All answers, for the class's numbers or for those of a learner whose name is typed.

    Parameters
    ----------
    kit : Kit
    """

    def __init__(self, kit):
        self.kit = kit
        self._labels, self._busy = Labels(), False
        self.name = self._labels(text(tr(_NAME), ""), _NAME)
        self.lesson = self._labels(dropdown(tr("Lesson"), self._lessons(), ""), mark("Lesson"))
        self._key = passage()
        super().__init__([passage(STYLE), self.name, self.lesson, self._key])
        for control in (self.name, self.lesson):
            control.observe(self._asked, names="value")
        self.refresh()
        language.listen(self)

    @staticmethod
    def _lessons() -> list[tuple[str, str]]:
        return [(tr("all lessons"), ""), *((lesson_title(name), name) for name in LESSONS)]

    def retell(self) -> None:
        """Show the key anew, in another language; what is typed and chosen stays."""
        self._labels.retell()
        chosen, self._busy = self.lesson.value, True
        self.lesson.options = self._lessons()
        self.lesson.value, self._busy = chosen, False
        self.refresh()

    def _asked(self, _) -> None:
        if not self._busy:
            self.refresh()

    def refresh(self) -> None:
        """Show the key that the controls ask for."""
        chosen = [self.lesson.value] if self.lesson.value else list(LESSONS)
        self._key.value = self._page(chosen, self.name.value)

    def _page(self, lessons: list[str], name: str) -> str:
        said = (
            tr("Answers for the numbers of {name}.", name=name.strip())
            if code_word(name)
            else tr("Answers for the class's numbers.")
        )
        page = f'<p class="kk-say" role="status"{spoken()}>{html.escape(said)}</p>'
        headings = [
            *(tr("question"), tr("what is asked"), tr("answer"), tr("working")),
            tr("usual slips"),
        ]
        for lesson in lessons:
            page += f'<p class="kk-title"{spoken()}>{html.escape(lesson_title(lesson))}</p>'
            try:
                rows = [_row(question) for question in questions(self.kit, lesson, name)]
                page += table_html(headings, rows)
            except KitchenError as error:
                page += f'<p class="kk-wrong"{spoken()}>{html.escape(str(error))}</p>'
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
    title = question_name(question.key)
    return [title, question.ask, _answers(question), question.working, " ".join(slips)]


def _answers(question: Question) -> str:
    """The answer in every unit that the box offers."""
    amounts = (_amount(question.answer, unit) for unit in question.units)
    return reduce(lambda some, one: join_or([some, one]), amounts)


def _amount(quantity, unit: str) -> str:
    """Four digits' worth of it, as nobody measures finer."""
    value = quantity.m_as(UNITS[unit])
    digits = max(0, 3 - math.floor(math.log10(abs(value)))) if value else 0
    said = f"{value:,.{digits}f}"
    said = said.rstrip("0").rstrip(".") if "." in said else said
    return f"{as_written(said)} {tr(unit)}"
