"""The few controls panels are made of: each with its label and unit, each reached by keyboard."""

from __future__ import annotations

import ipywidgets as widgets
import traitlets

from kitchenkit.language import as_written, num, tr
from kitchenkit.panels.pieces import alike


def labelled(kind: type[widgets.Widget], label: str, **more) -> widgets.Widget:
    """A control of a kind under its label, as wide as there is room."""
    return kind(
        description=label,
        tooltip=label,
        layout=alike(widgets.Layout, width="100%"),
        style=alike(kind.style.klass, description_width="initial"),
        **more,
    )


class _StepSlider(widgets.FloatSlider):
    """A slider whose value stays on its steps: a browser sends 1.9999999999999998 for 2."""

    @traitlets.validate("value")
    def _validate_value(self, proposal):
        value = super()._validate_value(proposal)
        steps = round((value - self.min) / self.step)
        return round(self.min + steps * self.step, 9)


def slider(label: str, value: float, low: float, high: float, step: float) -> widgets.ValueWidget:
    """A slider with its number beside it; the label says the unit."""
    if all(float(x).is_integer() for x in (value, low, high, step)):
        whole = {"value": int(value), "min": int(low), "max": int(high), "step": int(step)}
        return labelled(widgets.IntSlider, label, **whole)
    parts = {"value": value, "min": low, "max": high, "step": step, "readout_format": ".2f"}
    return labelled(_StepSlider, label, **parts)


def dropdown(label: str, options, value) -> widgets.Dropdown:
    """One of several; options are words, or pairs of words and value."""
    return labelled(widgets.Dropdown, label, options=options, value=value)


def pan_dropdown(kit, label: str, kind: str = "", none: str = "") -> widgets.Dropdown:
    """One of the kit's pans, by its key.

    Parameters
    ----------
    kit : Kit
    label : str
    kind : str
        It starts at a usual pan of this kind, or else at the first of the kind, or of all.
    none : str
        What to call the choice of no pan, whose value is ``""``; there is none when left out.
    """
    options = [(tr(pan.name), key) for key, pan in kit.pans.items()]
    start = _USUAL_PANS.get(kind)
    if start not in kit.pans:
        start = next((key for key, pan in kit.pans.items() if pan.kind == kind), options[0][1])
    return dropdown(label, [(none, ""), *options] if none else options, start)


_USUAL_PANS = {"loaf": "loaf-8.5x4.5", "muffin": "muffin-12", "square": "square-8"}


def text(label: str, value: str) -> widgets.Text:
    """A line of text, answered on Enter or on leaving it."""
    return labelled(widgets.Text, label, value=value, continuous_update=False)


def number(label: str, value: float, low: float, high: float, step: float) -> widgets.ValueWidget:
    """A number to type, kept between two bounds."""
    bounds = {"min": low, "max": high, "step": step}
    return labelled(widgets.BoundedFloatText, label, value=value, **bounds)


def percent(share: float) -> str:
    """A rounding as a reader wants it: ``+0.4 %``, or ``0 %``."""
    return "0 %" if abs(share) < 0.0005 else f"{num(share * 100, '+.1f')} %".replace("-", "−")


def times(factor: float) -> str:
    """A factor in words: ``the recipe once``, ``1.93 times the recipe``."""
    digits = f"{factor:.2f}".rstrip("0").rstrip(".")
    if digits == "1":
        return tr("the recipe once")
    return tr("{n} times the recipe", n=as_written(digits))
