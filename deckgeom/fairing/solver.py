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
from deckgeom.fairing.pieces import Pieces, proof
from deckgeom.fairing.threads import one_thread

#: What the iteration itself aims at before the last exact step.
TARGET = 1e-9
MAX_ITERATIONS = 100
#: The last exact step is tried when the walk's residuals are down to so much.
_AT = (3e-5, 1e-6, 3e-8, TARGET)
#: The walk begins with no product of a pair below this share of their mean.
_CENTRED = 0.2
#: The last exact step is worth trying when of the pairs no more than this share has turned over in a step this long.
_TURNED, _STRIDE = 0.02, 0.6
#: And not before the residuals are down to this.
_NEAR = 1.0
#: How far towards the nearest wall a step goes.
_REACH = 0.995
#: Rounds without progress before the walk stops.
_PATIENCE = 12


class Point:
    """
    Where the iteration stands: unknowns, forces and the pairs (a, b) whose products go to nought.

    Parameters
    ----------
    band : Band
        Rows and energy.
    law : Law
        Spring laws.

    Notes
    -----
    Pairs stand in one row: laws with a high price (what is left of the price; misfit past it), with a low price (the
    same), with a dead band (room above; push against its edge), and below. A step in a gives the step in b.

    Examples
    --------
    See `solve`, which uses it.

    >>> Point.__name__
    'Point'
    """

    def __init__(self, band: Band, law: Law) -> None:
        law, self.order = _in_runs(law)
        self.band, self.law = band, law
        self.slack = np.where(np.isinf(law.spring), 0.0, 1.0 / law.spring)
        self.P, self.F, self.T = (_some(np.isfinite(law.high)), _some(np.isfinite(law.low)), _some(law.band > 0))
        n = [len(law.z[k]) for k in (self.P, self.F, self.T, self.T)]
        ends = np.concatenate([[0], np.cumsum(n)])
        self.cut = [slice(ends[k], ends[k + 1]) for k in range(4)]
        self.pairs = int(ends[-1])
        self.banded = n[2] > 0
        self.soft = _some(law.spring < 1e3)
        self.scale = 1.0 + np.abs(law.z).max()
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

    def as_given(self, values: np.ndarray) -> np.ndarray:
        """Laws' values in the order in which the laws were given."""
        if self.order is None:
            return values
        out = np.empty_like(values)
        out[self.order] = values
        return out

    def _start(self) -> None:
        law = self.law
        weight = np.where(np.isfinite(law.spring), np.where(law.spring > 1e3, law.spring, 1.0), 0.1)
        factor = self.band.factor(self.on_rows(weight))
        if factor is None:
            raise FairingError("the readings", "the problem must hold the surface", "no reading touches part of it")
        self.factor, self.D = factor, weight
        self.c = self.band.resolve(factor, self.pull(weight * law.z))
        self.r = law.z - self.fit(self.c)

    def walk_from(self) -> None:
        """A point well inside every bound, near the plain least-squares answer."""
        law, r, P, F, T = self.law, self.r, self.P, self.F, self.T
        room = np.minimum(0.5 * (law.high + law.low), 1.0)
        pull = r * np.where(np.isinf(law.spring), 0.0, law.spring)
        self.force = np.clip(np.where(law.spring > 1e3, pull, r), -law.low + 0.2 * room, law.high - 0.2 * room)
        spread = 0.1 + 0.1 * float(np.mean(np.abs(r)))
        d = np.clip(r, -0.9 * law.band, 0.9 * law.band)
        left = r - d - self.slack * self.force
        self.d = d[T]
        self.both = np.empty((2, self.pairs))
        a, b = self.both
        a[self.cut[0]], a[self.cut[1]] = (law.high - self.force)[P], (law.low + self.force)[F]
        for cut, out in ((self.cut[0], left[P]), (self.cut[1], -left[F])):
            b[cut] = np.maximum(out, 0) + spread / np.maximum(1.0, a[cut])
        a[self.cut[2]], a[self.cut[3]] = law.band[T] - self.d, law.band[T] + self.d
        b[self.cut[2]] = (np.maximum(self.force, 0) + 0.1 * room)[T]
        b[self.cut[3]] = (np.maximum(-self.force, 0) + 0.1 * room)[T]
        if self.pairs:  # a dear wall far past makes its product large: none is left far below the mean
            np.maximum(b, _CENTRED * self.mean() / a, out=b)
        left = law.z - self.fit(self.c) - self.slack * self.force
        left[T] -= self.d
        left[P] -= b[self.cut[0]]
        left[F] += b[self.cut[1]]
        self.open, self.length = float(np.abs(left).max()) / self.scale, 0.0

    def linearise(self) -> bool:
        """Weights and factor of the Newton matrix at this point; False if it cannot be factored."""
        cut, law = self.cut, self.law
        self.ratio = self.both[1] / self.both[0]
        inverse = self.slack.copy()
        inverse[self.P] += self.ratio[cut[0]]
        inverse[self.F] += self.ratio[cut[1]]
        self.misfit = law.z - self.fit(self.c)
        self.misfit -= self.slack * self.force
        if self.banded:
            self.held = 1.0 / (self.ratio[cut[2]] + self.ratio[cut[3]])
            inverse[self.T] += self.held
            self.misfit[self.T] -= self.d
        self.D = 1.0 / inverse
        self.factor = self.band.factor(self.on_rows(self.D))
        self.unbalanced = self.pull(self.force) - self.band.bend(self.c)
        return self.factor is not None

    def direction(self, target: np.ndarray | None = None) -> tuple:
        """Newton step towards products a b equal to `target`, or to nought."""
        cut, P, F, T = self.cut, self.P, self.F, self.T
        g = self.misfit.copy()
        step = np.empty_like(self.both)
        da, db = step
        np.negative(self.both[1], out=db)
        if target is not None:
            aim = target / self.both[0]
            g[P] -= aim[cut[0]]
            g[F] += aim[cut[1]]
            db += aim
        dd = lean = 0.0
        if self.banded:
            lean = self.force[T]
            if target is not None:
                lean = lean - aim[cut[2]] + aim[cut[3]]
            g[T] -= lean * self.held
        dc = self.band.resolve(self.factor, self.unbalanced + self.pull(self.D * g))
        df = self.D * (g - self.fit(dc))
        np.negative(df[P], out=da[cut[0]])
        da[cut[1]] = df[F]
        if self.banded:
            dd = (df[T] + lean) * self.held
            np.negative(dd, out=da[cut[2]])
            da[cut[3]] = dd
        db -= self.ratio * da
        return dc, df, dd, step

    def longest(self, step: np.ndarray) -> float:
        """Longest step, at most 1, that keeps all pairs well above nought."""
        worst = float((step / self.both).min(initial=0.0))
        return 1.0 if worst >= -_REACH else -_REACH / worst

    def move(self, step: tuple, length: float) -> None:
        """Go along a step."""
        dc, df, dd, both = step
        self.length, self.open = length, self.open * (1.0 - length)
        self.c = self.c + length * dc
        self.force = self.force + length * df
        self.d = self.d + length * dd
        self.both = self.both + length * both

    def state(self) -> tuple:
        """All that moves, to come back to."""
        return self.c, self.force, self.d, self.both, self.open

    def restore(self, state: tuple) -> None:
        """Go back to a kept state."""
        self.c, self.force, self.d, self.both, self.open = state

    def mean(self) -> float:
        """Mean product of the pairs."""
        return float(self.both[0] @ self.both[1]) / max(1, self.pairs)

    def error(self) -> float:
        """Largest relative residual at the last linearisation; what a law misses shrinks by one less each step."""
        scale_f = 1.0 + float(np.abs(self.force[self.soft]).max(initial=0.0))
        return max(self.open, float(np.abs(self.unbalanced).max()) / scale_f, self.mean())


def _some(mask: np.ndarray):
    """Index of the chosen laws: a slice where they stand in one row, which is quicker."""
    rows = np.flatnonzero(mask)
    if rows.size and rows[-1] - rows[0] + 1 == rows.size:
        return slice(int(rows[0]), int(rows[-1]) + 1)
    return rows


#: Rank of a law by its having a high price, a low price, a dead band (bits 4, 2, 1), so that each stands in one run.
_RANK = np.array([0, 5, 6, 4, 1, 7, 2, 3])


def _in_runs(law: Law) -> tuple[Law, np.ndarray | None]:
    """Laws in an order in which like stands by like, and that order; as they are where they do already."""
    kind = 4 * np.isfinite(law.high) + 2 * np.isfinite(law.low) + (law.band > 0)
    if all(isinstance(_some(kind & bit), slice) or not (kind & bit).any() for bit in (4, 2, 1)):
        return law, None
    order = np.argsort(_RANK[kind], kind="stable")
    at = order if law.at is None else law.at[order]
    return Law(*(part[order] for part in (law.z, law.spring, law.high, law.low, law.band)), at=at), order


def _walk(point: Point, limit: int, target: float, watch: bool) -> int:
    """
    Predictor and corrector steps; how many were taken.

    Until the residuals are below the target or stop shrinking, or, if that is watched, hardly a pair turns over.
    """
    best, idle, kept, turned = np.inf, 0, point.state(), None
    for taken in range(limit):
        sound = point.linearise()
        error = point.error() if sound else np.inf
        if error < best:
            idle, kept = (0 if error < 0.9 * best else idle + 1), point.state()
            best = error
        else:
            idle += 1
        if not sound or best < target or idle >= _PATIENCE:
            point.restore(kept)
            return taken
        step = point.direction()
        length = point.longest(step[3])
        if point.pairs:
            mean = point.mean()
            a, b = point.both + length * step[3]
            after = float(a @ b) / point.pairs
            step = point.direction(mean * (after / mean) ** 3 - length**0.5 * step[3][0] * step[3][1])
            length = point.longest(step[3])
        point.move(step, length)
        if watch:
            before, turned = turned, point.both[1] > point.both[0]
            if length > _STRIDE and before is not None and best < _NEAR:
                if np.sum(turned != before) <= _TURNED * point.pairs:
                    return taken + 1
    return limit


def _schedule(plain: bool, laws: int) -> list[tuple[int, float, bool]]:
    """
    After how many steps of the walk, or at which residual, the last exact step is tried, and whether pairs are watched.

    Laws without dead bands and walls show their pieces early.
    """
    first = 2 + (laws > 300)
    early = [(first, 0.0, False), (2, 0.0, False), (3, 0.0, False)] if plain else [(MAX_ITERATIONS, _AT[0], True)] * 4
    return early + [(MAX_ITERATIONS, target, False) for target in _AT]


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
    point = Point(band, law)
    point.walk_from()
    pieces, plain = Pieces(point), not point.banded and law.at is None
    iterations, answers, factor = 0, [], None
    for steps, target, watch in _schedule(plain, len(law.z)):
        taken = _walk(point, min(steps, limit - iterations), target, watch)
        iterations += taken
        if not taken and watch:
            continue
        found = pieces.tried()
        if found is None and (steps == MAX_ITERATIONS or iterations >= limit):
            found = pieces.settled()
        if found is not None:
            tangent, factor = found[2:]
            answers = [pieces.corrected(*found)]
            answers[0] += proof(point, *answers[0])
        if iterations >= limit or (answers and max(answers[0][2:4]) <= TOLERANCE):
            break
    if not answers or max(answers[0][2:4]) > TOLERANCE:
        answers.append((point.c, point.force, *proof(point, point.c, point.force)))
    c, force, stationarity, gap, residual = min(answers, key=lambda answer: max(answer[2:4]))
    if factor is None:
        tangent, factor = point.D, point.factor
    force, residual, tangent = (point.as_given(part) for part in (force, residual, tangent))
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
