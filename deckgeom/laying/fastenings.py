"""
Where fastenings go and how many: along beams, edges and joints, at true lengths, clear of edges and openings.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from deckgeom.laying.fastenings_hold import HARD, fastening_length, pilot_hole, screw_diameter, withdrawal
from deckgeom.laying.planks import inside_edge
from deckgeom.laying.sheets_outline import Box, DeckPlan
from deckgeom.units import format_length

__all__ = ["FasteningChoices", "FasteningPlan", "FasteningRow", "driving_words", "fastening_length", "pilot_hole",
           "plan_fastenings", "relief_holes", "screw_diameter", "timber_warnings", "withdrawal"]  # fmt: skip

#: Lines are followed in steps about this long. [mm]
STEP = 2.0


@dataclass(frozen=True)
class FasteningChoices:
    """
    Spacings and distances; every default is common practice without a source.

    Parameters
    ----------
    spacing : float
        Along beams and joints. [mm]
    edge_spacing : float
        Along the deck edge. [mm]
    edge : float
        From the deck edge and from openings. [mm]
    beside : float
        From a joint to the row on each side of it; 0 for one row along it. [mm]
    spares : float
        Part bought over the count. [1]

    Examples
    --------
    >>> FasteningChoices().spacing
    150.0
    """

    spacing: float = 150.0
    edge_spacing: float = 100.0
    edge: float = 20.0
    beside: float = 15.0
    spares: float = 0.1

    def __post_init__(self) -> None:
        if not min(self.spacing, self.edge_spacing) > 0 or min(self.edge, self.beside, self.spares) < 0:
            raise ValueError(
                f"spacings {self.spacing:g} and {self.edge_spacing:g} mm, {self.edge:g} mm from edges, "
                f"{self.beside:g} mm beside joints, spares {self.spares:g}: spacings are above 0, the rest nought or "
                "more. Is one left blank?"
            )
        if self.spares > 1:
            raise ValueError(f"spares {self.spares:g}: a part of the count, 0.1 for a tenth. Is it in per cent?")


@dataclass(frozen=True, eq=False)
class FasteningRow:
    """
    One row of fastenings.

    Parameters
    ----------
    name : str
        Of its beam, edge or joint.
    kind : str
        "beam", "edge" or "joint".
    x, y : (n,) array
        Where each goes; y starboard positive. [mm]
    length : float
        Over the deck from first to last, openings left out. [mm]

    Examples
    --------
    >>> FasteningRow("4", "beam", np.zeros(3), np.array([-100.0, 0, 100]), 200.0).count
    3
    """

    name: str
    kind: str
    x: np.ndarray
    y: np.ndarray
    length: float

    @property
    def count(self) -> int:
        """How many."""
        return len(self.x)


@dataclass(frozen=True, eq=False)
class FasteningPlan:
    """
    All rows. Made by `plan_fastenings`.

    Parameters
    ----------
    rows : tuple of FasteningRow
    choices : FasteningChoices

    Examples
    --------
    >>> FasteningPlan((), FasteningChoices()).to_buy("beam")
    0
    """

    rows: tuple[FasteningRow, ...]
    choices: FasteningChoices

    def count(self, kind: str | None = None) -> int:
        """How many in the rows of a kind, or in all."""
        return sum(row.count for row in self.rows if kind in (None, row.kind))

    def to_buy(self, kind: str | None = None) -> int:
        """The count with spares."""
        return math.ceil(self.count(kind) * (1 + self.choices.spares) - 1e-9)

    def words(self, units: str = "mm") -> tuple[str, ...]:
        """
        Counts by kind of row, with spares.

        Parameters
        ----------
        units : {"mm", "ft-in-8", "in"}

        Returns
        -------
        tuple of str
        """
        lines = []
        for kind, spacing in (("beam", self.choices.spacing), ("edge", self.choices.edge_spacing),
                              ("joint", self.choices.spacing)):  # fmt: skip
            if self.count(kind):
                lines.append(
                    f"Along {kind}s: {self.count(kind)} fastenings at most {format_length(spacing, units)} apart, "
                    f"{self.to_buy(kind)} with spares (spacing: common practice, no source)."
                )
        return (*lines, "Whether this holds a deck is not told here: local rules and a licensed designer or surveyor.")


def _follow(deck, x, y) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """A line in plan in small steps, with the true length over the deck to each."""
    x, y = np.asarray(x, float), np.asarray(y, float)
    steps = np.maximum(1, np.ceil(np.hypot(np.diff(x), np.diff(y)) / STEP)).astype(int)
    at = np.concatenate([[0.0], *(k + np.arange(1, n + 1) / n for k, n in enumerate(steps))])
    x, y = (np.interp(at, np.arange(len(steps) + 1), v) for v in (x, y))
    z = deck.height(x, y)
    run = np.sqrt(np.diff(x) ** 2 + np.diff(y) ** 2 + np.diff(z) ** 2)
    return x, y, np.concatenate([[0.0], np.cumsum(run)])


def _to_box(x, y, box: Box) -> np.ndarray:
    """Distance in plan to a rectangle, nought inside."""
    off = np.maximum(box.x0 - x, x - box.x1), np.maximum(box.y0 - y, y - box.y1)
    return np.hypot(np.maximum(off[0], 0), np.maximum(off[1], 0))


def _clear(plan: DeckPlan, edge: float, x, y) -> np.ndarray:
    """Which points keep their distance from the deck edge and from openings."""
    good = np.ones(len(x), bool)
    for box in (*plan.openings, *plan.clear_of):
        good &= _to_box(x, y, box) >= edge - 1e-9
    for half, sign in ((plan.port, -1.0), (plan.starboard, 1.0)):
        ends = np.column_stack([plan.x, sign * half])
        for (ax, ay), (bx, by) in zip(ends[:-1], ends[1:], strict=True):
            near = (x > min(ax, bx) - edge) & (x < max(ax, bx) + edge) & (sign * y > min(sign * ay, sign * by) - edge)
            if near.any():
                px, py, dx, dy = x[near] - ax, y[near] - ay, bx - ax, by - ay
                part = np.clip((px * dx + py * dy) / (dx * dx + dy * dy), 0, 1)
                good[near] &= np.hypot(px - part * dx, py - part * dy) >= edge - 0.05
    inside = (y > -np.interp(x, plan.x, plan.port) - 1e-6) & (y < np.interp(x, plan.x, plan.starboard) + 1e-6)
    return good & inside & (x >= plan.start + edge - 1e-6) & (x <= plan.end - edge + 1e-6)


def _row(deck, plan, name: str, kind: str, line, spacing: float, edge: float) -> FasteningRow | None:
    """Even steps no longer than the spacing over each clear run of a line, both its ends fastened."""
    x, y, run = _follow(deck, *line)
    good = _clear(plan, edge, x, y)
    bounds = np.flatnonzero(np.diff(np.r_[0, good.astype(int), 0]))
    found, length = [], 0.0
    for a, b in zip(bounds[::2], bounds[1::2] - 1, strict=True):
        whole = run[b] - run[a]
        count = max(int(math.ceil(whole / spacing - 1e-6)), 1) + 1 if whole > 2 * edge else 1
        at = np.linspace(run[a], run[b], count) if count > 1 else np.array([(run[a] + run[b]) / 2])
        found.append((np.interp(at, run, x), np.interp(at, run, y)))
        length += whole
    if not found:
        return None
    x, y = (np.concatenate(part) for part in zip(*found, strict=True))
    return FasteningRow(name, kind, x, y, float(length))


def plan_fastenings(deck, plan: DeckPlan, beams, joints=(), choices: FasteningChoices | None = None) -> FasteningPlan:
    """
    Rows along every beam, both deck edges and every joint.

    Parameters
    ----------
    deck : Deck
    plan : DeckPlan
        Its edges and openings.
    beams : sequence of (str, float)
        Name and middle along the boat of each. [mm]
    joints : sequence of Joint
        With ``skin``, ``run``, ``x0``, ``y0``, ``x1``, ``y1``.
    choices : FasteningChoices, optional

    Returns
    -------
    FasteningPlan

    Notes
    -----
    A clear run of true length L takes ceil(L / s) + 1 fastenings at even steps: measured over the camber, not in plan.

    Examples
    --------
    >>> from deckgeom.deck.crown import OneMould
    >>> from deckgeom.deck.even_hull import even_hull
    >>> from deckgeom.deck.surface import Deck
    >>> from deckgeom.laying.sheets_outline import deck_plan
    >>> deck = Deck(even_hull(length=6000, half_breadth=1000), OneMould("circle", 60))
    >>> plan_fastenings(deck, deck_plan(deck), [("4", 0.0)]).count("beam")
    15
    """
    choices = choices or FasteningChoices()
    rows = []
    for name, x in beams:
        y = np.array([-np.interp(x, plan.x, plan.port), np.interp(x, plan.x, plan.starboard)])
        if plan.start <= x <= plan.end and y[1] - y[0] > 2 * choices.edge:
            rows.append(_row(deck, plan, str(name), "beam", (np.full(2, float(x)), y), choices.spacing, choices.edge))
    for side, sign in (("port", -1.0), ("starboard", 1.0)):
        x = np.linspace(plan.start, plan.end, 97)
        steep = float(np.abs(deck.slopes(x, deck.edge(side, x)[0])[1]).max())
        x, y = inside_edge(deck, side, choices.edge * math.hypot(1, steep) + 0.5)
        rows.append(_row(deck, plan, f"{side} edge", "edge", (x, sign * y), choices.edge_spacing, choices.edge))
    for number, joint in enumerate(joints, 1):
        for off in (-choices.beside, choices.beside) if choices.beside else (0.0,):
            dx, dy = (off, 0.0) if joint.run == "across" else (0.0, off)
            line = np.array([joint.x0 + dx, joint.x1 + dx]), np.array([joint.y0 + dy, joint.y1 + dy])
            rows.append(_row(deck, plan, f"joint {number}", "joint", line, choices.spacing, choices.edge))
    return FasteningPlan(tuple(row for row in rows if row is not None), choices)


def relief_holes(plan: DeckPlan, beams, spacing: float = 300.0, edge: float = 50.0) -> np.ndarray:
    """
    Small holes that let air and glue out from under a sheet, midway between beams.

    Parameters
    ----------
    plan : DeckPlan
    beams : (n,) array
        Middles along the boat. [mm]
    spacing : float
        Athwartships. Default: common practice, no source. [mm]
    edge : float
        Kept from the deck edge and openings. [mm]

    Returns
    -------
    (m, 2) array
        x and y of each. [mm]

    Examples
    --------
    >>> relief_holes(DeckPlan([0, 2000], [500, 500], [500, 500]), [500, 1000], 300).tolist()
    [[750.0, -300.0], [750.0, 0.0], [750.0, 300.0]]
    """
    beams = np.unique(np.asarray(list(beams), float))
    x = (beams[1:] + beams[:-1]) / 2
    reach = int(max(plan.port.max(), plan.starboard.max()) // spacing) + 1
    x, y = (v.ravel() for v in np.meshgrid(x, np.arange(-reach, reach + 1) * float(spacing), indexing="ij"))
    good = _clear(plan, edge, x, y)
    return np.column_stack([x[good], y[good]])


def driving_words(what: str, diameter: float, gravity: float, units: str = "mm") -> tuple[str, ...]:
    """
    How the fastenings are driven into the beams: the hole to drill, and what to know of the timber.

    Parameters
    ----------
    what : {"wood screw", "ring nail", "smooth nail"}
    diameter : float
        Of the shank. [mm]
    gravity : float
        Specific gravity of the beams. [1]
    units : {"mm", "ft-in-8", "in"}
        The hole is given to a tenth of a millimetre in each, as drills are sold.

    Returns
    -------
    tuple of str

    Examples
    --------
    >>> driving_words("ring nail", 3.0, 0.40)[0].partition(" for ")[0]
    'No hole need be drilled in the beams'
    >>> driving_words("wood screw", 4.0, 0.65)[0]
    'Drill 3.6 mm in the beams for a wood screw of 4.0 mm (common practice, no source): try one in an offcut.'
    """
    hole = pilot_hole(what, diameter, gravity)
    inches = "" if units == "mm" else f" ({format_length(hole, units, fine=True)})"
    drill = f"Drill {hole:.1f} mm{inches} in the beams" if hole else "No hole need be drilled in the beams"
    first = f"{drill} for a {what} of {diameter:.1f} mm (common practice, no source): try one in an offcut."
    return (first, *timber_warnings("The beams' timber", gravity))


def timber_warnings(timber: str, gravity: float) -> tuple[str, ...]:
    """
    What to know before driving fastenings into a timber.

    Parameters
    ----------
    timber : str
        Of the beams.
    gravity : float
        Its specific gravity. [1]

    Returns
    -------
    tuple of str
        All common practice, no source.

    Examples
    --------
    >>> timber_warnings("spruce", 0.40)
    ()
    """
    found = []
    if gravity >= HARD:
        found.append(f"{timber} is hard (specific gravity {gravity:g}): drill every hole, and try an offcut first.")
    if "oak" in timber.lower():
        found.append("Oak eats plain and galvanised steel and is stained by it: use bronze or stainless fastenings.")
    if "cedar" in timber.lower():
        found.append("Cedar is soft and stains round steel; its dust sensitises: wear a mask.")
    return tuple(f"{line} (Common practice, no source.)" for line in found)
