"""
The slip that most likely made a wrong value: a decimal point, the wrong unit, a figure misread, half for whole.
"""

from __future__ import annotations

from deckgeom.units import MM_PER_INCH

FOOT = 12 * MM_PER_INCH
EIGHTH = MM_PER_INCH / 8

TIMES = (
    (10, "ten times too large: a decimal point or a nought"),
    (1 / 10, "ten times too small: a decimal point or a nought"),
    (12, "twelve times too large: inches entered as feet"),
    (1 / 12, "twelve times too small: feet entered as inches"),
    (MM_PER_INCH, "25.4 times too large: millimetres entered as inches"),
    (1 / MM_PER_INCH, "25.4 times too small: inches entered as millimetres"),
)
"""Slips that multiply: value over what was meant, and the words for it."""

HALVES = ((2, "the whole breadth entered for the half"), (1 / 2, "halved twice"), (-1, "a stray minus sign"))
"""Slips that multiply a half-breadth only."""

CLOSEST = 0.35
"""A slip is named only if it leaves less than this part of what is wrong. [-]"""


def likely_slip(value, expected, spread, what, imperial, others=()) -> str:
    """
    Name the slip that brings a value nearest to what would be fair.

    Parameters
    ----------
    value, expected : float
        As in the table, and as would be fair. [mm]
    spread : float
        How far the fair value may be out. [mm]
    what : {"height", "half_breadth"}
    imperial : bool
        Whether the table is in feet, inches and eighths; otherwise in millimetres.
    others : iterable of (float, str), optional
        Further values that may have been meant, each with its words, e.g. the other side's. [mm]

    Returns
    -------
    str
        Empty where no known slip comes near enough.

    Examples
    --------
    >>> likely_slip(4120.0, 409.0, 6.0, "half_breadth", False)
    'ten times too large: a decimal point or a nought'
    >>> likely_slip(4 * 3.175, 33 * 3.175, 6.0, "half_breadth", True)
    'inches and eighths changed places (0-0-4 for 0-4-0)'
    >>> likely_slip(400.0, 420.0, 2.0, "height", False)
    ''
    """
    wrong = abs(value - expected)
    meant = [(value / factor, words) for factor, words in TIMES]
    if what == "half_breadth":
        meant += [(value / factor, words) for factor, words in HALVES]
    meant += _figures_of_inches(value) if imperial else _figures_of_millimetres(value)
    meant += list(others)
    limit = min(max(3 * spread, 0.03 * abs(expected)), CLOSEST * wrong)
    near = [(abs(fair - expected), k) for k, (fair, _) in enumerate(meant) if abs(fair - expected) <= limit]
    return meant[min(near)[1]][1] if near else ""


def _figures_of_inches(value):
    """What may have been meant when one figure of feet-inches-eighths is misread or two change places."""
    found = []
    for size, name in ((FOOT, "a foot"), (MM_PER_INCH, "an inch"), (EIGHTH, "an eighth")):
        found += [(value - size, f"{name} too much"), (value + size, f"{name} too little")]
    eighths = round(value / EIGHTH)
    if value < 0 or abs(value - eighths * EIGHTH) > 0.02 * EIGHTH:
        return found
    feet, rest = divmod(eighths, 96)
    inches, eighths = divmod(rest, 8)
    typed = f"{feet}-{inches}-{eighths}"
    for turned, words in (
        ((feet, eighths, inches), "inches and eighths changed places"),
        ((inches, feet, eighths), "feet and inches changed places"),
    ):
        if turned != (feet, inches, eighths) and turned[1] < 12 and turned[2] < 8:
            length = turned[0] * FOOT + turned[1] * MM_PER_INCH + turned[2] * EIGHTH
            found.append((length, f"{words} ({typed} for {'-'.join(map(str, turned))})"))
    return found


def _figures_of_millimetres(value):
    """What may have been meant when one figure of a whole number of millimetres is off by one or two change places."""
    found = []
    for size, name in ((1000, "a metre"), (100, "a hundred millimetres"), (10, "a centimetre")):
        found += [(value - size, f"{name} too much"), (value + size, f"{name} too little")]
    figures = str(round(abs(value)))
    if value <= 0 or abs(value - round(value)) > 0.02:
        return found
    for k in range(len(figures) - 1):
        turned = figures[:k] + figures[k + 1] + figures[k] + figures[k + 2 :]
        if turned != figures and turned[0] != "0":
            found.append((float(turned), f"two figures changed places ({figures} for {turned})"))
    return found
