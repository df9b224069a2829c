"""The bevel of one beam from the slopes of the boat where it stands: what the fore-and-aft slope is made of."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from deckgeom.deck.crown import OneMould, SameProportion
from deckgeom.deck.surface import Deck
from deckgeom.hull.sheer import Sheer

__all__ = ["BevelAcross", "bevel_across"]

RULES = {"same proportion": SameProportion, "one mould": OneMould}
_NEAR = 500.0


@dataclass(frozen=True, eq=False)
class BevelAcross:
    """
    The bevel of one beam from the centreline to its end.

    Parameters
    ----------
    u : ndarray, shape (n,)
        Part of the half-breadth. [-]
    slope : ndarray, shape (n,)
        Of the deck along the boat, rise aft positive. [-]
    sheer_slope : float
        What the sheer gives to it. [-]
    siding : float
        Of the beam. [mm]

    Examples
    --------
    >>> across = bevel_across(1200, 0.15, -0.05, 75, 40)
    >>> across.degrees.round(4).tolist()[::20]
    [-2.3264, -2.1923, -1.7899]
    """

    u: np.ndarray
    slope: np.ndarray
    sheer_slope: float
    siding: float

    def __post_init__(self) -> None:
        for name in ("u", "slope"):
            kept = np.array(getattr(self, name), dtype=float)
            kept.flags.writeable = False
            object.__setattr__(self, name, kept)

    @property
    def degrees(self) -> np.ndarray:
        """The bevel, shape (n,): above nought where the after edge is the higher. [deg]"""
        return np.degrees(np.arctan(self.slope))

    @property
    def rise(self) -> np.ndarray:
        """How much higher the after edge is over the siding, shape (n,). [mm]"""
        return self.slope * self.siding

    @property
    def from_camber(self) -> np.ndarray:
        """What the camber adds to the slope of the sheer, shape (n,). [-]"""
        return self.slope - self.sheer_slope


def bevel_across(
    half_breadth: float,
    plan_slope: float,
    sheer_slope: float,
    camber: float,
    siding: float,
    rule: str = "same proportion",
    widest: float | None = None,
    points: int = 41,
) -> BevelAcross:
    """
    Work out the bevel right across one beam with a parabola for its top.

    Parameters
    ----------
    half_breadth : float
        Of the beam. [mm]
    plan_slope : float
        How fast the half-breadth grows aft. [-]
    sheer_slope : float
        How fast the sheer rises aft. [-]
    camber : float
        Of this beam; with one mould, of the mould at its own half-breadth `widest`. [mm]
    siding : float
        Fore and aft. [mm]
    rule : {"same proportion", "one mould"}
        How the camber changes along the boat.
    widest : float, optional
        Half-breadth of the mould; this beam's own if not given. [mm]
    points : int
        Places across. [-]

    Returns
    -------
    BevelAcross

    Notes
    -----
    .. math:: z' = z_s' + 2 r b' (1 + u^2)

    in the same proportion, r camber over beam; with one mould 2 c_0 b b' / b_0^2 is added at every u. Both derived.

    Examples
    --------
    >>> bevel_across(1200, 0.15, -0.05, 93.75, 40, "one mould", 1500).degrees.round(4).tolist()[::40]
    [-2.0045, -2.0045]
    """
    if rule not in RULES:
        raise ValueError(f"{rule!r} is none of the rules of this lesson: {', '.join(RULES)}.")
    figure = f"{camber:.12g} mm on {2 * (widest or half_breadth):.12g} mm"
    sheer = Sheer.from_curves(_straight(half_breadth, plan_slope), _straight(0.0, sheer_slope), start=-_NEAR, end=_NEAR)
    u = np.linspace(0.0, 1.0, points)
    slope = Deck(sheer, RULES[rule]("parabola", figure)).slopes(0.0, half_breadth * u)[0]
    return BevelAcross(u, slope, float(sheer_slope), float(siding))


def _straight(start: float, slope: float):
    """A straight line in x with its derivatives."""

    def line(x, order: int = 0):
        x = np.asarray(x, dtype=float)
        return start + slope * x if order == 0 else np.full_like(x, slope if order == 1 else 0.0)

    return line
