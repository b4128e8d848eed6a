"""Pans as solids: how much they hold, and how deep a batter stands in them.

Every pan is one idea: the area inside it, level with the rim, is a quadratic in the height above
the bottom. Capacity and batter volume are then exact cubics, and depth is their one root.
"""

from __future__ import annotations

import math
import operator
import re
from dataclasses import dataclass, replace
from functools import cached_property
from typing import NamedTuple

import pint

from kitchenkit.errors import KitchenError
from kitchenkit.language import mark, num, tr
from kitchenkit.saying import say_both
from kitchenkit.units import Q, si

SHAPES = ("box", "round", "tube")
MATERIALS = (
    mark("metal"),
    mark("dark metal"),
    mark("glass"),
    mark("ceramic"),
    mark("silicone"),
)


class Kind(NamedTuple):
    """A kind of pan: its shape, and how full to fill it, as fractions of its brimful capacity."""

    shape: str
    low: float
    usual: float
    high: float


# How full: common practice, no source. Wide pans may be filled low, as bars are. Muffin cups are
# filled about two-thirds; half of a tin's usual batch more or less still bakes.
KINDS = {
    mark("loaf"): Kind("box", 0.50, 0.62, 0.75),
    mark("mini loaf"): Kind("box", 0.50, 0.65, 0.75),
    mark("round"): Kind("round", 0.35, 0.55, 0.70),
    mark("square"): Kind("box", 0.25, 0.50, 0.70),
    mark("rectangle"): Kind("box", 0.25, 0.50, 0.70),
    mark("muffin"): Kind("round", 0.45, 2 / 3, 0.80),
    mark("mini muffin"): Kind("round", 0.45, 2 / 3, 0.80),
    mark("jumbo muffin"): Kind("round", 0.45, 2 / 3, 0.80),
    mark("square well"): Kind("box", 0.45, 0.65, 0.80),
    mark("tube"): Kind("tube", 0.45, 0.60, 0.70),
    mark("ring"): Kind("tube", 0.45, 0.60, 0.70),
    mark("pie"): Kind("round", 0.35, 0.60, 0.80),
    mark("quiche"): Kind("round", 0.35, 0.60, 0.80),
    mark("sheet"): Kind("box", 0.25, 0.50, 0.75),
}

WATER_20C = 998.2  # kg/m³ at 20 °C, any handbook of physics
_WIDEST, _DEEPEST = 1.0, 0.2  # m; beyond them a unit was mistaken


class PanError(KitchenError):
    """A pan that cannot be, or that cannot hold what it is asked to.

    Attributes
    ----------
    field : str
        Which of a `Pan`'s fields to mend; empty where the pan itself is sound.
    """

    def __init__(self, message: str, field: str = ""):
        super().__init__(message)
        self.field = field


@dataclass(frozen=True, kw_only=True)
class Pan:
    """One pan, or one well of a tin. `from_sizes` makes one from sizes as a cook writes them.

    Parameters
    ----------
    key, name : str
    kind : str
        One of `KINDS`; it sets how full the pan is filled.
    shape : {"box", "round", "tube"}
        A box with four sloping walls and rounded upright corners, a round with a sloping wall, or
        a round around a sloping tube.
    top_length, bottom_length : float
        Inside length, or diameter of a round, at rim and bottom, m.
    top_width, bottom_width : float, optional
        Inside width of a box, m; left out for rounds.
    height : float
        Inside depth of the empty pan, m.
    corner : float
        Radius of a box's upright corners, m, the same from bottom to rim.
    tube_top, tube_bottom : float
        Outer diameter of a tube at rim and bottom, m; 0 without a tube.
    wells : int
        How many of these the tin has; all else is about one of them.
    material : str
        One of `MATERIALS`.
    nominal : str
        The trade's name of the size, such as ``"9x5x3"``.
    source, note : str
    measured : bool
        Whether the capacity was measured with water.

    Raises
    ------
    PanError
        If the sizes make no pan; says what to mend.
    """

    key: str
    name: str
    kind: str
    shape: str
    top_length: float
    bottom_length: float
    height: float
    top_width: float | None = None
    bottom_width: float | None = None
    corner: float = 0.0
    tube_top: float = 0.0
    tube_bottom: float = 0.0
    wells: int = 1
    material: str = "metal"
    nominal: str = ""
    source: str = ""
    note: str = ""
    measured: bool = False

    def __post_init__(self):
        _check_words(self)
        _check_sizes(self)

    @classmethod
    def from_sizes(
        cls,
        kind: str,
        top,
        depth,
        bottom=None,
        *,
        corner=None,
        tube=None,
        wells: int = 1,
        material: str = "metal",
        name: str = "my pan",
    ) -> Pan:
        """A pan of the learner's own, from inside sizes.

        Parameters
        ----------
        kind : str
            One of `KINDS`.
        top : Quantity, str, or a pair of them
            Inside size at the rim: ``("9 in", "5 in")``, or one size for a round or a square.
        depth : Quantity or str
            Inside depth, straight up.
        bottom : as `top`, optional
            Inside size of the bottom; the same as the rim when left out (upright walls).
        corner : Quantity or str, optional
            Radius of a box's upright corners; sharp when left out.
        tube : Quantity, str, or a pair of them, optional
            Outer diameter of a tube: at the rim and at the bottom.
        wells : int
        material : str
        name : str

        Returns
        -------
        Pan

        Raises
        ------
        MeasureError
            If a size has no unit of length.
        PanError
            If the sizes make no pan.

        Examples
        --------
        >>> loaf = Pan.from_sizes("loaf", ("9 in", "5 in"), "2 3/4 in", ("8 1/4 in", "4 1/4 in"))
        >>> f"{loaf.capacity.m_as('cup'):.1f} cups"
        '7.6 cups'
        """
        shape = _kind(kind).shape
        top = _pair(top, mark("top size"))
        bottom = _pair(bottom, mark("bottom size")) if bottom is not None else top
        tube = _pair(tube, mark("tube")) if tube is not None else (0.0, 0.0)
        round_ = shape != "box"
        if round_ and (top[0] != top[1] or bottom[0] != bottom[1]):
            raise PanError(
                tr(
                    "A {kind} pan is round. Give one size across at the rim and bottom.",
                    kind=tr(kind),
                )
            )
        return cls(
            key=re.sub(r"[^a-z0-9]+", "-", name.casefold()).strip("-") or "my-pan",
            name=name,
            kind=kind,
            shape=shape,
            top_length=top[0],
            top_width=None if round_ else top[1],
            bottom_length=bottom[0],
            bottom_width=None if round_ else bottom[1],
            height=si(depth, "length", mark("depth")),
            corner=si(corner, "length", mark("corner radius")) if corner is not None else 0.0,
            tube_top=tube[0],
            tube_bottom=tube[1],
            wells=wells,
            material=material,
        )

    # The solid, in SI floats: for other calculations --------------------------------------------

    @cached_property
    def _area(self) -> tuple[float, float, float]:
        """Inside area at height z is ``a0 + a1 z + a2 z²``, m²."""
        length = self._slope(self.bottom_length, self.top_length)
        if self.shape == "box":
            a0, a1, a2 = _times(length, self._slope(self.bottom_width, self.top_width))
            return a0 - (4 - math.pi) * self.corner**2, a1, a2
        tube = self._slope(self.tube_bottom, self.tube_top)
        outer, inner = _times(length, length), _times(tube, tube)
        return tuple(math.pi / 4 * (o - i) for o, i in zip(outer, inner, strict=True))

    def _slope(self, bottom: float, top: float) -> tuple[float, float]:
        return bottom, (top - bottom) / self.height

    @cached_property
    def capacity_m3(self) -> float:
        """Brimful capacity of one pan or well, m³."""
        return self.volume_m3(self.height)

    def area_m2(self, depth_m: float) -> float:
        """Inside area at a height above the bottom, m²."""
        a0, a1, a2 = self._area
        return a0 + depth_m * (a1 + depth_m * a2)

    def volume_m3(self, depth_m: float) -> float:
        """Volume below a height above the bottom, m³; no check that it is inside the pan."""
        a0, a1, a2 = self._area
        return depth_m * (a0 + depth_m * (a1 / 2 + depth_m * a2 / 3))

    def depth_m(self, volume_m3):
        """Height of the batter's top above the bottom, m; no check that it is inside the pan.

        Takes an array too. Walls lean outwards, so volume grows ever faster with depth: Newton's
        steps from above the root come down to it without overshooting, and double its digits.
        """
        depth = volume_m3 / self._area[0]
        for _ in range(12):
            depth = depth - (self.volume_m3(depth) - volume_m3) / self.area_m2(depth)
        return depth

    def spans_m(self, depth_m: float) -> tuple[float, float, float]:
        """Inside length, width and tube diameter at a height, m; see `size_at`."""
        share = depth_m / self.height
        length = self.bottom_length + share * (self.top_length - self.bottom_length)
        tube = self.tube_bottom + share * (self.tube_top - self.tube_bottom)
        if self.shape != "box":
            return length, length, tube
        return length, self.bottom_width + share * (self.top_width - self.bottom_width), tube

    # What a cook asks ---------------------------------------------------------------------------

    @property
    def unit(self) -> str:
        """What is counted: ``"pan"``, or ``"well"`` of a tin."""
        return "pan" if self.wells == 1 else "well"

    @property
    def fill_limits(self) -> Kind:
        """How full this kind of pan is filled: ``low``, ``usual``, ``high``."""
        return KINDS[self.kind]

    @property
    def capacity(self) -> pint.Quantity:
        """Brimful capacity of one pan or well, ml.

        Notes
        -----
        Exact for the shape: the prismatoid formula, depth times the mean of bottom, rim and four
        times mid-height area, any handbook of mensuration.
        """
        return Q(self.capacity_m3 * 1e6, "ml")

    @property
    def usual_volume(self) -> pint.Quantity:
        """Batter that fills one pan or well to its usual height, ml."""
        return self.capacity * self.fill_limits.usual

    @property
    def box_capacity(self) -> pint.Quantity:
        """What one would hold with upright walls and sharp corners from its rim, ml.

        An upper bound, and what a chart gets that multiplies the name of the size out.
        """
        if self.shape == "box":
            area = self.top_length * self.top_width
        else:
            area = math.pi / 4 * (self.top_length**2 - self.tube_top**2)
        return Q(area * self.height * 1e6, "ml")

    def volume(self, depth) -> pint.Quantity:
        """Batter in one pan or well when it stands so deep.

        Parameters
        ----------
        depth : Quantity or str
            Length from the bottom up.

        Returns
        -------
        Quantity
            ml.

        Raises
        ------
        PanError
            If that is above the rim.
        """
        return Q(self.volume_m3(self._inside(depth)) * 1e6, "ml")

    def depth(self, volume) -> pint.Quantity:
        """How deep a batter stands in one pan or well.

        Parameters
        ----------
        volume : Quantity or str
            Batter in one pan or well.

        Returns
        -------
        Quantity
            cm.

        Raises
        ------
        PanError
            If it is more than the pan holds; says by how much.
        """
        return Q(min(self.depth_m(self.held_m3(volume)), self.height) * 100, "cm")

    def top_area(self, volume) -> pint.Quantity:
        """Free surface of a batter in one pan or well, cm²; takes and raises as `depth`."""
        return Q(self.area_m2(self.depth_m(self.held_m3(volume))) * 1e4, "cm**2")

    def size_at(self, depth) -> tuple[pint.Quantity, pint.Quantity, pint.Quantity]:
        """Inside length, width and tube diameter at a height, for drawing the plan.

        Parameters
        ----------
        depth : Quantity or str
            Height above the bottom, at most the pan's own.

        Returns
        -------
        tuple of three Quantity
            cm; length and width are the diameter of a round, and the tube is 0 where there is
            none.

        Raises
        ------
        PanError
            If that is above the rim.
        """
        return tuple(Q(span * 100, "cm") for span in self.spans_m(self._inside(depth)))

    def profile(self, depth=None) -> list[pint.Quantity]:
        """Outline of the space inside, cut upright through the middle along the length.

        Parameters
        ----------
        depth : Quantity or str, optional
            Cut off at this height, to draw the batter; the rim when left out.

        Returns
        -------
        list of Quantity
            One outline, or two around a tube: arrays of shape (4, 2), cm, with x from the middle
            and z from the bottom.

        Raises
        ------
        PanError
            If that is above the rim.
        """
        z = self.height if depth is None else self._inside(depth)
        (low, _, low_tube), (high, _, high_tube) = self.spans_m(0.0), self.spans_m(z)
        if self.shape == "tube":
            corners = [(low_tube, 0.0), (low, 0.0), (high, z), (high_tube, z)]
            sides = [corners, [(-x, y) for x, y in corners]]
        else:
            sides = [[(-low, 0.0), (low, 0.0), (high, z), (-high, z)]]
        return [Q([[x * 50, y * 100] for x, y in side], "cm") for side in sides]

    def with_water(self, weight, wells: int = 1) -> Pan:
        """This pan with the capacity found by weighing the water that fills it to the brim.

        Parameters
        ----------
        weight : Quantity or str
            Weight of the water alone.
        wells : int
            How many wells were filled; several give a better mean of small ones.

        Returns
        -------
        Pan
            Of the same depth and proportions, every width stretched alike.

        Raises
        ------
        PanError
            If that is less than half or more than one and a half times what the sizes say.

        Notes
        -----
        Water weighs 0.9982 g/ml at 20 °C, any handbook of physics; at 10 or 30 °C this is off by
        less than 0.3 %.
        """
        wells = whole_number(wells, "wells", 1)
        ratio = si(weight, "mass", mark("weight of water")) / WATER_20C / wells / self.capacity_m3
        if not 0.5 <= ratio <= 1.5:
            raise PanError(
                tr(
                    "The water says the {pan} holds {by_water}, but its sizes say {by_sizes}. "
                    "Weigh again without the pan's own weight, and measure the inside once more.",
                    pan=tr(self.name),
                    by_water=say_both(ratio * self.capacity),
                    by_sizes=say_both(self.capacity),
                )
            )
        stretch = math.sqrt(ratio)
        widths = ("top_length", "top_width", "bottom_length", "bottom_width")
        widths += ("corner", "tube_top", "tube_bottom")
        sizes = {name: getattr(self, name) for name in widths}
        return replace(
            self,
            measured=True,
            **{name: None if size is None else size * stretch for name, size in sizes.items()},
        )

    def _inside(self, depth) -> float:
        depth_m = si(depth, "length", mark("depth"))
        if depth_m > self.height * (1 + 1e-9):
            raise PanError(
                tr(
                    "{depth} is above the rim of the {pan}, which is {rim} deep.",
                    depth=say_length(depth_m),
                    pan=tr(self.name),
                    rim=say_length(self.height),
                )
            )
        return min(depth_m, self.height)

    def held_m3(self, volume) -> float:
        """A volume in m³, refused if one pan or well does not hold it; as `depth`."""
        volume_m3 = si(volume, "volume", mark("volume"))
        over = volume_m3 - self.capacity_m3
        if over > 1e-9 * self.capacity_m3:
            raise PanError(
                tr(
                    "The {pan} holds {capacity} to the brim, and this is {over} more. Use a larger "
                    "pan, or more of them.",
                    pan=tr(self.name),
                    capacity=say_both(self.capacity),
                    over=say_volume(over),
                )
            )
        return min(volume_m3, self.capacity_m3)


def _kind(kind: str) -> Kind:
    if kind not in KINDS:
        raise PanError(f"{kind!r} is no kind of pan. Choose one of: {', '.join(KINDS)}.", "kind")
    return KINDS[kind]


def whole_number(value, name: str, low: int, field: str = "") -> int:
    """A count that is whole and no less than `low`, or a `PanError`."""
    try:
        number = operator.index(value)
    except TypeError:
        raise PanError(f"The number of {name}, {value!r}, must be whole.", field) from None
    if number < low:
        raise PanError(f"The number of {name}, {number}, must be {low} or more.", field)
    return number


def _pair(size, name: str) -> tuple[float, float]:
    sizes = tuple(size) if isinstance(size, (tuple, list)) else (size, size)
    if len(sizes) != 2:
        raise PanError(f"The {name} needs one or two sizes, not {len(sizes)}.")
    return si(sizes[0], "length", name), si(sizes[1], "length", name)


def _check_words(pan: Pan) -> None:
    shape = _kind(pan.kind).shape
    if pan.shape != shape:
        raise PanError(f"A {pan.kind} pan has the shape {shape}, not {pan.shape!r}.", "shape")
    if pan.material not in MATERIALS:
        known = ", ".join(MATERIALS)
        raise PanError(f"{pan.material!r}: choose one material of {known}.", "material")
    whole_number(pan.wells, "wells", 1, field="wells")


def _check_sizes(pan: Pan) -> None:
    """Sizes that are finite, inside a kitchen's range, and lean outwards."""
    box, tube = pan.shape == "box", pan.shape == "tube"
    pairs = [(mark("length") if box else mark("size across"), "top_length", "bottom_length")]
    if box:
        pairs.append((mark("width"), "top_width", "bottom_width"))
    else:
        for end in ("top", "bottom"):
            if getattr(pan, f"{end}_width") not in (None, getattr(pan, f"{end}_length")):
                raise PanError(
                    tr("A round pan has one size across. Leave its widths empty."), f"{end}_width"
                )
    for name, rim, floor in [*pairs, ("depth", "height", "height")]:
        top, bottom = getattr(pan, rim), getattr(pan, floor)
        if top is None or bottom is None:
            raise PanError(
                tr("The {name} at the rim and at the bottom are both needed.", name=tr(name)),
                rim if top is None else floor,
            )
        if name == "depth" and top > _DEEPEST:
            raise PanError(
                tr(
                    "No baking pan is {depth} deep; the deepest is about {deepest}. Check its "
                    "unit.",
                    depth=say_length(top),
                    deepest=say_length(_DEEPEST),
                ),
                rim,
            )
        for size, place in ((top, rim), (bottom, floor)):
            if not 0.004 <= size <= _WIDEST:
                raise PanError(
                    tr(
                        "A {name} of {size} cm fits no oven. Check its unit.",
                        name=tr(name),
                        size=num(size * 100, ".3g"),
                    ),
                    place,
                )
        if bottom > top:
            raise PanError(
                tr(
                    "The {name} is {bottom} at the bottom and {top} at the rim. Pans lean "
                    "outwards: swap the two, or measure again.",
                    name=tr(name),
                    bottom=say_length(bottom),
                    top=say_length(top),
                ),
                floor,
            )
    narrowest = min(getattr(pan, floor) for _, _, floor in pairs)
    if not 0 <= pan.corner <= (narrowest / 2 * (1 + 1e-9) if box else 0):
        corner = num(pan.corner * 100, ".3g")
        raise PanError(
            tr(
                "A corner radius of {corner} cm does not fit. It is at most half of the bottom, "
                "{most}.",
                corner=corner,
                most=say_length(narrowest / 2),
            )
            if box
            else tr(
                "A corner radius of {corner} cm does not fit. It is 0 for a round.", corner=corner
            ),
            "corner",
        )
    if not tube and (pan.tube_top or pan.tube_bottom):
        raise PanError(
            tr(
                "A {kind} pan has no tube. Leave the tube empty, or call it a tube.",
                kind=tr(pan.kind),
            ),
            "tube_top" if pan.tube_top else "tube_bottom",
        )
    if tube and not 0 < pan.tube_top <= pan.tube_bottom < pan.bottom_length:
        raise PanError(
            tr(
                "A tube needs a size across at the rim above 0, at the bottom no smaller, and less "
                "than the bottom of the pan."
            ),
            "tube_bottom" if pan.tube_top > 0 else "tube_top",
        )


def _times(first: tuple[float, float], second: tuple[float, float]) -> tuple[float, float, float]:
    """Product of two straight lines ``a + b z``, as the coefficients of a quadratic."""
    (a, b), (c, d) = first, second
    return a * c, a * d + b * c, b * d


def say_volume(cubic_metres: float) -> str:
    return say_both(Q(cubic_metres * 1e6, "ml"))


def say_length(metres: float) -> str:
    return say_both(Q(metres * 100, "cm"))
