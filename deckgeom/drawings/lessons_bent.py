"""Pictures of the lessons on bending: a batten held by ducks, spring-back of a glued beam, and a beam's bevel."""

from __future__ import annotations

from typing import Any

import numpy as np

from deckgeom.drawings.board import Board
from deckgeom.drawings.picture import Picture
from deckgeom.drawings.ticks import mark_axis, mark_names, unit_words
from deckgeom.drawings.words import gap_words, heights_unit
from deckgeom.units import format_length

#: A move smaller than this is not told apart from none. [mm] Common practice, no source.
LEAST_SEEN = 1.0


def ducks_board() -> Board:
    """
    Make a board for :func:`draw_ducks`.

    Examples
    --------
    >>> len(ducks_board().panes)
    2
    """
    return Board((2.1, 1.5), legend_rows=(1, 0), foot=(0.35, 0.62))


def draw_ducks(held: Any, marks: Any, units: str = "mm", board: Board | None = None) -> Picture:
    """
    Draw a batten held by ducks, and how far it would spring past each of them.

    Parameters
    ----------
    held : DuckBatten
        Of :func:`deckgeom.lessons.ducks.hold_batten`.
    marks : array_like, shape (n,)
        Where a fair line would have the ducks stand. [mm]
    units : str
        Of the axes and the words.
    board : Board, optional
        One of :func:`ducks_board`, to draw on again.

    Returns
    -------
    Picture
        Two panes: the floor from above, and the spring of each duck.

    Examples
    --------
    >>> from deckgeom.lessons.ducks import hold_batten
    >>> held = hold_batten([0, 1000, 2000, 3000, 4000], [0, 57, 88, 57, 0])
    >>> print(draw_ducks(held, [0, 57, 80, 57, 0]).alt.rpartition("lifted. ")[2])
    The batten eases most when duck 3 is lifted: it goes 10 mm down there.
    """
    board = board or ducks_board()
    board.start()
    down = np.array([k not in held.lifted for k in range(len(held.place))])
    x = np.linspace(held.place[0], held.place[-1], 241)
    line = held.laid.height(x)
    board.dots("marks", held.place, marks, "doubtful", label="marks of a fair line", markersize=8)
    board.line("batten", x, line, "batten", label="batten", linewidth=2.2, linestyle="-")
    board.dots("down", held.place[down], held.at[down], "measured", label="duck", marker="s", markersize=10)
    if not down.all():
        board.dots(
            "lifted", held.place[~down], held.at[~down], "measured starboard", label="duck, lifted", markersize=11
        )
    for k, (place, top) in enumerate(zip(held.place, np.maximum(held.at, marks), strict=True), 1):
        board.words(f"duck {k}", place, top, f"{k}", shift=(0, 14), ha="center", fontweight="bold")
    board.titles("The floor from above", "", f"across ({heights_unit(units)})")
    seen = np.concatenate([line, held.at, np.asarray(marks, dtype=float)])
    ends = float(held.place[0]), float(held.place[-1])
    board.frame(ends, (float(seen.min()), float(seen.max())), most=15, room=0.16)
    _springs(board, held, units)
    return board.finish(f"A batten held by {int(down.sum())} ducks, {_lifted(held)}. {spring_words(held, units)}")


def spring_words(held: Any, units: str = "mm") -> str:
    """
    Say which duck eases the batten most when it is lifted.

    Parameters
    ----------
    held : DuckBatten
        Of :func:`deckgeom.lessons.ducks.hold_batten`.
    units : str
        That the words speak in.

    Examples
    --------
    >>> from deckgeom.lessons.ducks import hold_batten
    >>> spring_words(hold_batten([0, 1000, 2000], [0, 50, 0]))
    'The batten eases most when duck 2 is lifted: it goes 50 mm down there.'
    """
    worst = held.worst
    if abs(held.spring[worst]) < LEAST_SEEN:
        return "Lift any one of them, and the batten stays: the line is fair as it lies."
    goes = _way(float(held.spring[worst]), units)
    return f"The batten eases most when duck {worst + 1} is lifted: it goes {goes} there."


def _way(spring: float, units: str) -> str:
    return f"{gap_words(spring, units)} {'up' if spring > 0 else 'down'}"


def _lifted(held: Any) -> str:
    names = " and ".join(str(k + 1) for k in held.lifted)
    return f"duck {names} lifted" if names else "none lifted"


def _springs(board: Board, held: Any, units: str) -> None:
    inner = slice(1, -1)
    place, spring = held.place[inner], held.spring[inner]
    ends = board.panes[0].get_xlim()
    board.line("stays", ends, [0, 0], "base", at=1)
    board.stems("springs", place, 0, spring, at=1)
    up = spring > 0
    board.dots("up", place[up], spring[up], "plane", at=1)
    board.dots("down", place[~up], spring[~up], "pack", at=1)
    for k, (where, far) in enumerate(zip(place, spring, strict=True)):
        said = _way(float(far), units) if abs(far) >= LEAST_SEEN else "stays"
        lift = 12 if far > 0 else -13
        board.words(f"spring {k}", where, far, said, at=1, shift=(0, lift), ha="center")
    reach = max(1.5 * float(np.max(np.abs(spring))), 10.0)
    board.titles("How far the batten moves past each duck when that one is lifted", "duck",
                 f"moves ({heights_unit(units)})", at=1)  # fmt: skip
    board.limits(ends, (-reach, reach), at=1)
    mark_axis(board.panes[0].xaxis, units, 12)
    mark_axis(board.panes[0].yaxis, units, 6, unsigned=True)
    mark_names(board.panes[1].xaxis, list(held.place), [str(k) for k in range(1, len(held.place) + 1)])
    mark_axis(board.panes[1].yaxis, units, 5, unsigned=True)


def spring_back_board() -> Board:
    """
    Make a board for :func:`draw_spring_back`.

    Examples
    --------
    >>> len(spring_back_board().panes)
    1
    """
    return Board((2.4,), legend_rows=1)


def draw_spring_back(
    half_breadth: float, form: Any, released: Any, layers: int, units: str = "mm", board: Board | None = None
) -> Picture:
    """
    Draw the form that strips are glued on, and the beam when the clamps are off.

    Parameters
    ----------
    half_breadth : float
        Of the beam. [mm]
    form, released : curve
        Each has ``rise`` and ``height(y)``. [mm]
    layers : int
        Glued together. [-]
    units : str
        Of the axes and the words.
    board : Board, optional
        One of :func:`spring_back_board`, to draw on again.

    Returns
    -------
    Picture

    Examples
    --------
    >>> from deckgeom.deck.camber import Parabola
    >>> print(draw_spring_back(1500, Parabola(1500, 112.5), Parabola(1500, 100), 3).alt)
    A form of 113 mm rise, and the beam of 3 layers that came off it with 100 mm: it opened by 13 mm.
    """
    board = board or spring_back_board()
    board.start()
    y = np.linspace(-half_breadth, half_breadth, 121)
    board.band("lost", y, released.height(y), form.height(y), "pack", label="opened")
    board.line("form", y, form.height(y), "other face", label="the form (jig)", linewidth=1.8)
    board.line("released", y, released.height(y), "designed", label=f"the beam of {layers} layers, clamps off")
    said = [format_length(curve.rise, units) for curve in (form, released)]
    board.words("form", 0.0, form.rise, said[0], shift=(0, 11), ha="center")
    board.words("released", 0.0, released.rise, said[1], shift=(0, -12), ha="center", fontweight="bold")
    board.titles("The form and the beam", f"off the centreline ({unit_words(units)})", f"rise ({heights_unit(units)})")
    board.frame((-half_breadth, half_breadth), (0.0, 1.12 * form.rise), most=10)
    mark_axis(board.panes[0].xaxis, units, 12, unsigned=True)
    mark_axis(board.panes[0].yaxis, units, 6)
    lost = gap_words(form.rise - released.rise, units)
    return board.finish(f"A form of {said[0]} rise, and the beam of {layers} layers that came off it with {said[1]}: "
                        f"it opened by {lost}.")  # fmt: skip


def bevel_board() -> Board:
    """
    Make a board for :func:`draw_bevel`.

    Examples
    --------
    >>> len(bevel_board().panes)
    2
    """
    return Board((1.9, 1.6), legend_rows=(1, 1), foot=(0.62, 0.62))


def draw_bevel(
    across: Any, half_breadth: float, moulding: float, units: str = "mm", board: Board | None = None
) -> Picture:
    """
    Draw a beam cut through along the boat, and its bevel from the centreline to its end.

    Parameters
    ----------
    across : BevelAcross
        Of :func:`deckgeom.lessons.bevels.bevel_across`.
    half_breadth : float
        Of the beam. [mm]
    moulding : float
        Up and down. [mm]
    units : str
        Of the axes and the words.
    board : Board, optional
        One of :func:`bevel_board`, to draw on again.

    Returns
    -------
    Picture
        Two panes: the cut at the centreline, true to proportion; and the bevel across.

    Examples
    --------
    >>> from deckgeom.lessons.bevels import bevel_across
    >>> print(draw_bevel(bevel_across(1200, 0.15, -0.05, 75, 40), 1200, 60).alt)
    Bevel of the beam at the centreline: 2.3 degrees, falls aft; at its end: 1.8 degrees, falls aft.
    """
    board = board or bevel_board()
    board.start()
    siding, rise = across.siding, float(across.rise[0])
    square, top = [0, siding, siding, 0], [moulding, moulding + rise, 0, 0]
    board.outline("beam", square, top, "timber")
    board.line("square", [0, siding], [moulding, moulding], "bridge", label="square across", linewidth=1.4)
    board.line("top", [0, siding], top[:2], "designed", label="top of the beam")
    board.words("fore", 0.0, moulding / 2, "forward face", shift=(-8, 0), ha="right")
    board.words("aft", siding, moulding / 2, "after face", shift=(8, 0), ha="left")
    board.titles("Cut through at the centreline, bow to the left", f"aft ({heights_unit(units)})",
                 f"up ({heights_unit(units)})")  # fmt: skip
    board.frame((0, siding), (0, moulding + abs(rise)), most=1, room=0.1)
    y, sheer = half_breadth * across.u, np.degrees(np.arctan(across.sheer_slope))
    board.line("sheer", [0, half_breadth], [sheer, sheer], "bridge", at=1, label="the sheer alone", linewidth=1.4)
    board.line("bevel", y, across.degrees, "designed", at=1, label="the bevel: sheer and camber together")
    board.line("level", [0, half_breadth], [0, 0], "base", at=1)
    board.titles("The bevel across the beam", f"off the centreline ({unit_words(units)})", "bevel (degrees)", at=1)
    low, high = min(0.0, sheer, float(np.min(across.degrees))), max(0.0, sheer, float(np.max(across.degrees)))
    board.limits((0, half_breadth), (low - 0.4, high + 0.4), at=1, words="above nought: rises aft")
    mark_axis(board.panes[1].xaxis, units, 12)
    for axis in (board.panes[0].xaxis, board.panes[0].yaxis):
        mark_axis(axis, units, 6, unsigned=True)
    said = [bevel_words(float(across.degrees[k])) for k in (0, -1)]
    return board.finish(f"Bevel of the beam at the centreline: {said[0]}; at its end: {said[1]}.")


def bevel_words(degrees: float) -> str:
    """
    Say a bevel and which way it goes.

    Parameters
    ----------
    degrees : float
        Above nought where the deck rises aft. [deg]

    Examples
    --------
    >>> bevel_words(-2.3264), bevel_words(0.01)
    ('2.3 degrees, falls aft', 'square')
    """
    if abs(degrees) < 0.05:
        return "square"
    return f"{abs(degrees):.1f} degrees, {'rises' if degrees > 0 else 'falls'} aft"
