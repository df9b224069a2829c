"""
One pattern for both sides, only where the sides agree.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from deckgeom.laying.lie_down_panel import Panel
from deckgeom.laying.true_shape import FlatPanel, true_shape, turned_to
from deckgeom.units import format_length

__all__ = ["MirroredPair", "mirrored_pair", "pairs_of"]

NONE = 0.5
"""Sides that differ less do not differ on a tape. [mm]"""
OWN = 5.0
"""A panel that reaches less over the centreline lies on one side. [mm]"""


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
        if self.apart < NONE:
            return "Cut both from one pattern, turned over for the other side: the sides do not differ."
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
        Compared where both are; where their ends lie farther apart, that is the difference.
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
    if not (np.isfinite(gap) and gap >= 0):
        raise ValueError(f"a gap of {gap:g} mm: it is nought or more. Is it left blank?")
    ends = np.abs(port.x[[0, -1]] - starboard.x[[0, -1]])
    port, starboard = _same_stations(port, starboard)
    right = true_shape(deck, starboard, size)
    left = true_shape(deck, port, size, columns=right.mesh.grid.shape[1] - 1)
    grid_left, grid_right = left.mesh.grid[:, ::-1], right.mesh.grid
    outline = np.s_[:, [0, -1]]
    one = left.flat[grid_left[outline].ravel()] * [1.0, -1.0]
    other = right.flat[grid_right[outline].ravel()]
    off = np.hypot(*(turned_to(one, other) - other).T)
    worst = int(np.argmax(off))
    apart, x = float(off[worst]), float(right.mesh.x[grid_right[outline].ravel()[worst]])
    if ends.max() > apart:
        apart, x = float(ends.max()), float(starboard.x[0 if ends[0] > ends[1] else -1])
    return MirroredPair(left, right, apart, x, float(gap))


def _same_stations(port: Panel, starboard: Panel) -> tuple[Panel, Panel]:
    """Both panels on the stations of both, where both are."""
    start, end = max(port.x[0], starboard.x[0]), min(port.x[-1], starboard.x[-1])
    if end - start < 0.5 * max(port.length, starboard.length):
        raise ValueError(
            f"Panels {port.name} and {starboard.name} lie from {port.x[0]:g} to {port.x[-1]:g} and from "
            f"{starboard.x[0]:g} to {starboard.x[-1]:g} mm: they are no pair. Is one of them another's?"
        )
    x = np.unique(np.r_[start, port.x, starboard.x, end])
    x = x[(x >= start) & (x <= end)]
    made = []
    for panel in (port, starboard):
        low, high = panel.edges(x)
        made.append(replace(panel, x=x, low=low, high=high))
    return made[0], made[1]


def pairs_of(deck, panels, gap: float = 2.0) -> tuple[MirroredPair, ...]:
    """
    Panels of both sides that lie opposite each other, compared.

    Parameters
    ----------
    deck : Deck
    panels : sequence of Panel
        Of one skin. Those across the centreline have no other.
    gap : float
        Up to which one pattern serves both; common practice, no source. [mm]

    Returns
    -------
    tuple of MirroredPair
        Each panel in one pair at most.

    Examples
    --------
    >>> from deckgeom.deck.crown import SameProportion
    >>> from deckgeom.deck.even_hull import even_hull
    >>> from deckgeom.deck.surface import Deck
    >>> deck = Deck(even_hull(rise=200), SameProportion("circle", "1:30"))
    >>> one = Panel.rectangle("S", (-500, 500), (0, 600))
    >>> [pair.one_pattern for pair in pairs_of(deck, [one, Panel.rectangle("P", (-500, 500), (-600, 0))])]
    [True]
    """
    port = [panel for panel in panels if panel.high.max() <= OWN]
    starboard = [panel for panel in panels if panel.low.min() >= -OWN]
    found = []
    for panel in port:
        shared = [(_shared(panel, other), k) for k, other in enumerate(starboard)]
        best, k = max(shared, default=(0.0, -1))
        if best > 0.5:
            found.append(mirrored_pair(deck, panel, starboard.pop(k), gap))
    return tuple(found)


def _shared(port: Panel, starboard: Panel) -> float:
    """How much of the larger of two panels, one turned over, lies on the other, by the rectangles round them."""
    along = min(port.x[-1], starboard.x[-1]) - max(port.x[0], starboard.x[0])
    across = min(-port.low.min(), starboard.high.max()) - max(-port.high.max(), starboard.low.min())
    rounds = [panel.length * (panel.high.max() - panel.low.min()) for panel in (port, starboard)]
    return float(max(along, 0.0) * max(across, 0.0) / max(rounds))
