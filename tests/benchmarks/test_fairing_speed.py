"""The fairing engine's times, its growth, its memory, and the general-purpose solvers beside it."""

from __future__ import annotations

import sys
import tracemalloc
from functools import partial

import numpy as np
import pytest

from deckgeom.fairing import field
from deckgeom.fairing.choices import PlanChoices
from deckgeom.fairing.fair import estimate
from deckgeom.fairing.plan import plan_work
from deckgeom.fairing.verdict import judge
from tests.benchmarks import fairing
from tests.fairing.simulated import Faults, simulate

LIMITS = PlanChoices(most_off=8.0)
PLANE_ONLY = PlanChoices(plane_only=True, most_off=8.0)


def deck(beams, points):
    return simulate(1, beams=beams, points=points, missing=0).tops


def first(tops, reading_error=0.7):
    """Nothing remembered from the run before."""
    field._KEPT.clear()
    return estimate(tops, reading_error=reading_error)


def everything(tops):
    found = first(tops)
    verdicts = judge(tops, found)
    return plan_work(tops, found, verdicts, LIMITS)


@pytest.fixture
def best_of(benchmark):
    """Time a call: (best run [s], its answer); five runs if it is slow."""

    def timed(function, *arguments, slow=False):
        run = partial(benchmark.pedantic, rounds=5, warmup_rounds=1) if slow else benchmark
        answer = run(function, arguments) if slow else run(function, *arguments)
        return benchmark.stats.stats.min, answer

    return timed


@pytest.mark.parametrize("reading_error", [0.7, None])
def test_first_answer_of_20_by_9_in_25_ms(best_of, reading_error):
    seconds, found = best_of(first, deck(20, 9), reading_error)
    assert seconds <= 0.025
    assert not found.solution.stalled


def test_a_change_of_20_by_9_in_10_ms(best_of):
    tops = deck(20, 9)
    found = first(tops)
    verdicts = judge(tops, found)

    def change():
        estimate(tops, reading_error=0.7)
        return plan_work(tops, found, verdicts, PLANE_ONLY)

    seconds, plan = best_of(change)
    assert seconds <= 0.010
    assert max(plan.optimality) < 1e-7


def test_verdict_of_20_by_9_in_25_ms(best_of):
    tops = deck(20, 9)
    seconds, verdicts = best_of(judge, tops, first(tops))
    assert seconds <= 0.025
    assert len(verdicts.beam_word) == 20


def test_a_change_of_60_by_15_in_50_ms(best_of):
    tops = deck(60, 15)
    first(tops)

    def change():
        found = estimate(tops, reading_error=0.7)
        return plan_work(tops, found, judge(tops, found), LIMITS)

    seconds, plan = best_of(change)
    assert seconds <= 0.050
    assert max(plan.optimality) < 1e-7


def test_everything_of_200_by_50_in_300_ms(best_of):
    # .25 to .29 s where this was written; the limit leaves room for a machine that is not idle
    seconds, plan = best_of(everything, deck(200, 50), slow=True)
    assert seconds <= 0.350
    assert max(plan.optimality) < 1e-7


def test_a_scan_of_100_000_readings_in_3_s(best_of):
    tops = simulate(1, beams=2000, points=50, spacing=10.0, missing=0, faults=Faults(2, slips=0.001, bumps=0.0)).tops
    seconds, plan = best_of(everything, tops, slow=True)
    assert seconds <= 3.0
    assert max(plan.optimality) < 1e-7


def test_a_scan_of_100_000_readings_in_500_mb():
    tops = simulate(1, beams=2000, points=50, spacing=10.0, missing=0, faults=Faults(2, slips=0.001, bumps=0.0)).tops
    tracemalloc.start()
    everything(tops)
    peak = tracemalloc.get_traced_memory()[1] / 1e6
    tracemalloc.stop()
    print(f"\nscan of 100,000 readings: {peak:.0f} MB at most")
    assert peak < 400  # with the 80 MB of Python, numpy and scipy themselves below 500


def test_time_grows_as_the_readings():
    # ten times the readings on ten times the deck: no more than ten times 1.6
    times = fairing.timed({n: fairing.by_own(*fairing.two_way(n, 9, 400.0)) for n in (40, 400)}, 1.0)
    growth = times[400][0] / times[40][0]
    print(f"\nten times the deck takes {growth:.1f} times as long")
    assert growth < 16


@pytest.mark.parametrize("problem", [fairing.two_way, fairing.limits], ids=["two-way", "limits"])
@pytest.mark.parametrize("size", ["20 x 9", "60 x 15", "200 x 50", "line of 200"])
def test_quicker_than_a_general_solver(problem, size):
    found = fairing.compare(problem, fairing.SIZES[size], ("own", "Clarabel"), 0.5)
    ratio = found["Clarabel"][0] / found["own"][0]
    print(f"\n{problem.__name__} {size}: {1e3 * found['own'][0]:.2f} ms, Clarabel {ratio:.1f} times that")
    # 3.4 to 4 times on a line and 5.5 to 14 times on a deck where this was written; the target is 3 times, of which a
    # line of 200, over in two milliseconds, is left some room
    assert not np.isnan(ratio) and ratio > (2.5 if size.startswith("line") else 3.0)


def test_table_is_printed(capsys, monkeypatch):
    monkeypatch.setattr(fairing, "SIZES", {"6 x 3": (6, 3, 400.0)})
    monkeypatch.setattr(sys, "argv", ["fairing"])
    fairing.main()
    out = capsys.readouterr().out
    assert "two-way, 6 x 3" in out and "limits, 6 x 3" in out and "Clarabel" in out
