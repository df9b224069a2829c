"""
The dry fit: where beams, carlins and pads land under each plank and panel, to mark and mask before painting.

A *carlin* runs fore-and-aft between beams; a *pad* is a block let in where a fitting will stand.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from deckgeom.deck._closed import closed
from deckgeom.laying.dry_fit_clip import (
    boxes_meet,
    clip,
    merged,
    parts_in_convex,
    parts_in_outline,
    signed_area,
    union_area,
)
from deckgeom.units import format_length

__all__ = ["Bearer", "DryFit", "Landing", "Piece", "dry_fit"]

#: Edges are measured over the surface in lengths of this. [mm]
STEP = 25.0
REACH = 1e5


@dataclass(frozen=True, eq=False)
class Bearer:
    """
    Something that a plank or panel lies on.

    Parameters
    ----------
    name : str
    outline : (n, 2) array
        Its top in plan, convex: x aft and y to starboard of each corner, in order. [mm]

    Examples
    --------
    >>> Bearer.across("beam 4", 2000, 2045).outline.shape
    (4, 2)
    """

    name: str
    outline: np.ndarray

    def __post_init__(self) -> None:
        object.__setattr__(self, "outline", closed(self.outline))
        if self.outline.ndim != 2 or abs(signed_area(self.outline)) < 1e-9:
            raise ValueError(f"{self.name!r} has no area in plan: give three corners or more. Are two limits the same?")
        edge = np.roll(self.outline, -1, axis=0) - self.outline
        after = np.roll(edge, -1, axis=0)
        turn = edge[:, 0] * after[:, 1] - edge[:, 1] * after[:, 0]
        if turn.min() < -1e-6 and turn.max() > 1e-6:
            raise ValueError(f"{self.name!r} bends inward in plan: give it as two. Are its corners out of order?")

    @classmethod
    def across(cls, name: str, forward: float, after: float) -> Bearer:
        """A beam from edge to edge, by the x of its two faces. [mm]"""
        return cls.rectangle(name, (forward, after), (-REACH, REACH))

    @classmethod
    def rectangle(cls, name: str, x: tuple[float, float], y: tuple[float, float]) -> Bearer:
        """A carlin, half beam or pad square to the centreline, by its limits. [mm]"""
        return cls(name, [(x[0], y[0]), (x[1], y[0]), (x[1], y[1]), (x[0], y[1])])


@dataclass(frozen=True, eq=False)
class Piece:
    """
    A plank or panel by its two long edges.

    Parameters
    ----------
    name : str
    first, second : (n, 2) and (m, 2) array
        The edges in plan, each from forward aft; straight between points. [mm]
    edge_names : (str, str)
        What they are called on the page.

    Examples
    --------
    >>> Piece("plank 1", [(0, 0), (3000, 0)], [(0, 90), (3000, 90)]).outline.tolist()[2]
    [3000.0, 90.0]
    """

    name: str
    first: np.ndarray
    second: np.ndarray
    edge_names: tuple[str, str] = ("inner edge", "outer edge")

    def __post_init__(self) -> None:
        for name in ("first", "second"):
            object.__setattr__(self, name, closed(getattr(self, name)))
            edge = getattr(self, name)
            if edge.ndim != 2 or len(edge) < 2 or edge[0, 0] > edge[-1, 0]:
                raise ValueError(
                    f"{self.name!r}: an edge has two points or more and runs from forward aft. Is it the other way "
                    "round?"
                )
        if abs(signed_area(self.outline)) < 1e-9:
            raise ValueError(f"{self.name!r} has no area in plan: its edges are one line. Is one given twice?")

    @cached_property
    def outline(self) -> np.ndarray:
        """Along the first edge aft, and back along the second. [mm]"""
        points = np.vstack([self.first, self.second[::-1]])
        return closed(points[np.any(np.abs(points - np.roll(points, 1, axis=0)) > 1e-9, axis=1)])


@dataclass(frozen=True)
class Landing:
    """
    Where one bearer lies under a piece. Made by `dry_fit`.

    Parameters
    ----------
    bearer : str
    on_edges : tuple of two tuples of (float, float)
        For each long edge, from and to along it from its forward end; empty where it does not reach the edge. [mm]
    corners : tuple of (float, float)
        Corners inside the piece: along the first edge, and square off it. [mm]
    area : float
        In plan. [mm2]
    sides : float
        Length of its sides under the piece, over the surface, not where another bearer joins it. [mm]

    Examples
    --------
    >>> Landing("pad", ((), ()), ((100, 20), (200, 20)), 1000, 220).words(("inner edge", "outer edge"))
    'pad: corners at 100 mm along the inner edge and 20 mm off it, 200 mm and 20 mm.'
    """

    bearer: str
    on_edges: tuple[tuple[tuple[float, float], ...], tuple[tuple[float, float], ...]]
    corners: tuple[tuple[float, float], ...]
    area: float
    sides: float

    def words(self, edge_names: tuple[str, str], units: str = "mm") -> str:
        """In a sentence."""
        mm = lambda value: format_length(value, units)  # noqa: E731
        parts = [
            f"{name} from {' and from '.join(f'{mm(a)} to {mm(b)}' for a, b in found)}"
            for name, found in zip(edge_names, self.on_edges, strict=True)
            if found
        ]
        if self.corners:
            (along, off), *rest = self.corners
            more = "".join(f", {mm(a)} and {mm(o)}" for a, o in rest)
            parts.append(f"corners at {mm(along)} along the {edge_names[0]} and {mm(off)} off it{more}")
        return f"{self.bearer}: {'; '.join(parts)}."


@dataclass(frozen=True)
class DryFit:
    """
    All landings under one piece. Made by `dry_fit`.

    Parameters
    ----------
    piece : Piece
    landings : tuple of Landing
    contact : float
        Area that lies on bearers, nothing counted twice. [mm2]
    squeeze_out : float
        Length along which glue comes out: sides of bearers under the piece, and its own edges on them. [mm]

    Examples
    --------
    >>> plank = Piece("plank 1", [(0, 0), (3000, 0)], [(0, 90), (3000, 90)])
    >>> fit = dry_fit(plank, [Bearer.across("beam 1", 500, 545)])
    >>> round(fit.masking), round(fit.squeeze_out), round(fit.contact)
    (180, 270, 4050)
    """

    piece: Piece
    landings: tuple[Landing, ...]
    contact: float
    squeeze_out: float

    @property
    def masking(self) -> float:
        """Length of tape along the landings. [mm]"""
        return sum(landing.sides for landing in self.landings)

    @property
    def bare(self) -> float:
        """Area of the underside left to paint, in plan. [mm2]"""
        return abs(signed_area(self.piece.outline)) - self.contact

    def words(self, units: str = "mm") -> tuple[str, ...]:
        """In sentences, one a landing."""
        first, second = self.piece.edge_names
        lines = [landing.words(self.piece.edge_names, units) for landing in self.landings]
        return (
            f"{self.piece.name}, underside. Measure along the {first} and the {second}, each from its forward end. "
            "Turned "
            "over, port lies where starboard was: go by the names of the edges.",
            *(line[0].upper() + line[1:] for line in lines),
            f"Masking tape: {format_length(self.masking, units)}. Glue comes out along "
            f"{format_length(self.squeeze_out, units)}.",
        )


def dry_fit(piece: Piece, bearers: Sequence[Bearer], deck=None) -> DryFit:
    """
    Landings to mark on the underside of a plank or panel.

    Parameters
    ----------
    piece : Piece
    bearers : sequence of Bearer
    deck : Deck, optional
        Lengths are then taken over the tops of its beams, and otherwise in plan.

    Returns
    -------
    DryFit
        Landings in the order in which they lie, forward first.

    Examples
    --------
    >>> plank = Piece("plank 1", [(0, 0), (3000, 0)], [(0, 90), (3000, 90)])
    >>> print(dry_fit(plank, [Bearer.across("beam 1", 500, 545)]).words()[1])
    Beam 1: inner edge from 500 mm to 545 mm; outer edge from 500 mm to 545 mm.
    """
    outline = piece.outline
    under = [b for b in bearers if abs(signed_area(clip(outline, b.outline))) > 1e-6]
    edges = [_measured(edge, deck) for edge in (piece.first, piece.second)]
    sides = [_sides(bearer.outline, outline, [u.outline for u in under if u is not bearer]) for bearer in under]
    own = [_on(a, b, [u.outline for u in under]) for a, b in zip(outline, np.roll(outline, -1, axis=0), strict=True)]
    *lengths, own_length = _lengths([*sides, [line for lines in own for line in lines]], deck)
    landings = []
    for bearer, length in zip(under, lengths, strict=True):
        contact = clip(outline, bearer.outline)
        on_edges = tuple(_on_edge(edge, bearer.outline) for edge in edges)
        corners = tuple(_off_edge(edges[0], corner) for corner in _inside(bearer.outline, outline))
        landings.append(Landing(bearer.name, on_edges, corners, abs(signed_area(contact)), length))
    order = np.argsort([clip(outline, b.outline)[:, 0].min() for b in under], kind="stable")
    landings = tuple(landings[k] for k in order)
    contact = union_area(outline, [b.outline for b in under])
    return DryFit(piece, landings, contact, own_length + sum(landing.sides for landing in landings))


def _fine(points) -> np.ndarray:
    """The same line with points at most a step apart."""
    points = np.asarray(points, float)
    parts = [np.linspace(a, b, max(2, int(np.ceil(np.hypot(*(b - a)) / STEP)) + 1))[:-1]
             for a, b in zip(points[:-1], points[1:], strict=True)]  # fmt: skip
    return np.vstack([*parts, points[-1:]])


def _running(points, deck) -> np.ndarray:
    """Length from the first point to each, over the beams' tops."""
    step = np.diff(points, axis=0)
    rise = 0.0 if deck is None else np.diff(deck.height(points[:, 0], points[:, 1], "beam"))
    return np.r_[0.0, np.cumsum(np.sqrt(np.sum(step**2, axis=1) + rise**2))]


def _measured(edge, deck) -> tuple[np.ndarray, np.ndarray]:
    points = _fine(edge)
    return points, _running(points, deck)


def _on_edge(edge, convex) -> tuple[tuple[float, float], ...]:
    """From and to along an edge that lies on a bearer."""
    points, along = edge
    low, high = np.minimum(points[:-1], points[1:]), np.maximum(points[:-1], points[1:])
    near = np.flatnonzero(np.all((low <= convex.max(axis=0)) & (high >= convex.min(axis=0)), axis=1))
    found = []
    for a, b, s, t in zip(points[near], points[near + 1], along[near], along[near + 1], strict=True):
        part = parts_in_convex(a, b, convex)
        if part:
            found.append((s + (t - s) * part[0], s + (t - s) * part[1]))
    return tuple((float(a), float(b)) for a, b in merged(found))


def _inside(corners, outline) -> list[np.ndarray]:
    """Corners of a bearer within the piece, not on its edge."""
    tiny = np.array([1e-6, 1e-6])
    return [c for c in corners if parts_in_outline(c - tiny, c + tiny, outline) == [(0.0, 1.0)]]


def _off_edge(edge, corner) -> tuple[float, float]:
    """Along an edge and square off it."""
    points, along = edge
    run = np.diff(points, axis=0)
    part = np.clip(np.sum((corner - points[:-1]) * run, axis=1) / np.sum(run**2, axis=1), 0, 1)
    gap = np.hypot(*(points[:-1] + part[:, None] * run - corner).T)
    k = int(np.argmin(gap))
    return float(along[k] + part[k] * (along[k + 1] - along[k])), float(gap[k])


def _lengths(groups, deck) -> list[float]:
    """Length over the beams' tops of each group of straight lines, all of them measured at once."""
    lines = [np.asarray(line, float) for group in groups for line in group]
    if not lines:
        return [0.0] * len(groups)
    fine = [_fine(line) for line in lines]
    along = _running(np.vstack(fine), deck)
    ends = np.cumsum([len(points) for points in fine])
    each = along[ends - 1] - along[np.r_[0, ends[:-1]]]
    counts = np.cumsum([0, *(len(group) for group in groups)])
    return [float(each[a:b].sum()) for a, b in zip(counts[:-1], counts[1:], strict=True)]


def _on(a, b, convexes) -> list:
    """The parts of a line that lie within any of several convex outlines."""
    near = [c for c in convexes if boxes_meet(c, np.array([a, b]))]
    parts = merged([part for c in near if (part := parts_in_convex(a, b, c))])
    return [(a + (b - a) * s, a + (b - a) * t) for s, t in parts]


def _sides(convex, outline, others) -> list:
    """A bearer's sides under a piece, where no other bearer joins it."""
    others = [c for c in others if boxes_meet(c, convex)]
    found = []
    for a, b in zip(convex, np.roll(convex, -1, axis=0), strict=True):
        for low, high in parts_in_outline(a, b, outline):
            p, q = a + (b - a) * low, a + (b - a) * high
            within = [part for c in others if (part := parts_in_convex(p, q, c))]
            stops = [0.0, *(each for part in merged(within) for each in part), 1.0]
            found += [(p + (q - p) * s, p + (q - p) * t) for s, t in zip(stops[::2], stops[1::2], strict=True) if t > s]
    return found
