"""Part 4: the crown at five beams, by three rules."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from deckgeom.deck.lines import CrownLine
from deckgeom.deck.surface import Deck
from deckgeom.lessons.asking import apart, ask_length, rows_of
from deckgeom.lessons.exercise import Answer, Exercise, Given
from deckgeom.lessons.hulls import ClassHull, DrawAgain

__all__ = ["FIVE", "Crowns", "crown_at_five", "crowns_at_five"]

#: The five beams, from 0: stations 1, 3, 5, 7 and 9.
FIVE = np.array([0, 2, 4, 6, 8])
ENDS_AND_MIDDLE = np.array([0, 2, 4])


@dataclass(frozen=True, eq=False)
class Crowns:
    """
    Cambers of the five beams by the three rules.

    Parameters
    ----------
    one_mould, same_proportion, crown_line : ndarray, shape (5,)
        [mm]
    chosen : ndarray, shape (3,)
        Crown heights that the crown line is laid through, at the first, third and fifth beam. [mm]

    Examples
    --------
    >>> from deckgeom.lessons.class_work import pair_work
    >>> crowns = crowns_at_five(pair_work(17, 1, "easy").hull)
    >>> bool((crowns.one_mould <= crowns.same_proportion + 0.001).all())
    True
    """

    one_mould: np.ndarray
    same_proportion: np.ndarray
    crown_line: np.ndarray
    chosen: np.ndarray


def crowns_at_five(hull: ClassHull) -> Crowns:
    """
    Work out the three rules on a hull.

    Parameters
    ----------
    hull : ClassHull

    Returns
    -------
    Crowns

    Examples
    --------
    >>> from deckgeom.lessons.class_work import pair_work
    >>> hull = pair_work(17, 1, "easy").hull
    >>> crowns = crowns_at_five(hull)
    >>> crowns.chosen.round(6).tolist() == (hull.height[FIVE] + crowns.crown_line)[[0, 2, 4]].round(6).tolist()
    True
    """
    x = hull.x[FIVE]
    one, same = hull.deck("one mould").camber(x), hull.deck("same proportion").camber(x)
    chosen = hull.on_tape(hull.height[FIVE] + same)[ENDS_AND_MIDDLE]
    line = Deck(hull.sheer, CrownLine("parabola", x[ENDS_AND_MIDDLE], chosen))
    return Crowns(one, same, line.camber(x), chosen)


def crown_at_five(hull: ClassHull) -> Exercise:
    """
    Work out the camber of five beams by three rules.

    Parameters
    ----------
    hull : ClassHull

    Returns
    -------
    Exercise

    Raises
    ------
    DrawAgain
        If the camber could be rounded either way.

    Examples
    --------
    >>> from deckgeom.lessons.class_work import pair_work
    >>> len(crown_at_five(pair_work(17, 1, "easy").hull).answers)
    9
    """
    exact = hull.figure.camber_at(hull.widest, "parabola") / hull.tape
    if abs(exact % 1 - 0.5) < 0.02:
        raise DrawAgain("the camber lies halfway between two marks of the tape: it could be rounded either way")
    say, crowns = hull.say, crowns_at_five(hull)
    names = [hull.stations[k] for k in FIVE]
    whole = hull.figure.text.replace("of beam", "of the whole beam")
    per = "per foot of half-beam" if "/ft" in hull.figure.text else "half-beam for beam"
    answers = [
        ask_length(hull, "4A", "Camber at the widest beam of the hull", hull.camber, [(per, hull.camber / 2)],
                   ("Double the half-beam first: the figure is for the whole beam.",
                    "Keep the same unit throughout, and round at the very end.")),
    ]  # fmt: skip
    answers += _by_rule(hull, "BCD", "Same proportion", crowns.same_proportion, crowns.one_mould, (0, 1, 4))
    answers += _by_rule(hull, "EFG", "One mould", crowns.one_mould, crowns.same_proportion, (0, 1, 4))
    answers += _by_line(hull, crowns)
    return Exercise(
        4, "55-70", "The crown at five beams",
        (f"Your camber figure is {whole}, for the widest beam of "
         f"the hull, whose half-beam B is {say(hull.widest)}. Work out that camber first: call it C, rounded to "
         f"{say(hull.tape)}.",
         "Same proportion: each beam's camber is C times b, divided by B, where b is its own half-beam.",
         "One mould: every beam is cut from the middle of the widest one's curve. Take that for a parabola: at b from "
         "its middle it has dropped by C times b times b, divided by B times B. That drop is the beam's camber.",
         "Crown line: the crown heights at stations 1, 5 and 9 are chosen. A fair line through them, halfway between, "
         "stands at (3 x the near end + 6 x the middle - the far end) / 8. The camber there is that height less the "
         "height of the edge."),
        (Given("Your five beams", ("station", "half-beam", "height of the edge"),
               rows_of(names, [say(v) for v in hull.half_breadth[FIVE]], [say(v) for v in hull.height[FIVE]])),
         Given("Crown heights chosen", ("station", "crown height"),
               rows_of([names[k] for k in ENDS_AND_MIDDLE], [say(v) for v in crowns.chosen]))),
        tuple(answers),
        "One mould is quick and leaves the ends flat; the same proportion keeps the round to the ends; a chosen crown "
        "line is what the eye sees from the quay. Each is in use: choose, and know what you get.",
    )  # fmt: skip


def _by_rule(hull: ClassHull, keys: str, rule: str, right, other, beams) -> list[Answer]:
    """Boxes for one of the two rules that need only a figure."""
    made = []
    for key, k in zip(keys, beams, strict=True):
        slips = apart([("wrong rule", other[k])], right[k], hull.tape)
        if rule == "One mould":
            slips += apart([("from the edge", hull.camber - right[k])], right[k], hull.tape)
        made.append(ask_length(hull, f"4{key}", f"{rule}: camber at station {hull.stations[FIVE[k]]}", right[k], slips,
                               ("Divide the half-beams first, with a few figures after the point.",
                                "Is this rule's camber a part of C in proportion to b, or the drop of the widest "
                                "beam's curve at b?")))  # fmt: skip
    return made


def _by_line(hull: ClassHull, crowns: Crowns) -> list[Answer]:
    """Boxes for the crown line, halfway between the heights that were chosen."""
    made = []
    for key, k in (("4H", 1), ("4I", 3)):  # fmt: skip
        right, edge = crowns.crown_line[k], hull.height[FIVE[k]]
        slips = [("wrong rule", crowns.same_proportion[k]), ("wrong rule", crowns.one_mould[k])]
        slips = [*apart(slips, right, hull.tape), ("the difference forgotten", right + edge)]
        made.append(
            ask_length(
                hull,
                key,
                f"Crown line: camber at station {hull.stations[FIVE[k]]}",
                right,
                slips,
                (
                    "Which end is the near one here?",
                    "Three times one, six times another, less the third: then divide by eight.",
                ),
            )
        )
    return made
