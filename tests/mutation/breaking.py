"""Breaks lines of the mathematics one at a time, in a copy of the tree, and sees which test goes red."""

from __future__ import annotations

import compileall
import os
import py_compile
import shutil
import subprocess
import sys
import time
import tomllib
from dataclasses import dataclass
from pathlib import Path

TOP = Path(__file__).parents[2]
LIST = Path(__file__).with_name("mutants.toml")
#: Seconds that the tests of one mutant may take; one that hangs is caught.
LIMIT = 240
#: What `pytest` answers when a test failed, and when all passed.
RED, GREEN = 1, 0


@dataclass(frozen=True)
class Mutant:
    """
    One line broken.

    Parameters
    ----------
    file, old, new : str
        Below deckgeom/; the text that stands there once, and what is put in its place.
    what : str
        The slip, in words.
    tests : tuple of str
        Below tests/: files of which one test at least must go red.
    survives : str
        Why no test can see it; empty if one must.
    """

    file: str
    old: str
    new: str
    what: str
    tests: tuple[str, ...]
    survives: str = ""

    def times(self, top: Path = TOP) -> int:
        """How often the old text stands in its file; it must be once."""
        return (top / "deckgeom" / self.file).read_text(encoding="utf-8").count(self.old)


@dataclass(frozen=True)
class Outcome:
    """What the tests said of a mutant: caught, by which test, in how many seconds."""

    mutant: Mutant
    caught: bool
    by: str
    seconds: float


def mutants() -> tuple[Mutant, ...]:
    """The list, in its order."""
    with LIST.open("rb") as file:
        rows = tomllib.load(file)["mutant"]
    return tuple(Mutant(**{**row, "tests": tuple(row["tests"])}) for row in rows)


def copy_tree(folder: Path) -> Path:
    """A copy of what the tests need, its files compiled so that a change of the same size is seen too."""
    copy = folder / "tree"
    unwanted = shutil.ignore_patterns("__pycache__", ".ipynb_checkpoints", "out", "benchmarks", "browser")
    for name in ("deckgeom", "tests", "notebooks"):
        shutil.copytree(TOP / name, copy / name, ignore=unwanted)
    for name in ("pyproject.toml", "README.md"):
        shutil.copy(TOP / name, copy)
    by_content = py_compile.PycInvalidationMode.CHECKED_HASH
    compileall.compile_dir(str(copy / "deckgeom"), quiet=2, invalidation_mode=by_content)
    return copy


def run_tests(copy: Path, tests, limit: float = LIMIT) -> tuple[int, str]:
    """Run the tests until one fails: pytest's status, and which test went red first."""
    command = [sys.executable, "-m", "pytest", "-x", "-q", "-p", "no:cacheprovider", *(f"tests/{t}" for t in tests)]
    environment = {**os.environ, "PYTHONPATH": str(copy), "PYTHONDONTWRITEBYTECODE": "1", "OPENBLAS_NUM_THREADS": "1"}
    try:
        done = subprocess.run(command, cwd=copy, env=environment, capture_output=True, text=True, timeout=limit)
    except subprocess.TimeoutExpired:
        return RED, f"no answer within {limit:.0f} s"
    red = [line.split(" - ")[0] for line in done.stdout.splitlines() if line.startswith(("FAILED", "ERROR"))]
    if done.returncode not in (RED, GREEN):
        raise RuntimeError(f"the tests {', '.join(tests)} did not run:\n{done.stdout[-2000:]}{done.stderr[-2000:]}")
    return done.returncode, red[0].partition("tests/")[2] if red else ""


def try_one(copy: Path, mutant: Mutant, limit: float = LIMIT) -> Outcome:
    """Break the line in the copy, run the mutant's tests, mend it again."""
    file = copy / "deckgeom" / mutant.file
    whole = file.read_text(encoding="utf-8")
    if whole.count(mutant.old) != 1:
        raise ValueError(f"{mutant.old!r} stands {whole.count(mutant.old)} times in {mutant.file}: it must be once.")
    begun = time.perf_counter()
    try:
        file.write_text(whole.replace(mutant.old, mutant.new), encoding="utf-8")
        status, by = run_tests(copy, mutant.tests, limit)
    finally:
        file.write_text(whole, encoding="utf-8")
    return Outcome(mutant, status == RED, by, time.perf_counter() - begun)
