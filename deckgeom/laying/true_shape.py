"""
The true shape of a panel: what to cut from the flat sheet so that it fits when it is bent down on the deck.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

from deckgeom.deck._closed import closed
from deckgeom.laying.lie_down_panel import Panel
from deckgeom.laying.true_shape_flat import flatten
from deckgeom.laying.true_shape_mesh import Mesh, panel_mesh

__all__ = ["FlatPanel", "Panel", "true_shape", "turned_to"]


@dataclass(frozen=True, eq=False)
class FlatPanel:
    """
    A panel laid flat with the least strain. Made by `true_shape`.

    Parameters
    ----------
    panel : Panel
    mesh : Mesh
        The panel as triangles on the deck.
    flat : (n, 2) float
        The same nodes laid flat, turned to lie as nearly as can be as they lie in plan. Seen from above with aft to the
        right, starboard is up. [mm]
    stretch, squeeze : (t,) float
        Greatest and least principal strain of the sheet in each triangle, on the deck, stretched positive. [1]
    area : (t,) float
        Of each triangle. [mm^2]
    grain_deg : float
        Direction of the face grain in the flat, at the panel's middle: from aft towards starboard. [deg]

    Examples
    --------
    See `true_shape`.

    >>> FlatPanel.__name__
    'FlatPanel'
    """

    panel: Panel
    mesh: Mesh = field(repr=False)
    flat: np.ndarray = field(repr=False)
    stretch: np.ndarray = field(repr=False)
    squeeze: np.ndarray = field(repr=False)
    area: np.ndarray = field(repr=False)
    grain_deg: float

    def __post_init__(self) -> None:
        """Copy and close the arrays."""
        for name in ("flat", "stretch", "squeeze", "area"):
            object.__setattr__(self, name, closed(getattr(self, name)))

    @property
    def greatest_strain(self) -> float:
        """Greatest of all, stretched or squeezed, without its sign. [1]"""
        return float(max(np.abs(self.stretch).max(), np.abs(self.squeeze).max()))

    @property
    def rms_strain(self) -> float:
        """Root of the mean square over the area, both principal strains taken together. [1]"""
        return float(np.sqrt(self.area @ (self.stretch**2 + self.squeeze**2) / self.area.sum()))

    @property
    def true_area(self) -> float:
        """Of the flat outline. [m2]"""
        u, v = self.outline().T
        return float(abs(u @ np.roll(v, -1) - v @ np.roll(u, -1))) / 2e6

    def outline(self) -> np.ndarray:
        """The flat outline, (m, 2): aft along the low edge, back along the high one. [mm]"""
        return self.flat[self.mesh.outline()]

    def edge(self, which: str) -> np.ndarray:
        """
        One long edge laid flat, from its forward end, (rows, 2). [mm]

        Parameters
        ----------
        which : {"inner", "outer"}
            Nearer to the centreline, or farther from it.
        """
        if which not in ("inner", "outer"):
            raise ValueError(f"edge {which!r}: a panel has an inner edge, nearer to the centreline, and an outer one.")
        near_low = np.mean(np.abs(self.panel.low)) <= np.mean(np.abs(self.panel.high))
        return self.flat[self.mesh.grid[:, 0 if near_low == (which == "inner") else -1]]

    def straightness(self, which: str) -> float:
        """How far a long edge lies off the straight line joining its ends, at most. [mm]"""
        line = self.edge(which)
        way = line[-1] - line[0]
        off = (line - line[0]) @ np.array([-way[1], way[0]]) / np.hypot(*way)
        return float(np.max(np.abs(off)))

    def place(self, x, y) -> np.ndarray:
        """
        Where places of the deck come to lie in the flat, (m, 2). [mm]

        Parameters
        ----------
        x, y : (m,) array
            In plan, within the panel. [mm]
        """
        x, y = (np.atleast_1d(np.asarray(v, float)) for v in (x, y))
        share, triangle = _shares(self.mesh, x, y)
        return np.einsum("mi,mic->mc", share, self.flat[self.mesh.triangles[triangle]])

    def words(self, units: str = "mm", factory_gap: float = 1.0) -> tuple[str, ...]:
        """What came out, in sentences."""
        from deckgeom.laying.true_shape_words import flat_words

        return flat_words(self, units, factory_gap)


def _shares(mesh: Mesh, x, y) -> tuple[np.ndarray, np.ndarray]:
    """Triangle in plan that holds each place, and the place's share of its corners."""
    px, py = mesh.x[mesh.triangles], mesh.y[mesh.triangles]
    twice = (px[:, 1] - px[:, 0]) * (py[:, 2] - py[:, 0]) - (px[:, 2] - px[:, 0]) * (py[:, 1] - py[:, 0])
    shares = []
    for i in range(3):
        j, k = (i + 1) % 3, (i + 2) % 3
        dx, dy = px[:, j] - x[:, None], py[:, j] - y[:, None]
        shares.append((dx * (py[:, k] - y[:, None]) - (px[:, k] - x[:, None]) * dy) / twice)
    shares = np.stack(shares, axis=-1)
    inside = shares.min(axis=-1)
    best = np.argmax(inside, axis=1)
    at = np.arange(len(x))
    worst = int(np.argmin(inside[at, best]))
    if inside[worst, best[worst]] < -1e-3:
        raise ValueError(
            f"({x[worst]:g}, {y[worst]:g}) mm is not on the panel, which runs from {mesh.x.min():g} to "
            f"{mesh.x.max():g} mm along and from {mesh.y.min():g} to {mesh.y.max():g} mm off the centreline. Is it on "
            "the other side?"
        )
    return shares[at, best], best


def turned_to(flat: np.ndarray, plan: np.ndarray) -> np.ndarray:
    """
    A flat shape moved and turned, not mirrored, to lie nearest to another.

    Parameters
    ----------
    flat, plan : (n, 2) array
        The same points in both. [mm]

    Returns
    -------
    (n, 2) array
        [mm]

    Examples
    --------
    >>> turned_to(np.array([[0.0, 0.0], [0.0, 2.0]]), np.array([[5.0, 5.0], [7.0, 5.0]])).round(9).tolist()
    [[5.0, 5.0], [7.0, 5.0]]
    """
    here, there = flat.mean(axis=0), plan.mean(axis=0)
    a, b = flat - here, plan - there
    angle = np.arctan2(np.sum(a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0]), np.sum(a * b))
    c, s = np.cos(angle), np.sin(angle)
    return a @ np.array([[c, s], [-s, c]]) + there


def _grain(panel: Panel, mesh: Mesh, flat: np.ndarray) -> float:
    """Direction of the face grain in the flat, amid the nodes round the panel's middle, in (-90, 90]."""
    g, (i, j) = mesh.grid, (n // 2 for n in mesh.grid.shape)
    fore, aft, port, starboard = g[max(i - 1, 0), j], g[min(i + 1, len(g) - 1), j], g[i, j - 1], g[i, j + 1]
    at = np.column_stack([mesh.x, mesh.y])
    plan = np.array([at[aft] - at[fore], at[starboard] - at[port]])
    laid = np.array([flat[aft] - flat[fore], flat[starboard] - flat[port]])
    angle = np.radians(panel.grain_deg)
    # least squares: the outermost sliver of a stem may have no breadth at all
    way = np.linalg.lstsq(plan.T, np.array([np.cos(angle), np.sin(angle)]), rcond=None)[0] @ laid
    return float(90 - (90 - np.degrees(np.arctan2(way[1], way[0]))) % 180)


def true_shape(deck, panel: Panel, size: float = 125.0, columns: int | None = None) -> FlatPanel:
    """
    Lay a panel of the deck flat with the least strain.

    Parameters
    ----------
    deck : Deck
        Anything with ``partials(x, y, order, which)``.
    panel : Panel
        Its middle is laid flat: the sheet is bent, so that its underside is squeezed and its top stretched.
    size : float
        Of the triangles. [mm]
    columns : int, optional
        Squares across, instead of by size.

    Returns
    -------
    FlatPanel

    Notes
    -----
    On a cylinder or a cone nothing strains and the shape is the unrolled one; see `flatten` for the rest.

    References
    ----------
    M. do Carmo, *Differential Geometry of Curves and Surfaces*, 4-3 (surfaces that unroll keep all lengths).

    Examples
    --------
    >>> from math import asin
    >>> from deckgeom.deck.crown import OneMould
    >>> from deckgeom.deck.surface import Deck
    >>> from deckgeom.hull.sheer import Sheer
    >>> level = lambda height: lambda x, order=0: (height if order == 0 else 0.0) + 0.0 * x
    >>> deck = Deck(Sheer.from_curves(level(1500), level(800), start=0, end=6000), OneMould("circle", "1:30"))
    >>> sheet = true_shape(deck, Panel.rectangle("1", (0, 2440), (0, 1200), lift=0.0))
    >>> abs(sheet.true_area - 2440 * 11300 * asin(1200 / 11300) / 1e6) < 1e-9, sheet.greatest_strain < 1e-9
    (True, True)
    """
    mesh = panel_mesh(deck, panel, size, columns)
    plan = np.column_stack([mesh.x, mesh.y])
    far = int(np.argmax(np.sum((plan - plan[0]) ** 2, axis=1)))
    flat, strain, area = flatten(mesh.triangles, mesh.sides, plan, (0, far))
    flat = turned_to(flat, plan)
    one, other, shear = strain[:, 0, 0], strain[:, 1, 1], strain[:, 0, 1]
    middle, half = -(one + other) / 2, np.hypot(one - other, 2 * shear) / 2
    return FlatPanel(panel, mesh, flat, middle + half, middle - half, area, _grain(panel, mesh, flat))
