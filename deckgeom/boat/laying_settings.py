"""
What boat.toml says of laying the deck.
"""

from __future__ import annotations

from dataclasses import dataclass

from deckgeom.laying.ways import Way


@dataclass(frozen=True)
class LayingSettings:
    """
    What the deck is laid with, and how.

    Parameters
    ----------
    sheet : tuple of (float, float)
        Length and breadth of a sheet of plywood. [mm]
    ways : tuple of Way
        Ways of laying the deck, to be worked out side by side.
    joints : str
        Of sheets: "on beams", "between beams", "either" or "anywhere".
    scarf : float
        n of n:1; 0 for butts. [-]
    stagger, oversize : float
        Between joints of skins; left over at the deck edge. [mm]
    edge_strip : float
        Breadth of the strip along the deck edge on the full-size patterns; 0 for none. [mm]
    stock : tuple of float
        Lengths of planks to be had. [mm]
    fastening : str
        "wood screw", "ring nail" or "smooth nail".
    fastening_diameter : float
        Of the shank. [mm]
    fastening_lengths : tuple of float
        To be had. [mm]
    spacing, edge_spacing : float
        Of fastenings along beams and along the deck edge. [mm]
    timber : str
        Of the beams; empty where it is not named.
    gravity : float
        Specific gravity of the beams. [-]
    cloth_width, cloth_lap, cloth_drop : float
        Of the roll; over each other; over the deck edge. [mm]
    cloth : str
        "glass", or "polyester" for acrylic and polyester cloth.
    cloth_mass : float
        [g/m2]
    pot_minutes, pot_degc : float
        Time in the pot, and the temperature it is stated for, by the tin. [min], [degC]
    film_minutes : float or None
        Time spread out, by the tin. [min]
    glue_covers : float or None
        What a litre of glue covers, by the tin or by a trial. [m2/L]
    degc : float
        Of the shed. [degC]
    people : int
    batch : float
        Largest batch that is mixed. [L]
    tins : tuple of float
        Sizes on sale. [L]
    coats_below, coats_above : int
        Of paint.
    timber_gravity, timber_source : float or None, str
        What the table or the owner's own row has for the timber, and where that is from. [-]

    Examples
    --------
    >>> from deckgeom.boat import default_settings
    >>> default_settings().laying.sheet[1]
    1220.0
    """

    sheet: tuple[float, float]
    ways: tuple[Way, ...]
    joints: str
    scarf: float
    stagger: float
    oversize: float
    edge_strip: float
    stock: tuple[float, ...]
    fastening: str
    fastening_diameter: float
    fastening_lengths: tuple[float, ...]
    spacing: float
    edge_spacing: float
    timber: str
    gravity: float
    cloth_width: float
    cloth_lap: float
    cloth_drop: float
    cloth: str
    cloth_mass: float
    pot_minutes: float
    pot_degc: float
    film_minutes: float | None
    glue_covers: float | None
    degc: float
    people: int
    batch: float
    tins: tuple[float, ...]
    coats_below: int
    coats_above: int
    timber_gravity: float | None = None
    timber_source: str = ""
