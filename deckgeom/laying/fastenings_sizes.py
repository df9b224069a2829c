"""
Which size goes into which beam, and how many of each size to buy.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from deckgeom.laying.fastenings import FasteningPlan
from deckgeom.laying.fastenings_hold import FasteningLength, fastening_length

__all__ = ["BeamSizes", "size_beams"]


@dataclass(frozen=True, eq=False)
class BeamSizes:
    """
    Length for each beam's row. Made by `size_beams`.

    Parameters
    ----------
    lengths : dict of str to FasteningLength
        By beam.
    counts : dict of float to int
        By length, without spares. [mm]
    spares : float
        Part bought over the count. [1]

    Examples
    --------
    >>> BeamSizes({}, {40.0: 101}, 0.1).to_buy
    {40.0: 112}
    """

    lengths: dict[str, FasteningLength]
    counts: dict[float, int]
    spares: float

    @property
    def to_buy(self) -> dict[float, int]:
        """By length, with spares."""
        return {length: math.ceil(n * (1 + self.spares) - 1e-9) for length, n in self.counts.items()}

    @property
    def complaints(self) -> tuple[str, ...]:
        """One line for each beam that no length in stock suits."""
        return tuple(f"Beam {name}: {found.words}" for name, found in self.lengths.items() if found.length is None)

    def words(self, units: str = "mm") -> tuple[str, ...]:
        """
        What to buy, and what no length suits.

        Parameters
        ----------
        units : {"mm", "ft-in-8", "in"}

        Returns
        -------
        tuple of str
        """
        from deckgeom.units import format_length

        bought = (f"{n} of {format_length(length, units)} ({self.counts[length]} and spares)"
                  for length, n in self.to_buy.items())  # fmt: skip
        return (*(f"Buy {line}." for line in bought), *self.complaints)


def size_beams(found: FasteningPlan, beams, what: str, diameter: float, stock, *, gravity: float, draw: float = 0.0,
               skin: float = 5.0, sink: float = 0.0, through: float | None = None) -> BeamSizes:  # fmt: skip
    """
    A length in stock for every beam's row, by its own moulding and its steepest bevel.

    Parameters
    ----------
    found : FasteningPlan
        With rows named as the beams are.
    beams : BeamSet
        Its deck gives the thickness that is gone through.
    what : {"wood screw", "ring nail", "smooth nail"}
    diameter : float
        Of the shank. [mm]
    stock : sequence of float
        Lengths to be had. [mm]
    gravity : float
        Specific gravity of the beams. [1]
    draw : float
        Load in a short test that each must stand, your own figure. [N]
    skin, sink : float
        Wood kept below the point; head below the top of the deck. [mm]
    through : float, optional
        Thickness that is gone through, where it is not the whole deck's, such as the first skin. [mm]

    Returns
    -------
    BeamSizes

    Examples
    --------
    >>> from deckgeom.deck.beams import BeamMark, lay_out_beams
    >>> from deckgeom.deck.crown import OneMould
    >>> from deckgeom.deck.even_hull import even_hull
    >>> from deckgeom.deck.surface import Deck
    >>> from deckgeom.laying.fastenings import plan_fastenings
    >>> from deckgeom.laying.sheets_outline import deck_plan
    >>> deck = Deck(even_hull(length=6000, half_breadth=1000), OneMould("circle", 60), thickness=12)
    >>> rows = plan_fastenings(deck, deck_plan(deck), [("4", 0.0)])
    >>> size_beams(rows, lay_out_beams(deck, [BeamMark("4", 0.0)]), "ring nail", 3, (35, 50), gravity=0.5).counts
    {35: 15}
    """
    lengths: dict[str, FasteningLength] = {}
    counts: dict[float, int] = {}
    through = beams.deck.thickness if through is None else through
    for row in found.rows:
        if row.kind != "beam" or row.name not in beams.numbers:
            continue
        beam = beams[row.name]
        bevel = float(np.abs(beam.ordinates.bevel_deg).max(initial=0.0))
        lengths[row.name] = length = fastening_length(
            what, diameter, through, beam.mark.moulding, stock,
            gravity=gravity, bevel_deg=bevel, draw=draw, skin=skin, sink=sink,
        )  # fmt: skip
        if length.length is not None:
            counts[length.length] = counts.get(length.length, 0) + row.count
    return BeamSizes(lengths, dict(sorted(counts.items())), found.choices.spares)
