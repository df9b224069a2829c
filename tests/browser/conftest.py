"""
JupyterLab in a headless Chromium: one server, one page, and each notebook opened in it as a builder would.

Everything lives in temporary folders; nothing but this machine is ever asked for anything. Set DECKGEOM_SCREENSHOTS to
a folder to keep pictures of what was seen, DECKGEOM_WIDTH for a page of another width, DECKGEOM_CHROMIUM to use a
browser of your own.
"""

from __future__ import annotations

import ctypes
import json
import math
import os
import secrets
import shutil
import signal
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
from pathlib import Path

import pytest
from playwright.sync_api import Error as BrowserError
from playwright.sync_api import sync_playwright

TOP = Path(__file__).parents[2]
VIEW = {"width": int(os.environ.get("DECKGEOM_WIDTH", 1280)), "height": 1400}
PATIENCE = 120  # seconds that a notebook may take

OPEN = """async (path) => {
    const app = window.jupyterapp;
    const widget = await app.commands.execute('docmanager:open', {path, factory: 'Notebook'});
    await widget.context.ready;
    await widget.sessionContext.ready;
    const kernel = widget.sessionContext.session.kernel;
    await kernel.info;
    app.shell.activateById(widget.id);
    app.shell.collapseLeft();
    window.underTest = widget;
}"""
RUN = "async () => { await window.jupyterapp.commands.execute('notebook:run-all-cells'); }"
MODEL = "() => window.underTest.context.model.toJSON()"
CLOSE = """async () => {
    const widget = window.underTest;
    await widget.context.save();
    await widget.sessionContext.shutdown();
    widget.dispose();
    window.underTest = null;
}"""
IN_TIME = """(argument) => Promise.race([
    ({work})(argument),
    new Promise((_, refuse) => setTimeout(() => refuse(new Error({late})), {ms})),
])"""


def find_chromium() -> str | None:
    """Path of a Chromium or Chrome on this machine; None if there is none."""
    names = ("chromium", "chromium-browser", "google-chrome", "google-chrome-stable", "chrome", "msedge")
    places = ("/Applications/Chromium.app/Contents/MacOS/Chromium",
              "/Applications/Google Chrome.app/Contents/MacOS/Google Chrome")  # fmt: skip
    found = (os.environ.get("DECKGEOM_CHROMIUM"), *map(shutil.which, names), *places)
    return next((path for path in found if path and Path(path).exists()), None)


@pytest.fixture(scope="session")
def chromium() -> str:
    """Path of the browser; without one the tests are skipped, except in CI, where they fail."""
    path = find_chromium()
    if path:
        return path
    words = "No Chromium found: install it (Debian: apt install chromium) or set DECKGEOM_CHROMIUM to its path."
    if os.environ.get("CI"):
        pytest.fail(words, pytrace=False)
    pytest.skip(words)


# ------------------------------------------------------------ the server


def die_with_parent() -> None:
    """On Linux, ask the kernel to end this process when the tests end, however they end."""
    ctypes.CDLL(None).prctl(1, signal.SIGTERM)  # PR_SET_PDEATHSIG


def free_port() -> int:
    """A port that nobody listens on."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return probe.getsockname()[1]


class Server:
    """JupyterLab on a free port with a token, its settings and its notebooks in temporary folders."""

    def __init__(self, folder: Path):
        self.root, self.log = folder / "notebooks", folder / "server.log"
        shutil.copytree(TOP / "notebooks", self.root, ignore=shutil.ignore_patterns("out", ".*"))
        self.port, self.token = free_port(), secrets.token_hex(16)
        self.address = f"http://127.0.0.1:{self.port}"
        arguments = ["--no-browser", "--expose-app-in-browser", "--allow-root", "--ServerApp.ip=127.0.0.1",
                     f"--ServerApp.port={self.port}", "--ServerApp.port_retries=0",
                     f"--ServerApp.root_dir={self.root}",
                     f"--LabApp.user_settings_dir={self.settings(folder)}",
                     f"--LabApp.workspaces_dir={folder / 'workspaces'}"]  # fmt: skip
        with self.log.open("wb") as log:
            self.process = subprocess.Popen(
                [sys.executable, "-m", "jupyterlab", *arguments], cwd=self.root, env=self.environment(folder),
                stdin=subprocess.DEVNULL, stdout=log, stderr=subprocess.STDOUT,
                preexec_fn=die_with_parent if sys.platform == "linux" else None,
            )  # fmt: skip

    @staticmethod
    def settings(folder: Path) -> Path:
        """Folder of user settings that keep JupyterLab from asking whether it may fetch news."""
        place = folder / "settings" / "@jupyterlab" / "apputils-extension"
        place.mkdir(parents=True)
        quiet = {"fetchNews": "false", "checkForUpdates": False}
        (place / "notification.jupyterlab-settings").write_text(json.dumps(quiet), encoding="utf-8")
        return folder / "settings"

    def environment(self, folder: Path) -> dict[str, str]:
        """The environment of a user who has nothing set, with the package to be found."""
        kept = {k: v for k, v in os.environ.items() if not k.startswith(("JUPYTER", "IPYTHON", "MPL"))}
        own = {f"JUPYTER_{kind}_DIR": str(folder / kind.lower()) for kind in ("CONFIG", "DATA", "RUNTIME")}
        return {**kept, **own, "IPYTHONDIR": str(folder / "ipython"), "JUPYTER_TOKEN": self.token,
                "PYTHONPATH": str(TOP), "PYTHONUTF8": "1"}  # fmt: skip

    def wait(self) -> None:
        """Return when the server answers; fail with its last words if it does not."""
        end = time.monotonic() + 60
        while time.monotonic() < end and self.process.poll() is None:
            try:
                with urllib.request.urlopen(f"{self.address}/api/status?token={self.token}", timeout=5):
                    return
            except (urllib.error.URLError, OSError):
                time.sleep(0.1)
        self.stop()
        pytest.fail("JupyterLab did not start:\n" + self.log.read_text(errors="replace")[-3000:], pytrace=False)

    def stop(self) -> None:
        """End the server, which ends its kernels first."""
        self.process.terminate()
        try:
            self.process.wait(20)
        except subprocess.TimeoutExpired:
            self.process.kill()
            self.process.wait()


@pytest.fixture(scope="session")
def server(chromium, tmp_path_factory):
    """One running JupyterLab for all browser tests."""
    running = Server(tmp_path_factory.mktemp("lab"))
    try:
        running.wait()
        yield running
    finally:
        running.stop()


# ------------------------------------------------------------ the page


class Workbook:
    """
    The page in the browser, and the notebook open in it.

    `page` is Playwright's page, for `get_by_role` and the like. Faults of the page and requests that wanted to leave
    this machine are collected in `page_errors` and `strays`.
    """

    def __init__(self, page, server: Server):
        self.page, self.server, self.name = page, server, None
        self.page_errors: list[str] = []
        self.strays: list[str] = []
        page.on("pageerror", lambda error: self.page_errors.append(str(error)))
        page.on("websocket", lambda socket: self.is_local(socket.url) or self.strays.append(socket.url))
        page.context.route("**/*", self.only_local)

    def is_local(self, url: str) -> bool:
        """True if an address is the server's own or is held in the page."""
        host = f"127.0.0.1:{self.server.port}/"
        return url.startswith((f"http://{host}", f"ws://{host}", "data:", "blob:"))

    def only_local(self, route) -> None:
        """Let a request through to the server; stop and note any other."""
        if self.is_local(route.request.url):
            route.continue_()
        else:
            self.strays.append(route.request.url)
            route.abort()

    def start(self) -> None:
        """Open JupyterLab with a clean workspace."""
        self.page.goto(f"{self.server.address}/lab?reset&token={self.server.token}")
        self.page.wait_for_function("() => window.jupyterapp && window.jupyterapp.shell.currentWidget", timeout=60_000)

    def in_time(self, work: str, late: str, argument: str | None = None) -> object:
        """Run JavaScript in the page, and fail if it takes too long."""
        return self.page.evaluate(IN_TIME.format(work=work, late=json.dumps(late), ms=PATIENCE * 1000), argument)

    def open_notebook(self, name: str) -> None:
        """Open a notebook, by its path under notebooks/, and wait until its kernel is truly there."""
        self.in_time(OPEN, f"{name} did not open", name)
        self.name = name

    def write_notebook(self, name: str, *cells: str) -> None:
        """Write a notebook of code cells beside the others, and open it."""
        code = [{"cell_type": "code", "id": f"cell-{i}", "metadata": {}, "source": source, "outputs": [],
                 "execution_count": None} for i, source in enumerate(cells)]  # fmt: skip
        spec = {"kernelspec": {"name": "python3", "display_name": "Python 3"}}
        book = {"nbformat": 4, "nbformat_minor": 5, "metadata": spec, "cells": code}
        (self.server.root / name).write_text(json.dumps(book), encoding="utf-8")
        self.open_notebook(name)

    def run_all(self) -> None:
        """Run every cell and wait for the last."""
        self.in_time(RUN, f"{self.name} did not finish in {PATIENCE} s")
        self.page.wait_for_timeout(700)  # the panels draw themselves once more half a second after the last change

    def outputs(self) -> list[tuple[int, dict]]:
        """Number of the code cell and output record, for every output of the open notebook."""
        code = [cell for cell in self.page.evaluate(MODEL)["cells"] if cell["cell_type"] == "code"]
        return [(number, output) for number, cell in enumerate(code, 1) for output in cell["outputs"]]

    def errors(self) -> list[str]:
        """Whatever went wrong, in words: errors and warnings of cells, dead widgets, page errors, stray requests."""
        found = []
        for number, output in self.outputs():
            if output["output_type"] == "error":
                found.append(f"code cell {number}: {output['ename']}: {output['evalue']}")
            elif output.get("name") == "stderr":
                found.append(f"code cell {number} warned: {''.join(output['text'])[:300]}")
        words = self.page.locator(".jp-Notebook:visible").inner_text()
        found += [f"the page says '{bad}'" for bad in ("Error displaying widget", "Loading widget", "Javascript Error")
                  if bad in words]  # fmt: skip
        found += [f"page error: {error}" for error in self.page_errors]
        return found + [f"wanted to leave this machine: {url}" for url in dict.fromkeys(self.strays)]

    def pictures_without_words(self) -> list[str]:
        """Pictures of the notebook that say nothing to somebody who cannot see them."""
        # JupyterLab itself writes alt="Image" where a picture has none, and one word describes nothing
        bare = "all => all.filter(one => !one.alt.includes(' ')).map(one => one.outerHTML.slice(0, 120))"
        return self.page.locator(".jp-OutputArea-output img").evaluate_all(bare)

    def keep_pictures(self, name: str | None = None) -> list[Path]:
        """Photograph the open notebook screen by screen into DECKGEOM_SCREENSHOTS; nothing if that is not set."""
        folder = os.environ.get("DECKGEOM_SCREENSHOTS")
        if not folder:
            return []
        stem = (name or self.name).replace("/", "_").removesuffix(".ipynb")
        Path(folder).mkdir(parents=True, exist_ok=True)
        scroller = self.page.locator(".jp-Notebook:visible .jp-WindowedPanel-outer").first
        whole, view = scroller.evaluate("one => [one.scrollHeight, one.clientHeight]")
        kept = []
        for screen in range(math.ceil(whole / view)):
            scroller.evaluate("(one, top) => { one.scrollTop = top; }", screen * view)
            self.page.wait_for_timeout(200)
            kept.append(Path(folder, f"{stem}-{screen + 1}.png"))
            self.page.screenshot(path=kept[-1])
        return kept

    def close(self) -> None:
        """End the kernel and close the notebook, so that the next one finds a clean page."""
        if self.name:
            self.in_time(CLOSE, f"{self.name} did not close")
        self.name = None
        self.page_errors.clear()
        self.strays.clear()


@pytest.fixture(scope="session")
def lab_page(chromium, server):
    """One page for all tests, JupyterLab loaded."""
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=chromium)
        page = browser.new_context(viewport=VIEW).new_page()
        book = Workbook(page, server)
        book.start()
        yield book
        browser.close()


@pytest.fixture
def workbook(lab_page):
    """The page with no notebook open: `open_notebook`, `run_all`, `errors`; closed again afterwards."""
    try:
        yield lab_page
    finally:
        try:
            lab_page.close()
        except BrowserError:
            lab_page.name = None
            lab_page.start()
