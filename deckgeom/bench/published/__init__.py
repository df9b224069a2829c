"""
Published values beside ours: one notebook a source group, all rows from one file, the same rows as the tests have.
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from deckgeom.bench.published.rows import SEEN, Row, read_values
from deckgeom.bench.tables import Table, Words

__all__ = ["GROUPS", "counted", "counted_all", "group", "memory", "sources"]

#: Letter of a group and what it is about.
GROUPS = {
    "A": "camber and its layout", "B": "crown line and bevels", "C": "sheer", "D": "offsets", "E": "measuring",
    "F": "spiling and true lengths", "G": "timber and bending", "H": "scarfs, butts and fastenings",
    "I": "sheathing, glue and paint", "J": "plank and batten over beams",
}  # fmt: skip
HEADS = ("row", "what, and from which inputs", "printed", "ours", "difference", "within, and why that far", "seen")


def _rows(values: str | Path, letter: str, seen: Sequence[str] = ("S", "S*", "D")) -> list[Row]:
    if letter not in GROUPS:
        raise ValueError(f"group {letter!r}: the groups are {', '.join(GROUPS)}. Give one letter.")
    return [row for row in read_values(values) if row.group == letter and row.seen in seen]


def _cells(row: Row) -> tuple[str, ...]:
    """One row of the table, rounded as its tolerance is."""
    ours, unit = row.ours, f" {row.unit}" if row.unit else ""
    agreed = "" if row.agreed(ours) else "OUT: "
    if isinstance(ours, str) or isinstance(row.value, str):
        difference = f"{agreed}other words" if agreed else "none"
        return row.id, _what(row), row.expected, str(ours), difference, f"{row.within}: {row.reason}", row.seen
    within = row.within if row.within == "exact" else f"{row.within}{unit}"
    difference = ours - row.value if abs(ours - row.value) > 1e-12 * max(abs(row.value), 1.0) else 0.0
    return (row.id, _what(row), f"{row.expected}{unit}", f"{ours:.7g}{unit}", f"{agreed}{difference:.2g}",
            f"{within}: {row.reason}", row.seen)  # fmt: skip


def _what(row: Row) -> str:
    """What a row is the value of, capital first, and its inputs."""
    return f"{row.what[0].upper()}{row.what[1:]}. {row.inputs}"


def group(letter: str, values: str | Path = "values.csv") -> Table:
    """
    Show one group: the printed value, ours, the difference, how far it may be out and why.

    Parameters
    ----------
    letter : str
        One of `GROUPS`.
    values : str or Path
        The file of values.

    Returns
    -------
    Table
        Without the rows from memory, which `memory` shows.

    Examples
    --------
    >>> group("Z")
    Traceback (most recent call last):
    ValueError: group 'Z': the groups are A, B, C, D, E, F, G, H, I, J. Give one letter.
    """
    cells = [_cells(row) for row in _rows(values, letter)]
    return Table(f"{letter}: {GROUPS[letter]}, printed and ours", HEADS, cells, words=(0, 1, 5, 6), wrap=(1, 5))


def memory(letter: str, values: str | Path = "values.csv") -> Table | Words:
    """
    Show the rows of a group that are from memory only, or common practice without a source.

    Parameters
    ----------
    letter : str
        One of `GROUPS`.
    values : str or Path
        The file of values.

    Returns
    -------
    Table or Words

    Examples
    --------
    >>> memory("A", "nowhere.csv")
    Traceback (most recent call last):
    FileNotFoundError: no file of values at 'nowhere.csv': it lies beside the notebooks that show it.
    """
    cells = [_cells(row) for row in _rows(values, letter, ("M",))]
    if not cells:
        return Words.of("No row of this group is from memory only.")
    note = "No claim of agreement rests on these rows; a page that takes one as its default says so."
    caption = f"{letter}: from memory only, or common practice without a source"
    return Table(caption, HEADS, cells, words=(0, 1, 5, 6), wrap=(1, 5), note=note)


def _said(rows: Sequence[Row]) -> tuple[str, ...]:
    out = [row.id for row in rows if not row.agrees]
    known = [row for row in rows if row.seen != "M"]
    kinds = [(sum(row.seen == seen for row in known), words) for seen, words in SEEN.items() if seen != "M"]
    parts = ", ".join(f"{count} {words}" for count, words in kinds)
    from_memory = len(rows) - len(known)
    verdict = f"Out of tolerance: {', '.join(out)}." if out else "All are within their tolerance."
    return (
        f"{len(known)} rows: {parts}.",
        f"Counted apart: {from_memory} row{'s' if from_memory != 1 else ''} {SEEN['M']}.",
        verdict,
    )


def counted(letter: str, values: str | Path = "values.csv") -> Words:
    """
    Say how many rows a group has, by how they were seen, and whether all agree.

    Parameters
    ----------
    letter : str
        One of `GROUPS`.
    values : str or Path
        The file of values.

    Returns
    -------
    Words

    Examples
    --------
    >>> counted("A", "nowhere.csv")
    Traceback (most recent call last):
    FileNotFoundError: no file of values at 'nowhere.csv': it lies beside the notebooks that show it.
    """
    lines = _said(_rows(values, letter, tuple(SEEN)))
    return Words.of(*lines, kind="plain" if lines[-1].startswith("All") else "look")


def counted_all(values: str | Path = "values.csv") -> Table:
    """
    Count the rows of every group by how they were seen; those from memory stand in a column of their own.

    Parameters
    ----------
    values : str or Path
        The file of values.

    Returns
    -------
    Table

    Examples
    --------
    >>> counted_all("nowhere.csv")
    Traceback (most recent call last):
    FileNotFoundError: no file of values at 'nowhere.csv': it lies beside the notebooks that show it.
    """
    rows = read_values(values)
    cells = [
        (letter, words, *(sum(row.seen == seen and row.group == letter for row in rows) for seen in SEEN),
         ", ".join(row.id for row in rows if row.group == letter and not row.agrees) or "none")
        for letter, words in GROUPS.items()
    ]  # fmt: skip
    known = sum(row.seen != "M" for row in rows)
    note = (
        f"{known} rows in all, and apart from them {len(rows) - known} {SEEN['M']}. "
        + "; ".join(f"{seen}: {words}" for seen, words in SEEN.items())
        + "."
    )
    heads = ("group", "about", "S", "S*", "D", "M, counted apart", "out of tolerance")
    return Table("Published values", heads, cells, words=(0, 1, 6), note=note)


def sources(letter: str, values: str | Path = "values.csv") -> Table:
    """
    List where the values of a group are from.

    Parameters
    ----------
    letter : str
        One of `GROUPS`.
    values : str or Path
        The file of values.

    Returns
    -------
    Table

    Examples
    --------
    >>> sources("A", "nowhere.csv")
    Traceback (most recent call last):
    FileNotFoundError: no file of values at 'nowhere.csv': it lies beside the notebooks that show it.
    """
    rows = _rows(values, letter, tuple(SEEN))
    found = {}
    for row in rows:
        found.setdefault((row.source, row.seen), []).append(row.id)
    cells = [(", ".join(ids), source, f"{seen}: {SEEN[seen]}") for (source, seen), ids in found.items()]
    return Table(f"Sources of group {letter}", ("rows", "source", "seen"), cells, words=(0, 1, 2), wrap=(0, 1, 2))
