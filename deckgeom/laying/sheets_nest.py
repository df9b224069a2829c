"""
Pieces laid on sheets, by their true outline, and what is left of each sheet.

Each piece where it lies lowest on the first sheet that has room, as drawn or turned end for end; largest, longest or
broadest first, whichever takes fewest sheets. A better nest may exist: the area alone says how many there are at least.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from deckgeom.laying.sheets_outline import outline_area

__all__ = ["Nest", "Offcut", "Placed", "nest"]

#: Outlines are compared on columns about this wide. [mm]
COLUMN = 10.0
#: Offcuts with a side below this are not worth a line. Own default. [mm]
WORTH = 150.0


@dataclass(frozen=True, eq=False)
class Placed:
    """
    A piece on its sheet.

    Parameters
    ----------
    sheet : int
        From 0.
    outline : (n, 2) array
        From the lower left corner of the sheet, its length to the right. [mm]
    turned : bool
        End for end.

    Examples
    --------
    >>> nest([[(0, 0), (900, 0), (900, 400)]], 2440, 1220).placed[0].sheet
    0
    """

    sheet: int
    outline: np.ndarray
    turned: bool


@dataclass(frozen=True)
class Offcut:
    """
    The largest rectangle left at the edge of a sheet.

    Parameters
    ----------
    sheet : int
        From 0.
    length, width : float
        Along the sheet and across it. [mm]

    Examples
    --------
    >>> Offcut(0, 900, 300).length
    900
    """

    sheet: int
    length: float
    width: float


@dataclass(frozen=True, eq=False)
class Nest:
    """
    All pieces on their sheets.

    Parameters
    ----------
    placed : tuple of Placed
        In the order of the pieces given.
    sheets : int
    at_least : int
        Fewer sheets cannot do, by area alone.
    offcuts : tuple of Offcut
    used : float
        Area of the pieces over that of the sheets. [1]

    Examples
    --------
    >>> triangle = [(0, 0), (2440, 0), (2440, 1100)]
    >>> nest([triangle, triangle], 2440, 1220).sheets
    1
    """

    placed: tuple[Placed, ...]
    sheets: int
    at_least: int
    offcuts: tuple[Offcut, ...]
    used: float


def _columns(outline: np.ndarray, column: float) -> tuple[np.ndarray, np.ndarray]:
    """Lowest and highest of an outline in each column from its left end."""
    ends = np.roll(outline, -1, axis=0)
    count = max(1, int(np.ceil(outline[:, 0].max() / column - 1e-6)))
    lines = column * np.arange(1, count)
    low, high = np.full(count, np.inf), np.full(count, -np.inf)
    points = [outline]
    for (ax, ay), (bx, by) in zip(outline, ends, strict=True):
        at = lines[(lines > min(ax, bx)) & (lines < max(ax, bx))]
        if len(at):
            points.append(np.column_stack([at, ay + (at - ax) * (by - ay) / (bx - ax)]))
    x, y = np.vstack(points).T
    for shift in (-1e-6, 1e-6):  # a point between two columns belongs to both
        cell = np.clip(np.floor(x / column + shift), 0, count - 1).astype(int)
        np.minimum.at(low, cell, y)
        np.maximum.at(high, cell, y)
    return low, high


def _turns(outline: np.ndarray) -> list[np.ndarray]:
    """As drawn and turned end for end, each with its lower left at nought."""
    return [way - way.min(axis=0) for way in (outline, -outline)]


def _lowest(top: np.ndarray, low: np.ndarray) -> tuple[float, int]:
    """How far up, and from which column, a piece lies lowest on what is there."""
    windows = np.lib.stride_tricks.sliding_window_view(top, len(low))
    up = np.max(windows - low, axis=1)
    at = int(np.argmin(up))
    return float(max(up[at], 0.0)), at


def nest(outlines, length: float, width: float, kerf: float = 5.0) -> Nest:
    """
    Lay pieces on as few sheets as this simple rule finds.

    Parameters
    ----------
    outlines : sequence of (n, 2) array
        Corners of each piece in order; its first direction lies along the sheet. [mm]
    length, width : float
        Of a sheet. [mm]
    kerf : float
        Kept between pieces. [mm]

    Returns
    -------
    Nest

    Examples
    --------
    >>> found = nest([[(0, 0), (1200, 0), (1200, 1200), (0, 1200)]] * 3, 2440, 1220)
    >>> found.sheets, found.at_least, found.offcuts[-1].length > 1200
    (2, 2, True)
    """
    outlines = [np.asarray(outline, float) for outline in outlines]
    column = length / int(np.ceil(length / COLUMN))
    for k, outline in enumerate(outlines):
        size = np.ptp(outline, axis=0)
        if np.any(size > np.array([length, width]) + 1e-6):
            raise ValueError(
                f"piece {k + 1} is {size[0]:.0f} by {size[1]:.0f} mm and a sheet {length:.0f} by {width:.0f} mm: it "
                "does not go on. Are length and width swapped?"
            )
    areas = [outline_area(outline) for outline in outlines]
    sizes = [np.ptp(outline, axis=0) for outline in outlines]
    orders = [areas, [size[0] for size in sizes], [size[1] for size in sizes]]
    ways = [[(way, *_columns(way, column)) for way in _turns(outline)] for outline in outlines]
    tries = [_in_order(ways, order, column, (length, width), kerf) for order in orders]
    placed, tops = min(tries, key=lambda found: len(found[1]))
    offcuts = (_offcut(n, top, column, width) for n, top in enumerate(tops))
    whole, cut = length * width, sum(areas)
    return Nest(
        tuple(placed),
        len(tops),
        int(np.ceil(cut / whole - 1e-9)),
        tuple(each for each in offcuts if min(each.length, each.width) >= WORTH),
        cut / (whole * len(tops)) if tops else 0.0,
    )


def _in_order(ways, worth, column: float, size, kerf: float) -> tuple[list, list]:
    """All pieces, those worth most first: where each lies, and the top line of each sheet."""
    placed: list = [None] * len(ways)
    tops: list[np.ndarray] = []
    for k in sorted(range(len(ways)), key=lambda k: -worth[k]):
        placed[k] = _place(tops, ways[k], column, size, kerf)
    return placed, tops


def _place(tops: list, ways, column: float, size, kerf: float) -> Placed:
    """On the first sheet with room, or on a new one; what is taken is written into its top line."""
    for number in range(len(tops) + 1):
        if number == len(tops):
            tops.append(np.zeros(round(size[0] / column)))
        choices = []
        for turned, (way, low, high) in enumerate(ways):
            up, at = _lowest(tops[number], low)
            choices.append((up + way[:, 1].max(), turned, up, at, high, way))
        best = min(choices, key=lambda choice: choice[:2])
        if best[0] <= size[1] + 1e-6:
            _, turned, up, at, high, way = best
            _raise(tops[number], at, up + high + kerf, int(np.ceil(kerf / column)))
            along = min(at * column, size[0] - way[:, 0].max())
            return Placed(number, way + [along, up], bool(turned))
    raise AssertionError("a piece no larger than a sheet goes on an empty one")


def _raise(top: np.ndarray, at: int, high: np.ndarray, beside: int) -> None:
    """Write what a piece takes into the top line, with room for the saw on its sides as well."""
    wide = np.r_[np.full(2 * beside, -np.inf), high, np.full(2 * beside, -np.inf)]
    wide = np.lib.stride_tricks.sliding_window_view(wide, 2 * beside + 1).max(axis=1)
    first, last = max(at - beside, 0), min(at + len(high) + beside, len(top))
    top[first:last] = np.maximum(top[first:last], wide[first - at + beside : last - at + beside])


def _offcut(number: int, top: np.ndarray, column: float, width: float) -> Offcut:
    """Largest rectangle above the top line."""
    best = (0.0, 0.0, 0.0)
    for first in range(len(top)):
        height = width - np.maximum.accumulate(top[first:])
        area = np.maximum(height, 0) * column * np.arange(1, len(height) + 1)
        at = int(np.argmax(area))
        best = max(best, (float(area[at]), (at + 1) * column, float(height[at])))
    return Offcut(number, best[1], max(best[2], 0.0))
