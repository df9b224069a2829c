"""
Every beam of the boat: its curve at both faces, its mould, its bevels, its ends and the timber that it takes.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import cached_property, partial

import numpy as np

from deckgeom.complaint import Complaint
from deckgeom.deck import bending
from deckgeom.deck._beam_checks import place_faults, sort_marks
from deckgeom.deck._beam_cut import Shape, cut_beams
from deckgeom.deck._beam_ends import SIGN, Ends, HullSide, top_ends
from deckgeom.deck._beam_faces import Frames, Tops, make_frames
from deckgeom.deck.beam import Beam
from deckgeom.deck.beam_marks import BeamMark
from deckgeom.deck.bending import SpringBack, TrialBeam, strength_left
from deckgeom.deck.ordinates import Ordinates
from deckgeom.units import format_length

__all__ = ["COLUMNS", "Beam", "BeamMark", "BeamSet", "lay_out_beams"]

INSIDE, OUTSIDE = "inside of planking", "outside of planking"

#: Columns of each table that `BeamSet.rows` gives, in mm and degrees; y signed, starboard positive.
COLUMNS = {
    "beams": (
        "beam", "x", "half_breadth_port", "half_breadth_starboard", "camber", "crown_height", "edge_height_port",
        "edge_height_starboard", "edge_slope_deg", "jig_camber", "mould_face", "stock_depth", "grain_slope",
        "strength_left_percent", "rake_deg",
    ),
    "ordinates": ("beam", "face", "y", "height", "drop_below_crown"),
    "bevels": ("beam", "y", "bevel_deg", "rise_over_siding", "high_edge"),
    "ends": ("beam", "side", "face", "top", "bottom", "end_angle_deg", "cut_deg"),
    "spiles": ("beam", "along", "offset"),
    "jigs": ("beam", "along", "offset"),
}  # fmt: skip


@dataclass(frozen=True, eq=False)
class BeamSet:
    """
    All beams that could be laid out, and the complaints about those that could not.

    Made by `lay_out_beams`; not by hand. Arrays hold one entry a beam; sides are port and starboard, faces forward and
    after, in this order.

    Parameters
    ----------
    deck : Deck
    marks : tuple of BeamMark
    half_breadth : (n, 2) float
        Deck edges at the mark, unsigned. [mm]
    camber : (n,) float
        Rise at the centreline above the line joining the deck edges; a raked beam's is taken in its own plane. [mm]
    complaints : tuple of Complaint
        One for each beam left out.
    spring : SpringBack or None
        The allowance for laminated beams; None where they are sawn.
    planking : float
        Taken off the half-breadths, square to the hull side. [mm]
    half_breadths_to : str
        "outside of planking" or "inside of planking".
    flare : (n,) float
        Tangent of the flare. [-]
    spacing : float
        Of the ordinates. [mm]
    units : str
        Units that words speak in.
    frames, ends, shape : objects
        The planes, the end corners and the cut of all beams.

    Examples
    --------
    See `lay_out_beams`.

    >>> COLUMNS["bevels"]
    ('beam', 'y', 'bevel_deg', 'rise_over_siding', 'high_edge')
    """

    deck: object
    marks: tuple[BeamMark, ...]
    half_breadth: np.ndarray
    camber: np.ndarray
    complaints: tuple[Complaint, ...]
    spring: SpringBack | None
    planking: float
    half_breadths_to: str
    flare: np.ndarray
    spacing: float
    units: str
    frames: Frames
    ends: Ends
    shape: Shape

    def __repr__(self) -> str:
        return f"BeamSet({len(self)} beams: {', '.join(self.names[:4])}{', ...' if len(self) > 4 else ''})"

    def __len__(self) -> int:
        return len(self.marks)

    def __iter__(self) -> Iterator[Beam]:
        return (Beam(self, i) for i in range(len(self)))

    def __getitem__(self, key: int | str) -> Beam:
        """A beam by its name (text) or its place in the list (number)."""
        if isinstance(key, str):
            if key not in self.numbers:
                from difflib import get_close_matches

                near = get_close_matches(key, self.numbers, 1)
                hint = f" Is it {near[0]}?" if near else ""
                raise KeyError(f"No beam is called {key!r} here: it is not in the list, or was left out.{hint}")
            key = self.numbers[key]
        return Beam(self, range(len(self))[key])

    @cached_property
    def numbers(self) -> dict[str, int]:
        """Place in the list of each name."""
        return {mark.name: i for i, mark in enumerate(self.marks)}

    @property
    def names(self) -> tuple[str, ...]:
        """Names in the order of the list."""
        return tuple(mark.name for mark in self.marks)

    @property
    def x(self) -> np.ndarray:
        """Marks along the boat, (n,). [mm]"""
        return self.frames.x

    @property
    def ordinates(self) -> Ordinates:
        """The flat table of all ordinates."""
        return self.shape.ordinates

    @property
    def crown_height(self) -> np.ndarray:
        """Height of the beam top on the centreline at the mark, (n,). [mm]"""
        return self.shape.mark_z[:, 1]

    @property
    def edge_height(self) -> np.ndarray:
        """Height of the beam top at the deck edges at the mark, (n, 2). [mm]"""
        return self.shape.mark_z[:, [0, 2]]

    @property
    def edge_slopes_deg(self) -> np.ndarray:
        """Slope of the top at the deck edges, falling outwards, below 0 where it rises, (n, 2). [deg]"""
        return np.degrees(np.arctan(-SIGN * self.shape.mark_slope[:, [0, 2]]))

    @property
    def edge_slope_deg(self) -> np.ndarray:
        """The steeper of both sides' slopes, (n,). [deg]"""
        return self.edge_slopes_deg.max(axis=1, initial=-np.inf)

    @property
    def jig_camber(self) -> np.ndarray | None:
        """Camber of the jig, over the same breadth as `camber`, (n,); None where beams are sawn. [mm]"""
        return None if self.spring is None else self.spring.jig_camber(self.camber)

    @property
    def end_angle_deg(self) -> np.ndarray:
        """Ends off square in plan, (n, 2); above 0 the after face is the longer. [deg]"""
        out = SIGN * (self.ends.y[:, 1] - self.ends.y[:, 0])
        return np.degrees(np.arctan2(out, self.frames.siding[:, None]))

    @cached_property
    def cut_deg(self) -> np.ndarray:
        """Angle in the wood between the top and the end cut on each face, (n, 2, 2). [deg]"""
        ends, shape = self.ends, self.shape
        in_y, in_up = -SIGN, -SIGN * ends.slope
        down_y, down_up = shape.bottom_y - ends.y, shape.bottom_up - ends.up
        return np.degrees(np.arctan2(np.abs(in_y * down_up - in_up * down_y), in_y * down_y + in_up * down_up))

    @property
    def stock_depth(self) -> np.ndarray:
        """Depth of a straight plank that holds the beam, square to the line joining its ends, (n,). [mm]"""
        return self.shape.stock_depth

    @property
    def grain_slope(self) -> np.ndarray:
        """Steepest slope of grain if sawn from straight stock, (n,). [-]"""
        return self.shape.grain

    @property
    def strength_left(self) -> np.ndarray:
        """Bending strength left by that slope, (n,); nan where it is steeper than the table goes. [%]"""
        return strength_left(self.shape.grain)

    def rows(self, table: str) -> list[tuple]:
        """
        Rows of one table, ready to be written.

        Parameters
        ----------
        table : str
            A key of `COLUMNS`, which names the columns.

        Returns
        -------
        list of tuple
            Numbers in mm and degrees, y signed with starboard positive; None where there is no figure.
        """
        if table not in COLUMNS:
            raise KeyError(f"No table {table!r}: there are {', '.join(COLUMNS)}.")
        from deckgeom.deck import _beam_rows

        return getattr(_beam_rows, f"{table}_rows")(self)

    def conventions(self) -> tuple[str, ...]:
        """What every number here is taken to, in sentences for the head of a sheet."""
        from deckgeom.deck._beam_words import conventions

        return conventions(self)


def lay_out_beams(
    deck,
    marks,
    spacing: float = 150.0,
    *,
    planking: float = 0.0,
    half_breadths_to: str = OUTSIDE,
    made: str = "sawn",
    layers: int | None = None,
    spring_back: TrialBeam | None = None,
    flare_deg: float | Callable = 0.0,
    least_depth: float | None = None,
    units: str = "mm",
) -> BeamSet:
    """
    Lay out every beam of the boat in one pass.

    Parameters
    ----------
    deck : Deck
    marks : sequence of BeamMark
        Beams that cannot be are left out with a complaint; the rest go on.
    spacing : float
        Of the ordinates, off the centreline both ways; the true ends are added. [mm]
    planking : float
        Thickness of the planking. [mm]
    half_breadths_to : str
        "outside of planking": the planking is taken off, square to the hull side. "inside of planking": it is not.
    made : {"sawn", "laminated"}
        How the beams are made: laminated ones get a jig camber.
    layers : int, optional
        Equal layers of a laminated beam.
    spring_back : TrialBeam, optional
        A measured beam, whose spring-back takes over from the rule for layers.
    flare_deg : float or callable
        How far the hull side leans out going up, off plumb, seen athwartships; or a function of x. [deg]
    least_depth : float, optional
        Least moulding allowed. [mm]
    units : {"mm", "ft-in-8", "in"}
        Units that words and complaints speak in.

    Returns
    -------
    BeamSet

    Examples
    --------
    >>> from deckgeom.deck.crown import SameProportion
    >>> from deckgeom.deck.surface import Deck
    >>> from deckgeom.hull.sheer import Sheer
    >>> level = lambda height: lambda x, order=0: (height if order == 0 else 0.0) + 0.0 * x
    >>> deck = Deck(Sheer.from_curves(level(1500), level(800), start=0, end=6000), SameProportion("circle", "1:30"))
    >>> beams = lay_out_beams(deck, [BeamMark("4", 2000), BeamMark("5", 2600)], spacing=500)
    >>> round(beams["4"].camber, 6), round(beams["4"].crown_height, 6), len(beams)
    (100.0, 900.0, 2)
    """
    if half_breadths_to not in (INSIDE, OUTSIDE):
        raise ValueError(f"half_breadths_to {half_breadths_to!r}: it is {OUTSIDE!r} or {INSIDE!r}.")
    if made not in ("sawn", "laminated"):
        raise ValueError(f"made {made!r}: a beam is 'sawn' or 'laminated'.")
    if not (np.isfinite(spacing) and spacing > 0):
        raise ValueError(f"A spacing of ordinates of {spacing:g} mm: it is above 0. Is it left blank?")
    say = partial(format_length, units=units)
    good, complaints = sort_marks(marks, deck.sheer, least_depth, say)
    frames, hull = make_frames(deck, good), HullSide(deck.sheer, planking if half_breadths_to == OUTSIDE else 0.0)
    flare = _flare(flare_deg, frames.x)
    tops = Tops(deck, frames)
    ends = top_ends(tops, hull, flare)
    faults = place_faults(good, frames, ends.hull_y, say)
    if faults:
        keep = np.array([i not in faults for i in range(len(good))])
        complaints += faults.values()
        good = [mark for mark, stays in zip(good, keep, strict=True) if stays]
        frames, ends, flare = frames.take(keep), ends.take(keep), flare[keep]
        tops = Tops(deck, frames)
    edges = _deck_edges(deck.sheer, frames)
    return BeamSet(
        deck=deck,
        marks=tuple(good),
        half_breadth=np.abs(edges),
        camber=_cambers(deck, frames, edges),
        complaints=tuple(complaints),
        spring=bending.spring_back(layers, spring_back, units) if made == "laminated" else None,
        planking=float(planking),
        half_breadths_to=half_breadths_to,
        flare=flare,
        spacing=float(spacing),
        units=units,
        frames=frames,
        ends=ends,
        shape=cut_beams(tops, ends, flare, spacing, edges),
    )


def _flare(flare_deg, x: np.ndarray) -> np.ndarray:
    """Tangent of the flare at each beam."""
    degrees = np.broadcast_to(np.asarray(flare_deg(x) if callable(flare_deg) else flare_deg, float), x.shape)
    if np.any(~(np.abs(degrees) < 80)):
        raise ValueError(f"A flare of {np.max(np.abs(degrees)):g} degrees: it is measured off plumb, and under 80.")
    return np.tan(np.radians(degrees))


def _deck_edges(sheer, frames: Frames) -> np.ndarray:
    """Signed y where each beam's plane, at its mark, meets the deck edges: (n, 2)."""
    out = []
    for side in ("port", "starboard"):
        x = frames.x
        if frames.raked.any():
            lean = frames.sine / frames.cosine
            for _ in range(20):
                miss = frames.x + (sheer.height(side, x, 0) - frames.z) * lean - x
                x = x + miss / (1 - sheer.height(side, x, 1) * lean)
        out.append(np.maximum(sheer.half_breadth(side, x, 0), 0.0))
    return SIGN * np.stack(out, axis=-1)


def _cambers(deck, frames: Frames, edges: np.ndarray) -> np.ndarray:
    """The crown rule's camber at each mark, a beam's own, or what a raked plane cuts."""
    camber = np.where(frames.own >= 0, frames.own, deck.camber(frames.x))
    raked = np.flatnonzero(frames.raked)
    if raked.size:
        tops = Tops(deck, frames, "deck" if deck.depth("deck") == 0 else "beam")
        places = np.column_stack([edges[raked, 0], np.zeros(raked.size), edges[raked, 1]])
        up = tops.cut(np.repeat(raked, 3), np.zeros(places.size), places.ravel()).up.reshape(-1, 3)
        part = -edges[raked, 0] / (edges[raked, 1] - edges[raked, 0])
        camber[raked] = up[:, 1] - (up[:, 0] + part * (up[:, 2] - up[:, 0]))
    return camber
