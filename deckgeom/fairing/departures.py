"""Step by step choice of what stands out on each beam: the whole beam, one reading, a point measured more than once."""

from __future__ import annotations

import numpy as np
from scipy.special import ndtr

from deckgeom.fairing.without import Without

#: Share of the names that may be chance: of single readings, and of beams as a whole.
CHANCE_READINGS, CHANCE_BEAMS = 0.25, 0.20
#: Between these many standard deviations a reading, or a beam's height, tilt or crown, begins to stand out.
READING_STANDS_OUT, BEAM_STANDS_OUT = (2.2, 3.6), (2.5, 3.6)
#: A beam (a reading) that leans on itself more than this cannot be judged: it made the surface that it is held against.
LEANS = 0.7
#: What leans on itself more than this is not tried at all: it made the surface that it would be held against.
LEANS_MOST = 0.95
#: Scatter past the stated reading error that is put down to chance; more raises what it takes to stand out.
SPARE = 1.15
_OPEN, _CERTAIN = 1e6, 99.0


def chance_limit(t: np.ndarray, share: float, least: float, most: float) -> float:
    """
    How far out is out, when so many were looked at and no more than a share of those named may be chance.

    Parameters
    ----------
    t : (n,) array
        Departures in standard deviations. [1]
    share : float
        Of the named that may be chance. [1]
    least, most : float
        Bounds of the answer. [1]

    Returns
    -------
    float

    Notes
    -----
    Benjamini and Hochberg's rule [1]_: with p-values in order, the largest k with p_k <= share k/n. On a deck where
    little stands out more is asked of each.

    References
    ----------
    .. [1] Y. Benjamini, Y. Hochberg, J. R. Statist. Soc. B 57 (1995) 289-300 (from memory).

    Examples
    --------
    >>> chance_limit(np.array([0.5, -1.0, 6.0, 5.0]), 0.2, 2.0, 4.0)
    4.0
    """
    size = np.sort(np.abs(t))[::-1]
    kept = np.flatnonzero(2.0 * ndtr(-size) <= share * np.arange(1, len(size) + 1) / max(len(size), 1))
    return float(np.clip(size[kept[-1]] if kept.size else most, least, most))


class Departures:
    """
    What stands out on each beam, all beams at once.

    Columns of every (g, k) array: height, tilt, crown of the whole beam; each reading alone, m of them; then, if any
    point was measured more than once, each such point, m more.

    Parameters
    ----------
    without : Without
        Each beam against the surface of the others.
    shapes : (g, m, 3) array
        Height, tilt and crown at each reading. [1]
    may : (g, 3) array of bool
        Which of them a beam may have.
    repeated : (g, m, m) array or None
        Row i marks the readings of the point first met at i.
    leans : (g, 3) array, optional
        How far each beam leans on itself; worked out if not given. [1]

    Examples
    --------
    See `search.search`, which uses it.

    >>> Departures.__name__
    'Departures'
    """

    def __init__(self, without: Without, shapes: np.ndarray, may: np.ndarray, repeated, leans=None) -> None:
        self.real = real = without.grouped.real
        self.m = m = real.shape[1]
        self.single = slice(3, 3 + m)
        self.whole = np.where(real[:, :, None], shapes, 0.0).transpose(0, 2, 1)
        self.points = repeated
        self.base, self.base_pull = without.inverse, np.where(real, without.pull, 0.0)
        self.inverse, self.pull = self.base.copy(), self.base_pull.copy()
        self.leans = self.lean() if leans is None else leans
        sound = real & (np.einsum("gmm->gm", self.inverse) > 1.0 - LEANS_MOST)
        parts = [may & np.any(self.whole != 0, axis=2) & (self.leans < LEANS_MOST), sound]
        self.may = np.concatenate(parts if repeated is None else [*parts, repeated.any(axis=2)], axis=1)
        self.chosen = np.zeros(self.may.shape, dtype=bool)
        self.lead = np.zeros(len(real))
        self.t = self._test(slice(None))

    def lean(self) -> np.ndarray:
        """How far each beam's height, tilt and crown lean on the beam itself, (g, 3), 0 to 1."""
        length = np.sqrt((self.whole**2).sum(axis=2))
        unit = self.whole / np.maximum(length, 1e-9)[:, :, None]
        spread = (np.linalg.solve(self.base, unit.transpose(0, 2, 1)).transpose(0, 2, 1) * unit).sum(axis=2) - 1.0
        return np.where(length > 0, spread / np.maximum(1.0 + spread, 1e-9), 1.0)

    def _test(self, which) -> np.ndarray:
        """Every departure in standard deviations; nought for those chosen already or not to be tried."""
        inverse, whole, pull = self.inverse[which], self.whole[which], self.pull[which]
        top, below = np.empty(self.may[which].shape), np.empty(self.may[which].shape)
        top[:, self.single], below[:, self.single] = pull, np.einsum("gmm->gm", inverse)
        top[:, :3] = (whole @ pull[:, :, None])[:, :, 0]
        below[:, :3] = ((whole @ inverse) * whole).sum(axis=2)
        if self.points is not None:
            points = self.points[which]
            top[:, 3 + self.m :] = (points @ pull[:, :, None])[:, :, 0]
            below[:, 3 + self.m :] = ((points @ inverse) * points).sum(axis=2)
        tried = self.may[which] & ~self.chosen[which] & (below > 1e-5)
        return np.where(tried, top / np.sqrt(np.maximum(below, 1e-12)), 0.0)

    def vectors(self, g: np.ndarray, k: np.ndarray) -> np.ndarray:
        """
        Departures k of beams g as what they do to the readings, broadcast, (..., m).
        """
        g, k = np.broadcast_arrays(g, k)
        out = (np.arange(self.m) == (k - 3)[..., None]).astype(float)
        out[k < 3] = self.whole[g[k < 3], k[k < 3]]
        if self.points is not None:
            point = k >= 3 + self.m
            out[point] = self.points[g[point], k[point] - 3 - self.m]
        return out

    def choose(self, limit_readings: float, limit_beams: float) -> None:
        """Take, on each beam, what stands out most and look again, until nothing does."""
        limit = np.full(self.may.shape[1], limit_readings)
        limit[:3] = limit_beams
        for _ in range(2 * self.m):
            lead = np.where(np.abs(self.t) > limit, self.t**2 - limit**2, -1.0)
            best = lead.argmax(axis=1)
            go = np.flatnonzero(lead[np.arange(len(best)), best] > 0)
            if not go.size:
                return
            k = best[go]
            self.chosen[go, k] = True
            whole = go[k < 3]
            self.lead[whole] = np.maximum(self.lead[whole], lead[whole, best[whole]])
            self._set_aside(go, self.vectors(go, k))

    def preset(self, out: np.ndarray) -> None:
        """Set aside whole-beam departures (g, 3) that are known to be out."""
        for k in range(3):
            go = np.flatnonzero(out[:, k])
            if go.size:
                self.chosen[go, k] = True
                self._set_aside(go, self.whole[go, k])

    def _set_aside(self, go: np.ndarray, v: np.ndarray) -> None:
        """Let a departure v of beams `go` be whatever it likes: inverse of V + open v v', by Sherman and Morrison."""
        u = (self.inverse[go] @ v[:, :, None])[:, :, 0]
        length = np.sqrt(1.0 / _OPEN + (u * v).sum(axis=1))[:, None]
        u /= length
        self.pull[go] -= u * ((v * self.pull[go]).sum(axis=1)[:, None] / length)
        self.inverse[go] -= u[:, :, None] * u[:, None, :]
        self.t[go] = self._test(go)

    def limits(self) -> tuple[tuple[float, float], float]:
        """Where standing out begins on this deck, readings and beams; and scatter found over scatter stated."""
        t = np.where(self.chosen, _CERTAIN, self.t)
        t, t_beam = t[:, self.single][self.may[:, self.single]], t[:, :3][self.may[:, :3]]
        stretch, stretch_beam = (
            max(1.0, 1.4826 * float(np.median(np.abs(part))) / SPARE) if part.size > 8 else 1.0 for part in (t, t_beam)
        )
        stretch_beam = max(stretch, stretch_beam)
        limits = (
            stretch * chance_limit(t / stretch, CHANCE_READINGS, *READING_STANDS_OUT),
            stretch_beam * chance_limit(t_beam / stretch_beam, CHANCE_BEAMS, *BEAM_STANDS_OUT),
        )
        return limits, stretch

    def sizes(self) -> tuple[np.ndarray, np.ndarray, np.ndarray, np.ndarray]:
        """Sizes of what was chosen by generalised least squares, with sd; and all together at each reading, with sd."""
        size, sd = np.zeros(self.chosen.shape), np.zeros(self.chosen.shape)
        at, at_sd = np.zeros(self.pull.shape), np.zeros(self.pull.shape)
        count = self.chosen.sum(axis=1)
        for k in np.unique(count[count > 0]):
            g = np.flatnonzero(count == k)
            which = np.nonzero(self.chosen[g])[1].reshape(len(g), k)
            x = self.vectors(g[:, None], which)
            spread = np.linalg.pinv(x @ self.base[g] @ x.transpose(0, 2, 1), hermitian=True)
            found = (spread @ (x @ self.base_pull[g][:, :, None]))[:, :, 0]
            size[g[:, None], which] = found
            sd[g[:, None], which] = np.sqrt(np.einsum("gkk->gk", spread))
            at[g] = (found[:, None, :] @ x)[:, 0]
            at_sd[g] = np.sqrt(np.maximum(((spread @ x) * x).sum(axis=1), 0.0))
        return size, sd, at, at_sd

    def alone(self) -> tuple[np.ndarray, np.ndarray]:
        """Each reading against all others: deviation and its sd, (g, m)."""
        own = np.maximum(np.einsum("gmm->gm", self.inverse), 1e-9)
        return self.pull / own, 1.0 / np.sqrt(own)
