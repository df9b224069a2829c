"""
The deck in plan as sheets see it: its edges, what goes through it, and the part of it between two joints.

Edges are taken as straight from station to closely spaced station, and everything here is exact on those.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

__all__ = ["Box", "DeckPlan", "deck_plan", "less_boxes", "outline_area"]

#: First words of a fitting that goes through the deck, and of one that no joint may pass through.
OPENINGS = ("hatch", "opening", "cockpit", "house", "cabin", "companion", "skylight", "deadlight", "vent", "mast")
KEPT_CLEAR = ("chainplate", "mast")
#: Breadths below this are none. [mm]
NONE = 1e-6


class Box(NamedTuple):
    """
    A rectangle in plan, square to the centreline.

    Attributes
    ----------
    what : str
    x0, x1, y0, y1 : float
        Forward, after, port and starboard limit; y starboard positive. [mm]

    Examples
    --------
    >>> Box("hatch", 2000, 2600, -300, 300).area
    360000
    """

    what: str
    x0: float
    x1: float
    y0: float
    y1: float

    @property
    def area(self) -> float:
        """[mm2]"""
        return (self.x1 - self.x0) * (self.y1 - self.y0)


class Strip(NamedTuple):
    """
    Part of the deck between two limits fore and aft and two athwart.

    Attributes
    ----------
    x, low, high : (n,) array
        Along the boat, and the port and the starboard edge there. [mm]

    Examples
    --------
    >>> Strip(np.array([0.0, 4.0]), np.zeros(2), np.array([3.0, 3.0])).area
    12.0
    """

    x: np.ndarray
    low: np.ndarray
    high: np.ndarray

    @property
    def outline(self) -> np.ndarray:
        """Corners in order, (m, 2), not closed."""
        there = np.column_stack([self.x, self.low])
        back = np.column_stack([self.x, self.high])[::-1]
        points = np.vstack([there, back])
        keep = np.any(np.abs(points - np.roll(points, 1, axis=0)) > NONE, axis=1)
        return points[keep]

    @property
    def area(self) -> float:
        """[mm2]"""
        wide = self.high - self.low
        return float(np.sum((wide[1:] + wide[:-1]) / 2 * np.diff(self.x)))


@dataclass(frozen=True, eq=False)
class DeckPlan:
    """
    A deck in plan.

    Parameters
    ----------
    x : (n,) array
        Along the boat, rising. [mm]
    port, starboard : (n,) array
        Centreline to the deck edge, unsigned. [mm]
    openings : tuple of Box
        Through the deck.
    clear_of : tuple of Box
        What no joint may pass through: chainplates, masts.
    complaints : tuple of str
        About fittings that could not be placed.

    Examples
    --------
    >>> plan = DeckPlan([0, 4000], [1000, 1000], [1000, 1000], (Box("hatch", 500, 1000, -250, 250),))
    >>> plan.area, plan.joint_length(750, -1000, 1000), plan.seam_length(0, 0, 4000)
    (7750000.0, 1500.0, 3500.0)
    """

    x: np.ndarray
    port: np.ndarray
    starboard: np.ndarray
    openings: tuple[Box, ...] = ()
    clear_of: tuple[Box, ...] = ()
    complaints: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        for name in ("x", "port", "starboard"):
            array = np.array(getattr(self, name), float)
            array.flags.writeable = False
            object.__setattr__(self, name, array)
        if len(self.x) < 2 or np.any(np.diff(self.x) <= 0) or not len(self.x) == len(self.port) == len(self.starboard):
            raise ValueError(
                f"a plan of {len(self.x)} stations from {self.x[:1]} to {self.x[-1:]} mm: x rises along two or more, "
                "with a half-breadth on each side. Are stations out of order?"
            )
        if min(self.port.min(), self.starboard.min()) < 0:
            raise ValueError("a half-breadth below 0: both sides are unsigned. Was port given as negative?")

    @property
    def start(self) -> float:
        """Forward end. [mm]"""
        return float(self.x[0])

    @property
    def end(self) -> float:
        """After end. [mm]"""
        return float(self.x[-1])

    def grown(self, margin: float) -> DeckPlan:
        """The deck with a margin all round, square to its edges, openings left out."""
        sides = []
        for half in (self.port, self.starboard):
            slope = np.abs(np.diff(half) / np.diff(self.x))
            steep = np.minimum(np.maximum(np.r_[slope, 0], np.r_[0, slope]), 3.0)
            out = half + margin * np.hypot(1, steep)
            sides.append(np.r_[out[0], out, out[-1]])
        return DeckPlan(np.r_[self.start - margin - NONE, self.x, self.end + margin + NONE], *sides)

    def strips(self, x0: float, x1: float, y0: float, y1: float) -> tuple[Strip, ...]:
        """
        The parts of the deck between two limits fore-and-aft and two athwart, openings not taken out.

        Parameters
        ----------
        x0, x1, y0, y1 : float
            Infinite where the deck's own edge is the limit. [mm]

        Returns
        -------
        tuple of Strip
            More than one where the edge runs out of the band and back.
        """
        x0, x1 = max(x0, self.start), min(x1, self.end)
        if x1 - x0 <= NONE:
            return ()
        nodes = [np.array([x0, x1]), self.x[(self.x > x0) & (self.x < x1)]]
        for half, levels in ((self.starboard, (y0, y1)), (self.port, (-y0, -y1))):
            nodes += [_crossings(self.x, half, level, x0, x1) for level in levels if np.isfinite(level)]
        x = np.unique(np.concatenate(nodes))
        x = x[np.r_[True, np.diff(x) > 1e-9]]
        low = np.maximum(y0, -np.interp(x, self.x, self.port))
        high = np.minimum(y1, np.interp(x, self.x, self.starboard))
        there = (high - low)[1:] + (high - low)[:-1] > NONE
        edges = np.flatnonzero(np.diff(np.r_[False, there, False].astype(int)))
        runs = [slice(a, b + 1) for a, b in zip(edges[::2], edges[1::2], strict=True)]
        return tuple(Strip(x[run], np.minimum(low, high)[run], high[run]) for run in runs)

    def joint_parts(self, x: float, y0: float, y1: float) -> tuple[tuple[float, float], ...]:
        """Where a joint straight across at x lies between two limits, from and to, openings left out. [mm]"""
        low = max(y0, -float(np.interp(x, self.x, self.port)))
        high = min(y1, float(np.interp(x, self.x, self.starboard)))
        return tuple(_less(low, high, [(o.y0, o.y1) for o in self.openings if o.x0 < x < o.x1]))

    def joint_length(self, x: float, y0: float, y1: float) -> float:
        """Length of a joint straight across at x between two limits, openings left out. [mm]"""
        return float(sum(b - a for a, b in self.joint_parts(x, y0, y1)))

    def seam_parts(self, y: float, x0: float, x1: float) -> tuple[tuple[float, float], ...]:
        """Where a fore-and-aft seam at y lies in the deck, from and to, openings left out. [mm]"""
        parts = []
        for strip in self.strips(x0, x1, y - 1e-4, y + 1e-4):
            holes = [(o.x0, o.x1) for o in self.openings if o.y0 < y < o.y1]
            parts += _less(float(strip.x[0]), float(strip.x[-1]), holes)
        return tuple(parts)

    def seam_length(self, y: float, x0: float, x1: float) -> float:
        """Length of a fore-and-aft seam, openings left out. [mm]"""
        return float(sum(b - a for a, b in self.seam_parts(y, x0, x1)))

    def net_area(self, x0: float, x1: float, y0: float, y1: float) -> float:
        """Area of the deck between limits, openings taken out. [mm2]"""
        whole = sum(strip.area for strip in self.strips(x0, x1, y0, y1))
        xs = sorted({float(np.clip(v, x0, x1)) for o in self.openings for v in (o.x0, o.x1)})
        ys = sorted({float(np.clip(v, y0, y1)) for o in self.openings for v in (o.y0, o.y1)})
        for a, b in zip(xs, xs[1:], strict=False):
            for c, d in zip(ys, ys[1:], strict=False):
                if any(o.x0 < (a + b) / 2 < o.x1 and o.y0 < (c + d) / 2 < o.y1 for o in self.openings):
                    whole -= sum(strip.area for strip in self.strips(a, b, c, d))
        return whole

    @property
    def area(self) -> float:
        """Area in plan, openings taken out. [mm2]"""
        return self.net_area(-np.inf, np.inf, -np.inf, np.inf)


def _crossings(x, half, level: float, x0: float, x1: float) -> np.ndarray:
    """Where a deck edge crosses a distance off the centreline."""
    off = half - level
    at = np.flatnonzero(off[:-1] * off[1:] < 0)
    cut = x[at] - off[at] * (x[at + 1] - x[at]) / (off[at + 1] - off[at])
    return cut[(cut > x0) & (cut < x1)]


def _less(low: float, high: float, holes) -> list[tuple[float, float]]:
    """What is left of low..high once the holes are taken out."""
    left = []
    for a, b in sorted(holes):
        if a > low:
            left.append((low, min(a, high)))
        low = max(low, b)
    left.append((low, high))
    return [(a, b) for a, b in left if b - a > NONE]


def less_boxes(strip_box: tuple[float, float, float, float], boxes) -> tuple[Box, ...]:
    """
    The openings that reach into a rectangle, cut to it.

    Parameters
    ----------
    strip_box : (x0, x1, y0, y1)
        The rectangle. [mm]
    boxes : sequence of Box

    Returns
    -------
    tuple of Box

    Examples
    --------
    >>> less_boxes((0, 1000, -500, 0), [Box("hatch", 800, 1400, -300, 300)])
    (Box(what='hatch', x0=800, x1=1000, y0=-300, y1=0),)
    """
    x0, x1, y0, y1 = strip_box
    cut = (Box(b.what, max(b.x0, x0), min(b.x1, x1), max(b.y0, y0), min(b.y1, y1)) for b in boxes)
    return tuple(b for b in cut if b.x1 - b.x0 > NONE and b.y1 - b.y0 > NONE)


def outline_area(outline) -> float:
    """
    Area within a closed line.

    Parameters
    ----------
    outline : (n, 2) array
        Corners in order, the last not the first. [mm]

    Returns
    -------
    float
        [mm2]

    Examples
    --------
    >>> outline_area([(0, 0), (4, 0), (4, 3)])
    6.0
    """
    x, y = np.asarray(outline, float).T
    return float(abs(np.sum(x * np.roll(y, -1) - np.roll(x, -1) * y)) / 2)


def deck_plan(deck, fittings=(), spacing: float = 50.0) -> DeckPlan:
    """
    The plan of a deck with its fittings.

    Parameters
    ----------
    deck : Deck
        With ``sheer``.
    fittings : sequence
        With ``what``, ``x``, ``y``, ``length``, ``breadth`` each, as a boat's folder gives them. What begins with one
        of `OPENINGS` goes through the deck; no joint passes one that begins with a word of `KEPT_CLEAR`.
    spacing : float
        Of the stations. [mm]

    Returns
    -------
    DeckPlan

    Examples
    --------
    >>> from deckgeom.deck.crown import OneMould
    >>> from deckgeom.deck.even_hull import even_hull
    >>> from deckgeom.deck.surface import Deck
    >>> round(deck_plan(Deck(even_hull(length=6000, half_breadth=1500), OneMould("circle", 100))).area / 1e6, 2)
    12.0
    """
    sheer = deck.sheer
    x = np.linspace(sheer.start, sheer.end, max(2, int(np.ceil((sheer.end - sheer.start) / spacing)) + 1))
    port, starboard = (np.maximum(sheer.half_breadth(side, x, 0), 0.0) for side in ("port", "starboard"))
    plan = DeckPlan(x, port, starboard)
    openings, clear, complaints = [], [], []
    for fitting in fittings:
        word = str(fitting.what).strip().lower()
        through, kept = word.startswith(OPENINGS), word.startswith(KEPT_CLEAR)
        if not (through or kept):
            continue
        box = _box(plan, fitting)
        if not any(strip.area for strip in plan.strips(box.x0, box.x1 + 2 * NONE, box.y0, box.y1 + 2 * NONE)):
            complaints.append(
                f"{fitting.what} at x {fitting.x:.0f}, y {box.y0:.0f} to {box.y1:.0f} mm lies outside the deck. Is its "
                "x from another zero, or its side the wrong one? The plan leaves it out."
            )
            continue
        if through and box.area > NONE:
            openings.append(box)
        if kept:
            clear.append(box)
    return DeckPlan(x, port, starboard, tuple(openings), tuple(clear), tuple(complaints))


def _box(plan: DeckPlan, fitting) -> Box:
    """The rectangle of a fitting; a side not given is the other one."""
    y = fitting.y
    if isinstance(y, str):
        port = y == "port edge"
        y = float(np.interp(fitting.x, plan.x, plan.port if port else plan.starboard)) * (-1 if port else 1)
    length, breadth = fitting.length or fitting.breadth or 0.0, fitting.breadth or fitting.length or 0.0
    return Box(str(fitting.what), fitting.x - length / 2, fitting.x + length / 2, y - breadth / 2, y + breadth / 2)
