"""Stage A: what the fair surface keeps, what it ignores, and that it takes whatever it is given."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.integrate import quad
from scipy.interpolate import BSpline

from deckgeom.fairing.assembly import Band, lay_out
from deckgeom.fairing.basis import Axis, axis_for
from deckgeom.fairing.beam_tops import BeamTops, FairingError
from deckgeom.fairing.fair import estimate
from deckgeom.fairing.field import default_cutoff, field_for
from deckgeom.fairing.law import Law
from deckgeom.fairing.solver import solve
from tests.fairing.simulated import Faults, simulate

CLEAN = Faults(set_off=0, wrong_crown=0, twisted=0, bumps=0, slips=0)


def deck(beams=12, points=7, spacing=400.0, noise=0.0, seed=0) -> BeamTops:
    """A parabolic deck on evenly spaced beams, with reading noise."""
    beam, eta = (
        np.repeat(np.arange(beams), points),
        np.tile(np.linspace(-0.95, 0.95, points) if points > 1 else [0.0], beams),
    )
    x = beam * spacing
    b = 900 + 300 * np.sin(np.pi * (x + spacing) / (spacing * (beams + 1)))
    z = 1000 + 30 * (x / 4000 - 0.5) ** 2 + 80 * (1 - (eta * b / 1200) ** 2)
    z = z + np.random.default_rng(seed).normal(0, 1, len(z)) * noise
    return BeamTops(beam, tuple(str(k + 1) for k in range(beams)), x, eta * b, b, z)


def raised(tops: BeamTops, by) -> BeamTops:
    """The same places, other heights."""
    return BeamTops(tops.beam, tops.beam_names, tops.x, tops.y, tops.half_breadth, tops.z + by)


def part(tops: BeamTops, keep) -> BeamTops:
    """Some of the readings."""
    return BeamTops(
        tops.beam[keep], tops.beam_names, *(getattr(tops, f)[keep] for f in ("x", "y", "half_breadth", "z"))
    )


# --- splines and energy
# ---------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("order", [0, 1, 2, 3])
def test_splines_are_those_of_scipy(order):
    axis = Axis(start=-200.0, cell=350.0, cells=5)
    t = np.linspace(-199, 1549, 57)
    first, values = axis.values(t, order)
    knots = -200.0 + 350.0 * np.arange(-3, 9)
    for j in range(axis.size):
        ours = np.where((j >= first) & (j < first + 4), values[np.arange(57), np.clip(j - first, 0, 3)], 0.0)
        assert np.allclose(ours, _element(knots[j : j + 5], t, order), atol=1e-12)


def _element(knots, t, order):
    """One basis function of scipy, nought outside its knots."""
    element = BSpline.basis_element(knots, extrapolate=False)
    return np.nan_to_num((element.derivative(order) if order else element)(t))


@pytest.mark.parametrize("order", [0, 1, 2])
def test_gram_is_the_integral(order):
    axis = Axis(start=0.0, cell=300.0, cells=4)
    knots = 300.0 * np.arange(-3, 8)
    scale = (2400.0 / (2 * np.pi)) ** (2 * order)
    for j in range(axis.size):
        for d in range(min(4, axis.size - j)):
            area = sum(
                quad(
                    lambda t, j=j, d=d: float(
                        _element(knots[j : j + 5], t, order) * _element(knots[j + d : j + d + 5], t, order)
                    ),
                    300.0 * c,
                    300.0 * (c + 1),
                )[0]
                for c in range(4)
            )
            assert axis.gram(order, 2400.0)[d, j] == pytest.approx(scale * area / 1200.0, rel=1e-6, abs=1e-12)


@pytest.mark.parametrize(("wave", "kept"), [(4.0, 0.9998), (2.0, 0.985), (1.0, 0.5), (0.667, 0.081)])
def test_a_wave_of_the_cutoff_is_half_kept(wave, kept):
    # formula 1/(1 + (L/wave)^6), the half-amplitude convention of ISO 16610-22
    cutoff, readings = 2400.0, 4001
    x = np.linspace(0, 24 * cutoff, readings)
    axis = axis_for(x, 99, cutoff)
    layout = lay_out(axis, Axis(0, 1, 1, 0), np.array([0]), np.array([0]))
    band = Band(layout, [layout.surface_rows(x, 0 * x)], [(1.0, (3, cutoff), (0,))], readings)
    z = np.cos(2 * np.pi * x / (wave * cutoff))
    c = band.resolve(band.factor(np.ones(readings)), band.pull(z))
    middle = slice(readings // 3, 2 * readings // 3)
    amplitude = np.linalg.lstsq(z[middle, None], band.fit(c)[middle], rcond=None)[0][0]
    assert kept == pytest.approx(1 / (1 + wave**-6.0), abs=2e-3)
    assert amplitude == pytest.approx(kept, abs=0.02)  # four knots to the cut-off are that coarse below it


def test_number_of_readings_does_not_matter():
    a = estimate(deck(noise=1.0), reading_error=1.0)
    twice = deck(noise=1.0)
    twice = BeamTops(
        *(
            np.repeat(v, 2) if isinstance(v, np.ndarray) else v
            for v in (twice.beam, twice.beam_names, twice.x, twice.y, twice.half_breadth, twice.z)
        )
    )
    b = estimate(twice, reading_error=1.0, whole_beam=False)
    a = estimate(deck(noise=1.0), reading_error=1.0, whole_beam=False)
    assert np.allclose(a.fair, b.fair[::2], atol=1e-6)


# --- what must not change anything
# ------------------------------------------------------------------------------------------------


def datum(tops):
    """What list, trim, a wrong datum, string sag and a rounder deck do to the heights."""
    x, y = tops.x / 1000, tops.y / 1000
    return 250 + 31 * y - 12 * x + 6 * x * y + 4.0 * x**2 - 40 * y**2 + 0.7 * x * y**2


@pytest.mark.parametrize("seed", range(4))
def test_tilt_and_sag_never_change_a_residual(seed):
    tops = simulate(seed, beams=14, points=7).tops
    a, b = estimate(tops), estimate(raised(tops, datum(tops)))
    assert np.abs(a.residual - b.residual).max() < 1e-6
    assert a.reading_error == pytest.approx(b.reading_error, abs=1e-9)


@pytest.mark.parametrize("scale", [1 / 25.4, 1000.0])
def test_unit_of_length_does_not_matter(scale):
    tops = simulate(5, beams=12, points=5).tops
    other = BeamTops(tops.beam, tops.beam_names, *(scale * getattr(tops, f) for f in ("x", "y", "half_breadth", "z")))
    a, b = estimate(tops, reading_error=0.7), estimate(other, reading_error=0.7 * scale)
    assert np.allclose(b.residual, scale * a.residual, atol=1e-8 * scale)
    assert b.cutoff == pytest.approx(scale * a.cutoff)


def test_boat_turned_end_for_end_and_side_for_side():
    tops = simulate(6, beams=12, points=5).tops
    a = estimate(tops)
    back = estimate(BeamTops(tops.beam, tops.beam_names, 9000 - tops.x, tops.y, tops.half_breadth, tops.z))
    swapped = estimate(BeamTops(tops.beam, tops.beam_names, tops.x, -tops.y, tops.half_breadth, tops.z))
    assert np.allclose(a.residual, back.residual, atol=1e-5)
    assert np.allclose(a.residual, swapped.residual, atol=1e-5)


def test_order_of_the_rows_does_not_matter():
    tops = simulate(7, beams=10, points=6).tops
    mixed = np.random.default_rng(0).permutation(tops.count)
    assert np.allclose(estimate(tops).residual[mixed], estimate(part(tops, mixed)).residual, atol=1e-6)


# --- what it finds
# ------------------------------------------------------------------------------------------------------------------


def test_parabolas_are_kept_exactly():
    assert np.abs(estimate(deck(), reading_error=0.7).residual).max() < 1e-6


def test_a_slip_stays_where_it_is():
    clean = estimate(deck(noise=0.7), reading_error=0.7)
    tops = deck(noise=0.7)
    slip = np.zeros(tops.count)
    slip[40] = 25.0
    found = estimate(raised(tops, slip), reading_error=0.7)
    assert not found.used[40] and found.residual[40] > 23
    assert np.abs(np.delete(found.fair - clean.fair, 40)).max() < 0.5


def test_a_beam_out_as_a_whole_stays_where_it_is():
    tops = deck(noise=0.5)
    found = estimate(raised(tops, 5.0 * (tops.beam == 6)), reading_error=0.5)
    assert found.beam_terms[6, 0] > 3.5
    assert np.abs(found.beam_terms[[4, 5, 7, 8], 0]).max() < 0.6
    assert found.residual[tops.beam == 6].mean() == pytest.approx(5.0, abs=0.7)


def test_reading_error_is_found_without_repeats_and_said_so():
    errors = [estimate(simulate(s, sigma=1.0, faults=CLEAN).tops).reading_error for s in range(12)]
    assert np.mean(errors) == pytest.approx(1.0, abs=0.06)
    assert "from the readings themselves" in estimate(deck(noise=1.0)).error_words()


def test_repeats_tell_the_reading_error():
    tops = deck(noise=0.5)
    again = raised(part(tops, slice(0, 20)), np.random.default_rng(3).normal(0, 0.7, 20))
    both = BeamTops(
        *(
            np.concatenate([getattr(tops, f), getattr(again, f)]) if f != "beam_names" else tops.beam_names
            for f in ("beam", "beam_names", "x", "y", "half_breadth", "z")
        )
    )
    found = estimate(both)
    assert found.reading_error_source == "repeats" and "more than once" in found.error_words()
    assert found.reading_error == pytest.approx(0.5, abs=0.15)


def test_a_design_frees_the_estimate_from_the_shape():
    d = simulate(3, faults=CLEAN, sigma=1e-3, wave=0.0)
    found = estimate(d.tops, reading_error=0.7, design=d.design)
    assert np.abs(found.fair - d.fair).max() < 0.01


def test_fixed_points_are_met():
    tops = deck(noise=1.0)
    fixed = np.isin(np.arange(tops.count), [0, 6, 30, 83])
    found = estimate(tops, reading_error=1.0, fixed=fixed)
    assert np.abs(found.residual[fixed]).max() < 1e-3


def test_surface_gives_the_same_heights():
    tops = simulate(9).tops
    found = estimate(tops)
    assert np.allclose(found.surface.height(tops.x, tops.y, tops.half_breadth), found.fair, atol=1e-9)


# --- whatever it is given
# -----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("beams", "points"), [(1, 1), (1, 2), (1, 9), (2, 1), (2, 5), (3, 3), (20, 1), (4, 3), (12, 3)]
)
def test_few_readings_still_get_an_answer(beams, points):
    found = estimate(deck(beams, points, noise=0.7))
    assert np.all(np.isfinite(found.fair)) and max(found.optimality) < 1e-7
    assert np.abs(found.residual).max() < 4.0
    if beams < 3:
        assert any("cannot show which is out" in note for note in found.notes)


@pytest.mark.parametrize("spacing", [50.0, 3000.0])
def test_beams_close_together_and_far_apart(spacing):
    tops = deck(16, 5, spacing, noise=0.7)
    found = estimate(raised(tops, 5.0 * (tops.beam == 8)), reading_error=0.7)
    assert found.residual[tops.beam == 8].mean() == pytest.approx(5.0, abs=1.0)


def test_no_noise_at_all():
    found = estimate(deck())
    assert found.reading_error == 0.3  # rounding to a millimetre, 1/sqrt(12)
    assert np.abs(found.residual).max() < 1e-6


def test_readings_that_are_all_slips_are_said_to_be():
    tops = deck()
    wild = raised(tops, np.random.default_rng(1).uniform(-40, 40, tops.count))
    assert any("more than a tape does" in note for note in estimate(wild).notes)


def test_every_point_fixed_says_which_cannot_be():
    tops = deck(noise=4.0)
    found = estimate(tops, reading_error=1.0, fixed=np.ones(tops.count, bool))
    assert np.all(np.isfinite(found.fair))
    assert any("fixed points cannot all lie on one fair surface; worst beam" in note for note in found.notes)


def test_a_wide_gap_is_said():
    tops = deck(12, 5, noise=0.5)
    found = estimate(part(tops, (tops.beam < 4) | (tops.beam > 8)))
    assert any("gap of 2.4 m between beams" in note for note in found.notes)


def test_uneven_duplicate_and_lonely_readings():
    tops = deck(noise=0.7)
    rng = np.random.default_rng(2)
    keep = np.sort(np.concatenate([rng.choice(tops.count, 50, replace=False), [3, 3, 3]]))
    found = estimate(part(tops, keep))
    assert np.all(np.isfinite(found.residual)) and max(found.optimality) < 1e-7


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        ({"reading_error": 0.0}, "length above nought"),
        ({"reading_error": np.nan}, "length above nought"),
        ({"cutoff": -5.0}, "cut-off must be a length"),
        ({"fixed": [True]}, "there are 84 readings"),
        ({"design": [1.0]}, "each of the 84 readings needs one"),
    ],
)
def test_settings_that_cannot_be_are_refused(arguments, words):
    with pytest.raises(FairingError, match=words):
        estimate(deck(), **arguments)


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"z": np.nan}, "z of beam 1 .reading 3. is nan: every reading needs a number"),
        ({"half_breadth": 0.0}, "the beam must have a breadth"),
        ({"y": 2400.0}, "y reaches 2400 mm on beam 1 but the beam ends at"),
        ({"beam": 40}, "counted from 0"),
    ],
)
def test_records_that_cannot_be_are_refused(change, words):
    tops = deck()
    fields = {f: np.array(getattr(tops, f)) for f in ("beam", "x", "y", "half_breadth", "z")}
    for name, value in change.items():
        fields[name][2] = value
    with pytest.raises(FairingError, match=words):
        BeamTops(beam_names=tops.beam_names, **fields)


def test_lengths_and_names_are_checked():
    with pytest.raises(FairingError, match="equally long"):
        BeamTops([0], ("1",), [0, 1], [0], [9], [0])
    with pytest.raises(FairingError, match="at least one"):
        BeamTops([], ("1",), [], [], [], [])
    with pytest.raises(FairingError, match="own name"):
        BeamTops([0], ("1", "1"), [0], [0], [9], [0])


def test_field_is_kept_and_default_cutoff_is_six_spacings():
    tops = deck()
    assert field_for(tops) is field_for(raised(tops, 3.0))
    assert field_for(tops, 2000.0) is not field_for(tops)
    assert default_cutoff(tops)[0] == pytest.approx(2400.0)


def test_solver_law_of_stage_a_is_hubers():
    # second route: scipy minimises the same cost from its definition on a small deck
    from scipy.optimize import minimize

    tops = deck(5, 3, noise=1.0, seed=4)
    field = field_for(tops)
    z = field.detrend(tops.z)[0]
    z[4] += 8
    band, price = field.plain, np.full(tops.count, 1.4)
    answer = solve(band, Law(z, np.ones(tops.count), price, price, 0 * price))

    def cost(c):
        r = z - band.fit(c)
        small = np.abs(r) <= 1.4
        return 0.5 * c @ band.bend(c) + np.where(small, 0.5 * r**2, 1.4 * np.abs(r) - 0.98).sum()

    def slope(c):
        return band.bend(c) - band.pull(np.clip(z - band.fit(c), -1.4, 1.4))

    other = minimize(cost, 0 * answer.c, jac=slope, method="BFGS", options={"gtol": 1e-9, "maxiter": 2000})
    assert cost(answer.c) <= other.fun + 1e-9
    assert np.allclose(band.fit(answer.c), band.fit(other.x), atol=1e-4)
