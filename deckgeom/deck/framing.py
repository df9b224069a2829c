"""
The clamp or shelf that carries the beams' ends: how far below the sheer its top stands, and its bevel.

A *clamp* runs fore and aft inside the planking with the beams' ends on its top; a *shelf* is the same, laid flat. Its
top follows the underside of the beams, its outer face lies against the inside of the planking.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial

import numpy as np

from deckgeom.deck._beam_ends import HullSide
from deckgeom.deck._beam_faces import Tops
from deckgeom.deck._closed import closed
from deckgeom.units import format_length

__all__ = ["ClampLine", "clamp_line"]

SIDES = ("port", "starboard")


@dataclass(frozen=True, eq=False)
class ClampLine:
    """
    The top outer corner of the clamp of one side, at stations. Made by `clamp_line`.

    Parameters
    ----------
    side : {"port", "starboard"}
    names : tuple of str
        Of the stations: beams, or x.
    x, y, height : (n,) float
        Of the corner: along the boat, off the centreline (starboard positive), above the base line. [mm]
    below_sheer : (n,) float
        Plumb from the height of the deck edge that the offsets give down to the corner's level. [mm]
    down_side : (n,) float
        The same, measured down the flare of the hull side. [mm]
    bevel_deg : (n,) float
        Angle in the wood between its top and its outer face, square to the timber, off a square: above 0 it is more
        than a square (standing), below 0 less (under). [deg]
    fall_deg : (n,) float
        How steeply the top falls outwards, athwart, off level. [deg]
    run_deg : (n,) float
        How steeply the corner rises going aft. [deg]
    heights_to : str
        What the sheer's heights are taken to.
    left_out : tuple of str
        Stations with no room between the planking.
    units : str

    Examples
    --------
    See `clamp_line`.

    >>> SIDES
    ('port', 'starboard')
    """

    side: str
    names: tuple[str, ...]
    x: np.ndarray
    y: np.ndarray
    height: np.ndarray
    below_sheer: np.ndarray
    down_side: np.ndarray
    bevel_deg: np.ndarray
    fall_deg: np.ndarray
    run_deg: np.ndarray
    heights_to: str
    left_out: tuple[str, ...] = ()
    units: str = "mm"

    def __post_init__(self) -> None:
        """Copy and close the arrays."""
        for name in ("x", "y", "height", "below_sheer", "down_side", "bevel_deg", "fall_deg", "run_deg"):
            object.__setattr__(self, name, closed(getattr(self, name)))

    def rows(self) -> list[tuple]:
        """Station, x, side, below sheer, down the side, bevel, fall of the top. [mm], [deg]"""
        values = (self.x, self.below_sheer, self.down_side, self.bevel_deg, self.fall_deg)
        columns = [v.tolist() for v in values]
        return [(n, x, self.side, *rest) for n, x, *rest in zip(self.names, *columns, strict=True)]

    def words(self, units: str | None = None) -> tuple[str, ...]:
        """What to mark, in sentences."""
        mm = partial(format_length, units=units or self.units)
        if not self.names:
            return (f"Clamp, {self.side}: no station has room for it. Are the planking's thickness and x right?",)
        low, high = int(np.argmin(self.below_sheer)), int(np.argmax(self.below_sheer))
        a, b = float(self.bevel_deg.min()), float(self.bevel_deg.max())
        out = (
            f"Clamp, {self.side}: its top outer corner stands plumb below the sheer (the {self.heights_to} at the deck "
            f"edge) by {mm(self.below_sheer[low])} at {self.names[low]} to {mm(self.below_sheer[high])} at "
            f"{self.names[high]}.",
            f"Between its top and its outer face, square to the timber: {_square(a)} to {_square(b)}. Its top falls "
            f"outwards by {self.fall_deg.min():.1f} to {self.fall_deg.max():.1f} degrees athwart.",
            "Try a template of hull side and beam end at three stations before the clamp is cut.",
        )
        left = f"Left out, no room inside the planking: {', '.join(self.left_out)}."
        return (*out, left) if self.left_out else out


def _square(bevel: float) -> str:
    """A bevel against a square, in the trade's words."""
    if abs(bevel) < 0.05:
        return "square"
    return f"{abs(bevel):.1f} degrees {'standing (more' if bevel > 0 else 'under (less'} than a square)"


def clamp_line(beams, side: str, x=None, let_in: float = 0.0) -> ClampLine:
    r"""
    Top of the clamp or shelf of one side.

    Parameters
    ----------
    beams : BeamSet
        Gives the deck, the beams' moulding, the planking, the flare and the units.
    side : {"port", "starboard"}
    x : (n,) array, optional
        Stations; the beams' marks unless given, where a beam's own camber counts. [mm]
    let_in : float
        How deep the beams are let into the clamp, square to their tops. [mm]

    Returns
    -------
    ClampLine

    Notes
    -----
    The corner is where the beams' underside, :math:`y_f + m q / \sqrt{1 + q^2}, z - m / \sqrt{1 + q^2}` with q the
    slope athwart at the foot and m the moulding less what is let in, meets the inside of the planking. A raked beam is
    taken as plumb here. The angle in the wood is 180 degrees less that between the outward normals of the top,
    (-p, -q, 1), and of the hull side, (-(b' - T h'), 1, -T): on a straight side, 90 + fall - flare.

    References
    ----------
    *Standing* and *under*: W. H. Smyth, *The Sailor's Word-Book*, 1867, s.v. Bevelling.

    Examples
    --------
    >>> from deckgeom.deck.beams import BeamMark, lay_out_beams
    >>> from deckgeom.deck.crown import SameProportion
    >>> from deckgeom.deck.surface import Deck
    >>> from deckgeom.hull.sheer import Sheer
    >>> level = lambda height: lambda x, order=0: (height if order == 0 else 0.0) + 0.0 * x
    >>> deck = Deck(Sheer.from_curves(level(1500), level(800), start=0, end=6000), SameProportion("circle", 0))
    >>> clamp = clamp_line(lay_out_beams(deck, [BeamMark("4", 2000, moulding=60)]), "port")
    >>> clamp.below_sheer.tolist(), clamp.bevel_deg.round(6).tolist()
    ([60.0], [0.0])
    """
    if side not in SIDES:
        raise ValueError(f"side {side!r} is not known. A side is 'port' or 'starboard'.")
    if len(beams) == 0:
        raise ValueError("A clamp needs beams to carry: none is laid out. Give the beam list first.")
    sheer, frames = beams.deck.sheer, beams.frames
    number = np.arange(len(beams)) if x is None else None
    at = frames.x if x is None else np.atleast_1d(np.asarray(x, float))
    if np.any((at < sheer.start) | (at > sheer.end)):
        far = at[np.argmax(np.abs(at - (sheer.start + sheer.end) / 2))]
        raise ValueError(
            f"A station at {far:g} mm: the sheer runs from {sheer.start:g} to {sheer.end:g} mm. Is it in other units?"
        )
    order = np.argsort(frames.x, kind="stable")
    depth = np.interp(at, frames.x[order], frames.moulding[order])
    if not np.all((0 <= let_in) & (let_in < depth)):
        raise ValueError(f"Beams let in by {let_in:g} mm: from nought to less than their moulding, {depth.min():g} mm.")
    lean = np.interp(at, frames.x[order], beams.flare[order])
    off = beams.planking if beams.half_breadths_to.startswith("outside") else 0.0
    corner = _corner(beams, number, side, at, depth - let_in, lean, HullSide(sheer, off))
    return _line(beams, side, x, at, lean, corner)


def _corner(beams, number, side: str, x, depth, lean, hull):
    """y and height of the corner, slopes of the top there, and slope of the hull side along the boat."""
    sign = -1.0 if side == "port" else 1.0
    level, along = hull.at(side, x, lean)
    tops = Tops(beams.deck, beams.frames) if number is not None else None
    foot = sign * (level + lean * beams.deck.sheer.height(side, x, 0))
    for _ in range(60):
        z, p, q = (tops.surface(number, x, foot) if tops else beams.deck.partials(x, foot, 1, "beam"))[:3]
        root = np.sqrt(1 + q * q)
        y, height = foot + depth * q / root, z - depth / root
        miss = sign * (level + lean * height) - y
        foot = foot + miss / (1 - sign * lean * q)
        if np.max(np.abs(miss)) < 1e-9:
            break
    return y, height, p, q, along


def _line(beams, side: str, x, at, lean, corner) -> ClampLine:
    sign = -1.0 if side == "port" else 1.0
    y, height, p, q, along = corner
    names = beams.names if x is None else tuple(f"x {format_length(value, beams.units)}" for value in at)
    out = -sign * q
    cosine = (along * p + out - lean) / np.sqrt((1 + p * p + q * q) * (1 + along**2 + lean**2))
    below = beams.deck.sheer.height(side, at, 0) - height
    # along the corner both the top and the hull side hold: dz = p dx + q dy, dy = sign (along dx + lean dz)
    rise = (p + q * sign * along) / (1 - q * sign * lean)
    room = sign * y > 1e-6
    shown = [v[room] for v in (
        at, y, height, below, below * np.sqrt(1 + lean**2), np.degrees(np.arcsin(cosine)), np.degrees(np.arctan(out)),
        np.degrees(np.arctan(rise)),
    )]  # fmt: skip
    kept = tuple(n for n, k in zip(names, room, strict=True) if k)
    left = tuple(n for n, k in zip(names, room, strict=True) if not k)
    return ClampLine(side, kept, *shown, beams.deck.heights_to, left, beams.units)
