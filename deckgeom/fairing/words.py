"""
Uncertainties in words: finer than a rule reads, coarser than a sum gives.
"""

from __future__ import annotations

from deckgeom.units import MM_PER_INCH

__all__ = ["fine_length"]


def fine_length(length: float, units: str = "mm") -> str:
    """
    An uncertainty or a tolerance, to a tenth of a millimetre or a hundredth of an inch.

    Parameters
    ----------
    length : float
        [mm]
    units : {"mm", "ft-in-8", "in"}

    Returns
    -------
    str

    Examples
    --------
    >>> fine_length(0.7), fine_length(1.5875, "in")
    ('0.7 mm', '0.06 in')
    """
    return f"{length:.1f} mm" if units == "mm" else f"{length / MM_PER_INCH:.2f} in"
