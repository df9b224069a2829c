"""Published and derived values for planks and battens over beams: beam tables, splines, lift-off, print-through."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.interpolate import CubicSpline

from deckgeom.fairing.batten import Strip, fasten_strip, lay_batten, off_fair, print_through

DOUGLAS_FIR = 13400.0  # MPa; G10: USDA Wood Handbook FPL-GTR-282, table 5-3b, 13.44 GPa
LIGHT = Strip(100, 20, DOUGLAS_FIR)
LONG_ROW = 41


def test_limit_of_the_pull_in_closed_form():
    """J3, second route: 6 (6 sqrt 3 - 8) = 14.354, neighbours 10.708 and 4.477, curvature 6 (sqrt 3 - 1) = 4.392."""
    h, d = 400.0, 2.0
    z = np.zeros(LONG_ROW)
    middle = LONG_ROW // 2
    z[middle] = d
    laid = fasten_strip(np.arange(LONG_ROW) * h, z, LIGHT)
    factors = laid.force[middle : middle + 3] * h**3 / (LIGHT.stiffness * d)
    assert factors == pytest.approx([6 * (6 * np.sqrt(3) - 8), -10.708, 4.477], abs=5e-4)
    curvature = -laid.height(laid.x[middle], 2) * h**2 / d
    assert curvature == pytest.approx(6 * (np.sqrt(3) - 1), abs=1e-6)
    assert curvature == pytest.approx(4.392, abs=5e-4)


def test_a_loose_batten_hides_a_dip():
    """J5: 20 x 6, 538 kg/m3, 13.4 GPa sags .700 mm over 800 mm under its own weight: 5 w L^4 / 384 EI."""
    batten = Strip(20, 6, DOUGLAS_FIR, 538)
    laid = lay_batten([0, 800], [0, 0], batten)
    assert -laid.height(400.0) == pytest.approx(0.700, abs=5e-4)
    hidden = lay_batten([0, 400, 800], [0, -0.69, 0], batten)
    seen = lay_batten([0, 400, 800], [0, -0.71, 0], batten)
    assert hidden.touching[1] and not seen.touching[1]


def test_a_weightless_batten_is_a_natural_spline():
    """J6: Holladay 1957; scipy's CubicSpline with natural ends, uneven beams."""
    rng = np.random.default_rng(1957)
    x = np.cumsum(rng.uniform(200, 700, 17))
    z = rng.normal(0, 4, 17)
    laid = fasten_strip(x, z, LIGHT)
    spline = CubicSpline(x, z, bc_type="natural")
    fine = np.linspace(x[0], x[-1], 501)
    for order, scale in ((0, 1.0), (1, 1e2), (2, 1e4)):
        assert scale * laid.height(fine, order) == pytest.approx(scale * spline(fine, order), abs=1e-8)
    jumps = np.diff(np.concatenate([[0], spline.c[0] * 6, [0]]))
    assert laid.force == pytest.approx(LIGHT.stiffness * jumps, rel=1e-9, abs=1e-7)


def floor_with_bump(bump, reach, step):
    """Supports of a flat floor with one bump in its middle."""
    x = np.arange(-reach, reach + step / 2, step)
    return x, np.where(np.abs(x) < 1e-9, bump, 0.0)


def test_a_strip_over_a_bump_on_a_floor():
    """
    Lift-off l = (72 EI d / q)^(1/4) and force 4ql/3: 5 mm, EI 20 N m2, q 4 N/m give 1.1583 m, 6.1776 N; derived.

    The strip comes down without slope or moment at l, which is how the formula arises; a floor of supports 20 mm
    apart answers within two steps and 1e-4 of the force.
    """
    stiffness, q, bump = 20e6, 4e-3, 5.0
    strip = Strip(30.0, 20.0, stiffness / 20000.0, q / 9.80665 / 600 * 1e9)
    assert strip.stiffness == pytest.approx(stiffness) and strip.weight == pytest.approx(q)
    lift = (72 * stiffness * bump / q) ** 0.25
    assert lift == pytest.approx(1158.3, abs=0.05)
    laid = lay_batten(*floor_with_bump(bump, 4000, 20), strip)
    middle = laid.x.size // 2
    assert laid.force[middle] == pytest.approx(4 * q * lift / 3, rel=1e-4)
    assert laid.force[middle] == pytest.approx(6.1776, abs=5e-4)
    last_free = np.abs(laid.x[~laid.touching]).max()
    assert last_free == pytest.approx(lift, abs=40)


def test_the_lifted_end_of_a_strip():
    """End held up by d: l = (24 EI d / q)^(1/4), force ql/2: 8 mm, EI 20 N m2, q 4 N/m give 1.9797 N; derived."""
    stiffness, q = 20e6, 4e-3
    strip = Strip(30.0, 20.0, stiffness / 20000.0, q / 9.80665 / 600 * 1e9)
    assert strip.stiffness == pytest.approx(stiffness)
    lift = (24 * stiffness * 8.0 / q) ** 0.25
    x = np.arange(0, 4001, 20.0)
    laid = lay_batten(x, np.where(x == 0, 8.0, 0.0), strip)
    assert q * lift / 2 == pytest.approx(1.9797, abs=5e-5)
    assert laid.force[0] == pytest.approx(1.9797, abs=5e-4)
    assert laid.x[laid.touching][1] == pytest.approx(lift, abs=40)


def test_a_20_by_20_batten_over_a_bump_of_3_mm():
    """EI 133 N m2, 1.96 N/m: it lifts 1.96 m either side; derived, the same formula."""
    batten = Strip(20, 20, 10000, 500)
    lift = (72 * batten.stiffness * 3.0 / batten.weight) ** 0.25
    assert lift == pytest.approx(1960, abs=5)
    x, z = floor_with_bump(3.0, 6000, 40)
    laid = lay_batten(x, z, batten)
    assert np.abs(laid.x[~laid.touching]).max() == pytest.approx(lift, abs=80)


def test_a_high_beam_under_a_plank():
    """22 x 100 plank, E 12 GPa, h 400, d 2 mm: 478 N up, 356 N on each neighbour's fastening, 7.3 MPa; derived."""
    plank = Strip(100, 22, 12000)
    z = np.zeros(LONG_ROW)
    z[20] = 2.0
    laid = fasten_strip(np.arange(LONG_ROW) * 400, z, plank)
    assert laid.push[20] == pytest.approx(478, abs=0.6)
    assert laid.pull[[19, 21]] == pytest.approx([356, 356], abs=0.7)
    assert laid.stress_mpa[20] == pytest.approx(7.3, abs=0.06)


def test_thin_ply_follows_everything():
    """9 mm ply, E 8 GPa: about 22 N for 100 mm of breadth over the same high beam; derived."""
    ply = Strip(100, 9, 8000)
    z = np.zeros(LONG_ROW)
    z[20] = 2.0
    laid = fasten_strip(np.arange(LONG_ROW) * 400, z, ply)
    assert laid.push[20] == pytest.approx(22, abs=0.5)


def test_what_prints_through_between_beams():
    """.60 d at mid-span beside the beam, -.127 d a bay on, +.034 d in the third; derived, against scipy's spline."""
    error = np.zeros(LONG_ROW)
    error[20] = 1.0
    x, shown = print_through(np.arange(LONG_ROW) * 400, error)
    assert shown[[41, 43, 45]] == pytest.approx([0.60, -0.127, 0.034], abs=0.0015)
    assert shown == pytest.approx(CubicSpline(np.arange(LONG_ROW) * 400, error, bc_type="natural")(x), abs=1e-10)
    laid = fasten_strip(np.arange(LONG_ROW) * 400, error, Strip(80, 15, 9000))
    assert off_fair(laid, np.zeros(LONG_ROW))[1] == pytest.approx(shown, abs=1e-9)


def test_a_low_beam_is_drawn_down_only_as_long_as_its_fastening_holds():
    """Held while 14.354 EI d / h^3 < what the fastening holds, else it bridges; derived."""
    plank, h, d = Strip(100, 22, 12000), 400.0, 2.0
    z = np.zeros(LONG_ROW)
    z[20] = -d
    needed = 6 * (6 * np.sqrt(3) - 8) * plank.stiffness * d / h**3
    enough = fasten_strip(np.arange(LONG_ROW) * h, z, plank, hold=1.001 * needed)
    short = fasten_strip(np.arange(LONG_ROW) * h, z, plank, hold=0.999 * needed)
    assert enough.touching.all() and enough.pull[20] == pytest.approx(needed, rel=1e-6)
    assert short.drawn[20] and short.gap[20] == pytest.approx(0.001 * d, rel=1e-3)
    assert short.pull[20] == pytest.approx(0.999 * needed)
