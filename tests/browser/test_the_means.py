"""The means of the browser tests see what they are there to see."""

from __future__ import annotations

import os
import subprocess
import sys
import time
from pathlib import Path

import psutil
import pytest


def test_a_sound_notebook_has_no_errors(workbook):
    workbook.write_notebook("sound.ipynb", "import deckgeom", "print(6 * 7)")
    workbook.run_all()
    assert workbook.errors() == []
    assert [(number, output["text"]) for number, output in workbook.outputs()] == [(2, "42\n")]


def test_an_error_in_a_cell_is_seen(workbook):
    workbook.write_notebook("broken.ipynb", "half_breadth = 1200", "half_breadth / 0")
    workbook.run_all()
    assert workbook.errors() == ["code cell 2: ZeroDivisionError: division by zero"]


def test_a_warning_is_seen(workbook):
    workbook.write_notebook("warning.ipynb", "import warnings; warnings.warn('mind the carlin')")
    workbook.run_all()
    assert len(workbook.errors()) == 1
    assert "mind the carlin" in workbook.errors()[0]


def test_a_request_that_leaves_the_machine_is_stopped_and_seen(workbook):
    show = 'from IPython.display import HTML; HTML(\'<img alt="far" src="http://far-away.invalid/x.png">\')'
    workbook.write_notebook("stray.ipynb", show)
    workbook.run_all()
    assert workbook.errors() == ["wanted to leave this machine: http://far-away.invalid/x.png"]


def test_a_page_error_is_seen(workbook):
    workbook.write_notebook("page.ipynb", "1")
    workbook.page.evaluate("() => { setTimeout(() => { throw new Error('adrift'); }, 0); }")
    workbook.run_all()
    assert workbook.errors() == ["page error: adrift"]


def test_a_picture_without_words_is_seen(workbook):
    dot = "data:image/gif;base64,R0lGODlhAQABAAAAACH5BAEKAAEALAAAAAABAAEAAAICTAEAOw=="
    workbook.write_notebook("dumb.ipynb", f"from IPython.display import HTML; HTML('<img src=\"{dot}\">')")
    workbook.run_all()
    assert len(workbook.pictures_without_words()) == 1


def test_pictures_are_kept_when_asked_for(workbook, tmp_path, monkeypatch):
    workbook.write_notebook("kept.ipynb", "for i in range(90): print('station', i)")
    workbook.run_all()
    monkeypatch.delenv("DECKGEOM_SCREENSHOTS", raising=False)
    assert workbook.keep_pictures() == []
    monkeypatch.setenv("DECKGEOM_SCREENSHOTS", str(tmp_path / "seen"))
    kept = workbook.keep_pictures()
    assert len(kept) >= 2
    assert all(path.read_bytes().startswith(b"\x89PNG") and path.stat().st_size > 5000 for path in kept)


@pytest.mark.skipif(sys.platform != "linux", reason="the guard against orphans is Linux's own")
def test_a_killed_run_leaves_no_server_behind(tmp_path):
    code = (
        "import pathlib, sys, time; sys.path.insert(0, sys.argv[1]); import conftest\n"
        "server = conftest.Server(pathlib.Path(sys.argv[2])); server.wait()\n"
        "print(server.process.pid, flush=True); time.sleep(60)\n"
    )
    run = subprocess.Popen(
        [sys.executable, "-c", code, str(Path(__file__).parent), str(tmp_path)], stdout=subprocess.PIPE, text=True
    )
    pid = int(run.stdout.readline())
    assert psutil.pid_exists(pid)
    os.kill(run.pid, 9)
    run.wait()
    run.stdout.close()
    end = time.monotonic() + 15
    while time.monotonic() < end and psutil.pid_exists(pid) and psutil.Process(pid).status() != psutil.STATUS_ZOMBIE:
        time.sleep(0.1)
    assert not psutil.pid_exists(pid) or psutil.Process(pid).status() == psutil.STATUS_ZOMBIE
