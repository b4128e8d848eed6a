"""The answer box: a question, a number with its unit, and what became of it."""

from __future__ import annotations

import html

import ipywidgets as widgets

from kitchenkit.errors import KitchenError
from kitchenkit.exercises import Question, questions
from kitchenkit.panels.base import STYLE, page_text
from kitchenkit.panels.controls import dropdown, text

# A sign and a word, so that colour is never the only one.
_SIGNS = {"right": "✓", "nearly": "≈", "again": "↻"}


class AnswerBox(widgets.VBox):
    """One question with its box; Enter or Check answers.

    Parameters
    ----------
    question : Question
    """

    def __init__(self, question: Question):
        self.question = question
        self.verdict = None
        self.answer = text("Your answer", "")
        self.unit = dropdown("Unit", list(question.units), question.units[0])
        self._said = widgets.HTML()
        actions = {
            "Check": self.check,
            "Hint": lambda: self._say("Hint:", question.hint),
            "Show the working": lambda: self._say("Working:", question.working),
        }
        buttons = []
        for name, action in actions.items():
            button = widgets.Button(description=name)
            button.on_click(lambda _, action=action: action())
            buttons.append(button)
        fields = widgets.VBox([self.answer, self.unit, widgets.HBox(buttons)])
        ask = widgets.HTML(self._ask_html())
        super().__init__([widgets.HTML(STYLE), ask, fields, self._said])
        self.add_class("kk-panel")
        # Enter or Check judges, and leaving the box does not: the unit may still be to choose. The
        # browser tells of Enter first, and of the text that went with it after.
        self._entered = False
        self.answer.on_msg(self._on_message)
        self.answer.observe(self._on_text, names="value")
        self.unit.observe(lambda _: self._clear(), names="value")

    def _on_message(self, _, content: dict, __) -> None:
        if content.get("event") == "submit":
            self._entered = True
            self.check()

    def _on_text(self, _) -> None:
        if self._entered:
            self.check()
        else:
            self._clear()
        self._entered = False

    def _clear(self) -> None:
        self.verdict = None
        self._said.value = ""

    def check(self) -> None:
        """Judge what stands in the box and say so under it."""
        try:
            self.verdict = self.question.check(self.answer.value, self.unit.value)
        except KitchenError as error:
            self.verdict = None
            self._say("Look again:", str(error))
            return
        self._say(_SIGNS[self.verdict.state], self.verdict.say)

    def _ask_html(self) -> str:
        return f'<p class="kk-say">{page_text(self.question.ask)}</p>'

    def _say(self, sign: str, words: str) -> None:
        self._said.value = (
            f'<p class="kk-say" role="status"><strong>{sign}</strong> {html.escape(words)}</p>'
        )

    def __repr__(self) -> str:
        return f"Question: {self.question.ask}"

    def _repr_mimebundle_(self, **kwargs):
        bundle = super()._repr_mimebundle_(**kwargs)
        still = f'{STYLE}<div class="kk-panel">{self._ask_html()}</div>'
        return bundle | {"text/plain": repr(self), "text/html": still}


def ask(kit, lesson: str, key: str) -> AnswerBox:
    """The box of one question of a lesson, e.g. ``ask(kit, "01-measure", "oats")``.

    Raises
    ------
    KitchenError
        If there is no such lesson or question.
    """
    found = {question.key: question for question in questions(kit, lesson)}
    if key not in found:
        raise KitchenError(f"{lesson} has no question {key!r}. It has: {', '.join(found)}.")
    return AnswerBox(found[key])
