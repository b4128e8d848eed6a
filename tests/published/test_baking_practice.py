"""Baking times against common practice, and the model's numbers against their published ranges.

Every time in the table is common practice, no source: a base batch of about 1.07 L of raw batter,
which fills two loaf pans, in an oven at 350 °F. The model's numbers are one set for all pans.
"""

import math

import numpy as np
import pytest

import kitchenkit as kk
from kitchenkit.baking import HEAT, MATERIAL_HEAT, RESIDUAL, WINDOW, bake_time
from kitchenkit.pans import MATERIALS

BATCH, LOAF_SHARE = "1.07 l", "0.535 l"
LOAF = "loaf-8.5x4.5"
# Practice does not say how much goes into a mini muffin cup: two-thirds of its brim is assumed.
TWO_THIRDS = 2 / 3

# Pan, batter in one pan or well, minutes from and to: common practice, no source.
PRACTICE = [
    (LOAF, LOAF_SHARE, 55, 60),
    ("rectangle-13x9", BATCH, 32, 36),
    ("square-8-glass", LOAF_SHARE, 25, 28),
    ("square-9-glass", LOAF_SHARE, 25, 28),
    ("muffin-12", "24 wells", 22, 24),  # the batch over two tins of twelve
    ("mini-muffin-24", "two-thirds", 16, 18),
]
KEYS = [row[0] for row in PRACTICE]


def _batter(pan, words):
    if words == "24 wells":
        return kk.read_measure(BATCH) / 24
    return pan.capacity * TWO_THIRDS if words == "two-thirds" else kk.read_measure(words)


def _bakes(kit, loaf=LOAF):
    """Pan, batter and the middle of what practice says, with another loaf pan if asked for."""
    for key, words, low, high in PRACTICE:
        pan = kit.pans[loaf if key == LOAF else key]
        yield pan, _batter(pan, words), (low + high) / 2


def _logs(kit, loaf=LOAF):
    """ln(predicted / practice) over the table."""
    return np.array(
        [
            math.log(bake_time(pan, batter, "350 degF").minutes.m_as("min") / middle)
            for pan, batter, middle in _bakes(kit, loaf)
        ]
    )


def _known_error(kit, loaf=LOAF):
    """Root-mean-square relative error over the table with the loaf pan alone as known."""
    bakes = list(_bakes(kit, loaf))
    errors = [
        bake_time(pan, batter, "350 degF", known=bakes[0]).minutes.m_as("min") / middle - 1
        for pan, batter, middle in bakes
    ]
    assert errors[0] == pytest.approx(0, abs=1e-9)
    return math.sqrt(np.mean(np.square(errors)))


@pytest.mark.parametrize("loaf", [LOAF, "loaf-8x4", "loaf-9x5"])
def test_every_window_holds_the_middle_of_practice(kit, loaf):
    """Practice does not name the loaf pan's size; the windows hold for all three."""
    for pan, batter, middle in _bakes(kit, loaf):
        found = bake_time(pan, batter, "350 degF")
        assert found.low.m_as("min") <= middle <= found.high.m_as("min"), pan.key


def test_the_stated_residual_is_the_one_measured(kit):
    """Six rows less the two numbers that were set on them."""
    logs = _logs(kit)
    measured = math.sqrt(np.sum(logs**2) / (len(logs) - 2))
    print(
        f"\nln(predicted / practice): rms {math.sqrt(np.mean(logs**2)):.3f}, "
        f"less two numbers set {measured:.3f}, stated {RESIDUAL}",
        *(f"{key} {math.exp(log):.2f}" for key, log in zip(KEYS, logs, strict=True)),
        sep="\n  ",
    )
    assert measured == pytest.approx(RESIDUAL, abs=0.01)
    assert pytest.approx(2 * RESIDUAL) == WINDOW
    docs = " ".join(bake_time.__doc__.split())
    assert f"residual of {RESIDUAL:.2f}" in docs
    # The window that a learner gets is that one.
    found = bake_time(kit.pans["rectangle-13x9"], BATCH)
    assert math.log(found.high / found.minutes) == pytest.approx(WINDOW)
    assert math.log(found.minutes / found.low) == pytest.approx(WINDOW)


def test_with_the_loaf_pan_alone_known_the_error_is_at_most_15_percent(kit):
    error = _known_error(kit)
    print(f"\nrms error with the loaf known: {error:.1%}")
    assert error <= 0.15


@pytest.mark.parametrize("loaf", ["loaf-8x4", "loaf-9x5"])
def test_another_loaf_pan_known_carries_over_less_well(kit, loaf):
    """No claim of 15 %: taken as the 8 × 4 or the 9 × 5, the loaf stands deeper or shallower.

    It is about 19 and 17 % then.
    """
    error = _known_error(kit, loaf)
    print(f"\nrms error with the {loaf} known: {error:.1%}")
    assert error <= 0.20


def test_how_deep_the_batter_stands_decides(kit):
    """The same half batch: deep in a loaf pan it takes twice as long as in a square dish."""
    loaf, square = (kit.pans[key] for key in (LOAF, "square-8-glass"))
    times = [bake_time(pan, LOAF_SHARE).minutes for pan in (loaf, square)]
    assert times[0] / times[1] == pytest.approx(57.5 / 26.5, rel=WINDOW)
    assert loaf.depth(LOAF_SHARE) > 1.5 * square.depth(LOAF_SHARE)


# The numbers of the model -----------------------------------------------------------------------

# Name, lowest, highest, who says so.
RANGES = [
    ("h_pan", 20, 48, "measured on cakes in a tunnel oven: Baik et al., J. Food Science 64:688"),
    ("h_top", 5, 20, "an assumption: natural convection and radiation less evaporation"),
    ("conductivity", 0.1, 0.25, "from memory, unverified"),
    ("diffusivity", 1e-7, 2.5e-7, "from memory, unverified"),
    ("rise", 1.3, 2.0, "common practice, no source"),
    ("done_c", 93, 98, "muffins, Home Baking Association"),
]


@pytest.mark.parametrize(("name", "low", "high", "source"), RANGES, ids=[r[0] for r in RANGES])
def test_a_number_lies_in_its_range(name, low, high, source):
    assert low <= getattr(HEAT, name) <= high, source


def test_no_number_is_without_a_range_and_none_is_set_per_pan():
    assert set(vars(HEAT)) == {row[0] for row in RANGES}
    assert set(MATERIAL_HEAT) == set(MATERIALS)  # by material alone


@pytest.mark.parametrize("material", MATERIALS)
def test_the_material_of_a_pan_lies_in_its_assumed_range(material):
    """0.8 to 1.35, an assumption; light metal is what the others are told by."""
    assert 0.8 <= MATERIAL_HEAT[material] <= 1.35
    assert MATERIAL_HEAT["metal"] == 1
