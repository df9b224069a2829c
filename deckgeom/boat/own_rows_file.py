"""
figures.csv made into the user's own rows for glue, resin, paint and timber, beside those of the tables.
"""

from __future__ import annotations

from pathlib import Path

from deckgeom.units import LengthError
from deckgeom.units.measures import MM_PER_INCH

from .cells import first_of_each, one_of, read_cells, unreadable
from .heading import Column
from .log import Log
from .sheet import Sheet, read_sheet

MOST_ROWS = 1000
"""A list with more rows is not one person's tins."""

COLUMNS = (
    Column("what", True, "what it is for: a row of the tables, or your own name"),
    Column("likely", True, "the figure on the tin"),
    Column("unit", True, "m2/L, sq ft/gal, L/m2, mm, kg/kg; for timber gravity, kg/m3 or lb/ft3 ..."),
    *(Column(name) for name in ("low", "high", "counts", "note")),
)
"""What figures.csv may hold."""

_SQUARE_FOOT = (12 * MM_PER_INCH / 1000) ** 2
_GALLON = 231 * (MM_PER_INCH / 100) ** 3
_WEIGHED = 1 / (1000 * 1.12)
"""Weighed in the air at 12 % moisture, the water in it counted, to weighed dry: density / 1000 (1 + M/100), the Wood
Handbook's relation. [m3/kg]"""
_POUND_A_FOOT = 0.45359237 / (12 * MM_PER_INCH / 1000) ** 3

UNITS = {
    "m2/L": ("m2/L", 1.0),
    "sq ft/gal": ("m2/L", _SQUARE_FOOT / _GALLON),
    "sq ft/qt": ("m2/L", 4 * _SQUARE_FOOT / _GALLON),
    "L/m2": ("L/m2", 1.0),
    "mm": ("mm", 1.0),
    "kg/kg": ("kg/kg", 1.0),
    "min/min": ("min/min", 1.0),
    "degC": ("degC", 1.0),
    "kg/L": ("kg/L", 1.0),
    "gravity": ("gravity", 1.0),
    "kg/m3": ("gravity", _WEIGHED),
    "lb/ft3": ("gravity", _POUND_A_FOOT * _WEIGHED),
}
"""Units that a figure may be given in, what each becomes and by what factor; gallon and quart are of the US. Timber is
given by its specific gravity, or as weighed in the air at 12 % moisture."""


def own_rows(path: Path, log: Log) -> tuple[dict, ...]:
    """
    Read the user's own figures; a row that cannot be read is left out.

    Parameters
    ----------
    path : Path
        figures.csv, which may be missing.
    log : Log
        Takes the complaints.

    Returns
    -------
    tuple of dict
        With the columns of the table "resin", numbers as numbers, in the order of the file. A row without low or high
        has no band: the figure on the tin is one number.

    Examples
    --------
    >>> own_rows(Path("no such folder", "figures.csv"), Log())
    ()
    """
    sheet = read_sheet(path, COLUMNS, MOST_ROWS, log)
    if sheet is None:
        return ()
    numbers = {name: read_cells(sheet, name, _number, None, log) for name in ("low", "likely", "high")}
    units = read_cells(sheet, "unit", one_of({unit.lower(): unit for unit in UNITS}), None, log)
    lost = [unreadable(sheet, name, each) for name, each in (*numbers.items(), ("unit", units))]
    lost = [any(each) for each in zip(*lost, strict=True)]
    names = sheet.cells("what")
    rule = "each figure stands once"
    first = first_of_each(sheet, "what", [name.lower() for name in names], rule, "a row copied and not renamed", log)
    rows = []
    for k, name in enumerate(names):
        values = [numbers[column][k] for column in ("low", "likely", "high")]
        if not lost[k] and first[k] and _complete(sheet, k, name, values[1], units[k], log):
            row = _row(sheet, k, name, values, units[k], log)
            rows += [row] if row else []
    return tuple(rows)


def _complete(sheet: Sheet, k: int, name: str, likely, unit, log: Log) -> bool:
    for column, value in (("what", name), ("likely", likely), ("unit", unit)):
        if value in (None, ""):
            rule = "a figure has a name, a likely value and a unit; it is left out"
            log.mend(sheet.file, sheet.rows[k], column, "", rule, "a cell left blank")
            return False
    return True


def _row(sheet: Sheet, k: int, name: str, values, unit: str, log: Log) -> dict | None:
    likely = values[1]
    low, high = (likely if each is None else each for each in (values[0], values[2]))
    if not low <= likely <= high:
        log.mend(
            sheet.file, sheet.rows[k], "likely", f"{low:g}, {likely:g}, {high:g}",
            "low, likely and high rise; the row is left out", "two of them swapped",
        )  # fmt: skip
        return None
    unit, factor = UNITS[unit]
    note = sheet.cells("note")[k]
    return {
        "what": name, "low": low * factor, "likely": likely * factor, "high": high * factor, "unit": unit,
        "counts": sheet.cells("counts")[k], "source": f"{sheet.file}, row {sheet.rows[k]}{note and ': ' + note}",
        "seen": "own figure",
    }  # fmt: skip


def _number(text: str) -> float:
    """A number above 0, with a decimal point or comma."""
    plain = text.replace(",", ".") if text.count(",") == 1 and "." not in text else text
    try:
        value = float(plain)
    except ValueError:
        raise LengthError(text, "a number is wanted", "a unit or a note in this column") from None
    if not 0 < value < 1e6:
        raise LengthError(text, "a number above 0 is wanted", "a minus sign for a dash")
    return value
