"""A table typed in a real browser: on the disk within a second, a wrong cell in words, all there after a kill."""

from __future__ import annotations

import os
import shutil
import signal
import time

import pytest

KERNEL = "import os; from deckgeom.bench import entries, open_boat; print(os.getpid())"
TABLE = "entries.readings(open_boat('boats/own'))"
ROW_4 = "row 20"  # of the file: beam 4, starboard edge


@pytest.fixture
def own(workbook):
    """A copy of the demo boat beside it; taken away again."""
    folder = workbook.server.root / "boats" / "own"
    shutil.copytree(workbook.server.root / "boats" / "thimblewick", folder)
    yield folder
    shutil.rmtree(folder)


def show(workbook) -> int:
    """Open the table; the kernel's process."""
    workbook.write_notebook("typing.ipynb", KERNEL, TABLE)
    workbook.run_all()
    assert workbook.errors() == []
    return int(next("".join(out["text"]) for _, out in workbook.outputs() if out.get("name") == "stdout"))


def box(workbook, label: str):
    return workbook.page.get_by_role("textbox", name=label, exact=True)


def on_disk(own, words: str, within: float) -> bool:
    """Whether the words come to stand in the file in so many seconds."""
    end = time.monotonic() + within
    while time.monotonic() < end:
        if words in (own / "readings.csv").read_text(encoding="utf-8"):
            return True
        time.sleep(0.02)
    return False


def test_a_cell_is_on_the_disk_within_a_second_of_leaving_it(workbook, own):
    show(workbook)
    before = (own / "readings.csv").read_bytes()
    cell = box(workbook, f"height, {ROW_4}")
    assert cell.input_value() == "4-7-4+"
    cell.fill("4-7-5")
    cell.press("Enter")
    assert on_disk(own, "4,starboard,edge,4-7-5,,,1,", 1.0)
    expected = before.replace(b"4,starboard,edge,4-7-4+,", b"4,starboard,edge,4-7-5,")
    assert (own / "readings.csv").read_bytes() == expected != before
    assert box(workbook, "height, row 21").evaluate("one => one === document.activeElement"), "Enter goes down"


def test_a_wrong_cell_says_why_in_words_to_eye_and_ear_and_stays_as_typed(workbook, own):
    show(workbook)
    cell = box(workbook, f"height, {ROW_4}")
    cell.fill("4-7-x")
    cell.press("Tab")
    note = workbook.page.get_by_text("✗ height: this is not a length in any known notation")
    note.wait_for(timeout=5000)
    assert cell.input_value() == "4-7-x" and cell.get_attribute("aria-invalid") == "true"
    assert cell.get_attribute("aria-describedby") == note.get_attribute("id")
    assert on_disk(own, "4,starboard,edge,4-7-x,,,1,", 1.0)
    box(workbook, "height, row 21").press("Control+z")
    note.wait_for(state="detached", timeout=5000)
    assert cell.input_value() == "4-7-4+" and cell.get_attribute("aria-invalid") == "false"


def test_a_killed_kernel_loses_nothing_that_was_accepted_and_the_page_says_what_was_not(workbook, own):
    kernel = show(workbook)
    cell = box(workbook, f"height, {ROW_4}")
    cell.fill("4-7-6")
    cell.press("Enter")
    assert on_disk(own, "4,starboard,edge,4-7-6,,,1,", 1.0)
    os.kill(kernel, signal.SIGSTOP)  # it hangs: the page must say so, and keep the words
    try:
        cell.fill("4-7-7")
        cell.press("Enter")
        workbook.page.get_by_text("Not saved yet: the notebook's kernel does not answer").wait_for(timeout=10_000)
        assert cell.input_value() == "4-7-7"
    finally:
        os.kill(kernel, signal.SIGKILL)
    assert "4,starboard,edge,4-7-6,,,1," in (own / "readings.csv").read_text(encoding="utf-8")
    workbook.page.evaluate("() => window.underTest.sessionContext.restartKernel()")
    workbook.page.get_by_text("Restarting").first.wait_for(state="detached", timeout=20_000)
    workbook.page.evaluate("async () => { await window.underTest.sessionContext.session.kernel.info; }")
    workbook.run_all()
    assert box(workbook, f"height, {ROW_4}").input_value() == "4-7-6"


def test_keys_of_the_table_never_reach_the_notebook(workbook, own):
    show(workbook)
    cells = workbook.page.locator(".jp-Notebook:visible .jp-Cell").count()
    cell = box(workbook, "note, row 20")
    cell.fill("")
    cell.focus()
    workbook.page.keyboard.type("dd x a b 00")
    workbook.page.keyboard.press("Shift+Tab")
    assert on_disk(own, "4,starboard,edge,4-7-4+,,,1,dd x a b 00", 1.0)
    assert workbook.page.locator(".jp-Notebook:visible .jp-Cell").count() == cells
    assert box(workbook, "round, row 20").evaluate("one => one === document.activeElement")
    assert workbook.errors() == []
