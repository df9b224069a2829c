"""
Every plank as it lies: strips between the edges of a planking, cut where openings go through them.

An opening that takes the whole width of a plank cuts it in two, against the timbers before and abaft the opening; one
that takes a part of it leaves the rest running on beside the carlin; one that lies within it is bored when it is down.
"""

from __future__ import annotations

import string

import numpy as np

from deckgeom.laying.dry_fit import Piece
from deckgeom.laying.planks import Planking, inside_edge

__all__ = ["cut_at_openings", "ends_without_beam", "lane_of", "plank_pieces"]

SIDES = ("port", "starboard")
POINTS = 81
NEAR = 0.2
"""How far the outline of a plank as drawn may stand off its edge. [mm]"""
THIN = 0.5
"""What is thinner is no wood. [mm]"""


def lane_of(name: str) -> int:
    """
    Which plank a piece is of, counted side by side.

    Parameters
    ----------
    name : str
        Such as "port plank 4b".

    Returns
    -------
    int

    Examples
    --------
    >>> lane_of("port plank 4b")
    4
    """
    return int(name.rsplit(" ", 1)[-1].rstrip(string.ascii_lowercase))


def plank_pieces(deck, planking: Planking, openings=()) -> tuple[tuple[Piece, ...], tuple[str, ...]]:
    """
    Planks, the strips that are left over, the king plank and the covering boards: together the deck less its openings.

    Parameters
    ----------
    deck : Deck
    planking : Planking
    openings : sequence of Box

    Returns
    -------
    tuple of Piece
        What an opening parts is named a, b and so on from forward.
    tuple of str
        One line for each opening that lies within one plank: it is bored, and the piece is drawn whole.

    Examples
    --------
    >>> from deckgeom.deck.crown import SameProportion
    >>> from deckgeom.deck.even_hull import even_hull
    >>> from deckgeom.deck.surface import Deck
    >>> from deckgeom.laying.planks import PlankChoices, lay_planks
    >>> from deckgeom.laying.sheets_outline import Box
    >>> deck = Deck(even_hull(), SameProportion("circle", "1:30"))
    >>> pieces, _ = plank_pieces(deck, lay_planks(deck, PlankChoices(100)), [Box("hatch", -300, 300, -150, 150)])
    >>> [piece.name for piece in pieces][:4]
    ['port plank 1a', 'port plank 1b', 'port plank 2', 'port plank 3']
    """
    found, bored = [], []
    for piece in _pieces(deck, planking):
        parts, holes = cut_at_openings(piece, openings)
        found += parts
        bored += [f"The {box.what} lies within the {piece.name}: bore it when the plank is down." for box in holes]
    return tuple(found), tuple(bored)


def ends_without_beam(pieces, openings, supports) -> tuple[str, ...]:
    """
    Openings at which planks end where no beam is under them.

    Parameters
    ----------
    pieces : sequence of Piece
    openings : sequence of Box
        A mast is left out: its partners carry the ends.
    supports : sequence of Support

    Returns
    -------
    tuple of str
        One line for each end of an opening.

    Examples
    --------
    >>> from deckgeom.laying.sheets_outline import Box
    >>> plank = Piece("port plank 1a", [(0, 0), (300, 0)], [(0, -90), (300, -90)])
    >>> ends_without_beam([plank], [Box("hatch", 300, 600, -200, 200)], [])[0].partition(":")[0]
    'Planks end at the forward side of the hatch, where no beam is under them'
    """
    lines = []
    beams = [one for one in supports if one.kind == "beam"]
    for box in (box for box in openings if not box.what.lower().startswith("mast")):
        for side, x, end in (("forward", box.x0, -1), ("after", box.x1, 0)):
            there = [p for p in pieces if abs(p.first[end, 0] - x) < 1 and _faces(p.outline, box)]
            if there and not any(one.x0 - 1 <= x <= one.x1 + 1 and one.y0 <= box.y0 and one.y1 >= box.y1
                                 for one in beams):  # fmt: skip
                lines.append(f"Planks end at the {side} side of the {box.what}, where no beam is under them: fit a "
                             "piece across there, from carlin to carlin.")  # fmt: skip
    return tuple(lines)


def _faces(outline: np.ndarray, box) -> bool:
    y = outline[:, 1]
    return bool(y.min() < box.y1 and y.max() > box.y0)


def cut_at_openings(piece: Piece, openings) -> tuple[tuple[Piece, ...], tuple]:
    """
    What is left of a plank between and beside openings.

    Parameters
    ----------
    piece : Piece
    openings : sequence of Box

    Returns
    -------
    tuple of Piece
    tuple of Box
        The openings that lie within it.

    Examples
    --------
    >>> from deckgeom.laying.sheets_outline import Box
    >>> plank = Piece("starboard plank 1", [(0, 0), (900, 0)], [(0, 90), (900, 90)])
    >>> parts, _ = cut_at_openings(plank, [Box("hatch", 300, 600, -100, 30)])
    >>> parts[0].first.tolist()
    [[0.0, 0.0], [300.0, 0.0], [300.0, 30.0], [600.0, 30.0], [600.0, 0.0], [900.0, 0.0]]
    """
    flip = float(np.mean(piece.first[:, 1])) > float(np.mean(piece.second[:, 1]))
    low, high = (piece.second, piece.first) if flip else (piece.first, piece.second)
    ends = low[[0, -1], 0]
    boxes = [b for b in openings if b.x0 < ends[1] and b.x1 > ends[0] and b.y0 < high[:, 1].max()
             and b.y1 > low[:, 1].min()]  # fmt: skip
    if not boxes:
        return (piece,), ()
    stops = [low[:, 0], high[:, 0], *(v for b in boxes for v in ([b.x0], [b.x1]))]
    stops += [_crossings(edge, level) for edge in (low, high) for b in boxes for level in (b.y0, b.y1)]
    x = np.unique(np.clip(np.concatenate(stops), *ends))
    x = x[np.r_[True, np.diff(x) > 1e-6]]
    runs, holes = _runs(x, low, high, boxes)
    gap = "" if piece.name[-1].isdigit() else " "
    letters = string.ascii_lowercase[: len(runs)] if len(runs) > 1 else [""]
    names = [f"{piece.name}{gap}{letter}".strip() for letter in letters] if runs else []
    return tuple(Piece(name, *((two, one) if flip else (one, two)), piece.edge_names)
                 for name, (one, two) in zip(names, runs, strict=True)), tuple(holes)  # fmt: skip


def _runs(x: np.ndarray, low, high, boxes) -> tuple[list[tuple[np.ndarray, np.ndarray]], list]:
    """Both edges of each run that is left, and the boxes within the piece."""
    runs: list[tuple[list, list]] = []
    holes: dict = {}
    before = None
    for a, b in zip(x[:-1], x[1:], strict=True):
        bottom, top = (np.interp([a, b], *edge.T) for edge in (low, high))
        middle = (a + b) / 2
        for box in sorted((box for box in boxes if box.x0 < middle < box.x1), key=lambda box: box.y0):
            under, over = box.y0 <= bottom.mean() + THIN, box.y1 >= top.mean() - THIN
            if under:
                bottom = np.maximum(bottom, min(box.y1, 1e9))
            if over:
                top = np.minimum(top, box.y0)
            if not (under or over) and box.y0 < top.mean() and box.y1 > bottom.mean():
                holes[box] = box
        if (top - bottom).max() <= THIN / 10:
            before = None
            continue
        bottom = np.minimum(bottom, top)
        if before is None or min(before[1], top[0]) - max(before[0], bottom[0]) <= THIN / 10:
            runs.append(([], []))
        for edge, (first, last) in zip(runs[-1], (bottom, top), strict=True):
            edge += [(a, first), (b, last)]
        before = (bottom[1], top[1])
    broad = [(np.array(one), np.array(two)) for one, two in runs]
    broad = [run for run in broad if (run[1] - run[0])[:, 1].max() > THIN]
    return [tuple(_few(_once(edge)) for edge in run) for run in broad], list(holes)


def _once(points: np.ndarray) -> np.ndarray:
    return points[np.r_[True, np.any(np.abs(np.diff(points, axis=0)) > 1e-9, axis=1)]]


def _crossings(edge: np.ndarray, level: float) -> np.ndarray:
    """Where an edge crosses a distance off the centreline."""
    off = edge[:, 1] - level
    at = np.flatnonzero(off[:-1] * off[1:] < 0)
    return edge[at, 0] - off[at] * (edge[at + 1, 0] - edge[at, 0]) / (off[at + 1] - off[at])


def _pieces(deck, planking: Planking) -> list[Piece]:
    """Planks, the strips that are left over, the king plank and the covering boards: together the whole deck."""
    choices, found = planking.choices, []
    low = 0.0 if choices.lay == "straight" else choices.king / 2
    for side in SIDES:
        board = _run_on(deck, *inside_edge(deck, side, choices.covering_board), 0.0)
        if choices.covering_board:
            found.append(_covering_board(deck, side, *board))
        against = board if choices.lay == "straight" else None
        edges = [(edge.number, *_run_on(deck, edge.x, edge.y, low, against)) for edge in planking.of(side)]
        for (number, *edge), beyond in zip(edges, [*edges[1:], None], strict=True):
            x = np.linspace(edge[0][0], edge[0][-1], POINTS)
            near = np.interp(x, *edge)
            if choices.lay == "straight":
                far = np.minimum(np.interp(x, *board), _or(x, beyond, np.inf))
            else:
                far = np.minimum(near, np.maximum(_or(x, beyond, 0.0), choices.king / 2))
            found += _strip(f"{side} plank {number + 1}", side, x, near, far)
        if choices.king:
            x = np.linspace(board[0][0], board[0][-1], POINTS)
            half = np.minimum(choices.king / 2, np.interp(x, *board))
            found += _strip(f"{side} half of the king plank", side, x, np.zeros(POINTS), half)
    return found


def _run_on(deck, x: np.ndarray, y: np.ndarray, low: float, board=None) -> tuple[np.ndarray, np.ndarray]:
    """A line run on straight to the ends of the deck, where it ends short of them, not inboard and not at a board."""
    x, y = np.asarray(x, float), np.maximum(y, 0.0)
    near = 0.1 * (deck.sheer.end - deck.sheer.start)
    free = [y[k] > low + 1 and (board is None or np.interp(x[k], *board) > y[k] + 1) for k in (0, -1)]
    if free[1] and deck.sheer.end - near < x[-1] < deck.sheer.end:
        last = y[-1] + (y[-1] - y[-2]) / (x[-1] - x[-2]) * (deck.sheer.end - x[-1])
        x, y = np.r_[x, deck.sheer.end], np.r_[y, max(last, low)]
    if free[0] and deck.sheer.start < x[0] < deck.sheer.start + near:
        first = y[0] + (y[1] - y[0]) / (x[1] - x[0]) * (deck.sheer.start - x[0])
        x, y = np.r_[deck.sheer.start, x], np.r_[max(first, low), y]
    return x, y


def _or(x: np.ndarray, line, otherwise: float) -> np.ndarray:
    """An edge's distance from the centreline where it runs, and another value where it does not."""
    return np.full(len(x), otherwise) if line is None else np.interp(x, *line[1:], left=otherwise, right=otherwise)


def _covering_board(deck, side: str, board_x, board_y) -> Piece:
    x = np.linspace(deck.sheer.start, deck.sheer.end, 2 * POINTS)
    outer = np.maximum(deck.sheer.half_breadth(side, x), 0.0)
    inner = np.minimum(np.interp(x, board_x, board_y), outer)
    return _strip(f"{side} covering board", side, x, inner, outer)[0]


def _strip(name: str, side: str, x, one, two) -> list[Piece]:
    """The strip between two lines as it lies, nothing where it has no breadth."""
    sign = -1.0 if side == "port" else 1.0
    keep = np.flatnonzero(np.abs(two - one) > 0.5)
    if len(keep) < 2:
        return []
    run = slice(max(keep[0] - 1, 0), keep[-1] + 2)
    inner, outer = np.minimum(one, two)[run], np.maximum(one, two)[run]
    return [Piece(name, *(_few(np.column_stack([x[run], sign * line])) for line in (inner, outer)))]


def _few(points: np.ndarray) -> np.ndarray:
    """A line by as few of its points as stay within `NEAR` of it (Douglas and Peucker's rule)."""
    keep, parts = {0, len(points) - 1}, [(0, len(points) - 1)]
    while parts:
        a, b = parts.pop()
        run = points[b] - points[a]
        between = points[a + 1 : b] - points[a]
        off = np.abs(run[0] * between[:, 1] - run[1] * between[:, 0]) / np.hypot(*run)
        if len(off) and off.max() > NEAR:
            middle = a + 1 + int(np.argmax(off))
            keep.add(middle)
            parts += [(a, middle), (middle, b)]
    return points[sorted(keep)]
