"""Nothing is lost: old or new and never neither, never over another's change, copies to go back to."""

from __future__ import annotations

import errno
import os
import random
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from deckgeom.boat import keeping
from deckgeom.boat.keeping import ChangedElsewhere, NotSaved, copies, go_back, save

TOP = Path(__file__).parents[2]
SAVER = """
import sys, itertools
from pathlib import Path
from deckgeom.boat.keeping import save
path, before = Path(sys.argv[1]), Path(sys.argv[1]).read_bytes()
print("saving", flush=True)
for k in itertools.count(1):
    after = b"beam,x\\n" + b"%d,400\\n" % k * 4000 + b"end\\n"
    save(path, before, after, whole=k % 3 == 0)
    before = after
"""


def whole(data: bytes) -> bool:
    """True for the first file and for every file that the saver writes, complete."""
    if data == b"beam,x\nend\n":
        return True
    lines = data.split(b"\n")
    return lines[0] == b"beam,x" and lines[-2:] == [b"end", b""] and len(lines) == 4003 and len(set(lines[1:-2])) == 1


def test_killed_at_any_moment_the_file_is_the_old_or_the_new_one(tmp_path):
    path, pick = tmp_path / "beams.csv", random.Random(11)
    path.write_bytes(b"beam,x\nend\n")
    seen = set()
    for _ in range(12):
        saver = subprocess.Popen([sys.executable, "-c", SAVER, str(path)], stdout=subprocess.PIPE,
                                 env={**os.environ, "PYTHONPATH": str(TOP)})  # fmt: skip
        assert saver.stdout.readline() == b"saving\n"
        for _ in range(4):
            time.sleep(pick.uniform(0.001, 0.02))
            assert whole(path.read_bytes())
        saver.send_signal(signal.SIGKILL)
        saver.wait()
        saver.stdout.close()
        assert whole(path.read_bytes())
        assert all(whole(copy.path.read_bytes()) for copy in copies(path))
        seen.add(path.read_bytes()[:20])
    assert len(seen) > 3, "the saver was never in the middle of its work"
    save(path, path.read_bytes(), b"beam,x\n")
    assert list(tmp_path.glob(".*.half")) == []


def test_two_pages_on_one_file_never_overwrite_each_other(tmp_path):
    path = tmp_path / "readings.csv"
    save(path, None, b"first")
    save(path, b"first", b"mine")
    with pytest.raises(ChangedElsewhere, match="was changed by another page or program since it was"):
        save(path, b"first", b"theirs")
    assert path.read_bytes() == b"mine"
    path.unlink()
    with pytest.raises(ChangedElsewhere, match="is gone"):
        save(path, b"mine", b"again")
    assert not path.exists()


def test_ten_savers_at_once_lose_nothing(tmp_path):
    path = tmp_path / "count.csv"
    save(path, None, b"0")
    adder = """
import sys
from pathlib import Path
from deckgeom.boat.keeping import ChangedElsewhere, save
path, done = Path(sys.argv[1]), 0
while done < 10:
    now = path.read_bytes()
    try:
        save(path, now, b"%d" % (int(now) + 1))
        done += 1
    except ChangedElsewhere:
        pass
"""
    env = {**os.environ, "PYTHONPATH": str(TOP)}
    savers = [subprocess.Popen([sys.executable, "-c", adder, str(path)], env=env) for _ in range(4)]
    assert [saver.wait(60) for saver in savers] == [0] * 4
    assert path.read_bytes() == b"40"


def test_copies_are_kept_and_one_step_goes_back_and_can_be_undone(tmp_path):
    path = tmp_path / "beams.csv"
    save(path, None, b"1")
    save(path, b"1", b"2", whole=True)
    save(path, b"2", b"3", whole=True)
    assert [copy.path.read_bytes() for copy in copies(path)] == [b"2", b"1"]
    assert go_back(path, copies(path)[1], b"3") == b"1" == path.read_bytes()
    assert copies(path)[0].path.read_bytes() == b"3"
    assert go_back(path, copies(path)[0], b"1") == b"3" == path.read_bytes()


def test_cells_typed_one_after_another_share_a_copy_and_old_ones_go(tmp_path):
    path = tmp_path / "beams.csv"
    save(path, None, b"0")
    for k in range(30):
        save(path, b"%d" % k, b"%d" % (k + 1))
    assert [copy.path.read_bytes() for copy in copies(path)] == [b"0"]
    for k in range(30, 70):
        save(path, b"%d" % k, b"%d" % (k + 1), whole=True)
    assert len(copies(path)) == keeping.MOST_COPIES
    assert copies(path)[0].path.read_bytes() == b"69"


def test_a_clock_set_back_loses_no_copy_and_keeps_their_order(tmp_path, monkeypatch):
    path = tmp_path / "beams.csv"
    save(path, None, b"1")
    save(path, b"1", b"2", whole=True)
    monkeypatch.setattr(keeping.time, "strftime", lambda *_: "19700101-000000")
    monkeypatch.setattr(keeping.time, "time", lambda: 0.0)
    save(path, b"2", b"3")
    save(path, b"3", b"4", whole=True)
    assert [copy.path.read_bytes() for copy in copies(path)] == [b"3", b"2", b"1"]
    assert [copy.number for copy in copies(path)] == [3, 2, 1]


@pytest.mark.parametrize(
    ("code", "words"),
    [(errno.ENOSPC, "The disk is full: make room, then press Enter in the cell again."),
     (errno.EROFS, "may only be read: change that, or copy the boat's folder to a place of your own.")],
)  # fmt: skip
def test_a_full_or_read_only_disk_is_told_and_nothing_is_lost(tmp_path, monkeypatch, code, words):
    path = tmp_path / "beams.csv"
    save(path, None, b"old")

    def refuse(*_):
        raise OSError(code, os.strerror(code))

    monkeypatch.setattr(keeping.os, "fsync", refuse)
    with pytest.raises(NotSaved, match=r"beams.csv is not saved \(.*\): on the disk it is as it was") as told:
        save(path, b"old", b"new")
    assert words in str(told.value) and "\n" not in str(told.value)
    assert path.read_bytes() == b"old"
    assert [one.name for one in tmp_path.iterdir()] in (["beams.csv", ".last_good"], [".last_good", "beams.csv"])


def test_a_file_that_may_only_be_read_is_not_replaced(tmp_path):
    path = tmp_path / "beams.csv"
    save(path, None, b"old")
    path.chmod(0o444)
    with pytest.raises(NotSaved, match=r"beams.csv is not saved \(it may only be read\)"):
        save(path, b"old", b"new")
    assert path.read_bytes() == b"old"


def test_the_marks_of_the_file_stay(tmp_path):
    path = tmp_path / "beams.csv"
    save(path, None, b"old")
    path.chmod(0o640)
    save(path, b"old", b"new")
    assert path.stat().st_mode & 0o777 == 0o640
