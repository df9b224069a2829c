"""
The record of readings brought to true heights, with all that is known about them.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from deckgeom.complaint import Complaint
from deckgeom.fairing.beam_tops import BeamTops, closed
from deckgeom.fairing.reading_error import ReadingError
from deckgeom.fairing.rounds import readings_that_stand
from deckgeom.hull.level import Level

__all__ = ["TrueReadings"]


@dataclass(frozen=True, eq=False)
class TrueReadings:
    """
    Readings as true heights of the beam tops in the hull's own frame; made by `true_readings`.

    Parameters
    ----------
    every : BeamTops or None
        All readings that can be used, of all rounds; None if there is not one.
    stands : ndarray of bool, shape (n,)
        Which of them describe the beams as they are now.
    round : ndarray of int, shape (n,)
        Round of each.
    again : ndarray of bool, shape (n,)
        True where the point was measured once more, the beam not touched.
    source : ndarray of int, shape (n,)
        Which of the given readings each was.
    as_read : ndarray, shape (n,)
        Height above the base as measured, sag taken off. [mm]
    sag : ndarray, shape (n,)
        Sag of the string there. [mm]
    levels : dict of int to Level
        How the hull stood, for each round that has readings.
    level_words : tuple of str
        How list, trim and twist were found, and what they are.
    reading_error : ReadingError
        From the repeats.
    complaints : tuple of Complaint
        Everything that is wrong or doubtful about the readings and the lines.

    Examples
    --------
    >>> from deckgeom.fairing.readings import BeamPlaces, Reading, true_readings
    >>> places = BeamPlaces(("1",), [0], [900], [900])
    >>> typed = [Reading("1", "", 0, 942), Reading("1", "", 0, 940, round=2), Reading("2", "", 0, height=950)]
    >>> true = true_readings(typed, (), places)
    >>> true.tops.z.tolist(), true.rounds, str(true.complaints[0])
    ([940.0], (1, 2), "readings.csv, column beam, '2': no beam of that name is in the list of beams.")
    """

    every: BeamTops | None
    stands: np.ndarray
    round: np.ndarray
    again: np.ndarray
    source: np.ndarray
    as_read: np.ndarray
    sag: np.ndarray
    levels: Mapping[int, Level]
    level_words: tuple[str, ...]
    reading_error: ReadingError
    complaints: tuple[Complaint, ...]

    def __post_init__(self) -> None:
        kinds = {"stands": bool, "round": int, "again": bool, "source": int, "as_read": float, "sag": float}
        for name, kind in kinds.items():
            object.__setattr__(self, name, closed(getattr(self, name), kind))

    @property
    def tops(self) -> BeamTops | None:
        """The beams as they are now: what the fairing starts from. None if there is no reading that can be used."""
        return _subset(self.every, self.stands)

    @property
    def tops_source(self) -> np.ndarray:
        """Which of the given readings each row of `tops` was, in the same order."""
        return self.source[self.stands]

    @property
    def rounds(self) -> tuple[int, ...]:
        """The rounds that there are, in order."""
        return tuple(int(r) for r in np.unique(self.round))

    def of_round(self, number: int) -> BeamTops | None:
        """
        Return the readings that were taken in one round.

        Parameters
        ----------
        number : int
            Round, from 1.

        Returns
        -------
        BeamTops or None
            None if nothing was measured in it.

        Examples
        --------
        >>> from deckgeom.fairing.readings import BeamPlaces, Reading, true_readings
        >>> places = BeamPlaces(("1",), [0], [900], [900])
        >>> true = true_readings([Reading("1", "port", 300, 942), Reading("1", "port", 300, 940, round=2)], (), places)
        >>> true.of_round(1).z.tolist(), true.of_round(3)
        ([942.0], None)
        """
        return _subset(self.every, self.round == number)

    def until_round(self, number: int) -> BeamTops | None:
        """
        Return the beams as they were after one round: the newest readings up to it.

        Parameters
        ----------
        number : int
            Round, from 1.

        Returns
        -------
        BeamTops or None
            None if nothing was measured until then.

        Examples
        --------
        >>> from deckgeom.fairing.readings import BeamPlaces, Reading, true_readings
        >>> places = BeamPlaces(("1", "2"), [0, 400], [900] * 2, [900] * 2)
        >>> typed = [Reading("1", "", 0, 942), Reading("2", "", 0, 940), Reading("2", "", 0, 938, round=2)]
        >>> true_readings(typed, (), places).until_round(1).z.tolist()
        [942.0, 940.0]
        """
        return _subset(self.every, self.stood_after(number))

    def stood_after(self, number: int) -> np.ndarray:
        """
        Tell which readings described the beams after one round.

        Parameters
        ----------
        number : int
            Round, from 1.

        Returns
        -------
        ndarray of bool, shape (n,)

        Examples
        --------
        >>> from deckgeom.fairing.readings import BeamPlaces, Reading, true_readings
        >>> places = BeamPlaces(("1",), [0], [900], [900])
        >>> true = true_readings([Reading("1", "", 0, 942), Reading("1", "", 0, 940, round=2)], (), places)
        >>> true.stood_after(1).tolist()
        [True, False]
        """
        mask = self.round <= number
        if mask.any():
            mask[mask] = readings_that_stand(_subset(self.every, mask), self.round[mask], self.again[mask])
        return mask


def _subset(tops: BeamTops | None, rows) -> BeamTops | None:
    if tops is None or not np.any(rows):
        return None
    columns = (column[rows] for column in (tops.x, tops.y, tops.half_breadth, tops.z))
    return BeamTops(tops.beam[rows], tops.beam_names, *columns)
