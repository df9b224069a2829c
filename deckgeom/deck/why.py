"""
Why a figure is what it is: the numbers that it came from, in words.
"""

from __future__ import annotations

from ..units import echo, format_length
from .edges import edge_line


def why_camber(deck, x: float, units: str = "mm") -> str:
    """
    Where the camber at x comes from.

    Parameters
    ----------
    deck : Deck
    x : float
        [mm]
    units : str
        The folder's units, named first.

    Returns
    -------
    str

    Examples
    --------
    >>> from deckgeom.deck.crown import SameProportion
    >>> from deckgeom.deck.even_hull import even_hull
    >>> from deckgeom.deck.surface import Deck
    >>> print(why_camber(Deck(even_hull(), SameProportion("circle", "1:32 of beam")), 0.0))
    94 mm (3 11/16 in) of camber because: half-breadth 1500 mm at x = 0 mm (breadth 3000 mm);
    figure 1:32 of the whole beam in the same proportion at every beam; arc of a circle.
    """
    law = deck.law
    edges = law.edges(float(x))
    port, starboard = float(edges.port[0]), float(edges.starboard[0])
    halves = f"half-breadth {format_length(port, units)}"
    if abs(port - starboard) >= 0.5:
        halves += f" to port and {format_length(starboard, units)} to starboard"
    camber = float(law.camber(x))
    said = f"{echo(camber, units)} of camber because: {halves} at x = {format_length(x, units)}"
    said += f" (breadth {format_length(port + starboard, units)}); {deck.rule.why(units)}; {law.shape.words}"
    change = float(law.changes(x))
    if abs(change) >= 0.05:
        asked = echo(camber - change, units)
        kept = (
            f"to keep the least camber of 1:{1 / law.least:.0f}" if law.least else "so that the crown line has no hump"
        )
        said += f"; it would be {asked}, changed {kept}"
    return f"{said}."


def why_height(deck, x: float, y: float, units: str = "mm") -> str:
    """
    Where the height of the deck at (x, y) comes from.

    Parameters
    ----------
    deck : Deck
    x, y : float
        Aft, and to starboard. [mm]
    units : str
        The folder's units, named first.

    Returns
    -------
    str

    Examples
    --------
    >>> from deckgeom.deck.crown import SameProportion
    >>> from deckgeom.deck.even_hull import even_hull
    >>> from deckgeom.deck.surface import Deck
    >>> said = why_height(Deck(even_hull(), SameProportion("circle", "1:32 of beam")), 0.0, 750.0)
    >>> print(said[said.index("At 750"):])
    At 750 mm to starboard (50% of the half-breadth) the deck stands 75% of it, 70 mm (2 3/4 in) above the line that
    joins the edges, which stands at 900 mm (35 7/16 in) there: top of deck at 970 mm (38 3/16 in).
    """
    edges = deck.law.edges(float(x))
    line = float(edge_line(edges, float(y))[0])
    half = float((edges.divide_port if y < 0 else edges.divide_starboard)[0])
    given = "deck" if deck.heights_to == "top of deck" else "beam"
    z = float(deck.height(x, y, given))
    camber = float(deck.law.camber(x))
    place = "On the centreline"
    if y:
        side = "port" if y < 0 else "starboard"
        place = f"At {format_length(abs(y), units)} to {side} ({abs(y) / half:.0%} of the half-breadth)"
    said = why_camber(deck, x, units) + f" {place} the deck stands "
    if camber:
        said += f"{(z - line) / camber:.0%} of it, "
    said += f"{echo(z - line, units)} above the line that joins the edges, which stands at {echo(line, units)} there: "
    said += f"{deck.heights_to} at {echo(z, units)}."
    if deck.thickness:
        other, name = ("beam", "top of beams") if given == "deck" else ("deck", "top of deck")
        z = float(deck.height(x, y, other))
        said += f" The {name}, {echo(deck.thickness, units)} away square to the deck, is at {echo(z, units)}."
    return said
