"""
Figures from books, tins and practice, as small CSV files: every row says where it is from and how it was seen.
"""

from __future__ import annotations

import csv
from functools import lru_cache
from importlib.resources import files

__all__ = ["SEEN", "table"]

#: How a row was seen: in the source, in a reprint of it, derived, from memory, or practice without a source.
SEEN = ("source", "reprint", "derived", "memory", "no source")


@lru_cache
def table(name: str) -> tuple[dict[str, str], ...]:
    """
    Rows of one table, as written.

    Parameters
    ----------
    name : str
        Name of the file without its ending.

    Returns
    -------
    tuple of dict of str to str
        One a row; `source` says where it is from and `seen` is one of `SEEN`. Lengths in mm, coverage in m2 a litre.

    Raises
    ------
    KeyError
        Where there is no such table.

    Examples
    --------
    >>> table("coverage")[0]["what"]
    'paint or varnish, one coat'
    """
    file = files(__name__) / f"{name}.csv"
    if not file.is_file():
        known = sorted(path.name[:-4] for path in files(__name__).iterdir() if path.name.endswith(".csv"))
        raise KeyError(f"table {name!r}: there are {', '.join(known)}.")
    lines = [line for line in file.read_text(encoding="utf-8").splitlines() if line and not line.startswith("#")]
    return tuple(csv.DictReader(lines))
