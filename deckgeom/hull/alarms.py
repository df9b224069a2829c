"""
What cannot be right in a table of offsets as a whole: order, repeats, signs, sides, units, steps.

Single values out of line are the part of `deckgeom.hull.suspects`. Nothing is mended here.
"""

from __future__ import annotations

import numpy as np

from deckgeom.complaint import Complaint
from deckgeom.hull.offsets import SIDES, WHATS, OffsetLine, OffsetTable
from deckgeom.hull.search import MOST_SEARCHED, examine
from deckgeom.hull.suspects import STRENGTHS, grade
from deckgeom.units import MM_PER_INCH, format_length

__all__ = ["alarms"]

FILE = "offsets.csv"
MOST_ALIKE = 20
"""Complaints of one kind that are written out; the rest are counted. [-]"""

LEAST_LENGTH, MOST_LENGTH = 1000.0, 60_000.0
"""Length of a deck between which wooden boats lie: common practice, no source. [mm]"""

LEAST_BREADTH, MOST_BREADTH = 1 / 12, 1 / 1.8
"""Whole breadth over length of the deck between which boats lie: common practice, no source. [-]"""

LEAST_HEIGHT, MOST_HEIGHT = 0.12, 12.0
"""Middle height over greatest half-breadth between which boats lie: common practice, no source. [-]"""

MOST_APART = 0.1
"""Port and starboard differing by more than this part of the half-breadth: common practice, no source. [-]"""

WIDEST_SPACE = 6.0
"""A space between stations more than this many times the middle one: common practice, no source. [-]"""


def alarms(table: OffsetTable, accuracy=0.0, quantum=0.0, units="mm") -> tuple[Complaint, ...]:
    """
    Everything about a table that looks wrong other than single values out of line.

    Parameters
    ----------
    table : OffsetTable
        As read.
    accuracy : float, optional
        How far an honest offset may be off. [mm]
    quantum : float, optional
        What the table is rounded to. [mm]
    units : str, optional
        For the words only: "mm", "ft-in-8" or "in".

    Returns
    -------
    tuple of Complaint
        In the order of the work: places, signs, sizes, sides, steps.

    Examples
    --------
    >>> table = OffsetTable.from_rows({"x": [0, 900, 1800], "half_breadth": [0, -410, 520]}, ["stem", "1", "2"])
    >>> [(complaint.row, complaint.column, complaint.kind) for complaint in alarms(table)]
    [(3, 'half_breadth', 'mend')]
    """
    band = max(float(accuracy), float(quantum) / 2)
    found = [*_many(table), *_places(table, units), *_spaces(table, units)]
    for line in table.columns:
        if line.what == "half_breadth":
            found += _signs(line, units)
    found += _sizes(table, units)
    for what in WHATS:
        found += _sides(table, what, band, units)
    for line in table.columns:
        found += [*_runs_on(table, line, units), *_steps(line, band, units)]
    return tuple(found)


def _complaint(row, column, value, rule, slip="", kind="mend"):
    return Complaint(FILE, None if row is None else int(row), column, value, rule, slip, kind)


def _listed(places, make):
    """A complaint for each of the first places, made by `make`, and one line for how many more there are."""
    found = [make(k) for k in places[:MOST_ALIKE]]
    more = len(places) - MOST_ALIKE
    if more > 0:
        last = found[-1]
        found.append(_complaint(None, last.column, "", f"{more} more rows like the last one", last.slip, last.kind))
    return found


def _many(table):
    """Lines too long to be searched for single wrong values."""
    rule = f"stations; more than {MOST_SEARCHED} are not searched for single wrong values"
    return [
        _complaint(None, line.name, "", f"{len(line)} {rule}", "a file of readings in place of offsets", "note")
        for line in table.columns
        if len(line) > MOST_SEARCHED
    ]


def _places(table, units):
    """Stations named twice, two rows at one place, and rows out of order in the file."""
    first = {}
    for k, name in enumerate(table.stations):
        first.setdefault(name, k)
    twice = [k for k, name in enumerate(table.stations) if first[name] != k]
    same = np.flatnonzero(np.diff(table.x) == 0)
    same = [k + 1 for k in same if table.stations[k] != table.stations[k + 1]]

    def named_twice(k):
        name = table.stations[k]
        rule = f"station {name} stands in the table twice; the other is in row {table.rows[first[name]]}"
        return _complaint(table.rows[k], "station", name, rule, "one of them is another station")

    def at_one_place(k):
        rule = f"stations {table.stations[k - 1]} and {table.stations[k]} stand at the same place"
        place = format_length(table.x[k], units)
        return _complaint(table.rows[k], "x", place, rule, "one of the places was copied down")

    return [*_listed(twice, named_twice), *_listed(same, at_one_place), *_out_of_order(table, units)]


def _out_of_order(table, units):
    """Rows whose place goes back while the file goes on; a whole table from aft to forward is in order."""
    file = np.argsort(table.rows, kind="stable")
    if np.count_nonzero(np.diff(table.x[file]) < 0) > np.count_nonzero(np.diff(table.x[file]) > 0):
        file = file[::-1]
    x = table.x[file]
    back = [k if k == 0 or x[k + 1] >= x[k - 1] else k + 1 for k in np.flatnonzero(np.diff(x) < 0)]

    def out_of_order(k):
        name, row = table.stations[file[k]], table.rows[file[k]]
        rule = f"station {name} stands out of order: places run one way down the table; it was used where x says"
        return _complaint(row, "x", format_length(x[k], units), rule, "a figure of x was misread")

    return _listed(back, out_of_order)


def _spaces(table, units):
    """One space many times the others: most often a nought too much in x."""
    x, first = np.unique(table.x, return_index=True)
    space = np.diff(x)
    if space.size < 4:
        return []
    middle = float(np.median(space))
    wide = np.flatnonzero(space > WIDEST_SPACE * middle)
    if not 0 < wide.size <= max(1, space.size // 10):
        return []

    def far(k):
        rule = (
            f"station {table.stations[first[k + 1]]} stands {format_length(space[k], units)} from the one before; "
            f"the stations mostly are {format_length(middle, units)} apart"
        )
        row, place = table.rows[first[k + 1]], format_length(x[k + 1], units)
        return _complaint(row, "x", place, rule, "x ten times too large", "ask")

    return _listed(wide, far)


def _signs(line, units):
    """Half-breadths below nought."""
    below = np.flatnonzero(line.value < 0)
    if below.size == 0:
        return []
    if below.size == np.count_nonzero(line.value) and below.size > 1:
        rule = "every half-breadth is negative; they are measured out from the centreline and have no sign"
        return [_complaint(line.rows[below[0]], line.name, "", rule, "a side was marked by a minus sign")]
    rule = "a half-breadth is measured out from the centreline and is never below nought"

    def minus(k):
        return _complaint(line.rows[k], line.name, format_length(line.value[k], units), rule, "a stray minus sign")

    return _listed(below, minus)


def _sizes(table, units):
    """A whole column in the wrong unit, or whole breadths for halves."""
    found = []
    space = np.diff(np.unique(table.x))
    length = min(float(space.sum()), 2 * float(np.median(space)) * space.size) if space.size else 0.0
    if space.size > 1 and not LEAST_LENGTH <= length <= MOST_LENGTH:
        rule = f"the table covers {format_length(length, units)} of deck; boats have 1 m to 60 m (common practice)"
        slip = "the units of boat.toml, or of this column"
        found.append(_complaint(None, "x", "", rule, slip, "ask"))
    widest = {}
    for line in table.columns:
        if line.what != "half_breadth" or len(line) < 3 or length <= 0:
            continue
        widest[line.name] = half = float(np.median(np.sort(np.abs(line.value))[-3:]))
        ratio = 2 * half / length
        if half > 0 and not LEAST_BREADTH <= ratio <= MOST_BREADTH:
            rule = (
                f"the table covers {format_length(length, units)} of deck, {format_length(2 * half, units)} wide; a "
                "whole boat is between 1.8 and 12 times as long as wide (common practice)"
            )
            found.append(_complaint(None, line.name, "", rule, _wrong_unit(ratio, 1 / 3, halves=True), "ask"))
    half = max(widest.values(), default=0.0)
    for line in table.columns:
        if line.what != "height" or len(line) < 3 or half <= 0:
            continue
        ratio = float(np.median(np.abs(line.value))) / half
        if ratio > 0 and not LEAST_HEIGHT <= ratio <= MOST_HEIGHT and np.ptp(line.value) < ratio * half:
            rule = (
                f"heights about {format_length(ratio * half, units)} with half-breadths up to "
                f"{format_length(half, units)}; boats are nearer alike in both (common practice)"
            )
            found.append(_complaint(None, line.name, "", rule, _wrong_unit(ratio, 1.0), "ask"))
    return found


def _wrong_unit(ratio, usual, halves=False):
    """The factor between units that brings a ratio nearest to the usual one, in words."""
    small = {
        MM_PER_INCH: "inches in a table of millimetres",
        12.0: "feet in a table of inches",
        10.0: "centimetres in a table of millimetres",
    }
    large = {
        MM_PER_INCH: "millimetres in a table of inches",
        12.0: "inches in a table of feet",
        10.0: "millimetres in a table of centimetres",
    }
    if halves and usual < ratio < 4 * usual:
        return "whole breadths for half-breadths"
    table = small if ratio < usual else large
    off = ratio / usual if ratio > usual else usual / ratio
    return table[min(table, key=lambda factor: abs(np.log(off / factor)))] + ", here or in the column x"


def _sides(table, what, band, units):
    """Port and starboard changed places at one station, or further apart than a boat is crooked."""
    port, starboard = (table.lines.get(f"{what}_{side}") for side in SIDES)
    if port is None or port is starboard:
        return []
    common, at_port, at_starboard = np.intersect1d(port.rows, starboard.rows, return_indices=True)
    if common.size == 0:
        return []
    order = np.argsort(port.x[at_port], kind="stable")
    at_port, at_starboard = at_port[order], at_starboard[order]
    names = tuple(port.stations[k] for k in at_port)
    apart = port.value[at_port] - starboard.value[at_starboard]
    difference = OffsetLine(what, names, port.x[at_port], apart, port.rows[at_port])
    found, told = [], set()
    findings, _ = examine(difference, 2 * band)
    for one in findings:
        if grade(one, 2 * band) not in STRENGTHS[:2]:
            continue
        k = one.index
        told.add(k)
        found.append(_one_side(difference, k, one.excess, what, units))
    return found + _far_apart(difference, told, _half_breadth_at(table, difference.x), band, units)


def _far_apart(difference, told, half_breadth, band, units):
    """Sides further apart than a boat is crooked, one by one or all along."""
    what, apart = difference.what, difference.value
    limit = MOST_APART * np.maximum(half_breadth, 0.3 * np.max(half_breadth))
    far = [k for k in np.flatnonzero(np.abs(apart) > np.maximum(limit, 4 * band + 1e-9)) if k not in told]
    way = ("wider", "narrower") if what == "half_breadth" else ("higher", "lower")
    if 2 * len(far) > len(difference) > 3 and abs(np.sign(apart[far]).sum()) == len(far):
        size = format_length(abs(np.median(apart)), units)
        rule = f"port is {size} {way[0] if apart[far[0]] > 0 else way[1]} than starboard nearly all along"
        slip = "the centreline is off the middle" if what == "half_breadth" else "the hull lies over to one side"
        return [_complaint(None, f"{what}_port", "", rule, slip, "ask")]

    def one_place(k):
        size = format_length(abs(apart[k]), units)
        rule = f"port is {size} {way[0] if apart[k] > 0 else way[1]} than starboard at station {difference.stations[k]}"
        slip = "one side was read from another station"
        return _complaint(difference.rows[k], f"{what}_port", "", rule, slip, "ask")

    return _listed(far, one_place)


def _one_side(difference, k, excess, what, units):
    """One station whose sides differ in another way than at all others."""
    apart, usual = difference.value[k], difference.value[k] - excess
    more, fewer = ("wider", "narrower") if what == "half_breadth" else ("higher", "lower")
    rule = (
        f"port is {format_length(abs(apart), units)} {more if apart > 0 else fewer} than starboard at station "
        f"{difference.stations[k]}; its neighbours make it {format_length(abs(usual), units)} "
        f"{more if usual > 0 else fewer}"
    )
    changed = abs(apart + usual) < 0.3 * abs(excess)
    slip = "port and starboard changed places at this station" if changed else "a slip on one of the two sides"
    return _complaint(difference.rows[k], f"{what}_port", "", rule, slip, "ask")


def _half_breadth_at(table, x):
    """Greatest half-breadth of the two sides at x, for judging what is far apart."""
    lines = [line for line in table.columns if line.what == "half_breadth"]
    if not lines:
        return np.full(np.shape(x), np.inf)
    return np.max([np.interp(x, line.x, np.abs(line.value)) for line in lines], axis=0)


def _runs_on(table, line, units):
    """A column that begins after the table does, or ends before it: its curve runs on over what was not measured."""
    if len(line) < 2:
        return
    own = float(line.x[-1] - line.x[0])
    for short, k, way in ((line.x[0] - table.x[0], 0, "forward"), (table.x[-1] - line.x[-1], -1, "aft")):
        if short <= 0:
            continue
        rule = (
            f"nothing stands {way} of station {line.stations[k]}: for {format_length(short, units)} the curve runs on, "
            "and nothing there was measured"
        )
        kind = "mend" if short > own / 2 else "ask"
        yield _complaint(line.rows[k], line.name, "", rule, "offsets not taken yet, or an x far off", kind)


def _steps(line, band, units):
    """Everything from one station on moved alike: a datum or a tape shifted half way."""
    wide = line.what == "half_breadth"
    slip = f"the {'centreline' if wide else 'base line'} or the tape was moved half way"
    found = []
    for k, _, jump in examine(line, band)[1]:
        way = ("further out" if wide else "higher") if jump > 0 else ("further in" if wide else "lower")
        size, value = format_length(abs(jump), units), format_length(line.value[k], units)
        rule = f"from station {line.stations[k]} on all are {size} {way} than the rest make fair"
        found.append(_complaint(line.rows[k], line.name, value, rule, slip, "ask"))
    return found
