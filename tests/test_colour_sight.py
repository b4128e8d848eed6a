"""No two things in a picture are told apart by colour alone, and all words are dark enough.

How people with two kinds of cones see a colour: the matrices for severity 1.0 of Machado, Oliveira
and Fernandes, "A physiologically-based model for simulation of color vision deficiency", IEEE
Transactions on Visualization and Computer Graphics 15 (6), 2009, on linear sRGB; as many open
programs print them, the paper itself not read. Contrast: W3C, Web Content Accessibility Guidelines
2.2, relative luminance and contrast ratio; 4.5 for text is its success criterion 1.4.3.
"""

from __future__ import annotations

from itertools import combinations

import numpy as np
import pytest
from matplotlib.colors import to_rgb, to_rgba
from matplotlib.text import Text

import kitchenkit as kk
from kitchenkit.charts.base import CARROT, INK, OAT, PAPER, STEEL, TEAL
from kitchenkit.panels.base import Panel

PANELS = [
    name
    for name in kk._WHERE
    if name.endswith("Panel") and name != "Panel" and issubclass(getattr(kk, name), Panel)
]

SIGHTS = {
    "three kinds of cones": np.eye(3),
    "protanopia": [
        [0.152286, 1.052583, -0.204868],
        [0.114503, 0.786281, 0.099216],
        [-0.003882, -0.048116, 1.051998],
    ],
    "deuteranopia": [
        [0.367322, 0.860646, -0.227968],
        [0.280085, 0.672501, 0.047413],
        [-0.011820, 0.042940, 0.968881],
    ],
    "tritanopia": [
        [1.255528, -0.076749, -0.178779],
        [-0.078411, 0.930809, 0.147602],
        [0.004733, 0.691367, 0.303900],
    ],
}
SAME_COLOUR = 4  # of 100 in every channel: meant as one colour, such as white on paper
CLEARLY_LIGHTER = 15  # of 100, CIE lightness: seen at a glance; common practice, no source


def linear(colour) -> np.ndarray:
    """Linear red, green and blue of an sRGB colour (IEC 61966-2-1)."""
    values = np.array(to_rgb(colour))
    return np.where(values <= 0.04045, values / 12.92, ((values + 0.055) / 1.055) ** 2.4)


def luminance(colour, sight=SIGHTS["three kinds of cones"]) -> float:
    seen = np.clip(np.array(sight) @ linear(colour), 0, 1)
    return float(np.dot((0.2126, 0.7152, 0.0722), seen))


def lightness(colour, sight) -> float:
    """CIE 1976 lightness, 0 to 100."""
    y = luminance(colour, sight)
    return 116 * np.cbrt(y) - 16 if y > (6 / 29) ** 3 else y * (29 / 3) ** 3


def contrast(one, other) -> float:
    low, high = sorted((luminance(one), luminance(other)))
    return (high + 0.05) / (low + 0.05)


def fills(axes) -> set[tuple]:
    """Colour and hatch of each filled shape that shows."""
    shapes = [shape for shape in axes.patches if shape.get_visible()]
    found = {(to_rgba(shape.get_facecolor()), shape.get_hatch() or "") for shape in shapes}
    for shapes in axes.collections:
        if shapes.get_visible():
            found |= {(tuple(c), shapes.get_hatch() or "") for c in shapes.get_facecolor()}
    return {(colour[:3], hatch) for colour, hatch in found if colour[3] > 0}


def strokes(axes) -> set[tuple]:
    """Colour, and dashes and mark, of each line or row of marks that shows."""
    found = set()
    for line in axes.lines:
        if line.get_visible() and len(line.get_xdata()):
            drawn = line.get_linestyle() not in ("None", "none", "", " ")
            colour = line.get_color() if drawn else line.get_markerfacecolor()
            found.add((to_rgb(colour), (line.get_linestyle(), line.get_marker())))
    return found


def alike(looks: set[tuple]) -> list[str]:
    """Pairs of one hatch or mark whose colours differ, and not in lightness for everyone."""
    found = []
    for (one, style), (other, other_style) in combinations(sorted(looks, key=str), 2):
        if style != other_style or np.abs(np.subtract(one, other)).max() * 100 < SAME_COLOUR:
            continue
        for name, sight in SIGHTS.items():
            if abs(lightness(one, sight) - lightness(other, sight)) < CLEARLY_LIGHTER:
                found.append(f"{one} and {other}, both {style!r}: {name}")
    return found


def test_the_formulas_give_what_the_standards_state():
    assert contrast("black", "white") == pytest.approx(21)  # WCAG 2.2: ratios range from 1 to 21
    assert contrast("#767676", "white") == pytest.approx(4.54, abs=0.005)  # from memory, unverified
    assert lightness("white", np.eye(3)) == pytest.approx(100)
    for matrix in SIGHTS.values():  # grey has no hue to lose
        assert np.sum(matrix, axis=1) == pytest.approx([1, 1, 1], abs=2e-6)


def test_it_would_find_red_and_green_of_one_lightness():
    assert alike({(to_rgb("#c0392b"), ""), (to_rgb("#3f7f2f"), "")})
    assert not alike({(to_rgb("#c0392b"), ""), (to_rgb("#3f7f2f"), "//")})
    assert not alike({(to_rgb(OAT), ""), (to_rgb(INK), "")})


@pytest.mark.parametrize("name", PANELS)
def test_nothing_is_told_apart_by_colour_alone(kit, name):
    panel = getattr(kk, name)(kit)
    for axes in panel.chart.figure.axes:
        assert alike(fills(axes)) == []
        assert alike(strokes(axes)) == []


@pytest.mark.parametrize("name", PANELS)
def test_words_in_a_picture_are_dark_enough(kit, name):
    panel = getattr(kk, name)(kit)
    panel.chart.svg()
    words = [text for text in panel.chart.figure.findobj(Text) if text.get_text().strip()]
    assert words
    pale = {
        (text.get_text(), text.get_color())
        for text in words
        if text.get_visible() and contrast(text.get_color(), PAPER) < 4.5
    }
    assert pale == set()


def test_a_shape_is_seen_against_the_paper():
    """Pale fills have an edge in ink; the edge counts (WCAG 2.2, 1.4.11: 3)."""
    assert contrast(INK, PAPER) > 7
    for colour in (CARROT, TEAL):
        assert contrast(colour, PAPER) > 3
    for colour in (OAT, STEEL):
        assert contrast(INK, colour) > 3
