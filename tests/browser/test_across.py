"""Readings typed and pasted as on squared paper, in a real browser: nothing in hand is lost, the verdict follows."""

from __future__ import annotations

import shutil

import pytest

from tests.browser.punt import BEAMS, PASTE, PLACES, block, make_punt


@pytest.fixture
def punt(workbook):
    """A boat of twenty beams with no readings, beside the others; taken away again."""
    folder = workbook.server.root / "boats" / "punt"
    make_punt(folder)
    yield folder
    shutil.rmtree(folder)


def show(workbook, call: str) -> None:
    workbook.write_notebook("across.ipynb", "from deckgeom.bench import across, entries, open_boat", call)
    workbook.run_all()
    assert workbook.errors() == []


def says(workbook, words: str) -> None:
    workbook.page.locator(".dg-says").get_by_text(words).first.wait_for(timeout=10_000)


def box(workbook, label: str):
    return workbook.page.get_by_role("textbox", name=label, exact=True)


def test_a_block_of_twenty_beams_by_nine_places_is_pasted_and_judged(workbook, punt):
    show(workbook, f"across.readings(open_boat('boats/punt'), {PLACES})")
    assert not (punt / "readings.csv").exists(), "showing a table writes nothing"
    workbook.page.evaluate(PASTE, ["800 mm port, beam 1", block()])
    says(workbook, "Beam 9: plane. As a whole it stands 6 mm high")
    rows = (punt / "readings.csv").read_text(encoding="utf-8").splitlines()
    assert len(rows) == 1 + BEAMS * len(PLACES)
    assert rows[9 * 8 + 5] == f"9,,0,{block().splitlines()[8].split(chr(9))[4]},1,"
    box(workbook, "centreline, beam 9").press("Control+z")
    workbook.page.get_by_text("Taken back at").wait_for(timeout=10_000)
    assert len((punt / "readings.csv").read_text(encoding="utf-8").splitlines()) == 1


def test_a_block_that_is_too_large_says_what_it_left_out(workbook, punt):
    show(workbook, f"across.readings(open_boat('boats/punt'), {PLACES})")
    workbook.page.evaluate(PASTE, ["800 mm starboard, beam 19", "1\t2\n3\t4\n5\t6"])
    told = workbook.page.get_by_text("4 pasted cells stood beyond the edge of the table and were left out.")
    told.wait_for(timeout=5000)
    workbook.page.get_by_text("Saved at").wait_for(timeout=5000)
    assert [row.split(",")[3] for row in (punt / "readings.csv").read_text().splitlines()[1:]] == ["1", "3"]
    assert told.is_visible(), "the answer does not wipe it away"


def test_what_is_in_hand_is_not_written_over_by_an_answer(workbook, punt):
    """A long row is typed quickly, while the answers to its first cells are still on their way and rows are added."""
    show(workbook, "entries.readings(open_boat('boats/punt'))")
    page = workbook.page
    box(workbook, "beam, a new row").first.focus()
    typed = [("3", "port", "300", "1012", "1", "by the mast"), ("3", "starboard", "300", "1013", "1", "dd, and wet")]
    for row in typed:
        for k, words in enumerate(row):
            page.keyboard.type(words, delay=15)
            page.keyboard.press("Tab" if k < len(row) - 1 else "Enter")
        page.keyboard.press("Home")
        for _ in range(len(row) - 1):
            page.keyboard.press("ArrowLeft")
            page.keyboard.press("Home")
    page.get_by_text("Saved at").wait_for(timeout=5000)
    page.wait_for_function("() => document.querySelectorAll('.dg-type-in tbody tr').length === 5", timeout=5000)
    assert (punt / "readings.csv").read_text(encoding="utf-8").splitlines()[1:] == [
        "3,port,300,1012,1,by the mast", '3,starboard,300,1013,1,"dd, and wet"'
    ]  # fmt: skip
    assert workbook.errors() == []


def test_half_a_word_stays_while_the_answer_to_another_cell_comes(workbook, punt):
    show(workbook, "entries.readings(open_boat('boats/punt'))")
    page = workbook.page
    box(workbook, "beam, a new row").first.focus()
    page.keyboard.type("3")
    page.keyboard.press("Tab")
    page.keyboard.type("starb")  # the row is saved and the table built anew meanwhile
    page.get_by_text("Saved at").wait_for(timeout=5000)
    page.wait_for_timeout(300)
    page.keyboard.type("oard")
    page.keyboard.press("Enter")
    page.wait_for_timeout(400)
    assert (punt / "readings.csv").read_text(encoding="utf-8").splitlines()[1:] == ["3,starboard,,,,"]


def test_a_cell_that_was_refused_can_be_emptied_again(workbook):
    folder = workbook.server.root / "boats" / "own"
    shutil.copytree(workbook.server.root / "boats" / "thimblewick", folder)
    try:
        show(workbook, "across.readings(open_boat('boats/own'))")
        cell = box(workbook, "port 2 from the middle, beam 4")
        cell.fill("4-8-0")
        cell.press("Enter")
        workbook.page.get_by_text("'4-8-0': beam 4 has no port 2 from the middle in").wait_for(timeout=5000)
        assert cell.input_value() == "4-8-0" and cell.get_attribute("aria-invalid") == "true"
        cell.fill("")
        cell.press("Enter")
        workbook.page.locator(".dg-trouble:empty").wait_for(state="attached", timeout=5000)
        assert cell.get_attribute("aria-invalid") == "false"
        original = workbook.server.root / "boats" / "thimblewick" / "readings.csv"
        assert (folder / "readings.csv").read_bytes() == original.read_bytes()
    finally:
        shutil.rmtree(folder)
