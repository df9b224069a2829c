"""A boat is chosen, copied and made by keyboard, and every notebook opens it."""

from __future__ import annotations

from pathlib import Path

import pytest

PANEL = ("from deckgeom.bench import open_boat, start", "start.boat_panel()", "open_boat('').boat.name")


@pytest.fixture
def shed(workbook):
    """The boats of this server; what a test adds is taken away again."""
    boats = workbook.server.root / "boats"
    before = set(boats.iterdir())
    yield boats
    for new in set(boats.iterdir()) - before:
        if new.is_file():
            new.unlink()
        else:
            for file in new.iterdir():
                file.unlink()
            new.rmdir()


def said(workbook, words: str) -> None:
    workbook.page.locator(".dg-actions .dg-words").get_by_text(words).wait_for(timeout=10_000)


def test_run_all_of_the_first_page_leaves_the_boats_as_they_were(workbook, shed):
    def held() -> dict[Path, bytes]:
        return {path: path.read_bytes() for path in shed.rglob("*") if path.is_file() and ".ipynb" not in str(path)}

    before = held()
    assert before
    workbook.open_notebook("00_start_here.ipynb")
    workbook.run_all()
    assert workbook.errors() == [] and held() == before


def test_a_copy_is_made_by_keyboard_and_opened(workbook, shed):
    workbook.write_notebook("choosing.ipynb", *PANEL)
    workbook.run_all()
    page = workbook.page
    name = page.get_by_role("textbox", name="Name of the copy")
    name.focus()
    page.keyboard.type("dd wherry")  # "dd" would delete a cell of the notebook
    page.keyboard.press("Enter")
    said(workbook, "Chosen: dd wherry.")
    assert (shed / "dd wherry" / "offsets.csv").read_bytes() == (shed / "thimblewick" / "offsets.csv").read_bytes()
    assert page.get_by_role("combobox", name="Boat", exact=True).input_value() == "dd wherry"
    assert page.evaluate("() => window.underTest.content.widgets.length") == 3
    workbook.run_all()
    answers = [
        output["data"]["text/plain"] for _, output in workbook.outputs() if output["output_type"] != "display_data"
    ]
    assert answers == ["'dd wherry'"]  # a copy is called by her own name
    assert workbook.errors() == []


def test_an_empty_boat_is_made_and_a_slip_is_told_in_one_line(workbook, shed):
    workbook.write_notebook("making.ipynb", *PANEL)
    workbook.run_all()
    page = workbook.page
    page.get_by_role("textbox", name="Name of the new boat").fill("a/b")
    make = page.get_by_role("button", name="Make an empty boat")
    make.focus()
    page.keyboard.press("Space")
    alert = page.get_by_role("alert")
    alert.get_by_text("'a/b' cannot be the name of a folder: '/' does not go into one.").wait_for(timeout=10_000)
    assert "\n" not in alert.inner_text() and not (shed / "a").exists()
    page.get_by_role("textbox", name="Name of the new boat").fill("punt")
    page.get_by_role("combobox", name="A bare number in it is").select_option("in")
    make.click()
    said(workbook, "Chosen: punt.")
    assert 'units = "in"' in (shed / "punt" / "boat.toml").read_text(encoding="utf-8")
    workbook.run_all()
    assert [o["data"]["text/plain"] for _, o in workbook.outputs() if o["output_type"] == "execute_result"] == [
        "'punt'"
    ]


def test_long_work_is_seen_to_run_and_is_stopped_by_keyboard(workbook):
    workbook.write_notebook(
        "long.ipynb",
        "import time\nfrom deckgeom.bench.actions import Action, Actions\n"
        "from deckgeom.bench.long_work import LongWork\n"
        "sail = lambda: LongWork(time.sleep, 60, about='sailing', at_most=60)",
        "Actions('Voyage', lambda: [Action('sail', 'Sail', sail)])",
        "'alive'",
    )
    workbook.run_all()
    page = workbook.page
    page.get_by_role("button", name="Sail").focus()
    page.keyboard.press("Enter")
    stop = page.get_by_role("button", name="Stop")
    stop.wait_for(timeout=10_000)
    first = page.locator(".dg-work output").inner_text()
    assert first.startswith("sailing: ") and first.endswith("of at most 60 s")
    page.wait_for_function("(before) => document.querySelector('.dg-work output').textContent !== before", arg=first)
    assert 0 < page.get_by_role("progressbar", name="Progress", exact=True).evaluate("one => one.value") < 0.5
    stop.focus()
    page.keyboard.press("Enter")
    said(workbook, "Stopped after ")
    assert not stop.is_visible()
    assert page.evaluate("() => document.activeElement.textContent") == "Sail"
    assert workbook.errors() == []
