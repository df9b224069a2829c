"""
fittings.csv made into things that stand on the deck or go through it.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import numpy as np

from deckgeom.units import parse_offcentre

from .cells import read_cells, read_lengths, unreadable
from .heading import Column
from .log import Log
from .sheet import read_sheet

MOST_FITTINGS = 10_000
"""A list with more rows is not a boat's."""

COLUMNS = (
    Column("what", True, "what it is: hatch, mast, chainplate, pad ..."),
    Column("x", True, "place of its middle along the boat"),
    *(Column(name) for name in ("y", "length", "breadth", "note")),
)
"""What fittings.csv may hold."""


@dataclass(frozen=True)
class Fitting:
    """
    A pad, an opening, a chainplate, a mast: something that stands on the deck or goes through it.

    Parameters
    ----------
    what : str
        As typed.
    x : float
        Middle of it along the boat. [mm]
    y : float or str
        Off the centreline, starboard positive; or "port edge", "starboard edge". [mm]
    length, breadth : float or None
        Fore-and-aft and athwartships. [mm]
    note : str
        As typed.
    row : int or None
        Line of the file.

    Examples
    --------
    >>> Fitting("mast", 2100, 0.0).length is None
    True
    """

    what: str
    x: float
    y: float | str = 0.0
    length: float | None = None
    breadth: float | None = None
    note: str = ""
    row: int | None = None


def read_fittings(path: Path, units: str, log: Log) -> tuple[Fitting, ...]:
    """
    Read the fittings; one whose place cannot be read is left out.

    Parameters
    ----------
    path : Path
        fittings.csv, which may be missing.
    units : str
        The folder's units.
    log : Log
        Takes the complaints.

    Returns
    -------
    tuple of Fitting
        In the order of the file.

    Examples
    --------
    >>> read_fittings(Path("no such folder", "fittings.csv"), "mm", Log())
    ()
    """
    sheet = read_sheet(path, COLUMNS, MOST_FITTINGS, log)
    if sheet is None:
        return ()
    x = read_lengths(sheet, "x", units, log)
    y = read_cells(sheet, "y", lambda text: parse_offcentre(text, units), None, log)
    lost = unreadable(sheet, "y", y)
    sizes = {name: read_lengths(sheet, name, units, log) for name in ("length", "breadth")}
    found = []
    for k, row in enumerate(sheet.rows):
        what = sheet.columns["what"][k]
        if not what or not sheet.columns["x"][k]:
            name = "x" if what else "what"
            log.mend(sheet.file, row, name, "", "a fitting has a name and a place; it is left out", "a cell left blank")
        elif np.isfinite(x[k]) and not lost[k]:
            size = [_size(sheet, name, k, sizes[name][k], log) for name in ("length", "breadth")]
            place = 0.0 if y[k] is None else y[k]
            found.append(Fitting(what, float(x[k]), place, *size, sheet.cells("note")[k], row))
    return tuple(found)


def _size(sheet, name: str, k: int, value: float, log: Log) -> float | None:
    if value < 0:
        log.mend(
            sheet.file, sheet.rows[k], name, sheet.columns[name][k], f"a {name} is nought or more", "a minus for a dash"
        )
    return float(value) if value >= 0 else None
