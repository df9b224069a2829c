"""
What to give up where the wishes for the sheets cannot all be kept: as little as will do, and in words.
"""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np

from deckgeom.laying.scarfs import STEEPEST
from deckgeom.laying.sheets_choice import SheetChoices, layouts_of
from deckgeom.laying.sheets_outline import DeckPlan
from deckgeom.laying.sheets_program import Answer, choose_joints

__all__ = ["nearest"]

#: A deck that would take more sheets than this is in another unit than its sheets.
MOST_SHEETS = 500


def nearest(plan: DeckPlan, beams, choices: SheetChoices) -> tuple[SheetChoices, list[Answer], float, tuple[str, ...]]:
    """
    The best choices for the wishes, or for the nearest wishes that can be kept.

    Parameters
    ----------
    plan : DeckPlan
    beams : (n,) array
        Middles of the beams. [mm]
    choices : SheetChoices

    Returns
    -------
    choices : SheetChoices
        As kept.
    answers : list of Answer
    bound : float
        [mm]
    complaints : tuple of str
        One line for each wish given up.

    Examples
    --------
    >>> plan = DeckPlan([0, 2000], [500, 500], [500, 500])
    >>> nearest(plan, np.array([500.0, 1000, 1500]), SheetChoices(2440, 1220, (9,)))[3]
    ()
    """
    needed = plan.area / (choices.length * choices.width)
    if needed > MOST_SHEETS:
        raise ValueError(
            f"sheets of {choices.length:g} by {choices.width:g} mm: this deck would take {needed:.0f} of them a skin. "
            "Is the size in another unit? Measure a sheet and write what it measures."
        )
    choices, complaints = _scarf_that_fits(choices)
    for changes, lines in _attempts(plan, beams, choices):
        kept = replace(choices, **changes)
        answers, bound = choose_joints([layouts_of(plan, beams, kept, k) for k in range(len(kept.skins))], kept)
        if answers:
            return kept, answers, bound, _told(complaints, lines, kept.ratio)
    raise ValueError(
        f"sheets of {choices.length:g} by {choices.width:g} mm cannot cover this deck: with scarfs and margin taken "
        "off nothing is left of them. Is the size in another unit? Measure a sheet, or take the margin smaller."
    )


def _told(complaints: tuple[str, ...], lines: tuple[str, ...], ratio: float) -> tuple[str, ...]:
    """One line for all that was given up, what weighs most first."""
    if complaints and not ratio:
        told, _, _ = complaints[0].rpartition(" This plan has ")
        complaints, lines = (f"{told} This plan has butts on straps.",), tuple(
            line for line in lines if not line.startswith("Scarfs of"))  # fmt: skip
    least = ("Pieces smaller", "Joints cannot all keep")
    ordered = [*complaints, *sorted(lines, key=lambda line: line.startswith(least))]
    return (" ".join(ordered),) if ordered else ()


def _scarf_that_fits(choices: SheetChoices) -> tuple[SheetChoices, tuple[str, ...]]:
    """Scarfs at both ends of a sheet leave half of it, or they are taken steeper."""
    thickest, short = max(choices.skins), min(choices.length, choices.width)
    taper = choices.ratio * thickest
    if taper <= short / 2:
        return choices, ()
    steeper = math.floor(short / 2 / thickest)
    steeper = float(steeper) if steeper >= STEEPEST else 0.0
    instead = f"scarfs of {steeper:g}:1" if steeper else "butts"
    line = (
        f"A scarf of {choices.ratio:g}:1 in {thickest:g} mm is {taper:.0f} mm long, and the sheet {short:.0f} mm "
        "on its short side: two scarfs would leave next to nothing. Is the thickness in another unit? "
        f"This plan has {instead}."
    )
    return replace(choices, ratio=steeper), (line,)


def _attempts(plan: DeckPlan, beams, choices: SheetChoices):
    """Wishes to give up, with a line for each, alone first and then one on top of the other."""
    small = {"least": 0.0}, f"Pieces smaller than {choices.least:.0f} mm cannot be avoided here."
    wishes = [small] if choices.least else []
    if choices.joints in ("on beams", "between beams"):
        wishes.append(({"joints": "either"}, _bay_line(plan, beams, choices, "either on a beam or between beams")))
    if choices.joints != "anywhere":
        wishes.append(({"joints": "anywhere"}, _bay_line(plan, beams, choices, "anywhere")))
    if len(choices.skins) > 1 and choices.stagger:
        for part in (choices.stagger / 2, 0.0):
            line = f"Joints in skins on each other cannot be {choices.stagger:.0f} mm apart with these sheets."
            wishes.append(({"stagger": part}, f"{line} This plan keeps {part:.0f} mm. Narrower sheets give more room."))
    if choices.clear:
        line = f"Joints cannot all keep {choices.clear:.0f} mm from corners of openings and from chainplates."
        wishes.append(({"clear": 0.0}, f"{line} This plan does not heed them: move a joint by eye, or strap it."))
    if choices.way != "either":
        wishes.append(({"way": "either"}, f"Sheets cannot all lie {choices.way}. This plan takes the way that goes."))
    size = f"{choices.length:.0f} by {choices.width:.0f} mm"
    if choices.margin > min(choices.length, choices.width) / 4:
        over = f"An oversize of {choices.margin:.0f} mm takes up the sheet of {size}. Is it in another unit?"
        wishes.append(({"margin": 0.0}, f"{over} This plan has none."))
    if choices.ratio:
        taper = max(choices.taper(k) for k in range(len(choices.skins)))
        lost = f"Scarfs of {choices.ratio:g}:1 take {taper:.0f} mm of the sheet of {size}."
        wishes.append(({"ratio": 0.0}, f"{lost} This plan has butts on straps."))
    yield {}, ()
    for changes, line in wishes:
        yield changes, (line,)
    together, lines = {}, {}
    for changes, line in wishes:
        together = {**together, **changes}
        lines = {**lines, next(iter(changes)): line}
        yield together, tuple(lines.values())


def _bay_line(plan: DeckPlan, beams, choices: SheetChoices, instead: str) -> str:
    """Which bay is too long for a sheet, if one is."""
    reach = max(choices.length, choices.width) - max(choices.taper(k) for k in range(len(choices.skins)))
    at = (beams[1:] + beams[:-1]) / 2 if choices.joints == "between beams" else beams
    at = np.unique(np.r_[plan.start, at[(at > plan.start) & (at < plan.end)], plan.end])
    k = int(np.argmax(np.diff(at)))
    bay = at[k + 1] - at[k]
    if bay > reach:
        why = (
            f"A sheet reaches {reach:.0f} mm between its joints, less than the {bay:.0f} mm from x {at[k]:.0f} to "
            f"{at[k + 1]:.0f} mm where no joint may lie {choices.joints}. Is a beam missing from the list?"
        )
    else:
        why = f"Joints {choices.joints} cannot be had with these sheets and wishes."
    return f"{why} This plan has joints {instead}; longer sheets would keep the wish."
