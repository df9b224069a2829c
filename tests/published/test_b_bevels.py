"""Bevels across a beam's siding: derived values, and the words of an old dictionary."""

from __future__ import annotations

import numpy as np
import pytest

from deckgeom.deck.beams import BeamMark, lay_out_beams
from deckgeom.deck.crown import OneMould, SameProportion
from deckgeom.deck.ordinates import gauge_word
from deckgeom.deck.surface import Deck
from deckgeom.hull.sheer import Sheer

INCH = 25.4


def line(start, slope):
    """A straight line with its derivatives."""
    p = np.polynomial.Polynomial([start, slope])
    return lambda x, order=0: (p.deriv(order) if order else p)(np.asarray(x, float))


def sloping(slope: float) -> Deck:
    """A deck of one section that rises aft by a slope."""
    sheer = Sheer.from_curves(line(1200.0, 0.0), line(800.0, slope), start=0, end=6000)
    return Deck(sheer, OneMould("circle", 1 / 32))


def test_two_inches_at_one_in_twelve():
    """Siding 2 in, slope 1:12: .16667 in, 4.7636 degrees; the same right across, as one mould gives."""
    table = lay_out_beams(sloping(1 / 12), [BeamMark("1", 3000, siding=2 * INCH)]).ordinates
    assert table.rise_over_siding / INCH == pytest.approx(np.full(len(table), 0.16667), abs=5e-6)
    assert table.bevel_deg == pytest.approx(np.full(len(table), 4.7636), abs=5e-5)
    assert set(table.high_edge) == {"after edge high"}


def test_one_inch_and_three_quarters_at_three_degrees():
    """Siding 1 3/4 in, 3 degrees: .0917 in; falling aft, so the forward edge is high."""
    deck = sloping(-np.tan(np.radians(3)))
    table = lay_out_beams(deck, [BeamMark("1", 3000, siding=1.75 * INCH)]).ordinates
    assert table.rise_over_siding / INCH == pytest.approx(np.full(len(table), 0.0917), abs=5e-5)
    assert table.bevel_deg == pytest.approx(np.full(len(table), 3.0), abs=1e-9)
    assert set(table.high_edge) == {"forward edge high"}


def test_standing_is_outside_a_square_and_under_inside():
    """W. H. Smyth, The Sailor's Word-Book, 1867, s.v. Bevelling. Second route: the angle in the wood."""
    for slope, high in ((0.05, "after edge high"), (-0.05, "forward edge high"), (0.0, "square")):
        table = lay_out_beams(sloping(slope), [BeamMark("1", 3000, siding=50)]).ordinates
        assert table.high_edge[0] == high
        rise = table.height[0, 1] - table.height[0, 0]
        for face, up in (("forward", rise), ("after", -rise)):
            # Down the face from its top corner against the way across to the other face's.
            angle = np.degrees(np.arccos(-up / np.hypot(50, up)))
            word = "standing" if angle > 90.01 else "under" if angle < 89.99 else "square"
            assert gauge_word(high, face) == word
    with pytest.raises(KeyError, match="face 'side'"):
        gauge_word("square", "side")


def test_added_slope_of_the_camber_across_a_beam():
    """
    b 1.2 m, b' .15, sheer slope -.05, 1:32 parabola, u 0, .5, 1: bevels 2.3264, 2.1923, 1.7899 degrees (derived).

    The siding is made small, so that the bevel is that of the surface's slope.
    """
    sheer = Sheer.from_curves(line(750.0, 0.15), line(1000.0, -0.05), start=0, end=6000)
    beams = lay_out_beams(
        Deck(sheer, SameProportion("parabola", 1 / 32)), [BeamMark("1", 3000, "middle", siding=1e-3)], spacing=600
    )
    table = beams.ordinates
    at = [int(np.flatnonzero(table.y == y)[0]) for y in (0.0, 600.0)]
    assert table.bevel_deg[at] == pytest.approx([2.3264, 2.1923], abs=5e-5)
    assert np.degrees(np.arctan(-beams.deck.slopes(3000.0, 1200.0)[0])) == pytest.approx(1.7899, abs=5e-5)
    assert table.bevel_deg[-1] == pytest.approx(1.7899, abs=2e-3)
