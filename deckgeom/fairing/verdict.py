"""Stage B: is the bump real? Plane, pack, leave it, measure it again: for every reading and every beam, and why."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from deckgeom.fairing.beam_tops import BeamTops, FairingError, closed
from deckgeom.fairing.departures import LEANS
from deckgeom.fairing.found import Estimate
from deckgeom.fairing.search import Findings, search
from deckgeom.fairing.why import why_beam, why_reading

LEAVE, PLANE, PACK = "leave", "plane", "pack"
AGAIN, DOUBTFUL, CANNOT = "measure again", "doubtful reading", "cannot tell from here"
#: Every word that a verdict can be.
WORDS = (LEAVE, PLANE, PACK, AGAIN, DOUBTFUL, CANNOT)
#: A single reading this far from its own beam and the deck is a slip before it is a bump. [mm] Common practice, no
#: source.
IMPLAUSIBLE = 6.0
#: Standard deviations that a bump measured again should reach: 99 in 100.
SURE = 2.6
#: Most times that it makes sense to measure again.
MOST_AGAIN = 9


@dataclass(frozen=True, eq=False)
class Verdicts:
    """
    What to do about every reading and every beam.

    Parameters
    ----------
    tops : BeamTops
        The readings.
    estimate : Estimate
        Stage A.
    tolerance : float
        What the builder lets pass. [mm]
    word : (n,) array of str
        One of `WORDS` for each reading.
    deviation : (n,) array
        Best estimate of how far the beam top stands above fair there (of how far off the reading is, if doubtful);
        what stands out, or else the reading against all others. [mm]
    uncertainty : (n,) array
        Its standard deviation. [mm]
    again : (n,) array of int
        How many more times to measure; 0 where the word is another.
    beam_word : tuple of str
        One of `WORDS` for each beam.
    whole : (beams, 3) array
        Height, tilt and crown by which the beam as a whole is out, nought where it is not. Tilt: starboard edge above
        the middle; crown: middle above the edges. [mm]
    whole_sd : (beams, 3) array
        Their standard deviations. [mm]
    findings : Findings
        What was found, in reading errors.

    Examples
    --------
    >>> from deckgeom.fairing.fair import estimate
    >>> y, x = np.tile([-900.0, -450, 0, 450, 900], 9), np.repeat(np.arange(9) * 400.0, 5)
    >>> beam = np.repeat(np.arange(9), 5)
    >>> z = 1000 + 20 * np.sin(x / 4000) - y**2 / 16200 + 4.0 * (beam == 4)
    >>> tops = BeamTops(beam, tuple("123456789"), x, y, np.full(45, 900.0), z)
    >>> verdicts = judge(tops, estimate(tops, reading_error=0.7), tolerance=1.5)
    >>> verdicts.beam_word
    ('cannot tell from here', 'leave', 'leave', 'leave', 'plane', 'leave', 'leave', 'leave', 'cannot tell from here')
    >>> print(verdicts.why_beam(4))
    Beam 5: plane. As a whole it stands 4 mm high; that is known to 0.4 mm.
    """

    tops: BeamTops
    estimate: Estimate
    tolerance: float
    word: np.ndarray
    deviation: np.ndarray
    uncertainty: np.ndarray
    again: np.ndarray
    beam_word: tuple[str, ...]
    whole: np.ndarray
    whole_sd: np.ndarray
    findings: Findings

    def __post_init__(self) -> None:
        for name in ("deviation", "uncertainty", "whole", "whole_sd"):
            object.__setattr__(self, name, closed(getattr(self, name)))
        object.__setattr__(self, "word", closed(self.word, object))
        object.__setattr__(self, "again", closed(self.again, int))

    @property
    def doubtful(self) -> np.ndarray:
        """True for readings that are likelier slips than bumps, (n,)."""
        return self.word == DOUBTFUL

    @property
    def first(self) -> tuple[int, ...]:
        """Readings to take again before anything is planed: doubtful ones, then the unsure, the farthest out first."""
        far = np.abs(self.deviation)
        rows = np.flatnonzero((self.word == DOUBTFUL) | (self.word == AGAIN))
        return tuple(int(i) for i in sorted(rows, key=lambda i: (self.word[i] != DOUBTFUL, -far[i])))

    @property
    def fair(self) -> np.ndarray:
        """Fair height at every reading with all that stands out set aside, (n,). [mm]"""
        return self.findings.surface.at_readings() + self.estimate.design

    @property
    def expected(self) -> np.ndarray:
        """Height that each reading would have had if it stood as fair as the others say, (n,). [mm]"""
        return self.tops.z - self.deviation

    @property
    def notes(self) -> tuple[str, ...]:
        """What the person should know before reading on, stage A's remarks first."""
        notes = list(self.estimate.notes)
        if self.findings.stretch > 1.3:
            notes.append(
                f"The readings scatter {self.findings.stretch * 1.15:.1f} times as much as a reading error of "
                f"{self.estimate.reading_error:.1f} mm accounts for, so more is asked before anything is called "
                "out. Measure ten points twice to know the reading error."
            )
        return tuple(notes)

    def why(self, i: int, units: str = "mm") -> str:
        """
        Reason for a reading's verdict, with its numbers.

        Parameters
        ----------
        i : int
            Which reading, from 0.
        units : {"mm", "ft-in-8", "in"}
            For lengths.

        Returns
        -------
        str
        """
        return why_reading(self, i, units)

    def why_beam(self, beam: int, units: str = "mm") -> str:
        """
        Reason for a beam's verdict, with its numbers.

        Parameters
        ----------
        beam : int
            Which beam, from 0.
        units : {"mm", "ft-in-8", "in"}
            For lengths.

        Returns
        -------
        str
        """
        return why_beam(self, beam, units)


def judge(tops: BeamTops, estimate: Estimate, tolerance: float | None = None) -> Verdicts:
    """
    Say of every reading and every beam what to do.

    Parameters
    ----------
    tops : BeamTops
        The readings that the estimate was made from.
    estimate : Estimate
        Stage A.
    tolerance : float, optional
        What the builder lets pass; two reading errors if not given. [mm]

    Returns
    -------
    Verdicts

    Notes
    -----
    A beam is held against the surface that the *others* make, with the uncertainty of both. A reading is held against
    all others, its own beam's too. One reading alone that stands out is to be measured again before it is planed; it
    may be planed once it is measured twice, or if the reading beside it goes the same way. One that is out by more
    than a beam top can be between two readings is doubtful and is taken for a slip. A beam that leans on itself too
    much (an end beam, a beam with too few others) cannot be told from here; fixed points beyond it help.

    A bump d is settled by n readings when d exceeds 2.6 standard deviations of their mean and the surface:

    .. math:: n \\ge \\sigma^2 / ((d/2.6)^2 - \\sigma^2 h/(1-h)).

    References
    ----------
    .. [1] R.D. Cook, Technometrics 19 (1977) 15-18 (from memory): deletion residual r/(1-h), sd sigma/sqrt(1-h).
    .. [2] W. Baarda, *A Testing Procedure for Use in Geodetic Networks*, Delft 1968 (from memory).

    Examples
    --------
    >>> from deckgeom.fairing.fair import estimate
    >>> y, x = np.tile([-900.0, -450, 0, 450, 900], 9), np.repeat(np.arange(9) * 400.0, 5)
    >>> z = 1000 + 20 * np.sin(x / 4000) - y**2 / 16200
    >>> z[17] += 12
    >>> tops = BeamTops(np.repeat(np.arange(9), 5), tuple("123456789"), x, y, np.full(45, 900.0), z)
    >>> verdicts = judge(tops, estimate(tops, reading_error=0.7))
    >>> verdicts.first, verdicts.word[17], int((verdicts.word == "plane").sum())
    ((17,), 'doubtful reading', 0)
    """
    if tolerance is None:
        tolerance = 2.0 * estimate.reading_error
    if not (np.isfinite(tolerance) and tolerance >= 0):
        raise FairingError(
            f"tolerance {tolerance}", "must be a length, not below nought", "", "two reading errors is usual"
        )
    if estimate.tops is not tops and not np.array_equal(estimate.tops.z, tops.z):
        raise FairingError("the estimate", "it was made from other readings", "", "estimate again from these readings")
    findings = search(estimate)
    word, deviation, uncertainty, again = _readings(findings, estimate, tolerance)
    beams = len(tops.beam_names)
    whole, whole_sd = np.zeros((beams, 3)), np.zeros((beams, 3))
    whole[findings.grouped.beams] = findings.size[:, :3] * estimate.reading_error
    whole_sd[findings.grouped.beams] = findings.size_sd[:, :3] * estimate.reading_error
    beam_word = _beams(findings, estimate, tolerance, word)
    return Verdicts(
        tops, estimate, float(tolerance), word, deviation, uncertainty, again, beam_word, whole, whole_sd, findings
    )


def _readings(findings: Findings, estimate: Estimate, tolerance: float) -> tuple:
    """Word, deviation, its standard deviation and how often to measure again, for every reading."""
    sigma, grouped = estimate.reading_error, findings.grouped
    single = findings.chosen[:, findings.single]
    alone = findings.size[:, findings.single] * sigma
    # a point measured more than once that stands out is as good as two neighbours going the same way
    point = findings.repeated_out
    slip = single & (np.abs(alone) >= IMPLAUSIBLE)
    side = np.where(single & ~slip, np.sign(alone), 0.0)
    company = np.zeros_like(single)
    company[:, 1:] |= (side[:, 1:] == side[:, :-1]) & (side[:, 1:] != 0)
    company[:, :-1] |= (side[:, :-1] == side[:, 1:]) & (side[:, :-1] != 0)
    out = findings.chosen[:, :3].any(axis=1)[:, None] | single | point
    deviation = np.where(out, findings.at_readings, findings.alone) * sigma
    sd = np.where(out, findings.at_readings_sd, findings.alone_sd) * sigma
    needed = _times(alone / sigma, findings.size_sd[:, findings.single])
    blind = ~findings.judgeable[:, None] | (~out & (findings.alone_sd > 1.0 / np.sqrt(1.0 - LEANS)))
    work = np.where(deviation > 0, PLANE, PACK)
    word = np.select(
        [
            slip,
            out & (np.abs(deviation) <= tolerance) & ~blind,
            single & ~company & (needed > 0),
            single & ~company,
            blind & ~single,
            out,
        ],
        [DOUBTFUL, LEAVE, AGAIN, CANNOT, CANNOT, work],
        LEAVE,
    )
    n = estimate.tops.count
    again = np.where(word == AGAIN, needed, 0)
    back = [grouped.gather(a, np.zeros(n, dtype=a.dtype)) for a in (word, deviation, sd, again)]
    fixed = estimate.fixed
    back[0] = np.where(fixed, LEAVE, back[0])
    return back[0], np.where(fixed, 0.0, back[1]), np.where(fixed, 0.0, back[2]), np.where(fixed, 0, back[3])


def _times(size: np.ndarray, size_sd: np.ndarray) -> np.ndarray:
    """How many more times to measure a reading that stands out alone; 0 if no number of times would settle it."""
    room = (size / SURE) ** 2 - np.maximum(size_sd**2 - 1.0, 0.0)
    with np.errstate(divide="ignore"):
        needed = np.ceil(np.where(room > 0, 1.0 / np.maximum(room, 1e-9), np.inf))
    return np.where(needed - 1 <= MOST_AGAIN, np.maximum(needed - 1, 1), 0).astype(int)


def _beams(findings: Findings, estimate: Estimate, tolerance: float, word: np.ndarray) -> tuple[str, ...]:
    """Word for every beam: what it needs as a whole, or else the gravest of its readings' words."""
    tops, grouped = estimate.tops, findings.grouped
    words = [CANNOT] * len(tops.beam_names)
    able = findings.judgeable
    whole = findings.whole_at_readings * estimate.reading_error
    for g, b in enumerate(grouped.beams):
        rows = grouped.rows[g][grouped.real[g]]
        far = whole[g][np.argmax(np.abs(whole[g]))]
        if not able[g]:
            words[b] = CANNOT
        elif np.abs(far) > tolerance:
            words[b] = PLANE if far > 0 else PACK
        else:
            words[b] = next((w for w in (DOUBTFUL, AGAIN, PLANE, PACK, CANNOT) if (word[rows] == w).any()), LEAVE)
        if estimate.fixed[rows].all():
            words[b] = LEAVE
    return tuple(words)
