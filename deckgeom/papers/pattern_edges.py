"""
Full-size patterns of what is not a beam: a covering board or any spiled edge laid flat, and the bevels of the clamp.
"""

from __future__ import annotations

import numpy as np

from deckgeom.deck.framing import ClampLine
from deckgeom.deck.spiling import SpiledEdge
from deckgeom.drawings.style import clean
from deckgeom.papers.pattern import Line, Note, Pattern
from deckgeom.units import format_length

__all__ = ["bevel_board", "edge_pattern"]

#: Breadth of a bevel board, and the space between its lines. [mm]
BOARD, APART = 100.0, 30.0


def edge_pattern(edge: SpiledEdge, marks=None, units: str = "mm", strip: float = 0.0) -> Pattern:
    """
    The pattern of a covering-board strip or any spiled edge, laid flat.

    Parameters
    ----------
    edge : SpiledEdge
        Its points are joined by straight steps: give many.
    marks : (m,) array, optional
        Which of its x get an ordinate and a row of numbers; all if not given. [mm]
    units : {"mm", "ft-in-8", "in"}
        For the words.
    strip : float
        Breadth of the strip that was asked for; 0 where none was. [mm]

    Returns
    -------
    Pattern
        Seen from above, y away from the centreline of the boat: so x runs along the straight line from the forward end
        to starboard, and from the after end to port, as the side itself lies.

    Examples
    --------
    >>> edge = SpiledEdge("deck edge", "port", [0, 500, 1000], [0, 499, 998], [0, 20, 0], length=1000.2, chord=998.0)
    >>> edge_pattern(edge, marks=[500]).rows
    (('500 mm', '499 mm', '20 mm', 'outboard'),)
    """
    at = range(len(edge.x)) if marks is None else np.searchsorted(edge.x, np.asarray(marks) - 1e-6)
    say, lines, notes, rows = format_length, [], [], []
    port, whole = edge.side == "port", float(edge.along[0] + edge.along[-1])

    def across(along):
        return whole - along if port else along

    lines.append(Line("top", across(edge.along)[::-1 if port else 1], edge.offset[::-1 if port else 1], smooth=True))
    lines.append(Line("straight line", [edge.along[0], edge.along[-1]], [0, 0]))
    if len(edge.far_along):
        lines.append(Line("other edge", across(edge.far_along), edge.far_offset, smooth=True))
    for x, a, o in [(float(edge.x[k]), float(edge.along[k]), float(edge.offset[k])) for k in at]:
        lines.append(Line("ordinates", [across(a), across(a)], [0, o]))
        way = "" if abs(o) < 0.5 else "outboard" if o > 0 else "inboard"
        rows.append((say(x, units), say(a, units), say(abs(o), units), way))
        notes.append(Note(across(a) - 0.8, max(o, 0.0) + 2, f"{say(a, units)}, off {say(abs(o), units)} {way}".rstrip(),
                          upright=True))  # fmt: skip
    says = (
        f"Laid flat, seen from above, face up: forward end to the {'right' if port else 'left'}, middle of the boat "
        f"below the straight line. True length of the edge {say(edge.length, units)}; straight line "
        f"{say(edge.chord, units)}. Distances along it are from the forward end.",
        *_strip_says(edge, units, strip),
    )
    heads = ("mark, aft of zero", "along the straight line", "off it", "")
    return Pattern(f"{edge.edge[:1].upper()}{edge.edge[1:]}, {edge.side}", tuple(lines), tuple(notes), says, heads,
                   tuple(rows))  # fmt: skip


def _strip_says(edge: SpiledEdge, units: str, strip: float) -> tuple[str, ...]:
    wide = f", {format_length(strip, units)} broad" if strip else ""
    if not len(edge.far_along):
        say = f"No strip is drawn: for one{wide.replace(',', '')} there is no room inside this edge. "
        return (f"{say}Write a smaller edge_strip.",) if strip else ()
    way = "stretch" if edge.misfit > 0 else "squeeze"
    return (f"Dashed: the inner edge of the strip{wide}. It must {way} by {format_length(abs(edge.misfit), units)} in "
            "all to lie on the deck.",)  # fmt: skip


def bevel_board(clamp: ClampLine, units: str = "mm") -> Pattern:
    """
    A board of bevels for the clamp: set the gauge between the long edge and a station's line.

    Parameters
    ----------
    clamp : ClampLine
    units : {"mm", "ft-in-8", "in"}
        For the words.

    Returns
    -------
    Pattern
        The long edge along x; each line leans off a square by its bevel, forward to the left.

    Examples
    --------
    >>> import numpy as np
    >>> clamp = ClampLine("port", ("4",), *np.zeros((5, 1)), [5.0], [0.0], [0.0], "top of deck")
    >>> line = next(line for line in bevel_board(clamp).lines if line.layer == "top")
    >>> round(float(np.degrees(np.arctan2(line.x[1] - line.x[0], line.y[1] - line.y[0]))), 6)
    5.0
    """
    count = len(clamp.names)
    lean = BOARD * np.tan(np.radians(clamp.bevel_deg))
    foot = APART * np.arange(count) - np.minimum(np.minimum.accumulate(lean), 0.0)
    long = float(max(foot[-1], (foot + lean).max())) + APART / 2 if count else APART
    lines = [Line("underside", [-APART / 2, long, long, -APART / 2, -APART / 2], [0, 0, BOARD, BOARD, 0])]
    notes, rows = [], []
    for name, x, run, deg in zip(clamp.names, foot.tolist(), lean.tolist(), clamp.bevel_deg.tolist(), strict=True):
        lines.append(Line("top", [x, x + run], [0, BOARD]))
        way = "square" if abs(deg) < 0.05 else "standing" if deg > 0 else "under"
        beside = x - 1 if deg > 0 else x + 4.5  # on the side that the line leans away from
        notes.append(Note(beside, 4, f"{clean(name, 14)}: {abs(deg):.1f} {way}", upright=True))
        rows.append((clean(name, 30), f"{abs(deg):.1f} deg {way}"))
    says = (
        "The bevel in the wood between the clamp's top and its outer face. Lay the stock of the gauge along the lower "
        "edge, to the left of the line, and the blade on the station's line.",
        "Standing: more than a square. Under: less.",
    )
    return Pattern(f"Bevel board of the clamp, {clamp.side}", tuple(lines), tuple(notes), says, ("station", "bevel"),
                   tuple(rows))  # fmt: skip
