"""The lessons of the class in a real browser: moved by keyboard, in both themes, and quick enough."""

from __future__ import annotations

import statistics

import pytest

from tests.browser.test_for_everybody import THEME, THEMES, found

PAGES = ("00_the_class", "01_layouts", "02_crown_line", "03_bending")
#: Key presses on a slider, one after another, each timed from the key to the changed picture.
TIMED = """async ({label, presses}) => {
    const slider = [...document.querySelectorAll('.dg-panel input[type=range]')]
        .find(one => one.labels[0].textContent === label);
    const picture = slider.closest('.dg-panel').querySelector('.dg-picture');
    const took = [];
    for (let k = 0; k < presses; k++) {
        const start = performance.now();
        const changed = new Promise(done => {
            const watch = new MutationObserver(() => { watch.disconnect(); done(); });
            watch.observe(picture, {childList: true});
        });
        slider.value = Number(slider.value) + (k % 2 ? -1 : 1);
        slider.dispatchEvent(new Event('input', {bubbles: true}));
        await changed;
        took.push(performance.now() - start);
        await new Promise(done => setTimeout(done, 60));
    }
    return took;
}"""


def panel(workbook, title: str):
    return workbook.page.get_by_role("region", name=title)


def say(workbook, title: str, words: str) -> None:
    panel(workbook, title).locator(".dg-words").get_by_text(words).wait_for(timeout=10_000)


def test_a_layout_is_drawn_step_by_step_with_the_arrow_keys(workbook):
    workbook.open_notebook("class/01_layouts.ipynb")
    workbook.run_all()
    title = "Layout step by step: quarter-circle"
    lesson = panel(workbook, title)
    slider = lesson.get_by_role("slider", name="Step", exact=True)
    seen = [lesson.locator(".dg-picture").inner_html()]
    slider.focus()
    for step in range(2, 7):
        workbook.page.keyboard.press("ArrowRight")
        say(workbook, title, f"Step {step} of 6.")
        assert slider.get_attribute("aria-valuetext") == f"step {step} of 6"
        seen.append(lesson.locator(".dg-picture").inner_html())
    assert len(set(seen)) == 6
    assert lesson.locator(".dg-picture").get_attribute("aria-label").startswith("Step 6 of 6 of the layout")
    assert workbook.errors() == []


def test_the_sheer_is_moved_and_the_hump_goes(workbook):
    workbook.open_notebook("class/02_crown_line.ipynb")
    workbook.run_all()
    title = "Why a hump appears"
    lesson = panel(workbook, title)
    say(workbook, title, "hump of")
    with_hump = lesson.locator(".dg-picture").inner_html()
    lesson.get_by_role("slider", name="The sheer is higher at the ends by").focus()
    workbook.page.keyboard.press("End")
    say(workbook, title, "no hump")
    assert lesson.locator(".dg-picture").inner_html() != with_hump
    workbook.page.keyboard.press("Home")
    say(workbook, title, "hollow of")
    lesson.get_by_role("combobox", name="Rule").select_option("same proportion")
    say(workbook, title, "no hollow")
    assert workbook.errors() == []


def test_ducks_are_pushed_and_lifted_by_keyboard(workbook):
    workbook.open_notebook("class/03_bending.ipynb")
    workbook.run_all()
    title = "A batten and its ducks"
    lesson = panel(workbook, title)
    say(workbook, title, "the line is fair as it lies")
    slider = lesson.get_by_role("slider", name="Push duck 3")
    slider.focus()
    for _ in range(4):
        workbook.page.keyboard.press("ArrowRight")
    assert slider.get_attribute("aria-valuetext") == "8 mm (5/16 in) up"
    say(workbook, title, "eases most when duck 3 is lifted")
    lesson.get_by_role("combobox", name="Lift duck").select_option("3")
    say(workbook, title, "Duck 3 is lifted: the batten has gone")
    assert lesson.get_by_role("row").filter(has_text="lifted").count() >= 1
    assert workbook.errors() == []


@pytest.mark.parametrize(
    ("page", "label"),
    [("02_crown_line", "The sheer is higher at the ends by"), ("03_bending", "Push duck 3"), ("03_bending", "Layers")],
)
def test_a_slider_changes_the_page_within_sixty_milliseconds(workbook, page, label):
    """The middle of twenty, on a machine that does nothing else; twice that is allowed for one that is shared."""
    workbook.open_notebook(f"class/{page}.ipynb")
    workbook.run_all()
    took = workbook.page.evaluate(TIMED, {"label": label, "presses": 24})[4:]
    print(f"\n{label}: {statistics.median(took):.0f} ms in the middle, {max(took):.0f} ms at worst")
    assert statistics.median(took) < 120


@pytest.mark.parametrize("page", PAGES)
def test_labels_contrast_and_tables_in_both_themes(workbook, page):
    workbook.open_notebook(f"class/{page}.ipynb")
    workbook.run_all()
    try:
        for theme, name in THEMES.items():
            workbook.in_time(THEME, "the theme did not change", name)
            workbook.keep_pictures(f"{page}-{theme}.ipynb")
            faults = found(workbook.page)
            assert not faults, f"{theme}:\n" + "\n".join(faults)
    finally:
        workbook.in_time(THEME, "the theme did not change", THEMES["light"])
    assert workbook.errors() == []
    assert workbook.pictures_without_words() == []
