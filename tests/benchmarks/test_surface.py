"""The deck surface at a million points: time and memory."""

from __future__ import annotations

import tracemalloc

import numpy as np
import pytest

from deckgeom.deck.crown import OneMould, SameProportion
from deckgeom.deck.surface import Deck
from deckgeom.hull.offsets import OffsetTable
from deckgeom.hull.sheer import Sheer

POINTS = 1_000_000
STATIONS = np.arange(9.0)


def hull() -> Sheer:
    """An invented hull of 8 m with sides that differ."""
    half = 1200 * (1 - ((STATIONS - 4.5) / 5.5) ** 2)
    height = 900 + 18 * (STATIONS - 5) ** 2
    columns = {
        "x": 1000 * STATIONS, "height_port": height, "height_starboard": height - 4,
        "half_breadth_port": half, "half_breadth_starboard": half + 6,
    }  # fmt: skip
    return Sheer.from_offsets(OffsetTable.from_rows(columns))


@pytest.fixture(scope="module")
def points() -> tuple[np.ndarray, np.ndarray]:
    """Places spread over the deck, always the same ones. [mm]"""
    random = np.random.default_rng(7)
    return random.uniform(200, 7800, POINTS), random.uniform(-1000, 1000, POINTS)


@pytest.fixture(scope="module", params=[OneMould, SameProportion], ids=["one mould", "same proportion"])
def deck(request) -> Deck:
    """A deck 18 mm thick under each rule, 1:30 of the breadth."""
    return Deck(hull(), request.param("circle", "1:30"), thickness=18.0)


@pytest.mark.parametrize("which", ["deck", "beam"])
@pytest.mark.parametrize("what", ["height", "curvature"])
def test_a_million_points_in_a_second(within, deck, points, what, which):
    x, y = points
    result = within(1.0, getattr(deck, what), x, y, which)
    assert np.all(np.isfinite(np.asarray(result)))


@pytest.mark.parametrize("what", ["height", "curvature"])
def test_a_million_points_in_500_mb(deck, points, what):
    x, y = points
    tracemalloc.start()
    try:
        getattr(deck, what)(x, y, "beam")
        peak = tracemalloc.get_traced_memory()[1] / 1e6
    finally:
        tracemalloc.stop()
    print(f"\n{what} at a million points: {peak:.0f} MB at most, target 500 MB")
    assert 8 < peak < 500
