"""
A table that a person typed, as columns of text with the line of each row.
"""

from __future__ import annotations

import csv
import io
import re
from dataclasses import dataclass, field
from pathlib import Path

from .files import read_text
from .log import Log, nearest

SEPARATORS = ",;\t|"
"""What may stand between two cells."""

_COMMENT = re.compile(r"^[ \t]*#.*$", re.MULTILINE)


@dataclass(frozen=True)
class Column:
    """
    One column that a file may have.

    Parameters
    ----------
    name : str
        As in the heading.
    needed : bool
        Whether the rows mean nothing without it.
    what : str
        What stands in it, in words.

    Examples
    --------
    >>> Column("x", True, "distance along the boat").name
    'x'
    """

    name: str
    needed: bool = False
    what: str = ""


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
        Line of the file that each row begins on, from 1.
    separator : str
        What stands between cells.

    Examples
    --------
    >>> Sheet("beams.csv", {"beam": ["1", "2"]}, [2, 3]).size
    2
    """

    file: str
    columns: dict[str, list[str]] = field(default_factory=dict)
    rows: list[int] = field(default_factory=list)
    separator: str = ","

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
    if text.count("\n") > 2 * most:
        _too_many(path.name, text.count("\n"), most, log)
        return None
    text = _without_comments(path.name, text, log)
    found = _records(path.name, text, known, log)
    if found is None:
        return None
    heading, records, separator = found
    return _sorted_in(path.name, heading, records, separator, known, most, log)


def _too_many(file: str, count: int, most: int, log: Log) -> None:
    log.mend(
        file,
        None,
        "",
        "",
        f"about {count} rows stand here and at most {most} are believed; the file is left out",
        "a scan",
    )


def _without_comments(file: str, text: str, log: Log) -> str:
    """Blank the lines that begin with #, so that all others keep their number."""
    if "#" not in text:
        return text
    for number, line in enumerate(text.split("\n"), 1):
        words = line.lstrip()
        if words.startswith("#") and re.match(r"#[0-9A-Za-z]{1,4} *[,;\t|] *[0-9\"']", words):
            log.note(file, number, "", words, "a line that begins with # is a comment and is not read", alike="comment")
    return _COMMENT.sub("", text)


def _records(file: str, text: str, known, log: Log):
    """Heading and rows with their line, by the separator that gives the most known columns."""
    heading_text = next(line for line in (*text.split("\n"), "") if line.strip() or line == "")
    heading_text = next((line for line in text.split("\n") if line.strip()), None)
    if heading_text is None:
        log.mend(file, None, "", "", "the file has a heading and rows", "every line is a comment")
        return None
    separator = max(SEPARATORS, key=lambda mark: _matches(heading_text, mark, known))
    rows = _split(file, text, separator, csv.QUOTE_MINIMAL, log)
    if rows is None or any(_runs_on(cells) for _, cells in rows):
        opened = next((number for number, cells in rows or () if _runs_on(cells)), None)
        rule = 'a quotation mark that opens a cell is closed in the same cell; here " is read as it stands'
        log.mend(file, opened, "", "", rule, "an inch mark at the beginning of a cell")
        rows = _split(file, text, separator, csv.QUOTE_NONE, log)
    if not rows:
        return None
    return rows[0], rows[1:], separator


def _matches(line: str, mark: str, known) -> tuple[int, int]:
    names = {column.name for column in known}
    cells = [plain_name(cell) for cell in line.split(mark)]
    return sum(cell in names for cell in cells), len(cells)


def _runs_on(cells: list[str]) -> bool:
    return any("\n" in cell for cell in cells)


def _split(file: str, text: str, separator: str, quoting: int, log: Log):
    reader = csv.reader(io.StringIO(text), delimiter=separator, quoting=quoting, skipinitialspace=True)
    rows, before = [], 0
    try:
        for cells in reader:
            if cells and (len(cells) > 1 or cells[0].strip()):
                rows.append((before + 1, cells))
            before = reader.line_num
    except csv.Error as error:
        if quoting == csv.QUOTE_MINIMAL:
            return None
        log.mend(file, before + 1, "", "", f"this row cannot be told into cells ({error})", "not a table")
    return rows


def plain_name(name: str) -> str:
    """
    Write the name of a column as the program has it: lower case, underscores.

    Parameters
    ----------
    name : str
        As in the heading.

    Returns
    -------
    str
        The plain name.

    Examples
    --------
    >>> plain_name(" Half-breadth port ")
    'half_breadth_port'
    """
    return re.sub(r"[ \-.]+", "_", name.strip().strip("\"'\ufeff").strip().lower())


def _sorted_in(file: str, heading, records, separator: str, known, most: int, log: Log) -> Sheet | None:
    row, names = heading
    places = _known_places(file, row, names, known, log)
    if places is None:
        return None
    if len(records) > most:
        _too_many(file, len(records), most, log)
        return None
    width = len(names)
    good = [record for record in records if len(record[1]) == width]
    if len(good) < len(records):
        good = _fitting(file, records, names, separator, log)
    good = [record for record in good if any(cell.strip() for cell in record[1])]
    if not good:
        log.mend(file, None, "", "", "rows stand under the heading", "only the heading was typed")
        return None
    rows, cells = zip(*good, strict=True)
    by_place = list(zip(*cells, strict=True))
    columns = {name: list(map(str.strip, by_place[place])) for name, place in places.items()}
    return Sheet(file, columns, list(rows), separator)


def _fitting(file: str, records, names, separator: str, log: Log):
    """Rows with as many cells as the heading, blanks at the end not counted; a complaint about each other row."""
    good, width = [], len(names)
    for row, cells in records:
        while len(cells) > width and not cells[-1].strip():
            cells = cells[:-1]
        if len(cells) == width:
            good.append((row, cells))
            continue
        many = len(cells) > width
        if many and separator == ",":
            slip = "a decimal comma in a comma-separated table, or a comma in a note without quotation marks"
        else:
            slip = "a separator too many" if many else "a separator left out: a blank needs one too"
        shown = separator.join(cells).replace("\t", " ")
        log.mend(
            file,
            row,
            "",
            shown,
            f"the heading has {width} cells and this row {len(cells)}; it is left out",
            slip,
            "ragged",
        )
    return good


def _known_places(file: str, row: int, names, known, log: Log) -> dict[str, int] | None:
    """Where each known column stands; None where the rows mean nothing without one that is missing."""
    by_name = {column.name: column for column in known}
    places, likely = {}, set()
    if not any(plain_name(name) in by_name or nearest(plain_name(name), by_name) for name in names):
        rule = f"the first row names the columns: {', '.join(by_name)}"
        log.mend(file, row, "", ", ".join(names), rule, "the heading was left out, or a row stands above it")
        return None
    for place, name in enumerate(names):
        plain = plain_name(name)
        if plain in places:
            log.mend(file, row, plain, "", "a column stands once; the first is read", "a column copied twice")
        elif plain in by_name:
            places[plain] = place
        elif plain:
            likely.add(_unknown(file, row, name, plain, by_name, log))
    missing = [column for column in known if column.needed and column.name not in places]
    for column in missing:
        if column.name not in likely:
            rule = f"there is a column {column.name}: {column.what}"
            log.mend(file, row, column.name, "", rule, "the column or its name was left out")
    return None if missing else places


def _unknown(file: str, row: int, name: str, plain: str, by_name, log: Log) -> str | None:
    bare = re.sub(r"_*[(\[].*$", "", plain)
    if bare in by_name:
        rule = f"the column is called {bare}; it is left out. Units stand in boat.toml, or in each cell"
        log.mend(file, row, name.strip(), "", rule, "the unit in the heading")
        return bare
    near = nearest(plain, by_name)
    slip = f"{near} was meant" if near else f"known are {', '.join(by_name)}"
    log.mend(file, row, name.strip(), "", "this column is not known and is left out", slip)
    return near
