"""
Carlins between beams, and the king plank on the centreline.

A *carlin* runs fore and aft between two beams, such as beside a hatch, with its top fair to the tops of the beams. The
*king plank* is the one on the centreline, into which the others are cut, or which is let into the beams.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial

import numpy as np

from deckgeom.deck._closed import closed
from deckgeom.units import format_length, format_offcentre

__all__ = ["Carlin", "KingPlank", "carlin", "king_plank"]

PLACES = 65


@dataclass(frozen=True, eq=False)
class Carlin:
    """
    A fore-and-aft timber between two beams. Made by `carlin`.

    Parameters
    ----------
    name : str
    between : (str, str)
        The beams, forward and after.
    x, y, height : (n,) float
        The middle of its top, from the forward beam's after face to the after beam's forward face. [mm]
    height_port, height_starboard : (n,) float
        Of its two top edges, half the siding square off in plan. [mm]
    bevel_deg : (n,) float
        Of its top, square to the timber's run in plan, off level: above 0 it falls to starboard. [deg]
    bend_plan, bend_profile : float
        Greatest distance of the middle line from the straight line joining its ends, seen from above and from the side.
        [mm]
    length : float
        Of the middle line, along its bends. [mm]
    end_gap : (float, float)
        How far the beams' own tops stand above (+) or below (-) the deck's fair surface at its ends. [mm]
    siding : float
        [mm]
    units : str

    Examples
    --------
    See `carlin`.

    >>> Carlin.__name__
    'Carlin'
    """

    name: str
    between: tuple[str, str]
    x: np.ndarray
    y: np.ndarray
    height: np.ndarray
    height_port: np.ndarray
    height_starboard: np.ndarray
    bevel_deg: np.ndarray
    bend_plan: float
    bend_profile: float
    length: float
    end_gap: tuple[float, float]
    siding: float
    units: str = "mm"

    def __post_init__(self) -> None:
        """Copy and close the arrays."""
        for name in ("x", "y", "height", "height_port", "height_starboard", "bevel_deg"):
            object.__setattr__(self, name, closed(getattr(self, name)))

    def words(self, units: str | None = None) -> tuple[str, ...]:
        """What to cut, in sentences."""
        units = units or self.units
        mm = partial(format_length, units=units)
        places = [f"{mm(self.x[i])}, {format_offcentre(self.y[i], units)}" for i in (0, -1)]
        first, last = (
            f"{mm(self.height[i])} high at {place}, {_fall(self.bevel_deg[i])}"
            for i, place in zip((0, -1), places, strict=True)
        )
        out = [
            f"Carlin {self.name}, from beam {self.between[0]} to beam {self.between[1]}: {mm(self.length)} along its "
            "top between the beams; add what is let into each.",
            f"The middle of its top: {first}; {last}.",
            f"Its top bends {mm(self.bend_profile)} in profile and {mm(self.bend_plan)} in plan off the straight line "
            "joining its ends.",
        ]
        for beam, gap in zip(self.between, self.end_gap, strict=True):
            if abs(gap) > 0.5:
                way = "above" if gap > 0 else "below"
                out.append(
                    f"Beam {beam} has a camber of its own and stands {mm(abs(gap))} {way} the fair deck there: fair "
                    "the carlin to the beam."
                )
        return tuple(out)


def _fall(bevel: float) -> str:
    if abs(bevel) < 0.05:
        return "its top level across"
    return f"its top falling {abs(bevel):.1f} degrees to {'starboard' if bevel > 0 else 'port'}"


def _along(y, x: np.ndarray) -> np.ndarray:
    """Distances off the centreline of a line that is given as one, as two ends or as a function."""
    if callable(y):
        return np.broadcast_to(np.asarray(y(x), float), x.shape)
    ends = np.atleast_1d(np.asarray(y, float))
    if ends.size not in (1, 2):
        raise ValueError(f"{ends.size} widths or distances off the centreline: give one, or one for each end.")
    return np.interp(x, x[[0, -1]], [ends[0], ends[-1]])


def carlin(beams, name: str, first: str, last: str, y: float | tuple | Callable, siding: float = 40.0) -> Carlin:
    """
    A carlin between two beams.

    Parameters
    ----------
    beams : BeamSet
    name : str
    first, last : str
        Names of the beams that it runs between, the forward one first.
    y : float, (float, float) or callable
        Middle of it off the centreline, starboard positive: one distance, one at each end, or a function of x. [mm]
    siding : float
        Athwart. [mm]

    Returns
    -------
    Carlin

    Examples
    --------
    >>> from deckgeom.deck.beams import BeamMark, lay_out_beams
    >>> from deckgeom.deck.crown import OneMould
    >>> from deckgeom.deck.surface import Deck
    >>> from deckgeom.hull.sheer import Sheer
    >>> level = lambda height: lambda x, order=0: (height if order == 0 else 0.0) + 0.0 * x
    >>> deck = Deck(Sheer.from_curves(level(1500), level(800), start=0, end=6000), OneMould("circle", "1:30"))
    >>> beams = lay_out_beams(deck, [BeamMark("3", 1000, siding=40), BeamMark("5", 2000, siding=40)])
    >>> made = carlin(beams, "port of the hatch", "3", "5", y=-300)
    >>> round(made.length), made.bend_plan, abs(round(made.bend_profile, 9)), float(made.bevel_deg[0].round(2))
    (960, 0.0, 0.0, -1.52)
    """
    ends = beams[first], beams[last]
    start, stop = ends[0].faces_x[1], ends[1].faces_x[0]
    if not start < stop:
        raise ValueError(
            f"Carlin {name}: beam {first} ends at x {start:g} mm and beam {last} begins at {stop:g} mm: there is no "
            "room between them. Is the forward beam named first?"
        )
    if not siding > 0:
        raise ValueError(f"Carlin {name}: a siding of {siding:g} mm: it is above 0. Is it left blank?")
    x = np.linspace(start, stop, PLACES)
    line = _along(y, x)
    edges = [beams.deck.edge(side, x)[0] for side in ("port", "starboard")]
    if np.any((line < edges[0]) | (line > edges[1])):
        raise ValueError(f"Carlin {name}: it leaves the deck at x {x[np.argmax(np.abs(line))]:g} mm. Is y a breadth?")
    z, p, q = beams.deck.partials(x, line, 1, "beam")[:3]
    run = np.gradient(line, x, edge_order=2)
    root = np.sqrt(1 + run * run)
    half = siding / 2 / root
    port, starboard = (beams.deck.height(x - s * run * half, line + s * half, "beam") for s in (-1, 1))
    own = [float(b.height_at(v, f)[0]) for b, v, f in zip(ends, line[[0, -1]], ("after", "forward"), strict=True)]
    return Carlin(
        name, (first, last), x, line, z, port, starboard,
        bevel_deg=np.degrees(np.arctan((p * run - q) / root)),
        bend_plan=_off_chord(x, line), bend_profile=_off_chord(x, z),
        length=_length(x, line, z), end_gap=(own[0] - float(z[0]), own[1] - float(z[-1])), siding=float(siding),
        units=beams.units,
    )  # fmt: skip


def _off_chord(x, v) -> float:
    """Greatest distance from the straight line joining the ends."""
    way = np.array([x[-1] - x[0], v[-1] - v[0]])
    off = ((v - v[0]) * way[0] - (x - x[0]) * way[1]) / np.hypot(*way)
    return float(np.max(np.abs(off)))


def _length(x, y, z) -> float:
    """Length of a smooth line through many points: Simpson's rule on its speed."""
    from scipy.integrate import simpson

    slopes = (np.gradient(v, x, edge_order=2) for v in (y, z))
    return float(simpson(np.sqrt(1 + sum(s * s for s in slopes)), x=x))


@dataclass(frozen=True, eq=False)
class KingPlank:
    """
    The plank on the centreline. Made by `king_plank`.

    Parameters
    ----------
    x, breadth, height : (n,) float
        Stations, its breadth there, and the surface on the centreline. [mm]
    drop : (n, 2) float
        How far the surface falls from the centreline to its port and starboard edge: what is planed off a flat plank
        that is flush amidships. [mm]
    edge_slope_deg : (n, 2) float
        How steeply the surface falls outwards at its edges, port and starboard. [deg]
    length : float
        Along the crown. [mm]
    which : {"deck", "beam"}
        The surface: the deck's top, or the tops of the beams.

    Examples
    --------
    See `king_plank`.

    >>> KingPlank.__name__
    'KingPlank'
    """

    x: np.ndarray
    breadth: np.ndarray
    height: np.ndarray
    drop: np.ndarray
    edge_slope_deg: np.ndarray
    length: float
    which: str

    def __post_init__(self) -> None:
        """Copy and close the arrays."""
        for name in ("x", "breadth", "height", "drop", "edge_slope_deg"):
            object.__setattr__(self, name, closed(getattr(self, name)))

    def words(self, units: str = "mm") -> tuple[str, ...]:
        """What to cut, in sentences."""
        mm = partial(format_length, units=units)
        low, high = self.breadth[0], self.breadth[-1]
        size = mm(low) if abs(high - low) < 0.5 else f"{mm(low)} at its forward end to {mm(high)} at its after end"
        apart, under = float(np.max(np.abs(self.drop[:, 0] - self.drop[:, 1]))), "deck"
        if self.which == "beam":
            under = "beams"
        out = [
            f"King plank: {mm(self.length)} along the crown of the {under}, {size} broad.",
            f"A flat plank that is flush on the centreline stands proud at its edges: plane off up to "
            f"{mm(self.drop.max())}, to a slope of up to {self.edge_slope_deg.max():.1f} degrees at the edge.",
        ]
        if apart > 0.5:
            out.append(f"Port and starboard differ by up to {mm(apart)} there: mark each side.")
        return tuple(out)


def king_plank(deck, x: tuple[float, float], breadth, stations: int = 25, which: str = "deck") -> KingPlank:
    """
    The king plank's top against the crown.

    Parameters
    ----------
    deck : Deck
    x : (float, float)
        Its forward and after end. [mm]
    breadth : float or (float, float)
        The same all along, or at its forward and after end. [mm]
    stations : int
        2 or more.
    which : {"deck", "beam"}
        With its top flush with the deck's top, or with the tops of the beams.

    Returns
    -------
    KingPlank

    Examples
    --------
    >>> from deckgeom.deck.crown import SameProportion
    >>> from deckgeom.deck.even_hull import even_hull
    >>> from deckgeom.deck.surface import Deck
    >>> plank = king_plank(Deck(even_hull(), SameProportion("circle", "1:30")), (-1000, 1000), 150)
    >>> round(float(plank.drop.max()), 2), len(plank.x)
    (0.28, 25)
    """
    start, end = (float(v) for v in x)
    sheer = deck.sheer
    if not sheer.start <= start < end <= sheer.end:
        raise ValueError(
            f"A king plank from {start:g} to {end:g} mm: it runs aft within the deck, {sheer.start:g} to "
            f"{sheer.end:g} mm. Are the ends swapped?"
        )
    at = np.linspace(start, end, max(int(stations), 2))
    wide = _along(breadth, at)
    room = 2 * np.min([np.maximum(sheer.half_breadth(side, at, 0), 0.0) for side in ("port", "starboard")], axis=0)
    if np.any(wide <= 0) or np.any(wide > room + 1e-6):
        worst = int(np.argmax(wide - room))
        raise ValueError(
            f"A king plank {wide[worst]:g} mm broad at x {at[worst]:g} mm, where the deck has {room[worst]:.0f} mm: it "
            "is above 0 and within the deck. Let it end farther in, or taper it."
        )
    y = wide[:, None] / 2 * np.array([-1.0, 1.0])
    height = deck.height(at, 0.0, which)
    z, _, q = deck.partials(at[:, None], y, 1, which)[:3]
    fine = np.linspace(start, end, 4 * PLACES + 1)
    length = _length(fine, 0 * fine, deck.height(fine, 0.0, which))
    slope = np.degrees(np.arctan(-q * np.array([-1.0, 1.0])))
    return KingPlank(at, wide, height, height[:, None] - z, slope, length, which)
