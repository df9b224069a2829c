"""
Full-size patterns: named lines, words and marks in millimetres, ready for any kind of sheet or machine.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np

from deckgeom.deck._closed import closed
from deckgeom.deck.beam import Beam
from deckgeom.deck.outline import Outline, outline
from deckgeom.drawings.style import clean
from deckgeom.papers.words import off_centreline
from deckgeom.units import format_length

__all__ = ["LAYERS", "Line", "Note", "Pattern", "beam_pattern"]

#: What each kind of line is, how thick [mm] and how dashed [mm]; black and white, told apart by style.
LAYERS: dict[str, tuple[float, tuple[float, ...]]] = {
    "top": (0.5, ()),
    "underside": (0.35, ()),
    "end cut": (0.35, ()),
    "end cut, after face": (0.35, (5, 2)),
    "jig top": (0.35, (9, 2.5)),
    "jig underside": (0.35, (9, 2.5, 1.5, 2.5)),
    "centreline": (0.25, (12, 2, 2, 2)),
    "level line": (0.25, (4, 3)),
    "deck edge": (0.35, (1, 1.5)),
    "straight line": (0.25, (12, 2, 2, 2)),
    "other edge": (0.35, (5, 2)),
    "ordinates": (0.18, ()),
    "words": (0.18, ()),
    "check bars": (0.3, ()),
}
SMALL = 2.5
#: Ordinates nearer together than this share the words of the first. [mm]
APART = 11.0
BREATH = 6.0
#: Room that a letter is given, in heights of a capital: words are mostly narrower. [-]
WIDE = 0.9
#: The centreline is drawn where the beam comes this near to it. [mm]
NEAR = 60.0
#: Ordinates nearer than this would write over each other. [mm]
CROWDED = 4 * SMALL


@dataclass(frozen=True, eq=False)
class Line:
    """
    A line of a pattern.

    Parameters
    ----------
    layer : str
        A key of ``LAYERS``.
    x, y : (n,) array
        [mm]
    smooth : bool
        True for a curve that was drawn through many points, False where the corners are meant.

    Examples
    --------
    >>> Line("centreline", [0, 0], [-60, 40]).x.tolist()
    [0.0, 0.0]
    """

    layer: str
    x: np.ndarray
    y: np.ndarray
    smooth: bool = False

    def __post_init__(self) -> None:
        if self.layer not in LAYERS:
            raise KeyError(f"layer {self.layer!r}; there are {', '.join(LAYERS)}")
        for name in ("x", "y"):
            object.__setattr__(self, name, closed(getattr(self, name)))


@dataclass(frozen=True)
class Note:
    """
    Words on a pattern, beginning at a point.

    Parameters
    ----------
    x, y : float
        Where their base line begins. [mm]
    words : str
        Drawn as they stand, never interpreted.
    height : float
        Of the letters. [mm]
    upright : bool
        Written upwards.

    Examples
    --------
    >>> Note(0, 0, "centreline").height
    2.5
    """

    x: float
    y: float
    words: str
    height: float = SMALL
    upright: bool = False

    @property
    def box(self) -> tuple[float, float, float, float]:
        """Least x and y, greatest x and y of the words, none of them wider than a capital. [mm]"""
        long = WIDE * self.height * len(self.words)
        if self.upright:
            return self.x - self.height, self.y, self.x + 0.3 * self.height, self.y + long
        return self.x, self.y - 0.3 * self.height, self.x + long, self.y + self.height


@dataclass(frozen=True, eq=False)
class Pattern:
    """
    A full-size pattern, x to the right and y upwards.

    Parameters
    ----------
    name : str
        Of the piece, in words.
    lines : tuple of Line
    notes : tuple of Note
    says : tuple of str
        What it is, for which face, and how to use it: one line each, written on every set.
    heads : tuple of str
        Of the ordinates.
    rows : tuple of tuple of str
        The same curve in numbers, printed beside it.

    Examples
    --------
    >>> Pattern("strip", (Line("top", [0, 400], [0, 20]),)).bounds
    (0.0, 0.0, 400.0, 20.0)
    """

    name: str
    lines: tuple[Line, ...]
    notes: tuple[Note, ...] = ()
    says: tuple[str, ...] = ()
    heads: tuple[str, ...] = ()
    rows: tuple[tuple[str, ...], ...] = field(default=())

    @property
    def bounds(self) -> tuple[float, float, float, float]:
        """Least x and y, greatest x and y of all lines and words. [mm]"""
        boxes = [note.box for note in self.notes]
        boxes += [(line.x.min(), line.y.min(), line.x.max(), line.y.max()) for line in self.lines]
        low, high = np.min(boxes, axis=0), np.max(boxes, axis=0)
        return float(low[0]), float(low[1]), float(high[2]), float(high[3])


def beam_pattern(beam: Beam, units: str = "mm", half: str | None = None) -> Pattern:
    """
    The pattern of a beam's mould, finished and, where it is laminated, in the jig.

    Parameters
    ----------
    beam : Beam
    units : {"mm", "ft-in-8", "in"}
        For the words.
    half : {"port", "starboard"}, optional
        That side alone, from the centreline; the whole beam if not given.

    Returns
    -------
    Pattern
        x off the centreline, starboard to the right, seen from aft; y above the crown of the mould.

    Raises
    ------
    ValueError
        Where a half is asked of a beam that does not cross the centreline, or the side is none.

    Examples
    --------
    >>> from deckgeom.bench.example import example_job
    >>> beam_pattern(example_job().beams["2"]).name
    'Beam 2'
    """
    drawn = outline(beam)
    lines = _beam_lines(drawn) + _ordinate_lines(beam, drawn)
    notes = _beam_notes(beam, drawn, units)
    heads, rows = _beam_rows(beam, units)
    name = f"Beam {clean(beam.name, 40)}"
    if half is not None:
        if half not in ("port", "starboard"):
            raise ValueError(f"half is {half!r}: it is port or starboard.")
        if not drawn.y[0] < 0 < drawn.y[-1]:
            raise ValueError(f"beam {beam.name} does not cross the centreline: it has no half. Ask for the whole.")
        lines, notes, name = *_half(lines, notes, half), f"{name}, {half} half"
    return Pattern(name, tuple(lines), tuple(notes), _beam_says(beam, drawn, units), heads, rows)


def _beam_lines(drawn: Outline) -> list[Line]:
    low = float(min(drawn.under.min(), drawn.level)) - BREATH
    lines = [
        Line("top", drawn.y, drawn.top, smooth=True),
        Line("underside", drawn.under_y, drawn.under, smooth=True),
        Line("level line", [drawn.y[0], drawn.y[-1]], [drawn.level, drawn.level]),
    ]
    near = drawn.y[0] - NEAR < 0 < drawn.y[-1] + NEAR
    if near:
        lines.append(Line("centreline", [0, 0], [low, BREATH]))
    for cut in drawn.cuts:
        lines.append(Line("end cut, after face" if cut.face == "after" else "end cut", cut.y, cut.up))
    lines += [Line("deck edge", [y, y], [up - 25, up + BREATH]) for y, up in _edges(drawn).values()]
    if drawn.jig_top is not None:
        lines += [
            Line("jig top", drawn.y, drawn.jig_top, smooth=True),
            Line("jig underside", drawn.jig_under_y, drawn.jig_under, smooth=True),
        ]
    return lines


def _edges(drawn: Outline) -> dict[str, tuple[float, float]]:
    """The deck edges that the beam comes near to: a half beam's own."""
    reach = drawn.y[0] - NEAR, drawn.y[-1] + NEAR
    return {side: (y, up) for side, (y, up) in drawn.edges.items() if reach[0] < y < reach[1]}


def _ordinate_lines(beam: Beam, drawn: Outline) -> list[Line]:
    table = beam.ordinates
    foot = np.interp(table.y, drawn.under_y, drawn.under)
    return [Line("ordinates", [y, y], [-drop, low]) for y, drop, low in zip(
        table.y, table.mould_drop, foot, strict=True)]  # fmt: skip


def _beam_notes(beam: Beam, drawn: Outline, units: str) -> list[Note]:
    table, say = beam.ordinates, format_length
    notes = [Note(1.5, BREATH - SMALL, "centreline")] if drawn.y[0] - NEAR < 0 < drawn.y[-1] + NEAR else []
    notes.append(Note(drawn.y[0] + 45, drawn.level + 1, _level_words(drawn, units)))
    last = -np.inf
    for y, drop, rise, high in zip(
        table.y, table.mould_drop, table.rise_over_siding, table.high_edge, strict=True
    ):  # fmt: skip
        if y - last < APART:
            continue  # the words of the one before stand here; the table has both
        last = y
        words = f"{off_centreline(float(y), units)}, down {say(float(drop), units)}"
        notes.append(_hung(float(y) - 0.8, -float(drop) - 1.5, words))
        if high != "square":
            bevel = f"{high}, {say(float(rise), units)}"
            notes.append(_hung(float(y) + SMALL + 0.8, -float(drop) - 1.5, bevel))
    for side, (y, up) in _edges(drawn).items():
        notes.append(Note(y + (1.5 if side == "port" else -42), up + BREATH + 1, f"deck edge, {side}"))
    return notes + _names_of_curves(drawn)


def _apart(y: np.ndarray) -> list[int]:
    """The ordinates that have room for their words: both ends first, then the others; the table has them all."""
    kept = [0, len(y) - 1]
    for k in range(1, len(y) - 1):
        if min(abs(float(y[k] - y[other])) for other in kept) >= CROWDED:
            kept.append(k)
    return sorted(kept)


def _names_of_curves(drawn: Outline) -> list[Note]:
    """*Finished* and *jig*, written where the curves of a laminated beam lie well apart; *top* on a sawn one."""
    low, high = drawn.y[0], drawn.y[-1]
    places = [low + part * (high - low) for part in (0.12, 0.37, 0.62, 0.87)]
    notes = []
    for y in places:
        up = float(np.interp(y, drawn.y, drawn.top))
        notes.append(Note(y, up + 4, "FINISHED, top" if drawn.jig_top is not None else "top"))
        if drawn.jig_top is not None:
            under = float(np.interp(y, drawn.jig_under_y, drawn.jig_under))
            notes.append(Note(y, under - 5.5, "JIG, underside (spring-back in)"))
    return notes


def _hung(x: float, y: float, words: str) -> Note:
    """An upright note whose words end, not begin, at its point: they hang from the curve."""
    return Note(x, y - SMALL * 0.8 * len(words), words, SMALL, True)


def _level_words(drawn: Outline, units: str) -> str:
    return f"level line, {format_length(drawn.level_height, units)} above the base line"


def _beam_rows(beam: Beam, units: str) -> tuple[tuple[str, ...], tuple[tuple[str, ...], ...]]:
    table, say = beam.ordinates, format_length
    more = beam.jig_camber / beam.camber if beam.jig_camber is not None and beam.camber else None
    jig = ["down, in the jig"] if more else []
    heads = ("off the centreline", "down from the crown", *jig, "bevel over the siding")
    rows = []
    for y, drop, rise, deg, high in zip(
        table.y.tolist(), table.mould_drop.tolist(), table.rise_over_siding.tolist(), table.bevel_deg.tolist(),
        table.high_edge, strict=True,
    ):  # fmt: skip
        bevel = "square" if high == "square" else f"{say(rise, units)}, {deg:.1f} deg, {high}"
        rows.append((off_centreline(y, units), say(drop, units), *([say(more * drop, units)] if more else []), bevel))
    return heads, tuple(rows)


def _beam_says(beam: Beam, drawn: Outline, units: str) -> tuple[str, ...]:
    say = format_length
    rake = beam.mark.rake_deg
    lean = f" It leans {abs(rake):.1f} degrees; this is its true shape in the lean." if rake else ""
    size = f"sided {say(beam.mark.siding, units)}, moulded {say(beam.mark.moulding, units)}"
    said = [
        f"Seen from aft: starboard to the right. The mould is for the {beam.mould_face}; {size}.{lean}",
        f"Finished: full lines. Camber {say(beam.camber, units)} above the line joining the deck edges. The top of the "
        "beam, not of the deck. Leave the wood that the bevel takes.",
    ]
    if drawn.jig_top is not None:
        said.append(
            f"In the jig: long dashes. Camber {say(beam.jig_camber, units)}: spring-back is allowed for, once. Cut the "
            "form to the jig's underside; try the released beam against the full lines."
        )
    return tuple(said)


def _half(lines: Sequence[Line], notes: Sequence[Note], side: str) -> tuple[list[Line], list[Note]]:
    sign, reach = (-1.0 if side == "port" else 1.0), 15.0
    kept = []
    for line in lines:
        x, y = line.x, line.y
        if line.layer == "level line":
            far = x[0] if side == "port" else x[-1]
            kept.append(Line(line.layer, sorted([0.0, far]), y))
            continue
        inside = sign * x >= -reach
        if inside.all() or (line.smooth and inside.any()):
            kept.append(Line(line.layer, x[inside], y[inside], line.smooth))
    return kept, [note for note in notes if sign * note.x >= -reach]
