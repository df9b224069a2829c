"""
A large pattern laid over many sheets of paper: which part is on which, where they overlap, and marks that must meet.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from deckgeom.units import MM_PER_INCH

__all__ = ["FOOT", "HEAD", "MARGIN", "OVERLAP", "ROLL", "SHEETS", "Layout", "Tile", "lay_out_tiles", "pieces_inside",
           "without_empty"]  # fmt: skip

#: Papers, the long side first. [mm]
SHEETS = {
    "A4": (297.0, 210.0),
    "A3": (420.0, 297.0),
    "Letter": (11 * MM_PER_INCH, 8.5 * MM_PER_INCH),
    "Tabloid": (17 * MM_PER_INCH, 11 * MM_PER_INCH),
}
#: Kept clear of the edge of the paper, more than the 5 mm that printers want. [mm]
MARGIN = 8.0
#: Under the drawing, for words and the check bar across; beside it, for the upright bar. [mm]
FOOT, HEAD, SIDE = 22.0, 7.0, 9.0
OVERLAP = 20.0
ROLL = "roll"
#: A page of a PDF is no longer than 14 400 points in most readers; a roll no shorter than its words. [mm]
LONGEST, LEAST = 5000.0, 297.0


@dataclass(frozen=True)
class Tile:
    """
    The part of a pattern that is on one sheet.

    Parameters
    ----------
    column, row : int
        From the left and from the bottom, from 0. [-]
    x, y : float
        Lower left corner of the part. [mm of pattern]
    width, height : float
        [mm of pattern]

    Examples
    --------
    >>> Tile(0, 0, -10.0, 0.0, 260.0, 160.0).right
    250.0
    """

    column: int
    row: int
    x: float
    y: float
    width: float
    height: float

    @property
    def right(self) -> float:
        """Greatest x. [mm of pattern]"""
        return self.x + self.width

    @property
    def upper(self) -> float:
        """Greatest y. [mm of pattern]"""
        return self.y + self.height

    def holds(self, x: float, y: float, slack: float = 0.0) -> bool:
        """Whether a point of the pattern is on this sheet, so far inside. [mm of pattern]"""
        return self.x + slack <= x <= self.right - slack and self.y + slack <= y <= self.upper - slack


@dataclass(frozen=True)
class Layout:
    """
    All sheets of a pattern.

    Parameters
    ----------
    sheet : tuple of float
        Width and height of the paper. [mm]
    tiles : tuple of Tile
        In the order in which they are printed.
    columns, rows : int
    marks : tuple of (str, float, float)
        Letter and place of every mark that two sheets must meet at. [mm of pattern]

    Examples
    --------
    >>> lay_out_tiles((0.0, 0.0, 500.0, 100.0), "A4").columns
    2
    """

    sheet: tuple[float, float]
    tiles: tuple[Tile, ...]
    columns: int
    rows: int
    marks: tuple[tuple[str, float, float], ...]


def lay_out_tiles(bounds: tuple[float, float, float, float], paper: str, scale=(1.0, 1.0)) -> Layout:
    """
    Lay a pattern over sheets, evenly, with overlaps.

    Parameters
    ----------
    bounds : tuple of float
        Least x and y, greatest x and y of what is to be drawn. [mm]
    paper : str
        A key of ``SHEETS``, or "roll": one sheet as large as the pattern, cut only beyond 5 m.
    scale : tuple of float
        Drawn so many times larger across and up, for a printer that shrinks. [-]

    Returns
    -------
    Layout

    Raises
    ------
    ValueError
        For a paper or a scale that cannot be.

    Examples
    --------
    >>> layout = lay_out_tiles((0.0, 0.0, 2300.0, 140.0), "A4")
    >>> layout.columns, layout.rows, len(layout.marks)
    (10, 1, 18)
    """
    if paper not in (*SHEETS, ROLL):
        raise ValueError(f"paper is {paper!r}; patterns are laid over {', '.join(SHEETS)} or {ROLL}. Choose one.")
    if not all(0.9 <= one <= 1.1 for one in scale):
        raise ValueError(f"scale is {scale}: a printer is out by a part in ten at most. Is it a percentage?")
    wide, high = SHEETS.get(paper) or _roll(bounds, scale)
    room = ((wide - 2 * MARGIN - SIDE) / scale[0], (high - 2 * MARGIN - FOOT - HEAD) / scale[1])
    columns, left = _along(bounds[0], bounds[2], room[0])
    rows, low = _along(bounds[1], bounds[3], room[1])
    step = room[0] - OVERLAP, room[1] - OVERLAP
    tiles = tuple(
        Tile(column, row, left + column * step[0], low + row * step[1], *room)
        for row in range(rows - 1, -1, -1)
        for column in range(columns)
    )
    return Layout((wide, high), tiles, columns, rows, _marks(columns, rows, left, low, room, step))


def without_empty(layout: Layout, lines) -> Layout:
    """
    Leave out the sheets that carry nothing of a piece.

    Parameters
    ----------
    layout : Layout
    lines : sequence of (array, array)
        Points of the lines that count. [mm of pattern]

    Returns
    -------
    Layout
        Its marks are those that are still on two sheets.

    Examples
    --------
    >>> layout = lay_out_tiles((0.0, 0.0, 500.0, 300.0), "A4")
    >>> len(layout.tiles), len(without_empty(layout, [(np.array([0.0, 500.0]), np.array([0.0, 0.0]))]).tiles)
    (4, 2)
    """
    tiles = tuple(tile for tile in layout.tiles if any(pieces_inside(x, y, tile) for x, y in lines))
    marks = tuple(mark for mark in layout.marks if sum(tile.holds(*mark[1:]) for tile in tiles) > 1)
    return replace(layout, tiles=tiles, marks=marks)


def _roll(bounds, scale) -> tuple[float, float]:
    """Width and height of a sheet that holds the whole, within what a PDF allows."""
    wide = scale[0] * (bounds[2] - bounds[0] + 10) + 2 * MARGIN + SIDE
    high = scale[1] * (bounds[3] - bounds[1] + 10) + 2 * MARGIN + FOOT + HEAD
    return min(max(wide, LEAST), LONGEST), min(max(high, LEAST / 2), LONGEST)


def _along(least: float, most: float, room: float) -> tuple[int, float]:
    """How many sheets one way, and where the first begins so that the pattern stands in the middle."""
    length = most - least
    count = 1 if length <= room else int(np.ceil((length - OVERLAP) / (room - OVERLAP)))
    whole = room + (count - 1) * (room - OVERLAP)
    return count, least - (whole - length) / 2


def _marks(columns: int, rows: int, left: float, low: float, room, step) -> tuple[tuple[str, float, float], ...]:
    """Two marks on every seam, in the middle of the overlap."""
    found = []
    for row in range(rows):
        for column in range(1, columns):
            x = left + column * step[0] + OVERLAP / 2
            found += [(x, low + row * step[1] + part * room[1]) for part in (0.12, 0.88)]
    for column in range(columns):
        for row in range(1, rows):
            y = low + row * step[1] + OVERLAP / 2
            found += [(left + column * step[0] + part * room[0], y) for part in (0.12, 0.88)]
    return tuple((_letter(k), x, y) for k, (x, y) in enumerate(found))


def _letter(k: int) -> str:
    return (chr(65 + k // 26 - 1) if k >= 26 else "") + chr(65 + k % 26)


def pieces_inside(x: np.ndarray, y: np.ndarray, tile: Tile) -> list[tuple[np.ndarray, np.ndarray]]:
    """
    Cut a line of straight steps to what is on a sheet.

    Parameters
    ----------
    x, y : (n,) array
        Its points. [mm of pattern]
    tile : Tile
        The part.

    Returns
    -------
    list of (array, array)
        Each run that is inside, ended exactly at the edge of the part.

    Examples
    --------
    >>> pieces_inside(np.array([-5.0, 5.0]), np.array([1.0, 1.0]), Tile(0, 0, 0.0, 0.0, 3.0, 2.0))
    [(array([0., 3.]), array([1., 1.]))]
    """
    start, end = _inside(x, tile.x, tile.right)
    low, high = _inside(y, tile.y, tile.upper)
    first, last = np.maximum(np.maximum(start, low), 0), np.minimum(np.minimum(end, high), 1)
    runs: list[list[tuple[float, float]]] = []
    for k in np.flatnonzero(first < last):
        dx, dy = x[k + 1] - x[k], y[k + 1] - y[k]
        begin, stop = (x[k] + first[k] * dx, y[k] + first[k] * dy), (x[k] + last[k] * dx, y[k] + last[k] * dy)
        if runs and first[k] == 0 and runs[-1][-1] == (x[k], y[k]):
            runs[-1].append(stop)
        else:
            runs.append([begin, stop])
        if last[k] == 1:
            runs[-1][-1] = (x[k + 1], y[k + 1])
    return [tuple(np.array(run).T) for run in runs]


def _inside(v: np.ndarray, low: float, high: float) -> tuple[np.ndarray, np.ndarray]:
    """Where each step enters and leaves a band, as parts of the step."""
    a, d = v[:-1], np.diff(v)
    safe = np.where(d == 0, 1.0, d)
    one, two = (low - a) / safe, (high - a) / safe
    flat = (d == 0) & (a >= low) & (a <= high)
    enter = np.where(d == 0, np.where(flat, -np.inf, np.inf), np.minimum(one, two))
    leave = np.where(d == 0, np.where(flat, np.inf, -np.inf), np.maximum(one, two))
    return enter, leave
