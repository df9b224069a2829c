"""
The fairing problem's own solver: a banded interior point whose every answer carries its proof.

Each row is a spring law between a measured value and the surface; the surface resists change of curvature. Everything
that a builder can ask for (robust estimate, plane only, limits, dead band, fixed points, no hollow) is one convex
quadratic program

.. math::

    \\min_c\\ \\tfrac12 c'Gc + \\sum_i \\varphi_i(z_i - b_i c),\\qquad
    \\varphi(r) = \\min_{e+d+p-f=r} \\tfrac12 w e^2 + a p + b f,\\quad |d| \\le t,\\ p, f \\ge 0.

A wall (lo <= r <= hi) is a row with a stiff spring, a dead band as wide as the wall and a high price: elastic, so
that an impossible wish is answered with the places that break it and by how much.
"""

from __future__ import annotations

import numpy as np

from deckgeom.fairing.assembly import Band
from deckgeom.fairing.beam_tops import FairingError
from deckgeom.fairing.law import TOLERANCE, Law, Solution
from deckgeom.fairing.threads import one_thread

#: What the iteration itself aims at before the last exact step.
TARGET = 1e-9
MAX_ITERATIONS = 100
#: Stiffness, relative to the stiffest finite spring, that stands for "held exactly" in the last exact step.
_HARD = 1e9
#: Most rounds of trying the pieces, and of correcting the last step.
_FLIPS, _REFINE = 10, 2
#: The last exact step is tried when the walk's residuals are down to so much.
_AT = (3e-5, 1e-6, 3e-8, TARGET)
#: How far towards the nearest wall a step goes.
_REACH = 0.995
#: Rounds without progress before the walk stops.
_PATIENCE = 12


class _Point:
    """Where the iteration stands: unknowns, forces and the pairs (v, w) whose products go to nought."""

    def __init__(self, band: Band, law: Law) -> None:
        self.band, self.law = band, law
        self.slack = np.where(np.isinf(law.spring), 0.0, 1.0 / law.spring)
        self.P, self.F, self.T = (_some(np.isfinite(law.high)), _some(np.isfinite(law.low)), _some(law.band > 0))
        n = [len(law.z[k]) for k in (self.P, self.F, self.T, self.T)]
        ends = np.concatenate([[0], np.cumsum(n)])
        self.cut = [slice(ends[k], ends[k + 1]) for k in range(4)]
        self.pairs = int(ends[-1])
        self.second = slice(self.cut[1].stop, None)
        self.first = slice(0, self.cut[1].stop)
        self._start()

    def fit(self, c: np.ndarray) -> np.ndarray:
        """Value of the surface at every law."""
        values = self.band.fit(c)
        return values if self.law.at is None else values[self.law.at]

    def pull(self, force: np.ndarray) -> np.ndarray:
        """Laws' forces on the unknowns."""
        return self.band.pull(self.on_rows(force))

    def on_rows(self, values: np.ndarray) -> np.ndarray:
        """Sum of laws' values on the rows that they belong to."""
        if self.law.at is None:
            return values
        return np.bincount(self.law.at, weights=values, minlength=self.band.count)

    def _start(self) -> None:
        law = self.law
        weight = np.where(np.isfinite(law.spring), np.where(law.spring > 1e3, law.spring, 1.0), 0.1)
        factor = self.band.factor(self.on_rows(weight))
        if factor is None:
            raise FairingError("the readings", "the problem must hold the surface", "no reading touches part of it")
        self.factor = factor
        self.c = self.band.resolve(factor, self.pull(weight * law.z))
        self.r = law.z - self.fit(self.c)

    def walk_from(self) -> None:
        """A point well inside every bound, near the plain least-squares answer."""
        law, r = self.law, self.r
        room = np.minimum(0.5 * (law.high + law.low), 1.0)
        pull = r * np.where(np.isinf(law.spring), 0.0, law.spring)
        low, high = -law.low + 0.2 * room, law.high - 0.2 * room
        self.force = np.clip(np.where(law.spring > 1e3, pull, r), low, high)
        spread = 0.1 + 0.1 * float(np.mean(np.abs(r)))
        self.d = np.clip(r, -0.9 * law.band, 0.9 * law.band)
        left = r - self.d - self.slack * self.force
        v, w = np.empty(self.pairs), np.empty(self.pairs)
        P, F, T = self.P, self.F, self.T
        w[self.cut[0]], w[self.cut[1]] = (law.high - self.force)[P], (law.low + self.force)[F]
        for cut, out in ((self.cut[0], left[P]), (self.cut[1], -left[F])):
            v[cut] = np.maximum(out, 0) + spread / np.maximum(1.0, w[cut])
        v[self.cut[2]], v[self.cut[3]] = (law.band - self.d)[T], (law.band + self.d)[T]
        w[self.cut[2]], w[self.cut[3]] = (
            (np.maximum(self.force, 0) + 0.1 * room)[T],
            (np.maximum(-self.force, 0) + 0.1 * room)[T],
        )
        self.v, self.w = v, w

    def linearise(self) -> bool:
        """Weights and factor of the Newton matrix at this point; False if it cannot be factored."""
        v, w, cut = self.v, self.w, self.cut
        ratio = v / w
        inverse = self.slack.copy()
        inverse[self.P] += ratio[cut[0]]
        inverse[self.F] += ratio[cut[1]]
        self.held = 1.0 / (1.0 / ratio[cut[2]] + 1.0 / ratio[cut[3]])
        inverse[self.T] += self.held
        self.D = 1.0 / inverse
        self.factor = self.band.factor(self.on_rows(self.D))
        self.misfit = self.law.z - self.fit(self.c) - self.slack * self.force - self.d
        self.unbalanced = self.pull(self.force) - self.band.bend(self.c)
        return self.factor is not None

    def direction(self, target: np.ndarray | float) -> tuple:
        """Newton step towards products v w equal to `target`."""
        v, w, cut, P, F, T = self.v, self.w, self.cut, self.P, self.F, self.T
        aim = np.empty(self.pairs)
        aim[self.first], aim[self.second] = 1.0 / w[self.first], 1.0 / v[self.second]
        aim *= target
        g = self.misfit.copy()
        g[P] -= aim[cut[0]]
        g[F] += aim[cut[1]]
        lean = self.force[T] - (aim[cut[2]] - aim[cut[3]])
        g[T] -= lean * self.held
        dc = self.band.resolve(self.factor, self.unbalanced + self.pull(self.D * g))
        df = self.D * (g - self.fit(dc))
        dd = (df[T] + lean) * self.held
        dv, dw = np.empty(self.pairs), np.empty(self.pairs)
        dw[cut[0]], dw[cut[1]], dv[cut[2]], dv[cut[3]] = -df[P], df[F], -dd, dd
        first, second = self.first, self.second
        dv[first] = aim[first] - v[first] - v[first] / w[first] * dw[first]
        dw[second] = aim[second] - w[second] - w[second] / v[second] * dv[second]
        return dc, df, dd, dv, dw

    def move(self, step: tuple, length: float) -> None:
        """Go along a step."""
        dc, df, dd, dv, dw = step
        self.c = self.c + length * dc
        self.force = self.force + length * df
        self.d = self.d.copy()
        self.d[self.T] += length * dd
        self.v = self.v + length * dv
        self.w = self.w + length * dw

    def state(self) -> tuple:
        """All that moves, to come back to."""
        return self.c, self.force, self.d, self.v, self.w

    def restore(self, state: tuple) -> None:
        """Go back to a kept state."""
        self.c, self.force, self.d, self.v, self.w = state

    def error(self) -> float:
        """Largest relative residual at the last linearisation."""
        scale_z = 1.0 + np.abs(self.law.z).max()
        scale_f = 1.0 + np.abs(self.force[self.law.spring < 1e3]).max(initial=0.0)
        gap = self.v @ self.w / max(1, self.pairs)
        return max(np.abs(self.misfit - self._open()).max() / scale_z, np.abs(self.unbalanced).max() / scale_f, gap)

    def _open(self) -> np.ndarray:
        """p - f of every law."""
        out = np.zeros(len(self.law.z))
        out[self.P] += self.v[self.cut[0]]
        out[self.F] -= self.v[self.cut[1]]
        return out


def _some(mask: np.ndarray):
    """Index of the chosen laws: a slice where they stand in one row, which is quicker."""
    rows = np.flatnonzero(mask)
    if rows.size and rows[-1] - rows[0] + 1 == rows.size:
        return slice(int(rows[0]), int(rows[-1]) + 1)
    return rows


def _longest(values: np.ndarray, step: np.ndarray) -> float:
    """Longest step, at most 1, that keeps all values well above nought."""
    if not len(values):
        return 1.0
    worst = float(np.min(step / values))
    return 1.0 if worst >= -_REACH else -_REACH / worst


def _walk(point: _Point, limit: int, target: float) -> int:
    """Predictor and corrector steps until the residuals are small or stop shrinking; how many were taken."""
    best, idle, kept = np.inf, 0, point.state()
    for taken in range(limit):  # noqa: B007
        sound = point.linearise()
        error = point.error() if sound else np.inf
        if error < best:
            idle, kept = (0 if error < 0.9 * best else idle + 1), point.state()
            best = error
        else:
            idle += 1
        if not sound or best < target or idle >= _PATIENCE:
            break
        mean = point.v @ point.w / max(1, point.pairs)
        step = point.direction(0.0)
        length = min(_longest(point.v, step[3]), _longest(point.w, step[4]))
        after = (point.v + length * step[3]) @ (point.w + length * step[4]) / max(1, point.pairs)
        if point.pairs:
            step = point.direction(mean * (after / mean) ** 3 - length**2 * step[3] * step[4])
            length = min(_longest(point.v, step[3]), _longest(point.w, step[4]))
        point.move(step, length)
    else:
        return limit
    point.restore(kept)
    return taken


def _schedule(plain: bool, laws: int) -> list[tuple[int, float]]:
    """
    After how many steps of the walk, or at which residual, the last exact step is tried.

    Laws without dead bands show their pieces early, few laws earlier than many.
    """
    first = 4 + (laws > 1500) + (laws > 6000)
    early = [(first, 0.0), (2, 0.0), (3, 0.0)] if plain else []
    return early + [(MAX_ITERATIONS, target) for target in _AT]


def _settle(point: _Point) -> tuple | None:
    """Pieces that the walk points to: unknowns, forces, tangent stiffness, its factor; None if there is no factor."""
    law, v, w, cut = point.law, point.v, point.w, point.cut
    tangent = np.where(np.isfinite(law.spring), law.spring, _HARD)
    held = np.zeros(len(law.z))
    for index, pair, force in ((point.P, cut[0], law.high), (point.F, cut[1], -law.low)):
        loose = np.zeros(len(law.z), dtype=bool)
        loose[index] = v[pair] > w[pair]
        tangent[loose], held[loose] = 0.0, force[loose]
    idle = np.zeros(len(law.z), dtype=bool)
    idle[point.T] = (v[cut[2]] > w[cut[2]]) & (v[cut[3]] > w[cut[3]])
    tangent[idle & (tangent > 0)] = 0.0
    factor = point.band.factor(point.on_rows(tangent))
    return None if factor is None else (point.c, np.where(tangent > 0, point.force, held), tangent, factor)


def _flip(point: _Point) -> tuple | None:
    """
    Pieces of a problem without dead bands by trying them: solve, see which laws are past their price, solve again.

    Newton's method on the pieces, from those that the walk points to; it ends after a few rounds with the exact
    answer or, seldom, goes astray: then None, and the walk goes on.
    """
    law, band = point.law, point.band
    soft = np.isfinite(law.spring)
    spring = np.where(soft, law.spring, _HARD)
    piece = np.zeros(len(law.z), dtype=int)
    for index, pair, way in ((point.P, point.cut[0], 1), (point.F, point.cut[1], -1)):
        piece[index] += way * (point.v[pair] > point.w[pair])
    before = len(piece)
    for turn in range(_FLIPS):
        tangent = np.where(piece == 0, spring, 0.0)
        held = np.where(piece > 0, law.high, -law.low)
        factor = band.factor(point.on_rows(tangent))
        if factor is None:
            return None
        c = band.resolve(factor, point.pull(np.where(piece == 0, spring * law.z, held)))
        r = law.z - point.fit(c)
        new = _piece(law, spring * r)
        # a law that was let go comes back only if it went the other way
        new = np.where(~soft & (piece != 0), np.where(r * piece >= 0, piece, 0), new)
        changed = np.flatnonzero(new != piece)
        if not changed.size:
            return c, np.where(piece == 0, spring * r, held), tangent, factor
        if changed.size >= before:  # going round in circles: only every other one is let change
            changed = changed[turn % 2 :: 2]
        before = changed.size
        piece[changed] = new[changed]
    return None


def _piece(law: Law, force: np.ndarray) -> np.ndarray:
    """1 where a force is past its price high, -1 past its price low, 0 between."""
    return (force > law.high).astype(int) - (force < -law.low)


def _exact(point: _Point, c, force, tangent, factor) -> tuple[np.ndarray, np.ndarray]:
    """Answer of the linear problem on the pieces found, corrected until rounding is all that is left."""
    law = point.law
    working = tangent > 0
    rest = law.z - np.where(working, law.band * np.sign(force), 0.0)
    for _ in range(_REFINE):
        miss = rest - point.fit(c) - point.slack * force
        step = point.band.resolve(factor, point.pull(force + tangent * miss) - point.band.bend(c))
        force = np.where(working, force + tangent * (miss - point.fit(step)), force)
        c = c + step
    return c, force


def _proof(point: _Point, c: np.ndarray, force: np.ndarray) -> tuple[float, float, np.ndarray]:
    """Optimality residuals of an answer, worked out from the problem alone: out of balance, gap; and the misfits."""
    law, band = point.law, point.band
    r = law.z - point.fit(c)
    force = np.clip(force, -law.low, law.high)
    bend = band.bend(c)
    pull = point.pull(force)
    size = 1.0 + np.abs(force[law.spring < 1e3]).max(initial=0.0)
    each = law.cost(r) + law.conjugate(force) - r * force
    energy = 0.5 * c @ bend
    return (float(np.abs(pull - bend).max() / size), float(np.abs(each).sum() / (1.0 + energy + law.cost(r).sum())), r)


@one_thread
def solve(band: Band, law: Law, limit: int = MAX_ITERATIONS) -> Solution:
    """
    Surface that balances its stiffness against the rows' springs.

    Parameters
    ----------
    band : Band
        Rows and energy.
    law : Law
        Spring law of each row. Heights should be scaled so that a reading error is about 1.
    limit : int
        Most iterations.

    Returns
    -------
    Solution
        With `stationarity` and `gap` worked out afresh from the problem, not from the iteration's own books.

    Notes
    -----
    Mehrotra's predictor-corrector [1]_ on the complementary pairs of the laws; e, d, p, f and the slacks are
    eliminated, which leaves (G + B'DB) dc = rhs, banded. Work grows with rows * 256 + unknowns * band^2. The last
    step solves the linear problem on the pieces that the iteration has found, which makes the answer exact to
    rounding when they are right; it is kept only if its proof is better. The same problem class: [2]_.

    References
    ----------
    .. [1] S. Mehrotra, SIAM J. Optim. 2 (1992) 575-601 (from memory).
    .. [2] A. Aravkin, J. Burke, G. Pillonetto, J. Mach. Learn. Res. 14 (2013) 2689-2728.

    Examples
    --------
    One reading of three is a slip of 10; with a price of 1.4 on misfit the other two decide:

    >>> from deckgeom.fairing.assembly import Band, lay_out
    >>> from deckgeom.fairing.basis import Axis
    >>> flat = lay_out(Axis(0, 1, 1, 0), Axis(0, 1, 1, 0), np.array([0]), np.array([0]))
    >>> band = Band(flat, [flat.surface_rows([0.0] * 3, [0.0] * 3)], [], 3.0)
    >>> ones = np.ones(3)
    >>> answer = solve(band, Law(z=[0.0, 0.2, 10.0], spring=ones, high=1.4 * ones, low=1.4 * ones, band=0 * ones))
    >>> answer.c.round(6), answer.stalled
    (array([0.8]), False)
    """
    point = _Point(band, law)
    point.walk_from()
    plain = not law.band.any() and law.at is None
    iterations, answers, factor = 0, [], None
    for steps, target in _schedule(plain, len(law.z)):
        iterations += _walk(point, min(steps, limit - iterations), target)
        found = _flip(point) if plain else None
        if found is None and (steps == MAX_ITERATIONS or iterations >= limit):
            found = _settle(point)
        if found is not None:
            tangent, factor = found[2:]
            answers = [_exact(point, *found)]
            answers[0] += _proof(point, *answers[0])
        if iterations >= limit or (answers and max(answers[0][2:4]) <= TOLERANCE):
            break
    if not answers or max(answers[0][2:4]) > TOLERANCE:
        answers.append((point.c, point.force, *_proof(point, point.c, point.force)))
    c, force, stationarity, gap, residual = min(answers, key=lambda answer: max(answer[2:4]))
    if factor is None:
        tangent, factor = point.D, point.factor
    return Solution(
        c=c,
        force=np.clip(force, -law.low, law.high),
        residual=residual,
        tangent=tangent,
        factor=factor,
        stationarity=stationarity,
        gap=gap,
        iterations=iterations,
        stalled=not max(stationarity, gap) <= TOLERANCE,
    )
