"""What a deck lies on, seen from above: beams, half beams as far as their carlins, carlins and pads."""

from __future__ import annotations

import numpy as np

from deckgeom.deck.framing_carlins import Carlin
from deckgeom.deck.framing_list import kind_of
from deckgeom.deck.framing_places import place_of
from deckgeom.laying.dry_fit import Bearer

__all__ = ["bearers_of", "carlin_bearers", "ended_at_carlins"]


def bearers_of(beams, fittings=()) -> tuple[tuple[Bearer, ...], tuple[str, ...]]:
    """
    What the deck lies on: beams, half beams and pads.

    Parameters
    ----------
    beams : BeamSet
    fittings : sequence of Fitting

    Returns
    -------
    tuple of Bearer
    tuple of str
        One line for each fitting that cannot be placed.

    Examples
    --------
    >>> bearers_of([])
    ((), ())
    """
    found, lines = [_beam_bearer(beam) for beam in beams], []
    for fitting in fittings:
        if kind_of(fitting.what) == "pad" and fitting.length and fitting.breadth:
            try:
                at = place_of(beams.deck, fitting)
            except ValueError as problem:
                lines.append(str(problem))
                continue
            (x0, y0), _, (x1, y1), _ = at.corners
            found.append(Bearer.rectangle(fitting.what, (x0, x1), (y0, y1)))
    return tuple(found), tuple(lines)


def carlin_bearers(timbers) -> tuple[Bearer, ...]:
    """
    What else the deck lies on: the carlins among the timbers under it.

    Parameters
    ----------
    timbers : sequence
        As a framing has them; what is no carlin is passed over.

    Returns
    -------
    tuple of Bearer
        Each as broad as its siding, over the whole of its bend in plan.

    Examples
    --------
    >>> carlin_bearers([])
    ()
    """
    return tuple(
        Bearer.rectangle(
            f"carlin to {one.name}", (float(one.x[0]), float(one.x[-1])),
            (float(one.y.min()) - one.siding / 2, float(one.y.max()) + one.siding / 2),
        )
        for one in timbers
        if isinstance(one, Carlin)
    )  # fmt: skip


def ended_at_carlins(bearers, carlins) -> tuple[Bearer, ...]:
    """
    Half beams as far as the near face of the carlin that they end in: what is let in there lies under the carlin's top.

    Parameters
    ----------
    bearers, carlins : sequence of Bearer

    Returns
    -------
    tuple of Bearer
        In the same order; what no carlin crosses at its end is left as it is.

    Examples
    --------
    >>> half = Bearer.rectangle("beam 13P", (900, 945), (-1200, -355))
    >>> carlin = Bearer.rectangle("carlin", (0, 2000), (-395, -350))
    >>> float(ended_at_carlins([half], [carlin])[0].outline[:, 1].max())
    -395.0
    """
    return tuple(_ended(bearer, carlins) for bearer in bearers)


def _ended(bearer: Bearer, carlins) -> Bearer:
    (x0, low), (x1, high) = bearer.outline.min(axis=0), bearer.outline.max(axis=0)
    for carlin in carlins:
        (fore, port), (aft, starboard) = carlin.outline.min(axis=0), carlin.outline.max(axis=0)
        if not (fore <= x0 and x1 <= aft):
            continue
        if low < port <= high <= starboard:
            high = port
        elif port <= low <= starboard < high:
            low = starboard
    same = low == bearer.outline[:, 1].min() and high == bearer.outline[:, 1].max()
    return bearer if same else Bearer.rectangle(bearer.name, (x0, x1), (low, high))


def _beam_bearer(beam) -> Bearer:
    """A beam's top in plan; towards a deck edge it runs on, for the piece that lies on it ends there."""
    name, faces = f"beam {beam.name}", beam.faces_x
    if beam.mark.whole:
        return Bearer.across(name, *faces)
    beyond = 2 * max(beam.half_breadth_port, beam.half_breadth_starboard)
    port, starboard = np.clip(beam.mark.limits(), -beyond, beyond)
    return Bearer.rectangle(name, faces, (float(port), float(starboard)))
