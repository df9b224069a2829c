"""Suspects: planted slips are named, clean and honestly measured tables are left alone, nothing is mended."""

from __future__ import annotations

from collections import Counter

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import multivariate_normal

from deckgeom.hull.differences import difference_weights
from deckgeom.hull.offsets import OffsetLine, OffsetTable
from deckgeom.hull.search import MOST_SEARCHED, Finding, examine
from deckgeom.hull.slips import likely_slip
from deckgeom.hull.suspects import STRENGTHS, find_suspects, grade
from deckgeom.hull.unfairness import BELIEF, GRID, ROUGHER, weigh, weigh_steps

EIGHTH = 25.4 / 8
X = 600.0 * np.arange(11)
HALF_BREADTH = np.round(900 - 0.00008 * (X - 3200) ** 2)
HEIGHT = np.round(700 + 0.00004 * (X - 3500) ** 2)


def table(**columns) -> OffsetTable:
    rows = {"x": X, "height": HEIGHT, "half_breadth": HALF_BREADTH} | columns
    return OffsetTable.from_rows({name: values for name, values in rows.items() if values is not None})


def changed(values, index, value):
    values = np.array(values, dtype=float)
    values[index] = value
    return values


def uneven_stations(rng, n):
    """Even, with half stations at the ends, or of any spacing between a quarter and twice the mean; from 0 to 1."""
    kind = rng.integers(3)
    gaps = np.ones(n - 1) if kind == 0 else rng.uniform(0.25, 2.0, n - 1)
    if kind == 1:
        gaps = np.concatenate(([0.5, 0.5], np.ones(n - 5), [0.5, 0.5]))
    return np.concatenate(([0.0], np.cumsum(gaps))) / gaps.sum()


def fair_breadth(rng, t):
    """Half-breadths: full or fine ends, a transom, a double-ender, a fast round stem, a punt."""
    widest, middle = rng.uniform(350, 2000), rng.uniform(0.45, 0.62)
    kind = rng.integers(4)
    if kind == 0:
        fore, aft, transom = rng.uniform(2, 3.2), rng.uniform(2, 3), rng.uniform(0, 0.85)
        forward = 1 - (np.maximum(middle - t, 0) / middle) ** fore
        return widest * (forward - (1 - transom) * (np.maximum(t - middle, 0) / (1 - middle)) ** aft)
    if kind == 1:
        return widest * np.abs(np.sin(np.pi * t ** rng.uniform(0.8, 1.2))) ** rng.uniform(0.7, 1.2) + 1
    if kind == 2:
        round_stem = np.sqrt(1 - (1 - np.minimum(t / 0.9, 1) ** rng.uniform(0.45, 0.8)) ** 2)
        return widest * round_stem * (1 - rng.uniform(0.1, 0.7) * np.maximum((t - 0.3) / 0.7, 0) ** 2.5)
    end = rng.uniform(0.3, 0.6)
    return widest * (end + (1 - end) * (1 - np.abs(2 * t - 1) ** rng.uniform(2, 4)))


def fair_height(rng, t):
    """Sheers: two parabolas, flat, reverse, S-shaped, and a spoon bow."""
    base, rise, low = rng.uniform(500, 2000), rng.uniform(10, 500), rng.uniform(0.5, 0.75)
    shapes = (
        np.where(t < low, ((low - t) / low) ** 2, 0.5 * ((t - low) / (1 - low)) ** 2),
        np.full_like(t, 0.1),
        1 - (2 * t - 1) ** 2,
        np.cos(np.pi * (1.3 * t + 0.1)) + 0.4 * t**2,
        np.exp(-4 * t) + 0.4 * t**3,
    )
    return base + rise * shapes[rng.integers(len(shapes))]


def invented_line(rng, fewest=7):
    """Column, places and exact values of one fair line of an invented hull."""
    t = uneven_stations(rng, int(rng.integers(fewest, 26)))
    column = ("height", "half_breadth")[rng.integers(2)]
    return column, t * rng.uniform(4000, 15000), (fair_height if column == "height" else fair_breadth)(rng, t)


def strengths_of(seed, count, accuracy, fewest=7):
    """How many suspects of each strength honest tables raise: drawn ones in mm or eighths, measured ones in mm."""
    rng, found = np.random.default_rng(seed), Counter()
    for _ in range(count):
        column, x, value = invented_line(rng, fewest)
        quantum = 1.0 if accuracy else rng.choice([1.0, EIGHTH, EIGHTH / 2])
        value = np.round((value + rng.uniform(-accuracy, accuracy, x.size)) / quantum) * quantum
        measured = OffsetTable.from_rows({"x": x, column: value})
        found.update(one.strength for one in find_suspects(measured, accuracy, quantum))
    return found


@pytest.mark.parametrize(("accuracy", "seed"), [(0.0, 1), (2.0, 2), (5.0, 3)])
def test_honest_tables_raise_next_to_nothing(accuracy, seed):
    """400 fair lines of 7 to 25 uneven stations: none beyond doubt, hardly one in 200 doubtful, 3 in 100 to look at."""
    found = strengths_of(seed, 400, accuracy)
    assert found["beyond doubt"] == 0
    assert found["doubtful"] <= 2
    assert found["look again"] <= 12


def test_a_table_rougher_than_it_says_is_not_torn_apart():
    """Offsets good to 3 mm (standard deviation 1 mm) in a table that claims 1 mm: seldom more than a second look."""
    rng, found, count = np.random.default_rng(4), Counter(), 200
    for _ in range(count):
        column, x, value = invented_line(rng)
        value = np.round(value + rng.normal(0, 1, x.size))
        found.update(one.strength for one in find_suspects(OffsetTable.from_rows({"x": x, column: value}), 0.0, 1.0))
    assert found["beyond doubt"] <= 0.03 * count


@pytest.mark.parametrize(
    ("slip", "named"),
    [
        (lambda v: 10 * v, "ten times too large: a decimal point or a nought"),
        (lambda v: v / 10, "ten times too small: a decimal point or a nought"),
        (lambda v: v / 25.4, "25.4 times too small: inches entered as millimetres"),
        (lambda v: 12 * v, "twelve times too large: inches entered as feet"),
    ],
)
def test_gross_slips_are_beyond_doubt_and_named(slip, named):
    """Anywhere but at an end, on 60 invented lines: the station comes first, the fair value is near, the slip named."""
    rng, first, words, count = np.random.default_rng(5), 0, 0, 60
    for _ in range(count):
        column, x, value = invented_line(rng)
        value = np.round(value)
        k = int(rng.integers(1, x.size - 1))
        true, value[k] = value[k], slip(value[k])
        suspects = find_suspects(OffsetTable.from_rows({"x": x, column: value}), 0.5, 1.0)
        hit = suspects and (suspects[0].station, suspects[0].strength) == (str(k), "beyond doubt")
        first += bool(hit)
        words += bool(hit) and suspects[0].slip == named and abs(suspects[0].expected - true) < 0.2 * true
    assert first >= 0.9 * count
    assert words >= 0.8 * count


@pytest.mark.parametrize(("slip", "least"), [(EIGHTH, 0.4), (10.0, 0.7), (25.4, 0.85)])
def test_small_slips_are_mostly_found(slip, least):
    """An eighth, a centimetre, an inch, in an inner station of a table good to half a millimetre."""
    rng, found, others, count = np.random.default_rng(6), 0, 0, 80
    for _ in range(count):
        column, x, value = invented_line(rng, 9)
        value = np.round(value)
        k = int(rng.integers(2, x.size - 2))
        value[k] += slip * rng.choice([-1, 1])
        suspects = find_suspects(OffsetTable.from_rows({"x": x, column: value}), 0.5, 1.0)
        found += any(one.station == str(k) for one in suspects)
        others += bool(suspects) and suspects[0].station != str(k)
    assert found >= least * count
    assert others <= 0.05 * count


def test_neighbours_are_not_smeared():
    [suspect] = find_suspects(table(height=changed(HEIGHT, 5, HEIGHT[5] + 10)), 1.0, 1.0)
    assert (suspect.column, suspect.station, suspect.row, suspect.strength) == ("height", "5", 7, "beyond doubt")
    assert suspect.expected == pytest.approx(HEIGHT[5], abs=1)
    assert suspect.reason.startswith("10 mm above the fair line through its neighbours")
    assert suspect.slip == "a centimetre too much"


def test_a_gross_slip_beside_a_fast_stem():
    """Ten times too large at the first station abaft a round stem, whose own value is out of line with the rest too."""
    round_stem = np.round(900 * np.sqrt(1 - (1 - np.minimum(X / 5400, 1) ** 0.5) ** 2))
    assert find_suspects(table(half_breadth=round_stem), 1.0, 1.0) == ()
    [suspect] = find_suspects(table(half_breadth=changed(round_stem, 1, 10 * round_stem[1])), 1.0, 1.0)
    assert (suspect.station, suspect.strength) == ("1", "beyond doubt")
    assert "times too large" in suspect.slip


def test_two_slips_in_one_line():
    spoilt = changed(changed(HALF_BREADTH, 3, HALF_BREADTH[3] - 40), 7, HALF_BREADTH[7] + 25)
    suspects = find_suspects(table(half_breadth=spoilt), 1.0, 1.0)
    assert [(one.station, one.strength) for one in suspects] == [("3", "beyond doubt"), ("7", "beyond doubt")]
    assert [round(one.value - one.expected) for one in suspects] == pytest.approx([-40, 25], abs=1)


def test_most_certain_first_across_columns():
    height, breadth = changed(HEIGHT, 4, HEIGHT[4] - 6), changed(HALF_BREADTH, 6, HALF_BREADTH[6] + 90)
    suspects = find_suspects(table(height=height, half_breadth=breadth), 1.0, 1.0)
    assert [one.column for one in suspects] == ["half_breadth", "height"]
    ranks = [STRENGTHS.index(one.strength) for one in suspects]
    assert ranks == sorted(ranks)


@pytest.mark.parametrize("slips", [{3: 60, 4: -45, 8: 50}, {1: 80, 4: -45, 7: 50}])
def test_where_much_stands_out_nothing_is_beyond_doubt(slips):
    """Three of eleven out, each hiding the others: all three are found, each only to be looked at again."""
    spoilt = HEIGHT.copy()
    for k, slip in slips.items():
        spoilt[k] += slip
    suspects = find_suspects(table(height=spoilt), 1.0, 1.0)
    assert {one.station: round(one.value - one.expected) for one in suspects} == pytest.approx(
        {str(k): slip for k, slip in slips.items()}, abs=2
    )
    assert {one.strength for one in suspects} == {"look again"}


def test_a_sound_value_set_apart_in_company_goes_back():
    """Three slips at random in 60 invented lines: what is left apart has evidence of its own against all the others."""
    rng = np.random.default_rng(7)
    for _ in range(60):
        column, x, value = invented_line(rng, 11)
        places = rng.choice(np.arange(1, x.size - 1), 3, replace=False)
        value = changed(np.round(value), places, np.round(value)[places] + rng.uniform(-80, 80, 3))
        findings, _ = examine(OffsetTable.from_rows({"x": x, column: value}).columns[0], 0.5)
        assert all(one.change >= 2.2 for one in findings if one.beyond)


@pytest.mark.parametrize("first", [4, 9])
def test_two_neighbours_out_are_not_a_step(first):
    """Two slips side by side look like a step at first; both are named, the same way or opposite ways."""
    x = 500.0 * np.arange(16)
    height = np.round(700 + 0.00003 * (x - 4000) ** 2)
    for other in (45.0, -30.0):
        spoilt = changed(changed(height, first, height[first] + 45), first + 1, height[first + 1] + other)
        lines = OffsetTable.from_rows({"x": x, "height": spoilt})
        found = find_suspects(lines, 1.0, 1.0)
        assert {one.station for one in found} == {str(first), str(first + 1)}
        assert lines.alarms(1.0, 1.0) == ()


@pytest.mark.parametrize(("excess", "strength"), [(2.0, ""), (5.0, "doubtful"), (-7.0, "beyond doubt")])
def test_what_accuracy_nearly_explains_is_never_beyond_doubt(excess, strength):
    """All evidence in the world, against an accuracy of 2 mm: beyond doubt only past three times it."""
    assert grade(Finding(4, 30.0, 30.0, 9.0, excess, 0.5, 4), 2.0) == strength


def test_nothing_is_mended():
    spoilt = table(height=changed(HEIGHT, 5, HEIGHT[5] + 10))
    before = spoilt.lines["height_port"].value.copy()
    assert find_suspects(spoilt, 1.0, 1.0)
    assert np.array_equal(spoilt.lines["height_port"].value, before)


@pytest.mark.parametrize("end", [0, 10])
def test_a_slip_at_an_end_is_a_change_of_shape(end):
    """30 mm at an end is not held against it; ten times the value is, and only to be looked at again."""
    assert find_suspects(table(height=changed(HEIGHT, end, HEIGHT[end] + 30)), 1.0, 1.0) == ()
    for factor, words in ((10, "ten times too large"), (1 / 10, "ten times too small")):
        [suspect] = find_suspects(table(height=changed(HEIGHT, end, factor * HEIGHT[end])), 1.0, 1.0)
        assert (suspect.station, suspect.strength) == (str(end), "look again")
        assert "a slip cannot be told from a change of shape" in suspect.reason
        assert suspect.slip == f"{words}: a decimal point or a nought"


def test_last_but_one_is_said_to_be_less_sure():
    inner, outer = (
        find_suspects(table(half_breadth=changed(HALF_BREADTH, k, HALF_BREADTH[k] + 14)), 1.0, 1.0) for k in (5, 1)
    )
    assert inner[0].strength == "beyond doubt" and "change of shape" not in inner[0].reason
    assert all(one.strength != "beyond doubt" and "It is the last but one" in one.reason for one in outer)


def test_sides_changed_at_one_station():
    """Port 80 mm wider everywhere but at station 5, where the two changed places."""
    port, starboard = HALF_BREADTH + 40, HALF_BREADTH - 40
    spoilt = table(
        half_breadth=None,
        half_breadth_port=changed(port, 5, starboard[5]),
        half_breadth_starboard=changed(starboard, 5, port[5]),
    )
    suspects = find_suspects(spoilt, 1.0, 1.0)
    assert {one.column for one in suspects} == {"half_breadth_port", "half_breadth_starboard"}
    assert {one.station for one in suspects} == {"5"}
    assert {one.slip for one in suspects} == {"port and starboard changed places at this station"}


def test_a_station_at_the_wrong_place():
    """Both lines out at one station, by no slip that is known: its x is the likelier one."""
    suspects = find_suspects(table(x=changed(X, 7, X[7] - 240)), 1.0, 1.0)
    assert [(one.station, one.strength) for one in suspects] == [("7", "beyond doubt")] * 2
    assert {one.slip for one in suspects} == {"the station's place x, for both its height and its half-breadth are out"}


def test_a_step_is_not_a_row_of_suspects():
    """A datum moved half way belongs to the alarms; no single value is blamed for it."""
    stepped = np.where(X >= 3600, HEIGHT + 30, HEIGHT)
    assert find_suspects(table(height=stepped), 1.0, 1.0) == ()
    _, [(index, _, jump)] = examine(table(height=stepped).lines["height_port"], 1.0)
    assert index == 6 and jump == pytest.approx(30, abs=1.5)


def test_a_column_for_both_sides_is_named_once():
    suspects = find_suspects(table(height=changed(HEIGHT, 5, HEIGHT[5] + 10)), 1.0, 1.0)
    assert [one.column for one in suspects] == ["height"]


@given(st.integers(2, 8), st.sampled_from([-60.0, 14.0, 35.0]), st.sampled_from([1 / 25.4, 0.001, 3.0]))
def test_the_same_suspects_in_any_unit(k, slip, scale):
    spoilt = changed(HALF_BREADTH, k, HALF_BREADTH[k] + slip)
    metric = find_suspects(table(half_breadth=spoilt), 1.0, 1.0)
    scaled = find_suspects(table(x=X * scale, height=HEIGHT * scale, half_breadth=spoilt * scale), scale, scale)
    assert [(one.station, one.strength) for one in scaled] == [(one.station, one.strength) for one in metric]
    assert [one.expected / scale for one in scaled] == pytest.approx([one.expected for one in metric], rel=1e-6)


@given(st.integers(1, 9), st.sampled_from([-60.0, 14.0, 35.0]))
def test_the_same_suspects_from_either_end_and_either_side(k, slip):
    spoilt = changed(HALF_BREADTH, k, HALF_BREADTH[k] + slip)
    sides = table(half_breadth=None, half_breadth_port=spoilt, half_breadth_starboard=HALF_BREADTH)
    plain = find_suspects(sides, 1.0, 1.0)
    swapped = find_suspects(sides.swapped(), 1.0, 1.0)
    assert [(one.station, one.strength, one.value) for one in swapped] == [
        (one.station, one.strength, one.value) for one in plain
    ]
    assert {one.column for one in swapped} <= {"half_breadth_starboard"}
    back = find_suspects(table(x=-X, half_breadth=spoilt), 1.0, 1.0)
    assert [(one.station, one.strength) for one in back] == [(one.station, one.strength) for one in plain]


@given(st.integers(2, 8), st.floats(-0.05, 0.05), st.floats(-300, 300))
def test_a_tilted_base_line_changes_nothing(k, slope, shift):
    spoilt = changed(HEIGHT, k, HEIGHT[k] + 20)
    plain = find_suspects(table(height=spoilt), 1.0, 1.0)
    tilted = find_suspects(table(height=spoilt + shift + slope * X), 1.0, 1.0)
    assert [(one.station, one.strength) for one in tilted][:1] == [(one.station, one.strength) for one in plain][:1]
    assert tilted[0].value - tilted[0].expected == pytest.approx(20, abs=1.5)


@pytest.mark.parametrize("n", [0, 1, 2, 3, 5, MOST_SEARCHED + 1])
def test_too_few_or_too_many_stations_are_not_judged(n):
    x = np.arange(n) * 500.0
    assert find_suspects(OffsetTable.from_rows({"x": x, "height": 600 + (x % 700)}), 1.0, 1.0) == ()


@pytest.mark.parametrize("value", [0.0, 650.0])
def test_a_level_line_is_fair(value):
    assert find_suspects(table(height=np.full(11, value)), 0.0, 0.0) == ()


def test_a_station_read_twice_is_searched_once():
    x, height = np.insert(X, 5, X[5]), np.insert(HEIGHT, 5, HEIGHT[5] + 1)
    columns = {"x": x, "height": changed(height, 8, height[8] + 20)}
    [suspect] = find_suspects(OffsetTable.from_rows(columns), 1.0, 1.0)
    assert suspect.station == "8" and suspect.row == 10


def test_evidence_by_another_route():
    """
    Second route to the evidence: scipy's normal density of the plain differences, with the covariance of a curve
    under white noise of its third derivative added up on a fine grid, a slip at one value taken off, same trials.
    """
    x, noise, k = np.array([0.0, 1, 2.5, 3, 4.5, 6, 7]), 0.4, 3
    value = np.array([0.0, 1.2, 6, 11, 20, 36, 49])
    weights = difference_weights((x - x[0]) / np.ptp(x), 3)
    rows = np.zeros((4, 7))
    for i, part in enumerate(weights):
        rows[i, i : i + 4] = part
    fine = (np.arange(40_000) + 0.5) / 40_000
    kernel = np.maximum((x[:, None] / np.ptp(x)) - fine, 0) ** 2 / 2
    shape = rows @ kernel @ kernel.T @ rows.T / fine.size
    height = max(np.ptp(value), 10 * noise) / noise
    plain, slipped, sizes, spreads = [], [], [], []
    for rough, belief in zip(ROUGHER, BELIEF, strict=True):
        for strength in GRID * height:
            covariance = strength**2 * shape + rough**2 * rows @ rows.T
            seen, slip = rows @ value / noise, rows[:, k]
            inverse = np.linalg.inv(covariance)
            size2 = slip @ inverse @ slip
            z2 = (slip @ inverse @ seen) ** 2 / size2
            fit = belief + multivariate_normal.logpdf(seen, cov=covariance)
            plain.append(fit)
            slipped.append(fit + (0.5 * (z2 - 1 - np.log(z2)) if z2 > 1 else 0.0))
            sizes.append(slip @ inverse @ seen / size2)
            spreads.append(1 / np.sqrt(size2))
    expected = np.logaddexp.reduce(slipped) - np.logaddexp.reduce(plain)
    found, share = weigh(x, value, noise, 3), np.exp(slipped - np.logaddexp.reduce(slipped))
    assert found.against[k] == pytest.approx(expected, abs=1e-4)
    assert found.excess[k] == pytest.approx(noise * share @ sizes, rel=1e-4)
    assert found.spread[k] == pytest.approx(noise * share @ spreads, rel=1e-4)


def test_a_step_at_the_last_value_is_a_slip_of_it():
    """Identity: moving everything from the last value on moves the last value alone."""
    value = np.array([0.0, 1.2, 6, 11, 20, 36, 49])
    point, step = weigh(np.arange(7), value, 0.4, 3), weigh_steps(np.arange(7), value, 0.4, 3)
    assert step.against[-1] == pytest.approx(point.against[-1])
    assert step.excess[-1] == pytest.approx(point.excess[-1])


def test_a_straight_line_added_leaves_the_evidence():
    """Limit: differences of second order and up do not see a straight line, but for the height of the line."""
    value = np.array([0.0, 1.2, 6, 11, 20, 36, 49])
    lifted = weigh(np.arange(7), value + 1000, 0.4, 3)
    assert lifted.against == pytest.approx(weigh(np.arange(7), value, 0.4, 3).against, abs=1e-6)


@pytest.mark.parametrize(
    ("value", "expected", "imperial", "words"),
    [
        (311.15, 314.4, True, "an eighth too little"),
        (500 + 304.8, 501, True, "a foot too much"),
        (500 - 25.4, 501, True, "an inch too little"),
        (843, 480, False, "two figures changed places (843 for 483)"),
        (712, 612, False, "a hundred millimetres too much"),
        (84, 842, False, "ten times too small: a decimal point or a nought"),
        (1224, 612, False, "the whole breadth entered for the half"),
        (306, 612, False, "halved twice"),
        (-612, 611, False, "a stray minus sign"),
        (612, 640, False, ""),
    ],
)
def test_slips_in_words(value, expected, imperial, words):
    assert likely_slip(value, expected, 1.5, "half_breadth", imperial) == words


def test_lines_are_searched_without_their_names():
    """The search knows heights from half-breadths only to allow a hull that ends in a point."""
    spoilt = changed(HALF_BREADTH, 5, HALF_BREADTH[5] + 14)
    rows = np.arange(11)
    breadth, height = (OffsetLine(name, rows, X, spoilt, rows) for name in ("half_breadth", "height"))
    assert [one.index for one in examine(breadth, 1.0)[0]] == [one.index for one in examine(height, 1.0)[0]] == [5]
