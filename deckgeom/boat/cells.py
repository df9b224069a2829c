"""
Cells made into values: lengths, whole numbers, words; what cannot be read is left out with a complaint.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from deckgeom.units import LengthError, parse_length

from .log import Log, nearest
from .sheet import Sheet

BLANKS = frozenset({"", "-", "\u2013", "\u2014", "\u2212"})
"""What stands in a cell that has no value."""

_DIGITS = frozenset("0123456789.")


def read_lengths(sheet: Sheet, name: str, units: str, log: Log) -> np.ndarray:
    """
    Read a column of lengths.

    Parameters
    ----------
    sheet : Sheet
        The table.
    name : str
        The column, which may be missing.
    units : str
        The folder's units.
    log : Log
        Takes the complaints.

    Returns
    -------
    ndarray, shape (n,)
        NaN where a cell is blank or cannot be read. [mm]

    Examples
    --------
    >>> read_lengths(Sheet("a.csv", {"x": ["1-0-0", "", "12"]}, [2, 3, 4]), "x", "in", Log()).tolist()
    [304.8, nan, 304.8]
    """
    if name not in sheet:
        return np.full(sheet.size, np.nan)
    cells = sheet.columns[name]
    if units == "mm":
        quick = _plain_numbers(cells)
        if quick is not None:
            return quick
    return np.array(read_cells(sheet, name, lambda text: parse_length(text, units), np.nan, log), dtype=float)


def _plain_numbers(cells: list[str]) -> np.ndarray | None:
    """Plain millimetres all through, the common case of a long table; None where any cell is anything else."""
    try:
        if not set("".join(cells)) <= _DIGITS:
            return None
        values = np.array(list(map(float, cells)))
    except ValueError:
        return None
    return values if len(values) and values.max() < 1e6 else None


def read_cells(sheet: Sheet, name: str, read: Callable, blank, log: Log) -> list:
    """
    Read a column cell by cell, each different text once.

    Parameters
    ----------
    sheet : Sheet
        The table.
    name : str
        The column, which may be missing.
    read : callable
        Makes a text into a value, raising `LengthError`.
    blank : object
        Stands where a cell is blank or cannot be read.
    log : Log
        Takes the complaints.

    Returns
    -------
    list
        One value for each row.

    Examples
    --------
    >>> read_cells(Sheet("a.csv", {"round": ["1", "-"]}, [2, 3]), "round", int, None, Log())
    [1, None]
    """
    if name not in sheet:
        return [blank] * sheet.size
    cells = sheet.columns[name]
    known, errors = {}, {}
    for text in set(cells):
        if text in BLANKS:
            known[text] = blank
            continue
        try:
            known[text] = read(text.partition(" #")[0])
        except LengthError as error:
            known[text], errors[text] = blank, _light(error)
    if errors:
        for row, text in zip(sheet.rows, cells, strict=True):
            if text in errors:
                log.refusal(sheet.file, row, name, text, errors[text])
    return [known[text] for text in cells]


def _light(error: LengthError) -> LengthError:
    """The same error without the frames that it came through: a long table may hold very many."""
    error.__context__ = None
    return error.with_traceback(None)


def unreadable(sheet: Sheet, name: str, values) -> list[bool]:
    """
    Tell which cells have a text that gave no value.

    Parameters
    ----------
    sheet : Sheet
        The table.
    name : str
        The column.
    values : sequence
        What was read: None or NaN where nothing was.

    Returns
    -------
    list of bool
        One for each row.

    Examples
    --------
    >>> unreadable(Sheet("a.csv", {"x": ["abc", ""]}, [2, 3]), "x", [None, None])
    [True, False]
    """
    return [
        text not in BLANKS and (value is None or value != value)
        for text, value in zip(sheet.cells(name), values, strict=True)
    ]


def whole_number(text: str) -> int:
    """
    Read a whole number of 1 or more.

    Parameters
    ----------
    text : str
        As typed.

    Returns
    -------
    int
        The number.

    Examples
    --------
    >>> whole_number("2")
    2
    """
    if not (text.isascii() and text.isdigit() and 0 < int(text[:9]) and len(text) < 9):
        raise LengthError(text, "a whole number of 1 or more is wanted", "a length or a word in this column")
    return int(text)


def yes_or_no(text: str) -> bool:
    """
    Read a yes or a no.

    Parameters
    ----------
    text : str
        As typed.

    Returns
    -------
    bool
        True for yes.

    Examples
    --------
    >>> yes_or_no("Yes"), yes_or_no("0")
    (True, False)
    """
    plain = text.strip().lower()
    if plain in {"yes", "y", "true", "1", "x", "fixed"}:
        return True
    if plain in {"no", "n", "false", "0"}:
        return False
    raise LengthError(text, "yes or no is wanted", "a value in the wrong column")


def one_of(words: dict[str, str]) -> Callable[[str], str]:
    """
    Make a reader of a cell that holds one of a few words.

    Parameters
    ----------
    words : dict of str to str
        Each way to write it, and the word that it stands for.

    Returns
    -------
    callable
        Gives the word, or raises `LengthError` that names the nearest.

    Examples
    --------
    >>> one_of({"p": "port", "port": "port"})("P")
    'port'
    """
    allowed = list(dict.fromkeys(words.values()))

    def read(text: str) -> str:
        plain = " ".join(text.lower().replace("_", " ").split())
        if plain in words:
            return words[plain]
        near = nearest(plain, words)
        slip = f"{words[near]} was meant" if near else "a value in the wrong column"
        raise LengthError(text, f"one of {', '.join(allowed)} is wanted", slip)

    return read


def first_of_each(sheet: Sheet, name: str, keys: list[str], rule: str, slip: str, log: Log) -> list[bool]:
    """
    Tell which rows come first under their name; complain about each that repeats one.

    Parameters
    ----------
    sheet : Sheet
        The table.
    name : str
        The column that the names stand in.
    keys : list of str
        Name of each row, blank ones being left alone.
    rule, slip : str
        For the complaint.
    log : Log
        Takes the complaints.

    Returns
    -------
    list of bool
        True for the rows to keep.

    Examples
    --------
    >>> first_of_each(Sheet("a.csv", {}, [2, 3, 4]), "beam", ["1", "2", "1"], "a beam stands once", "", Log())
    [True, True, False]
    """
    first: dict[str, int] = {}
    keep = []
    for row, key in zip(sheet.rows, keys, strict=True):
        keep.append(not key or first.setdefault(key, row) == row)
        if not keep[-1]:
            log.mend(
                sheet.file, row, name, key, f"{rule}; the first, in row {first[key]}, is kept", slip, alike="twice"
            )
    return keep
