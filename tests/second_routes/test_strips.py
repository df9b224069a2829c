"""Planks and battens over uneven beams by finite elements (scikit-fem, Hermite cubics), with the order that is seen."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.integrate import quad
from scipy.optimize import brentq
from skfem import Basis, BilinearForm, ElementLineHermite, LinearForm, MeshLine, condense, solve
from skfem.helpers import dd

from deckgeom.deck.bending import spring_back_factor
from deckgeom.fairing.batten import Strip, fasten_strip, lay_batten

BEAMS = np.array([0.0, 310, 730, 1040, 1600, 1890, 2400, 2730, 3300])
PLANK = Strip(95, 19, 11500, 540)


def test_stiffness_and_weight_of_a_section_cut_into_slices():
    """EI and weight added up over the section by scipy's quad: E times the square of the distance from its middle."""
    wide, deep, modulus, density = 63.0, 17.5, 9800.0, 610.0
    strip = Strip(wide, deep, modulus, density)
    bend = quad(lambda v: modulus * wide * v * v, -deep / 2, deep / 2)[0]
    heavy = quad(lambda v: density * 9.80665 * wide / 1000, 0, deep / 1000)[0]
    assert strip.stiffness == pytest.approx(bend, rel=1e-12)
    assert 1000 * strip.weight == pytest.approx(heavy, rel=1e-12)


def elements(strip: Strip, x, parts: int):
    """Basis, stiffness, load and the numbers of the heights at the beams; lengths in m, forces in N."""
    knots = np.concatenate([np.linspace(a, b, parts, endpoint=False) for a, b in zip(x[:-1], x[1:], strict=True)])
    basis = Basis(MeshLine(np.append(knots, x[-1]) / 1000), ElementLineHermite())
    bent = BilinearForm(lambda u, v, w: dd(u)[0, 0] * dd(v)[0, 0]).assemble(basis)
    load = LinearForm(lambda v, w: -1.0 * v).assemble(basis)
    at = [basis.nodal_dofs[0, np.argmin(np.abs(basis.mesh.p[0] - place / 1000))] for place in x]
    return basis, strip.stiffness * 1e-6 * bent, 1000 * strip.weight * load, np.array(at)


def held(strip, x, z, parts=1):
    """Heights of the elements' nodes with the strip held at every beam, and the forces of the beams upwards."""
    basis, stiff, load, at = elements(strip, x, parts)
    start = np.zeros(basis.N)
    start[at] = np.asarray(z) / 1000
    found = solve(*condense(stiff, load, x=start, D=at))
    return basis, found, (stiff @ found - load)[at]


def heights(basis, found, x):
    """The elements' own curve. [mm]"""
    return 1000 * (basis.probes(np.atleast_2d(np.asarray(x, float) / 1000)) @ found)


def uneven_tops(seed=0):
    return np.random.default_rng(seed).normal(0, 3, BEAMS.size)


@pytest.mark.parametrize("seed", [0, 1, 2])
def test_a_fastened_plank_has_the_forces_and_the_shape_of_the_elements(seed):
    """Cubic elements are exact for a strip without weight: forces, and heights between the beams."""
    strip, z = Strip(95, 19, 11500), uneven_tops(seed)
    laid = fasten_strip(BEAMS, z, strip)
    basis, found, force = held(Strip(95, 19, 11500), BEAMS, z)
    assert laid.force == pytest.approx(force, rel=1e-6, abs=1e-4)
    inside = np.linspace(1, BEAMS[-1] - 1, 97)
    assert laid.height(inside) == pytest.approx(heights(basis, found, inside), abs=1e-7)


def test_a_heavy_strip_between_beams_settles_with_the_fourth_power_of_the_elements():
    """Under its own weight a strip is of the fourth degree; heights from cubic elements miss it by their h^4."""
    z = uneven_tops(3)
    laid = fasten_strip(BEAMS, z, PLANK)
    inside = np.linspace(1, BEAMS[-1] - 1, 1201)
    heavy = Strip(95, 19, 11500, 540_000)  # a thousand times its weight, for the error to stand out of the rounding
    exact = fasten_strip(BEAMS, z, heavy).height(inside)
    miss, parts = [], (1, 2, 4)
    for n in parts:
        basis, found, force = held(heavy, BEAMS, z, n)
        miss.append(np.abs(heights(basis, found, inside) - exact).max())
    order = np.log(miss[0] / miss[-1]) / np.log(parts[-1] / parts[0])
    assert 3.7 < order < 4.3
    assert held(PLANK, BEAMS, z, 4)[2] == pytest.approx(laid.force, rel=1e-7, abs=1e-6)


def released(strip, x, z, hold=0.0, parts=4, rounds=60):
    """Contact by elements: beams that pull harder than they hold let go, beams that are passed through are taken up."""
    basis, stiff, load, at = elements(strip, x, parts)
    on = np.ones(len(x), bool)
    for _ in range(rounds):
        start = np.zeros(basis.N)
        start[at] = z / 1000
        weight = load.copy()
        weight[at[~on]] -= hold
        found = solve(*condense(stiff, weight, x=start, D=at[on]))
        force = (stiff @ found - load)[at]
        gap = 1000 * found[at] - z
        new = np.where(on, force > -hold - 1e-9, gap < -1e-9)
        if np.array_equal(new, on):
            return basis, found, np.where(on, force, -hold), on
        # one change at a time, the worst first, so that it cannot go round in a ring
        doubt = np.where(new != on, np.where(on, -force - hold, -gap), -np.inf)
        on = on.copy()
        on[np.argmax(doubt)] ^= True
    raise AssertionError("the elements found no rest")


@pytest.mark.parametrize("seed", range(6))
def test_a_loose_batten_lies_on_the_beams_that_the_elements_lie_on(seed):
    z = np.random.default_rng(seed).normal(0, 2.5, BEAMS.size)
    batten = Strip(20, 18, 11000, 550)
    laid = lay_batten(BEAMS, z, batten)
    basis, found, force, on = released(batten, BEAMS, z)
    assert laid.touching.tolist() == on.tolist()
    assert laid.force == pytest.approx(force, abs=1e-5)
    inside = np.linspace(1, BEAMS[-1] - 1, 61)
    assert laid.height(inside) == pytest.approx(heights(basis, found, inside), abs=1e-3)
    assert not on.all(), "a batten that touches every beam tries nothing"


@pytest.mark.parametrize("seed", range(4))
def test_fastenings_that_give_way_at_their_load(seed):
    z = np.random.default_rng(20 + seed).normal(0, 4, BEAMS.size)
    laid = fasten_strip(BEAMS, z, PLANK, hold=300.0)
    _, _, force, on = released(PLANK, BEAMS, z, hold=300.0)
    assert laid.force == pytest.approx(force, abs=1e-3)
    assert laid.touching.tolist() == on.tolist() and not on.all()


# ------------------------------------------------------------ layers glued round a form


@pytest.mark.parametrize("layers", [2, 3, 5, 8])
def test_spring_back_by_the_stress_through_the_section(layers):
    """
    Saw-toothed stress of loose layers bent round the form, set free as one piece: no moment is left.

    scipy's quad over each layer of E (distance from the layer's own middle) k0 less E (distance from the whole's) dk.
    """
    t, bent = 7.5, 1 / 4200
    edges = (np.arange(layers + 1) - layers / 2) * t

    def moment(loss):
        whole = 0.0
        for low, high in zip(edges[:-1], edges[1:], strict=True):
            middle = (low + high) / 2
            whole += quad(lambda v, m=middle: ((v - m) * bent - v * loss) * v, low, high)[0]
        return whole

    loss = brentq(moment, 0, bent, xtol=1e-18)
    assert spring_back_factor(layers) == pytest.approx(bent / (bent - loss), rel=1e-9)
