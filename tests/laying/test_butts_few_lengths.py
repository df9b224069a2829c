"""Butts from few lengths first: the same least stock as one program with every length in it."""

from __future__ import annotations

import numpy as np
import pytest

from deckgeom.laying.planks_butts import ButtChoices, check_shift
from deckgeom.laying.planks_butts_program import PlankRuns, _common, _lengths, _solve_with, solve_butts


@pytest.mark.parametrize("seed", range(8))
def test_few_lengths_give_the_least_of_all_lengths(seed):
    rng = np.random.default_rng(seed)
    beams = np.cumsum(rng.uniform(350, 520, 11))
    planks = [(float(rng.uniform(0, 500)), float(rng.uniform(3500, 5200))) for _ in range(7)]
    choices = ButtChoices(tuple(rng.choice([1500.0, 1830.0, 2200.0, 2440.0, 3050.0], 3, replace=False)))
    unit = _common(list(choices.stock))
    runs = PlankRuns.of(planks, range(len(planks)), [beams] * len(planks), beams)
    every = _solve_with(runs, _lengths(runs, choices), choices, unit, 20.0)
    few = solve_butts(runs, choices)
    assert (every is None) == (few is None)
    if few is not None:
        taken = sum(piece.stock for piece in few[0])
        assert taken == pytest.approx(sum(piece.stock for piece in every[0]))
        assert few[1] == pytest.approx(taken)
        butts = [(a.plank, a.x1) for a, b in zip(few[0], few[0][1:], strict=False) if a.plank == b.plank]
        assert check_shift(butts, beams, choices.between, choices.shift) == ()


@pytest.mark.parametrize("stock, unit", [((3048.0, 3657.6, 4267.2), 609.6), ((2000.0, 3000.0), 1000.0)])
def test_the_common_length(stock, unit):
    assert _common(list(stock)) == pytest.approx(unit)
