"""Offsets in print: what differences show in two old tables, and what they cannot show."""

from __future__ import annotations

import itertools

import numpy as np
import pytest

from deckgeom.hull.differences import divided_differences, rounding_bound
from deckgeom.hull.fair_curve import FairCurve
from deckgeom.hull.offsets import OffsetTable
from deckgeom.hull.suspects import find_suspects

EIGHTH = 25.4 / 8

# American cruising canoe: W. P. Stephens, Canoe and Boat Building (1880s), plate XI, as printed, errors included;
# stations 12 in apart (inferred from the note on moulds)
CANOE_HEIGHTS = """1-6-0 1-4-4 1-2-7 1-1-4 1-0-2 0-11-5 0-11-1 0-11-0 0-11-1 0-11-3 1-0-0 1-0-6 1-1-5 1-2-5
    1-4-0"""
CANOE_HALF_BREADTHS = """0-0-1 0-2-7 0-7-4 0-10-2 1-0-2 1-1-5 1-2-3 1-2-6 1-2-4 1-2-1 1-1-0 0-10-6 0-7-6 0-0-4
    0-0-1"""

# 12 ft rowboat: C. H. Clark, Amateur Work, vol. 3 (1900s), gunwale; moulds 3 ft apart
ROWBOAT_HEIGHTS = "2-1-0 1-10-4 1-10-3 2-0-5"


def eighths(text: str) -> np.ndarray:
    """Feet-inches-eighths as whole eighths, read here apart from the package."""
    return np.array([(int(f) * 12 + int(i)) * 8 + int(e) for f, i, e in (one.split("-") for one in text.split())])


def plain_differences(values, order: int) -> np.ndarray:
    """Plain differences of evenly spaced values by the package's divided ones."""
    factorial = float(np.prod(np.arange(1, order + 1)))
    return divided_differences(np.arange(len(values)), values, order) * factorial


@pytest.fixture(scope="module")
def canoe() -> OffsetTable:
    columns = {
        "x": 12 * 25.4 * np.arange(15),
        "height": eighths(CANOE_HEIGHTS) * EIGHTH,
        "half_breadth": eighths(CANOE_HALF_BREADTHS) * EIGHTH,
    }
    return OffsetTable.from_rows(columns)


@pytest.mark.parametrize("accuracy", [0.0, EIGHTH / 2])
def test_suspects_of_the_canoe(canoe, accuracy):
    """D6: station 13 beyond doubt, then station 1, then the height at station 4 about 1/8 in low. Plate XI."""
    suspects = find_suspects(canoe, accuracy, EIGHTH, "ft-in-8")
    places = [(one.column, one.station) for one in suspects]
    assert places == [("half_breadth", "13"), ("half_breadth", "1"), ("height", "4")]
    misprint, next_to_stem, low = suspects
    assert (misprint.strength, next_to_stem.strength, low.strength) == ("beyond doubt", "doubtful", "look again")
    assert misprint.row == 15 and misprint.value == pytest.approx(4 * EIGHTH)
    assert 31 <= misprint.expected / EIGHTH <= 35 and 31 <= next_to_stem.expected / EIGHTH <= 35
    assert (low.expected - low.value) / EIGHTH == pytest.approx(1, abs=0.5)
    assert low.slip == "an eighth too little"


def test_rounding_could_make_the_low_height(canoe):
    """D6, D9: the fourth difference at station 4 is the largest that rounding alone can make, so no more is said."""
    x, height = canoe.x, canoe.lines["height_port"].value
    largest = np.abs(divided_differences(x, height, 4)).max()
    assert largest == pytest.approx(rounding_bound(x, EIGHTH, 4)[0])


def test_the_rowboat_sheer_is_a_parabola():
    """D7: second differences 19, 19 eighths. C. H. Clark, Amateur Work, vol. 3."""
    height = eighths(ROWBOAT_HEIGHTS)
    assert plain_differences(height, 2) == pytest.approx([19, 19], abs=1e-9)
    batten = FairCurve(np.arange(4), height)
    assert batten(np.linspace(-1, 4, 11), 2) == pytest.approx(np.full(11, 19.0), abs=1e-9)


@pytest.mark.parametrize(("order", "times"), [(2, 2), (3, 4), (4, 8)])
def test_what_rounding_alone_can_make(order, times):
    """D9: 2q, 4q, 8q, reached by the worst of all ways to round up or down. Derived."""
    q = 3.175
    factorial = float(np.prod(np.arange(1, order + 1)))
    assert rounding_bound(np.arange(8), q, order) * factorial == pytest.approx(np.full(8 - order, times * q))
    worst = max(np.abs(np.diff(signs, order)).max() for signs in itertools.product((-q / 2, q / 2), repeat=order + 1))
    assert worst == pytest.approx(times * q)
