"""Heat conducted into (or out of) a body through its surface: slabs, rounds, and their products.

Plain floats and numpy arrays in SI units throughout; any argument may be an array, and arrays
broadcast. Baking, cooling and freezing all stand on this one module.

The temperature inside is told as *excess*: (T − T∞)/(T₀ − T∞), 1 at the start and 0 when the body
has reached its surroundings.

References
----------
Bergman, Lavine, Incropera, DeWitt, Fundamentals of Heat and Mass Transfer, 7th ed., §5.5–5.6 and
§5.8 (product solutions). Carslaw and Jaeger, Conduction of Heat in Solids, 2nd ed., §3.11, for a
slab whose two faces differ.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

TERMS = 8  # of each series; see `EARLY`
# Fourier number (on the half-thickness or radius) before which the middle has felt nothing: it
# differs from 1 by less than 1e-4 there, and after it the terms are exact to 1e-4, soon far more.
EARLY = 0.025
_NEAR = 1e-5  # a last step so small leaves an error near its square
_ROUNDS = 40  # of Newton's method at the most; it doubles its digits at each


class Modes(NamedTuple):
    """A series for the excess at one point: the sum of ``amplitude · exp(−root² Fo)``.

    Both arrays have the terms along their last axis. Before the Fourier number `early` the point
    has felt nothing.
    """

    root: np.ndarray
    amplitude: np.ndarray
    early: float = EARLY

    def excess(self, fourier) -> np.ndarray:
        """The excess at a Fourier number, on the length that `root` was found for."""
        fo = np.asarray(fourier, float)
        total = np.sum(self.amplitude * np.exp(-(self.root**2) * fo[..., None]), axis=-1)
        return np.where(fo < self.early, 1.0, np.minimum(total, 1.0))


def _phase_roots(biots: list[np.ndarray], count: int) -> np.ndarray:
    """Roots of ``z = k π + Σ atan(B / z)``, k = 0, 1, ...

    The left side less the right grows and is concave, so Newton's method reaches the root from
    the left whatever its start, and never passes it again.
    """
    biots = [np.asarray(b, float)[..., None] for b in biots]
    k = np.arange(count) * np.pi
    # Near the root: k π and the arcs where z is at its largest; for k = 0, which has none of its
    # own to lean on, a blend of the limits for small and large Biot numbers.
    faces, total = len(biots), sum(biots)
    z = k + sum(np.arctan(b / (k + faces * np.pi / 2)) for b in biots)
    z[..., 0] = np.sqrt(total / (1 + total * 4 / (faces * np.pi) ** 2))[..., 0]
    for _ in range(_ROUNDS):
        ratios = [b / z for b in biots]
        value = z - k - sum(np.arctan(r) for r in ratios)
        slope = 1 + sum(r / (1 + r * r) for r in ratios) / z
        step = value / slope
        z = np.maximum(z - step, 1e-300)
        if np.all(np.abs(step) <= _NEAR * z):
            break
    return z


def _signs(count: int) -> np.ndarray:
    return 1.0 - 2.0 * (np.arange(count) % 2)


def wall(biot, count: int = TERMS) -> Modes:
    """The middle of a plane wall heated alike on both faces.

    Parameters
    ----------
    biot : array_like
        h L / k on the half-thickness L, above 0.
    count : int
        Terms.

    Returns
    -------
    Modes
        Roots of ζ tan ζ = Bi, and C = 4 sin ζ / (2ζ + sin 2ζ); Fourier number α t / L².

    Notes
    -----
    Bergman et al., eq. 5.42.
    """
    b = np.asarray(biot, float)
    z = _phase_roots([b], count)
    tangent = b[..., None] / z  # of ζ, which gives its sine without another call
    sine = _signs(count) * tangent / np.sqrt(1 + tangent**2)
    return Modes(z, 2 * sine / (z + tangent / (1 + tangent**2)))


def cylinder(biot, count: int = TERMS) -> Modes:
    """The axis of a long cylinder.

    Parameters
    ----------
    biot : array_like
        h R / k on the radius R, above 0.
    count : int
        Terms.

    Returns
    -------
    Modes
        Roots of ζ J₁(ζ) = Bi J₀(ζ), and C = (2/ζ) J₁ / (J₀² + J₁²); Fourier number α t / R².

    Notes
    -----
    Bergman et al., eq. 5.50. Each root lies between a zero of J₁ and the next of J₀.
    """
    from scipy.special import j0, j1, jn_zeros  # slow to load, and many lessons bake nothing round

    b = np.asarray(biot, float)[..., None]
    low = np.concatenate([[0.0], jn_zeros(1, count - 1)]) if count > 1 else np.zeros(1)
    high = jn_zeros(0, count)
    low, high = np.broadcast_to(low, (*b.shape[:-1], count)).copy(), high + 0 * b
    first = np.sqrt(2 * b / (1 + 2 * b / high[..., :1] ** 2))
    z = np.where(np.arange(count) == 0, first, low + (high - low) * b / (b + low + 1))
    for _ in range(_ROUNDS):
        value = z * j1(z) - b * j0(z)
        # The sign of the value tells on which side of the root z lies; keep the bracket.
        below = value * np.where(np.arange(count) % 2, -1.0, 1.0) < 0
        low, high = np.where(below, z, low), np.where(below, high, z)
        ahead = z - value / (z * j0(z) + b * j1(z))
        inside = (ahead >= low) & (ahead <= high)  # its very end, where z is the root already
        ahead = np.where(inside, ahead, (low + high) / 2)
        done = np.all(np.abs(ahead - z) <= _NEAR * z)
        z = ahead
        if done:
            break
    return Modes(z, 2 / z * j1(z) / (j0(z) ** 2 + j1(z) ** 2))


def two_faced_slab(biot_below, biot_above, count: int = TERMS + 2) -> Modes:
    """The slowest point of a slab whose two faces are heated unlike.

    Parameters
    ----------
    biot_below, biot_above : array_like
        h D / k of each face on the whole thickness D, 0 or more, not both 0.
    count : int
        Terms.

    Returns
    -------
    Modes
        For the point where the slowest term is largest; Fourier number α t / D². The slowest point
        itself moves there from the middle: its excess is more by up to 0.02 while above 0.9, and
        by less than 0.001 once below 0.7.

    Notes
    -----
    Carslaw and Jaeger, §3.11: z = kπ + atan(B₁/z) + atan(B₂/z), with the shape
    cos(z x) + (B₁/z) sin(z x) and x from the face below. Alike faces give the plane wall.
    """
    below, above = np.broadcast_arrays(np.asarray(biot_below, float), np.asarray(biot_above, float))
    z = _phase_roots([below, above], count)
    a, b = above[..., None] / z, below[..., None] / z
    where = np.arctan(b[..., :1]) / z[..., :1]
    # The shape as one cosine, and its integral over the thickness from z itself, the sum of the
    # two faces' arcs.
    tall = np.sqrt(1 + b**2)
    shape = tall * np.cos(z * where - np.arctan(b))
    integral = (_signs(count) * tall * a / np.sqrt(1 + a**2) + b) / z
    # ∫ shape² over the thickness; the sum of the two faces' parts is the textbook's form.
    square = 0.5 * ((1 + b**2) * (1 + a / z / (1 + a**2)) + b / z)
    return Modes(z, integral / square * shape, EARLY / 4)  # on the whole thickness, not the half


class Body(NamedTuple):
    """A finite body as a product: its directions' modes, and the length each was found for (m).

    Boxes have three directions, rounds two: the upright one and the round one.
    """

    modes: tuple[Modes, ...]
    lengths: tuple[np.ndarray, ...]

    def excess(self, diffusivity, seconds) -> np.ndarray:
        """The excess in the slowest point after a time.

        Parameters
        ----------
        diffusivity : array_like
            k / (ρ c), m²/s.
        seconds : array_like

        Returns
        -------
        ndarray
            Product of the directions' excesses: Bergman et al., §5.8.
        """
        at = np.asarray(diffusivity, float) * np.asarray(seconds, float)
        product = 1.0
        for modes, length in zip(self.modes, self.lengths, strict=True):
            product = product * modes.excess(at / np.asarray(length, float) ** 2)
        return product

    def seconds_until(self, diffusivity, excess) -> np.ndarray:
        """The time until the slowest point has a given excess.

        Parameters
        ----------
        diffusivity : array_like
            m²/s.
        excess : array_like
            Above 0 and below 1; above 0.9 the body has hardly felt anything, and the time is rough.

        Returns
        -------
        ndarray
            s, exact to one part in a million of the series.

        Notes
        -----
        Newton's method on the logarithm of the excess, which falls ever more nearly on a straight
        line, from where the first terms alone would put it.
        """
        wanted = np.log(np.asarray(excess, float))
        rates = [m.root**2 / np.asarray(n)[..., None] ** 2 for m, n in zip(*self, strict=True)]
        first = sum(np.log(m.amplitude[..., 0]) for m in self.modes)
        slope = sum(rate[..., 0] for rate in rates)
        at = np.maximum((first - wanted) / slope, 1e-3 / slope)  # diffusivity × time
        for _ in range(_ROUNDS):
            value, pull = -wanted, 0.0
            for modes, length, rate in zip(self.modes, self.lengths, rates, strict=True):
                decay = modes.amplitude * np.exp(-rate * at[..., None])
                total = np.einsum("...k->...", decay)  # np.sum is slow along so few
                early = at < modes.early * np.asarray(length) ** 2
                value = value + np.where(early, 0.0, np.log(np.clip(total, 1e-300, 1.0)))
                drop = np.einsum("...k,...k->...", rate, decay) / np.maximum(total, 1e-300)
                pull = pull + np.where(early, 0.0, np.maximum(drop, 0.0))
            step = value / np.maximum(pull, 0.05 * slope)
            ahead = np.clip(at + step, at / 4, at * 4)
            done = np.all(np.abs(ahead - at) <= 1e-4 * at)
            at = ahead
            if done:
                break
        return at / np.asarray(diffusivity, float)


def box(sizes, conductivity, h_below, h_above, h_side) -> Body:
    """A box: two-faced slab upright, plane walls along its length and width.

    Parameters
    ----------
    sizes : tuple of array_like
        Length, width and height, m.
    conductivity : array_like
        W/(m K).
    h_below, h_above, h_side : array_like
        Heat transfer coefficients of bottom, top and sides, W/(m² K).
    """
    length, width, height = (np.asarray(size, float) for size in sizes)
    k = np.asarray(conductivity, float)
    return Body(
        (
            two_faced_slab(h_below * height / k, h_above * height / k),
            wall(h_side * length / 2 / k),
            wall(h_side * width / 2 / k),
        ),
        (height, length / 2, width / 2),
    )


def round_body(sizes, conductivity, h_below, h_above, h_side) -> Body:
    """A short cylinder: two-faced slab upright, long cylinder around.

    Parameters
    ----------
    sizes : tuple of array_like
        Diameter and height, m.
    conductivity, h_below, h_above, h_side : array_like
        As for `box`.
    """
    diameter, height = (np.asarray(size, float) for size in sizes)
    k = np.asarray(conductivity, float)
    return Body(
        (
            two_faced_slab(h_below * height / k, h_above * height / k),
            cylinder(h_side * diameter / 2 / k),
        ),
        (height, diameter / 2),
    )
