"""
Holes bored through the deck at an angle: for a raked mast in its partners, for a chainplate in its packer.

*Partners* are the framing round the mast's hole in the deck; a *packer* is the block round a chainplate.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial

import numpy as np

from deckgeom.deck.framing_pads import Pad, pad
from deckgeom.deck.framing_places import Place, beams_under, place_of
from deckgeom.units import format_length, format_offcentre

__all__ = ["Bore", "MastPartner", "Packer", "bore", "mast_partner", "packer"]

CAUTION = (
    "Whether the framing there is strong enough is for the local rules and a licensed designer or surveyor: this gives "
    "shapes only."
)


@dataclass(frozen=True)
class Bore:
    """
    A straight hole through the deck. Made by `bore`.

    Parameters
    ----------
    x, y, height : float
        Where its middle line meets the deck's top. [mm]
    aft_deg, starboard_deg : float
        How far the hole leans off square to the deck, its upper end aft and to starboard. [deg]
    off_square_deg : float
        Between the hole and the square to the deck, whichever way. [deg]
    under_x, under_y, under_height : float
        Where it comes out below, `depth` square under the deck's top. [mm]
    depth : float
        [mm]
    length : float
        Along the hole. [mm]

    Examples
    --------
    See `bore`.

    >>> Bore(0, 0, 900, 0, 0, 0, 0, 0, 850, 50, 50).lengthening
    1.0
    """

    x: float
    y: float
    height: float
    aft_deg: float
    starboard_deg: float
    off_square_deg: float
    under_x: float
    under_y: float
    under_height: float
    depth: float
    length: float

    @property
    def lengthening(self) -> float:
        """How much longer than broad a round thing's hole is on the deck: 1 / cos of the angle off square. [1]"""
        return float(1 / np.cos(np.radians(self.off_square_deg)))

    def words(self, units: str = "mm") -> str:
        """How to bore, in one sentence."""
        lean = _lean(self.aft_deg, "aft", "forward"), _lean(self.starboard_deg, "to starboard", "to port")
        lean = " and ".join(word for word in lean if word) or "square to the deck"
        mm = partial(format_length, units=units)
        top, below = (
            f"{mm(x)}, {format_offcentre(y, units)}" for x, y in ((self.x, self.y), (self.under_x, self.under_y))
        )
        if lean != "square to the deck":
            lean = f"with the upper end leaning {lean} off square to the deck"
        return f"Bore {lean}, from {top} on top to {below} below, {mm(self.depth)} square down."


def _lean(degrees: float, way: str, other: str) -> str:
    return "" if abs(degrees) < 0.05 else f"{abs(degrees):.1f} degrees {way if degrees > 0 else other}"


def bore(deck, x: float, y: float, depth: float, rake_deg: float = 0.0, lean_deg: float = 0.0) -> Bore:
    r"""
    A hole along a line that leans off plumb.

    Parameters
    ----------
    deck : Deck
    x, y : float
        Where its middle line meets the deck's top, starboard positive. [mm]
    depth : float
        Through deck and framing, square to the deck. [mm]
    rake_deg : float
        Off plumb seen from the side, the top aft. [deg]
    lean_deg : float
        Off plumb seen from aft, the top to starboard. [deg]

    Returns
    -------
    Bore

    Notes
    -----
    .. math:: a = (\tan r, \tan l, 1)

    against the deck's normal and the deck's own directions aft and to starboard, square to it and to each other.

    Examples
    --------
    >>> from deckgeom.deck.crown import SameProportion
    >>> from deckgeom.deck.even_hull import even_hull
    >>> from deckgeom.deck.surface import Deck
    >>> hole = bore(Deck(even_hull(), SameProportion("circle", 0)), 0, 0, depth=50, rake_deg=3)
    >>> round(hole.aft_deg, 6), round(hole.under_x, 3), hole.starboard_deg
    (3.0, -2.62, 0.0)
    """
    if not (np.isfinite(depth) and depth > 0):
        raise ValueError(f"A hole {depth:g} mm deep: deck and framing together are above 0. Is the depth left blank?")
    if max(abs(rake_deg), abs(lean_deg)) >= 45:
        raise ValueError(
            f"A hole {max(abs(rake_deg), abs(lean_deg)):g} degrees off plumb: it is under 45. Is it measured off level?"
        )
    z, p, q = (float(v) for v in deck.partials(np.array(float(x)), np.array(float(y)), 1, "deck")[:3])
    way = np.array([np.tan(np.radians(rake_deg)), np.tan(np.radians(lean_deg)), 1.0])
    way /= np.linalg.norm(way)
    normal = np.array([-p, -q, 1.0]) / np.sqrt(1 + p * p + q * q)
    aft = np.array([1.0, 0.0, p]) / np.hypot(1, p)
    starboard = np.cross(normal, aft)
    up = float(way @ normal)
    if up < 0.5:
        raise ValueError(
            f"A hole at x {x:g}, y {y:g} mm lies {np.degrees(np.arccos(up)):.0f} degrees off square to the deck: it is "
            "under 60. Are rake and lean right?"
        )
    length = depth / up
    below = np.array([x, y, z]) - length * way
    lean = (float(np.degrees(np.arctan2(way @ side, up))) for side in (aft, starboard))
    off = float(np.degrees(np.arccos(min(up, 1.0))))
    return Bore(float(x), float(y), z, *lean, off, *below.tolist(), float(depth), length)


@dataclass(frozen=True)
class MastPartner:
    """
    The hole for a mast. Made by `mast_partner`.

    Parameters
    ----------
    what : str
    bore : Bore
    hole_long, hole_broad : float
        On the deck's top, along it: for a round mast the longest and the shortest way of an oval; otherwise
        fore-and-aft and athwart. [mm]
    round : bool
    long_way_deg : float
        Direction in plan of the longest way, from aft to starboard. [deg]
    beams : tuple of str
        That the hole would cut.
    units : str

    Examples
    --------
    See `mast_partner`.

    >>> MastPartner.__name__
    'MastPartner'
    """

    what: str
    bore: Bore
    hole_long: float
    hole_broad: float
    round: bool
    long_way_deg: float
    beams: tuple[str, ...] = ()
    units: str = "mm"

    def words(self, units: str | None = None) -> tuple[str, ...]:
        """How to bore it, in sentences."""
        units = units or self.units
        mm = partial(format_length, units=units)
        turn = abs(self.long_way_deg)
        way = f"{turn:.0f} degrees off fore-and-aft" if turn > 0.5 else "fore-and-aft"
        shape = f"an oval {mm(self.hole_long)} by {mm(self.hole_broad)}, its long way {way}"
        if not self.round:
            shape = f"{mm(self.hole_long)} fore-and-aft by {mm(self.hole_broad)} athwart"
        elif self.hole_long - self.hole_broad < 0.5:
            shape = f"a circle of {mm(self.hole_broad)}"
        cut = f"It would cut beam {' and '.join(self.beams)}: move the beam or the mast." if self.beams else ""
        first = f"{self.what}: its hole on the deck is {shape}, wedges counted in."
        out = (first, self.bore.words(units), cut, CAUTION)
        return tuple(line for line in out if line)


def mast_partner(
    beams,
    fitting,
    rake_deg: float,
    depth: float,
    wedge: float = 0.0,
    diameter: float | None = None,
    lean_deg: float = 0.0,
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
    if not (min(sizes) > 0 and wedge >= 0):
        raise ValueError(
            f"{place.what}: {sizes[0]:g} by {sizes[1]:g} mm with wedges of {wedge:g} mm: give a mast's size above 0, "
            "as its length and breadth or its diameter."
        )
    hole = bore(beams.deck, place.x, place.y, depth, rake_deg, lean_deg)
    long, broad = (size + 2 * wedge for size in sizes)
    if diameter:
        long *= hole.lengthening
        turn = float(np.degrees(np.arctan2(np.tan(np.radians(hole.starboard_deg)), np.tan(np.radians(hole.aft_deg)))))
        turn = 90 - (90 - turn) % 180
    else:
        long, broad, turn = long / np.cos(np.radians(hole.aft_deg)), broad / np.cos(np.radians(hole.starboard_deg)), 0.0
    xs, ys = sorted((hole.x, hole.under_x)), sorted((hole.y, hole.under_y))
    cut = beams_under(beams, (xs[0] - long / 2, xs[1] + long / 2), (ys[0] - broad / 2, ys[1] + broad / 2))
    return MastPartner(place.what, hole, float(long), float(broad), bool(diameter), turn, cut, beams.units)


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
    slot_long, slot_broad : float
        Of the slot on the deck, fore-and-aft and athwart. [mm]

    Examples
    --------
    See `packer`.

    >>> Packer.__name__
    'Packer'
    """

    pad: Pad
    bore: Bore
    slot_long: float
    slot_broad: float

    def words(self, units: str | None = None) -> tuple[str, ...]:
        """How to make it, in sentences."""
        units = units or self.pad.units
        mm = partial(format_length, units=units)
        return (
            *self.pad.words(units),
            f"Its slot is {mm(self.slot_long)} fore-and-aft by {mm(self.slot_broad)} athwart on the deck, room for "
            "sealing counted in; seal its end grain.",
            self.bore.words(units),
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
    long, broad = (
        (size + 2 * room) / np.cos(np.radians(off))
        for size, off in ((place.length, hole.aft_deg), (place.breadth, hole.starboard_deg))
    )
    return Packer(block, hole, float(long), float(broad))


