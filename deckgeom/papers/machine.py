"""
Patterns for machines: SVG in millimetres, and DXF with its units declared and one layer a thing.
"""

from __future__ import annotations

import io
import re
from dataclasses import replace
from functools import lru_cache
from textwrap import wrap
from xml.sax.saxutils import escape

import numpy as np

from deckgeom.drawings.style import clean
from deckgeom.papers.page import Imprint
from deckgeom.papers.pattern import LAYERS, Line, Note, Pattern
from deckgeom.papers.pattern_pdf import bar_length

__all__ = ["pattern_dxf", "pattern_svg", "proofed"]

EDGE = 8.0
#: Letters of a line of words beside the check bars. [-]
LETTERS = 100
#: Signs that drawing programs take as the beginning of a code when another sign follows.
CODES = re.compile(r"([%\\^])(?=\S)")


def proofed(pattern: Pattern, imprint: Imprint, units: str = "mm") -> Pattern:
    """
    The pattern with check bars below it, and beside these what it is.

    Parameters
    ----------
    pattern : Pattern
    imprint : Imprint
    units : {"mm", "ft-in-8", "in"}

    Returns
    -------
    Pattern

    Examples
    --------
    >>> strip = Pattern("Strip", (Line("top", [0, 400], [0, 20]),))
    >>> proofed(strip, Imprint("Wherry", "2026-05-01", (), "0.1")).lines[-1].x.tolist()
    [0.0, 100.0]
    """
    left, low, _, _ = pattern.bounds
    bar, said, across = bar_length(units)
    corner = low - bar - 15
    words = [
        pattern.name,
        f"{clean(imprint.boat, 70)}   {imprint.date}   deckgeom {imprint.version}",
        *(part for line in (*pattern.says, " · ".join(imprint.conventions)) for part in wrap(line, LETTERS)),
        f"Drawn 1 : 1. Measure first: both bars {said}; between their far ends {across}. If a bar measures ______ "
        f"multiply by {said} / ______.",
    ]
    notes = [Note(left + 6, corner + bar - 4 - 4.5 * k, line) for k, line in enumerate(words)]
    bars = (
        Line("check bars", [left, left], [corner, corner + bar]),
        Line("check bars", [left, left + bar], [corner, corner]),
    )
    return replace(pattern, lines=(*pattern.lines, *bars), notes=(*pattern.notes, *notes))


def pattern_svg(pattern: Pattern) -> str:
    """
    A pattern as SVG, one user unit a millimetre.

    Parameters
    ----------
    pattern : Pattern

    Returns
    -------
    str
        Each layer is a group with its name.

    Examples
    --------
    >>> pattern_svg(Pattern("Strip", (Line("top", [0, 400], [0, 20]),))).count("<g ")
    1
    """
    left, low, right, upper = pattern.bounds
    wide, high = right - left + 2 * EDGE, upper - low + 2 * EDGE
    parts = [
        '<?xml version="1.0" encoding="UTF-8"?>',
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{wide:.3f}mm" height="{high:.3f}mm" '
        f'viewBox="0 0 {wide:.3f} {high:.3f}">',
        f"<title>{escape(pattern.name)}</title>",
    ]
    for layer in dict.fromkeys(line.layer for line in pattern.lines):
        width, dashes = LAYERS[layer]
        dashed = f' stroke-dasharray="{" ".join(map(str, dashes))}"' if dashes else ""
        parts.append(f'<g id="{_plain(layer)}" fill="none" stroke="black" stroke-width="{width}"{dashed}>')
        for line in pattern.lines:
            if line.layer == layer:
                x, y = line.x - left + EDGE, upper - line.y + EDGE
                steps = " ".join(f"{a:.4f},{b:.4f}" for a, b in zip(x.tolist(), y.tolist(), strict=True))
                parts.append(f'<polyline points="{steps}"/>')
        parts.append("</g>")
    if pattern.notes:
        parts.append('<g id="words" font-family="DejaVu Sans, sans-serif" fill="black">')
        parts += [_svg_words(note, note.x - left + EDGE, upper - note.y + EDGE) for note in pattern.notes]
        parts.append("</g>")
    return "\n".join([*parts, "</svg>", ""])


def _svg_words(note: Note, x: float, y: float) -> str:
    turned = f' transform="rotate(-90 {x:.3f} {y:.3f})"' if note.upright else ""
    return f'<text x="{x:.3f}" y="{y:.3f}" font-size="{note.height / 0.73:.2f}"{turned}>{escape(note.words)}</text>'


def _plain(layer: str) -> str:
    return layer.replace(",", "").replace(" ", "_")


def pattern_dxf(pattern: Pattern) -> str:
    """
    A pattern as DXF, in millimetres, one layer a thing; curves as close steps, within 0.01 mm.

    Parameters
    ----------
    pattern : Pattern

    Returns
    -------
    str

    Examples
    --------
    >>> import ezdxf
    >>> text = pattern_dxf(Pattern("Strip", (Line("top", [0, 400], [0, 20]),)))
    >>> ezdxf.read(io.StringIO(text)).header["$INSUNITS"]  # 4: millimetres
    4
    """
    document = _new_dxf()
    space = document.modelspace()
    for layer in dict.fromkeys([*(line.layer for line in pattern.lines), "words"]):
        width, dashes = LAYERS[layer]
        kind = "CONTINUOUS"
        if dashes:
            kind = _plain(layer).upper()
            signed = np.array(dashes) * np.where(np.arange(len(dashes)) % 2, -1, 1)
            document.linetypes.add(kind, [float(sum(dashes)), *signed.tolist()], description=layer)
        document.layers.add(_plain(layer), color=7, linetype=kind, lineweight=_weight(width))
    for line in pattern.lines:
        space.add_lwpolyline(np.column_stack([line.x, line.y]).tolist(), dxfattribs={"layer": _plain(line.layer)})
    for note in pattern.notes:
        place = {"layer": "words", "insert": (note.x, note.y), "rotation": 90 if note.upright else 0}
        space.add_text(CODES.sub(r"\1 ", note.words), height=note.height, dxfattribs=place)
    file = io.StringIO()
    document.write(file)
    return file.getvalue()


def _new_dxf():
    import ezdxf
    from ezdxf import units

    document = ezdxf.new("R2010", units=units.MM)
    document.header["$MEASUREMENT"] = 1
    return document


@lru_cache(maxsize=32)
def _weight(width: float) -> int:
    """The nearest line weight that the format knows, in hundredths of a mm."""
    return min((13, 18, 25, 35, 50), key=lambda known: abs(known - 100 * width))
