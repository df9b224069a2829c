"""
The inch, the units of a boat folder, and the longest length that is believed.
"""

from __future__ import annotations

from fractions import Fraction

MM_PER_INCH = 25.4
"""One inch, exactly. [mm]"""

INCH = Fraction(127, 5)
"""One inch as a fraction, so that nothing is rounded on the way in. [mm]"""

UNITS = ("mm", "ft-in-8", "in")
"""The units a boat folder may be kept in; a bare number is mm in the first, inches in the other two."""

LONGEST = Fraction(1_000_000)
"""One kilometre: no length on a boat is longer. [mm]"""


def check_units(units: str) -> None:
    """
    Refuse units that a boat folder cannot be kept in.

    Parameters
    ----------
    units : str
        To be checked against `UNITS`.

    Examples
    --------
    >>> check_units("mm")
    """
    if units not in UNITS:
        raise ValueError(f"units is {units!r}; a boat folder is kept in one of {', '.join(UNITS)}")
