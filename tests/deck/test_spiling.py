"""Offsets from a straight line to a curve, and back."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from deckgeom.deck.spiling import spile, spile_curve, unspile

lengths = st.floats(-5000, 5000)
points = st.lists(st.tuples(lengths, lengths), min_size=2, max_size=12).filter(
    lambda p: np.hypot(p[-1][0] - p[0][0], p[-1][1] - p[0][1]) > 1.0
)


@settings(max_examples=60, deadline=None)
@given(points)
def test_spile_and_back(shape):
    """Any points come back, reversed or uneven as they may be."""
    x, y = np.array(shape).T
    assert unspile(spile(x, y)) == pytest.approx(np.column_stack([x, y]), abs=1e-7)


@settings(max_examples=60, deadline=None)
@given(points, st.floats(-3, 3), lengths, lengths)
def test_offsets_do_not_know_where_the_boat_lies(shape, turn, dx, dy):
    """Turned and shifted, the offsets stay."""
    x, y = np.array(shape).T
    c, s = np.cos(turn), np.sin(turn)
    moved = spile(c * x - s * y + dx, s * x + c * y + dy)
    still = spile(x, y)
    assert moved.offset == pytest.approx(still.offset, abs=1e-6)
    assert moved.along == pytest.approx(still.along, abs=1e-6)


def test_a_straight_edge_has_no_offsets():
    """Limit: nothing to spile."""
    assert np.abs(spile([0, 1, 5, 9], [2, 4, 12, 20]).offset).max() < 1e-12


def test_the_other_way_round_changes_the_hand():
    """Read from the other end, the offsets change hands and the marks count from there."""
    x, y = [0.0, 300.0, 700.0, 1000.0], [0.0, 60.0, 50.0, 10.0]
    fore, aft = spile(x, y), spile(x[::-1], y[::-1])
    assert aft.offset[::-1] == pytest.approx(-fore.offset)
    assert aft.along[::-1] == pytest.approx(fore.length - fore.along)


def test_marks_on_a_slanted_chord():
    """Second route: the same arc through a chord that slants, points found from its centre."""
    radius = 5000.0
    arc = lambda x, order=0: np.sqrt(radius**2 - x**2) if order == 0 else -x / np.sqrt(radius**2 - x**2)  # noqa: E731
    a, b = -1200.0, 1900.0
    got = spile_curve(arc, a, b, np.linspace(0, 3000, 13))
    chord = got.length
    to_chord = np.sqrt(radius**2 - (chord / 2) ** 2)
    assert got.offset == pytest.approx(np.sqrt(radius**2 - (got.along - chord / 2) ** 2) - to_chord, abs=1e-9)
    assert got.offset[0] == pytest.approx(0, abs=1e-9)


def test_marks_and_back_onto_the_curve():
    """Round trip: the points found lie on the curve."""
    wave = lambda x, order=0: 80 * np.sin(x / 400) if order == 0 else 0.2 * np.cos(x / 400)  # noqa: E731
    got = unspile(spile_curve(wave, 100, 3000, np.linspace(0, 2800, 29)))
    assert got[:, 1] == pytest.approx(wave(got[:, 0]), abs=1e-9)


def test_messages():
    """Value, rule, likely slip."""
    with pytest.raises(ValueError, match=r"same place \(5, 7\).*copy of the first"):
        spile([5, 9, 5], [7, 8, 7])
    with pytest.raises(ValueError, match="2 points or more; 1 given"):
        spile([5], [7])
    line = lambda x, order=0: 0 * x  # noqa: E731
    with pytest.raises(ValueError, match="mark at 1200 mm is off the straight line, which is 1000 mm"):
        spile_curve(line, 0, 1000, [500, 1200])
    with pytest.raises(ValueError, match="mark at -20 mm is off"):
        spile_curve(line, 0, 1000, [-20, 500])


def test_the_arrays_are_closed():
    """A record cannot be written into."""
    with pytest.raises(ValueError, match="read-only"):
        spile([0, 1], [0, 1]).offset[0] = 5
