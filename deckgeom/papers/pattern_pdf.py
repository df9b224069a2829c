"""
Patterns as PDF, true to size: laid over sheets of an office printer with marks that must meet, or on one long sheet.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from deckgeom.drawings.style import clean
from deckgeom.papers.canvas import POINT, Sheets, width_of
from deckgeom.papers.page import Imprint, broken
from deckgeom.papers.pattern import LAYERS, Note, Pattern
from deckgeom.papers.tiles import FOOT, HEAD, MARGIN, ROLL, Layout, Tile, lay_out_tiles, pieces_inside, without_empty
from deckgeom.units import MM_PER_INCH

__all__ = ["bar_length", "pattern_pdf", "sheets_of"]

#: Height of a capital of the font, in parts of its size. [-]
CAPITAL = 0.729
#: From the edge of the drawn part to the two check bars. [mm]
BAR_IN = 3.0
LINE_UP = 4.2


def bar_length(units: str) -> tuple[float, str, str]:
    """
    Length of the check bars, in words, and from end to end of both.

    Parameters
    ----------
    units : {"mm", "ft-in-8", "in"}

    Returns
    -------
    length : float
        [mm]
    words, across : str

    Examples
    --------
    >>> bar_length("mm"), bar_length("in")
    ((100.0, '100 mm', '141.4 mm'), (101.6, '4 in', '5 21/32 in'))
    """
    return (100.0, "100 mm", "141.4 mm") if units == "mm" else (4 * MM_PER_INCH, "4 in", "5 21/32 in")


def pattern_pdf(pattern: Pattern, paper: str, imprint: Imprint, units: str = "mm", scale=(1.0, 1.0)) -> bytes:
    """
    Draw a pattern true to size over as many sheets as it needs.

    Parameters
    ----------
    pattern : Pattern
    paper : {"A4", "A3", "Letter", "Tabloid", "roll"}
        A roll is one sheet as long as the pattern, cut only beyond 5 m.
    imprint : Imprint
        What every sheet says of itself.
    units : {"mm", "ft-in-8", "in"}
        Of the check bars.
    scale : tuple of float
        Drawn so many times larger across and up, for a printer that shrinks; every sheet says so. [-]

    Returns
    -------
    bytes
        The file. Before the parts of an office set comes a sheet with the map of all sheets and the numbers.

    Examples
    --------
    >>> from deckgeom.papers.pattern import Line
    >>> strip = Pattern("Strip", (Line("top", [0, 400], [0, 20]),))
    >>> pattern_pdf(strip, "A4", Imprint("Wherry", "2026-05-01", (), "0.1"))[:5]
    b'%PDF-'
    """
    layout = sheets_of(pattern, paper, scale)
    sheets = Sheets(f"{clean(imprint.boat, 60)}: {pattern.name}", f"deckgeom {imprint.version}")
    count = len(layout.tiles)
    if paper != ROLL:
        _front_sheets(sheets, pattern, layout, imprint, units, scale)
    for number, tile in enumerate(layout.tiles, 1):
        sheets.page(*layout.sheet)
        place = f"{pattern.name}   sheet {number} of {count}"
        if count > 1:
            place += f": row {layout.rows - tile.row} from the top, {tile.column + 1} from the left"
        _draw_part(sheets, pattern, layout, tile, scale)
        _foot(sheets, layout.sheet, place, pattern, imprint, units, scale)
    return sheets.finished()


def sheets_of(pattern: Pattern, paper: str, scale=(1.0, 1.0)) -> Layout:
    """
    Lay a pattern over sheets, without those that would carry no edge of the piece.

    Parameters
    ----------
    pattern : Pattern
    paper : {"A4", "A3", "Letter", "Tabloid", "roll"}
    scale : tuple of float
        [-]

    Returns
    -------
    Layout

    Examples
    --------
    >>> from deckgeom.papers.pattern import Line
    >>> len(sheets_of(Pattern("Strip", (Line("top", [0, 400], [0, 20]),)), "A4").tiles)
    2
    """
    edges = [(line.x, line.y) for line in pattern.lines if line.layer not in ("ordinates", "straight line")]
    return without_empty(lay_out_tiles(pattern.bounds, paper, scale), edges)


def _draw_part(sheets: Sheets, pattern: Pattern, layout: Layout, tile: Tile, scale) -> None:
    left, low = MARGIN, MARGIN + FOOT

    def at(x, y):
        return left + (np.asarray(x) - tile.x) * scale[0], low + (np.asarray(y) - tile.y) * scale[1]

    corners = [tile.x, tile.right, tile.right, tile.x, tile.x], [tile.y, tile.y, tile.upper, tile.upper, tile.y]
    sheets.line(*at(*corners), width=0.1)
    for line in pattern.lines:
        apart = line.x.max() < tile.x or line.x.min() > tile.right or line.y.max() < tile.y or line.y.min() > tile.upper
        for x, y in () if apart else pieces_inside(line.x, line.y, tile):
            sheets.line(*at(x, y), *LAYERS[line.layer])
    for note in pattern.notes:
        if _whole_on(note, tile, layout, scale):
            size = note.height / CAPITAL / POINT
            x, y = at(note.x, note.y)
            sheets.words(float(x), float(y), note.words, size, upright=note.upright)
    for letter, x, y in layout.marks:
        if tile.holds(x, y, 4.0):
            sheets.line(*at([x - 4, x + 4], [y, y]), width=0.2)
            sheets.line(*at([x, x], [y - 4, y + 4]), width=0.2)
            u, v = at(x + 1, y + 1)
            sheets.words(float(u), float(v), letter, 8, bold=True)


def _whole_on(note: Note, tile: Tile, layout: Layout, scale) -> bool:
    """Whether the words lie on the sheet from their first letter to their last."""
    if not tile.holds(note.x, note.y):
        return False
    long = width_of(note.words, note.height / CAPITAL / POINT)
    if note.upright:
        first, last = (note.x - note.height / scale[0], note.y), (note.x + 1, note.y + long / scale[1])
    else:
        first, last = (note.x, note.y - 1), (note.x + long / scale[0], note.y + note.height / scale[1])
    return tile.holds(*first) and tile.holds(*last)


def _foot(sheets: Sheets, sheet, place: str, pattern: Pattern, imprint: Imprint, units: str, scale) -> None:
    """The words under the drawing and both check bars, which share a corner."""
    wide, high = sheet
    bar, said, across = bar_length(units)
    x, y = wide - MARGIN - BAR_IN, MARGIN + BAR_IN - 1
    sheets.line([x - bar * scale[0], x], [y, y], 0.3)
    sheets.line([x, x], [y, y + bar * scale[1]], 0.3)
    for u, v in ((x - bar * scale[0], y), (x, y), (x, y + bar * scale[1])):
        sheets.line([u - 1.5, u + 1.5], [v, v], 0.2)
        sheets.line([u, u], [v - 1.5, v + 1.5], 0.2)
    first = x - bar * scale[0]
    proof = (
        f"Measure first: both bars {said}; between their far ends {across}.",
        f"If a bar measures ______ multiply by {said} / ______ : 1 % short, 1.010.",
        "Print at 100 %, never to fit the page.",
        _scale_words(scale),
    )
    for k, words in enumerate(proof):
        sheets.words(first, y + 14 - 3.4 * k, words, 6.5)
    room = first - MARGIN - 4
    sheets.words(MARGIN, high - MARGIN - HEAD + 2.5, _fit(place, wide - 2 * MARGIN, 11, True), 11, bold=True)
    lines = [f"{clean(imprint.boat, 70)}   {imprint.date}   deckgeom {imprint.version}"]
    lines += broken(" · ".join([*pattern.says[:1], *imprint.conventions]), room, 6.5)
    for k, words in enumerate(lines[:5]):
        sheets.words(MARGIN, MARGIN + FOOT - 5 - 3.4 * k, _fit(words, room, 6.5), 6.5)


def _scale_words(scale) -> str:
    if scale == (1.0, 1.0):
        return "Drawn 1 : 1."
    return f"Drawn {scale[0]:.4f} across and {scale[1]:.4f} up, for a printer that shrinks."


def _fit(words: str, room: float, size: float, bold: bool = False) -> str:
    """Words cut to the room that there is."""
    words = clean(words, 400)
    if width_of(words, size, bold) <= room:
        return words
    while words and width_of(words + "…", size, bold) > room:
        words = words[:-1]
    return words + "…"


def _front_sheets(sheets: Sheets, pattern: Pattern, layout: Layout, imprint: Imprint, units: str, scale) -> None:
    """What the set is, the map of its sheets, what each line is, and the curve in numbers."""
    wide, high = layout.sheet
    room, rows = wide - 2 * MARGIN - 12, list(pattern.rows)
    first = True
    while first or rows:
        sheets.page(wide, high)
        title = f"{pattern.name}: {len(layout.tiles)} sheets to tape together" if first else f"{pattern.name}: numbers"
        _foot(sheets, layout.sheet, title, pattern, imprint, units, scale)
        y = high - MARGIN - HEAD - 2
        if first:
            for words in [*pattern.says, _taping(layout)]:
                for part in broken(words, room, 9):
                    sheets.words(MARGIN, y, part, 9)
                    y -= LINE_UP
            y = _map(sheets, pattern, layout, y - 2)
            y = _legend(sheets, pattern, y - 3, room)
        rows = _numbers(sheets, pattern.heads, rows, y - 2, room)
        first = False


def _taping(layout: Layout) -> str:
    if len(layout.tiles) == 1:
        return "One sheet: nothing to tape."
    return (
        "Lay each sheet over its neighbour so that crosses with the same letter meet, and see along the straight lines "
        "that they stay straight. Then tape, and measure over all joints once more. Sheets without an edge of the "
        "piece are left out."
    )


def _map(sheets: Sheets, pattern: Pattern, layout: Layout, top: float) -> float:
    """Every sheet small, with its number, and the lines of the pattern through them."""
    tiles = layout.tiles
    left, low = min(t.x for t in tiles), min(t.y for t in tiles)
    right, upper = max(t.right for t in tiles), max(t.upper for t in tiles)
    small = min((layout.sheet[0] - 2 * MARGIN - 14) / (right - left), 34.0 / (upper - low))
    base = top - (upper - low) * small

    def at(x, y):
        return MARGIN + (np.asarray(x) - left) * small, base + (np.asarray(y) - low) * small

    for number, t in enumerate(tiles, 1):
        sheets.line(*at([t.x, t.right, t.right, t.x, t.x], [t.y, t.y, t.upper, t.upper, t.y]), width=0.15)
        u, v = at(t.x + t.width * 0.5, t.y + t.height * 0.06)
        sheets.words(float(u), float(v), str(number), 7)
    for line in pattern.lines:
        if line.layer != "ordinates":
            sheets.line(*at(line.x[:: max(1, len(line.x) // 60)], line.y[:: max(1, len(line.y) // 60)]), width=0.2)
    return base


def _legend(sheets: Sheets, pattern: Pattern, y: float, room: float) -> float:
    """A piece of every kind of line with its name."""
    x = MARGIN
    y -= LINE_UP
    for layer in dict.fromkeys(line.layer for line in pattern.lines):
        long = 22 + width_of(layer, 8)
        if x + long > MARGIN + room:
            x, y = MARGIN, y - LINE_UP
        sheets.line([x, x + 16], [y + 1, y + 1], *LAYERS[layer])
        sheets.words(x + 17.5, y, layer, 8)
        x += long
    return y - 2


def _numbers(sheets: Sheets, heads: Sequence[str], rows: list, top: float, room: float) -> list:
    """As many rows as there is room for, in blocks side by side; the rest comes back."""
    if not rows:
        return []
    size, gap = 7.5, 4.0
    widths = [max(width_of(row[k], size, row is heads) for row in (heads, *rows)) + gap for k in range(len(heads))]
    block = sum(widths) + gap
    deep = max(int((top - MARGIN - FOOT) / 3.7) - 1, 0)
    x = MARGIN
    while rows and deep and (x == MARGIN or x + block - 2 * gap <= MARGIN + room):
        for k, row in enumerate([heads, *rows[:deep]]):
            place = x
            for words, wide in zip(row, widths, strict=True):
                sheets.words(place, top - 3.7 * (k + 1), words, size, bold=k == 0)
                place += wide
        rows, x = rows[deep:], x + block
    return rows
