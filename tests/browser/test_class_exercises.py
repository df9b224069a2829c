"""The exercises and the teacher's page in a real browser: by keyboard alone, slips named, the packet written."""

from __future__ import annotations

import shutil

import pytest
from playwright.sync_api import expect

from deckgeom.lessons.class_work import pair_work
from deckgeom.lessons.exercise import Answer
from deckgeom.lessons.slips import KNOWN_SLIPS
from tests.browser.test_for_everybody import CONTROLS, THEME, THEMES, TWICE, WITHOUT_A_RING, WRONGLY_LABELLED, found

PAGES = ("04_exercises", "05_for_the_teacher", "answers/01_millimetres_normal")
WORK = pair_work(17, 1, "normal", "mm")
CAMBER = WORK.part(4).answer("4A")


def panel(workbook, part: int):
    return workbook.page.get_by_role("region", name=f"Part {part}: your answers")


@pytest.fixture(autouse=True)
def nothing_typed_before(server):
    shutil.rmtree(server.root / "class" / "out", ignore_errors=True)


def named(workbook, answer: Answer):
    """The control of a box, by its label, wherever it stands."""
    role = "combobox" if answer.kind == "choice" else "textbox"
    return workbook.page.get_by_role(role, name=f"{answer.key}. ")


def row(workbook, answer: Answer):
    """A box with its label and what is said of it."""
    return panel(workbook, int(answer.key[0])).locator(".dg-control").filter(has=named(workbook, answer))


def box(workbook, answer: Answer):
    """The control of a box in its panel."""
    return panel(workbook, int(answer.key[0])).locator(named(workbook, answer))


def replied(workbook, answer: Answer, words: str) -> None:
    """Wait until these words are read out beside the box, and nothing else."""
    said = row(workbook, answer).get_by_role("status")
    expect(said).to_have_text(words, timeout=10_000)


def test_a_slip_gets_its_words_and_the_right_answer_in_another_notation_is_right(workbook):
    workbook.open_notebook("class/04_exercises.ipynb")
    workbook.run_all()
    written = workbook.page.locator(".jp-OutputArea-output .dg-reply").all_text_contents()
    assert len(written) == len(WORK.answers) and set(written) == {"Not tried yet."}
    camber = box(workbook, CAMBER)
    camber.fill(f"{CAMBER.value / 20:.1f} cm")
    camber.press("Enter")
    replied(workbook, CAMBER, "Not yet. " + KNOWN_SLIPS["half-beam for beam"].says)
    assert camber.get_attribute("aria-invalid") == "true" and camber.input_value() == f"{CAMBER.value / 20:.1f} cm"
    for k, typed in enumerate(("9 m", "8 m")):
        camber.fill(typed)
        camber.press("Enter")
        replied(workbook, CAMBER, f"Not yet. {CAMBER.hints[min(k + 1, 1)]}")
    camber.fill(f"{CAMBER.value / 25.4:.3f} in")
    camber.press("Tab")
    replied(workbook, CAMBER, "Right, within the tolerance.")
    panel(workbook, 4).locator(".dg-words").get_by_text("Part 4: 1 of 9 boxes right").wait_for(timeout=10_000)
    assert workbook.errors() == []


def test_by_keyboard_alone_and_nothing_typed_is_lost(workbook):
    workbook.open_notebook("class/04_exercises.ipynb")
    workbook.run_all()
    keyboard, first, last = workbook.page.keyboard, WORK.part(1).answer("1A"), WORK.part(1).answer("1D")
    box(workbook, first).focus()
    for _ in range(1 + first.choices.index(first.value)):
        keyboard.press("ArrowDown")
    replied(workbook, first, "Right.")
    keyboard.press("Tab")
    keyboard.press("Tab")  # to the third box, a text
    size = WORK.part(1).answer("1C")
    keyboard.type("a mile or so")
    keyboard.press("Tab")
    expect(row(workbook, size).get_by_role("status")).to_contain_text("a mile or so", timeout=10_000)
    assert box(workbook, size).input_value() == "a mile or so"
    slip = next(one for one in last.slips if one.name == "pack for plane")
    for _ in range(1 + last.choices.index(slip.value)):
        keyboard.press("ArrowDown")
    replied(workbook, last, "Not yet. " + slip.says)
    workbook.run_all()
    box(workbook, size).wait_for(timeout=10_000)
    assert box(workbook, size).input_value() == "a mile or so"
    assert box(workbook, first).input_value() == first.value
    replied(workbook, last, "Not yet. " + slip.says)
    assert workbook.errors() == []


def test_the_packet_is_written_at_the_press_of_a_button(workbook):
    workbook.open_notebook("class/05_for_the_teacher.ipynb")
    workbook.run_all()
    packet = workbook.page.get_by_role("region", name="The packet")
    packet.get_by_role("button", name="Write the packet").press("Enter")
    packet.get_by_role("progressbar").wait_for(timeout=10_000)
    packet.locator(".dg-words").get_by_text("Written: 8 files in").wait_for(timeout=100_000)
    written = workbook.server.root / "class" / "out" / "class_packet"
    assert (written / "packet.pdf").read_bytes().startswith(b"%PDF") and (written / "pair_05.pdf").exists()
    workbook.run_all()
    links = workbook.page.get_by_role("link", name="packet.pdf")
    assert links.count() == 1
    assert workbook.errors() == []


def test_an_answer_is_looked_up_as_it_is_called_out(workbook):
    workbook.open_notebook("class/05_for_the_teacher.ipynb")
    workbook.run_all()
    asked = workbook.page.get_by_role("region", name="Look up an answer")
    asked.get_by_role("combobox", name="Box").select_option("4A")
    asked.get_by_role("textbox", name="They wrote").fill(f"{CAMBER.value / 2:.1f}")
    asked.get_by_role("textbox", name="They wrote").press("Enter")
    asked.locator(".dg-words").get_by_text(KNOWN_SLIPS["half-beam for beam"].says).wait_for(timeout=10_000)
    key = workbook.page.locator(".jp-OutputArea-output summary", has_text="Key of pair 1")
    assert not key.locator("xpath=..").evaluate("one => one.open")
    key.press("Enter")
    assert key.locator("xpath=..").evaluate("one => one.open")
    assert workbook.errors() == []


@pytest.mark.parametrize("page", PAGES)
def test_labels_contrast_and_tables_in_both_themes(workbook, page):
    """With an answer of each kind in the boxes, and the keys unfolded."""
    workbook.open_notebook(f"class/{page}.ipynb")
    workbook.run_all()
    if page == "04_exercises":
        for typed, said in ((f"{CAMBER.value}", "Right, within the tolerance."), ("7 m", "")):
            answer = CAMBER if said else WORK.part(4).answer("4B")
            box(workbook, answer).fill(typed)
            box(workbook, answer).press("Enter")
            replied(workbook, answer, said or f"Not yet. {answer.hints[0]}")
    summaries = workbook.page.locator(".jp-OutputArea-output summary:visible")
    for k in range(0, summaries.count(), 5):
        summaries.nth(k).press("Enter")
    try:
        for theme, name in THEMES.items():
            workbook.in_time(THEME, "the theme did not change", name)
            workbook.keep_pictures(f"{page.replace('/', '-')}-{theme}.ipynb")
            faults = found(workbook.page)
            assert not faults, f"{theme}:\n" + "\n".join(faults)
    finally:
        workbook.in_time(THEME, "the theme did not change", THEMES["light"])
    assert workbook.page.evaluate(TWICE) == []
    controls = workbook.page.locator(CONTROLS)
    assert controls.evaluate_all(WRONGLY_LABELLED) == []
    assert controls.evaluate_all(WITHOUT_A_RING) == []
    assert workbook.errors() == []
