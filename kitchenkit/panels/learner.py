"""A learner's name and numbers, to choose in the welcome lesson."""

from __future__ import annotations

import html

import ipywidgets as widgets

from kitchenkit.errors import KitchenError
from kitchenkit.language import listen, mark, tr
from kitchenkit.panels.base import STYLE, close, spoken
from kitchenkit.panels.controls import dropdown, text
from kitchenkit.panels.pieces import Frame, abreast, button, messages, passage
from kitchenkit.progress import Progress, own_progress

_TITLE = mark("Your name and your numbers")
_WHY = mark(
    "Both are optional. A nickname will do. With numbers of your own, everybody's questions ask "
    "the same things with different numbers, so you can work together and not copy."
)
_NOWHERE = mark(
    "Nothing is kept here, since these are not your own copies of the lessons. The command "
    "python3 -m kitchenkit open makes them."
)


class YourNumbers(Frame):
    """Asks for a learner's name, and whether the questions take numbers made from it."""

    def __init__(self):
        self._file = own_progress()
        super().__init__(self._parts())
        progress = self._start()
        if progress is not None:
            self.name.value, self.own.value = progress.learner, bool(progress.numbers)
        listen(self)

    def _parts(self) -> list[widgets.Widget]:
        """All that is shown, made in the language in use."""
        self.name = text(tr("Your name or nickname"), "")
        options = [
            (tr("the class's, the same for all"), False),
            (tr("my own, made from my name"), True),
        ]
        self.own = dropdown(tr("Numbers in the questions"), options, False)
        self._button = button(tr("Keep this"))
        self._button.on_click(lambda _: self.keep())
        self._said = messages()
        intro = passage(
            f'<div{spoken()}><p class="kk-title">{html.escape(tr(_TITLE))}</p>'
            f"<p>{html.escape(tr(_WHY))}</p></div>"
        )
        return [passage(STYLE), intro, self.name, self.own, abreast([self._button]), self._said]

    def _start(self) -> Progress | None:
        """Say what is kept, and give it."""
        if self._file is None:
            self._button.disabled = True
            self._say(tr(_NOWHERE))
            return None
        try:
            progress, notice = self._file.read()
        except KitchenError as error:
            self._say(str(error), wrong=True)
            return None
        if notice:
            self._say(notice, wrong=True)
        elif progress.learner or progress.answers:
            self._say(self._kept())
        return progress

    def retell(self) -> None:
        """Ask anew, in another language, with what was typed and chosen as it stands."""
        name, own, was = self.name.value, self.own.value, self.children
        self.children = self._parts()
        self.name.value, self.own.value = name, own
        for gone in was:
            close(gone)
        self._start()

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
        who = progress.learner or tr("no name")
        if progress.numbers:
            said = [tr("Kept: {who}, your own numbers.", who=who)]
        else:
            said = [tr("Kept: {who}, the class's numbers.", who=who)]
        if progress.answers:
            solved = sum(one.solved for one in progress.answers.values())
            said.append(tr("Questions answered right so far: {solved}.", solved=solved))
        said.append(
            tr(
                "Load each lesson again to see its questions so. All of it stays on this computer, "
                "in the file {path}; hand that in if your teacher asks for it.",
                path=self._file.path,
            )
        )
        return " ".join(said)

    def _say(self, words: str, wrong: bool = False) -> None:
        looks, role = ("kk-wrong", "alert") if wrong else ("kk-care", "status")
        style = "overflow-wrap:anywhere"  # the path of a file has no spaces to break at
        self._said.value = (
            f'<p class="{looks}" role="{role}"{spoken()} style="{style}">{html.escape(words)}</p>'
        )

    def __repr__(self) -> str:
        return f"{tr(_TITLE)}. {tr(_WHY)}"

    def _repr_mimebundle_(self, **kwargs):
        bundle = super()._repr_mimebundle_(**kwargs)
        to_choose = tr("Run the lesson (the ▶▶ button above) to choose.")
        still = (
            f'{STYLE}<div class="kk-panel"{spoken()}><p class="kk-title">{tr(_TITLE)}</p>'
            f"<p>{html.escape(tr(_WHY))} {to_choose}</p></div>"
        )
        return bundle | {"text/plain": repr(self), "text/html": still}
