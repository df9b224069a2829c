"""Blank forms: in walking order, with what is known already, in the words and rows of the boat's files."""

from __future__ import annotations

from functools import partial
from pathlib import Path

import pytest
from pypdf import PdfReader

from deckgeom.boat import Boat, default_settings, read_boat
from deckgeom.job import do_job
from deckgeom.papers.blank_forms import BEAMS, STATIONS, blank_forms, write_forms
from deckgeom.papers.page import FOOT, Page
from deckgeom.units import format_length

DEMO = Path(__file__).resolve().parents[2] / "notebooks" / "boats" / "thimblewick"


def text_of(job, tmp_path) -> list[str]:
    (file,) = write_forms(job, tmp_path)
    return [page.extract_text() for page in PdfReader(file).pages]


@pytest.fixture(scope="module")
def job():
    return do_job(read_boat(DEMO))


def test_the_forms_ask_in_the_order_of_the_walk_round_the_boat(job):
    titles = list(dict.fromkeys(page.title for page in blank_forms(job, Page)))
    assert titles == ["Form 1. Sheer and half-breadths", "Has she moved?", "Form 2. Drops of old beams",
                      "Form 3. Trial beam", "Form 4. Beam tops"]  # fmt: skip


def test_stations_and_beams_that_are_known_are_printed(job, tmp_path):
    pages = text_of(job, tmp_path)
    for name, x in zip(job.boat.offsets.stations, job.boat.offsets.x, strict=True):
        assert name in pages[0] and format_length(float(x), "ft-in-8") in pages[0]
    tops = "\n".join(page for page in pages if "Form 4" in page)
    for beam in job.beams:
        half = min(beam.half_breadth_port, beam.half_breadth_starboard) / 2
        assert (format_length(half, "ft-in-8") if beam.mark.whole else "as it is") in tops
    assert "feet-inches-eighths" in pages[0] and "top of deck" in pages[0] and "outside of planking" in pages[0]


def test_a_boat_of_which_nothing_is_known_gets_blank_rows(tmp_path):
    pages = text_of(do_job(Boat(tmp_path, default_settings("mm", "Punt"))), tmp_path)
    assert pages[0].count("________") >= 6 * STATIONS and "millimetres" in pages[0]
    assert pages[-1].count("________") >= 7 * BEAMS


def test_each_form_fits_its_sheet_on_both_papers(job, tmp_path):
    for paper in ("A4", "Letter"):
        (file,) = write_forms(job, tmp_path, paper)
        pages = blank_forms(job, partial(Page, paper=paper))
        assert all(page.cursor > FOOT for page in pages)
        assert len(PdfReader(file).pages) >= 6
