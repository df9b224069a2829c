"""
Small pictures on a shop sheet: a pattern made to fit, and which way a beam's bevel leans.
"""

from __future__ import annotations

from deckgeom.deck.beam import Beam
from deckgeom.papers.canvas import POINT
from deckgeom.papers.page import MARGIN, UPRIGHT, Page
from deckgeom.papers.pattern import LAYERS, Pattern
from deckgeom.papers.words import off_centreline
from deckgeom.units import format_length

__all__ = ["LEANS_HIGH", "place_leans", "place_pattern"]

#: Room that the sketches of the bevel take. [mm]
LEANS_HIGH = 34.0
WIDE, DEEP, LEAN = 22.0, 12.0, 3.5


def place_pattern(page: Page, pattern: Pattern) -> None:
    """
    Draw the lines of a pattern across a sheet at its cursor, small.

    Parameters
    ----------
    page : Page
    pattern : Pattern
        Its words are left out; line styles stay.

    Examples
    --------
    >>> from deckgeom.papers.pattern import Line
    >>> page = Page("Strip")
    >>> before = page.cursor
    >>> place_pattern(page, Pattern("Strip", (Line("top", [0, 1000], [0, 100]),)))
    >>> before > page.cursor
    True
    """
    left, low, right, upper = Pattern(pattern.name, pattern.lines).bounds
    small = min((page.width - 2 * MARGIN - UPRIGHT - 4) / (right - left), max(page.room - 6, 1) / max(upper - low, 1))
    page.cursor -= small * (upper - low) + 4
    for line in pattern.lines:
        width, dashes = LAYERS[line.layer]
        x, y = MARGIN + small * (line.x - left), page.cursor + small * (line.y - low)
        page.line(x, y, width / POINT * 0.8, dashes)


def place_leans(page: Page, beam: Beam, units: str) -> None:
    """
    Draw which edge of a beam is high, at both ends and in the middle: a cut through it, forward to the left.

    Parameters
    ----------
    page : Page
    beam : Beam
    units : {"mm", "ft-in-8", "in"}

    Examples
    --------
    >>> from deckgeom.bench.example import example_job
    >>> page = Page("Beam 1")
    >>> before = page.cursor
    >>> place_leans(page, example_job().beams["1"], "mm")
    >>> before - page.cursor == LEANS_HIGH
    True
    """
    table = beam.ordinates
    there = [k for k in range(len(table)) if table.on_both[k]]
    page.cursor -= LEANS_HIGH
    base = page.cursor + 8
    for place, k in enumerate(sorted({there[0], there[len(there) // 2], there[-1]}) if there else ()):
        x, high = MARGIN + 2 + 60 * place, str(table.high_edge[k])
        up = {"forward edge high": (LEAN, 0.0), "after edge high": (0.0, LEAN)}.get(high, (0.0, 0.0))
        top = base + DEEP
        page.line([x, x, x + WIDE, x + WIDE, x], [base, top + up[0], top + up[1], base, base], 0.9)
        page.line([x, x + WIDE], [top, top], 0.4, (1, 1))
        page.text(x, base - 3.5, "forward", 7)
        page.text(x + WIDE, base - 3.5, "after", 7, right=True)
        said = "square" if high == "square" else f"{format_length(float(table.rise_over_siding[k]), units)}, {high}"
        page.text(x, base - 7, said, 8)
        page.text(x, base + DEEP + 6, off_centreline(float(table.y[k]), units), 8)
