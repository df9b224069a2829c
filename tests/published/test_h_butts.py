"""Shift of butts: what is printed for hulls, and what is common practice for decks."""

from __future__ import annotations

import numpy as np

from deckgeom.laying.planks_butts import ButtChoices, check_shift, plan_butts

BEAMS = np.arange(0, 12001, 600.0)


def test_same_timber_only_with_three_strakes_between():
    """Great Lakes rules of 1866, hull planking: butts on one timber only with 3 strakes between."""
    assert ButtChoices((3000,)).between == 3
    for between in range(6):
        assert (check_shift([(0, 3000.0), (between + 1, 3000.0)], BEAMS) == ()) == (between >= 3)


def test_two_beams_shift_between_neighbours():
    """Decks: 3 planks between butts on one beam, 2 beams' shift. Common practice, from memory, no source."""
    for beams in range(5):
        assert (check_shift([(0, 3000.0), (1, 3000.0 + 600 * beams)], BEAMS) == ()) == (beams >= 2)
    found = plan_butts([(0, 12000)] * 6, BEAMS, ButtChoices((4820, 3620), seconds=2))
    assert found.complaints == () and len(found.butts) >= 12
    index = [(plank, round(x / 600)) for plank, x in found.butts]
    for k, (plank, beam) in enumerate(index):
        for other, there in index[k + 1 :]:
            assert not (1 <= abs(plank - other) <= 3 and beam == there)
            assert not (abs(plank - other) == 1 and abs(beam - there) < 2)
