"""Sheets of a class packet: large words, given tables, boxes to fill in, blank grids true to scale."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from deckgeom.lessons.exercise import Answer, Exercise, Given, Grid
from deckgeom.papers.canvas import POINT, width_of
from deckgeom.papers.page import MARGIN, UPRIGHT, Page, broken
from deckgeom.units import format_length

__all__ = ["LARGE", "Handout", "exercise_pages", "grid_page"]

#: Letters of a handout. [points]
LARGE = 14.0
BOX = (52.0, 11.0)
TICK = 4.5


class Handout:
    """
    Sheets that go on for as long as there is something to put on them.

    Parameters
    ----------
    start : callable
        Makes the next empty sheet.

    Examples
    --------
    >>> handout = Handout(lambda: Page("Part 1"))
    >>> handout.words(["Look along both beams."])
    >>> len(handout.pages)
    1
    """

    def __init__(self, start: Callable[[], Page]) -> None:
        self._start = start
        self.pages = [start()]

    def need(self, height: float) -> Page:
        """The sheet on which this much room is left; a new one if it must be. [mm]"""
        if self.pages[-1].room < height:
            self.pages.append(self._start())
        return self.pages[-1]

    @property
    def width(self) -> float:
        """Room across. [mm]"""
        return self.pages[-1].width - 2 * MARGIN - UPRIGHT

    def words(self, lines: Sequence[str], size: float = LARGE, bold: bool = False) -> None:
        """Write paragraphs, one line of them at a time, so that none is cut."""
        for words in lines:
            for part in broken(words, self.width, size * (1.06 if bold else 1.0)):
                page = self.need(size * POINT * 1.5)
                page.cursor -= size * POINT * 1.4
                page.text(MARGIN, page.cursor, part, size, bold=bold)
            self.pages[-1].cursor -= 2.2

    def table(self, given: Given, size: float = LARGE) -> None:
        """Write a table that is handed out, with lines between its rows, whole on one sheet where it fits."""
        row = size * POINT * 1.62
        heads = [_head(head, [cells[k] for cells in given.rows], size) for k, head in enumerate(given.head)]
        wide = _widths(given, heads, size)
        small = min(1.0, self.width / sum(wide))
        size, wide = size * small, [width * small for width in wide]
        high = max(len(head) for head in heads)
        page = self.need(min(row * (len(given.rows) + high + 1.5), 200.0))
        page.cursor -= row
        page.text(MARGIN, page.cursor, given.title, size, bold=True)
        for k in range(high):
            page.cursor -= row * 0.8
            _row(page, [head[k - high + len(head)] if k >= high - len(head) else "" for head in heads], wide, size)
        for cells in given.rows:
            page.line((MARGIN, MARGIN + sum(wide)), (page.cursor - 1.6,) * 2, width=0.4)
            page = self.need(row)
            page.cursor -= row
            _row(page, cells, wide, size)
        page.line((MARGIN, MARGIN + sum(wide)), (page.cursor - 1.6,) * 2, width=1.0)
        page.cursor -= 4

    def together(self, draw: Callable[[Handout], None]) -> None:
        """Draw what belongs together on one sheet: on a new one where this one has not the room, if one can hold it."""
        trial = Handout(self._start)
        before = trial.pages[0].cursor
        draw(trial)
        if len(trial.pages) == 1:
            self.need(before - trial.pages[0].cursor)
        draw(self)

    def box(self, answer: Answer) -> None:
        """A box to fill in, or the choices to tick."""
        size = LARGE - 1
        page = self.pages[-1]
        left = MARGIN + 14
        if answer.kind == "choice":
            parts, ticks = broken(answer.asks, self.width - 14, size), _ticks(answer, self.width - 14, size)
            page = self.need((len(parts) + len(ticks) + 0.6) * size * POINT * 1.5)
            top = page.cursor
            _lines(page, left, parts, size)
            for line in ticks:
                page.cursor -= size * POINT * 1.5
                for x, words in line:
                    _square(page, left + x, page.cursor, TICK)
                    page.text(left + x + TICK + 1.5, page.cursor, words, size)
        else:
            parts = broken(answer.asks, self.width - 16 - BOX[0], size)
            page = self.need(max(len(parts) * size * POINT * 1.5, BOX[1]) + 4)
            top = page.cursor
            _lines(page, left, parts, size)
            right = MARGIN + self.width
            low = top - BOX[1] - 1
            page.line([right - BOX[0], right, right, right - BOX[0], right - BOX[0]],
                      [low, low, low + BOX[1], low + BOX[1], low], width=1.0)  # fmt: skip
            page.text(right - 2, low + 2, _unit(answer), 10, right=True)
            page.cursor = min(page.cursor, low)
        page.text(MARGIN, top - size * POINT * 1.4, answer.key, size, bold=True)
        page.cursor -= 3.5


def _head(head: str, cells: Sequence[str], size: float) -> list[str]:
    """The lines of a heading: about as wide as its column, and no narrower than its longest word."""
    words = [*head.split(" "), *cells]
    return broken(head, max(30.0, *(width_of(word, size) for word in words)), size)


def _widths(given: Given, heads: Sequence[Sequence[str]], size: float) -> list[float]:
    """How wide each column wants to be. [mm]"""
    return [
        max(width_of(words, size) for words in (*head, *(row[k] for row in given.rows))) + 8
        for k, head in enumerate(heads)
    ]


def _row(page: Page, cells: Sequence[str], wide: Sequence[float], size: float) -> None:
    x = MARGIN
    for words, width in zip(cells, wide, strict=True):
        page.text(x + 1, page.cursor, words, size)
        x += width


def _lines(page: Page, left: float, parts: Sequence[str], size: float) -> None:
    for part in parts:
        page.cursor -= size * POINT * 1.4
        page.text(left, page.cursor, part, size)


def _ticks(answer: Answer, width: float, size: float) -> list[list[tuple[float, str]]]:
    """Choices with their places, as many on a line as there is room for. [mm]"""
    lines: list[list[tuple[float, str]]] = [[]]
    x = 0.0
    for words in answer.choices:
        wide = TICK + 1.5 + width_of(words, size) + 6
        if lines[-1] and x + wide > width:
            lines.append([])
            x = 0.0
        lines[-1].append((x, words))
        x += wide
    return lines


def _square(page: Page, x: float, y: float, side: float) -> None:
    page.line([x, x + side, x + side, x, x], [y - 0.7, y - 0.7, y + side - 0.7, y + side - 0.7, y - 0.7], width=0.8)


def _unit(answer: Answer) -> str:
    """What is written in the corner of a box."""
    if answer.kind == "length":
        return {"mm": "mm", "in": "in", "ft-in-8": "ft in"}[answer.units]
    return answer.unit


def exercise_pages(start: Callable[[str, str], Page], exercise: Exercise) -> list[Page]:
    """
    The sheets of one exercise for one pair: task, tables, boxes, and the grid to draw on.

    Parameters
    ----------
    start : callable
        From a title and a note to an empty sheet.
    exercise : Exercise

    Returns
    -------
    list of Page

    Examples
    --------
    >>> from deckgeom.lessons.class_work import pair_work
    >>> part = pair_work(17, 1, "easy").part(1)
    >>> [page.title for page in exercise_pages(lambda title, note: Page(title, note=note), part)]
    ['Part 1. Two beams on the bench', 'Part 1. Two beams on the bench']
    """
    title = f"Part {exercise.part}. {exercise.title}"
    handout = Handout(lambda: start(title, f"minutes {exercise.minutes}"))
    handout.words(exercise.task)
    for given in exercise.given:
        handout.table(given)
    handout.together(lambda sheet: _answers(sheet, exercise))
    if exercise.grid is None:
        return handout.pages
    if handout.pages[-1].room < exercise.grid.on_paper[1] + 32:
        handout.pages.append(start(f"Part {exercise.part}. Grid", ""))
    page = handout.pages[-1]
    page.words([f"Grid. {exercise.grid.caption[0].upper()}{exercise.grid.caption[1:]}."], 11)
    grid_page(page, exercise.grid, exercise.answers[0].units)
    return handout.pages


def _answers(sheet: Handout, exercise: Exercise) -> None:
    sheet.words(["Your answers"], bold=True)
    for answer in exercise.answers:
        sheet.box(answer)
    sheet.words(["On the boat"], bold=True)
    sheet.words([exercise.on_the_boat])


def grid_page(page: Page, grid: Grid, units: str) -> None:
    """
    Draw a blank grid, true to scale, down from the cursor of a sheet.

    Parameters
    ----------
    page : Page
    grid : Grid
    units : {"mm", "ft-in-8", "in"}
        Of the heights written beside it.

    Examples
    --------
    >>> page = Page("Grid")
    >>> grid_page(page, Grid(1200, 100, 8, 1, 5.0, (("centreline", 0.0), ("end", 1200.0)), "half of beam 4"), "mm")
    >>> len(page.drawn) > 40
    True
    """
    wide, high = grid.on_paper
    left, low = MARGIN + 17, page.cursor - 4 - high
    lines = round(high / grid.every)
    for k in range(lines + 1):
        y = low + k * grid.every
        main = k % 2 == 0
        page.line((left, left + wide), (y, y), width=0.5 if main else 0.15)
        if main:
            page.text(left - 1.5, y - 1.2, format_length(grid.low + k * grid.every * grid.up, units), 8, right=True)
    places = [left + x / grid.across for _, x in grid.marks]
    for one, other in zip(places, places[1:], strict=False):
        parts = max(round((other - one) / grid.every), 1)
        for k in range(1, parts):
            page.line((one + (other - one) * k / parts,) * 2, (low, low + high), width=0.15)
    for (name, _), at in zip(grid.marks, places, strict=True):
        page.line((at, at), (low - 3, low + high), width=1.1)
        page.text(min(at - width_of(name, 11) / 2, left + wide - width_of(name, 12)), low - 8, name, 11, bold=True)
    page.cursor = low - 10
    up = "true size" if grid.up == 1 else f"1 : {grid.up:g}"
    line = format_length(grid.every * grid.up, units)
    page.words([f"Across 1 : {grid.across:g}, up {up}. From line to line upwards: {line}. Measure the two bars at the "
                "edge of the sheet before you draw: each is 100 mm."], 11)  # fmt: skip
