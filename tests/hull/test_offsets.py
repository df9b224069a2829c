"""The table of offsets as a record, and its differences."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from deckgeom.hull.differences import difference_weights
from deckgeom.hull.offsets import OffsetLine, OffsetTable, divided_differences, rounding_bound

ROWS = {
    "x": [0.0, 600.0, 1500.0, 2100.0],
    "height": [700.0, 640.0, None, 610.0],
    "half_breadth_port": [0.0, 400.0, 620.0, float("nan")],
    "half_breadth_starboard": [0.0, 405.0, 618.0, 560.0],
}
uneven = st.integers(5, 12).flatmap(
    lambda n: st.tuples(
        arrays(float, n, elements=st.floats(0.3, 3)).map(np.cumsum), arrays(float, n, elements=st.floats(-50, 50))
    )
)


def test_blanks_stop_at_the_door():
    table = OffsetTable.from_rows(ROWS, ["stem", "1", "2", "3"], [4, 5, 7, 8])
    height = table.lines["height_port"]
    assert height.stations == ("stem", "1", "3")
    assert height.rows.tolist() == [4, 5, 8]
    assert all(np.isfinite(line.value).all() for line in table.lines.values())
    assert table.lines["height_starboard"] is height and not table.symmetric
    assert [line.name for line in table.columns] == ["height", "half_breadth_port", "half_breadth_starboard"]


def test_a_table_from_aft_is_turned_round():
    back = OffsetTable.from_rows({name: values[::-1] for name, values in ROWS.items()}, ["3", "2", "1", "stem"])
    ahead = OffsetTable.from_rows(ROWS, ["stem", "1", "2", "3"])
    assert back.stations == ahead.stations
    assert back.rows.tolist() == [5, 4, 3, 2]
    for key, line in ahead.lines.items():
        assert back.lines[key].value.tolist() == line.value.tolist()


def test_a_row_without_a_place_is_left_out():
    table = OffsetTable.from_rows({"x": [0, None, 2], "height": [5, 6, 7]}, ["a", "b", "c"])
    assert table.stations == ("a", "c")


def test_the_only_side_serves_both():
    table = OffsetTable.from_rows({"x": [0, 1], "height_starboard": [5, 6], "height_port": [None, None]})
    assert table.lines["height_port"] is table.lines["height_starboard"]
    assert table.symmetric


def test_swapping_twice_gives_the_table_back():
    table = OffsetTable.from_rows(ROWS)
    once, twice = table.swapped(), table.swapped().swapped()
    assert once.lines["half_breadth_port"].value.tolist() == [0, 405, 618, 560]
    assert once.lines["half_breadth_port"].name == "half_breadth_port"
    assert once.lines["height_port"] is once.lines["height_starboard"]
    for key, line in table.lines.items():
        assert twice.lines[key].value.tolist() == line.value.tolist()
        assert twice.lines[key].name == line.name


@pytest.mark.parametrize(
    ("columns", "words"),
    [
        ({"height": [5, 6]}, "no column x among height: where do the stations stand"),
        ({"x": [0, 1], "height": [5]}, "column height has 1 rows and column x has 2"),
        ({"x": [0, 1], "depth": [5, 6]}, "unknown column depth"),
        ({"x": [0, 1], "height": [5, 6], "height_port": [5, 6]}, "height and height_port or height_starboard together"),
    ],
)
def test_columns_that_do_not_fit(columns, words):
    with pytest.raises(ValueError, match=words):
        OffsetTable.from_rows(columns)


def test_a_record_is_closed_and_copied():
    value = np.array([5.0, 6.0])
    line = OffsetLine("height", ("a", "b"), [0, 1], value, [2, 3])
    value[0] = 9
    assert line.of("a") == 5
    with pytest.raises(ValueError, match="read-only"):
        line.value[0] = 1
    with pytest.raises(KeyError, match="station c has no height; there are a, b"):
        line.of("c")


@given(uneven, st.integers(1, 4))
def test_differences_of_a_polynomial(table, order):
    """A polynomial of the same degree has its first coefficient everywhere; one of a degree less, nought."""
    x, coefficients = table
    polynomial = np.polynomial.Polynomial([*coefficients[:order], 3.0])
    size = 1e-9 * (1 + np.abs(polynomial(x)).max()) / np.diff(x).min() ** order
    assert divided_differences(x, polynomial(x), order) == pytest.approx(np.full(x.size - order, 3.0), abs=size)
    lower = polynomial.cutdeg(order - 1)
    assert divided_differences(x, lower(x), order) == pytest.approx(np.zeros(x.size - order), abs=size)


@given(uneven, st.integers(0, 4))
def test_differences_by_their_weights(table, order):
    """Second route: Lagrange's weights."""
    x, value = table
    window = np.lib.stride_tricks.sliding_window_view(value, order + 1)
    expected = (difference_weights(x, order) * window).sum(axis=1)
    size = 1e-12 * 2000 / np.diff(x).min() ** order
    assert divided_differences(x, value, order) == pytest.approx(expected, abs=size)


@given(uneven, st.integers(2, 4))
def test_rounding_never_passes_its_bound_and_can_reach_it(table, order):
    x, value = table
    error = np.round(value) - value
    bound = rounding_bound(x, 1.0, order)
    assert np.all(np.abs(divided_differences(x, error, order)) <= bound * (1 + 1e-9))
    worst = np.zeros(x.size)
    worst[: order + 1] = np.sign(difference_weights(x, order)[0]) / 2
    assert divided_differences(x, worst, order)[0] == pytest.approx(bound[0], rel=1e-9)


def test_differences_of_several_lines_at_once():
    x = np.array([0, 1, 3, 4, 6.0])
    lines = np.array([x**2, x**3])
    assert divided_differences(x, lines, 2) == pytest.approx(
        np.array([divided_differences(x, x**2, 2), divided_differences(x, x**3, 2)])
    )


@pytest.mark.parametrize("call", [lambda: divided_differences([0, 1], [5, 6], 2), lambda: rounding_bound([0, 1], 1, 2)])
def test_too_few_stations_for_the_order(call):
    with pytest.raises(ValueError, match="order 2 of differences needs 3 stations at least; there are 2"):
        call()
