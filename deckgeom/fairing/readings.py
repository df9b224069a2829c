"""
Heights of beam tops as they were taken with tape, string, laser or straight-edge, made into true heights.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from deckgeom.complaint import Complaint
from deckgeom.fairing.beam_tops import BeamTops
from deckgeom.fairing.places import BeamPlaces
from deckgeom.fairing.reach import far_from_level, out_of_reach
from deckgeom.fairing.reading_checks import FILE, UsableReadings, sort_readings
from deckgeom.fairing.reading_error import ReadingError, reading_error_from_repeats
from deckgeom.fairing.rounds import readings_that_stand
from deckgeom.fairing.true_readings import TrueReadings
from deckgeom.hull.datum import Level, find_level
from deckgeom.hull.strings import MeasuringLine
from deckgeom.units import format_length

__all__ = ["BeamPlaces", "MeasuringLine", "Reading", "TrueReadings", "level_from_edges", "true_readings"]

NEAR_EDGE = 5.0
"""A reading this close to the deck edge is a reading of the edge. [mm] Common practice, no source."""


@dataclass(frozen=True)
class Reading:
    """
    One height of one beam top, as it was written down at the boat.

    Parameters
    ----------
    beam : str
        Name of the beam, as in the list of beams.
    side : {"port", "starboard", ""}
        Side of the boat. Empty where y already carries its sign, or on the centreline.
    y : float or {"edge", "port edge", "starboard edge"}
        Square off the centreline: unsigned with a side, starboard positive without one. [mm]
    height : float, optional
        Up from the base. [mm]
    below : float, optional
        Down from the line named by `line`. [mm]
    line : str, optional
        Name of the string, laser line or straight-edge that `below` is taken from.
    round : int
        Which time round the boat: 1 for the first, 2 after the first planing, and so on.
    note : str
        What else was written. A note that begins with "again" says: measured once more, beam not touched.
    row : int, optional
        Line of the file that it was typed in.

    Examples
    --------
    >>> Reading("7", "port", 300, height=942).signed_y
    -300.0
    """

    beam: str
    side: str
    y: float | str
    height: float | None = None
    below: float | None = None
    line: str | None = None
    round: int = 1
    note: str = ""
    row: int | None = None

    @property
    def signed_y(self) -> float:
        """Off the centreline, starboard positive; NaN where y is an edge. [mm]"""
        if isinstance(self.y, str):
            return float("nan")
        return -abs(float(self.y)) if self.side == "port" else float(self.y)

    @property
    def again(self) -> bool:
        """True where the note says that the point was measured once more, the beam not touched."""
        return self.note.strip().lower().startswith("again")


def true_readings(
    readings: Sequence[Reading],
    lines: Sequence[MeasuringLine],
    beams: BeamPlaces,
    level: Level | Mapping[int, Level] | str | None = "edges",
    units: str = "mm",
) -> TrueReadings:
    """
    Bring readings as written down to true heights in the hull's own frame.

    Parameters
    ----------
    readings : sequence of Reading
        Of all rounds.
    lines : sequence of MeasuringLine
        The strings, laser lines and straight-edges that readings name.
    beams : BeamPlaces
        Where the beams stand.
    level : {"edges"}, None, Level, or dict of int to Level
        How the hull stands. "edges": found from the deck edges that were measured in the first round. None: heights
        are taken as they are. A dict gives each round its own, when she was moved between; a round that it does not
        name takes that of the round before.
    units : {"mm", "ft-in-8", "in"}
        For the lengths in words.

    Returns
    -------
    TrueReadings
        Never an error for what a person typed: what cannot be used is left out and has its complaint.

    Notes
    -----
    A reading down from a line is short by the line's sag: height = line - sag - reading. List, trim and twist are
    then taken off, see `Level`.

    Examples
    --------
    >>> places = BeamPlaces(("1",), [4000], [900], [900])
    >>> wire = MeasuringLine("wire", 0, 8000, 1500, 1460, sag=4)
    >>> true_readings([Reading("1", "port", 300, below=540, line="wire")], [wire], places).tops.z.tolist()
    [936.0]
    """
    readings = tuple(readings)
    usable = sort_readings(readings, tuple(lines), beams)
    again = np.array([readings[i].again for i in usable.source], bool)
    measured = _tops(usable, beams, usable.as_read)
    error = ReadingError() if measured is None else reading_error_from_repeats(measured, usable.round)
    levels, level_words, about_level = _levels(level, usable, beams, error.sd, readings, units)
    true = np.array(usable.as_read)
    for number, stood in levels.items():
        rows = usable.round == number
        true[rows] = stood.true_height(usable.x[rows], usable.y[rows], usable.as_read[rows])
    every = _tops(usable, beams, true)
    stands = np.zeros(0, bool) if every is None else readings_that_stand(every, usable.round, again)
    about_beams = () if every is None else _about_beams(every, stands, usable, readings)
    return TrueReadings(
        every,
        stands,
        usable.round,
        again,
        usable.source,
        usable.as_read,
        usable.sag,
        levels,
        level_words,
        error,
        (*usable.complaints, *about_level, *out_of_reach(usable, true, readings, lines, beams, units), *about_beams),
    )


def level_from_edges(tops: BeamTops, beams: BeamPlaces, reading_error: float | None = None) -> tuple[Level, np.ndarray]:
    """
    Find how the hull stands from readings that were taken at her deck edges.

    Parameters
    ----------
    tops : BeamTops
        Heights above the base of the measurements, as measured.
    beams : BeamPlaces
        With the true heights of the deck edges.
    reading_error : float, optional
        Standard deviation of one reading, if it is known. [mm]

    Returns
    -------
    Level
        As she stood.
    ndarray of int
        Which readings were at an edge; the level's `set_aside` counts within these.

    Raises
    ------
    ValueError
        If there are fewer than three such readings.

    Examples
    --------
    >>> places = BeamPlaces(("1", "2"), [0, 3000], [900, 950], [900, 950], [700, 720], [700, 720])
    >>> edges = BeamTops([0, 0, 1, 1], places.names, [0, 0, 3000, 3000], [-900, 900, -950, 950],
    ...                  [900, 900, 950, 950], [700, 718, 720, 739])
    >>> level_from_edges(edges, places)[0].words()[0]
    'Lists 0.57 degrees to port: over 1900 mm of breadth the starboard side stands 19 mm higher.'
    """
    known = beams.edge_height(tops.beam, tops.y)
    at_edge = np.flatnonzero((np.abs(np.abs(tops.y) - tops.half_breadth) <= NEAR_EDGE) & np.isfinite(known))
    if at_edge.size < 3:
        raise ValueError(f"{at_edge.size} readings at the deck edges; list and trim need three or more")
    x, y, z = tops.x[at_edge], tops.y[at_edge], tops.z[at_edge]
    return find_level(x, y, known[at_edge], z, reading_error), at_edge


def _levels(level, usable: UsableReadings, beams: BeamPlaces, error, readings, units):
    """How she stood in each round; in words; and the edges that do not agree."""
    rounds = [int(r) for r in np.unique(usable.round)]
    if level is None or not rounds:
        return dict.fromkeys(rounds, Level()), ("Heights are taken as measured: list and trim are not taken off.",), ()
    if isinstance(level, Level):
        return dict.fromkeys(rounds, level), level.words(units), ()
    if isinstance(level, Mapping):
        given = sorted(level)
        of = {r: level[max([g for g in given if g <= r], default=given[0])] for r in rounds} if given else {}
        words = tuple(f"Round {r}: {line}" for r in given for line in level[r].words(units))
        return of or dict.fromkeys(rounds, Level()), words, ()
    if level != "edges":
        raise ValueError(f"level is {level!r}; it is 'edges', None, a Level, or a Level for each round")
    first = usable.round == rounds[0]
    try:
        found, at_edge = level_from_edges(_tops(usable, beams, usable.as_read, first), beams, error)
    except ValueError:
        return (
            dict.fromkeys(rounds, Level()),
            (
                "Fewer than three deck edges were measured, so list and trim are not "
                "looked for: heights are taken as measured.",
            ),
            (),
        )
    tilted = far_from_level(found, readings[usable.source[first][at_edge[0]]].row, units)
    if tilted is not None and tilted.kind == "mend":
        return dict.fromkeys(rounds, Level()), ("Heights are taken as measured: see the complaint.",), (tilted,)
    asides = tuple(
        _edge_complaint(readings[usable.source[first][at_edge[k]]], found.residual[k], units) for k in found.set_aside
    )
    words = (f"List and trim from {at_edge.size - len(asides)} deck edges.", *found.words(units))
    return dict.fromkeys(rounds, found), words, (*asides, *([tilted] if tilted else []))


def _edge_complaint(reading: Reading, residual: float, units: str) -> Complaint:
    stands = f"{format_length(abs(residual), units)} {'above' if residual > 0 else 'below'}"
    rule = (
        f"the deck edge of beam {reading.beam} stands {stands} what the other edges say; it is left out of list "
        "and trim"
    )
    return Complaint(FILE, reading.row, "height", "", rule, "a slip of the tape", "ask")


def _tops(usable: UsableReadings, beams: BeamPlaces, z, rows=slice(None)) -> BeamTops | None:
    beam = usable.beam[rows]
    if not beam.size:
        return None
    return BeamTops(beam, beams.names, usable.x[rows], usable.y[rows], usable.half_breadth[rows], z[rows])


def _about_beams(every: BeamTops, stands, usable: UsableReadings, readings):
    """Beams measured at one place, and beams measured at fewer places than the round before."""
    point = every.points()
    for rows in np.split(np.argsort(every.beam, kind="stable"), np.cumsum(np.bincount(every.beam))[:-1]):
        now = rows[stands[rows]]
        if not now.size:
            continue
        name, row = every.beam_names[every.beam[now[0]]], readings[usable.source[now[0]]].row
        if np.ptp(point[now]) == 0:
            rule = "measured at one place only: its tilt and its crown cannot be told"
            yield Complaint(FILE, row, "beam", name, rule, kind="note")
        newest = int(usable.round[now].min())
        lost = len(np.setdiff1d(point[rows[usable.round[rows] < newest]], point[now]))
        if lost:
            rule = (
                f"beam {name} was measured again in round {newest}: its {lost} other places of earlier rounds no "
                "longer count; a note that begins with 'again' keeps them"
            )
            yield Complaint(FILE, row, "round", str(newest), rule, kind="note")
