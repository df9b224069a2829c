"""What a builder who doubts it tries in his first twenty minutes: measured tops, limits and paper, item by item."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pdfplumber
import pytest
from pypdf import PdfReader

from deckgeom.boat import read_boat
from deckgeom.fairing.readings import Reading
from deckgeom.fairing.verdict import CANNOT, DOUBTFUL, LEAVE, PACK, PLANE
from deckgeom.fairing.work import fair_the_tops
from deckgeom.job import do_job
from deckgeom.papers.blank_forms import blank_forms
from deckgeom.papers.page import Page
from deckgeom.units import format_length

DEMO = Path(__file__).parents[1] / "notebooks" / "boats" / "thimblewick"
EIGHTH = 25.4 / 8


@pytest.fixture(scope="module")
def job():
    return do_job(read_boat(DEMO))


def taken(job, beams=None, error=0.5, seed=7, **out) -> list[Reading]:
    """Seven heights a beam of a deck as designed, with a reading error and some beams out. [mm]"""
    rng, found = np.random.default_rng(seed), []
    for beam in job.beams:
        if not beam.mark.whole or (beams and beam.name not in beams):
            continue
        reach = 0.94 * min(-beam.ordinates.y[0], beam.ordinates.y[-1])
        for part in np.linspace(-1, 1, 7):
            z = float(beam.height_at(part * reach, "forward")[0]) + out.get(f"b{beam.name}", 0.0)
            found.append(Reading(beam.name, "", part * reach, z + rng.normal(0, error)))
    return found


def fair(job, readings, **settings):
    chosen = replace(job.boat.settings.fairing, reading_error=0.5, **settings)
    return fair_the_tops(readings, (), job.beams, chosen, job.boat.settings.beams.least_depth)


def number(done, name: str) -> int:
    return done.tops.beam_names.index(name)


def test_item_6_tilting_the_readings_changes_no_verdict(job):
    """A degree of list and half of trim on every reading: words, amounts and deviations are the same."""
    still = taken(job, b9=5.0)
    list_, trim = np.tan(np.radians([1.0, 0.5]))
    a = fair(job, still)
    x = dict(zip(a.true.tops_source.tolist(), a.tops.x, strict=True))
    leant = [replace(one, height=one.height + list_ * one.y + trim * x[k] + 40.0) for k, one in enumerate(still)]
    b = fair(job, leant)
    assert a.verdicts.word.tolist() == b.verdicts.word.tolist()
    assert a.verdicts.beam_word == b.verdicts.beam_word
    assert a.verdicts.deviation == pytest.approx(b.verdicts.deviation, abs=1e-6)


@pytest.mark.parametrize("slip", [10.0, -10.0, EIGHTH * 3])
def test_item_8_spoil_one_reading(job, slip):
    """The right reading is named, before any planing, and its neighbours are not smeared."""
    readings = taken(job)
    spoilt = next(k for k, one in enumerate(readings) if one.beam == "11") + 2
    before = fair(job, readings)
    readings[spoilt] = replace(readings[spoilt], height=readings[spoilt].height + slip)
    done = fair(job, readings)
    at = done.true.tops_source.tolist().index(spoilt)
    assert done.verdicts.word[at] == DOUBTFUL and done.verdicts.first[0] == at
    assert "Measure again first: Beam 11" in "\n".join(done.words())
    assert done.plan.plane_off[at] == done.plan.pack_up[at] == 0
    others = np.arange(done.tops.count) != at
    assert not np.isin(done.verdicts.word[others], [PLANE, PACK, DOUBTFUL]).any()
    assert np.abs(done.estimate.fair - before.estimate.fair)[others].max() < 0.2


def test_item_9_the_ends(job):
    """Nothing silly where a batten runs on past: an end beam that is out is not planed, and bends none beside it."""
    first, last = job.beams.names[0], job.beams.names[-1]
    done = fair(job, taken(job, b1=6.0))
    assert done.verdicts.beam_word[number(done, first)] == CANNOT
    assert done.verdicts.beam_word[number(done, last)] == CANNOT
    assert not done.plan.plane_off[done.tops.beam == number(done, first)].any()
    word = np.array(done.verdicts.beam_word)
    assert not np.isin(word[1:-1], [PLANE, PACK]).any()


def test_item_10_limits_are_kept(job):
    """Never below the least depth; fixed, plane only and pack only are obeyed, and what cannot be had is said."""
    readings = taken(job, b9=12.0, b17=-6.0)
    spare = job.beams["9"].mark.moulding - job.boat.settings.beams.least_depth
    done = fair(job, readings)
    nine, seventeen = (done.tops.beam == number(done, name) for name in ("9", "17"))
    assert done.plan.plane_off[nine].max() == pytest.approx(spare, abs=0.05)
    # what may not come off beam 9 is met by strips on the beams beside it
    assert all(done.plan.pack_up[done.tops.beam == number(done, name)].min() > 1 for name in ("8", "10"))
    plane, pack = fair(job, readings, plane_only=True), fair(job, readings, pack_only=True)
    assert not plane.plan.pack_up.any() and plane.plan.plane_off.max() == pytest.approx(spare, abs=0.05)
    assert any(words.startswith("beam 9, ") for words in plane.plan.breach_words("mm"))
    assert not pack.plan.plane_off.any() and pack.plan.pack_up[seventeen].min() > 3
    marks = [replace(mark, fixed=mark.name == "17") for mark in job.boat.beams]
    held = do_job(replace(job.boat, beams=tuple(marks), readings=tuple(readings), lines=()))
    tops, plan = held.fairing.tops, held.fairing.plan
    on = {name: tops.beam == number(held.fairing, name) for name in ("16", "17", "18")}
    assert not (plan.pack_up[on["17"]].any() or plan.plane_off[on["17"]].any())
    assert plan.plane_off[on["16"]].max() > 1 and plan.plane_off[on["18"]].max() > 1  # its neighbours come down to it


def test_item_17_small_residuals_are_left(job):
    """A deck good to the tape is left alone, in so many words."""
    done = fair(job, taken(job))
    assert set(done.verdicts.beam_word) <= {LEAVE, CANNOT}
    assert not (done.plan.plane_off.any() or done.plan.pack_up.any())
    said = "\n".join(done.words())
    assert "No beam needs touching." in said and "Leave, within your reading error: beams 2, " in said
    assert "plane." not in said and "pack." not in said


def test_item_12_the_print(written_demo):
    """Both bars and a diagonal on every sheet measure what they say, and a curve on two sheets meets at its marks."""
    file = next((written_demo / "out" / "patterns" / "A4").glob("beam_*_9.pdf"))
    with pdfplumber.open(file) as book:
        assert len(book.pages) > 4
        for page in book.pages:
            point = 25.4 / 72
            lengths = [(abs(line["x1"] - line["x0"]) * point, abs(line["y1"] - line["y0"]) * point)
                       for line in page.lines]  # fmt: skip
            four_inches = [pair for pair in lengths if max(pair) == pytest.approx(4 * 25.4, abs=0.1)]
            assert any(wide > high for wide, high in four_inches) and any(high > wide for wide, high in four_inches)
            words = page.extract_text()
            assert "both bars 4 in" in words and "multiply" in words


def test_item_18_each_sheet_can_be_read_alone(written_demo):
    """Boat, day, what heights and half-breadths go to, units and page n of m stand on every shop sheet."""
    book = PdfReader(written_demo / "out" / "shop_sheets.pdf")
    for k, page in enumerate(book.pages, 1):
        words = " ".join(page.extract_text().split())
        for wanted in ("Thimblewick", f"page {k} of {len(book.pages)}", "heights", "half-breadths to outside of pl",
                       "lengths to 1/16 in", "100 mm"):  # fmt: skip
            assert wanted in words, (k, wanted)


def test_item_19_the_paper_carries_all_numbers_needed_to_finish(job, written_demo):
    """Laptop gone: crown, edges, every ordinate and bevel of every beam, and the work, stand on paper."""
    text = "\n".join(page.extract_text() for page in PdfReader(written_demo / "out" / "shop_sheets.pdf").pages)
    for beam in job.beams:
        for value in (beam.camber, beam.jig_camber, beam.crown_height, beam.edge_height_port, beam.x):
            assert format_length(value, "ft-in-8") in text
        for drop, rise in zip(beam.ordinates.mould_drop, beam.ordinates.rise_over_siding, strict=True):
            assert format_length(float(drop), "ft-in-8") in text and format_length(float(rise), "ft-in-8") in text
    for b in job.fairing.plan.touched:
        amount = max(job.fairing.plane_off[job.fairing.tops.beam == b].max(),
                     job.fairing.pack_up[job.fairing.tops.beam == b].max())  # fmt: skip
        assert format_length(float(amount), "ft-in-8") in text


def test_item_20_the_blank_form_asks_in_the_order_of_the_walk(job):
    """Sheer before beams, each from forward; a beam from port to starboard."""
    pages = blank_forms(job, Page)
    titles = list(dict.fromkeys(page.title for page in pages))
    assert titles[0].endswith("Sheer and half-breadths") and titles[-1].endswith("Beam tops")
    assert list(job.boat.offsets.x) == sorted(job.boat.offsets.x)
    assert [beam.x for beam in job.beams] == sorted(beam.x for beam in job.beams)
