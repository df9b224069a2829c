"""The builder's limits and prices, the fewest beams, one left out, rounds and the plank, as the bench shows them."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from deckgeom.bench import fairing, open_boat, plank
from deckgeom.bench.tables import Table, Words
from deckgeom.fairing.forces import POUND_FORCE
from deckgeom.job import do_job
from deckgeom.units import MM_PER_INCH
from tests.drawings.boats import HOSTILE, boat

FOLDER = Path(__file__).parents[2] / "notebooks" / "boats" / "thimblewick"


@pytest.fixture(scope="module")
def demo():
    return open_boat(FOLDER)


def amounts(table: Table, column: int) -> dict[str, float]:
    """Beam and inches out of a column of the table of the work."""
    read = {"1/16": 1 / 16, "1/8": 1 / 8, "3/16": 3 / 16, "1/4": 1 / 4}
    return {row[0]: read[row[column].rstrip('"')] for row in table.rows if row[column]}


def test_the_panel_begins_where_the_plan_of_the_job_stands(demo):
    live, done = fairing.plan_panel(demo), demo.fairing
    for b in done.plan.touched:
        assert done.plan.beam_words(b, "ft-in-8") in live.words
    assert live.readout.lines[-2].endswith(done.plan.totals.words("ft-in-8"))
    assert live.answer.picture.alt == fairing.plan(demo).alt


def test_words_table_and_picture_change_together_with_the_wishes(demo):
    live = fairing.plan_panel(demo)
    for wish in ({"ways": "plane only"}, {"most_off": "1/16 in"}, {"ways": "pack only"}, {"most_up": "1/16 in"}):
        before = live.words, live.answer.picture.alt, repr(live.answer.table)
        live.set(**wish)
        after = live.words, live.answer.picture.alt, repr(live.answer.table)
        assert not any(a == b for a, b in zip(before, after, strict=True)), wish
        assert not live.trouble
        for row in live.answer.table.rows:
            assert f"Beam {row[0]}: {row[3]}" in live.words
            assert re.search(rf"Beam {row[0]}: (plane|pack) ", live.answer.picture.alt)
    assert "plane" not in " ".join(row[3] for row in live.answer.table.rows)


def test_limits_are_kept_on_the_tape(demo):
    planed = fairing.work(demo, ways="plane only", most_off="1/8 in")
    assert amounts(planed, 1) and max(amounts(planed, 1).values()) <= 1 / 8 and not amounts(planed, 2)
    packed = fairing.work(demo, ways="pack only", most_up="1/16 in")
    assert amounts(packed, 2) and max(amounts(packed, 2).values()) <= 1 / 16 and not amounts(packed, 1)


def test_dear_packing_packs_no_more_than_cheap(demo):
    cheap, dear = (amounts(fairing.work(demo, price=price), 2) for price in (0.5, 8))
    assert sum(dear.values()) < sum(cheap.values())


def test_least_depth_holds_on_the_slider_too(demo):
    """Moulding 2 1/2 in less 2 1/4 in leaves 1/4 in at the most, whatever the slider asks; a deeper least, less."""
    beams = replace(demo.boat.settings.beams, least_depth=demo.boat.settings.beams.moulding - MM_PER_INCH / 16)
    shallow = do_job(replace(demo.boat, settings=replace(demo.boat.settings, beams=beams)))
    live = fairing.plan_panel(shallow).set(most_off="no limit", ways="plane only")
    assert live.answer.table.rows and max(amounts(live.answer.table, 1).values()) <= 1 / 16


def test_an_impossible_wish_is_named_in_words_table_and_picture(demo):
    live = fairing.plan_panel(demo).set(ways="plane only", most_off="0 in")
    for beam, way in (("9", "high"), ("17", "low")):
        assert re.search(rf'Cannot be had: beam {beam}, .*stays 1/16" {way} past', live.words)
        assert f"beam {beam}, " in live.answer.table.note
        assert f"Cannot be had: beam {beam} stays high or low." in live.answer.picture.alt
    assert "stays high or low at" in live.answer.picture.alt and "plane at" not in live.answer.picture.alt
    assert "No beam needs touching." not in live.words
    last = "In all: No work that helps is left within these limits, and what cannot be had stays."
    assert live.readout.lines[-2] == last
    assert live.answer.table.rows == (("none", "", "", "no work within these wishes"),)


def test_a_point_read_twice_is_one_place_to_work(demo):
    """The demo's ridge string was read twice on some beams: a strip there is laid once."""
    for row in fairing.work(demo, ways="pack only", price=2).rows:
        assert "on the centreline and on the centreline" not in row[3]


def test_the_readout_keeps_a_line_for_each_beam(demo):
    live = fairing.plan_panel(demo)
    assert "\n".join(live.readout.lines) == live.words and len(live.readout.lines) == 6
    assert live.readout.lines[-1].startswith("In the ring: Beam 6, ")


def test_going_there_and_back_is_the_same_answer(demo):
    live = fairing.plan_panel(demo)
    first = live.words
    live.set(cutoff=9, tolerance="1/4 in", ways="pack only", price=4)
    assert live.words != first
    live.set(**fairing.plan_panel(demo).settings)
    assert live.words == first


def test_an_unknown_wish_names_those_there_are(demo):
    with pytest.raises(KeyError, match="no wish 'depth'; there are: tolerance, cutoff, ways"):
        fairing.work(demo, depth=3)
    with pytest.raises(ValueError, match="choose one of 'plane and pack', 'plane only', 'pack only'"):
        fairing.work(demo, ways="saw")


def test_fewest_and_without_speak_in_the_boats_units(demo):
    said = fairing.fewest(demo)
    assert said.lines[0] == "2 beams at the fewest: 9, 17. Proved: fewer cannot do."
    assert re.search(r"It took \d+\.\d s of the 10 s", said.lines[-1])
    alone = fairing.without(demo, "9")
    assert alone.lines[0].startswith('By the other beams alone, beam 9 stands 3/16" high')
    for shown in (said, alone, fairing.work(demo), fairing.rounds(demo)):
        assert not re.search(r"\d mm\b", repr(shown))
    with pytest.raises(KeyError, match="no beam is called '99'"):
        fairing.without(demo, "99")


def next_round(job, left: float = 0.0):
    """The touched beams measured again, as planned but for what was left to do. [mm]"""
    done, taken = job.fairing, list(job.boat.readings)
    for b in done.plan.touched:
        for i in np.flatnonzero(done.tops.beam == b):
            old = done.readings[done.true.tops_source[i]]
            height = old.height - done.plane_off[i] + done.pack_up[i] + left * (done.plane_off[i] > 0)
            taken.append(replace(old, height=height, round=2))
    return do_job(replace(job.boat, readings=tuple(taken)))


def test_one_round_says_how_to_enter_the_next_and_two_are_compared():
    job = boat()
    one = fairing.rounds(job)
    assert isinstance(one, Words) and "2 in the column 'round'" in one.lines[1] and "(5, 7)" in one.lines[1]
    came_out, short = (fairing.rounds(next_round(job, left)) for left in (0.0, 3.0))
    assert isinstance(came_out, Table) and {row[0] for row in came_out.rows} == {"5", "7"}
    assert not came_out.strong and all("came out as planned" in row[4] for row in came_out.rows)
    assert {short.rows[k][0] for k in short.strong} == {"5"}
    assert all("3 mm higher than planned: that is left to do" in short.rows[k][4] for k in short.strong)


def test_plank_table_is_what_the_engine_says(demo):
    on, table = plank.lie(demo, hold="50 lbf"), plank.table(demo, hold="50 lbf")
    assert [row[0] for row in table.rows] == list(on.measured.names)
    for k, row in enumerate(table.rows):
        assert (row[1] == "touches") == (on.measured.gap[k] < 0.5)
        assert (float(row[2].split()[0]) if row[2] and "less" not in row[2] else 0.0) == pytest.approx(
            on.measured.pull[k] / POUND_FORCE, abs=1.0
        )
    assert max(on.measured.pull.max(), on.planned.pull.max()) <= 50 * POUND_FORCE * (1 + 1e-9)
    assert "fastenings hold 50 lbf" in table.note and table.strong
    assert "As planned:" in plank.says(demo).lines[1]
    assert not re.search(r"\d (mm|N)\b", repr(plank.says(demo)) + plank.picture(demo).alt)


def test_planks_that_cannot_be_laid_say_why(demo):
    with pytest.raises(ValueError, match="there is no line 'keel'"):
        plank.table(demo, "keel")
    with pytest.raises(ValueError, match="give a number with N or lbf"):
        plank.table(demo, hold="well")


def test_names_that_bite_are_safe_everywhere():
    job = boat(HOSTILE, "in")
    live = fairing.plan_panel(job).set(ways="pack only")
    shown = [
        fairing.work(job), fairing.fewest(job), fairing.without(job, f"4{HOSTILE}"), fairing.rounds(job), live.readout,
        live.answer.table, plank.picture(job), plank.table(job), plank.says(job),
    ]  # fmt: skip
    for one in shown:
        tags = set(re.findall(r"<\s*([a-zA-Z]+)", one._repr_html_()))
        assert tags <= {"p", "div", "table", "caption", "thead", "tbody", "tr", "th", "td", "img"}, type(one)


def test_sliders_of_limits_step_on_the_tape(demo):
    for job in (demo, boat()):
        for spec in fairing.plan_panel(job).specs:
            if spec["kind"] == "slider":
                assert len(set(spec["says"])) == len(spec["says"]), spec["label"]
