"""A fore-and-aft line of beam tops against a real batten laid along it."""

from __future__ import annotations

from typing import Any

import numpy as np

from deckgeom.drawings.board import Board
from deckgeom.drawings.picture import Picture
from deckgeom.drawings.style import clean
from deckgeom.drawings.ticks import along_the_boat, mark_axis, mark_names, unit_words
from deckgeom.drawings.words import gap_words, heights_unit
from deckgeom.units import format_length

LEAST_GAP = 0.5


def draw_batten(
    laid: Any,
    name: str,
    units: str = "mm",
    tolerance: float = 0.0,
    board: Board | None = None,
    place: float | None = None,
) -> Picture:
    """
    Draw a batten as it lies on the beam tops along one line, and the gaps under it.

    Parameters
    ----------
    laid : LaidStrip
        The batten on the tops. [mm]
    name : str
        The line, in words.
    units : str
        Of the axes and the words.
    tolerance : float
        Gaps up to this are left. [mm]
    board : Board, optional
        One of :func:`batten_board`, to draw on again.
    place : float, optional
        Where a reader's line crosses both panes. [mm]

    Returns
    -------
    Picture
        Two panes: the line seen from the side, and the gaps drawn large.

    Examples
    --------
    >>> from deckgeom.fairing.batten import lay_batten
    >>> from deckgeom.fairing.strip import Strip
    >>> laid = lay_batten([0, 400, 800, 1200], [0, 0, -3, 0], Strip(20, 20, 10000, 500, name="batten"), names="ABCD")
    >>> print(draw_batten(laid, "centreline").alt)
    A batten along the centreline, 20 mm square. It touches 3 of 4 beams. The greatest gap is 3 mm, at beam C.
    """
    board = board or batten_board()
    board.start()
    _line(board, laid, name, units)
    _gaps(board, laid, tolerance, units)
    board.reader(place)
    worst = int(np.argmax(laid.gap))
    strip = laid.strip
    size = (
        f"{format_length(strip.breadth, units)} square"
        if strip.breadth == strip.depth
        else f"{format_length(strip.breadth, units)} x {format_length(strip.depth, units)}"
    )
    touching = int(np.sum(laid.gap < LEAST_GAP))
    said = f"A {clean(strip.name, 30)} along {_the(name)}, {size}. It touches {touching} of {len(laid.x)} beams."
    if laid.gap[worst] >= LEAST_GAP:
        said += f" The greatest gap is {gap_words(laid.gap[worst], units)}, at beam {clean(laid.names[worst], 20)}."
    return board.finish(said)


def batten_board() -> Board:
    """
    Make a board for :func:`draw_batten`.

    Examples
    --------
    >>> len(batten_board().panes)
    2
    """
    return Board((2.0, 1.7), legend_rows=(1, 1), foot=(0.35, 0.62))


def _line(board: Board, laid: Any, name: str, units: str) -> None:
    x = np.linspace(laid.x[0], laid.x[-1], 241)
    line = laid.height(x)
    board.line("batten", x, line, "batten", label=f"{clean(laid.strip.name, 30)}, as it lies")
    board.dots("tops", laid.x, laid.z, "measured", label="beam tops as measured")
    z = np.concatenate([line, laid.z])
    board.titles(f"Along {_the(name)}, bow to the left", "", f"height ({unit_words(units)})")
    board.frame((float(x[0]), float(x[-1])), (float(np.min(z)), float(np.max(z))), most=10)
    mark_axis(board.panes[0].xaxis, units, 14)
    mark_axis(board.panes[0].yaxis, units, 6)


def _gaps(board: Board, laid: Any, tolerance: float, units: str) -> None:
    reach = max(1.3 * float(np.quantile(laid.gap, 0.9)), 3 * tolerance, 2.0)
    shown = np.minimum(laid.gap, reach)
    ends = board.panes[0].get_xlim()
    if tolerance:
        board.band("leave", ends, -tolerance, 0, "shade", at=1, label=f"leave: within {gap_words(tolerance, units)}")
    board.line("batten", ends, [0, 0], "batten", at=1, label="batten")
    board.stems("gaps", laid.x, -shown, 0, at=1)
    touch = laid.gap < LEAST_GAP
    board.dots("tops", laid.x[~touch], -shown[~touch], "measured", at=1, label="beam top: a gap under the batten")
    board.dots("touching", laid.x[touch], -shown[touch], "touching", at=1, label="touches")
    step = (laid.x[-1] - laid.x[0]) / 24
    last = -np.inf
    for k in np.flatnonzero(~touch & (laid.gap > tolerance)):
        if laid.x[k] - last >= step:
            said = gap_words(laid.gap[k], units)
            board.words(f"gap {k}", laid.x[k], -shown[k], said, at=1, shift=(0, -11), ha="center", fontsize=8.5)
            last = laid.x[k]
    board.titles("Gaps under the batten", "beam", f"gap ({heights_unit(units)})", at=1)
    board.limits(
        ends, (-1.35 * reach, 0.3 * reach), at=1, words=f"gaps drawn large; {along_the_boat(units).split(' (')[0]}"
    )
    _beam_names(board, laid)
    mark_axis(board.panes[1].yaxis, units, 6, unsigned=True, highest=1e-6)


def _the(name: str) -> str:
    return f"the {clean(name, 60)}" if name == "centreline" else clean(name, 60)


def _beam_names(board: Board, laid: Any) -> None:
    """Name the beams along the axis, leaving one out where it would run into the last."""
    least, places, names = (laid.x[-1] - laid.x[0]) / 34, [], []
    for x, name in zip(laid.x, laid.names, strict=True):
        if not places or x - places[-1] >= least:
            places.append(float(x))
            names.append(clean(name, 6))
    mark_names(board.panes[1].xaxis, places, names)
