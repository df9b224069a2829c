"""The bench of the batten: a real batten laid fore and aft on the beam tops as measured, and the gaps under it."""

from __future__ import annotations

import numpy as np

from deckgeom.bench.controls import STRIDE, Choice, Slider
from deckgeom.bench.panel import Answer, Panel
from deckgeom.bench.tables import Table
from deckgeom.drawings import Picture
from deckgeom.drawings.batten import batten_board, draw_batten
from deckgeom.drawings.words import gap_words
from deckgeom.fairing.batten import lay_batten
from deckgeom.fairing.fore_and_aft import lines_of_readings
from deckgeom.fairing.on_tops import believed_readings
from deckgeom.fairing.strip import LaidStrip, Strip
from deckgeom.fairing.work import Fairing
from deckgeom.job import Job
from deckgeom.units import echo, format_length, parse_length

__all__ = ["gaps", "lie", "panel", "picture"]

LINES = {
    "centreline": 0.0,
    "half way out, port": -0.5,
    "half way out, starboard": 0.5,
    "three quarters out, port": -0.75,
    "three quarters out, starboard": 0.75,
}
SQUARE = {"mm": 20.0, "in": parse_length("3/4in"), "ft-in-8": parse_length("3/4in")}
STEP = {"mm": 2.0, "in": parse_length("1/8in"), "ft-in-8": parse_length("1/8in")}
#: Softwood, a fair guess for any; no source.
MODULUS_MPA, DENSITY = 10_000.0, 500.0


def lie(job: Job, line: str = "centreline", square: str | float = "") -> LaidStrip:
    """
    Lay a square softwood batten along a line of beam tops, held down at both ends.

    Parameters
    ----------
    job : Job
        Of :func:`deckgeom.bench.open_boat`.
    line : str
        A key of ``LINES``.
    square : str or float
        Its side, in any notation; 20 mm or 3/4 in if not given.

    Returns
    -------
    LaidStrip
        Doubtful readings are left out of it.

    Examples
    --------
    >>> from deckgeom.bench.example import example_fairing
    >>> laid = lie(example_fairing())
    >>> laid.names[int(laid.touching[1:-1].argmax()) + 1]
    '5'
    """
    if line not in LINES:
        raise ValueError(f"there is no line {str(line)[:60]!r}; there are {', '.join(LINES)}.")
    units, tops = job.boat.units, believed_readings(_fairing(job).verdicts)
    side = parse_length(square, units) if square else SQUARE[units]
    (found,) = lines_of_readings(tops, at=[LINES[line]])
    names = [tops.beam_names[b] for b in found.beam]
    batten = Strip(side, side, MODULUS_MPA, DENSITY, name="batten")
    return lay_batten(found.x, found.z, batten, pressed=(0, len(found.x) - 1), names=names)


def picture(job: Job, line: str = "centreline", square: str | float = "") -> Picture:
    """
    Draw the batten as it lies, and the gaps under it.

    Parameters
    ----------
    job : Job
        Of :func:`deckgeom.bench.open_boat`.
    line : str
        A key of ``LINES``.
    square : str or float
        Its side, in any notation; 20 mm or 3/4 in if not given.

    Returns
    -------
    Picture
        The line from the side, the gaps drawn large.

    Examples
    --------
    >>> from deckgeom.bench.example import example_fairing
    >>> picture(example_fairing()).alt.partition(".")[0]
    'A batten along the centreline, 20 mm square'
    """
    return draw_batten(lie(job, line, square), line, job.boat.units, _fairing(job).verdicts.tolerance)


def gaps(job: Job, line: str = "centreline", square: str | float = "") -> Table:
    """
    List the gaps under the batten.

    Parameters
    ----------
    job : Job
        Of :func:`deckgeom.bench.open_boat`.
    line : str
        A key of ``LINES``.
    square : str or float
        Its side, in any notation; 20 mm or 3/4 in if not given.

    Returns
    -------
    Table
        One row a beam.

    Examples
    --------
    >>> from deckgeom.bench.example import example_fairing
    >>> gaps(example_fairing()).rows[4]
    ('5', '1600 mm', 'touches')
    """
    laid, units = lie(job, line, square), job.boat.units
    rows = [
        (name, format_length(float(x), units), "touches" if touches or gap < 0.05 else gap_words(gap, units))
        for name, x, gap, touches in zip(laid.names, laid.x, laid.gap, laid.touching, strict=True)
    ]
    title = f"Under a batten {echo(laid.strip.depth, units)} square, {line}"
    note = "Held down at both ends, else under its own weight. Doubtful readings are left out."
    return Table(title, ("beam", "aft of zero", "gap"), rows, words=(0, 2), note=note)


def panel(job: Job) -> Panel:
    """
    Make the live batten: choose the line, and how stout the batten is.

    Parameters
    ----------
    job : Job
        Of :func:`deckgeom.bench.open_boat`.

    Returns
    -------
    Panel
        A choice, how stout it is, and a place to read it at.

    Examples
    --------
    >>> from deckgeom.bench.example import example_fairing
    >>> panel(example_fairing()).set(square=40).words.partition(".")[0]
    'The batten touches beams 1, 5, 9'
    """
    units, board = job.boat.units, batten_board()
    step, tolerance = STEP[units], _fairing(job).verdicts.tolerance
    stride = STRIDE[units]
    first, last = (float(f(_fairing(job).tops.x)) for f in (np.min, np.max))

    def respond(line: str, square: float, place: float) -> Answer:
        laid = lie(job, line, f"{square} mm")
        near = int(np.argmin(np.abs(laid.x - place)))
        drawn = draw_batten(laid, line, units, tolerance, board, float(laid.x[near]))
        gap = "touches" if laid.gap[near] < 0.05 else f"stands {gap_words(laid.gap[near], units)} over it"
        read = f"Nearest to {format_length(place, units)} aft is beam {laid.names[near]}: the batten {gap}."
        return Answer(drawn, f"{laid.words(units)[0]} {drawn.alt.rpartition('beams. ')[2]}\n{read}")

    def say_place(place: float) -> str:
        return format_length(place, units)

    def say(square: float) -> str:
        return f"{echo(square, units)} square"

    def read(text: str) -> float:
        return parse_length(text, units)

    controls = [
        Choice("line", "Line", tuple(LINES), "centreline"),
        Slider("square", "Batten", 4 * step, 20 * step, step, SQUARE[units], say, read),
        Slider("place", "Read it at", first, last, stride, first + stride * round((last - first) / stride / 2),
               say_place, read),
    ]  # fmt: skip
    return Panel("Lay a batten along the tops", controls, respond)


def _fairing(job: Job) -> Fairing:
    if job.fairing is None or job.fairing.verdicts is None:
        raise ValueError("There is nothing to lay a batten on yet: readings.csv holds no reading that can be used.")
    return job.fairing
