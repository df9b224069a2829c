"""
A text told into rows and cells, whatever stands between the cells.
"""

from __future__ import annotations

import csv
import io
import re
from dataclasses import dataclass

from .heading import Column, plain_name
from .log import Log

SEPARATORS = ",;\t|"
"""What may stand between two cells."""

MOST_LETTERS = 100_000
"""Nobody types a longer cell."""

_COMMENT = re.compile(r"^[ \t]*#.*$", re.MULTILINE)
_ROW_LIKE = re.compile(r"#[0-9A-Za-z]{1,4} *[,;\t|] *[0-9\"']")


@dataclass
class Records:
    """
    Rows of cells.

    Parameters
    ----------
    rows : list of int
        Line of the file that each begins on, from 1. [-]
    cells : list of list of str
        Cells of each.
    separator : str
        What stands between them.

    Examples
    --------
    >>> Records([1, 2], [["x"], ["7"]], ",").rows
    [1, 2]
    """

    rows: list[int]
    cells: list[list[str]]
    separator: str


def split_text(file: str, text: str, known: tuple[Column, ...], log: Log) -> Records | None:
    """
    Tell a text into rows and cells; comments and blank lines are left out, every row keeps its line.

    Parameters
    ----------
    file : str
        Name of the file.
    text : str
        Its text.
    known : tuple of Column
        The separator is the one that gives most of these in the heading.
    log : Log
        Takes the complaints.

    Returns
    -------
    Records or None
        None where there is not even a heading.

    Examples
    --------
    >>> split_text("a.csv", "# by hand\\nbeam;x\\n\\n1;0,5\\n", (Column("beam"), Column("x")), Log()).cells
    [['beam', 'x'], ['1', '0,5']]
    """
    text = _without_comments(file, text, log)
    heading = next((line for line in io.StringIO(text) if line.strip()), None)
    if heading is None:
        log.mend(file, None, "", "", "the file has a heading and rows", "every line is a comment")
        return None
    separator = max(SEPARATORS, key=lambda mark: _matches(heading, mark, known))
    long = _long_line(text, separator)
    if long is not None:
        rule = f"a cell holds less than {MOST_LETTERS} letters; the file is left out"
        log.mend(file, long, "", "", rule, "another kind of file under this name")
        return None
    try:
        records = _split(text, separator, csv.QUOTE_MINIMAL)
        opened = _left_open(records) if '"' in text else None
    except csv.Error:
        records, opened = None, 1
    if records is not None and not records.rows:
        log.mend(file, None, "", "", "the file has a heading and rows", "every cell is blank")
        return None
    if opened is None:
        return records
    rule = 'a quotation mark that opens a cell is closed in the same cell; every " is read as it stands'
    log.mend(file, opened, "", "", rule, "an inch mark at the beginning of a cell")
    try:
        return _unquoted(_split(text, separator, csv.QUOTE_NONE))
    except csv.Error as error:
        log.mend(file, None, "", "", f"the file is a table of cells ({error})", "another kind of file under this name")
        return None


def _without_comments(file: str, text: str, log: Log) -> str:
    """Blank the lines that begin with #, so that all others keep their number."""
    if "#" not in text:
        return text
    for number, line in enumerate(text.split("\n"), 1):
        words = line.strip()
        if _ROW_LIKE.match(words):
            log.note(file, number, "", words, "a line that begins with # is a comment and is not read", alike="comment")
    return _COMMENT.sub("", text)


def _matches(line: str, mark: str, known) -> tuple[int, int]:
    names = {column.name for column in known}
    cells = [plain_name(cell) for cell in line.split(mark)]
    return sum(cell in names for cell in cells), len(cells)


def _split(text: str, separator: str, quoting: int) -> Records:
    reader = csv.reader(io.StringIO(text), delimiter=separator, quoting=quoting, skipinitialspace=True)
    rows, kept, before = [], [], 0
    for cells in reader:
        if cells and "".join(cells).strip():
            rows.append(before + 1)
            kept.append(cells)
        before = reader.line_num
    return Records(rows, kept, separator)


def _long_line(text: str, separator: str) -> int | None:
    """Line of the first cell that is longer than any that a person types."""
    if len(text) < MOST_LETTERS:
        return None
    for number, line in enumerate(text.split("\n"), 1):
        if len(line) >= MOST_LETTERS and max(map(len, line.split(separator))) >= MOST_LETTERS:
            return number
    return None


def _left_open(records: Records) -> int | None:
    """Line of the first cell that runs on over lines, but for a note that is closed again."""
    names = [plain_name(name) for name in records.cells[0]] if records.cells else []
    for row, cells in zip(records.rows, records.cells, strict=True):
        for place, cell in enumerate(cells):
            if "\n" in cell and not (len(cells) == len(names) and names[place] == "note"):
                return row
    return None


def _unquoted(records: Records) -> Records:
    """Take off the quotation marks of cells that are properly closed."""
    whole = re.compile(r'\s*"(.*)"\s*')

    def bare(cell: str) -> str:
        match = whole.fullmatch(cell)
        return match[1].replace('""', '"') if match else cell

    return Records(records.rows, [[bare(cell) for cell in cells] for cells in records.cells], records.separator)
