"""
Which size goes into which row, and how many of each size to buy.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field

import numpy as np

from deckgeom.laying.fastenings import FasteningPlan
from deckgeom.laying.fastenings_hold import FasteningLength, fastening_length, shortest_that_holds
from deckgeom.units import format_length

__all__ = ["RowSizes", "size_rows"]

SKIN = 5.0
"""Wood kept below the point. [mm]"""
BELOW = {"edge": "the clamp under the deck edge", "strap": "each strap under a butt", "block": "each butt block"}
"""What those rows are driven into of which nothing is known but that somebody cuts it."""


@dataclass(frozen=True, eq=False)
class RowSizes:
    """
    Length for each row. Made by `size_rows`.

    Parameters
    ----------
    lengths : dict of str to FasteningLength
        By row.
    counts : dict of float to int
        By length, without spares. [mm]
    spares : float
        Part bought over the count. [1]
    below : dict of str to float
        How deep clamp, straps and blocks must be so that no point shows. [mm]
    complaints : tuple of str
        One line for each beam, and for each other kind of row, that no length in stock suits.

    Examples
    --------
    >>> RowSizes({}, {40.0: 101}, 0.1).to_buy
    {40.0: 112}
    """

    lengths: dict[str, FasteningLength]
    counts: dict[float, int]
    spares: float
    below: dict[str, float] = field(default_factory=dict)
    complaints: tuple[str, ...] = ()

    @property
    def to_buy(self) -> dict[float, int]:
        """By length, with spares."""
        return {length: math.ceil(n * (1 + self.spares) - 1e-9) for length, n in self.counts.items()}

    def counts_of(self, rows) -> dict[float, int]:
        """
        How many of each length some of the rows take, without spares.

        Parameters
        ----------
        rows : sequence of FasteningRow
        """
        counts: dict[float, int] = {}
        for row in rows:
            size = self.lengths.get(row.name)
            if size is not None and size.length is not None:
                counts[size.length] = counts.get(size.length, 0) + row.count
        return dict(sorted(counts.items()))

    def words(self, units: str = "mm") -> tuple[str, ...]:
        """
        What to buy, how deep what is below must be, and what no length suits.

        Parameters
        ----------
        units : {"mm", "ft-in-8", "in"}

        Returns
        -------
        tuple of str
        """
        bought = (f"{n} of {format_length(length, units)} ({self.counts[length]} and spares)"
                  for length, n in self.to_buy.items())  # fmt: skip
        return (*(f"Buy {line}." for line in bought), *self.below_words(units), *self.complaints)

    def below_words(self, units: str = "mm") -> tuple[str, ...]:
        """
        How deep clamp, straps and blocks must be.

        Parameters
        ----------
        units : {"mm", "ft-in-8", "in"}

        Returns
        -------
        tuple of str
        """
        return tuple(f"So that no point shows, {what} must be {format_length(depth, units)} deep or more."
                     for what, depth in self.below.items())  # fmt: skip


def size_rows(found: FasteningPlan, beams, what: str, diameter: float, stock, *, gravity: float, draw: float = 0.0,
              skin: float = SKIN, sink: float = 0.0, through: float | None = None,
              boards: float | None = None) -> RowSizes:  # fmt: skip
    """
    A length in stock for every row: by moulding and steepest bevel where it goes into a beam.

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
        Specific gravity of the beams, and of whatever else is below. [1]
    draw : float
        Load in a short test that each must stand, your own figure. [N]
    skin, sink : float
        Wood kept below the point; head below the top of the deck. [mm]
    through : float, optional
        Thickness that is gone through, where it is not the whole deck's, such as the first skin. [mm]
    boards : float, optional
        Thickness that a strap's or a block's fastenings go through, where it is less. [mm]

    Returns
    -------
    RowSizes
        Carlins are taken as deep as the shallowest beam.

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
    >>> found = size_rows(rows, lay_out_beams(deck, [BeamMark("4", 0.0)]), "ring nail", 3, (35, 50), gravity=0.5)
    >>> found.counts == {35: rows.count()}, found.below
    (True, {'the clamp under the deck edge': 28.0})
    """
    lengths: dict[str, FasteningLength] = {}
    counts: dict[float, int] = {}
    below: dict[str, float] = {}
    wrong: list[str] = []
    through = beams.deck.thickness if through is None else through
    shallowest = min((beam.mark.moulding for beam in beams), default=0.0)
    known = {"gravity": gravity, "draw": draw, "skin": skin, "sink": sink}
    for row in found.rows:
        beam = beams[row.on or row.name] if (row.on or row.name) in beams.numbers else None
        if row.kind in BELOW:
            thick = through if row.kind == "edge" or boards is None else boards
            size, name = shortest_that_holds(what, diameter, thick, stock, **known), BELOW[row.kind]
        else:
            moulding = shallowest if beam is None else beam.mark.moulding
            bevel = 0.0 if beam is None else float(np.abs(beam.ordinates.bevel_deg).max(initial=0.0))
            size = fastening_length(what, diameter, through, moulding, stock, bevel_deg=bevel, **known)
            name = row.name if beam is None else f"beam {beam.name}"
        lengths[row.name] = size
        if size.length is None:
            wrong.append(f"{name[0].upper()}{name[1:]}: {size.words}")
            continue
        counts[size.length] = counts.get(size.length, 0) + row.count
        if row.kind in BELOW:
            below[name] = float(size.depth + skin)
    return RowSizes(lengths, dict(sorted(counts.items())), found.choices.spares, below, tuple(dict.fromkeys(wrong)))
