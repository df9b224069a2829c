"""
A table that a person typed, as columns of text with the line of each row.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from pathlib import Path

from .files import read_text
from .heading import Column, find_columns, plain_name
from .log import Log
from .records import Records, split_text


@dataclass
class Sheet:
    """
    The rows of one file that have as many cells as the heading.

    Parameters
    ----------
    file : str
        Its name.
    columns : dict of str to list of str
        Cells of each known column, stripped.
    rows : list of int
        Line of the file that each row begins on, from 1. [-]

    Examples
    --------
    >>> Sheet("beams.csv", {"beam": ["1", "2"]}, [2, 3]).size
    2
    """

    file: str
    columns: dict[str, list[str]] = field(default_factory=dict)
    rows: list[int] = field(default_factory=list)

    @property
    def size(self) -> int:
        """Number of rows."""
        return len(self.rows)

    def __contains__(self, name: str) -> bool:
        return name in self.columns

    def cells(self, name: str) -> list[str]:
        """Cells of a column; blanks where the file has no such column."""
        return self.columns.get(name) or [""] * self.size


def read_sheet(path: Path, known: tuple[Column, ...], most: int, log: Log) -> Sheet | None:
    """
    Read a table, complaining about headings and rows that do not fit.

    Parameters
    ----------
    path : Path
        A file of comma, semicolon or tab separated cells, which may be missing.
    known : tuple of Column
        The columns that it may have.
    most : int
        So many rows are believed. [-]
    log : Log
        Takes the complaints.

    Returns
    -------
    Sheet or None
        None where there is nothing that can be used.

    Examples
    --------
    >>> read_sheet(Path("no such folder", "beams.csv"), (), 100, Log()) is None
    True
    """
    text = read_text(path, log)
    if text is None:
        return None
    if not text.strip():
        log.mend(path.name, None, "", "", "the file has a heading and rows", "the file was emptied or never filled in")
        return None
    if text.strip().count("\n") > 2 * most:
        return _too_many(path.name, text.strip().count("\n"), most, log)
    records = split_text(path.name, text, known, log)
    if records is None:
        return None
    places = find_columns(path.name, records.rows[0], records.cells[0], known, log)
    if places is None:
        return None
    if len(records.rows) - 1 > most:
        return _too_many(path.name, len(records.rows) - 1, most, log)
    return _sheet(path.name, records, places, log)


def _too_many(file: str, count: int, most: int, log: Log) -> None:
    rule = f"{count} rows stand here and at most {most} are believed; the file is left out"
    log.mend(file, None, "", "", rule, "a scan that wants thinning, or another table under this name")


def _sheet(file: str, records: Records, places: dict[str, int], log: Log) -> Sheet | None:
    names, rows, cells = records.cells[0], records.rows[1:], records.cells[1:]
    if set(map(len, cells)) - {len(names)}:
        rows, cells = _fitting(file, names, rows, cells, records.separator, log)
    if not rows:
        log.note(file, None, "", "", "no row stands under the heading yet, so nothing is known of it")
        return None
    by_place = list(zip(*cells, strict=True))
    return Sheet(file, {name: list(map(str.strip, by_place[place])) for name, place in places.items()}, rows)


def _fitting(file: str, names, rows, cells, separator: str, log: Log):
    """Rows with as many cells as the heading, blanks and a missing note at the end not counted."""
    width = len(names)
    good_rows, good_cells = [], []
    for row, found in zip(rows, cells, strict=True):
        while len(found) > width and not found[-1].strip():
            found = found[:-1]
        if len(found) == width - 1 and plain_name(names[-1]) == "note":
            found = [*found, ""]
        if len(found) == width:
            good_rows.append(row)
            good_cells.append(found)
            continue
        rule = f"the heading has {width} cells and this row {len(found)}; the row is left out"
        log.mend(file, row, "", separator.join(found), rule, _ragged_slip(len(found) > width, separator), "ragged")
    return good_rows, good_cells


def _ragged_slip(many: bool, separator: str) -> str:
    if not many:
        return "a separator left out: a blank needs one too"
    if separator == ",":
        return "a decimal comma in a comma-separated table, or a comma in a note without quotation marks"
    return "a separator too many"
