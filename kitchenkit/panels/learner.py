"""A learner's name and numbers, to choose in the welcome lesson."""

from __future__ import annotations

import html

import ipywidgets as widgets

from kitchenkit.errors import KitchenError
from kitchenkit.panels.base import STYLE
from kitchenkit.panels.controls import dropdown, messages, text
from kitchenkit.progress import own_progress

_TITLE = "Your name and your numbers"
_WHY = (
    "Both are optional. A nickname will do. With numbers of your own, everybody's questions ask "
    "the same things with different numbers, so you can work together and not copy."
)
_NOWHERE = (
    "Nothing is kept here, since these are not your own copies of the lessons. The command "
    "python3 -m kitchenkit open makes them."
)


class YourNumbers(widgets.VBox):
    """Asks for a learner's name, and whether the questions take numbers made from it."""

    def __init__(self):
        self._file = own_progress()
        self.name = text("Your name or nickname", "")
        options = [("the class's, the same for all", False), ("my own, made from my name", True)]
        self.own = dropdown("Numbers in the questions", options, False)
        self._button = widgets.Button(description="Keep this")
        self._button.on_click(lambda _: self.keep())
        self._said = messages()
        intro = widgets.HTML(f'<p class="kk-title">{_TITLE}</p><p>{html.escape(_WHY)}</p>')
        row = widgets.HBox([self._button])
        row.layout.padding = "4px"  # room for the ring around the button in use
        super().__init__([widgets.HTML(STYLE), intro, self.name, self.own, row, self._said])
        self.add_class("kk-panel")
        self._start()

    def _start(self) -> None:
        if self._file is None:
            self._button.disabled = True
            self._say(_NOWHERE)
            return
        try:
            progress, notice = self._file.read()
        except KitchenError as error:
            self._say(str(error), wrong=True)
            return
        self.name.value, self.own.value = progress.learner, bool(progress.numbers)
        if notice:
            self._say(notice, wrong=True)
        elif progress.learner or progress.answers:
            self._say(self._kept())

    def keep(self) -> None:
        """Save the name and the choice."""
        try:
            notice = self._file.introduce(self.name.value, self.own.value)
        except KitchenError as error:
            self._say(str(error), wrong=True)
            return
        self._say(f"{notice} {self._kept()}".strip())

    def _kept(self) -> str:
        progress, _ = self._file.read()
        who = progress.learner or "no name"
        whose = "your own numbers" if progress.numbers else "the class's numbers"
        solved = sum(one.solved for one in progress.answers.values())
        so_far = f" Questions answered right so far: {solved}." if progress.answers else ""
        return (
            f"Kept: {who}, {whose}.{so_far} Load each lesson again to see its questions so. "
            f"All of it stays on this computer, in the file {self._file.path}; hand that in if "
            "your teacher asks for it."
        )

    def _say(self, words: str, wrong: bool = False) -> None:
        looks, role = ("kk-wrong", "alert") if wrong else ("kk-care", "status")
        style = "overflow-wrap:anywhere"  # the path of a file has no spaces to break at
        self._said.value = (
            f'<p class="{looks}" role="{role}" style="{style}">{html.escape(words)}</p>'
        )

    def __repr__(self) -> str:
        return f"{_TITLE}. {_WHY}"

    def _repr_mimebundle_(self, **kwargs):
        bundle = super()._repr_mimebundle_(**kwargs)
        still = (
            f'{STYLE}<div class="kk-panel"><p class="kk-title">{_TITLE}</p>'
            f"<p>{html.escape(_WHY)} Run the lesson (the ▶▶ button above) to choose.</p></div>"
        )
        return bundle | {"text/plain": repr(self), "text/html": still}
