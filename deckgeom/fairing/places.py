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

    def __post_init__(self) -> None:
        object.__setattr__(self, "names", tuple(str(name) for name in self.names))
        blank = {"edge_height_port": np.nan, "edge_height_starboard": np.nan, "start": -np.inf, "end": np.inf}
        for name in ("x", "half_breadth_port", "half_breadth_starboard", *blank):
            given = getattr(self, name)
            value = closed(np.full(len(self.names), blank[name]) if given is None else given).reshape(-1)
            if value.size != len(self.names):
                raise ValueError(f"{name} holds {value.size} values for {len(self.names)} beams; each beam needs one")
            object.__setattr__(self, name, value)

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
