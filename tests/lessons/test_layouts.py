"""
The layouts drawn step by step find the points of the curves that they are said to lead to.

Sources: Euclid, *Elements*, books III.21 and III.35; equal division as in Emary, *A Comprehensive Practical Geometry
for Builders*. The quarter-circle construction is common practice, no source. An even batten over three supports is the
natural cubic spline of Holladay 1957. What is derived is derived here by a second route.
"""

from __future__ import annotations

import re

import numpy as np
import pytest
import sympy as sp
from scipy.interpolate import CubicSpline
from scipy.optimize import minimize_scalar

from deckgeom.deck.layout import straight_edges_angle_deg
from deckgeom.lessons.layouts import LAYOUTS, Stroke, layout_curve, layout_gaps, layout_steps

HALF, CAMBER = 1200.0, 75.0  # camber over whole beam is 1/32
ROUND = pytest.mark.parametrize("name", LAYOUTS)


def of_camber(name: str, divisions: int = 4, half: float = HALF, camber: float = CAMBER) -> np.ndarray:
    return layout_steps(name, half, camber, divisions).points_z / camber


@ROUND
@pytest.mark.parametrize("divisions", [2, 3, 4, 7, 12])
@pytest.mark.parametrize(("half", "camber"), [(1200.0, 75.0), (342.9, 76.2), (2500.0, 3.0), (700.0, 350.0)])
def test_the_points_that_the_drawing_finds_lie_on_the_curve(name, divisions, half, camber):
    layout = layout_steps(name, half, camber, divisions)
    on_curve = layout_curve(name, half, camber, layout.points_y)
    assert layout.points_z == pytest.approx(on_curve, abs=1e-9 * half)
    assert len(layout.points_y) == divisions + 1
    assert layout.rise[0] == pytest.approx(camber) and layout.rise[-1] == pytest.approx(0, abs=1e-9)
    assert np.all(np.diff(layout.points_y) > 0) and np.all(np.diff(layout.points_z) < 0)


def test_a3_a4_ordinates_of_a_circle_at_the_quarters():
    # camber over beam 1/32 and 1/9: derived from Euclid III.35; half of the last digit
    assert of_camber("ordinates")[1:4] == pytest.approx([0.93773, 0.75073, 0.43846], abs=5.1e-6)
    assert of_camber("ordinates", camber=2 * HALF / 9)[1:4] == pytest.approx([0.94027, 0.75903, 0.44972], abs=5.1e-6)


def test_a5_equal_divisions_at_the_quarters():
    assert of_camber("equal divisions")[1:4].tolist() == [15 / 16, 3 / 4, 7 / 16]


def test_a6_quarter_circle_at_the_quarters_and_a7_the_same_done_wrong():
    layout = layout_steps("quarter-circle", HALF, CAMBER, 4)
    assert layout.points_z[1:4] / CAMBER == pytest.approx([0.93336, 0.73681, 0.42033], abs=5.1e-6)
    # the joins as drawn: their lengths are the heights; how high they reach is A7, a cosine
    joins = [one for one in layout.steps[3].strokes if one.kind == "line"]
    lengths = [float(np.hypot(np.diff(one.y), np.diff(one.z))[0]) for one in joins]
    assert lengths == pytest.approx(layout.points_z[:4], abs=1e-9)
    assert joins[2].z[1] / CAMBER == pytest.approx(0.70711, abs=5e-6)


def test_a10_the_sticks_keep_their_angle_and_touch_both_nails():
    # 172.8473 degrees for 96 in and 3 in: inscribed angle, Euclid III.21
    half, camber = 48 * 25.4, 3 * 25.4
    layout = layout_steps("three nails and two sticks", half, camber, 6)
    assert "172.8 degrees" in layout.steps[1].words
    for step in layout.steps[1:4]:
        pair = [one for one in step.strokes if one.role == "tool" and one.kind == "line"]
        ways = [np.array([one.y[1] - one.y[0], one.z[1] - one.z[0]]) for one in pair]
        cosine = ways[0] @ ways[1] / np.prod([np.linalg.norm(way) for way in ways])
        assert np.degrees(np.arccos(cosine)) == pytest.approx(172.8473, abs=5e-5)
        assert np.degrees(np.arccos(cosine)) == pytest.approx(straight_edges_angle_deg(half, camber), abs=1e-9)
        for way, one, nail in zip(ways, pair, (-half, half), strict=True):
            to_nail = np.array([nail - one.y[0], -one.z[0]])
            assert abs(way[0] * to_nail[1] - way[1] * to_nail[0]) / np.linalg.norm(way) < 1e-8, "misses its nail"
            assert np.linalg.norm(to_nail) < np.linalg.norm(way), "too short for its nail"


def test_the_pencil_between_the_sticks_stays_on_the_circle_through_the_nails():
    circle = sp.Circle(sp.Point(-1200, 0), sp.Point(1200, 0), sp.Point(0, 75))
    layout = layout_steps("three nails and two sticks", HALF, CAMBER, 5)
    centre = float(circle.center.y)
    far = np.hypot(layout.points_y, layout.points_z - centre)
    assert far == pytest.approx(np.full(6, float(circle.radius)), abs=1e-6)


def test_a_batten_sprung_over_three_supports_is_the_natural_spline():
    y = np.linspace(-HALF, HALF, 97)
    spline = CubicSpline([-HALF, 0, HALF], [0, CAMBER, 0], bc_type="natural")
    assert layout_curve("sprung batten", HALF, CAMBER, y) == pytest.approx(spline(y), abs=1e-9)
    # half way out the bent bar stands at 11/16 of its middle: 3 v / 2 - v^3 / 2 at v = 1/2
    assert of_camber("sprung batten", 2)[1] == pytest.approx(11 / 16, abs=1e-12)


def test_a8_circle_less_parabola():
    gaps = layout_gaps(HALF, CAMBER, 4001)
    gap, place = gaps.between("ordinates", "equal divisions")
    # the value given is the leading term, c (c/B)^2; the next is a thousandth of it
    assert gap / CAMBER == pytest.approx(9.766e-4, abs=1e-6)
    assert place / HALF == pytest.approx(0.71, abs=0.005)


def test_a9_quarter_circle_less_parabola():
    gap, place = layout_gaps(HALF, CAMBER, 4001).between("quarter-circle", "equal divisions")
    assert gap / CAMBER == pytest.approx(-0.01747, abs=6e-6)
    assert place / HALF == pytest.approx(0.7048, abs=2e-4)

    def off(u):
        return np.sqrt(1 - 2 * u * np.sin(np.pi * u / 2) + u * u) - (1 - u * u)

    found = minimize_scalar(off, bounds=(0.5, 0.9), method="bounded", options={"xatol": 1e-10})
    assert gap / CAMBER == pytest.approx(found.fun, abs=1e-7)


def test_sprung_batten_less_parabola():
    # by hand: (3v - v^3)/2 - (2v - v^2) with v = 1 - u is least where 3v^2 - 4v + 1 = 0, at v = 1/3: -2/27
    gap, place = layout_gaps(HALF, CAMBER, 3001).between("sprung batten", "equal divisions")
    assert gap / CAMBER == pytest.approx(-2 / 27, abs=1e-6)
    assert place / HALF == pytest.approx(2 / 3, abs=4e-4)


def test_two_layouts_of_one_circle_do_not_differ_and_order_only_turns_the_sign():
    gaps = layout_gaps(1500, 94)
    assert gaps.between("ordinates", "three nails and two sticks")[0] == 0
    there, back = gaps.between("ordinates", "sprung batten"), gaps.between("sprung batten", "ordinates")
    assert there[0] > 0 and back == (-there[0], there[1])


@ROUND
def test_all_methods_become_one_as_the_beam_is_flattened_but_for_their_shares_of_the_camber(name):
    """A twentieth of the camber leaves a twentieth of each gap, or less."""
    high, low = (layout_gaps(HALF, c).between(name, "equal divisions")[0] for c in (CAMBER, CAMBER / 20))
    assert abs(low) <= abs(high) / 20 + 1e-12


@ROUND
def test_each_step_says_what_to_do_and_draws_something(name):
    layout = layout_steps(name, HALF, CAMBER, 4)
    for k, step in enumerate(layout.steps, 1):
        before, new = layout.drawn(k)
        assert step.words.endswith(".") and len(new) >= 1
        assert len(before) == sum(len(one.strokes) for one in layout.steps[: k - 1])
        assert not re.search(r"\b(simply|just|obviously|easily|merely)\b", step.words)
    assert any(stroke.role == "result" for stroke in layout.steps[-1].strokes + layout.steps[-2].strokes)


@ROUND
def test_words_speak_in_the_units_of_the_class(name):
    metric = layout_steps(name, HALF, CAMBER).steps[0].words
    inches = layout_steps(name, 48 * 25.4, 3 * 25.4, units="in").steps[0].words
    assert "75 mm" in metric and "3 in" in inches and "mm" not in inches


def test_nothing_can_be_written_into_a_layout():
    layout = layout_steps("ordinates", HALF, CAMBER)
    for array in (layout.y, layout.rise, layout.points_y, layout.steps[0].strokes[0].y, layout_gaps(900, 30).rise):
        with pytest.raises(ValueError, match="read-only"):
            array[0] = 1


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: layout_steps("by eye", HALF, CAMBER), "'by eye' is no layout: they are quarter-circle"),
        (lambda: layout_curve("by eye", HALF, CAMBER, 0), "'by eye' is no layout: they are quarter-circle"),
        (lambda: layout_steps("ordinates", HALF, CAMBER, 1), "1 divisions: take a whole number from 2 to 12"),
        (lambda: layout_steps("ordinates", HALF, CAMBER, 2.5), "2.5 divisions: take a whole number"),
        (lambda: layout_steps("ordinates", 75, 1200), "camber 1200 mm on a half-breadth of 75 mm.*exchanged"),
        (lambda: layout_steps("ordinates", HALF, CAMBER).drawn(9), "step 9: 'ordinates' has steps 1 to 4"),
        (lambda: Stroke("circle", (0,), (0,), "base"), "'circle' is not one of line, arc"),
        (lambda: Stroke("line", (0, 1), (0,), "base"), "y has 2 places and z has 1"),
    ],
)
def test_what_cannot_be_is_refused_with_the_value_and_the_rule(call, words):
    with pytest.raises(ValueError, match=words):
        call()
