"""Sheets read back from the finished PDF with an independent library (pdfplumber, pypdf)."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pdfplumber
import pytest
from matplotlib.figure import Figure
from pypdf import PdfReader

from deckgeom.drawings.picture import Picture
from deckgeom.papers.canvas import width_of
from deckgeom.papers.page import FOOT, Imprint, Page, broken, write_pdf
from deckgeom.papers.tables import Column, table_pages

MM = 25.4 / 72
IMPRINT = Imprint("Wherry", "2026-05-01", ("heights up from the base line",), "0.1")


def straight_lines(sheet):
    """Lengths of the upright and the level lines of a sheet. [mm]"""
    lines = [(abs(x.x1 - x.x0) * MM, abs(x.bottom - x.top) * MM) for x in map(_Box, sheet.lines + sheet.curves)]
    return [w for w, h in lines if h < 1e-6], [h for w, h in lines if w < 1e-6]


class _Box:
    def __init__(self, line):
        self.__dict__.update(line)


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_check_bars_are_100_mm_on_the_finished_page(tmp_path, paper):
    file = write_pdf(tmp_path / "one.pdf", [Page("One", paper)], IMPRINT)
    with pdfplumber.open(file) as book:
        level, upright = straight_lines(book.pages[0])
    assert min(abs(w - 100) for w in level) < 0.1
    assert min(abs(h - 100) for h in upright) < 0.1


def test_paper_sizes_are_those_of_the_standards(tmp_path):
    # ISO 216: A4 is 210 x 297 mm. ANSI/ASME Y14.1, size A ("Letter"): 8.5 x 11 in.
    for paper, size in {"A4": (210, 297), "Letter": (8.5 * 25.4, 11 * 25.4)}.items():
        box = PdfReader(write_pdf(tmp_path / "p.pdf", [Page("One", paper)], IMPRINT)).pages[0].mediabox
        assert (float(box.width) * MM, float(box.height) * MM) == pytest.approx(size, abs=0.01)


def test_a_table_keeps_every_cell_and_repeats_its_heading(tmp_path):
    cells = [f"n{k}" for k in range(90)]
    pages = table_pages(lambda: Page("List"), [Column("beam", cells, "left"), Column("mm", ["7"] * 90)])
    book = PdfReader(write_pdf(tmp_path / "t.pdf", pages, IMPRINT))
    words = [page.extract_text().split() for page in book.pages]
    assert len(words) > 2
    assert [w for page in words for w in page if w in set(cells)] == cells
    assert all(page.count("beam") == 1 for page in words)
    assert f"page 2 of {len(words)}" in book.pages[1].extract_text()


def test_nothing_is_drawn_within_5_mm_of_the_paper_edge(tmp_path):
    wide = Page("A sheet with a long title", note="and a note under it")
    wide.words(["plane " * 80])
    rows = table_pages(lambda: Page("List"), [Column("c", ["forward face from the port end " * 2] * 60) for _ in "123"])
    with pdfplumber.open(write_pdf(tmp_path / "t.pdf", [wide, *rows], IMPRINT)) as book:
        for sheet in book.pages:
            for mark in sheet.chars + sheet.lines + sheet.curves:
                assert 5 <= mark["x0"] * MM and mark["x1"] * MM <= float(sheet.width) * MM - 5
                assert 5 <= mark["top"] * MM and mark["bottom"] * MM <= float(sheet.height) * MM - 5


def test_words_from_a_file_are_drawn_and_not_interpreted(tmp_path):
    name = r"$\frac{1}{2}$ <b> %s"
    imprint = Imprint(name, "2026-05-01", (), "0.1")
    text = PdfReader(write_pdf(tmp_path / "x.pdf", [Page(name)], imprint)).pages[0].extract_text()
    assert text.count(name) == 2


def test_fonts_are_embedded(tmp_path):
    page = PdfReader(write_pdf(tmp_path / "f.pdf", [Page("One")], IMPRINT)).pages[0]
    fonts = [font.get_object() for font in page["/Resources"]["/Font"].values()]
    assert fonts
    for font in fonts:
        inner = font["/DescendantFonts"][0].get_object() if "/DescendantFonts" in font else font
        assert "/FontFile2" in inner["/FontDescriptor"].get_object()


def test_a_picture_is_set_as_lines_to_the_width_of_the_sheet(tmp_path):
    figure = Figure(figsize=(8, 2))
    axes = figure.add_axes((0, 0, 1, 1))
    axes.axis("off")
    axes.plot([0, 1], [0.5, 0.5], color="#D55E00")
    axes.set_xlim(0, 1)
    page = Page("One")
    before = page.cursor
    page.place(Picture(figure, "a line"))
    assert before - page.cursor == pytest.approx((210 - 24 - 5) / 4)
    with pdfplumber.open(write_pdf(tmp_path / "p.pdf", [page], IMPRINT)) as book:
        level, _ = straight_lines(book.pages[0])
        assert not book.pages[0].images
        for line in book.pages[0].lines + book.pages[0].curves:
            assert np.size(line["stroking_color"]) == 1  # grey or black, no colour
    assert min(abs(w - 181) for w in level) < 0.1


def test_a_failed_write_leaves_the_last_good_file_and_no_half_file(tmp_path, monkeypatch):
    file = write_pdf(tmp_path / "one.pdf", [Page("One")], IMPRINT)
    good = file.read_bytes()
    monkeypatch.setattr(Path, "replace", lambda *_: (_ for _ in ()).throw(OSError("full")))
    with pytest.raises(OSError, match="full"):
        write_pdf(file, [Page("Two")], IMPRINT)
    assert file.read_bytes() == good
    assert [path.name for path in tmp_path.iterdir()] == ["one.pdf"]


def test_broken_lines_fit_and_lose_no_word():
    words = "scribe the underside of every landing before the glue is mixed"
    lines = broken(words, 40, 11)
    assert " ".join(lines) == words
    assert all(width_of(line, 11) <= 40 for line in lines)
    assert width_of("mm", 22) == pytest.approx(2 * width_of("mm", 11), rel=0.02)


def test_an_unknown_paper_is_named_with_those_there_are():
    with pytest.raises(ValueError, match="paper is 'A5' but sheets come as A4, Letter"):
        Page("One", "A5")


def test_a_page_keeps_clear_of_its_footer():
    page = Page("One")
    page.words(["one line"] * 30)
    assert page.room > 0 and page.cursor > FOOT


def test_second_units_stand_small_under_the_first(tmp_path):
    # 94 mm is 3 11/16 in to the nearest sixteenth: 94/25.4 = 3.7008
    from deckgeom.papers.words import both_units

    pages = table_pages(lambda: Page("List"), [Column("camber", [both_units(94.0), both_units(0.0)])], size=10)
    with pdfplumber.open(write_pdf(tmp_path / "t.pdf", pages, IMPRINT)) as book:
        words = {w["text"]: w for w in book.pages[0].extract_words(extra_attrs=["size"])}
    assert words["94"]["size"] == pytest.approx(10, abs=0.01)
    assert words["11/16"]["size"] == pytest.approx(6, abs=0.01)
    assert 0 < words["11/16"]["top"] - words["94"]["bottom"] < 2
