"""The contact sheet is the finished pages, and the bench gives a link to every file."""

from __future__ import annotations

import io
import re
from dataclasses import replace
from urllib.parse import unquote

import matplotlib.image
import numpy as np
import pytest

from deckgeom.bench.papers import contact, panel, table, write
from deckgeom.papers.contact import GAP, THUMB, contact_sheet
from deckgeom.papers.page import Imprint, Page, write_pdf
from tests.papers.boats import laminated


def test_every_page_has_its_place_and_its_own_ink(tmp_path):
    pages = [Page("") for _ in range(8)]
    pages[6].line([30, 180], [150, 150], 40)
    png, count = contact_sheet(write_pdf(tmp_path / "p.pdf", pages, Imprint("Wherry", "", (), "0.1")), across=3)
    picture = matplotlib.image.imread(io.BytesIO(png), format="png")[..., 0]
    assert count == 8
    high = (picture.shape[0] - GAP) // 3 - GAP
    assert high / THUMB == pytest.approx(297 / 210, abs=0.01)  # ISO 216
    ink = [(1 - picture[GAP + k // 3 * (high + GAP) :][:high, GAP + k % 3 * (THUMB + GAP) :][:, :THUMB]).mean()
           for k in range(8)]  # fmt: skip
    assert int(np.argmax(ink)) == 6
    assert ink[6] > 3 * max(ink[:6] + ink[7:])


def test_the_bench_writes_links_and_shows_every_page(tmp_path, monkeypatch):
    job = laminated(' /"7"<b>')
    job = replace(job, boat=replace(job.boat, folder=tmp_path))
    monkeypatch.chdir(tmp_path)
    written = write(job)
    links = [unquote(link) for link in re.findall(r'href="([^"]+)"', written._repr_html_())]
    assert sorted(links) == sorted(str(file.relative_to(tmp_path)) for file in written.files)
    assert "<b>7" not in written._repr_html_()
    shown = contact(written)
    assert re.fullmatch(r"All \d\d pages of shop_sheets.pdf, small, in reading order.", shown.alt)
    assert f'alt="{shown.alt}"' in shown._repr_html_()
    assert "files in" in panel(job).do("write").readout.lines[0]


def test_the_list_counts_the_sheets_that_are_printed(tmp_path):
    from pypdf import PdfReader

    job = laminated()
    job = replace(job, boat=replace(job.boat, folder=tmp_path))
    written = write(job)
    for row in table(job).rows:
        (file,) = [f for f in written.files if f.stem == row[4] and f.parent.name == "A4"]
        pages = [page.extract_text() for page in PdfReader(file).pages]
        assert sum(f" of {row[3]}" in page and "sheet " in page for page in pages) == int(row[3])
