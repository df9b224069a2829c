"""
Measuring rounds: which readings still stand, and what was predicted against what was found.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from deckgeom.fairing.beam_tops import BeamTops, FairingError, closed
from deckgeom.fairing.fore_and_aft import along_beam
from deckgeom.units import format_length

__all__ = ["RoundComparison", "compare_rounds", "readings_that_stand"]


def readings_that_stand(tops: BeamTops, round_number, again=None) -> np.ndarray:
    """
    Tell which readings still describe the beams as they are now.

    Parameters
    ----------
    tops : BeamTops
        Readings of all rounds.
    round_number : array_like of int, shape (n,)
        Round of each.
    again : array_like of bool, shape (n,), optional
        True for a reading that was measured once more with the beam not touched.

    Returns
    -------
    ndarray of bool, shape (n,)
        The newest round of a beam stands in place of all its earlier ones, as a plane takes off more than the marks;
        a reading measured again stands in place of the earlier readings of its own point only.

    Examples
    --------
    >>> tops = BeamTops([0, 0, 1, 1, 0], ("1", "2"), [0] * 5, [-500, 500, -500, 500, 500], [900] * 5, [5, 6, 7, 8, 4])
    >>> readings_that_stand(tops, [1, 1, 1, 1, 2]).tolist()
    [False, False, True, True, True]
    >>> readings_that_stand(tops, [1, 1, 1, 1, 2], again=[0, 0, 0, 0, 1]).tolist()
    [True, False, True, True, True]
    """
    round_number = np.asarray(round_number, int)
    again = np.zeros(tops.count, bool) if again is None else np.asarray(again, bool)
    full = np.full(len(tops.beam_names), np.iinfo(int).min)
    np.maximum.at(full, tops.beam[~again], round_number[~again])
    stands = round_number >= full[tops.beam]
    point = tops.points()
    newest = np.full(point.max() + 1, np.iinfo(int).min)
    np.maximum.at(newest, point[stands], round_number[stands])
    return stands & (round_number == newest[point])


@dataclass(frozen=True, eq=False)
class RoundComparison:
    """
    What was predicted of the touched places against what was measured afterwards.

    Parameters
    ----------
    tops : BeamTops
        The readings of the later round, on beams that were measured before too.
    plane_off, pack_up : ndarray, shape (n,)
        What was to be done there. [mm]
    predicted : ndarray, shape (n,)
        Height before, less what was to come off, plus what was to go on. [mm]
    difference : ndarray, shape (n,)
        Found less predicted: positive where it stands higher than planned. [mm]
    difference_sd : ndarray, shape (n,)
        Standard deviation from the reading error alone. [mm]
    shift, shift_sd : float
        Mean difference at places that were not to be touched: has the base moved between the rounds? NaN if none. [mm]

    Examples
    --------
    >>> before = BeamTops([0, 0], ("1",), [0, 0], [-300, 300], [900, 900], [40, 44])
    >>> after = BeamTops([0, 0], ("1",), [0, 0], [-300, 300], [900, 900], [40, 43])
    >>> result = compare_rounds(before, after, plane_off=[0, 4], pack_up=[0, 0], reading_error=0.5)
    >>> result.words(1)
    'beam 1, 300 mm to starboard: 4 mm was to come off; it stands 3 mm higher than planned: that is left to do.'
    """

    tops: BeamTops
    plane_off: np.ndarray
    pack_up: np.ndarray
    predicted: np.ndarray
    difference: np.ndarray
    difference_sd: np.ndarray
    shift: float
    shift_sd: float

    def __post_init__(self) -> None:
        for name in ("plane_off", "pack_up", "predicted", "difference", "difference_sd"):
            object.__setattr__(self, name, closed(getattr(self, name)))

    @property
    def as_planned(self) -> np.ndarray:
        """True where found and predicted agree within two standard deviations, shape (n,)."""
        return np.abs(self.difference) <= 2.0 * self.difference_sd

    def shift_words(self, units: str = "mm") -> str:
        """
        Say whether the base has moved between the rounds.

        Parameters
        ----------
        units : {"mm", "ft-in-8", "in"}
            For the length.

        Returns
        -------
        str
            A sentence.

        Examples
        --------
        >>> tops = BeamTops([0], ("1",), [0], [0], [900], [40])
        >>> compare_rounds(tops, tops, [0], [0], 1.0).shift_words()
        'Where nothing was to be touched she stands as before, within the reading error.'
        """
        if not np.isfinite(self.shift):
            return "No place that was to be left was measured again, so a base that has moved would not show."
        if abs(self.shift) <= 2.0 * self.shift_sd:
            return "Where nothing was to be touched she stands as before, within the reading error."
        stands = f"{format_length(abs(self.shift), units)} {'higher' if self.shift > 0 else 'lower'}"
        return f"Where nothing was to be touched she stands {stands} than before: has the base line moved?"

    def words(self, i: int, units: str = "mm") -> str:
        """
        Return what was planned and what came out at one place.

        Parameters
        ----------
        i : int
            Row of `tops`.
        units : {"mm", "ft-in-8", "in"}
            For the lengths.

        Returns
        -------
        str
            A sentence.

        Examples
        --------
        >>> tops = BeamTops([0], ("1",), [0], [0], [900], [40])
        >>> compare_rounds(tops, tops, [0], [0], 1.0).words(0)
        'beam 1, on the centreline: not to be touched; it came out as planned, within the reading error.'
        """
        off, up, d = self.plane_off[i], self.pack_up[i], self.difference[i]
        todo = "not to be touched"
        if off > 0 or up > 0:
            todo = f"{format_length(max(off, up), units)} was to {'come off' if off > 0 else 'be packed'}"
        if self.as_planned[i]:
            return f"{self.tops.where(i, units=units)}: {todo}; it came out as planned, within the reading error."
        end = "look whether it was touched, or measure again"
        if off > 0 or up > 0:
            left = d > 0 if off > 0 else d < 0
            end = "that is left to do" if left else "past the mark"
        stands = f"{format_length(abs(d), units)} {'higher' if d > 0 else 'lower'} than planned"
        return f"{self.tops.where(i, units=units)}: {todo}; it stands {stands}: {end}."


def compare_rounds(before: BeamTops, after: BeamTops, plane_off, pack_up, reading_error: float) -> RoundComparison:
    """
    Compare what was predicted with what came out.

    Parameters
    ----------
    before : BeamTops
        The readings that the work was planned from.
    after : BeamTops
        The readings of the later round; beams that were not measured before are left out.
    plane_off, pack_up : array_like, shape (before.count,)
        The plan at each reading of `before`. [mm]
    reading_error : float
        Standard deviation of one reading. [mm]

    Returns
    -------
    RoundComparison
        Where a place was not measured before, prediction and plan are drawn fairly between the places that were.

    Examples
    --------
    >>> before = BeamTops([0] * 3, ("1",), [0] * 3, [-300, 0, 300], [900] * 3, [40, 50, 40])
    >>> after = BeamTops([0], ("1",), [0], [150], [900], [46.0])
    >>> round(float(compare_rounds(before, after, [0, 1, 1], [0, 0, 0], 0.5).predicted[0]), 3)
    46.5
    """
    plane_off, pack_up = (np.broadcast_to(np.asarray(a, float), (before.count,)) for a in (plane_off, pack_up))
    place = {name: i for i, name in enumerate(before.beam_names)}
    number = np.array([place.get(name, -1) for name in after.beam_names])[after.beam]
    rows = np.flatnonzero(np.isin(number, before.beam))
    if not rows.size:
        raise FairingError(
            "no beam",
            "a beam must have been measured in both rounds",
            "the beams were renamed",
            "give the beams of the later round the names that they had",
        )
    z, off, up, spread = (np.empty(rows.size) for _ in range(4))
    for beam in np.unique(number[rows]):
        here, then = number[rows] == beam, np.flatnonzero(before.beam == beam)
        at = after.y[rows][here]
        weights = along_beam(before.y[then], at)
        z[here], spread[here] = weights @ before.z[then], np.sqrt((weights**2).sum(axis=1))
        order = then[np.argsort(before.y[then])]
        off[here], up[here] = (np.interp(at, before.y[order], plan[order]) for plan in (plane_off, pack_up))
    columns = (column[rows] for column in (after.x, after.y, after.half_breadth, after.z))
    tops = BeamTops(number[rows], before.beam_names, *columns)
    predicted = z - off + up
    difference, sd = tops.z - predicted, reading_error * np.sqrt(1.0 + spread**2)
    still = (off == 0) & (up == 0)
    shift, shift_sd = _mean(difference[still], sd[still])
    return RoundComparison(tops, off, up, predicted, difference, sd, shift, shift_sd)


def _mean(values, sd) -> tuple[float, float]:
    if not values.size:
        return float("nan"), float("nan")
    return float(values.mean()), float(np.sqrt((sd**2).sum()) / values.size)
