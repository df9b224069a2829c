"""
Where fastenings go and how many: along beams, edges and joints, at true lengths, clear of edges and openings.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import partial

import numpy as np

from deckgeom.laying.fastenings_hold import HARD, fastening_length, pilot_hole, screw_diameter, withdrawal
from deckgeom.laying.fastenings_joints import clear_of_joints, fastened_edge, joint_rows, support_line
from deckgeom.laying.fastenings_lines import FasteningRow, Support, even_row
from deckgeom.laying.sheets_outline import DeckPlan
from deckgeom.units import format_length

__all__ = ["KINDS", "SEAM", "FasteningChoices", "FasteningPlan", "FasteningRow", "driving_words", "fastening_length",
           "pilot_hole", "plan_fastenings", "screw_diameter", "timber_warnings", "withdrawal"]  # fmt: skip

KINDS = {"beam": "beams", "carlin": "carlins beside openings", "edge": "the deck edge", "board": "covering boards and "
         "king plank", "joint": "butts on beams", "strap": "straps under butts", "block": "butt blocks"}  # fmt: skip
"""Kinds of rows, and how they are called."""
SEAM = 8.0
"""Kept from a plank's edge at least; a quarter of its width where that is more. Common practice, no source. [mm]"""
SIDING = 44.0
"""Of a beam given by its middle alone. [mm]"""


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
        From a butt to the row on each side of it, and to any other fastening. [mm]
    strap : float
        Breadth of the strap under a butt that lies on no beam; 0 for none. [mm]
    spares : float
        Part bought over the count. [1]
    by_plank : bool
        Two in each plank on each beam, in place of a spacing along the beams.

    Examples
    --------
    >>> FasteningChoices().spacing
    150.0
    """

    spacing: float = 150.0
    edge_spacing: float = 100.0
    edge: float = 20.0
    beside: float = 15.0
    strap: float = 0.0
    spares: float = 0.1
    by_plank: bool = False

    def __post_init__(self) -> None:
        if not min(self.spacing, self.edge_spacing) > 0 or min(self.edge, self.beside, self.strap, self.spares) < 0:
            raise ValueError(
                f"spacings {self.spacing:g} and {self.edge_spacing:g} mm, {self.edge:g} mm from edges, "
                f"{self.beside:g} mm beside joints, spares {self.spares:g}: spacings are above 0, the rest nought or "
                "more. Is one left blank?"
            )
        if self.spares > 1:
            raise ValueError(f"spares {self.spares:g}: a part of the count, 0.1 for a tenth. Is it in per cent?")


@dataclass(frozen=True, eq=False)
class FasteningPlan:
    """
    All rows. Made by `plan_fastenings`.

    Parameters
    ----------
    rows : tuple of FasteningRow
    choices : FasteningChoices
    straps : tuple of float
        Length of each strap or butt block. [mm]

    Examples
    --------
    >>> FasteningPlan((), FasteningChoices()).to_buy("beam")
    0
    """

    rows: tuple[FasteningRow, ...]
    choices: FasteningChoices
    straps: tuple[float, ...] = ()

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
        say, lines = partial(format_length, units=units), []
        for kind, called in KINDS.items():
            if self.count(kind):
                lines.append(
                    f"Along {called}: {self.count(kind)} fastenings{self._apart(kind, say)}, {self.to_buy(kind)} with "
                    "spares (spacing: common practice, no source)."
                )
        if self.straps:
            lines.append(
                f"{len(self.straps)} straps or blocks under butts, {say(sum(self.straps))} in all, fitted between the "
                "beams and glued (common practice, no source)."
            )
        clear = [f"{say(self.choices.edge)} to the deck edge or an opening", f"{say(self.choices.beside)} to a butt"]
        clear += [f"{say(SEAM)} to the edge of a plank"] if self.choices.by_plank else []
        lines.append(f"No fastening stands nearer than {', '.join(clear)} (common practice, no source).")
        return (*lines, "Whether this holds a deck is not told here: local rules and a licensed designer or surveyor.")

    def _apart(self, kind: str, say) -> str:
        if kind in ("board", "block") or (kind == "beam" and self.choices.by_plank):
            return ", two in each plank" if kind == "beam" else ""
        return f" at most {say(self.choices.edge_spacing if kind == 'edge' else self.choices.spacing)} apart"


def plan_fastenings(deck, plan: DeckPlan, supports, joints=(), choices: FasteningChoices | None = None, *,
                    butted: bool = True) -> FasteningPlan:  # fmt: skip
    """
    Rows of a plywood skin: along every beam and carlin, both deck edges and every butted joint.

    Parameters
    ----------
    deck : Deck
    plan : DeckPlan
        Its edges and openings.
    supports : sequence of Support or (str, float)
        What is driven into; or name and middle along the boat of a beam from edge to edge. [mm]
    joints : sequence of Joint
        With ``skin``, ``run``, ``x0``, ``y0``, ``x1``, ``y1``.
    choices : FasteningChoices, optional
    butted : bool
        Whether joints are butts: two rows on the beam, or through a strap where there is none. Scarfs are glued and
        held by cleats until they have set; the beam's own row goes through them.

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
    supports = [_whole(one) if len(one) == 2 else one for one in supports]
    joints = tuple(joints) if butted else ()
    rows, straps = joint_rows(deck, plan, joints, supports, choices)
    for one in supports:
        line = support_line(plan, one, choices.edge)
        if line is not None:
            keep = partial(clear_of_joints, joints=joints, beside=choices.beside)
            rows.append(even_row(deck, plan, one.name, one.kind, line, choices.spacing, choices.edge, keep))
    for side in ("port", "starboard"):
        line = fastened_edge(deck, plan, side, choices.edge)
        rows.append(even_row(deck, plan, f"{side} edge", "edge", line, choices.edge_spacing, choices.edge))
    found = sorted((row for row in rows if row is not None), key=lambda row: tuple(KINDS).index(row.kind))
    return FasteningPlan(tuple(found), choices, straps)


def _whole(beam) -> Support:
    name, x = beam
    return Support(str(name), "beam", float(x) - SIDING / 2, float(x) + SIDING / 2, -np.inf, np.inf)


def driving_words(
    what: str, diameter: float, gravity: float, units: str = "mm", timber: str = ""
) -> tuple[str, ...]:
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
    timber : str
        Its name, where it is known.

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
    return (first, *timber_warnings(timber[:1].upper() + timber[1:] or "The beams' timber", gravity))


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
