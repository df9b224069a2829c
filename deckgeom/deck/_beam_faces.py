"""
Beam faces: planes that cut the tops of the beams, plumb or raked, many beams at once.

A beam stands square to the centreline. Its plane leans aft by the rake; *up* is measured in that plane from the
height of the deck-edge line at its mark, *off* square to it (aft positive, 0 at the mark). The siding lies between
the faces, square to the plane, so two points of one `up` and one y lie square across the timber from each other.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from deckgeom.deck.crown import Crown

#: Steps of Newton's method below this leave an error that is its square over the deck's radius: nothing. [mm]
NEAR = 1e-3


@dataclass(frozen=True, eq=False)
class Frames:
    """
    Planes and sizes of n beams, as arrays.

    Parameters
    ----------
    x, z : (n,) float
        The mark on the centreline, at the height of the line joining the deck edges. [mm]
    siding, moulding : (n,) float
        [mm]
    sine, cosine : (n,) float
        Of the rake.
    off : (n, 2) float
        Forward and after face, square to the plane from the mark. [mm]
    low, high : (n,) float
        Limits of half beams, infinite where there are none. [mm]
    own : (n,) float
        A beam's own camber; negative where the crown rule decides. [mm]
    """

    x: np.ndarray
    z: np.ndarray
    siding: np.ndarray
    moulding: np.ndarray
    sine: np.ndarray
    cosine: np.ndarray
    off: np.ndarray
    low: np.ndarray
    high: np.ndarray
    own: np.ndarray

    def __len__(self) -> int:
        return len(self.x)

    def take(self, keep: np.ndarray) -> Frames:
        """Only some of the beams."""
        return Frames(*(getattr(self, name)[keep] for name in self.__dataclass_fields__))

    @property
    def raked(self) -> np.ndarray:
        """Which beams are not plumb."""
        return self.sine != 0.0

    def place(self, beam, off, up) -> tuple[np.ndarray, np.ndarray]:
        """x and height of a point in a beam's plane. [mm]"""
        s, c = self.sine[beam], self.cosine[beam]
        return self.x[beam] + off * c + up * s, self.z[beam] - off * s + up * c


def make_frames(deck, marks) -> Frames:
    """Planes of the marks of a beam list."""
    n = len(marks)
    x = np.array([m.x for m in marks], float)
    siding = np.array([m.siding for m in marks], float)
    rake = np.radians(np.array([m.rake_deg for m in marks], float))
    forward = np.array([m.off_forward for m in marks], float)
    limits = np.array([m.limits() for m in marks], float).reshape(n, 2)
    own = np.array([-1.0 if m.camber is None else m.camber for m in marks], float)
    given = own >= 0
    if given.any():
        # A rule that already passes through this beam's camber stays in charge.
        same = np.abs(deck.camber(x) - own) < 1e-6
        own[given & same] = -1.0
    z = deck.edge_line(x, 0.0)
    off = np.column_stack([forward, forward + siding])
    moulding = np.array([m.moulding for m in marks], float)
    return Frames(x, z, siding, moulding, np.sin(rake), np.cos(rake), off, limits[:, 0], limits[:, 1], own)


class InPlane(NamedTuple):
    """
    Points of beam tops in the beams' planes.

    Attributes
    ----------
    up, slope : (n,) float
        Height in the plane, and its slope to starboard. [mm], [-]
    x, z : (n,) float
        Where each point stands along the boat and above the base line. [mm]
    """

    up: np.ndarray
    slope: np.ndarray
    x: np.ndarray
    z: np.ndarray


class _OwnCamber:
    """A crown rule that gives each of some beams its own camber, held along its siding."""

    name = "beam by beam"

    def __init__(self, shape, x: np.ndarray, camber: np.ndarray) -> None:
        order = np.argsort(x, kind="stable")
        self.shape, self.camber = shape, camber[order]
        self.between = (x[order][1:] + x[order][:-1]) / 2

    def on(self, sheer) -> Crown:
        """Lay the rule on a hull."""

        def wanted(edges, x):
            camber = self.camber[np.searchsorted(self.between, x)]
            return [camber, *(0.0 * camber for _ in edges.breadth[1:])]

        return Crown(self, sheer, self.shape, wanted)


class Tops:
    """
    The surface of the beams' tops, where some beams may have a camber of their own.

    Parameters
    ----------
    deck : Deck
    frames : Frames
    which : {"beam", "deck"}
        The tops of the beams, or the top of the deck.
    """

    def __init__(self, deck, frames: Frames, which: str = "beam") -> None:
        self.deck, self.frames, self.which = deck, frames, which
        self.has_own = frames.own >= 0
        self.own_deck = None
        if self.has_own.any():
            rule = _OwnCamber(deck.law.shape, frames.x[self.has_own], frames.own[self.has_own])
            self.own_deck = type(deck)(deck.sheer, rule, deck.thickness, deck.heights_to)

    def surface(self, beam, x, y) -> tuple:
        """Height and slopes at points of given beams."""
        values = self.deck.partials(x, y, 1, self.which)
        if self.own_deck is None:
            return values
        mask = self.has_own[beam]
        if not mask.any():
            return values
        values = [np.array(v) for v in values]
        for whole, part in zip(values, self.own_deck.partials(x[mask], y[mask], 1, self.which), strict=True):
            whole[mask] = part
        return tuple(values)

    def cut(self, beam, off, y) -> InPlane:
        """
        Where the beams' planes cut their tops.

        Parameters
        ----------
        beam : (m,) int array
            Which beam each point belongs to.
        off, y : (m,) array
            Square off the mark's plane, and off the centreline. [mm]

        Returns
        -------
        InPlane

        Notes
        -----
        Plumb: the height at x. Raked: Newton's method on up, until the plane's point lies on the surface.
        """
        frames = self.frames
        up = np.zeros_like(y)
        raked = frames.raked[beam]
        if raked.any():
            up[raked] = self._raked_up(beam[raked], off[raked], y[raked])
        x, z = frames.place(beam, off, up)
        height, along, across = self.surface(beam, x, y)
        lean = frames.cosine[beam] - along * frames.sine[beam]
        up = up + (height - z) / lean
        x, z = frames.place(beam, off, up)
        return InPlane(up, across / lean, x, z)

    def _raked_up(self, beam, off, y) -> np.ndarray:
        frames, up = self.frames, np.zeros_like(y)
        for _ in range(30):
            x, z = frames.place(beam, off, up)
            height, along, _ = self.surface(beam, x, y)
            step = (height - z) / (frames.cosine[beam] - along * frames.sine[beam])
            up += step
            if np.max(np.abs(step)) < NEAR:
                break
        return up
