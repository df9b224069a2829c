"""
Fastenings of planks: two in each plank on every beam, clear of seams, ends and openings; butts, carlins, deck edges.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from deckgeom.laying.fastenings import SEAM, FasteningChoices, FasteningPlan
from deckgeom.laying.fastenings_joints import clear_of_joints, fastened_edge, support_line
from deckgeom.laying.fastenings_lines import FasteningRow, Support, clear_places, even_row, follow
from deckgeom.laying.sheets_outline import DeckPlan

__all__ = ["plank_fastenings"]

APART = 12.0
"""Two in one plank stand at least so far apart; else there is one. Own default. [mm]"""
IN_BLOCK = (1.0, 3.0)
"""Rows in each end over a butt block, in distances kept from edges: common practice, no source. [1]"""


def plank_fastenings(deck, plan: DeckPlan, pieces, supports, butts=(), choices: FasteningChoices | None = None,
                     boards_only: bool = False) -> FasteningPlan:  # fmt: skip
    """
    Where planks are fastened.

    Parameters
    ----------
    deck : Deck
    plan : DeckPlan
    pieces : sequence of Piece
        Planks, covering boards and the halves of the king plank.
    supports : sequence of Support
    butts : sequence of (str, float)
        Piece and place along the boat of each butt: on a beam two in each end, else four in each over a block. [mm]
    choices : FasteningChoices, optional
    boards_only : bool
        Covering boards and king plank alone: the planks are bedded on what lies below.

    Returns
    -------
    FasteningPlan

    Examples
    --------
    >>> from deckgeom.deck.crown import SameProportion
    >>> from deckgeom.deck.even_hull import even_hull
    >>> from deckgeom.deck.surface import Deck
    >>> from deckgeom.laying.dry_fit import Piece
    >>> from deckgeom.laying.sheets_outline import deck_plan
    >>> deck = Deck(even_hull(), SameProportion("circle", 0))
    >>> planks = [Piece(str(k), [(-900, 100 * k), (900, 100 * k)], [(-900, 100 * k + 100), (900, 100 * k + 100)])
    ...           for k in range(3)]
    >>> found = plank_fastenings(deck, deck_plan(deck), planks, [Support("4", "beam", -22, 22, -9e9, 9e9)])
    >>> found.rows[0].y.tolist()
    [20.0, 80.0, 120.0, 180.0, 220.0, 280.0]
    """
    choices = replace(choices or FasteningChoices(), by_plank=True)
    pieces = [piece for piece in pieces if not boards_only or _is_board(piece)]
    joints = _butt_lines(pieces, butts)
    rows, blocks = [], []
    for one in supports:
        make = _on_beam if one.kind == "beam" else _on_carlin
        rows.append(make(deck, plan, one, pieces, joints, choices))
    if boards_only:
        rows = [_as_board(row) for row in rows if row is not None]
    beams = [one for one in supports if one.kind == "beam"]
    for number, (name, line) in enumerate(joints, 1):
        if not any(_on(one, line) for one in beams):
            rows.append(_block(plan, number, name, line, choices))
            blocks.append(2 * (IN_BLOCK[-1] + 1) * choices.edge)

    def keep(x, y):
        return _clear_of_seams(pieces, x, y) & clear_of_joints(x, y, [line for _, line in joints], choices.beside)

    for side in ("port", "starboard"):
        if not boards_only or any(piece.name.startswith(f"{side} covering board") for piece in pieces):
            line = fastened_edge(deck, plan, side, choices.edge)
            rows.append(even_row(deck, plan, f"{side} edge", "edge", line, choices.edge_spacing, choices.edge, keep))
    found = tuple(row for row in rows if row is not None and row.count)
    return FasteningPlan(found, choices, tuple(blocks))


def _is_board(piece) -> bool:
    return "covering board" in piece.name or "king plank" in piece.name


def _as_board(row: FasteningRow) -> FasteningRow:
    return replace(row, name=f"boards on {'beam ' if row.kind == 'beam' else ''}{row.name}", kind="board",
                   on=row.name if row.kind == "beam" else "")  # fmt: skip


def _butt_lines(pieces, butts) -> list:
    """Piece's name and the line of each butt."""
    from deckgeom.laying.sheets import Joint

    by_name = {piece.name: piece for piece in pieces}
    found = []
    for name, x in butts:
        if name in by_name:
            low, high = _span(by_name[name], x)
            found.append((name, Joint(0, "across", x, low, x, high)))
    return found


def _span(piece, x: float) -> tuple[float, float]:
    ends = sorted(float(np.interp(x, *edge.T)) for edge in (piece.first, piece.second))
    return ends[0], ends[1]


def _on(one: Support, line) -> bool:
    """Whether a butt lies on a beam, whole."""
    return one.x0 <= line.x0 <= one.x1 and one.y0 - 1 <= line.y0 and line.y1 <= one.y1 + 1


def _places(low: float, high: float, y: np.ndarray, good: np.ndarray, edge: float, half: int = 0) -> list[float]:
    """Two places in a plank's width, or one, or none; in half of a king plank (-1 port, 1 starboard) its outer one."""
    inset = min(max((high - low) / 4, SEAM), edge)
    within = y[good & (y >= low + inset - 1e-9) & (y <= high - inset + 1e-9)]
    if not len(within):
        return []
    ends = [float(within[0]), float(within[-1])]
    if half:
        return [ends[0 if half < 0 else 1]]
    return ends if ends[1] - ends[0] >= APART else [float(within[len(within) // 2])]


def _half(piece) -> int:
    return 0 if "half of the king plank" not in piece.name else -1 if piece.name.startswith("port") else 1


def _on_beam(deck, plan, one: Support, pieces, joints, choices) -> FasteningRow | None:
    line = support_line(plan, one, choices.edge)
    if line is None:
        return None
    (x, _), (start, end) = line
    y = np.arange(np.ceil(start), end)
    steps = {0.0: clear_places(plan, choices.edge, np.full(len(y), x), y)}
    at: list[tuple[float, float]] = []
    for piece in pieces:
        if not piece.first[0, 0] < x < piece.first[-1, 0]:
            continue
        low, high = _span(piece, x)
        butt = next((j for name, j in joints if name == piece.name and abs(j.x0 - x) < one.siding / 2), None)
        for off in (0.0,) if butt is None else (butt.x0 - x - one.siding / 4, butt.x0 - x + one.siding / 4):
            if off not in steps:
                steps[off] = clear_places(plan, choices.edge, np.full(len(y), x + off), y)
            found = _places(max(low, start), min(high, end), y, steps[off], choices.edge, _half(piece))
            at += [(x + off, each) for each in found]
    if not at:
        return None
    at.sort(key=lambda place: (place[1], place[0]))
    px, py = np.array(at).T
    run = follow(deck, np.full(2, x), py[[0, -1]])[2][-1] if len(py) > 1 else 0.0
    return FasteningRow(one.name, "beam", px, py, float(run))


def _on_carlin(deck, plan, one: Support, pieces, joints, choices) -> FasteningRow | None:
    """Along a carlin, each fastening where the carlin's breadth has a place clear of seams, nearest to its line."""
    line = support_line(plan, one, choices.edge)
    if line is None or line[0][1] <= line[0][0]:
        return None
    pieces = [piece for piece in pieces if _near(piece, one)]
    x = np.arange(line[0][0], line[0][1] + 1e-9, 4.0)
    wanted = line[1][0]
    tries = wanted + np.array(sorted(np.arange(-one.siding, one.siding + 1, 2.0), key=abs))
    tries = tries[(tries >= one.y0 + SEAM) & (tries <= one.y1 - SEAM)]
    y = np.full(len(x), np.nan)
    for each in tries:
        open_ = np.isnan(y)
        if not open_.any():
            break
        here = np.full(int(open_.sum()), each)
        good = clear_places(plan, choices.edge, x[open_], here) & _clear_of_seams(pieces, x[open_], here)
        good &= clear_of_joints(x[open_], here, [j for _, j in joints], choices.beside)
        y[np.flatnonzero(open_)[good]] = each
    found = []
    good = _covered(pieces, x, y)
    bounds = np.flatnonzero(np.diff(np.r_[0, good.astype(int), 0]))
    for a, b in zip(bounds[::2], bounds[1::2] - 1, strict=True):
        count = int(np.ceil((x[b] - x[a]) / choices.spacing - 1e-6)) + 1 if x[b] - x[a] > 2 * choices.edge else 1
        found += np.unique(np.rint(np.linspace(a, b, count) if count > 1 else [(a + b) / 2]).astype(int)).tolist()
    if not found:
        return None
    return FasteningRow(one.name, "carlin", x[found], y[found], float(x[found[-1]] - x[found[0]]))


def _near(piece, one: Support) -> bool:
    """Whether a piece may lie on a carlin."""
    (x0, y0), (x1, y1) = piece.outline.min(axis=0), piece.outline.max(axis=0)
    return x0 < one.x1 and x1 > one.x0 and y0 - SEAM < one.y1 and y1 + SEAM > one.y0


def _covered(pieces, x, y) -> np.ndarray:
    """Which places lie on one of the pieces."""
    good = np.zeros(len(x), bool)
    for piece in pieces:
        edges = [np.interp(x, *edge.T) for edge in (piece.first, piece.second)]
        on = (x >= piece.first[0, 0]) & (x <= piece.first[-1, 0])
        good |= on & (y >= np.minimum(*edges)) & (y <= np.maximum(*edges))
    return good


def _clear_of_seams(pieces, x, y) -> np.ndarray:
    """Which places keep their distance from the long edges of planks, the centre of the king plank left out."""
    good = np.ones(len(x), bool)
    for piece in pieces:
        for edge in (piece.first, piece.second):
            if (_half(piece) and np.all(edge[:, 1] == 0)) or not len(x):
                continue
            near = (x >= edge[0, 0] - SEAM) & (x <= edge[-1, 0] + SEAM)
            if near.any():
                good[near] &= _off(edge, x[near], y[near]) >= SEAM - 1e-9
    return good


def _off(edge, x, y) -> np.ndarray:
    """Distance to a line of straight parts, near enough where it is short."""
    k = np.clip(np.searchsorted(edge[:, 0], x), 1, len(edge) - 1)
    found = np.full(len(x), np.inf)
    for step in (-1, 0, 1):
        at = np.clip(k + step, 1, len(edge) - 1)
        a, run = edge[at - 1], edge[at] - edge[at - 1]
        square = np.maximum((run**2).sum(axis=1), 1e-12)
        part = np.clip(((x - a[:, 0]) * run[:, 0] + (y - a[:, 1]) * run[:, 1]) / square, 0, 1)
        found = np.minimum(found, np.hypot(a[:, 0] + part * run[:, 0] - x, a[:, 1] + part * run[:, 1] - y))
    return found


def _block(plan, number: int, name: str, line, choices) -> FasteningRow:
    y = np.arange(np.ceil(line.y0), line.y1)
    at = []
    for off in (-IN_BLOCK[1], -IN_BLOCK[0], IN_BLOCK[0], IN_BLOCK[1]):
        x = line.x0 + off * choices.edge
        good = clear_places(plan, choices.edge, np.full(len(y), x), y)
        at += [(x, each) for each in _places(line.y0, line.y1, y, good, choices.edge)]
    px, py = np.array(at).reshape(-1, 2).T
    return FasteningRow(f"block {number}, {name}", "block", px, py, line.y1 - line.y0)
