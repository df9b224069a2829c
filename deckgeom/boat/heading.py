"""
The heading of a table: which columns a person gave, which are not known and which are missing.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from .log import Log, nearest


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


def find_columns(file: str, row: int, names: list[str], known: tuple[Column, ...], log: Log) -> dict[str, int] | None:
    """
    Tell where each known column stands.

    Parameters
    ----------
    file : str
        Name of the file.
    row : int
        Line of the heading, from 1. [-]
    names : list of str
        Its cells.
    known : tuple of Column
        The columns that the file may have.
    log : Log
        Takes the complaints.

    Returns
    -------
    dict of str to int or None
        Place of each known column; None where the rows mean nothing without one that is missing.

    Examples
    --------
    >>> find_columns("a.csv", 1, ["beam", "X"], (Column("beam", True), Column("x")), Log())
    {'beam': 0, 'x': 1}
    """
    by_name = {column.name: column for column in known}
    if not any(plain_name(name) in by_name or nearest(plain_name(name), by_name) for name in names):
        rule = f"the first row names the columns: {', '.join(by_name)}"
        log.mend(file, row, "", ", ".join(names), rule, "the heading was left out, or a row stands above it")
        return None
    places, likely = {}, set()
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
