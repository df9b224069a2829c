"""Boxes to fill in, made for the hull of a pair."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence

from deckgeom.lessons.exercise import Answer, Grid, Slip, SlipTooNear
from deckgeom.lessons.hulls import ClassHull, DrawAgain

__all__ = ["apart", "ask_choice", "ask_length", "ask_number", "first_clear", "grid_for", "rows_of"]


def ask_length(hull: ClassHull, key: str, asks: str, value: float, slips=(), hints=(), within: float | None = None):
    """
    A box for a length.

    Parameters
    ----------
    hull : ClassHull
        Gives the units.
    key, asks : str
        Name of the box, and what goes into it.
    value : float
        The right answer. [mm]
    slips : iterable of (str, float)
        Known slips by name, and what comes out. [mm]
    hints : sequence of str
    within : float, optional
        Tolerance; one mark of the tape if not given. [mm]

    Returns
    -------
    Answer

    Examples
    --------
    >>> from deckgeom.lessons.class_work import pair_work
    >>> ask_length(pair_work(17, 1, "easy").hull, "A", "camber", 94.0).tolerance_shown
    'within 1 mm'
    """
    made = tuple(Slip(name, float(out)) for name, out in slips)
    return Answer(key, asks, "length", float(value), hull.tape if within is None else within, hull.units, made,
                  tuple(hints))  # fmt: skip


def apart(slips: Iterable[tuple[str, float]], value: float, within: float) -> list[tuple[str, float]]:
    """
    Of several slips those that can be told from the right answer: for slips that do no harm where they lie near it.

    Parameters
    ----------
    slips : iterable of (str, float)
        Names, and what comes out. [as the answer]
    value, within : float
        The right answer and its tolerance. [as the answer]

    Returns
    -------
    list of (str, float)

    Examples
    --------
    >>> apart([("wrong rule", 94.5), ("next line", 80.0)], 94.0, 1.0)
    [('next line', 80.0)]
    """
    return [(name, out) for name, out in slips if abs(out - value) > 2.1 * within]


def ask_number(hull: ClassHull, key: str, asks: str, value: float, unit: str, within: float, slips=(), hints=(),
               kind: str = "number") -> Answer:  # fmt: skip
    """
    A box for a number that is no length, or for degrees.

    Parameters
    ----------
    hull : ClassHull
    key, asks : str
    value, within : float
        The right answer and its tolerance. [unit]
    unit : str
        Written after it.
    slips : iterable of (str, float)
    hints : sequence of str
    kind : {"number", "degrees"}

    Returns
    -------
    Answer

    Examples
    --------
    >>> from deckgeom.lessons.class_work import pair_work
    >>> ask_number(pair_work(17, 1, "easy").hull, "S", "sheets", 5, "sheets", 0).shown
    '5 sheets'
    """
    made = tuple(Slip(name, float(out)) for name, out in slips)
    return Answer(key, asks, kind, float(value), within, hull.units, made, tuple(hints), (), unit)


def ask_choice(hull: ClassHull, key: str, asks: str, value: str, choices, slips=(), hints=()) -> Answer:
    """
    A box for one of several words.

    Parameters
    ----------
    hull : ClassHull
    key, asks : str
    value : str
        The right one.
    choices : sequence of str
    slips : iterable of (str, str)
        Known slips by name, and what is chosen then.
    hints : sequence of str

    Returns
    -------
    Answer

    Examples
    --------
    >>> from deckgeom.lessons.class_work import pair_work
    >>> ask_choice(pair_work(17, 1, "easy").hull, "H", "a hump?", "no", ("yes", "no")).shown
    'no'
    """
    made = tuple(Slip(name, out) for name, out in slips)
    return Answer(key, asks, "choice", value, 0.0, hull.units, made, tuple(hints), tuple(choices))


def first_clear(places: Iterable, make: Callable) -> Answer:
    """
    The first of several places at which no known slip comes near the right answer.

    Parameters
    ----------
    places : iterable
        Where it might be asked.
    make : callable
        From a place to an answer; raises SlipTooNear, or returns None, where it will not do.

    Returns
    -------
    Answer

    Raises
    ------
    DrawAgain
        If there is no such place.

    Examples
    --------
    >>> first_clear([1, 2, 3], lambda k: k if k > 1 else None)
    2
    """
    for place in places:
        try:
            made = make(place)
        except SlipTooNear:
            continue
        if made is not None:
            return made
    raise DrawAgain("a slip lies near the right answer wherever it is asked")


def rows_of(head: Iterable[str], *columns: Iterable[str]) -> tuple[tuple[str, ...], ...]:
    """
    Rows of a table from its columns.

    Parameters
    ----------
    head : iterable of str
        The first column.
    *columns : iterable of str

    Returns
    -------
    tuple of tuple of str

    Examples
    --------
    >>> rows_of(("1", "2"), ("a", "b"))
    (('1', 'a'), ('2', 'b'))
    """
    return tuple(zip(head, *columns, strict=True))


def grid_for(hull: ClassHull, places: Sequence[tuple[str, float]], low: float, high: float, up: float,
             caption: str) -> Grid:  # fmt: skip
    """
    A blank grid whose lines are 5 mm apart on paper, or a quarter of an inch for a class in inches.

    Parameters
    ----------
    hull : ClassHull
    places : sequence of (str, float)
        Names and places of the upright lines to be marked; the grid begins at the first. [mm]
    low, high : float
        What it must hold, up and down. [mm]
    up : float
        How many millimetres one millimetre of paper stands for, upwards. [-]
    caption : str

    Returns
    -------
    Grid
        About 160 mm wide, in a whole scale across.

    Examples
    --------
    >>> from deckgeom.lessons.class_work import pair_work
    >>> grid = grid_for(pair_work(17, 1, "easy").hull, [("1", 0.0), ("9", 4800.0)], 103, 187, 1.0, "crowns")
    >>> grid.low, grid.height, grid.across
    (100.0, 95.0, 30)
    """
    every = 5.0 if hull.units == "mm" else 6.35
    step = every * up
    start = places[0][1]
    width = places[-1][1] - start
    bottom = math.floor(low / (2 * step)) * 2 * step
    height = math.ceil((high - bottom) / step + 1) * step
    return Grid(width, height, math.ceil(width / 160), up, every, tuple((name, x - start) for name, x in places),
                caption, bottom)  # fmt: skip
