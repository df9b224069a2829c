"""
Readings that no deck can have: a whole list of them in other units, from another base line, or down from a line that
does not hang where it is said to.
"""

from __future__ import annotations

import numpy as np

from deckgeom.complaint import Complaint
from deckgeom.units import format_length

__all__ = ["far_from_level", "out_of_reach"]

MOST_TILT = 0.27
"""Rise over run of list and trim that no hull on props has, 15 degrees: common practice, no source. [-]"""

MOST_HEAVE = 500.0
"""Two base lines lie nearer than this: common practice, no source. [mm]"""

BELOW, ABOVE, SLACK = 0.1, 0.25, 50.0
"""A beam top stands no lower under the line joining its deck edges, and no higher over it, than these parts of its
breadth and so much more: common practice, no source. [-, -, mm]"""

UNITS_SLIP = "heights in another unit, or from another base line"


def far_from_level(level, row: int | None, units: str = "mm") -> Complaint | None:
    """
    Ask about a hull that would have to lie over, or stand higher, than hulls do.

    Parameters
    ----------
    level : Level
        As found from the deck edges.
    row : int or None
        Line of the first reading at an edge. [-]
    units : {"mm", "ft-in-8", "in"}
        For lengths in words.

    Returns
    -------
    Complaint or None
        Of the kind "mend" where she would lie over more than 15 degrees: that level is not believed.

    Examples
    --------
    >>> from deckgeom.hull.level import Level
    >>> far_from_level(Level(list=0.02), 4) is None
    True
    >>> print(far_from_level(Level(height=-1240.0), 4))
    readings.csv, column height: the deck edges as read stand 1240 mm lower than the offsets have them. Likely slip:
    heights in another unit, or from another base line.
    """
    ends = (level.list, level.list + level.twist * level.length, level.list - level.twist * level.length)
    tilt = max(abs(level.trim), *map(abs, ends))
    if not tilt <= MOST_TILT:
        rule = (
            f"by the deck edges as read she would lie over {np.degrees(np.arctan(tilt)):.0f} degrees, and hulls are "
            "propped within 15 (common practice); list and trim are not taken off"
        )
        return Complaint("readings.csv", row, "height", "", rule, UNITS_SLIP)
    if abs(level.height) > MOST_HEAVE:
        way = "higher" if level.height > 0 else "lower"
        size = format_length(abs(level.height), units)
        rule = f"the deck edges as read stand {size} {way} than the offsets have them"
        return Complaint("readings.csv", None, "height", "", rule, UNITS_SLIP, "ask")
    return None


def out_of_reach(usable, true, readings, lines, beams, units: str = "mm") -> tuple[Complaint, ...]:
    """
    Ask about a line, or the base, from which most readings come out where no beam top can be.

    Parameters
    ----------
    usable : UsableReadings
        Which readings, and where.
    true : ndarray, shape (n,)
        Their true heights. [mm]
    readings : sequence of Reading
        As typed.
    lines : sequence of MeasuringLine
    beams : BeamPlaces
    units : {"mm", "ft-in-8", "in"}
        For lengths in words.

    Returns
    -------
    tuple of Complaint
        Of the kind "ask", one for each line or for the base.

    Examples
    --------
    >>> from deckgeom.fairing.places import BeamPlaces
    >>> from deckgeom.fairing.reading_checks import sort_readings
    >>> from deckgeom.fairing.readings import Reading
    >>> taken = [Reading("1", "starboard", y, 29.0) for y in (0.0, 300.0, 600.0)]
    >>> beams = BeamPlaces(("1",), [0], [900], [900], [700], [700])
    >>> print(out_of_reach(sort_readings(taken, (), beams), [29.0] * 3, taken, (), beams)[0].rule)
    3 of 3 readings up from the base come out where no beam top can be, about 671 mm below the line joining the deck
    edges
    """
    if not len(usable.source):
        return ()
    source = np.array([readings[i].line or "" for i in usable.source], object)
    side = np.ones(len(usable.source))
    port, starboard = (beams.edge_height(usable.beam, sign * side) for sign in (-1, 1))
    breadth = beams.half_breadth_port[usable.beam] + beams.half_breadth_starboard[usable.beam]
    part = (usable.y + beams.half_breadth_port[usable.beam]) / breadth
    rise = np.asarray(true, float) - (port + part * (starboard - port))
    far = (rise < -BELOW * breadth - SLACK) | (rise > ABOVE * breadth + SLACK)
    found = []
    for name in dict.fromkeys(source.tolist()):
        rows = np.flatnonzero(source == name)
        if rows.size < 3 or 2 * np.count_nonzero(far[rows]) <= rows.size:
            continue
        middle = float(np.median(rise[rows[far[rows]]]))
        size = f"{format_length(abs(middle), units)} {'above' if middle > 0 else 'below'}"
        taken = f"down from {name!r}" if name else "up from the base"
        rule = (
            f"{np.count_nonzero(far[rows])} of {rows.size} readings {taken} "
            f"come out where no beam top can be, about {size} the line joining the deck edges"
        )
        row = next((line.row for line in lines if line.name == name), None) if name else None
        file, column = ("lines.csv", "height_from") if name else ("readings.csv", "height")
        found.append(Complaint(file, row, column, "", rule, UNITS_SLIP, "ask"))
    return tuple(found)
