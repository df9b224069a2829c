"""Camber curves of one beam laid over each other, and how little they differ."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np

from deckgeom.drawings.board import Board
from deckgeom.drawings.picture import Picture
from deckgeom.drawings.style import BLACK, clean
from deckgeom.drawings.ticks import mark_axis, unit_words
from deckgeom.drawings.words import gap_words, heights_unit
from deckgeom.units import format_length

#: Looks of curves that are compared: told apart by their dashes and by a marker at the quarter points.
LOOKS = (
    {"linestyle": "-", "color": BLACK, "linewidth": 1.8},
    {"linestyle": (0, (7, 2)), "color": "#444444", "linewidth": 1.5},
    {"linestyle": (0, (1.5, 1.5)), "color": "#444444", "linewidth": 1.8},
    {"linestyle": (0, (7, 2, 1.5, 2)), "color": "#777777", "linewidth": 1.5},
)
MARKERS = ("o", "s", "^", "D")


def draw_camber_curves(
    half_breadth: float, curves: Mapping[str, Any], chosen: str, units: str = "mm", board: Board | None = None
) -> Picture:
    """
    Draw camber curves with the same crown over each other, and each one's distance from the chosen one.

    Parameters
    ----------
    half_breadth : float
        Centreline to the end of the beam. [mm]
    curves : mapping of str to curve
        By name; each has ``height(y)`` above the ends, on arrays. [mm]
    chosen : str
        The name of the one that the others are held against.
    units : str
        Of the axes and the words.
    board : Board, optional
        One with two panes, to draw on again.

    Returns
    -------
    Picture
        Two panes: half of the beam, and the distances.

    Examples
    --------
    >>> from deckgeom.deck.camber import Circle, Parabola
    >>> curves = {"circle": Circle(1500, 94), "parabola": Parabola(1500, 94)}
    >>> print(draw_camber_curves(1500, curves, "circle").alt)
    Half of a beam of 1500 mm half-breadth with a crown of 94 mm: circle and parabola laid over each other. The
    parabola departs from the circle by less than 1 mm at most.
    """
    board = board or Board((1.7, 1.4), legend_rows=(1, 0), foot=(0.35, 0.62))
    board.start()
    y = np.linspace(0.0, half_breadth, 121)
    quarters = np.arange(1, 4) * half_breadth / 4
    said = []
    for k, name in enumerate(curves):
        look, label = LOOKS[k % len(LOOKS)], clean(name, 24)
        off = curves[name].height(y) - curves[chosen].height(y)
        board.line(name, y, curves[name].height(y), "designed", label=label, **look)
        board.line(name, y, off, "designed", at=1, **look)
        at = curves[name].height(quarters) - curves[chosen].height(quarters)
        board.dots(f"{name} at the quarters", quarters, at, "ordinate", at=1, marker=MARKERS[k % 4], markersize=6)
        if name != chosen:
            most = gap_words(float(np.max(np.abs(off))), units)
            said.append(f"The {label} departs from the {clean(chosen, 24)} by {most} at most.")
    crown = float(curves[chosen].height(0.0))
    _axes(board, half_breadth, crown, chosen, units)
    first = (
        f"Half of a beam of {format_length(half_breadth, units)} half-breadth with a crown of "
        f"{format_length(crown, units)}: {' and '.join(clean(n, 24) for n in curves)} laid over each other."
    )
    return board.finish(" ".join([first, *said]))


def _axes(board: Board, half_breadth: float, crown: float, chosen: str, units: str) -> None:
    across = f"off the centreline ({unit_words(units)})"
    board.titles("Half of the beam", "", f"rise ({heights_unit(units)})")
    board.frame((0, half_breadth), (0, crown))
    title = f"How far each curve stands above or below the {clean(chosen, 24)}"
    board.titles(title, across, f"difference ({heights_unit(units)})", at=1)
    board.limits(board.panes[0].get_xlim(), (-0.03 * crown, 0.03 * crown), at=1, words="differences drawn large")
    for word, y in (("above", 0.024), ("below", -0.024)):
        board.words(word, 0, y * crown, word, at=1, color="#444444", fontstyle="italic")
    for at in (0, 1):
        mark_axis(board.panes[at].xaxis, units, 12)
        mark_axis(board.panes[at].yaxis, units, 8, unsigned=True)
