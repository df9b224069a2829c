"""The deck edge: both sides apart, lengths by other routes, distances of every offset, and what cannot be faired."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays
from scipy.integrate import quad

from deckgeom.hull.fair_curve import FairCurve
from deckgeom.hull.offsets import OffsetTable
from deckgeom.hull.sheer import Sheer, _lowest

X = np.array([0.0, 400, 1100, 1800, 2700, 3600, 4600, 5400, 6200])
HALF_BREADTH = np.array([0.0, 330, 690, 890, 1010, 1020, 960, 860, 720])
HEIGHT = np.array([980.0, 921, 836, 775, 726, 704, 707, 727, 762])
AT = np.linspace(0, 6200, 63)


def table(**changes) -> OffsetTable:
    columns = {
        "x": X,
        "height_port": HEIGHT,
        "height_starboard": HEIGHT - 6,
        "half_breadth_port": HALF_BREADTH,
        "half_breadth_starboard": HALF_BREADTH + 4 * np.sign(HALF_BREADTH),
    } | changes
    return OffsetTable.from_rows({name: values for name, values in columns.items() if values is not None})


def test_each_side_is_its_own_fair_curve():
    sheer = Sheer.from_offsets(table(), accuracy=2.0)
    port = FairCurve(X, HALF_BREADTH, 2.0, least=0.0)
    starboard = FairCurve(X, HEIGHT - 6, 2.0)
    for order in range(4):
        assert sheer.half_breadth("port", AT, order) == pytest.approx(port(AT, order), abs=0)
        assert sheer.height("starboard", AT, order) == pytest.approx(starboard(AT, order), abs=0)
    assert (sheer.start, sheer.end) == (0, 6200)


def test_distance_of_every_offset_is_told():
    """Those set aside too; within the accuracy for all the others."""
    wrong = np.where(X == 2700, 1010 + 40.0, HALF_BREADTH)
    stations = [str(k) for k in range(9)]
    columns = {"x": X, "height": HEIGHT, "half_breadth": wrong}
    sheer = Sheer.from_offsets(OffsetTable.from_rows(columns, stations), 2.0, set_aside=[("half_breadth", "4")])
    rows = sheer.distances()
    assert [(row.column, row.station) for row in rows] == [(c, s) for c in ("height", "half_breadth") for s in stations]
    aside = [row for row in rows if row.set_aside]
    assert [(row.column, row.station) for row in aside] == [("half_breadth", "4")]
    assert aside[0].distance == pytest.approx(-40, abs=5)
    assert all(abs(row.distance) <= 2 + 1e-9 for row in rows if not row.set_aside)
    assert all(row.distance == pytest.approx(row.curve - row.value) for row in rows)


def test_nothing_is_set_aside_unasked():
    wrong = np.where(X == 2700, 1010 + 40.0, HALF_BREADTH)
    sheer = Sheer.from_offsets(table(half_breadth_port=wrong))
    assert float(sheer.half_breadth("port", 2700)) == pytest.approx(1050)


def test_true_length_by_another_route():
    sheer = Sheer.from_offsets(table(), accuracy=1.0)

    def speed(x):
        return np.sqrt(1 + sheer.half_breadth("port", x, 1) ** 2 + sheer.height("port", x, 1) ** 2)

    length, _ = quad(speed, 0, 6200, points=X[1:-1], epsabs=1e-9, limit=200)
    assert sheer.true_length("port") == pytest.approx(length, rel=1e-10)
    chords = np.array([AT, sheer.half_breadth("port", AT), sheer.height("port", AT)])
    assert sheer.true_length("port") == pytest.approx(np.linalg.norm(np.diff(chords), axis=0).sum(), rel=1e-4)


def test_parts_of_the_edge_add_up():
    sheer = Sheer.from_offsets(table())
    for measure in (sheer.true_length, sheer.plan_length):
        assert measure("port", 0, 2500) + measure("port", 2500) == pytest.approx(measure("port"), rel=1e-11)
    assert 6200 < sheer.plan_length("port") < sheer.true_length("port")


def test_length_of_a_parabola_in_closed_form():
    """Arc of b = 1 m (1 - xi^2) on 6 m by the textbook integral: half of s sqrt(1+s^2) + asinh s over the slope."""
    slope = 2 * 1000 / 3000

    def half_breadth(x, order=0):
        return [1000 * (1 - (x / 3000) ** 2), -2000 * x / 3000**2][order]

    sheer = Sheer.from_curves(half_breadth, lambda x, order=0: 0.0 * np.asarray(x), start=-3000, end=3000)
    closed = 3000 / slope * (slope * np.hypot(1, slope) + np.arcsinh(slope))
    assert sheer.plan_length("starboard") == pytest.approx(closed, rel=1e-12)
    assert sheer.true_length("starboard") == pytest.approx(closed, rel=1e-12)


def test_length_round_a_sharp_corner():
    """An edge that turns within a hand's breadth, given as a curve without knots; second route: scipy's quad."""

    def half_breadth(x, order=0):
        bend = np.tanh((np.asarray(x) - 2000) / 40)
        return [400 * bend, 10 * (1 - bend**2)][order]

    sheer = Sheer.from_curves(half_breadth, lambda x, order=0: 0.0 * np.asarray(x), start=0, end=7000)
    length, _ = quad(lambda x: np.hypot(1, half_breadth(x, 1)), 0, 7000, points=[1900, 2000, 2100], limit=500)
    assert sheer.true_length("port") == pytest.approx(length, rel=1e-9)


def test_faired_and_given_curves_measure_the_same():
    """Offsets of a parabola, faired through, have the parabola's own length."""
    x = np.array([-3000.0, -2000, -700, 100, 900, 2400, 3000])
    faired = Sheer.from_offsets(
        OffsetTable.from_rows({"x": x, "half_breadth": 1000 * (1 - (x / 3000) ** 2), "height": 300 * (x / 3000) ** 2})
    )
    assert faired.plan_length("port") / 1000 == pytest.approx(6.418704, abs=5e-7)
    assert faired.true_length("port") / 1000 == pytest.approx(6.454203, abs=5e-7)


@given(arrays(float, (4, 9), elements=st.floats(-20, 20)), st.sampled_from([0.0, 3.0]))
def test_swapping_sides_swaps_the_answer(noise, accuracy):
    uneven = table(
        height_port=HEIGHT + noise[0],
        height_starboard=HEIGHT + noise[1],
        half_breadth_port=HALF_BREADTH + 30 + noise[2],
        half_breadth_starboard=HALF_BREADTH + 30 + noise[3],
    )
    sheer, mirrored = Sheer.from_offsets(uneven, accuracy), Sheer.from_offsets(uneven.swapped(), accuracy)
    for side, other in (("port", "starboard"), ("starboard", "port")):
        for one in (mirrored, sheer.swapped()):
            assert one.half_breadth(side, AT) == pytest.approx(sheer.half_breadth(other, AT), abs=0)
            assert one.height(side, AT) == pytest.approx(sheer.height(other, AT), abs=0)
            assert one.true_length(side) == pytest.approx(sheer.true_length(other), abs=0)
    assert sheer.swapped().distances() == mirrored.distances()
    assert sheer.swapped().swapped().distances() == sheer.distances()


def test_inches_and_millimetres_give_one_sheer():
    metric = Sheer.from_offsets(table(), accuracy=3.175)
    inches = OffsetTable.from_rows(
        {
            name: values / 25.4
            for name, values in {
                "x": X,
                "height_port": HEIGHT,
                "height_starboard": HEIGHT - 6,
                "half_breadth": HALF_BREADTH,
            }.items()
        }
    )
    sheer = Sheer.from_offsets(inches, accuracy=0.125)
    assert sheer.height("port", AT / 25.4) * 25.4 == pytest.approx(metric.height("port", AT), abs=1e-7)
    assert sheer.half_breadth("port", AT / 25.4) * 25.4 == pytest.approx(metric.half_breadth("port", AT), abs=1e-7)


def test_one_side_measured_serves_both():
    sheer = Sheer.from_offsets(table(half_breadth_starboard=None, height_port=None))
    assert sheer.half_breadth("starboard", AT) == pytest.approx(sheer.half_breadth("port", AT), abs=0)
    assert sheer.height("port", AT) == pytest.approx(sheer.height("starboard", AT), abs=0)
    assert len(sheer.distances()) == 18, "each column once"


def test_a_blank_is_passed_by():
    height = [*HEIGHT[:4], None, *HEIGHT[5:]]
    whole, gap = Sheer.from_offsets(table()), Sheer.from_offsets(table(height_port=height))
    assert float(gap.height("port", 2700)) == pytest.approx(float(whole.height("port", 2700)), abs=2)
    assert len(gap.distances()) == 35


def test_a_blank_at_the_end_is_run_on_and_said():
    sheer = Sheer.from_offsets(table(height_port=[None, *HEIGHT[1:]]))
    assert sheer.start == 0
    assert sheer.notes == ("height port: nothing forward of x = 400 mm pulls the curve; it runs on 400 mm.",)
    assert float(sheer.height("port", 0)) == pytest.approx(980, abs=15)


def test_nought_at_the_stem_is_never_drawn_inside():
    sheer = Sheer.from_offsets(table(), accuracy=8.0)
    assert sheer.notes == ()
    assert sheer.half_breadth("port", AT).min() >= 0


def test_a_curve_inside_the_centreline_is_said_and_not_hidden():
    """A hollow end that swings across the centreline between two stations."""
    sheer = Sheer.from_offsets(table(half_breadth_port=np.array([0.0, 5, 690, 890, 1010, 1020, 960, 860, 720])))
    [note] = sheer.notes
    lowest = min(float(v) for v in sheer.half_breadth("port", np.linspace(0, 400, 4001)))
    assert lowest < -0.5
    assert note.startswith("half breadth port: the curve crosses the centreline near x = ")
    assert f"(by {-lowest:.0f} mm)" in note


def test_two_stations_give_a_straight_edge():
    columns = {"x": [0, 3000], "height": [700, 640], "half_breadth": [0, 900]}
    sheer = Sheer.from_offsets(OffsetTable.from_rows(columns), 5.0)
    assert float(sheer.half_breadth("port", 1000)) == pytest.approx(300)
    assert all("two offsets only, so the line is straight" in note for note in sheer.notes) and len(sheer.notes) == 2


def test_negative_half_breadths_do_not_pull():
    minus = HALF_BREADTH.copy()
    minus[4] = -minus[4]
    sheer = Sheer.from_offsets(table(half_breadth_port=minus))
    assert float(sheer.half_breadth("port", 2700)) == pytest.approx(1010, abs=8)
    assert [row.station for row in sheer.distances() if row.set_aside] == ["4"]


@pytest.mark.parametrize(
    ("columns", "words"),
    [
        ({"x": [0], "height": [5], "half_breadth": [5]}, "column height has 1 offset: a deck edge needs two at least"),
        ({"x": [0, 1], "height": [5, None], "half_breadth": [5, 6]}, "column height has 1 offset:"),
        ({"x": [0, 1], "height": [5, 6]}, "no half breadth port for the deck edge: is the column missing or empty?"),
        ({"x": [0, 1]}, "no heights and no half-breadths for the deck edge: is the table empty?"),
        ({"x": [3, 3], "height": [5, 6], "half_breadth": [5, 6]}, "column height: all 2 offsets stand at x = 3 mm"),
    ],
)
def test_what_cannot_be_faired(columns, words):
    with pytest.raises(ValueError, match=words.replace("?", r"\?")):
        Sheer.from_offsets(OffsetTable.from_rows(columns))


def test_too_many_set_aside():
    columns = {"x": [0, 1, 2], "height": [5, 6, 7], "half_breadth": [5, 6, 7]}
    with pytest.raises(ValueError, match="column height has 3 offsets, 2 set aside: a deck edge needs two at least"):
        Sheer.from_offsets(OffsetTable.from_rows(columns), set_aside=[("height", "0"), ("height_port", "1")])


def test_sides_have_two_names():
    with pytest.raises(ValueError, match="side is 'left'; it is 'port' or 'starboard'"):
        Sheer.from_offsets(table()).height("left", 0.0)


def test_a_backward_edge_is_refused():
    flat = FairCurve([0, 1], [5, 5])
    with pytest.raises(ValueError, match="ends at x = 0 mm, not aft of its start at 9 mm"):
        Sheer.from_curves(flat, flat, start=9, end=0)


@pytest.mark.parametrize("seed", range(8))
def test_the_lowest_place_of_a_curve_by_looking_everywhere(seed):
    """Second route: a close grid. The lowest place lies between stations, with bends that change within a span."""
    random = np.random.default_rng(seed)
    curve = FairCurve(np.cumsum(random.uniform(300, 900, 7)), random.uniform(-200, 200, 7))
    value, where = _lowest(curve, curve.start, curve.end)
    x = np.linspace(curve.start, curve.end, 200_001)
    assert value == pytest.approx(curve(x).min(), abs=1e-3) and value <= curve(x).min() + 1e-9
    assert where == pytest.approx(x[np.argmin(curve(x))], abs=1.0)
