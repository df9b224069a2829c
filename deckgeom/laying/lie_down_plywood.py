"""
What plywood takes: the smallest radius by thickness and face grain, and how stiff it is either way.
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np

from deckgeom.tables import table

__all__ = ["KINDS", "RADIUS_BASIS", "STIFFNESS_BASIS", "plate_stiffness", "smallest_radius", "thickest"]

#: Kinds of plywood that the table has rows for.
KINDS = ("construction", "aircraft")
RADIUS_BASIS = (
    "plywood bent dry and cold; between two thicknesses of the table on the straight line between them, thinner than "
    "its first row at that row's surface strain"
)
#: Modulus across the grain as a part of that along it. From memory, no source at hand.
ACROSS_TO_ALONG = 0.05
STIFFNESS_BASIS = (
    "plies of equal thickness laid crosswise, the modulus across the grain 1/20 of that along it (from memory), no "
    "creep, no steam"
)


@lru_cache
def _rows(kind: str, bend: str) -> tuple[np.ndarray, np.ndarray]:
    """Thicknesses, rising, and radii of one kind and way."""
    own = [row for row in table("plywood") if (row["kind"], row["bend"]) == (kind, bend)]
    rows = [(float(row["thickness"]), float(row["radius"])) for row in own]
    return tuple(np.array(sorted(rows)).T)


def thickest(kind: str = "construction") -> float:
    """
    Thickest sheet that the table has a radius for.

    Parameters
    ----------
    kind : {"construction", "aircraft"}

    Returns
    -------
    float
        [mm]

    Examples
    --------
    >>> thickest(), thickest("aircraft")
    (19.05, 9.525)
    """
    if kind not in KINDS:
        raise ValueError(f"plywood {kind!r}: the table has {' and '.join(KINDS)}. Name one of these.")
    return float(_rows(kind, "along")[0][-1])


def smallest_radius(thickness: float, bend: str, kind: str = "construction") -> float:
    """
    Smallest radius to which a sheet is bent dry and cold.

    Parameters
    ----------
    thickness : float
        Of one sheet, as measured. [mm]
    bend : {"along", "across"}
        "along" curves the face grain itself; "across" rolls the sheet about a line parallel to the face grain.
    kind : {"construction", "aircraft"}
        Which rows of the table "plywood".

    Returns
    -------
    float
        [mm]

    Notes
    -----
    Between two rows on the straight line; below the first row in proportion to the thickness, which keeps its surface
    strain t/2R. Above the last row there is none: the strain that thicker sheets take falls, so none is guessed.

    References
    ----------
    The rows' own: APA concrete-forming guide; FAA AC 43.13-1B, table 1-2 (its angle is that of the line about which the
    sheet is bent: the greater radius goes with curving the face grain).

    Examples
    --------
    >>> smallest_radius(6.35, "across"), round(smallest_radius(9, "along"), 1), smallest_radius(3.175, "across")
    (610.0, 2286.9, 305.0)
    """
    if kind not in KINDS or bend not in ("along", "across"):
        raise ValueError(f"plywood {kind!r} bent {bend!r}: a kind is {' or '.join(KINDS)}, a bend along or across.")
    at, radius = _rows(kind, bend)
    if not 0 < thickness <= at[-1] + 1e-9:
        raise ValueError(
            f"{thickness:g} mm {kind} plywood: the table goes from 0 to {at[-1]:g} mm. Is it the thickness of the "
            "whole deck? Give that of one skin, or lay it in thinner skins."
        )
    if thickness < at[0]:
        return float(radius[0] * thickness / at[0])
    return float(np.interp(thickness, at, radius))


def plate_stiffness(thickness: float, bend: str, plies: int = 5, modulus_gpa: float | None = None) -> float:
    r"""
    Bending stiffness of a sheet for each mm of its width.

    Parameters
    ----------
    thickness : float
        [mm]
    bend : {"along", "across"}
        As in `smallest_radius`.
    plies : int
        Odd, 3 or more; taken as of equal thickness.
    modulus_gpa : float, optional
        Of the wood along its grain; that of Douglas-fir in the table "timber" unless given. [GPa]

    Returns
    -------
    float
        [N mm]

    Notes
    -----
    .. math:: D = \frac{E t^3}{12} (f + (1 - f) / 20), \quad f = 4 \sum_{i\ \mathrm{along}} (z_{i+1}^3 - z_i^3) / t^3

    with z from the middle of the sheet; the stiffening by Poisson's effect is left out (under 1 % for crossed plies).

    References
    ----------
    Layered beam theory; modulus from the table "timber".

    Examples
    --------
    >>> round(plate_stiffness(9, "along") / plate_stiffness(9, "across"), 2)
    3.24
    """
    if plies < 3 or plies % 2 == 0:
        raise ValueError(f"{plies} plies: plywood has an odd number, 3 or more. Count the layers at an edge.")
    if modulus_gpa is None:
        modulus_gpa = next(float(r["modulus_gpa"]) for r in table("timber") if r["timber"] == "Douglas-fir, coast")
    z = np.linspace(-1, 1, plies + 1)
    share = np.diff(z**3) / 2
    faces = float(share[::2].sum())
    along = faces if bend == "along" else 1 - faces
    return modulus_gpa * 1e3 * thickness**3 / 12 * (along + (1 - along) * ACROSS_TO_ALONG)
