"""
`python -m tests.fuzz [--minutes 60] [--round 60] [--kept FOLDER] [TARGET ...]`: odd inputs, one target after another.

Each round gives every target the same seconds in a Python of its own, which reads the package anew: what was mended
meanwhile counts. What is found is said, made small and kept in `tests/fuzz/kept/`; `tests/fuzz/test_kept.py` tries it
again in every run of the tests. Status 1 if anything was found.
"""

from __future__ import annotations

import argparse
import random
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from tests.fuzz.kept import FOLDER, Kept, keep
from tests.fuzz.targets import TARGETS, UNITS

SHORT, MOST_SEEDS = 48, 120
"""Of the texts that reached new code, so many of at most so many bytes are kept as seeds."""


def one_round(name: str, seconds: int, folder: Path, kept: Path) -> tuple[int, list[str]]:
    """Inputs tried and what was found, in one Python."""
    command = [sys.executable, "-m", "tests.fuzz.hunt", name, str(seconds), str(random.randrange(1, 2**31))]
    pipe = subprocess.PIPE
    done = subprocess.Popen([*command, str(folder), str(kept)], stdout=pipe, stderr=pipe, text=True)
    try:
        out, err = done.communicate(timeout=seconds + 180)
    except subprocess.TimeoutExpired:
        done.kill()
        done.communicate()
        data = (folder / f"{name}.current").read_bytes()
        keep(Kept(name, UNITS[data[0] % 3], data[1:], "hangs, and cannot be stopped from Python"), kept)
        return 0, [f"{name}: hangs, and cannot be stopped from Python"]
    found = [line for line in out.splitlines() if line.startswith(f"{name}: ")]
    if done.returncode and not found:
        found.append(f"{name}: the hunt itself ended with {done.returncode}: {err.strip()[-300:]}")
    count = folder / f"{name}.count"
    return int(count.read_text()) if count.exists() else 0, found


def keep_seeds(name: str, folder: Path, kept: Path) -> None:
    """Short texts that reached code which no other did, to begin the next time with."""
    texts = sorted((path.read_bytes() for path in folder.glob(f"{name}.corpus/*")), key=lambda data: (len(data), data))
    for data in [data for data in texts if 1 < len(data) <= SHORT][:MOST_SEEDS]:
        keep(Kept(name, UNITS[data[0] % 3], data[1:]), kept)


def main(arguments: list[str] | None = None) -> int:
    """Hunt for so many minutes, and print a table."""
    parser = argparse.ArgumentParser(prog="tests.fuzz", description=__doc__.strip().splitlines()[0])
    parser.add_argument("targets", nargs="*", help=f"of {', '.join(TARGETS)}")
    parser.add_argument("--minutes", type=float, default=60)
    parser.add_argument("--round", type=int, default=60, help="seconds for one target before the next")
    parser.add_argument("--kept", type=Path, default=FOLDER)
    parser.add_argument("--seeds", action="store_true", help="keep short texts that reached new code as well")
    asked = parser.parse_args(arguments)
    names = asked.targets or list(TARGETS)
    if set(names) - set(TARGETS):
        parser.error(f"targets are {', '.join(TARGETS)}")
    start, tried, found = time.monotonic(), dict.fromkeys(names, 0), []
    with tempfile.TemporaryDirectory(prefix="deckgeom-fuzz-") as folder:
        while time.monotonic() - start < 60 * asked.minutes:
            for name in names:
                left = 60 * asked.minutes - (time.monotonic() - start)
                if left > 1:
                    count, new = one_round(name, max(1, min(asked.round, int(left))), Path(folder), asked.kept)
                    tried[name] += count
                    found += new
                    for line in new:
                        print(line, flush=True)
            minutes = (time.monotonic() - start) / 60
            print(f"{minutes:.1f} min: {sum(tried.values())} inputs, {len(found)} findings", flush=True)
        for name in names if asked.seeds else ():
            keep_seeds(name, Path(folder), asked.kept)
    print("| target | inputs |\n|---|---|\n" + "\n".join(f"| {name} | {count} |" for name, count in tried.items()))
    return 1 if found else 0


if __name__ == "__main__":
    sys.exit(main())
