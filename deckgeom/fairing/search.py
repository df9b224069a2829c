"""Which beams and which readings stand out: judged against the surface that the rest of the deck makes."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from deckgeom.fairing.aside import Aside, points_out
from deckgeom.fairing.departures import BEAM_STANDS_OUT, LEANS, READING_STANDS_OUT, Departures
from deckgeom.fairing.found import Estimate, Surface
from deckgeom.fairing.threads import one_thread
from deckgeom.fairing.without import Grouped, Without

#: Most times that the deck is looked over again with what stood out set aside.
LOOKS = 4


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
    deck = Aside(estimate)
    without, leans = deck.first_look(), None
    for look in range(LOOKS + 1):
        stretch = 1.0
        for _ in range(4):
            tests = None
            tests = Departures(without, deck.leave_out.shapes, deck.may, deck.repeated, leans)
            known = look > 0 and deck.together
            if known:
                tests.preset(deck.out)
            whole = np.inf if known else 1.0
            tests.choose(stretch * READING_STANDS_OUT[1], whole * stretch * BEAM_STANDS_OUT[1])
            before, (limits, stretch) = stretch, tests.limits()
            if stretch <= 1.2 * before:
                break
        tests.choose(limits[0], whole * limits[1])
        leans = tests.leans
        if look == LOOKS or not deck.take(tests, stretch):
            break
        tests = without = None  # a scan's are large
        without = deck.look_again()
    tests.chosen[:, :3] &= deck.out
    leans = tests.lean()
    size, size_sd, at, at_sd = tests.sizes()
    alone, alone_sd = tests.alone()
    return Findings(
        without,
        deck.fair(leans, size[:, :3]),
        tests.whole,
        tests.points,
        tests.chosen,
        size,
        size_sd,
        at,
        at_sd,
        alone,
        alone_sd,
        leans,
        limits,
        stretch,
    )
