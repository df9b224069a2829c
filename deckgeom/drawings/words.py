"""Short words for gaps and sides that every drawing uses alike."""

from __future__ import annotations

from deckgeom.units import format_length


def gap_words(gap: float, units: str = "mm") -> str:
    """
    Say how great a gap is, as finely as a rule shows it; a gap too small for that is not called nought.

    Parameters
    ----------
    gap : float
        Its sign is left off. [mm]
    units : str
        ``"mm"``, ``"in"`` or ``"ft-in-8"``.

    Returns
    -------
    str
        A length, or *less than* the finest mark.

    Examples
    --------
    >>> gap_words(3.2), gap_words(0.2), gap_words(-1.6, "in"), gap_words(0.3, "ft-in-8")
    ('3 mm', 'less than 1 mm', '1/16 in', 'less than 1/16"')
    """
    said = format_length(abs(gap), units)
    if said != format_length(0.0, units):
        return said
    return {"mm": "less than 1 mm", "in": "less than 1/16 in"}.get(units, 'less than 1/16"')


def heights_unit(units: str) -> str:
    """
    Name the unit of an axis of small heights.

    Parameters
    ----------
    units : str
        ``"mm"``, ``"in"`` or ``"ft-in-8"``.

    Returns
    -------
    str
        ``"mm"`` or ``"inches"``.

    Examples
    --------
    >>> heights_unit("ft-in-8")
    'inches'
    """
    return "mm" if units == "mm" else "inches"


def off_words(y: float, units: str = "mm") -> str:
    """
    Say how far off the centreline a place is, and on which side.

    Parameters
    ----------
    y : float
        Starboard positive. [mm]
    units : str
        ``"mm"``, ``"in"`` or ``"ft-in-8"``.

    Returns
    -------
    str
        A length and a side.

    Examples
    --------
    >>> off_words(-620), off_words(0.0)
    ('620 mm port', 'the centreline')
    """
    if abs(y) < 0.5:
        return "the centreline"
    return f"{format_length(abs(y), units)} {'port' if y < 0 else 'starboard'}"
