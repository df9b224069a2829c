"""Part 3: one beam laid out three ways, laid on each other."""

from __future__ import annotations

import numpy as np

from deckgeom.deck.camber import Circle, Parabola
from deckgeom.deck.quarter_circle import QuarterCircle
from deckgeom.lessons.asking import ask_choice, ask_length, grid_for
from deckgeom.lessons.exercise import Exercise, Given
from deckgeom.lessons.hulls import ClassHull

__all__ = ["one_beam_three_ways"]

#: An ordinate drawn by hand. [mm] Common practice, no source.
DRAWN = 1.5
#: Which station's beam, from 0: not the widest, whose camber is asked for in part 4.
BEAM = 3
WAYS = {"quarter-circle": QuarterCircle, "ordinates": Parabola, "two sticks": Circle}


def one_beam_three_ways(hull: ClassHull) -> Exercise:
    """
    Lay out half of one beam with the quarter-circle, by ordinates and with two sticks.

    Parameters
    ----------
    hull : ClassHull

    Returns
    -------
    Exercise

    Examples
    --------
    >>> from deckgeom.lessons.class_work import pair_work
    >>> [box.key for box in one_beam_three_ways(pair_work(17, 1, "easy").hull).answers]
    ['3A', '3B', '3C', '3D', '3E']
    """
    half, camber = float(hull.half_breadth[BEAM]), hull.on_tape(hull.camber * hull.dice("one beam").between(0.88, 0.96))
    say = hull.say
    parabola = Parabola(half, camber)
    quarter = float(QuarterCircle(half, camber).height(0.75 * half))
    answers = (
        ask_length(hull, "3A", "By ordinates: height at a quarter of the half-beam", float(parabola.height(half / 4)),
                   [("from the edge", float(parabola.height(3 * half / 4)))],
                   ("A quarter, measured from the centreline, squared: one sixteenth.",
                    "The drop is the camber times that square; the height is the camber less the drop."), DRAWN),
        ask_length(hull, "3B", "By ordinates: height at three quarters of the half-beam",
                   float(parabola.height(3 * half / 4)),
                   [("from the edge", float(parabola.height(half / 4))),
                    ("whole beam squared", float(parabola.height(3 * half / 8)))],
                   ("Three quarters, squared: nine sixteenths.",
                    "Of what is three quarters taken: of the half-beam."), DRAWN),
        ask_length(hull, "3C", "With the quarter-circle: height at three quarters of the half-beam", quarter,
                   [("from the edge", float(QuarterCircle(half, camber).height(half / 4))),
                    ("vertical heights", camber * float(np.cos(np.radians(67.5))))],
                   ("Join the third division of the arc with the third division of the base.",
                    "The length of that slanting line is the height."), DRAWN),
        ask_length(hull, "3D", "Radius of the arc that two sticks draw", Circle(half, camber).radius,
                   [("radius without half the camber", half**2 / (2 * camber)),
                    ("half-beam for beam", half**2 / (8 * camber) + camber / 2)],
                   ("W is the whole beam, in the same unit as h.",
                    "W times W, divided by eight times h. Then there is one more term."), 0.2 * camber),
        ask_choice(hull, "3E", "Which of the three lies lowest at three quarters?", _lowest(half, camber), tuple(WAYS),
                   hints=("Compare your heights at three quarters of the half-beam.",
                          "Measure the third one on your drawing.")),
    )  # fmt: skip
    quarters = [("centreline", 0.0), ("1/4", half / 4), ("1/2", half / 2), ("3/4", 0.75 * half), ("beam end", half)]
    return Exercise(
        3, "30-55", "One beam three ways",
        (f"The beam at station {hull.stations[BEAM]} of your hull: half-beam {say(half)}, camber "
         f"{say(camber)}. Draw half of its top on the grid, three times, one on the other, and mark each with "
         f"its name.",
         "By ordinates: at a quarter, a half and three quarters of the half-beam, measured from the centreline, the "
         "top has dropped by the camber times the square of that part. Prick the heights and join them with a batten.",
         "With the quarter-circle: on a sheet of its own strike a quarter of a circle with the camber as its radius, "
         "upright side at the left. Divide its arc into four equal parts, starting from the top, and its base into "
         "four equal parts, starting from the corner. Number the marks between 1, 2, 3, the ends left out. Join 1 with "
         "1, 2 with 2, 3 with 3. The lengths of these slanting lines are the heights at 1/4, 1/2 and 3/4 of the "
         "half-beam.",
         "With two sticks, on the floor or the bench: three nails, at both beam ends and at the crown. Two straight "
         "sticks, each a little longer than the beam, lie against two nails each and are fastened where they cross at "
         "the crown. A pencil in the corner draws an arc of a circle while the sticks slide along the end nails. Mark "
         "its heights on the grid.",
         "The radius of that arc, with W the whole beam and h the camber, is W x W / (8 x h) + h / 2."),
        (Given("Your beam", ("half-beam", "camber"), ((say(half), say(camber)),)),),
        answers,
        "All three are good beams; one deck needs one of them. A mould made by one and beams made by another leave a "
        "small step, and the plank finds it.",
        grid_for(hull, quarters, 0.0, camber, 1.0,
                 "across: from the centreline out, made small; up: height above the line of the beam ends, true size"),
    )  # fmt: skip


def _lowest(half: float, camber: float) -> str:
    """Name of the way that gives the least height at three quarters."""
    return min(WAYS, key=lambda name: float(WAYS[name](half, camber).height(0.75 * half)))
