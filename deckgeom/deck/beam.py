"""
One beam: every figure that a builder asks of it, and where each comes from.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple

import numpy as np

from deckgeom.deck._beam_faces import Tops
from deckgeom.deck.beam_marks import BeamMark
from deckgeom.deck.ordinates import Ordinates
from deckgeom.deck.spiling import Spile, spile

__all__ = ["FACES", "SIDES", "Beam", "BeamEnd"]

FACES = ("forward", "after")
SIDES = ("port", "starboard")


class BeamEnd(NamedTuple):
    """
    One end of a beam at one face.

    Attributes
    ----------
    side, face : str
        "port" or "starboard"; "forward" or "after".
    top, bottom : float
        From the centreline to the top and to the bottom corner; below 0 on the other side of it, as a half beam's inner
        end may be. [mm]
    end_angle_deg : float
        Off square in plan; above 0 the after face is the longer. [deg]
    cut_deg : float
        In the wood, on this face, between the top and the end cut. [deg]

    Examples
    --------
    >>> BeamEnd("port", "forward", 1200.0, 1190.0, 3.5, 95.0).top
    1200.0
    """

    side: str
    face: str
    top: float
    bottom: float
    end_angle_deg: float
    cut_deg: float


@dataclass(frozen=True, eq=False)
class Beam:
    """
    One beam of a `BeamSet`.

    Parameters
    ----------
    beams : BeamSet
        The set that it belongs to.
    index : int
        Its place there.

    Examples
    --------
    >>> from deckgeom.deck.beams import lay_out_beams
    >>> from deckgeom.deck.crown import SameProportion
    >>> from deckgeom.deck.surface import Deck
    >>> from deckgeom.hull.sheer import Sheer
    >>> level = lambda height: lambda x, order=0: (height if order == 0 else 0.0) + 0.0 * x
    >>> deck = Deck(Sheer.from_curves(level(1500), level(800), start=0, end=6000), SameProportion("circle", "1:30"))
    >>> beam = lay_out_beams(deck, [BeamMark("4", 2000)])["4"]
    >>> beam.mould_face, round(beam.edge_slope_deg, 2), beam.end("port").top
    ('either face', 7.63, 1500.0)
    """

    beams: object
    index: int

    def __repr__(self) -> str:
        return f"Beam({self.name} at x {self.x:.1f} mm, camber {self.camber:.1f} mm)"

    def _of(self, array) -> float:
        return float(array[self.index])

    @property
    def mark(self) -> BeamMark:
        """Its line of the beam list."""
        return self.beams.marks[self.index]

    @property
    def name(self) -> str:
        """What it is called."""
        return self.mark.name

    @property
    def x(self) -> float:
        """Along the boat to its mark. [mm]"""
        return self.mark.x

    @property
    def faces_x(self) -> tuple[float, float]:
        """Along the boat to the forward and the after face, at the height of the deck edges. [mm]"""
        frames, i = self.beams.frames, self.index
        return tuple((frames.x[i] + frames.off[i] / frames.cosine[i]).tolist())

    @property
    def half_breadth_port(self) -> float:
        """Centreline to the deck edge at the mark, port. [mm]"""
        return self._of(self.beams.half_breadth[:, 0])

    @property
    def half_breadth_starboard(self) -> float:
        """Centreline to the deck edge at the mark, starboard. [mm]"""
        return self._of(self.beams.half_breadth[:, 1])

    @property
    def camber(self) -> float:
        """Rise at the centreline above the line joining the deck edges. [mm]"""
        return self._of(self.beams.camber)

    @property
    def jig_camber(self) -> float | None:
        """Camber of the jig over the same breadth, if laminated: spring-back allowed for, once. [mm]"""
        jig = self.beams.jig_camber
        return None if jig is None else self._of(jig)

    @property
    def crown_height(self) -> float:
        """Height of the beam top on the centreline at the mark. [mm]"""
        return self._of(self.beams.crown_height)

    @property
    def edge_height_port(self) -> float:
        """Height of the beam top at the port deck edge at the mark. [mm]"""
        return self._of(self.beams.edge_height[:, 0])

    @property
    def edge_height_starboard(self) -> float:
        """Height of the beam top at the starboard deck edge at the mark. [mm]"""
        return self._of(self.beams.edge_height[:, 1])

    @property
    def edge_slope_deg(self) -> float:
        """How steeply the top falls outwards at the deck edge, the steeper side. [deg]"""
        return self._of(self.beams.edge_slope_deg)

    @property
    def stock_depth(self) -> float:
        """Depth of straight plank needed, square to the line joining the ends. [mm]"""
        return self._of(self.beams.stock_depth)

    @property
    def grain_slope(self) -> float:
        """Steepest slope of grain if sawn from straight stock, rise per run. [-]"""
        return self._of(self.beams.grain_slope)

    @property
    def strength_left(self) -> float | None:
        """Bending strength left by that slope; None where it is steeper than the table goes. [%]"""
        left = self._of(self.beams.strength_left)
        return None if np.isnan(left) else left

    @cached_property
    def ordinates(self) -> Ordinates:
        """Its ordinates, port to starboard."""
        return self.beams.ordinates.of(self.index)

    @property
    def mould_face(self) -> str:
        """Which face the mould is for, the higher one; where that changes, from where to where."""
        from deckgeom.deck._beam_words import mould_face

        return mould_face(self)

    @cached_property
    def mould_changes(self) -> tuple[float, ...]:
        """Where the higher face changes, signed with starboard positive. [mm]"""
        table = self.ordinates
        real = table.on_both & (table.high_edge != "square")
        y, rise = table.y[real], table.rise[real]
        at = np.flatnonzero(rise[:-1] * rise[1:] < 0)
        return tuple((y[at] - rise[at] * (y[at + 1] - y[at]) / (rise[at + 1] - rise[at])).tolist())

    def end(self, side: str, face: str = "forward") -> BeamEnd:
        """
        One end of the beam.

        Parameters
        ----------
        side : {"port", "starboard"}
        face : {"forward", "after"}

        Returns
        -------
        BeamEnd
        """
        if side not in SIDES or face not in FACES:
            raise KeyError(f"end {side!r}, {face!r}: a side is one of {SIDES}, a face one of {FACES}.")
        at = self.index, FACES.index(face), SIDES.index(side)
        sign = -1.0 if side == "port" else 1.0
        b = self.beams
        return BeamEnd(
            side,
            face,
            float(sign * b.ends.y[at]),
            float(sign * b.shape.bottom_y[at]),
            float(b.end_angle_deg[at[0], at[2]]),
            float(b.cut_deg[at]),
        )

    def height_at(self, y, face: str = "forward") -> np.ndarray:
        """
        Height of the top above the base line at any distance off the centreline, exact.

        Parameters
        ----------
        y : (m,) array
            Starboard positive. [mm]
        face : {"forward", "after"}

        Returns
        -------
        (m,) array
            [mm]
        """
        return self._cut(y, face).z

    def drop_at(self, y, face: str = "mould") -> np.ndarray:
        """
        Drop below the crown in the beam's own plane at any distance off the centreline, exact.

        Parameters
        ----------
        y : (m,) array
            Starboard positive. [mm]
        face : {"mould", "forward", "after"}
            The mould's is measured from its own crown.

        Returns
        -------
        (m,) array
            [mm]
        """
        y = np.atleast_1d(np.asarray(y, float))
        up = [self._cut(np.append(y, 0.0), f).up for f in (FACES if face == "mould" else (face,))]
        top = np.max(up, axis=0)
        return top[-1] - top[:-1]

    def below_crown_at(self, y, face: str = "forward") -> np.ndarray:
        """
        How far a face's top lies below the mould's own crown, in the beam's own plane: both faces to one zero.

        Parameters
        ----------
        y : (m,) array
            Starboard positive. [mm]
        face : {"forward", "after"}

        Returns
        -------
        (m,) array
            [mm]
        """
        crown = max(float(self._cut(0.0, other).up[0]) for other in FACES)
        return crown - self._cut(y, face).up

    def _cut(self, y, face: str):
        if face not in FACES:
            raise KeyError(f"face {face!r}: it is one of {FACES}.")
        y = np.atleast_1d(np.asarray(y, float))
        low, high = self.beams.ends.y[self.index, :, 0].min(), self.beams.ends.y[self.index, :, 1].max()
        if np.any((y < min(low, 0.0) - 1e-6) | (y > max(high, 0.0) + 1e-6)):
            far = y[np.argmax(np.abs(y))]
            raise ValueError(
                f"y reaches {far:g} mm but beam {self.name} runs from {low:.0f} to {high:.0f} mm, starboard positive. "
                "Is y a half-breadth, or the whole beam?"
            )
        tops = Tops(self.beams.deck, self.beams.frames)
        off = self.beams.frames.off[self.index, FACES.index(face)]
        return tops.cut(np.full(len(y), self.index), np.full(len(y), off), y)

    def spile(self) -> Spile:
        """The mould as offsets from the straight line joining its ends, port end first."""
        table = self.ordinates
        return spile(table.y, -table.mould_drop)

    def why(self, what: str, units: str | None = None) -> str:
        """
        Where a figure comes from, in words with its numbers.

        Parameters
        ----------
        what : str
            One of: x, half_breadth, camber, crown_height, edge_height, edge_slope, jig_camber, mould_face, bevel, end,
            end_angle, stock_depth, grain_slope, strength_left.
        units : {"mm", "ft-in-8", "in"}, optional
            Units to speak in; the set's unless given.

        Returns
        -------
        str
        """
        from deckgeom.deck._beam_words import why

        return why(self, what, units or self.beams.units)
