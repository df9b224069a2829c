"""Tables that are damaged, cell by cell and column by column: each gets its complaint, and nothing else happens."""

from __future__ import annotations

import csv
import random

import pytest

from deckgeom.boat.own_rows_file import COLUMNS as FIGURES
from deckgeom.boat.table_files import TABLES
from tests.damaged import checking, tables
from tests.damaged.checking import as_good, faults, run, told
from tests.damaged.folders import cell, good, plus

NAMES = {damage[0] for damage in tables.DAMAGES}
WANTED = [want for want in told() if want.name in NAMES]


@pytest.mark.parametrize("want", WANTED, ids=lambda want: want.name)
def test_a_damaged_table_gets_its_complaint(want, tmp_path):
    assert faults(want, tmp_path) == []


def test_every_column_of_every_table_is_damaged():
    known = TABLES | {"figures.csv": FIGURES}
    columns = {(file, column.name) for file, each in known.items() for column in each if column.name != "note"}
    said = {(want.file.removeprefix("out/"), want.column) for want in WANTED}
    assert columns - said <= {("figures.csv", "counts"), ("figures.csv", "low"), ("lines.csv", "weight")}
    assert {want.name.partition("-")[0] for want in WANTED} == {file.partition(".")[0] for file in known}


@pytest.mark.parametrize("beam", ["4", "7", "10", "15", "18", "21"])
def test_an_eighth_on_one_reading_puts_a_plane_to_no_beam(beam, tmp_path):
    """It may be asked for once more or left; what is to be planed and packed stays what it was, to half a mm."""
    folder = good("demo", tmp_path / "boat")
    line = cell("readings.csv", "height", plus(3.175, "ft-in-8"), beam)(folder, random.Random(beam))
    assert f"\n{beam}," in "\n" + (folder / "readings.csv").read_text().splitlines()[line - 1]
    was, now = (_work(one) for one in (as_good("demo"), run(folder)))
    assert was.keys() == now.keys()
    for place, (off, up) in now.items():
        assert (off, up) == pytest.approx(was[place], abs=0.5), place


def _work(done) -> dict:
    """What is to be planed off and packed up at each reading, where it is anything."""
    lines = done.tables["fairing.csv"].decode("utf-8").splitlines()
    rows = csv.DictReader(line for line in lines if not line.startswith("#"))
    found = {(row["beam"], round(float(row["y"]))): (float(row["plane_off"]), float(row["pack_up"])) for row in rows}
    return {place: work for place, work in found.items() if any(work)}


def test_a_complaint_that_is_not_made_is_seen(tmp_path, monkeypatch):
    want = next(want for want in WANTED if want.name == "offsets-x-word")
    real = checking.command.main

    def silent(arguments):
        return real([*arguments, "--out", str(tmp_path / "boat" / "out")]) and 0

    monkeypatch.setattr(checking.command, "main", silent)
    assert faults(want, tmp_path) == ["the status is 0, not 1"]


def test_what_is_written_beside_the_folder_is_seen(tmp_path, monkeypatch):
    want = next(want for want in WANTED if want.name == "offsets-station-blank")
    real = checking.command.main

    def careless(arguments):
        (tmp_path / "notes.txt").write_text("a stray file")
        return real(arguments)

    monkeypatch.setattr(checking.command, "main", careless)
    assert faults(want, tmp_path) == ["something outside out/ was written or changed"]
