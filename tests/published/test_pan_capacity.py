"""The shipped pans against published charts, and against a general-purpose geometry library."""

import csv
import math
from pathlib import Path

import pytest
from scipy.spatial import ConvexHull

from kitchenkit.pans import Pan
from kitchenkit.swapping import same_depth
from kitchenkit.units import Q

TABLE = Path(__file__).parents[2] / "data" / "pans.csv"
LENGTHS = ("top_length", "top_width", "bottom_length", "bottom_width", "corner")
LENGTHS += ("tube_top", "tube_bottom")


def _pan(row):
    metre = Q(1, row["unit"]).m_as("m")
    sizes = {name: float(row[name]) * metre for name in LENGTHS if row[name]}
    words = {name: row[name] for name in ("key", "name", "kind", "shape", "material", "nominal")}
    return Pan(**words, **sizes, height=float(row["depth"]) * metre, wells=int(row["wells"]))


with TABLE.open(encoding="utf-8", newline="") as file:
    ROWS = {row["key"]: row for row in csv.DictReader(file)}
assert not any(None in row for row in ROWS.values()), "a row has more cells than columns"
PANS = {key: _pan(row) for key, row in ROWS.items()}

# Published capacity, level full ----------------------------------------------------------------

CHARTS = "newspaper and extension charts, which disagree and share ancestry"
EXTENSION = (
    "Kansas State Univ. Extension MF3531; Univ. of Nebraska-Lincoln Extension, in the same words"
)
NOBODY = "common practice, no source"

# Pan, the capacity of a box with upright walls in US cups as printed (tubes have none), the
# published cups (lowest and highest) and who says so.
PUBLISHED = [
    ("loaf-8x4", 5.5, 4, 4, CHARTS),
    ("loaf-8.5x4.5", 6.6, 6, 6, CHARTS),
    ("loaf-9x5", 9.4, 8, 8, CHARTS),
    ("round-8x1.5", 5.2, 4, 4, CHARTS),
    ("round-8x2", 7.0, 6, 6, CHARTS),
    ("round-9x1.5", 6.6, 6, 6, CHARTS),
    ("round-9x2", 8.8, 8, 8, CHARTS),
    ("square-8", 8.9, 8, 8, CHARTS),
    ("square-9", 11.2, 10, 10, CHARTS),
    ("rectangle-13x9", 16.2, 14, 15, EXTENSION),
    ("sheet-15x10", 10.4, 10, 10, CHARTS),
    ("tube-9x3", None, 12, 12, CHARTS),
    ("tube-10x4", None, 16, 16, CHARTS),
    ("muffin-12", None, 1 / 4, 1 / 2, NOBODY),
    ("mini-muffin-24", None, 1 / 8, 1 / 8, NOBODY),  # 2 tablespoons
]
# Makers hold a capacity to within 5 % (a trade terminology page); the charts stray further from
# one another and from geometry.
TOLERANCE = 0.12


@pytest.mark.parametrize(("key", "box", "low", "high", "source"), PUBLISHED)
def test_capacity_is_near_what_is_published(key, box, low, high, source):
    cups = PANS[key].capacity.m_as("cup")
    assert low * (1 - TOLERANCE) <= cups <= high * (1 + TOLERANCE), source


def _nominal(key):
    """The sizes in a pan's name, in inches: rim first, depth last."""
    return [float(size) for size in ROWS[key]["nominal"].split("x")]


@pytest.mark.parametrize(("key", "box", "low", "high", "source"), PUBLISHED)
def test_no_pan_holds_more_than_its_name_with_upright_walls(key, box, low, high, source):
    *rim, depth = _nominal(key)
    area = rim[0] * rim[1] if len(rim) == 2 else math.pi / 4 * rim[0] ** 2
    bound = Q(area * depth, "inch**3").m_as("cup")
    if box is not None:
        assert bound == pytest.approx(box, abs=0.05)  # half the last printed digit
    assert PANS[key].capacity.m_as("cup") <= bound


BY_THE_RIM = [
    key
    for key, row in ROWS.items()
    if row["unit"] == "in" and key not in ("sheet-quarter", "sheet-half")  # named by the outside
]


@pytest.mark.parametrize("key", BY_THE_RIM)
def test_pans_are_named_by_their_inside_rim_to_a_quarter_inch(key):
    """A trade terminology page: named by top inside size, within 1/4 in."""
    pan, nominal = PANS[key], _nominal(key)
    length, width, _ = pan.size_at(Q(pan.height, "m"))
    assert length.m_as("inch") == pytest.approx(nominal[0], abs=0.25 + 1e-9)
    if len(nominal) == 3:
        assert width.m_as("inch") == pytest.approx(nominal[1], abs=0.25 + 1e-9)


@pytest.mark.parametrize("other", ["square-8", "round-9x2"])
def test_half_a_13x9_recipe_fits_a_smaller_pan_at_the_same_depth(other):
    """Kansas State Univ. Extension MF3531 says so; a rule of thumb, held to 15 % in depth.

    By the names alone, 13 × 9 halved is 58.5 sq in, a square 8 has 64 and a round 9 has 63.6:
    half the recipe fits either, a little shallower.
    """
    large, small = PANS["rectangle-13x9"], PANS[other]
    depth = large.depth(large.usual_volume)
    assert small.depth(large.usual_volume / 2) / depth == pytest.approx(1, abs=0.15)
    assert same_depth(large.usual_volume, large, small).share >= 0.5


# A general-purpose geometry library ------------------------------------------------------------


def _ring(across, z, points=720):
    turns = (2 * math.pi * n / points for n in range(points))
    return [(across / 2 * math.cos(turn), across / 2 * math.sin(turn), z) for turn in turns]


def _frame(length, width, corner, z, points=180):
    """A rectangle with rounded corners; its corner arcs are cut into chords."""
    outline = []
    for quarter, (right, back) in enumerate([(1, 1), (-1, 1), (-1, -1), (1, -1)]):
        x, y = right * (length / 2 - corner), back * (width / 2 - corner)
        for n in range(points + 1):
            turn = math.pi / 2 * (quarter + n / points)
            outline.append((x + corner * math.cos(turn), y + corner * math.sin(turn), z))
    return outline


def _hull(row, metre):
    size = {name: float(row[name] or 0) * metre for name in (*LENGTHS, "depth")}
    depth = size["depth"]
    if row["shape"] == "box":
        outline = _frame(size["bottom_length"], size["bottom_width"], size["corner"], 0.0)
        outline += _frame(size["top_length"], size["top_width"], size["corner"], depth)
        return ConvexHull(outline).volume
    outer = ConvexHull(_ring(size["bottom_length"], 0.0) + _ring(size["top_length"], depth)).volume
    if row["shape"] == "round":
        return outer
    inner = _ring(size["tube_bottom"], 0.0) + _ring(size["tube_top"], depth)
    return outer - ConvexHull(inner).volume


@pytest.mark.parametrize("key", ROWS)
def test_capacity_agrees_with_the_hull_of_a_faceted_solid(key):
    """SciPy's ConvexHull (Qhull). Facets cut at most 0.002 % off a round."""
    row = ROWS[key]
    solid = _hull(row, Q(1, row["unit"]).m_as("m"))
    assert PANS[key].capacity.m_as("m**3") == pytest.approx(solid, rel=1e-4)


# The table itself ------------------------------------------------------------------------------


def test_no_pan_of_the_table_holds_more_than_its_upright_box():
    for pan in PANS.values():
        assert pan.capacity.m_as("ml") <= pan.box_capacity.m_as("ml") * (1 + 1e-12), pan.key


def test_the_table_has_every_kind_and_material_a_kitchen_owns():
    assert len(PANS) >= 36
    assert {pan.material for pan in PANS.values()} == {
        "metal",
        "dark metal",
        "glass",
        "ceramic",
        "silicone",
    }
    assert {pan.wells for pan in PANS.values()} >= {1, 6, 8, 12, 24}
