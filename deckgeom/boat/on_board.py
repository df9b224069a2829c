"""
Fittings and marks against the boat: what would stand off her, and a mark that has moved as none of the others has.
"""

from __future__ import annotations

import numpy as np

from deckgeom.complaint import Complaint
from deckgeom.units import format_length

__all__ = ["fittings_off_board", "marks_apart"]

BEYOND = 300.0
"""So far beyond the deck edge a fitting may stand, as chainplates do: common practice, no source. [mm]"""

MOST_APART = 100.0
"""Marks of one hull move alike within this: common practice, no source. [mm]"""


def fittings_off_board(fittings, sheer, units: str = "mm") -> tuple[Complaint, ...]:
    """
    Ask about fittings that would stand off the deck, or are longer or broader than it.

    Parameters
    ----------
    fittings : sequence of Fitting
        As read.
    sheer : Sheer
        The deck edge.
    units : {"mm", "ft-in-8", "in"}
        For lengths in words.

    Returns
    -------
    tuple of Complaint
        At most one for each fitting.

    Examples
    --------
    >>> from deckgeom.boat.fittings_file import Fitting
    >>> from deckgeom.deck.even_hull import even_hull
    >>> fittings = [Fitting("mast", 0.0), Fitting("rudder", 60_000.0, row=4)]
    >>> [one.value for one in fittings_off_board(fittings, even_hull())]
    ['rudder']
    """
    found = []
    for fitting in fittings:
        column, rule = _off(fitting, sheer, units)
        if column:
            slip = "a nought or a unit too many, or a distance from another zero"
            found.append(Complaint("fittings.csv", fitting.row, column, fitting.what, rule, slip, "ask"))
    return tuple(found)


def _off(fitting, sheer, units: str) -> tuple[str, str]:
    say = lambda mm: format_length(mm, units)  # noqa: E731
    if not sheer.start - BEYOND <= fitting.x <= sheer.end + BEYOND:
        return "x", f"it stands at {say(fitting.x)}, and the deck edge runs from {say(sheer.start)} to {say(sheer.end)}"
    x = min(max(fitting.x, sheer.start), sheer.end)
    port, starboard = (max(float(sheer.half_breadth(side, x)), 0.0) for side in ("port", "starboard"))
    if not isinstance(fitting.y, str):
        reach, side = (starboard, "starboard") if fitting.y > 0 else (port, "port")
        if abs(fitting.y) > reach + BEYOND:
            return "y", f"it stands {say(abs(fitting.y))} to {side}, and the deck edge {say(reach)} there"
    if fitting.length is not None and fitting.length > sheer.end - sheer.start:
        return "length", f"it is {say(fitting.length)} long, and the deck {say(sheer.end - sheer.start)}"
    widest = 2 * max(float(np.max(sheer.half_breadth(s, np.linspace(sheer.start, sheer.end, 50)))) for s in _SIDES)
    if fitting.breadth is not None and fitting.breadth > widest + BEYOND:
        return "breadth", f"it is {say(fitting.breadth)} broad, and the deck {say(widest)} at most"
    return "", ""


_SIDES = ("port", "starboard")


def marks_apart(marks, units: str = "mm") -> tuple[Complaint, ...]:
    """
    Ask about a mark that has moved by far more, or the other way, than the rest.

    Parameters
    ----------
    marks : sequence of LevelMark
        As read.
    units : {"mm", "ft-in-8", "in"}
        For lengths in words.

    Returns
    -------
    tuple of Complaint

    Examples
    --------
    >>> from deckgeom.boat.marks_file import LevelMark
    >>> marks = [LevelMark(str(n), 900.0 * n, 400.0, 600.0, 600.0 - 305 * (n == 3), row=n) for n in range(5)]
    >>> [(one.row, one.value) for one in marks_apart(marks)]
    [(3, '3')]
    """
    known = [mark for mark in marks if mark.first is not None and mark.today is not None]
    if len(known) < 4:
        return ()
    moved = np.array([mark.today - mark.first for mark in known])
    apart = moved - np.median(moved)
    found = []
    for mark, size in zip(known, apart, strict=True):
        if abs(size) > MOST_APART:
            rule = (
                f"it stands {format_length(abs(size), units)} {'higher' if size > 0 else 'lower'} than the others say"
            )
            found.append(Complaint("marks.csv", mark.row, "today", mark.name, rule, "a slip of the tape", "ask"))
    return tuple(found)
