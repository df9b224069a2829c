"""
What is wrong with a list of readings: each one that cannot be used is named with its row, its rule and the likely slip.
"""

from __future__ import annotations

import difflib
from dataclasses import dataclass
from functools import partial

import numpy as np

from deckgeom.complaint import Complaint
from deckgeom.fairing.beam_tops import OVERHANG
from deckgeom.fairing.places import BeamPlaces

__all__ = ["FILE", "UsableReadings", "sort_readings"]

FILE = "readings.csv"
"""Where readings stand in a boat folder."""

SLACK = 1.0
"""A beam may stand this far outside the ends of a string before its reading is refused. [mm]"""

_EDGES = {"port edge": -1.0, "starboard edge": 1.0}


@dataclass(frozen=True, eq=False)
class UsableReadings:
    """
    The readings that can be used, as arrays.

    Parameters
    ----------
    source : ndarray of int, shape (n,)
        Which of the given readings.
    beam : ndarray of int, shape (n,)
        Which beam.
    x, y, half_breadth : ndarray, shape (n,)
        Place, y starboard positive, and the breadth there. [mm]
    as_read, sag : ndarray, shape (n,)
        Height above the base, and the sag that was taken off it. [mm]
    round : ndarray of int, shape (n,)
        Round of each.
    complaints : tuple of Complaint
        About the others, and the lines.

    Examples
    --------
    >>> from deckgeom.fairing.readings import Reading
    >>> sort_readings([Reading("1", "port", 300, height=942)], (), BeamPlaces(("1",), [0], [900], [900])).as_read
    array([942.])
    """

    source: np.ndarray
    beam: np.ndarray
    x: np.ndarray
    y: np.ndarray
    half_breadth: np.ndarray
    as_read: np.ndarray
    sag: np.ndarray
    round: np.ndarray
    complaints: tuple[Complaint, ...]


class _Sieve:
    """Which readings still pass, and why the others do not: the first fault of each is told."""

    def __init__(self, readings) -> None:
        self.readings = readings
        self.passes = np.ones(len(readings), bool)
        self.complaints: list[Complaint] = []

    def refuse(self, bad, column: str, value, rule, slip="") -> None:
        """Refuse the readings marked in `bad`; value, rule and slip are texts or functions of the row."""
        for i in np.flatnonzero(self.passes & bad):
            self.say(i, column, value, rule, slip)
        self.passes &= ~bad

    def say(self, i, column: str, value, rule, slip="", kind="mend") -> None:
        value, rule, slip = (part(i) if callable(part) else part for part in (value, rule, slip))
        self.complaints.append(Complaint(FILE, self.readings[i].row, column, value, rule, slip, kind))


def sort_readings(readings, lines, places: BeamPlaces) -> UsableReadings:
    """
    Check readings against the beams and the lines that they were taken from, and bring them to heights above the base.

    Parameters
    ----------
    readings : sequence of Reading
        As typed.
    lines : sequence of MeasuringLine
        Strings, laser lines and straight-edges.
    places : BeamPlaces
        The beams.

    Returns
    -------
    UsableReadings
        Each reading that cannot be used has one complaint of the kind "mend".

    Examples
    --------
    >>> from deckgeom.fairing.readings import Reading
    >>> places = BeamPlaces(("1",), [0], [900], [900])
    >>> print(sort_readings([Reading("1", "port", 300, below=42, line="wire", row=2)], (), places).complaints[0])
    readings.csv, row 2, column line, 'wire': no line of that name is described in lines.csv. Likely slip: lines.csv
    describes no line.
    """
    sieve = _Sieve(readings)
    beam = _beams(sieve, places)
    y, half_breadth = _across(sieve, beam, places)
    x = places.along(beam, np.nan_to_num(y)) if len(places.names) else y
    rounds = _rounds(sieve)
    height, below = (_numbers(sieve, column) for column in ("height", "below"))
    named = np.array([bool(r.line) for r in readings], bool)
    _one_height(sieve, height, below, named)
    as_read, sag, about_lines = _heights(sieve, lines, places, beam, (x, y), height, below)
    _both_sides(sieve, beam, y, rounds)
    keep = np.flatnonzero(sieve.passes)
    columns = (column[keep] for column in (beam, x, y, half_breadth, as_read, sag, rounds))
    return UsableReadings(keep, *columns, (*about_lines, *sieve.complaints))


def _beams(sieve: _Sieve, places: BeamPlaces):
    index = {name: i for i, name in enumerate(places.names)}
    beam = np.array([index.get(str(r.beam), -1) for r in sieve.readings], int)

    def nearest(i):
        near = difflib.get_close_matches(str(sieve.readings[i].beam), places.names, 1)
        return f"the nearest name is '{near[0]}'" if near else ""

    sieve.refuse(
        beam < 0, "beam", lambda i: str(sieve.readings[i].beam), "no beam of that name is in the list of beams", nearest
    )
    return np.maximum(beam, 0)


def _across(sieve: _Sieve, beam, places: BeamPlaces):
    readings = sieve.readings
    sides = np.array([str(r.side or "") for r in readings], object)
    known = np.isin(sides, ("port", "starboard", "", "centre"))
    sieve.refuse(~known, "side", lambda i: sides[i], "the side is port or starboard")
    edge = np.array([_edge(r) for r in readings])
    y = np.array([np.nan if isinstance(r.y, str) or r.y is None else r.signed_y for r in readings], float)
    if not len(places.names):
        return y, y
    y = np.where(edge < 0, -places.half_breadth_port[beam], np.where(edge > 0, places.half_breadth_starboard[beam], y))
    shown = partial(_shown, readings, "y")
    sieve.refuse(~np.isfinite(y), "y", shown, "y is a distance off the centreline, or an edge with its side")
    sieve.refuse(
        (sides == "starboard") & (y < 0),
        "y",
        shown,
        "a place to starboard has no minus",
        "the side named twice, by word and by sign",
    )
    sieve.refuse((sides == "centre") & (y != 0), "y", shown, "a place off the centreline needs port or starboard")
    half_breadth = places.half_breadth(beam, y)
    sieve.refuse(~(half_breadth > 0), "y", shown, "the deck has no breadth at this beam", "a beam at the very stem")
    beyond = np.abs(y) > (1.0 + OVERHANG) * half_breadth

    def too_far(i):
        return (
            f"y reaches {abs(y[i]):.0f} mm but beam {places.names[beam[i]]} ends at {half_breadth[i]:.0f} mm on "
            "that side. Is y a half-breadth, or the whole beam?"
        )

    sieve.refuse(beyond, "y", shown, too_far, "half taken for whole breadth, or measured from the deck edge")
    slack = OVERHANG * half_breadth
    outside = (y < places.start[beam] - slack) | (y > places.end[beam] + slack)
    sieve.refuse(
        outside,
        "y",
        shown,
        lambda i: f"half beam {places.names[beam[i]]} does not reach there",
        "another beam's reading, or the other side's",
    )
    return y, half_breadth


def _rounds(sieve: _Sieve):
    whole = [
        isinstance(r.round, int | np.integer) or (isinstance(r.round, float) and r.round.is_integer())
        for r in sieve.readings
    ]
    rounds = np.array([int(r.round) if ok else 0 for r, ok in zip(sieve.readings, whole, strict=True)], int)
    sieve.refuse(rounds < 1, "round", partial(_shown, sieve.readings, "round"), "a round is 1, 2, 3 and so on")
    return rounds


def _numbers(sieve: _Sieve, column: str):
    values = np.array([np.nan if getattr(r, column) is None else getattr(r, column) for r in sieve.readings], float)
    sieve.refuse(np.isinf(values), column, partial(_shown, sieve.readings, column), "a height is a number")
    return values


def _one_height(sieve: _Sieve, height, below, named) -> None:
    up, down = np.isfinite(height), np.isfinite(below)
    shown = partial(_shown, sieve.readings, "below")
    sieve.refuse(
        up & down,
        "below",
        shown,
        "a reading goes up from the base or down from a line, not both",
        "one of the two belongs to another row",
    )
    sieve.refuse(
        ~up & ~down,
        "height",
        "",
        "neither a height above the base nor a reading down from a line",
        "not measured: leave the row out",
    )
    sieve.refuse(
        up & named,
        "line",
        lambda i: str(sieve.readings[i].line),
        "a height up from the base is not taken from a line",
        "it belongs in the column below",
    )
    sieve.refuse(down & ~named, "line", "", "a reading down from a line needs the name of the line")
    sieve.refuse(
        down & (below < 0),
        "below",
        shown,
        "a reading goes down from its line, so it is never below nought",
        "the line stands lower than the beam, or a height was typed",
    )


def _heights(sieve: _Sieve, lines, places: BeamPlaces, beam, xy, height, below):
    """Heights above the base, the sag in them, and what there is to say about the lines."""
    by_name, complaints = _sound_lines(lines)
    as_read, sag = np.array(height, float), np.zeros(len(sieve.readings))
    names = np.array([str(r.line) if r.line else "" for r in sieve.readings], object)
    taken = np.isfinite(below) & (names != "")
    described = ", ".join(f"'{name}'" for name in by_name) or "no line"
    sieve.refuse(
        taken & ~np.isin(names, list(by_name)),
        "line",
        lambda i: names[i],
        "no line of that name is described in lines.csv",
        f"lines.csv describes {described}",
    )
    for name, line in by_name.items():
        rows = np.flatnonzero(taken & sieve.passes & (names == name))
        if line is None:
            sieve.refuse(_mask(rows, names.size), "line", name, "this line's own row in lines.csv needs mending first")
            continue
        for i, part in ((rows, line),) if not _to_edges(line) else _per_beam(line, rows, beam, places):
            place = xy[1 if part.athwart else 0][i]
            sag[i] = part.sag_at(place)
            as_read[i] = part.height_at(place) - below[i]
            _past_the_ends(sieve, part, i, place)
    return as_read, sag, complaints


def _sound_lines(lines):
    """Lines by name, None for one that cannot be used; and what is wrong with them."""
    by_name, complaints = {}, []
    for line in lines:
        if line.name in by_name:
            complaints.append(
                Complaint(
                    "lines.csv",
                    line.row,
                    "line",
                    line.name,
                    "a line of that name stands above",
                    "a copied row: only the first is used",
                )
            )
            continue
        about = line.complaints()
        complaints += about
        by_name[line.name] = None if any(c.kind == "mend" for c in about) else line
    return by_name, complaints


def _to_edges(line) -> bool:
    return isinstance(line.start, str) or isinstance(line.end, str)


def _per_beam(line, rows, beam, places: BeamPlaces):
    """A line held at the deck edges has its ends where the edges of the reading's beam are."""
    for b in np.unique(beam[rows]):
        edge = {"port edge": -places.half_breadth_port[b], "starboard edge": places.half_breadth_starboard[b]}
        yield rows[beam[rows] == b], line.held_at(edge.get(line.start, line.start), edge.get(line.end, line.end))


def _past_the_ends(sieve: _Sieve, line, rows, place) -> None:
    low, high = min(line.start, line.end), max(line.start, line.end)
    past = np.maximum(low - place, place - high)
    ends = f"'{line.name}' runs from {low:.0f} to {high:.0f} mm"
    hangs = line.middle_sag > 0
    value = dict(zip(rows.tolist(), place.tolist(), strict=True))
    if hangs:
        sieve.refuse(
            _mask(rows[past > SLACK], sieve.passes.size),
            "line",
            line.name,
            lambda i: f"{ends}, but this reading is at {value[i]:.0f} mm, beyond the end of the string",
            "the wrong string, or a wrong end in lines.csv",
        )
        return
    for i in rows[past > 0.25 * line.length]:
        sieve.say(
            i,
            "line",
            line.name,
            f"{ends}, and this reading is at {value[i]:.0f} mm, far beyond",
            "the wrong line, or a wrong end in lines.csv",
            "ask",
        )


def _both_sides(sieve: _Sieve, beam, y, rounds) -> None:
    """Say where a point on the centreline stands under port and under starboard: it is one point, measured twice."""
    seen = {}
    for i in np.flatnonzero(sieve.passes & (y == 0)):
        side, key = sieve.readings[i].side, (int(beam[i]), int(rounds[i]))
        if side in ("port", "starboard") and seen.setdefault(key, side) != side:
            sieve.say(
                i,
                "y",
                "0",
                f"the centreline of beam {sieve.readings[i].beam} stands under port and under "
                "starboard; it is taken as one point, measured twice",
                kind="note",
            )
            seen[key] = side


def _edge(reading) -> float:
    """-1 for a reading at the port edge, 1 at the starboard edge, 0 elsewhere."""
    if not isinstance(reading.y, str):
        return 0.0
    return _EDGES.get(f"{reading.side} edge" if reading.y == "edge" else reading.y, 0.0)


def _mask(rows, size):
    mask = np.zeros(size, bool)
    mask[rows] = True
    return mask


def _shown(readings, column, i) -> str:
    value = getattr(readings[i], column)
    return f"{value:g}" if isinstance(value, float) else str("" if value is None else value)
