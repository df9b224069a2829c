"""
Pads let into the beams under fittings: where their corners stand and how their tops lie.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial

import numpy as np

from deckgeom.deck._closed import closed
from deckgeom.deck.framing_places import Place, beams_under, place_of
from deckgeom.units import format_length

__all__ = ["Pad", "pad"]

CORNERS = ("forward port", "forward starboard", "after starboard", "after port")


@dataclass(frozen=True, eq=False)
class Pad:
    """
    A block under a fitting, its top fair to the tops of the beams. Made by `pad`.

    Parameters
    ----------
    place : Place
    corner_height : (4,) float
        Forward port, forward starboard, after starboard, after port, above the base line. [mm]
    middle_height : float
        [mm]
    rise : float
        How far the middle stands above the mean of the corners: the top is not flat but rounded by so much. [mm]
    twist : float
        How far one corner stands off the plane of the other three; a flat top cannot touch all four. [mm]
    bevel_aft_deg, bevel_starboard_deg : float
        How the top falls off level at its middle, going aft and going to starboard; below 0 it rises. [deg]
    beams : tuple of str
        That run through it: it is let into these.
    units : str

    Examples
    --------
    See `pad`.

    >>> CORNERS[0]
    'forward port'
    """

    place: Place
    corner_height: np.ndarray
    middle_height: float
    rise: float
    twist: float
    bevel_aft_deg: float
    bevel_starboard_deg: float
    beams: tuple[str, ...]
    units: str = "mm"

    def __post_init__(self) -> None:
        """Copy and close the array."""
        object.__setattr__(self, "corner_height", closed(self.corner_height))

    def words(self, units: str | None = None) -> tuple[str, ...]:
        """What to cut, in sentences."""
        units = units or self.units
        mm = partial(format_length, units=units)
        corners = ", ".join(f"{name} {mm(z)}" for name, z in zip(CORNERS, self.corner_height, strict=True))
        let = f"it is let into beam {' and '.join(self.beams)}" if self.beams else "no beam runs through it"
        size = f"{mm(self.place.length)} fore-and-aft by {mm(self.place.breadth)}"
        aft, over = _falls(self.bevel_aft_deg, "aft"), _falls(self.bevel_starboard_deg, "starboard")
        return (
            f"Pad for {self.place.words(units)}: {size}; {let}.",
            f"Its corners stand at {corners} above the base line.",
            f"At its middle the top {aft} and {over}; it is rounded by {mm(self.rise)} and wound by "
            f"{mm(self.twist)} from corner to corner.",
        )


def _falls(bevel: float, way: str) -> str:
    if abs(bevel) < 0.05:
        return f"is level to {way}" if way == "starboard" else "is level fore-and-aft"
    other = {"aft": "forward", "starboard": "port"}[way]
    return f"falls {abs(bevel):.1f} degrees {'to ' if way == 'starboard' else ''}{way if bevel > 0 else other}"


def pad(beams, fitting, margin: float = 0.0) -> Pad:
    """
    The top of a pad, fair to the tops of the beams.

    Parameters
    ----------
    beams : BeamSet
    fitting : Fitting
        Anything with what, x, y, length and breadth. [mm]
    margin : float
        How far the pad stands out past the fitting all round. [mm]

    Returns
    -------
    Pad

    Examples
    --------
    >>> from deckgeom.deck.beams import BeamMark, lay_out_beams
    >>> from deckgeom.deck.crown import SameProportion
    >>> from deckgeom.deck.even_hull import even_hull
    >>> from deckgeom.deck.surface import Deck
    >>> beams = lay_out_beams(Deck(even_hull(), SameProportion("circle", "1:30")), [BeamMark("4", 0)])
    >>> made = pad(beams, Place("cleat", 0, 0, 200, 150))
    >>> made.beams, round(made.rise, 2), made.twist < 1e-9
    (('4',), 0.36, True)
    """
    deck, place = beams.deck, place_of(beams.deck, fitting)
    if not (place.length > 0 and place.breadth > 0):
        raise ValueError(
            f"Pad for {place.what}: {place.length:g} by {place.breadth:g} mm: give its length and breadth in the list "
            "of fittings. Are they left blank?"
        )
    if not (np.isfinite(margin) and margin >= 0):
        raise ValueError(f"Pad for {place.what}: a margin of {margin:g} mm: it is nought or more.")
    place = Place(place.what, place.x, place.y, place.length + 2 * margin, place.breadth + 2 * margin)
    corners = np.array(place.corners)
    for x, y in corners:
        if not deck.sheer.start <= x <= deck.sheer.end:
            raise ValueError(f"Pad for {place.what}: its corner at x {x:g} mm is off the deck's end. Make it shorter.")
        edge = float(deck.edge("port" if y < 0 else "starboard", x)[0])
        if abs(y) > abs(edge) + 1e-6:
            raise ValueError(
                f"Pad for {place.what}: its corner at x {x:g} mm, y {y:g} mm is outside the deck edge at {edge:.0f} "
                "mm. Make it smaller or move it in."
            )
    z = deck.height(corners[:, 0], corners[:, 1], "beam")
    middle, p, q = (float(v) for v in deck.partials(np.array(place.x), np.array(place.y), 1, "beam")[:3])
    a, b = place.length / 2, place.breadth / 2
    under = beams_under(beams, (place.x - a, place.x + a), (place.y - b, place.y + b))
    falls = (float(-np.degrees(np.arctan(slope))) for slope in (p, q))
    twist = float(abs(z[0] - z[1] + z[2] - z[3]))
    return Pad(place, z, middle, middle - float(z.mean()), twist, *falls, under, beams.units)
