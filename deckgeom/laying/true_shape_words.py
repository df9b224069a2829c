"""
What a flat shape is, in words.
"""

from __future__ import annotations

from functools import partial

from deckgeom.laying.paint_area import area_words
from deckgeom.units import format_length

__all__ = ["flat_words"]


def flat_words(flat, units: str = "mm", factory_gap: float = 1.0) -> tuple[str, ...]:
    """
    The strain of a flat shape and which edge can be the sheet's own.

    Parameters
    ----------
    flat : FlatPanel
    units : {"mm", "ft-in-8", "in"}
    factory_gap : float
        A sheet's own straight edge serves where the true one is no farther off; common practice, no source. [mm]

    Returns
    -------
    tuple of str

    Examples
    --------
    >>> from deckgeom.deck.crown import SameProportion
    >>> from deckgeom.deck.even_hull import even_hull
    >>> from deckgeom.deck.surface import Deck
    >>> from deckgeom.laying.true_shape import Panel, true_shape
    >>> deck = Deck(even_hull(), SameProportion("circle", "1:30"))
    >>> flat_words(true_shape(deck, Panel.rectangle("1", (-500, 500), (0, 600))))[1]
    'Inner edge: it lies within 0 mm of straight, so the factory edge of the sheet can lie on it.'
    """
    mm, panel = partial(format_length, units=units), flat.panel
    words = [
        f"Panel {panel.name} laid flat with the least strain: {area_words(flat.true_area, units)} "
        f"({area_words(panel.area, units)} in plan). On the deck it must stretch by at most "
        f"{max(flat.stretch.max(), 0):.3%} and squeeze by at most "
        f"{max(-flat.squeeze.min(), 0):.3%}; {flat.rms_strain:.3%} over all (root of the mean square)."
    ]
    for which in ("inner", "outer"):
        off = flat.straightness(which)
        if off <= factory_gap:
            so = f"within {mm(off)} of straight, so the factory edge of the sheet can lie on it"
        else:
            so = f"up to {mm(off)} off a straight line: mark it and cut it"
        words.append(f"{which.capitalize()} edge: it lies {so}.")
    return tuple(words)
