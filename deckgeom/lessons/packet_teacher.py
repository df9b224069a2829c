"""The teacher's sheets of a class packet: what to bring, keys, marking sheet, wall sheet, glossary, layouts."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

import numpy as np

from deckgeom.lessons.class_work import PairWork
from deckgeom.lessons.exercise import Answer
from deckgeom.lessons.layouts import LAYOUTS, Layout, layout_steps
from deckgeom.lessons.packet_words import BREAK, BRING, CAUTIONS, HOW_TO_CHECK, MARKING, PREPARE
from deckgeom.lessons.slips import KNOWN_SLIPS
from deckgeom.lessons.trade_words import TRADE_WORDS
from deckgeom.papers.page import MARGIN, UPRIGHT, Page, broken
from deckgeom.papers.tables import columns, table_pages, word_pages

__all__ = ["glossary_pages", "key_pages", "layout_pages", "marking_pages", "plan_pages", "wall_pages",
           "wrong_answer_pages"]  # fmt: skip

Start = Callable[..., Page]
NAMES = 10
#: How many times the heights of the wall sheet are enlarged against the lengths. [-]
STEEPER = 8.0
ALONG = 61
#: How far a layout is drawn, in half-breadths. [-]
BEYOND = 1.12
#: The beam that the layouts are shown on, nobody's of the class: half-beam and camber. [mm]
SHOWN_ON = {True: (1200.0, 90.0), False: (1219.2, 95.25)}


def plan_pages(start: Start, works: Sequence[PairWork]) -> list[Page]:
    """
    What to prepare and bring, the 150 minutes, how to check, cautions.

    Parameters
    ----------
    start : callable
        Makes an empty sheet: start(title, note=...).
    works : sequence of PairWork

    Returns
    -------
    list of Page

    Examples
    --------
    >>> from deckgeom.lessons.class_work import class_work
    >>> plan_pages(Page, class_work(17, 1, "easy"))[0].title
    'For the teacher: the plan'
    """
    parts = [f"{one.minutes}: part {one.part}, {one.title[0].lower()}{one.title[1:]}" for one in works[0].exercises]
    hulls = [f"Pair {work.hull.pair}: {_humps(work)}" for work in works]
    class_of = f"150 minutes, {2 * len(works)} people in {len(works)} pairs; minutes from the start:"
    pages = word_pages(
        lambda: start("For the teacher: the plan"),
        [[class_of], [*parts[:4], BREAK, *parts[4:]], PREPARE, ["Which hull humps, on purpose:"], hulls],
        12,
    )
    pages += word_pages(lambda: start("For the teacher: checking, and care"),
                        [HOW_TO_CHECK, ["What counts as right:"], [f"{what}: {how}" for what, how in MARKING],
                         ["Take care:"], CAUTIONS], 12)  # fmt: skip
    bring = [part for where, what in BRING for part in _over_lines((where, what), 74)]
    bringing = columns(("where", "what"), bring, "ll")
    return pages + table_pages(lambda: start("For the teacher: what to bring"), bringing, 11, 0)


def _humps(work: PairWork) -> str:
    return {"one mould only": "a hump with one mould, none in the same proportion", "both": "a hump under both rules",
            "neither": "no hump under either rule"}[work.hull.humps]  # fmt: skip


def _over_lines(cells: Sequence[str], letters: int) -> Iterator[tuple[str, ...]]:
    """One row as several, its last cell broken to so many letters."""
    import textwrap

    *before, last = cells
    for k, part in enumerate(textwrap.wrap(last, letters) or [""]):
        yield (*(before if k == 0 else [""] * len(before)), part)


def key_pages(start: Start, work: PairWork) -> list[Page]:
    """
    The right answers of one pair, with their tolerances.

    Parameters
    ----------
    start : callable
    work : PairWork

    Returns
    -------
    list of Page

    Examples
    --------
    >>> from deckgeom.lessons.class_work import pair_work
    >>> key_pages(Page, pair_work(17, 3, "easy"))[0].title
    'Key, pair 3'
    """
    rows = []
    for answer in work.answers:
        rows += _over_lines((answer.key, _short(answer), answer.tolerance_shown, answer.asks), 52)
    title = f"Key, pair {work.hull.pair}"
    return table_pages(lambda: start(title, note="For the teacher alone."),
                       columns(("box", "right", "counts as right", "what is asked"), rows, "llll"), 10, 0)  # fmt: skip


def _short(answer: Answer) -> str:
    """The right answer, a long choice by its place among the choices."""
    if answer.kind == "choice" and len(answer.shown) > 16:
        return f"choice {answer.choices.index(answer.value) + 1}"
    return answer.shown


def wrong_answer_pages(start: Start, work: PairWork) -> list[Page]:
    """
    Wrong answers that are known to happen to one pair, what went wrong, and what to say.

    Parameters
    ----------
    start : callable
    work : PairWork

    Returns
    -------
    list of Page

    Examples
    --------
    >>> from deckgeom.lessons.class_work import pair_work
    >>> wrong_answer_pages(Page, pair_work(17, 3, "easy"))[0].title
    'Wrong-answer key, pair 3'
    """
    rows = []
    for answer in work.answers:
        values: dict[str, list[str]] = {}
        for slip in answer.slips:
            values.setdefault(slip.name, []).append(answer.written(slip.value))
        for name, given in values.items():
            rows += _over_lines((answer.key, " or ".join(dict.fromkeys(given)), name, KNOWN_SLIPS[name].says), 62)
    title = f"Wrong-answer key, pair {work.hull.pair}"
    return table_pages(lambda: start(title, note="For the teacher alone. Say what stands in the last column, no more."),
                       columns(("box", "they have", "the slip", "what to say"), rows, "llll"), 9, 0)  # fmt: skip


def marking_pages(start: Start, works: Sequence[PairWork]) -> list[Page]:
    """
    A sheet to mark ten people on.

    Parameters
    ----------
    start : callable
    works : sequence of PairWork

    Returns
    -------
    list of Page

    Examples
    --------
    >>> from deckgeom.lessons.class_work import class_work
    >>> marking_pages(Page, class_work(17, 1, "easy"))[0].title
    'Marking sheet'
    """
    boxes = [str(len(part.answers)) for part in works[0].exercises]
    people = max(NAMES, 2 * len(works))
    rows = [("boxes in all", "", *boxes, str(sum(map(int, boxes))))]
    rows += [("_______________", str(1 + k // 2) if k < 2 * len(works) else "__", *["__"] * len(boxes), "____")
             for k in range(people)]  # fmt: skip
    heads = ("name", "pair", *(f"part\n{part.part}" for part in works[0].exercises), "all")
    note = "One mark for each box that is right, half a mark if a hint was needed."
    table = columns(heads, rows, "lr" + "r" * len(heads[2:]))
    pages = table_pages(lambda: start("Marking sheet", note=note), table, 13)
    pages[-1].cursor -= 8
    pages[-1].words([f"{what}: {how}." for what, how in MARKING], 11)
    return pages


def glossary_pages(start: Start) -> list[Page]:
    """
    Words of the trade, with regional ones.

    Parameters
    ----------
    start : callable

    Returns
    -------
    list of Page

    Examples
    --------
    >>> glossary_pages(Page)[0].title
    'Words of the trade'
    """
    rows = [row for words in TRADE_WORDS for row in _over_lines(words, 58)]
    return table_pages(lambda: start("Words of the trade"), columns(("word", "also", "meaning"), rows, "lll"), 12, 0)


def wall_pages(start: Start, works: Sequence[PairWork]) -> list[Page]:
    """
    The crown lines of all pairs beside each other, to one scale: for the wall, after part 5.

    Parameters
    ----------
    start : callable
    works : sequence of PairWork

    Returns
    -------
    list of Page

    Examples
    --------
    >>> from deckgeom.lessons.class_work import class_work
    >>> len(wall_pages(Page, class_work(17, 2, "easy")))
    1
    """
    note = ("Put up after part 5. Full line: crown with one mould. Dashes: crown in the same proportion. Dots: the "
            f"deck edge. Heights are drawn {STEEPER:g} times as large as lengths, all pairs to one scale.")  # fmt: skip
    pages = [start("Wall sheet: whose crown line humps?", note=note)]
    across = (pages[0].width - 2 * MARGIN - UPRIGHT - 26) / max(float(w.hull.x[-1] - w.hull.x[0]) for w in works)
    for work in works:
        lines = _lines_of(work)
        low, high = min(line.min() for line, _ in lines), max(line.max() for line, _ in lines)
        room = (high - low) * across * STEEPER
        if pages[-1].room < room + 12:
            pages.append(start("Wall sheet: whose crown line humps?", note=note))
        page = pages[-1]
        page.cursor -= room + 12
        page.text(MARGIN, page.cursor + room / 2, f"Pair {work.hull.pair}", 14, bold=True)
        x = MARGIN + 24 + np.linspace(0.0, float(work.hull.x[-1] - work.hull.x[0]), ALONG) * across
        for line, dashes in lines:
            page.line(x, page.cursor + (line - low) * across * STEEPER, 1.6 if not dashes else 1.0, dashes)
        page.text(MARGIN + 24, page.cursor - 4.5, f"{_humps(work)}.", 11)
        page.cursor -= 5
    return pages


def _lines_of(work: PairWork) -> list[tuple[np.ndarray, tuple[float, ...]]]:
    """Heights along the boat with the dashes of their line. [mm]"""
    hull = work.hull
    x = np.linspace(hull.x[0], hull.x[-1], ALONG)
    one, same = (hull.deck(rule).crown(x) for rule in ("one mould", "same proportion"))
    return [(one, ()), (same, (4.0, 2.0)), (hull.sheer.height("starboard", x), (0.4, 1.6))]


def layout_pages(start: Start, units: str) -> list[Page]:
    """
    The five layouts as strips: one under the other, each step with what it adds.

    Parameters
    ----------
    start : callable
    units : {"mm", "ft-in-8", "in"}
        That the words speak in.

    Returns
    -------
    list of Page
        One a layout, or more.

    Examples
    --------
    >>> [page.title for page in layout_pages(Page, "mm")][:2]
    ['Layout: quarter-circle', 'Layout: equal divisions']
    """
    pages = []
    for name in LAYOUTS:
        laid = layout_steps(name, *SHOWN_ON[units == "mm"], 4, units)
        pages.append(start(f"Layout: {name}", note="Bold: what the step adds. Heights are drawn larger than lengths."))
        for k, step in enumerate(laid.steps, 1):
            wide = pages[-1].width - 2 * MARGIN - UPRIGHT
            lines = broken(f"{k}. {step.words}", wide, 11)
            if pages[-1].room < 26 + 6 * len(lines):
                pages.append(start(f"Layout: {name}, continued"))
            pages[-1].words(lines, 11)
            _draw_step(pages[-1], laid, k)
    return pages


def _draw_step(page: Page, laid: Layout, step: int, high: float = 18.0) -> None:
    """One step of a layout under the cursor of a sheet: the beam, and the small figure beside it."""
    before, new = laid.drawn(step)
    aside = any(stroke.on == "aside" for one in laid.steps for stroke in one.strokes)
    width = page.width - 2 * MARGIN - UPRIGHT - (high + 14 if aside else 0) - 8
    left = -laid.half_breadth * (BEYOND if laid.whole else 0.0)
    across, up = width / (BEYOND * laid.half_breadth - left), high / (1.15 * laid.camber)
    page.cursor -= high + 4
    places = {"beam": (MARGIN + 4 - left * across, across), "aside": (MARGIN + width + 18, up)}
    for strokes, bold in ((before, False), (new, True)):
        for stroke in strokes:
            origin, scale = places[stroke.on]
            y, z = _within(stroke.y, stroke.z, laid) if stroke.on == "beam" else (stroke.y, stroke.z)
            x, z = origin + y * scale, page.cursor + z * up
            if stroke.kind in ("line", "arc"):
                page.line(x, z, 1.5 if bold else 0.35)
            elif stroke.kind == "points":
                for at, height in zip(x, z, strict=True):
                    page.line([at - 0.8, at + 0.8, at + 0.8, at - 0.8, at - 0.8],
                              [height - 0.8, height - 0.8, height + 0.8, height + 0.8, height - 0.8], 0.6)  # fmt: skip
            elif bold:
                page.text(float(x[0]) + 1, float(z[0]) + 1, stroke.words, 7)
    page.cursor -= 4


def _within(y: np.ndarray, z: np.ndarray, laid: Layout) -> tuple[np.ndarray, np.ndarray]:
    """A line cut off a little beyond the ends of the beam, where sticks run on; points and short lines as they are."""
    if y.size < 2 or (np.abs(y).max() <= BEYOND * laid.half_breadth and z.min() >= -0.1 * laid.camber):
        return y, z
    at = np.linspace(0.0, y.size - 1.0, 200 * (y.size - 1) + 1)
    y, z = np.interp(at, np.arange(y.size), y), np.interp(at, np.arange(z.size), z)
    inside = (np.abs(y) <= BEYOND * laid.half_breadth) & (z >= -0.1 * laid.camber)
    return y[inside], z[inside]
