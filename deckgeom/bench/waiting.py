"""Words that were typed and are not saved yet: where they stand once the rows of their table have moved."""

from __future__ import annotations

import difflib
from collections.abc import Hashable, Mapping, Sequence
from dataclasses import dataclass

__all__ = ["Seen", "followed"]

Places = dict[tuple[int, int], str]


@dataclass(frozen=True)
class Seen:
    """
    Rows and columns of a table as a page shows them.

    Parameters
    ----------
    rows : sequence
        What tells each row from the others: its cells, or its name.
    heads : sequence of str
        Heads of the columns.

    Examples
    --------
    >>> Seen([("1", "400")], ["beam", "x"]).heads
    ['beam', 'x']
    """

    rows: Sequence[Hashable]
    heads: Sequence[str]


def followed(words: Mapping[tuple[int, int], str], was: Seen, now: Seen) -> tuple[Places, Places]:
    """
    Find the places of words again after rows were put in or taken out.

    Parameters
    ----------
    words : mapping of (int, int) to str
        By row and column, both from 0, as they stood; rows beyond the last are new ones.
    was, now : Seen
        The table when they were typed, and as it is.

    Returns
    -------
    (dict, dict)
        Those that have a place, by where it is now; and those whose row or column is gone, by where it was.

    Examples
    --------
    >>> was = Seen([("1", "400"), ("2", "800")], ["beam", "x"])
    >>> followed({(1, 1): "810"}, was, Seen([("2", "800")], ["beam", "x"]))
    ({(0, 1): '810'}, {})
    >>> followed({(0, 1): "410"}, was, Seen([("2", "800")], ["beam", "x"]))
    ({}, {(0, 1): '410'})
    """
    if was == now:
        return dict(words), {}
    down = _rows(was.rows, now.rows)
    beyond = sorted({row for row, _ in words if row >= len(was.rows)})
    down |= {row: len(now.rows) + k for k, row in enumerate(beyond)}
    along = {j: now.heads.index(head) for j, head in enumerate(was.heads) if head in now.heads}
    there, gone = {}, {}
    for (row, column), text in words.items():
        if row in down and column in along:
            there[down[row], along[column]] = text
        else:
            gone[row, column] = text
    return there, gone


def _rows(was: Sequence[Hashable], now: Sequence[Hashable]) -> dict[int, int]:
    """Where each row is now: the same one, or one in its place that differs in a few cells only."""
    found = {}
    for kind, i, i_end, j, j_end in difflib.SequenceMatcher(None, was, now, autojunk=False).get_opcodes():
        if kind == "equal":
            found |= dict(zip(range(i, i_end), range(j, j_end), strict=True))
        elif kind == "replace":
            for k, other in zip(range(i, i_end), range(j, j_end), strict=False):
                if i_end - i == j_end - j and _alike(was[k], now[other]):
                    found[k] = other
    return found


def _alike(one: Hashable, other: Hashable) -> bool:
    if not isinstance(one, tuple) or not isinstance(other, tuple) or len(one) != len(other):
        return False
    return sum(a != b for a, b in zip(one, other, strict=True)) <= max(1, len(one) // 2)
