"""Part 2: read a table of offsets in the notation that it is printed in."""

from __future__ import annotations

import math

from deckgeom.hull.offsets import OffsetTable
from deckgeom.hull.suspects import find_suspects
from deckgeom.lessons.asking import apart, ask_choice, ask_length, first_clear, rows_of
from deckgeom.lessons.exercise import Answer, Exercise, Given
from deckgeom.lessons.hulls import METRIC, ClassHull, DrawAgain
from deckgeom.units import format_length

__all__ = ["read_the_table"]

NOTES = {
    "ft-in-8": "Figures such as 2-7-4+ are feet, inches and eighths of an inch; a + is a sixteenth of an inch more. "
    "A foot has 12 inches; an inch has 25.4 mm.",
    "ft-in": "Feet have one stroke, inches have two.",
    "in": "Figures marked in are inches alone.",
    "cm": "The figures marked cm are centimetres.",
    "m": "The figures marked m are metres.",
    "mm": "The figures are millimetres.",
}
MISPRINT = (
    "One height of the table is a misprint: boxes 2D and 2E. Take each height's first difference from the one before "
    "it, and then the differences of these differences: along a fair sheer they change slowly. The right height is the "
    "one that makes them change slowly; a few millimetres (1/8 in) either way will do."
)
#: An answer that is copied from a table is right to half a mark of the tape, or nearly. [mm]
EXACT = 0.75


def read_the_table(hull: ClassHull) -> Exercise:
    """
    Take figures from the table of offsets, and find what is misprinted.

    Parameters
    ----------
    hull : ClassHull

    Returns
    -------
    Exercise

    Raises
    ------
    DrawAgain
        If a slip could not be told from the right answer anywhere in this table.

    Examples
    --------
    >>> from deckgeom.lessons.class_work import pair_work
    >>> [box.key for box in read_the_table(pair_work(17, 1, "easy").hull).answers]
    ['2A', '2B']
    """
    answers = [_whole_beam(hull), _difference(hull)]
    if hull.ply:
        answers.append(_top_of_beam(hull))
    if hull.misprint:
        answers += _misprint(hull)
    if hull.apart:
        answers.append(_port(hull))
    return Exercise(
        2, "10-30", "Read a table of offsets",
        (f"This is the table of your hull, number {hull.pair}; station 1 is nearest the bow. Write every answer in "
         f"{_own(hull)}.",
         "Half-breadth: from the centreline out to the deck edge. Height: from the base line up to the deck edge, "
         f"to the top of the {f'deck, which is {hull.say(hull.ply)} thick' if hull.ply else 'beams'}.",
         *(NOTES[name] for name in dict.fromkeys(hull.notation.values())),
         *((MISPRINT,) if hull.misprint else ())),
        (Given("Offsets of the deck edge", *_table(hull)),),
        tuple(answers),
        "Every mould, bevel and plank comes from this table. A figure read wrong at the bench is cut in wood by noon.",
    )  # fmt: skip


def _own(hull: ClassHull) -> str:
    return {"mm": "millimetres", "in": "inches and sixteenths", "ft-in-8": "feet, inches and sixteenths"}[hull.units]


def _table(hull: ClassHull):
    """Head and rows of the printed table."""
    names = ["half_breadth_starboard", "half_breadth_port", "height"]
    heads = ["half-breadth, starboard", "half-breadth, port", "height"]
    if not hull.apart:
        names, heads = [names[0], names[2]], ["half-breadth, each side", "height"]
    cells = ([hull.cell(name, k) for k in range(len(hull.x))] for name in names)
    return ("station", *heads), rows_of(hull.stations, *cells)


def _slips(hull: ClassHull, column: str, station: int) -> list[tuple[str, float]]:
    """What one cell is read as by the slips of its notation. [mm]"""
    value = float(hull.printed[column][station])
    found = []
    if hull.notation[column] == "ft-in-8":
        sixteenths = round(value / 25.4 * 16)
        eighths, plus = divmod(sixteenths % 16, 2)
        if eighths >= 3:
            found.append(("eighths read as decimals", value - eighths * (1 / 8 - 1 / 10) * 25.4))
        if plus:
            found.append(("plus ignored", value - 25.4 / 16))
    if hull.units == "mm" and hull.notation[column] not in METRIC:
        found.append(("25 for 25.4", value * 25 / 25.4))
    return found


def _trickiest(hull: ClassHull, column: str, places) -> list[int]:
    """Stations with the most slips of notation first, never the misprinted one or its neighbour above."""
    wrong = {hull.misprint[0] - 1, hull.misprint[0], hull.misprint[0] + 1} if hull.misprint else set()
    clean = [k for k in places if column != "height" or k not in wrong]
    order = hull.dice(column).sample(clean, len(clean))
    return sorted(order, key=lambda k: -len(_slips(hull, column, k)))


def _whole_beam(hull: ClassHull) -> Answer:
    column = "half_breadth_starboard"

    def make(k: int) -> Answer | None:
        both = float(hull.printed[column][k] + hull.printed["half_breadth_port"][k])
        slips = [(name, both + 2 * (out - hull.printed[column][k])) for name, out in _slips(hull, column, k)]
        beside = float(hull.printed[column][k + 1] + hull.printed["half_breadth_port"][k + 1])
        slips += [("half-beam for beam", both / 2), ("next line", beside)]
        return ask_length(hull, "2A", f"The whole beam at station {k + 1}", both, slips,
                          ("Which column, and which line? Read it aloud to your partner.",
                           "The table gives each side from the centreline."), EXACT)  # fmt: skip

    return first_clear(_trickiest(hull, column, range(1, len(hull.x) - 1)), make)


def _difference(hull: ClassHull) -> Answer:
    heights = hull.printed["height"]
    low = max((k for k in range(3, 7) if not hull.misprint or k != hull.misprint[0]), key=lambda k: -heights[k])

    def make(k: int) -> Answer | None:
        if k in (low, low - 1):
            return None
        rise = float(heights[k] - heights[low])
        slips = [(name, rise + out - heights[k]) for name, out in _slips(hull, "height", k) if name != "25 for 25.4"]
        if hull.units == "mm" and hull.notation["height"] not in METRIC:
            slips += apart([("25 for 25.4", rise * 25 / 25.4)], rise, EXACT)
        slips.append(("next line", float(heights[k + 1] - heights[low])))
        return ask_length(hull, "2B", f"How much higher the edge is at station {k + 1} than at station {low + 1}", rise,
                          slips, ("Read both heights first, and write them down before you subtract.",
                                  "Bring both into one unit before you subtract."), EXACT)  # fmt: skip

    return first_clear(_trickiest(hull, "height", (0, 1, 7)), make)


def _top_of_beam(hull: ClassHull) -> Answer:
    heights = hull.printed["height"]

    def make(k: int) -> Answer:
        value = float(heights[k])
        slips = [(name, out - hull.ply) for name, out in _slips(hull, "height", k)]
        slips += [("ply left on", value), ("ply added", value + hull.ply)]
        slips += [("next line", float(heights[k + 1]) - hull.ply)]
        asks = f"Height of the top of the beam, under the deck, at the edge of station {k + 1}"
        return ask_length(hull, "2C", asks, value - hull.ply,
                          slips, ("To the top of what are the heights of this table taken?",
                           "The deck lies on the beam."), EXACT)  # fmt: skip

    return first_clear(_trickiest(hull, "height", (0, 1, 2, 6, 7)), make)


def _misprint(hull: ClassHull) -> list[Answer]:
    """Which height is misprinted, and what it ought to be, as the search for suspects finds it."""
    rows = {"x": hull.x, "height": hull.printed["height"]}
    suspects = find_suspects(OffsetTable.from_rows(rows, hull.stations), hull.tape / 2, hull.tape)
    at = hull.misprint[0]
    if not suspects or suspects[0].station != hull.stations[at] or suspects[0].strength != "beyond doubt":
        raise DrawAgain("the misprint does not stand out")
    ought = float(suspects[0].expected)
    if not math.isclose(ought, hull.columns["height"][at], abs_tol=1.5):
        raise DrawAgain("the misprint could be mended in more than one way")
    beside = [hull.stations[at - 1], hull.stations[at + 1]]
    return [
        ask_choice(hull, "2D", "At which station is the height misprinted?", hull.stations[at], hull.stations,
                   [("true neighbour corrected", name) for name in beside],
                   ("A wrong height disturbs three second differences: its own the most, and its neighbours' by half "
                    "as much the other way.", "Draw the heights along the boat and lay a batten over them.")),
        ask_length(hull, "2E", "What it ought to be", ought, [("next line", float(hull.printed["height"][at]))],
                   ("Give it the height at which the second differences run evenly.",
                    f"It is out by more than {format_length(15, hull.units)}."), 3.2),
    ]  # fmt: skip


def _port(hull: ClassHull) -> Answer:
    column = "half_breadth_port"

    def make(k: int) -> Answer:
        value = float(hull.printed[column][k])
        other = float(hull.printed["half_breadth_starboard"][k])
        slips = [*_slips(hull, column, k), ("sides swapped", other), ("half-beam for beam", 2 * value),
                 ("next line", float(hull.printed[column][k + 1]))]  # fmt: skip
        return ask_length(hull, "2F", f"Half-breadth to port at station {k + 1}", value, slips,
                          ("Read the head of the column once more.", "Work from feet to inches to eighths, one "
                           "at a time."),
                          EXACT)  # fmt: skip

    return first_clear(_trickiest(hull, column, range(1, len(hull.x) - 1)), make)
