"""Sheets on decks that bend both ways, by finite elements (scikit-fem): flat shape, strain, buckling; their order."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.sparse.linalg import eigsh
from skfem import (
    Basis,
    BilinearForm,
    ElementLineHermite,
    ElementTriP2,
    ElementVector,
    Functional,
    LinearForm,
    MeshLine,
    MeshTri,
    condense,
    solve,
)
from skfem.helpers import dd

from deckgeom.laying.lie_down import Panel, panel_strain
from deckgeom.laying.lie_down_strain import pucker_strain
from deckgeom.laying.true_shape import true_shape
from tests.laying import surfaces
from tests.laying.test_true_shape import uneven_deck

# ------------------------------------------------------------ the flat shape with the least strain


def metric(surface, x, y):
    """First fundamental form in plan, its inverse, and the true area of a unit of plan."""
    _, p, q = surface.partials(x, y, 1, "deck")[:3] if hasattr(surface, "rule") else surface.partials(x, y)[:3]
    g = np.array([[1 + p * p, p * q], [p * q, 1 + q * q]])
    whole = 1 + p * p + q * q
    return g, np.array([[g[1, 1], -g[0, 1]], [-g[0, 1], g[0, 0]]]) / whole, np.sqrt(whole)


def laid_flat(surface, x_range, y_range, squares, amid=np.inf, rounds=12):
    """
    Least strain by quadratic elements on the surface's own metric: its rms up to `amid` of x 0; corners, their places.

    Energy: Green's strain e = (F'F - g)/2 from the surface to the flat, its square taken with the metric; Gauss and
    Newton's steps. No triangle of the deck and no length between its nodes goes in.
    """
    mesh = MeshTri.init_tensor(np.linspace(*x_range, 2 * squares + 1), np.linspace(*y_range, squares + 1))
    basis = Basis(mesh, ElementVector(ElementTriP2()), intorder=6)
    where = basis.doflocs
    u = np.zeros(basis.N)
    start = basis.project(lambda at: np.zeros_like(at))
    u[:] = start
    corner = np.argmin(np.hypot(where[0] - x_range[0], where[1] - y_range[0]))
    pair = sorted(np.flatnonzero(np.hypot(*(where - where[:, [corner]])) < 1e-9))
    far = np.flatnonzero(np.hypot(where[0] - x_range[1], where[1] - y_range[0]) < 1e-9)
    fixed = np.array([*pair, max(far)])  # one place held, and one way of another: no drift, no turning

    def bent(w):
        g, inverse, area = metric(surface, w.x[0], w.x[1])
        move = np.eye(2)[:, :, None, None] + w["now"].grad
        return move, (np.einsum("kiab,kjab->ijab", move, move) - g) / 2, inverse, area

    def rate(move, v):
        half = np.einsum("kiab,kjab->ijab", move, v.grad) / 2
        return half + half.swapaxes(0, 1)

    def product(inverse, a, b):
        return np.einsum("ijab,jkab,klab,liab->ab", inverse, a, inverse, b)

    @BilinearForm
    def stiff(v, t, w):
        move, _, inverse, area = bent(w)
        return area * product(inverse, rate(move, v), rate(move, t))

    @LinearForm
    def pull(t, w):
        move, strain, inverse, area = bent(w)
        return area * product(inverse, strain, rate(move, t))

    @Functional
    def square(w):
        _, strain, inverse, area = bent(w)
        return (np.abs(w.x[0]) < amid) * area * product(inverse, strain, strain)

    for _ in range(rounds):
        now = basis.interpolate(u)
        step = solve(*condense(stiff.assemble(basis, now=now), -pull.assemble(basis, now=now), D=fixed))
        u = u + step
        if np.abs(step).max() < 1e-7:
            break
    else:
        raise AssertionError("the elements do not settle")
    now = basis.interpolate(u)
    area = Functional(lambda w: (np.abs(w.x[0]) < amid) * metric(surface, w.x[0], w.x[1])[2]).assemble(basis)
    return np.sqrt(square.assemble(basis, now=now) / area), mesh.p, mesh.p + u[basis.nodal_dofs]


def apart(points):
    return np.linalg.norm(points[:, None] - points[None], axis=-1)


CASES = [
    (surfaces.sphere(9000.0), (-1100.0, 700.0), (-350.0, 600.0)),
    (surfaces.saddle(14_000.0, 9000.0), (-900.0, 1300.0), (-600.0, 450.0)),
    (uneven_deck(twist=30.0), (1300.0, 3900.0), (-850.0, 420.0)),
]


@pytest.mark.parametrize(("surface", "x", "y"), CASES, ids=["dome off its middle", "saddle", "uneven deck"])
def test_true_shape_tends_to_that_of_quadratic_elements_with_the_square_of_its_triangles(surface, x, y):
    more = {"which": "deck"} if hasattr(surface, "rule") else {}
    panel = Panel.rectangle("1", x, y, lift=0.0, **more)
    rms, corners, placed = laid_flat(surface, x, y, squares=10)
    assert laid_flat(surface, x, y, squares=7)[0] == pytest.approx(rms, rel=5e-3), "the elements have settled"
    some = np.arange(0, corners.shape[1], 11)
    wanted = apart(placed[:, some].T)
    ours, off_place, sizes = [], [], (240, 120, 60)
    for size in sizes:
        found = true_shape(surface, panel, size=size)
        ours.append(found.rms_strain)
        off_place.append(np.abs(apart(found.place(*corners[:, some])) - wanted).max())
    off = np.abs(np.array(ours) / rms - 1)
    assert 1.6 < np.log(off[0] / off[-1]) / np.log(sizes[0] / sizes[-1]) < 2.4
    assert off[-1] < 0.04 and off_place[-1] < 0.1
    assert ours[2] + (ours[2] - ours[1]) / 3 == pytest.approx(rms, rel=0.01), "and both come to the same strain"
    assert off_place[-1] < off_place[0] / 4


@pytest.mark.parametrize("surface", [surfaces.sphere(12_000.0), surfaces.saddle(30_000.0, 9000.0)])
def test_strain_across_a_long_strip_is_that_of_the_elements(surface):
    """The formula for strips, from compatibility alone, against the energy of a long narrow sheet by elements."""
    x, y = (-2600.0, 2600.0), (-300.0, 300.0)
    strips = panel_strain(surface, Panel.rectangle("1", x, y, lift=0.0))
    rms = laid_flat(surface, x, y, squares=16, amid=975.0)[0]
    # K W^2/24 (1 - 12 s^2 / W^2) has the root mean square (K W^2/12) / sqrt 5, and its range is K W^2/8
    assert rms == pytest.approx(strips.range / 1.5 / np.sqrt(5), rel=0.01)


# ------------------------------------------------------------ springing up between fastenings


def test_pucker_is_the_least_load_that_bows_a_strip_between_two_fastenings():
    """Eigenvalue of Hermite elements, pinned ends: strain at which a strip bows; falls in with the fourth power."""
    thickness, apart_ = 9.0, 310.0
    wanted, errors, counts = pucker_strain(thickness, apart_), [], (2, 4, 8)
    for count in counts:
        basis = Basis(MeshLine(np.linspace(0, apart_ / 100, count + 1)), ElementLineHermite())
        bent = BilinearForm(lambda u, v, w: dd(u)[0, 0] * dd(v)[0, 0]).assemble(basis)
        pushed = BilinearForm(lambda u, v, w: u.grad[0] * v.grad[0]).assemble(basis)
        ends = basis.nodal_dofs[0, [0, -1]]
        inner = np.setdiff1d(np.arange(basis.N), ends)
        least = eigsh(bent[inner][:, inner], k=1, M=pushed[inner][:, inner], sigma=0.0)[0][0]
        strain = thickness**2 / 12 * least / 100**2
        errors.append(strain / wanted - 1)
    assert min(errors) > 0 and errors[-1] < 1e-4
    order = np.log(errors[0] / errors[-1]) / np.log(counts[-1] / counts[0])
    assert 3.7 < order < 4.3
