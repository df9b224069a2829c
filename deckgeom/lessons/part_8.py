"""Part 8: estimate the deck: area, sheets, cloth and paint."""

from __future__ import annotations

import math

from deckgeom.laying.quantities import coats, deck_area, sheets, strips_to_cover
from deckgeom.lessons.asking import ask_number, rows_of
from deckgeom.lessons.exercise import Answer, Exercise, Given
from deckgeom.lessons.hulls import ClassHull, DrawAgain

__all__ = ["estimate_the_deck"]

FOOT = 304.8
PAINT = "paint or varnish, one coat"
TIMES = 3


def estimate_the_deck(hull: ClassHull) -> Exercise:
    """
    Area by Simpson's rule, and what it takes of ply, cloth and paint.

    Parameters
    ----------
    hull : ClassHull

    Returns
    -------
    Exercise

    Raises
    ------
    DrawAgain
        If no roll of cloth would show what laps cost.

    Examples
    --------
    >>> from deckgeom.lessons.class_work import pair_work
    >>> [box.key for box in estimate_the_deck(pair_work(17, 1, "easy").hull).answers]
    ['8A', '8B', '8C', '8D']
    """
    metric = hull.units == "mm"
    sheet = (2440.0, 1220.0) if metric else (8 * FOOT, 4 * FOOT)
    cloth, lap = _cloth(hull)
    covers = hull.dice("paint").one_of((10.0, 11.0, 12.0) if metric else (400.0, 420.0, 450.0))
    tin = "litre" if metric else "US gallon"
    say = hull.say
    head, tail = ("hundredths of a square metre", "m2") if metric else ("tenths of a square foot", "sq ft")
    return Exercise(
        8, "140-150", "Estimate the deck",
        (f"Area in plan from station 1 to station 9. Multiply each half-beam by its multiplier and add up; times the "
         f"spacing of the stations, {say(hull.spacing)}, divided by three, is the area of one side. Work in "
         f"{'metres' if metric else 'feet'}; write the whole deck, both sides, to {head}.",
         "The deck over its camber is a little larger: for an estimate the area in plan will do.",
         f"Ply: sheets of {say(sheet[0])} by {say(sheet[1])}. Add fifteen in a hundred for what is cut away.",
         f"Cloth: a roll {say(cloth)} wide, laid along the boat, each strip {say(lap)} over its neighbour. How many "
         "strips cover the widest beam?",
         f"Paint: {TIMES} coats; a {tin} of it covers {covers:g} {tail}."),
        (Given("Simpson's multipliers", ("station", "half-beam", "multiplier"),
               rows_of(hull.stations, [say(v) for v in hull.half_breadth], [str(m) for m in _multipliers(9)])),),
        _boxes(hull, sheet, cloth, lap, covers, tail, tin + "s"),
        "The ends of the boat, beyond the first and last station, come on top. Order by this and you will not stand "
        "with a pot mixed and half a deck dry. Openings are not taken off: what is cut out of them is rarely of use.",
    )  # fmt: skip


def _multipliers(stations: int) -> list[int]:
    """Simpson's: 1, 4, 2, 4, ... 1."""
    return [1, *(4 if k % 2 else 2 for k in range(1, stations - 1)), 1]


def _cloth(hull: ClassHull) -> tuple[float, float]:
    """A roll and a lap with which laps forgotten make one strip too few. [mm]"""
    step, lap = (10.0, 50.0) if hull.units == "mm" else (25.4, 50.8)
    breadth = 2 * hull.widest
    rolls = [math.ceil(breadth / strips / step) * step for strips in (3, 4)]
    good = [roll for roll in rolls if strips_to_cover(breadth, roll, lap) > math.ceil(breadth / roll)]
    if not good:
        raise DrawAgain("no roll shows what laps cost")
    return hull.dice("cloth").one_of(good), lap


def _boxes(hull: ClassHull, sheet, cloth: float, lap: float, covers: float, unit: str, tins: str) -> tuple[Answer, ...]:
    """The four boxes."""
    area = deck_area(hull.deck("one mould")).plan
    shown = area if hull.units == "mm" else area * 1e6 / FOOT**2
    by_area = sheets(area, sheet).likely
    plain = math.floor(area * 1.15 / (sheet[0] * sheet[1] / 1e6))
    strips = strips_to_cover(2 * hull.widest, cloth, lap)
    paint = coats(shown, PAINT, TIMES, own=covers).likely
    half = sheets(area / 2, sheet).likely
    if any(sheets(area * (1 + off), sheet).likely != by_area for off in (-0.006, 0.006)):
        raise DrawAgain("the count of sheets hangs on the last figure of the area")
    return (
        ask_number(hull, "8A", "Area of the deck in plan", shown, unit, 0.02 * shown, [("half the deck", shown / 2)],
                   ("The multipliers are 1, 4, 2, 4 and so on to 1: add all nine products.",
                    "Times the spacing, divided by three: that is one side.")),
        ask_number(hull, "8B", "Sheets of ply, whole ones", by_area, "sheets", 0,
                   [slip for slip in (("rounded down", plain), ("half the deck", half)) if slip[1] != by_area],
                   ("How large is one sheet?", "Whole sheets: what is left over still has to be covered.")),
        ask_number(hull, "8C", "Strips of cloth, whole ones", strips, "strips", 0,
                   [("laps forgotten", float(math.ceil(2 * hull.widest / cloth)))],
                   ("The first strip covers its whole width. How much new deck does each further one cover?",)),
        ask_number(hull, "8D", f"Paint, {TIMES} coats, to a tenth", paint, tins, max(0.1, 0.05 * paint),
                   [("half the deck", paint / 2)],
                   ("How much for one coat?", "Divide the area by what a tin covers, not the other way about.")),
    )  # fmt: skip
