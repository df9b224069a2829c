"""
One pattern for both sides, only where the sides agree.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from deckgeom.laying.lie_down_panel import Panel
from deckgeom.laying.true_shape import FlatPanel, _turned_to, true_shape
from deckgeom.units import format_length

__all__ = ["MirroredPair", "mirrored_pair"]


@dataclass(frozen=True, eq=False)
class MirroredPair:
    """
    A panel of each side, and how far one turned over is from the other. Made by `mirrored_pair`.

    Parameters
    ----------
    port, starboard : FlatPanel
    apart : float
        Greatest distance between the same place of both outlines, one turned over and laid on the other. [mm]
    apart_x : float
        Where along the boat that is. [mm]
    gap : float
        Up to which one pattern serves both. [mm]

    Examples
    --------
    See `mirrored_pair`.

    >>> MirroredPair.__name__
    'MirroredPair'
    """

    port: FlatPanel
    starboard: FlatPanel
    apart: float
    apart_x: float
    gap: float

    @property
    def one_pattern(self) -> bool:
        """Whether one pattern, turned over, serves both sides."""
        return self.apart <= self.gap

    def words(self, units: str = "mm") -> str:
        """In one sentence."""
        at = format_length(self.apart_x, units)
        by = f"the sides differ by {format_length(self.apart, units)} at {at} along the boat"
        gap = format_length(self.gap, units)
        if self.one_pattern:
            return f"Cut both from one pattern, turned over for the other side: {by}, within the gap of {gap}."
        return f"Mark port and starboard out apart: {by}, more than the gap of {gap}."


def mirrored_pair(deck, port: Panel, starboard: Panel, gap: float = 2.0, size: float = 125.0) -> MirroredPair:
    """
    Lay the same panel of both sides flat and compare them.

    Parameters
    ----------
    deck : Deck
    port, starboard : Panel
        With the same stations.
    gap : float
        Up to which one pattern serves both; common practice, no source. [mm]
    size : float
        Of the triangles. [mm]

    Returns
    -------
    MirroredPair

    Examples
    --------
    >>> from deckgeom.deck.crown import SameProportion
    >>> from deckgeom.deck.even_hull import even_hull
    >>> from deckgeom.deck.surface import Deck
    >>> deck = Deck(even_hull(rise=200), SameProportion("circle", "1:30"))
    >>> starboard = Panel.rectangle("1", (-500, 500), (0, 600))
    >>> pair = mirrored_pair(deck, starboard.mirrored(), starboard)
    >>> pair.one_pattern, pair.apart < 1e-6
    (True, True)
    """
    if not np.array_equal(port.x, starboard.x):
        raise ValueError(
            f"Panels {port.name} and {starboard.name} have other stations ({port.x[0]:g} to {port.x[-1]:g} and "
            f"{starboard.x[0]:g} to {starboard.x[-1]:g} mm): give both the same, or mirror one."
        )
    if not (np.isfinite(gap) and gap >= 0):
        raise ValueError(f"a gap of {gap:g} mm: it is nought or more. Is it left blank?")
    right = true_shape(deck, starboard, size)
    left = true_shape(deck, port, size, columns=right.mesh.grid.shape[1] - 1)
    grid_left, grid_right = left.mesh.grid[:, ::-1], right.mesh.grid
    outline = np.s_[:, [0, -1]]
    one = left.flat[grid_left[outline].ravel()] * [1.0, -1.0]
    other = right.flat[grid_right[outline].ravel()]
    off = np.hypot(*(_turned_to(one, other) - other).T)
    worst = int(np.argmax(off))
    x = right.mesh.x[grid_right[outline].ravel()[worst]]
    return MirroredPair(left, right, float(off[worst]), float(x), float(gap))
