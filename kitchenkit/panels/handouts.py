"""What to print for a class: a page a station and to take home, or a worksheet and its key."""

from __future__ import annotations

import ipywidgets as widgets

from kitchenkit.classpages import class_handout
from kitchenkit.exercises import LESSONS, questions
from kitchenkit.handouts import worksheet
from kitchenkit.panels.classroom import ClassPanel
from kitchenkit.panels.controls import dropdown
from kitchenkit.panels.printing import PrintButtons
from kitchenkit.sheets import PAPERS, Document

_PAGES = [("a page for each station, and to take home", True), ("stations only", False)]
_TOOLS = [("cups and grams", "both"), ("cups and spoons", "us"), ("scale", "metric")]


class ClassPrints(widgets.VBox):
    """What to print for the class of a `ClassPanel` as it stands, and buttons to save it.

    Parameters
    ----------
    evening : ClassPanel
    folder : str or Path, optional
        The learner's own when left out.
    """

    def __init__(self, evening: ClassPanel, folder=None):
        self.evening = evening
        sheets = [(f"worksheet of lesson {name}", (name, False)) for name in LESSONS]
        keys = [(f"key to lesson {name}", (name, True)) for name in LESSONS]
        self.controls = {
            "what": dropdown("What to print", [*_PAGES, *sheets, *keys], True),
            "tools": dropdown("Amounts in", _TOOLS, "both"),
            "large": dropdown("Letters", [("usual", False), ("large", True)], False),
            "paper": dropdown("Paper", list(PAPERS), next(iter(PAPERS))),
        }
        self.buttons = PrintButtons(self.document, lambda: self.document().title, folder)
        super().__init__([*self.controls.values(), self.buttons])
        self.add_class("kk-controls")

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
            return worksheet(asked, key, title=f"Worksheet {lesson}", **look)
        self.evening.refresh()  # a class that cannot be says so; the last good one is not printed
        tools = self.controls["tools"].value
        return class_handout(self.evening.plan, tools=tools, home=what, **look)

    def __repr__(self) -> str:
        return "Run the lesson to save handouts and worksheets as HTML or PDF."

    def _repr_mimebundle_(self, **kwargs):
        still = self.buttons._repr_mimebundle_(**kwargs)
        return super()._repr_mimebundle_(**kwargs) | {
            "text/plain": repr(self),
            "text/html": still["text/html"],
        }
