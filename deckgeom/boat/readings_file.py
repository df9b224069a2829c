"""
readings.csv made into readings of beam tops.
"""

from __future__ import annotations

from itertools import repeat
from pathlib import Path

import numpy as np

from deckgeom.fairing.readings import Reading
from deckgeom.units import LengthError, parse_length, parse_offcentre

from .cells import BLANKS, one_of, read_cells, read_lengths, whole_number
from .heading import Column
from .log import Log
from .sheet import Sheet, read_sheet

MOST_READINGS = 250_000
"""A denser scan than this tells no more about a deck."""

COLUMNS = (
    Column("beam", True, "name of the beam, as in beams.csv"),
    Column("side", what="port or starboard"),
    Column("y", True, "distance off the centreline, or edge"),
    *(Column(name) for name in ("height", "below", "line", "round", "note")),
)
"""What readings.csv may hold."""

_SIDES = one_of({
    **dict.fromkeys(("port", "p", "larboard"), "port"),
    **dict.fromkeys(("starboard", "s", "stbd", "stb"), "starboard"),
    **dict.fromkeys(("centre", "center", "c", "cl", "middle"), "centre"),
})  # fmt: skip


def read_readings(path: Path, units: str, log: Log) -> tuple[Reading, ...]:
    """
    Read the readings; a row that has no certain place or height is left out, the rest goes on.

    Parameters
    ----------
    path : Path
        readings.csv, which may be missing.
    units : str
        The folder's units.
    log : Log
        Takes the complaints.

    Returns
    -------
    tuple of Reading
        In the order of the file. Whether the beam, the line and the side exist is checked where they are known.

    Examples
    --------
    >>> read_readings(Path("no such folder", "readings.csv"), "mm", Log())
    ()
    """
    sheet = read_sheet(path, COLUMNS, MOST_READINGS, log)
    if sheet is None:
        return ()
    if "height" not in sheet and "below" not in sheet:
        rule = "there is a column height (up from the base), or below and line (down from a named line)"
        log.mend(sheet.file, None, "height", "", rule, "the column or its name was left out")
        return ()
    sides, places = _sides_and_places(sheet, units, log)
    height, height_bad = _heights(sheet, "height", units, log)
    below, below_bad = _heights(sheet, "below", units, log)
    rounds = read_cells(sheet, "round", whole_number, 1, log)
    measured = ~(np.isnan(height) & np.isnan(below))
    keep = np.array([place is not None for place in places]) & measured & ~height_bad & ~below_bad
    keep &= _named(sheet, log)
    _say_waiting(sheet, measured | height_bad | below_bad, log)
    columns = [
        sheet.cells("beam"), sides, places, _or_none(height), _or_none(below), _texts_or_none(sheet, "line"), rounds,
        sheet.cells("note") if "note" in sheet else repeat(""), sheet.rows,
    ]  # fmt: skip
    return tuple(Reading(*row) for row, good in zip(zip(*columns, strict=False), keep.tolist(), strict=True) if good)


def _heights(sheet: Sheet, name: str, units: str, log: Log) -> tuple[np.ndarray, np.ndarray]:
    """A column of lengths, and which of its cells have a text that could not be read."""
    values = read_lengths(sheet, name, units, log)
    bad = np.isnan(values)
    if name not in sheet:
        return values, np.zeros(sheet.size, bool)
    for k in np.flatnonzero(bad):
        bad[k] = sheet.columns[name][k] not in BLANKS
    return values, bad


def _or_none(values: np.ndarray) -> list:
    """Floats of an array, None where there is none; a column without any is told at once."""
    if np.isnan(values).all():
        return [None] * len(values)
    found = values.tolist()
    return [None if value != value else value for value in found] if np.isnan(values).any() else found


def _texts_or_none(sheet: Sheet, name: str):
    return [text or None for text in sheet.columns[name]] if name in sheet else [None] * sheet.size


def _named(sheet: Sheet, log: Log) -> np.ndarray:
    names = sheet.columns["beam"]
    if all(names):
        return np.ones(sheet.size, bool)
    for row, name in zip(sheet.rows, names, strict=True):
        if not name:
            log.mend(sheet.file, row, "beam", "", "a reading names its beam; it is left out", "a cell left blank")
    return np.array([bool(name) for name in names])


def _say_waiting(sheet: Sheet, known: np.ndarray, log: Log) -> None:
    waiting = np.flatnonzero(~known)
    if len(waiting):
        first = sheet.rows[waiting[0]]
        rule = f"{len(waiting)} of {sheet.size} readings are not taken yet, the first in row {first}"
        log.note(sheet.file, None, "height", "", rule)


def _sides_and_places(sheet: Sheet, units: str, log: Log) -> tuple[list, list]:
    """Side and unsigned place of each reading; None as place where they cannot be told."""
    sides = read_cells(sheet, "side", _SIDES, "", log)
    words = sheet.cells("side")
    texts = sheet.columns["y"]
    known: dict[tuple, tuple] = {}
    found_sides, found_places = [], []
    for k, (side, word, text) in enumerate(zip(sides, words, texts, strict=True)):
        key = (side, word, text)
        if key not in known:
            known[key] = _place_or_error(side, word, text, units)
        result = known[key]
        if isinstance(result, LengthError):
            log.refusal(sheet.file, sheet.rows[k], "y", text, result)
            result = (side, None)
        found_sides.append(result[0])
        found_places.append(result[1])
    return found_sides, found_places


def _place_or_error(side: str, word: str, text: str, units: str):
    if word not in BLANKS and not side:
        return side, None
    try:
        return _place(side, text, units)
    except LengthError as error:
        return error


def _place(side: str, text: str, units: str) -> tuple[str, float | str]:
    """One place, its side from its own cell or from the column of sides; both may say it if they agree."""
    if text in BLANKS:
        raise LengthError(text, "a reading has a place off the centreline; it is left out", "a cell left blank")
    plain = text.strip().lower()
    if plain in ("edge", "deck edge"):
        if side not in ("port", "starboard"):
            raise LengthError(text, "an edge is port or starboard; the reading is left out", "the side left blank")
        return side, f"{side} edge"
    if side in ("port", "starboard"):
        try:
            y = parse_length(text, units)
        except LengthError as error:
            return _agreeing(side, text, units, error)
        if y < 0:
            raise LengthError(text, "a place with a side has no minus", "the side named twice, by word and by sign")
        return side, y
    y = parse_offcentre(text, units)
    if isinstance(y, str):
        return y.split()[0], y
    if side == "centre" and y:
        raise LengthError(text, "a place off the centreline is port or starboard", "the wrong side in the column side")
    return ("port" if y < 0 else "starboard" if y > 0 else ""), abs(y)


def _agreeing(side: str, text: str, units: str, error: LengthError) -> tuple[str, float | str]:
    """A place that names its side itself, beside a column that names it too."""
    try:
        y = parse_offcentre(text, units)
    except LengthError:
        raise error from None
    own = y.split()[0] if isinstance(y, str) else "port" if y < 0 else "starboard"
    if own != side and y != 0:
        raise LengthError(text, f"the place is to {own} and the column side says {side}", "one of the two not changed")
    return side, y if isinstance(y, str) else abs(y)


def place_of(side: str, y: str, units: str = "mm") -> float | str | None:
    """
    Tell where a reading was taken, from the words of its columns side and y.

    Parameters
    ----------
    side, y : str
        As typed.
    units : {"mm", "ft-in-8", "in"}
        The folder's units.

    Returns
    -------
    float or str or None
        Starboard positive, port negative; "port edge" or "starboard edge"; None where it cannot be told. [mm]

    Examples
    --------
    >>> place_of("P", "300"), place_of("", "edge"), place_of("s", "edge")
    (-300.0, None, 'starboard edge')
    """
    try:
        found = _place(_SIDES(side) if side not in BLANKS else "", y, units)
    except LengthError:
        return None
    if isinstance(found[1], str):
        return found[1]
    return round(-found[1] if found[0] == "port" else found[1], 6) + 0.0
