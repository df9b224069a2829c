"""Layouts of a camber as they are drawn step by step, and all of them laid over each other."""

from __future__ import annotations

from typing import Any

import numpy as np

from deckgeom.drawings.board import Board
from deckgeom.drawings.camber import LOOKS, MARKERS
from deckgeom.drawings.picture import Picture
from deckgeom.drawings.style import GREY
from deckgeom.drawings.ticks import mark_axis, unit_words
from deckgeom.drawings.words import gap_words, heights_unit
from deckgeom.units import format_length

#: Line, as it looks in the step that draws it.
ROLES = {"base": "designed", "construction": "bridge", "tool": "batten", "result": "designed"}
WIDTHS = {"base": 1.1, "construction": 1.1, "tool": 2.2, "result": 2.4}
IN_WORDS = {"base": "lines to start from", "construction": "lines that help", "tool": "nails, sticks, batten",
            "result": "lengths, points, curve"}  # fmt: skip
MOST_TIMES = 10


def layout_board(aside: bool) -> Board:
    """
    Make a board for :func:`draw_layout`.

    Parameters
    ----------
    aside : bool
        With a second pane for the small figure drawn beside the beam.

    Examples
    --------
    >>> len(layout_board(True).panes)
    2
    """
    if aside:
        return Board((2.1, 2.2), legend_rows=(1, 1), foot=(0.62, 0.62))
    return Board((2.6,), legend_rows=1)


def draw_layout(layout: Any, step: int, units: str = "mm", board: Board | None = None) -> Picture:
    """
    Draw a layout as it stands after one of its steps: what the step adds is bold, what was there is thin and grey.

    Parameters
    ----------
    layout : Layout
        Of :func:`deckgeom.lessons.layouts.layout_steps`.
    step : int
        Counted from 1. [-]
    units : str
        Of the axes and the words.
    board : Board, optional
        One of :func:`layout_board`, to draw on again.

    Returns
    -------
    Picture
        The beam, and beside it the small figure if there is one.

    Examples
    --------
    >>> from deckgeom.lessons.layouts import layout_steps
    >>> print(draw_layout(layout_steps("ordinates", 1200, 75), 2).alt[:64])
    Step 2 of 4 of the layout 'ordinates', for a beam of 1200 mm hal
    """
    aside = any(stroke.on == "aside" for one in layout.steps for stroke in one.strokes)
    board = board or layout_board(aside)
    board.start()
    before, new = layout.drawn(step)
    _frame(board, layout, units, aside)
    for which, strokes in (("before", before), ("new", new)):
        _strokes(board, which, strokes)
    return board.finish(
        f"Step {step} of {len(layout.steps)} of the layout '{layout.name}', for a beam of "
        f"{format_length(layout.half_breadth, units)} half-breadth and {format_length(layout.camber, units)} camber. "
        f"{layout.steps[step - 1].words}"
    )


def _strokes(board: Board, which: str, strokes: Any) -> None:
    """Strokes of one role together, since one line is drawn sooner than many."""
    for at, on in enumerate(("beam", "aside")[: len(board.panes)]):
        for role in ROLES:
            mine = [one for one in strokes if one.on == on and one.role == role]
            _lines(board, which, role, at, [one for one in mine if one.kind in ("line", "arc")])
            lone = which == "new" and not any(one.kind in ("line", "arc") for one in mine)
            label = f"this step: {IN_WORDS[role]}" if lone else None
            _dots(board, which, role, at, [one for one in mine if one.kind == "points"], label)
            for k, one in enumerate(one for one in mine if one.kind == "label"):
                _label(board, f"{which} {role} {k}", which, one, at)


def _lines(board: Board, which: str, role: str, at: int, lines: list) -> None:
    if not lines:
        return
    y, z = (np.concatenate([np.append(getattr(one, name), np.nan) for one in lines]) for name in ("y", "z"))
    look = {"linewidth": WIDTHS[role]} if which == "new" else {"linewidth": 0.9, "color": GREY}
    label = f"this step: {IN_WORDS[role]}" if which == "new" else None
    board.line(f"{which} {role}", y, z, ROLES[role], at=at, label=label, **look)


def _dots(board: Board, which: str, role: str, at: int, dots: list, label: str | None) -> None:
    if not dots:
        return
    y, z = (np.concatenate([getattr(one, name) for one in dots]) for name in ("y", "z"))
    look = {"markersize": 7 if role == "tool" else 6} if which == "new" else {"markersize": 4, "color": GREY}
    marker = "D" if role == "tool" else "o"
    board.dots(f"{which} {role}", y, z, "ordinate", at=at, label=label, marker=marker, **look)


def _label(board: Board, name: str, which: str, stroke: Any, at: int) -> None:
    under = stroke.on == "beam" and float(stroke.z[0]) == 0.0
    look = {"fontweight": "bold", "color": "black"} if which == "new" else {"fontweight": "normal", "color": "#444444"}
    shift, place = ((0, -9), {"ha": "center", "va": "top"}) if under else ((7, 5), {"ha": "left", "va": "bottom"})
    board.words(name, float(stroke.y[0]), float(stroke.z[0]), stroke.words, at=at, shift=shift, **look, **place)


def _frame(board: Board, layout: Any, units: str, aside: bool) -> None:
    left = -layout.half_breadth if layout.whole else 0.0
    board.titles("The beam" if layout.whole else "Half of the beam", f"off the centreline ({unit_words(units)})",
                 f"rise ({heights_unit(units)})")  # fmt: skip
    across, up = (1.04 * left, 1.04 * layout.half_breadth), (-0.2 * layout.camber, 1.12 * layout.camber)
    board.frame(across, up, most=MOST_TIMES)
    if aside:
        board.titles("To one side: the quarter circle", f"along its base line ({heights_unit(units)})",
                     f"up ({heights_unit(units)})", at=1)  # fmt: skip
        board.frame((0, layout.camber), (0, 1.05 * layout.camber), at=1, most=1)
    for pane in board.panes:
        mark_axis(pane.xaxis, units, 12, unsigned=True)
        mark_axis(pane.yaxis, units, 6, unsigned=True)


def draw_layout_gaps(gaps: Any, units: str = "mm", board: Board | None = None) -> Picture:
    """
    Lay the curves of all layouts over each other, and draw each one's distance from the circle large.

    Parameters
    ----------
    gaps : LayoutGaps
        Of :func:`deckgeom.lessons.layouts.layout_gaps`.
    units : str
        Of the axes and the words.
    board : Board, optional
        One of :func:`gaps_board`, to draw on again.

    Returns
    -------
    Picture
        Two panes: half of the beam, and the distances.

    Examples
    --------
    >>> from deckgeom.lessons.layouts import layout_gaps
    >>> print(draw_layout_gaps(layout_gaps(1500, 94)).alt.rpartition(". ")[2])
    The sprung batten departs from it by 7 mm at most, 1001 mm off the centreline.
    """
    board = board or gaps_board()
    board.start()
    circle = gaps.rise[gaps.names.index("ordinates")]
    said = []
    for k, (name, label) in enumerate(_curves()):
        rise, look = gaps.rise[gaps.names.index(name)], LOOKS[k]
        board.line(name, gaps.y, rise, "designed", label=label, **look)
        board.line(name, gaps.y, rise - circle, "designed", at=1, **look)
        every = slice(20 * k + 20, None, 80)
        board.dots(name, gaps.y[every], (rise - circle)[every], "ordinate", at=1, marker=MARKERS[k], markersize=6)
        board.dots(f"{name} marked", gaps.y[every], rise[every], "ordinate", marker=MARKERS[k], markersize=6)
        if k:
            gap, place = gaps.between(name, "ordinates")
            said.append(f"The {label} departs from it by {gap_words(gap, units)} at most, "
                        f"{format_length(place, units)} off the centreline.")  # fmt: skip
    _gap_frames(board, gaps, units)
    return board.finish(
        f"Half of a beam of {format_length(gaps.half_breadth, units)} half-breadth with a camber of "
        f"{format_length(gaps.camber, units)}. The circle by ordinates and the circle by two sticks are one curve. "
        + " ".join(said)
    )


def gaps_board() -> Board:
    """
    Make a board for :func:`draw_layout_gaps`.

    Examples
    --------
    >>> len(gaps_board().panes)
    2
    """
    return Board((1.9, 1.6), legend_rows=(1, 0), foot=(0.35, 0.62))


def _curves() -> tuple:
    return (
        ("ordinates", "circle (ordinates, two sticks)"),
        ("equal divisions", "parabola (equal divisions)"),
        ("quarter-circle", "quarter-circle"),
        ("sprung batten", "sprung batten"),
    )


def _gap_frames(board: Board, gaps: Any, units: str) -> None:
    board.titles("All laid over each other: half of the beam", "", f"rise ({heights_unit(units)})")
    board.frame((0, gaps.half_breadth), (0, gaps.camber), most=MOST_TIMES)
    across = f"off the centreline ({unit_words(units)})"
    board.titles("How far each lies above or below the circle", across, f"difference ({heights_unit(units)})", at=1)
    board.limits(board.panes[0].get_xlim(), (-0.1 * gaps.camber, 0.03 * gaps.camber), at=1, words="drawn large")
    for word, share in (("above", 0.018), ("below", -0.05)):
        board.words(word, 0.0, share * gaps.camber, word, at=1, color="#444444", fontstyle="italic")
    for pane in board.panes:
        mark_axis(pane.xaxis, units, 12)
        mark_axis(pane.yaxis, units, 8, unsigned=True)
