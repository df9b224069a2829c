"""How the hull stands, whether she has moved, and the lines that she is measured from."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import least_squares
from scipy.spatial.transform import Rotation
from statsmodels import api as sm
from statsmodels.stats.outliers_influence import OLSInfluence

from deckgeom.hull.datum import Level, _deletion_t, find_level
from deckgeom.hull.recheck import recheck
from deckgeom.hull.strings import MeasuringLine

X = np.repeat(np.linspace(0, 7000, 8), 2)
Y = np.tile([-1.0, 1.0], 8) * (600 + 700 * np.sin(np.pi * (X / 7000 * 0.8 + 0.1)))
Z = 900 + 250 * (X / 7000 - 0.6) ** 2
CORNERS = {"x": [0, 0, 6000, 6000], "y": [-900, 900, -1100, 1100]}
small = st.floats(-0.05, 0.05)


@given(list_=small, trim=small, height=st.floats(-500, 500))
def test_list_and_trim_of_any_size_are_taken_off_exactly(list_, trim, height):
    stood = Level(height, trim, list_)
    found = find_level(X, Y, Z, stood.measured_height(X, Y, Z))
    beam = np.array([3000.0, 3000, 5000]), np.array([-800.0, 100, 650]), np.array([900.0, 1010, 930])
    assert found.true_height(*beam[:2], stood.measured_height(*beam)) == pytest.approx(beam[2], abs=1e-8)
    assert found.list == pytest.approx(list_, abs=1e-11) and found.trim == pytest.approx(trim, abs=1e-12)


@given(twist=st.floats(-5e-6, 5e-6), list_=small)
def test_a_twist_is_taken_off_too(twist, list_):
    stood = Level(20.0, 0.01, list_, twist, origin=3500.0)
    found = find_level(X, Y, Z, stood.measured_height(X, Y, Z))
    assert found.true_height(X, Y, stood.measured_height(X, Y, Z)) == pytest.approx(Z, abs=1e-7)
    assert found.twist == pytest.approx(twist, abs=1e-12)


def test_the_heights_are_those_of_a_body_turned_in_space():
    """Second route: scipy's Rotation, trim about the y axis, then list about the boat's own length."""
    turned = Rotation.from_euler("YX", [-1.3, 2.1], degrees=True)
    body = np.column_stack([X, Y, Z])
    measured = turned.apply(body)[:, 2] + 40
    row = turned.as_matrix()[2]
    assert Level(40, row[0], row[1]).measured_height(X, Y, Z) == pytest.approx(measured, abs=1e-9)
    found = find_level(X, Y, Z, measured)
    assert found.true_height(X, Y, measured) == pytest.approx(Z, abs=1e-8)
    assert (found.trim_deg, found.list_deg) == (pytest.approx(1.3, abs=1e-9), pytest.approx(2.1, abs=1e-9))


def test_the_fit_is_scipys_least_squares():
    """Second route: scipy's own solver on the same misfit, twist and all, with noise."""
    rng = np.random.default_rng(2)
    measured = Level(30, 0.01, -0.02, 1e-6, 3500).measured_height(X, Y, Z) + rng.normal(0, 1.5, X.size)
    found = find_level(X, Y, Z, measured)

    def misfit(p):
        return Level(p[0], p[1] / 1e3, p[2] / 1e3, p[3] / 1e6, float(X.mean())).measured_height(X, Y, Z) - measured

    best = least_squares(misfit, np.zeros(4), x_scale=[1, 1, 1, 1], xtol=1e-15, ftol=1e-15, gtol=1e-15)
    ours = np.array([found.height, 1e3 * found.trim, 1e3 * found.list, 1e6 * found.twist])
    assert ours == pytest.approx(best.x, abs=1e-5)


def test_the_uncertainty_is_what_repeating_the_job_would_show():
    rng = np.random.default_rng(4)
    stood, places = Level(30, 0.01, -0.02, 1e-6, 3500), (np.array([200.0, 3500, 6800]), np.array([-500.0, 0, 900]))
    truth = stood.measured_height(*places, 900.0)
    found = [
        find_level(X, Y, Z, stood.measured_height(X, Y, Z) + rng.normal(0, 1.0, X.size), reading_error=1.0)
        for _ in range(600)
    ]
    spread = np.std([level.true_height(*places, truth) for level in found], axis=0)
    assert found[0].uncertainty(*places) == pytest.approx(spread, rel=0.1)
    sds = [
        find_level(X, Y, Z, stood.measured_height(X, Y, Z) + rng.normal(0, 1.0, X.size)).reading_error
        for _ in range(200)
    ]
    assert np.sqrt(np.mean(np.square(sds))) == pytest.approx(1.0, abs=0.05)


def test_swapped_sides_turn_the_list_and_nothing_else():
    measured = Level(30, 0.01, -0.02, 1e-6, 3500).measured_height(X, Y, Z)
    one, other = find_level(X, Y, Z, measured), find_level(X, -Y, Z, measured)
    assert (other.height, other.trim) == (pytest.approx(one.height), pytest.approx(one.trim))
    assert (other.list, other.twist) == (pytest.approx(-one.list), pytest.approx(-one.twist))


def test_a_slipped_mark_is_named_and_does_not_tilt_the_rest():
    rng = np.random.default_rng(8)
    stood = Level(30, 0.01, -0.02)
    measured = stood.measured_height(X, Y, Z) + rng.normal(0, 1.0, X.size)
    measured[5] += 25
    found = find_level(X, Y, Z, measured)
    assert found.set_aside == (5,) and found.residual[5] == pytest.approx(25, abs=3)
    assert found.list == pytest.approx(-0.02, abs=1e-3)
    clean = [find_level(X, Y, Z, stood.measured_height(X, Y, Z) + rng.normal(0, 1.0, X.size)) for _ in range(200)]
    assert sum(bool(level.set_aside) for level in clean) <= 1


@pytest.mark.parametrize(
    "which, missing",
    [
        (slice(None), ()),
        (Y > 0, ("list", "twist")),
        ([0, 1], ("trim", "twist")),
        ([0, 1, 14], ("twist",)),
        ([3], ("trim", "list", "twist")),
    ],
)
def test_what_the_marks_cannot_tell_is_said(which, missing):
    """Sixteen edges; one side only (a bent line, so no list to speak of); one beam; three points; one point."""
    x, y, z = X[which], Y[which], Z[which]
    if missing == ("list", "twist"):
        y = np.full(x.size, 800.0)
    found = find_level(x, y, z, z + 12)
    assert found.missing == missing
    assert found.true_height(x, y, z + 12) == pytest.approx(z, abs=1e-9)
    if missing:
        assert found.words()[-1] == f"The known points cannot tell: {', '.join(missing)}."


def test_a_stiff_hull_has_no_twist_and_says_nothing_of_it():
    found = find_level(X, Y, Z, Level(0, 0, 0, 2e-6, 3500).measured_height(X, Y, Z), twist=False)
    assert found.twist == 0 and found.missing == ()


def test_how_she_stands_in_words():
    level = find_level(X, Y, Z, Level(0, -0.004, 0.01, -1.5e-6, 3500).measured_height(X, Y, Z), reading_error=1.0)
    words = level.words("ft-in-8")
    assert words[0].startswith("Lists 0.57 degrees to port, 0.03 either way: over 8' 5 1/2\" of breadth")
    assert words[1].startswith("Down by the stern 0.23 degrees, 0.01 either way: over 22' 11 9/16\" of length the")
    assert words[2].startswith('Twisted: going aft the port side rises 1 1/16" against the other')
    level = find_level(X, Y, Z, Z + np.random.default_rng(1).normal(0, 1, X.size), reading_error=1.0)
    assert level.words()[:2] == ("No list to speak of: within 1 mm.", "No trim to speak of: within 2 mm.")


@pytest.mark.parametrize(
    "arrays, message",
    [
        (([0, 1], [0], [0, 0], [0, 0]), "x, y, height and measured hold [2, 1, 2, 2] values"),
        (([], [], [], []), "hold [0, 0, 0, 0] values; each known point needs all four"),
        (([0, np.nan], [0, 1], [0, 0], [0, 0]), "a known point has a blank or NaN in it"),
    ],
)
def test_marks_that_are_not_whole_are_refused(arrays, message):
    with pytest.raises(ValueError) as told:
        find_level(*arrays)
    assert message in str(told.value)


# Has she moved since?


def test_four_marks_within_the_reading_error_have_not_moved():
    move = recheck(**CORNERS, then=[900, 901, 870, 868], now=[901, 900, 871, 867], reading_error=1.0)
    assert not move.moved and move.words()[0] == "She has not moved more than your reading error can explain."
    assert move.words()[1].startswith("What could be there unseen: height 2 mm, trim 4 mm, list 5 mm, twist 9 mm")


@pytest.mark.parametrize(
    "change, part, sentence",
    [
        ([8, 8, 8, 8], "height", "As a whole she has risen 8 mm (2 mm either way), or the base has moved."),
        (
            [0, 0, 12, 12],
            "trim",
            "She has gone down by the bow: 12 mm (4 mm either way) over the length between the marks.",
        ),
        (
            [5, -5, 6, -6],
            "list",
            "She has listed to starboard: that side is lower than the other by 12 mm (5 mm either way) "
            "more than it was.",
        ),
        (
            [-5, 5, 5, -5],
            "twist",
            "She has twisted: going aft the port side has risen 22 mm (9 mm either way) against the starboard side.",
        ),
    ],
)
def test_each_way_of_moving_is_told_by_name(change, part, sentence):
    then = np.array([900.0, 901, 870, 868])
    move = recheck(**CORNERS, then=then, now=then + change, reading_error=1.0)
    assert move.real[part] and sentence in move.words()
    assert move.residual == pytest.approx(np.zeros(4), abs=1e-9)


def test_the_parts_add_up_to_the_change_at_each_mark():
    """Identity: height, trim, list and twist give back what the marks showed."""
    change = np.array([3.0, -2.0, 7.0, 1.0])
    move = recheck(**CORNERS, then=np.zeros(4), now=change)
    x, y = np.array(CORNERS["x"]) - 3000.0, np.array(CORNERS["y"], float)
    rows = np.column_stack([np.ones(4), x, y, x * y])
    assert rows @ move.parts == pytest.approx(change)


def test_false_alarms_are_as_rare_as_they_should_be():
    """Three standard deviations on four parts: 1 % in all. 1,500 re-checks of a hull that did not move."""
    rng = np.random.default_rng(9)
    moved = sum(
        recheck(**CORNERS, then=rng.normal(0, 1, 4), now=rng.normal(0, 1, 4), reading_error=1.0).moved
        for _ in range(1500)
    )
    assert 3 <= moved <= 30


def test_one_knocked_mark_of_four_is_not_called_a_twist_without_warning():
    move = recheck(**CORNERS, then=np.zeros(4), now=[0, 0, 0, 14.0], reading_error=1.0, names="ABCD")
    assert any("Only D has changed. Four marks cannot tell a twist from one mark" in line for line in move.words())


def test_five_marks_tell_a_knocked_one_from_a_twist():
    five = {"x": [0, 0, 6000, 6000, 3000, 3000], "y": [-900, 900, -1100, 1100, -1300, 1300]}
    twisted = np.array(five["x"]) * np.array(five["y"]) * 2e-6
    assert recheck(**five, then=np.zeros(6), now=twisted, reading_error=0.5).odd_marks == ()
    knocked = recheck(**five, then=np.zeros(6), now=[0, 0, 0, 0, 0, 14.0], reading_error=0.5)
    assert "starboard forward" in knocked.odd_marks
    assert any("a mark was knocked or misread; measure it again first" in line for line in knocked.words())


def test_an_assumed_reading_error_is_said():
    assert recheck(**CORNERS, then=np.zeros(4), now=np.zeros(4)).words()[-1] == (
        "A reading error of 1 mm is assumed: measure one mark five times to know it."
    )


def test_readings_after_the_move_are_brought_to_the_same_frame():
    before = find_level(X, Y, Z, Level(30, 0.004, 0.003).measured_height(X, Y, Z))
    stands = Level(36, 0.006, -0.002)
    x, y = np.array(CORNERS["x"], float), np.array(CORNERS["y"], float)
    marks = np.array([700.0, 700, 720, 720])
    move = recheck(x, y, Level(30, 0.004, 0.003).measured_height(x, y, marks), stands.measured_height(x, y, marks))
    after = move.now_from(before)
    assert after.true_height(X, Y, stands.measured_height(X, Y, Z)) == pytest.approx(Z, abs=0.02)


@pytest.mark.parametrize(
    "marks, message",
    [
        ({"x": [0, 0, 1], "y": [1, 2, 3], "then": [0] * 3, "now": [0] * 3}, "needs four marks or more"),
        ({**CORNERS, "then": [0] * 4, "now": [0, 0, np.nan, 0]}, "a mark has a blank or NaN in it"),
        ({"x": [0, 1000, 2000, 3000], "y": [900] * 4, "then": [0] * 4, "now": [0] * 4}, "set them port and starboard"),
        ({**CORNERS, "then": [0] * 4, "now": [0] * 4, "reading_error": 0}, "no tape reads without error"),
    ],
)
def test_marks_that_cannot_tell_are_refused(marks, message):
    with pytest.raises(ValueError) as told:
        recheck(**marks)
    assert message in str(told.value)


# Lines to measure from


def test_a_laser_line_is_straight_and_runs_on():
    laser = MeasuringLine("laser", 0, 6000, 1500, 1440)
    assert laser.height_at([0, 3000, 9000]) == pytest.approx([1500, 1470, 1410])
    assert laser.middle_sag == 0


def test_a_measured_sag_takes_the_place_of_weight_and_pull():
    line = MeasuringLine("wire", 0, 8000, 1500, 1500, sag=4, weight=0.02, pull=100, row=3)
    assert line.middle_sag == 4
    assert [str(c) for c in line.complaints()] == [
        "lines.csv, row 3, column sag, 'wire': the measured sag is used; weight and pull are not."
    ]


def test_a_line_held_the_other_way_round_is_the_same_line():
    one = MeasuringLine("wire", 0, 8000, 1500, 1440, sag=4)
    other = MeasuringLine("wire", 8000, 0, 1440, 1500, sag=4)
    x = np.linspace(0, 8000, 17)
    assert one.height_at(x) == pytest.approx(other.height_at(x))


@pytest.mark.parametrize(
    "line, kind, message",
    [
        (MeasuringLine("a", 0, 0, 1, 1), "mend", "the two ends stand at one place"),
        (MeasuringLine("a", 0, 8000, np.nan, 1), "mend", "each end needs a place and a height"),
        (MeasuringLine("a", 0, 8000, 1, 1, weight=0.02), "mend", "needs both the string's weight and its pull"),
        (MeasuringLine("a", 0, 8000, 1, 1, pull=20), "mend", "needs both the string's weight and its pull"),
        (MeasuringLine("a", 0, 8000, 1, 1, sag=-4), "mend", "sag is -4; a string hangs down"),
        (MeasuringLine("a", 0, 8000, 1, 1, weight=0.02, pull=0), "mend", "pull is 0; a string hangs down"),
        (MeasuringLine("a", 0, 8000, 1, 1, weight=2.0, pull=20), "ask", "the middle hangs 800 mm over 8000 mm"),
        (MeasuringLine("a", 0, 8000, 1, 1), "note", "taken as a laser line, straight"),
        (MeasuringLine("a", "edge", 900, 1, 1), "mend", "'edge' is no place"),
    ],
)
def test_what_is_wrong_with_a_line(line, kind, message):
    told = [c for c in line.complaints() if message in str(c)]
    assert told and told[0].kind == kind


def test_a_sound_line_has_no_complaints():
    assert MeasuringLine("wire", 0, 8000, 1, 1, sag=0.0).complaints() == ()
    assert MeasuringLine("edge", "port edge", "starboard edge", 1, 1).complaints() == ()


def test_a_known_point_is_judged_by_what_the_others_say_of_it():
    """Second route: statsmodels' residual of each point, left out of the fit and of the scatter."""
    random = np.random.default_rng(3)
    x = np.array([0.0, 300, 900, 2000, 6000, 6400, 7000, 100])
    y = np.array([-700.0, 800, -900, 1000, -1100, 1000, 0, 0])
    rows = np.column_stack([np.ones(8), x, y, x * y])
    seen = random.normal(0, 3, 8)
    fit = sm.OLS(seen, rows).fit()
    q = np.linalg.qr(rows)[0]
    assert np.ptp(np.sum(q * q, axis=1)) > 0.4, "some points count for far more than others"
    t = _deletion_t(fit.resid, q, np.ones(8, bool), 4, None)
    assert t == pytest.approx(OLSInfluence(fit).resid_studentized_external, rel=1e-9)
