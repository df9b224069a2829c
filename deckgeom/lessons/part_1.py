"""Part 1: two beams on the bench, one of them with a hump or a hollow in its top."""

from __future__ import annotations

import numpy as np

from deckgeom.hull.fair_curve import FairCurve
from deckgeom.lessons.asking import ask_choice, ask_length, grid_for, rows_of
from deckgeom.lessons.exercise import Exercise, Given
from deckgeom.lessons.hulls import ClassHull

__all__ = ["two_beams"]

PLACES = tuple("1234567")
#: How large the fault is, from and to. [mm]
PLANTED = {"easy": (8, 12), "normal": (6, 9), "hard": (5, 7)}


def two_beams(hull: ClassHull) -> Exercise:
    """
    Tops of two beams, measured at seven places: find the one that is out, where, and by how much.

    Parameters
    ----------
    hull : ClassHull

    Returns
    -------
    Exercise

    Examples
    --------
    >>> from deckgeom.lessons.class_work import pair_work
    >>> two_beams(pair_work(17, 1, "easy").hull).answer("1A").choices
    ('beam A', 'beam B')
    """
    roll = hull.dice("two beams")
    beams, at, out = _plant(hull, roll)
    bad = roll.whole(0, 1)
    tops = (beams[1], beams[0]) if bad else beams
    found = _out_of_fair(tops[bad], at)
    usual = float(tops[bad][at] - found - (tops[bad][at - 1] + tops[bad][at + 1]) / 2)
    word = "plane" if found > 0 else "pack"
    answers = (
        ask_choice(hull, "1A", "Which beam is out of fair?", f"beam {'AB'[bad]}", ("beam A", "beam B"),
                   hints=("A beam that lies askew on the bench can still be fair. Look at how the bend goes on from "
                          "place to place, not at which end is higher.",
                          "At each place from 2 to 6, take the middle of its two neighbours from its own height. "
                          "On a fair beam that comes out nearly the same everywhere.")),
        ask_choice(hull, "1B", "At which place?", PLACES[at], PLACES,
                   [("true neighbour corrected", PLACES[at - 1]), ("true neighbour corrected", PLACES[at + 1])],
                   ("One wrong height disturbs its two neighbours' sums as well, by half as much and the other way.",)),
        ask_length(hull, "1C", "By how much, off the fair line?", abs(found),
                   [("the difference forgotten", abs(found + usual))],
                   ("A fair beam stands above the line between two neighbours too: by how much?",
                    "Take the usual rise between neighbours from the one that you found.")),
        ask_choice(hull, "1D", "What do you do there?", word, ("plane", "pack", "leave"),
                   [("pack for plane", "pack" if word == "plane" else "plane")],
                   ("Is the wood above the fair line or below it?",)),
    )  # fmt: skip
    top = max(float(one.max()) for one in tops)
    return Exercise(
        1, "0-10", "Two beams on the bench",
        ("Two beams lie on the bench, tops up. The height of each top above the bench was taken at seven places, "
         "evenly spaced from end to end. A beam that lies askew is higher at one end than at the other: that is "
         "no fault.",
         "Look along the real beams on your bench first. Then plot the tops of A and B on the grid: for each, join the "
         "points with a thin batten, or freehand.",
         "At each place from 2 to 6 write beside the table its rise: its height, less half of the two heights beside "
         "it taken together. One beam has nearly the same rise all the way. In the other beam three rises in a row are "
         "off, the middle one the most and the other way from the two beside it. The fault is at the middle one. It is "
         "as large as that rise differs from the usual rise of the beam: more than usual is a hump, less is a hollow."),
        (Given("Height of the top above the bench", ("place", "beam A", "beam B"),
               rows_of(PLACES, *([hull.say(v) for v in top] for top in tops))),),
        answers,
        "A hump or a hollow in one beam shows through the deck: in varnish, in paint, and in the way that water lies. "
        "On the bench it is soon mended.",
        grid_for(hull, [(name, 2 * hull.widest * k / 6) for k, name in enumerate(PLACES)], 0.0, top, 4.0,
                 "across: the seven places; up: height above the bench, at a quarter of its size"),
    )  # fmt: skip


def _plant(hull: ClassHull, roll) -> tuple[tuple[np.ndarray, np.ndarray], int, float]:
    """A beam with a fault and a fair one that lies askew, on the marks of the tape; where and how much. [mm]"""
    tape, place = hull.tape, np.arange(7)
    bend = round(hull.camber / 9 / tape)
    fair = tape * bend * (9 - (place - 3) ** 2) + hull.on_tape(60.0)
    low, high = (hull.on_tape(size) for size in PLANTED[hull.level])
    ways = (1,) if hull.level == "easy" else (1, -1)
    sizes = [way * size for size in np.arange(low, high + 0.1, tape) for way in ways]
    out = roll.one_of([size for size in sizes if abs(abs(tape * bend + size) - abs(size)) > 2.5 * tape])
    at = roll.whole(2, 4)
    wrong = fair.copy()
    wrong[at] += out
    askew = tape * roll.whole(2, 5) * roll.one_of((-1, 1))
    other = fair + askew * (place - 3)
    if hull.level == "hard":
        wrong = wrong - askew * (place - 3)
    return (wrong, other), at, out


def _out_of_fair(top: np.ndarray, at: int) -> float:
    """How far the top stands above the fair curve through all the other places. [mm]"""
    rest = np.arange(7) != at
    return float(top[at] - FairCurve(np.arange(7.0)[rest], top[rest])(float(at)))
