"""
A table as it was typed, byte for byte, in which single cells can be changed and nothing else.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import zip_longest
from pathlib import Path

from .heading import Column, plain_name
from .log import Log
from .places import lex, one_end
from .records import split_text

_ENCODINGS = ("utf-8-sig", "utf-8", "utf-16", "cp1252")


class TypedError(ValueError):
    """A change that a table cannot take; the message says why and what to do."""


@dataclass(frozen=True, eq=False)
class TypedTable:
    """
    A table of a boat's folder as it stands on the disk, or would stand there.

    Parameters
    ----------
    path : Path
        The file.
    data : bytes or None
        All of it; None while there is no such file.
    encoding : str
        Of its text.
    separator : str
        What stands between two cells.
    quoted : bool
        Whether a quotation mark at the beginning of a cell opens it.
    columns : tuple of str
        The heading as typed.
    rows : tuple of int
        Line of the file that each row begins on, from 1. [-]
    cells : tuple of tuple of str
        What a person reads in each row.
    spans : tuple of tuple of (int, int)
        Where each cell stands in the text, the heading's first.

    Examples
    --------
    >>> table = begin_table(Path("beams.csv"), ("beam", "x"))
    >>> change_cells(append_rows(table, [["1", "400"]]), {(0, 1): "410"}).data
    b'beam,x\\n1,410\\n'
    """

    path: Path
    data: bytes | None
    encoding: str
    separator: str
    quoted: bool
    columns: tuple[str, ...]
    rows: tuple[int, ...]
    cells: tuple[tuple[str, ...], ...]
    spans: tuple[tuple[tuple[int, int], ...], ...]

    @property
    def text(self) -> str:
        """The whole file as text, its line ends as they are."""
        return "" if self.data is None else self.data.decode(self.encoding)

    @property
    def line_end(self) -> str:
        """What ends a line in this file."""
        return "\r\n" if "\r\n" in self.text else "\n"

    def column(self, name: str) -> int:
        """Place of a column by its plain name, from 0; TypedError where there is none."""
        names = [plain_name(one) for one in self.columns]
        if plain_name(name) not in names:
            raise TypedError(f"{self.path.name} has no column {name!r}; it has {', '.join(self.columns)}.")
        return names.index(plain_name(name))

    def row(self, line: int) -> int:
        """Which row begins on a line of the file, from 0; TypedError where none does."""
        if line not in self.rows:
            raise TypedError(f"{self.path.name} has no row that begins on line {line}.")
        return self.rows.index(line)


def begin_table(path: Path, columns: Sequence[str]) -> TypedTable:
    """
    A table that is not there yet, with its heading.

    Parameters
    ----------
    path : Path
        Where it will stand.
    columns : sequence of str
        The heading.

    Returns
    -------
    TypedTable
        With nothing on the disk.

    Examples
    --------
    >>> begin_table(Path("lines.csv"), ("line", "from")).rows
    ()
    """
    return TypedTable(path, None, "utf-8", ",", True, tuple(columns), (), (), ())


def read_table(path: Path, known: Sequence[Column]) -> TypedTable:
    """
    Read a table to be changed.

    Parameters
    ----------
    path : Path
        A CSV file of a boat's folder; where it is missing, the table is begun with the known columns.
    known : sequence of Column
        Columns that the file may have.

    Returns
    -------
    TypedTable

    Raises
    ------
    TypedError
        Where the file is no table that can be changed cell by cell; nothing is lost, an editor can.

    Examples
    --------
    >>> read_table(Path("no such folder", "beams.csv"), (Column("beam"), Column("x"))).columns
    ('beam', 'x')
    """
    path = Path(path)
    if not path.exists():
        return begin_table(path, [column.name for column in known])
    if not path.is_file():
        raise _unfit(path, "it is no file but a folder, a pipe or a device")
    try:
        return table_of(path, path.read_bytes(), known)
    except OSError as error:
        raise TypedError(f"{path.name} cannot be read ({error.strerror}). Is it open in another program?") from error


def table_of(path: Path, data: bytes, known: Sequence[Column]) -> TypedTable:
    """
    Make a table of the bytes of a file.

    Examples
    --------
    >>> table_of(Path("beams.csv"), b"beam;x\\r\\n1; 400\\r\\n", (Column("beam"), Column("x"))).cells
    (('1', '400'),)
    """
    encoding = next((one for one in _ENCODINGS if _round_trip(data, one)), None)
    log = Log()
    if encoding is None:
        raise _unfit(path, "it is not plain text in an encoding that is known here")
    text = data.decode(encoding)
    records = split_text(path.name, one_end(text), tuple(known), log) if text.strip() else None
    if records is None:
        raise _unfit(path, "it has no heading")
    for quoted in (True, False):
        lexed = lex(text, records.separator, quoted)
        if [cells for _, cells, _ in lexed] == records.cells and [line for line, _, _ in lexed] == records.rows:
            head, *rest = lexed
            return TypedTable(
                path, data, encoding, records.separator, quoted, tuple(cell.strip() for cell in head[1]),
                tuple(line for line, _, _ in rest), tuple(tuple(map(str.strip, cells)) for _, cells, _ in rest),
                tuple(tuple(spans) for _, _, spans in lexed),
            )  # fmt: skip
    raise _unfit(path, "its quotation marks or line ends are mixed")


def change_cells(table: TypedTable, changes: Mapping[tuple[int, int], str]) -> TypedTable:
    """
    Change some cells and nothing else.

    Parameters
    ----------
    table : TypedTable
        As it stands.
    changes : mapping of (int, int) to str
        New words by row and column, both from 0. Line breaks become blanks.

    Returns
    -------
    TypedTable
        The same bytes but for those cells.

    Raises
    ------
    TypedError
        Where a cell of this file cannot hold what was typed.

    Examples
    --------
    >>> table = table_of(Path("beams.csv"), b"# mine\\nbeam, x\\n1,  400\\n", (Column("beam"), Column("x")))
    >>> change_cells(table, {(0, 1): "49,7cm"}).data
    b'# mine\\nbeam, x\\n1,  "49,7cm"\\n'
    """
    if table.data is None:
        raise TypedError(f"{table.path.name} has no rows yet: add a row first.")
    wanted = {place: " ".join(words.split()) for place, words in changes.items()}
    text, edits = table.text, []
    for (row, column), words in wanted.items():
        if not 0 <= row < len(table.rows) or not 0 <= column < len(table.columns):
            raise TypedError(f"{table.path.name} has no cell in row {row + 1}, column {column + 1}.")
        spans = table.spans[row + 1]
        if column < len(spans):
            edits.append((*_inner(text, *spans[column]), _written(table, words)))
    edits += _lengthened(table, wanted)
    for start, end, words in sorted(edits, reverse=True):
        text = text[:start] + words + text[end:]
    expected = [list(cells) for cells in table.cells]
    for (row, column), words in wanted.items():
        expected[row] += [""] * (column + 1 - len(expected[row]))
        expected[row][column] = words
    return _proved(table, text, expected)


def append_rows(table: TypedTable, rows: Sequence[Sequence[str]]) -> TypedTable:
    """
    Add rows at the end.

    Parameters
    ----------
    table : TypedTable
        As it stands, or is to be begun.
    rows : sequence of sequence of str
        Cells of each, in the order of the columns; what is missing is left blank, rows without a word are left out.

    Returns
    -------
    TypedTable

    Examples
    --------
    >>> append_rows(begin_table(Path("beams.csv"), ("beam", "x")), [["1", "400"], ["2"]]).data
    b'beam,x\\n1,400\\n2,\\n'
    """
    if table.data is None:
        head = table.separator.join(table.columns) + "\n"
        known = [Column(name) for name in table.columns]
        return append_rows(table_of(table.path, head.encode(table.encoding), known), rows)
    full = [[" ".join(cell.split()) for cell in row] + [""] * (len(table.columns) - len(row)) for row in rows]
    full = [row for row in full if any(row)]
    text, end = table.text, table.line_end
    text += "" if text.endswith(("\n", "\r")) or not text else end
    text += "".join(table.separator.join(_written(table, cell) for cell in row) + end for row in full)
    return _proved(table, text, [*table.cells, *full])


def remove_rows(table: TypedTable, rows: Sequence[int]) -> TypedTable:
    """
    Take whole rows out.

    Parameters
    ----------
    table : TypedTable
        As it stands.
    rows : sequence of int
        Which, from 0. [-]

    Returns
    -------
    TypedTable

    Examples
    --------
    >>> table = append_rows(begin_table(Path("beams.csv"), ("beam", "x")), [["1", "400"], ["2", "800"]])
    >>> remove_rows(table, [0]).cells
    (('2', '800'),)
    """
    text = table.text
    for row in sorted(set(rows), reverse=True):
        start, end = table.spans[row + 1][0][0], table.spans[row + 1][-1][1]
        after = re.compile(r"\r\n|\n|\r").match(text, end)
        text = text[:start] + text[after.end() if after else end :]
    return _proved(table, text, [cells for k, cells in enumerate(table.cells) if k not in set(rows)])


def _round_trip(data: bytes, encoding: str) -> bool:
    if encoding == "utf-8-sig" and not data.startswith(b"\xef\xbb\xbf"):
        return False
    if encoding == "utf-16" and not data.startswith((b"\xff\xfe", b"\xfe\xff")):
        return False
    try:
        return data.decode(encoding).encode(encoding) == data
    except UnicodeError:
        return False


def _unfit(path: Path, why: str) -> TypedError:
    return TypedError(f"{path.name} cannot be changed here cell by cell: {why}. Open it in an editor; nothing is lost.")


def _inner(text: str, start: int, end: int) -> tuple[int, int]:
    """Place of a cell without the blanks about it."""
    words = text[start:end]
    if not words.strip():
        return start, start
    return start + len(words) - len(words.lstrip()), end - (len(words) - len(words.rstrip()))


def _written(table: TypedTable, words: str) -> str:
    """Words as they must stand in a cell of this file."""
    risky = table.separator in words or words.startswith(('"', "#")) or words != words.strip()
    if not risky:
        return words
    if table.quoted:
        return '"' + words.replace('"', '""') + '"'
    if table.separator in words:
        where = {",": "a comma", ";": "a semicolon", "\t": "a tab", "|": "a bar"}[table.separator]
        raise TypedError(f"{words!r}: {where} parts the cells of {table.path.name} and cannot stand in one.")
    return words


def _lengthened(table: TypedTable, wanted: Mapping[tuple[int, int], str]) -> list[tuple[int, int, str]]:
    """Cells added to rows that are too short for a change."""
    edits = []
    for row in {row for row, column in wanted if column >= len(table.spans[row + 1])}:
        have = len(table.spans[row + 1])
        last = max(column for one, column in wanted if one == row)
        more = [_written(table, wanted.get((row, column), "")) for column in range(have, last + 1)]
        end = table.spans[row + 1][-1][1]
        edits.append((end, end, table.separator + table.separator.join(more)))
    return edits


def _proved(table: TypedTable, text: str, expected: Sequence[Sequence[str]]) -> TypedTable:
    """The table of a new text, if what a person reads in it is what was meant; rows without a word are none."""
    known = [Column(plain_name(name)) for name in table.columns]
    try:
        new = table_of(table.path, text.encode(table.encoding), known)
    except UnicodeError as error:
        raise TypedError(f"{table.path.name} is in {table.encoding}, which cannot hold what was typed.") from error
    meant = [_bare(cells) for cells in expected if any(cell.strip() for cell in cells)]
    if new.separator != table.separator or new.columns != table.columns or [*map(_bare, new.cells)] != meant:
        raise _unfit(table.path, "the change would be read in another way")
    return new


def _bare(cells: Sequence[str]) -> list[str]:
    """Cells without blanks about them and without empty ones at the end."""
    cells = [cell.strip() for cell in cells]
    while cells and not cells[-1]:
        cells.pop()
    return cells


def differences(before: TypedTable, after: TypedTable) -> list[str]:
    """
    Say which cells differ.

    Examples
    --------
    >>> table = append_rows(begin_table(Path("beams.csv"), ("beam", "x")), [["1", "400"]])
    >>> differences(table, change_cells(table, {(0, 1): "410"}))
    ["row 2, x: '400' is now '410'"]
    """
    if before.columns != after.columns or len(before.rows) != len(after.rows):
        return [f"{len(before.rows)} rows are now {len(after.rows)}"]
    found = []
    for line, was, now in zip(after.rows, before.cells, after.cells, strict=True):
        pairs = zip_longest(after.columns, was, now, fillvalue="")
        found += [f"row {line}, {name}: {old!r} is now {new!r}" for name, old, new in pairs if old != new]
    return found or ["remarks or blanks"]
