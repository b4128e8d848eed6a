"""Conduction series against printed tables, worked examples, limits and a second root finder."""

import math

import numpy as np
import pytest
from scipy.optimize import brentq
from scipy.special import j0, j1, jn_zeros

from kitchenkit.conduction import box, cylinder, round_body, two_faced_slab, wall

HALF_DIGIT = 0.5e-4 + 1e-6  # of four printed decimals

# Printed tables --------------------------------------------------------------------------------

# Biot number; root and amplitude of the wall, then of the cylinder.
# Çengel, Heat and Mass Transfer, table "Coefficients used in the one-term approximate solution",
# Bi 0.01 to 10 read in a stored copy; Bi 20 to 100 from memory, unverified.
PRINTED = [
    (0.01, 0.0998, 1.0017, 0.1412, 1.0025),
    (0.02, 0.1410, 1.0033, 0.1995, 1.0050),
    (0.04, 0.1987, 1.0066, 0.2814, 1.0099),
    (0.06, 0.2425, 1.0098, 0.3438, 1.0148),
    (0.08, 0.2791, 1.0130, 0.3960, 1.0197),
    (0.1, 0.3111, 1.0161, 0.4417, 1.0246),
    (0.2, 0.4328, 1.0311, 0.6170, 1.0483),
    (0.3, 0.5218, 1.0450, 0.7465, 1.0712),
    (0.4, 0.5932, 1.0580, 0.8516, 1.0931),
    (0.5, 0.6533, 1.0701, 0.9408, 1.1143),
    (0.6, 0.7051, 1.0814, 1.0184, 1.1345),
    (0.7, 0.7506, 1.0918, 1.0873, 1.1539),
    (0.8, 0.7910, 1.1016, 1.1490, 1.1724),
    (0.9, 0.8274, 1.1107, 1.2048, 1.1902),
    (1.0, 0.8603, 1.1191, 1.2558, 1.2071),
    (2.0, 1.0769, 1.1785, 1.5995, 1.3384),
    (3.0, 1.1925, 1.2102, 1.7887, 1.4191),
    (4.0, 1.2646, 1.2287, 1.9081, 1.4698),
    (5.0, 1.3138, 1.2403, 1.9898, 1.5029),
    (6.0, 1.3496, 1.2479, 2.0490, 1.5253),
    (7.0, 1.3766, 1.2532, 2.0937, 1.5411),
    (8.0, 1.3978, 1.2570, 2.1286, 1.5526),
    (9.0, 1.4149, 1.2598, 2.1566, 1.5611),
    (10.0, 1.4289, 1.2620, 2.1795, 1.5677),
    (20.0, 1.4961, 1.2699, 2.2880, 1.5919),
    (30.0, 1.5202, 1.2717, 2.3261, 1.5973),
    (40.0, 1.5325, 1.2723, 2.3455, 1.5993),
    (50.0, 1.5400, 1.2727, 2.3572, 1.6002),
    (100.0, 1.5552, 1.2731, 2.3809, 1.6015),
]
# Bergman et al., Fundamentals of Heat and Mass Transfer, 7th ed., Table 5.1: from memory,
# unverified, its rows computed anew. It rounds two values the other way than the table above.
BERGMAN = [
    (0.1, 0.3111, 1.0161, 0.4417, 1.0246),
    (0.5, 0.6533, 1.0701, 0.9408, 1.1143),
    (1.0, 0.8603, 1.1191, 1.2558, 1.2071),
    (2.0, 1.0769, 1.1785, 1.5994, 1.3384),
    (5.0, 1.3138, 1.2402, 1.9898, 1.5029),
    (10.0, 1.4289, 1.2620, 2.1795, 1.5677),
]


@pytest.mark.parametrize("row", PRINTED + BERGMAN, ids=lambda row: f"{row[0]:g}")
def test_first_root_and_amplitude_are_as_printed(row):
    biot, *printed = row
    ours = [float(n) for f in (wall, cylinder) for n in (f(biot).root[0], f(biot).amplitude[0])]
    assert ours == pytest.approx(printed, abs=HALF_DIGIT)


# A second root finder --------------------------------------------------------------------------

BIOTS = np.geomspace(0.01, 100, 81)
JUST = 1e-12  # keeps a bracket off the pole at its end


def _second_wall(biot, n):
    """The n-th root of ζ tan ζ = Bi and its amplitude, by SciPy's brentq between poles."""
    low, high = n * math.pi + JUST, (n + 0.5) * math.pi - JUST
    z = brentq(lambda z: z * math.tan(z) - biot, low, high, xtol=1e-13)
    return z, 4 * math.sin(z) / (2 * z + math.sin(2 * z))


def _second_cylinder(biot, n):
    """The n-th root of ζ J1(ζ) = Bi J0(ζ) and its amplitude, by SciPy's brentq between zeros."""
    low = jn_zeros(1, n)[-1] + JUST if n else JUST
    high = jn_zeros(0, n + 1)[-1] - JUST
    z = brentq(lambda z: z * j1(z) - biot * j0(z), low, high, xtol=1e-13)
    return z, 2 / z * j1(z) / (j0(z) ** 2 + j1(z) ** 2)


@pytest.mark.parametrize(("ours", "second"), [(wall, _second_wall), (cylinder, _second_cylinder)])
def test_roots_and_amplitudes_agree_with_a_second_root_finder(ours, second):
    """Far closer than the four decimals asked for, for every term of the series."""
    modes = ours(BIOTS)
    for at, biot in enumerate(BIOTS):
        for n in range(modes.root.shape[-1]):
            root, amplitude = second(biot, n)
            assert modes.root[at, n] == pytest.approx(root, abs=1e-9)
            assert modes.amplitude[at, n] == pytest.approx(amplitude, abs=1e-9)


@pytest.mark.parametrize("below", [0.01, 0.3, 2.0, 30.0])
@pytest.mark.parametrize("above", [0.0, 0.05, 1.0, 100.0])
def test_roots_of_unlike_faces_agree_with_a_second_root_finder(below, above):
    """Carslaw and Jaeger, §3.11: tan z = z (B1 + B2) / (z² − B1 B2), one root in each half turn.

    Written without its poles: (z² − B1 B2) sin z − z (B1 + B2) cos z = 0.
    """

    def left(z):
        return (z * z - below * above) * math.sin(z) - z * (below + above) * math.cos(z)

    roots = two_faced_slab(below, above).root
    for n, root in enumerate(roots):
        low, high = n * math.pi + 1e-9, (n + 1) * math.pi - 1e-9
        assert left(low) * left(high) < 0
        assert root == pytest.approx(brentq(left, low, high, xtol=1e-13), abs=1e-8)


# Worked examples -------------------------------------------------------------------------------


def test_cengel_steak_slab():
    """Çengel, Heat and Mass Transfer, ch. 4, problem on steaks; its solution read.

    A slab of half-thickness 10 mm, k 0.45 W/(m K), α 0.91e-7 m²/s, h 9 W/(m² K), from 25 °C in air
    at −11 °C until its surface is at 2 °C.
    """
    half, alpha = 0.010, 0.91e-7
    biot = 9 * half / 0.45
    assert biot == pytest.approx(0.200, abs=5e-4)
    modes = wall(biot)
    assert modes.root[0] == pytest.approx(0.4328, abs=HALF_DIGIT)
    assert modes.amplitude[0] == pytest.approx(1.0311, abs=HALF_DIGIT)
    face = modes._replace(amplitude=modes.amplitude * np.cos(modes.root))  # the shape at the face
    wanted = (2 - -11) / (25 - -11)
    fourier = brentq(lambda fo: face.excess(fo) - wanted, 0.2, 50)
    assert fourier == pytest.approx(5.085, abs=2e-3)  # printed from roots of four decimals
    seconds = fourier * half**2 / alpha
    assert seconds == pytest.approx(5590, abs=5)
    assert seconds / 60 == pytest.approx(93.1, abs=0.05)


def test_cengel_short_brass_cylinder():
    """Çengel, Heat and Mass Transfer, ch. 4: centre about 63 °C (from memory, unverified).

    Diameter 10 cm, height 12 cm, 120 °C in air at 25 °C, h 60 W/(m² K), k 110 W/(m K),
    α 33.9e-6 m²/s, after 15 min; 62.7 °C by one term with unrounded roots.
    """
    body = round_body((0.10, 0.12), 110.0, 60.0, 60.0, 60.0)
    centre = 25 + (120 - 25) * float(body.excess(33.9e-6, 900))
    assert centre == pytest.approx(63, abs=0.5)
    assert centre == pytest.approx(62.7, abs=0.05)


# Limits ----------------------------------------------------------------------------------------


def test_a_small_biot_number_is_lumped_cooling():
    """Bergman et al., eq. 5.6: exp(−h A t / (ρ c V)), whatever the shape."""
    k, alpha, h = 1.0, 1e-6, 1e-4
    length, width, height = 0.1, 0.2, 0.05
    seconds = np.array([1e6, 2e7, 1e8])
    rate = h * alpha / k  # h / (ρ c)
    over_volume = 2 / length + 2 / width + 2 / height  # A / V of a box
    ours = box((length, width, height), k, h, h, h).excess(alpha, seconds)
    assert ours == pytest.approx(np.exp(-rate * over_volume * seconds), rel=1e-4)
    over_volume = 4 / length + 2 / height  # of a short cylinder
    ours = round_body((length, height), k, h, h, h).excess(alpha, seconds)
    assert ours == pytest.approx(np.exp(-rate * over_volume * seconds), rel=1e-4)
    over_volume = 2 / length + 2 / width + 1 / height  # a box heated from below and the sides
    ours = box((length, width, height), k, h, 0.0, h).excess(alpha, seconds)
    assert ours == pytest.approx(np.exp(-rate * over_volume * seconds), rel=1e-4)


@pytest.mark.parametrize("biot", [1e6, 1e9])
def test_a_large_biot_number_is_a_surface_held_fixed(biot):
    """Any handbook: wall ζ π/2, C 4/π; cylinder ζ 2.4048, C 1.6020 (2 / (ζ J1(ζ)) = 1.60197)."""
    assert wall(biot).root == pytest.approx((np.arange(8) + 0.5) * np.pi, rel=2e-6)
    assert wall(biot).amplitude[0] == pytest.approx(4 / math.pi, abs=1e-6)
    assert cylinder(biot).root == pytest.approx(jn_zeros(0, 8), rel=2e-6)
    assert cylinder(biot).root[0] == pytest.approx(2.4048, abs=HALF_DIGIT)
    assert cylinder(biot).amplitude[0] == pytest.approx(1.6020, abs=HALF_DIGIT)


@pytest.mark.parametrize("biot", [0.01, 1.0, 100.0])
def test_equal_faces_are_the_plane_wall(biot):
    """On the whole thickness: twice the Biot number, and a Fourier number of a quarter."""
    fourier = np.linspace(0.05, 3, 40)
    slab = two_faced_slab(2 * biot, 2 * biot).excess(fourier / 4)
    # Ten terms of the one are five of the other, as every second one vanishes in the middle.
    assert slab == pytest.approx(wall(biot).excess(fourier), abs=1e-7)


@pytest.mark.parametrize("biot", [0.05, 1.0, 50.0])
def test_one_face_closed_is_half_a_wall(biot):
    fourier = np.linspace(0.05, 3, 40)
    assert two_faced_slab(biot, 0.0).excess(fourier) == pytest.approx(
        wall(biot).excess(fourier), abs=1e-4
    )


def test_a_brick_with_one_long_side_is_the_two_dimensional_answer():
    """Bergman et al., §5.8: a long bar is the product of two walls."""
    k, alpha, h = 0.25, 1.1e-7, 20.0
    width, height, seconds = 0.10, 0.05, np.linspace(300, 6000, 12)
    brick = box((5.0, width, height), k, h, h, h).excess(alpha, seconds)
    bar = 1.0
    for size in (width, height):
        bar = bar * wall(h * size / 2 / k).excess(alpha * seconds / (size / 2) ** 2)
    assert brick == pytest.approx(bar, abs=1e-6)
    shorter = box((0.12, width, height), k, h, h, h).excess(alpha, seconds)
    assert (shorter < bar - 1e-3).any()  # so that the long side is what makes the two agree


def test_a_wide_round_is_the_slab_alone():
    k, alpha, h, height = 0.25, 1.1e-7, 20.0, 0.05
    seconds = np.linspace(300, 6000, 12)
    slab = wall(h * height / 2 / k).excess(alpha * seconds / (height / 2) ** 2)
    disc = round_body((5.0, height), k, h, h, h).excess(alpha, seconds)
    assert disc == pytest.approx(slab, abs=1e-6)
