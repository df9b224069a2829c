"""Several notebooks on one boat at the same moment: no cell is lost, and nobody writes over what he was not told of."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

from deckgeom.boat.keeping import copies
from deckgeom.boat.typed_table import table_of
from tests.nothing_lost.actions import BOAT, litter, make_shed

TOP = Path(__file__).parents[2]
PEOPLE, TURNS, ROWS = 3, 80, 12
EACH_ITS_ROWS = """
import json, sys, time
from deckgeom.boat.editing import Editing
folder, me, people, turns, rows = sys.argv[1], *map(int, sys.argv[2:])
table, told = Editing(folder, "readings.csv"), 0
input()
for turn in range(turns):
    row = (turn * people + me) % rows
    time.sleep(-time.time() % 0.02)  # all at one tick of the clock, so that they meet
    said = table.type({(row, 3): f"{me}00{turn}"})
    told += said.startswith("readings.csv was changed by another page or program meanwhile (row ")
print(json.dumps(told))
"""
ALL_ONE_CELL = """
import json, sys
from deckgeom.boat.editing import Editing
from deckgeom.boat.typed_table import TypedError
folder, me, people, turns, rows = sys.argv[1], *map(int, sys.argv[2:])
table, wrote, refused = Editing(folder, "readings.csv"), [], []
input()
for turn in range(turns):
    while True:
        seen = table.table.cells[4][3]
        try:
            table.type({(4, 3): f"{me}00{turn}"})
            wrote.append([seen, f"{me}00{turn}"])
            break
        except TypedError as error:
            refused.append([table.table.cells[4][3], str(error)])
print(json.dumps([wrote, refused]))
"""


def together(script: str, folder: Path) -> list:
    """Run a script for each of them, all begun at one word; what each of them printed."""
    numbers = [str(number) for number in (PEOPLE, TURNS, ROWS)]
    runs = [
        subprocess.Popen([sys.executable, "-c", script, str(folder), str(me), *numbers], stdin=subprocess.PIPE,
                         stdout=subprocess.PIPE, text=True, env={**os.environ, "PYTHONPATH": str(TOP)})
        for me in range(PEOPLE)
    ]  # fmt: skip
    for run in runs:
        run.stdin.write("go\n")
        run.stdin.flush()
    said = [run.communicate(timeout=120)[0] for run in runs]
    assert [run.returncode for run in runs] == [0] * PEOPLE
    return [json.loads(words) for words in said]


def begun(tmp_path: Path) -> Path:
    folder = make_shed(tmp_path / "shed") / BOAT
    rows = "".join(f"1;port;{100 + k};0;mine {k}\r\n" for k in range(ROWS))
    (folder / "readings.csv").write_bytes(b"# mine\r\nbeam;side;y;height;note\r\n" + rows.encode())
    return folder


def test_each_in_rows_of_his_own_hundreds_of_times_and_no_cell_is_lost(tmp_path):
    folder = begun(tmp_path)
    told = together(EACH_ITS_ROWS, folder)
    last = {}
    for turn in range(TURNS):
        for me in range(PEOPLE):
            last[(turn * PEOPLE + me) % ROWS] = f"{me}00{turn}"
    rows = "".join(f"1;port;{100 + k};{last[k]};mine {k}\r\n" for k in range(ROWS))
    assert (folder / "readings.csv").read_bytes() == b"# mine\r\nbeam;side;y;height;note\r\n" + rows.encode()
    assert sum(told) > 10, "they never met: nothing was tried"
    assert litter(folder) == [] and len(copies(folder / "readings.csv")) == 1, "cells one after another share a copy"


def test_all_in_one_cell_and_each_value_is_written_over_once_by_somebody_who_was_told_of_it(tmp_path):
    folder = begun(tmp_path)
    came = together(ALL_ONE_CELL, folder)
    wrote = [pair for pairs, _ in came for pair in pairs]
    refused = [one for _, some in came for one in some]
    assert len(wrote) == PEOPLE * TURNS
    over, values = [pair[0] for pair in wrote], [pair[1] for pair in wrote]
    data = (folder / "readings.csv").read_bytes()
    last = table_of(folder / "readings.csv", data, []).cells[4][3]
    assert sorted([*over, last]) == sorted(["0", *values]), "a value was written over by somebody who had not seen it"
    assert data.count(b"mine") == ROWS + 1 and data.count(b";0;") == ROWS - 1, "only that cell was changed"
    assert len(refused) > 10, "they never met: nothing was tried"
    for now, words in refused:
        assert f"is now '{now}'); that is shown now. The row that you typed in is not what it was: look at it" in words
