"""
The reading error, as repeats of one point tell it.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from deckgeom.fairing.beam_tops import BeamTops

__all__ = ["ReadingError", "reading_error_from_repeats"]

LEAST_ERROR = 0.3
"""Repeats that all agree to the millimetre say no more than this: rounding to 1 mm alone. [mm] 1/sqrt(12)."""


@dataclass(frozen=True)
class ReadingError:
    """
    How well one reading repeats.

    Parameters
    ----------
    sd : float or None
        Standard deviation of one reading; None where no point was measured twice. [mm]
    freedom : int
        Degrees of freedom: readings at repeated points less the number of those points.
    low, high : float or None
        19 times in 20 the true value lies between these. [mm]
    slips : tuple of str
        Points whose readings differ so much that one of them is a slip; they are left out.
    source : str
        "repeats", or "none".

    Examples
    --------
    >>> ReadingError().words()
    'No point was measured twice, so the readings themselves do not tell their error: measure ten points twice.'
    """

    sd: float | None = None
    freedom: int = 0
    low: float | None = None
    high: float | None = None
    slips: tuple[str, ...] = ()
    source: str = "none"

    def words(self) -> str:
        """
        Return the reading error in a sentence with where it comes from, in tenths of a millimetre.

        Returns
        -------
        str

        Examples
        --------
        >>> ReadingError(0.8, 9, 0.55, 1.46, source="repeats").words()
        'Reading error 0.8 mm, from points measured twice or more (9 repeats; it may be 0.6 to 1.5 mm).'
        """
        if self.sd is None:
            text = (
                "No point was measured twice, so the readings themselves do not tell their error: measure ten "
                "points twice."
            )
        else:
            text = (
                f"Reading error {self.sd:.1f} mm, from points measured twice or more "
                f"({self.freedom} repeats; it may be {self.low:.1f} to {self.high:.1f} mm)."
            )
        for slip in self.slips:
            text += f" Left out: {slip}."
        return text


def reading_error_from_repeats(tops: BeamTops, round_number=None) -> ReadingError:
    """
    Find the reading error from points that were measured more than once in one round.

    Parameters
    ----------
    tops : BeamTops
        Readings; repeats of a point have a row each.
    round_number : array_like of int, shape (n,), optional
        Round of each; a point measured in two rounds is no repeat, as the beam may have been planed between.

    Returns
    -------
    ReadingError
        Pooled over the points, with its degrees of freedom.

    Notes
    -----
    .. math:: s^2 = \\frac{\\sum_g \\sum_i (z_{gi} - \\bar z_g)^2}{\\sum_g (n_g - 1)}

    A point whose own scatter is less likely than 1 in 1000 against that of the others (F ratio) holds a slip: it is
    left out and named, as long as two other repeats are left.

    Examples
    --------
    >>> tops = BeamTops([0] * 4, ("1",), [0] * 4, [-300, -300, 300, 300], [900] * 4, [40, 42, 41, 41])
    >>> error = reading_error_from_repeats(tops)
    >>> error.sd, error.freedom
    (1.0, 2)
    """
    point = tops.points()
    if round_number is not None:
        point = np.unique(np.column_stack([point, np.asarray(round_number, int)]), axis=0, return_inverse=True)[1]
    point = point.reshape(-1)
    count = np.bincount(point)
    mean = np.bincount(point, tops.z) / np.maximum(count, 1)
    square = np.bincount(point, (tops.z - mean[point]) ** 2)
    groups = np.flatnonzero(count > 1)
    kept, slips = _without_slips(square[groups], count[groups] - 1)
    if not groups.size:
        return ReadingError()
    freedom = int((count[groups][kept] - 1).sum())
    sd = max(float(np.sqrt(square[groups][kept].sum() / freedom)), LEAST_ERROR)
    return ReadingError(
        sd, freedom, *_band(sd, freedom), tuple(_slip_words(tops, point == groups[g]) for g in slips), "repeats"
    )


def _without_slips(square, freedom):
    """Drop the points that scatter beyond doubt more than the rest, worst first."""
    kept = np.ones(square.size, bool)
    slips = []
    while kept.sum() > 1:
        ratio = np.where(kept, square / np.maximum(freedom, 1), -1.0)
        worst = int(np.argmax(ratio))
        rest = kept.copy()
        rest[worst] = False
        spare = int(freedom[rest].sum())
        others = max(float(square[rest].sum()) / spare, LEAST_ERROR**2)
        if (
            spare < 2
            or ratio[worst] < 16.0 * others
            or not _beyond_doubt(ratio[worst] / others, int(freedom[worst]), spare, int(kept.sum()))
        ):
            break
        kept = rest
        slips.append(worst)
    return kept, slips


def _beyond_doubt(ratio: float, top: int, below: int, tries: int) -> bool:
    from scipy.special import fdtrc

    return tries * float(fdtrc(top, below, ratio)) < 1e-3


def _band(sd: float, freedom: int) -> tuple[float, float]:
    from scipy.special import chdtri

    return tuple(float(sd * np.sqrt(freedom / chdtri(freedom, tail))) for tail in (0.025, 0.975))


def _slip_words(tops: BeamTops, rows) -> str:
    z = tops.z[rows]
    return f"{tops.where(int(np.flatnonzero(rows)[0]))}, where the readings differ by {np.ptp(z):.0f} mm"
