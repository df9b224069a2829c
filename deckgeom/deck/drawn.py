"""
A camber drawn from life: drops or ordinates taken from an old beam or a drawing, and the plain curves nearest to them.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import NamedTuple

import numpy as np

from ..hull.fair_curve import FairCurve
from .camber import CamberError, Circle, Parabola, QuarterCircle, check_mould


class NearestCurve(NamedTuple):
    """
    A plain curve laid as near as may be to drops that were taken, in the sense of least squares.

    Attributes
    ----------
    curve : Circle, Parabola or QuarterCircle
        Its half-breadth is the section's. [mm]
    worst : float
        Greatest distance of a drop from it, up or down. [mm]
    worst_at : float
        Where, off the centreline. [mm]
    rms : float
        Root of the mean square distance. [mm]

    Examples
    --------
    >>> print(NearestCurve(Parabola(1200, 100), 1.24, 600, 0.8).words)
    parabola with 100 mm of camber: no drop is further from it than 1.2 mm (at 600 mm off the centreline)
    """

    curve: object
    worst: float
    worst_at: float
    rms: float

    @property
    def words(self) -> str:
        """In words."""
        radius = f", radius {self.curve.radius:.0f} mm" if isinstance(self.curve, Circle) else ""
        return (
            f"{self.curve.words} with {self.curve.rise:.0f} mm of camber{radius}: no drop is further from it than "
            f"{self.worst:.1f} mm (at {self.worst_at:.0f} mm off the centreline)"
        )


@dataclass(frozen=True, eq=False)
class DrawnSection:
    """
    A beam top given by drops below the crown, with a fair curve through or near them.

    Parameters
    ----------
    y : array_like, shape (n,)
        Off the centreline; signed (starboard positive) or all to one side; uneven spacing is well. [mm]
    drop_taken : array_like, shape (n,)
        Below the crown, n of 2 or more apart from the crown itself. [mm]
    half_breadth : float, optional
        Of the beam that they were taken from; the furthest drop where not given. [mm]
    accuracy : float
        How far the curve may pass from a drop; 0 goes through each. [mm]

    Attributes
    ----------
    rise : float
        Camber of the curve: its drop at the half-breadth. [mm]
    lean_deg : float
        How far the starboard drops lie below the port ones, as a list of the beam; 0 where one side was taken. The
        curve is the mean of both sides, so that a list is gone from it. [deg]

    Notes
    -----
    The curve is the same to both sides: the drops are mirrored and the fairest even curve with the crown at the
    centreline is taken. As a shape it is stretched both ways; as one mould it is used as it is.

    Examples
    --------
    >>> old = DrawnSection([300, 600, 900, 1200], [6.25, 25, 56.25, 100])
    >>> old.rise, old.nearest()[0].curve.name
    (100.0, 'parabola')
    """

    y: np.ndarray
    drop_taken: np.ndarray
    half_breadth: float | None = None
    accuracy: float = 0.0
    rise: float = field(init=False)
    lean_deg: float = field(init=False)
    _curve: FairCurve = field(init=False, repr=False)
    name = "drawn"
    words = "curve drawn through the drops that were taken"

    def __post_init__(self):
        y, drop = (np.array(v, dtype=float).ravel() for v in (self.y, self.drop_taken))
        off = y != 0
        _check_drops(y, drop, off)
        keep = np.append(y[off], 0.0), np.append(drop[off], 0.0)
        for name, array in zip(("y", "drop_taken"), keep, strict=True):
            array.flags.writeable = False
            object.__setattr__(self, name, array)
        half = float(np.max(np.abs(y)) if self.half_breadth is None else self.half_breadth)
        accuracy = np.where(self.y == 0, 0.0, self.accuracy)
        curve = FairCurve(
            np.concatenate([self.y, -self.y]), np.concatenate([self.drop_taken] * 2), np.concatenate([accuracy] * 2)
        )
        object.__setattr__(self, "half_breadth", half)
        object.__setattr__(self, "_curve", curve)
        object.__setattr__(self, "rise", float(curve(half)))
        object.__setattr__(self, "lean_deg", _lean(self.y, self.drop_taken))
        check_mould(half, self.rise)
        if not self.rise:
            raise CamberError("the drops are all nought: a flat beam has no curve. Leave the section out and give 0.")

    @classmethod
    def from_ordinates(cls, y, height, half_breadth: float | None = None, accuracy: float = 0.0) -> DrawnSection:
        """
        From heights above any level line, the crown (y = 0) among them.

        Parameters
        ----------
        y, height : array_like, shape (n,)
            [mm]

        Examples
        --------
        >>> DrawnSection.from_ordinates([0, 600, 1200], [100, 75, 0]).drop(600).round(9).item()
        25.0
        """
        y, height = np.asarray(y, dtype=float), np.asarray(height, dtype=float)
        if not np.any(y == 0):
            raise CamberError(
                "no ordinate at the centreline: the drops are counted from there. Measure the crown as well."
            )
        return cls(y, np.mean(height[y == 0]) - height, half_breadth, accuracy)

    def drop(self, y, order: int = 0):
        """
        Drop of the fair curve below the crown at y [mm], or its first [1] or second [1/mm] derivative.

        Examples
        --------
        >>> DrawnSection([600, 1200], [25, 100]).drop(-300).round(9).item()
        6.25
        """
        y = np.asarray(y, dtype=float)
        d = np.asarray(self._curve(np.abs(y), order))
        return np.sign(y) * d if order == 1 else d

    def sized(self, half_breadth: float, rise: float) -> DrawnSection:
        """
        The same curve stretched both ways to another beam.

        Examples
        --------
        >>> DrawnSection([600, 1200], [25, 100]).sized(600, 40).drop(300).round(9).item()
        10.0
        """
        if (half_breadth, rise) == (self.half_breadth, self.rise):
            return self
        along, up = half_breadth / self.half_breadth, rise / self.rise
        return DrawnSection(self.y * along, self.drop_taken * up, half_breadth, self.accuracy * up)

    def fraction(self, u, k=0.0):
        """
        Part of the camber left at u = y / half-breadth, whatever the camber. [1]

        Examples
        --------
        >>> DrawnSection([600, 1200], [25, 100]).fraction(0.5).round(9).item()
        0.75
        """
        return self.partials(u, 0.0, 0)[0]

    def partials(self, u, m=0.0, order: int = 2) -> tuple:
        """The fraction and its derivatives as `Circle.partials` gives them; those in m are nought."""
        y = np.asarray(u, dtype=float) * self.half_breadth
        p = 1 - self.drop(y) / self.rise
        if order == 0:
            return (p,)
        first = p, -self.drop(y, 1) * (self.half_breadth / self.rise), 0.0
        if order == 1:
            return first
        return (*first, -self.drop(y, 2) * (self.half_breadth**2 / self.rise), 0.0, 0.0)

    @property
    def distances(self) -> np.ndarray:
        """Curve less each drop as taken, crown last; positive where the curve passes below the beam. [mm]"""
        return self.drop(self.y) - self.drop_taken

    def nearest(self) -> tuple[NearestCurve, ...]:
        """
        Circle, parabola and quarter-circle curve nearest to the drops, the nearest first.

        Notes
        -----
        Each may lie a little above or below the crown that was measured: camber and height are both free, and a list of
        the beam is taken out first.

        Examples
        --------
        >>> arc = Circle(1200, 120)
        >>> found = DrawnSection([250, 500, 900, 1200], arc.drop([250, 500, 900, 1200])).nearest()[0]
        >>> found.curve.name, round(found.curve.radius), round(found.worst, 6)
        ('circle', 6060, 0.0)
        """
        z = self.drop_taken - np.tan(np.radians(self.lean_deg)) * self.y
        found = [_nearest(shape, self.half_breadth, self.rise, np.abs(self.y), z) for shape in _SHAPES]
        return tuple(sorted(found, key=lambda f: f.rms))


_SHAPES = (Circle, Parabola, QuarterCircle)


def _check_drops(y, drop, off) -> None:
    if y.size != drop.size:
        raise CamberError(f"{y.size} distances off the centreline and {drop.size} drops: there is one drop to each.")
    if not (np.all(np.isfinite(y)) and np.all(np.isfinite(drop))):
        raise CamberError("a drop or its place is blank: leave that point out.")
    if np.unique(np.abs(y[off])).size < 2:
        raise CamberError(
            f"{np.unique(np.abs(y[off])).size} drop off the centreline: two or more, at different distances, "
            "make a curve. With one, give it as a figure: camber on a breadth."
        )
    if np.any(np.abs(drop[~off]) > 0):
        raise CamberError(
            f"drop {drop[~off][0]:g} mm at the centreline: drops are counted from the crown, where it is 0. "
            "Are these heights and not drops?"
        )
    if np.any(drop < 0):
        i = int(np.argmin(drop))
        raise CamberError(
            f"drop {drop[i]:g} mm at {abs(y[i]):g} mm off the centreline: nothing stands above the crown. "
            "Is it a height?"
        )


def _lean(y, drop) -> float:
    """List of the beam from drops on both sides, by least squares over even curves through the distances taken
    twice."""
    side = {}
    for a, d in zip(y, drop, strict=True):
        side.setdefault(round(abs(a), 6), {}).setdefault(np.sign(a), []).append(d)
    pairs = [(a, np.mean(s[1.0]) - np.mean(s[-1.0])) for a, s in side.items() if 1.0 in s and -1.0 in s]
    if not pairs:
        return 0.0
    a, d = np.array(pairs).T
    return float(np.degrees(np.arctan(np.sum(a * d) / (2 * np.sum(a * a)))))


def _nearest(shape, half: float, rise: float, y, drop) -> NearestCurve:
    """Gauss-Newton on camber and height; one step for the curves that are linear in the camber."""
    lift, step = 0.0, 1e-6 * half
    for _ in range(12 if shape is Circle else 2):
        d = shape(half, rise).drop(y)
        by_rise = (shape(half, rise + step).drop(y) - shape(half, rise - step).drop(y)) / (2 * step)
        move, lift = np.linalg.lstsq(np.column_stack([by_rise, np.ones_like(y)]), drop - d, rcond=None)[0]
        rise += move
        if abs(move) < 1e-9 * half:
            break
    off = drop - shape(half, rise).drop(y) - lift
    i = int(np.argmax(np.abs(off)))
    return NearestCurve(shape(half, float(rise)), float(abs(off[i])), float(y[i]), float(np.sqrt(np.mean(off * off))))
