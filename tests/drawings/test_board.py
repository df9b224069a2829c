"""The board: what it says about its scale is true, and drawing again is the same as drawing afresh."""

from __future__ import annotations

import re
from xml.etree import ElementTree

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from deckgeom.drawings.beam import beam_board, draw_beam
from deckgeom.drawings.board import EXAGGERATIONS, Board
from deckgeom.drawings.style import BANDS, BLACK, BLUE, DOTS, GREY, LINES, VERMILION, clean
from deckgeom.drawings.ticks import RuleMarks, rule_words
from deckgeom.units import parse_length
from tests.drawings.boats import boat

SVG = "{http://www.w3.org/2000/svg}"


def shown(svg: str) -> list[str]:
    return [node.text for node in ElementTree.fromstring(svg).iter(f"{SVG}text")]


def path_of(svg: str, colour: str) -> np.ndarray:
    """Corners, on the page, of the one line of a colour."""
    root = ElementTree.fromstring(svg)
    [path] = [p for p in root.iter(f"{SVG}path") if f"stroke: {colour}" in p.get("style", "") and p.get("clip-path")]
    return np.array(re.findall(r"[ML] (-?[\d.]+) (-?[\d.]+)", path.get("d")), dtype=float)


@pytest.mark.parametrize(("rise", "length"), [(30, 5000), (400, 7000), (2000, 2500), (0.5, 9000)])
def test_the_exaggeration_that_it_states_is_the_one_on_the_page(rise, length):
    board = Board((2.2,))
    board.start()
    board.line("slope", [0, length], [0, rise], "batten", color="#123456", linestyle="-")
    times = board.frame((0, length), (0, rise))
    svg = board.finish("A slope.").svg()
    across, up = np.abs(np.diff(path_of(svg, "#123456"), axis=0))[0]
    assert (up / rise) / (across / length) == pytest.approx(times, rel=2e-3)
    words = "drawn true to proportion" if times == 1 else f"heights drawn {times} times larger than lengths"
    assert words in shown(svg)


@settings(max_examples=15)
@given(st.floats(1, 20000), st.floats(0.01, 5000), st.floats(-5000, 5000))
def test_everything_to_be_shown_is_on_the_pane(length, rise, base):
    board = Board((1.5,))
    times = board.frame((0, length), (base, base + rise))
    assert times in EXAGGERATIONS
    (x0, x1), (y0, y1) = board.panes[0].get_xlim(), board.panes[0].get_ylim()
    assert x0 <= 0 and x1 >= length and y0 <= base and y1 >= base + rise


def test_drawing_again_is_the_same_as_drawing_afresh():
    job, board = boat(), beam_board()
    first = draw_beam(job.beams["4"], board=board).svg()
    draw_beam(job.beams["9"], board=board, place=200.0).svg()
    assert draw_beam(job.beams["4"], board=board).svg() == first
    assert sorted(shown(draw_beam(job.beams["4"]).svg())) == sorted(shown(first))


def test_what_is_not_drawn_again_is_gone_from_picture_and_legend():
    board = Board((1.0,))
    for gone in (False, True):
        board.start()
        board.line("edge", [0, 1], [0, 1], "designed", label="the edge")
        if not gone:
            board.dots("tape", [0, 1], [0, 1], "measured", label="the tape")
            board.words("note", 0, 0, "a note")
        board.limits((0, 1), (0, 1))
        words = shown(board.finish("An edge.").svg())
        assert "the edge" in words
        assert ("the tape" in words) is not gone and ("a note" in words) is not gone


def luminance(colour: str) -> float:
    parts = np.array([int(colour[k : k + 2], 16) / 255 for k in (1, 3, 5)])
    linear = np.where(parts <= 0.03928, parts / 12.92, ((parts + 0.055) / 1.055) ** 2.4)
    return float(linear @ [0.2126, 0.7152, 0.0722])


@pytest.mark.parametrize("colour", [BLACK, GREY, BLUE, VERMILION, "#444444"])
def test_colours_can_be_seen_on_white(colour):
    """W3C, Web Content Accessibility Guidelines 2.1, 1.4.3 and 1.4.11: 4.5 for words, 3 for drawn lines."""
    contrast = 1.05 / (luminance(colour) + 0.05)
    assert contrast >= (3.0 if colour == VERMILION else 4.5)


def test_every_meaning_has_a_second_cue_beside_its_colour():
    assert LINES["batten"]["linestyle"] != LINES["designed"].get("linestyle", "-")
    assert BANDS["plane"]["hatch"] != BANDS["pack"]["hatch"]
    assert DOTS["plane"]["marker"] != DOTS["pack"]["marker"]
    assert DOTS["measured"]["marker"] != DOTS["measured starboard"]["marker"]
    assert LINES["designed"]["color"] == BLACK
    assert LINES["batten"]["color"] == BLUE == "#0072B2"
    assert DOTS["measured"]["color"] == VERMILION == "#D55E00"


@given(st.sampled_from(["mm", "in", "ft-in-8"]), st.floats(-9000, 9000), st.floats(1, 9000), st.integers(2, 14))
def test_axis_marks_are_lengths_that_a_rule_shows(units, low, span, most):
    marks = RuleMarks(units, most).tick_values(low, low + span)
    assert len(marks) <= most
    assert all(low - 1e-6 <= mark <= low + span + 1e-6 for mark in marks)
    for mark in marks:
        assert parse_length(rule_words(abs(mark), units), units) == pytest.approx(abs(mark), abs=1e-6)


def test_names_are_made_fit_to_be_drawn():
    assert clean("a\x00b\u202ec\n d") == "abc d"
    assert len(clean("x" * 5000)) == 48
