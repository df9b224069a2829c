"""
An elastic strip over supports that push up and hold down only so much: which of them it touches, and how hard.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.linalg.lapack import dpbsv

from deckgeom.fairing.beam_tops import FairingError, closed

__all__ = ["Settled", "settle"]

PATIENCE = 4
"""Sweeps of the whole strip that may fail to help before supports are exchanged one at a time."""


@dataclass(frozen=True, eq=False)
class Settled:
    """
    Shape of a strip at its nodes, and the forces on it.

    Parameters
    ----------
    touching : ndarray of bool, shape (n,)
        Nodes where it lies on its support.
    height : ndarray, shape (n,)
        Height of the strip's underside. [mm]
    slope : ndarray, shape (n,)
        Rise per run. [-]
    moment : ndarray, shape (n,)
        Bending moment, positive where the strip is hollow. [N mm]
    force : ndarray, shape (n,)
        What support and fastening together do to the strip, up positive. [N]
    sweeps : int
        Shapes that were tried.

    Examples
    --------
    >>> strip = settle(np.array([0.0, 400, 800]), np.zeros(3), stiffness=1e8, weight=0.01)
    >>> strip.force.round(3).tolist()
    [1.5, 5.0, 1.5]
    """

    touching: np.ndarray
    height: np.ndarray
    slope: np.ndarray
    moment: np.ndarray
    force: np.ndarray
    sweeps: int

    def __post_init__(self) -> None:
        object.__setattr__(self, "touching", closed(self.touching, bool))
        for name in ("height", "slope", "moment", "force"):
            object.__setattr__(self, name, closed(getattr(self, name)))


def settle(x, z, stiffness: float, weight: float = 0.0, load=0.0, hold=0.0) -> Settled:
    """
    Find how an elastic strip lies on supports.

    Parameters
    ----------
    x : ndarray, shape (n,)
        Nodes in increasing order: the supports, the ends of the strip, and where it is pressed. [mm]
    z : ndarray, shape (n,)
        Height of each support; minus infinity where there is none. [mm]
    stiffness : float
        EI of the strip. [N mm2]
    weight : float
        Of the strip. [N per mm]
    load : array_like, shape (n,)
        Pressed down at each node. [N]
    hold : array_like, shape (n,)
        The most that a fastening can hold the strip down with; nought for a loose strip, infinite where it is held
        to its support whatever that takes. [N]

    Returns
    -------
    Settled

    Raises
    ------
    FairingError
        If the strip would tip off its supports.

    Notes
    -----
    Least energy :math:`\\tfrac12 EI \\int w''^2 + \\int q w + \\sum F_i w_i + \\sum H_i (w_i - z_i)` with
    :math:`w_i \\ge z_i`: the gap is nought or the force is -H, the fastening pulled to the most it can do. For given
    contacts the shape follows from beam elements between the nodes (height and slope at each; exact at the nodes for
    forces there and an even weight; fixed-end forces of beam tables), one banded symmetric system. All supports that
    pull too hard are let go and all that are passed through are taken up at once; if that does not settle within
    `PATIENCE` sweeps, one at a time, along a path of falling energy, which ends.

    Examples
    --------
    >>> bump = settle(np.arange(5) * 500.0, np.array([0.0, 0, 5, 0, 0]), stiffness=1e8, weight=0.02)
    >>> bump.touching.tolist()
    [True, False, True, False, True]
    """
    n = x.size
    load, hold = (np.array(np.broadcast_to(np.asarray(a, float), n)) for a in (load, hold))
    tilt = np.where(np.isfinite(z), z, 0.0)
    first, last = np.flatnonzero(np.isfinite(z))[[0, -1]]
    slope = (tilt[last] - tilt[first]) / (x[last] - x[first])
    line = tilt[first] + slope * (x - x[first])
    task = _Task(x, z - line, stiffness, weight, load, hold)
    shape, sweeps = _all_at_once(task)
    if shape is None:
        shape, sweeps = _one_at_a_time(task, sweeps)
    touching, w, theta, force = shape
    moment = task.moment(w, theta)
    free_hold = np.where(np.isfinite(z) & ~touching, -hold, 0.0)
    return Settled(touching, w + line, theta + slope, moment, np.where(touching, force, free_hold), sweeps)


class _Task:
    """Nodes, supports and loads of one strip; `shape` solves it for given contacts."""

    def __init__(self, x, z, stiffness, weight, load, hold) -> None:
        self.z, self.stiffness, self.weight, self.load = z, stiffness, weight, load
        self.x, self.step = x, np.diff(x)
        self.support = np.isfinite(z)
        self.held = np.isinf(hold) & self.support
        self.pull = np.where(self.support & ~self.held, hold, 0.0)
        self.near = 1e-10 * max(float(np.ptp(z[self.support])), 1.0)
        self.turn = float(self.step.mean())  # slopes are solved for as slope * turn, the size of a height
        h, a = self.step, 12 * stiffness / self.step**3
        b, c = 6 * stiffness / h**2 / self.turn, 2 * stiffness / h / self.turn**2
        self.terms = a, b, c
        band = np.zeros((4, 2 * x.size))
        band[3, 0:-2:2], band[3, 1:-2:2] = a, 2 * c
        band[3, 2::2] += a
        band[3, 3::2] += 2 * c
        band[2, 1:-2:2] = b
        band[2, 3::2] -= b
        band[2, 2::2] = -b
        band[1, 2::2], band[1, 3::2] = -a, c
        band[0, 3::2] = b
        self.band = band

    def forces(self, w, turned):
        """What holds the strip in a given shape, at each node: force up, and moment over `turn`."""
        a, b, c = self.terms
        rise, left, right = w[1:] - w[:-1], turned[:-1], turned[1:]
        shear = -a * rise + b * (left + right)
        up, twist = np.zeros(w.size), np.zeros(w.size)
        up[:-1] += shear
        up[1:] -= shear
        twist[:-1] += -b * rise + c * (2 * left + right)
        twist[1:] += -b * rise + c * (left + 2 * right)
        return up, twist

    def shape(self, touching):
        """Height, slope and force at every node for given contacts: two at least."""
        h, q = self.step, self.weight
        known = np.where(touching, self.z, 0.0)
        up, twist = self.forces(known, np.zeros(known.size))
        down = self.load + np.where(touching, 0.0, self.pull)
        down[:-1] += q * h / 2
        down[1:] += q * h / 2
        right = np.empty(2 * known.size)
        right[0::2] = np.where(touching, known, -down - up)
        right[1::2] = -twist
        right[1:-1:2] -= q * h**2 / 12 / self.turn
        right[3::2] += q * h**2 / 12 / self.turn
        found = dpbsv(self._with_known(np.flatnonzero(touching)), right)
        if found[2] != 0:
            raise FairingError(
                "the strip",
                "its shape could not be found",
                "supports closer than a few mm",
                "leave out supports that stand next to each other",
            )
        w, turned = found[1][0::2], found[1][1::2]
        force = np.where(touching, self.forces(w, turned)[0] + down, 0.0)
        return touching, np.where(touching, self.z, w), turned / self.turn, force

    def _with_known(self, at):
        """The band with rows and columns of the known heights taken out."""
        band = self.band.copy()
        for shift in range(1, 4):
            band[3 - shift, 2 * at] = 0.0
            beyond = 2 * at + shift
            band[3 - shift, beyond[beyond < band.shape[1]]] = 0.0
        band[3, 2 * at] = 1.0
        return band

    def moment(self, w, slope):
        """Bending moment at the nodes, positive where hollow."""
        h, ei = self.step, self.stiffness
        rise = np.diff(w)
        end = self.weight * h**2 / 12
        moment = np.empty(w.size)
        moment[:-1] = ei * (6 * rise / h - 4 * slope[:-1] - 2 * slope[1:]) / h - end
        moment[-1] = ei * (-6 * rise[-1] / h[-1] + 2 * slope[-2] + 4 * slope[-1]) / h[-1] - end[-1]
        return moment

    def too_hard(self, touching, force):
        """Contacts whose fastening would have to pull more than it can."""
        small = 1e-10 * max(float(np.abs(force).max()), 1e-9)
        return touching & ~self.held & (force < -self.pull - small)

    def passed_through(self, touching, w):
        """Supports that stand above the strip."""
        return self.support & ~touching & (w < self.z - self.near)


def _all_at_once(task: _Task):
    """Exchange every support that is wrong, as long as their number falls."""
    touching = task.support.copy()
    best, patience = touching.size + 1, PATIENCE
    for sweep in range(1, 101):
        shape = task.shape(touching)
        wrong = task.too_hard(touching, shape[3]) | task.passed_through(touching, shape[1])
        count = int(wrong.sum())
        if count == 0:
            return shape, sweep
        best, patience = (count, PATIENCE) if count < best else (best, patience - 1)
        touching = touching ^ wrong
        if patience < 0 or touching.sum() < 2:
            return None, sweep
    return None, sweep


def _one_at_a_time(task: _Task, sweeps: int):
    """
    From a strip that touches everywhere, let go or take up one support at a time; the energy falls at each step.

    The hardest pull goes first; where steps of no length follow each other the least index does, which cannot go round.
    """
    touching, w, idle = task.support.copy(), np.where(task.support, task.z, 0.0), 0
    for sweep in range(sweeps + 1, sweeps + 200 + 40 * touching.size):
        shape = task.shape(touching)
        step, hit = _room(task, touching, w, shape[1])
        if hit is not None:
            idle = idle + 1 if step < 1e-12 else 0
            w = w + step * (shape[1] - w)
            touching = touching.copy()
            touching[hit] = True
            continue
        w = shape[1]
        wrong = np.flatnonzero(task.too_hard(touching, shape[3]))
        if not wrong.size:
            return shape, sweep
        hardest = wrong[0] if idle > touching.size else wrong[np.argmin((shape[3] + task.pull)[wrong])]
        touching = touching.copy()
        touching[hardest] = False
        if touching.sum() < 2:
            w, touching = _tip(task, w, int(hardest), int(np.flatnonzero(touching)[0]))
    raise FairingError(
        "the strip",
        f"it did not settle on {int(task.support.sum())} supports",
        "supports a few mm apart",
        "leave out supports that stand next to each other",
    )


def _room(task: _Task, touching, w, target):
    """How far of the way to `target` the strip can go before it meets a support, and which (the least index)."""
    free = np.flatnonzero(task.support & ~touching & (target < task.z - task.near))
    if not free.size:
        return 1.0, None
    gap = np.maximum(w[free] - task.z[free], 0.0)
    share = gap / np.maximum(gap + task.z[free] - target[free], 1e-300)
    k = int(np.argmin(share))
    return float(share[k]), int(free[k])


def _tip(task: _Task, w, leaving: int, pivot: int):
    """Turn the strip about its last contact until it meets another support."""
    arm = (task.x - task.x[pivot]) / (task.x[leaving] - task.x[pivot])
    down = np.flatnonzero(task.support & (arm < 0))
    if not down.size:
        raise FairingError(
            "the strip",
            "it would tip off its supports",
            "pressed beyond the last beam, or too long an end hanging over",
            "press it between two beams, or hold it down at one",
        )
    turn = (w[down] - task.z[down]) / -arm[down]
    hit = int(down[np.argmin(turn)])
    touching = np.zeros(w.size, bool)
    touching[[pivot, hit]] = True
    return w + turn.min() * arm, touching
