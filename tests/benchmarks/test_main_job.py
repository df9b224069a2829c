"""From a table of offsets to every beam, bevel and spile of the demo boat, and how the time grows with the beams."""

from __future__ import annotations

import time
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from deckgeom.boat import read_boat
from deckgeom.deck.beams import BeamMark, lay_out_beams
from deckgeom.job import do_job

DEMO = Path(__file__).parents[2] / "notebooks" / "boats" / "thimblewick"


def unread() -> tuple[tuple, dict]:
    """The demo boat read afresh, so that nothing is remembered from the run before; readings are another matter."""
    return (replace(read_boat(DEMO), readings=()),), {}


def test_offsets_to_beams_bevels_and_spiles_in_20_ms(benchmark):
    job = benchmark.pedantic(do_job, setup=unread, rounds=40, warmup_rounds=3)
    assert len(job.beams) >= 24
    assert len(job.spiles) == 2
    assert len(job.beams.rows("bevels")) > 100
    best = benchmark.stats.stats.min
    assert best <= 0.020, f"best of the runs {best * 1e3:.1f} ms, target 20 ms"


@pytest.mark.parametrize("many", [24, 200, 2000])
def test_a_long_list_of_beams(benchmark, many):
    deck = do_job(unread()[0][0]).deck
    marks = beams_along(deck, many)
    beams = benchmark.pedantic(lay_out_beams, (deck, marks, 150.0), rounds=5, warmup_rounds=1)
    assert len(beams) == many


def test_time_grows_in_line_with_the_beams():
    deck = do_job(unread()[0][0]).deck
    few, many = (best_of(5, deck, beams_along(deck, count)) for count in (200, 2000))
    print(f"\n200 beams {few * 1e3:.1f} ms, 2000 beams {many * 1e3:.1f} ms: {many / few:.1f} times")
    assert many / few < 16


def beams_along(deck, count: int) -> list[BeamMark]:
    """That many thin beams between the ends of the deck."""
    x = np.linspace(deck.sheer.start + 400, deck.sheer.end - 100, count)
    return [BeamMark(str(i), float(place), siding=1.0, moulding=60.0) for i, place in enumerate(x)]


def best_of(runs: int, deck, marks) -> float:
    """Least processor time of a few runs. [s]"""
    taken = []
    for _ in range(runs):
        begun = time.process_time()
        lay_out_beams(deck, marks, 150.0)
        taken.append(time.process_time() - begun)
    return min(taken)
