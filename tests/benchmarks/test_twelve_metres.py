"""A 12 m deck in two skins is laid out, fastened, glued and counted; the benchmarks' table says in what time."""

from __future__ import annotations

import pytest

from tests.benchmarks.cases import twelve_metres_laid, two_skins


@pytest.mark.parametrize("job", [two_skins, twelve_metres_laid])
def test_twelve_metres_in_two_skins_are_laid_whole(job):
    found = job(1)()
    plans = found.plans if job is two_skins else found.way().sheets.plans
    assert len(plans) == 5 and {piece.skin for piece in plans[0].pieces} == {0, 1}
    if job is twelve_metres_laid:
        way = found.way()
        assert found.cannot_be() == () and way.fastenings and way.sheathing is not None and len(way.cards) == 2
