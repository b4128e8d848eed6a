"""What panels are made of: looks that are shared, and pieces that come and go."""

import ipywidgets as widgets
import pytest

import kitchenkit as kk
from kitchenkit.panels.controls import dropdown, slider, text
from kitchenkit.panels.pieces import alike, button, is_shown, passage, show_if


def all_in(widget):
    yield widget
    for child in getattr(widget, "children", ()):
        yield from all_in(child)


@pytest.mark.parametrize("name", ["CostPanel", "StockPanel", "ClassPanel", "SwapPanel"])
def test_a_panel_brings_few_looks_of_its_own(kit, name):
    panel = getattr(kk, name)(kit)
    parts = list(all_in(panel))
    assert len(parts) > 12
    assert len({part.layout.model_id for part in parts}) <= 2
    styles = {part.style.model_id for part in parts if hasattr(part, "style")}
    assert len(styles) <= len({type(part) for part in parts})


def test_to_hide_one_leaves_the_others():
    one, other = text("one", "1"), text("other", "2")
    assert one.layout is other.layout
    show_if(one, False)
    show_if(one, False)
    assert not is_shown(one)
    assert is_shown(other)
    show_if(one, True)
    assert is_shown(one)
    assert one._dom_classes == ()


def test_a_look_that_was_closed_is_made_anew():
    before = button("one")
    before.style.close()
    assert button("two").style.comm is not None
    assert alike(widgets.Button.style.klass) is button("three").style


def test_looks_are_those_asked_for():
    assert alike(widgets.Layout, width="100%") is not alike(widgets.Layout)
    for control in (text("a", ""), dropdown("b", ["c"], "c"), slider("d", 1, 0, 2, 1)):
        assert control.layout.width == "100%"
        assert control.style.description_width == "initial"
        assert control.description == control.tooltip
    assert passage("<p>", "x").layout.width is None
