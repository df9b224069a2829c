"""The live panels by keyboard alone, in a real browser with a real kernel."""

from __future__ import annotations

import json

from playwright.sync_api import expect

CAMBER = (
    "from deckgeom.bench import camber, open_boat\njob = open_boat('boats/thimblewick')",
    "camber.panel(job)",
)
TOLERANCE = (
    "from deckgeom.bench import fairing, open_boat\njob = open_boat('boats/thimblewick')",
    "fairing.plan_panel(job)",
)
LENGTH = ("from deckgeom.bench import start", "start.length_panel('mm')")
CELLS = "() => window.underTest.content.widgets.length"


def press(workbook, *keys: str) -> None:
    for key in keys:
        workbook.page.keyboard.press(key)


def wait_for_words(workbook, words: str) -> None:
    workbook.page.locator(".dg-words").get_by_text(words).wait_for(timeout=10_000)


def test_arrow_keys_move_the_slider_the_words_and_the_picture(workbook):
    workbook.write_notebook("keys.ipynb", *CAMBER)
    workbook.run_all()
    slider = workbook.page.get_by_role("slider", name="Camber at the widest beam")
    before = workbook.page.locator(".dg-picture").inner_html()
    first = slider.get_attribute("aria-valuetext")
    slider.focus()
    press(workbook, "ArrowRight", "ArrowRight")
    assert slider.get_attribute("aria-valuetext") != first
    wait_for_words(workbook, f"{slider.get_attribute('aria-valuetext')} at the widest beam")
    assert workbook.page.locator(".dg-picture").inner_html() != before
    assert workbook.page.evaluate("() => document.activeElement.type") == "range"
    assert workbook.errors() == []


def test_keys_in_a_panel_do_not_reach_the_notebook(workbook):
    workbook.write_notebook("cut.ipynb", *CAMBER)
    workbook.run_all()
    count = workbook.page.evaluate(CELLS)
    workbook.page.get_by_role("slider", name="Camber at the widest beam").focus()
    press(workbook, "d", "d", "x", "a", "b", "ArrowUp", "Home", "End")
    assert workbook.page.evaluate(CELLS) == count


def test_tab_reaches_every_control_in_order(workbook):
    workbook.write_notebook("tab.ipynb", *CAMBER)
    workbook.run_all()
    labels = workbook.page.locator(".dg-controls label").all_inner_texts()
    assert labels[:3] == ["Rule", "Curve of the beams", "Camber at the widest beam"]
    workbook.page.get_by_role("combobox", name="Rule").focus()
    seen = []
    for _ in labels:
        seen.append(workbook.page.evaluate("() => document.activeElement.labels[0].textContent"))
        press(workbook, "Tab")
    assert seen == labels
    assert workbook.page.evaluate("() => !document.activeElement.closest('.dg-controls')"), "the panel is a trap"


def test_a_wrong_entry_is_told_in_one_line_and_mended_again(workbook):
    workbook.write_notebook("entry.ipynb", *LENGTH)
    workbook.run_all()
    cell = workbook.page.get_by_role("textbox", name="A length")
    cell.fill('19 9/16"<img src=x onerror=alert(1)>')
    press(workbook, "Tab")
    alert = workbook.page.get_by_role("alert")
    alert.get_by_text("onerror").wait_for(timeout=10_000)
    assert "\n" not in alert.inner_text() and workbook.page.locator(".dg-panel img").count() == 0
    cell.fill("1-7-4+")
    press(workbook, "Enter")
    wait_for_words(workbook, "1-7-4+ is 497 mm (19 9/16 in).")
    expect(alert).to_have_text("", timeout=10_000)
    assert workbook.errors() == []


def test_the_saved_notebook_keeps_the_last_picture_for_plain_readers(workbook):
    workbook.write_notebook("kept.ipynb", *TOLERANCE)
    workbook.run_all()
    hidden = workbook.page.locator(".dg-snapshot")
    assert hidden.count() == 1 and not hidden.is_visible()
    workbook.page.get_by_role("slider", name="Leave what is within").focus()
    press(workbook, "End")
    wait_for_words(workbook, 'Leave what is within 1/2"')
    workbook.page.wait_for_timeout(900)
    copies = [output["data"]["text/html"] for _, output in workbook.outputs() if "text/html" in output.get("data", {})]
    saved = json.dumps(copies)
    assert "Leave what is within 1/2" in saved and "data:image/svg+xml;base64" in saved
    assert "plane at" not in saved


def test_every_control_and_picture_of_a_panel_has_a_name(workbook):
    workbook.write_notebook("names.ipynb", *TOLERANCE)
    workbook.run_all()
    tree = workbook.page.locator(".dg-panel").aria_snapshot()
    for name in ('region "Plan of the deck"', 'slider "Leave what is within"', 'img "The deck from above'):
        assert name in tree
    unnamed = "all => all.filter(one => !one.labels.length).length"
    assert workbook.page.locator(".dg-panel input, .dg-panel select").evaluate_all(unnamed) == 0
