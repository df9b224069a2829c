"""
Offsets that are probably wrong, most certain first, each with the value that would be fair.

Nothing is mended here: a suspect is shown to the builder, who looks at the table, the plan or the boat.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from deckgeom.hull.offsets import OffsetTable
from deckgeom.hull.search import Finding, examine
from deckgeom.hull.slips import EIGHTH, likely_slip
from deckgeom.units import format_length

__all__ = ["STRENGTHS", "Suspect", "find_suspects"]

STRENGTHS = ("beyond doubt", "doubtful", "look again")
"""How sure it is that a value is wrong, surest first."""

NEEDED = {"beyond doubt": (5.0, 8.0, 1.5), "doubtful": (5.0, 1.5, 1.0), "look again": (3.0, 0.0, 0.8)}
"""
Least evidence for each strength, as natural logarithms of a ratio of likelihoods: from the change of bend, from the
bend itself, and over the next likeliest value. Set on some ten thousand invented fair lines, so that a clean
table hardly ever raises a suspect; common practice knows no figure. [-]
"""

ENOUGH = {"beyond doubt": 10.0, "doubtful": 7.0}
"""Evidence from the change of bend that needs none from the bend, two stations or more from an end. [-]"""


@dataclass(frozen=True)
class Suspect:
    """
    An offset that is out of line with the others.

    Parameters
    ----------
    column, station : str
        Where it stands in the table.
    row : int
        Line of the file, from 1.
    value, expected : float
        As in the table, and what the other offsets make fair. [mm]
    strength : {"beyond doubt", "doubtful", "look again"}
    slip : str
        The likely slip, or empty.
    reason : str
        Why, in words.
    evidence : float
        What the rank goes by within one strength: logarithm of a ratio of likelihoods. [-]

    Examples
    --------
    >>> Suspect("height", "4", 6, 311.0, 314.2, "look again", "an eighth too little", "lies low", 3.9).strength
    'look again'
    """

    column: str
    station: str
    row: int
    value: float
    expected: float
    strength: str
    slip: str
    reason: str
    evidence: float = 0.0


def find_suspects(table: OffsetTable, accuracy=0.0, quantum=0.0, units="mm") -> tuple[Suspect, ...]:
    """
    Search every line of a table for single values that spoil its fairness.

    Parameters
    ----------
    table : OffsetTable
        A column for both sides is searched once.
    accuracy : float, optional
        How far an honest offset may be off. [mm]
    quantum : float, optional
        What the table is rounded to, e.g. 3.175 for eighths of an inch. [mm]
    units : str, optional
        For the words only: "mm", "ft-in-8" or "in".

    Returns
    -------
    tuple of Suspect
        Most certain first; empty for lines of fewer than 6 or more than 400 stations.

    Notes
    -----
    In each line the one value whose leaving out makes the rest most credible as a fair line is set apart, and so on
    with the rest until nothing stands out (`deckgeom.hull.unfairness.weigh`). The last value at an end is never
    more than "look again", and only when it is far out of the range of all others, since a slip there cannot be told
    from a change of shape. Where many values of one line stand out the table is rougher than stated, and none of
    them is more than "look again".

    Examples
    --------
    >>> x = [600.0 * k for k in range(9)]
    >>> breadth = [round(900 - 0.00012 * (xk - 2600) ** 2) for xk in x]
    >>> breadth[4] += 25
    >>> [suspect] = find_suspects(OffsetTable.from_rows({"x": x, "half_breadth": breadth}), 1.0, 1.0)
    >>> suspect.station, suspect.strength, round(suspect.value - suspect.expected)
    ('4', 'beyond doubt', 25)
    """
    imperial = _is_imperial(quantum, units)
    band = max(float(accuracy), float(quantum) / 2)
    found = []
    for line in table.columns:
        findings, _ = examine(line, band)
        graded = [(finding, grade(finding, band)) for finding in findings]
        graded = [(finding, strength) for finding, strength in graded if strength]
        if len(graded) > max(2, len(line) // 6):
            graded = [(finding, "look again") for finding, _ in graded]
        found += [_suspect(line, finding, strength, band, imperial, units) for finding, strength in graded]
    found = _wrong_place(_swapped_sides(found))
    return tuple(sorted(found, key=lambda one: (STRENGTHS.index(one.strength), -one.evidence)))


def grade(finding: Finding, band: float) -> str:
    """
    How sure it is that a value is wrong.

    Parameters
    ----------
    finding : Finding
        What stands out.
    band : float
        How far an honest value may be off. [mm]

    Returns
    -------
    str
        One of `STRENGTHS`, or empty where accuracy explains it.

    Examples
    --------
    >>> grade(Finding(4, 8.0, 11.0, 4.0, 25.0, 2.0, 4), 1.0)
    'beyond doubt'
    """
    if abs(finding.excess) <= band:
        return ""
    if finding.beyond == 0:
        return "look again"
    inner = finding.beyond > 1
    for strength in STRENGTHS:
        change, bend, lead = NEEDED[strength]
        bent = finding.bend >= bend or (inner and finding.change >= ENOUGH.get(strength, np.inf))
        large = strength != "beyond doubt" or abs(finding.excess) > 3 * band
        if finding.change >= change and finding.lead >= lead and bent and large:
            return strength
    return ""


def _suspect(line, finding, strength, band, imperial, units):
    k = finding.index
    value = float(line.value[k])
    expected = value - finding.excess
    slip = likely_slip(value, expected, max(finding.spread, band), line.what, imperial)
    return Suspect(
        line.name,
        line.stations[k],
        int(line.rows[k]),
        value,
        float(expected),
        strength,
        slip,
        _reason(line, finding, strength, band, units),
        finding.bend + finding.change,
    )


def _reason(line, finding, strength, band, units):
    wide = line.what == "half_breadth"
    way = ("outside" if wide else "above") if finding.excess > 0 else ("inside" if wide else "below")
    words = f"{format_length(abs(finding.excess), units)} {way} the fair line through its neighbours"
    if band > 0:
        words += f"; rounding and the stated accuracy explain {_at_most(band, units)}"
    if finding.beyond == 0:
        words += ". It is the last one at that end, where a slip cannot be told from a change of shape"
    elif strength != STRENGTHS[0] and finding.beyond == 1:
        words += ". It is the last but one, where a change of shape may look much the same"
    return words + "."


def _at_most(band, units):
    least = 1.0 if units == "mm" else EIGHTH / 2
    return f"{format_length(max(band, least), units)} at most"


def _is_imperial(quantum, units):
    if units != "mm":
        return True
    parts = quantum / (EIGHTH / 8)
    return quantum > 0 and abs(parts - round(parts)) < 1e-6


def _swapped_sides(found):
    """Two suspects at one station that would both be right on the other side are one slip."""
    by_place = {(one.column, one.station): one for one in found}
    named = []
    for one in found:
        side = "_port" if one.column.endswith("_port") else "_starboard"
        other = "_starboard" if side == "_port" else "_port"
        twin = by_place.get((one.column.removesuffix(side) + other, one.station))
        if twin is not None and twin is not one:
            wrong = max(abs(one.value - one.expected), abs(twin.value - twin.expected))
            if max(abs(one.value - twin.expected), abs(twin.value - one.expected)) < 0.3 * wrong:
                one = replace(one, slip="port and starboard changed places at this station")
        named.append(one)
    return named


def _wrong_place(found):
    """Height and half-breadth both out at one station, not by one and the same slip: it likelier stands elsewhere."""
    sure = [one for one in found if one.strength != STRENGTHS[-1]]
    kinds, slips = {}, {}
    for one in sure:
        kinds.setdefault(one.station, set()).add(one.column.startswith("height"))
        slips.setdefault(one.station, []).append(one.slip)
    place = {
        station
        for station, kind in kinds.items()
        if len(kind) == 2 and ("" in slips[station] or len(set(slips[station])) > 1)
    }
    slip = "the station's place x, for both its height and its half-breadth are out"
    return [replace(one, slip=slip) if one.station in place and one in sure else one for one in found]
