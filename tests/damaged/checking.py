"""Runs the main job on a damaged folder, and says everything that is not as it must be."""

from __future__ import annotations

import contextlib
import csv
import io
import re
import shutil
import signal
import stat
import threading
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from tempfile import mkdtemp
from unittest import mock

import deckgeom.__main__ as command
from tests.damaged.folders import good
from tests.damaged.make import DAMAGES

TABLE = Path(__file__).with_name("complaints.csv")
SECONDS = 30.0
"""No folder takes longer; all but the largest take a tenth of a second."""

SAME = "the same results"
"""In the table where a damage does no harm: no complaint, and every number as from the good folder."""

MOST_LINES = 200
"""So many lines of complaints are printed at most, whatever stands in the files."""

INSIDE = re.compile(
    r"Traceback|Warning|numpy|scipy|ndarray|broadcast|operand|\bnan\b|\bNaN\b|\binf\b|dtype|zero-size|NoneType"
    r"|object at 0x|list index|unpack|invalid literal|could not convert|singular|codec can't"
)


@dataclass(frozen=True)
class Told:
    """A row of `complaints.csv`: the damage, and what must be said of it. The row may be "line": the damaged line."""

    name: str
    boat: str
    done: str
    file: str
    row: str
    column: str
    says: str
    status: int


def told() -> list[Told]:
    """Every row of the table."""
    with TABLE.open(encoding="utf-8", newline="") as file:
        return [Told(*row[:-1], int(row[-1])) for row in list(csv.reader(file))[1:]]


@dataclass(frozen=True)
class Run:
    """What one run of the command gave: its status, lines of both streams, and the tables that it wrote."""

    status: int
    out: tuple[str, ...]
    err: tuple[str, ...]
    tables: dict[str, bytes]

    @property
    def suspects(self) -> list[list[str]]:
        """Rows of out/suspects.csv."""
        text = self.tables.get("suspects.csv", b"").decode("utf-8")
        return list(csv.reader(line for line in text.splitlines() if not line.startswith("#")))[1:]


@contextlib.contextmanager
def time_limit(seconds: float):
    """An error after so long, where the system can do it: a run that hangs is red, not endless."""
    if not hasattr(signal, "setitimer") or threading.current_thread() is not threading.main_thread():
        yield
        return

    def late(*_):
        raise TimeoutError(f"more than {seconds:g} s")

    before = signal.signal(signal.SIGALRM, late)
    signal.setitimer(signal.ITIMER_REAL, seconds)
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_REAL, 0)
        signal.signal(signal.SIGALRM, before)


def run(folder: Path, papers: bool = False, *options: str) -> Run:
    """The command in this Python, with its papers or without."""
    out, err = io.StringIO(), io.StringIO()
    with contextlib.ExitStack() as stack:
        for slow in () if papers else ("_papers", "_laying_lines"):
            stack.enter_context(mock.patch.object(command, slow, lambda *_: [], create=True))
        stack.enter_context(contextlib.redirect_stdout(out))
        stack.enter_context(contextlib.redirect_stderr(err))
        stack.enter_context(time_limit(SECONDS * (1 + 9 * papers)))
        status = command.main([str(folder), *options])
    written = sorted((folder / "out").glob("*.csv")) if status != command.WRONG_USE else []
    tables = {path.name: path.read_bytes() for path in written}
    return Run(status, tuple(out.getvalue().splitlines()), tuple(err.getvalue().splitlines()), tables)


@cache
def as_good(boat: str) -> Run:
    """What the undamaged folder gives."""
    shed = Path(mkdtemp())
    try:
        return run(good(boat, shed / "boat"))
    finally:
        shutil.rmtree(shed)


def snapshot(top: Path) -> dict:
    """Kind, time and bytes of everything below a folder but what stands in out/; nothing is opened that may wait."""
    found = {}
    for path in sorted(top.rglob("*")):
        if "out" in path.relative_to(top).parts[1:2]:
            continue
        seen = path.lstat()
        if stat.S_ISDIR(seen.st_mode):  # a folder's own time changes when out/ is made in it
            found[str(path)] = (seen.st_mode,)
            continue
        small = stat.S_ISREG(seen.st_mode) and seen.st_size < 10_000_000
        found[str(path)] = (seen.st_mode, seen.st_size, seen.st_mtime_ns, path.read_bytes() if small else b"")
    return found


def faults(want: Told, shed: Path, papers: bool = False) -> list[str]:
    """Everything that is not as it must be with one damaged folder, in words; made inside the given folder."""
    folder = shed / "boat"
    line = DAMAGES[want.name].make(folder)
    before = snapshot(shed)
    done, base = run(folder, papers), as_good(want.boat)
    new = [one for one in done.err if one not in base.err]
    found = [f"the status is {done.status}, not {want.status}"] if done.status != want.status else []
    if snapshot(shed) != before:
        found.append("something outside out/ was written or changed")
    said = [re.sub(r"'[^']*'", "", one) for one in (*done.err, *done.out)]
    found += [f"words from the inside: {one[:200]}" for one in said if INSIDE.search(one)]
    found += [f"a line of {len(one)} letters" for one in (*done.err, *done.out) if len(one) > 1500]
    found += [f"{len(done.err)} lines of complaints"] if len(done.err) > MOST_LINES else []
    found += [f"no summary: {done.out[:2]}"] if not done.out or not done.out[-1].startswith("Written: ") else []
    if want.says == SAME:
        found += [f"a complaint of what does no harm: {one[:200]}" for one in new]
        return found + ([] if done.tables == base.tables else ["the results differ"])
    if want.file.startswith("out/"):
        return found + _not_suspected(want, line, done)
    return found + (
        [] if any(_is(want, line, one) for one in new) else [f"not said; but {[one[:160] for one in new[:3]]}"]
    )


def _row(want: Told, line: int | None) -> str:
    """The row as a number: "line" is the damaged line, "line-1" the one before."""
    if not want.row.startswith("line"):
        return want.row
    return str(line + int(want.row[4:] or 0))


def _is(want: Told, line: int | None, said: str) -> bool:
    row = _row(want, line)
    head = want.file + (f", row {row}" if row else "") + (f", column {want.column}" if want.column else "")
    rest = said.removeprefix(head)
    return said.startswith(head) and rest.startswith((": ", ", '")) and want.says in rest


def _not_suspected(want: Told, line: int | None, done: Run) -> list[str]:
    row = _row(want, line)
    for file, at, column, _, _, reason in done.suspects:
        if (f"out/{file}", at, column) == (want.file, row, want.column) and want.says in reason:
            loud = [one for one in done.out if "look first at" in one or one.startswith("Measure again first")]
            return [] if loud else ["suspected, but not a word in the summary"]
    return [f"not suspected; but {done.suspects[:3]}"]
