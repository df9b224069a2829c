"""
Where the beams stand that readings are taken on.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from deckgeom.fairing.beam_tops import closed

__all__ = ["BeamPlaces"]


@dataclass(frozen=True, eq=False)
class BeamPlaces:
    """
    Place and reach of each beam, as far as readings need them.

    Parameters
    ----------
    names : tuple of str
        The beams, in the order that they are to be listed.
    x : array_like, shape (n,)
        Where the readings of each beam are taken, along the boat. [mm]
    half_breadth_port, half_breadth_starboard : array_like, shape (n,)
        Centreline to the deck edge, unsigned; to a half beam's side too. [mm]
    edge_height_port, edge_height_starboard : array_like, shape (n,), optional
        True height of the beam top at the deck edge, from the fair sheer; NaN where not known. [mm]
    start, end : array_like, shape (n,), optional
        Port and starboard limit of half beams, starboard positive; infinite to the edge. [mm]
    crown_aft : array_like, shape (n,), optional
        How far the crown of a raked beam stands aft of its deck edges. [mm]

    Examples
    --------
    >>> places = BeamPlaces(("1", "2"), [0, 400], [900, 950], [900, 940])
    >>> places.half_breadth([1, 1], [-300.0, 300.0]).tolist()
    [950.0, 940.0]
    """

    names: tuple[str, ...]
    x: np.ndarray
    half_breadth_port: np.ndarray
    half_breadth_starboard: np.ndarray
    edge_height_port: np.ndarray | None = None
    edge_height_starboard: np.ndarray | None = None
    start: np.ndarray | None = None
    end: np.ndarray | None = None
    crown_aft: np.ndarray | None = None

    def __post_init__(self) -> None:
        object.__setattr__(self, "names", tuple(str(name) for name in self.names))
        blank = {"edge_height_port": np.nan, "edge_height_starboard": np.nan, "start": -np.inf, "end": np.inf}
        blank["crown_aft"] = 0.0
        for name in ("x", "half_breadth_port", "half_breadth_starboard", *blank):
            given = getattr(self, name)
            value = closed(np.full(len(self.names), blank[name]) if given is None else given).reshape(-1)
            if value.size != len(self.names):
                raise ValueError(f"{name} holds {value.size} values for {len(self.names)} beams; each beam needs one")
            object.__setattr__(self, name, value)

    @classmethod
    def of(cls, beams) -> BeamPlaces:
        """
        Take the places from beams that were laid out.

        Parameters
        ----------
        beams : BeamSet
            With their deck edges, limits and rakes.

        Returns
        -------
        BeamPlaces
            Readings are taken at each beam's mark.

        Examples
        --------
        >>> from deckgeom.deck.beams import BeamMark, lay_out_beams
        >>> from deckgeom.deck.crown import SameProportion
        >>> from deckgeom.deck.surface import Deck
        >>> from deckgeom.hull.sheer import Sheer
        >>> level = lambda height: lambda x, order=0: (height if order == 0 else 0.0) + 0.0 * x
        >>> deck = Deck(Sheer.from_curves(level(1500), level(800), start=0, end=6000), SameProportion("circle", "1:30"))
        >>> BeamPlaces.of(lay_out_beams(deck, [BeamMark("4", 2000)])).half_breadth_port.tolist()
        [1500.0]
        """
        limits = np.array([mark.limits() for mark in beams.marks], float).reshape(-1, 2)
        return cls(
            beams.names,
            beams.x,
            *beams.half_breadth.T,
            *beams.edge_height.T,
            *limits.T,
            beams.camber * beams.frames.sine,
        )

    def along(self, beam, y) -> np.ndarray:
        """
        Return where a place on a beam top stands along the boat.

        Parameters
        ----------
        beam : array_like of int, shape (m,)
            Which beam.
        y : array_like, shape (m,)
            Off the centreline, starboard positive. [mm]

        Returns
        -------
        ndarray, shape (m,)
            x of the beam; for a raked one further aft towards the crown, as a parabola. [mm]

        Examples
        --------
        >>> BeamPlaces(("transom",), [7000], [600], [600], crown_aft=[16]).along([0, 0], [0.0, 600.0]).tolist()
        [7016.0, 7000.0]
        """
        u = np.asarray(y, float) / np.maximum(self.half_breadth(beam, y), 1e-9)
        return self.x[beam] + self.crown_aft[beam] * np.maximum(1.0 - u**2, 0.0)

    def half_breadth(self, beam, y) -> np.ndarray:
        """
        Return the half-breadth of the side that a place lies on.

        Parameters
        ----------
        beam : array_like of int, shape (m,)
            Which beam.
        y : array_like, shape (m,)
            Off the centreline, starboard positive. [mm]

        Returns
        -------
        ndarray, shape (m,)
            The mean of both sides on the centreline. [mm]

        Examples
        --------
        >>> BeamPlaces(("1",), [0], [900], [880]).half_breadth([0], [0.0]).tolist()
        [890.0]
        """
        port, starboard = self.half_breadth_port[beam], self.half_breadth_starboard[beam]
        return np.where(np.less(y, 0), port, np.where(np.greater(y, 0), starboard, (port + starboard) / 2))

    def edge_height(self, beam, y) -> np.ndarray:
        """
        Return the true height of the deck edge on the side that a place lies on.

        Parameters
        ----------
        beam : array_like of int, shape (m,)
            Which beam.
        y : array_like, shape (m,)
            Off the centreline, starboard positive. [mm]

        Returns
        -------
        ndarray, shape (m,)
            NaN where it is not known. [mm]

        Examples
        --------
        >>> BeamPlaces(("1",), [0], [900], [880], [700], [702]).edge_height([0], [880.0]).tolist()
        [702.0]
        """
        return np.where(np.less(y, 0), self.edge_height_port[beam], self.edge_height_starboard[beam])
