"""Marks along an axis at lengths that a rule can show: millimetres, or feet, inches and parts of an inch."""

from __future__ import annotations

import math

from matplotlib.axis import Axis
from matplotlib.ticker import FixedLocator, FuncFormatter, Locator

from deckgeom.units import MM_PER_INCH

_INCHES = (1 / 16, 1 / 8, 1 / 4, 1 / 2, 1, 2, 3, 6, 12, 24, 36, 60, 120, 240, 600)
_MILLIMETRES = (0.1, 0.2, 0.5, 1, 2, 5, 10, 20, 50, 100, 200, 500, 1000, 2000, 5000, 10000)
_SIXTEENTHS = "0 1/16 1/8 3/16 1/4 5/16 3/8 7/16 1/2 9/16 5/8 11/16 3/4 13/16 7/8 15/16".split()


class RuleMarks(Locator):
    """
    Where a rule has marks: at most so many, at steps that a rule shows.

    Parameters
    ----------
    units : str
        ``"mm"``, ``"in"`` or ``"ft-in-8"``.
    most : int
        The most marks on the axis.

    Examples
    --------
    >>> [float(round(v, 3)) for v in RuleMarks("mm", most=5).tick_values(0, 1000)]
    [0.0, 500.0, 1000.0]
    >>> [float(round(v, 3)) for v in RuleMarks("ft-in-8", most=4).tick_values(0, 914.4)]
    [0.0, 304.8, 609.6, 914.4]
    """

    def __init__(self, units: str, most: int = 10) -> None:
        self.units, self.most = units, most

    def __call__(self) -> list[float]:
        """Marks of the axis as it stands; called by matplotlib."""
        low, high = self.axis.get_view_interval()
        return self.tick_values(low, high)

    def tick_values(self, vmin: float, vmax: float) -> list[float]:
        """
        Marks between two lengths. [mm]

        Examples
        --------
        >>> [float(round(v, 3)) for v in RuleMarks("mm", most=3).tick_values(0, 10)]
        [0.0, 5.0, 10.0]
        """
        low, high = min(vmin, vmax), max(vmin, vmax)
        steps = _MILLIMETRES if self.units == "mm" else [i * MM_PER_INCH for i in _INCHES]
        step = next((s for s in steps if (high - low) / s <= self.most - 1 + 1e-9), steps[-1])
        return [float(k * step) for k in range(math.ceil(low / step - 1e-9), math.floor(high / step + 1e-9) + 1)]


def rule_words(length: float, units: str = "mm", unsigned: bool = False) -> str:
    """
    Name a mark on a rule, shortly.

    Parameters
    ----------
    length : float
        [mm]
    units : str
        ``"mm"``, ``"in"`` or ``"ft-in-8"``.
    unsigned : bool
        Leave the sign off, for an axis that says port and starboard in words.

    Returns
    -------
    str
        ``"1500"`` in millimetres, ``"2' 6\\""`` in feet and inches.

    Examples
    --------
    >>> rule_words(1500), rule_words(762, "ft-in-8"), rule_words(9.525, "in")
    ('1500', '2\\' 6"', '3/8"')
    """
    sign = "-" if length < -1e-9 and not unsigned else ""
    if units == "mm":
        return f"{sign}{abs(length):g}"
    inches = round(abs(length) / MM_PER_INCH * 16) / 16
    feet, inches = divmod(inches, 12) if units == "ft-in-8" else (0, inches)
    whole, part = divmod(inches, 1)
    parts = [f"{feet:g}'"] if feet else []
    if whole or part or not feet:
        small = _SIXTEENTHS[round(part * 16)] if part else ""
        parts.append(" ".join(w for w in (f"{whole:g}" if whole or not part else "", small) if w) + '"')
    return sign + " ".join(parts)


def mark_axis(axis: Axis, units: str, most: int = 10, unsigned: bool = False, highest: float = math.inf) -> None:
    """
    Give an axis in millimetres the marks of the reader's rule.

    Parameters
    ----------
    axis : matplotlib.axis.Axis
        Its data are millimetres.
    units : str
        ``"mm"``, ``"in"`` or ``"ft-in-8"``.
    most : int
        The most marks.
    unsigned : bool
        Leave signs off.
    highest : float
        Marks above this have no number. [mm]

    Examples
    --------
    >>> from matplotlib.figure import Figure
    >>> axes = Figure().add_subplot()
    >>> mark_axis(axes.xaxis, "mm")
    >>> axes.xaxis.get_major_formatter()(500)
    '500'
    """
    axis.set_major_locator(RuleMarks(units, most))
    axis.set_major_formatter(FuncFormatter(lambda v, _: "" if v > highest else rule_words(v, units, unsigned)))


def mark_names(axis: Axis, places: list[float], names: list[str]) -> None:
    """
    Mark an axis at named places: stations, beams.

    Parameters
    ----------
    axis : matplotlib.axis.Axis
        Its data are millimetres.
    places : list of float
        [mm]
    names : list of str
        One a place.

    Examples
    --------
    >>> from matplotlib.figure import Figure
    >>> axes = Figure().add_subplot()
    >>> mark_names(axes.xaxis, [0, 1000], ["stem", "1"])
    """
    axis.set_major_locator(FixedLocator(places))
    axis.set_major_formatter(FuncFormatter(lambda _, k: names[k] if k is not None and k < len(names) else ""))


def unit_words(units: str) -> str:
    """
    Name the unit of an axis.

    Parameters
    ----------
    units : str
        ``"mm"``, ``"in"`` or ``"ft-in-8"``.

    Returns
    -------
    str
        In words.

    Examples
    --------
    >>> unit_words("mm"), unit_words("ft-in-8")
    ('mm', 'feet, inches')
    """
    return {"mm": "mm", "in": "inches", "ft-in-8": "feet, inches"}[units]


def along_the_boat(units: str) -> str:
    """
    Words for the axis that runs along the boat.

    Parameters
    ----------
    units : str
        ``"mm"``, ``"in"`` or ``"ft-in-8"``.

    Returns
    -------
    str
        In words.

    Examples
    --------
    >>> along_the_boat("mm")
    "aft of the boat's zero (mm)"
    """
    return f"aft of the boat's zero ({unit_words(units)})"
