"""Stage B: the right beam, the right word, the reason; and the doubter's questions of fairness, each by name."""

from __future__ import annotations

import numpy as np
import pytest

from deckgeom.fairing.beam_tops import BeamTops, FairingError
from deckgeom.fairing.departures import chance_limit
from deckgeom.fairing.fair import estimate
from deckgeom.fairing.left_out import leave_beam_out
from deckgeom.fairing.search import search
from deckgeom.fairing.verdict import (
    AGAIN,
    CANNOT,
    DOUBTFUL,
    LEAVE,
    MOST_AGAIN,
    PACK,
    PLANE,
    SURE,
    WORDS,
    _times,
    judge,
)
from deckgeom.fairing.without import LeaveOut, group
from tests.fairing.simulated import Faults, simulate
from tests.fairing.test_fair import CLEAN, datum, deck, part, raised


def verdict(tops, tolerance=None, reading_error=0.7, **settings):
    return judge(tops, estimate(tops, reading_error=reading_error, **settings), tolerance)


# --- the doubter's list


@pytest.mark.parametrize("seed", range(6))
def test_doubter_6_list_and_trim_change_no_answer(seed):
    tops = simulate(seed, beams=14, points=7).tops
    a, b = verdict(tops, reading_error=None), verdict(raised(tops, datum(tops)), reading_error=None)
    assert np.array_equal(a.word, b.word) and a.beam_word == b.beam_word and np.array_equal(a.again, b.again)
    assert np.abs(a.deviation - b.deviation).max() < 1e-6
    assert np.abs(a.uncertainty - b.uncertainty).max() < 1e-6
    assert np.abs(a.whole - b.whole).max() < 1e-6


def test_doubter_7_sides_swapped_swap_the_output_and_nothing_else():
    tops = simulate(6, beams=12, points=5).tops
    a = verdict(tops)
    b = verdict(BeamTops(tops.beam, tops.beam_names, tops.x, -tops.y, tops.half_breadth, tops.z))
    assert np.array_equal(a.word, b.word) and a.beam_word == b.beam_word
    assert np.allclose(a.deviation, b.deviation, atol=1e-5)
    assert np.allclose(a.whole * [1, -1, 1], b.whole, atol=1e-5)


@pytest.mark.parametrize("slip", [10.0, -10.0, 25.4])
def test_doubter_8_a_spoilt_reading_is_named_and_nothing_is_planed(slip):
    tops = deck(20, 9, noise=0.7, seed=3)
    before = verdict(tops)
    for i in range(0, tops.count, 11):
        spoilt = tops.z + np.where(np.arange(tops.count) == i, slip, 0)
        after = verdict(raised(tops, spoilt - tops.z))
        assert after.word[i] == DOUBTFUL, tops.where(i)
        assert after.first[0] == i
        others = np.arange(tops.count) != i
        assert not np.isin(after.word[others], [PLANE, PACK]).any()
        assert np.array_equal(after.word[others] == DOUBTFUL, before.word[others] == DOUBTFUL)
        assert "Measure it again before anything is planed there" in after.why(i)


def test_doubter_8_an_eighth_of_an_inch_is_measured_again_before_it_is_planed():
    tops = deck(20, 9, noise=0.5, seed=3)
    i = 4 + 9 * 10
    after = verdict(raised(tops, 3.175 * (np.arange(tops.count) == i)), reading_error=0.5)
    assert after.word[i] == AGAIN and after.again[i] >= 1 and i in after.first
    assert not np.isin(after.word, [PLANE, PACK]).any()
    assert "Do not plane on one reading" in after.why(i)


def test_doubter_9_nothing_silly_at_the_ends():
    d = simulate(11, beams=18, points=7, faults=CLEAN)
    found = verdict(d.tops)
    assert np.abs(found.estimate.fair - d.fair).max() < 2.5
    assert found.beam_word[0] == found.beam_word[-1] == CANNOT
    assert "nothing beyond it" in found.why_beam(0)
    ahead = found.estimate.surface.height([-300.0], [0.0], [700.0])  # a batten runs on past the end
    assert abs(ahead[0] - d.fair[0]) < 150


def test_doubter_17_small_residuals_are_left():
    flagged = beams = 0
    for seed in range(12):
        found = verdict(simulate(400 + seed, faults=CLEAN).tops)
        flagged += sum(word not in (LEAVE, CANNOT) for word in found.beam_word)
        beams += 20
        i = int(np.argmax(found.word == LEAVE))
        assert "leave. It" in found.why(i)
    assert flagged <= beams / 100


# --- the right beam, the right word


@pytest.mark.parametrize(("by", "word", "way"), [(4.0, PLANE, "4 mm high"), (-5.0, PACK, "5 mm low")])
def test_a_beam_out_as_a_whole(by, word, way):
    tops = deck(20, 9, noise=0.5, seed=1)
    found = verdict(raised(tops, by * (tops.beam == 8)), reading_error=0.5)
    assert found.beam_word[8] == word and found.beam_word.count(word) == 1
    assert np.all(found.word[tops.beam == 8] == word) and not np.any(found.word[tops.beam != 8] == word)
    assert found.whole[8, 0] == pytest.approx(by, abs=0.7)
    assert way in found.why_beam(8) and "-" not in found.why_beam(8)


@pytest.mark.parametrize(
    ("shape", "words"),
    [
        (lambda eta: 4.0 * eta, "its starboard end stands 4 mm high and the other as much low"),
        (lambda eta: 5.0 * (1 - eta**2), "its middle stands 5 mm high of its ends"),
    ],
)
def test_a_beam_tilted_or_wrongly_crowned(shape, words):
    tops = deck(20, 9, noise=0.3, seed=2)
    found = verdict(raised(tops, shape(tops.eta) * (tops.beam == 11)), reading_error=0.3)
    assert words in found.why_beam(11)
    assert [b for b in range(20) if found.whole[b].any()] == [11]


def test_a_bump_confirmed_by_the_reading_beside_it_is_planed():
    tops = deck(20, 9, noise=0.5, seed=4)
    bump = 4.0 * np.isin(np.arange(tops.count), [94, 95])
    found = verdict(raised(tops, bump), reading_error=0.5)
    assert found.word[94] == found.word[95] == PLANE
    assert (found.word == PLANE).sum() == 2 and found.beam_word[10] == PLANE
    assert "the reading beside it" in found.why(94)


def test_a_bump_measured_again_is_planed():
    tops = deck(20, 9, noise=0.5, seed=5)
    bumped = raised(tops, 4.0 * (np.arange(tops.count) == 94))
    assert verdict(bumped, reading_error=0.5).word[94] == AGAIN
    twice = np.append(np.arange(tops.count), 94)
    again = part(bumped, twice)
    found = verdict(raised(again, 0.3 * (np.arange(again.count) == tops.count)), reading_error=0.5)
    assert found.word[94] == PLANE and found.word[tops.count] == PLANE


def test_a_slip_measured_again_is_not_planed():
    tops = deck(20, 9, noise=0.5, seed=5)
    again = part(tops, np.append(np.arange(tops.count), 94))
    found = verdict(raised(again, 12.0 * (np.arange(again.count) == 94)), reading_error=0.5)
    assert found.word[94] == DOUBTFUL and found.word[tops.count] == LEAVE
    assert not np.isin(found.word, [PLANE, PACK]).any()


def test_two_slips_on_one_beam_and_one_beside():
    tops = deck(20, 9, noise=0.5, seed=6)
    slips = [93, 96, 103]
    found = verdict(raised(tops, np.isin(np.arange(tops.count), slips) * 15.0), reading_error=0.5)
    assert sorted(np.flatnonzero(found.doubtful)) == slips
    assert not np.isin(found.word, [PLANE, PACK]).any()


def test_a_slip_on_a_beam_that_is_out_does_not_hide_it():
    tops = deck(20, 9, noise=0.5, seed=7)
    by = 4.0 * (tops.beam == 8) + 20.0 * (np.arange(tops.count) == 75)
    found = verdict(raised(tops, by), reading_error=0.5)
    assert found.beam_word[8] == PLANE and found.word[75] == DOUBTFUL
    assert found.whole[8, 0] == pytest.approx(4.0, abs=0.7)
    assert "First measure again" in found.why_beam(8)


def test_fixed_points_beyond_let_the_end_beam_be_told():
    # the end beam stands 5 mm high; a bulkhead 200 mm beyond it, known exactly, tells
    tops = deck(12, 7, noise=0.4, seed=8)
    by = 5.0 * (tops.beam == 1)
    fixed = tops.beam == 0
    exact = deck(12, 7, noise=0.0)
    z = np.where(fixed, exact.z, tops.z + by)
    held = BeamTops(tops.beam, tops.beam_names, tops.x, tops.y, tops.half_breadth, z)
    found = judge(held, estimate(held, reading_error=0.4, fixed=fixed))
    assert found.beam_word[1] == PLANE and found.beam_word[0] == LEAVE
    assert "fixed point" in found.why(0)


def test_leaving_a_beam_out_can_be_asked():
    tops = deck(20, 9, noise=0.5, seed=9)
    found = verdict(raised(tops, 5.0 * (tops.beam == 8)), reading_error=0.5)
    without = leave_beam_out(found, 8)
    assert np.abs(without.moved[tops.beam == 8]).mean() < 1.0  # the beam was not believed anyway
    assert all(b != 8 for b, _, _ in without.beams_changed)
    with pytest.raises(FairingError, match="must be a measured beam"):
        leave_beam_out(found, 33)


def test_tolerance_is_the_builders():
    tops = deck(20, 9, noise=0.3, seed=10)
    high = raised(tops, 3.0 * (tops.beam == 8))
    assert verdict(high, tolerance=1.0, reading_error=0.3).beam_word[8] == PLANE
    loose = verdict(high, tolerance=4.0, reading_error=0.3)
    assert loose.beam_word[8] == LEAVE and "within the tolerance of 4.0 mm" in loose.why_beam(8)


def test_scatter_past_the_stated_error_asks_more():
    d = simulate(77, sigma=1.4, faults=CLEAN)
    found = verdict(d.tops, reading_error=0.5)
    assert found.findings.stretch > 1.7 and "Measure ten points twice" in found.notes[-1]
    assert sum(word in (PLANE, PACK) for word in found.beam_word) <= 1


# --- whatever it is given


@pytest.mark.parametrize(("beams", "points"), [(1, 1), (1, 9), (2, 5), (3, 9), (20, 1), (4, 3), (12, 3)])
def test_few_readings_never_get_a_false_word(beams, points):
    tops = deck(beams, points, noise=0.7, seed=1)
    found = verdict(tops)
    assert set(found.word) <= set(WORDS)
    assert not np.isin(found.word, [PLANE, PACK, DOUBTFUL]).any()
    if beams <= 3:
        assert set(found.beam_word) == {CANNOT}
    assert all(found.why(i) and found.why_beam(int(tops.beam[i])) for i in range(tops.count))


def test_one_fore_and_aft_line_finds_its_high_beam():
    tops = deck(24, 1, noise=0.5, seed=2)
    found = verdict(raised(tops, 5.0 * (tops.beam == 12)), reading_error=0.5)
    assert found.word[12] == AGAIN and (found.word == AGAIN).sum() == 1


@pytest.mark.parametrize("spacing", [50.0, 3000.0])
def test_beams_close_and_far(spacing):
    tops = deck(16, 5, spacing, noise=0.7)
    found = verdict(raised(tops, 5.0 * (tops.beam == 8)))
    assert found.beam_word[8] == PLANE and found.beam_word.count(PLANE) == 1


def test_a_beam_without_readings_and_wrong_arguments():
    tops = part(deck(12, 5, noise=0.5), deck(12, 5).beam != 5)
    found = verdict(tops)
    assert found.beam_word[5] == CANNOT and "It was not measured." in found.why_beam(5)
    with pytest.raises(FairingError, match="tolerance"):
        judge(tops, estimate(tops), tolerance=np.nan)
    with pytest.raises(FairingError, match="made from other readings"):
        judge(tops, estimate(raised(tops, 1.0 * np.arange(tops.count))))


def test_all_slips_plane_nothing():
    tops = deck(12, 7)
    wild = verdict(raised(tops, np.random.default_rng(1).uniform(-40, 40, tops.count)), reading_error=None)
    assert np.isin(wild.word, [PLANE, PACK]).sum() == 0


# --- the numbers behind it


def test_leaving_a_beam_out_of_one_factor_is_leaving_it_out():
    # second route: take the beam's rows out of the dense problem and solve again
    tops = deck(9, 5, noise=1.0, seed=3)
    field = estimate(tops, reading_error=1.0, whole_beam=False).field
    z, band = field.detrend(tops.z)[0], field.plain
    rows = band.rows.toarray()
    energy = np.zeros((band.size, band.size))
    for d in range(band.width + 1):
        energy += np.diag(band.energy[: band.size - d, d], -d) + (
            np.diag(band.energy[: band.size - d, d], d) if d else 0
        )
    c = np.linalg.solve(energy + rows.T @ rows, rows.T @ z)
    grouped = group(tops.beam, tops.y)
    leave_out = LeaveOut(field, field.layout, grouped)
    found = leave_out(band.factor(np.ones(tops.count)), z - rows @ c, np.ones(tops.count), np.zeros((9, 3), bool))
    for g in range(9):
        mine = tops.beam == g
        rest = np.linalg.inv(energy + rows[~mine].T @ rows[~mine])
        d = z[mine] - rows[mine] @ rest @ rows[~mine].T @ z[~mine]
        order = np.argsort(tops.y[mine])
        assert np.allclose(found.deviation[g], d[order], atol=1e-5)
        assert np.allclose(found.spread[g], (rows[mine] @ rest @ rows[mine].T)[np.ix_(order, order)], atol=1e-5)


def test_leverage_and_deletion_residual_are_those_of_statsmodels():
    # statsmodels OLSInfluence on the augmented regression [rows; sqrt(energy)]
    from statsmodels.api import OLS
    from statsmodels.stats.outliers_influence import OLSInfluence

    from deckgeom.fairing.leverage import NearInverse

    tops = deck(9, 5, noise=1.0, seed=4)
    field = estimate(tops, reading_error=1.0, whole_beam=False).field
    z, band = field.detrend(tops.z)[0], field.plain
    energy = np.zeros((band.size, band.size))
    for d in range(band.width + 1):
        energy += np.diag(band.energy[: band.size - d, d], -d) + (
            np.diag(band.energy[: band.size - d, d], d) if d else 0
        )
    root = np.linalg.cholesky(energy).T
    influence = OLSInfluence(
        OLS(np.concatenate([z, np.zeros(band.size)]), np.vstack([band.rows.toarray(), root])).fit()
    )
    factor = band.factor(np.ones(tops.count))
    rows = field.layout.surface_rows(tops.x, field.across)
    ours = NearInverse(factor, band.width).variance(rows.columns, rows.values)
    assert np.allclose(ours, influence.hat_matrix_diag[: tops.count], atol=1e-8)
    residual = z - band.fit(band.resolve(factor, band.pull(z)))
    assert np.allclose(residual / (1 - ours), influence.resid_press[: tops.count], atol=1e-6)


def test_uncertainties_are_true_on_clean_decks():
    t = np.concatenate([_standard(400 + seed) for seed in range(12)])
    assert t.std() == pytest.approx(1.0, abs=0.06)
    assert np.mean(np.abs(t) > 1.96) == pytest.approx(0.05, abs=0.015)


def _standard(seed):
    found = search(estimate(simulate(seed, faults=CLEAN).tops, reading_error=0.7))
    inner = found.grouped.real & ~found.chosen[:, found.single]
    return (found.alone / found.alone_sd)[inner]


def test_chance_limit_is_benjamini_and_hochbergs():
    # second route: scipy's adjusted p-values
    from scipy.stats import false_discovery_control, norm

    t = np.concatenate([np.random.default_rng(0).normal(size=150), [3.1, -3.4, 4.0, 2.9]])
    adjusted = false_discovery_control(2 * norm.sf(np.abs(t)))
    limit = chance_limit(t, 0.2, 1.0, 6.0)
    assert np.array_equal(np.abs(t) >= limit, adjusted <= 0.2)


def test_words_are_plain():
    found = verdict(simulate(8, faults=Faults()).tops)
    text = " ".join([found.why(i) for i in range(found.tops.count)] + [found.why_beam(b) for b in range(20)])
    assert not any(sign in text for sign in (" -", "+", "sigma", "leverage", "nan"))
    assert "1/16 in" in found.why(0, "in") or " in " in found.why(0, "in")


def test_what_is_left_alone_is_two_reading_errors_unless_said():
    tops = simulate(3, beams=8, points=5).tops
    assert verdict(tops, reading_error=0.7).tolerance == pytest.approx(1.4)
    assert verdict(tops, 2.5).tolerance == 2.5


@pytest.mark.parametrize("rank", [1, 2])
def test_the_largest_is_held_to_the_whole_share_over_all_and_the_next_to_twice_that(rank):
    """Benjamini and Hochberg, by hand: of ten, p of the first up to .02, of the second up to .04."""
    from scipy.stats import norm

    for p, stands in ((0.0199, True), (0.0201, False)):
        t = np.full(10, 0.1)
        t[:rank] = norm.isf(rank * p / 2)
        assert bool(chance_limit(t, 0.2, 0.5, 6.0) <= t[0]) is stands


def test_times_to_measure_again_by_trying_each_number():
    """The least number of readings whose mean stands out by 2.6 standard deviations, the surface as sure as before."""
    for size in (2.7, 3.0, 3.4, 4.1, 6.0):
        for sd in (1.0, 1.05, 1.2, 1.5):
            for_n = [size / np.sqrt(sd**2 - 1 + 1 / n) for n in range(1, 40)]
            fewest = next((n for n, t in enumerate(for_n, 1) if t >= SURE), None)
            more = 0 if fewest is None or fewest - 1 > MOST_AGAIN else max(fewest - 1, 1)
            assert _times(np.array([size]), np.array([sd]))[0] == more
    needed_ten = SURE * np.sqrt(1 / 9.5)
    assert _times(np.array([needed_ten]), np.array([1.0]))[0] == MOST_AGAIN == 9
