"""
How quickly the workbook answers, in Chromium with a real kernel: `python -m tests.benchmarks.workbook`.

Each row is the time from a key press on a slider to the changed picture in the page, beside an empty slider that sends
its value to the kernel and shows nothing else: no picture can be quicker than that. The demo boat has 24 places for
beams.
"""

from __future__ import annotations

import statistics
import sys
import tempfile
import time
from pathlib import Path

from playwright.sync_api import sync_playwright

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


def main() -> int:
    """Print the tables."""
    path = find_chromium()
    if path is None:
        print("No Chromium found: install it or set DECKGEOM_CHROMIUM to its path.", file=sys.stderr)
        return 2
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as playwright:
        begun = time.perf_counter()
        server = Server(Path(folder))
        try:
            server.wait()
            browser = playwright.chromium.launch(executable_path=path)
            book = Workbook(browser.new_context(viewport=VIEW).new_page(), server)
            book.start()
            book.open_notebook("00_start_here.ipynb")
            print(f"From the start of JupyterLab to a notebook with its kernel: {time.perf_counter() - begun:.1f} s\n")
            book.close()
            print("| slider | to the changed page, ms: median | 95th percentile | painted: median | 95th |")
            print("|---|---|---|---|---|")
            for number, (what, (cell, label, _)) in enumerate(PANELS.items()):
                book.write_notebook(f"speed-{number}.ipynb", OPEN, cell)
                book.run_all()
                changed, painted = (sorted(column) for column in zip(*measured(book, label), strict=True))
                late = int(0.95 * len(changed))
                row = (statistics.median(changed), changed[late], statistics.median(painted), painted[late])
                print(f"| {what} | {' | '.join(f'{value:.0f}' for value in row)} |", flush=True)
                book.close()
            times = sorted(pasted(book))
            print(f"\n180 readings pasted, to the new verdict: median {statistics.median(times):.0f} ms, ", end="")
            print(f"slowest {times[-1]:.0f} ms", flush=True)
            print("\n| notebook | Run All, s |\n|---|---|")
            for name in sorted(path.name for path in server.root.glob("*.ipynb") if not path.name.startswith("speed")):
                print(f"| {name} | {run_time(book, name):.1f} |", flush=True)
            browser.close()
        finally:
            server.stop()
    return 0


if __name__ == "__main__":
    sys.exit(main())
