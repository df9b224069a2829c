"""
Paint below, before the deck closes, and above: true areas with openings off, coats, and litres as a band.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from deckgeom.laying.dry_fit import Bearer
from deckgeom.laying.dry_fit_clip import merged, parts_in_convex
from deckgeom.laying.glue import Layer, amount
from deckgeom.laying.paint_area import area_words, girths
from deckgeom.laying.quantities import Band, deck_area

__all__ = ["Coating", "PaintArea", "PaintJob", "covered_area", "paint", "paint_area"]

#: Between two places where an outline starts, ends or turns there are at least so many cuts, at most so far apart. [mm]
CUTS, APART = 24, 20.0


def covered_area(deck, outlines: Sequence) -> float:
    """
    Area of a deck's surface within any of several convex outlines, nothing counted twice.

    Parameters
    ----------
    deck : Deck
    outlines : sequence of (n, 2) array
        In plan, x aft and y to starboard; what lies beyond the deck is not counted. [mm]

    Returns
    -------
    float
        [m2]

    Examples
    --------
    >>> from deckgeom.deck.crown import SameProportion
    >>> from deckgeom.deck.even_hull import even_hull
    >>> from deckgeom.deck.surface import Deck
    >>> deck = Deck(even_hull(), SameProportion("circle", 0))
    >>> hatch, beam = [(0, 0), (600, 0), (600, 500), (0, 500)], [(500, 0), (700, 0), (700, 500), (500, 500)]
    >>> round(covered_area(deck, [hatch, beam]), 9)
    0.35
    """
    outlines = [np.asarray(outline, float) for outline in outlines]
    start, end = deck.sheer.start, deck.sheer.end
    stops = np.unique(np.clip(np.concatenate([*(o[:, 0] for o in outlines), [start, end]]), start, end))
    edges = [np.linspace(a, b, max(CUTS, int(np.ceil((b - a) / APART))) + 1)
             for a, b in zip(stops[:-1], stops[1:], strict=True)]  # fmt: skip
    step = np.concatenate([np.diff(edge) for edge in edges])
    x = np.concatenate([(edge[1:] + edge[:-1]) / 2 for edge in edges])
    reached = [any(o[:, 0].min() < each < o[:, 0].max() for o in outlines) for each in x]
    x, step = x[reached], step[reached]
    if not len(x):
        return 0.0
    cut = girths(deck, x)
    total = 0.0
    for each, width, y, w in zip(x, step, cut.y, cut.breadth, strict=True):
        low, high = y[0], y[-1]
        near = [o for o in outlines if o[:, 0].min() < each < o[:, 0].max()] if high > low else []
        parts = [parts_in_convex((each, low), (each, high), o) for o in near]
        for a, b in merged([part for part in parts if part]):
            total += width * float(np.diff(np.interp([low + a * (high - low), low + b * (high - low)], y, w))[0])
    return float(total) / 1e6


@dataclass(frozen=True)
class PaintArea:
    """
    What there is to paint.

    Parameters
    ----------
    above : float
        Top of the deck, openings off. [m2]
    below : float
        Underside between beams, carlins and pads, openings off. [m2]
    landings : float
        On beams, carlins and pads: kept clean for the glue. [m2]

    Examples
    --------
    >>> PaintArea(11.4, 10.2, 1.2).words()
    'Above: 11.4 m2. Below, between the landings: 10.2 m2; 1.2 m2 of landings stay clean for the glue.'
    """

    above: float
    below: float
    landings: float

    def words(self, units: str = "mm") -> str:
        """In sentences."""
        above, below, landings = (area_words(each, units) for each in (self.above, self.below, self.landings))
        return f"Above: {above}. Below, between the landings: {below}; {landings} of landings stay clean for the glue."


def paint_area(deck, openings=(), bearers: Sequence[Bearer] = ()) -> PaintArea:
    """
    Areas to paint.

    Parameters
    ----------
    deck : Deck
    openings : sequence
        With ``x0``, ``x1``, ``y0``, ``y1`` each [mm].
    bearers : sequence of Bearer
        Beams, carlins and pads that the deck lies on.

    Returns
    -------
    PaintArea
        Over camber and sheer. The underside is taken as large as the top, which for a deck 20 mm thick on a crown of
        10 m radius is 2 parts in 1000 too much.

    Examples
    --------
    >>> from deckgeom.deck.crown import SameProportion
    >>> from deckgeom.deck.even_hull import even_hull
    >>> from deckgeom.deck.surface import Deck
    >>> deck = Deck(even_hull(6000, 1500), SameProportion("circle", 0))
    >>> area = paint_area(deck, bearers=[Bearer.across("beam", -50, 50)])
    >>> round(area.above, 3), round(area.landings, 3)
    (12.0, 0.3)
    """
    holes = [[(o.x0, o.y0), (o.x1, o.y0), (o.x1, o.y1), (o.x0, o.y1)] for o in openings]
    whole = deck_area(deck).true
    out = covered_area(deck, holes) if holes else 0.0
    both = covered_area(deck, [*holes, *(bearer.outline for bearer in bearers)]) if bearers else out
    return PaintArea(whole - out, whole - both, both - out)


@dataclass(frozen=True)
class Coating:
    """
    One kind of coat.

    Parameters
    ----------
    name : str
    coats : int
    what : str
        A row of the figures for coverage.
    own : float or None
        What a litre covers by your own tin: takes the place of the row. [m2/L]

    Examples
    --------
    >>> Coating("primer", 2).what
    'paint or varnish, one coat'
    """

    name: str
    coats: int = 1
    what: str = "paint or varnish, one coat"
    own: float | None = None


@dataclass(frozen=True)
class PaintJob:
    """
    Coats on one side. Made by `paint`.

    Parameters
    ----------
    side : {"above", "below"}
    area : float
        [m2]
    coatings : tuple of Coating
        In order.
    litres : tuple of Band
        For each. [L]

    Examples
    --------
    >>> job = paint(PaintArea(15.7, 14.0, 1.7), above=[Coating("top coat", 2, own=7.85)])[0]
    >>> job.litres[0].likely
    4.0
    """

    side: str
    area: float
    coatings: tuple[Coating, ...]
    litres: tuple[Band, ...]

    def words(self, units: str = "mm") -> tuple[str, ...]:
        """In sentences, with what to beware of."""
        lines = [
            f"{coat.name}, {coat.coats} coat{'s' * (coat.coats != 1)}: {band.words()}"
            for coat, band in zip(self.coatings, self.litres, strict=True)
        ]
        first = f"Paint {self.side}: {area_words(self.area, units)}, openings off."
        if self.side == "below":
            last = "Before the deck closes, with every landing masked; nobody reaches it as well again."
        else:
            last = "What is walked on must not be slippery (ISO 15085): add grit or leave it for a covering."
        return first, *lines, last, "Fresh air while it dries; a mask when sanding. The tin and local rules come first."


def paint(
    area: PaintArea, below: Sequence[Coating] = (), above: Sequence[Coating] = (), own: Sequence = ()
) -> tuple[PaintJob, ...]:
    """
    Litres for the coats below and above.

    Parameters
    ----------
    area : PaintArea
    below, above : sequence of Coating
        In the order in which they go on; a side without any is left out.
    own : sequence of mapping
        The user's own rows of figures.

    Returns
    -------
    tuple of PaintJob
        Below first, as it is done first.

    Examples
    --------
    >>> [job.side for job in paint(PaintArea(12, 11, 1), [Coating("primer")], [Coating("primer")])]
    ['below', 'above']
    """
    jobs = []
    for side, size, coatings in (("below", area.below, below), ("above", area.above, above)):
        if coatings:
            layers = [Layer(coat.name, size, coat.what, coat.coats, own=coat.own) for coat in coatings]
            jobs.append(PaintJob(side, size, tuple(coatings), tuple(amount(layer, own) for layer in layers)))
    return tuple(jobs)
