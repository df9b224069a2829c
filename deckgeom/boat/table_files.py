"""
The tables of a boat's folder that are typed: their columns, and how a cell is read back to its writer.
"""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path

from deckgeom.units import LengthError, echo, format_offcentre, parse_length, parse_offcentre

from . import beams_file, fittings_file, lines_file, marks_file, offsets_file, readings_file
from .cells import BLANKS
from .heading import Column, plain_name
from .typed_table import TypedTable, read_table

TABLES: dict[str, tuple[Column, ...]] = {
    "offsets.csv": offsets_file.COLUMNS,
    "beams.csv": beams_file.COLUMNS,
    "readings.csv": readings_file.COLUMNS,
    "lines.csv": lines_file.COLUMNS,
    "fittings.csv": fittings_file.COLUMNS,
    "marks.csv": marks_file.COLUMNS,
}
"""Columns that each table may have."""

_BEGUN = {
    "offsets.csv": ("station", "x", "height_port", "height_starboard", "half_breadth_port", "half_breadth_starboard"),
    "beams.csv": ("beam", "x", "siding", "moulding", "from", "to", "fixed", "note"),
    "readings.csv": ("beam", "side", "y", "height", "round", "note"),
}
_LENGTHS = frozenset(
    "x spacing height half_breadth height_port height_starboard half_breadth_port half_breadth_starboard siding "
    "moulding below height_from height_to sag length breadth first today".split()
)
_OFF_CENTRE = {("fittings.csv", "y"), ("marks.csv", "y")}


def typed_table(folder: str | Path, file: str) -> TypedTable:
    """
    Read one of a boat's tables to be changed.

    Parameters
    ----------
    folder : str or Path
        The boat's folder.
    file : str
        A key of ``TABLES``.

    Returns
    -------
    TypedTable
        Begun with a heading where there is no such file.

    Raises
    ------
    KeyError
        Where a boat has no table of that name.
    TypedError
        Where the file cannot be changed cell by cell.

    Examples
    --------
    >>> typed_table("no such folder", "beams.csv").columns[:2]
    ('beam', 'x')
    """
    if file not in TABLES:
        raise KeyError(f"a boat has no table {file!r}; there are: {', '.join(TABLES)}")
    path = Path(folder, file)
    if path.exists() or file not in _BEGUN:
        return read_table(path, TABLES[file])
    return read_table(path, [Column(name) for name in _BEGUN[file]])


@lru_cache(maxsize=20_000)
def cell_echo(file: str, column: str, words: str, units: str) -> str:
    """
    Read a cell back in tape language.

    Parameters
    ----------
    file, column : str
        The table, and the column's name as typed.
    words : str
        What stands in the cell.
    units : str
        The folder's units.

    Returns
    -------
    str
        Empty where the cell is blank, no length, or cannot be read.

    Examples
    --------
    >>> cell_echo("offsets.csv", "height", "1-7-4+", "ft-in-8")
    '1\\' 7 9/16" (497 mm)'
    """
    name, words = plain_name(column), words.partition(" #")[0].strip()
    if words in BLANKS:
        return ""
    try:
        if (file, name) in _OFF_CENTRE:
            place = parse_offcentre(words, units)
            return place if isinstance(place, str) else format_offcentre(place, units)
        return echo(parse_length(words, units), units) if name in _LENGTHS else ""
    except LengthError:
        return ""
