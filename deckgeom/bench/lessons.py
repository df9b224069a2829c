"""The beam that the lessons are shown on, and the lesson on layouts: step by step, and all laid over each other."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from deckgeom.bench.controls import Slider
from deckgeom.bench.panel import Answer, Panel
from deckgeom.bench.tables import Table, Words
from deckgeom.drawings import Picture
from deckgeom.drawings.lessons import draw_layout, draw_layout_gaps, gaps_board, layout_board
from deckgeom.drawings.words import gap_words
from deckgeom.lessons.layouts import LAYOUTS, Layout, LayoutGaps, layout_gaps, layout_steps
from deckgeom.units import UNITS, echo, format_length, parse_length

__all__ = ["LessonBeam", "beam", "gaps", "gaps_panel", "gaps_table", "layout", "layout_panel", "leads_to", "steps"]

STEP = {"mm": 5.0, "in": parse_length("1/4in"), "ft-in-8": parse_length("1/4in")}
HELD_AGAINST = ("equal divisions", "quarter-circle", "sprung batten", "three nails and two sticks")


@dataclass(frozen=True)
class LessonBeam:
    """
    The beam that a lesson is shown on.

    Parameters
    ----------
    half_breadth, camber : float
        Centreline to the end, and the rise between. [mm]
    units : {"mm", "ft-in-8", "in"}
        That the lesson speaks in.

    Examples
    --------
    >>> LessonBeam(1500, 94, "mm").camber
    94
    """

    half_breadth: float
    camber: float
    units: str


def beam(half_breadth: str | float, camber: str | float, units: str = "mm") -> LessonBeam:
    """
    Choose the beam of a lesson.

    Parameters
    ----------
    half_breadth, camber : str or float
        Centreline to the end, and the rise between, in any notation; a bare number is in the units given.
    units : {"mm", "ft-in-8", "in"}
        That the lesson speaks in.

    Returns
    -------
    LessonBeam

    Examples
    --------
    >>> beam("1.5 m", "94 mm").half_breadth
    1500.0
    >>> beam("94", "1500")
    Traceback (most recent call last):
    ...
    ValueError: half-breadth 94 mm and camber 1500 mm: a camber is above nought and below the half-breadth. Were the two exchanged?
    """  # noqa: E501
    if units not in UNITS:
        raise ValueError(f"units {units!r}: choose one of {', '.join(UNITS)}.")
    made = LessonBeam(parse_length(half_breadth, units), parse_length(camber, units), units)
    if not 0 < made.camber < made.half_breadth:
        half, rise = (format_length(one, units) for one in (made.half_breadth, made.camber))
        raise ValueError(
            f"half-breadth {half} and camber {rise}: a camber is above nought and below the half-breadth. "
            "Were the two exchanged?"
        )
    return made


def layout(beam: LessonBeam, name: str, step: int = 0, divisions: int = 4) -> Picture:
    """
    Draw a layout as it stands after a step.

    Parameters
    ----------
    beam : LessonBeam
        Of :func:`beam`.
    name : str
        "quarter-circle", "equal divisions", "three nails and two sticks", "ordinates" or "sprung batten".
    step : int
        Counted from 1; the last if nought. [-]
    divisions : int
        Into how many parts the half-breadth is divided. [-]

    Returns
    -------
    Picture

    Examples
    --------
    >>> layout(beam(1500, 94), "ordinates", 2).alt[:37]
    "Step 2 of 4 of the layout 'ordinates'"
    """
    laid = _laid(beam, name, beam.camber, divisions)
    return draw_layout(laid, step or len(laid.steps), beam.units)


def steps(beam: LessonBeam, name: str, divisions: int = 4) -> Table:
    """
    List the steps of a layout in words.

    Parameters
    ----------
    beam : LessonBeam
        Of :func:`beam`.
    name : str
        As in :func:`layout`.
    divisions : int
        Into how many parts the half-breadth is divided. [-]

    Returns
    -------
    Table
        One row a step.

    Examples
    --------
    >>> steps(beam(1500, 94), "quarter-circle").rows[1][1]
    'To one side, strike a quarter circle with the camber, 94 mm, as its radius.'
    """
    laid = _laid(beam, name, beam.camber, divisions)
    rows = [(k, step.words) for k, step in enumerate(laid.steps, 1)]
    return Table(f"The layout '{name}', step by step", ("step", "what to do"), rows, words=(0, 1), wrap=(1,),
                 note=f"It leads to {laid.says}.")  # fmt: skip


def layout_panel(beam: LessonBeam, name: str) -> Panel:
    """
    Make the live lesson of one layout.

    Parameters
    ----------
    beam : LessonBeam
        Of :func:`beam`.
    name : str
        As in :func:`layout`.

    Returns
    -------
    Panel
        Sliders for the step, the number of divisions and the camber.

    Examples
    --------
    >>> layout_panel(beam(1500, 94), "equal divisions").set(step=4).words[:40]
    'Step 4 of 5. Draw a line from the crown '
    """
    first = _laid(beam, name, beam.camber, 4)
    count = len(first.steps)
    board = layout_board(name == "quarter-circle")

    def respond(step: float, divisions: float, camber: float) -> Answer:
        laid = _laid(beam, name, camber, round(divisions))
        drawn = draw_layout(laid, round(step), beam.units, board)
        return Answer(drawn, f"Step {step:g} of {count}. {laid.steps[round(step) - 1].words}")

    controls = [
        Slider("step", "Step", 1, count, 1, 1, lambda step: f"step {step:g} of {count}"),
        Slider("divisions", "Parts of the half-breadth", 2, 8, 1, 4, lambda parts: f"{parts:g} parts"),
        camber_slider(beam),
    ]
    return Panel(f"Layout step by step: {name}", controls, respond)


def camber_slider(beam: LessonBeam, label: str = "Camber") -> Slider:
    """
    Make a slider for the camber, about the lesson's own.

    Parameters
    ----------
    beam : LessonBeam
        Of :func:`beam`.
    label : str
        What the reader sees and hears.

    Examples
    --------
    >>> camber_slider(beam(1500, 94)).value
    94.0
    """
    units, step, now = beam.units, STEP[beam.units], beam.camber
    down = min(int(0.7 * now / step), int((now - 1e-9) / step))
    up = max(1, min(int(2 * now / step), int((0.9 * beam.half_breadth - now) / step)))
    return Slider("camber", label, now - down * step, now + up * step, step, now,
                  lambda camber: echo(camber, units), lambda text: parse_length(text, units))  # fmt: skip


def gaps(beam: LessonBeam) -> Picture:
    """
    Draw the curves of all layouts over each other.

    Parameters
    ----------
    beam : LessonBeam
        Of :func:`beam`.

    Returns
    -------
    Picture

    Examples
    --------
    >>> "sprung batten departs from it by 7 mm" in gaps(beam(1500, 94)).alt
    True
    """
    return draw_layout_gaps(_compared(beam, beam.camber), beam.units)


def gaps_table(beam: LessonBeam) -> Table:
    """
    Give the height of each curve at the quarter points, and how far it departs from the circle.

    Parameters
    ----------
    beam : LessonBeam
        Of :func:`beam`.

    Returns
    -------
    Table
        One row a layout.

    Examples
    --------
    >>> gaps_table(beam(1500, 94)).rows[4]
    ('sprung batten', '86 mm', '65 mm', '35 mm', '7 mm below, 1001 mm off the centreline')
    """
    return _table(_compared(beam, beam.camber), beam.units)


def gaps_panel(beam: LessonBeam) -> Panel:
    """
    Make the live lesson in which all layouts lie over each other.

    Parameters
    ----------
    beam : LessonBeam
        Of :func:`beam`.

    Returns
    -------
    Panel
        A slider for the camber.

    Examples
    --------
    >>> gaps_panel(beam(1500, 94)).set(camber=64).words.partition(".")[0]
    'With a camber of 64 mm (2 1/2 in) the sprung batten lies 5 mm below the circle at most'
    """
    board = gaps_board()

    def respond(camber: float) -> Answer:
        compared = _compared(beam, camber)
        said = [_off(compared, name, beam.units)[0] for name in HELD_AGAINST[2::-1]]
        words = (
            f"With a camber of {echo(camber, beam.units)} the sprung batten lies {said[0]} the circle at most. "
            f"The quarter-circle lies {said[1]} it, the parabola {said[2]} it."
        )
        return Answer(draw_layout_gaps(compared, beam.units, board), words, _table(compared, beam.units))

    return Panel("All layouts laid over each other", [camber_slider(beam)], respond)


def leads_to(beam: LessonBeam) -> Words:
    """
    Say what curve each layout leads to.

    Parameters
    ----------
    beam : LessonBeam
        Of :func:`beam`.

    Returns
    -------
    Words
        A line each.

    Examples
    --------
    >>> leads_to(beam(1500, 94)).lines[1]
    'equal divisions: a parabola'
    """
    return Words.each(f"{name}: {_laid(beam, name, beam.camber, 4).says}" for name in LAYOUTS)


def _table(compared: LayoutGaps, units: str) -> Table:
    last = len(compared.y) - 1
    quarters = [last // 4, last // 2, 3 * last // 4]
    rows = []
    for name, rise in zip(compared.names, compared.rise, strict=True):
        heights = (format_length(float(rise[k]), units) for k in quarters)
        gap, place = _off(compared, name, units)
        rows.append((name, *heights, "the circle itself" if name == "ordinates" else gap + place))
    heads = ("layout", "a quarter out", "half way out", "three quarters out", "greatest gap to the circle")
    return Table(f"Height above the ends of the beam, camber {echo(compared.camber, units)}", heads, rows, words=(0, 4))


def _off(compared: LayoutGaps, name: str, units: str) -> tuple[str, str]:
    """How far above or below the circle a curve lies at most, and where, in words."""
    gap, place = compared.between(name, "ordinates")
    if gap == 0:
        return "on", " the circle"
    way = "above" if gap > 0 else "below"
    return f"{gap_words(gap, units)} {way}", f", {format_length(place, units)} off the centreline"


@lru_cache(maxsize=256)
def _laid(beam: LessonBeam, name: str, camber: float, divisions: int) -> Layout:
    return layout_steps(name, beam.half_breadth, camber, divisions, beam.units)


@lru_cache(maxsize=64)
def _compared(beam: LessonBeam, camber: float) -> LayoutGaps:
    return layout_gaps(beam.half_breadth, camber)
