"""Labels said anew in place, on boxes that hold what somebody has typed."""

from __future__ import annotations

import ipywidgets as widgets

from kitchenkit.language import tr


class Labels:
    """Which text the label of each widget is, in English.

    A panel is made anew in another language. A form is not: letters that are on their way from a
    browser would be lost with the field they belong to.
    """

    def __init__(self):
        self._of: list[tuple[widgets.Widget, str]] = []

    def __call__(self, widget: widgets.Widget, text: str) -> widgets.Widget:
        """The widget, labelled with a marked text."""
        self._of.append((widget, text))
        self._put(widget, text)
        return widget

    def retell(self) -> None:
        """Every label in the language in use."""
        for widget, text in self._of:
            self._put(widget, text)

    @staticmethod
    def _put(widget: widgets.Widget, text: str) -> None:
        if widget.tooltip:  # it repeats the label
            widget.tooltip = tr(text)
        widget.description = tr(text)
