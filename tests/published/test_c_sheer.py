"""Standard sheers of the load line rules against the fair curve: each is a parabola from amidships."""

from __future__ import annotations

import numpy as np
import pytest

from deckgeom.hull.fair_curve import FairCurve

FROM_AMIDSHIPS = np.array([3.0, 2.0, 1.0, 0.0])
"""Ordinates at the end, at L/6 and L/3 from it and amidships, in sixths of L from amidships."""

ONE_THREE_THREE_ONE = np.array([1.0, 3.0, 3.0, 1.0])


def standard_half(end: float) -> FairCurve:
    """The batten through the sheer at both ends and amidships only, in sixths of L."""
    return FairCurve([-3.0, 0.0, 3.0], [end, 0.0, end])


@pytest.mark.parametrize(
    ("factors", "ordinates", "mean"),
    [
        ((25.0, 11.1, 2.8, 0.0), (450.0, 199.8, 50.4, 0.0), 150.075),
        ((50.0, 22.2, 5.6, 0.0), (900.0, 399.6, 100.8, 0.0), 300.15),
    ],
    ids=["aft", "forward"],
)
def test_standard_profile_of_24_m(factors, ordinates, mean):
    """
    C2: the profile of a 24 m hull in mm, and its mean by the weights 1, 3, 3, 1 over 8.

    International Convention on Load Lines 1966, reg. 38(8); the factors are from memory, borne out by C1 and C3.
    """
    printed = (24 / 3 + 10) * np.array(factors)
    assert printed == pytest.approx(ordinates, abs=1e-9)
    batten = standard_half(ordinates[0])(FROM_AMIDSHIPS) / (24 / 3 + 10)
    assert batten == pytest.approx(factors, abs=0.05), "the printed factors are the parabola's to their last digit"
    assert ONE_THREE_THREE_ONE @ printed / 8 == pytest.approx(mean, abs=1e-9)
    through = FairCurve(FROM_AMIDSHIPS, printed)
    node, weight = np.polynomial.legendre.leggauss(20)
    area = sum(0.5 * weight @ through(left + (node + 1) / 2) for left in range(3))
    assert area / 3 == pytest.approx(mean, abs=0.25), "the batten's own mean, which is not a single cubic"
