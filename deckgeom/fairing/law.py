"""Spring laws of the fairing problem, and the answer with its proof."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from deckgeom.fairing.beam_tops import FairingError

#: Relative optimality residual that a solve must reach to count as solved.
TOLERANCE = 1e-7


@dataclass(frozen=True, eq=False)
class Law:
    """
    Spring law of every row.

    Parameters
    ----------
    z : (m,) array
        Value at which the row is at rest (middle of its dead band).
    spring : (m,) array
        Force per unit of misfit, w; may be infinite where the prices are not.
    high, low : (m,) array
        Greatest force on a row that stands high (a) or low (b): the price of misfit past the spring. May be infinite
        where the spring is not.
    band : (m,) array
        Half-width t of the dead band, in which a row pulls nothing.
    at : (m,) array of int, optional
        Row of the matrix that each law belongs to; rows may carry several laws or none. Law i is row i if not given.

    Examples
    --------
    >>> law = Law(z=[0.0], spring=[1.0], high=[1.4], low=[1.4], band=[0.0])
    >>> law.cost(np.array([1.0, 3.0]))
    array([0.5 , 3.22])
    """

    z: np.ndarray
    spring: np.ndarray
    high: np.ndarray
    low: np.ndarray
    band: np.ndarray
    at: np.ndarray | None = None

    def __post_init__(self) -> None:
        for name in ("z", "spring", "high", "low", "band"):
            object.__setattr__(self, name, np.asarray(getattr(self, name), dtype=float))
        if not np.all(np.isfinite(self.z)) or not np.all(np.isfinite(self.band)):
            raise FairingError(
                "a height that is no number",
                "heights and dead bands are numbers",
                "an offset or a reading far out of its place",
            )
        worst = np.maximum(self.high, self.low)
        if np.any(np.isnan(worst)) or np.any(self.high < 0) or np.any(self.low < 0) or not np.all(worst > 0):
            raise FairingError("a price", "prices must not be negative and not both nought")
        if not np.all(self.spring > 0) or np.any(np.isinf(self.spring) & (np.isinf(self.high) | np.isinf(self.low))):
            raise FairingError("a spring", "springs must be positive, and finite where the price is not")
        if np.any(self.band < 0):
            raise FairingError(
                f"dead band {self.band.min():g}", "must not be negative", "limits given the wrong way round"
            )

    def cost(self, r: np.ndarray) -> np.ndarray:
        """
        Cost of misfits r, (m,).
        """
        over = np.maximum(np.abs(r) - self.band, 0.0)
        price = np.where(r > 0, self.high, self.low)
        knee = np.divide(price, self.spring, out=np.zeros_like(over + price), where=np.isfinite(self.spring))
        with np.errstate(invalid="ignore"):
            inside = 0.5 * np.where(np.isfinite(self.spring), self.spring, 0.0) * np.minimum(over, knee) ** 2
            beyond = np.where(over > knee, price * (over - knee), 0.0)
        return inside + beyond

    def conjugate(self, force: np.ndarray) -> np.ndarray:
        """
        Convex conjugate of the cost at forces within the prices, (m,): cost(r) + conjugate(force) >= r force.
        """
        return self.band * np.abs(force) + 0.5 * force**2 / self.spring


@dataclass(frozen=True, eq=False)
class Solution:
    """
    Answer of one solve, with its proof.

    Parameters
    ----------
    c : (size,) array
        The unknowns.
    force : (m,) array
        Pull of each law on the surface.
    residual : (m,) array
        z minus fitted, for each law.
    tangent : (m,) array
        Stiffness of each law at the answer: the spring where it works, 0 where a price or a dead band has taken over,
        very large where held exactly.
    factor : (width, size) array
        Banded factor of the tangent matrix, for leverages.
    stationarity, gap : float
        Optimality residuals, relative [1]: forces out of balance on the unknowns; duality gap.
    iterations : int
        Rounds taken.
    stalled : bool
        True if the residuals did not reach `TOLERANCE`.

    Examples
    --------
    >>> one = np.ones(1)
    >>> print(Solution(one, one, one, one, np.ones((1, 1)), 1e-12, 3e-13, 8, False).words)
    Solved in 8 rounds, proved to 1e-12.
    """

    c: np.ndarray
    force: np.ndarray
    residual: np.ndarray
    tangent: np.ndarray
    factor: np.ndarray
    stationarity: float
    gap: float
    iterations: int
    stalled: bool

    @property
    def words(self) -> str:
        """What to tell a person about the solve."""
        if self.stalled:
            return (
                f"The calculation stalled after {self.iterations} rounds: out of balance by {self.stationarity:.1e}, "
                f"{self.gap:.1e} from the best (limit {TOLERANCE:.0e}). Do not work from it."
            )
        return f"Solved in {self.iterations} rounds, proved to {max(self.stationarity, self.gap):.0e}."
