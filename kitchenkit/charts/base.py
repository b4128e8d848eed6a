"""What every picture shares: one kept figure, our colours with hatches, and text left as text."""

from __future__ import annotations

import base64
import html
import io
import re
import textwrap

import matplotlib
from matplotlib.figure import Figure
from matplotlib.ticker import ScalarFormatter

from kitchenkit.language import as_written

# Told apart by lightness and hatching too, so that colour is never the only sign.
INK = "#2e2a26"
FAINT = "#8b8378"
GRID = "#e4ddd2"
OAT = "#d9a441"
CARROT = "#c2571a"
TEAL = "#1f6f78"
STEEL = "#b9c3c9"
PAPER = "#fffdf8"
# Lines only: dots and stars make a picture ten times as heavy, and a slider slow.
HATCHES = ("", "//", "--", "xx", "\\\\", "++", "||", "/-", "\\|")

_SETTINGS = {
    "svg.fonttype": "none",
    "svg.hashsalt": "kitchenkit",  # the same picture has the same ids at every run
    "font.family": "sans-serif",
    "font.sans-serif": ["DejaVu Sans"],
    "font.size": 9.5,
    "hatch.linewidth": 0.7,
}
_NO_METADATA = dict.fromkeys(("Date", "Creator", "Format", "Type"))
_RULE = re.compile(
    r"<defs>\s*<style[^>]*>\*\{stroke-linejoin: round; stroke-linecap: butt\}</style>\s*</defs>\s*"
)

WIDTH = 3.5  # inches: about a phone's column at one pixel a point, so that text stays readable


class Chart:
    """One figure, made once; `update` in a subclass moves its artists.

    Parameters
    ----------
    width, height : float
        In inches at 72 points each.
    """

    def __init__(self, width: float = WIDTH, height: float = 2.5):
        with matplotlib.rc_context(_SETTINGS):
            self.figure = Figure(figsize=(width, height), facecolor=PAPER)
            self.draw()
        self.alt = ""
        self._drawn = ""

    def draw(self) -> None:
        """Make the axes and artists once."""
        raise NotImplementedError

    def svg(self) -> str:
        """The picture as an SVG element that fits its column and tells its `alt` text."""
        out = io.StringIO()
        with matplotlib.rc_context(_SETTINGS):
            self.figure.savefig(out, format="svg", metadata=_NO_METADATA)
        body = out.getvalue()
        body = body[body.index("<svg") :]
        # A rule for every element would be one for the whole page around it, which the browser
        # would then lay out anew at each move; said of the picture, its parts inherit it.
        body = _RULE.sub("", body, count=1)
        body = re.sub(r'(<svg[^>]*?) width="[^"]*"', r"\1", body, count=1)
        body = re.sub(r'(<svg[^>]*?) height="[^"]*"', r"\1", body, count=1)
        label = html.escape(self.alt, quote=True)
        style = "width:100%;height:auto;display:block;stroke-linejoin:round"
        svg = f'<svg role="img" aria-label="{label}" style="{style}"'
        self._drawn = body.replace("<svg", svg, 1)
        return self._drawn

    def image(self) -> str:
        """The picture, as last drawn, as an HTML image that needs no running kernel."""
        data = base64.b64encode((self._drawn or self.svg()).encode()).decode()
        label = html.escape(self.alt, quote=True)
        style = "width:100%;max-width:640px"
        return f'<img alt="{label}" style="{style}" src="data:image/svg+xml;base64,{data}">'


def wrapped(name: str, width: int = 18) -> str:
    """A name on as many lines as it needs, with a mixed number such as 8 1/2 kept whole."""
    return "\n".join(textwrap.wrap(re.sub(r"(\d) (\d+/)", "\\1\u00a0\\2", name), width))


class _Written(ScalarFormatter):
    """Numbers along an axis, with the marks of the language in use."""

    def __call__(self, x, pos=None) -> str:
        return as_written(super().__call__(x, pos))


def plain_axes(axes) -> None:
    """Axes with a baseline and nothing that distracts."""
    for axis in (axes.xaxis, axes.yaxis):
        if isinstance(axis.get_major_formatter(), ScalarFormatter):  # not one with words
            axis.set_major_formatter(_Written())
    axes.set_facecolor(PAPER)
    for side in ("top", "right"):
        axes.spines[side].set_visible(False)
    for side in ("left", "bottom"):
        axes.spines[side].set_color(FAINT)
    axes.tick_params(colors=INK, length=3)
