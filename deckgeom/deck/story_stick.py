"""
The story stick: where the beams stand, along the centreline and bent along the deck edges, and sums that must come out.

A *story stick* is a straight batten that carries the marks of all beams to the boat. The spaces add up to the whole;
the diagonals between neighbouring beams are equal port and starboard where both sides of the hull are equal and the
beams stand square.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from deckgeom.deck._closed import closed
from deckgeom.deck._panels import Panels

__all__ = ["Diagonal", "StoryStick", "story_stick"]


class Diagonal(NamedTuple):
    """
    A tape stretched across between two neighbouring whole beams, deck edge to deck edge on the beam tops.

    Attributes
    ----------
    forward, after : str
        The beams.
    port_to_starboard, starboard_to_port : float
        Port end of the forward beam to starboard end of the after one, and the other way. [mm]

    Examples
    --------
    >>> Diagonal("1", "2", 2500.0, 2500.0).port_to_starboard
    2500.0
    """

    forward: str
    after: str
    port_to_starboard: float
    starboard_to_port: float


@dataclass(frozen=True, eq=False)
class StoryStick:
    """
    Marks of all beams from forward to aft.

    Parameters
    ----------
    names : tuple of str
        Beams in order along the boat.
    marks : tuple of str
        What each mark is of.
    x : (n,) float
        Along the boat from its zero. [mm]
    start, end : float
        Ends of the deck edge. [mm]
    along_port, along_starboard : (n,) float
        Along the deck edge from its forward end, as a tape bent on it reads. [mm]
    whole_port, whole_starboard : float
        The whole deck edge. [mm]
    diagonals : tuple of Diagonal
        Between neighbouring whole beams.

    Examples
    --------
    >>> stick = StoryStick(("1", "2"), ("middle",) * 2, [300, 900], 0, 1000, [310, 920], [310, 920], 1030, 1030, ())
    >>> stick.spaces().tolist(), stick.whole
    ([300.0, 600.0, 100.0], 1000)
    """

    names: tuple[str, ...]
    marks: tuple[str, ...]
    x: np.ndarray
    start: float
    end: float
    along_port: np.ndarray
    along_starboard: np.ndarray
    whole_port: float
    whole_starboard: float
    diagonals: tuple[Diagonal, ...]

    def __post_init__(self) -> None:
        """Copy and close the arrays."""
        for name in ("x", "along_port", "along_starboard"):
            object.__setattr__(self, name, closed(getattr(self, name)))

    @property
    def whole(self) -> float:
        """Length of the deck edge along the centreline. [mm]"""
        return self.end - self.start

    def spaces(self, line: str = "centreline") -> np.ndarray:
        """
        Spaces from the forward end to the first mark, from mark to mark, and from the last mark to the after end.

        Parameters
        ----------
        line : {"centreline", "port", "starboard"}

        Returns
        -------
        (n + 1,) array
            Their sum is the whole. [mm]
        """
        if line == "centreline":
            return np.diff(self.x, prepend=self.start, append=self.end)
        if line not in ("port", "starboard"):
            raise KeyError(f"line {line!r}: it is 'centreline', 'port' or 'starboard'.")
        along = self.along_port if line == "port" else self.along_starboard
        return np.diff(along, prepend=0.0, append=self.whole_port if line == "port" else self.whole_starboard)


def story_stick(beams) -> StoryStick:
    """
    Take the marks of a set of beams.

    Parameters
    ----------
    beams : BeamSet

    Returns
    -------
    StoryStick

    Examples
    --------
    >>> from deckgeom.deck.beams import BeamMark, lay_out_beams
    >>> from deckgeom.deck.crown import SameProportion
    >>> from deckgeom.deck.surface import Deck
    >>> from deckgeom.hull.sheer import Sheer
    >>> level = lambda height: lambda x, order=0: (height if order == 0 else 0.0) + 0.0 * x
    >>> deck = Deck(Sheer.from_curves(level(1500), level(800), start=0, end=6000), SameProportion("circle", "1:30"))
    >>> stick = story_stick(lay_out_beams(deck, [BeamMark("b", 4000), BeamMark("a", 1500)]))
    >>> stick.names, stick.spaces("port").round(6).tolist()
    (('a', 'b'), [1500.0, 2500.0, 2000.0])
    """
    sheer, order = beams.deck.sheer, np.argsort(beams.x, kind="stable")
    x = beams.x[order]
    stops, back = np.unique(np.concatenate([[sheer.start], x, [sheer.end]]), return_inverse=True)
    panels, along = Panels(stops), {}
    for side in ("port", "starboard"):
        b, h = sheer.half_breadth(side, panels.x, 1), sheer.height(side, panels.x, 1)
        along[side] = panels.sums(np.sqrt(1 + b * b + h * h))[1][back]
    return StoryStick(
        names=tuple(beams.names[i] for i in order),
        marks=tuple(beams.marks[i].mark for i in order),
        x=x,
        start=sheer.start,
        end=sheer.end,
        along_port=along["port"][1:-1],
        along_starboard=along["starboard"][1:-1],
        whole_port=float(along["port"][-1]),
        whole_starboard=float(along["starboard"][-1]),
        diagonals=_diagonals(beams, order),
    )


def _diagonals(beams, order) -> tuple[Diagonal, ...]:
    """Straight tapes between the deck edges of neighbouring whole beams, at their marks."""
    whole = [int(i) for i in order if beams.marks[i].whole]
    if len(whole) < 2:
        return ()
    lean = beams.frames.sine[:, None]
    x = beams.x[:, None] + lean * beams.shape.mark_up[:, [0, 2]]
    points = np.stack([x, [-1.0, 1.0] * beams.half_breadth, beams.edge_height], axis=-1)[whole]
    ps = np.linalg.norm(points[:-1, 0] - points[1:, 1], axis=-1)
    sp = np.linalg.norm(points[:-1, 1] - points[1:, 0], axis=-1)
    names = [beams.names[i] for i in whole]
    return tuple(map(Diagonal, names[:-1], names[1:], ps.tolist(), sp.tolist()))
