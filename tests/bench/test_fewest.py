"""The fewest beams, weighed beside the notebook: the same answer as the plain call, and a stop that stops."""

from __future__ import annotations

import subprocess
import sys
import time
from pathlib import Path

import pytest

from deckgeom.bench import fairing, open_boat
from deckgeom.bench.example import example_fairing, example_job

DEMO = Path(__file__).parents[2] / "notebooks" / "boats" / "thimblewick"


@pytest.fixture(scope="module")
def demo():
    return open_boat(DEMO)


def test_it_answers_as_the_plain_call_does(demo):
    beside, plain = fairing.fewest_work(demo).start().wait().result, fairing.fewest(demo)
    assert beside.lines[:-1] == plain.lines[:-1] and beside.lines[0].startswith("2 beams at the fewest: 9, 17.")
    panel = fairing.fewest_panel(demo).do("weigh", time="30 seconds")
    assert panel.words.splitlines()[:-1] == list(plain.lines[:-1])
    assert panel.words.splitlines()[-1].endswith("of the 30 s that it was given.")


def test_it_is_stopped_at_once(demo):
    panel = fairing.fewest_panel(demo)
    panel._do("weigh", {"time": "10 minutes"})
    assert panel.busy.startswith("Weighing all choices of beams: ") and panel.busy.endswith("of at most 605 s")
    begun = time.monotonic()
    panel.stop()
    assert time.monotonic() - begun < 2.0
    assert panel.words.startswith("Stopped after ") and panel.busy == ""


def test_a_boat_without_readings_says_so_before_anything_is_begun():
    with pytest.raises(ValueError, match="nothing to fair yet"):
        fairing.fewest_panel(example_job())


def test_a_time_that_is_not_offered_is_named():
    panel = fairing.fewest_panel(example_fairing()).do("weigh", time="a week")
    assert "Give it at most cannot be 'a week': choose one of '10 seconds'" in panel.trouble


def test_the_python_beside_starts_without_widgets_and_pictures():
    code = (
        "import deckgeom.bench.beside, sys; print(sorted({'matplotlib', 'anywidget', 'ipywidgets'} & set(sys.modules)))"
    )
    done = subprocess.run([sys.executable, "-c", code], cwd=DEMO.parents[2], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"
