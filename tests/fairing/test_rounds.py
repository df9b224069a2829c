"""Rounds kept, repeats pooled, predicted against found, and fore-and-aft lines through the readings."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.interpolate import interp1d
from scipy.stats import chi2

from deckgeom.fairing.beam_tops import BeamTops, FairingError
from deckgeom.fairing.fore_and_aft import along_beam, lines_of_readings
from deckgeom.fairing.reading_error import reading_error_from_repeats
from deckgeom.fairing.readings import BeamPlaces, Reading, true_readings
from deckgeom.fairing.rounds import compare_rounds, readings_that_stand

PLACES = BeamPlaces(("1", "2", "3"), [0, 400, 800], [900] * 3, [900] * 3)
Y = (-600.0, 0.0, 600.0)


def measured(*rounds):
    """Readings of (round, beam, heights, note) at three places a beam."""
    return [
        Reading(beam, "", y, height, round=number, note=note)
        for number, beam, heights, note in rounds
        for y, height in zip(Y, heights, strict=False)
    ]


def test_the_newest_round_of_a_touched_beam_stands_and_the_others_stay():
    true = true_readings(
        measured(
            (1, "1", (40, 50, 40), ""),
            (1, "2", (44, 54, 44), ""),
            (1, "3", (42, 52, 42), ""),
            (2, "2", (41, 51, 41), ""),
        ),
        (),
        PLACES,
    )
    assert true.rounds == (1, 2) and true.complaints == ()
    assert true.tops.z.tolist() == [40, 50, 40, 42, 52, 42, 41, 51, 41]
    assert true.until_round(1).z.tolist() == [40, 50, 40, 44, 54, 44, 42, 52, 42]
    assert true.of_round(2).z.tolist() == [41, 51, 41] and true.of_round(3) is None
    assert true.every.count == 12 and true.tops_source.tolist() == [0, 1, 2, 6, 7, 8, 9, 10, 11]


def test_places_that_were_not_measured_again_no_longer_count_and_it_is_said():
    true = true_readings(measured((1, "2", (44, 54, 44), ""), (2, "2", (41,), "")), (), PLACES)
    assert true.tops.z.tolist() == [41]
    told = [str(c) for c in true.complaints]
    assert "beam 2 was measured again in round 2: its 2 other places of earlier rounds no longer count" in told[1]
    assert "measured at one place only" in told[0]


def test_a_beam_not_touched_but_measured_again_keeps_its_other_places():
    true = true_readings(measured((1, "2", (94, 54, 44), ""), (2, "2", (44,), "again, slip of the tape")), (), PLACES)
    assert sorted(true.tops.z.tolist()) == [44, 44, 54] and true.complaints == ()


def test_again_in_the_same_round_is_a_repeat():
    true = true_readings(measured((1, "2", (44, 54, 44), ""), (1, "2", (45,), "again")), (), PLACES)
    assert true.tops.count == 4 and true.reading_error.freedom == 1


@pytest.mark.parametrize("order", [[0, 1, 2, 3, 4], [4, 2, 0, 3, 1]])
def test_rounds_may_be_typed_in_any_order(order):
    beam, y, number = np.array([0, 0, 0, 0, 1]), np.array([-300, 300, -300, 300, 0]), np.array([1, 1, 3, 2, 2])
    tops = BeamTops(beam[order], ("1", "2"), 400 * beam[order], y[order], [900] * 5, np.arange(1, 6)[order])
    assert sorted(tops.z[readings_that_stand(tops, number[order])].tolist()) == [3, 5]


# The reading error


def repeated(groups, sigma, rng, points=2):
    z = np.repeat(rng.normal(900, 30, groups), points) + rng.normal(0, sigma, groups * points)
    y = np.repeat(np.linspace(-800, 800, groups), points)
    return BeamTops(np.zeros(z.size, int), ("1",), np.zeros(z.size), y, np.full(z.size, 900.0), z)


def test_the_pooled_error_is_that_of_a_one_way_analysis_of_variance():
    """Second route: within-group mean square by numpy, group by group; the band against scipy's chi-square."""
    rng = np.random.default_rng(1)
    tops = repeated(9, 0.8, rng, points=3)
    error = reading_error_from_repeats(tops)
    groups = tops.z.reshape(9, 3)
    within = np.mean([np.var(group, ddof=1) for group in groups])
    assert error.sd == pytest.approx(np.sqrt(within)) and error.freedom == 18 and error.slips == ()
    assert error.low == pytest.approx(error.sd * np.sqrt(18 / chi2.ppf(0.975, 18)))
    assert error.high == pytest.approx(error.sd * np.sqrt(18 / chi2.ppf(0.025, 18)))


def test_the_error_and_its_band_are_right_on_the_average():
    rng = np.random.default_rng(2)
    errors = [reading_error_from_repeats(repeated(10, 0.7, rng)) for _ in range(400)]
    assert np.sqrt(np.mean([e.sd**2 for e in errors])) == pytest.approx(0.7, rel=0.05)
    inside = np.mean([e.low <= 0.7 <= e.high for e in errors])
    assert 0.92 <= inside <= 0.98
    assert sum(bool(e.slips) for e in errors) <= 4


def test_a_slip_among_the_repeats_is_named_and_does_not_swell_the_error():
    rng = np.random.default_rng(3)
    tops = repeated(8, 0.7, rng)
    z = tops.z.copy()
    z[5] += 14
    error = reading_error_from_repeats(BeamTops(tops.beam, tops.beam_names, tops.x, tops.y, tops.half_breadth, z))
    assert error.sd < 1.2 and error.freedom == 7
    assert error.slips[0].startswith("beam 1, 343 mm to port, where the readings differ by 1")
    assert "Left out: beam 1" in error.words()


def test_without_repeats_the_error_is_not_made_up():
    tops = BeamTops([0, 0, 1], ("1", "2"), [0, 0, 400], [-300, 300, 300], [900] * 3, [1, 2, 3])
    error = reading_error_from_repeats(tops)
    assert error.sd is None and error.source == "none" and error.words().startswith("No point was measured twice")
    two_rounds = BeamTops([0, 0], ("1",), [0, 0], [300, 300], [900] * 2, [1, 9])
    assert reading_error_from_repeats(two_rounds, [1, 2]).sd is None


def test_repeats_that_agree_to_the_millimetre_say_no_less_than_rounding():
    tops = BeamTops([0] * 4, ("1",), [0] * 4, [300, 300, -300, -300], [900] * 4, [41, 41, 40, 40])
    assert reading_error_from_repeats(tops).sd == pytest.approx(1 / np.sqrt(12), abs=0.02)


# Predicted against found


def three(z, beam=0):
    return BeamTops([beam] * 3, ("1", "2", "3"), [400.0 * beam] * 3, Y, [900] * 3, z)


def test_what_came_out_as_planned_and_what_did_not():
    result = compare_rounds(three([44, 54, 44]), three([40.4, 52.0, 41.0]), [4, 4, 3], [0, 0, 0], reading_error=0.6)
    assert result.predicted.tolist() == [40, 50, 41] and result.as_planned.tolist() == [True, False, True]
    assert result.difference_sd == pytest.approx([0.6 * np.sqrt(2)] * 3)
    assert result.words(1) == (
        "beam 1, on the centreline: 4 mm was to come off; it stands 2 mm higher than planned: that is left to do."
    )
    too_far = compare_rounds(three([44, 54, 44]), three([36, 50, 41]), [4, 4, 3], [0, 0, 0], 0.6)
    assert too_far.words(0).endswith("it stands 4 mm lower than planned: past the mark.")
    packed = compare_rounds(three([44, 54, 44]), three([44, 57, 47]), 0.0, [5, 5, 0], 0.6)
    assert "5 mm was to be packed; it stands 5 mm lower than planned: that is left to do" in packed.words(0)
    assert "not to be touched; it stands 3 mm higher than planned: look whether it was touched" in packed.words(2)


def test_places_not_to_be_touched_show_a_base_that_moved():
    rng = np.random.default_rng(6)
    z = np.array([44.0, 54, 44])
    shifts = [
        compare_rounds(three(z + rng.normal(0, 0.6, 3)), three(z + 3 + rng.normal(0, 0.6, 3)), 0, 0, 0.6)
        for _ in range(300)
    ]
    assert np.mean([s.shift for s in shifts]) == pytest.approx(3.0, abs=0.1)
    assert np.std([s.shift for s in shifts]) == pytest.approx(shifts[0].shift_sd, rel=0.15)
    assert np.isnan(compare_rounds(three(z), three(z), 1, 0, 0.6).shift)


def test_places_between_the_old_ones_are_drawn_fairly():
    """A parabolic beam planed by an even amount: the prediction between its places is exact."""
    y = np.array([-450.0, 130.0, 300.0])
    after = BeamTops([1] * 3, ("9", "1", "2"), [0] * 3, y, [900] * 3, 90 * (1 - (y / 900) ** 2) - 2)
    before = three(90 * (1 - (np.array(Y) / 900) ** 2))
    result = compare_rounds(before, after, 2, 0, 0.6)
    assert result.difference == pytest.approx(np.zeros(3), abs=1e-9) and result.tops.beam_names == ("1", "2", "3")
    with pytest.raises(FairingError, match="a beam must have been measured in both rounds"):
        compare_rounds(before, three([1, 2, 3], beam=1), 0, 0, 0.6)


# Fore-and-aft lines


def test_a_line_passes_through_the_readings_and_keeps_the_camber_between_them():
    y = np.array([-800.0, -500, -100, 300, 700])
    parabola = 90 * (1 - (y / 900) ** 2) + 0.01 * y
    at = np.linspace(-800, 700, 31)
    assert along_beam(y, at) @ parabola == pytest.approx(90 * (1 - (at / 900) ** 2) + 0.01 * at)
    rough = parabola + np.array([0, 3.0, 0, 0, -2])
    assert along_beam(y, y) @ rough == pytest.approx(rough)


def test_what_is_left_of_the_parabola_is_joined_by_straight_lines():
    """Second route: scipy's interp1d on the misfit of numpy's polyfit."""
    rng = np.random.default_rng(7)
    y, z = np.sort(rng.uniform(-800, 800, 7)), rng.normal(0, 3, 7)
    fit = np.polyfit(y / 800, z, 2)
    at = np.linspace(y[0], y[-1], 40)
    second = np.polyval(fit, at / 800) + interp1d(y, z - np.polyval(fit, y / 800))(at)
    assert along_beam(y, at) @ z == pytest.approx(second)


@pytest.mark.parametrize("count", [1, 2])
def test_beams_with_one_or_two_places(count):
    assert along_beam([-100.0, 500.0][:count], [200.0]).sum() == pytest.approx(1.0)
    assert along_beam([-100.0, 500.0][:count], [200.0]) == pytest.approx(np.full((1, count), 1 / count))


def test_repeats_are_averaged():
    assert along_beam([0, 0.2, 300, 600], [0.1]) == pytest.approx(np.array([[0.5, 0.5, 0, 0]]))


def deck_tops():
    """Five beams, one of them a half beam at an opening, one measured to starboard only."""
    rows = [(b, y) for b in (0, 1, 4) for y in (-700.0, -350.0, 0.0, 350.0, 700.0)]
    rows += [(2, y) for y in (450.0, 600.0, 750.0)] + [(3, y) for y in (0.0, 350.0, 700.0)]
    beam, y = (np.array(column) for column in zip(*rows, strict=True))
    z = 0.01 * 400 * beam + 90 * (1 - (y / 900) ** 2)
    return BeamTops(beam, tuple("ABCDE"), 400.0 * beam, y, np.full(y.size, 900.0), z)


def test_a_half_beam_is_left_out_of_lines_across_the_opening_and_carried_on_is_flagged():
    tops = deck_tops()
    centre, port, starboard = lines_of_readings(tops, at=(0.0, -0.15, 0.5))
    assert [tops.beam_names[b] for b in centre.beam] == ["A", "B", "D", "E"]
    assert not centre.beyond.any() and centre.name == "centreline"
    assert [tops.beam_names[b] for b in port.beam[port.beyond]] == ["D"]
    assert [tops.beam_names[b] for b in starboard.beam] == list("ABCDE") and not starboard.beyond.any()
    assert starboard.name == "50% of the half-breadth to starboard"
    for line in (centre, port, starboard):
        assert line.z == pytest.approx(0.01 * line.x + 90 * (1 - (line.y / 900) ** 2))
        assert np.all(np.diff(line.x) > 0)


def test_lines_at_an_offset_leave_out_beams_that_do_not_reach_it():
    tops = deck_tops()
    line = lines_of_readings(tops, at=[-820], by="offset")[0]
    assert [tops.beam_names[b] for b in line.beam] == ["A", "B", "E"] and line.beyond.all()
    assert lines_of_readings(tops, at=[-950], by="offset")[0].beam.size == 0
    assert line.name == "820 mm to port"


def test_swapped_sides_swap_the_lines():
    tops = deck_tops()
    other = BeamTops(tops.beam, tops.beam_names, tops.x, -tops.y, tops.half_breadth, tops.z)
    for one, two in zip(lines_of_readings(tops, (-0.4, 0.6)), lines_of_readings(other, (0.4, -0.6)), strict=True):
        assert two.z == pytest.approx(one.z) and two.beam.tolist() == one.beam.tolist()


def test_spread_is_what_noise_does_to_a_line():
    tops, rng = deck_tops(), np.random.default_rng(8)
    noisy = [
        lines_of_readings(
            BeamTops(
                tops.beam, tops.beam_names, tops.x, tops.y, tops.half_breadth, tops.z + rng.normal(0, 0.7, tops.count)
            ),
            (0.2,),
        )[0].z
        for _ in range(500)
    ]
    assert np.std(noisy, axis=0) == pytest.approx(0.7 * lines_of_readings(tops, (0.2,))[0].spread, rel=0.12)


def test_lines_that_make_no_sense_are_refused():
    with pytest.raises(FairingError, match="a line is at a common 'offset' or a common 'fraction'"):
        lines_of_readings(deck_tops(), by="u")
    with pytest.raises(FairingError, match="a fraction of the half-breadth lies between -1 and 1"):
        lines_of_readings(deck_tops(), at=[300])


def test_of_two_points_measured_over_again_the_wild_one_is_named():
    """The fewest that can: the other one, measured four times, says how far readings scatter."""
    y, z = np.array([-500.0] * 4 + [500.0] * 2), np.array([900.0, 901, 900, 899, 905, 965])
    found = reading_error_from_repeats(BeamTops(np.zeros(6, int), ("1",), np.zeros(6), y, np.full(6, 900.0), z))
    assert len(found.slips) == 1 and "differ by 60 mm" in found.slips[0]
    assert found.freedom == 3 and found.sd == pytest.approx(np.std(z[:4], ddof=1))
