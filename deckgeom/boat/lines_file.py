"""
lines.csv made into strings, laser lines and straight-edges to measure from.
"""

from __future__ import annotations

import re
from pathlib import Path

import numpy as np

from deckgeom.hull.strings import MeasuringLine
from deckgeom.units import LengthError, parse_length, parse_offcentre

from .cells import BLANKS, first_of_each, read_cells, read_lengths, unreadable
from .forces import parse_pull, parse_string_weight
from .heading import Column
from .log import Log
from .sheet import Sheet, read_sheet

MOST_LINES = 1_000
"""A list with more rows is not of strings."""

COLUMNS = (
    Column("line", True, "its name, as the readings have it"),
    Column("from", True, "where it is held: a place along the boat, or off the centreline with a side"),
    Column("to", True, "where its other end is held"),
    Column("height_from", True, "height of the end at from, up from the base"),
    Column("height_to", True, "height of the end at to, up from the base"),
    *(Column(name) for name in ("sag", "weight", "pull", "note")),
)
"""What lines.csv may hold."""

_ATHWART = re.compile(r"\b(?:p|port|s|stbd|stb|starboard|edge)\b|[0-9][ps]\b|\b[ps][0-9]", re.IGNORECASE)


def read_lines(path: Path, units: str, log: Log) -> tuple[MeasuringLine, ...]:
    """
    Read the lines that readings are taken down from; one whose ends cannot be read is left out.

    Parameters
    ----------
    path : Path
        lines.csv, which may be missing.
    units : str
        The folder's units.
    log : Log
        Takes the complaints.

    Returns
    -------
    tuple of MeasuringLine
        In the order of the file. A line whose ends name a side lies across the boat.

    Examples
    --------
    >>> read_lines(Path("no such folder", "lines.csv"), "mm", Log())
    ()
    """
    sheet = read_sheet(path, COLUMNS, MOST_LINES, log)
    if sheet is None:
        return ()
    names = sheet.columns["line"]
    keep = first_of_each(sheet, "line", names, "a line stands once", "a row copied and not changed", log)
    heights = {name: read_lengths(sheet, name, units, log) for name in ("height_from", "height_to", "sag")}
    sag = [None if np.isnan(value) else float(value) for value in heights["sag"]]
    forces = {
        "weight": read_cells(sheet, "weight", parse_string_weight, None, log),
        "pull": read_cells(sheet, "pull", parse_pull, None, log),
    }
    spoilt = [unreadable(sheet, name, values) for name, values in (("sag", sag), *forces.items())]
    lines = []
    for k, row in enumerate(sheet.rows):
        ends = _ends(sheet, k, units, log)
        blank = _blank(sheet, k, log)
        if not keep[k] or ends is None or blank or any(column[k] for column in spoilt):
            continue
        levels = float(heights["height_from"][k]), float(heights["height_to"][k])
        if np.isfinite(levels).all():
            given = {"sag": sag[k], "weight": forces["weight"][k], "pull": forces["pull"][k]}
            lines.append(MeasuringLine(names[k], *ends[:2], *levels, **given, athwart=ends[2], row=row))
    return tuple(lines)


def _blank(sheet: Sheet, k: int, log: Log) -> bool:
    blank = [name for name in ("line", "from", "to", "height_from", "height_to") if sheet.columns[name][k] in BLANKS]
    for name in blank:
        log.mend(sheet.file, sheet.rows[k], name, "", f"a line has its {name}; it is left out", "a cell left blank")
    return bool(blank)


def _ends(sheet: Sheet, k: int, units: str, log: Log):
    """Both held places, and whether the line lies across the boat; None where one cannot be read."""
    texts = {name: sheet.columns[name][k] for name in ("from", "to")}
    athwart = any(_ATHWART.search(text) for text in texts.values())
    read = parse_offcentre if athwart else parse_length
    places = []
    for name, text in texts.items():
        if text in BLANKS:
            return None
        try:
            places.append(read(text, units))
        except LengthError as error:
            log.refusal(sheet.file, sheet.rows[k], name, text, error)
    return (*places, athwart) if len(places) == 2 else None
