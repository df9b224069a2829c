"""Laid planks on wood are bedded: the words say so, and that nothing is counted for them."""

from __future__ import annotations

from deckgeom.laying.plan_way import WayPlan
from deckgeom.laying.plan_words import dry_fit_words
from deckgeom.laying.ways import DeckLayer, Way


def test_bedded_planks_are_said_to_have_no_permanent_fastenings():
    laid = Way("laid", (DeckLayer("ply", 9.0), DeckLayer("planks", 9.5, 50.0)))
    words = dry_fit_words(WayPlan(laid, None, (), "mm", 20.0))
    assert len(words) == 1 and "without permanent fastenings" in words[0]


def test_planks_on_beams_are_fastened_and_nothing_is_said_of_bedding():
    on_beams = Way("planks", (DeckLayer("planks", 12.0, 75.0), DeckLayer("ply", 6.0)))
    assert dry_fit_words(WayPlan(on_beams, None, (), "mm", 20.0)) == ()
