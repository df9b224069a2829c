"""
Plans of sheets in words.
"""

from __future__ import annotations

import math

from deckgeom.laying.scarfs import Scarf
from deckgeom.units import format_length

__all__ = ["plan_words", "plans_words"]

CAUTION = (
    "What thickness and how many skins a deck needs is not told here: local rules and a licensed designer or surveyor.",
    "Wood dust harms the lungs and epoxy sensitises the skin: extraction, mask and gloves for cutting and scarfing.",
)


def _metres(length: float, units: str) -> str:
    return f"{length / 1000:.1f} m" if units == "mm" else f"{math.ceil(length / _foot())} ft"


def _foot() -> float:
    from deckgeom.units import MM_PER_INCH

    return 12 * MM_PER_INCH


def plan_words(plan, units: str = "mm") -> tuple[str, ...]:
    """
    What to buy, cut and join for one plan.

    Parameters
    ----------
    plan : SheetPlan
    units : {"mm", "ft-in-8", "in"}

    Returns
    -------
    tuple of str

    Examples
    --------
    >>> from deckgeom.laying.sheets import DeckPlan, SheetChoices, plan_sheets
    >>> deck = DeckPlan([0, 4000], [500, 500], [500, 500])
    >>> plan_words(plan_sheets(deck, [1000, 2000, 3000], SheetChoices(2440, 1220, (9,))).best)[0]
    '2 sheets of 2440 mm by 1220 mm: 2 in 9 mm.'
    """
    choices = plan.choices
    size = f"{format_length(choices.length, units)} by {format_length(choices.width, units)}"
    counts = ", ".join(f"{nest.sheets} in {format_length(t, units)}" for t, nest in plan.nests)
    lines = [f"{plan.sheets} sheets of {size}: {counts}."]
    for skin, thickness in enumerate(choices.skins):
        layout = plan.answer.layouts[skin]
        count = sum(piece.skin == skin for piece in plan.pieces)
        mine = sum(joint.length for joint in plan.joints if joint.skin == skin)
        kind = f"scarf {choices.ratio:g}:1" if choices.ratio else "butt"
        lines.append(
            f"Skin {chr(65 + skin)}, {format_length(thickness, units)}: {count} pieces, sheets {layout.way}, "
            f"{_metres(mine, units)} of {kind}."
        )
    lines.append(f"{plan.waste:.0%} of the sheets is cut away or left over. {_offcuts(plan, units)}")
    at_least = sum(nest.at_least for _, nest in plan.nests)
    if at_least < plan.sheets:
        lines.append(f"By area alone {at_least} sheets would do; a better nest by hand is not ruled out.")
    if choices.ratio:
        lines += list(dict.fromkeys(w for t in choices.skins for w in Scarf(t, choices.ratio).warnings))
    return (*lines, *CAUTION)


def _offcuts(plan, units: str) -> str:
    before, found = 0, []
    for _, nest in plan.nests:
        found += [(cut.length * cut.width, before + cut.sheet + 1, cut) for cut in nest.offcuts]
        before += nest.sheets
    found.sort(key=lambda each: -each[0])
    if not found:
        return "No offcut is worth keeping."
    listed = ", ".join(
        f"{format_length(cut.length, units)} by {format_length(cut.width, units)} (sheet {sheet})"
        for _, sheet, cut in found[:4]
    )
    return f"Largest offcuts: {listed}."


def plans_words(plans, units: str = "mm") -> tuple[str, ...]:
    """
    What could not be had, how the plans compare, and how far the best is proved.

    Parameters
    ----------
    plans : SheetPlans
    units : {"mm", "ft-in-8", "in"}

    Returns
    -------
    tuple of str

    Examples
    --------
    >>> from deckgeom.laying.sheets import DeckPlan, SheetChoices, plan_sheets
    >>> deck = DeckPlan([0, 4000], [500, 500], [500, 500])
    >>> plans_words(plan_sheets(deck, [1000, 2000, 3000], SheetChoices(2440, 1220, (9,), wanted=1)))
    ('Plan 1: 1.0 m of joint, 2 sheets, sheets fore-and-aft.', 'Proved the least among the layouts tried.')
    """
    lines = list(plans.complaints)
    for number, plan in enumerate(plans.plans, 1):
        ways = " over ".join(layout.way for layout in reversed(plan.answer.layouts))
        joint = _metres(plan.joint_length, units)
        lines.append(f"Plan {number}: {joint} of joint, {plan.sheets} sheets, sheets {ways}.")
    if plans.as_laid is not None:
        lines.append(plans.as_laid.words(units))
    if plans.gap <= 1e-6:
        lines.append("Proved the least among the layouts tried.")
    else:
        less = math.ceil(plans.gap * 1000) / 10
        lines.append(f"Not proved the least: among the layouts tried up to {less:g} % less joint may be possible.")
    return tuple(lines)
