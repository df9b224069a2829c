"""
The splines and energies under the fair surface against printed tables and general-purpose libraries.

Order 2 on one line is the batten's own energy, for which there are printed answers; the fair surface uses the same
splines and the same matrices with order 3.
"""

from __future__ import annotations

import numpy as np
import pytest
from scipy.interpolate import make_smoothing_spline
from scipy.optimize import brentq

from deckgeom.fairing.basis import Axis

# NAG Library Manual, example program of g10abc/g10abf (fit_spline): 43 readings, input data file.
NAG_DATA = """
 5.2 4.8 8.8 4.1 10.5 5.2 10.6 5.5 10.4 5.0 1.8 3.4 12.7 3.4 15.6 4.9 5.8 5.6 1.9 3.7 2.2 3.9 4.8 4.5 7.9 4.8
 5.2 4.9 0.9 3.0 11.8 4.6 7.9 4.8 11.5 5.5 10.6 4.5 8.5 5.3 11.1 4.7 12.8 6.6 11.3 5.1 1.0 3.9 14.5 5.7 11.9 5.1
 8.1 5.2 13.8 3.7 15.5 4.9 9.8 4.8 11.0 4.4 12.4 5.2 11.1 5.1 5.1 4.6 4.8 3.9 4.2 5.1 6.9 5.1 13.2 6.0 9.9 4.9
 12.5 4.1 13.2 4.6 8.9 4.9 10.8 5.1
"""
# The same, printed results for rho = 10: residual sum of squares, degrees of freedom, fitted values at the 37 places.
NAG_RSS, NAG_DF = 11.288, 27.785
NAG_FITTED = """
 3.3674 3.4008 3.6642 3.7016 3.8214 4.5265 4.6471 4.7561 4.7993 5.0458 5.1204 4.9590 4.9262 4.8595 4.8172 4.8095
 4.8676 4.8818 4.9445 4.9521 4.9572 4.9613 4.9614 4.9618 4.9623 4.9568 4.9338 4.9251 4.8943 4.8944 4.9051 4.9138
 4.9239 4.8930 4.9938 4.9773 4.9682
"""
# NAG Library Manual, example of g10acc/g10acf (fit_spline_parest), degrees of freedom 25.00: the first 27 leverages.
NAG_LEVERAGE = """
 .534 .427 .313 .313 .448 .564 .442 .189 .407 .455 .592 .530 .234 .245 .271 .292 .301 .276 .173 .154 .285 .136 .137
 .284 .162 .186 .213
"""
# R, dataset `cars` and smooth.spline(speed, dist), lambda .1112206: from memory.
SPEED = [4, 4, 7, 7, 8, 9, 10, 10, 10, 11, 11, 12, 12, 12, 12, 13, 13, 13, 13, 14, 14, 14, 14, 15, 15, 15, 16, 16, 17, 17,
         17, 18, 18, 18, 18, 19, 19, 19, 20, 20, 20, 20, 20, 22, 23, 24, 24, 24, 24, 25]  # fmt: skip
DISTANCE = [2, 10, 4, 22, 16, 10, 18, 26, 34, 17, 28, 14, 20, 24, 28, 26, 34, 34, 46, 26, 36, 60, 80, 20, 26, 54, 32, 40,
            32, 40, 50, 42, 56, 76, 84, 36, 46, 68, 32, 48, 52, 56, 64, 66, 54, 70, 92, 93, 120, 85]  # fmt: skip


def numbers(text: str) -> np.ndarray:
    return np.array(text.split(), dtype=float)


class BattenLine:
    """Smoothing spline of order 2 made of the package's own splines and energy, on knots at even steps."""

    def __init__(self, x, y, step, weight=None):
        self.x, where = np.unique(x, return_inverse=True)
        weight = np.ones(len(x)) if weight is None else weight
        self.weight = np.bincount(where, weights=weight)
        self.y = np.bincount(where, weights=weight * y) / self.weight
        axis = Axis(self.x[0], step, round((self.x[-1] - self.x[0]) / step), 3)
        first, values = axis.values(self.x)
        self.rows = np.zeros((len(self.x), axis.size))
        for k in range(values.shape[1]):
            self.rows[np.arange(len(self.x)), first + k] += values[:, k]
        band = axis.gram(2, 2 * np.pi) * axis.length
        self.energy = np.zeros((axis.size, axis.size))
        for d, row in enumerate(band):
            pairs = row[: axis.size - d]
            self.energy += np.diag(pairs, -d) + (np.diag(pairs, d) if d else 0)

    def hat(self, stiffness):
        inner = self.rows.T @ (self.weight[:, None] * self.rows) + stiffness * self.energy
        return self.rows @ np.linalg.solve(inner, self.rows.T * self.weight)

    def spare(self, stiffness):
        return len(self.x) - np.trace(self.hat(stiffness))

    def stiffness_for(self, spare):
        return np.exp(brentq(lambda s: self.spare(np.exp(s)) - spare, -12, 12))


def nag():
    return BattenLine(numbers(NAG_DATA)[::2], numbers(NAG_DATA)[1::2], 0.1)


def test_fitted_values_of_the_nag_example():
    line = nag()
    stiffness = line.stiffness_for(NAG_DF)
    fitted = line.hat(stiffness) @ line.y
    # four decimals printed; df is printed to three, which moves the fit by up to as much again
    assert fitted == pytest.approx(numbers(NAG_FITTED), abs=1.5e-4)
    assert (line.weight * (line.y - fitted) ** 2).sum() == pytest.approx(NAG_RSS, abs=1e-3)


def test_leverages_of_the_nag_example():
    line = nag()
    leverage = np.diag(line.hat(line.stiffness_for(25.00)))
    assert leverage[:27] == pytest.approx(numbers(NAG_LEVERAGE), abs=1.1e-3)


def test_smooth_spline_of_r_on_cars():
    """From memory: degrees of freedom 2.635278, penalised criterion (RSS) 4187.776."""
    x = np.array(SPEED, float)
    line = BattenLine((x - x.min()) / np.ptp(x), np.array(DISTANCE, float), 1 / 21)
    # R scales its lambda by the ratio of the traces of both matrices; here it is taken in from the printed df
    stiffness = line.stiffness_for(len(line.x) - 2.635278)
    fitted = line.hat(stiffness) @ line.y
    assert (line.weight * (line.y - fitted) ** 2).sum() == pytest.approx(4187.776, abs=0.05)


@pytest.mark.parametrize("stiffness", [0.02, 1.0, 50.0])
def test_equals_the_smoothing_spline_of_scipy(stiffness):
    rng = np.random.default_rng(4)
    x = np.sort(rng.choice(np.arange(80), 30, replace=False)) * 0.25
    y, weight = np.sin(x / 3) + rng.normal(0, 0.3, 30), rng.uniform(0.2, 3, 30)
    line = BattenLine(x, y, 0.25, weight)
    wanted = make_smoothing_spline(x, y, weight, lam=stiffness)(x)
    assert line.hat(stiffness) @ line.y == pytest.approx(wanted, abs=1e-7)
