"""Freezing and thawing of a body: heat conducted through it while its water turns to ice or back.

Plain floats and numpy arrays in SI units, temperatures in °C. Several slabs are worked at once,
each with a food, a thickness and surroundings of its own, so that a window costs little more than
one. Other shapes come from the slab of their least thickness, `as_body`.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from kitchenkit.conduction import Body, box, round_body, wall
from kitchenkit.thermal import Food

_SHELLS, _STEPS = 8, 24  # a test holds them fine enough
_MOST_STEPS = 600
_RATIOS = 6  # points of a course at which it is compared with plain conduction
_CALM = 0.2  # of the time in which a body comes near its surroundings, no step is longer
_AHEAD = 0.52  # weight of a step's end; a half is the most exact, and rings
_NEWTON, _ENOUGH = 20, 300.0  # rounds at the most; J/kg, some 0.1 K, before a last one is right


def shape_factor(half, *others) -> float:
    """How many times faster a body freezes than a slab as thick as its thinnest way through.

    Parameters
    ----------
    half : float
        Half the least size, m.
    others : float
        Half of each other size, m; the diameter of a round counts twice, once for each way across.

    Returns
    -------
    float
        1 for a slab, 2 for a long square rod or cylinder, 3 for a cube.

    Notes
    -----
    E = 1 + 1/β₁ + 1/β₂: ASHRAE Refrigeration (2010), ch. 20, eq. 20, the limit for a small Biot
    number.
    """
    return 1.0 + sum(half / other for other in others)


def plank_seconds(half, shape, latent, below, h, conductivity):
    """Plank's time for a body at its freezing point to freeze through (s).

    Parameters
    ----------
    half : array_like
        Half the least size, m.
    shape : array_like
        `shape_factor`: 1 slab, 2 long cylinder, 3 sphere or cube.
    latent : array_like
        Latent heat of the whole food, J/m³: density times what freezes times 333.6 kJ/kg.
    below : array_like
        How far the air is below the freezing point, K.
    h, conductivity : array_like
        Heat transfer coefficient, W/(m² K), and conductivity of the frozen food, W/(m K).

    Returns
    -------
    ndarray

    Notes
    -----
    t = ρL/(T_f − T_a) · (P d/h + R d²/k), with P = 1/(2E) and R = 1/(8E) on the least size d:
    1/2 and 1/8 for a slab, 1/4 and 1/16 for a long cylinder, 1/6 and 1/24 for a sphere
    (Encyclopaedia of Food Sciences and Nutrition). It leaves out the cooling before and after, and
    has all the water freeze at one temperature.
    """
    d = 2 * np.asarray(half, float)
    return np.asarray(latent, float) / below / shape * (d / (2 * h) + d**2 / (8 * conductivity))


class Case(NamedTuple):
    """One slab in its surroundings.

    Attributes
    ----------
    food : Food
    half : float
        Half its thickness, m.
    h : float
        Heat transfer coefficient of its surface with all that wraps it, W/(m² K).
    start, air, until : float
        °C at the start, of the surroundings, and in the middle when it ends, between the two.
    conducts : float
        Times its conductivity, for a window.
    """

    food: Food
    half: float
    h: float
    start: float
    air: float
    until: float
    conducts: float = 1.0


class Course(NamedTuple):
    """Temperatures against time of one case: s, and °C in the middle and at the surface."""

    seconds: np.ndarray
    middle: np.ndarray
    surface: np.ndarray

    def when(self, celsius: float, where: str = "middle") -> float:
        """Seconds until the middle or the surface passes a temperature; the end if it does not."""
        reached = self.middle if where == "middle" else self.surface
        way = 1.0 if reached[-1] > reached[0] else -1.0
        rising = np.maximum.accumulate(way * reached)
        return float(np.interp(way * celsius, rising, self.seconds))


def run(cases: Sequence[Case], shells: int = _SHELLS, steps: int = _STEPS) -> list[Course]:
    """Follow some slabs until the middle of each has come to its end temperature.

    Parameters
    ----------
    cases : sequence of Case
    shells : int
        Into which each half slab is cut.
    steps : int
        Into which each one's heat is cut; a few more are taken near the end.

    Returns
    -------
    list of Course

    Notes
    -----
    Control volumes whose state is their heat content, so that no latent heat can be stepped over;
    each step is implicit by a weight of 0.52 and solved by Newton's method. Every case has a time
    step of its own. Density stays that of the food before it freezes.
    """
    half, h, start, air, until, conducts = (
        np.array([getattr(case, name) for case in cases], float)[:, None]
        for name in ("half", "h", "start", "air", "until", "conducts")
    )
    tables = [case.food.by_content for case in cases]
    lowest, grain = (np.array([t[n] for t in tables])[:, None] for n in (0, 1))
    columns = np.array([t[2] for t in tables])
    each = np.arange(len(cases))[:, None]

    def look(content):
        """Temperature, conductivity and 1 / specific heat at some heat contents."""
        place = (content - lowest) / grain
        cell = np.clip(place.astype(int), 0, columns.shape[1] - 2)
        low, high = columns[each, cell], columns[each, cell + 1]
        found = low + (high - low) * (place - cell)[..., None]
        return found[..., 0], found[..., 1] * conducts, (high - low)[..., 0] / grain

    rho = np.array([float(case.food.density(20.0)) for case in cases])[:, None]
    size = half / shells
    volumes = size * rho * np.ones(shells)  # kg for each m² of surface

    def contents(celsius):
        return np.array(
            [[float(c.food.enthalpy(t))] for c, t in zip(cases, celsius[:, 0], strict=True)]
        )

    content = np.repeat(contents(start), shells, axis=1)
    leaves = np.abs(contents(air) - content[:, :1]) * volumes.sum(axis=1, keepdims=True)
    at, under = np.arange(shells), np.arange(shells - 1)
    matrix = np.zeros((len(cases), shells, shells))
    falls = np.where(start > until, 1.0, -1.0)
    clock = np.zeros_like(start)
    t, k, slope = look(content)
    rows = [(clock[:, 0], start[:, 0], start[:, 0])]
    for _ in range(_MOST_STEPS):
        between = 2 / size / (1 / k[:, 1:] + 1 / k[:, :-1])
        inside = size / 2 / k[:, -1:]
        outer = 1 / (1 / h + inside)
        rows.append(
            (
                clock[:, 0],
                t[:, 0] - (t[:, 1] - t[:, 0]) / 8,  # a parabola through the two innermost
                (t[:, -1:] + (air - t[:, -1:]) * inside * outer)[:, 0],
            )
        )
        if np.all((rows[-1][1] - until[:, 0]) * falls[:, 0] <= 0):
            break
        net = _net(t, air, between, outer)
        step = leaves / steps / np.maximum(outer * np.abs(t[:, -1:] - air), 1e-12)
        step = np.minimum(step, _CALM * (volumes / slope).sum(axis=1, keepdims=True) / outer)
        diagonal = np.zeros_like(t)
        diagonal[:, :-1] += between
        diagonal[:, 1:] += between
        diagonal[:, -1:] += outer
        ahead = content
        for _ in range(_NEWTON):
            wrong = _AHEAD * _net(t, air, between, outer) + (1 - _AHEAD) * net
            wrong = wrong - volumes * (ahead - content) / step
            matrix[:, at, at] = volumes / step + _AHEAD * diagonal * slope
            matrix[:, under, under + 1] = -_AHEAD * between * slope[:, 1:]
            matrix[:, under + 1, under] = -_AHEAD * between * slope[:, :-1]
            more = np.linalg.solve(matrix, wrong[..., None])[..., 0]
            ahead = ahead + more
            t, k, slope = look(ahead)
            if np.all(np.abs(more) < _ENOUGH):
                break
        content, clock = ahead, clock + step
    seconds, middles, surfaces = (np.array(column).T for column in zip(*rows, strict=True))
    passed = (middles - until) * falls <= 0
    ends = np.where(passed.any(axis=1), passed.argmax(axis=1) + 1, passed.shape[1])
    return [
        Course(s[:end], m[:end], o[:end])
        for s, m, o, end in zip(seconds, middles, surfaces, ends, strict=True)
    ]


def as_body(course: Course, case: Case, sizes: Sequence[float]) -> Course:
    """The course of a finite body, from that of the slab of its least thickness.

    Parameters
    ----------
    course : Course
        Of the slab.
    case : Case
    sizes : sequence of float
        Length, width and height of a box, or diameter and height of a round, m.

    Returns
    -------
    Course
        Each temperature at the slab's time over the ratio at which plain conduction brings the
        middle of the body there sooner than the middle of the slab.

    Notes
    -----
    For plain conduction that is exact. For slices, loaves, cubes and muffins that freeze or thaw in
    still air it ends within 3 % of a solver in two and three directions, where the shape factor
    alone is up to 32 % too soon (tests/published/test_freezing.py).
    """
    between = case.start - case.air
    excess = np.geomspace((case.until - case.air) / between, 0.9, _RATIOS)
    now = case.air + excess * between
    k = case.food.conductivity(now) + case.food.conductivity(np.minimum(now, case.start))
    k = k / 2 * case.conducts
    body = (box if len(sizes) == 3 else round_body)(sizes, k, case.h, case.h, case.h)
    slab = Body((wall(case.h * case.half / k),), (case.half,))
    sooner = slab.seconds_until(1.0, excess) / body.seconds_until(1.0, excess)
    at = np.interp((course.middle - case.air) / between, excess, sooner)
    return course._replace(seconds=np.maximum.accumulate(course.seconds / at))


def _net(t, air, between, outer):
    """Heat that flows into each shell (W for each m² of surface)."""
    flow = np.diff(t, axis=1) * between
    net = np.zeros_like(t)
    net[:, :-1] += flow
    net[:, 1:] -= flow
    net[:, -1:] += outer * (air - t[:, -1:])
    return net
