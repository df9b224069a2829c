"""
Every notebook after Run All, as somebody finds it who cannot see it, sees little, or uses no mouse.

The rules are those of axe-core, a well-kept open library, which comes with its Python package: nothing is fetched.
"""

from __future__ import annotations

from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe

BOOKS = Path(__file__).parents[2] / "notebooks"
NAMES = sorted(path.name for path in BOOKS.glob("*.ipynb"))
THEMES = {"light": "JupyterLab Light", "dark": "JupyterLab Dark"}
#: What is ours on the page: the words and the answers. The rest is JupyterLab's.
OURS = {"include": [[".jp-OutputArea-output"], [".jp-MarkdownOutput"]]}
#: Rules about whole pages, which are JupyterLab's.
NOT_OURS = {"region": {"enabled": False}, "page-has-heading-one": {"enabled": False}}
THEME = "async (theme) => { await window.jupyterapp.commands.execute('apputils:change-theme', {theme}); }"

# JupyterLab's body has no height and hides what overflows it, so axe-core would take every word for hidden.
BODY = "() => { document.body.style.height = '100vh'; }"
KINDS = "input, select, button, textarea, summary, a[href], [tabindex='0']"
CONTROLS = f".jp-OutputArea-output :is({KINDS}):not([disabled]):visible"
TWICE = """() => {
    // inside a picture an id is the digest of what it names, so the same picture shown twice has it twice
    const all = [...document.querySelectorAll('.jp-OutputArea-output [id]')].filter(one => !one.closest('svg'));
    const ids = all.map(one => one.id);
    return ids.filter((id, k) => ids.indexOf(id) !== k);
}"""
WRONGLY_LABELLED = """all => all.filter(one => one.labels && one.tagName !== 'BUTTON'
    && !one.getAttribute('aria-label') && !one.getAttribute('aria-labelledby')
    && ![...one.labels].some(label => label.control === one && label.textContent.trim())).map(one => one.outerHTML)"""
# What takes the focus, which may be another cell of the same table, has an outline, and had none before.
WITHOUT_A_RING = """all => {
    const ring = one => {
        const style = getComputedStyle(one);
        return style.outlineStyle !== 'none' && parseFloat(style.outlineWidth) > 0;
    };
    return all.filter(one => {
        document.activeElement.blur();
        const before = ring(one);
        one.focus({ focusVisible: true });
        const held = document.activeElement;
        return before || !held.closest('.jp-OutputArea-output') || !ring(held);
    }).map(one => one.outerHTML.slice(0, 200));
}"""


def found(page) -> list[str]:
    """What axe-core finds wrong with the words and the answers, one line an element."""
    page.evaluate(BODY)
    response = Axe().run(page, context=OURS, options={"rules": NOT_OURS, "resultTypes": ["violations"]}).response
    return [
        f"{fault['id']}: {node['html'][:150]} ({' '.join(one['message'] for one in node['any'] + node['all'])[:200]})"
        for fault in response["violations"]
        for node in fault["nodes"]
    ]


@pytest.fixture
def themed(workbook):
    """Call it with "light" or "dark" to change the theme; light again afterwards."""
    yield lambda theme: workbook.in_time(THEME, "the theme did not change", THEMES[theme])
    workbook.in_time(THEME, "the theme did not change", THEMES["light"])


@pytest.mark.parametrize("name", NAMES)
def test_labels_contrast_headings_tables_and_the_keyboard(workbook, themed, name):
    """
    In both themes axe-core finds no fault; ids are the page's own, every label leads to its own control, and the
    control in hand has a ring round it.
    """
    workbook.open_notebook(name)
    workbook.run_all()
    assert workbook.errors() == []
    for theme in THEMES:
        themed(theme)
        faults = found(workbook.page)
        assert not faults, f"{theme}:\n" + "\n".join(faults)
    controls = workbook.page.locator(CONTROLS)
    assert controls.count()
    assert workbook.page.evaluate(TWICE) == []
    assert controls.evaluate_all(WRONGLY_LABELLED) == []
    assert controls.evaluate_all(WITHOUT_A_RING) == []


def test_what_is_wrong_is_found(workbook):
    """The means see a faint word, a control without a name, two of one id, and a ring that was taken away."""
    wrong = (
        '<h5 id="a">far down</h5><p id="a" style="color:#bbb;background:#fff">faint</p>'
        '<input type="text" style="outline:none !important"><img src="data:,">'
    )
    workbook.write_notebook("wrong.ipynb", f"from IPython.display import HTML; HTML({wrong!r})")
    workbook.run_all()
    rules = {fault.partition(":")[0] for fault in found(workbook.page)}
    assert {"color-contrast", "label"} <= rules
    assert workbook.page.evaluate(TWICE) == ["a"]
    controls = workbook.page.locator(CONTROLS)
    assert len(controls.evaluate_all(WRONGLY_LABELLED)) == 1 and len(controls.evaluate_all(WITHOUT_A_RING)) == 1


def test_trouble_and_running_work_can_be_read_too(workbook, themed):
    """An error in a panel and in a box, and long work while it runs, in both themes."""
    workbook.write_notebook(
        "states.ipynb",
        "import time\nfrom deckgeom.bench import beams, open_boat, start\n"
        "from deckgeom.bench.actions import Action, Actions\nfrom deckgeom.bench.long_work import LongWork",
        "job = open_boat('boats/thimblewick')\nstart.length_panel('mm').set(text='a mile')",
        "Actions('Voyage', lambda: [Action('sail', 'Sail', lambda: LongWork(time.sleep, 60, at_most=60), hint='Far')])",
        "beams.mould(job, '99')",
    )
    workbook.run_all()
    workbook.page.get_by_role("button", name="Sail").press("Enter")
    workbook.page.get_by_role("button", name="Stop").wait_for(timeout=10_000)
    summaries = workbook.page.locator(".jp-OutputArea-output summary:visible")
    assert summaries.count() == 2 and workbook.page.locator(".dg-trouble:not(:empty)").count() == 1
    for k in range(2):
        summaries.nth(k).press("Enter")
        assert summaries.nth(k).locator("xpath=..").evaluate("one => one.open"), f"number {k} did not open"
    faults = []
    for theme in THEMES:
        themed(theme)
        workbook.keep_pictures(f"states-{theme}.ipynb")
        faults += [f"{theme}: {fault}" for fault in found(workbook.page)]
    workbook.page.get_by_role("button", name="Stop").press("Enter")
    assert not faults, "\n".join(faults)
