"""
marks.csv made into the marks that tell whether the hull has moved.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import numpy as np

from deckgeom.units import parse_offcentre

from .cells import first_of_each, read_cells, read_lengths, unreadable
from .heading import Column
from .log import Log
from .sheet import read_sheet

MOST_MARKS = 1_000
"""A list with more rows is not of marks on a hull."""

COLUMNS = (
    Column("mark", True, "its name"),
    Column("x", True, "place along the boat"),
    Column("y", True, "off the centreline, with its side, or port edge or starboard edge"),
    Column("first", True, "height when it was first measured, up from the base"),
    Column("today", True, "height above the same base today"),
    Column("note"),
)
"""What marks.csv may hold."""


@dataclass(frozen=True)
class LevelMark:
    """
    A mark on the hull whose height is measured again whenever somebody comes back to her.

    Parameters
    ----------
    name : str
        What it is called.
    x : float
        Place along the boat. [mm]
    y : float or str
        Off the centreline, starboard positive; or "port edge", "starboard edge". [mm]
    first, today : float or None
        Heights above one base, then and now; None where not measured. [mm]
    row : int or None
        Line of the file.

    Examples
    --------
    >>> LevelMark("1", 600.0, "port edge", 812.0).today is None
    True
    """

    name: str
    x: float
    y: float | str
    first: float | None = None
    today: float | None = None
    row: int | None = None


def read_marks(path: Path, units: str, log: Log) -> tuple[LevelMark, ...]:
    """
    Read the marks; one whose place or name cannot be read is left out.

    Parameters
    ----------
    path : Path
        marks.csv, which may be missing.
    units : str
        The folder's units.
    log : Log
        Takes the complaints.

    Returns
    -------
    tuple of LevelMark
        In the order of the file.

    Examples
    --------
    >>> read_marks(Path("no such folder", "marks.csv"), "mm", Log())
    ()
    """
    sheet = read_sheet(path, COLUMNS, MOST_MARKS, log)
    if sheet is None:
        return ()
    names = sheet.columns["mark"]
    keep = first_of_each(sheet, "mark", names, "a mark stands once", "a row copied and not changed", log)
    x = read_lengths(sheet, "x", units, log)
    y = read_cells(sheet, "y", lambda text: parse_offcentre(text, units), None, log)
    heights = {name: read_lengths(sheet, name, units, log) for name in ("first", "today")}
    spoilt = [unreadable(sheet, name, values) for name, values in (("x", x), ("y", y), *heights.items())]
    found = []
    for k, row in enumerate(sheet.rows):
        blank = [name for name in ("mark", "x", "y") if not sheet.columns[name][k]]
        for name in blank:
            rule = f"a mark has its {'name' if name == 'mark' else name}; it is left out"
            log.mend(sheet.file, row, name, "", rule, "a cell left blank")
        if keep[k] and not blank and not any(column[k] for column in spoilt):
            then, now = (None if np.isnan(heights[name][k]) else float(heights[name][k]) for name in heights)
            found.append(LevelMark(names[k], float(x[k]), y[k], then, now, row))
    return tuple(found)
