"""
How the hull stands where she is measured: her list, trim and twist, put on and taken off.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

from deckgeom.units import format_length

TERMS = ("height", "trim", "list", "twist")
"""What known points can tell: one height for the whole hull, trim, list, and list that changes along her."""


@dataclass(frozen=True, eq=False)
class Level:
    """
    How the hull stands in the frame that heights were measured in.

    Parameters
    ----------
    height : float
        How far her base line stands above the base of the measurements, at `origin` on the centreline. [mm]
    trim : float
        Rise of her base line going aft, as a sine. [-]
    list : float
        Rise of her sections to starboard at `origin`, as a sine. [-]
    twist : float
        Change of `list` going aft. [1/mm]
    origin : float
        x where `height` and `list` are taken. [mm]
    length, breadth : float
        Reach of the known points along and across her, for words. [mm]
    covariance : ndarray, optional
        Of height, trim, list, twist, shape (4, 4); nought for what was not looked for.
    reading_error : float
        Of one known point, NaN where it cannot be known. [mm]
    missing : tuple of str
        Terms that the known points cannot tell.
    set_aside : tuple of int
        Known points that do not agree with the others, left out.
    residual : ndarray, optional
        Measured less found, each known point, those set aside too, shape (n,). [mm]

    Notes
    -----
    A point (x, y, z) of the hull is measured at

    .. math:: z' = h + b\\,(x - x_0) + c(x)\\,y + \\sqrt{1 - b^2 - c(x)^2}\\;z, \\qquad c(x) = c + d\\,(x - x_0)

    with h the height, b the trim, c the list and d the twist: the third row of a rotation, so list and trim of any
    size are taken off exactly; a twist turns each section as a whole.

    Examples
    --------
    >>> level = Level(height=0, trim=0.0, list=0.02, length=7000, breadth=2400)
    >>> print(level.words()[0])
    Lists 1.15 degrees to port: over 2400 mm of breadth the starboard side stands 48 mm higher.
    >>> float(level.true_height(3000, 1000, level.measured_height(3000, 1000, 900)))
    900.0
    """

    height: float = 0.0
    trim: float = 0.0
    list: float = 0.0
    twist: float = 0.0
    origin: float = 0.0
    length: float = 0.0
    breadth: float = 0.0
    covariance: np.ndarray | None = None
    reading_error: float = float("nan")
    missing: tuple = ()
    set_aside: tuple = ()
    residual: np.ndarray = field(default_factory=lambda: np.zeros(0))

    def __post_init__(self) -> None:
        covariance = np.zeros((4, 4)) if self.covariance is None else np.array(self.covariance, float)
        for name, array in (("covariance", covariance), ("residual", np.array(self.residual, float))):
            array.flags.writeable = False
            object.__setattr__(self, name, array)

    @property
    def list_deg(self) -> float:
        """List at `origin`: positive when the starboard side is the higher. [degrees]"""
        return float(np.degrees(np.arctan2(self.list, np.sqrt(max(0.0, 1.0 - self.trim**2 - self.list**2)))))

    @property
    def trim_deg(self) -> float:
        """Trim: positive when the after end is the higher. [degrees]"""
        return float(np.degrees(np.arcsin(self.trim)))

    @property
    def twist_deg(self) -> float:
        """How much the list changes from the foremost known point to the aftermost. [degrees]"""
        return float(np.degrees(self.twist * self.length))

    def measured_height(self, x, y, z) -> np.ndarray:
        """
        Return the height at which a point of the hull is measured as she stands.

        Parameters
        ----------
        x, y, z : array_like
            The point in the hull's own frame. [mm]

        Returns
        -------
        ndarray
            Height in the frame of the measurements. [mm]

        Examples
        --------
        >>> float(Level(height=30).measured_height(0, 0, 900))
        930.0
        """
        flat, upright = self._parts(x, y)
        return flat + upright * np.asarray(z, float)

    def true_height(self, x, y, measured) -> np.ndarray:
        """
        Return the height in the hull's own frame of a point measured as she stands.

        Parameters
        ----------
        x, y : array_like
            Place along and off the centreline of the hull. [mm]
        measured : array_like
            Height in the frame of the measurements. [mm]

        Returns
        -------
        ndarray
            Height above the hull's own base line. [mm]

        Examples
        --------
        >>> float(Level(height=30).true_height(0, 0, 930))
        900.0
        """
        flat, upright = self._parts(x, y)
        return (np.asarray(measured, float) - flat) / upright

    def uncertainty(self, x, y) -> np.ndarray:
        """
        Return the standard deviation of what `true_height` takes off.

        Parameters
        ----------
        x, y : array_like
            Place along and off the centreline. [mm]

        Returns
        -------
        ndarray
            Standard deviation from the reading error of the known points; NaN where that is not known. [mm]

        Examples
        --------
        >>> from deckgeom.hull.datum import find_level
        >>> level = find_level([0, 0, 4000, 4000], [-900, 900, -900, 900], [0, 0, 0, 0], [5, 5, 5, 5], reading_error=1)
        >>> float(level.uncertainty(0, 900))
        1.0
        """
        rows = terms_at(*np.broadcast_arrays(np.asarray(x, float), np.asarray(y, float)), self.origin)
        return np.sqrt(np.einsum("...i,ij,...j->...", rows, self.covariance, rows))

    def words(self, units: str = "mm") -> tuple[str, ...]:
        """
        Return how she stands, a sentence each for list, trim, twist and what cannot be told.

        Parameters
        ----------
        units : {"mm", "ft-in-8", "in"}
            For the lengths.

        Returns
        -------
        tuple of str
            Sentences.

        Examples
        --------
        >>> Level(trim=0.01, length=5000, missing=("list", "twist")).words()
        ('Down by the bow 0.57 degrees: over 5000 mm of length the after end stands 50 mm higher.',
         'The known points cannot tell: list, twist.')
        """
        return tuple(_stand_words(self, units))

    def _parts(self, x, y):
        along = np.asarray(x, float) - self.origin
        across = self.list + self.twist * along
        flat = self.height + self.trim * along + across * np.asarray(y, float)
        return flat, np.sqrt(1.0 - self.trim**2 - across**2)


def terms_at(x, y, origin) -> np.ndarray:
    """
    Return what height, trim, list and twist each add at a place, per unit.

    Parameters
    ----------
    x, y : ndarray
        Place along and off the centreline, the same shape. [mm]
    origin : float
        x where height and list are taken. [mm]

    Returns
    -------
    ndarray
        Shape of x and a last axis of 4: 1, x - origin, y, (x - origin) y.

    Examples
    --------
    >>> terms_at(np.array([300.0]), np.array([20.0]), 100.0).tolist()
    [[1.0, 200.0, 20.0, 4000.0]]
    """
    along = np.asarray(x, float) - origin
    return np.stack([np.ones_like(along), along, y, along * y], axis=-1)


def _stand_words(level: Level, units: str):
    sd = np.sqrt(np.diag(level.covariance))
    if "list" not in level.missing:
        way = "Lists {:.2f} degrees to port", "Lists {:.2f} degrees to starboard"
        yield _tilt_words("list", way, ("starboard side", "port side"), level.list_deg, sd[2], level.breadth, units)
    if "trim" not in level.missing:
        way = "Down by the bow {:.2f} degrees", "Down by the stern {:.2f} degrees"
        yield _tilt_words("trim", way, ("after end", "fore end"), level.trim_deg, sd[1], level.length, units)
    if "twist" not in level.missing:
        yield _twist_words(level, float(sd[3]), units)
    if level.missing:
        yield f"The known points cannot tell: {', '.join(level.missing)}."


def _tilt_words(term, way, high, degrees, error, reach, units) -> str:
    side = 0 if degrees > 0 else 1
    if reach == 0 and abs(degrees) >= 0.005:
        return way[side].format(abs(degrees)) + "."
    rise = abs(np.sin(np.radians(degrees))) * reach
    known = np.isfinite(error) and error > 0
    if rise < 0.5 or (known and rise < 2 * error * reach):
        return f"No {term} to speak of" + (f": within {format_length(2 * error * reach, units)}." if known else ".")
    give = f", {np.degrees(2 * error):.2f} either way" if known else ""
    return (
        f"{way[side].format(abs(degrees))}{give}: over {format_length(reach, units)} of "
        f"{'breadth' if term == 'list' else 'length'} the {high[side]} stands {format_length(rise, units)} higher."
    )


def _twist_words(level: Level, error: float, units: str) -> str:
    corner, give = abs(level.twist) * level.length * level.breadth, error * level.length * level.breadth
    if corner < 0.5 or (np.isfinite(give) and corner < 2 * give):
        return "No twist to speak of."
    side = "starboard" if level.twist > 0 else "port"
    known = f", {format_length(2 * give, units)} either way" if np.isfinite(give) and give > 0 else ""
    return f"Twisted: going aft the {side} side rises {format_length(corner, units)} against the other{known}."
