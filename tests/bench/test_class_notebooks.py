"""The pages of the class have the shape of all others, lead to each other, and run untouched."""

from __future__ import annotations

import re

import pytest

from tests.bench import test_notebooks as shape

PAGES = sorted(path.stem for path in (shape.BOOKS / "class").glob("*.ipynb"))
NAMES = [f"class/{page}" for page in PAGES]


def test_the_lessons_are_there():
    assert {"00_the_class", "01_layouts", "02_crown_line", "03_bending"} <= set(PAGES)


@pytest.mark.parametrize("name", NAMES)
def test_shape_words_and_cells(name):
    shape.test_no_outputs_are_stored_and_ids_are_stable(name)
    shape.test_cells_are_short_and_hold_no_geometry(name)
    shape.test_boxes_that_only_show_something_are_folded_and_no_others(name)
    shape.test_words_are_plain(name)
    first, words = shape.cells(name)[0][1], shape.words(name)
    assert first.startswith("# ") and "| what goes in | what comes out | how long |" in first
    assert "**After this page you can**" in first
    for part in ("## Inputs", "## What to check on the boat", "> **Take care.**", "## Summary"):
        assert part in words, part
    inputs = next(text for kind, text in shape.cells(name) if kind == "code")
    assert 'units = "mm"' in inputs and "import" not in inputs


@pytest.mark.parametrize("name", NAMES)
def test_a_panel_is_never_the_only_way(name):
    code = [text for kind, text in shape.cells(name) if kind == "code"]
    panels = [k for k, text in enumerate(code) if re.search(r"panel\([^)]*\)\s*$", text.strip())]
    assert panels
    for k in panels:
        assert re.search(r"\b(steps|\w*table)\(beam", code[k + 1]) or re.search(r"table\(beam", code[k + 2]), code[k]


def test_links_lead_somewhere_and_every_page_is_reached_from_the_first():
    for name in NAMES:
        for link in re.findall(r"\]\(([^)]+)\)", shape.words(name)):
            assert (shape.BOOKS / "class" / link).exists(), f"{name} links to {link}"
    start = shape.words("class/00_the_class")
    assert all(f"({page}.ipynb)" in start for page in PAGES if page != "00_the_class")
    assert "(class/00_the_class.ipynb)" in shape.words("00_start_here")
