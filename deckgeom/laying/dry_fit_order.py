"""
Lifting a dry-fitted deck in a shed with no room beside the boat: half at a time; and what is to be sealed meanwhile.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from deckgeom.laying.dry_fit import Piece
from deckgeom.laying.dry_fit_clip import clip, signed_area
from deckgeom.laying.glue import Layer, amount
from deckgeom.laying.paint_area import area_words
from deckgeom.laying.quantities import Band
from deckgeom.units import format_length

__all__ = ["HalfAtATime", "Sealing", "half_at_a_time", "sealing"]

FAR = 1e6
PORT = np.array([(-FAR, -FAR), (FAR, -FAR), (FAR, 0), (-FAR, 0)])
STARBOARD = -PORT


@dataclass(frozen=True)
class HalfAtATime:
    """
    Which half is lifted and glued first, and what lies on what. Made by `half_at_a_time`.

    Parameters
    ----------
    first : {"port", "starboard"}
    lifted_first, lifted_second : tuple of str
        Pieces of that half and of the other.
    both : tuple of str
        Pieces that lie on the centreline: lifted before all others, laid last.
    layers : (float, float)
        How high they lie, as area lifted over the area that they lie on: on the other half, then on the glued one. [1]
    too_wide : tuple of str
        Pieces broader than the half that they are to lie on.

    Examples
    --------
    >>> HalfAtATime("port", ("1",), ("2",), (), (1.0, 1.0), ()).second
    'starboard'
    """

    first: str
    lifted_first: tuple[str, ...]
    lifted_second: tuple[str, ...]
    both: tuple[str, ...]
    layers: tuple[float, float]
    too_wide: tuple[str, ...]

    @property
    def second(self) -> str:
        """The other half."""
        return "starboard" if self.first == "port" else "port"

    def words(self, units: str = "mm") -> tuple[str, ...]:
        """In sentences."""
        names = lambda pieces: ", ".join(pieces) or "nothing"  # noqa: E731
        both = f"Lift {names(self.both)} first of all: across the centreline, they go down last." * bool(self.both)
        wide = f"Too broad to lie on one half: {names(self.too_wide)}. Stand these outside." * bool(self.too_wide)
        lines = (
            both,
            f"Lift the {self.first} half ({names(self.lifted_first)}) on to the {self.second} half, still screwed "
            "down: "
            f"about {self.layers[0]:.1f} layers, on battens over beams, undersides up. Paint and glue {self.first}.",
            f"Once the glue has cured, cover it. Lift the {self.second} half ({names(self.lifted_second)}) on to the "
            f"{self.first} half: about {self.layers[1]:.1f} layers, on battens. Paint and glue {self.second}.",
            "The piece lifted last lies on top and goes down first: lift in the reverse of the order of laying. "
            "Nobody stands "
            "on a pile.",
            wide,
        )
        return tuple(line for line in lines if line)


def half_at_a_time(pieces: Sequence[Piece], tolerance: float = 5.0) -> HalfAtATime:
    """
    Choose the half to begin with.

    Parameters
    ----------
    pieces : sequence of Piece
        All pieces of one skin or of the planking, as they lie.
    tolerance : float
        A piece that reaches less than this over the centreline belongs to its own half. [mm]

    Returns
    -------
    HalfAtATime
        The half to begin with is the one that leaves the lower pile; port where both are alike. Pieces across the
        centreline count with the first pile.

    Examples
    --------
    >>> port = Piece("P", [(0, -1000), (4000, -1000)], [(0, 0), (4000, 0)])
    >>> starboard = Piece("S", [(0, 0), (4000, 0)], [(0, 1100), (4000, 1100)])
    >>> half_at_a_time([port, starboard]).first
    'port'
    """
    areas = {side: [abs(signed_area(clip(p.outline, half))) for p in pieces]
             for side, half in (("port", PORT), ("starboard", STARBOARD))}  # fmt: skip
    floor = {side: sum(each) for side, each in areas.items()}
    if not pieces or min(floor.values()) <= 0:
        raise ValueError(
            "the pieces lie on one side of the centreline only: there is no other half to lift them on. Is y positive "
            "to "
            "starboard and negative to port?"
        )
    groups: dict[str, list[Piece]] = {"port": [], "starboard": [], "both": []}
    for piece in pieces:
        y = piece.outline[:, 1]
        groups["port" if y.max() <= tolerance else "starboard" if y.min() >= -tolerance else "both"].append(piece)
    whole = {name: sum(abs(signed_area(p.outline)) for p in group) for name, group in groups.items()}

    def piles(first: str) -> tuple[float, float]:
        other = "starboard" if first == "port" else "port"
        return (whole[first] + whole["both"]) / floor[other], (whole[other] + whole["both"]) / floor[first]

    first = min(("port", "starboard"), key=lambda side: round(max(piles(side)), 9))
    second = "starboard" if first == "port" else "port"
    widths = (max(-p.outline[:, 1].min() for p in pieces), max(p.outline[:, 1].max() for p in pieces))
    wide = [p.name for p in pieces if np.ptp(p.outline[:, 1]) > min(widths) + tolerance]
    named = {name: tuple(p.name for p in group) for name, group in groups.items()}
    return HalfAtATime(first, named[first], named[second], named["both"], piles(first), tuple(wide))


@dataclass(frozen=True)
class Sealing:
    """
    Edges to seal before the deck closes. Made by `sealing`.

    Parameters
    ----------
    ends : float
        Length of end grain of planks, or of all edges of ply. [mm]
    openings : float
        Length round openings. [mm]
    area : float
        Of both. [m2]
    coats : int
    resin : Band
        [L]

    Examples
    --------
    >>> Sealing(2000, 2400, 0.05, 3, Band(0.02, 0.02, 0.03, "litres", "")).length
    4400
    """

    ends: float
    openings: float
    area: float
    coats: int
    resin: Band

    @property
    def length(self) -> float:
        """In all. [mm]"""
        return self.ends + self.openings

    def words(self, units: str = "mm") -> str:
        """In sentences."""
        mm = lambda value: format_length(value, units)  # noqa: E731
        return (
            f"Seal {mm(self.ends)} of ends and edges and {mm(self.openings)} round openings, "
            f"{area_words(self.area, units)}, {self.coats} coats, each while the one before is still tacky, or washed "
            "and "
            f"sanded with a mask. Resin: {self.resin.words()}. Gloves and fresh air."
        )


def _at_opening(piece: Piece, end: int, openings) -> bool:
    """Whether a plank ends at an opening, whose sides are counted all round already."""
    (x, one), (other_x, other) = piece.first[end], piece.second[end]
    low, high = sorted((one, other))
    return any(min(abs(x - v) for v in (o.x0, o.x1)) < 1 and abs(x - other_x) < 1 and o.y0 - 1 <= low and
               high <= o.y1 + 1 for o in openings)  # fmt: skip


def sealing(
    pieces: Sequence[Piece], thickness: float, openings=(), ply: bool = False, coats: int = 3, own: float | None = None
) -> Sealing:
    """
    End grain and openings to seal.

    Parameters
    ----------
    pieces : sequence of Piece
    thickness : float
        Of the planks or sheets. [mm]
    openings : sequence
        With ``x0``, ``x1``, ``y0``, ``y1`` each [mm]: all four edges are sealed.
    ply : bool
        Ply shows end grain on every edge, planks at their two ends.
    coats : int
        Common practice, no source.
    own : float, optional
        What a litre covers by your own tin. [m2/L]

    Returns
    -------
    Sealing

    Examples
    --------
    >>> sealing([Piece("1", [(0, 0), (3000, 0)], [(0, 90), (3000, 90)])], 20.0).ends
    180.0
    """
    if not thickness > 0:
        raise ValueError(f"edges {thickness:g} mm thick: thickness is above 0. Is it left blank?")
    ends = 0.0
    for piece in pieces:
        round_it = np.roll(piece.outline, -1, axis=0) - piece.outline
        across = [piece.first[k] - piece.second[k] for k in (0, -1) if not _at_opening(piece, k, openings)]
        ends += float(np.hypot(*(round_it if ply else np.array(across).reshape(-1, 2)).T).sum())
    holes = float(sum(2 * (o.x1 - o.x0 + o.y1 - o.y0) for o in openings))
    area = (ends + holes) * thickness / 1e6
    resin = amount(Layer("edges", area, "epoxy, sealing coat on bare wood", coats, own=own))
    return Sealing(ends, holes, area, coats, resin)
