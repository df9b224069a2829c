"""
What covering boards and king plank are sawn from: where they are joined, and how long and broad each board must be.

A *covering board* follows the deck edge, so that it is sawn from a board broader than itself: the longer the piece, the
more its sweep asks of the board.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from deckgeom.deck.flat_edge import flat_edge
from deckgeom.units import format_length

__all__ = ["BOARD_HEADS", "BoardPiece", "BoardPlan", "board_rows", "covering_board", "king_plank_boards"]

#: Lost in breadth to saw and plane where a board is sawn to a sweep. Own default. [mm]
SAWN = 5.0
#: Marks along the edge are about so far apart. [mm]
STEP = 40.0
#: Ways in which a piece is tried on its board, either way off its own chord. [deg]
TURNS = np.linspace(-4, 4, 9)


@dataclass(frozen=True)
class BoardPiece:
    """
    One piece of a covering board or king plank.

    Parameters
    ----------
    x0, x1 : float
        Middles of its joints, or its ends, along the boat. [mm]
    ends : (str, str)
        What is there, such as "beam 9", or "end".
    length, breadth : float
        Of the board that just holds it, laid flat, scarfs and trim with it. [mm]
    sweep : float
        How far its outer edge stands off the straight line joining its ends. [mm]
    stock : float
        Length that it is cut from. [mm]
    area : float
        Of the piece itself. [mm2]

    Examples
    --------
    >>> BoardPiece(0, 2900, ("end", "beam 7"), 2956.0, 171.0, 40.0, 3000.0, 4e5).stock
    3000.0
    """

    x0: float
    x1: float
    ends: tuple[str, str]
    length: float
    breadth: float
    sweep: float
    stock: float
    area: float


@dataclass(frozen=True)
class BoardPlan:
    """
    The boards of one covering board or of the king plank. Made by `covering_board` and `king_plank_boards`.

    Parameters
    ----------
    name : str
    width : float
        As laid. [mm]
    joint : str
        Such as "scarf 8:1, 76 mm long".
    pieces : tuple of BoardPiece
        From forward.
    others : tuple of (int, float, float)
        The same in fewer pieces or more: how many, the broadest board [mm], and the area of the boards [mm2].

    Examples
    --------
    >>> BoardPlan("port covering board", 120.0, "butt", ()).waste
    0.0
    """

    name: str
    width: float
    joint: str
    pieces: tuple[BoardPiece, ...]
    others: tuple[tuple[int, float, float], ...] = ()

    @property
    def broadest(self) -> float:
        """Breadth of the broadest board. [mm]"""
        return max((piece.breadth for piece in self.pieces), default=0.0)

    @property
    def area(self) -> float:
        """Of the boards, each as broad as its piece asks. [mm2]"""
        return sum(piece.stock * piece.breadth for piece in self.pieces)

    @property
    def waste(self) -> float:
        """Part of the boards that is not in the deck. [1]"""
        return 1 - sum(piece.area for piece in self.pieces) / self.area if self.pieces else 0.0

    def words(self, units: str = "mm") -> tuple[str, ...]:
        """
        What it is sawn from, and what one joint more would spare.

        Parameters
        ----------
        units : {"mm", "ft-in-8", "in"}

        Returns
        -------
        tuple of str
        """
        say = lambda length: format_length(length, units)  # noqa: E731
        name, count = self.name[:1].upper() + self.name[1:], len(self.pieces)
        joined = f"{count} pieces joined on beams ({self.joint})" if count > 1 else "one piece"
        lines = [f"{name}: {joined}. The broadest board is {say(self.broadest)}, for {say(self.width)} as laid; "
                 f"{self.waste:.0%} of the boards is waste."]  # fmt: skip
        for other, broad, area in self.others:
            if abs(broad - self.broadest) > 5:
                lines.append(f"In {other} piece{'s' * (other > 1)} the broadest is {say(broad)}, and "
                             f"{area / self.area - 1:.0%} more of board is taken.")  # fmt: skip
        return tuple(lines)


def board_rows(plans, units: str = "mm") -> list[tuple[str, ...]]:
    """
    Every piece, one row each.

    Parameters
    ----------
    plans : sequence of BoardPlan
    units : {"mm", "ft-in-8", "in"}

    Returns
    -------
    list of tuple of str
        Piece, from, to, length of the board, sweep of its outer edge, breadth of the board, what it is cut from.

    Examples
    --------
    >>> board_rows([])
    []
    """
    say = lambda length: format_length(length, units)  # noqa: E731
    rows = []
    for name in dict.fromkeys(plan.name for plan in plans):
        pieces = [piece for plan in plans if plan.name == name for piece in plan.pieces]
        for number, piece in enumerate(pieces, 1):
            place = (end if end != "end" else say(x) for end, x in zip(piece.ends, (piece.x0, piece.x1), strict=True))
            rows.append((f"{name} {number}", *place, say(piece.length), say(piece.sweep) if piece.sweep else "",
                         say(piece.breadth), say(piece.stock)))  # fmt: skip
    return rows


BOARD_HEADS = ("piece", "from", "to", "length", "sweep of\nouter edge", "board as\nbroad as", "cut from")


def covering_board(deck, side: str, width: float, joints, stock, scarf: float = 0.0, trim: float = 20.0,
                   joint: str = "butt") -> BoardPlan:  # fmt: skip
    r"""
    A covering board from the least area of boards, in the fewest pieces that the stock allows or one or two more.

    Parameters
    ----------
    deck : Deck
    side : {"port", "starboard"}
    width : float
        As laid, square to the deck edge. [mm]
    joints : sequence of (str, float)
        Name and middle of each beam that a joint may lie on. [mm]
    stock : sequence of float
        Lengths to be had. [mm]
    scarf : float
        Length of a scarf, nought for a butt: half of it goes beyond the middle of each joint. [mm]
    trim : float
        Lost at both ends together. [mm]
    joint : str
        In words.

    Returns
    -------
    BoardPlan

    Notes
    -----
    The strip is laid flat by its edge (`flat_edge`). Along an edge of radius R in the flat a piece w broad over the
    angle 2a asks for a board of

    .. math:: B = R - (R - w) \cos a

    Examples
    --------
    >>> from deckgeom.deck.crown import SameProportion
    >>> from deckgeom.deck.even_hull import even_hull
    >>> from deckgeom.deck.surface import Deck
    >>> deck = Deck(even_hull(6000, 900), SameProportion("circle", "1:30"))
    >>> made = covering_board(deck, "port", 120, [("4", -1000.0), ("7", 0.0), ("9", 1000.0)], (3000, 3600))
    >>> [piece.ends for piece in made.pieces], round(made.broadest)
    ([('end', 'beam 4'), ('beam 4', 'beam 9'), ('beam 9', 'end')], 222)
    """
    sheer = deck.sheer
    stops = [("end", sheer.start), *((f"beam {name}", x) for name, x in joints if sheer.start < x < sheer.end),
             ("end", sheer.end)]  # fmt: skip
    count = max(2, math.ceil((sheer.end - sheer.start) / STEP))
    marks = [at + step for _, at in stops for step in (-scarf / 2, 0.0, scarf / 2)]
    marks = np.clip(marks, sheer.start, sheer.end)
    x = np.unique(np.round(np.r_[np.linspace(sheer.start, sheer.end, count + 1), marks], 6))
    flat = flat_edge(deck, side, 0.0, width, x=x)
    outer = np.column_stack([flat.along, flat.offset])
    inner = np.column_stack([flat.far_along, flat.far_offset])

    def piece(one, two):
        reach = [at - step if name != "end" else at for (name, at), step in ((one, scarf / 2), (two, -scarf / 2))]
        on = (x >= reach[0] - 1e-5) & (x <= reach[1] + 1e-5)
        within = (x >= one[1] - 1e-5) & (x <= two[1] + 1e-5)
        length, breadth = _board(outer[on], inner[on])
        sweep = _sweep(outer[within])
        area = _area(np.vstack([outer[within], inner[within][::-1]]))
        return length + trim, breadth + SAWN, sweep, area

    return _fewest(f"{side} covering board", width, joint, sorted(stops, key=lambda stop: stop[1]), stock, piece)


def king_plank_boards(deck, width: float, runs, joints, stock, scarf: float = 0.0, trim: float = 20.0,
                      joint: str = "butt") -> tuple[BoardPlan, ...]:  # fmt: skip
    """
    The king plank from the least area of boards, for each of its runs between openings.

    Parameters
    ----------
    deck : Deck
    width : float
        As laid. [mm]
    runs : sequence of (float, float)
        From and to along the boat. [mm]
    joints : sequence of (str, float)
        Name and middle of each beam that a joint may lie on. [mm]
    stock : sequence of float
        Lengths to be had. [mm]
    scarf, trim : float
        As in `covering_board`. [mm]
    joint : str
        In words.

    Returns
    -------
    tuple of BoardPlan

    Examples
    --------
    >>> from deckgeom.deck.crown import SameProportion
    >>> from deckgeom.deck.even_hull import even_hull
    >>> from deckgeom.deck.surface import Deck
    >>> deck = Deck(even_hull(6000, 900), SameProportion("circle", "1:30"))
    >>> (made,) = king_plank_boards(deck, 150, [(-2900, 2900)], [("7", 100.0)], (3000, 3600))
    >>> [round(piece.length) for piece in made.pieces], made.broadest
    ([3021, 2821], 150)
    """
    plans = []
    for x0, x1 in runs:
        stops = [("end", x0), *((f"beam {name}", x) for name, x in joints if x0 < x < x1), ("end", x1)]
        x = np.unique(np.r_[np.linspace(x0, x1, max(2, math.ceil((x1 - x0) / STEP)) + 1), [at for _, at in stops]])
        run = np.r_[0.0, np.cumsum(np.hypot(np.diff(x), np.diff(deck.height(x, np.zeros(len(x))))))]

        def piece(one, two, x=x, run=run):
            net = float(np.interp(two[1], x, run) - np.interp(one[1], x, run))
            more = sum(scarf / 2 for name, _ in (one, two) if name != "end")
            return net + more + trim, width, 0.0, net * width

        plans.append(_fewest("king plank", width, joint, sorted(stops, key=lambda stop: stop[1]), stock, piece))
    return tuple(plans)


def _board(outer: np.ndarray, inner: np.ndarray) -> tuple[float, float]:
    """Length and breadth of the least board that holds a piece, its grain along the piece."""
    points = np.vstack([outer, inner])
    chord = outer[-1] - outer[0] + inner[-1] - inner[0]
    angle = np.arctan2(chord[1], chord[0]) + np.radians(TURNS)
    along = points @ np.array([np.cos(angle), np.sin(angle)])
    across = points @ np.array([-np.sin(angle), np.cos(angle)])
    breadth = np.ptp(across, axis=0)
    best = int(np.argmin(breadth))
    return float(np.ptp(along[:, best])), float(breadth[best])


def _sweep(line: np.ndarray) -> float:
    way = line[-1] - line[0]
    off = (line - line[0]) @ np.array([-way[1], way[0]]) / np.hypot(*way)
    return float(np.max(np.abs(off)))


def _area(points: np.ndarray) -> float:
    x, y = points.T
    return abs(float(np.dot(x, np.roll(y, -1)) - np.dot(y, np.roll(x, -1)))) / 2


def _fewest(name: str, width: float, joint: str, stops, stock, piece) -> BoardPlan:
    """The least area of boards in the fewest pieces that the stock allows, or one or two more; found stop by stop."""
    made: dict[tuple[int, int], BoardPiece] = {}
    for i, one in enumerate(stops):
        for j in range(i + 1, len(stops)):
            length, breadth, sweep, area = piece(one, stops[j])
            cut = next((s for s in sorted(stock) if s >= length - 1e-6), None)
            if cut is None:
                break
            ends = (one[0], stops[j][0])
            made[i, j] = BoardPiece(float(one[1]), float(stops[j][1]), ends, length, breadth, sweep, float(cut), area)
    last = len(stops) - 1
    best: dict[tuple[int, int], tuple[float, tuple[BoardPiece, ...]]] = {(0, 0): (0.0, ())}
    found = []
    for count in range(1, last + 1):
        for (i, j), one in made.items():
            if (count - 1, i) in best:
                cost, before = best[count - 1, i]
                cost += one.stock * one.breadth
                if cost < best.get((count, j), (math.inf,))[0]:
                    best[count, j] = cost, (*before, one)
        if (count, last) in best:
            found.append(best[count, last])
        if len(found) == 3:
            break
    if not found:
        raise ValueError(
            f"the {name} cannot be made up from stock of {max(stock):.0f} mm at the longest with its joints on beams: "
            "one bay is longer. Get longer stock, or is a length in another unit?"
        )
    chosen = min(found, key=lambda way: round(way[0]))
    others = tuple((len(p), max(one.breadth for one in p), cost) for cost, p in found if p is not chosen[1])
    return BoardPlan(name, float(width), joint, chosen[1], others)
