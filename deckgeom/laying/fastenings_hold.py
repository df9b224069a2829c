"""
One fastening: how hard it is to draw, how long it must be, how long it may be, and the hole for it.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from deckgeom.tables import table

__all__ = ["FasteningLength", "fastening_length", "longest_hidden", "pilot_hole", "screw_diameter",
           "shortest_that_holds", "withdrawal"]  # fmt: skip

#: Shank of a wood screw in inches by gauge: USDA Wood Handbook FPL-GTR-282, chapter 8 (read in a reprint).
SHANK_INCHES = (0.060, 0.013)
#: Diameters in the wood below for the full load sideways: the same chapter.
SIDE_LOAD_DIAMETERS = 7.0
#: Pilot holes as a part of the shank: common practice, no source.
PILOT = {("wood screw", False): 0.70, ("wood screw", True): 0.90, ("ring nail", False): 0.0, ("ring nail", True): 0.75,
         ("smooth nail", False): 0.0, ("smooth nail", True): 0.75}  # fmt: skip
#: Specific gravity from which a beam counts as hard and is drilled: own default, common practice has no figure.
HARD = 0.55


def _row(what: str) -> dict:
    rows = {row["what"]: row for row in table("fasteners")}
    if what not in rows:
        raise ValueError(f"a fastening {what!r}: the table has {', '.join(rows)}. Is it spelt another way?")
    return rows[what]


def withdrawal(what: str, gravity, diameter, depth):
    r"""
    Greatest load to draw a fastening out of side grain in a short test. Not a load to rely on.

    Parameters
    ----------
    what : {"wood screw", "ring nail", "smooth nail"}
    gravity : (n,) array or float
        Specific gravity of the wood below, oven dry. [1]
    diameter, depth : (n,) array or float
        Of the shank, and of thread or nail in the wood below. [mm]

    Returns
    -------
    ndarray or float
        [N]

    Notes
    -----
    .. math:: P = a G^m D L

    References
    ----------
    USDA Wood Handbook FPL-GTR-282, chapter 8, equations 8-10, 8-2a and 8-1; a and m are in the table "fasteners".

    Examples
    --------
    >>> round(float(withdrawal("ring nail", 0.50, 3, 30)))
    1745
    """
    row = _row(what)
    gravity, diameter, depth = (np.asarray(v, float) for v in (gravity, diameter, depth))
    if np.any((gravity <= 0) | (gravity > 1.4)) or np.any(diameter <= 0) or np.any(depth < 0):
        raise ValueError(
            f"gravity {gravity}, diameter {diameter} mm, depth {depth} mm: a specific gravity is above 0 and at most "
            "1.4, a diameter above 0. Is the density in kg/m3? Divide it by 1000."
        )
    return float(row["coefficient"]) * gravity ** float(row["gravity_power"]) * diameter * depth


def screw_diameter(gauge: float) -> float:
    """
    Shank of a wood screw.

    Parameters
    ----------
    gauge : float
        Number of the screw. [1]

    Returns
    -------
    float
        [mm]

    References
    ----------
    USDA Wood Handbook FPL-GTR-282, chapter 8: .060 + .013 N inches.

    Examples
    --------
    >>> round(screw_diameter(8), 2)
    4.17
    """
    from deckgeom.units import MM_PER_INCH

    if not 0 <= gauge <= 30:
        raise ValueError(f"a screw of gauge {gauge:g}: gauges go from 0 to 30. Is it a diameter in mm?")
    return (SHANK_INCHES[0] + SHANK_INCHES[1] * gauge) * MM_PER_INCH


def pilot_hole(what: str, diameter: float, gravity: float) -> float:
    """
    Hole to drill in the beam.

    Parameters
    ----------
    what : {"wood screw", "ring nail", "smooth nail"}
    diameter : float
        Of the shank. [mm]
    gravity : float
        Specific gravity of the beam. [1]

    Returns
    -------
    float
        0 where none is needed. [mm]

    Notes
    -----
    Parts of the shank: common practice, no source. Try one in an offcut of the beam.

    Examples
    --------
    >>> round(pilot_hole("wood screw", 4.0, 0.65), 2), pilot_hole("ring nail", 3.0, 0.4)
    (3.6, 0.0)
    """
    _row(what)
    return PILOT[what, gravity >= HARD] * diameter


def longest_hidden(deck: float, moulding: float, bevel_deg=0.0, skin: float = 5.0, sink: float = 0.0):
    r"""
    Longest fastening, driven square to the deck, that does not show below the beam.

    Parameters
    ----------
    deck : float
        Thickness of the layers it goes through, square to the deck. [mm]
    moulding : float
        Depth of the beam below the deck, plumb to its own sides. [mm]
    bevel_deg : (n,) array or float
        Bevel of the beam's top: the fastening leans by as much in the beam. [deg]
    skin : float
        Wood kept below the point. [mm]
    sink : float
        How far the head is set below the top of the deck. [mm]

    Returns
    -------
    ndarray or float
        Overall length. [mm]

    Notes
    -----
    .. math:: L = t - s + (m - k) / \cos\beta

    Examples
    --------
    >>> float(longest_hidden(12, 60, 0.0))
    67.0
    """
    return deck - sink + (moulding - skin) / np.cos(np.radians(np.abs(bevel_deg)))


@dataclass(frozen=True)
class FasteningLength:
    """
    A length chosen from those in stock.

    Parameters
    ----------
    length : float or None
        None where no length both holds and stays hidden. [mm]
    least, most : float
        To hold, and not to show below. [mm]
    depth : float
        In the beam. [mm]
    draw : float
        Greatest load in a short test at that depth. [N]
    words : str

    Examples
    --------
    >>> FasteningLength(None, 40, 30, 0, 0, "none").length is None
    True
    """

    length: float | None
    least: float
    most: float
    depth: float
    draw: float
    words: str


def fastening_length(what: str, diameter: float, deck: float, moulding: float, stock, *, gravity: float,
                     bevel_deg: float = 0.0, draw: float = 0.0, skin: float = 5.0, sink: float = 0.0):  # fmt: skip
    """
    The shortest length in stock that holds and does not show below.

    Parameters
    ----------
    what : {"wood screw", "ring nail", "smooth nail"}
    diameter : float
        Of the shank. [mm]
    deck, moulding : float
        Thickness it goes through; depth of the beam. [mm]
    stock : sequence of float
        Lengths to be had. [mm]
    gravity : float
        Specific gravity of the beam. [1]
    bevel_deg : float
        Of the beam's top, where steepest. [deg]
    draw : float
        Load in a short test that it must stand as well, your own figure. [N]
    skin, sink : float
        Wood kept below the point; head below the top of the deck. [mm]

    Returns
    -------
    FasteningLength

    Notes
    -----
    At least 7 diameters in the beam, for the full load sideways (USDA Wood Handbook FPL-GTR-282, chapter 8), and as
    deep as the load to draw it asks for.

    Examples
    --------
    >>> found = fastening_length("ring nail", 3.0, 9, 60, (25, 35, 45, 75), gravity=0.5)
    >>> found.length, round(found.depth)
    (35, 26)
    """
    per_mm = float(withdrawal(what, gravity, diameter, 1.0))
    depth = max(SIDE_LOAD_DIAMETERS * diameter, draw / per_mm)
    least, most = deck - sink + depth, float(longest_hidden(deck, moulding, bevel_deg, skin, sink))
    good = [length for length in sorted(stock) if least - 1e-9 <= length <= most + 1e-9]
    if not good:
        slip = "The beam is too shallow for it: take a thinner one." if least > most else "Get one between the two."
        words = f"No {what} in stock will do: {math.ceil(least)} mm holds and {math.floor(most)} mm shows below. {slip}"
        return FasteningLength(None, least, most, 0.0, 0.0, words)
    depth = good[0] - deck + sink
    size = f"{diameter:.1f} by {good[0]:g} mm"
    words = f"{what.capitalize()} {size}: {depth:.0f} mm in the beam; {most:.0f} mm is the most."
    return FasteningLength(good[0], least, most, depth, per_mm * depth, words)


def shortest_that_holds(what: str, diameter: float, deck: float, stock, *, gravity: float, draw: float = 0.0,
                        skin: float = 5.0, sink: float = 0.0) -> FasteningLength:  # fmt: skip
    """
    The shortest length in stock that holds in wood whose depth is not known, and how deep that wood must be.

    Parameters
    ----------
    what : {"wood screw", "ring nail", "smooth nail"}
    diameter, deck : float
        Of the shank; thickness it goes through. [mm]
    stock : sequence of float
        Lengths to be had. [mm]
    gravity : float
        Specific gravity of the wood below. [1]
    draw, skin, sink : float
        As in `fastening_length`. [N], [mm]

    Returns
    -------
    FasteningLength
        Its ``most`` is infinite: whoever cuts the clamp, the strap or the block gives it the depth.

    Notes
    -----
    The wood is deep enough at :math:`L - t + s + k`, with L the length, t what is gone through, s the sinking of the
    head and k the wood kept below the point.

    Examples
    --------
    >>> found = shortest_that_holds("ring nail", 3.0, 9, (25, 35, 45), gravity=0.5)
    >>> found.length, found.depth, found.words.partition(": ")[2]
    (35, 26.0, '26 mm in what is below, which must be 31 mm deep or more.')
    """
    per_mm = float(withdrawal(what, gravity, diameter, 1.0))
    least = deck - sink + max(SIDE_LOAD_DIAMETERS * diameter, draw / per_mm)
    good = [length for length in sorted(stock) if length >= least - 1e-9]
    if not good:
        words = f"No {what} in stock will do: {math.ceil(least)} mm holds. Get a longer one."
        return FasteningLength(None, least, math.inf, 0.0, 0.0, words)
    depth = good[0] - deck + sink
    words = (f"{what.capitalize()} {diameter:.1f} by {good[0]:g} mm: {depth:.0f} mm in what is below, which must be "
             f"{math.ceil(depth + skin - 1e-9)} mm deep or more.")  # fmt: skip
    return FasteningLength(good[0], least, math.inf, depth, per_mm * depth, words)
