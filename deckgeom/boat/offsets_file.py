"""
offsets.csv made into a table of offsets.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np

from deckgeom.hull.offsets import OffsetTable

from .cells import BLANKS, first_of_each, read_lengths
from .heading import Column
from .log import Log
from .sheet import Sheet, read_sheet

MOST_STATIONS = 10_000
"""A table with more rows is not a boat's."""

WHATS = ("height", "half_breadth")
SIDES = ("port", "starboard")

COLUMNS = (
    Column("station", what="its name"),
    Column("x", True, "distance of the station along the boat, aft from the boat's zero"),
    *(Column(what) for what in WHATS),
    *(Column(f"{what}_{side}") for what in WHATS for side in SIDES),
    Column("note"),
)
"""What offsets.csv may hold."""


def read_offsets(path: Path, units: str, log: Log) -> OffsetTable | None:
    """
    Read the table of offsets; a value that cannot be read is left out, the rest goes on.

    Parameters
    ----------
    path : Path
        offsets.csv, which may be missing.
    units : str
        The folder's units.
    log : Log
        Takes the complaints.

    Returns
    -------
    OffsetTable or None
        None where there is nothing that can be used.

    Examples
    --------
    >>> read_offsets(Path("no such folder", "offsets.csv"), "mm", Log()) is None
    True
    """
    sheet = read_sheet(path, COLUMNS, MOST_STATIONS, log)
    if sheet is None:
        return None
    names = _value_columns(sheet, log)
    stations = _station_names(sheet, log)
    keep = np.array(first_of_each(
        sheet, "station", sheet.cells("station"), "a station stands once", "a row copied and not changed", log
    ))  # fmt: skip
    x = read_lengths(sheet, "x", units, log)
    _say_blank_places(sheet, x, log)
    keep &= np.isfinite(x)
    columns = {"x": x[keep]}
    for name in names:
        values = read_lengths(sheet, name, units, log)
        _say_blanks(sheet, name, log)
        columns[name] = _without_negatives(sheet, name, values, log)[keep]
    if not keep.any():
        log.mend(
            sheet.file, None, "", "", "a station has a place x; none has, and the table is left out", "x left blank"
        )
        return None
    _say_few(sheet.file, columns, log)
    kept = np.flatnonzero(keep)
    return OffsetTable.from_rows(columns, [stations[k] for k in kept], [sheet.rows[k] for k in kept])


def _station_names(sheet: Sheet, log: Log) -> list[str]:
    if "station" not in sheet:
        log.note(
            sheet.file, None, "station", "", "there is no column station: stations are called by their row, from 1"
        )
    return [name or f"row {row}" if "station" in sheet else str(number)
            for number, (name, row) in enumerate(zip(sheet.cells("station"), sheet.rows, strict=True), 1)]  # fmt: skip


def _value_columns(sheet: Sheet, log: Log) -> list[str]:
    """Columns to read: for each quantity the one for both sides, or those of the sides, never both."""
    names = []
    for what in WHATS:
        sides = [f"{what}_{side}" for side in SIDES if f"{what}_{side}" in sheet]
        if what in sheet and sides:
            out = what if len(sides) == 2 else sides[0]
            rule = f"{what} stands once for both sides, or once for each: {' and '.join([what, *sides])} stand together"
            log.mend(sheet.file, None, out, "", f"{rule}; {out} is left out", "two tables copied into one")
            names += sides if len(sides) == 2 else [what]
            continue
        names += [what] if what in sheet else sides
        if len(sides) == 1:
            other = f"{what}_{SIDES[sides[0].endswith(SIDES[0])]}"
            log.note(sheet.file, None, other, "", f"only {sides[0]} is given: the other side is taken as its mirror")
        if what not in sheet and not sides:
            rule = (
                f"there is a column {what}, or {what}_port and {what}_starboard; without it the deck edge is not known"
            )
            log.mend(sheet.file, None, what, "", rule, "the column or its name was left out")
    return names


def _say_blank_places(sheet: Sheet, x, log: Log) -> None:
    for row, text, value in zip(sheet.rows, sheet.cells("x"), x, strict=True):
        if not np.isfinite(value) and text in BLANKS:
            log.mend(sheet.file, row, "x", text, "a station has a place; the row is left out", "a cell left blank")


def _say_blanks(sheet: Sheet, name: str, log: Log) -> None:
    for row, text in zip(sheet.rows, sheet.columns[name], strict=True):
        if text in BLANKS:
            log.note(sheet.file, row, name, text, "nothing stands here: the curve passes this station by the others")


def _without_negatives(sheet: Sheet, name: str, values: np.ndarray, log: Log) -> np.ndarray:
    if not name.startswith("half_breadth"):
        return values
    values = values.copy()
    for k in np.flatnonzero(values < 0):
        rule = "a half-breadth is nought or more, port and starboard alike; it is left out"
        slip = "a minus for the port side: give half_breadth_port and half_breadth_starboard a column each"
        log.mend(sheet.file, sheet.rows[k], name, sheet.columns[name][k], rule, slip)
        values[k] = np.nan
    return values


def _say_few(file: str, columns: dict, log: Log) -> None:
    for name, values in columns.items():
        if name == "x":
            continue
        count = int(np.isfinite(values).sum())
        if count < 2:
            rule = f"a curve needs two stations or more, and {name} has {count or 'none'}"
            log.mend(file, None, name, "", rule, "rows not yet measured")
        elif count == 2:
            log.note(file, None, name, "", f"{name} has two stations: its curve is a straight line")
