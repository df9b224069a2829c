"""A batten held by ducks, the weights that keep it in its curve on the floor, and what it says when one is lifted."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from deckgeom.fairing.batten import LaidStrip, Strip, fasten_strip

__all__ = ["FLOOR_BATTEN", "DuckBatten", "fair_marks", "hold_batten"]

#: A batten as it lies on many a floor: common practice, no source. It lies flat, so its weight does not bend it.
FLOOR_BATTEN = Strip(12.0, 12.0, 10000.0, name="batten")


@dataclass(frozen=True, eq=False)
class DuckBatten:
    """
    A batten held by ducks.

    Parameters
    ----------
    laid : LaidStrip
        The batten as it lies, held by the ducks that are down.
    place, at : ndarray, shape (n,)
        Of every duck: along the batten, and across the floor. [mm]
    lifted : tuple of int
        Ducks that are lifted, counted from 0.
    spring : ndarray, shape (n,)
        How far the batten moves past each duck when that one alone is lifted; nought at the ends, and where it is
        lifted already its distance from the mark. Up positive. [mm]
    force : ndarray, shape (n,)
        Of each duck on the batten, up positive; nought where lifted. [N]
    ease : ndarray, shape (n,)
        Part of the batten's bending that goes when each duck is lifted alone. [-]

    Notes
    -----
    Half of force times spring is the bending that lifting a duck sets free. Of a batten that was straight, no duck sets
    more free than the one that was pushed out of line, though a neighbour may spring further (the Cauchy-Schwarz
    inequality for the stiffness of the batten; derived).

    Examples
    --------
    >>> held = hold_batten([0, 1000, 2000, 3000, 4000], [0, 0, 20, 0, 0])
    >>> held.worst, held.ease.round(2).tolist()
    (2, [0.0, 0.66, 1.0, 0.66, 0.0])
    """

    laid: LaidStrip
    place: np.ndarray
    at: np.ndarray
    lifted: tuple[int, ...]
    spring: np.ndarray
    force: np.ndarray
    ease: np.ndarray

    def __post_init__(self) -> None:
        for name in ("place", "at", "spring", "force", "ease"):
            kept = np.array(getattr(self, name), dtype=float)
            kept.flags.writeable = False
            object.__setattr__(self, name, kept)

    @property
    def worst(self) -> int:
        """The duck, counted from 0, whose lifting eases the batten most; no end duck."""
        return 1 + int(np.argmax(self.ease[1:-1].round(9)))


def hold_batten(place, at, lifted: Sequence[int] = (), strip: Strip = FLOOR_BATTEN) -> DuckBatten:
    """
    Hold a batten with ducks, and tell what it does when each is lifted.

    Parameters
    ----------
    place, at : array_like, shape (n,)
        Of every duck: along the batten, in rising order, and across the floor. [mm]
    lifted : sequence of int
        Ducks that are lifted, counted from 0; not the first or last.
    strip : Strip
        The batten.

    Returns
    -------
    DuckBatten

    Raises
    ------
    ValueError
        If ducks stand out of order or on each other, or an end duck is lifted.

    Examples
    --------
    >>> hold_batten([0, 1000, 2000], [0, 50, 0]).spring.round(1).tolist()
    [0.0, -50.0, 0.0]
    """
    place, at = np.asarray(place, dtype=float), np.asarray(at, dtype=float)
    lifted = tuple(sorted(set(lifted)))
    if np.any(np.diff(place) <= 0):
        raise ValueError("The ducks must stand one after another: two are at one place, or have changed places.")
    if set(lifted) & {0, len(place) - 1}:
        raise ValueError("The first and last duck hold the ends: lift one between them.")
    down = [k for k in range(len(place)) if k not in lifted]
    laid = fasten_strip(place[down], at[down], strip)
    force, spring = np.zeros(len(place)), np.zeros(len(place))
    force[down] = laid.force
    for k in range(1, len(place) - 1):
        rest = [one for one in down if one != k]
        spring[k] = float(fasten_strip(place[rest], at[rest], strip).height(place[k])) - at[k]
    bent = float(np.sum(force * at)) / 2
    ease = np.abs(force * spring) / 2 / bent if bent > 0 else np.zeros(len(place))
    return DuckBatten(laid, place, at, lifted, spring, force, ease)


def fair_marks(length: float, rise: float, ducks: int = 7) -> tuple[np.ndarray, np.ndarray]:
    """
    Marks that an even batten runs through of itself: the line of a bar that is bent evenly from end to end.

    Parameters
    ----------
    length : float
        From the first duck to the last. [mm]
    rise : float
        At the middle. [mm]
    ducks : int
        How many, evenly spaced. [-]

    Returns
    -------
    place, at : ndarray, shape (ducks,)
        Along the batten and across the floor. [mm]

    Notes
    -----
    .. math:: w = \\tfrac{16}{5} c (\\xi - 2 \\xi^3 + \\xi^4)

    the deflection of a uniformly loaded bar on two supports [1]_, straight at its ends as a batten is.

    References
    ----------
    .. [1] Roark, *Formulas for Stress and Strain*, simply supported beam, uniform load.

    Examples
    --------
    >>> fair_marks(6000, 80, 5)[1].tolist()
    [0.0, 57.0, 80.0, 57.0, 0.0]
    """
    share = np.linspace(0.0, 1.0, ducks)
    return length * share, 3.2 * rise * share * (1 - share) * (1 + share - share**2)
