"""The table compares like with like, and its sums are right; no times are judged here."""

from __future__ import annotations

import numpy as np
import pytest

from deckgeom.laying.true_shape_flat import flatten
from tests.benchmarks import __main__ as table
from tests.benchmarks import cases, instead
from tests.benchmarks.measure import Times, clock, exponent, race


def test_median_and_quarters_are_those_of_the_runs():
    assert Times((0.004, 0.001, 0.003, 0.002, 0.010)).words() == "3 ms (2 ms to 4 ms)"
    assert Times((6.76,)).words() == "6.76 s (one run)"
    assert [clock(t) for t in (0.0123456, 0.9994, 0.9996, 12.345)] == ["12.3 ms", "999 ms", "1 s", "12.3 s"]


def test_growth_is_the_power_of_the_size():
    sizes = np.array([1, 2, 4])
    assert exponent(sizes, 3e-3 * sizes**1.7) == pytest.approx(1.7)


def test_routes_take_turns():
    order = []
    times = race({name: (lambda name=name: order.append(name)) for name in "ab"}, least=0.0, fewest=3)
    assert order == ["a", "b"] * 4
    assert [len(each.runs) for each in times.values()] == [3, 3]


def test_the_loop_makes_the_same_beams():
    # the rival's spline goes through the offsets, ours within 1/8 in of them: that and no more is between the two
    boat = cases.proportional_boat(24)
    beams = cases.do_job(boat).beams
    ours = {(row[0], round(float(row[1]), 6)): row for row in _tops(beams)}
    rows, edges = cases.main_job_instead(1)()
    theirs = {(name, round(y, 6)): (fore, bevel) for name, y, fore, _, bevel in rows}
    both = ours.keys() & theirs.keys()
    assert len(both) > 150
    off = np.array([ours[key][2] - theirs[key][0] for key in both])
    bevels = np.array([ours[key][3] - theirs[key][1] for key in both])
    assert np.sqrt(np.mean(off**2)) < 4 and np.sqrt(np.mean(bevels**2)) < 0.5
    assert all(np.all(np.isfinite(edge)) for edge in edges)


def _tops(beams):
    for beam in beams:
        o = beam.ordinates
        for y, height, bevel in zip(o.y, o.height[:, 0], o.bevel_deg, strict=True):
            yield beam.name, y, float(height), float(bevel)


def test_the_spline_is_the_same_surface():
    x, y = (part[:2000] for part in cases.places(1))
    along, across = np.linspace(-3100, 3100, 125), np.linspace(-520, 520, 41)
    heights = cases.dome().height(along[:, None], across[None, :], "beam")
    found = instead.surface_spline(along, across, heights, x, y)
    for ours, theirs in zip(cases.dome().partials(x, y, 2, "beam"), found, strict=True):
        assert np.abs(ours - theirs).max() < 2e-3 * max(np.abs(ours).max(), 1e-6)


def test_the_minimiser_finds_the_same_flat_shape():
    mesh = cases.mesh(1)
    start = np.column_stack([mesh.x, mesh.y])
    ours, strain, area = flatten(mesh.triangles, mesh.sides, start, (0, len(mesh.x) - 1))
    theirs = cases.flat_instead(1)()
    assert np.hypot(*(ours[-1] - ours[0])) == pytest.approx(np.hypot(*(theirs[-1] - theirs[0])), abs=0.05)
    assert 500 < len(mesh.triangles) < 800


def test_a_row_has_a_cell_for_every_column(monkeypatch):
    case = cases.Case("a job", "1 s", lambda k: lambda: None, "another", lambda k: lambda: None, (1, 2, 4))
    cells = table.measured(case)
    assert len(cells) == len(table.HEAD)
    assert cells[0] == "a job" and cells[-1].startswith("n^")
