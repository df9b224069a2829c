"""Long work is done beside the notebook, says how far it is, stops at once, and leaves no half of anything."""

from __future__ import annotations

import os
import subprocess
import sys
import time
from pathlib import Path

import psutil
import pytest

from deckgeom.bench import long_work
from deckgeom.bench.actions import Action, Actions
from deckgeom.bench.controls import Entry
from deckgeom.bench.long_work import LongWork
from deckgeom.bench.tables import Table, Words

TOP = Path(__file__).parents[2]
#: Functions for the other Python, which must find them in a module of its own.
HELPERS = """
import os, time
from pathlib import Path
def slow(seconds, tell):
    for k in range(200):
        tell(k / 200, f"step {k}")
        time.sleep(seconds / 200)
    return "ready"
def write(count, out, pause=0.0):
    files = []
    for k in range(count):
        files.append(Path(out, f"sheet_{k}.csv")); files[-1].write_text("new"); time.sleep(pause)
    return files
def write_slowly(count, out):
    return write(count, out, 60.0)
def wrong():
    raise ValueError("beam 99: there is no such beam. Name one of 1 to 24.")
def die():
    print("library noise" * 10000, flush=True)
    os._exit(9)
def noisy():
    os.write(1, b"library noise"); print("more"); return 7
"""


@pytest.fixture
def helpers(tmp_path, monkeypatch):
    (tmp_path / "dg_helpers.py").write_text(HELPERS, encoding="utf-8")
    monkeypatch.syspath_prepend(str(tmp_path))
    import dg_helpers

    yield dg_helpers
    sys.modules.pop("dg_helpers", None)


def until(condition, seconds: float = 20.0) -> bool:
    end = time.monotonic() + seconds
    while time.monotonic() < end:
        if condition():
            return True
        time.sleep(0.02)
    return False


def test_it_says_how_far_it_is_and_stops_at_once(helpers):
    work = LongWork(helpers.slow, 120.0, about="sailing", tells=True).start()
    assert until(lambda: work.part > 0), work.says
    assert work.says.startswith("sailing: step ")
    child, begun = work._child.pid, time.monotonic()
    work.stop()
    assert time.monotonic() - begun < 2.0 and work.state == "stopped"
    assert not psutil.pid_exists(child)
    with pytest.raises(RuntimeError, match="There is no result: Stopped after"):
        _ = work.result
    assert work.stop().state == "stopped"


def test_files_appear_all_together_when_it_is_done(helpers, tmp_path):
    out = tmp_path / "boat" / "out"
    work = LongWork(helpers.write, 3, out=out).start().wait()
    assert work.state == "done" and work.result == [out / f"sheet_{k}.csv" for k in range(3)]
    assert sorted(path.name for path in out.iterdir()) == ["sheet_0.csv", "sheet_1.csv", "sheet_2.csv"]
    assert [path.name for path in out.parent.iterdir()] == ["out"]


def test_a_stop_leaves_the_old_files_and_no_new_one(helpers, tmp_path):
    out = tmp_path / "boat" / "out"
    out.mkdir(parents=True)
    (out / "sheet_0.csv").write_text("old", encoding="utf-8")
    work = LongWork(helpers.write_slowly, 3, out=out).start()
    assert until(lambda: list(work._stage.iterdir())), "nothing was begun, so nothing is tested"
    work.stop()
    assert work.says.endswith(f"Nothing was written to {out}; what stood there stands.")
    assert (out / "sheet_0.csv").read_text(encoding="utf-8") == "old"
    assert [path.name for path in out.parent.iterdir()] == ["out"] and len(list(out.iterdir())) == 1


def test_a_failure_is_one_line_with_its_traceback_apart(helpers):
    work = LongWork(helpers.wrong).start().wait()
    assert work.state == "failed"
    assert work.says == "beam 99: there is no such beam. Name one of 1 to 24."
    assert "Traceback" in work.details and "in wrong" in work.details


def test_a_death_is_told(helpers):
    work = LongWork(helpers.die).start().wait()
    assert work.says.startswith("The work ended by itself before it was done (exit status 9). Is the computer short of")


def test_what_libraries_print_does_not_come_between(helpers):
    assert LongWork(helpers.noisy).start().wait().result == 7


def test_files_that_cannot_be_put_in_place_are_told(helpers, tmp_path):
    (tmp_path / "out").write_text("a file stands here", encoding="utf-8")
    work = LongWork(helpers.write, 1, out=tmp_path / "out").start().wait()
    assert work.state == "failed" and "out: the files cannot be put there" in work.says
    assert not list(tmp_path.glob(".being-written-*"))


def test_what_a_broken_off_run_left_is_taken_away_once_it_is_old(helpers, tmp_path):
    old, new = tmp_path / ".being-written-old", tmp_path / ".being-written-new"
    old.mkdir()
    new.mkdir()
    os.utime(old, (1, 1))
    LongWork(helpers.write, 1, out=tmp_path / "out").start().wait()
    assert not old.exists() and new.exists()


@pytest.mark.skipif(sys.platform == "win32", reason="kills as Unix does")
def test_a_killed_notebook_leaves_nothing_running(tmp_path):
    code = (
        "import time; from deckgeom.bench.long_work import LongWork\n"
        "work = LongWork(time.sleep, 600).start(); print(work._child.pid, flush=True); time.sleep(600)\n"
    )
    run = subprocess.Popen([sys.executable, "-c", code], cwd=TOP, stdout=subprocess.PIPE, text=True)
    pid = int(run.stdout.readline())
    time.sleep(1.0)  # the work has truly begun
    assert psutil.pid_exists(pid)
    run.kill()
    run.wait()
    run.stdout.close()
    gone = lambda: not psutil.pid_exists(pid) or psutil.Process(pid).status() == psutil.STATUS_ZOMBIE  # noqa: E731
    assert until(gone, 10.0)


def test_an_interrupted_wait_stops_the_work(helpers, monkeypatch):
    work = LongWork(helpers.slow, 120.0, tells=True).start()
    child = work._child.pid

    def interrupt(_):
        raise KeyboardInterrupt

    monkeypatch.setattr(long_work.time, "sleep", interrupt)
    with pytest.raises(KeyboardInterrupt):
        work.wait()
    assert work.state == "stopped" and not psutil.pid_exists(child)


def test_work_is_begun_once():
    work = LongWork(max, 1, 2).start()
    with pytest.raises(RuntimeError, match="This work was begun already and is"):
        work.start()
    work.stop()


# ------------------------------------------------------------ the panel


def greetings() -> list[Action]:
    def greet(name: str) -> Words:
        if not name:
            raise ValueError("There is no name to greet: type one.")
        return Words.of(f"ahoy {name}")

    return [Action("greet", "Greet", greet, [Entry("name", "Name", "mate")]),
            Action("list", "List", lambda: Table("Names", ("name",), [("<mate>",)]))]  # fmt: skip


def test_a_press_does_it_and_says_so():
    panel = Actions("Greetings", greetings)
    assert panel.do("greet", name="Jo").words == "ahoy Jo"
    panel.do("greet", name="")
    assert panel.trouble == "There is no name to greet: type one." and "Traceback" in panel.trouble_details
    assert panel.words == "" and repr(panel.readout) == panel.trouble
    panel.do("list")
    assert "&lt;mate&gt;" in panel.numbers and panel.trouble == ""


def test_rubbish_from_the_page_does_nothing():
    panel = Actions("Greetings", greetings)
    for rubbish in (None, 7, {}, {"do": "shout"}, {"do": "stop"}, {"do": ["greet"]}):
        panel._pressed(panel, rubbish)
    assert panel.turn == 0


def test_long_work_on_a_panel_is_followed_and_stopped(helpers):
    actions = [Action("sail", "Sail", lambda: LongWork(helpers.slow, 120.0, about="sailing", tells=True))]
    panel = Actions("Voyage", lambda: actions)
    panel._do("sail", {})
    assert panel.busy.startswith("sailing: ")
    with pytest.raises(RuntimeError, match="Work is running on this panel"):
        panel._do("sail", {})
    assert until(lambda: panel._look() or panel.part > 0)
    panel.stop()
    assert panel.busy == "" and panel.words.startswith("Stopped after ")


def test_long_work_that_fails_is_told_in_the_panel(helpers):
    panel = Actions("Voyage", lambda: [Action("sail", "Sail", lambda: LongWork(helpers.wrong))])
    assert panel.do("sail").trouble.startswith("beam 99: there is no such beam") and "in wrong" in panel.trouble_details


def test_work_that_cannot_be_handed_over_is_refused_in_words(tmp_path):
    work = LongWork(lambda: 1, about="sailing", out=tmp_path / "out")
    with pytest.raises(TypeError, match=r"sailing: this cannot be handed to a Python of its own \(Can't "):
        work.start()
    assert list(tmp_path.iterdir()) == [] and work.state == "waiting"
