"""What is set aside while the deck is looked over: readings that stand out alone, beams that are out as a whole."""

from __future__ import annotations

import numpy as np
from numpy.polynomial.legendre import legval
from scipy.sparse import csc_matrix, hstack

from deckgeom.fairing.beam_tops import closed
from deckgeom.fairing.departures import LEANS, Departures
from deckgeom.fairing.fair import HELD
from deckgeom.fairing.found import Estimate, Surface
from deckgeom.fairing.which_beams import FEWEST_BENT, MOST_TOGETHER, Choice
from deckgeom.fairing.without import Grouped, LeaveOut, Without, group

#: The deck is looked over again unless no beam and at most this share of the readings has changed sides.
SETTLED = 0.003
#: Likely departure of a beam that leans on itself, if no more was found. [reading errors]
LITTLE = 2.0


def points_out(points: np.ndarray | None, chosen: np.ndarray) -> np.ndarray:
    """
    Readings of the points chosen.

    Parameters
    ----------
    points : (g, m, m) array or None
        Points measured more than once.
    chosen : (g, m) array of bool
        Which of them.

    Returns
    -------
    (g, m) array of bool

    Examples
    --------
    >>> points_out(np.array([[[1.0, 1.0], [0.0, 0.0]]]), np.array([[True, False]])).tolist()
    [[True, True]]
    """
    if points is None:
        return np.zeros((1, 1), dtype=bool)
    return (points.transpose(0, 2, 1) @ chosen[:, :, None])[:, :, 0] > 0


class Aside:
    """
    The deck as it is looked over again and again: which readings and which beams' departures are set aside so far.

    Parameters
    ----------
    estimate : Estimate
        Stage A.

    Examples
    --------
    See `search.search`, which uses it.

    >>> Aside.__name__
    'Aside'
    """

    def __init__(self, estimate: Estimate) -> None:
        self.estimate, self.field = estimate, estimate.field
        tops, field = estimate.tops, estimate.field
        self.grouped = group(tops.beam, tops.y)
        self.whole = len(estimate.solution.c) > field.layout.size
        self.layout = field.layout_with_terms if self.whole else field.layout
        self.heights = self.all_heights = field.detrend(tops.z - estimate.design)[0] / estimate.reading_error
        self.leave_out = LeaveOut(field, self.layout, self.grouped)
        may = self.layout.terms >= 0
        self.may = may[self.grouped.beams]
        self.repeated = _repeated(self.grouped, tops.points())
        self.out = np.zeros(self.may.shape, dtype=bool)
        self.aside = np.zeros(tops.count, dtype=bool)
        x = tops.beam_x[self.grouped.beams]
        self.order = np.argsort(x)
        self.together = self.whole and len(self.grouped.beams) <= MOST_TOGETHER
        self.shared = self._shared() if self.together and len(self.grouped.beams) >= FEWEST_BENT else None
        self.bent = np.zeros(field.layout.size)

    def first_look(self) -> Without:
        """Each beam against the others as stage A left them: forces on the beam taken off, by its own solve."""
        e, n = self.estimate, self.estimate.tops.count
        loose = np.zeros(self.layout.terms.shape, dtype=bool)
        if self.whole:
            loose[self.layout.terms >= 0] = e.solution.tangent[n:] == 0
        weight = np.where(e.fixed, 0.0, np.minimum(e.solution.tangent[:n], 1.0))
        residual = e.residual / e.reading_error
        force = np.where(e.fixed, 0.0, e.solution.force[:n])
        return self.leave_out(e.solution.factor, residual, weight, loose, force)

    def _shared(self) -> tuple[np.ndarray, np.ndarray]:
        """
        Bends of the sheer that the whole deck shares, third and fourth power along: at readings (n, 2), coefficients.

        The penalty would charge a lively sheer as unfairness, and a short deck's most; where beams are weighed they may
        be of any size.
        """
        field = self.field
        u = (field.tops.x - field.origin[0]) / field.scale[0]
        band, much = field.plain, 1e6
        factor = band.factor(np.full(field.tops.count, much))
        coefficients = [band.resolve(factor, band.pull(much * legval(u, np.eye(5)[power]))) for power in (3, 4)]
        return np.stack([band.fit(c) for c in coefficients], axis=1), np.stack(coefficients, axis=1)

    def take(self, tests: Departures, stretch: float) -> bool:
        """Set aside what the tests found, scatter so much larger than stated; False if next to nothing changed."""
        m = tests.single
        single = tests.chosen[:, m] | points_out(tests.points, tests.chosen[:, m.stop :])
        aside = self.grouped.gather(single, np.zeros(len(self.aside), dtype=bool))
        changed = np.sum(aside != self.aside) > SETTLED * len(aside)
        self.aside = aside
        out = self._weighed_together(stretch) if self.together else self._beside_each_other(tests)
        changed = changed or np.any(out != self.out)
        self.out = out
        return bool(changed)

    def _beside_each_other(self, tests: Departures) -> np.ndarray:
        """Beams out, (g, 3): new ones only if they stand out more than the beams beside them."""
        found = tests.chosen[:, :3]
        lead = np.where(found.any(axis=1), tests.lead, 0.0)
        fresh = np.where(self.out.any(axis=1), 0.0, lead)[self.order]
        beside = np.maximum(np.concatenate([fresh[1:], [0.0]]), np.concatenate([[0.0], fresh[:-1]]))
        wins = np.empty(len(lead), dtype=bool)
        wins[self.order] = fresh >= beside
        return np.where((wins | self.out.any(axis=1))[:, None], found, False)

    def _weighed_together(self, stretch: float) -> np.ndarray:
        """Beams out, (g, 3), all weighed together, see `which_beams.Choice`; what the sheer bends is taken off."""
        field, e = self.field, self.estimate
        weight = np.where(e.fixed, HELD, np.where(self.aside, 0.0, 1.0))
        factor = field.plain.factor(weight)
        fitted = field.plain.fit(field.plain.resolve(factor, field.plain.pull(weight * self.all_heights)))
        g, k = np.nonzero(self.may[self.order])
        g = self.order[g]
        used = ~e.fixed & ~self.aside
        shapes = self._columns(g, k, used)
        free = 0 if self.shared is None else self.shared[0].shape[1]
        if free:
            shapes = hstack([shapes, csc_matrix(self.shared[0] * used[:, None])], format="csc")
        pushed = (field.plain.rows.T @ shapes).toarray(order="F")
        normal = (shapes.T @ shapes).toarray() - pushed.T @ field.plain.resolve(factor, pushed)
        pull = shapes.T @ (self.all_heights - fitted)
        along = np.empty(len(self.order), dtype=int)
        along[self.order] = np.arange(len(self.order))
        choice = Choice(normal / stretch**2, pull / stretch**2, along[g], free)
        chosen = choice.best(np.flatnonzero(self.out[g, k]).tolist())
        if free:
            self.bent = self.shared[1] @ choice.amounts(chosen)
            self.heights = self.all_heights - field.plain.fit(self.bent)
        out = np.zeros(self.may.shape, dtype=bool)
        out[g[chosen], k[chosen]] = True
        return out

    def _columns(self, g: np.ndarray, k: np.ndarray, used: np.ndarray) -> csc_matrix:
        """What departure k of beam g does to the readings used, one column for each, (n, len(g)), sparse."""
        grouped = self.grouped
        real = grouped.real[g] & used[grouped.rows[g]]
        rows, column = grouped.rows[g][real], np.nonzero(real)[0]
        values = self.field.shapes[rows, k[column]]
        return csc_matrix((values, (rows, column)), shape=(len(used), len(g)))

    def look_again(self) -> Without:
        """Each beam against the others with all that was found set aside."""
        factor, weight, loose, surface = self._solve(self.out)
        residual = self.heights - self.field.plain.fit(surface)
        return self.leave_out(factor, residual, np.where(self.estimate.fixed, 0.0, weight), loose)

    def fair(self, leans: np.ndarray, size: np.ndarray) -> Surface:
        """
        The fair surface with all that was found set aside, by how far it leans on itself and its size, (g, 3).

        A beam that leans on itself is let go on weak evidence: about half of its departure, or a little, is taken for
        likely and no more, so that the surface does not run on wild past the others.
        """
        if not (self.out.any() or self.aside.any() or self.bent.any()):
            return self.estimate.surface
        likely = np.where(leans < LEANS, np.inf, np.maximum(LITTLE, np.abs(size) / 2.0))
        surface = self._solve(self.out, likely)[3] + self.bent
        return Surface(self.field, closed(surface * self.estimate.reading_error), self.estimate.surface.free)

    def _solve(self, out: np.ndarray, size=np.inf) -> tuple[np.ndarray, np.ndarray, np.ndarray, np.ndarray]:
        """
        One linear solve: factor, weight of the readings, which terms are loose, coefficients. [reading errors]

        What is out is out by any size, or by sizes of the given standard deviations, (g, 3).
        """
        e, field, n = self.estimate, self.field, self.estimate.tops.count
        loose = np.zeros(self.layout.terms.shape, dtype=bool)
        loose[self.grouped.beams] = out
        band = field.with_terms(e.fixed) if self.whole else field.plain
        weight, heights = np.where(e.fixed, HELD, np.where(self.aside, 0.0, 1.0)), self.heights
        if self.whole:
            has, soft = self.layout.terms >= 0, np.ones(loose.shape)
            square = np.maximum((self.leave_out.shapes**2).sum(axis=1), 1e-9)
            soft[self.grouped.beams] = np.maximum(1.0 / (square * size**2), 1e-9)
            weight = np.concatenate([weight, np.where(loose, soft, HELD)[has]])
            heights = np.concatenate([heights, np.zeros(band.count - n)])
        factor = band.factor(weight)
        c = band.resolve(factor, band.pull(weight * heights))
        surface = np.empty(field.layout.size)
        surface[field.layout.surface] = c[self.layout.surface]
        return factor, weight[:n], loose, surface


def _repeated(grouped: Grouped, points: np.ndarray) -> np.ndarray | None:
    """Points measured more than once, (g, m, m): row i marks the readings of the point first met at i; or None."""
    here = np.where(grouped.real, points[grouped.rows], -1 - np.arange(grouped.rows.shape[1]))
    same = here[:, :, None] == here[:, None, :]
    first = np.argmax(same, axis=2) == np.arange(same.shape[1])
    several = first & (same.sum(axis=2) > 1)
    return np.where(several[:, :, None], same, False).astype(float) if several.any() else None
