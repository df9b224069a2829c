"""
beams.csv made into marks of beams.
"""

from __future__ import annotations

import math
from pathlib import Path

import numpy as np

from deckgeom.deck.beam_marks import BeamMark
from deckgeom.units import LengthError, parse_offcentre, parse_slope

from .cells import BLANKS, first_of_each, one_of, read_cells, read_lengths, unreadable, yes_or_no
from .heading import Column
from .log import Log
from .settings import BeamSettings
from .sheet import Sheet, read_sheet

MOST_BEAMS = 5_000
"""A list with more rows is not a boat's."""

COLUMNS = (
    Column("beam", True, "its name or number"),
    Column("x", what="distance of its mark along the boat, aft from the boat's zero"),
    Column("spacing", what="distance from the mark before, or from the boat's zero for the first"),
    *(Column(name) for name in ("face", "siding", "moulding", "camber", "rake", "from", "to", "fixed", "note")),
)
"""What beams.csv may hold."""

_FACES = one_of({
    **dict.fromkeys(("forward face", "forward", "fwd", "fore", "f", "front"), "forward face"),
    **dict.fromkeys(("after face", "after", "aft", "a", "back"), "after face"),
    **dict.fromkeys(("middle", "centre", "center", "m", "c"), "middle"),
})  # fmt: skip


def read_beams(path: Path, units: str, settings: BeamSettings, log: Log) -> tuple[BeamMark, ...]:
    """
    Read the list of beams; a beam whose place cannot be read is left out, the rest goes on.

    Parameters
    ----------
    path : Path
        beams.csv, which may be missing.
    units : str
        The folder's units.
    settings : BeamSettings
        For what a row leaves blank.
    log : Log
        Takes the complaints.

    Returns
    -------
    tuple of BeamMark
        In the order of the file.

    Examples
    --------
    >>> from deckgeom.boat import default_settings
    >>> read_beams(Path("no such folder", "beams.csv"), "mm", default_settings().beams, Log())
    ()
    """
    sheet = read_sheet(path, COLUMNS, MOST_BEAMS, log)
    if sheet is None:
        return ()
    names = sheet.columns["beam"]
    keep = first_of_each(sheet, "beam", names, "a beam stands once", "a row copied and not changed", log)
    places = _places(sheet, units, log)
    fields = _fields(sheet, units, settings, log)
    marks = []
    for k, row in enumerate(sheet.rows):
        if not names[k] or names[k] in BLANKS:
            log.mend(
                sheet.file, row, "beam", names[k], "a beam has a name or a number; it is left out", "a cell left blank"
            )
        elif keep[k] and np.isfinite(places[k]) and not fields["spoilt"][k]:
            given = {name: fields[name][k] for name in fields if name != "spoilt"}
            marks.append(BeamMark(name=names[k], x=float(places[k]), row=row, **given))
    _say_order(sheet.file, marks, log)
    return tuple(marks)


def _places(sheet: Sheet, units: str, log: Log) -> np.ndarray:
    """Place of each mark along the boat, from running distances or from spaces."""
    if "x" in sheet and "spacing" in sheet:
        rule = "beams stand by x, or by spacing from mark to mark; spacing is left out"
        log.mend(sheet.file, None, "spacing", "", rule, "two lists copied into one")
    elif "x" not in sheet and "spacing" not in sheet:
        rule = "there is a column x: distance along the boat (or spacing: from mark to mark)"
        log.mend(sheet.file, None, "x", "", rule, "the column or its name was left out")
        return np.full(sheet.size, np.nan)
    name = "x" if "x" in sheet else "spacing"
    values = read_lengths(sheet, name, units, log)
    for row, text, value in zip(sheet.rows, sheet.columns[name], values, strict=True):
        if text in BLANKS and not np.isfinite(value):
            log.mend(sheet.file, row, name, text, "a beam has a place; it is left out", "a cell left blank")
    return values if name == "x" else _running(sheet, values, log)


def _running(sheet: Sheet, spaces: np.ndarray, log: Log) -> np.ndarray:
    """Running distances from spaces; after a space that is not known no place is."""
    for k in np.flatnonzero(spaces < 0):
        rule = "a space from mark to mark is nought or more; the beam is left out"
        log.mend(sheet.file, sheet.rows[k], "spacing", sheet.columns["spacing"][k], rule, "a minus sign for a dash")
    places = np.cumsum(np.where(spaces < 0, np.nan, spaces))
    lost = np.flatnonzero(np.isnan(places))
    if len(lost) > 1:
        rule = "the space before it is not known, so neither is its place: this beam and those after it are left out"
        log.mend(sheet.file, sheet.rows[lost[1]], "spacing", sheet.columns["spacing"][lost[1]], rule)
    return places


def _fields(sheet: Sheet, units: str, settings: BeamSettings, log: Log) -> dict[str, list]:
    """The other columns, blanks filled from the settings; a limit that cannot be read spoils its beam."""
    places = {
        name: read_cells(sheet, name, lambda text: parse_offcentre(text, units), None, log) for name in ("from", "to")
    }
    fixed = read_cells(sheet, "fixed", yes_or_no, False, log)
    bad = [unreadable(sheet, name, places[name]) for name in places]
    return {
        "mark": [face or settings.mark for face in read_cells(sheet, "face", _FACES, None, log)],
        "siding": _sizes(sheet, "siding", units, settings.siding, log),
        "moulding": _sizes(sheet, "moulding", units, settings.moulding, log),
        "camber": _cambers(sheet, units, log),
        "rake_deg": read_cells(sheet, "rake", rake_in_degrees, 0.0, log),
        "start": places["from"],
        "end": places["to"],
        "fixed": fixed,
        "spoilt": [any(pair) for pair in zip(*bad, strict=True)],
    }


def _sizes(sheet: Sheet, name: str, units: str, default: float, log: Log) -> list[float]:
    sizes = []
    for row, text, value in zip(sheet.rows, sheet.cells(name), read_lengths(sheet, name, units, log), strict=True):
        if value <= 0:
            rule = f"a {name} is above nought; the {name} of boat.toml is taken"
            log.mend(sheet.file, row, name, text, rule, "a minus sign for a dash, or a blank typed as 0")
        sizes.append(float(value) if value > 0 else default)
    return sizes


def _cambers(sheet: Sheet, units: str, log: Log) -> list[float | None]:
    cambers = []
    for row, text, value in zip(
        sheet.rows, sheet.cells("camber"), read_lengths(sheet, "camber", units, log), strict=True
    ):
        if value < 0:
            rule = "a camber is nought or more; the camber of the rule is taken"
            log.mend(sheet.file, row, "camber", text, rule, "a drop typed with a minus")
        cambers.append(float(value) if value >= 0 else None)
    return cambers


def rake_in_degrees(text: str) -> float:
    """
    Read a rake, in degrees off plumb or as so much along for so much up.

    Parameters
    ----------
    text : str
        `12`, `12 deg`, `-5`, `1:6`, `2"/ft`; above nought the top leans aft.

    Returns
    -------
    float
        [degrees]

    Examples
    --------
    >>> rake_in_degrees("12 deg"), round(rake_in_degrees("1:6"), 3)
    (12.0, 9.462)
    """
    plain = text.lower().replace("\u2212", "-").replace("\u2013", "-").replace("\u00b0", " deg")
    number = plain.removesuffix("degrees").removesuffix("deg").strip().replace(",", ".")
    try:
        degrees = float(number)
    except ValueError:
        try:
            degrees = math.degrees(math.atan(parse_slope(text)))
        except LengthError as error:
            rule = "a rake is in degrees off plumb, or a slope"
            raise LengthError(text, rule, error.slip, "Write it like 12 deg or 1:6.") from None
    if not abs(degrees) < 60:
        raise LengthError(text, "a rake is less than 60 degrees off plumb", "measured from level and not from plumb")
    return degrees


def _say_order(file: str, marks: list[BeamMark], log: Log) -> None:
    """Ask about a beam that stands forward of the one before it, in a list that otherwise runs aft."""
    steps = np.diff([mark.x for mark in marks])
    backward = np.flatnonzero(steps < 0)
    if not len(steps) or len(backward) > len(steps) / 3:
        return
    for k in backward:
        mark, before = marks[k + 1], marks[k]
        rule = f"the list runs aft, but beam {mark.name} stands forward of beam {before.name} in row {before.row}"
        log.ask(file, mark.row, "x", f"{mark.x:.0f} mm", rule, "a digit left out, or rows in another order", "order")
