"""The system's own refusals, none put in its place: a full disk, one to read only, a size limit, another's folder."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.nothing_lost.actions import BOAT, litter, make_shed

TOP = Path(__file__).parents[2]
WHY = {"disk": "No space left on device", "size": "File too large", "read-only": "Read-only file system",
       "stranger": "Permission denied"}  # fmt: skip
OTHERS = "may only be read: change that, or copy"
NEXT = {"disk": "The disk is full: make room, then", "size": "No more may be written here: make room, then",
        "read-only": OTHERS, "stranger": OTHERS}  # fmt: skip
TABLE = ("cell", "paste", "undo", "copy kept", "again")
MOUNTED = 'mount -t tmpfs -o size=2m none "$1" && mkdir "$1/shed" && cp -r "$0"/. "$1/shed" && shift && exec "$@"'

pytestmark = pytest.mark.skipif(os.name != "posix", reason="limits of this kind are set on POSIX systems only")


@pytest.fixture
def open_place() -> Iterator[Path]:
    """A folder that everybody may walk into."""
    place = Path(tempfile.mkdtemp(prefix="nothing-lost-"))
    place.chmod(0o755)
    yield place
    shutil.rmtree(place)


def told_under(kind: str, place: Path) -> dict:
    shed = make_shed(place / "shed")
    run = [sys.executable, "-m", "tests.nothing_lost.limits", kind]
    if kind in ("disk", "read-only"):
        disk = place / "disk"
        disk.mkdir()
        run = [*_mounting(), "sh", "-c", MOUNTED, str(shed), str(disk), *run, str(disk / "shed")]
    else:
        run.append(str(shed))
    done = subprocess.run(run, cwd=TOP, env={**os.environ, "MPLBACKEND": "Agg"}, capture_output=True, text=True)
    assert done.returncode == 0, done.stderr
    return json.loads(done.stdout)


def _mounting() -> list[str]:
    """How a disk of one's own is mounted here; a test that needs one is left out, and says so, where none can be."""
    for how in (["unshare", "-m"], ["unshare", "-rm"]):
        try:
            if not subprocess.run([*how, "mount", "-t", "tmpfs", "none", "/mnt"], capture_output=True).returncode:
                return how
        except FileNotFoundError:
            break
    pytest.skip("no small disk can be mounted on this machine; full and read-only disks are tried call by call beside")


@pytest.mark.parametrize("kind", WHY)
def test_each_is_told_in_one_line_and_what_was_typed_is_still_there(kind, open_place):
    told = told_under(kind, open_place)
    assert told["unchanged"] is True
    for name in TABLE:
        assert told[name].startswith(f"readings.csv is not saved ({WHY[kind]}): on the disk it is as it was"), name
        assert NEXT[kind] in told[name]
    assert told["new name"].startswith(f"skiff is not made ({WHY[kind]}): no folder of that name was begun.")
    assert told["empty"].startswith(f"punt is not made ({WHY[kind]}): no folder of that name was begun.")
    assert f"chosen.txt: the choice cannot be written there ({WHY[kind]}), and the old one stands." in told["choose"]
    assert told["command"].startswith("exit 2: ") and WHY[kind] in told["command"]
    assert "do not work from it" in told["command"]
    assert WHY[kind] in told.get("papers", WHY[kind]) and ".being-written" not in told.get("papers", "")
    assert all(len(words) < 500 and "\n" not in words for name, words in told.items() if name in (*TABLE, "papers"))
    assert told["room again"] == "" and told["after"] == ["", "exit 1: "], "the paste wants mending, and is there"
    rows = told["file"].splitlines()
    assert rows[2] == "1;port;200;841;second" and rows[3] == '1;;0;851;"a; b"' and len(rows) == 2 + 600
    assert rows[-1] == "5990;5991;5992;5993;5994"
    assert litter(open_place) == []


def test_whoever_may_write_everywhere_is_made_somebody_who_may_not(open_place):
    """The stranger's case says what it ought to: without it root would pass where others are refused."""
    shed = make_shed(open_place / "shed")
    script = (
        "import sys; from pathlib import Path; from tests.nothing_lost.limits import stranger\n"
        "again = stranger(Path(sys.argv[1]))\n"
        f"try: open(sys.argv[1] + '/{BOAT}/beams.csv', 'a'); print('written')\n"
        "except PermissionError: print('refused')\n"
        "again()"
    )
    done = subprocess.run([sys.executable, "-c", script, str(shed)], cwd=TOP, capture_output=True, text=True,
                          env={**os.environ, "PYTHONPATH": str(TOP)})  # fmt: skip
    assert done.stdout == "refused\n", done.stderr
