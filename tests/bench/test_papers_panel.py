"""The papers at the press of a button: told while they are written, all of them or none, and never an old pattern."""

from __future__ import annotations

from pathlib import Path

import pytest

from deckgeom.bench import open_boat, papers
from deckgeom.boat import copy_boat

DEMO = Path(__file__).parents[2] / "notebooks" / "boats" / "thimblewick"


@pytest.fixture
def folder(tmp_path):
    return copy_boat(DEMO, tmp_path / "own boat")


def test_the_button_writes_all_and_links_to_each(demo_unlaid):
    folder = demo_unlaid
    job = open_boat(folder)
    assert "Nothing was written yet" in repr(papers.written(job)) and not (folder / "out").exists()
    old = folder / "out" / "patterns" / "A4" / "beam_99_gone.pdf"
    old.parent.mkdir(parents=True)
    old.write_bytes(b"old")
    live = papers.panel(job).do("write", patterns="A4")
    assert live.trouble == "" and "Written: " in live.words
    assert not old.exists()
    names = {file.name for file in papers.written(job).files}
    assert {"shop_sheets.pdf", "blank_forms.pdf", "beams.csv", "beam_09_9.pdf", "beam_09_9.dxf"} <= names
    assert 'href="' in papers.written(job)._repr_html_()
    assert not [one for one in (folder / "out").rglob("*") if "being-written" in one.name]


def test_stopped_it_leaves_nothing(folder):
    live = papers.panel(open_boat(folder))
    live._do("write", {"paper": "A4", "patterns": "A4"})
    assert live.busy
    live.stop()
    assert live.busy == "" and "stopped" in live.words.lower()
    assert not list((folder / "out").rglob("*.pdf")) if (folder / "out").exists() else True


def test_without_paper_no_pattern_is_written(demo_unlaid):
    folder = demo_unlaid
    live = papers.panel(open_boat(folder)).do("write", patterns=papers.NO_PATTERNS)
    assert "Written: " in live.words and not (folder / "out" / "patterns").exists()
