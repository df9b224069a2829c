"""
Landings on paper: several planks in one table, a beam a row, and what prints the same for port and starboard once.
"""

from __future__ import annotations

import textwrap
from functools import partial

from deckgeom.papers.canvas import POINT
from deckgeom.papers.page import Page
from deckgeom.papers.tables import columns, table_pages
from deckgeom.units import format_length

__all__ = ["landing_pages", "once_for_both", "room_after"]

SIZE = 10.0
"""Letters, so that they can be read at the boat. [points]"""
HEADS = ("on", "inner\nor port", "outer or\nstarboard", "long")


def landing_pages(landings, title: str, units: str, start) -> list[Page]:
    """
    Where beams, carlins and pads land under each piece.

    Parameters
    ----------
    landings : sequence of DryFit
    title : str
    units : {"mm", "ft-in-8", "in"}
    start : callable
        Makes an empty sheet: start(title, note=...).

    Returns
    -------
    list of Page

    Examples
    --------
    >>> landing_pages([], "Landings", "mm", Page)
    []
    """
    say = partial(format_length, units=units)
    pieces = _alike([(fit.piece.name, fit.piece.edge_names, *_cells(fit, say)) for fit in landings])
    note = "Underside: from each edge's forward end to the landing; then its length. BOTH: port and starboard."
    rows = [row for piece in pieces for row in _rows(*piece)]
    pages: list[Page] = []
    while rows:
        page = start(title, note=note)
        deep = max(int((page.room - 2 * SIZE * POINT * 1.3 - 2) / (SIZE * POINT * 1.75)), 1)
        left, right, rows = rows[:deep], rows[deep : 2 * deep], rows[2 * deep :]
        right += [("",) * len(HEADS)] * (len(left) - len(right))
        both = [(*one, *two) for one, two in zip(left, right, strict=True)]
        pages += table_pages(lambda p=page: p, columns(HEADS * 2, both, "lrrr" * 2), size=SIZE, groups=0)
    rows = [
        (name if k == 0 else "", on if k == 0 else "", part)
        for name, _, _, odd in pieces
        for on, words in odd
        for k, part in enumerate(words.split("; "))
    ]
    if rows:
        following = room_after(pages, len(rows), partial(start, title, note=note))
        made = table_pages(following, columns(("piece", "on", "lies"), rows, "lll"), size=SIZE, groups=5)
        pages += [page for page in made if page not in pages]
    return pages


def _rows(name: str, edges, plain, odd) -> list[tuple[str, ...]]:
    """A piece's name in capitals, then a row a bearer; long names run on in a row of their own."""
    if not plain:
        return []
    found = [(line, "", "", "") for line in textwrap.wrap(name.upper(), 14)]
    for on, (first, second, long, other) in plain.items():
        lines = textwrap.wrap(on, 13)
        found += [(lines[0], first, second, long), *((line, "", "", "") for line in lines[1:])]
        found += [("  other edge", "", "", other)] if other else []
    return found


def _cells(fit, say) -> tuple[dict[str, tuple[str, ...]], list[tuple[str, str]]]:
    """By bearer where it begins on the two edges and its length; and in words what has no such cells."""
    plain: dict[str, tuple[str, ...]] = {}
    odd = []
    for landing in fit.landings:
        if any(landing.on_edges) and max(len(edge) for edge in landing.on_edges) == 1 and landing.bearer not in plain:
            long = [say(edge[0][1] - edge[0][0]) if edge else "" for edge in landing.on_edges]
            at = [say(edge[0][0]) if edge else "" for edge in landing.on_edges]
            plain[landing.bearer] = (*at, long[0] or long[1], long[1] if long[0] and long[0] != long[1] else "")
            continue
        parts = [f"{name} {' and '.join(f'{say(a)} + {say(b - a)}' for a, b in edge)}"
                 for name, edge in zip(fit.piece.edge_names, landing.on_edges, strict=True) if edge]  # fmt: skip
        parts = parts or [f"corner {say(along)} along, {say(off)} off the edge" for along, off in landing.corners]
        odd.append((landing.bearer, "; ".join(parts) or "under it all"))
    return plain, odd


def _alike(pieces) -> list[tuple]:
    """Port and starboard pieces of one name whose numbers print the same, once."""
    found: dict[tuple, tuple] = {}
    for name, edges, plain, odd in pieces:
        other = name.partition(" ")[2] if name.startswith(("port ", "starboard ")) else name
        key = (other, edges, tuple(plain.items()), tuple(odd))
        found[key] = (f"both {other}", edges, plain, odd) if key in found else (name, edges, plain, odd)
    return list(found.values())


def once_for_both(rows) -> list[tuple[str, ...]]:
    """
    Rows of port and starboard planks that print the same, once.

    Parameters
    ----------
    rows : sequence of tuple of str
        The first of each is the name, such as "port plank 4"; a plank's rows follow each other.

    Returns
    -------
    list of tuple of str

    Examples
    --------
    >>> once_for_both([("port plank 1", "0 mm"), ("starboard plank 1", "0 mm"), ("starboard plank 2", "9 mm")])
    [('both plank 1', '0 mm'), ('starboard plank 2', '9 mm')]
    """
    planks: dict[str, list[tuple[str, ...]]] = {}
    for name, *cells in rows:
        planks.setdefault(name, []).append(tuple(cells))
    found = []
    for name, mine in planks.items():
        side, _, rest = name.partition(" ")
        other = planks.get(f"{'starboard' if side == 'port' else 'port'} {rest}")
        if other == mine and side == "starboard":
            continue
        found += [(f"both {rest}" if other == mine else name, *cells) for cells in mine]
    return found


def room_after(pages: list[Page], rows: int, fresh, size: float = SIZE):
    """
    What makes the next sheet of a table: the last sheet first, where the whole table still has room on it.

    Parameters
    ----------
    pages : list of Page
    rows : int
    fresh : callable
        Makes an empty sheet.
    size : float
        Of letters. [points]

    Returns
    -------
    callable

    Examples
    --------
    >>> page = Page("Edges")
    >>> room_after([page], 8, Page)() is page
    True
    """
    tall = (rows * 1.75 + 4 * 1.3) * size * POINT + 6
    if not pages or pages[-1].room < tall:
        return fresh
    waiting = [pages[-1]]
    waiting[0].cursor -= 6
    return lambda: waiting.pop() if waiting else fresh()
