"""Forms for the boat: what they ask for, and that the heights on them are those of the job."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import pytest

from deckgeom.boat import read_boat
from deckgeom.job import do_job
from deckgeom.papers.forms import level_check_form, next_round_form
from deckgeom.papers.page import Imprint, Page, write_pdf
from deckgeom.units import format_length

DEMO = Path(__file__).resolve().parents[2] / "notebooks" / "boats" / "thimblewick"


@pytest.fixture(scope="module")
def job():
    return do_job(read_boat(DEMO))


def words(pages, tmp_path) -> str:
    from pypdf import PdfReader

    file = write_pdf(tmp_path / "form.pdf", pages, Imprint("x", "2026-05-01", (), "0"))
    return "\n".join(page.extract_text() for page in PdfReader(file).pages)


def test_a_hull_with_marks_gets_a_form_with_them(job, tmp_path):
    text = words(level_check_form(job, Page), tmp_path)
    for mark in job.boat.marks:
        assert mark.name in text
        assert format_length(mark.x, "ft-in-8") in text
    assert len(re.findall(r"(?<!\d)2' 0\"", text)) == len(job.boat.marks) == 5
    assert text.count("__________") == 5 + 3


def test_without_marks_the_four_are_the_ends_of_the_outermost_whole_beams(job, tmp_path):
    job = replace(job, boat=replace(job.boat, marks=()))
    text = words(level_check_form(job, Page), tmp_path)
    for name in ("1", "24"):
        beam = job.beams[name]
        assert format_length(beam.edge_height_port, "ft-in-8") in text
        assert format_length(beam.edge_height_starboard, "ft-in-8") in text
    assert text.count("deck edge, port") == text.count("deck edge, starboard") == 2
    assert text.count("__________") >= 8


def test_the_next_round_asks_for_the_touched_beams_alone(job, tmp_path):
    text = words(next_round_form(job, Page), tmp_path)
    plan = job.fairing.plan
    assert {plan.tops.beam_names[b] for b in plan.touched} == {"9", "17"}
    rows = [i for i in range(plan.tops.count) if plan.tops.beam[i] in plan.touched]
    assert text.count("__________") == len(rows)
    for i in rows:
        assert format_length(plan.after[i], "ft-in-8") in text


def test_without_work_there_is_no_next_round(job):
    from dataclasses import replace

    assert next_round_form(replace(job, fairing=None), Page) == []
