"""Two buttons that save sheets to print, as HTML and as PDF, and say where."""

from __future__ import annotations

import html
from collections.abc import Callable

from kitchenkit import language
from kitchenkit.errors import KitchenError
from kitchenkit.language import tr
from kitchenkit.panels.base import STYLE, spoken
from kitchenkit.panels.pieces import Frame, abreast, button, messages, passage
from kitchenkit.printouts import KINDS, save_printout
from kitchenkit.sheets import Document


class PrintButtons(Frame):
    """Save a document into the learner's own folder, each time under a name of its own.

    Parameters
    ----------
    make : Document or callable
        What to print, or what gives it when a button is pressed.
    name : str or callable
        What the file is called, or what gives it.
    folder : str or Path, optional
        The learner's own when left out.
    """

    def __init__(
        self, make: Document | Callable[[], Document], name: str | Callable[[], str], folder=None
    ):
        self._make, self._name, self._folder = make, name, folder
        self.said = ""
        self._status = messages()
        self._buttons = {kind: button() for kind in KINDS}
        for kind, made in self._buttons.items():
            made.on_click(lambda _, kind=kind: self.save(kind))
        super().__init__([passage(STYLE), abreast(self._buttons.values()), self._status])
        self.retell()
        language.listen(self)

    def retell(self) -> None:
        """Name the buttons in the language in use; what was said before is gone."""
        for kind, made in self._buttons.items():
            made.description = tr("Save as {kind}", kind=kind.upper())
            made.tooltip = tr("Write the sheets as {kind}", kind=kind.upper())
        self.said = self._status.value = ""

    def save(self, kind: str) -> None:
        """Write the sheets as they stand, and say where, or why not.

        Parameters
        ----------
        kind : {"html", "pdf"}
        """
        try:
            document = self._make() if callable(self._make) else self._make
            name = self._name() if callable(self._name) else self._name
            path = save_printout(document, name, kind, self._folder)
            self.said, look = tr("Saved as {path}", path=path), ""
        except KitchenError as error:
            self.said, look = tr("Not saved. {why}", why=error), " kk-wrong"
        words = html.escape(self.said)
        self._status.value = f'<p class="kk-say{look}" role="status"{spoken()}>{words}</p>'

    def __repr__(self) -> str:
        return tr("Run the lesson to save these sheets as HTML or PDF.")

    def _repr_mimebundle_(self, **kwargs):
        bundle = super()._repr_mimebundle_(**kwargs)
        still = f'{STYLE}<div class="kk-panel"><p><em>{html.escape(repr(self))}</em></p></div>'
        return bundle | {"text/plain": repr(self), "text/html": still}
