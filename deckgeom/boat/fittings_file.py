"""
fittings.csv made into things that stand on the deck or go through it.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import numpy as np

from deckgeom.deck.framing_list import kind_of
from deckgeom.units import parse_offcentre

from .cells import one_of, read_cells, read_lengths, unreadable
from .heading import Column
from .log import Log
from .off_plumb import lean_off_plumb, rake_off_plumb, signed_lean
from .sheet import Sheet, read_sheet

MOST_FITTINGS = 10_000
"""A list with more rows is not a boat's."""

COLUMNS = (
    Column("what", True, "what it is: hatch, mast, chainplate, pad ..."),
    Column("x", True, "place of its middle along the boat"),
    *(Column(name) for name in ("y", "length", "breadth", "shape", "rake", "lean", "note")),
)
"""What fittings.csv may hold."""

UNUSUAL = 20.0
"""A mast or chainplate further off plumb is asked about: own default, no source. [deg]"""

_SHAPES = one_of({
    **dict.fromkeys(("round", "circle", "oval", "tube"), "round"),
    **dict.fromkeys(("square", "rectangle", "rectangular", "box", "bar"), "square"),
})  # fmt: skip


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
    rake_deg, lean_deg : float
        Of a mast or a chainplate, off plumb with its top aft and to starboard. [deg]
    shape : {"square", "round"}
        Of a mast.

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
    rake_deg: float = 0.0
    lean_deg: float = 0.0
    shape: str = "square"


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
    rakes = read_cells(sheet, "rake", rake_off_plumb, None, log)
    leans = read_cells(sheet, "lean", lean_off_plumb, None, log)
    shapes = read_cells(sheet, "shape", _SHAPES, None, log)
    found = []
    for k, row in enumerate(sheet.rows):
        what = sheet.columns["what"][k]
        if not what or not sheet.columns["x"][k]:
            name = "x" if what else "what"
            log.mend(sheet.file, row, name, "", "a fitting has a name and a place; it is left out", "a cell left blank")
        elif np.isfinite(x[k]) and not lost[k]:
            size = [_size(sheet, name, k, sizes[name][k], log) for name in ("length", "breadth")]
            place = 0.0 if y[k] is None else y[k]
            off = _off_plumb(sheet, k, rakes[k] or 0.0, leans[k] or (0.0, ""), place, log)
            note = sheet.cells("note")[k]
            found.append(Fitting(what, float(x[k]), place, *size, note, row, *off, shapes[k] or "square"))
    return tuple(found)


def _off_plumb(sheet: Sheet, k: int, rake: float, lean, place, log: Log) -> tuple[float, float]:
    """Rake and lean with their signs, where they are of use."""
    what, row = sheet.columns["what"][k], sheet.rows[k]
    signed = signed_lean(*lean, place)
    if signed is None:
        rule = "on the centreline nothing leans inboard or outboard; it is taken as not leaning"
        log.mend(sheet.file, row, "lean", sheet.columns["lean"][k], rule, "P or S was meant, or y left blank")
    values = {"rake": rake, "lean": signed or 0.0}
    for name, degrees in values.items():
        if degrees and kind_of(what) not in ("mast", "chainplate"):
            rule = f"a {name} is used for a mast and for a chainplate; {what} is taken as neither"
            log.ask(sheet.file, row, name, sheet.columns[name][k], rule, "a cell in another row")
        elif abs(degrees) > UNUSUAL:
            rule = f"{abs(degrees):.1f} degrees off plumb is much; it is used as it stands"
            log.ask(sheet.file, row, name, sheet.columns[name][k], rule, "the run written before the rise, or degrees")
    return values["rake"], values["lean"]


def _size(sheet, name: str, k: int, value: float, log: Log) -> float | None:
    if value < 0:
        log.mend(
            sheet.file, sheet.rows[k], name, sheet.columns[name][k], f"a {name} is nought or more", "a minus for a dash"
        )
    return float(value) if value >= 0 else None
