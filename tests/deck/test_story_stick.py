"""The story stick: sums that must come out."""

from __future__ import annotations

import numpy as np
import pytest

from deckgeom.deck.beams import BeamMark, lay_out_beams
from deckgeom.deck.story_stick import story_stick
from tests.deck.beam_hulls import LENGTH, level_deck, marks, round_deck


@pytest.mark.parametrize("line", ["centreline", "port", "starboard"])
def test_spaces_add_up_to_the_whole(line):
    """Along the centreline and along both deck edges; unsorted lists, half beams abreast."""
    deck = round_deck()
    some = [*marks(7)[::-1], BeamMark("p", 2500, start=-300), BeamMark("s", 2500, start=300)]
    stick = story_stick(lay_out_beams(deck, some))
    whole = {"centreline": LENGTH, "port": stick.whole_port, "starboard": stick.whole_starboard}[line]
    assert np.sum(stick.spaces(line)) == pytest.approx(whole, abs=1e-9)
    assert len(stick.spaces(line)) == 10
    assert np.all(stick.spaces(line) >= 0)


def test_places_along_the_deck_edge():
    """Second route: the sheer's own true length from its forward end to each mark."""
    deck = round_deck()
    stick = story_stick(lay_out_beams(deck, marks(6)))
    for side, along in (("port", stick.along_port), ("starboard", stick.along_starboard)):
        assert along == pytest.approx([deck.sheer.true_length(side, None, x) for x in stick.x], abs=1e-6)
    assert stick.whole_port == pytest.approx(deck.sheer.true_length("port"), abs=1e-6)


def test_diagonals_of_a_square_job_are_equal():
    """Equal sides: equal diagonals, by Pythagoras; unequal sides: they differ by what the sides do."""
    stick = story_stick(lay_out_beams(level_deck(1500), [BeamMark("a", 1000), BeamMark("b", 1800)]))
    (diagonal,) = stick.diagonals
    assert diagonal[:2] == ("a", "b")
    assert diagonal.port_to_starboard == pytest.approx(np.hypot(3000, 800))
    assert diagonal.starboard_to_port == pytest.approx(np.hypot(3000, 800))
    uneven = story_stick(lay_out_beams(round_deck(twist=25), marks(4))).diagonals
    assert len(uneven) == 3
    assert max(abs(d.port_to_starboard - d.starboard_to_port) for d in uneven) > 0.1


def test_half_beams_have_no_diagonals():
    """They do not reach from edge to edge."""
    stick = story_stick(lay_out_beams(level_deck(), [BeamMark("a", 1000, start=300), BeamMark("b", 1800)]))
    assert stick.diagonals == () and stick.names == ("a", "b")
    with pytest.raises(KeyError, match="line 'left': it is 'centreline'"):
        stick.spaces("left")
