"""
Lines to measure from: strings and how far they sag, laser lines, straight-edges.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from deckgeom.complaint import Complaint

EDGES = ("port edge", "starboard edge")
"""Where a line across the boat may be held, besides a distance off the centreline."""

LONGEST_WITHOUT_SAG = 3000.0
"""A line longer than this with no sag given is taken as a laser line, and said so. [mm] Common practice, no source."""


@dataclass(frozen=True)
class MeasuringLine:
    """
    A line that readings are taken down from: a string, a laser line or a straight-edge.

    Parameters
    ----------
    name : str
        What the readings call it.
    start, end : float or {"port edge", "starboard edge"}
        Where the line is held. A fore-and-aft line: two places x along the boat. A line laid across one beam
        (`athwart`): two places y off the centreline, starboard positive, or the beam's own deck edges. [mm]
    height_start, height_end : float
        Heights of the two held points above the base. [mm]
    sag : float, optional
        How far the middle hangs below the straight line between the held points, as measured. [mm]
    weight : float, optional
        Weight of the string itself. [N per m of length]
    pull : float, optional
        What the string is pulled with. [N]
    athwart : bool
        True for a straight-edge or string across the boat: it belongs to the beam whose readings name it.
    row : int, optional
        Line of the file that it was typed in.

    Notes
    -----
    A laser line and a stiff straight-edge have neither sag nor weight: they are straight. A string hangs in a
    parabola, deepest in the middle; see `string_sag`. A measured sag takes the place of weight and pull.

    Examples
    --------
    >>> wire = MeasuringLine("wire", 0, 8000, 1500, 1460, sag=4)
    >>> float(wire.height_at(4000)), float(wire.sag_at(2000))
    (1476.0, 3.0)
    """

    name: str
    start: float | str
    end: float | str
    height_start: float
    height_end: float
    sag: float | None = None
    weight: float | None = None
    pull: float | None = None
    athwart: bool = False
    row: int | None = None

    def __post_init__(self) -> None:
        if isinstance(self.start, str) or isinstance(self.end, str):
            object.__setattr__(self, "athwart", True)

    @property
    def length(self) -> float:
        """Distance between the held places, along the boat or across it. [mm]"""
        return abs(float(self.end) - float(self.start))

    @property
    def middle_sag(self) -> float:
        """Sag at the middle: as measured, or from weight and pull, or nought. [mm]"""
        if self.sag is not None:
            return float(self.sag)
        if self.weight is None or self.pull is None:
            return 0.0
        return float(string_sag(self.length / 2, self.length, self.weight, self.pull))

    def sag_at(self, place) -> np.ndarray:
        """
        Return how far the line hangs below the straight line between its ends.

        Parameters
        ----------
        place : array_like
            x of a fore-and-aft line, y of one laid across. [mm]

        Returns
        -------
        ndarray
            Shape of `place`; nought beyond the held points. [mm]

        Examples
        --------
        >>> float(MeasuringLine("laser", 0, 8000, 1500, 1460).sag_at(2000))
        0.0
        """
        return scaled_sag(np.asarray(place, float) - min(self.start, self.end), self.length, self.middle_sag)

    def height_at(self, place) -> np.ndarray:
        """
        Return the height of the line itself, sag taken off.

        Parameters
        ----------
        place : array_like
            x of a fore-and-aft line, y of one laid across. [mm]

        Returns
        -------
        ndarray
            Height above the base. A straight line runs on beyond its ends. [mm]

        Examples
        --------
        >>> float(MeasuringLine("laser", 0, 8000, 1500, 1460).height_at(2000))
        1490.0
        """
        t = (np.asarray(place, float) - self.start) / (self.end - self.start)
        return self.height_start + t * (self.height_end - self.height_start) - self.sag_at(place)

    def held_at(self, start: float, end: float) -> MeasuringLine:
        """
        Return the same line with its ends at given places.

        Parameters
        ----------
        start, end : float
            x of a fore-and-aft line, y of one laid across. [mm]

        Returns
        -------
        MeasuringLine
            For a line that is held at the deck edges, which stand elsewhere at each beam.

        Examples
        --------
        >>> edge = MeasuringLine("edge", "port edge", "starboard edge", 1500, 1520, athwart=True)
        >>> float(edge.held_at(-900, 900).height_at(0))
        1510.0
        """
        return replace(self, start=float(start), end=float(end))

    def complaints(self) -> tuple[Complaint, ...]:
        """
        Return what is wrong or doubtful about the line itself.

        Returns
        -------
        tuple of Complaint
            Those of the kind "mend" mean that nothing can be read from this line.

        Examples
        --------
        >>> for complaint in MeasuringLine("wire", 0, 8000, 1500, 1460, weight=0.02, row=2).complaints():
        ...     print(complaint)
        lines.csv, row 2, column pull, 'wire': the sag needs both the string's weight and its pull, or a measured sag.
        """
        return tuple(_line_complaints(self))


def string_sag(place, length, weight, pull) -> np.ndarray:
    """
    Return how far a string hangs below the straight line between its ends.

    Parameters
    ----------
    place : array_like
        Distance from one end. [mm]
    length : array_like
        Distance between the ends. [mm]
    weight : array_like
        Weight of the string. [N per m]
    pull : array_like
        Pull at the ends. [N]

    Returns
    -------
    ndarray
        Sag; nought outside the string. [mm]

    Notes
    -----
    .. math:: s(x) = w x (L - x) / 2T, \\qquad s(L/2) = w L^2 / 8T

    the parabola that the catenary becomes when the sag is small against the length: moments about the point where
    the string is cut, with the pull T the same all along. The reading down from the string is short by the sag.

    Examples
    --------
    >>> round(float(string_sag(4000, 8000, weight=0.0225, pull=100)), 3)
    1.8
    """
    place, length = np.asarray(place, float), np.asarray(length, float)
    inside = np.clip(place, 0.0, length)
    return np.asarray(weight, float) * inside * (length - inside) / (2000.0 * np.asarray(pull, float))


def scaled_sag(place, length, middle) -> np.ndarray:
    """
    Return the sag at a place from the sag measured in the middle.

    Parameters
    ----------
    place : array_like
        Distance from one end. [mm]
    length : array_like
        Distance between the ends. [mm]
    middle : array_like
        Sag measured at the middle. [mm]

    Returns
    -------
    ndarray
        :math:`4 s t (1 - t)` with t the fraction of the length; nought outside. [mm]

    Examples
    --------
    >>> float(scaled_sag(2000, 8000, 4.0))
    3.0
    """
    t = np.clip(np.asarray(place, float) / np.asarray(length, float), 0.0, 1.0)
    return 4.0 * np.asarray(middle, float) * t * (1.0 - t)


def _line_complaints(line: MeasuringLine):
    def say(column, rule, slip="", kind="mend"):
        return Complaint("lines.csv", line.row, column, line.name, rule, slip, kind)

    ends = [v for v in (line.start, line.end) if not isinstance(v, str)]
    for column, place in (("from", line.start), ("to", line.end)):
        if isinstance(place, str) and place not in EDGES:
            yield say(
                column,
                f"{place!r} is no place: give x along the boat, or for a line across it so much to port "
                "or starboard, port edge or starboard edge",
            )
    if not np.all(np.isfinite(np.asarray([*ends, line.height_start, line.height_end], float))):
        yield say("", "each end needs a place and a height")
        return
    if len(ends) == 2 and ends[0] == ends[1]:
        yield say("to", "the two ends stand at one place", "one end was copied to the other")
    if line.sag is not None and (line.weight is not None or line.pull is not None):
        yield say("sag", "the measured sag is used; weight and pull are not", kind="note")
    elif line.sag is None and (line.weight is None) != (line.pull is None):
        missing = "pull" if line.pull is None else "weight"
        yield say(missing, "the sag needs both the string's weight and its pull, or a measured sag")
    for column in ("sag", "weight", "pull"):
        value = getattr(line, column)
        if value is not None and not (np.isfinite(value) and (value > 0 if column == "pull" else value >= 0)):
            yield say(column, f"{column} is {value:g}; a string hangs down, so it is never below nought")
    if len(ends) == 2 and _looks_wrong(line):
        yield say(
            "sag",
            f"the middle hangs {line.middle_sag:.0f} mm over {line.length:.0f} mm",
            "weight or pull in another unit, or a slack string",
            kind="ask",
        )
    straight = line.sag is None and line.weight is None and line.pull is None
    if straight and len(ends) == 2 and line.length > LONGEST_WITHOUT_SAG:
        yield say(
            "sag",
            "taken as a laser line, straight; a string of this length sags: give its sag in the middle, "
            "or its weight and pull; 0 if it is a laser",
            kind="note",
        )


def _looks_wrong(line: MeasuringLine) -> bool:
    pulled = line.pull is None or line.pull > 0
    return bool(line.length > 0 and pulled and line.middle_sag > 0.02 * line.length)
