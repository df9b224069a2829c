"""
The main job of a boat: from what her folder says to sheer, deck, beams, spiled edges and the verdict on measured tops.

Each step takes what the steps before it left; where one cannot be done, a complaint says why and the rest goes on.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np

from deckgeom.boat import Boat
from deckgeom.boat.log import few
from deckgeom.boat.on_board import fittings_off_board, marks_apart
from deckgeom.complaint import Complaint, needs_mending
from deckgeom.deck.beams import BeamSet, lay_out_beams
from deckgeom.deck.bending import TrialBeam
from deckgeom.deck.crown import OneMould, SameProportion
from deckgeom.deck.drawn import DrawnSection
from deckgeom.deck.flat_edge import flat_edge
from deckgeom.deck.lines import BeamByBeam, CrownLine
from deckgeom.deck.no_hump import NoHump
from deckgeom.deck.spiling import SpiledEdge
from deckgeom.deck.surface import Deck
from deckgeom.fairing.work import Fairing, fair_the_tops
from deckgeom.hull.offsets import SIDES
from deckgeom.hull.recheck import Move, recheck
from deckgeom.hull.sheer import Sheer
from deckgeom.hull.suspects import Suspect, find_suspects
from deckgeom.hull.swings import swings

if TYPE_CHECKING:
    from deckgeom.laying.plan import LayingPlan

__all__ = ["Job", "crown_rule", "do_job"]

#: Steps of the job, in order.
STEPS = ("sheer", "deck", "beams", "spiles", "fairing")


@dataclass(frozen=True, eq=False)
class Job:
    """
    Everything that could be worked out for one boat; made by `do_job`.

    Parameters
    ----------
    boat : Boat
        As read.
    suspects : tuple of Suspect
        Offsets that are probably wrong, surest first.
    aside : tuple of (str, str)
        Column and station of the offsets that do not pull the sheer.
    sheer : Sheer or None
    deck : Deck or None
    beams : BeamSet or None
    spiles : tuple of SpiledEdge
        Deck edges laid flat, port and starboard.
    fairing : Fairing or None
        Readings brought to true heights, and the verdict on them.
    move : Move or None
        How the hull has moved by her marks; None where fewer than four were measured twice.
    complaints : tuple of Complaint
        All that is wrong, doubtful or worth knowing: of the files, the offsets, the beams and the readings.

    Examples
    --------
    >>> from pathlib import Path
    >>> from deckgeom.boat import Boat, default_settings
    >>> do_job(Boat(Path("punt"), default_settings())).sheer is None
    True
    """

    boat: Boat
    suspects: tuple[Suspect, ...] = ()
    aside: tuple[tuple[str, str], ...] = ()
    sheer: Sheer | None = None
    deck: Deck | None = None
    beams: BeamSet | None = None
    spiles: tuple[SpiledEdge, ...] = ()
    fairing: Fairing | None = None
    move: Move | None = None
    complaints: tuple[Complaint, ...] = ()

    @property
    def mended(self) -> bool:
        """Whether nothing in the boat's files needs mending."""
        return not needs_mending(self.complaints)

    @cached_property
    def laying(self) -> LayingPlan | None:
        """How the deck is laid, worked out when it is first asked for; None without beams to lay it on."""
        if self.beams is None or not len(self.beams):
            return None
        from deckgeom.laying.plan import plan_laying

        boat = self.boat
        return plan_laying(self.deck, self.beams, boat.settings.laying, boat.fittings, boat.units, boat.figures)


def do_job(boat: Boat) -> Job:
    """
    Work out all that a boat's folder allows.

    Parameters
    ----------
    boat : Boat
        As read; any part of it may be missing.

    Returns
    -------
    Job
        Never an error for what a person typed: what cannot be done is None or empty and has its complaint.

    Examples
    --------
    >>> from pathlib import Path
    >>> from deckgeom.boat import Boat, default_settings
    >>> from deckgeom.hull.offsets import OffsetTable
    >>> table = OffsetTable.from_rows({"x": [0, 1500, 3000, 4500], "height": [720, 640, 610, 650],
    ...                                "half_breadth": [200, 760, 840, 640]})
    >>> job = do_job(Boat(Path("punt"), default_settings(), offsets=table))
    >>> round(float(job.deck.camber(3000.0)))
    53
    """
    settings, complaints = boat.settings, list(boat.complaints)
    offsets = settings.offsets
    suspects: tuple[Suspect, ...] = ()
    if boat.offsets is not None:
        complaints += boat.offsets.alarms(offsets.accuracy, offsets.rounding, boat.units)
        suspects = find_suspects(boat.offsets, offsets.accuracy, offsets.rounding, boat.units)
    aside = _aside(offsets.set_aside, suspects)
    sheer = deck = beams = fairing = None
    spiles: tuple[SpiledEdge, ...] = ()
    if boat.offsets is not None:
        sheer = _try(complaints, "offsets.csv", lambda: Sheer.from_offsets(boat.offsets, offsets.accuracy, aside))
    if sheer is not None:
        wild = swings(boat.offsets, sheer, boat.units)
        complaints += wild
        sheer = None if wild else sheer
    if sheer is not None:
        deck = _try(
            complaints,
            "boat.toml",
            lambda: Deck(sheer, crown_rule(boat), settings.deck_thickness, settings.heights_to),
        )
    if deck is not None and boat.beams:
        beams = _try(complaints, "beams.csv", lambda: _beams(boat, deck))
        complaints += beams.complaints if beams is not None else ()
    if deck is not None:
        spiles = _try(complaints, "offsets.csv", lambda: tuple(flat_edge(deck, side) for side in SIDES)) or ()
    if boat.readings:
        fairing = _try(
            complaints,
            "readings.csv",
            lambda: fair_the_tops(
                boat.readings, boat.lines, beams, settings.fairing, settings.beams.least_depth, boat.units
            ),
        )
        complaints += fairing.complaints if fairing is not None else ()
    move = _try(complaints, "marks.csv", lambda: _move(boat, sheer, complaints)) if boat.marks else None
    if sheer is not None:
        complaints += fittings_off_board(boat.fittings, sheer, boat.units)
    complaints += marks_apart(boat.marks, boat.units)
    told = (*boat.complaints, *few(complaints[len(boat.complaints) :]))
    return Job(boat, suspects, aside, sheer, deck, beams, spiles, fairing, move, told)


def crown_rule(boat: Boat, rule: str | None = None, curve: str | None = None, figure=None):
    """
    The crown rule that a boat's settings ask for, or another one tried in its place.

    Parameters
    ----------
    boat : Boat
    rule, curve : str, optional
        As in boat.toml; the boat's own if not given.
    figure : CamberFigure, str or float, optional
        The boat's own if not given.

    Returns
    -------
    OneMould, SameProportion, CrownLine, BeamByBeam or NoHump

    Examples
    --------
    >>> from pathlib import Path
    >>> from deckgeom.boat import Boat, default_settings
    >>> crown_rule(Boat(Path("punt"), default_settings()), rule="no hump").name
    'no hump'
    """
    camber = boat.settings.camber
    rule, figure = rule or camber.rule, camber.figure if figure is None else figure
    shape = _shape(boat, curve or camber.curve)
    if rule == "crown line":
        x, height = zip(*camber.crown_line, strict=True) if camber.crown_line else ((), ())
        if not x:
            raise ValueError(
                "the rule crown line needs the key crown_line: places along the boat, and the crown there."
            )
        return CrownLine(shape, x, height, least=camber.least)
    if rule == "beam by beam":
        stated = {beam.x: beam.camber for beam in boat.beams if beam.camber is not None}
        if not stated:
            raise ValueError("the rule beam by beam needs the column camber in beams.csv: not one beam states its own.")
        return BeamByBeam(shape, list(stated), list(stated.values()), least=camber.least)
    made = {"one mould": OneMould, "same proportion": SameProportion, "no hump": NoHump}
    if rule not in made:
        raise ValueError(f"crown rule {rule!r}: it is {', '.join(made)}, crown line or beam by beam.")
    return made[rule](shape, figure, least=camber.least)


def _shape(boat: Boat, curve: str):
    """The curve of the beams: a name, or the section that was drawn."""
    section = boat.settings.camber.section
    if curve != "drawn":
        return curve
    y, drop = np.array(section, dtype=float).reshape(-1, 2).T
    return DrawnSection(y, drop)


def _aside(set_aside, suspects: tuple[Suspect, ...]) -> tuple[tuple[str, str], ...]:
    """Column and station of the offsets that do not pull the curve."""
    if set_aside == "beyond doubt":
        return tuple((one.column, one.station) for one in suspects if one.strength == "beyond doubt")
    return () if set_aside == "none" else tuple(set_aside)


def _beams(boat: Boat, deck: Deck) -> BeamSet:
    settings = boat.settings
    own = settings.beams
    trial = TrialBeam(own.trial_jig, own.trial_released) if own.trial_jig and own.trial_released else None
    made = own.made if own.layers or trial else "sawn"
    return lay_out_beams(
        deck,
        boat.beams,
        own.ordinates,
        planking=settings.planking,
        half_breadths_to=settings.half_breadths_to,
        made=made,
        layers=own.layers,
        spring_back=trial,
        flare_deg=own.flare_deg,
        least_depth=own.least_depth,
        units=boat.units,
    )


def _move(boat: Boat, sheer: Sheer | None, complaints: list[Complaint]) -> Move | None:
    """How the marks that were measured twice have moved; None while not one was measured again."""
    marks = [mark for mark in boat.marks if mark.first is not None and mark.today is not None]
    waiting = len(boat.marks) - len(marks)
    if waiting:
        rule = f"{waiting} of {len(boat.marks)} marks are not measured twice yet"
        complaints.append(Complaint("marks.csv", None, "today", "", rule, kind="note"))
    if not marks:
        return None
    if sheer is None and any(isinstance(mark.y, str) for mark in marks):
        raise ValueError("a mark at a deck edge is placed by the offsets, and there are none. Write how far out it is.")
    y = [_edge(sheer, mark) if isinstance(mark.y, str) else mark.y for mark in marks]
    columns = ([getattr(mark, key) for mark in marks] for key in ("x", "first", "today", "name"))
    x, first, today, names = columns
    return recheck(x, y, first, today, boat.settings.fairing.reading_error, names)


def _edge(sheer: Sheer, mark) -> float:
    side = mark.y.split()[0]
    return float(sheer.half_breadth(side, mark.x)) * (-1 if side == "port" else 1)


def _try(complaints: list[Complaint], file: str, work: Callable):
    """The result of one step, or None with a complaint where what was typed does not allow it."""
    try:
        return work()
    except ValueError as problem:
        complaints.append(Complaint(file, None, "", "", str(problem)))
        return None
