"""
True shapes of sheets on paper: the shape to scale beside its offsets, and once for both sides where they agree.
"""

from __future__ import annotations

from functools import partial

import numpy as np

from deckgeom.laying.plan_way import WayPlan
from deckgeom.papers.canvas import POINT
from deckgeom.papers.page import MARGIN, UPRIGHT, Page, broken
from deckgeom.papers.tables import columns, table_pages
from deckgeom.units import format_length

__all__ = ["shape_pages"]

SIZE = 10.0
"""Of letters. [points]"""
WIDE, HIGH = 92.0, 64.0
"""Room for a drawing. [mm]"""


def shape_pages(way: WayPlan, start) -> list[Page]:
    """
    Every sheet's true shape, two on a page where there is room.

    Parameters
    ----------
    way : WayPlan
    start : callable
        Makes an empty sheet: start(title, note=...).

    Returns
    -------
    list of Page

    Examples
    --------
    >>> from deckgeom.laying.ways import Way
    >>> shape_pages(WayPlan(Way("bare", ()), None, (), "mm", 20.0), Page)
    []
    """
    pages: list[Page] = []
    note = ("Full line: true shape, to the middle of joints, with its marks. Dashed: cut to this first. Thin: the "
            "straight line.")  # fmt: skip
    fresh = partial(start, f"True shapes: {way.way.name}", note=note)
    for name, marks, more in _groups(way):
        words = [" ".join([*more, *marks.words(way.units)])]
        table = _table(marks, partial(format_length, units=way.units))
        wide = (pages[-1] if pages else fresh()).width - 2 * MARGIN - UPRIGHT
        lines = sum(len(broken(line, wide, SIZE)) for line in words)
        tall = (lines * 1.5 + 2.2) * SIZE * POINT + max(HIGH, (len(table[0].cells) + 3) * 1.75 * SIZE * POINT) + 8
        if not pages or pages[-1].room < tall:
            pages.append(fresh())
        pages += _block(pages[-1], f"Sheet {name}", words, marks, table, fresh)
    return pages


def _groups(way: WayPlan):
    """Name, marks and words before them, of each sheet or of both sides' sheets together."""
    done: dict[str, str] = {}
    for pair in way.pairs:
        for one, other in ((pair.starboard, pair.port), (pair.port, pair.starboard)):
            done[one.panel.name] = "" if pair.one_pattern and one is pair.port else other.panel.name
    pairs = {flat.panel.name: pair for pair in way.pairs for flat in (pair.port, pair.starboard)}
    for panel in way.panels:
        name = panel.panel.name
        pair = pairs.get(name)
        if pair is not None and pair.one_pattern and done[name] == "":
            continue
        _, marks = way.flat(name)
        if pair is None:
            yield name, marks, []
        elif pair.one_pattern:
            yield f"{name} (starboard) and {done[name]} (port, turned over)", marks, [pair.words(way.units)]
        else:
            yield name, marks, [f"With {done[name]}: {pair.words(way.units)}"]


def _table(marks, say) -> list:
    """Marks along the line with both edges beside each other; marks that print the same stand in one row."""
    first, second = marks.edge_names
    found: dict[str, dict[str, str]] = {}
    places: dict[str, float] = {}
    for edge, along, off in marks.rows():
        words = _signed(along, say, "before")
        places.setdefault(words, along)
        found.setdefault(words, {}).setdefault(edge, _signed(off, say, "other way"))
    rows = [(words, found[words].get(first, ""), found[words].get(second, ""))
            for words in sorted(found, key=places.get)]  # fmt: skip
    return columns(("along", f"to the\n{first} edge", f"to the\n{second} edge"), rows, "rrr")


def _signed(value: float, say, word: str) -> str:
    return f"{say(abs(value))} {word}" if value < -0.5 else say(abs(value))


def _block(page: Page, heading: str, words, marks, table, fresh) -> list[Page]:
    """One shape: heading and words across the page, then the drawing with its table beside it."""
    page.cursor -= SIZE * POINT * 1.9
    page.text(MARGIN, page.cursor, heading, size=SIZE + 2, bold=True)
    page.words(words, size=SIZE)
    page.cursor -= 3
    top = page.cursor
    low = _drawing(page, marks)
    page.cursor = top + 2
    waiting = [page]
    made = table_pages(lambda: waiting.pop() if waiting else fresh(), table, size=SIZE, groups=5,
                       left=MARGIN + WIDE + 8)  # fmt: skip
    made[-1].cursor = min(made[-1].cursor, low if len(made) == 1 else made[-1].cursor) - 4
    return made[1:]


def _drawing(page: Page, marks) -> float:
    """The shape to scale, its marks, the line to cut to first and the face grain; gives how far down it goes."""
    cut = np.vstack([marks.cut, marks.cut[:1]])
    low, size = cut.min(axis=0), np.ptp(cut, axis=0)
    scale = min(HIGH / size[1], WIDE / size[0])
    bottom = page.cursor - size[1] * scale - 2

    def on_page(points) -> tuple[np.ndarray, np.ndarray]:
        placed = (np.asarray(points, float) - low) * scale
        return MARGIN + placed[:, 0], bottom + placed[:, 1]

    page.line(*on_page(cut), 1.0, (2.5, 1.5))
    for along, off in zip(marks.along, marks.offset, strict=True):
        page.line(*on_page(np.column_stack([along, off])), 1.6)
        for x, y in zip(*on_page(np.column_stack([along, off])), strict=True):
            page.line((x, x), (y - 1, y + 1), 0.6)
    for a, b in ((0, 3), (1, 2)):
        page.line(*on_page(marks.corners[[a, b]]), 1.6)
    page.line(*on_page([(low[0], 0.0), (low[0] + size[0], 0.0)]), 0.4)
    turn, middle = np.radians(marks.grain_deg), low + size / 2
    step = 0.12 * size.min() * np.array([np.cos(turn), np.sin(turn)])
    page.line(*on_page([middle - step, middle + step]), 0.8)
    x, y = on_page([middle])
    page.text(float(x[0]) + 1, float(y[0]) - 4, "face grain", size=7)
    return bottom - 2
