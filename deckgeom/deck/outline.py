"""
The outline of a beam in its own plane: the mould's top and underside, the end cuts, the deck edges, the jig.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from deckgeom.deck._closed import closed
from deckgeom.deck.beam import FACES, SIDES, Beam

__all__ = ["EndCut", "Outline", "outline"]

#: Points of a drawn line lie no further apart than this; on a radius of a metre that strays by less than 0.005 mm. [mm]
STEP = 6.0
#: End cuts of both faces nearer together than this are one. [mm]
SAME = 0.05


class EndCut(NamedTuple):
    """
    The cut of one end at one face.

    Attributes
    ----------
    side, face : str
        "port" or "starboard"; "forward", "after", or "both" where they agree.
    y, up : tuple of float
        Top and bottom corner. [mm]

    Examples
    --------
    >>> EndCut("port", "both", (-1200.0, -1190.0), (-40.0, -100.0)).face
    'both'
    """

    side: str
    face: str
    y: tuple[float, float]
    up: tuple[float, float]


@dataclass(frozen=True, eq=False)
class Outline:
    """
    Lines of a beam's mould, y off the centreline with starboard positive, up above the crown of the mould.

    Parameters
    ----------
    y, top : (n,) array
        The curve that the mould is cut to, the higher face at each point. [mm]
    under_y, under : (n,) array
        Its underside, parallel at the moulding. [mm]
    jig_top : (n,) array or None
        The same top in the jig, where the beam is laminated: every drop larger by the allowance, once. [mm]
    jig_under_y, jig_under : (n,) array or None
        The underside in the jig: what the form is cut to. [mm]
    cuts : tuple of EndCut
    edges : dict of str to (float, float)
        Deck edge at the beam's mark, by side: y and up. [mm]
    level : float
        Up of a level line, through the lower deck edge. [mm]
    level_height : float
        Height of that line above the base line. [mm]

    Examples
    --------
    Made by `outline`; by hand, a flat beam of 2 m:

    >>> y, flat = np.array([-1000.0, 1000.0]), np.zeros(2)
    >>> Outline(y, flat, y, flat - 60, None, None, None, (), {}, 0.0, 800.0).under.tolist()
    [-60.0, -60.0]
    """

    y: np.ndarray
    top: np.ndarray
    under_y: np.ndarray
    under: np.ndarray
    jig_top: np.ndarray | None
    jig_under_y: np.ndarray | None
    jig_under: np.ndarray | None
    cuts: tuple[EndCut, ...]
    edges: dict[str, tuple[float, float]]
    level: float
    level_height: float

    def __post_init__(self) -> None:
        for name in ("y", "top", "under_y", "under", "jig_top", "jig_under_y", "jig_under"):
            if getattr(self, name) is not None:
                object.__setattr__(self, name, closed(getattr(self, name)))


def outline(beam: Beam, step: float = STEP) -> Outline:
    """
    Take the outline of a beam's mould.

    Parameters
    ----------
    beam : Beam
    step : float
        Greatest distance between points of a line. [mm]

    Returns
    -------
    Outline

    Examples
    --------
    >>> from deckgeom.deck.beam_marks import BeamMark
    >>> from deckgeom.deck.beams import lay_out_beams
    >>> from deckgeom.deck.crown import OneMould
    >>> from deckgeom.deck.surface import Deck
    >>> from deckgeom.hull.sheer import Sheer
    >>> level = lambda height: lambda x, order=0: (height if order == 0 else 0.0) + 0.0 * x
    >>> deck = Deck(Sheer.from_curves(level(1200), level(800), start=0, end=6000), OneMould("circle", "1:24"))
    >>> lines = outline(lay_out_beams(deck, [BeamMark("4", 2000, moulding=60)])["4"])
    >>> round(float(lines.top.min())), round(float(lines.under.max())), round(lines.level_height)
    (-100, -60, 800)
    """
    i, beams = beam.index, beam.beams
    low, high = float(beams.ends.y[i, :, 0].min()), float(beams.ends.y[i, :, 1].max())
    y = np.linspace(low, high, max(int(np.ceil((high - low) / step)) + 1, 9))
    if low < 0 < high:
        y = np.unique(np.append(y, 0.0))
    cuts = [beam._cut(y, face) for face in FACES]
    crown = max(float(beam._cut(0.0, face).up[0]) for face in FACES)
    up, slope = np.stack([cut.up for cut in cuts]), np.stack([cut.slope for cut in cuts])
    higher = np.argmax(up, axis=0)
    every = np.arange(len(y))
    top, slope = up[higher, every] - crown, slope[higher, every]
    jig, ends = _jig(beam, y, top, slope), _end_cuts(beam, crown)
    under = _between(*_below(y, top, slope, beam.mark.moulding), ends)
    edges = {side: (float(s * b), float(beams.shape.mark_up[i, k] - crown)) for side, s, b, k in zip(
        SIDES, (-1, 1), beams.half_breadth[i], (0, 2), strict=True)}  # fmt: skip
    lower = min(edges.values(), key=lambda edge: edge[1])
    heights = beams.shape.mark_z[i, [0, 2]]
    return Outline(
        y, top, *under, *jig, ends, edges, lower[1],
        float(heights[list(edges.values()).index(lower)]),
    )  # fmt: skip


def _below(y, top, slope, moulding: float) -> tuple[np.ndarray, np.ndarray]:
    """The line parallel below, square to the top."""
    root = np.sqrt(1 + slope**2)
    return y + moulding * slope / root, top - moulding / root


def _between(y, up, ends: tuple[EndCut, ...]) -> tuple[np.ndarray, np.ndarray]:
    """The underside from corner to corner; where the faces differ, to the farther one."""
    first = min((cut for cut in ends if cut.side == "port"), key=lambda cut: cut.y[1])
    last = max((cut for cut in ends if cut.side == "starboard"), key=lambda cut: cut.y[1])
    inside = (y > first.y[1]) & (y < last.y[1])
    return np.r_[first.y[1], y[inside], last.y[1]], np.r_[first.up[1], up[inside], last.up[1]]


def _jig(beam: Beam, y, top, slope) -> tuple:
    """Top and underside in the jig; three times None for a sawn beam."""
    if beam.jig_camber is None or not beam.camber:
        return None, None, None
    more = beam.jig_camber / beam.camber
    return (more * top, *_below(y, more * top, more * slope, beam.mark.moulding))


def _end_cuts(beam: Beam, crown: float) -> tuple[EndCut, ...]:
    beams, i, found = beam.beams, beam.index, []
    for side in range(2):
        both = [
            EndCut(
                SIDES[side], FACES[face],
                (float(beams.ends.y[i, face, side]), float(beams.shape.bottom_y[i, face, side])),
                (float(beams.ends.up[i, face, side]) - crown, float(beams.shape.bottom_up[i, face, side]) - crown),
            )
            for face in range(2)
        ]  # fmt: skip
        apart = np.abs(np.array(both[0][2:]) - np.array(both[1][2:])).max()
        found += [both[0]._replace(face="both")] if apart < SAME else both
    return tuple(found)
