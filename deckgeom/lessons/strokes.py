"""What a drawing that grows step by step is made of: strokes, steps, and the layout that they end in."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

KINDS = ("line", "arc", "points", "label")
ROLES = ("base", "construction", "tool", "result")
PLACES = ("beam", "aside")


def _closed(values) -> np.ndarray:
    """A copy that nobody can write into."""
    kept = np.array(values, dtype=float, ndmin=1)
    kept.flags.writeable = False
    return kept


@dataclass(frozen=True, eq=False)
class Stroke:
    """
    One thing drawn: a line, an arc, some points, or a word.

    Parameters
    ----------
    kind : {"line", "arc", "points", "label"}
        An arc is given by many points close together, so that it may be drawn as a line.
    y, z : array_like, shape (n,)
        Off the centreline, and up from the line that joins the ends of the beam. On an aside: along its own base line
        and up from it, to the same scale both ways. [mm]
    role : {"base", "construction", "tool", "result"}
        What it is for: a line to start from, a line that helps, a stick or batten, or what is wanted.
    words : str
        Of a label.
    on : {"beam", "aside"}
        On the beam itself, or on the small figure drawn beside it.

    Examples
    --------
    >>> Stroke("line", (0, 1200), (0, 0), "base").y.tolist()
    [0.0, 1200.0]
    """

    kind: str
    y: np.ndarray
    z: np.ndarray
    role: str
    words: str = ""
    on: str = "beam"

    def __post_init__(self) -> None:
        for value, known in ((self.kind, KINDS), (self.role, ROLES), (self.on, PLACES)):
            if value not in known:
                raise ValueError(f"{value!r} is not one of {', '.join(known)}.")
        object.__setattr__(self, "y", _closed(self.y))
        object.__setattr__(self, "z", _closed(self.z))
        if self.y.shape != self.z.shape:
            raise ValueError(f"y has {self.y.size} places and z has {self.z.size}: a stroke needs as many of each.")


@dataclass(frozen=True)
class Step:
    """
    One step: what to do, and what it adds to the drawing.

    Parameters
    ----------
    words : str
        What to do.
    strokes : tuple of Stroke
        What is drawn by it.

    Examples
    --------
    >>> Step("Strike a base line.", (Stroke("line", (0, 1200), (0, 0), "base"),)).words
    'Strike a base line.'
    """

    words: str
    strokes: tuple[Stroke, ...]


@dataclass(frozen=True, eq=False)
class Layout:
    """
    A camber curve laid out by hand, step by step.

    Parameters
    ----------
    name : str
        Of the method.
    half_breadth, camber : float
        Centreline to the end of the beam, and the rise between. [mm]
    steps : tuple of Step
        In order; each adds to the ones before.
    points_y, points_z : ndarray, shape (m,)
        Points of the curve as the drawing finds them. [mm]
    y, rise : ndarray, shape (n,)
        The whole curve that the method leads to, centreline to end. [mm]
    says : str
        What curve it is.
    whole : bool
        Whether both halves of the beam are drawn.

    Examples
    --------
    >>> from deckgeom.lessons.layouts import layout_steps
    >>> layout = layout_steps("equal divisions", 1200, 100)
    >>> len(layout.steps), layout.points_z.tolist()
    (5, [100.0, 93.75, 75.0, 43.75, 0.0])
    """

    name: str
    half_breadth: float
    camber: float
    steps: tuple[Step, ...]
    points_y: np.ndarray
    points_z: np.ndarray
    y: np.ndarray
    rise: np.ndarray
    says: str
    whole: bool = False

    def __post_init__(self) -> None:
        for name in ("points_y", "points_z", "y", "rise"):
            object.__setattr__(self, name, _closed(getattr(self, name)))

    def drawn(self, step: int) -> tuple[tuple[Stroke, ...], tuple[Stroke, ...]]:
        """
        What stands on the board after a step.

        Parameters
        ----------
        step : int
            Counted from 1. [-]

        Returns
        -------
        before, new : tuple of Stroke
            What was there, and what the step adds.

        Examples
        --------
        >>> from deckgeom.lessons.layouts import layout_steps
        >>> before, new = layout_steps("ordinates", 1200, 100).drawn(1)
        >>> len(before), new[0].kind
        (0, 'line')
        """
        if not 1 <= step <= len(self.steps):
            raise ValueError(f"step {step}: '{self.name}' has steps 1 to {len(self.steps)}.")
        before = tuple(stroke for one in self.steps[: step - 1] for stroke in one.strokes)
        return before, self.steps[step - 1].strokes
