"""
The fair deck edge, port and starboard, in plan and in profile.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import NamedTuple

import numpy as np

from deckgeom.hull.fair_curve import FairCurve
from deckgeom.hull.offsets import SIDES, WHATS, OffsetLine, OffsetTable, swap_side

__all__ = ["OffsetDistance", "Sheer"]

KEYS = tuple(f"{what}_{side}" for what in WHATS for side in SIDES)
"""The four lines of a deck edge."""


class OffsetDistance(NamedTuple):
    """
    How far the fair curve passes from one offset.

    Parameters
    ----------
    column, station : str
        Where the offset stands in the table.
    value : float
        The offset as typed. [mm]
    curve : float
        The fair curve there. [mm]
    distance : float
        Curve minus value: positive where the curve is above or outside the offset. [mm]
    set_aside : bool
        Whether the offset was kept from pulling the curve.

    Examples
    --------
    >>> OffsetDistance("height", "3", 343.0, 344.5, 1.5, False).distance
    1.5
    """

    column: str
    station: str
    value: float
    curve: float
    distance: float
    set_aside: bool


@dataclass(frozen=True, eq=False)
class Sheer:
    """
    Both deck edges as curves along the boat.

    Parameters
    ----------
    curves : dict of str to callable
        Keys height_port, height_starboard, half_breadth_port, half_breadth_starboard; each f(x, order) on arrays,
        orders 0 to 3.
    start, end : float
        Ends of the deck edge. [mm]
    notes : tuple of str
        What the builder should know about the curves, in words.
    offsets : tuple
        The lines of offsets behind the curves, as (key, line, set aside); empty for curves given as such.

    Notes
    -----
    Half-breadths are unsigned on both sides. See `FairCurve` for the curve itself.

    Examples
    --------
    >>> table = OffsetTable.from_rows({"x": [0, 1000, 2000, 3000], "height": [700, 620, 600, 640],
    ...                                "half_breadth": [0, 500, 650, 550]})
    >>> sheer = Sheer.from_offsets(table)
    >>> round(float(sheer.height("port", 1000)), 6), round(float(sheer.half_breadth("starboard", 2000)), 6)
    (620.0, 650.0)
    """

    curves: dict[str, Callable]
    start: float
    end: float
    notes: tuple[str, ...] = ()
    offsets: tuple[tuple[str, OffsetLine, np.ndarray], ...] = ()

    def __post_init__(self):
        missing = [key for key in KEYS if key not in self.curves]
        if missing:
            raise ValueError(f"no {missing[0].replace('_', ' ')} for the deck edge: is the column missing or empty?")
        if not self.end > self.start:
            raise ValueError(f"the deck edge ends at x = {self.end:g} mm, not aft of its start at {self.start:g} mm.")
        object.__setattr__(self, "curves", dict(self.curves))

    @classmethod
    def from_offsets(cls, table: OffsetTable, accuracy=0.0, set_aside=()) -> Sheer:
        """
        Fair the deck edge through a table of offsets.

        Parameters
        ----------
        table : OffsetTable
            Heights and half-breadths. [mm]
        accuracy : float or dict of str to float, optional
            How far the curve may pass from an offset, for all or by column; 0 means through each. [mm]
        set_aside : iterable of (column, station) or of suspects, optional
            Offsets that must not pull the curve; their distances are still told. Negative half-breadths never do.

        Returns
        -------
        Sheer
            From the first to the last station; where a line lacks an end its curve runs on, and a note says so.

        Examples
        --------
        >>> table = OffsetTable.from_rows({"x": [0, 1, 2, 3], "height": [0, 1, 40, 9], "half_breadth": [1, 1, 1, 1]})
        >>> sheer = Sheer.from_offsets(table, set_aside=[("height", "2")])
        >>> round(float(sheer.height("port", 2)), 9)
        4.0
        """
        set_aside = {_column_and_station(item) for item in set_aside}
        curves, offsets, made = {}, [], {}
        for key in KEYS:
            line = table.lines.get(key)
            if line is None:
                continue
            if id(line) not in made:
                aside = _set_aside(line, key, set_aside)
                made[id(line)] = _curve(line, aside, accuracy), aside
            curves[key], aside = made[id(line)]
            offsets.append((key, line, aside))
        if not curves:
            raise ValueError("no heights and no half-breadths for the deck edge: is the table empty?")
        sheer = cls(curves, float(table.x[0]), float(table.x[-1]), (), tuple(offsets))
        return replace(sheer, notes=_notes(sheer))

    @classmethod
    def from_curves(
        cls, half_breadth_port, height_port, half_breadth_starboard=None, height_starboard=None, *, start, end
    ) -> Sheer:
        """
        Take curves as they are given, e.g. exact ones of a test hull.

        Parameters
        ----------
        half_breadth_port, height_port : callable
            f(x, order) on arrays, orders 0 to 3. [mm]
        half_breadth_starboard, height_starboard : callable, optional
            The same as to port where not given. [mm]
        start, end : float
            Ends of the deck edge. [mm]

        Examples
        --------
        >>> flat = lambda x, order=0: (500.0 if order == 0 else 0.0) + 0.0 * np.asarray(x)
        >>> Sheer.from_curves(flat, flat, start=0, end=3000).true_length("port")
        3000.0
        """
        curves = {
            "half_breadth_port": half_breadth_port,
            "height_port": height_port,
            "half_breadth_starboard": half_breadth_starboard or half_breadth_port,
            "height_starboard": height_starboard or height_port,
        }
        return cls(curves, float(start), float(end))

    def half_breadth(self, side: str, x, order: int = 0):
        """
        Half-breadth of one side, unsigned, or its derivative.

        Parameters
        ----------
        side : {"port", "starboard"}
        x : array_like
            Any shape; a little beyond the ends the curve runs on. [mm]
        order : int, optional
            0 to 3.

        Returns
        -------
        ndarray or float
            Shape of x. [mm^(1 - order)]

        Examples
        --------
        >>> cone = Sheer.from_curves(lambda x, order=0: [x, 1, 0, 0][order] + 0.0 * np.asarray(x),
        ...                          lambda x, order=0: 0.0 * np.asarray(x), start=0, end=9)
        >>> float(cone.half_breadth("port", 4.0)), float(cone.half_breadth("port", 4.0, 1))
        (4.0, 1.0)
        """
        return self.curves[_key("half_breadth", side)](x, order)

    def height(self, side: str, x, order: int = 0):
        """
        Height of the deck edge above the base line, or its derivative; arguments as `half_breadth`.

        Examples
        --------
        >>> table = OffsetTable.from_rows({"x": [0, 1, 2], "height": [0, 1, 4], "half_breadth": [1, 1, 1]})
        >>> round(float(Sheer.from_offsets(table).height("port", 1.0, 1)), 9)
        2.0
        """
        return self.curves[_key("height", side)](x, order)

    def true_length(self, side: str, start=None, end=None) -> float:
        """
        Length of the deck edge as a tape bent along it reads. [mm]

        Parameters
        ----------
        side : {"port", "starboard"}
        start, end : float, optional
            Between two stations; the ends of the deck edge where not given. [mm]

        Notes
        -----
        .. math:: \\int \\sqrt{1 + b'^2 + z'^2}\\,dx

        Examples
        --------
        >>> rise = lambda x, order=0: [0.75 * np.asarray(x), 0.75 + 0.0 * np.asarray(x)][order]
        >>> flat = lambda x, order=0: 0.0 * np.asarray(x)
        >>> Sheer.from_curves(flat, rise, start=0, end=4).true_length("port")
        5.0
        """
        return self._length((_key("half_breadth", side), _key("height", side)), start, end)

    def plan_length(self, side: str, start=None, end=None) -> float:
        """
        Length of the deck edge in plan, seen from straight above; arguments as `true_length`. [mm]

        Examples
        --------
        >>> wedge = lambda x, order=0: [0.75 * np.asarray(x), 0.75 + 0.0 * np.asarray(x)][order]
        >>> Sheer.from_curves(wedge, wedge, start=0, end=4).plan_length("port")
        5.0
        """
        return self._length((_key("half_breadth", side),), start, end)

    def distances(self) -> tuple[OffsetDistance, ...]:
        """
        Curve against every offset, set aside or not; a column for both sides is listed once.

        Examples
        --------
        >>> table = OffsetTable.from_rows({"x": [0, 1, 2, 3], "height": [0, 1, 40, 9], "half_breadth": [1, 1, 1, 1]})
        >>> row = Sheer.from_offsets(table, set_aside=[("height", "2")]).distances()[2]
        >>> row.column, row.station, round(row.distance, 9), row.set_aside
        ('height', '2', -36.0, True)
        """
        rows, seen = [], []
        for key, line, aside in self.offsets:
            if any(line is other for other in seen):
                continue
            seen.append(line)
            curve = self.curves[key](line.x)
            rows += [
                OffsetDistance(line.name, station, float(v), float(c), float(c - v), bool(out))
                for station, v, c, out in zip(line.stations, line.value, curve, aside, strict=True)
            ]
        return tuple(rows)

    def swapped(self) -> Sheer:
        """
        The same boat in a mirror: port becomes starboard.

        Examples
        --------
        >>> flat = lambda b: lambda x, order=0: b + 0.0 * np.asarray(x)
        >>> float(Sheer.from_curves(flat(5), flat(0), flat(7), start=0, end=1).swapped().half_breadth("port", 0.5))
        7.0
        """
        curves = {key: self.curves[swap_side(key)] for key in KEYS}
        new = {}
        for _, line, _ in self.offsets:
            new.setdefault(id(line), replace(line, name=swap_side(line.name)))
        offsets = sorted(
            ((swap_side(key), new[id(line)], aside) for key, line, aside in self.offsets),
            key=lambda item: KEYS.index(item[0]),
        )
        sheer = Sheer(curves, self.start, self.end, (), tuple(offsets))
        return replace(sheer, notes=_notes(sheer)) if self.notes else sheer

    def _length(self, keys, start, end):
        start = self.start if start is None else float(start)
        end = self.end if end is None else float(end)
        inner = [k for key in keys for k in getattr(self.curves[key], "knots", ()) if start < k < end]
        breaks = np.array([start, *sorted(set(inner)), end])

        def speed(x):
            return np.sqrt(1.0 + sum(self.curves[key](x, 1) ** 2 for key in keys))

        return _integral(speed, breaks)


def _key(what, side):
    if side not in SIDES:
        raise ValueError(f"side is {side!r}; it is 'port' or 'starboard'.")
    return f"{what}_{side}"


@lru_cache(maxsize=1)
def _gauss():
    return np.polynomial.legendre.leggauss(12)


def _integral(f, breaks):
    """Gauss's rule between breaks, spans halved until nothing changes any more."""
    node, weight = _gauss()
    last = np.inf
    for _ in range(14):
        half, middle = np.diff(breaks) / 2, (breaks[1:] + breaks[:-1]) / 2
        total = float(np.sum(half[:, None] * weight * f(middle[:, None] + half[:, None] * node)))
        if abs(total - last) <= 1e-12 * abs(total):
            break
        last = total
        breaks = np.sort(np.concatenate((breaks, middle)))
    return total


def _column_and_station(item):
    if hasattr(item, "column"):
        return str(item.column), str(item.station)
    column, station = item
    return str(column), str(station)


def _set_aside(line, key, set_aside):
    names = {line.name, key}
    stations = {station for column, station in set_aside if column in names}
    aside = np.array([station in stations for station in line.stations], dtype=bool)
    return aside | (line.value < 0) if line.what == "half_breadth" else aside


def _curve(line, aside, accuracy):
    keep = ~aside
    if isinstance(accuracy, dict):
        accuracy = accuracy.get(line.name, accuracy.get(line.what, 0.0))
    words = line.name.replace("_", " ")
    if np.count_nonzero(keep) < 2:
        left = f", {np.count_nonzero(aside)} set aside" if aside.any() else ""
        raise ValueError(
            f"column {words} has {len(line)} offset{'s' * (len(line) != 1)}{left}: a deck edge needs two at least. "
            "Was the rest of the table left out?"
        )
    least = 0.0 if line.what == "half_breadth" else None
    try:
        return FairCurve(line.x[keep], line.value[keep], accuracy, least=least)
    except ValueError as problem:
        raise ValueError(f"column {words}: {problem}") from None


def _notes(sheer):
    """What a builder should know: curves that run on past their last offset, or inside the centreline."""
    notes, seen = [], []
    for key, line, aside in sheer.offsets:
        if any(line is other for other in seen):
            continue
        seen.append(line)
        curve, words = sheer.curves[key], line.name.replace("_", " ")
        ends = (("forward", curve.start, curve.start - sheer.start), ("aft", curve.end, sheer.end - curve.end))
        for way, place, gap in ends:
            if gap > 0:
                notes.append(f"{words}: nothing {way} of x = {place:.0f} mm pulls the curve; it runs on {gap:.0f} mm.")
        if len(line) - np.count_nonzero(aside) == 2:
            notes.append(f"{words}: two offsets only, so the line is straight.")
        if line.what == "half_breadth":
            low, where = _lowest(curve, sheer.start, sheer.end)
            if low < -0.5:
                notes.append(
                    f"{words}: the curve crosses the centreline near x = {where:.0f} mm (by {-low:.0f} mm). "
                    "Look at the offsets on each side of there, or give one more between them."
                )
    return tuple(notes)


def _lowest(curve, start, end):
    """Least value between start and end, and where: ends, knots, and where the slope is nought."""
    knots = np.unique(np.clip(np.concatenate(([start], curve.knots, [end])), start, end))
    left, right = knots[:-1], knots[1:]
    a, b, c = curve(left, 3) / 2, curve(left, 2), curve(left, 1)
    with np.errstate(divide="ignore", invalid="ignore"):
        root = np.sqrt(b**2 - 4 * a * c)
        flat = np.concatenate((2 * c / (-b - root), 2 * c / (-b + root)))
    x = np.tile(left, 2) + flat
    x = np.concatenate((knots, x[(x > np.tile(left, 2)) & (x < np.tile(right, 2))]))
    value = curve(x)
    k = int(np.argmin(value))
    return float(value[k]), float(x[k])
