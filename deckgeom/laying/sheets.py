"""
A plan of whole trade sheets over the deck: where they meet, what is cut from which, and what is left.

Sheets as the user measured them, in one skin or several, over the deck as it is seen from above. Whether a
sheet goes down on a deck that bends two ways, and its true shape there, are worked out elsewhere.
"""

from __future__ import annotations

import time
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from deckgeom.laying.sheets_choice import SheetChoices
from deckgeom.laying.sheets_nest import Nest
from deckgeom.laying.sheets_outline import Box, DeckPlan, deck_plan
from deckgeom.laying.sheets_pieces import joints_of, nest_skins, pieces_of
from deckgeom.laying.sheets_program import Answer
from deckgeom.laying.sheets_true import AsLaid, candidates_as_laid, cut_pieces
from deckgeom.laying.sheets_wishes import nearest

__all__ = ["DeckPlan", "Joint", "SheetChoices", "SheetPiece", "SheetPlan", "SheetPlans", "deck_plan", "plan_sheets"]


class Joint(NamedTuple):
    """
    A straight piece of joint in plan.

    Attributes
    ----------
    skin : int
        From 0, the lowest.
    run : str
        "across" the boat or "along" it.
    x0, y0, x1, y1 : float
        From and to; y starboard positive. [mm]

    Examples
    --------
    >>> Joint(0, "across", 1000, -500, 1000, 250).length
    750.0
    """

    skin: int
    run: str
    x0: float
    y0: float
    x1: float
    y1: float

    @property
    def length(self) -> float:
        """[mm]"""
        return float(np.hypot(self.x1 - self.x0, self.y1 - self.y0))


@dataclass(frozen=True, eq=False)
class SheetPiece:
    """
    One piece of a skin.

    Parameters
    ----------
    name : str
        Letter of the skin and number, from forward and port.
    skin : int
        From 0, the lowest.
    way : str
        Which way the length of the sheet, and with it the face grain, lies: "fore-and-aft" or "athwart".
    outline : (n, 2) array
        On the deck in plan, to the middle of its joints. [mm]
    openings : tuple of Box
        What is cut out of it.
    cut : (m, 2) array
        As cut from the sheet: half a scarf beyond each joint, the margin beyond the deck edge; laid flat in the best
        plan, else seen from above. [mm]
    joints : tuple of str
        Which of its sides are joined: "forward", "after", "port", "starboard".
    sheet : int
        Which sheet it comes from, from 0.
    placed : (m, 2) array
        On that sheet, its length to the right. [mm]
    turned : bool
        Whether it lies end for end there.
    area : float
        On the deck, openings taken out. [mm2]

    Examples
    --------
    See `plan_sheets`.

    >>> SheetPiece.__name__
    'SheetPiece'
    """

    name: str
    skin: int
    way: str
    outline: np.ndarray
    openings: tuple[Box, ...]
    cut: np.ndarray
    joints: tuple[str, ...]
    sheet: int
    placed: np.ndarray
    turned: bool
    area: float

    @property
    def size(self) -> tuple[float, float]:
        """Fore-and-aft and athwart, as cut. [mm]"""
        return tuple(np.ptp(self.cut, axis=0).tolist())


@dataclass(frozen=True, eq=False)
class SheetPlan:
    """
    One plan.

    Parameters
    ----------
    plan : DeckPlan
    choices : SheetChoices
        The wishes it keeps.
    answer : Answer
    pieces : tuple of SheetPiece
    joints : tuple of Joint
    nests : tuple of (thickness, Nest)
        One for each thickness; sheets are numbered on through them. [mm]

    Examples
    --------
    See `plan_sheets`.

    >>> SheetPlan.__name__
    'SheetPlan'
    """

    plan: DeckPlan
    choices: SheetChoices
    answer: Answer
    pieces: tuple[SheetPiece, ...]
    joints: tuple[Joint, ...]
    nests: tuple[tuple[float, Nest], ...]

    @property
    def joint_length(self) -> float:
        """Of all joints in all skins: scarf to cut, or butt to strap. [mm]"""
        return sum(joint.length for joint in self.joints)

    @property
    def sheets(self) -> int:
        """Whole sheets to buy."""
        return sum(nest.sheets for _, nest in self.nests)

    @property
    def waste(self) -> float:
        """Part of the sheets bought that is not on the deck. [1]"""
        bought = self.sheets * self.choices.length * self.choices.width
        return 1 - sum(piece.area for piece in self.pieces) / bought

    def words(self, units: str = "mm") -> tuple[str, ...]:
        """What to buy, cut and join, in sentences."""
        from deckgeom.laying.sheets_words import plan_words

        return plan_words(self, units)


@dataclass(frozen=True, eq=False)
class SheetPlans:
    """
    The best plans, shortest joints first, and what could not be had.

    Parameters
    ----------
    plans : tuple of SheetPlan
    complaints : tuple of str
        One line for each wish that could not be kept.
    bound : float
        No plan among the layouts tried has less joint. [mm]
    seconds : float
        What it took. [s]
    as_laid : AsLaid or None
        What true shapes have changed; None where they change nothing, or were not asked.

    Examples
    --------
    See `plan_sheets`.

    >>> SheetPlans((), (), 0.0, 0.0).gap
    0.0
    """

    plans: tuple[SheetPlan, ...]
    complaints: tuple[str, ...]
    bound: float
    seconds: float
    as_laid: AsLaid | None = None

    @property
    def best(self) -> SheetPlan:
        """The plan with the least joint."""
        return self.plans[0]

    @property
    def gap(self) -> float:
        """How far the best may be above the least among the layouts tried, as a part of it. [1]"""
        if not self.plans or self.best.joint_length <= 0:
            return 0.0
        return max(0.0, 1 - self.bound / self.best.joint_length)

    def words(self, units: str = "mm") -> tuple[str, ...]:
        """What could not be had, how the plans compare and how far the best is proved."""
        from deckgeom.laying.sheets_words import plans_words

        return plans_words(self, units)


def plan_sheets(plan: DeckPlan, beams, choices: SheetChoices, laid=None) -> SheetPlans:
    """
    Lay whole sheets over a deck with the least joint.

    Parameters
    ----------
    plan : DeckPlan
        As `deck_plan` gives it.
    beams : (n,) array
        Middles of the beams along the boat. [mm]
    choices : SheetChoices
    laid : callable, optional
        As from `cuts_as_laid`: pieces are then held against their sheets as they are laid flat, and the best plan is
        cut by true shapes, the others by their lengths along and across. Seen from above otherwise.

    Returns
    -------
    SheetPlans
        The best few. Where the wishes cannot be kept, plans for the nearest that can, and a line for each given up.

    Notes
    -----
    Least over the layouts tried: sheets lying fore-and-aft with seams in twelve positions and joints across band by
    band, or athwart with joints right across. Among these the choice is exact to the gap stated.

    Examples
    --------
    >>> deck = DeckPlan([0, 6000], [1000, 1000], [1000, 1000])
    >>> found = plan_sheets(deck, range(500, 6000, 500), SheetChoices(2440, 1220, (9,), wanted=1))
    >>> found.best.sheets, len(found.best.pieces), found.gap
    (6, 6, 0.0)
    """
    begun = time.perf_counter()
    beams = np.unique(np.asarray(list(beams), float))
    kept, answers, bound, complaints = nearest(plan, beams, choices)
    if laid is None:
        raws, note = [pieces_of(plan, kept, answer) for answer in answers], None
    else:
        answers, raws, bound, note = candidates_as_laid(plan, beams, kept, (answers, bound), laid)
    if laid is not None and (note is None or note.fits):
        raws = [cut_pieces(raw, kept, laid, roughly=k > 0) for k, raw in enumerate(raws)]
    plans = tuple(_plan(plan, kept, *each) for each in zip(answers, raws, strict=True))
    return SheetPlans(plans, plan.complaints + complaints, bound, time.perf_counter() - begun, note)


def _plan(plan: DeckPlan, choices: SheetChoices, answer: Answer, raw: list[dict]) -> SheetPlan:
    nests, places = nest_skins(raw, choices)
    pieces = tuple(SheetPiece(**each, **place) for each, place in zip(raw, places, strict=True))
    return SheetPlan(plan, choices, answer, pieces, tuple(Joint(*line) for line in joints_of(plan, answer)), nests)
