"""
A panel as triangles on the real surface, each edge as long as the shortest way over the surface between its ends.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from deckgeom.deck._closed import closed

__all__ = ["Mesh", "panel_mesh"]

#: Squares across a panel: no fewer and no more.
FEWEST, MOST = 4, 24


@dataclass(frozen=True, eq=False)
class Mesh:
    """
    Triangles over a panel. Made by `panel_mesh`.

    Parameters
    ----------
    x, y : (n,) float
        Nodes in plan, under (square to the surface) the middle of the sheet. [mm]
    points : (n, 3) float
        Nodes in the middle of the sheet. [mm]
    triangles : (t, 3) int
        Corners, turning from aft to starboard.
    sides : (t, 3) float
        Lengths over the surface of the sides opposite each corner. [mm]
    grid : (rows, columns) int
        Node of each place, along the boat by from the low edge to the high one; a row that is a point repeats its node.

    Examples
    --------
    >>> Mesh([0, 1, 0], [0, 0, 1], [[0, 0, 0], [1, 0, 0], [0, 1, 0]], [[0, 1, 2]], [[1.4, 1, 1]], [[0]]).triangles.shape
    (1, 3)
    """

    x: np.ndarray
    y: np.ndarray
    points: np.ndarray
    triangles: np.ndarray
    sides: np.ndarray
    grid: np.ndarray

    def __post_init__(self) -> None:
        """Copy and close the arrays."""
        for name in ("x", "y", "points", "sides"):
            object.__setattr__(self, name, closed(getattr(self, name)))
        for name in ("triangles", "grid"):
            object.__setattr__(self, name, closed(getattr(self, name), int))

    def outline(self) -> np.ndarray:
        """Nodes along the outline, (m,): aft along the low edge, back along the high one, none twice."""
        g = self.grid
        ring = np.concatenate([g[:, 0], g[-1, 1:], g[-2::-1, -1], g[0, -2:0:-1]])
        keep = np.append(ring[1:] != ring[:-1], ring[-1] != ring[0])
        return ring[keep]


def panel_mesh(deck, panel, size: float = 125.0, columns: int | None = None) -> Mesh:
    r"""
    Lay triangles over a panel.

    Parameters
    ----------
    deck : Deck
        Anything with ``partials(x, y, order, which)``.
    panel : Panel
    size : float
        No triangle is longer than about this, fore and aft or athwart. [mm]
    columns : int, optional
        Squares across, instead of by size.

    Returns
    -------
    Mesh

    Notes
    -----
    .. math:: s = c \left( 1 + \frac{(k c)^2}{24} \right)

    for the way s over the surface along a chord c, with k the surface's bend along it half-way: an arc against its
    chord, right to the fourth power of kc.

    Examples
    --------
    >>> from deckgeom.deck.crown import SameProportion
    >>> from deckgeom.deck.even_hull import even_hull
    >>> from deckgeom.deck.surface import Deck
    >>> from deckgeom.laying.lie_down_panel import Panel
    >>> deck = Deck(even_hull(), SameProportion("circle", "1:30"))
    >>> panel_mesh(deck, Panel.rectangle("1", (0, 1000), (0, 500)), size=250, columns=4).grid.shape
    (5, 5)
    """
    if not (np.isfinite(size) and size > 0):
        raise ValueError(f"triangles of {size:g} mm: their size is above 0. Is it left blank?")
    x, y, grid = _nodes(panel, size, columns)
    a, b, c, d = grid[:-1, :-1], grid[1:, :-1], grid[1:, 1:], grid[:-1, 1:]
    turned = (np.add.outer(np.arange(a.shape[0]), np.arange(a.shape[1])) % 2).astype(bool)[..., None]
    first = np.where(turned, np.stack([a, b, d], -1), np.stack([a, b, c], -1)).reshape(-1, 3)
    second = np.where(turned, np.stack([b, c, d], -1), np.stack([a, c, d], -1)).reshape(-1, 3)
    triangles = np.vstack([first, second])
    real = (triangles != np.roll(triangles, 1, axis=1)).all(axis=1)
    triangles = triangles[real]
    points = _lifted(deck, panel, x, y)
    pairs = np.sort(np.stack([np.roll(triangles, -1, 1), np.roll(triangles, 1, 1)], -1).reshape(-1, 2), axis=1)
    edges, back = np.unique(pairs, axis=0, return_inverse=True)
    sides = _over_surface(deck, panel, x, y, points, edges)[back.ravel()].reshape(-1, 3)
    return Mesh(x, y, points, triangles, sides, grid)


def _nodes(panel, size: float, columns: int | None):
    """Nodes in plan and their grid; rows that are a point keep one node."""
    longest = np.max([np.diff(panel.x), np.abs(np.diff(panel.low)), np.abs(np.diff(panel.high))], axis=0)
    parts = np.maximum(1, np.ceil(longest / size - 1e-9)).astype(int)
    spans = zip(panel.x[:-1], panel.x[1:], parts, strict=True)
    x = np.concatenate([*(a + (b - a) * np.arange(n) / n for a, b, n in spans), panel.x[-1:]])
    # an even number, so that the triangles of a mirrored panel are mirrored too
    columns = columns or 2 * int(np.ceil(np.clip(panel.breadth / size, FEWEST, MOST) / 2))
    low, high = panel.edges(x)
    y = low[:, None] + (high - low)[:, None] * np.linspace(0, 1, columns + 1)
    new = np.ones(y.shape, bool)
    new[:, 1:] = (high - low > 1e-6 * panel.breadth)[:, None]
    grid = np.cumsum(new.ravel()).reshape(y.shape) - 1
    return np.broadcast_to(x[:, None], y.shape)[new], y[new], grid


def _lifted(deck, panel, x, y) -> np.ndarray:
    z, p, q = deck.partials(x, y, 1, panel.which)[:3]
    return np.column_stack([x, y, z]) + panel.lift * np.column_stack([-p, -q, np.ones_like(p)]) / np.sqrt(
        1 + p * p + q * q
    )[:, None]


def _over_surface(deck, panel, x, y, points, edges) -> np.ndarray:
    """Length over the lifted surface of each edge."""
    i, j = edges.T
    chord = np.linalg.norm(points[j] - points[i], axis=1)
    _, p, q, xx, xy, yy = deck.partials((x[i] + x[j]) / 2, (y[i] + y[j]) / 2, 2, panel.which)
    way, w = np.column_stack([x[j] - x[i], y[j] - y[i]]), np.sqrt(1 + p * p + q * q)
    first = np.array([[1 + p * p, p * q], [p * q, 1 + q * q]])
    second = np.array([[xx, xy], [xy, yy]]) / w
    inverse = np.array([[1 + q * q, -p * q], [-p * q, 1 + p * p]]) / w**2
    third = np.einsum("abn,bcn,cdn->adn", second, inverse, second)
    bend = np.einsum("na,abn,nb->n", way, second - panel.lift * third, way)
    bend /= np.einsum("na,abn,nb->n", way, first - 2 * panel.lift * second + panel.lift**2 * third, way)
    return chord * (1 + (bend * chord) ** 2 / 24)
