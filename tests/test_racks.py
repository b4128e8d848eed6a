"""What a rack holds: nothing overlaps, nothing sticks out, and the grid of alike pans is found."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

import kitchenkit as kk
from kitchenkit.errors import KitchenError
from kitchenkit.racks import AIR_M, Oven, footprint, on_racks

HAIR = 1e-6
PANS = ["loaf-8.5x4.5", "muffin-12", "square-8", "mini-loaf", "round-9x2", "tube-10x4", "muffin-6"]


def test_a_tin_of_twelve_is_four_by_three(kit):
    """Makers' tins of twelve cups are about 14 × 10 1/2 in outside (from memory, unverified)."""
    length, width = (side.m_as("inch") for side in footprint(kit.pans["muffin-12"]))
    assert length == pytest.approx(14, abs=1)
    assert width == pytest.approx(10.5, abs=1)


def test_a_round_takes_a_square(kit):
    length, width = footprint(kit.pans["round-9x2"])
    assert length == width
    assert length.m_as("cm") == pytest.approx(9 * 2.54 + 2)


@given(
    names=st.lists(st.sampled_from(PANS), min_size=1, max_size=9),
    racks=st.integers(1, 3),
    sides=st.tuples(st.floats(30, 80), st.floats(30, 80)),
)
def test_pans_stand_apart_and_inside(kit, names, racks, sides):
    oven = Oven("one", racks, *(f"{side:.2f} cm" for side in sides))
    pans = [kit.pans[name] for name in names]
    spots = on_racks(pans, oven)
    if spots is None:
        return
    assert len(spots) == len(pans)
    for pan, spot in zip(pans, spots, strict=True):
        wanted = sorted(side.m_as("m") for side in footprint(pan))
        assert sorted((spot.length, spot.width)) == pytest.approx(wanted)
        assert 0 <= spot.rack < racks
        assert spot.x >= AIR_M - HAIR
        assert spot.y >= AIR_M - HAIR
        assert spot.x + spot.length <= oven.size_m[0] - AIR_M + HAIR
        assert spot.y + spot.width <= oven.size_m[1] - AIR_M + HAIR
    for at, one in enumerate(spots):
        for other in spots[:at]:
            apart = (
                one.rack != other.rack
                or one.x + one.length + AIR_M <= other.x + HAIR
                or other.x + other.length + AIR_M <= one.x + HAIR
                or one.y + one.width + AIR_M <= other.y + HAIR
                or other.y + other.width + AIR_M <= one.y + HAIR
            )
            assert apart


@pytest.mark.parametrize("name", PANS)
@pytest.mark.parametrize("size", [("24 in", "16 in"), ("46 cm", "36 cm"), ("16 in", "24 in")])
def test_pans_alike_fill_the_better_grid(kit, name, size):
    """As many as the better of two grids, counted by whole divisions."""
    oven = Oven("one", 2, *size)
    length, width = (side - AIR_M for side in oven.size_m)
    a, b = (side.m_as("m") + AIR_M for side in footprint(kit.pans[name]))
    grid = 2 * max((length // a) * (width // b), (length // b) * (width // a))
    many = 0
    while on_racks([kit.pans[name]] * (many + 1), oven):
        many += 1
    assert many == grid


def test_a_wide_rack_takes_two_tins_and_a_narrow_one_takes_one(kit):
    tin = kit.pans["muffin-12"]
    assert on_racks([tin] * 2, Oven(racks=1)) is not None
    assert on_racks([tin] * 3, Oven(racks=1)) is None
    narrow = Oven("narrow", 1, "46 cm", "36 cm")
    assert on_racks([tin], narrow) is not None
    assert on_racks([tin] * 2, narrow) is None


@pytest.mark.parametrize(
    ("options", "says"),
    [
        ({"racks": 0}, "1 or more"),
        ({"racks": 4}, "Choose 1, 2 or 3"),
        ({"length": "1 in"}, "holds no pan"),
        ({"length": "2 cups"}, "not a length"),
        ({"preheat": -1}, "Write 0 or more"),
        ({"preheat": float("nan")}, "Write 0 or more"),
    ],
)
def test_no_oven_is_said_so(options, says):
    with pytest.raises(KitchenError, match=says):
        kk.Oven("odd", **options)
