"""What panels are made of besides controls: boxes, words, buttons.

Many look alike. A look is a model of its own in the browser and on the way there, so those that
look alike share one, and what is to look otherwise does so by a class of the style sheet.
"""

from __future__ import annotations

from collections.abc import Iterable

import ipywidgets as widgets

_looks: dict[tuple, widgets.Widget] = {}
_AWAY = "kk-away"


def alike(kind: type[widgets.Widget], **looks) -> widgets.Widget:
    """The one model of a look for all who ask for it; never change it for one of them."""
    key = (kind, *looks.items())
    if key not in _looks or _looks[key].comm is None:  # somebody closed it
        _looks[key] = kind(**looks)
    return _looks[key]


class Frame(widgets.VBox):
    """A column that stands by itself on a page, in the kit's own frame.

    Parameters
    ----------
    parts : iterable of Widget
    framed : str
        The class that frames it.
    """

    def __init__(self, parts: Iterable[widgets.Widget], framed: str = "kk-panel"):
        super().__init__(tuple(parts), layout=alike(widgets.Layout), _dom_classes=(framed,))


def boxed(kind: type[widgets.Box], parts, *classes: str) -> widgets.Box:
    """Widgets in a box, which stand as its kind and its classes say."""
    return kind(tuple(parts), layout=alike(widgets.Layout), _dom_classes=classes)


def abreast(parts) -> widgets.HBox:
    """Widgets beside each other, and on a narrow page below each other."""
    return boxed(widgets.HBox, parts)


def stacked(parts, *classes: str) -> widgets.VBox:
    """Widgets below each other."""
    return boxed(widgets.VBox, parts, *classes)


def passage(html: str = "", *classes: str) -> widgets.HTML:
    """A piece of a page."""
    return widgets.HTML(
        html,
        layout=alike(widgets.Layout),
        style=alike(widgets.HTML.style.klass),
        _dom_classes=classes,
    )


def messages() -> widgets.HTML:
    """A place for words that come and go, which screen readers are told of from the start."""
    return passage("", "kk-live")


def button(label: str = "", **more) -> widgets.Button:
    """A button; it is as wide as its label."""
    return widgets.Button(
        description=label,
        layout=alike(widgets.Layout),
        style=alike(widgets.Button.style.klass),
        **more,
    )


def show_if(widget: widgets.DOMWidget, wanted: bool) -> None:
    """Show what matters now, and hide what does not."""
    (widget.remove_class if wanted else widget.add_class)(_AWAY)


def is_shown(widget: widgets.DOMWidget) -> bool:
    """Whether a widget is shown, as `show_if` left it."""
    return _AWAY not in widget._dom_classes
