"""Published and derived values for sheathing, glue and paint."""

from __future__ import annotations

import pytest

from deckgeom.deck.crown import SameProportion
from deckgeom.deck.surface import Deck
from deckgeom.hull.sheer import Sheer
from deckgeom.laying.glue import Layer, amount, figures
from deckgeom.laying.glue_sessions import CAUTIONS
from deckgeom.laying.glue_time import Tin, working_time
from deckgeom.laying.quantities import coats, strips_to_cover
from deckgeom.laying.sheathing import Cloth, sheathe
from deckgeom.units.measures import MM_PER_INCH


def test_strips_to_cover_a_deck():
    """Derived: 2.5 m with cloth 1.27 m wide lapped .05 m takes 3 strips, not 2; two would be 2.49 m."""
    assert strips_to_cover(2500, 1270, 50) == 3
    assert strips_to_cover(2490, 1270, 50) == 2
    even = lambda x, order=0: 0.0 * x + (1250.0 if order == 0 else 0.0)  # noqa: E731
    deck = Deck(Sheer.from_curves(even, even, start=0, end=4000), SameProportion("circle", 0))
    assert len(sheathe(deck, Cloth(1270, lap=50, drop=0)).pieces) == 3


def test_coverage_in_metric():
    """80 square feet to the US quart (231/4 cubic inches, by definition) is 7.85 m2 to the litre; printed to .01."""
    foot, quart = 12 * MM_PER_INCH / 1000, 231 / 4 * (MM_PER_INCH / 100) ** 3
    assert 80 * foot**2 / quart == pytest.approx(7.85, abs=0.005)
    assert coats(7.85, "paint or varnish, one coat").likely == 1.0


def test_resin_figures_for_one_cloth_differ_two_and_a_half_times():
    """Figures in print for one cloth, with what they count; so there is never one number. Compared in print; one "
    "digit."""
    low, high = (figures()["acrylic or polyester cloth, wetting out"][key] for key in ("low", "high"))
    assert high / low == pytest.approx(2.5)
    band = amount(Layer("cloth", 10, "acrylic or polyester cloth, wetting out", cloth=150))
    assert band.low < band.likely < band.high
    assert "counting low: resin in the cloth alone; high: with the coat under it" in band.basis
    own = amount(Layer("cloth", 10, "acrylic or polyester cloth, wetting out", cloth=150, own=2.5))
    assert own.low == own.high == 4


def test_a_film_lasts_four_to_five_times_the_pot():
    """Makers' data sheets: a pot gels far sooner than a film; a mass of 100 g can pass 200 degC."""
    assert working_time(Tin(20, 25), 25).film == (80, 100)
    assert any("100 g can pass 200 degC" in caution for caution in CAUTIONS)
