"""
What every camber mould has in common: which sizes are refused, and heights above the beam ends.
"""

from __future__ import annotations

import numpy as np

#: Camber over half-breadth above which nothing is a deck any more (1:4 of the whole beam). Common practice, no
#: source. [1]
MOST_CAMBER = 0.5


class CamberError(ValueError):
    """A camber, or a figure for it, that cannot be right; the message gives value, rule and likely slip."""


def check_mould(half_breadth: float, rise: float) -> None:
    """
    Refuse a camber that no deck has.

    Parameters
    ----------
    half_breadth : float
        Centreline to beam end, square off. [mm]
    rise : float
        Camber at the centreline. [mm]

    Examples
    --------
    >>> check_mould(1500, 94)
    """
    if not np.isfinite(half_breadth) or half_breadth <= 0:
        raise CamberError(
            f"half-breadth {half_breadth:g} mm: it must be more than nought. Is the sign or the column wrong?"
        )
    if not np.isfinite(rise) or rise < 0:
        raise CamberError(f"camber {rise:g} mm: it must be nought or more. Is it a drop, given with a minus sign?")
    if rise > MOST_CAMBER * half_breadth:
        raise CamberError(
            f"camber {rise:.6g} mm on a half-breadth of {half_breadth:.6g} mm is more than 1:4 of the whole beam. "
            "Likely slip: inches against mm, or the ratio upside down. Check the units of the figure."
        )


def check_reach(mould, half_breadth: float) -> None:
    """
    Refuse a mould that is carried on to a beam where it falls away too far to be a deck.

    Parameters
    ----------
    mould : curve of one size
        With half_breadth, rise and drop(y).
    half_breadth : float
        Half of the widest beam. [mm]

    Examples
    --------
    >>> from deckgeom.deck.camber import Circle
    >>> check_reach(Circle(1500, 94), 1600)
    """
    reach = 1.2 * half_breadth
    if reach < getattr(mould, "radius", np.inf) and mould.drop(half_breadth) <= MOST_CAMBER * half_breadth:
        return
    raise CamberError(
        f"a mould with {mould.rise:.6g} mm of camber on {2 * mould.half_breadth:.6g} mm falls away to nothing "
        f"before the widest beam of {2 * half_breadth:.6g} mm. "
        "Likely slip: the breadth of the mould in other units, or half of it"
    )


def height_above_ends(mould, y):
    """
    Height of a mould above the beam ends.

    Parameters
    ----------
    mould : curve of one size
        With half_breadth, rise and drop(y).
    y : array_like, any shape
        Distance off the centreline, no further than the beam end. [mm]

    Returns
    -------
    ndarray
        [mm]

    Examples
    --------
    >>> from deckgeom.deck.camber import Parabola
    >>> float(height_above_ends(Parabola(1200, 100), 600))
    75.0
    """
    y = np.asarray(y, dtype=float)
    if np.any(np.abs(y) > mould.half_breadth * (1 + 1e-12)):
        raise CamberError(
            f"y reaches {np.max(np.abs(y)):.6g} mm but the beam ends at {mould.half_breadth:.6g} mm. "
            "Is y a half-breadth, or the whole beam?"
        )
    return mould.rise - mould.drop(y)
