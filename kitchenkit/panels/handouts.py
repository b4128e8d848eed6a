"""What to print for a class: a page a station and to take home, or a worksheet and its key."""

from __future__ import annotations

import ipywidgets as widgets

from kitchenkit import language
from kitchenkit.classpages import class_handout
from kitchenkit.exercises import LESSONS, questions
from kitchenkit.handouts import worksheet
from kitchenkit.language import mark, tr, trc
from kitchenkit.panels.base import close
from kitchenkit.panels.classroom import ClassPanel
from kitchenkit.panels.controls import dropdown
from kitchenkit.panels.pieces import Frame
from kitchenkit.panels.printing import PrintButtons
from kitchenkit.sheets import PAPERS, Document

_PAGES = [
    (mark("a page for each station, and to take home"), True),
    (mark("stations only"), False),
]
_TOOLS = [
    (mark("cups and grams"), "both"),
    (mark("cups and spoons"), "us"),
    (mark("scale"), "metric"),
]


class ClassPrints(Frame):
    """What to print for the class of a `ClassPanel` as it stands, and buttons to save it.

    Parameters
    ----------
    evening : ClassPanel
    folder : str or Path, optional
        The learner's own when left out.
    """

    def __init__(self, evening: ClassPanel, folder=None):
        self.evening = evening
        self.controls = self._made()
        self.buttons = PrintButtons(self.document, lambda: self.document().title, folder)
        super().__init__([*self.controls.values(), self.buttons], framed="kk-controls")
        language.listen(self)

    @staticmethod
    def _made() -> dict[str, widgets.Dropdown]:
        pages = [(tr(words), home) for words, home in _PAGES]
        sheets = [
            (tr("worksheet of lesson {lesson}", lesson=name), (name, False)) for name in LESSONS
        ]
        keys = [(tr("key to lesson {lesson}", lesson=name), (name, True)) for name in LESSONS]
        tools = [(tr(words), how) for words, how in _TOOLS]
        papers = [(tr(paper), paper) for paper in PAPERS]
        letters = [(trc("letters", "usual"), False), (trc("letters", "large"), True)]
        return {
            "what": dropdown(tr("What to print"), [*pages, *sheets, *keys], True),
            "tools": dropdown(tr("Amounts in"), tools, "both"),
            "large": dropdown(tr("Letters"), letters, False),
            "paper": dropdown(tr("Paper"), papers, next(iter(PAPERS))),
        }

    def retell(self) -> None:
        """The same choices in another language."""
        was, self.controls = self.controls, self._made()
        for name, control in self.controls.items():
            control.value = was[name].value
        self.children = [*self.controls.values(), self.buttons]
        for gone in was.values():
            close(gone)

    def document(self) -> Document:
        """The pages as chosen.

        Raises
        ------
        KitchenError
            If the class cannot be planned as it stands.
        """
        what = self.controls["what"].value
        look = {name: self.controls[name].value for name in ("large", "paper")}
        if isinstance(what, tuple):
            lesson, key = what
            asked = questions(self.evening.kit, lesson)
            title = tr("Worksheet {lesson}", lesson=lesson)
            return worksheet(asked, key, title=title, **look)
        self.evening.refresh()  # a class that cannot be says so; the last good one is not printed
        tools = self.controls["tools"].value
        return class_handout(self.evening.plan, tools=tools, home=what, **look)

    def __repr__(self) -> str:
        return tr("Run the lesson to save handouts and worksheets as HTML or PDF.")

    def _repr_mimebundle_(self, **kwargs):
        still = self.buttons._repr_mimebundle_(**kwargs)
        return super()._repr_mimebundle_(**kwargs) | {
            "text/plain": repr(self),
            "text/html": still["text/html"],
        }
