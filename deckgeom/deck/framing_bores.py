"""
Holes bored through the deck at an angle: where they go in and come out, and how they lean.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial

import numpy as np

from deckgeom.deck.framing_holes import axis_of
from deckgeom.units import format_length, format_offcentre

__all__ = ["Bore", "bore", "leaning_words", "off_square", "tilts"]

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

    @property
    def shifted(self) -> bool:
        """Whether the lower end stands off the upper in plan by a millimetre or more."""
        return bool(np.hypot(self.x - self.under_x, self.y - self.under_y) >= 1.0)

    def reach(self, half_x: float, half_y: float) -> tuple[tuple[float, float], tuple[float, float]]:
        """From and to along the boat and across it of something that reaches so far from the middle, top to bottom."""
        xs, ys = sorted((self.x, self.under_x)), sorted((self.y, self.under_y))
        return (xs[0] - half_x, xs[1] + half_x), (ys[0] - half_y, ys[1] + half_y)

    def middles(self, units: str = "mm") -> tuple[str, str]:
        """Where its middle line goes in on top and comes out below, along the boat and off the centreline."""
        return tuple(f"{format_length(x, units)}, {format_offcentre(y, units)}"
                     for x, y in ((self.x, self.y), (self.under_x, self.under_y)))  # fmt: skip

    def words(self, units: str = "mm") -> str:
        """How to bore, in one sentence."""
        lean = off_square(self.aft_deg, self.starboard_deg)
        mm = partial(format_length, units=units)
        top, below = self.middles(units)
        if lean != "square to the deck":
            lean = f"with the upper end leaning {lean} off square to the deck"
        return f"Bore {lean}, from {top} on top to {below} below, {mm(self.depth)} square down."

    def below_words(self, units: str = "mm") -> str:
        """How far the lower end stands off the upper, in one sentence."""
        mm = partial(format_length, units=units)
        ways = ((self.under_x - self.x, "aft", "forward"), (self.under_y - self.y, "to starboard", "to port"))
        off = [f"{mm(abs(d))} {way if d > 0 else other}" for d, way, other in ways if abs(d) >= 0.5]
        where = f"{' and '.join(off)} of where" if off else "plumb below where"
        return f"It comes out below {where} it goes in, measured level."


def off_square(aft_deg: float, starboard_deg: float) -> str:
    """
    How something leans off square to the deck, in words.

    Parameters
    ----------
    aft_deg, starboard_deg : float
        Its upper end, along the deck aft and to starboard. [deg]

    Returns
    -------
    str

    Examples
    --------
    >>> off_square(4.2, -1.0), off_square(0.01, 0.0)
    ('4.2 degrees aft and 1.0 degrees to port', 'square to the deck')
    """
    return " and ".join(word for word in tilts(aft_deg, starboard_deg) if word) or "square to the deck"


def leaning_words(rake_deg: float, lean_deg: float) -> str:
    """
    How a mast or a chainplate stands, in words.

    Parameters
    ----------
    rake_deg, lean_deg : float
        Off plumb with its top aft and to starboard. [deg]

    Returns
    -------
    str

    Examples
    --------
    >>> leaning_words(4.0, -2.5), leaning_words(0.0, 0.0)
    ('raked 4.0 degrees aft and leaning 2.5 degrees to port', 'plumb')
    """
    rake, lean = tilts(rake_deg, lean_deg)
    said = [f"raked {rake}"] if rake else []
    return " and ".join(said + ([f"leaning {lean}"] if lean else [])) or "plumb"


def tilts(aft_deg: float, starboard_deg: float, none: str = "") -> tuple[str, str]:
    """
    Two angles with the way of each in words.

    Parameters
    ----------
    aft_deg, starboard_deg : float
        [deg]
    none : str
        Said of an angle below a twentieth of a degree.

    Returns
    -------
    (str, str)
        Along the boat and across it.

    Examples
    --------
    >>> tilts(-1.5, 0.0, "plumb")
    ('1.5 degrees forward', 'plumb')
    """
    ways = ((aft_deg, "aft", "forward"), (starboard_deg, "to starboard", "to port"))
    return tuple(none if abs(degrees) < 0.05 else f"{abs(degrees):.1f} degrees {way if degrees > 0 else other}"
                 for degrees, way, other in ways)  # fmt: skip


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
    way = axis_of(rake_deg, lean_deg)
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
