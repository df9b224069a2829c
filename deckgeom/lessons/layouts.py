"""
Five ways of laying out one camber curve by hand, drawn step by step, and the same five laid over each other.

The points are found as the hand finds them: by lines that cross, by lengths stepped off, by sticks that slide. The
curves that they lie on come from the rooms `deck` and `fairing`.
"""

from __future__ import annotations

import numpy as np

from deckgeom.lessons.layout_curves import LAYOUTS, LEADS_TO, LayoutGaps, layout_curve, layout_gaps
from deckgeom.lessons.layout_drawn import DRAWN, Beam
from deckgeom.lessons.strokes import Layout, Step, Stroke

__all__ = ["LAYOUTS", "Layout", "LayoutGaps", "Step", "Stroke", "layout_curve", "layout_gaps", "layout_steps"]

MOST_DIVISIONS = 12


def layout_steps(name: str, half_breadth: float, camber: float, divisions: int = 4, units: str = "mm") -> Layout:
    """
    Lay out a camber curve step by step.

    Parameters
    ----------
    name : str
        One of `LAYOUTS`.
    half_breadth, camber : float
        Centreline to the end of the beam, and the rise between. [mm]
    divisions : int
        Into how many parts the half-breadth is divided, 2 to 12. [-]
    units : {"mm", "ft-in-8", "in"}
        That the words speak in.

    Returns
    -------
    Layout
        What is drawn at each step, the points that it finds, and the curve.

    Raises
    ------
    ValueError
        For a name that is none of them, or a beam that cannot be.

    Notes
    -----
    Quarter-circle: the slanting length from base point u to arc point u is

    .. math:: h(u) = c \\sqrt{1 - 2u \\sin(\\pi u/2) + u^2}

    Equal divisions: the line from the crown to the mark k / n down the end upright crosses the k-th upright at
    c (1 - (k/n)^2). Sticks: the angle at the pencil stands on the chord between the nails, so it is an inscribed angle
    and the pencil stays on one circle [1]_. Sprung batten: a natural cubic spline through three points.

    References
    ----------
    .. [1] Euclid, *Elements*, book III, proposition 21.

    Examples
    --------
    >>> layout = layout_steps("quarter-circle", 1200, 100, 4)
    >>> layout.points_z.round(3).tolist()
    [100.0, 93.336, 73.681, 42.033, 0.0]
    >>> layout.steps[3].words[:42]
    'Join each mark on the base line to the mar'
    """
    if name not in LAYOUTS:
        raise ValueError(f"{name!r} is no layout: they are {', '.join(LAYOUTS)}.")
    if isinstance(divisions, bool) or int(divisions) != divisions or not 2 <= divisions <= MOST_DIVISIONS:
        raise ValueError(f"{divisions!r} divisions: take a whole number from 2 to {MOST_DIVISIONS}.")
    if not (0 < camber < half_breadth):
        raise ValueError(
            f"camber {camber:g} mm on a half-breadth of {half_breadth:g} mm: a camber is above nought and below the "
            "half-breadth. Were the two exchanged?"
        )
    beam = Beam(float(half_breadth), float(camber), int(divisions), units)
    steps, points_y, points_z = DRAWN[name](beam)
    whole = name in ("three nails and two sticks", "sprung batten")
    y = np.linspace(0.0, beam.half, 121)
    rise = layout_curve(name, beam.half, beam.camber, y)
    return Layout(name, beam.half, beam.camber, steps, points_y, points_z, y, rise, LEADS_TO[name], whole)
