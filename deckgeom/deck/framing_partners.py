"""
What goes through the deck at an angle: a raked mast in its partners, a chainplate in its packer.

*Partners* are the framing round the mast's hole in the deck; a *packer* is the block round a chainplate.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial

import numpy as np

from deckgeom.deck.framing_bores import Bore, bore, leaning_words
from deckgeom.deck.framing_holes import Cut, cut_by_deck
from deckgeom.deck.framing_pads import Pad, pad
from deckgeom.deck.framing_places import Place, beams_under, place_of
from deckgeom.units import format_length

__all__ = ["MastPartner", "Packer", "mast_partner", "packer"]

CAUTION = (
    "Whether the framing there is strong enough is for the local rules and a licensed designer or surveyor: this gives "
    "shapes only."
)


@dataclass(frozen=True)
class MastPartner:
    """
    The hole for a mast. Made by `mast_partner`.

    Parameters
    ----------
    what : str
    bore : Bore
    cut : Cut
        On the deck's top; on the underside of the partners, which runs with the deck, it is the same.
    round : bool
        Whether the hole is an oval.
    rake_deg, lean_deg : float
        The mast's, off plumb with its top aft and to starboard. [deg]
    wedge : float
        Room all round that is counted in. [mm]
    beams : tuple of str
        That the hole would cut, on top or below.
    units : str

    Examples
    --------
    See `mast_partner`.

    >>> MastPartner.__name__
    'MastPartner'
    """

    what: str
    bore: Bore
    cut: Cut
    round: bool
    rake_deg: float
    lean_deg: float
    wedge: float = 0.0
    beams: tuple[str, ...] = ()
    units: str = "mm"

    @property
    def hole_long(self) -> float:
        """Along the deck: an oval's longest way, otherwise fore-and-aft. [mm]"""
        return self.cut.long

    @property
    def hole_broad(self) -> float:
        """Along the deck: an oval's shortest way, otherwise athwart. [mm]"""
        return self.cut.broad

    @property
    def long_way_deg(self) -> float:
        """Direction in plan of an oval's longest way, from aft to starboard. [deg]"""
        return self.cut.long_way_deg

    def shape(self, units: str | None = None) -> str:
        """The hole's shape and size on the deck, in a few words."""
        mm = partial(format_length, units=units or self.units)
        if not self.round:
            return f"{mm(self.hole_long)} fore-and-aft by {mm(self.hole_broad)} athwart"
        if mm(self.hole_long) == mm(self.hole_broad):
            return f"a circle of {mm(self.hole_broad)}"
        turn = abs(self.long_way_deg)
        way = f"{turn:.0f} degrees off fore-and-aft" if 0.5 < turn < 89.5 else "athwart" if turn > 1 else "fore-and-aft"
        return f"an oval {mm(self.hole_long)} by {mm(self.hole_broad)}, its long way {way}"

    def words(self, units: str | None = None) -> tuple[str, ...]:
        """How to bore it, in sentences."""
        units = units or self.units
        room = f"wedges of {format_length(self.wedge, units)} all round counted in" if self.wedge else \
            "no room for wedges counted in"  # fmt: skip
        cut = f"It would cut beam {' and '.join(self.beams)}: move the beam or the mast." if self.beams else ""
        return tuple(line for line in (
            f"{self.what}: {leaning_words(self.rake_deg, self.lean_deg)}; its hole on the deck is {self.shape(units)}, "
            f"{room}.",
            self.bore.words(units),
            f"{self.bore.below_words(units)} The hole has the same shape there, where the underside runs with the deck."
            if self.bore.shifted else "",
            cut,
            CAUTION,
        ) if line)  # fmt: skip


def mast_partner(
    beams,
    fitting,
    rake_deg: float,
    depth: float,
    wedge: float = 0.0,
    diameter: float | None = None,
    lean_deg: float = 0.0,
    round_: bool = False,
) -> MastPartner:
    """
    The hole for a mast through deck and partners.

    Parameters
    ----------
    beams : BeamSet
    fitting : Fitting
        Its place is where the mast's middle line meets the deck's top; length and breadth are the mast's, square to it.
        [mm]
    rake_deg : float
        The mast's, off plumb with its top aft. [deg]
    depth : float
        Deck and partners together, square to the deck. [mm]
    wedge : float
        Room for wedges all round. [mm]
    diameter : float, optional
        Of a round mast, instead of length and breadth. [mm]
    lean_deg : float
        Off plumb with its top to starboard. [deg]
    round_ : bool
        Whether a mast given by length and breadth is round or oval; of one size alone both are it.

    Returns
    -------
    MastPartner

    Examples
    --------
    >>> from deckgeom.deck.beams import BeamMark, lay_out_beams
    >>> from deckgeom.deck.crown import SameProportion
    >>> from deckgeom.deck.even_hull import even_hull
    >>> from deckgeom.deck.surface import Deck
    >>> beams = lay_out_beams(Deck(even_hull(), SameProportion("circle", "1:30")), [BeamMark("4", 0)])
    >>> made = mast_partner(beams, Place("mast", 500, 0), rake_deg=5, depth=60, diameter=120, wedge=10)
    >>> round(made.hole_broad, 1), made.beams, 140 < made.hole_long < 141
    (140.0, (), True)
    """
    place = place_of(beams.deck, fitting)
    sizes = (diameter, diameter) if diameter else (place.length, place.breadth)
    if round_ and max(sizes) > 0:
        sizes = tuple(size or max(sizes) for size in sizes)
    if not (min(sizes) > 0 and wedge >= 0):
        raise ValueError(
            f"{place.what}: {sizes[0]:g} by {sizes[1]:g} mm with wedges of {wedge:g} mm: give a mast's size above 0, "
            "as its length and breadth or its diameter."
        )
    hole = bore(beams.deck, place.x, place.y, depth, rake_deg, lean_deg)
    wide, rounded = tuple(size + 2 * wedge for size in sizes), bool(diameter) or round_
    cut = cut_by_deck(*_slopes_at(beams.deck, place), rake_deg, lean_deg, wide, rounded)
    through = beams_under(beams, *hole.reach(cut.reach_x, cut.reach_y))
    return MastPartner(place.what, hole, cut, rounded, rake_deg, lean_deg, float(wedge), through, beams.units)


@dataclass(frozen=True)
class Packer:
    """
    A block round a chainplate under the deck. Made by `packer`.

    Parameters
    ----------
    pad : Pad
        Its top, fair to the tops of the beams.
    bore : Bore
        The slot's middle line.
    cut : Cut
        The slot on the deck's top; below it is the same.
    rake_deg, lean_deg : float
        The bar's, off plumb with its top aft and to starboard. [deg]

    Examples
    --------
    See `packer`.

    >>> Packer.__name__
    'Packer'
    """

    pad: Pad
    bore: Bore
    cut: Cut
    rake_deg: float = 0.0
    lean_deg: float = 0.0

    @property
    def what(self) -> str:
        """The chainplate's name."""
        return self.pad.place.what

    @property
    def slot_long(self) -> float:
        """Of the slot on the deck, fore-and-aft. [mm]"""
        return self.cut.long

    @property
    def slot_broad(self) -> float:
        """Of the slot on the deck, athwart. [mm]"""
        return self.cut.broad

    def shape(self, units: str | None = None) -> str:
        """The slot's size on the deck, in a few words."""
        mm = partial(format_length, units=units or self.pad.units)
        return f"{mm(self.slot_long)} fore-and-aft by {mm(self.slot_broad)} athwart"

    def words(self, units: str | None = None) -> tuple[str, ...]:
        """How to make it, in sentences."""
        units = units or self.pad.units
        return (
            *self.pad.words(units),
            f"The bar stands {leaning_words(self.rake_deg, self.lean_deg)}. Its slot is {self.shape(units)} on the "
            "deck, room for sealing counted in; seal its end grain.",
            self.bore.words(units),
            *((self.bore.below_words(units),) if self.bore.shifted else ()),
            CAUTION,
        )


def _within_edges(deck, place: Place, margin: float) -> Place:
    """The packer in plan: a margin all round the bar, less where the deck edge is nearer."""
    if not (np.isfinite(margin) and margin >= 0):
        raise ValueError(f"{place.what}: a margin of {margin:g} mm round the bar: it is nought or more.")
    x = place.x + (place.length / 2 + margin) * np.array([-1.0, 1.0])
    x = np.clip(x, deck.sheer.start, deck.sheer.end)
    port, starboard = (deck.edge(side, x)[0] for side in ("port", "starboard"))
    bar = place.breadth / 2
    low = min(place.y - bar, max(place.y - bar - margin, float(port.max())))
    high = max(place.y + bar, min(place.y + bar + margin, float(starboard.min())))
    size = place.length + 2 * margin if place.length else 0.0
    return Place(place.what, place.x, (low + high) / 2, size, high - low if place.breadth else 0.0)


def packer(
    beams, fitting, depth: float, margin: float = 40.0, room: float = 2.0, rake_deg: float = 0.0, lean_deg: float = 0.0
) -> Packer:
    """
    A packer round a chainplate.

    Parameters
    ----------
    beams : BeamSet
    fitting : Fitting
        The bar where it passes the deck's top: length fore-and-aft, breadth athwart. [mm]
    depth : float
        Deck and packer together, square to the deck. [mm]
    margin : float
        How far the packer stands out past the bar, less where the deck edge is nearer; common practice, no source.
        [mm]
    room : float
        Round the bar, for sealing; common practice, no source. [mm]
    rake_deg, lean_deg : float
        The bar's, off plumb with its top aft and to starboard. [deg]

    Returns
    -------
    Packer

    Examples
    --------
    >>> from deckgeom.deck.beams import BeamMark, lay_out_beams
    >>> from deckgeom.deck.crown import SameProportion
    >>> from deckgeom.deck.even_hull import even_hull
    >>> from deckgeom.deck.surface import Deck
    >>> beams = lay_out_beams(Deck(even_hull(), SameProportion("circle", "1:30")), [BeamMark("4", 0)])
    >>> made = packer(beams, Place("chainplate", 600, 1300, 90, 10), depth=50)
    >>> round(made.slot_long), round(made.slot_broad), made.pad.beams
    (94, 14, ())
    """
    if not (np.isfinite(room) and room >= 0):
        raise ValueError(f"{fitting.what}: room of {room:g} mm round the bar: it is nought or more.")
    place = place_of(beams.deck, fitting)
    block = pad(beams, _within_edges(beams.deck, place, margin))
    hole = bore(beams.deck, place.x, place.y, depth, rake_deg, lean_deg)
    sizes = (place.length + 2 * room, place.breadth + 2 * room)
    cut = cut_by_deck(*_slopes_at(beams.deck, place), rake_deg, lean_deg, sizes)
    return Packer(block, hole, cut, rake_deg, lean_deg)


def _slopes_at(deck, place: Place) -> tuple[float, float]:
    """How the deck's top rises going aft and going to starboard. [1]"""
    p, q = deck.partials(np.array(float(place.x)), np.array(float(place.y)), 1, "deck")[1:3]
    return float(p), float(q)
