"""A deck edge laid flat, as offsets from the straight line that joins its ends."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np

from deckgeom.drawings.board import Board
from deckgeom.drawings.picture import Picture
from deckgeom.drawings.style import clean
from deckgeom.drawings.ticks import mark_axis, unit_words
from deckgeom.drawings.words import gap_words
from deckgeom.units import format_length

ROLES = {"port": "designed", "starboard": "designed starboard"}
MOST_LABELS = 15


def draw_spiled_edges(edges: Sequence[Any], units: str = "mm", board: Board | None = None) -> Picture:
    """
    Draw deck edges laid flat, with the offsets of the first one written at its marks.

    Parameters
    ----------
    edges : sequence of SpiledEdge
        Port and starboard, or one of them. [mm]
    units : str
        Of the axes and the words.
    board : Board, optional
        One with one pane, to draw on again.

    Returns
    -------
    Picture
        One pane, the bow to the left.

    Examples
    --------
    >>> from deckgeom.deck.spiling import SpiledEdge
    >>> edge = SpiledEdge("deck edge", "port", [0, 500, 1000], [0, 499, 998], [0, 20, 0], length=1000.2, chord=998.0)
    >>> print(draw_spiled_edges([edge]).alt)
    The deck edge laid flat. Port: a straight line of 998 mm joins its ends, the edge itself is 1000 mm long, and it
    stands off the line by at most 20 mm, at 499 mm along it.
    """
    board = board or Board((2.4,))
    board.start()
    said = [f"The {clean(edges[0].edge, 40)} laid flat."]
    reach = max(edge.chord for edge in edges)
    most = max(float(np.max(edge.offset)) for edge in edges)
    board.line("straight", [0, reach], [0, 0], "base", label="straight line joining the ends")
    for edge in edges:
        board.line(edge.side, edge.along, edge.offset, ROLES[edge.side], label=f"{edge.side} edge, flat")
        board.dots(edge.side, edge.along, edge.offset, "ordinate")
        k = int(np.argmax(edge.offset))
        said.append(
            f"{edge.side.capitalize()}: a straight line of {format_length(edge.chord, units)} joins its ends, the "
            f"edge itself is {format_length(edge.length, units)} long, and it stands off the line by at most "
            f"{gap_words(edge.offset[k], units)}, at {format_length(edge.along[k], units)} along it."
        )
    low = min(0.0, *(float(np.min(edge.offset)) for edge in edges))
    board.titles(
        f"Spiling: {clean(edges[0].edge, 34)} laid flat, bow to the left (numbers: {edges[0].side})",
        f"along the straight line ({unit_words(units)})",
        f"offset ({unit_words(units)})",
    )
    board.frame((0, reach), (low - 0.16 * (most - low), most), most=20)
    _numbers(board, edges[0], units)
    mark_axis(board.panes[0].xaxis, units, 14)
    mark_axis(board.panes[0].yaxis, units, 7)
    return board.finish(" ".join(said))


def _numbers(board: Board, edge: Any, units: str) -> None:
    """Write the offsets in a row under the line, where there is room beside the last one."""
    foot, top = board.panes[0].get_ylim()
    chosen = [0]
    for k in range(1, len(edge.along)):
        if edge.along[k] - edge.along[chosen[-1]] >= edge.chord / MOST_LABELS:
            chosen.append(k)
    board.stems("offsets", edge.along[chosen], foot + 0.1 * (top - foot), edge.offset[chosen])
    for k in chosen:
        said = format_length(float(edge.offset[k]), units)
        board.words(f"offset {k}", edge.along[k], foot, said, shift=(0, 9), ha="center", fontsize=9)
