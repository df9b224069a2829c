"""
The shape that a mast or a bar cuts out of the deck where it goes through at an angle.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

__all__ = ["Cut", "axis_of", "cut_by_deck"]


@dataclass(frozen=True)
class Cut:
    """
    Where something long and straight goes through the plane that touches the deck. Made by `cut_by_deck`.

    Parameters
    ----------
    long, broad : float
        Along the plane: the longest and the shortest way of an oval; otherwise the sides that run fore-and-aft and
        athwart. [mm]
    long_way_deg : float
        Direction in plan of an oval's longest way, from aft to starboard, above -90 and up to 90. [deg]
    reach_x, reach_y : float
        From its middle to its outermost points in plan, along the boat and across it. [mm]

    Examples
    --------
    >>> Cut(140.3, 140.0, 0.0, 70.2, 70.0).reach_x
    70.2
    """

    long: float
    broad: float
    long_way_deg: float
    reach_x: float
    reach_y: float


def axis_of(rake_deg: float, lean_deg: float) -> np.ndarray:
    r"""
    Direction of something that leans, upwards.

    Parameters
    ----------
    rake_deg : float
        Off plumb seen from the side, the top aft. [deg]
    lean_deg : float
        Off plumb seen from aft, the top to starboard. [deg]

    Returns
    -------
    (3,) ndarray
        Of length 1: aft, to starboard, up. [1]

    Notes
    -----
    .. math:: a = (\tan r, \tan l, 1) / |(\tan r, \tan l, 1)|

    Examples
    --------
    >>> axis_of(0.0, 0.0).tolist()
    [0.0, 0.0, 1.0]
    """
    way = np.array([np.tan(np.radians(rake_deg)), np.tan(np.radians(lean_deg)), 1.0])
    return way / np.linalg.norm(way)


def cut_by_deck(slope_aft: float, slope_starboard: float, rake_deg: float, lean_deg: float,
                sizes: tuple[float, float], round_: bool = False) -> Cut:  # fmt: skip
    r"""
    What a mast or a bar cuts out of a plane.

    Parameters
    ----------
    slope_aft, slope_starboard : float
        Rise of the plane going aft and going to starboard. [1]
    rake_deg, lean_deg : float
        Of the mast, its top aft and to starboard. [deg]
    sizes : (float, float)
        Square to the mast, fore-and-aft and athwart. [mm]
    round_ : bool
        Whether it is a circle or an oval of these sizes rather than a rectangle.

    Returns
    -------
    Cut

    Notes
    -----
    Half the sizes times the mast's own two directions, carried along it into the plane,

    .. math:: c = r - a\,(r \cdot n) / (a \cdot n)

    are two sides of the rectangle, or the columns of a matrix whose singular values are the oval's half axes.

    References
    ----------
    G. H. Golub, C. F. Van Loan, *Matrix Computations*, 2.4: a matrix makes of a circle an oval, whose half axes are its
    singular values.

    Examples
    --------
    >>> cut = cut_by_deck(0.0, 0.0, 6.0, 0.0, (140.0, 140.0), round_=True)
    >>> round(cut.long, 3), round(cut.broad, 3), abs(cut.long_way_deg) < 1e-9
    (140.771, 140.0, True)
    """
    axis = axis_of(rake_deg, lean_deg)
    normal = np.array([-slope_aft, -slope_starboard, 1.0]) / np.sqrt(1 + slope_aft**2 + slope_starboard**2)
    athwart = np.array([0.0, axis[2], -axis[1]]) / np.hypot(axis[1], axis[2])
    ring = np.column_stack([np.cross(athwart, axis) * sizes[0] / 2, athwart * sizes[1] / 2])
    sides = ring - np.outer(axis, normal @ ring) / (axis @ normal)
    if not round_:
        long, broad = 2 * np.linalg.norm(sides, axis=0)
        reach = np.abs(sides).sum(axis=1)
        return Cut(float(long), float(broad), 0.0, float(reach[0]), float(reach[1]))
    ways, halves, _ = np.linalg.svd(sides, full_matrices=False)
    even = halves[0] - halves[1] < 1e-9 * halves[0]
    turn = 0.0 if even else float(np.degrees(np.arctan2(ways[1, 0], ways[0, 0])))
    reach = np.hypot(*sides.T)
    return Cut(*(2 * float(h) for h in halves), 90 - (90 - turn) % 180, float(reach[0]), float(reach[1]))
