"""
The crown rule that cannot be found by hand: the cambers nearest to the wanted ones whose crown line bends one way only.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from .bent_line import BentLine
from .camber import CamberError, shape_named
from .crown import Crown, OneMould, SameProportion, least_ratio
from .figure import CamberFigure
from .humps import HOLLOW, ROUND, straight_within, way_of
from .lines import centre_of_edges, from_line

#: Places along the boat at which the bend of the crown line is free.
KNOTS = 41

#: No beam gets more than this many times the camber that the figure gives it in proportion. No source: it keeps the
#: crown down where the deck narrows to nothing.
MOST_TIMES = 2.0

#: What rounding may take off the least camber. [mm]
ROUNDING = 1e-6


class NoHumpImpossible(CamberError):
    """
    No crown line bends one way only and leaves the least camber everywhere.

    Attributes
    ----------
    x : float
        Where it is most wanting. [mm]
    allowed, least : float
        The most camber that a crown line without a hump can leave there, when the lack is shared out as evenly as may
        be, and the least that is asked. [mm]
    """

    def __init__(self, x: float, allowed: float, least: float, way: str):
        self.x, self.allowed, self.least, self.way = x, allowed, least, way
        super().__init__(
            f"no crown line that is {way} or straight leaves the least camber everywhere: at x = {x:.0f} mm it allows "
            f"{allowed:.1f} mm where {least:.1f} mm is the least. Ask for less least camber, let the crown line bend "
            "the other way, or take another rule"
        )


@dataclass(frozen=True, eq=False)
class NoHump:
    """
    Cambers as near as may be to the wanted ones, with a crown line that bends one way only.

    Parameters
    ----------
    shape : str or curve
        "circle", "parabola", "quarter-circle" or a drawn section.
    figure : CamberFigure, str or float
        The wanted camber, as for the rule that it starts from.
    least : CamberFigure, str or float, optional
        Least camber that every beam keeps, as a ratio of its breadth.
    way : str
        "sheer" (as the sheer bends, or straight), "hollow" (ends high) or "round" (ends low).
    start_from : str
        "same proportion" or "one mould": which cambers are the wanted ones.

    Notes
    -----
    The crown line is a curve whose bend (second derivative) runs straight between 41 places, nowhere of the wrong sign.
    Of all such lines that leave the least camber, and at most twice the figure in proportion, the one is taken whose
    cambers differ least from the wanted ones in the sum of squares along the boat: a convex programme, solved as a
    least-distance problem by non-negative least squares [1]_. Where the wanted cambers are without a hump already they
    are kept unchanged. A sheer that is straight leaves the way free, and the nearer line is taken.

    References
    ----------
    .. [1] C. L. Lawson, R. J. Hanson, *Solving Least Squares Problems*, chapter 23.

    Examples
    --------
    >>> NoHump("circle", "1:32", least="1:60").name
    'no hump'
    """

    shape: object
    figure: CamberFigure | str | float | None = None
    least: object = None
    way: str = "sheer"
    start_from: str = "same proportion"
    name = "no hump"

    def __post_init__(self):
        if self.way not in ("sheer", HOLLOW, ROUND):
            raise CamberError(f'way {self.way!r}: the crown line bends as the "sheer", "{HOLLOW}" or "{ROUND}".')
        if self.start_from not in ("same proportion", "one mould"):
            raise CamberError(f'start_from {self.start_from!r}: it is "same proportion" or "one mould".')

    def on(self, sheer) -> Crown:
        """
        Lay the rule on a hull.

        Raises
        ------
        NoHumpImpossible
            Where the least camber leaves no such line; says where.
        """
        base = (OneMould if self.start_from == "one mould" else SameProportion)(self.shape, self.figure).on(sheer)
        least = least_ratio(self.least, base.widest_half)
        ways, best, impossible = _ways(self.way, base), None, None
        for way in ways:
            if _already(base, way, least):
                notes = ("The wanted cambers have no hump: none was changed.",)
                return Crown(self, sheer, base.shape, base.wanted, base.mould, asked=base.wanted, notes=notes)
        for way in ways:
            try:
                line, off = _nearest_line(base, way, least)
            except NoHumpImpossible as wrong:
                impossible = impossible or wrong
                continue
            if best is None or off < best[1]:
                best = line, off, way
        if best is None:
            raise impossible
        asked = base.wanted
        crown = Crown(self, sheer, shape_named(self.shape), from_line(best[0]), asked=asked)
        object.__setattr__(crown, "notes", (_told(crown, best[2]),))
        return crown

    def why(self, units: str = "mm") -> str:
        """In words, where the camber comes from."""
        return f"the cambers nearest to {self.start_from} whose crown line has no hump"


def _ways(way: str, base: Crown) -> tuple[str, ...]:
    if way != "sheer":
        return (way,)
    x = np.linspace(base.sheer.start, base.sheer.end, 201)
    z = centre_of_edges(base.edges(x))[0]
    return (HOLLOW, ROUND) if straight_within(x, z) else (way_of(x, z),)


def _already(base: Crown, way: str, least: float) -> bool:
    """Whether the wanted cambers have no hump and are not below the least."""
    sheer = base.sheer
    x = np.linspace(sheer.start, sheer.end, 401)
    edges = base.edges(x, 2)
    c = base.cambers(edges, x)
    bend = (centre_of_edges(edges)[2] + c[2]) * (1 if way == HOLLOW else -1)
    sag = (sheer.end - sheer.start) ** 2 / 8
    return bool(np.min(bend) * sag > -0.01 and np.all(c[0] >= least * edges.breadth[0] - ROUNDING))


def _nearest_line(base: Crown, way: str, least: float) -> tuple[BentLine, float]:
    """The crown line nearest to the wanted one, and the root of the mean square by which its cambers differ."""
    sheer = base.sheer
    line = BentLine.free(sheer.start, sheer.end, KNOTS)
    x, rows = line.rows()
    edges = base.edges(x)
    z, wide = centre_of_edges(edges)[0], edges.breadth[0]
    wanted = base.wanted(edges, x)[0]
    most = MOST_TIMES * np.maximum(base.wanted_ratio * wide, wanted)
    unit = max(float(np.max(wanted)), 1e-9)
    sign = 1.0 if way == HOLLOW else -1.0
    bends = np.zeros((KNOTS, KNOTS + 2))
    bends[:, 2:] = sign * np.eye(KNOTS)
    floor = np.maximum(least * wide, 0.0)
    most = np.maximum(most, floor) + 1e-3
    g = np.vstack([bends, rows, -rows])
    h = np.concatenate([np.zeros(KNOTS), (z + floor) / unit, -(z + most) / unit])
    weight = np.sqrt(np.gradient(x) / (x[-1] - x[0]))
    v = least_squares_within(weight[:, None] * rows, weight * (z + wanted) / unit, g, h)
    if v is None:
        raise NoHumpImpossible(*_wanting(bends, rows, z, floor, most, x, unit), way)
    off = float(np.sqrt(np.sum((weight * (rows @ v * unit - z - wanted)) ** 2)))
    return line.filled(v * unit), off


def least_squares_within(e, f, g, h):
    """
    Least ``|E v - f|`` with G v >= h.

    Parameters
    ----------
    e, f : ndarray, shape (m, n) and (m,)
        E of full column rank.
    g, h : ndarray, shape (p, n) and (p,)

    Returns
    -------
    ndarray, shape (n,), or None
        None where no v obeys the bounds.

    Notes
    -----
    Turned by a QR step into the least distance from a point to a polyhedron, whose dual is a non-negative least-squares
    problem [1]_.

    References
    ----------
    .. [1] C. L. Lawson, R. J. Hanson, *Solving Least Squares Problems*, chapter 23, sections 4 and 5.

    Examples
    --------
    >>> import numpy as np
    >>> least_squares_within(np.eye(2), np.array([1.0, 1.0]), np.array([[-1.0, -1.0]]), np.array([-1.0])).round(9)
    array([0.5, 0.5])
    """
    from scipy.linalg import solve_triangular
    from scipy.optimize import lsq_linear

    q, r = np.linalg.qr(e)
    turned = solve_triangular(r, g.T, trans="T").T
    size = np.maximum(np.linalg.norm(turned, axis=1), 1e-300)
    turned, short = turned / size[:, None], (h - turned @ (q.T @ f)) / size
    if np.all(short <= 0):
        return solve_triangular(r, q.T @ f)
    scale = float(np.max(np.abs(short)))
    a = np.vstack([turned.T, short / scale])
    b = np.zeros(a.shape[0])
    b[-1] = 1.0
    u = lsq_linear(a, b, bounds=(0.0, np.inf), method="bvls", tol=1e-14, max_iter=20 * a.shape[1]).x
    slope = a.T @ (a @ u - b)
    if min(float(slope.min()), float(-np.abs(slope * u).max())) < -1e-7:
        raise CamberError(
            "the search for a crown line without a hump did not come to its end. Ask for less least camber, or take "
            "another rule"
        )
    rest = a @ u - b
    if rest[-1] > -1e-10:
        return None
    return solve_triangular(r, -rest[:-1] / rest[-1] * scale + q.T @ f)


def _wanting(bends, rows, z, floor, most, x, unit: float) -> tuple[float, float, float]:
    """Where the least camber is most wanting when the lack is shared as evenly as may be."""
    from scipy.optimize import linprog

    n = rows.shape[1]
    one = np.ones((len(z), 1))
    a = np.vstack([
        np.hstack([-bends, np.zeros((len(bends), 1))]),
        np.hstack([-rows, -one]),
        np.hstack([rows, 0 * one]),
    ])  # fmt: skip
    b = np.concatenate([np.zeros(len(bends)), -(z + floor) / unit, (z + most) / unit])
    free = [(None, None)] * n + [(0, None)]
    found = linprog(np.append(np.zeros(n), 1.0), A_ub=a, b_ub=b, bounds=free, method="highs")
    camber = rows @ found.x[:n] * unit - z
    i = int(np.argmax(floor - camber))
    return float(x[i]), float(camber[i]), float(floor[i])


def _told(crown: Crown, way: str) -> str:
    """Which cambers were changed and by how much, in words."""
    x = np.linspace(crown.sheer.start, crown.sheer.end, 201)
    change = crown.changes(x)
    parts = []
    for i, word in ((int(np.argmax(change)), "up"), (int(np.argmin(change)), "down")):
        if abs(change[i]) >= 0.5:
            now = float(crown.camber(x[i]))
            parts.append(f"most {word} at x = {x[i]:.0f} mm, from {now - change[i]:.0f} to {now:.0f} mm")
    said = "; ".join(parts) or "by less than half a millimetre"
    return f"To keep the crown line {way} or straight the cambers were changed: {said}."
