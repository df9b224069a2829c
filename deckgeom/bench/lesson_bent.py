"""The lessons on bending: a batten held by ducks that can be moved, spring-back of a glued beam, and bevels."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

from deckgeom.bench.controls import Choice, Slider
from deckgeom.bench.lessons import LessonBeam, camber_slider
from deckgeom.bench.panel import Answer, Panel
from deckgeom.bench.tables import Table
from deckgeom.deck.bending import spring_back_factor
from deckgeom.deck.camber import Parabola
from deckgeom.drawings import Picture
from deckgeom.drawings.lessons_bent import (
    LEAST_SEEN,
    bevel_board,
    bevel_words,
    draw_bevel,
    draw_ducks,
    draw_spring_back,
    ducks_board,
    spring_back_board,
    spring_words,
)
from deckgeom.fairing.forces import force_words
from deckgeom.lessons.bevels import RULES, BevelAcross, bevel_across
from deckgeom.lessons.ducks import DuckBatten, fair_marks, hold_batten
from deckgeom.units import echo, format_length, parse_length

__all__ = [
    "bevel_panel", "bevel_table", "ducks_panel", "ducks_picture", "ducks_table", "spring_back_panel",
    "spring_back_table",
]  # fmt: skip

DUCKS = 7
#: The floor that the ducks stand on: batten's length and rise, and one step of a duck.
FLOOR = {
    "mm": (6000.0, 120.0, 2.0, 100.0),
    "in": (parse_length("20ft"), parse_length("4 3/4in"), parse_length("1/8in"), parse_length("4in")),
}
FLOOR["ft-in-8"] = FLOOR["in"]
MOST_STEPS = 8
LAYERS = tuple(range(2, 13))


def ducks_picture(beam: LessonBeam, moved: dict[int, str | float], lifted: Sequence[int] = ()) -> Picture:
    """
    Draw a batten held by seven ducks, some of them moved.

    Parameters
    ----------
    beam : LessonBeam
        Its units are spoken in.
    moved : dict of int to str or float
        How far a duck is pushed up from its mark, by its number from 1; a minus for down.
    lifted : sequence of int
        Ducks that are lifted, counted from 1.

    Returns
    -------
    Picture

    Examples
    --------
    >>> from deckgeom.bench.lessons import beam
    >>> ducks_picture(beam(1500, 94), {4: "10 mm"}).alt.rpartition(". ")[2]
    'The batten eases most when duck 4 is lifted: it goes 11 mm down there.'
    """
    ups = tuple(parse_length(moved.get(k, 0.0), beam.units) for k in range(1, DUCKS + 1))
    held, marks = _held(beam.units, ups, 0.0, tuple(lifted))
    return draw_ducks(held, marks, beam.units)


def ducks_table(beam: LessonBeam, moved: dict[int, str | float], lifted: Sequence[int] = ()) -> Table:
    """
    Tell of each duck how hard the batten pulls at it, and where the batten goes if it is lifted.

    Parameters
    ----------
    beam : LessonBeam
        Its units are spoken in.
    moved : dict of int to str or float
        As in :func:`ducks_picture`.
    lifted : sequence of int
        Ducks that are lifted, counted from 1.

    Returns
    -------
    Table
        One row a duck.

    Examples
    --------
    >>> from deckgeom.bench.lessons import beam
    >>> ducks_table(beam(1500, 94), {4: "10 mm"}).rows[3][::2]
    ('4', '11 mm down')
    """
    ups = tuple(parse_length(moved.get(k, 0.0), beam.units) for k in range(1, DUCKS + 1))
    return _ducks_table(_held(beam.units, ups, 0.0, tuple(lifted))[0], beam.units)


def ducks_panel(beam: LessonBeam) -> Panel:
    """
    Make the live lesson with the ducks.

    Parameters
    ----------
    beam : LessonBeam
        Its units are spoken in.

    Returns
    -------
    Panel
        A slider for each of the five ducks between the ends, one for a duck's place along the batten, and a choice of
        the duck to lift.

    Examples
    --------
    >>> from deckgeom.bench.lessons import beam
    >>> ducks_panel(beam(1500, 94)).set(duck3=12).words.partition(".")[0]
    'The batten eases most when duck 3 is lifted: it goes 12 mm down there'
    """
    units, board = beam.units, ducks_board()
    _, _, step, stride = FLOOR[units]

    def respond(lift: str, along: float, **ducks: float) -> Answer:
        ups = (0.0, *(ducks[f"duck{k}"] for k in range(2, DUCKS)), 0.0)
        lifted = () if lift == "none" else (int(lift),)
        held, marks = _held(units, ups, along, lifted)
        words = spring_words(held, units)
        if lifted:
            free = format_length(abs(float(held.spring[lifted[0] - 1])), units)
            words += f"\nDuck {lift} is lifted: the batten has gone {free} away from it."
        return Answer(draw_ducks(held, marks, units, board), words, _ducks_table(held, units))

    def say(up: float) -> str:
        return "on its mark" if abs(up) < step / 2 else f"{echo(abs(up), units)} {'up' if up > 0 else 'down'}"

    def say_along(along: float) -> str:
        return (
            "in its place" if abs(along) < step / 2 else f"{echo(abs(along), units)} {'right' if along > 0 else 'left'}"
        )

    def read(text: str) -> float:
        return parse_length(text, units)

    reach = MOST_STEPS * step
    controls = [Slider(f"duck{k}", f"Push duck {k}", -reach, reach, step, 0.0, say, read) for k in range(2, DUCKS)]
    controls += [
        Slider("along", "Slide duck 4 along the batten", -4 * stride, 4 * stride, stride, 0.0, say_along, read),
        Choice("lift", "Lift duck", ("none", *(str(k) for k in range(2, DUCKS))), "none"),
    ]
    return Panel("A batten and its ducks", controls, respond)


def _ducks_table(held: DuckBatten, units: str) -> Table:
    rows = []
    for k in range(len(held.place)):
        force = "lifted" if k in held.lifted else force_words(abs(float(held.force[k])), units)
        spring = float(held.spring[k])
        goes = "holds the end" if k in (0, len(held.place) - 1) else "stays"
        if abs(spring) >= LEAST_SEEN:
            goes = f"{format_length(abs(spring), units)} {'up' if spring > 0 else 'down'}"
        rows.append((k + 1, force, goes, f"{100 * held.ease[k]:.0f} %"))
    worst = [held.worst] if abs(held.spring[held.worst]) >= LEAST_SEEN else []
    heads = ("duck", "the batten pulls at it with", "lift it alone, and the batten goes", "and loses of its bend")
    return Table("What each duck feels", heads, rows, words=(0, 2), strong=worst)


@lru_cache(maxsize=128)
def _held(units: str, ups: tuple[float, ...], along: float, lifted: tuple[int, ...]) -> tuple[DuckBatten, object]:
    """The batten with its ducks pushed, and the marks that they were pushed from."""
    length, rise, _, _ = FLOOR[units]
    place, marks = fair_marks(length, rise, DUCKS)
    place = place.copy()
    place[3] += along
    return hold_batten(place, marks + ups, tuple(k - 1 for k in lifted)), marks


@dataclass(frozen=True)
class _Rise:
    """A form and what comes off it. [mm]"""

    form: Parabola
    released: Parabola


def _glued(half_breadth: float, camber: float, layers: int, allowed: bool) -> _Rise:
    factor = spring_back_factor(layers)
    form = camber * factor if allowed else camber
    return _Rise(Parabola(half_breadth, form), Parabola(half_breadth, form / factor))


def spring_back_table(beam: LessonBeam) -> Table:
    """
    List by the number of layers what comes off a form, and what form it takes.

    Parameters
    ----------
    beam : LessonBeam
        The beam that is wanted.

    Returns
    -------
    Table
        One row a number of layers.

    Examples
    --------
    >>> from deckgeom.bench.lessons import beam
    >>> spring_back_table(beam(1500, 100)).rows[2]
    ('4', '94 mm', '107 mm', '1 part in 16')
    """
    rows = []
    for layers in LAYERS[:7]:
        kept = _glued(beam.half_breadth, beam.camber, layers, False).released.rise
        form = _glued(beam.half_breadth, beam.camber, layers, True).form.rise
        said = (format_length(kept, beam.units), format_length(form, beam.units))
        rows.append((layers, *said, f"1 part in {layers**2}"))
    wanted = format_length(beam.camber, beam.units)
    heads = ("layers", f"a form of {wanted} gives", f"for {wanted} the form is", "lost")
    return Table("Spring-back of equal layers, glued dry", heads, rows, words=(0, 3))


def spring_back_panel(beam: LessonBeam) -> Panel:
    """
    Make the live lesson on spring-back.

    Parameters
    ----------
    beam : LessonBeam
        The beam that is wanted.

    Returns
    -------
    Panel
        Sliders for layers and camber, and a choice whether it is allowed for.

    Examples
    --------
    >>> from deckgeom.bench.lessons import beam
    >>> spring_back_panel(beam(1500, 100)).set(layers=4, camber=100).words.partition(".")[0]
    'Wanted 100 mm (3 15/16 in), 4 layers, on a form of 107 mm (4 3/16 in): the beam keeps 100 mm (3 15/16 in)'
    """
    units, board = beam.units, spring_back_board()
    ways = ("made with it in mind", "forgotten")

    def respond(layers: float, camber: float, form: str) -> Answer:
        rises = _glued(beam.half_breadth, camber, round(layers), form == ways[0])
        drawn = draw_spring_back(beam.half_breadth, rises.form, rises.released, round(layers), units, board)
        words = (
            f"Wanted {echo(camber, units)}, {layers:g} layers, on a form of {echo(rises.form.rise, units)}: the beam "
            f"keeps {echo(rises.released.rise, units)}. It gives back 1 part in {layers**2:g} of the form."
        )
        return Answer(drawn, words)

    controls = [
        Slider("layers", "Layers", LAYERS[0], LAYERS[-1], 1, 3, lambda count: f"{count:g} layers"),
        camber_slider(beam, "Camber wanted"),
        Choice("form", "Spring-back", ways, ways[0]),
    ]
    return Panel("Spring-back", controls, respond)


@dataclass(frozen=True)
class _Timber:
    """Siding and moulding of the lesson's beam, and their step. [mm]"""

    siding: float
    moulding: float
    step: float


TIMBER = {
    "mm": _Timber(45.0, 70.0, 5.0),
    "in": _Timber(*(parse_length(one) for one in ("1 3/4in", "2 3/4in", "1/4in"))),
}
TIMBER["ft-in-8"] = TIMBER["in"]


def bevel_table(
    beam: LessonBeam, siding: str | float, plan_slope: float = 0.15, sheer_slope: float = -0.05,
    rule: str = "same proportion",
) -> Table:  # fmt: skip
    """
    Give the bevel of a beam at the centreline, half way out and at its end.

    Parameters
    ----------
    beam : LessonBeam
        The beam.
    siding : str or float
        Fore and aft, in any notation.
    plan_slope, sheer_slope : float
        How fast the half-breadth grows aft and the sheer rises aft. [-]
    rule : {"same proportion", "one mould"}
        How the camber changes along the boat.

    Returns
    -------
    Table
        One row a place.

    Examples
    --------
    >>> from deckgeom.bench.lessons import beam
    >>> bevel_table(beam(1200, 75), "40 mm").rows[0]
    ('centreline', '2.3 degrees, falls aft', '2 mm')
    """
    across = bevel_across(
        beam.half_breadth, plan_slope, sheer_slope, beam.camber, parse_length(siding, beam.units), rule
    )
    return _bevel_table(across, beam.units)


def bevel_panel(beam: LessonBeam) -> Panel:
    """
    Make the live lesson on bevels.

    Parameters
    ----------
    beam : LessonBeam
        The beam.

    Returns
    -------
    Panel
        Sliders for siding, plan and sheer, and a choice of the rule.

    Examples
    --------
    >>> from deckgeom.bench.lessons import beam
    >>> bevel_panel(beam(1200, 75)).words.partition(".")[0]
    'At the centreline: 2'
    """
    units, board, timber = beam.units, bevel_board(), TIMBER[beam.units]

    def respond(siding: float, sheer: float, plan: float, rule: str) -> Answer:
        across = bevel_across(beam.half_breadth, plan / 1000, sheer / 1000, beam.camber, siding, rule)
        drawn = draw_bevel(across, beam.half_breadth, timber.moulding, units, board)
        words = (
            f"At the centreline: {bevel_words(float(across.degrees[0]))}. "
            f"At the end of the beam: {bevel_words(float(across.degrees[-1]))}. "
            + ("One mould: the same right across." if rule == "one mould" else "It changes across the beam.")
        )
        return Answer(drawn, words, _bevel_table(across, units))

    def fast(slope: float, up: str, down: str) -> str:
        return "not at all" if abs(slope) < 1 else f"{abs(slope):g} in 1000, {up if slope > 0 else down}"

    step = timber.step
    controls = [
        Slider("siding", "Siding of the beam", 4 * step, 16 * step, step, timber.siding,
               lambda length: echo(length, units), lambda text: parse_length(text, units)),
        Slider("sheer", "Slope of the sheer", -100, 100, 10, -50, lambda slope: fast(slope, "rises aft", "falls aft")),
        Slider("plan", "Half-breadth changes by", -250, 250, 10, 150,
               lambda slope: fast(slope, "grows aft", "narrows aft")),
        Choice("rule", "Rule", tuple(RULES), "same proportion"),
    ]  # fmt: skip
    return Panel("The bevel of a beam", controls, respond)


def _bevel_table(across: BevelAcross, units: str) -> Table:
    last = len(across.u) - 1
    rows = []
    for name, k in (("centreline", 0), ("half way out", last // 2), ("end of the beam", last)):
        rows.append((name, bevel_words(float(across.degrees[k])), format_length(abs(float(across.rise[k])), units)))
    heads = ("place", "bevel", f"over a siding of {format_length(across.siding, units)}")
    return Table("The bevel across the beam", heads, rows, words=(0, 1))
