"""Part 7: the bevel of a beam, and what strips bent over a form give back."""

from __future__ import annotations

import math

import numpy as np

from deckgeom.deck.bending import TrialBeam, spring_back
from deckgeom.lessons.asking import ask_choice, ask_length, ask_number, rows_of
from deckgeom.lessons.exercise import Answer, Exercise, Given
from deckgeom.lessons.hulls import RULES, ClassHull, DrawAgain

__all__ = ["bevel_and_bend"]

EDGES = ("the forward edge", "the after edge")
FEWER, MORE = 3, 6
WORDS = {"one mould": "one mould", "same proportion": "the same proportion"}


def bevel_and_bend(hull: ClassHull) -> Exercise:
    """
    The fore-and-aft bevel of one beam, and the form for three and for six strips.

    Parameters
    ----------
    hull : ClassHull

    Returns
    -------
    Exercise

    Examples
    --------
    >>> from deckgeom.lessons.class_work import pair_work
    >>> [box.key for box in bevel_and_bend(pair_work(17, 1, "easy").hull).answers]
    ['7A', '7B', '7C', '7D', '7E', '7F']
    """
    rule, at = _steepest(hull)
    crown = hull.deck(rule).crown(hull.x[[at - 1, at + 1]])
    say, siding = hull.say, _siding(hull)
    names = [hull.stations[k] for k in (at - 1, at + 1)]
    trial = _trial(hull)
    return Exercise(
        7, "125-140", "Bevel and bend",
        (f"Bevel. The deck rises or falls along the boat, so the top of a beam is planed off square. The beam at "
         f"station {hull.stations[at]} is {say(siding)} wide fore and aft. With {WORDS[rule]} the crown stands as "
         f"printed at the stations before and after it, which are {say(2 * hull.spacing)} apart.",
         "Station 1 is nearest the bow. The slope is the difference of the two heights, divided by how far they are "
         "apart. The rise over the beam is that slope times its width fore and aft; the angle is the one whose tangent "
         "is the slope, to a tenth of a degree.",
         f"Bend. A beam of camber {say(hull.camber)} is glued up from strips over a form. When the clamps come off it "
         "opens by one part in n times n, n the number of equal strips: so the form is made with a camber that is n x "
         "n / (n x n - 1) of the camber wanted.",
         f"Then measure: bend three strips over the form on the bench, clamp them, let go, and write what is lost. In "
         f"a trial the form rose {say(trial.jig)} and the beam kept {say(trial.released)}. "
         "Your form is rounder than your beam in the same proportion."),
        (Given("Crown heights beside the beam", ("station", "crown height"),
               rows_of(names, [say(v) for v in hull.on_tape(crown)])),),
        (*_bevel(hull, rule, at, siding), *_bend(hull, trial)),
        "An unbevelled beam carries the plank on one edge. A form without its extra leaves every beam too flat, and "
        "they are all glued before anyone notices.",
    )  # fmt: skip


def _siding(hull: ClassHull) -> float:
    """Width of the beam fore and aft. [mm]"""
    roll = hull.dice("siding")
    return roll.one_of((45.0, 50.0, 60.0)) if hull.units == "mm" else 25.4 * roll.one_of((1.75, 2.0, 2.5))


def _steepest(hull: ClassHull) -> tuple[str, int]:
    """The rule and the station, from 0 and neither first nor last, where the crown is steepest along the boat."""
    steep = {rule: np.abs(hull.deck(rule).slopes(hull.x[1:-1], 0.0)[0]) for rule in RULES}
    rule = max(RULES, key=lambda name: steep[name].max())
    return rule, 1 + int(np.argmax(steep[rule]))


def _bevel(hull: ClassHull, rule: str, at: int, siding: float) -> list[Answer]:
    """Boxes for the bevel."""
    slope = float(hull.deck(rule).slopes(hull.x[at], 0.0)[0])
    rise = abs(slope) * siding
    if rise < 1.3:
        raise DrawAgain("no beam has a bevel to speak of")
    before, after = hull.on_tape(hull.deck(rule).crown(hull.x[[at - 1, at + 1]]))
    if abs(abs(after - before) / (2 * hull.spacing) - abs(slope)) > 0.003:
        raise DrawAgain("the slope from neighbour to neighbour is not the slope at the beam")
    high, low = (EDGES[1], EDGES[0]) if slope > 0 else EDGES
    foot = 304.8 if hull.units != "mm" else 1000.0
    degrees = math.degrees(math.atan(abs(slope)))
    return [
        ask_length(hull, "7A", "Rise over the width of the beam", rise,
                   [("rise over a foot or metre", abs(slope) * foot)],
                   ("First the slope: a small number without a unit.",
                    "Then times the width of the beam, in the unit of your tape."), 0.75 * hull.tape),
        ask_choice(hull, "7B", "Which edge of the beam is the higher?", high, EDGES, [("wrong direction", low)],
                   ("On which side of the beam does the crown stand higher?",)),
        ask_number(hull, "7C", "Bevel from square", degrees, "degrees", 0.3, (),
                   ("The angle whose tangent is the slope.", "On the bench: set a bevel to the rise over one metre or "
                    "one foot, and read it on a protractor."), "degrees"),
    ]  # fmt: skip


def _trial(hull: ClassHull) -> TrialBeam:
    """A trial over a form: strips that give back a little more than they should, as damp ones do."""
    roll = hull.dice("trial")
    form = hull.on_tape(roll.whole(140, 180))
    kept = hull.on_tape(form * roll.between(0.80, 0.88))
    if min(abs(form - hull.camber), abs(kept - hull.camber)) < 6.0:
        raise DrawAgain("the trial had the camber that is wanted, so it prints the answer")
    return TrialBeam(form, kept)


def _bend(hull: ClassHull, trial: TrialBeam) -> list[Answer]:
    """Boxes for the form."""
    made = []
    for key, layers in (("7D", FEWER), ("7E", MORE)):
        form = spring_back(layers).jig_camber(hull.camber)
        slips = [("layers not squared", hull.camber * layers / (layers - 1)),
                 ("spring-back taken off", hull.camber * (1 - 1 / layers**2))]  # fmt: skip
        made.append(
            ask_length(
                hull,
                key,
                f"Camber of the form for {layers} strips",
                form,
                slips,
                (f"{layers} times {layers}, and one less.", "The form is rounder than the beam."),
            )
        )
    lost = trial.factor * hull.camber
    slips = [("spring-back taken off", hull.camber / trial.factor)]
    made.append(ask_length(hull, "7F", "Camber of the form by the trial", lost, slips,
                           ("How many times the finished camber was the form's?",
                            "Take the camber wanted that many times."), 1.5))  # fmt: skip
    return made
