"""The choice of the language that a lesson's panels speak."""

from __future__ import annotations

import html

from kitchenkit import language
from kitchenkit.errors import KitchenError
from kitchenkit.language import tr
from kitchenkit.panels.base import STYLE, spoken
from kitchenkit.panels.controls import dropdown
from kitchenkit.panels.pieces import Frame, messages, passage

# In both languages, for it must be found by who cannot read the first.
_LABEL = "Language of the panels · Idioma de los paneles"


class LanguageChoice(Frame):
    """A list of languages; the panels of the lesson follow at once, and other lessons when opened.

    The choice is kept in the learner's own folder, if they have one.
    """

    def __init__(self):
        now = language.current()
        named = language.LANGUAGES | ({} if now in language.LANGUAGES else {now: now})
        self.choice = dropdown(_LABEL, [(words, name) for name, words in named.items()], now)
        self.choice.observe(self._chosen, names="value")
        self._said = messages()
        super().__init__([passage(STYLE), self.choice, self._said])
        language.listen(self)

    def _chosen(self, change) -> None:
        if change["new"] == language.current():
            return
        language.use(change["new"])
        try:
            kept = language.keep(change["new"])
        except KitchenError as error:
            self._say(tr("The choice could not be kept: {error}", error=error))
            return
        self._say(
            tr("The panels speak English now. Other tables follow when the lesson is opened again.")
            if kept
            else tr("The panels speak English now, until this lesson is closed.")
        )

    def retell(self) -> None:
        """Show the language that is spoken now, whoever chose it."""
        self.choice.value = language.current()

    def _say(self, words: str) -> None:
        self._said.value = f'<p role="status"{spoken()}>{html.escape(words)}</p>'

    def __repr__(self) -> str:
        return _LABEL

    def _repr_mimebundle_(self, **kwargs):
        bundle = super()._repr_mimebundle_(**kwargs)
        names = " · ".join(language.LANGUAGES.values())
        still = f'{STYLE}<div class="kk-panel"><p>{_LABEL}: {names}</p></div>'
        return bundle | {"text/plain": repr(self), "text/html": still}
