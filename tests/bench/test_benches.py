"""What each bench shows is what the rooms found, in words for a builder, and never a name that bites."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from deckgeom.bench import batten, beams, camber, fairing, humps, open_boat, sheer, spiling, start
from deckgeom.bench.tables import Table, Words
from deckgeom.boat import Boat, default_settings
from deckgeom.job import do_job
from deckgeom.units import format_length
from tests.drawings.boats import HOSTILE, boat

DEMO = Path(__file__).parents[2] / "notebooks" / "boats" / "thimblewick"


@pytest.fixture(scope="module")
def demo():
    return open_boat(DEMO)


def everything(job, beam: str) -> list:
    """All that the notebooks show of a boat."""
    return [
        start.steps(job), start.understood(job), start.complaints(job), start.files(job), start.conventions(job),
        sheer.offsets(job), sheer.suspects(job), sheer.picture(job), sheer.distances(job), sheer.distances_table(job),
        sheer.lengths(job), sheer.along(job, ["40 in"]), sheer.panel(job).readout,
        camber.figure(job), camber.curves(job), camber.curves_table(job), camber.crown_lines(job),
        humps.picture(job), humps.table(job, ("3 in",)), humps.panel(job).readout,
        camber.rules_table(job), camber.drains(job), camber.why(job, beam), camber.panel(job).readout,
        beams.cut_list(job), beams.conventions(job), beams.mould(job, beam), beams.ordinates(job, beam),
        beams.bevels(job, beam), beams.ends(job, beam), beams.jig(job, beam), beams.why(job, beam),
        beams.panel(job).readout, spiling.spile(job, beam), spiling.edge_picture(job), spiling.edge_table(job),
        fairing.hull(job), fairing.first(job), fairing.verdict(job), fairing.plan(job), fairing.beam(job, beam),
        fairing.beams(job), fairing.sheet(job), fairing.sheet(job, every=True), fairing.why(job, beam),
        fairing.plan_panel(job).readout, fairing.beam_panel(job).readout,
        batten.picture(job), batten.gaps(job), batten.panel(job).readout,
    ]  # fmt: skip


def test_everything_of_a_boat_with_names_that_bite_is_safe_html():
    job = boat(HOSTILE, "in")
    for shown in everything(job, f"4{HOSTILE}"):
        html = shown._repr_html_()
        tags = set(re.findall(r"<\s*([a-zA-Z]+)", html))
        assert tags <= {"p", "div", "table", "caption", "thead", "tbody", "tr", "th", "td", "img"}, type(shown)
        assert "onerror" not in html.lower() or "&lt;" in html


def test_everything_of_the_demo_is_shown_without_trouble(demo):
    for shown in everything(demo, "9"):
        assert "broke down" not in repr(shown)
        if isinstance(shown, Table):
            assert shown.rows
        if isinstance(shown, Words):
            assert all(line.strip() for line in shown.lines)


def test_no_table_shows_a_sign_or_a_number_finer_than_a_rule(demo):
    for shown in everything(demo, "9"):
        if isinstance(shown, Table) and not shown.caption.startswith(("Why?", "Measure these", "Beam by beam")):
            for cell in (cell for row in shown.rows for cell in row):
                assert not re.search(r"(?<![\w/])-\d", cell), cell
                assert not re.search(r"\d\.\d{2,}", cell), cell


def test_figures_of_the_cut_list_are_the_beams_own(demo):
    table = beams.cut_list(demo)
    for row, beam in zip(table.rows, demo.beams, strict=True):
        cells = dict(zip(table.heads, row, strict=True))
        assert cells["beam"] == beam.name
        assert cells["camber"] == format_length(beam.camber, "ft-in-8")
        assert cells["jig camber"] == format_length(beam.jig_camber, "ft-in-8")


def test_the_sheet_is_what_the_engine_says(demo):
    sheet, done = fairing.sheet(demo), demo.fairing
    planed = [row for row in sheet.rows if row[4]]
    packed = [row for row in sheet.rows if row[5]]
    assert len(planed) == int((done.plane_off > 0).sum()) and len(packed) == int((done.pack_up > 0).sum())
    assert {row[0] for row in planed} == {"9"} and {row[0] for row in packed} == {"17"}
    assert fairing.first(demo).rows[0][0] == "6"
    assert not [row for row in sheet.rows if row[4] and row[5]]


def test_at_a_great_tolerance_there_is_nothing_to_plane(demo):
    live = fairing.plan_panel(demo)
    assert 'Beam 9: plane 3/16" off its whole top.' in live.words and "Beam 17: pack with one strip" in live.words
    live.set(tolerance="1/2 in")
    assert "plane" not in live.words and "No beam needs touching." in live.words
    assert "Measure again first: beam 6." in live.words


def test_every_live_drawing_is_read_step_by_step(demo):
    done = demo.fairing
    live = fairing.plan_panel(demo)
    order = np.lexsort((done.tops.y, done.tops.beam))
    for step in (1, 40, len(order)):
        i = int(order[step - 1])
        assert f"In the ring: {done.tops.where(i, units='ft-in-8').capitalize()}" in live.set(reading=step).words
        ring = next(line for line in live.answer.picture.figure.axes[0].lines if line.get_markersize() == 17)
        assert (ring.get_xdata()[0], ring.get_ydata()[0]) == (done.tops.x[i], done.tops.y[i])
    beam = fairing.beam_panel(demo).set(beam="6", place="S 1-4-0")
    assert "Beam 6, 1' 4\" to starboard: doubtful reading" in beam.readout.lines[1]
    crown = camber.panel(demo).set(place="10-0-0").readout.lines[-1]
    height = float(demo.deck.height(3048.0, 0.0))
    assert f"no hump: crown at {format_length(height, 'ft-in-8')}" in crown
    laid = batten.lie(demo, "centreline")
    near = int(np.argmin(np.abs(laid.x - 3048.0)))
    said = batten.panel(demo).set(place="10-0-0").readout.lines[-1]
    assert f"is beam {laid.names[near]}: the batten " in said


def test_a_doubtful_reading_does_not_hold_the_batten_up():
    job = boat()
    laid, tops = batten.lie(job, "half way out, starboard"), job.fairing.tops
    assert job.fairing.verdicts.doubtful.sum() == 1
    slipped = tops.z[job.fairing.verdicts.doubtful][0]
    assert laid.z[laid.names.index("3")] < slipped - 10


def test_sliders_of_every_panel_step_on_the_tape(demo):
    for live in (sheer.panel(demo), camber.panel(demo), beams.panel(demo), fairing.plan_panel(demo)):
        for spec in live.specs:
            if spec["kind"] == "slider":
                assert len(set(spec["says"])) == len(spec["says"]), spec["label"]
                assert len(spec["says"]) <= 400


def test_a_folder_with_nothing_in_it_says_what_is_wanting():
    job = do_job(Boat(Path("punt"), default_settings()))
    assert [row[3] for row in start.steps(job).rows] == ["to do"] * 7
    for ask, words in (
        (sheer.picture, "deck edge could not be faired"), (sheer.offsets, "There are no offsets"),
        (camber.crown_lines, "no deck yet"), (beams.cut_list, "There are no beams"),
        (spiling.edge_picture, "could not be laid flat"), (fairing.plan, "nothing to fair yet"),
        (batten.picture, "nothing to lay a batten on"),
        (camber.rules_table, "no deck yet"), (humps.picture, "no deck yet"),
    ):  # fmt: skip
        with pytest.raises(ValueError, match=words):
            ask(job)


def test_a_place_off_the_boat_is_asked_about(demo):
    with pytest.raises(
        ValueError, match=r"1000: that is .*\(25400 mm\), and the deck edge runs from 0\" to 23' 0\"\. Is"
    ):
        sheer.along(demo, [1000])


def test_one_mould_needs_twice_the_camber_of_sheer_and_same_proportion_once(demo):
    """
    On a parabola in plan and profile, S at the ends, c amidships: no hump of one mould from S = 2c, as the crown line
    c (1 - xi^2)^2 + S xi^2 has the second derivative -4c + 2S amidships; none of the same proportion from S = c.
    """
    crown = demo.boat.settings.camber.figure.camber_at(demo.deck.law.widest_half)
    bare = replace(demo.boat.settings, camber=replace(demo.boat.settings.camber, curve="parabola", least=None))
    job = do_job(replace(demo.boat, settings=bare, readings=(), fittings=()))
    rows = humps.table(job, [f"{part * crown} mm" for part in (0.8, 1.03, 1.9, 2.1)]).rows
    assert [row[1] == "none" for row in rows] == [False, False, False, True]
    assert [row[2] == "none" for row in rows] == [False, True, True, True]
    assert [row[3] for row in rows] == ["none"] * 4


def test_a_crown_line_that_cannot_be_had_says_so(demo):
    assert humps.table(demo, ("1 in",)).rows[0][3] == "cannot be had with the least camber"
    live = humps.panel(demo).set(rule="no hump", rise="1 in")
    assert "no crown line that is hollow or straight leaves the least camber everywhere" in live.trouble


def test_unknown_beams_and_lines_are_named(demo):
    with pytest.raises(KeyError, match="no beam is called '99'"):
        fairing.beam(demo, "99")
    with pytest.raises(KeyError, match="99"):
        beams.mould(demo, "99")
    with pytest.raises(ValueError, match="there is no line 'keel'"):
        batten.picture(demo, "keel")
