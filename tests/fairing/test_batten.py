"""A loose batten and a fastened plank: contact, the referee, limits, what is refused."""

from __future__ import annotations

import clarabel
import numpy as np
import pytest
import scipy.sparse as sp
from scipy.integrate import quad

from deckgeom.fairing import contact
from deckgeom.fairing.batten import Strip, fasten_strip, lay_batten, print_through
from deckgeom.fairing.beam_tops import FairingError
from deckgeom.fairing.contact import settle

BATTEN = Strip(20, 20, 10000, 500, "batten")


def referee(x, z, stiffness, weight, load, hold):
    """Heights by Clarabel, and whether it solved to its own limits: textbook matrices, the same least energy."""
    n, scale = x.size, 1e-6 * stiffness  # N m2
    matrix, force = sp.lil_matrix((2 * n, 2 * n)), np.zeros(2 * n)
    for i, h in enumerate(np.diff(x) / 1000):
        a, b, c = 6 * h, 4 * h * h, 2 * h * h
        element = np.array([[12, a, -12, a], [a, b, -a, c], [-12, -a, 12, -a], [a, c, -a, b]]) * scale / h**3
        at = [2 * i, 2 * i + 1, 2 * i + 2, 2 * i + 3]
        matrix[np.ix_(at, at)] = matrix[np.ix_(at, at)].toarray() + element
        force[at] -= 1000 * weight * h / 12 * np.array([6, h, 6, -h])
    force[0::2] -= load
    support, held = np.isfinite(z), np.isinf(hold)
    force[0::2] -= np.where(support & ~held, hold, 0.0)
    # heights in millimetres inside the program keep its numbers near one
    units = np.tile([1e-3, 1e-3], n)
    matrix, force = sp.diags(units) @ matrix @ sp.diags(units) * 1e3, force * units * 1e3
    rows = np.concatenate([np.flatnonzero(held), np.flatnonzero(support & ~held)])
    pick = sp.csc_matrix((np.ones(rows.size), (np.arange(rows.size), 2 * rows)), shape=(rows.size, 2 * n))
    settings = clarabel.DefaultSettings()
    settings.verbose = False
    settings.tol_gap_abs = settings.tol_gap_rel = settings.tol_feas = 1e-11
    cones = [clarabel.ZeroConeT(int(held.sum())), clarabel.NonnegativeConeT(int((support & ~held).sum()))]
    cones = [cone for cone, size in zip(cones, (held.sum(), (support & ~held).sum()), strict=True) if size]
    sign = sp.diags(np.where(np.isin(np.arange(rows.size), np.arange(held.sum())), 1.0, -1.0))
    limits = (sign @ pick).tocsc(), sign @ z[rows]
    found = clarabel.DefaultSolver(sp.triu(matrix.tocsc()).tocsc(), -force, *limits, cones, settings).solve()
    return np.array(found.x)[0::2], found.status == clarabel.SolverStatus.Solved


def random_case(rng):
    """A batten on uneven beams, now and then pressed, held, fastened, overhanging."""
    n = int(rng.integers(3, 25))
    x = np.cumsum(rng.uniform(150, 700, n))
    z = rng.normal(0, rng.choice([0.5, 3, 15]), n) + rng.choice([0, 2e-6]) * (x - x.mean()) ** 2
    load, hold = np.zeros(n), np.zeros(n)
    if rng.random() < 0.4:
        load[rng.integers(1, n - 1)] = rng.uniform(1, 60)
    if rng.random() < 0.3:
        hold[rng.integers(0, n, 2)] = np.inf
    if rng.random() < 0.3:
        hold = np.where(np.isinf(hold), hold, rng.uniform(0, 80, n))
    if rng.random() < 0.4:
        gone = rng.integers(0, n)
        if not np.isinf(hold[gone]) and load[gone] == 0 and 0 < gone < n - 1:
            z[gone], hold[gone] = -np.inf, 0.0
    return x, z, BATTEN.stiffness, BATTEN.weight * rng.choice([1, 5]), load, hold


@pytest.mark.parametrize("seed", range(40))
def test_the_same_shape_as_the_referee(seed):
    """Clarabel on the same least energy, 1,000 random battens by 25 a seed; the few it cannot finish are not held."""
    rng = np.random.default_rng(seed)
    unfinished = 0
    for _ in range(25):
        case = random_case(rng)
        w, solved = referee(*case)
        unfinished += not solved
        if solved:
            assert settle(*case).height == pytest.approx(w, abs=2e-4 + 1e-6 * np.ptp(w))
    assert unfinished <= 3


def kkt(laid, x, z, hold):
    """Worst gap below nought, worst pull beyond what holds, worst product of the two; support by support."""
    on = np.isfinite(z)
    gap = laid.height[on] - z[on]
    spare = np.where(np.isinf(hold[on]), 0.0, laid.force[on] + hold[on])
    return gap.min(), spare.min(), np.abs(gap * spare).max()


@pytest.mark.parametrize("seed", range(10))
def test_gap_or_force_is_nought_at_every_beam(seed):
    """Contact conditions, checked on the answer itself; all forces and the weight balance."""
    rng = np.random.default_rng(1000 + seed)
    for _ in range(40):
        x, z, stiffness, weight, load, hold = random_case(rng)
        laid = settle(x, z, stiffness, weight, load, hold)
        gap, spare, product = kkt(laid, x, z, hold)
        assert gap > -1e-8 and spare > -1e-6 and product < 1e-6
        down, size = weight * np.ptp(x) + load.sum(), np.abs(laid.force).sum() + 1
        assert laid.force.sum() == pytest.approx(down, abs=1e-8 * size)
        turning = weight * np.ptp(x) * (x[0] + x[-1]) / 2 + load @ x
        assert laid.force @ x == pytest.approx(turning, abs=1e-8 * size * x[-1])


def test_exchanging_one_at_a_time_gives_the_same(monkeypatch):
    """The slow path that always ends is tried on its own."""
    cases = [random_case(np.random.default_rng(seed)) for seed in range(60)]
    quick = [settle(*case) for case in cases]
    monkeypatch.setattr(contact, "_all_at_once", lambda task: (None, 0))
    for case, before in zip(cases, quick, strict=True):
        assert settle(*case).height == pytest.approx(before.height, abs=1e-7)


@pytest.mark.parametrize("step", [20.0, 50.0, 3000.0])
def test_beams_close_and_far(step):
    """A floor of supports 20 or 50 mm apart stalls the quick exchange; 3 m apart the batten sags. Both are answered."""
    rng = np.random.default_rng(7)
    x = np.arange(200) * step
    z = np.cumsum(rng.normal(0, 0.02 * step, 200)) / 20
    laid = settle(x, z, BATTEN.stiffness, BATTEN.weight, 0.0, 0.0)
    gap, spare, product = kkt(laid, x, z, np.zeros(200))
    assert gap > -1e-7 and spare > -1e-4 and product < 1e-4


def test_two_thousand_beams_still_settle():
    rng = np.random.default_rng(3)
    x, z = np.cumsum(rng.uniform(300, 500, 2000)), rng.normal(0, 1, 2000)
    laid = settle(x, z, BATTEN.stiffness, BATTEN.weight)
    assert laid.sweeps < 30
    assert min(kkt(laid, x, z, np.zeros(2000))[:2]) > -1e-6


def test_the_energy_is_the_least_among_neighbours():
    """Second route to the least energy: any other pull at the beams that stays above them costs more."""
    x, z = np.arange(6) * 400.0, np.array([0.0, 4, -2, 3, 5, 0])
    laid = lay_batten(x, z, BATTEN)

    def energy(heights):
        shape = fasten_strip(x, heights, Strip(20, 20, 10000))
        bend = sum(quad(lambda s: 0.5 * BATTEN.stiffness * shape.height(s, 2) ** 2, a, a + 400)[0] for a in x[:-1])
        return bend + sum(quad(lambda s: BATTEN.weight * shape.height(s), a, a + 400)[0] for a in x[:-1])

    lain, rng = z + laid.gap, np.random.default_rng(0)
    for _ in range(20):
        other = np.maximum(lain + rng.normal(0, 0.3, 6), z)
        assert energy(other) > energy(lain)


def test_where_it_is_pressed():
    """Held at a beam it touches there and says with how much; a hand between beams is a load like any other."""
    x, z = np.arange(5) * 500.0, np.array([0.0, 0, -6, 0, 0])
    loose = lay_batten(x, z, BATTEN)
    held = lay_batten(x, z, BATTEN, pressed=[2])
    hand = lay_batten(x, z, BATTEN, presses=[(1000.0, held.pull[2])])
    assert not loose.touching[2] and held.touching[2] and held.pull[2] > 30
    assert hand.gap[2] == pytest.approx(0.0, abs=1e-6)
    between = lay_batten(x, z, BATTEN, presses=[(750.0, 20.0)])
    assert between.height(750.0) < loose.height(750.0) - 0.1
    assert between.push.sum() == pytest.approx(BATTEN.weight * 2000 + 20)


def test_an_end_that_hangs_over_droops_as_in_beam_tables():
    """A cantilever droops q a^4 / 8 EI below the slope of the beam that carries on (beam tables, Roark)."""
    a, span, q, ei = 600.0, 1000.0, BATTEN.weight, BATTEN.stiffness
    laid = lay_batten([0, span], [0, 0], BATTEN, start=-a, end=span + a)
    slope = (q * span**3 / 24 - q * a**2 / 2 * span / 2) / ei
    assert laid.height(span + a) == pytest.approx(slope * a - q * a**4 / (8 * ei), rel=1e-9)
    assert laid.height(-a) == pytest.approx(laid.height(span + a), abs=1e-9)
    assert laid.force == pytest.approx([q * (span / 2 + a)] * 2)


def test_reversed_beams_give_the_same_and_a_mirrored_deck_mirrors():
    rng = np.random.default_rng(5)
    x, z = np.cumsum(rng.uniform(300, 600, 9)), rng.normal(0, 3, 9)
    laid = lay_batten(x, z, BATTEN)
    backwards = lay_batten(x[::-1], z[::-1], BATTEN, names=[str(9 - i) for i in range(9)])
    assert backwards.gap == pytest.approx(laid.gap) and backwards.names == laid.names
    mirrored = lay_batten(-x, z, BATTEN)
    assert mirrored.force[::-1] == pytest.approx(laid.force, abs=1e-7)


def test_a_tilted_row_of_beams_changes_nothing():
    """Height and slope of the whole row are free: gaps and forces stay."""
    rng = np.random.default_rng(6)
    x, z = np.cumsum(rng.uniform(300, 600, 9)), rng.normal(0, 3, 9)
    laid, tilted = lay_batten(x, z, BATTEN), lay_batten(x, z + 900 + 0.03 * x, BATTEN)
    assert tilted.gap == pytest.approx(laid.gap, abs=1e-8) and tilted.force == pytest.approx(laid.force, abs=1e-6)


def test_the_shape_is_smooth_and_its_derivatives_are_its_own():
    laid = lay_batten(np.arange(6) * 400.0, [0, 3, -1, 2, 5, 0], BATTEN, presses=[(900.0, 15.0)])
    x = np.linspace(5, 1995, 400)
    step = 1e-3
    for order in (0, 1):
        slope = (laid.height(x + step, order) - laid.height(x - step, order)) / (2 * step)
        assert slope == pytest.approx(laid.height(x, order + 1), abs=1e-7)


def test_stress_is_that_of_the_curvature():
    """E t / 2R at the surface, the same as moment over section modulus."""
    laid = fasten_strip([0, 400, 800], [0, 3, 0], Strip(100, 20, 13400))
    assert laid.stress_mpa[1] == pytest.approx(abs(laid.height(400.0, 2)) * 13400 * 20 / 2)


def test_words_for_the_shed():
    plank = Strip(100, 22, 12000, name="plank")
    z = [0.0, 0, 0, -8, 0, 0, 0]
    drawn = fasten_strip(np.arange(7) * 400, z, plank, hold=900.0, names="ABCDEFG")
    assert drawn.words()[1] == "It stands 4 mm off beam D: the fastening there holds 900 N and cannot draw it down."
    held = fasten_strip(np.arange(7) * 400, z, plank, names="ABCDEFG")
    assert held.words()[:2] == ("The plank touches all 7 beams.", "The fastening must hold with 1904 N at beam D.")
    pressed = lay_batten([0, 400, 800], [0, -3, 0], BATTEN, pressed=[1])
    assert pressed.words()[1] == "It must be pressed with 37 N at beam 2."


@pytest.mark.parametrize(
    "call, message",
    [
        (lambda: lay_batten([0], [0], BATTEN), "1 places and 1 heights: a strip lies on two beams or more"),
        (lambda: lay_batten([0, 0], [0, 1], BATTEN), "beams 1 and 2: both stand at x = 0 mm"),
        (lambda: lay_batten([0, 400], [0, np.nan], BATTEN), "a blank or NaN: each beam needs a place and a height"),
        (lambda: lay_batten([0, 400], [0, 1], Strip(20, 20, 1e4)), "something must lay it down"),
        (lambda: lay_batten([0, 400], [0, 1], BATTEN, start=50), "from 50 to 400 mm: the beams stand from 0 to"),
        (lambda: lay_batten([0, 400], [0, 1], BATTEN, pressed=[2]), "pressed on beam number 2: there are 2 beams"),
        (lambda: lay_batten([0, 400], [0, 1], BATTEN, presses=[(900, 5)]), "a hand presses the strip itself"),
        (lambda: lay_batten([0, 400], [0, 1], BATTEN, end=900, presses=[(900, 50)]), "it would tip off its supports"),
        (lambda: fasten_strip([0, 400], [0, 1], BATTEN, hold=-1), "what a fastening holds is nought or more"),
        (lambda: fasten_strip([0, 400], [0, 1], BATTEN).height(500.0), "the strip lies from 0 to 400 mm"),
        (lambda: Strip(0, 20, 1e4), "breadth 0: a strip has a section and a modulus above nought"),
        (lambda: Strip(20, 20, 1e4, -5), "density -5: a density is nought or more"),
        (lambda: print_through([0, 400], [0, 1], parts=0), "0 parts: a bay is looked at in one part or more"),
        (lambda: fasten_strip([0, 400], [0, 1], BATTEN).height(5.0, 3), "order 3: a derivative of order 0, 1 or 2"),
    ],
)
def test_what_is_refused(call, message):
    with pytest.raises(FairingError) as told:
        call()
    assert message in str(told.value)


def test_a_long_end_over_the_side_lifts_the_middle_and_a_longer_one_tips():
    """The weight beyond the last beam bends the batten up off the middle one; past the balance it falls off."""
    laid = lay_batten([0, 400, 800], [0, 0, 0], BATTEN, end=1500)
    assert laid.touching.tolist() == [True, False, True] and laid.gap[1] > 0.05
    assert laid.force[0] == pytest.approx(BATTEN.weight * 1500 * (800 - 750) / 800)
    with pytest.raises(FairingError, match="it would tip off its supports"):
        lay_batten([0, 400, 800], [0, 0, 0], BATTEN, end=1700)


def test_a_batten_turns_about_one_beam_until_it_meets_the_next():
    """Pressed hard beside a high beam, all but two contacts let go one after the other."""
    laid = settle(np.arange(4) * 400.0, np.array([0.0, 60.0, 0.0, 0.0]), 1e11, 1e-3, np.array([0, 0, 30.0, 0]))
    assert laid.touching.tolist() == [False, True, False, True]


def test_two_hands_at_one_place_press_as_one_with_both_their_strengths():
    x, z = np.array([0.0, 500, 1100, 1600]), np.array([0.0, -3, -4, 0])
    strip = Strip(40, 10, 9000, 500)
    one = lay_batten(x, z, strip, pressed=(0, 3), presses=[(700, 50)])
    two = lay_batten(x, z, strip, pressed=(0, 3), presses=[(700, 20), (700, 30)])
    assert two.height(700.0) == pytest.approx(float(one.height(700.0)), abs=1e-9)
    assert two.force == pytest.approx(one.force, abs=1e-6)
