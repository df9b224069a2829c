"""
Holding a dry fit and a glue-up: temporary screws, relief holes in ply, cleats or weights along scarfs.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from deckgeom.deck._closed import closed
from deckgeom.laying.dry_fit_clip import parts_in_convex, parts_in_outline
from deckgeom.units import format_length

__all__ = ["ScarfHold", "along_scarf", "relief_holes", "temporary_screws", "weight_words"]

GRAVITY = 9.80665
POUND = 0.45359237
"""[kg]"""


def weight_words(weight: float, units: str = "mm") -> str:
    """
    A weight, to whole kilograms or pounds.

    Parameters
    ----------
    weight : float
        [kg]
    units : {"mm", "ft-in-8", "in"}

    Returns
    -------
    str

    Examples
    --------
    >>> weight_words(10.0), weight_words(10.0, "in")
    ('10 kg', '22 lb')
    """
    return f"{weight:.0f} kg" if units == "mm" else f"{weight / POUND:.0f} lb"


def temporary_screws(points, spacing: float) -> np.ndarray:
    """
    Which of the permanent holes hold the piece for the dry fit, so that no other hole is ever bored.

    Parameters
    ----------
    points : (n, 2) array
        Permanent fastenings along one line, in order, in plan. [mm]
    spacing : float
        At most between two temporary screws. [mm]

    Returns
    -------
    (k,) int array
        Places in the list, first and last among them: the fewest with no gap above the spacing, where the permanent
        ones themselves lie no farther apart.

    Examples
    --------
    >>> temporary_screws([(0, 0), (150, 0), (300, 0), (450, 0), (600, 0)], 320).tolist()
    [0, 2, 4]
    """
    points = np.asarray(points, float).reshape(-1, 2)
    if not spacing > 0:
        raise ValueError(f"temporary screws {spacing:g} mm apart: it is above 0. Is it left blank?")
    along = np.r_[0.0, np.cumsum(np.hypot(*np.diff(points, axis=0).T))] if len(points) else np.zeros(0)
    chosen = [0] if len(points) else []
    while chosen and chosen[-1] < len(points) - 1:
        reach = int(np.searchsorted(along, along[chosen[-1]] + spacing + 1e-6, side="right")) - 1
        chosen.append(max(reach, chosen[-1] + 1))
    return np.array(chosen, int)


def relief_holes(outline, fastenings, spacing: float, clear: float = 40.0, bearers=()) -> np.ndarray:
    """
    Holes that let air and glue out from under a sheet, between its fastenings.

    Parameters
    ----------
    outline : (n, 2) array
        Of the sheet in plan. [mm]
    fastenings : (m, 2) array
        [mm]
    spacing : float
        Of the holes, both ways. [mm]
    clear : float
        From every fastening and from the sheet's edge, at least. [mm]
    bearers : sequence
        With ``outline`` each, convex: no hole opens over one. Leave it out between two skins.

    Returns
    -------
    (k, 2) array
        A square net of holes, of those that may be shifted by quarters of the spacing the one with the most holes.
        [mm]

    Examples
    --------
    >>> relief_holes([(0, 0), (600, 0), (600, 300), (0, 300)], [(300, 150)], 300).tolist()
    [[150.0, 150.0], [450.0, 150.0]]
    """
    if not (spacing > 0 and clear >= 0):
        raise ValueError(
            f"relief holes {spacing:g} mm apart and {clear:g} mm clear: the first is above 0, the other nought or "
            "more. "
            "Is one left blank?"
        )
    outline, fastenings = np.asarray(outline, float), np.asarray(fastenings, float).reshape(-1, 2)
    best = np.zeros((0, 2))
    for i in (2, 1, 3, 0):
        for j in (2, 1, 3, 0):
            net = _net(outline, spacing, (i / 4, j / 4))
            keep = np.array([_free(p, outline, fastenings, clear, bearers) for p in net], bool)
            if keep.sum() > len(best):
                best = net[keep]
    return closed(best)


def _net(outline, spacing: float, part) -> np.ndarray:
    low, high = outline.min(axis=0), outline.max(axis=0)
    x, y = (np.arange(a + spacing * f, b, spacing) for a, b, f in zip(low, high, part, strict=True))
    return np.array([(a, b) for a in x for b in y]).reshape(-1, 2)


def _free(place, outline, fastenings, clear: float, bearers) -> bool:
    """Whether a place is clear of fastenings, edges and bearers."""
    if len(fastenings) and np.hypot(*(fastenings - place).T).min() < clear - 1e-9:
        return False
    run = np.roll(outline, -1, axis=0) - outline
    square = np.maximum(np.sum(run**2, axis=1), 1e-12)
    part = np.clip(np.sum((place - outline) * run, axis=1) / square, 0, 1)
    if np.hypot(*(outline + part[:, None] * run - place).T).min() < max(clear - 1e-9, 1e-6):
        return False
    tiny = np.array([1e-7, 1e-7])
    if parts_in_outline(place - tiny, place + tiny, outline) != [(0.0, 1.0)]:
        return False
    return not any(parts_in_convex(place - tiny, place + tiny, bearer.outline) for bearer in bearers)


@dataclass(frozen=True)
class ScarfHold:
    """
    What holds a scarf while it sets: cleats screwed down over it, or weights. Made by `along_scarf`.

    Parameters
    ----------
    length : float
        Of the joint. [mm]
    at : tuple of float
        Middles of the cleats along the joint. [mm]
    weight : float
        On all of it, where it is weighted instead. [kg]

    Examples
    --------
    >>> ScarfHold(300, (50, 250), 10.0).words()
    '2 cleats at 50 mm, 250 mm along the scarf, over thin plastic; or about 10 kg spread evenly on a stiff batten.'
    """

    length: float
    at: tuple[float, ...]
    weight: float

    def words(self, units: str = "mm") -> str:
        """In a sentence."""
        places = ", ".join(format_length(each, units) for each in self.at)
        weight = weight_words(self.weight, units)
        return (
            f"{len(self.at)} cleat{'s' * (len(self.at) != 1)} at {places} along the scarf, over thin plastic; or about "
            f"{weight} spread evenly on a stiff batten."
        )


def along_scarf(
    length: float, taper: float, spacing: float = 150.0, inset: float = 50.0, pressure: float = 5.0
) -> ScarfHold:
    """
    Cleats or weights along a scarf.

    Parameters
    ----------
    length : float
        Of the joint. [mm]
    taper : float
        Length of the scarf along the sheet. [mm]
    spacing : float
        Of the cleats, at most. Common practice, no source. [mm]
    inset : float
        From an end to the first. [mm]
    pressure : float
        On the tapers, if weighted: enough that glue comes out all along. Common practice, no source. [kPa]

    Returns
    -------
    ScarfHold

    Notes
    -----
    .. math:: m = p\\,l\\,s / g

    Examples
    --------
    >>> hold = along_scarf(1220, 96)
    >>> len(hold.at), round(hold.weight)
    (9, 60)
    """
    if not (length > 0 and taper > 0 and spacing > 0 and pressure > 0 and inset >= 0):
        raise ValueError(
            f"a scarf {length:g} by {taper:g} mm held every {spacing:g} mm at {pressure:g} kPa: each is above 0. Is "
            "one left "
            "blank?"
        )
    weight = pressure * 1e3 * length * taper / 1e6 / GRAVITY
    if length <= 2 * inset:
        return ScarfHold(length, (length / 2,), weight)
    count = math.ceil((length - 2 * inset) / spacing - 1e-9) + 1
    return ScarfHold(length, tuple(np.linspace(inset, length - inset, max(2, count)).tolist()), weight)
