"""Part 6: fair a line of seven pegs, one of them low, one high, and one true that looks wrong."""

from __future__ import annotations

import numpy as np

from deckgeom.fairing.beam_tops import BeamTops
from deckgeom.fairing.fair import estimate
from deckgeom.fairing.verdict import Verdicts, judge
from deckgeom.hull.differences import divided_differences
from deckgeom.lessons.asking import apart, ask_choice, ask_length, grid_for, rows_of
from deckgeom.lessons.exercise import Answer, Exercise, Given
from deckgeom.lessons.hulls import ClassHull, DrawAgain

__all__ = ["seven_pegs"]

PEGS = tuple("1234567")
SPACING = 500.0
#: Read off a drawing with a batten. [mm] Common practice, no source.
DRAWN = 1.5
ACTIONS = ("plane", "pack", "leave")
HIGH_LOW = {True: ("high", "plane"), False: ("low", "pack")}


def seven_pegs(hull: ClassHull) -> Exercise:
    """
    Tops of seven pegs: say of each what to do, and leave the one that only looks wrong.

    Parameters
    ----------
    hull : ClassHull

    Returns
    -------
    Exercise

    Raises
    ------
    DrawAgain
        If the fairing of the package does not find what was planted, and nothing else.

    Examples
    --------
    >>> from deckgeom.lessons.class_work import pair_work
    >>> seven_pegs(pair_work(17, 1, "easy").hull).answer("6E").choices
    ('1', '2', '3', '4', '5', '6', '7')
    """
    tops, worst, other = _plant(hull)
    verdicts = _judged(tops)
    out = verdicts.whole[:, 0]
    looks = _looks_wrong(tops, (worst, other))
    if looks not in (worst - 1, worst + 1) or abs(out[looks]) > 1.0:
        raise DrawAgain("no true peg looks wrong")
    seems = HIGH_LOW[bool(out[worst] < 0)][0]
    answers = [*_peg(hull, "AB", worst, tops, verdicts), *_peg(hull, "CD", other, tops, verdicts)]
    answers += [
        ask_choice(hull, "6E", f"Which peg is true, but looks too {seems} beside the peg that is most out?",
                   PEGS[looks], PEGS,
                   [("true neighbour corrected", PEGS[worst])],
                   ("It stands beside the peg that is most out.",
                    "Lay the batten over the pegs that are not beside the worst one, and look at it again.")),
        ask_choice(hull, "6F", "What do you do at that peg?", "leave", ACTIONS,
                   [("true neighbour corrected", HIGH_LOW[bool(out[worst] < 0)][1])],
                   ("Would you touch it if its neighbour stood right?",)),
    ]  # fmt: skip
    return Exercise(
        6, "95-125", "Fair seven pegs",
        ("Seven pegs stand in a row, evenly spaced, as seven beams do; their tops were measured from a level line. One "
         "is too high, one is too low, and one is true but looks wrong. The first and the last are right.",
         "Plot the tops on the grid. Lay a batten over all of them and look along it. Then take it off the pegs that "
         "you mistrust, one by one, until it lies easily over the rest: the worst first.",
         "Write beside each height of the table: plane, pack or leave, and how much. A measure is taken from the "
         "batten that lies fair over the rest, not from the level line.",
         "Do it on the bench with the real pegs afterwards: plane, pack, and lay the batten again."),
        (Given("Tops above the level line", ("peg", "height"), rows_of(PEGS, [hull.say(v) for v in tops])),),
        tuple(answers),
        "A beam that is low makes its neighbours look high. Plane those, and three beams are wrong in place of one. So "
        "the batten goes over many beams, and wood is taken off last.",
        grid_for(hull, [(name, SPACING * k) for k, name in enumerate(PEGS)], float(tops.min()), float(tops.max()), 1.0,
                 "across: the pegs; up: height above the level line, true size"),
    )  # fmt: skip


def _plant(hull: ClassHull) -> tuple[np.ndarray, int, int]:
    """Tops of the pegs on the marks of the tape, the peg most out and the other one, from 0. [mm]"""
    roll, tape = hull.dice("seven pegs"), hull.tape
    k = np.arange(7)
    bend = 5 if hull.units == "mm" else 3
    tops = hull.on_tape(roll.whole(60, 90)) + tape * (bend * (9 - (k - 3) ** 2) + roll.whole(-3, 3) * (k - 3.0))
    sign = roll.one_of((-1, 1))
    low, high = {"easy": (11, 14), "normal": (9, 12), "hard": (8, 10)}[hull.level]
    worst, other = roll.one_of(((1, 4), (5, 2), (1, 5), (5, 1)))
    big = hull.on_tape(roll.whole(low, high))
    tops[worst] += sign * big
    tops[other] -= sign * hull.on_tape(big / 2)
    return tops, worst, other


def _judged(tops: np.ndarray) -> Verdicts:
    """What the package says of seven beams that stand as the pegs do, each read at five places across."""
    u = np.linspace(-1.0, 1.0, 5)
    beam, across = np.repeat(np.arange(7), 5), np.tile(900.0 * u, 7)
    z = np.repeat(tops, 5) + 80.0 * (1 - np.tile(u, 7) ** 2)
    read = BeamTops(beam, PEGS, beam * SPACING, across, np.full(35, 900.0), z)
    return judge(read, estimate(read, reading_error=0.7), tolerance=1.5)


def _looks_wrong(tops: np.ndarray, out: tuple[int, int]) -> int:
    """The true peg, from 0, whose second difference strays farthest from the usual one."""
    second = divided_differences(np.arange(7.0), tops, 2)
    stray = np.abs(second - np.median(second))
    true = [k for k in range(1, 6) if k not in out]
    return max(true, key=lambda k: stray[k - 1])


def _peg(hull: ClassHull, keys: str, k: int, tops: np.ndarray, verdicts: Verdicts) -> list[Answer]:
    """Boxes for one peg that is out: what to do, and how much."""
    out = float(verdicts.whole[k, 0])
    how, action = HIGH_LOW[out > 0]
    if verdicts.beam_word[k] != action or abs(out) < 3:
        raise DrawAgain(f"peg {PEGS[k]} is not called out")
    over = abs(float(tops[k] - (tops[k - 1] + tops[k + 1]) / 2))
    beside = [("true neighbour corrected", PEGS[j]) for j in (k - 1, k + 1)]
    slips = apart([("the difference forgotten", over)], abs(out), DRAWN)
    return [
        ask_choice(hull, f"6{keys[0]}", f"Which peg is too {how}, so that you {action}?", PEGS[k], PEGS, beside,
                   (f"The batten {'rocks on' if out > 0 else 'passes over'} that peg.",)),
        ask_length(hull, f"6{keys[1]}", f"How much do you {action} there?", abs(out), slips,
                   ("Let the batten lie over the pegs that are right, and measure from the batten.",), DRAWN),
    ]  # fmt: skip
