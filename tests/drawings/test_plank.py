"""The drawing of a plank before and after says its values; a plan draws what cannot be had as such."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from deckgeom.drawings.plan import draw_plan
from deckgeom.drawings.plank import draw_plank, plank_board
from deckgeom.fairing.again import refair
from deckgeom.fairing.on_tops import lay_on_tops
from deckgeom.fairing.strip import Strip
from tests.drawings.boats import boat

PLANK = Strip(100, 20, 10000, 500, name="plank")


def on(hold=None, fastened=True):
    done = boat().fairing
    return lay_on_tops(done.verdicts, done.plan, 0.0, PLANK, hold, fastened)


def test_alt_text_names_the_plank_its_gaps_and_its_pulls():
    laid = on()
    alt = draw_plank(laid, "centreline").alt
    assert alt.startswith(
        "A plank along the centreline, 100 mm x 20 mm, fastened at every beam. As measured: it touches"
    )
    hardest = int(np.argmax(laid.measured.pull))
    assert f"pulls hardest at beam {laid.measured.names[hardest]}, {laid.measured.pull[hardest]:.0f} N" in alt
    assert f"stands {laid.worst[0]:.0f} mm" in alt and "As planned: it touches 11 of 11 beams" in alt


def test_alt_text_names_beams_that_fastenings_cannot_reach():
    laid = on(hold=20.0)
    out = [n for n, gap in zip(laid.measured.names, laid.measured.gap, strict=True) if gap >= 0.5]
    assert "7" in out
    assert f"cannot be drawn down to beams {', '.join(out)}" in draw_plank(laid, "centreline").alt


@pytest.mark.parametrize("fastened", [True, False])
def test_what_is_drawn_is_what_is_so(fastened):
    laid, board = on(fastened=fastened), plank_board()
    draw_plank(laid, "centreline", tolerance=2.0, board=board)
    for pane, shown in zip(board.panes, (laid.shown_measured, laid.shown_planned), strict=True):
        lines = [line for line in pane.get_lines() if len(line.get_xdata()) == len(laid.x)]
        assert any(np.allclose(line.get_ydata(), shown) for line in lines)
    assert board.panes[0].get_ylim() == board.panes[1].get_ylim()


def test_drawn_again_on_one_board_nothing_of_the_last_stays():
    board = plank_board()
    first = draw_plank(on(hold=20.0), "centreline", board=board)
    again = draw_plank(on(), "centreline", board=board)
    fresh = draw_plank(on(), "centreline")
    assert first.alt != again.alt == fresh.alt
    assert again.svg().count("gap ") == fresh.svg().count("gap ")


def test_a_beam_that_must_stay_is_drawn_as_staying():
    job = boat()
    settings = replace(job.boat.settings.fairing, cutoff=job.fairing.estimate.cutoff, plane_only=True, most_off=0.0)
    now = refair(job.fairing, job.beams, settings)
    picture = draw_plan(now.verdicts, job.sheer, plan=now)
    assert now.plan.breaches
    assert "Cannot be had: beam" in picture.alt and "stays high or low at" in picture.alt
    assert "stays high or low: cannot be had" in picture.svg()
    assert "plane at" not in picture.alt and "plane here" not in picture.svg()
