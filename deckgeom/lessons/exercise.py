"""
What an exercise is made of: what is given, what is asked, the right answer, and the slips that are known to happen.
"""

from __future__ import annotations

from dataclasses import dataclass

from deckgeom.lessons.slips import KNOWN_SLIPS
from deckgeom.units import format_length

KINDS = ("length", "degrees", "number", "choice")


class SlipTooNear(ValueError):
    """A known slip comes out so near to the right answer that the two could be confused."""


@dataclass(frozen=True)
class Slip:
    """
    A wrong answer that is known to happen.

    Parameters
    ----------
    name : str
        One of `KNOWN_SLIPS`.
    value : float or str
        What comes out when it is made. [as the answer that it belongs to]

    Raises
    ------
    ValueError
        If nobody knows a slip of that name.

    Examples
    --------
    >>> Slip("eighths read as decimals", 696.0).says
    'Look at the last figure: the table gives feet, inches and eighths. Four eighths are half an inch.'
    """

    name: str
    value: float | str

    def __post_init__(self):
        if self.name not in KNOWN_SLIPS:
            raise ValueError(f"'{self.name}' is no known slip: they are {', '.join(KNOWN_SLIPS)}. Add it there first.")

    @property
    def happened(self) -> str:
        """What went wrong, for the teacher."""
        return KNOWN_SLIPS[self.name].happened

    @property
    def says(self) -> str:
        """What the learner is told: what kind of slip, never the answer."""
        return KNOWN_SLIPS[self.name].says


@dataclass(frozen=True)
class Answer:
    """
    One box to fill in.

    Parameters
    ----------
    key : str
        Short name of the box, the same on the form, the key and the screen.
    asks : str
        What goes into it.
    kind : {"length", "degrees", "number", "choice"}
        How it is read and compared.
    value : float or str
        The right answer. [mm, degrees, -]
    tolerance : float
        How far from it still counts as right; nought for a choice. [as the value]
    units : {"mm", "ft-in-8", "in"}
        The class's units.
    slips : tuple of Slip
        Wrong answers that are known to happen here.
    hints : tuple of str
        In the order in which they are given; none holds the answer.
    choices : tuple of str
        What may be chosen.
    unit : str
        Written after a number: "sheets", "litres", "%".

    Raises
    ------
    SlipTooNear
        If a known slip lies within twice the tolerance of the right answer.
    ValueError
        If there is no such kind, or a choice is not among the choices.

    Examples
    --------
    >>> Answer("A", "camber at the widest beam", "length", 93.75, 1.0, "in").shown
    '3 11/16 in'
    """

    key: str
    asks: str
    kind: str
    value: float | str
    tolerance: float
    units: str
    slips: tuple[Slip, ...] = ()
    hints: tuple[str, ...] = ()
    choices: tuple[str, ...] = ()
    unit: str = ""

    def __post_init__(self):
        if self.kind not in KINDS:
            raise ValueError(f"kind is {self.kind!r} but an answer is one of {', '.join(KINDS)}.")
        if self.kind == "choice" and self.value not in self.choices:
            raise ValueError(f"the answer '{self.value}' of '{self.key}' is not among its choices {self.choices}.")
        hidden = [slip.name for slip in self.slips if self._near(slip.value)]
        if hidden:
            raise SlipTooNear(
                f"'{self.key}': the slip '{hidden[0]}' comes out within twice the tolerance of the right answer. Ask "
                "at another place, where the two cannot be confused."
            )

    def accepts(self, value: float | str) -> bool:
        """Whether a value counts as right. [as the value]"""
        if self.kind == "choice":
            return value == self.value
        return abs(value - self.value) <= self.tolerance * (1 + 1e-9)

    def _near(self, value: float | str) -> bool:
        """Whether a slip could be confused with the right answer."""
        if self.kind == "choice":
            return value == self.value
        return abs(value - self.value) <= 2 * self.tolerance * (1 + 1e-9)

    def written(self, value: float | str) -> str:
        """A value as the class writes it, to 1 mm or 1/16 in, .1 degree, or .01 of a number."""
        if self.kind == "choice":
            return str(value)
        if self.kind == "length":
            return format_length(value, self.units)
        if self.kind == "degrees":
            return f"{value:.1f} degrees"
        return f"{value:.2f}".rstrip("0").rstrip(".") + (f" {self.unit}" if self.unit else "")

    @property
    def shown(self) -> str:
        """The right answer as the key prints it."""
        return self.written(self.value)

    @property
    def tolerance_shown(self) -> str:
        """The tolerance as the key prints it; empty for a choice."""
        if self.kind == "choice":
            return ""
        if self.kind == "length" and self.tolerance < 0.8:
            return "exact to 1 mm" if self.units == "mm" else "exact to 1/16 in"
        if self.kind == "length" and self.units == "mm":
            return f"within {self.tolerance:.2g} mm"
        if not self.tolerance:
            return "exact"
        return f"within {self.written(self.tolerance)}"


@dataclass(frozen=True)
class Grid:
    """
    A blank grid to draw on, true to scale on the paper.

    Parameters
    ----------
    width, height : float
        What the grid spans, in the boat's own lengths. [mm]
    across, up : float
        How many of the boat's millimetres one millimetre of paper stands for, each way. [-]
    every : float
        Distance between lines, across and up, on paper. [mm]
    marks : tuple of (str, float)
        Names and places of the upright lines to be marked. [mm of the boat, from the left edge]
    caption : str
        What is drawn on it, and from where.
    low : float
        Height that the bottom line stands for. [mm]

    Examples
    --------
    >>> Grid(1200, 100, 8, 1, 5.0, (("quarter", 300.0),), "half of beam 4").on_paper
    (150.0, 100.0)
    """

    width: float
    height: float
    across: float
    up: float
    every: float
    marks: tuple[tuple[str, float], ...]
    caption: str
    low: float = 0.0

    @property
    def on_paper(self) -> tuple[float, float]:
        """Width and height of the grid as printed. [mm]"""
        return self.width / self.across, self.height / self.up


@dataclass(frozen=True)
class Given:
    """
    A table that the exercise hands out.

    Parameters
    ----------
    title : str
        What it holds.
    head : tuple of str
        Its columns.
    rows : tuple of tuple of str
        Its cells, as they are printed.

    Examples
    --------
    >>> Given("Offsets", ("station", "height"), (("1", "2-3-4"),)).rows[0]
    ('1', '2-3-4')
    """

    title: str
    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


@dataclass(frozen=True)
class Exercise:
    """
    One part of the class for one pair.

    Parameters
    ----------
    part : int
        Which part, from 1. [-]
    minutes : str
        When in the class: "10-30".
    title : str
        What it is about.
    task : tuple of str
        What to do, one paragraph each, to be followed literally.
    given : tuple of Given
        What is handed out.
    answers : tuple of Answer
        What is asked.
    on_the_boat : str
        What this means on the boat.
    grid : Grid, optional
        What is drawn on.

    Examples
    --------
    >>> box = Answer("A", "which beam has the hump", "choice", "left", 0, "mm", choices=("left", "right"))
    >>> part = Exercise(1, "0-10", "Two beams", ("Look along both.",), (), (box,), "It shows in the varnish.")
    >>> part.answer("A").value
    'left'
    """

    part: int
    minutes: str
    title: str
    task: tuple[str, ...]
    given: tuple[Given, ...]
    answers: tuple[Answer, ...]
    on_the_boat: str
    grid: Grid | None = None

    def answer(self, key: str) -> Answer:
        """The box of a key; a KeyError names the boxes that there are."""
        found = {one.key: one for one in self.answers}
        if key not in found:
            raise KeyError(f"part {self.part} has no box '{key}': it has {', '.join(found)}")
        return found[key]
