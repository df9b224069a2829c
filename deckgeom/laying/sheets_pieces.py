"""
The pieces and joints that a choice of layouts and joints comes to, and the sheets that they are cut from.
"""

from __future__ import annotations

import itertools

import numpy as np

from deckgeom.laying.sheets_choice import SheetChoices
from deckgeom.laying.sheets_nest import Nest, nest
from deckgeom.laying.sheets_outline import DeckPlan, less_boxes
from deckgeom.laying.sheets_program import Answer

__all__ = ["joints_of", "nest_skins", "pieces_of"]


def _cells(answer: Answer, skin: int):
    """Limits of each piece: x0, x1, y0, y1, and whether there is a joint forward and aft."""
    layout = answer.layouts[skin]
    for band, chosen in zip(layout.bands, answer.chosen[skin], strict=True):
        edges = (band.low, band.high) if layout.way == "fore-and-aft" else (-np.inf, *layout.seams, np.inf)
        for i, j in itertools.pairwise(chosen):
            for y0, y1 in itertools.pairwise(edges):
                yield band.at[i], band.at[j], y0, y1, i > 0, j < len(band.at) - 1


def pieces_of(plan: DeckPlan, choices: SheetChoices, answer: Answer) -> list[dict]:
    """
    Every piece, without its place on a sheet.

    Parameters
    ----------
    plan : DeckPlan
    choices : SheetChoices
    answer : Answer

    Returns
    -------
    list of dict
        Fields of a `SheetPiece`.

    Examples
    --------
    >>> pieces_of(DeckPlan([0, 1000], [500, 500], [500, 500]), SheetChoices(2440, 1220, (9,)), Answer((), (), 0, 0))
    []
    """
    grown, found = plan.grown(choices.margin), []
    for skin in range(len(answer.layouts)):
        half, mine = choices.taper(skin) / 2, []
        for x0, x1, y0, y1, forward, after in _cells(answer, skin):
            out = (half if forward else choices.margin), (half if after else choices.margin)
            wide = grown.strips(x0 - out[0], x1 + out[1], y0 - half, y1 + half)
            for strip in plan.strips(x0, x1, y0, y1):
                middle = (strip.x[0] + strip.x[-1]) / 2
                cut = next(each for each in wide if each.x[0] <= middle <= each.x[-1])
                limits = (strip.x[0], strip.x[-1], strip.low.min(), strip.high.max())
                joined = {"forward": forward, "after": after, "port": limits[2] <= y0, "starboard": limits[3] >= y1}
                mine.append(
                    {
                        "outline": strip.outline,
                        "openings": less_boxes(limits, plan.openings),
                        "cut": cut.outline,
                        "joints": tuple(side for side, there in joined.items() if there),
                        "way": answer.layouts[skin].way,
                        "area": plan.net_area(strip.x[0], strip.x[-1], y0, y1),
                    }
                )
        mine = [piece for piece in mine if piece["area"] > 1.0]
        mine.sort(key=lambda piece: tuple(np.round(piece["outline"].min(axis=0)).tolist()))
        for number, piece in enumerate(mine, 1):
            found.append({"name": f"{chr(65 + skin)}{number}", "skin": skin, **piece})
    return found


def nest_skins(pieces: list[dict], choices: SheetChoices) -> tuple[tuple[tuple[float, Nest], ...], list[dict]]:
    """
    Pieces of each thickness on sheets, numbered through.

    Parameters
    ----------
    pieces : list of dict
        As from `pieces_of`.
    choices : SheetChoices

    Returns
    -------
    nests : tuple of (float, Nest)
        Thickness and nest.
    places : list of dict
        The other fields of each `SheetPiece`.

    Examples
    --------
    >>> nest_skins([], SheetChoices(2440, 1220, (9,)))[1]
    []
    """
    nests, places, before = [], [{} for _ in pieces], 0
    for thickness in dict.fromkeys(choices.skins):
        mine = [k for k, piece in enumerate(pieces) if choices.skins[piece["skin"]] == thickness]
        found = nest([_along_sheet(pieces[k]) for k in mine], choices.length, choices.width, choices.kerf)
        for k, placed in zip(mine, found.placed, strict=True):
            places[k] = {"sheet": placed.sheet + before, "placed": placed.outline, "turned": placed.turned}
        nests.append((thickness, found))
        before += found.sheets
    return tuple(nests), places


def _along_sheet(piece: dict) -> np.ndarray:
    """The outline with the sheet's length first: as it lies, or turned a quarter."""
    cut = piece["cut"]
    return cut if piece["way"] == "fore-and-aft" else np.column_stack([cut[:, 1], -cut[:, 0]])


def joints_of(plan: DeckPlan, answer: Answer) -> list[tuple]:
    """
    Every straight piece of joint.

    Parameters
    ----------
    plan : DeckPlan
    answer : Answer

    Returns
    -------
    list of tuple
        Fields of a `Joint`.

    Examples
    --------
    >>> joints_of(DeckPlan([0, 1000], [500, 500], [500, 500]), Answer((), (), 0, 0))
    []
    """
    found = []
    for skin, layout in enumerate(answer.layouts):
        for y in layout.seams:
            found += [(skin, "along", a, y, b, y) for a, b in plan.seam_parts(y, plan.start, plan.end)]
        for band, chosen in zip(layout.bands, answer.chosen[skin], strict=True):
            for place in chosen[1:-1]:
                x = float(band.at[place])
                found += [(skin, "across", x, a, x, b) for a, b in plan.joint_parts(x, band.low, band.high)]
    return found
