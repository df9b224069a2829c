"""
A panel of the deck as it is drawn in plan: between two lines that run fore and aft.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from deckgeom.deck._closed import closed

__all__ = ["Panel"]

STATIONS = 97


@dataclass(frozen=True, eq=False)
class Panel:
    """
    A piece of plywood or a covering board, given by its place on the deck.

    Parameters
    ----------
    name : str
    x : (n,) float
        Stations along the boat, rising. [mm]
    low, high : (n,) float
        The panel's two long edges at them, starboard positive, low nowhere above high; straight in plan in between.
        [mm]
    thickness : float
        Of this one sheet, as measured. [mm]
    grain_deg : float
        Direction of the face grain in plan: 0 fore-and-aft, 90 athwart, turning from aft to starboard. [deg]
    which : {"beam", "deck"}
        The surface that its underside lies on: the tops of the beams, or the top of the deck.
    lift : float, optional
        From that surface to the middle of this sheet, square to it; half of the thickness unless given. A second skin
        lies higher by the first. [mm]

    Examples
    --------
    >>> panel = Panel.rectangle("1", (1000, 3440), (0, 1220), thickness=9)
    >>> panel.area, panel.length, panel.breadth
    (2.9768, 2440.0, 1220.0)
    """

    name: str
    x: np.ndarray
    low: np.ndarray
    high: np.ndarray
    thickness: float = 9.0
    grain_deg: float = 0.0
    which: str = "beam"
    lift: float | None = None

    def __post_init__(self) -> None:
        """Copy, close and check."""
        for name in ("x", "low", "high"):
            object.__setattr__(self, name, closed(getattr(self, name)))
        x, low, high = self.x, self.low, self.high
        if x.ndim != 1 or len(x) < 2 or not x.shape == low.shape == high.shape or not np.all(np.diff(x) > 0):
            raise ValueError(
                f"Panel {self.name}: {np.size(x)} stations for edges of {np.size(low)} and {np.size(high)}: give 2 or "
                "more rising x and as many edge distances. Is the list from aft to forward, or a station twice?"
            )
        if not np.all(np.isfinite([x, low, high])):
            raise ValueError(f"Panel {self.name}: a place on its edges is blank: fill it in or leave it out.")
        if np.any(low > high + 1e-9) or not np.any(high > low):
            at = int(np.argmax(low - high))
            raise ValueError(
                f"Panel {self.name}: at x {x[at]:g} mm its edges are {low[at]:g} and {high[at]:g} mm: the first lies "
                "to port of the second. Are the two swapped, or a port distance without its minus?"
            )
        if not (np.isfinite(self.thickness) and self.thickness > 0):
            raise ValueError(
                f"Panel {self.name}: a thickness of {self.thickness:g} mm: it is above 0. Is it left blank?"
            )
        if self.lift is None:
            object.__setattr__(self, "lift", self.thickness / 2)

    @classmethod
    def rectangle(cls, name: str, x: Sequence[float], y: Sequence[float], **more) -> Panel:
        """A panel that is a rectangle in plan: (x from, x to), (y from, y to). [mm]"""
        return cls(name, x, [y[0]] * 2, [y[1]] * 2, **more)

    @classmethod
    def from_outline(cls, name: str, outline, **more) -> Panel:
        """
        A panel from the corners of its outline in plan, (n, 2), in order either way round. [mm]

        Every line athwart may cut it once only, so that it has one port and one starboard edge.
        """
        points = np.asarray(outline, float)
        if len(points) > 1 and np.array_equal(points[0], points[-1]):
            points = points[:-1]
        if len(points) < 3:
            raise ValueError(f"Panel {name}: an outline of {len(points)} corners: give 3 or more.")
        points = np.roll(points, -int(np.lexsort((points[:, 1], points[:, 0]))[0]), axis=0)
        last = int(np.lexsort((-points[:, 1], points[:, 0]))[-1])
        one, other = points[: last + 1], np.vstack([points[last:], points[:1]])[::-1]
        for chain in (one, other):
            run, inside = np.diff(chain[:, 0]), (chain[1:, 0] > points[0, 0]) & (chain[1:, 0] < points[last, 0])
            back = np.flatnonzero((run < 0) | ((run == 0) & inside))
            if back.size:
                raise ValueError(
                    f"Panel {name}: its outline turns back or steps at ({chain[back[0], 0]:g}, "
                    f"{chain[back[0], 1]:g}): one of its edges has two places there. Is a corner out of order? If not, "
                    "divide it in two there."
                )
        x = np.unique(points[:, 0])
        edges = [_chain(x, chain) for chain in (one, other)]
        if np.sum(edges[0].sum(axis=0)) > np.sum(edges[1].sum(axis=0)):
            edges.reverse()
        return cls(name, x, edges[0][0], edges[1][1], **more)

    @classmethod
    def half_deck(cls, deck, side: str, x: Sequence[float], inset: float = 0.0, **more) -> Panel:
        """From the centreline to the deck edge of one side, or to `inset` short of it athwart. [mm]"""
        along = np.linspace(x[0], x[1], STATIONS)
        out = np.maximum(np.abs(deck.edge(side, along)[0]) - inset, 0.0)
        zero = np.zeros_like(along)
        low, high = (-out, zero) if side == "port" else (zero, out)
        return cls(more.pop("name", f"{side} half"), along, low, high, **more)

    @classmethod
    def covering_board(cls, deck, side: str, x: Sequence[float], width: float, **more) -> Panel:
        """Along the deck edge of one side, as broad as `width`, in plan and square to the edge. [mm]"""
        along = np.linspace(x[0], x[1], STATIONS)
        # the sheer runs on past its ends, as a batten does, so that the inner edge is right up to them
        spare = np.linspace(x[0] - width, x[1] + width, 4 * STATIONS)
        b, slope = (deck.sheer.half_breadth(side, spare, order) for order in (0, 1))
        root = np.sqrt(1 + slope * slope)
        foot, inner = spare + width * slope / root, b - width / root
        order = np.argsort(foot)
        outer = np.maximum(deck.sheer.half_breadth(side, along, 0), 0.0)
        inside = np.clip(np.interp(along, foot[order], inner[order]), 0.0, outer)
        low, high = (-outer, -inside) if side == "port" else (inside, outer)
        return cls(more.pop("name", f"{side} covering board"), along, low, high, **more)

    @property
    def area(self) -> float:
        """In plan. [m2]"""
        return float(np.trapezoid(self.high - self.low, self.x)) / 1e6

    @property
    def length(self) -> float:
        """Fore and aft. [mm]"""
        return float(self.x[-1] - self.x[0])

    @property
    def breadth(self) -> float:
        """Greatest, athwart. [mm]"""
        return float(np.max(self.high - self.low))

    def outline(self) -> np.ndarray:
        """Corners in plan, (m, 2): aft along the low edge and forward along the high one. [mm]"""
        return np.vstack([np.column_stack([self.x, self.low]), np.column_stack([self.x, self.high])[::-1]])

    def edges(self, x) -> tuple[np.ndarray, np.ndarray]:
        """Both edges at x. [mm]"""
        return np.interp(x, self.x, self.low), np.interp(x, self.x, self.high)

    def mirrored(self) -> Panel:
        """The same panel on the other side of the centreline."""
        return replace(self, name=f"{self.name}, mirrored", low=-self.high, high=-self.low, grain_deg=-self.grain_deg)

    def parts(self, count: int, seams: str) -> tuple[Panel, ...]:
        """
        The panel in equal parts.

        Parameters
        ----------
        count : int
        seams : {"fore-and-aft", "athwart"}
            Which way the seams run.
        """
        if seams not in ("fore-and-aft", "athwart"):
            raise ValueError(f"seams {seams!r}: they run fore-and-aft or athwart.")
        share = np.linspace(0, 1, count + 1)
        names = [f"{self.name}, part {i + 1}" for i in range(count)] if count > 1 else [self.name]
        if seams == "fore-and-aft":
            cut = self.low + share[:, None] * (self.high - self.low)
            return tuple(replace(self, name=n, low=cut[i], high=cut[i + 1]) for i, n in enumerate(names))
        at = self.x[0] + share * self.length
        found = []
        for i, name in enumerate(names):
            x = np.unique(np.concatenate([at[i : i + 2], self.x[(self.x > at[i]) & (self.x < at[i + 1])]]))
            low, high = self.edges(x)
            found.append(replace(self, name=name, x=x, low=low, high=high))
        return tuple(found)


def _chain(x: np.ndarray, chain: np.ndarray) -> np.ndarray:
    """Least and greatest y of a chain with rising x at each x: (2, n); they differ where it runs straight athwart."""
    y = np.interp(x, chain[:, 0], chain[:, 1])
    low, high = y.copy(), y.copy()
    for at, value in chain:
        i = int(np.searchsorted(x, at))
        low[i], high[i] = min(low[i], value), max(high[i], value)
    return np.array([low, high])
