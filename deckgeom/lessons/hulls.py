"""
Hulls for a class, made from a seed: fair but for what is planted in them, and no two pairs alike.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from deckgeom.deck.crown import OneMould, SameProportion
from deckgeom.deck.figure import CamberFigure
from deckgeom.deck.humps import find_humps
from deckgeom.deck.surface import Deck
from deckgeom.hull.offsets import OffsetTable
from deckgeom.hull.sheer import Sheer
from deckgeom.lessons.dice import Dice, dice
from deckgeom.units import UNITS, format_length, write_length

__all__ = ["HUMPS", "LEVELS", "RULES", "ClassHull", "DrawAgain", "draw_hull", "highest_hump"]

LEVELS = ("easy", "normal", "hard")
#: What a hull is made to show, in turn from pair to pair.
HUMPS = ("one mould only", "both", "one mould only", "neither")
RULES = {"one mould": OneMould, "same proportion": SameProportion}
STATIONS = 9
#: A hump that can be seen along a batten on a small drawing, and one that cannot. [mm] Common practice, no source.
SEEN, UNSEEN = 4.0, 0.5

#: In which notation each column is printed, by units and level: half-breadths to starboard, to port, heights.
NOTATION = {
    ("mm", "easy"): ("mm", "mm", "mm"),
    ("mm", "normal"): ("cm", "cm", "ft-in-8"),
    ("mm", "hard"): ("m", "ft-in-8", "ft-in-8"),
    ("ft-in-8", "easy"): ("ft-in", "ft-in", "ft-in"),
    ("ft-in-8", "normal"): ("ft-in-8", "ft-in-8", "ft-in"),
    ("ft-in-8", "hard"): ("in", "ft-in-8", "ft-in-8"),
    ("in", "easy"): ("in", "in", "in"),
    ("in", "normal"): ("ft-in-8", "ft-in-8", "in"),
    ("in", "hard"): ("ft-in", "ft-in-8", "ft-in-8"),
}
METRIC = ("mm", "cm", "m")


class DrawAgain(ValueError):
    """A hull came out of the seed that does not show what it should; the next one is drawn."""


@dataclass(frozen=True, eq=False)
class ClassHull:
    """
    The hull of one pair: nine stations evenly spaced, both sides the same but in the hardest table.

    Parameters
    ----------
    seed : int
        Of the class. [-]
    pair : int
        From 1. [-]
    level : {"easy", "normal", "hard"}
        How the table is printed, and what is planted in it.
    units : {"mm", "ft-in-8", "in"}
        The class's units.
    attempt : int
        Which of the hulls of this seed it is. [-]
    x : array_like, shape (9,)
        Where the stations stand; the first is one spacing aft of the zero. [mm]
    half_breadth, height : array_like, shape (9,)
        Of the deck edge, the mean of both sides, as a tape reads them. [mm]
    apart : float
        How much wider the starboard side is than that mean, and the port side narrower. [mm]
    figure : CamberFigure
        Camber at the widest beam.
    humps : str
        One of `HUMPS`: under which rules its crown line has a hump.
    ply : float
        Thickness of the deck; the heights are taken to its top. Nought where they are taken to the beams. [mm]
    misprint : (int, float) or None
        Which height, from 0, is printed wrong, and by how much. [-, mm]

    Examples
    --------
    >>> from deckgeom.lessons.class_work import pair_work
    >>> hull = pair_work(17, 1).hull
    >>> hull.stations[0], len(hull.x), hull.humps in HUMPS
    ('1', 9, True)
    """

    seed: int
    pair: int
    level: str
    units: str
    attempt: int
    x: np.ndarray
    half_breadth: np.ndarray
    height: np.ndarray
    apart: float
    figure: CamberFigure
    humps: str
    ply: float = 0.0
    misprint: tuple[int, float] | None = None

    def __post_init__(self) -> None:
        for name in ("x", "half_breadth", "height"):
            kept = np.array(getattr(self, name), dtype=float)
            kept.flags.writeable = False
            object.__setattr__(self, name, kept)

    @property
    def stations(self) -> tuple[str, ...]:
        """Names of the stations, from forward to aft."""
        return tuple(str(k + 1) for k in range(len(self.x)))

    @property
    def spacing(self) -> float:
        """From station to station. [mm]"""
        return float(self.x[1] - self.x[0])

    @property
    def widest(self) -> float:
        """Half-breadth at the widest station. [mm]"""
        return float(self.half_breadth.max())

    @property
    def tape(self) -> float:
        """What the class's tape reads to. [mm]"""
        return 1.0 if self.units == "mm" else 25.4 / 16

    @cached_property
    def camber(self) -> float:
        """Camber at the widest station, to what the tape reads. [mm]"""
        return self.on_tape(self.figure.camber_at(self.widest, "parabola"))

    @cached_property
    def notation(self) -> dict[str, str]:
        """In which notation each column of its table is printed."""
        names = ("half_breadth_starboard", "half_breadth_port", "height")
        return dict(zip(names, NOTATION[self.units, self.level], strict=True))

    @cached_property
    def columns(self) -> dict[str, np.ndarray]:
        """What the table ought to say: each column to what its notation can print, without a misprint. [mm]"""
        true = {
            "half_breadth_starboard": self.half_breadth + self.apart,
            "half_breadth_port": self.half_breadth - self.apart,
            "height": self.height,
        }
        return {name: _to(v, 1.0 if self.notation[name] in METRIC else 25.4 / 16) for name, v in true.items()}

    @cached_property
    def printed(self) -> dict[str, np.ndarray]:
        """What the table says, its misprint among it. [mm]"""
        said = {name: column.copy() for name, column in self.columns.items()}
        if self.misprint:
            said["height"][self.misprint[0]] += self.misprint[1]
        return said

    @cached_property
    def sheer(self) -> Sheer:
        """The fair deck edge through the true offsets, both sides at their mean."""
        rows = {"x": self.x, "half_breadth": self.half_breadth, "height": self.height}
        return Sheer.from_offsets(OffsetTable.from_rows(rows, self.stations))

    def deck(self, rule: str) -> Deck:
        """
        Its deck by one of the rules that need no more than a figure, with parabolas for beams.

        Parameters
        ----------
        rule : {"one mould", "same proportion"}

        Returns
        -------
        Deck
            Heights to the top of the beams: the deck's thickness is left out.
        """
        return self._decks[rule]

    @cached_property
    def _decks(self) -> dict[str, Deck]:
        figure = CamberFigure("crown", self.camber)
        return {name: Deck(self.sheer, rule("parabola", figure)) for name, rule in RULES.items()}

    def cell(self, column: str, station: int) -> str:
        """
        What the table prints in a cell.

        Parameters
        ----------
        column : {"half_breadth_starboard", "half_breadth_port", "height"}
        station : int
            From 0. [-]

        Returns
        -------
        str
        """
        return write_length(float(self.printed[column][station]), self.notation[column])

    def say(self, length: float) -> str:
        """A length as the class writes it."""
        return format_length(length, self.units)

    def on_tape(self, length):
        """A length, or an array of them, to the nearest mark of the class's tape. [mm]"""
        return _to(length, self.tape)

    def dice(self, what: str) -> Dice:
        """Dice of its own for one part of the class."""
        return dice(self.seed, self.pair, self.level, self.units, self.attempt, what)


def draw_hull(seed: int, pair: int, level: str, units: str, attempt: int = 0) -> ClassHull:
    """
    Draw the hull of a pair.

    Parameters
    ----------
    seed, pair : int
        The pairs of one seed, up to 41, have different half-breadths, so no two have the same hull. [-]
    level : {"easy", "normal", "hard"}
    units : {"mm", "ft-in-8", "in"}
    attempt : int
        Another hull for the same pair, where one was not good enough.

    Returns
    -------
    ClassHull

    Raises
    ------
    ValueError
        If there is no such level, units, seed or pair.
    DrawAgain
        If it does not show the humps that it should, or is not rounder than it is straight.

    Notes
    -----
    Plan and profile are cubics in the station's number: their fourth differences are nought, so they are fair, and
    what stands out was planted. With one mould a parabola in plan humps where the ends of the sheer rise by less than
    the camber that the ends lose; in the same proportion, where they rise by less than half of that or so (derived).

    Examples
    --------
    >>> from deckgeom.lessons.class_work import pair_work
    >>> found = pair_work(17, 1).hull
    >>> draw_hull(17, 1, "normal", "mm", found.attempt).widest == found.widest
    True
    """
    _check(seed, pair, level, units)
    roll = dice(seed, pair, level, units, attempt)
    start = dice(seed, level, units)
    tape = 1.0 if units == "mm" else 25.4 / 16
    turn = start.whole(0, 3)
    humps = HUMPS[(pair - 1 + turn) % len(HUMPS)]
    widest = _to(1500.0, tape) + tape * (4 if units == "mm" else 3) * ((pair * 11 + start.whole(0, 40)) % 41)
    spacing = _to(roll.between(560, 700), 10.0 if units == "mm" else 25.4)
    t = np.linspace(0.0, 1.0, STATIONS)
    plan = _cubic(roll.between(0.42, 0.58), roll.between(0.66, 0.8), 1.0, 0.5 if roll.random() < 0.3 else 0.625)
    half = _to(widest * np.polynomial.polynomial.polyval(t, plan), tape)
    figure, camber = _figure(roll, level, units, float(half.max()))
    height = _to(_profile(roll, humps, camber, t), tape)
    hull = ClassHull(
        seed, pair, level, units, attempt, spacing * np.arange(1, STATIONS + 1), half, height,
        2 * tape * (level == "hard"), figure, humps,
        ply=(0.0 if level == "easy" else roll.one_of((12.0, 15.0, 18.0) if units == "mm" else (12.7, 15.875, 19.05))),
        misprint=None if level == "easy" else _misprint(roll, NOTATION[units, level][2]),
    )  # fmt: skip
    _shows(hull)
    return hull


def _check(seed: int, pair: int, level: str, units: str) -> None:
    """One line for what nobody can draw."""
    if level not in LEVELS:
        raise ValueError(f"level is {level!r}; it is one of {', '.join(LEVELS)}.")
    if units not in UNITS:
        raise ValueError(f"units is {units!r}; it is one of {', '.join(UNITS)}.")
    for name, value in (("seed", seed), ("pair", pair)):
        if isinstance(value, bool) or not isinstance(value, int) or value < (name == "pair"):
            least = "from 1" if name == "pair" else "0 or more"
            raise ValueError(f"{name} is {value!r}; it is a whole number, {least}.")


def _to(length, step: float):
    """To the nearest step."""
    return np.rint(np.asarray(length) / step) * step if np.ndim(length) else float(round(length / step) * step)


def _cubic(first: float, last: float, top: float, at: float) -> np.ndarray:
    """Coefficients of the cubic with these ends whose top or bottom lies at a place between them."""
    rows = [[1, 0, 0, 0], [1, 1, 1, 1], [1, at, at**2, at**3], [0, 1, 2 * at, 3 * at**2]]
    return np.linalg.solve(np.array(rows, dtype=float), [first, last, top, 0.0])


def _figure(roll: Dice, level: str, units: str, widest: float) -> tuple[CamberFigure, float]:
    """The camber figure as it is printed, and the camber that it gives."""
    if level != "hard":
        text = f"1:{roll.whole(22, 27)} of beam"
    elif units == "mm":
        text = f"{roll.whole(37, 45)} mm/m of beam"
    else:
        text = roll.one_of(('7/16"/ft', '1/2"/ft')) + " of beam"
    figure = CamberFigure.parse(text, units)
    return figure, figure.camber_at(widest, "parabola")


def _profile(roll: Dice, humps: str, camber: float, t: np.ndarray) -> np.ndarray:
    """Heights of the sheer, its ends as many cambers above its lowest as the humps want."""
    low, high = {"one mould only": (0.6, 0.95), "both": (0.18, 0.35), "neither": (1.6, 2.3)}[humps]
    ends = roll.between(low, high), roll.between(low, high) * 0.8
    line = _cubic(max(ends) * camber, min(ends) * camber, 0.0, roll.between(0.55, 0.6))
    return roll.whole(620, 900) + np.polynomial.polynomial.polyval(t, line)


def _misprint(roll: Dice, notation: str) -> tuple[int, float]:
    """A height printed wrong, at a station that no later part prints: by 20 or 30 mm, or an inch."""
    size = 10.0 * roll.whole(2, 3) if notation in METRIC else 25.4
    return roll.one_of((3, 5)), roll.one_of((-1, 1)) * size


def _shows(hull: ClassHull) -> None:
    """Whether the hull is round in plan, hollow in its sheer, and has the humps that it should."""
    if np.any(np.diff(hull.half_breadth, 2) >= 0) or np.any(np.diff(hull.height, 2) <= 0):
        raise DrawAgain("the plan is not round throughout, or the sheer is not hollow")
    for rule in RULES:
        wanted = hull.humps == "both" or (hull.humps == "one mould only" and rule == "one mould")
        high = highest_hump(hull, rule, 5) if wanted else highest_hump(hull, rule)
        if (high < SEEN) if wanted else (high > UNSEEN):
            raise DrawAgain(f"with {rule} it humps by {high:.1f} mm")


def highest_hump(hull: ClassHull, rule: str, points: int = 129) -> float:
    """
    How far the crown line stands above a straight batten under it, at most. [mm]

    Parameters
    ----------
    hull : ClassHull
    rule : {"one mould", "same proportion"}
    points : int
        At how many places it is looked at, evenly spaced. [-]

    Examples
    --------
    >>> from deckgeom.lessons.class_work import pair_work
    >>> hull = pair_work(17, 2, "easy").hull
    >>> {rule: highest_hump(hull, rule) > 1 for rule in RULES} == {
    ...     "one mould": hull.humps != "neither", "same proportion": hull.humps == "both"}
    True
    """
    x = np.linspace(hull.x[0], hull.x[-1], points)
    return max((hump.gap for hump in find_humps(x, hull.deck(rule).crown(x), "hollow")), default=0.0)
