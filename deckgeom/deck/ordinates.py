"""
Ordinates of many beams in one flat table: the curve at both faces, the mould and the bevels.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from deckgeom.deck._closed import closed

__all__ = ["Ordinates", "gauge_word"]


@dataclass(frozen=True, eq=False)
class Ordinates:
    """
    All ordinates of all beams, sorted by beam and from port to starboard; (m,) arrays.

    Parameters
    ----------
    beam_index : (m,) int
        Which beam.
    y : (m,) float
        Off the centreline, starboard positive. [mm]
    height : (m, 2) float
        Of the top at the forward and the after face, above the base line. [mm]
    drop : (m, 2) float
        Below that face's own centreline height, in the plane of the beam. [mm]
    slope : (m, 2) float
        Slope of the top in the plane of the beam, up to starboard. [-]
    on_face : (m, 2) bool
        Whether the point lies between that face's ends; beyond, the curve runs on for the mould.
    mould_height, mould_drop : (m,) float
        The higher face at each point, and its drop below the mould's own centreline. [mm]
    rise : (m,) float
        After edge above forward edge, across the siding; below 0 the forward edge is high. [mm]
    bevel_deg, rise_over_siding : (m,) float
        The same without sign. [deg], [mm]
    high_edge : (m,) str
        "forward edge high", "after edge high" or "square" (less than a twentieth of a mm).
    on_both : (m,) bool
        Whether both faces reach here, so that there is a bevel.
    along, offset : (m,) float
        The mould spiled: along the straight line from its port end to its starboard end, and square off it. [mm]

    Examples
    --------
    >>> from deckgeom.deck.beam_marks import BeamMark
    >>> from deckgeom.deck.beams import lay_out_beams
    >>> from deckgeom.deck.crown import OneMould
    >>> from deckgeom.deck.surface import Deck
    >>> from deckgeom.hull.sheer import Sheer
    >>> level = lambda height: lambda x, order=0: (height if order == 0 else 0.0) + 0.0 * x
    >>> deck = Deck(Sheer.from_curves(level(1200), level(800), start=0, end=6000), OneMould("circle", "1:24"))
    >>> table = lay_out_beams(deck, [BeamMark("4", 2000)], spacing=600).ordinates
    >>> table.y.tolist(), table.mould_drop.round(1).tolist()
    ([-1200.0, -600.0, 0.0, 600.0, 1200.0], [100.0, 24.9, 0.0, 24.9, 100.0])
    """

    beam_index: np.ndarray
    y: np.ndarray
    height: np.ndarray
    drop: np.ndarray
    slope: np.ndarray
    on_face: np.ndarray
    mould_height: np.ndarray
    mould_drop: np.ndarray
    rise: np.ndarray
    bevel_deg: np.ndarray
    rise_over_siding: np.ndarray
    high_edge: np.ndarray
    on_both: np.ndarray
    along: np.ndarray
    offset: np.ndarray

    def __post_init__(self) -> None:
        """Close the arrays."""
        for name in self.__dataclass_fields__:
            array = getattr(self, name)
            object.__setattr__(self, name, closed(array, array.dtype))

    def of(self, beam: int) -> Ordinates:
        """The ordinates of one beam."""
        low, high = np.searchsorted(self.beam_index, [beam, beam + 1])
        return Ordinates(*(getattr(self, name)[low:high] for name in self.__dataclass_fields__))

    def __len__(self) -> int:
        return len(self.y)


def gauge_word(high_edge: str, face: str) -> str:
    """
    What a bevel gauge reads with its stock on one face of the beam and its tongue on the bevelled top.

    Parameters
    ----------
    high_edge : str
        "forward edge high", "after edge high" or "square".
    face : {"forward", "after"}
        The face that the stock lies on.

    Returns
    -------
    str
        "standing" where the gauge opens outside a square, "under" where it closes inside one, or "square".

    References
    ----------
    W. H. Smyth, *The Sailor's Word-Book*, 1867, s.v. Bevelling.

    Examples
    --------
    >>> gauge_word("forward edge high", "forward"), gauge_word("forward edge high", "after")
    ('under', 'standing')
    """
    if face not in ("forward", "after"):
        raise KeyError(f"face {face!r}: it is 'forward' or 'after'.")
    if high_edge == "square":
        return "square"
    return "under" if high_edge == f"{face} edge high" else "standing"
