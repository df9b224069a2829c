"""Which beams and which readings stand out: judged against the surface that the rest of the deck makes."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.special import ndtr

from deckgeom.fairing.beam_tops import closed
from deckgeom.fairing.fair import HELD
from deckgeom.fairing.found import Estimate, Surface
from deckgeom.fairing.threads import one_thread
from deckgeom.fairing.without import Grouped, Without, group, leave_out

#: Share of the names that may be chance: of single readings, and of beams as a whole.
CHANCE_READINGS, CHANCE_BEAMS = 0.20, 0.10
#: Between these many standard deviations a reading, or a beam's height, tilt or crown, begins to stand out.
READING_STANDS_OUT, BEAM_STANDS_OUT = (2.2, 3.6), (2.8, 3.7)
#: A beam (a reading) that leans on itself more than this cannot be judged: it made the surface that it is held against.
LEANS = 0.7
#: Past this nothing is tried at all.
_LEANS_MOST = 0.95
#: Most times that the deck is looked over again with what stood out set aside.
LOOKS = 4
#: Scatter past the stated reading error that is put down to chance; more raises what it takes to stand out.
_SPARE = 1.15
_OPEN = 1e6


@dataclass(frozen=True, eq=False)
class Findings:
    """
    What stands out, beam by beam. Lengths in reading errors.

    Parameters
    ----------
    without : Without
        Each beam against the surface of the others, what stood out there set aside.
    surface : Surface
        The fair surface with all that stands out set aside, in millimetres: what the work is planned from.
    kinds : (g, k, m) array
        Every departure tried on each beam: height, tilt and crown of the whole; each reading alone; each point
        measured more than once.
    chosen : (g, k) array of bool
        Which of them stand out.
    size, size_sd : (g, k) array
        How large, and its standard deviation; nought where not chosen.
    at_readings, at_readings_sd : (g, m) array
        All that stands out at each reading, together.
    alone, alone_sd : (g, m) array
        Each reading against all the others, its own beam's too (chosen departures apart).
    leans : (g, 3) array
        How far each beam leans on itself in height, tilt and crown, 0 to 1.
    limits : (float, float)
        Standard deviations at which readings and beams stood out here. [1]
    stretch : float
        Scatter found over the reading error stated; 1 or more. [1]

    Examples
    --------
    See `verdict.judge`, which puts this into words.

    >>> Findings.__name__
    'Findings'
    """

    without: Without
    surface: Surface
    kinds: np.ndarray
    chosen: np.ndarray
    size: np.ndarray
    size_sd: np.ndarray
    at_readings: np.ndarray
    at_readings_sd: np.ndarray
    alone: np.ndarray
    alone_sd: np.ndarray
    leans: np.ndarray
    limits: tuple[float, float]
    stretch: float

    @property
    def grouped(self) -> Grouped:
        """Which reading stands where."""
        return self.without.grouped


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


class _Tests:
    """Step by step choice of what stands out on each beam, all beams at once."""

    def __init__(self, without: Without, shapes: np.ndarray, may: np.ndarray, repeated: np.ndarray | None) -> None:
        real = without.grouped.real
        both = real[:, :, None] & real[:, None, :]
        m = real.shape[1]
        self.d = np.where(real, without.deviation, 0.0)
        self.base = np.where(both, without.spread, 0.0) + np.eye(m)
        self.real, self.m = real, m
        parts = [np.where(real[:, :, None], shapes, 0.0).transpose(0, 2, 1), np.eye(m) * real[:, None, :]]
        self.kinds = np.concatenate(parts if repeated is None else [*parts, repeated], axis=1)
        length = np.sqrt((self.kinds[:, :3] ** 2).sum(axis=2))
        unit = self.kinds[:, :3] / np.maximum(length, 1e-9)[:, :, None]
        spread = ((unit @ np.where(both, without.spread, 0.0)) * unit).sum(axis=2)
        self.leans = np.where(length > 0, spread / (1.0 + spread), 1.0)
        self.may = np.any(self.kinds != 0, axis=2)
        self.may[:, :3] &= may & (self.leans < _LEANS_MOST)
        self.chosen = np.zeros(self.may.shape, dtype=bool)
        self.lead = np.zeros(len(real))
        self.inverse = np.linalg.inv(self.base)
        self.may[:, 3 : 3 + m] &= np.einsum("gmm->gm", self.inverse) > 1.0 - _LEANS_MOST
        self.t = self._test(slice(None))

    def _test(self, which) -> np.ndarray:
        """Departure of each kind in standard deviations, nought for those chosen already."""
        inverse, kinds = self.inverse[which], self.kinds[which]
        pull = (inverse @ self.d[which][:, :, None])[:, :, 0]
        top = (kinds @ pull[:, :, None])[:, :, 0]
        m = self.m
        below = np.empty(top.shape)
        below[:, 3 : 3 + m] = np.einsum("gmm->gm", inverse)
        for part in (slice(0, 3), slice(3 + m, None)):
            below[:, part] = ((kinds[:, part] @ inverse) * kinds[:, part]).sum(axis=2)
        tried = self.may[which] & ~self.chosen[which] & (below > 1e-5)
        return np.where(tried, top / np.sqrt(np.maximum(below, 1e-12)), 0.0)

    def choose(self, limit_readings: float, limit_beams: float) -> None:
        """Take, on each beam, what stands out most and look again, until nothing does."""
        limit = np.full(self.kinds.shape[1], limit_readings)
        limit[:3] = limit_beams
        for _ in range(2 * self.m):
            lead = np.where(np.abs(self.t) > limit, self.t**2 - limit**2, -1.0)
            best = lead.argmax(axis=1)
            go = np.flatnonzero(lead[np.arange(len(best)), best] > 0)
            if not go.size:
                return
            k = best[go]
            self.chosen[go, k] = True
            whole = k < 3
            self.lead[go[whole]] = np.maximum(self.lead[go[whole]], lead[go[whole], k[whole]])
            self._set_aside(go, self.kinds[go, k])

    def _set_aside(self, go: np.ndarray, v: np.ndarray) -> None:
        """Let a departure v of beams `go` be whatever it likes: inverse of V + open v v', by Sherman and Morrison."""
        u = (self.inverse[go] @ v[:, :, None])[:, :, 0]
        u /= np.sqrt(1.0 / _OPEN + (u * v).sum(axis=1))[:, None]
        self.inverse[go] -= u[:, :, None] * u[:, None, :]
        self.t[go] = self._test(go)

    def sizes(self) -> tuple[np.ndarray, np.ndarray, np.ndarray, np.ndarray]:
        """Sizes of what was chosen by generalised least squares, with sd; and all together at each reading, with sd."""
        size, sd = np.zeros(self.chosen.shape), np.zeros(self.chosen.shape)
        at, at_sd = np.zeros(self.d.shape), np.zeros(self.d.shape)
        for g in np.flatnonzero(self.chosen.any(axis=1)):
            x = self.kinds[g, self.chosen[g]].T
            weighed = np.linalg.solve(self.base[g], x)
            spread = np.linalg.pinv(x.T @ weighed, hermitian=True)
            size[g, self.chosen[g]] = spread @ (weighed.T @ self.d[g])
            sd[g, self.chosen[g]] = np.sqrt(np.diag(spread))
            at[g] = x @ size[g, self.chosen[g]]
            at_sd[g] = np.sqrt(np.maximum(((x @ spread) * x).sum(axis=1), 0.0))
        return size, sd, at, at_sd

    def alone(self) -> tuple[np.ndarray, np.ndarray]:
        """Each reading against all others: deviation and its sd."""
        with np.errstate(divide="ignore"):
            own = np.einsum("gmm->gm", self.inverse)
            pull = (self.inverse @ self.d[:, :, None])[:, :, 0]
            return pull / np.maximum(own, 1e-9), 1.0 / np.sqrt(np.maximum(own, 1e-9))


@one_thread
def search(estimate: Estimate) -> Findings:
    """
    Find what stands out.

    Parameters
    ----------
    estimate : Estimate
        Stage A.

    Returns
    -------
    Findings

    Notes
    -----
    Each beam is held against the surface without it. What stands out most (the whole beam's height, tilt or crown, or
    one reading) is set aside and the beam looked at again, until nothing does. A beam as a whole is taken as out only
    if it stands out more than the beams beside it, since one that is out pushes its neighbours; then the surface is
    worked out afresh with all that was found set aside, and the deck is looked over once more, until nothing changes.

    Examples
    --------
    See `verdict.judge`, which puts this into words.

    >>> search.__name__
    'search'
    """
    deck = _Deck(estimate)
    without = deck.first_look()
    for look in range(LOOKS + 1):
        stretch = 1.0
        for _ in range(4):
            tests = _Tests(without, deck.shapes, deck.may, deck.repeated)
            tests.choose(stretch * READING_STANDS_OUT[1], stretch * BEAM_STANDS_OUT[1])
            before, (limits, stretch) = stretch, _limits(tests)
            if stretch <= 1.2 * before:
                break
        tests.choose(*limits)
        if look == LOOKS or not deck.accept(tests):
            break
        without = deck.look_again()
    tests.chosen[:, :3] &= deck.out.any(axis=1)[:, None]
    size, size_sd, at, at_sd = tests.sizes()
    alone, alone_sd = tests.alone()
    return Findings(
        without,
        deck.surface,
        tests.kinds,
        tests.chosen,
        size,
        size_sd,
        at,
        at_sd,
        alone,
        alone_sd,
        tests.leans,
        limits,
        stretch,
    )


def _limits(tests: _Tests) -> tuple[tuple[float, float], float]:
    """Where standing out begins on this deck; and scatter found over scatter stated."""
    m = tests.m
    reading = slice(3, 3 + m)
    tried = tests.real & tests.may[:, reading]
    t = np.where(tests.chosen[:, reading], 99.0, tests.t[:, reading])[tried]
    stretch = max(1.0, 1.4826 * float(np.median(np.abs(t))) / _SPARE) if t.size > 8 else 1.0
    whole = tests.may[:, :3]
    t_beam = np.where(tests.chosen[:, :3], 99.0, tests.t[:, :3])[whole]
    stretch_beam = max(stretch, 1.4826 * float(np.median(np.abs(t_beam))) / _SPARE) if t_beam.size > 8 else stretch
    limits = (
        stretch * chance_limit(t / stretch, CHANCE_READINGS, *READING_STANDS_OUT),
        stretch_beam * chance_limit(t_beam / stretch_beam, CHANCE_BEAMS, *BEAM_STANDS_OUT),
    )
    return limits, stretch


class _Deck:
    """The deck as it is looked over again and again: what is set aside so far."""

    def __init__(self, estimate: Estimate) -> None:
        self.estimate, self.field = estimate, estimate.field
        tops, field = estimate.tops, estimate.field
        self.grouped = group(tops.beam, tops.y)
        self.whole = len(estimate.solution.c) > field.layout.size
        self.layout = field.layout_with_terms if self.whole else field.layout
        self.heights = field.detrend(tops.z - estimate.design)[0] / estimate.reading_error
        self.shapes = self.grouped.spread(field.shapes)
        may = self.layout.terms >= 0
        self.may = may[self.grouped.beams]
        self.repeated = _repeated(self.grouped, tops.points())
        self.out = np.zeros(self.may.shape, dtype=bool)
        self.aside = np.zeros(tops.count, dtype=bool)
        x = tops.beam_x[self.grouped.beams]
        self.order = np.argsort(x)
        self.surface = estimate.surface

    def first_look(self) -> Without:
        """Each beam against the others as stage A left them: forces on the beam taken off, by its own solve."""
        e, field, n = self.estimate, self.field, self.estimate.tops.count
        loose = np.zeros(self.layout.terms.shape, dtype=bool)
        if self.whole:
            loose[self.layout.terms >= 0] = e.solution.tangent[n:] == 0
        weight = np.where(e.fixed, 0.0, np.minimum(e.solution.tangent[:n], 1.0))
        residual = e.residual / e.reading_error
        first = leave_out(field, self.layout, e.solution.factor, residual, weight, loose, self.grouped)
        force = self.grouped.spread(np.where(e.fixed, 0.0, e.solution.force[:n]))
        lifted = (first.spread @ force[:, :, None])[:, :, 0]
        return Without(self.grouped, self.grouped.spread(residual) + lifted, first.spread)

    def accept(self, tests: _Tests) -> bool:
        """Take over what was found; False if nothing changed."""
        found = tests.chosen[:, :3]
        lead = np.where(found.any(axis=1), tests.lead, 0.0)
        fresh = np.where(self.out.any(axis=1), 0.0, lead)[self.order]
        beside = np.maximum(np.concatenate([fresh[1:], [0.0]]), np.concatenate([[0.0], fresh[:-1]]))
        wins = np.empty(len(lead), dtype=bool)
        wins[self.order] = fresh >= beside
        out = np.where((wins | self.out.any(axis=1))[:, None], found, False)
        single = (tests.kinds[:, 3:].transpose(0, 2, 1) @ tests.chosen[:, 3:, None])[:, :, 0] > 0
        aside = self.grouped.gather(single, np.zeros(len(self.aside), dtype=bool))
        changed = not (np.array_equal(out, self.out) and np.array_equal(aside, self.aside))
        self.out, self.aside = out, aside
        return changed

    def look_again(self) -> Without:
        """Each beam against the others with all that was found set aside: one linear solve."""
        e, field, n = self.estimate, self.field, self.estimate.tops.count
        loose = np.zeros(self.layout.terms.shape, dtype=bool)
        loose[self.grouped.beams] = self.out
        band = field.with_terms(e.fixed) if self.whole else field.plain
        weight = np.where(e.fixed, HELD, np.where(self.aside, 0.0, 1.0))
        if self.whole:
            weight = np.concatenate([weight, np.where(loose[self.layout.terms >= 0], 1e-9, HELD)])
        factor = band.factor(weight)
        c = band.resolve(
            factor,
            band.pull(
                weight[:n] * self.heights
                if not self.whole
                else weight * np.concatenate([self.heights, np.zeros(band.count - n)])
            ),
        )
        surface = np.empty(field.layout.size)
        surface[field.layout.surface] = c[self.layout.surface]
        residual = self.heights - field.plain.fit(surface)
        self.surface = Surface(field, closed(surface * e.reading_error), e.surface.free)
        return leave_out(field, self.layout, factor, residual, np.where(e.fixed, 0.0, weight[:n]), loose, self.grouped)


def _repeated(grouped: Grouped, points: np.ndarray) -> np.ndarray | None:
    """Points measured more than once, (g, m, m): row i marks the readings of the point first met at i; or None."""
    here = np.where(grouped.real, points[grouped.rows], -1 - np.arange(grouped.rows.shape[1]))
    same = here[:, :, None] == here[:, None, :]
    first = np.argmax(same, axis=2) == np.arange(same.shape[1])
    several = first & (same.sum(axis=2) > 1)
    return np.where(several[:, :, None], same, False).astype(float) if several.any() else None
