"""Importing the package costs little more than numpy and scipy do."""

from __future__ import annotations

import statistics
import subprocess
import sys
from pathlib import Path

TOP = Path(__file__).parents[2]
BASE = "import numpy, scipy"
PARTS = BASE + ", scipy.integrate, scipy.interpolate, scipy.linalg, scipy.optimize, scipy.sparse.linalg"


def seconds(statement: str, base: str) -> float:
    """Processor time of a fresh Python for the statement, the base already imported; the middle one of seven. [s]"""
    code = f"{base}\nimport time; begun = time.process_time()\n{statement}\nprint(time.process_time() - begun)"
    run = [sys.executable, "-c", code]
    subprocess.run(run, cwd=TOP, check=True, capture_output=True)  # writes the compiled files
    return statistics.median(
        float(subprocess.run(run, cwd=TOP, check=True, capture_output=True, text=True).stdout) for _ in range(7)
    )


def test_import_of_the_package():
    taken = seconds("import deckgeom", BASE)
    print(f"\nimport deckgeom: {taken * 1e3:.0f} ms over numpy and scipy, target 300 ms")
    assert 0 < taken < 0.3


def test_import_of_the_main_job():
    taken = seconds("import deckgeom.job, deckgeom.results", PARTS)
    print(f"\nimport deckgeom.job, deckgeom.results: {taken * 1e3:.0f} ms over numpy and scipy's parts, target 300 ms")
    assert 0 < taken < 0.3
