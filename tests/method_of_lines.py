"""Conduction by the method of lines, for the tests and the bench: SciPy's general ODE solver.

The body is cut into control volumes that know their neighbours and the air alone; no series is
used. Half of each direction that is alike on both sides is enough, with no heat across the middle.
The error of the cutting falls with the square of the step.
"""

from functools import reduce

import numpy as np
from scipy.integrate import solve_ivp
from scipy.sparse import csr_array, diags_array, eye_array, kron

K, ALPHA = 0.25, 1.1e-7  # of a batter, W/(m K) and m²/s


def line(size, cells, h_first, h_last, around=False):
    """Heat flow along one direction: d(excess)/dt = −A excess, nodes on both ends.

    `around`: from the axis of a round outwards, where each volume is a ring.
    """
    step = size / cells
    at = np.arange(cells + 1) * step
    middles = (np.arange(cells) + 0.5) * step  # the faces between two nodes
    ends = np.concatenate([[0.0], middles, [size]])
    area = middles if around else np.ones(cells)
    volume = np.diff(ends**2) / 2 if around else np.diff(ends)
    flow = K * area / step
    out = np.zeros(cells + 1)
    out[:-1] += flow
    out[1:] += flow
    out[0] += 0.0 if around else h_first
    out[-1] += h_last * (at[-1] if around else 1.0)
    scale = ALPHA / K / volume
    lines = diags_array([-flow, out, -flow], offsets=[-1, 0, 1])
    return csr_array(diags_array(scale) @ lines)


def half(size, cells, h):
    """From the middle to one face of a direction alike on both sides."""
    return line(size / 2, cells, 0.0, h)


def together(lines):
    """The directions' flows on the grid of all their nodes."""
    ones = [eye_array(one.shape[0]) for one in lines]
    return csr_array(
        sum(reduce(kron, [*ones[:n], one, *ones[n + 1 :]]) for n, one in enumerate(lines))
    )


def solve(lines, seconds, until, rtol=1e-5):
    """Excess of the slowest node at some times; the time when it falls to `until`.

    BDF, as diffusion on a fine grid is stiff; the Jacobian is the constant sparse matrix itself.
    """
    matrix = -together(lines)

    def slowest(_, excess):
        return excess.max() - until

    slowest.direction = -1
    found = solve_ivp(
        lambda _, excess: matrix @ excess,
        (0.0, seconds[-1]),
        np.ones(matrix.shape[0]),
        method="BDF",
        t_eval=seconds,
        jac=matrix,
        rtol=rtol,
        atol=rtol / 100,
        events=slowest,
    )
    assert found.success
    return found.y.max(axis=0), found.t_events[0][0]
