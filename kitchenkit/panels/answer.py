"""The answer box: a question, a number with its unit, help in steps, and what became of it."""

from __future__ import annotations

import html
import time
from collections.abc import Callable
from dataclasses import replace

import ipywidgets as widgets

from kitchenkit.errors import KitchenError
from kitchenkit.exercises import Question, questions
from kitchenkit.language import listen, tr
from kitchenkit.panels.base import STYLE, close, page_text, spoken
from kitchenkit.panels.controls import dropdown, text
from kitchenkit.panels.pieces import Frame, abreast, button, messages, passage, stacked
from kitchenkit.progress import Answered, own_progress

# A sign and a word, so that colour is never the only one.
_SIGNS = {"right": "✓", "nearly": "≈", "again": "↻"}
_TRIES_FIRST = 2  # before the answer is shown
_ENTER_LASTS = 1.0  # seconds; the text that went with Enter comes at once


class AnswerBox(Frame):
    """One question with its box; Enter or Check answers.

    Parameters
    ----------
    question : Question
    record : Answered, optional
        What became of it before: the box comes back as it was left.
    keep : callable, optional
        Takes the new `Answered` at every answer and every step of help, and returns what the
        learner must know about keeping it, or ``""``; may raise `KitchenError`.
    notice : str
        What the learner must know from the start.
    anew : callable, optional
        Gives the question in the language in use; without it, only the box around it follows.
    """

    def __init__(
        self,
        question: Question,
        record: Answered | None = None,
        keep: Callable[[Answered], str] | None = None,
        notice: str = "",
        anew: Callable[[], Question] | None = None,
    ):
        self.question = question
        self.record = record or Answered("", question.key)
        self._keep = keep
        self._anew = anew
        self.verdict = None
        unit = self.record.unit if self.record.unit in question.units else question.units[0]
        super().__init__(self._parts(self.record.typed, unit))
        if self.record.state:
            self._judge()
        self._show_help()
        self._warn(notice)
        # Enter or Check judges, and leaving the box does not: the unit may still be to choose. The
        # browser tells of Enter first, and of the text that went with it after.
        self._entered = float("-inf")
        self._before_enter = self.record
        listen(self)

    def _parts(self, typed: str, unit: str) -> list[widgets.Widget]:
        """All that is shown, made in the language in use."""
        self.answer = text(tr("Your answer"), typed)
        offered = [(tr(unit), unit) for unit in self.question.units]
        self.unit = dropdown(tr("Unit"), offered, unit)
        self._said = messages()
        self._help = messages()
        self._kept = messages()
        self._check = self._button(tr("Check"), self.check)
        self._more = self._button(tr("Hint"), self.help)
        self._show = self._button(tr("Show the answer"), self.show_answer)
        fields = stacked([self.answer, self.unit, abreast([self._check, self._more, self._show])])
        ask = passage(self._ask_html())
        self.answer.on_msg(self._on_message)
        self.answer.observe(self._on_text, names="value")
        self.unit.observe(lambda _: self._clear(), names="value")
        return [passage(STYLE), ask, fields, self._said, self._help, self._kept]

    def retell(self) -> None:
        """Ask anew, in another language, with what was typed as it stands."""
        if self._anew is not None:
            self.question = self._anew()
        judged, kept, was = self._said.value, self._kept.value, self.children
        self.children = self._parts(self.answer.value, self.unit.value)
        for gone in was:
            close(gone)
        if judged:
            self._judge()
        self._show_help()
        self._kept.value = kept

    @staticmethod
    def _button(name: str, action: Callable[[], None]) -> widgets.Button:
        made = button(name)
        made.on_click(lambda _: action())
        return made

    def _on_message(self, _, content: dict, __) -> None:
        if content.get("event") == "submit":
            self._before_enter = self.record
            self._entered = time.monotonic()
            self.check()

    def _on_text(self, _) -> None:
        if time.monotonic() - self._entered < _ENTER_LASTS:
            self.record = self._before_enter  # what was judged was not yet what was typed
            self.check()
        else:
            self._clear()
        self._entered = float("-inf")

    def _clear(self) -> None:
        self.verdict = None
        self._said.value = ""

    # What a learner does -----------------------------------------------------------------------

    def check(self) -> None:
        """Judge what stands in the box, say so under it, and keep it."""
        if self._judge():
            typed, unit = self.answer.value, self.unit.value
            self._remember(self.record.answered(typed, unit, self.verdict.state))
        self._show_help()

    def help(self) -> None:
        """One more step of help: the hint, how the working begins, all of it but the answer."""
        if self.record.hints < len(self._steps()):
            self._remember(replace(self.record, hints=self.record.hints + 1))
        self._show_help()

    def show_answer(self) -> None:
        """The whole working with the answer, once two tries were made."""
        if self._may_be_shown() and not self.record.shown:
            self._remember(replace(self.record, shown=True))
        self._show_help()

    # Inside ------------------------------------------------------------------------------------

    def _judge(self) -> bool:
        try:
            self.verdict = self.question.check(self.answer.value, self.unit.value)
        except KitchenError as error:
            self.verdict = None
            self._say(tr("Look again:"), str(error))
            return False
        self._say(_SIGNS[self.verdict.state], self.verdict.say)
        return True

    def _may_be_shown(self) -> bool:
        return self.record.tries >= _TRIES_FIRST or self.record.solved

    def _steps(self) -> list[tuple[str, str, str]]:
        """Each step of help: what its button says, its heading and its words."""
        question = self.question
        steps = [
            (tr("Hint"), tr("Hint:"), question.hint),
            (tr("Show the first step"), tr("First step:"), question.first_step),
        ]
        if question.steps_count > 1:
            steps.append((tr("Show the working"), tr("Working:"), question.covered_working))
        return steps

    def _show_help(self) -> None:
        steps, given = self._steps(), self.record.hints
        shown = [(heading, words) for _, heading, words in steps[:given]]
        shown += [(tr("Answer:"), self.question.working)] if self.record.shown else []
        items = "".join(
            f"<li><strong>{heading}</strong> {html.escape(words)}</li>" for heading, words in shown
        )
        self._help.value = (
            f'<div class="kk-care" role="status"{spoken()}><ul>{items}</ul></div>' if items else ""
        )
        more = given < len(steps)
        self._more.description = steps[given][0] if more else tr("No more hints")
        self._more.disabled = not more
        self._show.disabled = not self._may_be_shown()
        self._show.tooltip = "" if self._may_be_shown() else tr("After two tries of your own")

    def _remember(self, record: Answered) -> None:
        self.record = record
        if self._keep is not None:
            try:
                self._warn(self._keep(record))
            except KitchenError as error:
                self._warn(tr("This answer is not kept. {error}", error=error))

    def _warn(self, words: str) -> None:
        style = "overflow-wrap:anywhere"  # the path of a file has no spaces to break at
        self._kept.value = (
            f'<p class="kk-wrong" role="alert"{spoken()} style="{style}">{html.escape(words)}</p>'
            if words
            else ""
        )

    def _ask_html(self) -> str:
        return f'<p class="kk-say"{spoken()}>{page_text(self.question.ask)}</p>'

    def _say(self, sign: str, words: str) -> None:
        self._said.value = (
            f'<p class="kk-say" role="status"{spoken()}>'
            f"<strong>{sign}</strong> {html.escape(words)}</p>"
        )

    def __repr__(self) -> str:
        return tr("Question: {ask}", ask=self.question.ask)

    def _repr_mimebundle_(self, **kwargs):
        bundle = super()._repr_mimebundle_(**kwargs)
        still = f'{STYLE}<div class="kk-panel">{self._ask_html()}</div>'
        return bundle | {"text/plain": repr(self), "text/html": still}


def ask(kit, lesson: str, key: str) -> AnswerBox:
    """The box of one question of a lesson, e.g. ``ask(kit, "01-measure", "oats")``.

    In a learner's own folder it takes the numbers they chose, comes back as they left it, and
    keeps what they answer.

    Parameters
    ----------
    kit : Kit
    lesson, key : str

    Returns
    -------
    AnswerBox

    Raises
    ------
    KitchenError
        If there is no such lesson or question.
    """
    file, numbers, notice, answers = own_progress(), "", "", {}
    if file is not None:
        try:
            progress, notice = file.read()
            numbers, answers = progress.numbers, progress.answers
        except KitchenError as error:
            file, notice = None, str(error)

    def anew() -> dict[str, Question]:
        return {question.key: question for question in questions(kit, lesson, numbers)}

    found = anew()
    if key not in found:
        raise KitchenError(f"{lesson} has no question {key!r}. It has: {', '.join(found)}.")
    blank = Answered(lesson, key, numbers)
    record = answers.get(blank.place, blank)
    put = file.put if file is not None else None
    return AnswerBox(found[key], record, put, notice, lambda: anew()[key])
