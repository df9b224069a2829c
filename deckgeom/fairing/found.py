"""What stage A found: the fair surface, and how each reading stands to it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from deckgeom.fairing.beam_tops import BeamTops, closed
from deckgeom.fairing.field import Field
from deckgeom.fairing.law import Solution
from deckgeom.fairing.words import fine_length
from deckgeom.units import format_length


@dataclass(frozen=True, eq=False)
class Surface:
    """
    The fair surface, to be asked anywhere on the deck.

    Parameters
    ----------
    field : Field
        Coordinates and splines.
    coefficients : (size,) array
        Spline coefficients. [mm]
    free : (shapes,) array
        How much of each shape that a datum can do. [mm]

    Examples
    --------
    >>> tops = BeamTops(np.repeat([0, 1, 2], 3), ("1", "2", "3"), np.repeat([0, 400, 800], 3),
    ...                 np.tile([-900, 0, 900], 3), np.full(9, 900.0), np.tile([40, 90, 40], 3))
    >>> from deckgeom.fairing.fair import estimate
    >>> estimate(tops, reading_error=1.0).surface.height([200], [0], [900]).round(6)
    array([90.])
    """

    field: Field
    coefficients: np.ndarray
    free: np.ndarray

    def at_readings(self) -> np.ndarray:
        """
        Fair height at every reading of the field, (n,). [mm]
        """
        tops = self.field.tops
        return self.field.plain.fit(self.coefficients) + self.field.free_values(tops.x, tops.y) @ self.free

    def height(self, x: np.ndarray, y: np.ndarray, half_breadth: np.ndarray) -> np.ndarray:
        """
        Fair height above the base line (above the design, if readings were taken as departures from one).

        Parameters
        ----------
        x, y, half_breadth : (n,) array
            Place, and the half-breadth there on that side. [mm]

        Returns
        -------
        (n,) array
            [mm]
        """
        x, y, b = np.broadcast_arrays(*(np.atleast_1d(np.asarray(a, dtype=float)) for a in (x, y, half_breadth)))
        rows = self.field.layout.surface_rows(x, y / b * self.field.widest)
        return (
            np.einsum("ij,ij->i", rows.values, self.coefficients[rows.columns])
            + self.field.free_values(x, y) @ self.free
        )


@dataclass(frozen=True, eq=False)
class Estimate:
    """
    What stage A found.

    Parameters
    ----------
    fair : (n,) array
        Fair height at each reading, above the base line. [mm]
    residual : (n,) array
        Measured less fair: stands high if positive. [mm]
    used : (n,) array of bool
        False where the reading was so far out that it was not believed.
    reading_error : float
        Standard deviation of one reading. [mm]
    reading_error_source : str
        "given", "repeats" or "readings"; `error_words` says it in full.
    cutoff, cutoff_across : float
        Wavelength half kept, along the boat and across it. [mm]
    beam_terms : (beams, 3) array
        Height, tilt and crown by which each beam as a whole was let go. [mm]
    surface : Surface
        To ask anywhere.
    optimality : (float, float)
        Out of balance and gap of the solve, relative; checked against `law.TOLERANCE`.
    notes : tuple of str
        What the person should know before reading on.
    tops : BeamTops
        The readings that it was made from.
    field : Field
        Their geometry and splines.
    solution : Solution
        Of the last solve, heights in reading errors.
    fixed : (n,) array of bool
        Readings that the surface had to meet.
    design : (n,) array
        Designed heights, nought without a design. [mm]

    Examples
    --------
    >>> tops = BeamTops(np.repeat([0, 1, 2], 3), ("1", "2", "3"), np.repeat([0, 400, 800], 3),
    ...                 np.tile([-900, 0, 900], 3), np.full(9, 900.0), np.tile([40, 90, 40], 3))
    >>> from deckgeom.fairing.fair import estimate
    >>> estimate(tops, reading_error=1.0).residual.round(6).max()
    np.float64(0.0)
    """

    fair: np.ndarray
    residual: np.ndarray
    used: np.ndarray
    reading_error: float
    reading_error_source: str
    cutoff: float
    cutoff_across: float
    beam_terms: np.ndarray
    surface: Surface
    optimality: tuple[float, float]
    notes: tuple[str, ...]
    tops: BeamTops
    field: Field
    solution: Solution
    fixed: np.ndarray
    design: np.ndarray

    def __post_init__(self) -> None:
        for name in ("fair", "residual", "beam_terms"):
            object.__setattr__(self, name, closed(getattr(self, name)))
        for name in ("used", "fixed"):
            object.__setattr__(self, name, closed(getattr(self, name), bool))

    def error_words(self, units: str = "mm") -> str:
        """
        How large the reading error is and who says so.

        Parameters
        ----------
        units : {"mm", "ft-in-8", "in"}
            For lengths.

        Returns
        -------
        str
        """
        told = {
            "given": "as you gave it",
            "repeats": "from points measured more than once",
            "readings": "estimated from the readings themselves, as hardly a point was measured twice",
        }
        told = told[self.reading_error_source]
        return f"One reading is good to {fine_length(self.reading_error, units)} (standard deviation), {told}."

    def batten_words(self, units: str = "mm") -> str:
        """
        What the cut-off length means in timber.

        Parameters
        ----------
        units : {"mm", "ft-in-8", "in"}
            For lengths.

        Returns
        -------
        str
        """
        stiffness = 6000.0 * (self.cutoff / 2000.0 / np.pi) ** 4
        side = 1000.0 * (12.0 * stiffness / 10e9) ** 0.25
        return (
            f"Humps shorter than {format_length(self.cutoff, units)} are called unfair. A softwood batten about "
            f"{format_length(side, units)} square, pressed lightly, tells the same."
        )
