"""Heat in a body: what must hold for any size, conductivity and surface."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from kitchenkit.conduction import box, cylinder, round_body, two_faced_slab, wall

sizes = st.floats(0.003, 1.0)  # m
coefficients = st.floats(0.5, 2000)  # W/(m² K)
conductivities = st.floats(0.05, 100)  # W/(m K)
ALPHA = 1e-6
SERIES = {
    "wall": wall,
    "cylinder": cylinder,
    "slab": lambda biot: two_faced_slab(biot, biot / 3),
    "closed": lambda biot: two_faced_slab(0 * biot, biot),
}


@st.composite
def bodies(draw):
    k, below, above, side = draw(conductivities), *(draw(coefficients) for _ in range(3))
    if draw(st.booleans()):
        return box((draw(sizes), draw(sizes), draw(sizes)), k, below, above, side)
    return round_body((draw(sizes), draw(sizes)), k, below, above, side)


@pytest.mark.parametrize("series", SERIES.values(), ids=SERIES)
@given(log_biot=st.floats(-4, 6))
def test_excess_starts_at_1_and_only_falls(series, log_biot):
    modes = series(np.float64(10**log_biot))
    fourier = np.concatenate([[0.0], np.geomspace(1e-6, 30, 400)])
    excess = modes.excess(fourier)
    assert (excess[fourier < modes.early] == 1).all()
    # Closed on one side the ten terms wiggle by less than their own error as they set in.
    assert (np.diff(excess) <= 2e-5).all()
    assert ((excess >= 0) & (excess <= 1)).all()


@pytest.mark.parametrize("series", [wall, cylinder])
@given(log_biot=st.floats(-4, 6))
def test_the_early_1_is_right_to_a_part_in_ten_thousand(series, log_biot):
    """Against two hundred terms, from ten times earlier on."""
    biot, fourier = 10**log_biot, np.geomspace(0.0025, 1, 200)
    many = series(biot, 200)
    full = np.sum(many.amplitude * np.exp(-(many.root**2) * fourier[:, None]), axis=-1)
    assert series(biot).excess(fourier) == pytest.approx(full, abs=1e-4)


@given(log_below=st.floats(-3, 5), log_above=st.floats(-3, 5))
def test_few_terms_of_unlike_faces_are_enough(log_below, log_above):
    below, above = 10**log_below, 10**log_above
    few, many = two_faced_slab(below, above), two_faced_slab(below, above, 200)
    fourier = np.geomspace(few.early, 2, 200)
    full = np.sum(many.amplitude * np.exp(-(many.root**2) * fourier[:, None]), axis=-1)
    assert few.excess(fourier) == pytest.approx(np.minimum(full, 1), abs=1e-4)


@given(below=st.floats(0.01, 100), above=st.floats(0.01, 100))
def test_which_face_is_below_does_not_matter(below, above):
    fourier = np.linspace(0, 3, 50)
    there = two_faced_slab(below, above).excess(fourier)
    assert two_faced_slab(above, below).excess(fourier) == pytest.approx(there, abs=1e-7)


@given(
    body=bodies(),
    wanted=st.floats(1e-4, 0.9),
)
def test_the_time_until_an_excess_is_when_it_has_it(body, wanted):
    seconds = body.seconds_until(ALPHA, wanted)
    assert seconds > 0
    # The step at the end of the early times may be wider than the rounding.
    before, after = (
        body.excess(ALPHA, seconds * (1 - 1e-5)),
        body.excess(ALPHA, seconds * (1 + 1e-5)),
    )
    assert before >= wanted - 1e-7
    assert after <= wanted + 1e-7


@given(body=bodies(), wanted=st.floats(1e-3, 0.9), share=st.floats(0.1, 0.95))
def test_a_smaller_excess_takes_longer_and_diffusivity_scales_time(body, wanted, share):
    seconds = float(body.seconds_until(ALPHA, wanted))
    assert body.seconds_until(ALPHA, wanted * share) > seconds
    assert body.seconds_until(ALPHA * 3, wanted) == pytest.approx(seconds / 3)


@given(
    size=st.tuples(sizes, sizes, sizes),
    k=conductivities,
    h=st.tuples(coefficients, coefficients, coefficients),
    wanted=st.floats(0.01, 0.9),
    stretch=st.floats(1.01, 3),
    at=st.integers(0, 2),
)
def test_a_larger_body_takes_longer_and_a_better_surface_less(size, k, h, wanted, stretch, at):
    seconds = float(box(size, k, *h).seconds_until(ALPHA, wanted))
    larger = [s * (stretch if n == at else 1) for n, s in enumerate(size)]
    assert box(larger, k, *h).seconds_until(ALPHA, wanted) >= seconds * (1 - 1e-6)
    stronger = [x * stretch for x in h]
    assert box(size, k, *stronger).seconds_until(ALPHA, wanted) <= seconds * (1 + 1e-6)


@given(
    size=st.tuples(sizes, sizes, sizes),
    k=conductivities,
    h=st.tuples(coefficients, coefficients, coefficients),
)
def test_length_and_width_are_alike(size, k, h):
    length, width, height = size
    one, other = box(size, k, *h), box((width, length, height), k, *h)
    seconds = one.seconds_until(ALPHA, 0.4)
    assert other.seconds_until(ALPHA, 0.4) == pytest.approx(seconds)


def test_a_square_box_is_slower_than_the_round_inside_it_and_faster_than_the_round_about_it():
    k, h, seconds = 0.25, 20.0, np.linspace(600, 20000, 20)
    inside = round_body((0.2, 0.05), k, h, h, h).excess(1e-7, seconds)
    about = round_body((0.2 * 2**0.5, 0.05), k, h, h, h).excess(1e-7, seconds)
    square = box((0.2, 0.2, 0.05), k, h, h, h).excess(1e-7, seconds)
    assert (inside <= square + 1e-9).all()
    assert (square <= about + 1e-9).all()


def test_arrays_equal_scalars_and_broadcast():
    rng = np.random.default_rng(20261125)
    length, width, height = rng.uniform(0.01, 0.3, (3, 40))
    h = rng.uniform(2, 60, (3, 40))
    wanted = rng.uniform(0.05, 0.9, 40)
    body = box((length, width, height), 0.25, *h)
    together = body.seconds_until(1.1e-7, wanted)
    excess = body.excess(1.1e-7, np.linspace(0, 9000, 7)[:, None])
    assert together.shape == (40,)
    assert excess.shape == (7, 40)
    for n in range(40):
        one = box((length[n], width[n], height[n]), 0.25, *h[:, n])
        assert one.seconds_until(1.1e-7, wanted[n]) == pytest.approx(together[n], rel=1e-6)
        alone = one.excess(1.1e-7, np.linspace(0, 9000, 7))
        assert alone == pytest.approx(excess[:, n], abs=1e-9)
    rounds = round_body((length, height), 0.25, *h)
    together = rounds.seconds_until(1.1e-7, wanted)
    for n in range(40):
        one = round_body((length[n], height[n]), 0.25, *h[:, n])
        assert one.seconds_until(1.1e-7, wanted[n]) == pytest.approx(together[n], rel=1e-6)
