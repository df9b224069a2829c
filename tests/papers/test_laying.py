"""The sheets for laying the deck carry every number that is wanted at the boat, read back from the finished file."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import date
from functools import partial

import pytest
from pypdf import PdfReader

from deckgeom.bench.example import example_laying
from deckgeom.bench.laying import plan_of
from deckgeom.boat.fittings_file import Fitting
from deckgeom.boat.ways_reader import ways
from deckgeom.job import do_job
from deckgeom.laying.plan_words import to_buy
from deckgeom.papers.laying import _edges, laying_pages
from deckgeom.papers.laying_landings import landing_pages
from deckgeom.papers.page import Page
from deckgeom.papers.shop import write_papers


@pytest.fixture(scope="module")
def book(tmp_path_factory) -> list[str]:
    files = write_papers(example_laying(), tmp_path_factory.mktemp("out"), day=date(2026, 5, 1))
    assert [file.name for file in files] == ["shop_sheets.pdf", "laying.pdf"]
    return [" ".join(page.extract_text().split()) for page in PdfReader(files[1]).pages]


def titled(book: list[str], title: str) -> list[str]:
    return [page for page in book if title in page]


def test_quantities_of_both_ways_stand_on_the_first_sheet(book):
    for name, *cells in plan_of(example_laying()).quantities():
        assert " ".join([name, *cells]) in book[0]


def test_every_glue_up_has_its_card_with_amount_time_and_cautions(book):
    for way in plan_of(example_laying()).ways:
        for _, made in way.cards:
            for card in made:
                pages = titled(book, f"Glue-up {card.number} of {len(made)}: {way.way.name}")
                whole = " ".join(pages)
                assert f"Glue: {card.glue.words()}" in whole
                assert f"About {card.minutes:.0f} minutes" in whole and f"within {card.time.film[0]:.0f}" in whole
                assert "Epoxy makes skin allergic for good" in whole
                assert all(f"Spread {part.name} " in whole for part in card.parts)


def test_every_sheet_has_its_true_shape_with_each_offset(book):
    way = plan_of(example_laying()).way("skins")
    pages = " ".join(titled(book, "True shapes: skins"))
    blocks = {part.split(" ")[0]: part for part in re.split(r"\bSheet (?=[A-Z]\d)", pages)[1:]}
    assert set(blocks) == {panel.panel.name for panel in way.panels}
    for name, block in blocks.items():
        _, marks = way.flat(name)
        for _, along, off in marks.rows():
            assert f"{abs(along):.0f} mm" in block and f"{abs(off):.0f} mm" in block


def test_edges_of_planks_laid_straight_are_one_number_each(book):
    way = plan_of(example_laying()).way("laid")
    pages = titled(book, "Plank edges: laid")
    job = example_laying()
    for x in (sum(job.beams[name].faces_x) / 2 for name in ("4", "5", "6")):
        assert way.planks.planking.of("port")[3].at(x)[1] == pytest.approx(180.0, abs=0.5)
    assert len(pages) == 1 and "3 180 mm" in pages[0] and "the same on every beam" in pages[0]


def test_edges_of_sprung_planks_stand_at_every_beam():
    boat = example_laying().boat
    wishes = replace(boat.settings.laying, ways=ways([["bent", "planks 12 mm, 60 mm wide, sprung"]], "mm"))
    job = do_job(replace(boat, settings=replace(boat.settings, laying=wishes)))
    way = plan_of(job).way("bent")
    pages = _edges(job, way, lambda title, note="": Page(title, note=note))
    words = [drawn[1][2] for page in pages for drawn in page.drawn if drawn[0] == "words"]
    whole = [f"beam {beam.name}" for beam in job.beams if beam.mark.whole]
    assert [word for word in dict.fromkeys(words) if word.startswith("beam ")] == whole


def test_the_shopping_list_names_all_that_is_bought(book):
    for way in plan_of(example_laying()).ways:
        page = titled(book, f"What to buy: {way.way.name}")[0]
        assert page.count("[ ]") == len(to_buy(way)) > len(way.shopping)
        assert all(" ".join(f"{what}: {amount}".split()) in page for what, amount, _ in to_buy(way))
        assert "ring nails" in page and "What the amounts rest on:" in page


def test_fastenings_on_paper_add_up_to_the_count(book):
    way = plan_of(example_laying()).way("skins")
    pages = " ".join(titled(book, "Fastenings: skins"))
    found = sum(int(n) for n in re.findall(r"(?:beam \w+|(?:port|starboard) edge|of the hatch) (\d+)(?= )", pages))
    assert found == sum(plan.count() for _, plan, _ in way.fastenings)


def test_landings_name_their_beams(book):
    way = plan_of(example_laying()).way("skins")
    pages = " ".join(titled(book, "Landings: skins"))
    named = re.findall(r"\bbeam \d|\bcarlin to (?:port|starboard)", pages)
    assert len(named) == sum(len(fit.landings) for fit in way.landings)


def test_landings_carry_every_number_and_are_printed_once_for_both_sides():
    boat = example_laying().boat
    wishes = replace(boat.settings.laying, ways=ways([["laid", "planks 12 mm, 60 mm wide"]], "mm"))
    way = plan_of(do_job(replace(boat, settings=replace(boat.settings, laying=wishes)))).way("laid")
    pages = landing_pages(way.landings, "Landings", "mm", Page)
    drawn = [(part[1][2], part[1][3]) for page in pages for part in page.drawn if part[0] == "words"]
    words = {word for word, _ in drawn}
    plain = [landing for fit in way.landings for landing in fit.landings if all(len(e) == 1 for e in landing.on_edges)]
    assert len(plain) > 40
    assert {f"{edge[0][0]:.0f} mm" for landing in plain for edge in landing.on_edges} <= words
    assert any(word.startswith("BOTH") for word in words)
    assert min(size for word, size in drawn if word.startswith("beam ")) >= 10


def test_every_sheet_says_what_its_numbers_are_taken_to(book):
    assert all("heights up from the base line" in page and "2026-05-01" in page for page in book)
    assert any("licensed designer or surveyor" in page for page in titled(book, "Sheets: skins"))


def test_a_way_that_cannot_be_had_is_told_on_the_first_sheet_and_the_rest_is_printed():
    boat = example_laying().boat
    wishes = replace(boat.settings.laying, ways=ways([["odd", "planks 12 mm, 60 mm wide, covering board 3 m"]], "mm"))
    pages = laying_pages(do_job(replace(boat, settings=replace(boat.settings, laying=wishes))), partial(Page))
    first = " ".join(words[2] for kind, words, _ in pages[0].drawn if kind == "words")
    assert "To settle first:" in first and "odd: A covering board 3000 mm broad" in first
    assert any(page.title == "What to buy: odd" for page in pages)


def test_holes_of_mast_and_chainplates_are_printed_with_their_bevels_and_middles():
    fittings = (Fitting("mast", 2200.0, 0.0, 110.0, 110.0, rake_deg=4.0, shape="round"),
                Fitting("chainplate", 2600.0, -600.0, 80.0, 10.0, lean_deg=5.0))  # fmt: skip
    boat = replace(example_laying().boat, fittings=fittings)
    framing = plan_of(do_job(boat)).framing
    pages = [page for page in laying_pages(do_job(boat), Page) if page.title == "Holes for mast and chainplates"]
    words = [part[1][2] for page in pages for part in page.drawn if part[0] == "words"]
    assert len(pages) == 1 and len(framing.holes) == 2
    for row in framing.hole_rows("mm"):
        assert all(cell in words for cell in row)
    assert "4.0 degrees aft" in words and "5.0 degrees to starboard" in words and "plumb" in words
