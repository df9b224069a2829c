"""
What is wanted of the sheets, and every layout of seams that is tried.

A *layout* fixes which way the sheets lie and where the seams along the deck run; it parts the deck into bands. Along
each band the joints across it are chosen like the stops of a journey: no leg longer than a sheet.
"""

from __future__ import annotations

import itertools
from dataclasses import dataclass

import numpy as np

from deckgeom.laying.sheets_outline import NONE, DeckPlan, Strip

__all__ = ["Band", "Layout", "SheetChoices", "layouts_of"]

WAYS, JOINTS = ("fore-and-aft", "athwart"), ("on beams", "between beams", "either", "anywhere")
#: Seam positions tried for each way that sheets may lie.
PHASES = 12
#: Joints anywhere are looked for on this many places in one sheet.
PLACES = 6


@dataclass(frozen=True)
class SheetChoices:
    """
    What the builder wants of the sheets.

    Parameters
    ----------
    length, width : float
        Of a sheet, as measured; the face grain runs along the length. [mm]
    skins : tuple of float
        Thickness of each skin, lowest first, as measured. [mm]
    ratio : float
        Of the scarfs, n of n:1; 0 for butts, which take no length. [1]
    joints : {"on beams", "between beams", "either", "anywhere"}
        Where joints across the boat may lie.
    way : {"either", "fore-and-aft", "athwart"}
        Which way the length of a sheet lies.
    stagger : float
        Least distance between parallel joints in skins that lie on each other, and least piece between two joints. [mm]
    clear : float
        Least distance of a joint from a corner of an opening and from a chainplate. [mm]
    least : float
        Pieces shorter or narrower are avoided where that can be. [mm]
    margin : float
        Left over at the deck edge, to trim off. [mm]
    kerf : float
        Lost between pieces cut from one sheet. [mm]
    wanted : int
        Plans to give, best first.
    seconds : float
        Time for the search. [s]

    Examples
    --------
    >>> SheetChoices(2440, 1220, (6, 6)).taper(0)
    48.0
    """

    length: float
    width: float
    skins: tuple[float, ...]
    ratio: float = 8.0
    joints: str = "on beams"
    way: str = "either"
    stagger: float = 300.0
    clear: float = 75.0
    least: float = 150.0
    margin: float = 20.0
    kerf: float = 5.0
    wanted: int = 5
    seconds: float = 4.0

    def __post_init__(self) -> None:
        object.__setattr__(self, "skins", tuple(float(t) for t in self.skins))
        if not (0 < self.width < np.inf and 0 < self.length < np.inf) or not self.skins or min(self.skins) <= 0:
            raise ValueError(
                f"sheets {self.length:g} by {self.width:g} mm in skins of {self.skins} mm: each is above 0. Is one "
                "left blank? Measure a sheet and write what it measures."
            )
        if self.joints not in JOINTS or self.way not in ("either", *WAYS):
            raise ValueError(
                f"joints {self.joints!r}, way {self.way!r}: joints are one of {', '.join(JOINTS)}; the way is either, "
                f"{' or '.join(WAYS)}."
            )
        for name in ("ratio", "stagger", "clear", "least", "margin", "kerf"):
            if not 0 <= getattr(self, name) < np.inf:
                raise ValueError(f"{name} {getattr(self, name):g}: it is nought or more. Is there a stray minus?")

    def taper(self, skin: int) -> float:
        """Length of a scarf in one skin, which two sheets lose together. [mm]"""
        return self.ratio * self.skins[skin]


@dataclass(frozen=True, eq=False)
class Band:
    """
    A run of deck between two seams, with the places where joints may cross it.

    Parameters
    ----------
    low, high : float
        Seams, or infinite at the deck edge. [mm]
    strip : Strip
    at : (n,) array
        Its two ends and the places between. [mm]
    cost : (n,) array
        Length of a joint at each, nought at the ends. [mm]
    reach : (float, float, float)
        Longest piece with a joint at neither end, at one, at both. [mm]
    spacing : float
        Least from joint to joint. [mm]

    Examples
    --------
    Made by `layouts_of`.

    >>> Band.__name__
    'Band'
    """

    low: float
    high: float
    strip: Strip
    at: np.ndarray
    cost: np.ndarray
    reach: tuple[float, float, float]
    spacing: float

    def next_places(self, place: int) -> tuple[int, int]:
        """Farthest place that a piece from here can reach with a joint there; and the end, -1 if out of reach."""
        at, slack = self.at, 1e-6
        joints = 1 if place == 0 else 2
        far = int(np.searchsorted(at[:-1], at[place] + self.reach[joints] + slack, "right")) - 1
        ends = at[-1] - at[place] <= self.reach[joints - 1] + slack
        return far, len(at) - 1 if ends else -1

    def least_cost(self) -> float:
        """Of all journeys along the band, alone; infinite where there is none. [mm]"""
        best = np.full(len(self.at), np.inf)
        best[0] = 0.0
        for i in range(len(self.at) - 1):
            far, end = self.next_places(i)
            for j in range(i + 1, far + 1):
                if i == 0 or self.at[j] - self.at[i] >= self.spacing - 1e-9:
                    best[j] = min(best[j], best[i] + self.cost[j])
            if end > 0:
                best[-1] = min(best[-1], best[i])
        return float(best[-1])


@dataclass(frozen=True, eq=False)
class Layout:
    """
    One way to lay a skin, before its joints across are chosen.

    Parameters
    ----------
    way : str
    seams : tuple of float
        Off the centreline. [mm]
    bands : tuple of Band
        One alone, over all seams, where joints run right across.
    seam_length : float
        [mm]
    bound : float
        The least that seams and joints come to, other skins not asked. [mm]

    Examples
    --------
    >>> Layout("athwart", (), (), 0.0, 0.0).seams
    ()
    """

    way: str
    seams: tuple[float, ...]
    bands: tuple[Band, ...]
    seam_length: float
    bound: float


def _places(plan: DeckPlan, beams: np.ndarray, choices: SheetChoices, reach: float) -> np.ndarray:
    """Where joints across may lie."""
    middles = (beams[1:] + beams[:-1]) / 2
    if choices.joints == "on beams":
        at = beams
    elif choices.joints == "between beams":
        at = middles
    elif choices.joints == "either":
        at = np.r_[beams, middles]
    else:
        steps = int(np.ceil((plan.end - plan.start) / reach * PLACES))
        at = np.r_[beams, middles, np.linspace(plan.start, plan.end, max(steps, 2) + 1)]
    return np.unique(np.round(at, 3))


def _joint_barred(plan: DeckPlan, at: np.ndarray, low: float, high: float, clear: float) -> np.ndarray:
    """Joints that would meet a corner or pass a chainplate."""
    barred = np.zeros(len(at), bool)
    for box in plan.openings:
        for y in (box.y0, box.y1):
            if low - clear < y < high + clear:
                barred |= (np.abs(at - box.x0) < clear) | (np.abs(at - box.x1) < clear)
    for box in plan.clear_of:
        if low - clear < box.y1 and box.y0 < high + clear:
            barred |= (at > box.x0 - clear) & (at < box.x1 + clear)
    return barred


def _seam_barred(plan: DeckPlan, y: float, clear: float) -> bool:
    corners = [v for box in plan.openings for v in (box.y0, box.y1)]
    return any(abs(y - v) < clear for v in corners) or any(b.y0 - clear < y < b.y1 + clear for b in plan.clear_of)


def _band(plan: DeckPlan, strip: Strip, low, high, places, choices: SheetChoices, reach: float, taper: float) -> Band:
    x0, x1 = float(strip.x[0]), float(strip.x[-1])
    short = max(taper, choices.least, NONE)
    at = places[(places > x0 + short) & (places < x1 - short)]
    if choices.clear:
        at = at[~_joint_barred(plan, at, low, high, choices.clear)]
    cost = np.array([plan.joint_length(x, low, high) for x in at])
    at, cost = np.r_[x0, at, x1], np.r_[0.0, cost, 0.0]
    lost = ((2 * choices.margin), choices.margin + taper / 2, taper)
    spacing = max(short, choices.stagger if len(choices.skins) > 1 else 0.0)
    return Band(low, high, strip, at, cost, tuple(reach - part for part in lost), spacing)


def _seams(plan: DeckPlan, phase: float, breadth: float, taper: float, margin: float) -> tuple[float, ...] | None:
    """Seams a sheet's net breadth apart from a first one outwards, one more where the edge is out of reach."""
    net, grown = breadth - taper, plan.grown(margin)
    outer = breadth - taper / 2
    starboard, port = grown.starboard.max(), grown.port.max()
    if net <= 2 * margin:
        return None
    up, down = [phase], []
    while starboard - up[-1] > outer:
        up.append(up[-1] + net)
    last = phase
    while port + last > outer:
        last -= net
        down.append(last)
    inside = sorted(y for y in down + up if -plan.port.max() + NONE < y < plan.starboard.max() - NONE)
    if not inside or inside[0] + port > outer + NONE or starboard - inside[-1] > outer + NONE:
        return None  # a seam fell into the margin that is trimmed off
    return tuple(inside)


def layouts_of(plan: DeckPlan, beams, choices: SheetChoices, skin: int) -> list[Layout]:
    """
    Every layout that is tried for one skin.

    Parameters
    ----------
    plan : DeckPlan
    beams : (n,) array
        Middles of the beams. [mm]
    choices : SheetChoices
    skin : int

    Returns
    -------
    list of Layout
        Those that the wishes allow.

    Examples
    --------
    >>> plan = DeckPlan([0, 2400], [600, 600], [600, 600])
    >>> [layout.bound for layout in layouts_of(plan, [600, 1200, 1800], SheetChoices(2450, 1250, (9,)), 0)][:1]
    [0.0]
    """
    beams, taper = np.unique(np.asarray(beams, float)), choices.taper(skin)
    found: dict[tuple, Layout] = {}
    for way in WAYS if choices.way == "either" else (choices.way,):
        reach, breadth = (choices.length, choices.width)[:: 1 if way == WAYS[0] else -1]
        places = _places(plan, beams, choices, max(reach - taper, 1.0))
        for seams in _seam_sets(plan, breadth, taper, choices):
            layout = _layout(plan, way, seams, places, choices, reach, taper)
            if layout is not None and np.isfinite(layout.bound):
                found.setdefault((way, seams), layout)
    return list(found.values())


def _seam_sets(plan: DeckPlan, breadth: float, taper: float, choices: SheetChoices) -> list[tuple[float, ...]]:
    sets: list[tuple[float, ...]] = []
    grown = plan.grown(choices.margin)
    if grown.port.max() + grown.starboard.max() <= breadth:
        sets.append(())
    for k in range(PHASES):
        seams = _seams(plan, k * (breadth - taper) / PHASES, breadth, taper, choices.margin)
        if not seams or any(_seam_barred(plan, y, choices.clear) for y in seams):
            continue
        widths = (seams[0] + plan.port.max(), plan.starboard.max() - seams[-1])
        if min(widths) >= max(choices.least, taper):
            sets.append(tuple(round(y, 6) for y in seams))
    return sets


def _layout(plan, way: str, seams, places, choices, reach: float, taper: float) -> Layout | None:
    edges = (-np.inf, *seams, np.inf)
    pairs = list(itertools.pairwise(edges)) if way == WAYS[0] else [(-np.inf, np.inf)]
    bands = tuple(
        _band(plan, strip, low, high, places, choices, reach, taper)
        for low, high in pairs
        for strip in plan.strips(-np.inf, np.inf, low, high)
    )
    length = sum(plan.seam_length(y, plan.start, plan.end) for y in seams)
    return Layout(way, seams, bands, length, length + sum(band.least_cost() for band in bands))
