"""
The fastenings of one way of laying, layer by layer, each row with its length.
"""

from __future__ import annotations

from deckgeom.laying.fastenings import FasteningChoices, FasteningPlan, plan_fastenings
from deckgeom.laying.fastenings_lines import supports_of
from deckgeom.laying.fastenings_planks import plank_fastenings
from deckgeom.laying.fastenings_sizes import RowSizes, size_rows

__all__ = ["fastenings_of"]

STRAP = 16.0
"""Breadth of a strap under a butt in thicknesses of the sheet: common practice, no source. [1]"""


def fastenings_of(lines: list[str], found, beams, plan, wishes) -> tuple[tuple[int, FasteningPlan, RowSizes], ...]:
    """
    Rows for every plywood skin and for planks on the beams; of planks bedded on wood for covering boards and king
    plank alone.

    Parameters
    ----------
    lines : list of str
        What cannot be is added here.
    found : WayPlan
        With its sheets and planks.
    beams : BeamSet
    plan : DeckPlan
    wishes : LayingSettings

    Returns
    -------
    tuple of (int, FasteningPlan, RowSizes)
        By layer of the way, from 0.

    Examples
    --------
    >>> from deckgeom.laying.plan_way import WayPlan
    >>> from deckgeom.laying.ways import Way
    >>> fastenings_of([], WayPlan(Way("bare", ()), None, (), "mm", 20.0), None, None, None)
    ()
    """
    rows, through, skin = [], 0.0, 0
    supports = supports_of(found.bearers)
    for k, layer in enumerate(found.way.layers):
        if layer.kind == "cloth":
            continue
        through += layer.thickness
        choices = FasteningChoices(wishes.spacing, wishes.edge_spacing, strap=STRAP * layer.thickness)
        try:
            if layer.kind == "ply":
                joints = [j for j in found.sheets.best.joints if j.skin == skin] if found.sheet_count else ()
                skin += 1
                made = plan_fastenings(found.deck, plan, supports, joints, choices, butted=not wishes.scarf)
            elif found.planks is not None:
                made = plank_fastenings(found.deck, plan, found.planks.pieces, supports, found.planks.butt_places,
                                        choices, boards_only=k > 0)  # fmt: skip
            else:
                continue
            sizes = size_rows(made, beams, wishes.fastening, wishes.fastening_diameter, wishes.fastening_lengths,
                              gravity=wishes.gravity, through=through, boards=layer.thickness)  # fmt: skip
        except ValueError as problem:
            lines.append(str(problem))
            continue
        lines += [f"{layer.words(found.units)}: {line}" for line in sizes.complaints]
        if made.rows:
            rows.append((k, made, sizes))
    return tuple(rows)
