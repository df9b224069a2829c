"""What each pair of a class works on: its own hull, and eight exercises made for it."""

from __future__ import annotations

from dataclasses import dataclass

from deckgeom.lessons.exercise import Answer, Exercise, SlipTooNear
from deckgeom.lessons.hulls import ClassHull, DrawAgain, draw_hull
from deckgeom.lessons.part_1 import two_beams
from deckgeom.lessons.part_2 import read_the_table
from deckgeom.lessons.part_3 import one_beam_three_ways
from deckgeom.lessons.part_4 import crown_at_five
from deckgeom.lessons.part_5 import crown_line_of_the_pair
from deckgeom.lessons.part_6 import seven_pegs
from deckgeom.lessons.part_7 import bevel_and_bend
from deckgeom.lessons.part_8 import estimate_the_deck

__all__ = ["MOST_PAIRS", "PARTS", "PairWork", "check_pairs", "class_work", "pair_work"]

#: The eight parts of a class, in order.
PARTS = (two_beams, read_the_table, one_beam_three_ways, crown_at_five, crown_line_of_the_pair, seven_pegs,
         bevel_and_bend, estimate_the_deck)  # fmt: skip
#: Half-breadths differ between this many pairs of one seed.
MOST_PAIRS = 41
ATTEMPTS = 2000


@dataclass(frozen=True, eq=False)
class PairWork:
    """
    The work of one pair.

    Parameters
    ----------
    hull : ClassHull
    exercises : tuple of Exercise, length 8
        In order.

    Examples
    --------
    >>> work = pair_work(17, 1, "easy", "mm")
    >>> len(work.exercises), work.part(4).title
    (8, 'The crown at five beams')
    """

    hull: ClassHull
    exercises: tuple[Exercise, ...]

    def part(self, number: int) -> Exercise:
        """An exercise by its number, from 1."""
        return self.exercises[number - 1]

    @property
    def answers(self) -> tuple[Answer, ...]:
        """Every box of the eight parts, in order."""
        return tuple(box for part in self.exercises for box in part.answers)


def pair_work(seed: int, pair: int, level: str = "normal", units: str = "mm") -> PairWork:
    """
    Make the work of one pair: the first hull of its seed on which everything that is asked can be told apart.

    Parameters
    ----------
    seed : int
        Of the class; the same seed gives the same work. [-]
    pair : int
        From 1. [-]
    level : {"easy", "normal", "hard"}
    units : {"mm", "ft-in-8", "in"}

    Returns
    -------
    PairWork

    Raises
    ------
    ValueError
        If there is no such level, units, seed or pair.

    Notes
    -----
    A hull is put aside where a known slip would come out within twice the tolerance of a right answer, where its crown
    line does not show what it should, or where the fairing does not find what was planted.

    Examples
    --------
    >>> one, again = pair_work(17, 2, "easy", "in"), pair_work(17, 2, "easy", "in")
    >>> [box.shown for box in one.answers] == [box.shown for box in again.answers]
    True
    """
    for attempt in range(ATTEMPTS):
        try:
            hull = draw_hull(seed, pair, level, units, attempt)
            return PairWork(hull, tuple(part(hull) for part in PARTS))
        except (DrawAgain, SlipTooNear):
            continue
    raise RuntimeError(f"none of {ATTEMPTS} hulls of seed {seed}, pair {pair} was good enough: try another seed.")


def class_work(seed: int, pairs: int, level: str = "normal", units: str = "mm") -> tuple[PairWork, ...]:
    """
    Make the work of a whole class.

    Parameters
    ----------
    seed : int
    pairs : int
        From 1 to 41. [-]
    level : {"easy", "normal", "hard"}
    units : {"mm", "ft-in-8", "in"}

    Returns
    -------
    tuple of PairWork
        No two with the same hull.

    Raises
    ------
    ValueError
        If the number of pairs will not do.

    Examples
    --------
    >>> len({work.hull.widest for work in class_work(17, 2, "easy")})
    2
    """
    check_pairs(pairs)
    return tuple(pair_work(seed, pair, level, units) for pair in range(1, pairs + 1))


def check_pairs(pairs: int) -> None:
    """
    Refuse a number of pairs that no class has.

    Parameters
    ----------
    pairs : int
        From 1 to 41. [-]

    Raises
    ------
    ValueError
        Otherwise.

    Examples
    --------
    >>> check_pairs(5)
    """
    if isinstance(pairs, bool) or not isinstance(pairs, int) or not 1 <= pairs <= MOST_PAIRS:
        raise ValueError(f"pairs is {pairs!r}; a class has from 1 to {MOST_PAIRS} pairs. Make two classes of more.")
