"""
Everything that the workbook and the command save, tried where the system itself refuses: `python -m` this module.

Called with the kind of limit and a shed; prints what each told as JSON. Kinds: `size` (no file may grow), `disk` (a
small disk, filled up), `read-only` (a disk that may only be read), `stranger` (another person's folder).
"""

from __future__ import annotations

import contextlib
import io
import json
import os
import resource
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

from deckgeom.__main__ import main as command
from deckgeom.bench import entries, open_boat, papers, start
from deckgeom.boat import read_boat
from tests.nothing_lost.actions import BOAT, typed
from tests.nothing_lost.out import quick_papers

NOBODY = 65534


def filled(shed: Path) -> Callable[[], None]:
    """Fill the disk to the last byte; returns what makes room again."""
    filler = shed.parent / "filler"
    with contextlib.suppress(OSError), open(filler, "wb", buffering=0) as file:
        while file.write(b"x" * 512):
            pass
    with contextlib.suppress(OSError), open(filler, "ab", buffering=0) as file:
        while file.write(b"x"):
            pass
    return filler.unlink


def small(shed: Path) -> Callable[[], None]:
    """No file of this program may hold a byte more."""
    resource.setrlimit(resource.RLIMIT_FSIZE, (0, resource.RLIM_INFINITY))
    return lambda: resource.setrlimit(resource.RLIMIT_FSIZE, (resource.RLIM_INFINITY, resource.RLIM_INFINITY))


def read_only(shed: Path) -> Callable[[], None]:
    """The disk is mounted to be read only."""
    subprocess.run(["mount", "-o", "remount,ro", shed.parent], check=True)
    return lambda: subprocess.run(["mount", "-o", "remount,rw", shed.parent], check=True) and None


def stranger(shed: Path) -> Callable[[], None]:
    """Folders and files that may only be read, and whoever may write everywhere becomes somebody who may not."""
    paths = [shed, *shed.rglob("*")]
    for path in paths:
        path.chmod(0o555 if path.is_dir() else 0o444)
    root = os.geteuid() == 0
    if root:
        os.seteuid(NOBODY)

    def again() -> None:
        if root:
            os.seteuid(0)
        for path in paths:
            path.chmod(0o755 if path.is_dir() else 0o644)

    return again


LIMITS = {"disk": filled, "size": small, "read-only": read_only, "stranger": stranger}


def written(folder: Path) -> tuple[str, str]:
    """Run the command; what it said of errors, and its exit code as a word."""
    said = io.StringIO()
    with contextlib.redirect_stderr(said), contextlib.redirect_stdout(io.StringIO()):
        code = command([str(folder), "--patterns", "none"])
    return f"exit {code}", "\n".join(line for line in said.getvalue().splitlines() if "readings.csv" not in line)


def attempts(shed: Path, kind: str) -> dict[str, Callable[[], str]]:
    """What is tried by name, each giving what it told."""
    table = entries.readings(open_boat(shed / BOAT)).type({(0, 3): "841", (0, 4): "first"})
    boats, job = start.boat_panel(shed), open_boat(shed / BOAT)
    paste = {(row, column): f"{row}{column}" for row in range(4, 600) for column in range(5)}
    tried = {
        "cell": lambda: table.type({(1, 3): "851"}).trouble,
        "paste": lambda: table.type(paste).trouble,
        "undo": lambda: table.step("undo").trouble,
        "copy kept": lambda: table.step("restore", table.kept[-1][0]).trouble,
        "choose": lambda: boats.do("choose", boat=BOAT).trouble,
        "new name": lambda: boats.do("copy", source=BOAT, name="skiff").trouble,
        "empty": lambda: boats.do("make", name="punt", units="mm").trouble,
        "command": lambda: ": ".join(written(shed / BOAT)),
    }
    if kind != "stranger":  # a Python of its own might not find what it needs there
        tried["papers"] = lambda: papers.panel(job).do("write", patterns=papers.NO_PATTERNS).trouble
    tried["again"] = lambda: (table.type({(0, 4): "second"}), table.trouble)[1]
    return tried


def main(kind: str, shed: Path) -> None:
    """Try everything under a limit, then once more without."""
    written(shed / BOAT)  # everything that is needed has been read in once
    tried, told = attempts(shed, kind), {}
    before, boat = typed(shed), read_boat(shed / BOAT).digests
    lift = LIMITS[kind](shed)
    try:
        for name, call in tried.items():
            told[name] = call()
        told["unchanged"] = typed(shed) == before and read_boat(shed / BOAT).digests == boat
    finally:
        lift()
    told["room again"] = tried["again"]()
    told["file"] = (shed / BOAT / "readings.csv").read_text(encoding="utf-8-sig")
    told["after"] = [call() for name, call in tried.items() if name in ("new name", "command")]
    print(json.dumps(told))


if __name__ == "__main__":
    with quick_papers():
        main(sys.argv[1], Path(sys.argv[2]))
