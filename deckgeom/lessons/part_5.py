"""Part 5: each pair draws the crown line of its own hull: whose humps, and why?"""

from __future__ import annotations

import numpy as np

from deckgeom.deck.humps import find_humps
from deckgeom.lessons.asking import apart, ask_choice, ask_length, grid_for, rows_of
from deckgeom.lessons.exercise import Exercise, Given
from deckgeom.lessons.hulls import SEEN, ClassHull, DrawAgain, highest_hump
from deckgeom.lessons.part_4 import FIVE, crowns_at_five

__all__ = ["WHY", "crown_line_of_the_pair"]

#: Why the crown line humps, or does not, under one mould.
WHY = (
    "the camber is rounder along the boat than the sheer is hollow",
    "the sheer is hollower along the boat than the camber is round",
)
YES_NO = ("yes", "no")


def crown_line_of_the_pair(hull: ClassHull) -> Exercise:
    """
    Draw the crown line under two rules, and find the hump.

    Parameters
    ----------
    hull : ClassHull

    Returns
    -------
    Exercise

    Raises
    ------
    DrawAgain
        If two beams share the top of the hump.

    Examples
    --------
    >>> from deckgeom.lessons.class_work import pair_work
    >>> crown_line_of_the_pair(pair_work(17, 1, "easy").hull).answer("5C").choices
    ('yes', 'no')
    """
    say, crowns, edge = hull.say, crowns_at_five(hull), hull.height[FIVE]
    one = hull.on_tape(edge + crowns.one_mould)
    same = hull.on_tape(edge + crowns.same_proportion)
    humps = {rule: highest_hump(hull, rule, 5) >= SEEN for rule in ("one mould", "same proportion")}
    names = [hull.stations[k] for k in FIVE]
    highest = _where(hull, one, names) if humps["one mould"] else "none"
    slips = apart([("wrong rule", same[0]), ("the difference forgotten", crowns.one_mould[0])], one[0], hull.tape)
    answers = (
        ask_length(hull, "5A", "Height of the crown at station 1 with one mould", one[0], slips,
                   ("The crown stands above the edge by the camber.", "Which camber belongs to this rule?")),
        ask_choice(hull, "5B", "With one mould: does the crown line hump?", _yes(humps["one mould"]), YES_NO,
                   hints=("Hold a straight edge under the line: does the line leave it upwards anywhere between two "
                          "places where it touches?",)),
        ask_choice(hull, "5C", "In the same proportion: does it hump?", _yes(humps["same proportion"]), YES_NO,
                   hints=("Draw it on the same grid in another colour, and hold the straight edge under it.",)),
        ask_choice(hull, "5D", "With one mould: which beam stands most above the straight edge?", highest,
                   (*names[1:-1], "none"),
                   hints=("Measure the gap over the straight edge at each of the three beams.",)),
        ask_choice(hull, "5E", "Why? With one mould ...", WHY[0] if humps["one mould"] else WHY[1], WHY,
                   hints=("The crown line is the sheer with the camber added. Which of the two bends more?",
                          "At each of the three middle beams: how far does its camber stand above the middle of its "
                          "neighbours' cambers, and how far does its edge hang below the middle of their edges?")),
    )  # fmt: skip
    low, high = float(min(one.min(), same.min())), float(max(one.max(), same.max()))
    return Exercise(
        5, "80-95", "The crown line of your own hull",
        ("Add the camber to the height of the edge at each of your five beams: that is the height of the crown. Do it "
         "for one mould and for the same proportion, each with the cambers printed here.",
         "Plot both on the grid and draw each with a batten. A crown line may be hollow, as the sheer is, or straight. "
         "Lay a straight edge under it from any one beam to any other: where a beam between them stands above the "
         "straight edge, the line has a hump.",
         "Then put your drawing on the wall beside the others. Whose humps, under which rule?"),
        (Given("Your five beams", ("station", "height of the edge", "camber, one mould", "camber, same proportion"),
               rows_of(names, *([say(v) for v in row] for row in
                                (edge, hull.on_tape(crowns.one_mould), hull.on_tape(crowns.same_proportion))))),),
        answers,
        "A hump in the crown line is no fault of cutting: every beam may be right by the mould, and the deck still has "
        "a back like a cat. It is seen on paper before a beam is cut.",
        grid_for(hull, [(name, float(hull.x[k])) for name, k in zip(names, FIVE, strict=True)], low, high,
                 _scale(high - low), "across: along the boat; up: height above the base line"),
    )  # fmt: skip


def _scale(range_up: float) -> float:
    """How much smaller than true the heights are drawn, so that they fit on a page."""
    return next((up for up in (1.0, 2.0) if range_up < 130 * up), 4.0)


def _yes(is_so: bool) -> str:
    return YES_NO[0] if is_so else YES_NO[1]


def _where(hull: ClassHull, crown: np.ndarray, names: list[str]) -> str:
    """Which of the five beams stands highest above the straight edge, by the heights that are printed."""
    found = find_humps(hull.x[FIVE], crown, "hollow")
    over = [0.0] * 5
    for hump in found:
        for k, x in enumerate(hull.x[FIVE]):
            if hump.start < x < hump.end:
                ends = [float(crown[list(hull.x[FIVE]).index(end)]) for end in (hump.start, hump.end)]
                over[k] = float(crown[k] - np.interp(x, (hump.start, hump.end), ends))
    order = np.argsort(over)
    if over[order[-1]] - over[order[-2]] < 2 * hull.tape:
        raise DrawAgain("two beams share the top of the hump")
    return names[order[-1]]
