"""
How quickly the workbook answers, in Chromium with a real kernel; its rows alone: `python -m tests.benchmarks.workbook`.

Each row is the time from a key press on a slider to the changed picture in the page, beside an empty slider that sends
its value to the kernel and shows nothing else: no picture can be quicker than that. The demo boat has 24 places for
beams.
"""

from __future__ import annotations

import sys
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path

from playwright.sync_api import sync_playwright

from tests.benchmarks.measure import Times
from tests.browser.conftest import VIEW, Server, Workbook, find_chromium
from tests.browser.punt import PASTE, PLACES, block, make_punt

OPEN = "from deckgeom.bench import batten, beams, camber, fairing, open_boat, sheer, spiling\n"
OPEN += "job = open_boat('boats/thimblewick')"
EMPTY = """from deckgeom.bench.controls import Slider
from deckgeom.bench.panel import Answer, Panel
Panel("Empty", [Slider("a", "A", 0, 99, 1, 9)], lambda a: Answer(words=f"{a:g}"))"""
PANELS = {
    "an empty slider (the limit)": (EMPTY, "A", None),
    "crown line under a rule, camber": ("camber.panel(job)", "Camber at the widest beam", 60),
    "a beam with its faces, place": ("beams.panel(job)", "Read it at", 60),
    "a beam against its batten, tolerance": ("fairing.beam_panel(job)", "Leave what is within", 60),
    "plan of the deck, tolerance": ("fairing.plan_panel(job)", "Leave what is within", 60),
    "plan of the deck, step through the readings": ("fairing.plan_panel(job)", "Step through", 60),
}
PRESSES, WARM, PASTES = 40, 4, 10
# the picture or, without one, the words: whichever the answer changes first
WAIT = """([slider, key]) => new Promise((done, late) => {
    const panel = slider.closest('.dg-panel');
    const words = panel.querySelector('.dg-words'), picture = panel.querySelector('.dg-picture');
    const was = words.textContent + picture.innerHTML;
    const watch = new MutationObserver(() => {
        if (words.textContent + picture.innerHTML === was) return;
        watch.disconnect();
        const changed = performance.now() - begun;
        requestAnimationFrame(() => setTimeout(() => done([changed, performance.now() - begun]), 0));
    });
    watch.observe(panel, { subtree: true, childList: true, characterData: true, attributes: true });
    const begun = performance.now();
    slider.value = Number(slider.value) + (key === 'ArrowRight' ? 1 : -1);
    slider.dispatchEvent(new Event('input', { bubbles: true }));
    setTimeout(() => late(new Error('no change in 5 s')), 5000);
})"""

# what one would write without the package: the same few lines drawn anew by matplotlib at every change
PLAIN = """%matplotlib inline
import numpy as np, matplotlib.pyplot as plt, ipywidgets
x = np.linspace(0, 7000, 141)
def draw(camber):
    figure, axes = plt.subplots(figsize=(9, 3))
    axes.plot(x, 900 + 2e-5 * (x - 4000) ** 2 + camber * (1 - ((x - 3500) / 3600) ** 2), "k-", label="crown line")
    axes.plot(x, 900 + 2e-5 * (x - 4000) ** 2, "k--", label="deck edge")
    for k, place in enumerate(np.linspace(300, 6700, 24)):
        axes.axvline(place, lw=0.5)
        axes.text(place, 905, str(k + 1))
    axes.set_xlabel("mm along the boat"); axes.set_ylabel("mm up"); axes.legend()
    plt.show()
ipywidgets.interact(draw, camber=(20, 120, 1))"""
SLID = """(key) => new Promise((done, late) => {
    const area = document.querySelector('.jp-Notebook:not(.lm-mod-hidden) .widget-interact');
    const picture = () => (area.querySelector('img') || {}).src;
    const was = picture();
    const watch = new MutationObserver(() => {
        if (!picture() || picture() === was) return;
        watch.disconnect();
        done(performance.now() - begun);
    });
    watch.observe(area, { subtree: true, childList: true, attributes: true });
    const begun = performance.now();
    area.querySelector('.noUi-handle').dispatchEvent(new KeyboardEvent('keydown', { key, bubbles: true }));
    setTimeout(() => late(new Error('no change in 5 s')), 5000);
})"""

SAID = """async (paste) => {
    const says = document.querySelector('.dg-says'), was = says.textContent, begun = performance.now();
    return await new Promise((done, late) => {
        const watch = new MutationObserver(() => {
            if (says.textContent === was) return;
            watch.disconnect();
            done(performance.now() - begun);
        });
        watch.observe(says, { subtree: true, childList: true, characterData: true });
        (%s)(paste);
        setTimeout(() => late(new Error('no verdict in 5 s')), 5000);
    });
}"""


def measured(book: Workbook, label: str) -> list[tuple[float, float]]:
    """Milliseconds to the changed page and to the next painted frame, for each press."""
    slider = book.page.locator(".dg-panel input[type=range]").nth(0)
    for one in book.page.locator(".dg-panel input[type=range]").all():
        if label in one.evaluate("one => one.labels[0].textContent"):
            slider = one
    found = []
    handle = slider.element_handle()
    for press in range(WARM + PRESSES):
        key = "ArrowRight" if press % 8 < 4 else "ArrowLeft"
        found.append(book.page.evaluate(WAIT, [handle, key]))
        book.page.wait_for_timeout(60)
    return found[WARM:]


def pasted(book: Workbook) -> list[float]:
    """Milliseconds from pasting 180 readings to the new verdict in the page, each time with another beam high."""
    make_punt(book.server.root / "boats" / "punt")
    book.write_notebook(
        "speed-paste.ipynb",
        "from deckgeom.bench import across, open_boat",
        f"across.readings(open_boat('boats/punt'), {PLACES})",
    )
    book.run_all()
    found = []
    for k in range(1 + PASTES):
        found.append(book.page.evaluate(SAID % PASTE, ["800 mm port, beam 1", block(5 + k)]))
        book.page.wait_for_timeout(200)
    book.close()
    return found[1:]


def run_time(book: Workbook, name: str) -> float:
    """Seconds that a notebook takes from Run All to its last output, its kernel being there."""
    book.open_notebook(name)
    begun = time.perf_counter()
    book.run_all()
    taken = time.perf_counter() - begun
    book.close()
    return taken


def slid_instead(book: Workbook) -> list[float]:
    """Milliseconds from a key press on a plain slider to the new picture of a function drawn anew each time."""
    book.write_notebook("speed-instead.ipynb", PLAIN)
    book.run_all()
    found = []
    for press in range(WARM + PRESSES):
        found.append(book.page.evaluate(SLID, "ArrowRight" if press % 8 < 4 else "ArrowLeft"))
        book.page.wait_for_timeout(60)
    book.close()
    return found[WARM:]


def seconds(milliseconds) -> Times:
    """As the table wants them."""
    return Times(tuple(each / 1e3 for each in milliseconds))


def rows() -> Iterator[tuple[str, str, Times, str, Times | None]]:
    """Job, target, times, what is taken instead, its times; one row that says so where there is no browser."""
    path = find_chromium()
    if path is None:
        print("No Chromium found: install it or set DECKGEOM_CHROMIUM to its path.", file=sys.stderr)
        return
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as playwright:
        begun = time.perf_counter()
        server = Server(Path(folder))
        try:
            server.wait()
            browser = playwright.chromium.launch(executable_path=path)
            book = Workbook(browser.new_context(viewport=VIEW).new_page(), server)
            book.start()
            book.open_notebook("00_start_here.ipynb")
            yield (
                "start of JupyterLab to a notebook with its kernel",
                "12 s",
                Times((time.perf_counter() - begun,)),
                "",
                None,
            )
            book.close()
            instead = "interact with matplotlib: 26 lines and words, whatever the panel", seconds(slid_instead(book))
            for number, (what, (cell, label, target)) in enumerate(PANELS.items()):
                book.write_notebook(f"speed-{number}.ipynb", OPEN, cell)
                book.run_all()
                changed = sorted(first for first, _ in measured(book, label))
                late = f"95 in 100 within {changed[int(0.95 * len(changed))]:.0f} ms"
                words = f"{target} ms, 95 in 100 within {2 * target} ms" if target else ""
                yield f"slider: {what} ({late})", words, seconds(changed), *(instead if target else ("", None))
                book.close()
            yield "180 readings pasted, to the verdict", "500 ms", seconds(pasted(book)), "", None
            for name in sorted(path.name for path in server.root.glob("*.ipynb") if not path.name.startswith("speed")):
                yield f"Run All of {name}", "8 s", Times((run_time(book, name),)), "", None
            browser.close()
        finally:
            server.stop()


def main() -> int:
    """Print the rows alone."""
    for job, target, times, other, others in rows():
        print(f"| {job} | {target} | {times.words()} | {other} | {others.words() if others else ''} |", flush=True)
    return 0


if __name__ == "__main__":
    sys.exit(main())
