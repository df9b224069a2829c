"""
Sheathing a deck with cloth: pieces from a roll, over the true girths, with laps, a drop at the edge and openings.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np

from deckgeom.laying.paint_area import area_between, area_words, girths, opening_area
from deckgeom.laying.quantities import strips_to_cover
from deckgeom.units import format_length

__all__ = ["Cloth", "ClothPiece", "Sheathing", "sheathe"]

WAYS = ("fore-and-aft", "athwart")
CUTS = 321
LAPS_RULE = "so that each upper lap faces downhill or aft (common practice, no source)"


@dataclass(frozen=True)
class Cloth:
    """
    A cloth and how it is to be laid.

    Parameters
    ----------
    width : float
        Of the roll, as measured. [mm]
    lap : float
        Of one strip over the next. [mm]
    drop : float
        Over the deck's edges and ends, down the side. [mm]
    trim : float
        To leave on each end of a strip, cut off later. [mm]
    roll : float or None
        Length of one roll; None where it is cut from stock. [mm]
    thickness : float
        Of the cured cloth with its resin: about 1 mm for acrylic cloth on wood, common practice, no source. [mm]

    Examples
    --------
    >>> Cloth(1270, lap=50).thickness
    1.0
    """

    width: float
    lap: float = 50.0
    drop: float = 40.0
    trim: float = 25.0
    roll: float | None = None
    thickness: float = 1.0

    def __post_init__(self) -> None:
        strips_to_cover(1.0, self.width, self.lap)
        for name in ("drop", "trim", "thickness"):
            value = getattr(self, name)
            if not 0 <= value < math.inf:
                raise ValueError(f"{name} {value:g} mm of the cloth: it is nought or more. Is it left blank?")
        if self.roll is not None and not self.roll > self.lap + 2 * self.trim:
            raise ValueError(
                f"a roll {self.roll:g} mm long with a lap of {self.lap:g} mm: nothing is left of it. Is its length in "
                "metres? Give it in the folder's units."
            )


@dataclass(frozen=True)
class ClothPiece:
    """
    One piece of cloth. Made by `sheathe`.

    Parameters
    ----------
    name : str
    order : int
        Which it is in the order of laying, from 1.
    start, end : float
        Along the boat, what it covers of the deck in plan. [mm]
    low, high : float
        Girths from the centreline to the strip's edges, port negative; infinite for a strip that runs athwart. [mm]
    length : float
        To cut off the roll. [mm]
    area : float
        Deck that it is the first to cover, openings off, drops not counted. [m2]
    cut_outs : tuple of (str, float)
        Openings to cut out of it, with the cloth that comes out. [m2]

    Examples
    --------
    >>> ClothPiece("1", 1, 0, 4000, -635, 635, 4130, 4.9, ()).words()
    'Piece 1: cut 4130 mm off the roll. It covers 4.9 m2 of deck not covered before.'
    """

    name: str
    order: int
    start: float
    end: float
    low: float
    high: float
    length: float
    area: float
    cut_outs: tuple[tuple[str, float], ...] = ()

    def words(self, units: str = "mm") -> str:
        """In sentences."""
        out = (
            f"Piece {self.name}: cut {format_length(self.length, units)} off the roll. It covers "
            f"{area_words(self.area, units)} of deck not covered before."
        )
        if self.cut_outs:
            out += f" Cut out of it: {', '.join(what for what, _ in self.cut_outs)}."
        return out


@dataclass(frozen=True)
class Sheathing:
    """
    Every piece of a sheathing, in the order of laying. Made by `sheathe`.

    Parameters
    ----------
    way : str
    cloth : Cloth
    pieces : tuple of ClothPiece
    across : float
        What the strips have to cover side by side: the widest girth, or the length over the deck, with the drops. [mm]
    edge : float
        Length of all edges that the cloth goes over, ends included. [mm]
    joins : tuple of (str, float, int)
        Strips longer than a roll: which, its length, and in how many lengths it is laid. [mm]

    Examples
    --------
    >>> Sheathing("athwart", Cloth(1000), (), 0.0, 0.0, ()).roll_length
    0
    """

    way: str
    cloth: Cloth
    pieces: tuple[ClothPiece, ...]
    across: float
    edge: float
    joins: tuple[tuple[str, float, int], ...] = ()

    @property
    def roll_length(self) -> float:
        """Cloth off the roll for all pieces. [mm]"""
        return sum(piece.length for piece in self.pieces)

    @property
    def area(self) -> float:
        """Deck covered, openings off, drops and laps not counted. [m2]"""
        return sum(piece.area for piece in self.pieces)

    @property
    def cloth_area(self) -> float:
        """Cloth cut off the roll. [m2]"""
        return self.roll_length * self.cloth.width / 1e6

    @property
    def offcuts(self) -> float:
        """Cloth that ends up neither as the first layer on the deck nor over its edge: laps, trim, tapers. [m2]"""
        return self.cloth_area - self.area - self.edge * self.cloth.drop / 1e6

    def rebate(self, units: str = "mm") -> str:
        """In words: what to plane away under the edge, so that the cloth ends flush."""
        mm = lambda value: format_length(value, units)  # noqa: E731
        return (
            f"Rebate the edge {mm(self.cloth.thickness)} deep over {mm(self.cloth.drop)} of its side, "
            f"{mm(self.edge)} long in all, so that cloth and resin end flush under the moulding. The depth is that of "
            "one layer: at a lap it is twice that."
        )

    def words(self, units: str = "mm") -> tuple[str, ...]:
        """In sentences: count, order, pieces, rebate, cloth."""
        mm = lambda value: format_length(value, units)  # noqa: E731
        strips = len({(p.low, p.high) if self.way == WAYS[0] else p.start for p in self.pieces})
        first = (
            f"{strips} strips {self.way} from a roll {mm(self.cloth.width)} wide, lapped {mm(self.cloth.lap)}, cover "
            f"{mm(self.across)} with a drop of {mm(self.cloth.drop)} at each edge."
        )
        order = f"Lay them in the order {', '.join(p.name for p in self.pieces)}, {LAPS_RULE}."
        last = f"Cloth off the roll: {mm(self.roll_length)} in all; {area_words(self.area, units)} of deck are covered."
        joins = [
            f"Strip {name} wants {mm(length)} and a roll holds {mm(self.cloth.roll)}: it is laid in {count} equal "
            f"lengths lapped {mm(self.cloth.lap)}."
            for name, length, count in self.joins
        ]
        rebate = (self.rebate(units),) if self.cloth.drop and self.cloth.thickness else ()
        return (first, order, *(p.words(units) for p in self.pieces), *rebate, last, *joins)


def sheathe(deck, cloth: Cloth, openings=(), way: str = "fore-and-aft") -> Sheathing:
    """
    Cut a deck's sheathing from a roll.

    Parameters
    ----------
    deck : Deck
    cloth : Cloth
    openings : sequence
        With ``what``, ``x0``, ``x1``, ``y0``, ``y1`` each [mm]: cut out of the cloth.
    way : {"fore-and-aft", "athwart"}
        How the strips run.

    Returns
    -------
    Sheathing

    Notes
    -----
    The strips are the fewest that cover the widest girth (or the longest line over the deck) with a drop at both
    edges,

    .. math:: n = \\lceil (B - o) / (C - o) \\rceil

    with the spare alike at both. The length of a strip is taken over the surface, at each place along the longest of
    its lines, so a strip is never short and a lap never less than asked for.

    Examples
    --------
    >>> from deckgeom.deck.crown import SameProportion
    >>> from deckgeom.deck.even_hull import even_hull
    >>> from deckgeom.deck.surface import Deck
    >>> deck = Deck(even_hull(6000, 1500), SameProportion("circle", "1:32"))
    >>> plan = sheathe(deck, Cloth(1270, lap=50, drop=0))
    >>> len(plan.pieces), round(plan.area, 1), round(plan.roll_length)
    (3, 12.0, 15558)
    """
    if way not in WAYS:
        raise ValueError(f'way {way!r}: strips run "{WAYS[0]}" or "{WAYS[1]}". Name one of these.')
    x = np.linspace(deck.sheer.start, deck.sheer.end, CUTS)
    cuts = girths(deck, x)
    drawn = _fore_and_aft(deck, cuts, cloth) if way == WAYS[0] else _athwart(deck, cuts, cloth)
    across, strips = drawn
    pieces, joins = [], []
    for order, strip in enumerate(strips, 1):
        pieces += _pieces(deck, cloth, openings, order, strip, joins)
    pieces = [replace(piece, order=k) for k, piece in enumerate(pieces, 1)]
    ends = float(np.ptp(cuts.girth[0]) + np.ptp(cuts.girth[-1]))
    edge = sum(float(deck.sheer.true_length(side)) for side in ("port", "starboard")) + ends
    return Sheathing(way, cloth, tuple(pieces), across, edge, tuple(joins))


def _fore_and_aft(deck, cuts, cloth: Cloth):
    """Breadth to cover, and of each strip: x limits, girth limits, girths it is first to cover, length."""
    low, high = cuts.girth[:, 0] - cloth.drop, cuts.girth[:, -1] + cloth.drop
    bottom, across = float(low.min()), float(high.max() - low.min())
    count = strips_to_cover(across, cloth.width, cloth.lap)
    pitch = cloth.width - cloth.lap
    first = bottom - (count * pitch + cloth.lap - across) / 2
    strips, laid = [], []
    for k in _outside_in(count):
        a, b = first + k * pitch, first + k * pitch + cloth.width
        reach = np.minimum(high - a, b - low)
        x0, x1 = _where(cuts.x, reach)
        run = girths(deck, np.linspace(x0, x1, CUTS)).run(a, b)
        drops = cloth.drop * (int(x0 <= cuts.x[0]) + int(x1 >= cuts.x[-1]))
        own = (_edge(a, cloth.lap, k - 1 in laid, k == 0), _edge(b, -cloth.lap, k + 1 in laid, k == count - 1))
        laid.append(k)
        strips.append(((x0, x1), (a, b), own, run + drops + 2 * cloth.trim))
    return across, strips


def _edge(edge: float, lap: float, lapped: bool, outer: bool) -> float:
    """Girth from which a strip is the first to cover: within the lap where its neighbour lies already."""
    if outer:
        return -math.inf if lap > 0 else math.inf
    return edge + lap if lapped else edge


def _outside_in(count: int) -> list[int]:
    """Both outer strips first, the middle last."""
    return sorted(range(count), key=lambda k: (min(k, count - 1 - k), k))


def _where(x, reach) -> tuple[float, float]:
    """From where to where along the boat a strip has deck under it."""
    on = np.flatnonzero(reach > 0)
    first, last = int(on[0]), int(on[-1])
    x0, x1 = x[first], x[last]
    if first:
        x0 = np.interp(0, reach[first - 1 : first + 1], x[first - 1 : first + 1])
    if last < len(x) - 1:
        x1 = np.interp(0, reach[last : last + 2][::-1], x[last : last + 2][::-1])
    return float(x0), float(x1)


def _athwart(deck, cuts, cloth: Cloth):
    """The same for strips that run across, from aft forward."""
    longest = cuts.stretch.max(axis=1)
    along = np.r_[0, np.cumsum((longest[1:] + longest[:-1]) / 2 * np.diff(cuts.x))]
    across = float(along[-1] + 2 * cloth.drop)
    count = strips_to_cover(across, cloth.width, cloth.lap)
    pitch = cloth.width - cloth.lap
    first = -cloth.drop - (count * pitch + cloth.lap - across) / 2
    strips = []
    for k in reversed(range(count)):
        x0, x1 = np.interp([first + k * pitch, first + k * pitch + cloth.width], along, cuts.x)
        own = np.interp(first + (k + 1) * pitch, along, cuts.x) if k < count - 1 else cuts.x[-1]
        girth = girths(deck, np.linspace(x0, x1, 41)).girth
        length = float(girth[:, -1].max() - girth[:, 0].min()) + 2 * (cloth.drop + cloth.trim)
        strips.append(((float(x0), float(x1)), (-np.inf, np.inf), (-np.inf, np.inf), length, (float(x0), float(own))))
    return across, strips


def _pieces(deck, cloth: Cloth, openings, order: int, strip, joins: list) -> list[ClothPiece]:
    """The pieces of one strip: more than one where the roll is shorter."""
    (x0, x1), (low, high), own, length = strip[:4]
    first, last = strip[4] if len(strip) > 4 else (x0, x1)
    count = 1
    if cloth.roll and length > cloth.roll:
        count = strips_to_cover(length, cloth.roll, cloth.lap)
        joins.append((str(order), length, count))
        length = (length + (count - 1) * cloth.lap) / count
    names = [str(order)] if count == 1 else [f"{order}{chr(97 + k)}" for k in range(count)]
    athwart = len(strip) > 4
    spans = [(first, last, *own)] * count
    if count > 1 and athwart:
        side = girths(deck, np.linspace(x0, x1, 41)).girth
        s = np.linspace(side.min(), side.max(), count + 1)
        s[0], s[-1] = -np.inf, np.inf
        spans = [(first, last, a, b) for a, b in zip(s, s[1:], strict=False)]
    elif count > 1:
        x = np.linspace(x0, x1, count + 1)
        spans = [(a, b, *own) for a, b in zip(x, x[1:], strict=False)]
    out = []
    for name, (a, b, s0, s1) in zip(names, spans, strict=True):
        holes = [(o.what, opening_area(deck, o, (a, b), (s0, s1))) for o in openings]
        off = sum(hole for _, hole in holes)
        under = [(o.what, opening_area(deck, o, (x0, x1) if athwart else (a, b), (low, high))) for o in openings]
        area = max(0.0, area_between(deck, a, b, s0, s1) - off)
        cut = tuple((what, hole) for what, hole in under if hole > 0)
        out.append(ClothPiece(name, order, x0 if athwart else a, x1 if athwart else b, low, high, length, area, cut))
    return out
