"""
Tables and running words laid over as many sheets as they need.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from deckgeom.papers.canvas import POINT, width_of
from deckgeom.papers.page import MARGIN, UPRIGHT, Page, broken

__all__ = ["Column", "columns", "table_pages", "word_pages"]

#: Letters of the second units, in parts of the first. [-]
SECOND = 0.6


@dataclass(frozen=True)
class Column:
    """
    One column of a table on paper.

    Parameters
    ----------
    title : str
        Heading; a line break is allowed.
    cells : sequence of str
        Words as they are to be read; what follows a line break is drawn small under them.
    align : {"right", "left"}
        Side on which the cells line up.

    Examples
    --------
    >>> Column("beam", ("1", "2")).align
    'right'
    """

    title: str
    cells: Sequence[str]
    align: str = "right"


def table_pages(
    start: Callable[[], Page], columns: Sequence[Column], size: float = 12, groups: int = 1, left: float = MARGIN
) -> list[Page]:
    """
    Lay a table over as many pages as it needs, the heading again on each.

    Parameters
    ----------
    start : callable
        Makes the next empty page.
    columns : sequence of Column
        All with the same number of cells.
    size : float
        Letter size. [points]
    groups : int
        Draw a thin rule under every so many rows.
    left : float
        Where it begins, from the left edge of the sheet. [mm]

    Returns
    -------
    list of Page

    Examples
    --------
    >>> len(table_pages(lambda: Page("List"), [Column("n", [str(n) for n in range(80)])]))
    3
    """
    page = start()
    places, size = _places(columns, page.width - left - MARGIN - UPRIGHT, size, left)
    two = any("\n" in words for column in columns for words in column.cells)
    pages, row_height = [page], size * POINT * (2.2 if two else 1.75)
    _heading(page, columns, places, size)
    for row in range(len(columns[0].cells)):
        if page.room < row_height:
            page = start()
            pages.append(page)
            _heading(page, columns, places, size)
        page.cursor -= row_height
        for column, (a, b) in zip(columns, places, strict=True):
            own, _, other = column.cells[row].partition("\n")
            _cell(page, column, own, a, b, size)
            _cell(page, column, other, a, b, size * SECOND, down=size * POINT * 0.8)
        if groups and (row + 1) % groups == 0:
            page.line((left, places[-1][1]), (page.cursor - (size * POINT if two else 1.6),) * 2, width=0.3)
    return pages


def _cell(page: Page, column: Column, words: str, left: float, right: float, size: float, down: float = 0.0) -> None:
    if not words:
        return
    ends = column.align == "right"
    page.text(right if ends else left, page.cursor - down, words, size=size, right=ends)


def _places(
    columns: Sequence[Column], width: float, size: float, left: float
) -> tuple[list[tuple[float, float]], float]:
    """Left and right of each column, as wide as its widest words, and the letter size at which the sheet holds them."""
    wanted = [
        max(
            max(width_of(part, size) for part in (*column.title.split("\n"), *(own for own, _, _ in parts))),
            max((width_of(other, size * SECOND) for *_, other in parts), default=0.0),
        )
        for column in columns
        for parts in [[words.partition("\n") for words in set(column.cells)]]
    ]
    gap = min(7.0, 32.0 / len(columns))
    shrink = min(1.0, (width - gap * (len(columns) - 1)) / sum(wanted))
    places = []
    for want in wanted:
        places.append((left, left + want * shrink))
        left += want * shrink + gap
    return places, size * shrink


def _heading(page: Page, columns: Sequence[Column], places: Sequence[tuple[float, float]], size: float) -> None:
    lines = max(column.title.count("\n") + 1 for column in columns)
    for k in range(lines):
        page.cursor -= size * POINT * 1.3
        for column, (left, right) in zip(columns, places, strict=True):
            parts = column.title.split("\n")
            blank = lines - len(parts)
            if k >= blank:
                _cell(page, column, parts[k - blank], left, right, size)
    page.cursor -= 2
    page.line((places[0][0], places[-1][1]), (page.cursor,) * 2, width=1.2)


def columns(heads: Sequence[str], rows: Sequence[Sequence[str]], align: str = "") -> list[Column]:
    """
    Columns from rows of words.

    Parameters
    ----------
    heads : sequence of str
        One heading a column.
    rows : sequence of sequence of str
        As many words as there are headings.
    align : str
        One letter a column, "l" or "r"; all "r" if not given.

    Returns
    -------
    list of Column

    Examples
    --------
    >>> [column.align for column in columns(("beam", "note"), [("1", "plane")], "rl")]
    ['right', 'left']
    """
    cells = list(zip(*rows, strict=True)) or [()] * len(heads)
    align = align or "r" * len(heads)
    return [
        Column(head, list(words), "left" if side == "l" else "right")
        for head, words, side in zip(heads, cells, align, strict=True)
    ]


def word_pages(start: Callable[[], Page], paragraphs: Sequence[Sequence[str]], size: float = 11) -> list[Page]:
    """
    Paragraphs down as many pages as they need.

    Parameters
    ----------
    start : callable
        Makes the next empty page.
    paragraphs : sequence of sequence of str
        Lines of each.
    size : float
        Letter size. [points]

    Returns
    -------
    list of Page

    Examples
    --------
    >>> len(word_pages(lambda: Page("Notes"), [["plane"] * 60, ["pack"] * 60]))
    4
    """
    pages = [start()]
    for lines in paragraphs:
        for words in lines:
            parts = len(broken(words, pages[-1].width - 2 * MARGIN - UPRIGHT, size))
            if pages[-1].room < (parts + 1) * size * POINT * 1.5:
                pages.append(start())
            pages[-1].words([words], size)
            pages[-1].cursor -= 1.2
        pages[-1].cursor -= 3
    return pages
