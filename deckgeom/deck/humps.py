"""
The crown line looked at along the boat: which way it bends, where it changes over, humps and hollows.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from ..units import format_length
from .lines import centre_of_edges

#: Ways that a line bends along the boat: ends high, or ends low.
HOLLOW, ROUND = "hollow", "round"

#: A line that bends so little over its length is straight. [mm]
STRAIGHT = 0.01

#: An inflection is found within this. [mm]
NEAR = 0.01

#: Humps and hollows lower than this are nobody's concern. [mm]
LEAST_HUMP = 0.1


class Hump(NamedTuple):
    """
    A place where a line does not lie on a straight batten held to it.

    Attributes
    ----------
    kind : str
        "hump": the line stands above a straight batten held under it. "hollow": it lies below one laid over it.
    start, end : float
        Where the batten touches. [mm]
    x : float
        Where the gap is greatest. [mm]
    gap : float
        How great. [mm]

    Examples
    --------
    >>> find_humps([0, 1000, 2000, 3000, 4000], [0, 40, 30, 40, 0])[0].kind
    'hollow'
    """

    kind: str
    start: float
    end: float
    x: float
    gap: float

    def words(self, units: str = "mm") -> str:
        """
        In words.

        Examples
        --------
        >>> Hump("hump", 1000, 3000, 2100, 12.3).words()
        'hump of 12 mm at 2100 mm, over a straight batten from 1000 mm to 3000 mm'
        """
        x, start, end, gap = (format_length(v, units) for v in (self.x, self.start, self.end, self.gap))
        held = "over" if self.kind == "hump" else "under"
        return f"{self.kind} of {gap} at {x}, {held} a straight batten from {start} to {end}"


def way_of(x, z) -> str:
    """
    Which way a line bends on the whole: "hollow" (ends high) or "round" (ends low).

    Parameters
    ----------
    x, z : ndarray, shape (n,)
        [mm]

    Examples
    --------
    >>> way_of(np.array([0, 1, 2]), np.array([5, 0, 5]))
    'hollow'
    """
    return HOLLOW if np.trapezoid(z - _chord(x, z), x) <= 0 else ROUND


def straight_within(x, z, allowed: float = STRAIGHT) -> bool:
    """
    Whether a line is straight, but for what is allowed.

    Parameters
    ----------
    x, z : ndarray, shape (n,)
        [mm]
    allowed : float
        Greatest distance from the straight line between its ends. [mm]

    Examples
    --------
    >>> straight_within(np.array([0, 1, 2]), np.array([1.0, 2.0, 3.0]))
    True
    """
    return bool(np.max(np.abs(z - _chord(x, z))) <= allowed)


def _chord(x, z):
    return z[0] + (z[-1] - z[0]) * (x - x[0]) / (x[-1] - x[0])


def find_humps(x, z, way: str | None = None, least: float = LEAST_HUMP) -> tuple[Hump, ...]:
    """
    Humps of a line that should be hollow or straight, or hollows of one that should be round or straight.

    Parameters
    ----------
    x, z : array_like, shape (n,)
        The line, x increasing; close enough together to see it. [mm]
    way : str, optional
        "hollow" or "round"; as the line bends on the whole where not given.
    least : float
        Lower ones are left out. [mm]

    Returns
    -------
    tuple of Hump

    Notes
    -----
    A hollow line lies on its lower convex hull; where it does not, the hull is the straight batten held under the hump.
    Upside down for a round line.

    Examples
    --------
    >>> find_humps([0, 1, 2, 3, 4], [9.0, 0.0, 4.0, 0.0, 9.0])[0].words()
    'hump of 4 mm at 2 mm, over a straight batten from 1 mm to 3 mm'
    """
    x, z = np.asarray(x, dtype=float), np.asarray(z, dtype=float)
    if x.ndim != 1 or x.shape != z.shape or x.size < 3 or np.any(np.diff(x) <= 0):
        raise ValueError("a line is three or more points with x increasing. Are the points out of order or doubled?")
    way = way or way_of(x, z)
    sign = 1.0 if way == HOLLOW else -1.0
    touch = _lower_hull(x, sign * z)
    gap = sign * z - np.interp(x, x[touch], sign * z[touch])
    found = []
    for a, b in zip(touch[:-1], touch[1:], strict=True):
        i = a + int(np.argmax(gap[a : b + 1]))
        if gap[i] >= least:
            where, high = _peak(x, gap, i)
            found.append(Hump("hump" if way == HOLLOW else "hollow", float(x[a]), float(x[b]), where, high))
    return tuple(found)


def _lower_hull(x, z) -> np.ndarray:
    """Indices of the lower convex hull of points in order, Andrew's chain."""
    keep: list[int] = []
    xs, zs = x.tolist(), z.tolist()
    for i in range(len(xs)):
        while len(keep) > 1:
            a, b = keep[-2], keep[-1]
            if (zs[b] - zs[a]) * (xs[i] - xs[a]) < (zs[i] - zs[a]) * (xs[b] - xs[a]):
                break
            keep.pop()
        keep.append(i)
    return np.array(keep)


def _peak(x, gap, i: int) -> tuple[float, float]:
    """Top of the parabola through the greatest gap and its neighbours."""
    if i in (0, x.size - 1):
        return float(x[i]), float(gap[i])
    a, b = x[i] - x[i - 1], x[i + 1] - x[i]
    fall, rise = (gap[i] - gap[i - 1]) / a, (gap[i + 1] - gap[i]) / b
    bend = 2 * (rise - fall) / (a + b)
    if bend >= 0:
        return float(x[i]), float(gap[i])
    tilt = (fall * b + rise * a) / (a + b)
    move = float(np.clip(-tilt / bend, -a, b))
    return float(x[i] + move), float(gap[i] + move * (tilt + move * bend / 2))


@dataclass(frozen=True, eq=False)
class CrownProfile:
    """
    The crown line of a deck, with what a batten held to it shows.

    Attributes
    ----------
    x, height, edge_height, camber, slope, bend : ndarray, shape (n,)
        Along the boat; edge_height is of the line that joins the edges, on the centreline; slope and bend are of the
        crown line. [mm], slope [1], bend [1/mm]
    way : str
        "hollow" or "round": the way that it should bend, as the sheer does.
    inflections : tuple of float
        Where the bend changes over. [mm]
    humps : tuple of Hump
        Against a straight batten.

    Examples
    --------
    >>> from deckgeom.deck.crown import SameProportion
    >>> from deckgeom.deck.even_hull import even_hull
    >>> from deckgeom.deck.surface import Deck
    >>> crown_line(Deck(even_hull(rise=150), SameProportion("circle", 94))).words()
    'The crown line is hollow or straight throughout: no hump, no hollow.'
    """

    x: np.ndarray
    height: np.ndarray
    edge_height: np.ndarray
    camber: np.ndarray
    slope: np.ndarray
    bend: np.ndarray
    way: str
    inflections: tuple[float, ...]
    humps: tuple[Hump, ...]

    def words(self, units: str = "mm") -> str:
        """In words."""
        if self.humps:
            return (
                f"The crown line should be {self.way} or straight. It has a "
                + "; a ".join(hump.words(units) for hump in self.humps)
                + "."
            )
        if self.inflections:
            where = ", ".join(format_length(v, units) for v in self.inflections)
            return f"The crown line has no hump to measure, but its bend changes over at {where}."
        return f"The crown line is {self.way} or straight throughout: no hump, no hollow."


def crown_line(deck, points: int = 401, way: str | None = None, which: str = "deck") -> CrownProfile:
    """
    The crown line of a deck along the whole boat, with inflections, humps and hollows.

    Parameters
    ----------
    deck : Deck
    points : int
        How many places, evenly spaced.
    way : str, optional
        "hollow" or "round"; as the sheer bends where not given, or as the crown line itself where the sheer is
        straight.
    which : str
        "deck" or "beam".

    Returns
    -------
    CrownProfile

    Notes
    -----
    An inflection is a root of the exact second derivative of the line at which it changes sign; bends that would sag
    the whole line by less than 0.01 mm count as straight.

    Examples
    --------
    >>> from deckgeom.deck.crown import OneMould
    >>> from deckgeom.deck.even_hull import even_hull
    >>> from deckgeom.deck.surface import Deck
    >>> profile = crown_line(Deck(even_hull(rise=96), OneMould("parabola", 96)))
    >>> [(hump.kind, round(hump.gap, 1), round(abs(hump.x))) for hump in profile.humps]
    [('hump', 24.0, 0)]
    """
    x = np.linspace(deck.sheer.start, deck.sheer.end, points)
    height = deck.height(x, 0.0, which)
    bend = deck.second(x, 0.0, which)[0]
    edge_height = centre_of_edges(deck.law.edges(x))[0]
    if way is None:
        way = way_of(x, height if straight_within(x, edge_height) else edge_height)
    return CrownProfile(
        x, height, edge_height, deck.camber(x), deck.slopes(x, 0.0, which)[0], bend, way,
        _inflections(lambda at: deck.second(at, 0.0, which)[0], x, bend), find_humps(x, height, way),
    )  # fmt: skip


def _inflections(bend_at, x, bend) -> tuple[float, ...]:
    """Roots at which the bend changes sign, all brackets narrowed at once, by straight steps and halving in turn."""
    real = np.flatnonzero(np.abs(bend) * (x[-1] - x[0]) ** 2 / 8 > STRAIGHT)
    change = np.flatnonzero(np.sign(bend[real[:-1]]) != np.sign(bend[real[1:]]))
    if not change.size:
        return ()
    low, high = x[real[change]], x[real[change + 1]]
    at_low, at_high = bend[real[change]], bend[real[change + 1]]
    for step in range(40):
        part = np.clip(at_low / np.where(at_low == at_high, 1.0, at_low - at_high), 0.02, 0.98)
        middle = low + (0.5 if step % 3 == 2 else part) * (high - low)
        value = bend_at(middle)
        left = np.sign(value) == np.sign(at_low)
        low, at_low = np.where(left, middle, low), np.where(left, value, at_low)
        high, at_high = np.where(left, high, middle), np.where(left, at_high, value)
        if np.max(high - low) < NEAR:
            break
    part = at_low / np.where(at_low == at_high, 1.0, at_low - at_high)
    return tuple((low + np.clip(part, 0.0, 1.0) * (high - low)).tolist())
