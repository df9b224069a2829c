"""The spline engine against published tables and other people's smoothers, each with its source."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.interpolate import RBFInterpolator, make_smoothing_spline
from scipy.optimize import brentq

from deckgeom.fairing.assembly import Band, Rows, lay_out
from deckgeom.fairing.basis import Axis
from deckgeom.fairing.leverage import NearInverse


def numbers(text: str) -> np.ndarray:
    """Numbers of a printed table."""
    return np.array(text.split(), dtype=float)


# NAG Library Manual, g10abf and g10acf example programs (support.nag.com, examples/data/g10acfe.d.html): 43 readings
X43 = numbers("""
    5.2 8.8 10.5 10.6 10.4 1.8 12.7 15.6 5.8 1.9 2.2 4.8 7.9 5.2 0.9 11.8 7.9 11.5 10.6 8.5 11.1 12.8 11.3 1
    14.5 11.9 8.1 13.8 15.5 9.8 11 12.4 11.1 5.1 4.8 4.2 6.9 13.2 9.9 12.5 13.2 8.9 10.8
""")
Y43 = numbers("""
    4.8 4.1 5.2 5.5 5 3.4 3.4 4.9 5.6 3.7 3.9 4.5 4.8 4.9 3 4.6 4.8 5.5 4.5 5.3 4.7 6.6 5.1 3.9 5.7 5.1 5.2 3.7
    4.9 4.8 4.4 5.2 5.1 4.6 3.9 5.1 5.1 6 4.9 4.1 4.6 4.9 5.1
""")
# the same, examples/baseresults/g10abfe.r.html: degrees of freedom left: residual sum of squares, fitted ordinates
G10ABF = {
    22.505: (
        9.118,
        numbers("""
        3.3784 3.4173 3.6144 3.6639 3.8607 4.7441 4.4914 4.6708 4.7704 5.3426 5.1728 4.9467 4.9556 4.8742 4.7305
        4.7024 4.8394 4.8746 4.9971 4.9997 4.9921 4.9603 4.9396 4.9494 4.9926 5.0116 4.9372 4.9042 4.7929 4.8042
        4.9020 4.9752 5.0173 4.6164 5.1883 4.9854 4.9167
"""),
    ),
    27.785: (
        11.288,
        numbers("""
        3.3674 3.4008 3.6642 3.7016 3.8214 4.5265 4.6471 4.7561 4.7993 5.0458 5.1204 4.9590 4.9262 4.8595 4.8172
        4.8095 4.8676 4.8818 4.9445 4.9521 4.9572 4.9613 4.9614 4.9618 4.9623 4.9568 4.9338 4.9251 4.8943 4.8944
        4.9051 4.9138 4.9239 4.8930 4.9938 4.9773 4.9682
"""),
    ),
    31.191: (
        11.881,
        numbers("""
        3.3699 3.4063 3.6973 3.7341 3.8449 4.5194 4.6746 4.7470 4.7702 4.8879 4.9753 4.9537 4.9452 4.9276 4.9168
        4.9143 4.9170 4.9191 4.9303 4.9321 4.9335 4.9354 4.9363 4.9366 4.9366 4.9355 4.9315 4.9300 4.9240 4.9237
        4.9244 4.9252 4.9276 4.9304 4.9518 4.9687 4.9697
"""),
    ),
}
# the same, examples/baseresults/g10acce.r.html: leverages at 25.00 degrees of freedom left, the first 27 places of 37
G10ACF = numbers("""
    0.534 0.427 0.313 0.313 0.448 0.564 0.442 0.189 0.407 0.455 0.592 0.530 0.234 0.245 0.271 0.292 0.301 0.276
    0.173 0.154 0.285 0.136 0.137 0.284 0.162 0.186 0.213
""")
# R's data set `cars`, speed and distance in turn, from memory
CARS = numbers("""
    4 2 4 10 7 4 7 22 8 16 9 10 10 18 10 26 10 34 11 17 11 28 12 14 12 20 12 24 12 28 13 26 13 34 13 34 13 46 14
    26 14 36 14 60 14 80 15 20 15 26 15 54 16 32 16 40 17 32 17 40 17 50 18 42 18 56 18 76 18 84 19 36 19 46 19
    68 20 32 20 48 20 52 20 56 20 64 22 66 23 54 24 70 24 92 24 93 24 120 25 85
""").reshape(-1, 2)


class Line:
    """Smoothing spline of order 2 on a grid that holds all the places: our splines hold the natural one exactly."""

    def __init__(self, x, y, step: float) -> None:
        at = np.round(np.asarray(x) / step) * step
        self.x, self.inverse, self.count = np.unique(at, return_inverse=True, return_counts=True)
        self.y = np.bincount(self.inverse, weights=y) / self.count
        cells = round((self.x[-1] - self.x[0]) / step)
        axis = Axis(self.x[0], (self.x[-1] - self.x[0]) / cells, cells)
        self.layout = lay_out(axis, Axis(0, 1, 1, 0), np.array([0]), np.array([0]))
        self.rows = self.layout.surface_rows(self.x, 0 * self.x)

    def fit(self, penalty: float) -> tuple[np.ndarray, np.ndarray]:
        """Fitted values and leverages for sum w (y - f)^2 + penalty * integral of f''^2."""
        # weight * mean of (L/2pi)^4 f''^2 with L = 2 pi is weight/length * integral
        length = self.layout.along.length
        band = Band(self.layout, [self.rows], [(penalty * length, (2, 2 * np.pi), (0,))], 1.0)
        factor = band.factor(self.count.astype(float))
        fitted = band.fit(band.resolve(factor, band.pull(self.count * self.y)))
        return fitted, self.count * NearInverse(factor, band.width).variance(self.rows.columns, self.rows.values)

    def with_freedom(self, left: float) -> tuple[np.ndarray, np.ndarray]:
        """The same with the penalty that leaves so many degrees of freedom."""
        lack = lambda log: len(self.x) - self.fit(10**log)[1].sum() - left  # noqa: E731
        return self.fit(10 ** brentq(lack, -4, 6, xtol=1e-10))


@pytest.mark.parametrize("left", list(G10ABF))
def test_nag_g10abf_fitted_ordinates(left):
    line = Line(X43, Y43, 0.1)
    residual, printed = G10ABF[left]
    fitted, _ = line.with_freedom(left)
    # degrees of freedom are printed to 3 decimals, ordinates to 4: agreement to the last printed digit
    assert np.abs(fitted - printed).max() < 1e-4
    assert (line.count * (line.y - fitted) ** 2).sum() == pytest.approx(residual, abs=6e-4)


def test_nag_g10acf_leverages():
    line = Line(X43, Y43, 0.1)
    _, leverage = line.with_freedom(25.0)
    # the manual's own search for 25.00 stops at a tolerance, so the last of three decimals may differ
    assert np.abs(leverage[:27] - G10ACF).max() < 1.1e-3


def test_r_smooth_spline_of_cars():
    # R, smooth.spline(cars): lambda .1112206 on speeds scaled to 0..1, df 2.635278, penalised criterion 4187.776,
    # GCV 244.1044 (from memory)
    line = Line((CARS[:, 0] - 4) / 21, CARS[:, 1], 1 / 21)
    fitted, leverage = line.fit(0.1112206)
    assert leverage.sum() == pytest.approx(2.635278, abs=5e-5)
    residual = (line.count * (line.y - fitted) ** 2).sum()
    assert residual == pytest.approx(4187.776, abs=0.05)
    total = ((CARS[:, 1] - fitted[line.inverse]) ** 2).sum()
    assert total / 50 / (1 - leverage.sum() / 50) ** 2 == pytest.approx(244.1044, abs=1e-3)


@pytest.mark.parametrize("penalty", [0.03, 1.0, 40.0])
def test_scipy_make_smoothing_spline(penalty):
    rng = np.random.default_rng(1)
    x = np.sort(rng.choice(np.arange(60), 25, replace=False)) * 0.25
    y = np.sin(x / 3) + rng.normal(0, 0.2, 25)
    ours, _ = Line(x, y, 0.25).fit(penalty)
    assert np.allclose(ours, make_smoothing_spline(x, y, lam=penalty)(x), atol=1e-9)


def test_spline_profile_filter_of_iso_16610_22():
    # ISO 16610-22: (I + alpha^4 Q) w = z, alpha = 1/(2 sin(pi dx/cut-off)), half the amplitude kept at the cut-off.
    # With second differences this is Hodrick and Prescott's filter, so statsmodels has it: alpha^4 = lambda.
    from statsmodels.tsa.filters.hp_filter import hpfilter

    rng = np.random.default_rng(2)
    n, step, cutoff = 400, 0.02, 0.8
    z = np.cumsum(rng.normal(0, 1, n))
    ours, _ = Line(np.arange(n) * step, z, step).fit((cutoff / (2 * np.pi)) ** 4 / step)
    theirs = hpfilter(z, (2 * np.sin(np.pi * step / cutoff)) ** -4.0)[1]
    assert np.abs(ours - theirs).max() < 2e-3 * np.ptp(z)


def test_thin_plate_of_scipy():
    # second derivatives with the mixed term, on a rectangle far wider than the readings: scipy's thin plate spline with
    # smoothing 8 pi rho (L/2pi)^4, rho the weight per area. scipy's plate is endless, hence margin and tolerance.
    rng = np.random.default_rng(3)
    points = rng.uniform([0, 0], [4, 3], (60, 2))
    z = 3 * np.sin(points[:, 0]) + points[:, 1] ** 2 + rng.normal(0, 0.3, 60)
    margin, cell, cutoff = 6.0, 0.4, 1.5
    axes = [Axis(-margin, cell, round((size + 2 * margin) / cell)) for size in (4.0, 3.0)]
    layout = lay_out(*axes, np.array([0]), np.array([0]))
    rows = layout.surface_rows(points[:, 0], points[:, 1])
    area = axes[0].length * axes[1].length
    rho = 5.0
    energy = [(1.0, (2, cutoff), (0,)), (2.0, (1, cutoff), (1, cutoff)), (1.0, (0,), (2, cutoff))]
    band = Band(layout, [Rows(rows.columns, rows.values)], energy, rho * area)
    ours = band.fit(band.resolve(band.factor(np.ones(60)), band.pull(z)))
    smoothing = 8 * np.pi * rho * (cutoff / (2 * np.pi)) ** 4
    plate = RBFInterpolator(points, z, kernel="thin_plate_spline", smoothing=smoothing)
    assert np.abs(ours - plate(points)).max() < 0.02 * np.ptp(z)
