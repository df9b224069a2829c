"""A plank or a batten on one line of beam tops, before the work and after it, drawn against the fair line."""

from __future__ import annotations

from typing import Any

import numpy as np

from deckgeom.drawings.batten import LEAST_GAP
from deckgeom.drawings.board import Board
from deckgeom.drawings.picture import Picture
from deckgeom.drawings.style import clean
from deckgeom.drawings.ticks import mark_axis, mark_names
from deckgeom.drawings.words import gap_words, heights_unit
from deckgeom.fairing.forces import force_words
from deckgeom.units import format_length

LEAST_FORCE = 1.0
PANES = (("measured", "On the tops as measured"), ("planned", "On the tops as planned"))


def draw_plank(on: Any, name: str, units: str = "mm", tolerance: float = 0.0, board: Board | None = None) -> Picture:
    """
    Draw how a plank or a batten stands off the fair line, at the beams and between them, before and after the work.

    Parameters
    ----------
    on : OnTops
        The strip on the tops as measured and as planned. [mm]
    name : str
        The line, in words.
    units : str
        Of the axes and the words.
    tolerance : float
        What may stay. [mm]
    board : Board, optional
        One of :func:`plank_board`, to draw on again.

    Returns
    -------
    Picture
        Two panes to one scale.

    Examples
    --------
    >>> from deckgeom.fairing.batten import fasten_strip, off_fair
    >>> from deckgeom.fairing.on_tops import PARTS, OnTops
    >>> from deckgeom.fairing.strip import Strip
    >>> x, plank = [0, 400, 800, 1200, 1600], Strip(100, 20, 10000, name="plank")
    >>> high, fair = (fasten_strip(x, [0, 0, z, 0, 0], plank, names="ABCDE") for z in (4, 0))
    >>> shown = [off_fair(laid, np.zeros(5), PARTS) for laid in (high, fair)]
    >>> on = OnTops(high, fair, np.zeros(5), shown[0][0], shown[0][1], shown[1][1], True)
    >>> print(draw_plank(on, "centreline").alt)
    A plank along the centreline, 100 mm x 20 mm, fastened at every beam. As measured: it touches 5 of 5 beams, stands
    4 mm above the fair line near beam C and pulls hardest at beam B, 393 N. As planned: it touches 5 of 5 beams and
    follows the fair line within 1 mm.
    """
    board = board or plank_board()
    board.start()
    reach = 1.5 * max(*on.worst, 2.5 * tolerance, float(np.abs(on.measured.z - on.fair).max()), 2.0)
    for at, (which, title) in enumerate(PANES):
        _pane(board, on, which, title, reach, tolerance, units, at)
    strip = on.measured.strip
    size = f"{format_length(strip.breadth, units)} x {format_length(strip.depth, units)}"
    how = "fastened at every beam" if on.fastened else "held down at both ends"
    line = f"the {clean(name, 60)}" if name == "centreline" else f"a line {clean(name, 60)}"
    said = [f"A {clean(strip.name, 30)} along {line}, {size}, {how}."]
    said += [
        f"{title.removeprefix('On the tops ').capitalize()}: {lies_words(on, which, units)}." for which, title in PANES
    ]
    return board.finish(" ".join(said))


def lies_words(on: Any, which: str, units: str = "mm") -> str:
    """
    Say how the strip lies: what it touches, the greatest gap, what shows, and the hardest pull.

    Parameters
    ----------
    on : OnTops
        The strip on the tops as measured and as planned. [mm]
    which : {"measured", "planned"}
        Which tops.
    units : str
        ``"mm"``, ``"in"`` or ``"ft-in-8"``.

    Returns
    -------
    str
        Without a full stop.

    Examples
    --------
    >>> from deckgeom.fairing.batten import fasten_strip
    >>> from deckgeom.fairing.on_tops import OnTops
    >>> from deckgeom.fairing.strip import Strip
    >>> low = fasten_strip([0, 400, 800], [0, -9, 0], Strip(100, 20, 10000), hold=50.0)
    >>> print(lies_words(OnTops(low, low, np.zeros(3), low.x, np.zeros(3), np.zeros(3), True), "planned"))
    it touches 2 of 3 beams, stands 8 mm off beam 2, follows the fair line within 1 mm and cannot be drawn
    down to beam 2
    """
    laid, shown = getattr(on, which), getattr(on, f"shown_{which}")
    said = [f"it touches {int(np.sum(laid.gap < LEAST_GAP))} of {len(laid.x)} beams"]
    gap, worst, pull = (_foremost(a) for a in (laid.gap, np.abs(shown), laid.pull))
    if laid.gap[gap] >= LEAST_GAP:
        said.append(f"stands {gap_words(laid.gap[gap], units)} off beam {clean(laid.names[gap], 20)}")
    if not gap_words(shown[worst], units).startswith("less"):
        near = clean(laid.names[int(np.argmin(np.abs(laid.x - on.x[worst])))], 20)
        way = "above" if shown[worst] > 0 else "below"
        said.append(f"stands {gap_words(shown[worst], units)} {way} the fair line near beam {near}")
    else:
        said.append(f"follows the fair line within {gap_words(0.0, units).removeprefix('less than ')}")
    undrawn = [clean(laid.names[i], 20) for i in np.flatnonzero(laid.drawn & (laid.gap >= LEAST_GAP))]
    if undrawn and on.fastened:
        said.append(f"cannot be drawn down to beam{'s' if len(undrawn) > 1 else ''} {', '.join(undrawn)}")
    elif laid.pull[pull] >= LEAST_FORCE:
        said.append(f"pulls hardest at beam {clean(laid.names[pull], 20)}, {force_words(laid.pull[pull], units)}")
    return f"{', '.join(said[:-1])} and {said[-1]}"


def _foremost(sizes: np.ndarray) -> int:
    """Index of the greatest; of equal ones the first, whatever the last digit of each."""
    return int(np.argmax(np.round(sizes, 6)))


def plank_board() -> Board:
    """
    Make a board for :func:`draw_plank`.

    Examples
    --------
    >>> len(plank_board().panes)
    2
    """
    return Board((1.9, 1.9), legend_rows=(1, 1), foot=(0.4, 0.62))


def _pane(board: Board, on: Any, which: str, title: str, reach: float, tolerance: float, units: str, at: int) -> None:
    laid, shown = getattr(on, which), getattr(on, f"shown_{which}")
    room = 0.02 * (on.x[-1] - on.x[0])
    ends = (float(on.x[0] - room), float(on.x[-1] + room))
    if tolerance:
        words = f"leave: within {gap_words(tolerance, units)}"
        board.band("leave", ends, -tolerance, tolerance, "shade", at=at, label=words)
    board.line("fair", ends, [0, 0], "base", at=at)
    board.line("strip", on.x, shown, "batten", at=at, label=f"{clean(laid.strip.name, 30)}, as it lies")
    touch, off = laid.gap < LEAST_GAP, laid.z - on.fair
    board.dots("tops", laid.x[~touch], off[~touch], "measured", at=at, label="beam top: a gap over it")
    board.dots("touching", laid.x[touch], off[touch], "touching", at=at, label="beam top: touches")
    _write(board, on, laid, shown, tolerance, units, at)
    unit = f"off the fair line ({heights_unit(units)})"
    board.titles(title, "beam" if at else "", unit, at=at)
    board.limits(ends, (-reach, reach), at=at, words="bow to the left, heights drawn large")
    mark_axis(board.panes[at].yaxis, units, 6, unsigned=True)
    _beam_names(board, laid, at)


def _write(board: Board, on: Any, laid: Any, shown: np.ndarray, tolerance: float, units: str, at: int) -> None:
    """The greatest gap, and what shows most, beside their places."""
    worst = _foremost(np.abs(shown))
    if abs(shown[worst]) > max(tolerance, LEAST_GAP):
        up = shown[worst] > 0
        said = f"{gap_words(shown[worst], units)} {'high' if up else 'low'}"
        place = (float(on.x[worst]), float(shown[worst]))
        board.words("shows", *place, said, at=at, shift=(0, 12 if up else -12), ha="center", fontsize=8.5)
    gap = _foremost(laid.gap)
    if laid.gap[gap] >= LEAST_GAP:
        place = (float(laid.x[gap]), float(laid.z[gap] - on.fair[gap]))
        said = f"gap {gap_words(laid.gap[gap], units)}"
        board.words("gap", *place, said, at=at, shift=(0, -12), ha="center", fontsize=8.5)


def _beam_names(board: Board, laid: Any, at: int) -> None:
    """Name the beams along the axis, leaving one out where it would run into the last."""
    least, places, names = (laid.x[-1] - laid.x[0]) / 34, [], []
    for x, name in zip(laid.x, laid.names, strict=True):
        if not places or x - places[-1] >= least:
            places.append(float(x))
            names.append(clean(name, 6))
    mark_names(board.panes[at].xaxis, places, names)
