"""Killed at any moment, and between any two calls of a save: each cell is old or new, and nothing else is touched."""

from __future__ import annotations

import json
import os
import random
import shutil
import signal
import subprocess
import sys
from collections import Counter
from collections.abc import Iterator
from pathlib import Path

import pytest

from deckgeom.bench import choosing
from deckgeom.bench.type_in import TypeIn
from deckgeom.boat import FILES, read_boat
from deckgeom.boat.editing import Editing
from deckgeom.boat.keeping import copies
from tests.nothing_lost import out
from tests.nothing_lost.actions import BOAT, SHED, TYPING, Action, litter, make_shed, typed
from tests.nothing_lost.moments import Typing

pytestmark = pytest.mark.skipif(not hasattr(os, "fork"), reason="children are forked and killed here")
TOP = Path(__file__).parents[2]
FREE = {"saves": (40, 0.03), "slow saves": (40, 0.03), "workbook": (40, 0.15), "slow workbook": (30, 0.2)}
"""Kills at random moments, and the longest wait before one [s]."""


class Victim:
    """The other Python, whose children are killed."""

    def __init__(self) -> None:
        self._run = subprocess.Popen(
            [sys.executable, "-m", "tests.nothing_lost.victim"], stdin=subprocess.PIPE, stdout=subprocess.PIPE,
            text=True, cwd=TOP, env={**os.environ, "OPENBLAS_NUM_THREADS": "1"},
        )  # fmt: skip
        assert json.loads(self._run.stdout.readline()) == "ready"

    def ask(self, what: str, shed: Path, **words) -> dict:
        self._run.stdin.write(json.dumps({"do": what, "shed": str(shed), **words}) + "\n")
        self._run.stdin.flush()
        return json.loads(self._run.stdout.readline())

    def leave(self) -> None:
        self._run.stdin.close()
        assert self._run.wait(20) == 0
        self._run.stdout.close()


@pytest.fixture(scope="module")
def victim() -> Iterator[Victim]:
    one = Victim()
    yield one
    one.leave()


def opens(shed: Path) -> None:
    """The boats are those that were there, and hold a person's files and no others."""
    for name in choosing.boats(shed):
        folder = shed / name
        assert {path.name for path in folder.iterdir() if not path.name.startswith(".")} <= {*FILES, "out"}
        boat = read_boat(folder)
        wrong = [one for one in boat.complaints if one.file not in ("readings.csv", "marks.csv")]
        assert boat.digests and (name != BOAT or not wrong)


@pytest.mark.parametrize("action", TYPING + SHED, ids=str)
def test_killed_between_every_two_calls_of_a_step(victim, action: Action, tmp_path):
    start = make_shed(tmp_path / "start")
    dry = shutil.copytree(start, tmp_path / "dry")
    done = victim.ask("steps", dry, action=action.name)["steps"]
    before, after = ready_and_done(action, shutil.copytree(start, tmp_path / "again"))
    assert typed(dry) == after != before
    landed = Counter()
    for number, (call, _) in enumerate(done, 1):
        here = shutil.copytree(start, tmp_path / "here")
        came = victim.ask("held", here, action=action.name, step=number)
        assert came == {"said": "!", "ended": -signal.SIGKILL}, f"{number} {call}"
        landed[call] += 1
        check_held(action, here, before, after, any(one in ("replace", "rename") for one, _ in done[number - 1 :]))
        shutil.rmtree(here)
    assert landed.total() == len(done) > 4
    assert set(landed) >= {"open", "write", "write on", "close"} and {"replace", "rename"} & set(landed)


def ready_and_done(action: Action, shed: Path) -> tuple[dict, dict]:
    do, before = action.ready(shed), typed(shed)
    do()
    return before, typed(shed)


def check_held(action: Action, shed: Path, before: dict, after: dict, named: bool) -> None:
    """Old or new; if the last new name was not given yet it may be either, if it was it is the new."""
    now = typed(shed)
    half_chosen = {**after, choosing.CHOSEN: before.get(choosing.CHOSEN)}
    assert now in ((before, half_chosen, after) if named else (after,))
    opens(shed)
    kept = copies(shed / action.file) if action in TYPING else []
    assert all(one.path.read_bytes().endswith((b"\n", b"\r\n")) for one in kept)
    if action in TYPING:  # the next save takes away what was left half done
        file = Path(action.file).name
        Editing(shed / BOAT, file).type({(0, 4): "after"})
        assert litter(shed) == []
        Editing(shed / BOAT, file).type({(0, 4): ""})


@pytest.mark.parametrize("how", FREE)
def test_killed_at_random_moments_while_typing(victim, how, tmp_path):
    kills, longest = FREE[how]
    shed, pick = make_shed(tmp_path / "shed"), random.Random(how)
    typing, path = Typing(5, 4000), shed / BOAT / "readings.csv"
    path.write_bytes(typing.states[0])
    index = {data: number for number, data in enumerate(typing.states)}
    assert len(index) == len(typing.states)
    others, at, found = {k: v for k, v in typed(shed).items() if "readings" not in k}, 0, Counter()
    for _ in range(kills):
        came = victim.ask("free", shed, level=how.split()[-1], slow=how.startswith("slow"), start=at,
                          delay=pick.uniform(0, longest), operations=typing.operations[at : at + 200])  # fmt: skip
        assert came["ended"] == -signal.SIGKILL, came
        data = path.read_bytes()
        assert data in index, "a file that nobody typed"
        assert index[data] in (came["done"], came["begun"]), f"{came}: what was saved is taken back, or more is there"
        assert {k: v for k, v in typed(shed).items() if "readings" not in k} == others
        opens(shed)
        found[came["step"].partition(" ")[0] or "unwatched", index[data] - came["done"]] += 1
        at = index[data]
    assert all(copy.path.read_bytes() in index for copy in copies(path))
    assert at > kills / 8, "too little was typed to be killed in"
    table = TypeIn(shed / BOAT, "readings.csv")
    assert Editing(shed / BOAT, "readings.csv").table.data == typing.states[at] and len(table.cells) > 7
    if how.startswith("slow"):
        assert len({call for call, _ in found}) > 3, f"the kills fell in too few places: {found}"


def test_killed_all_through_the_writing_of_papers(victim, tmp_path):
    """Every file is old or new, and no mixture is taken for done: nobody cuts to a pattern of another deck."""
    with out.quick_papers():
        start = make_shed(tmp_path / "start")
        old, new = out.made_and_changed(start)
        dry = shutil.copytree(start, tmp_path / "dry")
        done = victim.ask("steps", dry, action="tables and papers")["steps"]
        assert out.papers_in(dry / BOAT / "out") == new and len(done) > 60
        for number in range(1, len(done) + 1, 5):
            here = shutil.copytree(start, tmp_path / "here")
            came = victim.ask("held", here, action="tables and papers", step=number)
            assert came == {"said": "!", "ended": -signal.SIGKILL}
            out.check(here, start, old, new)
            opens(here)
            if number % 16 == 1:
                assert out.write(here) == (0, "") and out.papers_in(here / BOAT / "out") == new and litter(here) == []
            shutil.rmtree(here)
