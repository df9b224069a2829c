"""
Places on a boat in the words of the shed, never with a sign.
"""

from __future__ import annotations

from deckgeom.units import format_length

__all__ = ["both_units", "off_centreline"]


def off_centreline(y: float, units: str = "mm") -> str:
    """
    A distance off the centreline with its side.

    Parameters
    ----------
    y : float
        Starboard positive. [mm]
    units : {"mm", "ft-in-8", "in"}

    Returns
    -------
    str

    Examples
    --------
    >>> off_centreline(-300.0), off_centreline(0.0)
    ('300 mm port', 'centreline')
    """
    if abs(y) < 0.05:
        return "centreline"
    return f"{format_length(abs(y), units)} {'port' if y < 0 else 'starboard'}"


def both_units(mm: float, units: str = "mm") -> str:
    """
    A length in the set's units, and under it in the others, for a cell of a table.

    Parameters
    ----------
    mm : float
        [mm]
    units : {"mm", "ft-in-8", "in"}
        The set's own.

    Returns
    -------
    str
        Two lines; the second is drawn small.

    Examples
    --------
    >>> both_units(94.0)
    '94 mm\\n3 11/16 in'
    """
    return f"{format_length(mm, units)}\n{format_length(mm, 'in' if units == 'mm' else 'mm')}"
