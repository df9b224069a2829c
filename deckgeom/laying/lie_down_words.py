"""
The verdict on a panel in words.
"""

from __future__ import annotations

from functools import partial

import numpy as np

from deckgeom.laying.lie_down_plywood import RADIUS_BASIS, STIFFNESS_BASIS
from deckgeom.units import format_length, format_offcentre

__all__ = ["lie_down_words"]

FAR = 1e6
#: Part of a panel that is called small.
FEW = 0.1


def _radius(radius: float, mm) -> str:
    return "flat" if not radius < FAR else f"a radius of {mm(radius)}"


def _off_grain(degrees: float) -> str:
    if degrees < 2.5:
        return "in the face grain"
    return "across the face grain" if degrees > 87.5 else f"{degrees:.0f} degrees off the face grain"


def _remedy(found, mm) -> str:
    if found.verdict == "goes down":
        return "Weights or the fastenings alone will lay it."
    if found.verdict == "goes down with force":
        return "Have clamps, props or a second pair of hands ready, and try it dry first."
    if found.split:
        seams, count = found.split
        size = found.panel.breadth if seams == "fore-and-aft" else found.panel.length
        across = "broad" if seams == "fore-and-aft" else "long"
        return f"Split it into {count} equal parts with the seams {seams}, each at most {mm(size / count)} {across}."
    if found.bend_use > 1:
        left = "Turning the face grain, planks, or thinner sheets in more skins are what is left."
        if found.skins:
            left = f"{found.skins} skins of {mm(found.panel.thickness / found.skins)} each would take it."
        if found.good_run and found.sharp_share < FEW:
            run = " to ".join(mm(x) for x in found.good_run)
            return (
                f"The bend is too sharp over {max(found.sharp_share, 0.001):.1%} of its area only: from {run} along "
                f"the boat it takes it. End the sheet there, with solid wood beyond, or: {left}"
            )
        return f"No split mends a bend that is too sharp for the thickness. {left}"
    return f"Not even {found.choices.most_parts} parts come under the limit: lay narrow planks or strips here."


def lie_down_words(found, units: str = "mm") -> tuple[str, ...]:
    """
    Whether a panel goes down and what that rests on.

    Parameters
    ----------
    found : LieDown
    units : {"mm", "ft-in-8", "in"}

    Returns
    -------
    tuple of str

    Examples
    --------
    >>> from deckgeom.deck.crown import SameProportion
    >>> from deckgeom.deck.even_hull import even_hull
    >>> from deckgeom.deck.surface import Deck
    >>> from deckgeom.laying.lie_down import Panel, lie_down
    >>> deck = Deck(even_hull(), SameProportion("circle", "1:30"))
    >>> lie_down_words(lie_down(deck, Panel.rectangle("1", (-500, 500), (0, 600))))[0]
    'Panel 1, 9 mm: goes down. Weights or the fastenings alone will lay it.'
    """
    mm, panel, strain, choices = partial(format_length, units=units), found.panel, found.strain, found.choices
    allowed = "no published radius for this thickness"
    if np.isfinite(found.least_radius):
        allowed = f"{mm(found.least_radius)} is the smallest published there ({RADIUS_BASIS})"
    keep = f"up to {mm(found.closest_spacing)} apart" if found.closest_spacing < FAR else "at any spacing"
    fit = "springs up" if found.puckers else "stays down"
    where = "in its middle, as on a saddle" if strain.stretch > strain.squeeze else "along its edges, as on a dome"
    return (
        f"Panel {panel.name}, {mm(panel.thickness)}: {found.verdict}. {_remedy(found, mm)}",
        f"Hardest bend for it: {_radius(found.radius, mm)} {_off_grain(found.off_grain_deg)} at {mm(found.bend_x)}, "
        f"{format_offcentre(found.bend_y, units)}; {allowed}.",
        f"Its faces strain by {found.surface_strain_along:.2%} in the face grain and "
        f"{found.surface_strain_across:.2%} across it (half the thickness over the radius).",
        f"The deck bends both ways under it: it must stretch by {strain.stretch:.3%} and "
        f"squeeze by {strain.squeeze:.3%}, a "
        f"range of {strain.range:.3%} against a limit of {choices.strain_limit:.3%} (common practice, no source).",
        f"It is squeezed {where}: there it {fit} between fastenings {mm(choices.edge_spacing)} apart (Euler's column); "
        f"they hold it down {keep}.",
        f"Each fastening of the edge's row pulls with about {found.hold_down:.0f} N: the moment that bends the sheet, "
        f"against the next row {mm(choices.row_spacing)} off ({STIFFNESS_BASIS}). What a fastening holds is a "
        "separate question.",
        "Plywood differs from sheet to sheet: try an offcut of the same sheet on the beams first. This says nothing "
        "about how thick a deck must be; that is for the local rules and a licensed designer or surveyor.",
    )
