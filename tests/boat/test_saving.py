"""Cells typed one after another, and the program killed at any moment: each is there or is not, and none is spoilt."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from deckgeom.boat.keeping import copies
from deckgeom.boat.table_files import typed_table

TOP = Path(__file__).parents[2]
ROWS, KILLS = 60, 48
TYPIST = """
import os, random, signal, sys, time
from deckgeom.boat.editing import Editing
folder, kills = sys.argv[1], int(sys.argv[2])
pick = random.Random(7)
for _ in range(kills):
    told, tell = os.pipe()
    child = os.fork()
    if not child:
        table = Editing(folder, "readings.csv")
        os.write(tell, b"!")
        while True:
            typed = [int(cells[3]) for cells in table.table.cells]
            k = min(range(len(typed)), key=typed.__getitem__)
            table.type({(k, 3): str(typed[k] + 1)})
    os.close(tell)
    os.read(told, 1)
    time.sleep(pick.uniform(0.0, 0.025))
    os.kill(child, signal.SIGKILL)
    os.waitpid(child, 0)
    os.close(told)
    print(open(folder + "/readings.csv", "rb").read().hex())
"""


@pytest.mark.skipif(not hasattr(os, "fork"), reason="a child is forked and killed here")
def test_killed_at_many_moments_while_typing_every_cell_is_old_or_new(tmp_path):
    """Each cell counts up by one in turn, so a whole file holds two neighbouring numbers at the most."""
    path = tmp_path / "readings.csv"
    begun = b"\xef\xbb\xbf# mine; not yours\r\nbeam;side;y;height\r\n"
    path.write_bytes(begun + b"".join(b"%d;port;300;1000\r\n" % k for k in range(ROWS)))
    done = subprocess.run([sys.executable, "-c", TYPIST, str(tmp_path), str(KILLS)], capture_output=True, text=True,
                          env={**os.environ, "PYTHONPATH": str(TOP)}, timeout=120)  # fmt: skip
    assert done.returncode == 0, done.stderr
    seen = [bytes.fromhex(line) for line in done.stdout.split()]
    assert len(seen) == KILLS
    counted = []
    for data in [*seen, *(copy.path.read_bytes() for copy in copies(path))]:
        assert data.startswith(begun) and data.endswith(b"\r\n")
        rows = [row.split(b";") for row in data[len(begun) :].splitlines()]
        assert [(row[0], row[1:3]) for row in rows] == [(b"%d" % k, [b"port", b"300"]) for k in range(ROWS)]
        heights = [int(row[3]) for row in rows]
        assert heights == sorted(heights, reverse=True) and max(heights) - min(heights) <= 1
        counted.append(sum(heights))
    assert counted[:KILLS] == sorted(counted[:KILLS]), "nothing that was saved is taken back by a kill"
    assert counted[KILLS - 1] > 1000 * ROWS + KILLS / 8, "too little was typed to be killed in"
    assert typed_table(tmp_path, "readings.csv").data == path.read_bytes()
