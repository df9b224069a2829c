"""The last exact step of the solver: which piece of its law each row is on, found by trying, and the answer there."""

from __future__ import annotations

import numpy as np

#: Stiffness, relative to the stiffest finite spring, that stands for "held exactly".
HARD = 1e9
#: Most rounds of trying the pieces, and of correcting the last step.
_FLIPS, _REFINE = 12, 2
#: Rounds after which fewer laws than at first must change still.
_SOON = 4
#: Share of the laws on another piece than was taken, past which the start was too far off.
_FAR = 0.15


class Pieces:
    """
    Laws as pieces: past the low price, spring working low, idle in the dead band, spring working high, past the price.

    Parameters
    ----------
    point : solver.Point
        Where the walk stands; its band and laws.

    Notes
    -----
    `piece` is -2, -1, 0, 1, 2 in that order. A law without a dead band has one working piece only, 1. On given pieces
    the problem is linear; its answer says which laws are on another piece than was taken, and so on: Newton's method
    on the pieces, which ends after a few rounds with the exact answer if it starts near it.

    Examples
    --------
    See `solver.solve`, which uses it.

    >>> Pieces.__name__
    'Pieces'
    """

    def __init__(self, point) -> None:
        self.point, self.law, self.band = point, point.law, point.band
        law = self.law
        self.soft = np.isfinite(law.spring)
        self.spring = np.where(self.soft, law.spring, HARD)
        self.wide = law.band > 0
        self.hard, self.no_band = np.flatnonzero(~self.soft), not self.wide.any()

    def at_walk(self) -> np.ndarray:
        """Pieces that the walk points to, (m,)."""
        point, a, b, cut = self.point, *self.point.both, self.point.cut
        piece = np.ones(len(self.law.z), dtype=np.int8)
        if not self.no_band:
            piece[self.wide & (point.force < 0)] = -1
            idle = np.zeros(len(piece), dtype=bool)
            idle[point.T] = (a[cut[2]] > b[cut[2]]) & (a[cut[3]] > b[cut[3]])
            piece[idle] = 0
        for index, pair, past in ((point.P, cut[0], 2), (point.F, cut[1], -2)):
            loose = np.zeros(len(piece), dtype=bool)
            loose[index] = b[pair] > a[pair]
            piece[loose] = past
        return piece

    def solved(self, piece: np.ndarray) -> tuple | None:
        """Unknowns, forces, tangent stiffness and factor on some pieces; None if there is no factor."""
        law, point = self.law, self.point
        working = piece * piece == 1
        tangent = np.where(working, self.spring, 0.0)
        factor = self.band.factor(point.on_rows(tangent))
        if factor is None:
            return None
        rest = law.z if self.no_band else law.z - law.band * piece
        force = np.where(piece > 0, law.high, -law.low)
        if not self.no_band:
            force[piece == 0] = 0.0
        c = self.band.resolve(factor, point.pull(np.where(working, self.spring * rest, force)))
        fitted = point.fit(c)
        np.copyto(force, self.spring * (rest - fitted), where=working)
        return c, force, tangent, factor, law.z - fitted

    def after(self, piece: np.ndarray, force: np.ndarray, r: np.ndarray) -> np.ndarray:
        """Pieces that the laws are on at an answer with some forces and misfits."""
        law = self.law
        if self.no_band:
            pull = self.spring * r
            new = np.where(pull > law.high, 2, np.where(pull < -law.low, -2, 1)).astype(np.int8)
        else:
            way = np.where(self.wide & (r < 0), -1, 1).astype(np.int8)
            pull = self.spring * (r - law.band * way)
            new = np.where(np.abs(r) < law.band, 0, way)
            new = np.where(pull > law.high, 2, np.where(pull < -law.low, -2, new)).astype(np.int8)
        if self.hard.size:
            new[self.hard] = self._hard(*(part[self.hard] for part in (piece, r, force)))
        return new

    def _hard(self, piece: np.ndarray, r: np.ndarray, force: np.ndarray) -> np.ndarray:
        """Pieces of laws without a spring: by their force while they hold, by their misfit once they have given."""
        law, hard = self.law, self.hard
        held = np.where(force > law.high[hard], 2, np.where(force < -law.low[hard], -2, piece))
        size, way = np.abs(piece), np.sign(piece)
        if self.no_band:
            return np.where(size == 1, held, np.where(way * r >= 0, piece, 1))
        band = law.band[hard]
        wide = band > 0
        held = np.where(wide & (force * piece < 0), 0, held)
        idle = np.where(r > band, 1, np.where(r < -band, -1, 0))
        past = np.where(way * r >= band, piece, np.where(wide, way, 1))
        return np.where(size == 1, held, np.where(size == 0, idle, past))

    def tried(self) -> tuple | None:
        """Exact answer by trying the pieces; None where that goes astray, and the walk has to go on."""
        piece = self.at_walk()
        before = first = len(piece)
        for turn in range(_FLIPS):
            found = self.solved(piece)
            if found is None:
                return None
            new = self.after(piece, found[1], found[4])
            changed = np.flatnonzero(new != piece)
            if not changed.size:
                return found[:4]
            first = first if turn else changed.size
            most = _FAR * len(piece) if not turn else first * (1.5 if turn < _SOON else 0.3)
            if changed.size > max(most, 3):
                return None
            if changed.size >= before:  # going round in circles: only every other one is let change
                changed = changed[turn % 2 :: 2]
            before = changed.size
            piece[changed] = new[changed]
        return None

    def settled(self) -> tuple | None:
        """Answer of the linear problem on the pieces that the walk points to, as it stands; None without a factor."""
        piece = self.at_walk()
        found = self.solved(piece)
        if found is None:
            return None
        working = np.abs(piece) == 1
        return self.point.c, np.where(working, self.point.force, found[1]), *found[2:4]

    def corrected(self, c, force, tangent, factor) -> tuple[np.ndarray, np.ndarray]:
        """Answer of the linear problem on the pieces found, corrected until rounding is all that is left."""
        law, point = self.law, self.point
        working = tangent > 0
        rest = law.z - np.where(working, law.band * np.sign(force), 0.0)
        for _ in range(_REFINE):
            miss = rest - point.fit(c) - point.slack * force
            step = self.band.resolve(factor, point.pull(force + tangent * miss) - self.band.bend(c))
            force = np.where(working, force + tangent * (miss - point.fit(step)), force)
            c = c + step
        return c, force


def proof(point, c: np.ndarray, force: np.ndarray) -> tuple[float, float, np.ndarray]:
    """
    Optimality residuals of an answer, worked out from the problem alone: out of balance, gap; and the misfits.

    Parameters
    ----------
    point : solver.Point
        The problem.
    c : (size,) array
        Unknowns.
    force : (m,) array
        Pull of each law.

    Returns
    -------
    (float, float, (m,) array)

    Examples
    --------
    See `solver.solve`, which uses it.

    >>> proof.__name__
    'proof'
    """
    law = point.law
    r = law.z - point.fit(c)
    force = np.clip(force, -law.low, law.high)
    bend = point.band.bend(c)
    pull = point.pull(force)
    size = 1.0 + np.abs(force[law.spring < 1e3]).max(initial=0.0)
    cost = law.cost(r)
    each = cost + law.conjugate(force) - r * force
    energy = 0.5 * c @ bend
    return float(np.abs(pull - bend).max() / size), float(np.abs(each).sum() / (1.0 + energy + cost.sum())), r
