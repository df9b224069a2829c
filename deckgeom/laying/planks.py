"""
Laid planks: straight along the boat or sprung to the covering board, with every edge as distances from the centreline.

The *covering board* is the outermost plank, sawn to the deck edge; the *king plank* lies on the centreline. Sprung
planks are bent round inside the covering board and end in the king plank; straight ones end in the covering board.
Widths are taken on the deck itself: square to the run of a sprung plank, over the camber for a straight one.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from deckgeom.deck.flat_edge import edge_line, walk_inwards
from deckgeom.units import format_length

__all__ = ["PlankChoices", "PlankEdge", "Planking", "inside_edge", "lay_planks"]

SIDES, LAYS = ("port", "starboard"), ("straight", "sprung")
#: Stations along the deck edge from which lines are walked, and steps of the girth across half a deck.
STATIONS, STEPS = 241, 48
#: A slanting end longer than this many widths is cut with a nib. Common practice, no source.
NIB_FROM = 2.0


@dataclass(frozen=True)
class PlankChoices:
    """
    How the deck is to be planked.

    Parameters
    ----------
    width : float
        Of a plank with its seam, as laid. [mm]
    lay : {"straight", "sprung"}
        Along the boat, or round with the covering board.
    king : float
        Width of the king plank; 0 for none. [mm]
    covering_board : float
        Its width, square to the deck edge; 0 for none. [mm]
    nib : float
        Width of a nib's square end, as a part of the plank's: common practice a half. [1]

    Examples
    --------
    >>> PlankChoices(45, king=150).lay
    'straight'
    """

    width: float
    lay: str = "straight"
    king: float = 0.0
    covering_board: float = 0.0
    nib: float = 0.5

    def __post_init__(self) -> None:
        if not 0 < self.width < np.inf or min(self.king, self.covering_board) < 0:
            raise ValueError(
                f"planks {self.width:g} mm wide, king {self.king:g}, covering board {self.covering_board:g} mm: a "
                "plank is wider than 0 and the others are nought or more. Is a width left blank?"
            )
        if self.lay not in LAYS:
            raise ValueError(f"lay {self.lay!r}: planks are laid straight or sprung.")
        if not 0 < self.nib <= 1:
            raise ValueError(f"a nib of {self.nib:g} plank widths: it is above 0 and 1 at most. Is it in per cent?")


@dataclass(frozen=True, eq=False)
class PlankEdge:
    """
    One edge between planks, where it lies on the deck.

    Parameters
    ----------
    side : str
    number : int
        0 is the edge of the king plank (straight) or the inside of the covering board (sprung), then on from there.
    x, y : (n,) array
        Along the boat, and off the centreline in plan, unsigned. [mm]
    over : (n,) array
        From the centreline over the camber, as a tape measures it. [mm]

    Examples
    --------
    >>> PlankEdge("port", 1, np.array([0.0, 100]), np.array([50.0, 60]), np.array([50.0, 60.1])).at(50)
    (55.0, 55.05)
    """

    side: str
    number: int
    x: np.ndarray
    y: np.ndarray
    over: np.ndarray

    def at(self, x: float) -> tuple[float, float] | None:
        """Distance from the centreline at a station, in plan and over the camber; None where there is no edge. [mm]"""
        if not self.x[0] - 1e-6 <= x <= self.x[-1] + 1e-6:
            return None
        return float(np.interp(x, self.x, self.y)), float(np.interp(x, self.x, self.over))


@dataclass(frozen=True, eq=False)
class Planking:
    """
    Both sides planked. Made by `lay_planks`.

    Parameters
    ----------
    choices : PlankChoices
    edges : tuple of PlankEdge
    left : dict of str to (float, float)
        For each side the width of the last strip where it is broadest, and the place along the boat. [mm]
    ends : dict of (str, int) to tuple of (float, float)
        For each edge that runs out: where, and the length of the slanting end of the plank outside it. [mm]

    Examples
    --------
    See `lay_planks`.

    >>> Planking.__name__
    'Planking'
    """

    choices: PlankChoices
    edges: tuple[PlankEdge, ...]
    left: dict
    ends: dict

    def of(self, side: str) -> tuple[PlankEdge, ...]:
        """Edges of one side in order."""
        return tuple(edge for edge in self.edges if edge.side == side)

    def rows(self, stations) -> list[tuple[float, str, int, float, float]]:
        """Station, side, edge, distance from the centreline in plan and over the camber, where there is one. [mm]"""
        found = ((float(x), e.side, e.number, e.at(float(x))) for x in stations for e in self.edges)
        return [(x, side, number, *at) for x, side, number, at in found if at is not None]

    @property
    def nibs(self) -> int:
        """Plank ends that slant so long that they are cut with a nib."""
        return sum(slant > NIB_FROM * self.choices.width for ends in self.ends.values() for _, slant in ends)

    def words(self, units: str = "mm") -> tuple[str, ...]:
        """
        Counts, what is left over and how ends are cut.

        Parameters
        ----------
        units : {"mm", "ft-in-8", "in"}

        Returns
        -------
        tuple of str
        """
        wide = format_length(self.choices.width, units)
        where = "against the covering board" if self.choices.lay == "straight" else "against the king plank"
        lines = [f"Planks {wide} as laid, {self.choices.lay}."]
        for side in SIDES:
            width, x = self.left[side]
            lines.append(
                f"{side.capitalize()}: {len(self.of(side)) - 1} whole planks; the strip left {where} is "
                f"{format_length(width, units)} at the most, at {format_length(x, units)} along the boat."
            )
        nib = format_length(self.choices.nib * self.choices.width, units)
        lines.append(
            f"{self.nibs} plank ends slant over more than {NIB_FROM:g} widths: cut a nib {nib} wide there rather than "
            "a feather edge (common practice, no source)."
        )
        return tuple(lines)


def lay_planks(deck, choices: PlankChoices) -> Planking:
    """
    Every plank edge of both sides.

    Parameters
    ----------
    deck : Deck
    choices : PlankChoices

    Returns
    -------
    Planking

    Notes
    -----
    Edges of sprung planks are parallels of the covering board on the deck: the points at one length along the geodesics
    that leave it square.

    References
    ----------
    M. do Carmo, *Differential Geometry of Curves and Surfaces*, 4-6 (geodesic parallels).

    Examples
    --------
    >>> from deckgeom.deck.crown import OneMould
    >>> from deckgeom.deck.even_hull import even_hull
    >>> from deckgeom.deck.surface import Deck
    >>> found = lay_planks(Deck(even_hull(length=6000, half_breadth=1000), OneMould("circle", 60)), PlankChoices(100))
    >>> len(found.of("port")), round(found.of("port")[3].at(0.0)[1], 6)
    (11, 300.0)
    """
    edges, left, ends = [], {}, {}
    for side in SIDES:
        mine = (_straight if choices.lay == "straight" else _sprung)(deck, side, choices)
        if not mine[0]:
            raise ValueError(
                f"no plank {choices.width:g} mm wide goes on the {side} side beside king plank and covering board. "
                "Is a width in another unit, or a whole breadth given for a half?"
            )
        edges += mine[0]
        left[side] = mine[1]
        ends |= {(edge.side, edge.number): _ends(edge, deck, choices) for edge in mine[0]}
    return Planking(choices, tuple(edges), left, ends)


def _ends(edge: PlankEdge, deck, choices: PlankChoices) -> tuple[tuple[float, float], ...]:
    """Where the edge runs into the board across its end, and over what length the plank there slants."""
    found = []
    for at, there in ((0, edge.x[0] > deck.sheer.start + 1), (-1, edge.x[-1] < deck.sheer.end - 1)):
        if there and len(edge.x) > 2:
            if choices.lay == "straight":
                lean = abs(float(deck.sheer.half_breadth(edge.side, edge.x[at], 1)))
            else:
                k = 0 if at == 0 else -2
                lean = abs(float((edge.y[k + 1] - edge.y[k]) / (edge.x[k + 1] - edge.x[k])))
            found.append((float(edge.x[at]), choices.width / max(lean, 1e-9)))
    return tuple(found)


def _girth(deck, x: np.ndarray, y: np.ndarray) -> np.ndarray:
    """From the centreline over the camber to y, at each x."""
    node, weight = np.polynomial.legendre.leggauss(STEPS // 4)
    at = y[:, None] * (1 + node) / 2
    slope = deck.slopes(np.broadcast_to(x[:, None], at.shape), at)[1]
    return np.abs(y) / 2 * (np.sqrt(1 + slope**2) @ weight)


def inside_edge(deck, side: str, distance: float) -> tuple[np.ndarray, np.ndarray]:
    """
    The line inside the deck edge at a distance along the deck.

    Parameters
    ----------
    deck : Deck
    side : {"port", "starboard"}
    distance : float
        Along the deck, square to its edge. [mm]

    Returns
    -------
    (n,) array, (n,) array
        Along the boat, and from the centreline, above nought on its own side. [mm]

    Examples
    --------
    >>> from deckgeom.deck.crown import OneMould
    >>> from deckgeom.deck.even_hull import even_hull
    >>> from deckgeom.deck.surface import Deck
    >>> deck = Deck(even_hull(length=6000, half_breadth=1000), OneMould("circle", 60))
    >>> round(float(inside_edge(deck, "port", 0.0)[1].max()))
    1000
    """
    sign = 1.0 if side == "starboard" else -1.0
    start, end = deck.sheer.start, deck.sheer.end
    x, b, speed, turn, (zx, zy, b1, h1) = edge_line(deck, side, np.linspace(start, end, STATIONS))
    if distance:
        w = np.sqrt(1 + zx * zx + zy * zy)
        inward = -sign * np.array([(-zy * h1 - b1) / (w * speed), (1 + zx * h1) / (w * speed)])
        state = walk_inwards(deck, np.array([x, b, *inward, np.ones_like(x), sign * turn]), distance)
        good = state[4] > 0
        x, b = state[0][good], state[1][good]
    y = sign * b
    if not len(x):
        return x, y
    rising = np.r_[True, np.diff(np.maximum.accumulate(x)) > 1e-9]
    return x[rising], y[rising]


def _clip(x: np.ndarray, y: np.ndarray, low: float) -> tuple[np.ndarray, np.ndarray] | None:
    """The longest run of a line where it lies above a level, cut exactly to it."""
    above = y >= low
    if not above.any():
        return None
    edges = np.flatnonzero(np.diff(np.r_[0, above.astype(int), 0]))
    a, b = max(zip(edges[::2], edges[1::2], strict=True), key=lambda run: run[1] - run[0])
    px, py = [x[a:b]], [y[a:b]]
    for outer, inner, first in ((a - 1, a, True), (b, b - 1, False)):
        if 0 <= outer < len(x):
            part = (low - y[inner]) / (y[outer] - y[inner])
            point = np.array([x[inner] + part * (x[outer] - x[inner])])
            px, py = (([point, *px], [[low], *py]) if first else ([*px, point], [*py, [low]]))
    return np.concatenate(px), np.concatenate(py)


def _edge(deck, side: str, number: int, x, y) -> PlankEdge:
    sign = 1.0 if side == "starboard" else -1.0
    return PlankEdge(side, number, x, y, _girth(deck, x, sign * y))


def _sprung(deck, side: str, choices: PlankChoices):
    """Parallels of the covering board, until they lie in the king plank all along."""
    edges, number = [], 0
    low = choices.king / 2
    while (line := _clip(*inside_edge(deck, side, choices.covering_board + number * choices.width), low)) is not None:
        if len(line[0]) < 2:
            break
        edges.append(_edge(deck, side, number, *line))
        number += 1
    if not edges:
        return (), None
    at = int(np.argmax(edges[-1].y))
    over_king = float(_girth(deck, edges[-1].x[at : at + 1], np.array([low]))[0])
    return edges, (float(edges[-1].over[at]) - over_king, float(edges[-1].x[at]))


def _straight(deck, side: str, choices: PlankChoices):
    """Lines at equal lengths over the camber, where they lie inside the covering board."""
    sign = 1.0 if side == "starboard" else -1.0
    x, y = inside_edge(deck, side, choices.covering_board)
    x, y = x[y > 0], y[y > 0]
    if not len(x):
        return (), None
    board = _girth(deck, x, sign * y)
    edges = []
    for number in range(int((board.max() - choices.king / 2) / choices.width + 1e-9) + 1):
        over = choices.king / 2 + number * choices.width
        line = _clip(x, board - over, 0.0)
        if line is None or len(line[0]) < 2:
            break
        edges.append(PlankEdge(side, number, line[0], _plan_of(deck, sign, line[0], over), np.full(len(line[0]), over)))
    if not edges:
        return (), None
    at = int(np.argmax(board))
    return edges, (float(board[at] - edges[-1].over[0]), float(x[at]))


def _plan_of(deck, sign: float, x: np.ndarray, over: float) -> np.ndarray:
    """Distance in plan of what lies so far over the camber: Newton's method."""
    y = np.full(len(x), over)
    for _ in range(20):
        slope = deck.slopes(x, sign * y)[1]
        step = (over - _girth(deck, x, sign * y)) / np.sqrt(1 + slope**2)
        y = y + step
        if np.abs(step).max(initial=0.0) < 1e-9:
            break
    return y
