"""Tables that are damaged, cell by cell and column by column: each gets its complaint, and nothing else happens."""

from __future__ import annotations

import pytest

from deckgeom.boat.own_rows_file import COLUMNS as FIGURES
from deckgeom.boat.table_files import TABLES
from tests.damaged import checking, tables
from tests.damaged.checking import faults, told

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
