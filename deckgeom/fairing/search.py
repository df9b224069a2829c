"""Which beams and which readings stand out: judged against the surface that the rest of the deck makes."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from deckgeom.fairing.beam_tops import closed
from deckgeom.fairing.departures import BEAM_STANDS_OUT, READING_STANDS_OUT, Departures
from deckgeom.fairing.fair import HELD
from deckgeom.fairing.found import Estimate, Surface
from deckgeom.fairing.threads import one_thread
from deckgeom.fairing.without import Grouped, LeaveOut, Without, group

#: A beam (a reading) that leans on itself more than this cannot be judged: it made the surface that it is held against.
LEANS = 0.7
#: Most times that the deck is looked over again with what stood out set aside.
LOOKS = 4
#: The deck is looked over again unless no beam and at most this share of the readings has changed sides.
SETTLED = 0.003


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
    shapes : (g, 3, m) array
        Height, tilt and crown of a whole beam, what one unit of each does to its readings. [1]
    points : (g, m, m) array or None
        Points measured more than once: row i marks the readings of the point first met at i.
    chosen : (g, k) array of bool
        What stands out: columns are height, tilt and crown of the whole, each reading alone, each repeated point.
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
    shapes: np.ndarray
    points: np.ndarray | None
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

    @property
    def single(self) -> slice:
        """Columns of readings alone."""
        return slice(3, 3 + self.grouped.rows.shape[1])

    @property
    def whole_at_readings(self) -> np.ndarray:
        """What the beam as a whole is out by at each reading, (g, m). [reading errors]"""
        return (self.size[:, None, :3] @ self.shapes)[:, 0]

    @property
    def judgeable(self) -> np.ndarray:
        """Which beams can be told from here, (g,): height, tilt and crown do not lean on the beam itself too much."""
        tried = np.any(self.shapes != 0, axis=2)
        return np.all(~tried | (self.leans < LEANS), axis=1)

    @property
    def repeated_out(self) -> np.ndarray:
        """Readings of points measured more than once that stand out, (g, m) of bool."""
        return points_out(self.points, self.chosen[:, self.single.stop :])


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
    without, leans = deck.first_look(), None
    for look in range(LOOKS + 1):
        stretch = 1.0
        for _ in range(4):
            tests = None
            tests = Departures(without, deck.leave_out.shapes, deck.may, deck.repeated, leans)
            tests.choose(stretch * READING_STANDS_OUT[1], stretch * BEAM_STANDS_OUT[1])
            before, (limits, stretch) = stretch, tests.limits()
            if stretch <= 1.2 * before:
                break
        tests.choose(*limits)
        leans = tests.leans
        if look == LOOKS or not deck.accept(tests):
            break
        tests = without = None  # a scan's are large
        without = deck.look_again()
    tests.chosen[:, :3] &= deck.out.any(axis=1)[:, None]
    size, size_sd, at, at_sd = tests.sizes()
    alone, alone_sd = tests.alone()
    return Findings(
        without,
        deck.surface,
        tests.whole,
        tests.points,
        tests.chosen,
        size,
        size_sd,
        at,
        at_sd,
        alone,
        alone_sd,
        tests.lean(),
        limits,
        stretch,
    )


class _Deck:
    """The deck as it is looked over again and again: what is set aside so far."""

    def __init__(self, estimate: Estimate) -> None:
        self.estimate, self.field = estimate, estimate.field
        tops, field = estimate.tops, estimate.field
        self.grouped = group(tops.beam, tops.y)
        self.whole = len(estimate.solution.c) > field.layout.size
        self.layout = field.layout_with_terms if self.whole else field.layout
        self.heights = field.detrend(tops.z - estimate.design)[0] / estimate.reading_error
        self.leave_out = LeaveOut(field, self.layout, self.grouped)
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
        e, n = self.estimate, self.estimate.tops.count
        loose = np.zeros(self.layout.terms.shape, dtype=bool)
        if self.whole:
            loose[self.layout.terms >= 0] = e.solution.tangent[n:] == 0
        weight = np.where(e.fixed, 0.0, np.minimum(e.solution.tangent[:n], 1.0))
        residual = e.residual / e.reading_error
        force = np.where(e.fixed, 0.0, e.solution.force[:n])
        return self.leave_out(e.solution.factor, residual, weight, loose, force)

    def accept(self, tests: Departures) -> bool:
        """Take over what was found; False if next to nothing changed."""
        found = tests.chosen[:, :3]
        lead = np.where(found.any(axis=1), tests.lead, 0.0)
        fresh = np.where(self.out.any(axis=1), 0.0, lead)[self.order]
        beside = np.maximum(np.concatenate([fresh[1:], [0.0]]), np.concatenate([[0.0], fresh[:-1]]))
        wins = np.empty(len(lead), dtype=bool)
        wins[self.order] = fresh >= beside
        out = np.where((wins | self.out.any(axis=1))[:, None], found, False)
        m = tests.single
        single = tests.chosen[:, m] | points_out(tests.points, tests.chosen[:, m.stop :])
        aside = self.grouped.gather(single, np.zeros(len(self.aside), dtype=bool))
        changed = np.any(out != self.out) or np.sum(aside != self.aside) > SETTLED * len(aside)
        self.out, self.aside = out, aside
        return bool(changed)

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
        return self.leave_out(factor, residual, np.where(e.fixed, 0.0, weight[:n]), loose)


def _repeated(grouped: Grouped, points: np.ndarray) -> np.ndarray | None:
    """Points measured more than once, (g, m, m): row i marks the readings of the point first met at i; or None."""
    here = np.where(grouped.real, points[grouped.rows], -1 - np.arange(grouped.rows.shape[1]))
    same = here[:, :, None] == here[:, None, :]
    first = np.argmax(same, axis=2) == np.arange(same.shape[1])
    several = first & (same.sum(axis=2) > 1)
    return np.where(several[:, :, None], same, False).astype(float) if several.any() else None
