"""The clock set back, forward, or standing still: what was typed is kept and found; nothing old is taken for new."""

from __future__ import annotations

import os
import random
import time
from pathlib import Path

import pytest

from deckgeom.bench import choosing, entries, long_work, open_boat, start
from deckgeom.boat import copying, read_boat
from deckgeom.boat.editing import Editing
from deckgeom.boat.keeping import MOST_COPIES, copies
from tests.nothing_lost import out
from tests.nothing_lost.actions import BOAT, make_shed

HOUR, YEAR = 3600.0, 3600.0 * 24 * 365


class Clock:
    """This machine's clock as somebody else sets it; files that are written get its time."""

    def __init__(self, patch: pytest.MonkeyPatch) -> None:
        self.now, replace, named = 1_780_000_000.0, os.replace, time.strftime

        def stamped(source, target, **words) -> None:
            replace(source, target, **words)
            os.utime(target, (self.now, self.now))

        patch.setattr(time, "time", lambda: self.now)
        patch.setattr(time, "strftime", lambda form, *at: named(form, *(at or (time.gmtime(self.now),))))
        patch.setattr(os, "replace", stamped)


@pytest.fixture
def clock(monkeypatch) -> Clock:
    return Clock(monkeypatch)


@pytest.fixture
def folder(tmp_path) -> Path:
    return make_shed(tmp_path / "shed") / BOAT


@pytest.mark.parametrize("seed", range(4))
def test_whatever_the_clock_does_every_paste_can_be_gone_back_to(clock, folder, seed):
    """As many pastes as copies are kept, the clock moved at random between them, or not at all."""
    pick, table, path = random.Random(seed), Editing(folder, "readings.csv"), folder / "readings.csv"
    files = []
    for turn in range(MOST_COPIES + 5):
        files.append(path.read_bytes())
        table.type({(0, 3): f"{turn}", (1, 4): f"{turn}"})
        clock.now += pick.choice((0.0, 0.0, 1.0, -1.0, HOUR, -HOUR, YEAR, -YEAR))
    kept = copies(path)
    assert [copy.path.read_bytes() for copy in kept] == files[: -MOST_COPIES - 1 : -1]
    assert [copy.number for copy in kept] == list(range(MOST_COPIES + 5, 5, -1))
    assert len({copy.words for copy in kept}) == MOST_COPIES, "the list tells them apart"
    table.restore(kept[-1].number)
    assert path.read_bytes() == files[5] and table.undo() and path.read_bytes() != files[5]


def test_single_cells_share_a_copy_and_a_clock_set_back_costs_one_more_and_no_less(clock, folder):
    table, path = Editing(folder, "readings.csv"), folder / "readings.csv"
    first = path.read_bytes()
    for turn in range(9):
        table.type({(0, 3): f"{turn}"})
    clock.now -= YEAR
    second = path.read_bytes()
    for turn in range(9):
        table.type({(1, 3): f"{turn}"})
    assert [copy.path.read_bytes() for copy in copies(path)] == [second, first]


def test_a_change_by_another_of_the_same_length_and_time_is_seen(folder):
    table, path = entries.readings(open_boat(folder)), folder / "readings.csv"
    at = path.stat()
    path.write_bytes(path.read_bytes().replace(b"842", b"841"))
    os.utime(path, ns=(at.st_atime_ns, at.st_mtime_ns))
    assert path.stat().st_size == at.st_size and path.stat().st_mtime_ns == at.st_mtime_ns
    table.type({(3, 3): "831"})
    assert "meanwhile (row 3, height: '842' is now '841'); that is shown now. Saved at " in table.state
    assert table.cells[0][3] == "841" and table.cells[3][3] == "831"


def test_what_is_old_is_told_by_what_files_hold_however_old_they_say_they_are(tmp_path):
    with out.quick_papers():
        shed = make_shed(tmp_path / "shed")
        folder = shed / BOAT
        old, new = out.made_and_changed(shed)
        for path in folder.rglob("*"):
            os.utime(path, (YEAR * 40, YEAR * 40))  # written long after the beam was moved, if clocks are believed
        os.utime(folder / "beams.csv", (1, 1))
        assert [row[3] for row in start.steps(open_boat(folder)).rows[-2:]] == ["stale", "stale"]
        assert out.write(shed, "--if-changed")[0] == 0 and out.papers_in(folder / "out") == new != old
        os.utime(folder / "beams.csv", (YEAR * 60, YEAR * 60))  # and the other way about
        assert [row[3] for row in start.steps(open_boat(folder)).rows[-2:]] == ["done", "done"]
        before = {path: path.stat().st_mtime_ns for path in (folder / "out").rglob("*")}
        assert out.write(shed, "--if-changed")[0] == 0
        assert {path: path.stat().st_mtime_ns for path in (folder / "out").rglob("*")} == before


@pytest.mark.parametrize(("age", "left"), [(-YEAR, True), (0.0, True), (2 * HOUR, False)])
def test_half_done_folders_go_when_they_are_old_and_are_no_boat_meanwhile(folder, age, left):
    shed, now = folder.parent, time.time()
    half, stage = shed / ".new-boat-abc", folder / ".being-written-abc"
    for one in (half / "boat", stage):
        one.mkdir(parents=True)
        (one / "boat.toml").write_text("name = 'half'")
    for one in (half, stage):
        os.utime(one, (now - age, now - age))
    boat = read_boat(folder).digests
    assert choosing.boats(shed) == (BOAT,)
    copying.copy_boat(folder, shed / "skiff")
    long_work._staging(folder / "out")
    assert (half.exists(), stage.exists()) == (left, left)
    assert choosing.boats(shed) == ("skiff", BOAT) and read_boat(folder).digests == boat
