"""A step is stale when what it rests on has changed, and the reason is said; the clock has no voice in it."""

from __future__ import annotations

import json
import os
import re
import shutil
from pathlib import Path

import pytest

from deckgeom.bench import open_boat, start
from deckgeom.boat import made as made_room
from deckgeom.boat.digests import content_digests, digest
from deckgeom.boat.made import read_made
from deckgeom.results import COLUMNS

DEMO = Path(__file__).parents[2] / "notebooks" / "boats" / "thimblewick"
LAYING, TABLES, PAPERS = 4, 5, 6


@pytest.fixture
def boat(written_demo, tmp_path):
    return Path(shutil.copytree(written_demo, tmp_path / "boat"))


def change(file: Path, old: str, new: str) -> None:
    text = file.read_text(encoding="utf-8")
    assert old in text
    file.write_text(text.replace(old, new, 1), encoding="utf-8")


def states(boat: Path) -> list[str]:
    return [row[3] for row in start.steps(open_boat(boat)).rows]


def test_all_is_done_once_all_is_written(boat):
    table = start.steps(open_boat(boat))
    assert [row[3] for row in table.rows] == ["done"] * 7 and not table.strong
    assert table.rows[TABLES][4] == f"{len(COLUMNS)} files in {boat.as_posix()}/out"
    assert re.fullmatch(rf"\d+ files? in {re.escape(boat.as_posix())}/out", table.rows[PAPERS][4])


def test_nothing_written_is_to_do(tmp_path):
    folder = Path(shutil.copytree(DEMO, tmp_path / "boat", ignore=shutil.ignore_patterns("out", ".*")))
    assert states(folder) == ["done"] * 5 + ["to do"] * 2


@pytest.mark.parametrize(
    ("file", "old", "new", "stale", "name"),
    [
        ("readings.csv", "5-0-2", "5-0-3", {3, TABLES, PAPERS}, "readings.csv"),
        ("offsets.csv", "5-3-4", "5-3-5", {0, 1, 2, 3, TABLES, PAPERS}, "offsets.csv"),
        ("beams.csv", "1-4-0", "1-4-1", {2, 3, TABLES, PAPERS}, "beams.csv"),
        ("fittings.csv", "7-5-0", "7-5-1", {PAPERS}, "fittings.csv"),
        ("boat.toml", '"3/8in per ft of beam" ', '"1:30"', {1, 2, 3, TABLES, PAPERS}, "the section [camber]"),
        ("boat.toml", 'tolerance = "1/16in"', 'tolerance = "1/8in"', {3, TABLES, PAPERS}, "the section [fairing]"),
        ("boat.toml", '["8ft", "4ft"]', '["10ft", "4ft"]', {PAPERS}, "the section [laying]"),
        ("boat.toml", 'planking = "5/8in"', 'planking = "3/4in"', {0, 1, 2, 3, TABLES, PAPERS},
         "boat.toml above its sections"),
    ],
)  # fmt: skip
def test_a_change_makes_stale_what_rests_on_it_and_nothing_else(boat, file, old, new, stale, name):
    change(boat / file, old, new)
    table = start.steps(open_boat(boat))
    assert {k for k, row in enumerate(table.rows) if row[3] == "stale"} == stale == set(table.strong)
    name += " of boat.toml" if name.endswith("]") else ""
    assert table.rows[PAPERS][4] == f"{name} has changed since the papers were written: write them again"


def test_a_clock_set_back_deceives_nobody(boat):
    change(boat / "readings.csv", "5-0-2", "5-0-3")
    for path in boat.rglob("*"):
        os.utime(path, (1, 1))
    os.utime(boat / "readings.csv", (0, 0))  # older than all that was written
    assert states(boat)[PAPERS] == "stale"
    change(boat / "readings.csv", "5-0-3", "5-0-2")  # typed back: newer than all that was written, and the same
    assert states(boat) == ["done"] * 7


def test_a_remark_other_line_ends_and_a_blank_end_change_nothing(boat):
    file = boat / "readings.csv"
    text = file.read_text(encoding="utf-8").replace("# Heights of the beam tops", "# Taken on a Sunday: the beam tops")
    file.write_bytes(b"\xef\xbb\xbf" + text.replace("\n", "\r\n").encode() + b"\r\n\r\n")
    change(boat / "boat.toml", "# what may stay", "# mine")
    assert states(boat) == ["done"] * 7


def test_a_row_that_moves_is_a_change_since_complaints_name_rows(boat):
    file = boat / "readings.csv"
    file.write_text("# one more line\n" + file.read_text(encoding="utf-8"), encoding="utf-8")
    assert states(boat)[PAPERS] == "stale"


def test_a_file_that_came_or_went_is_a_change(boat):
    (boat / "lines.csv").unlink()
    assert "lines.csv has changed since the papers were written" in start.steps(open_boat(boat)).rows[PAPERS][4]


def test_a_change_after_the_page_was_run_says_to_run_it_again(boat):
    job = open_boat(boat)
    change(boat / "beams.csv", "1-4-0", "1-4-1")
    table = start.steps(job)
    assert [row[3] for row in table.rows] == ["done", "done", "stale", "stale", "stale", "stale", "stale"]
    assert table.rows[2][4] == "beams.csv has changed since this page read it: run the page again"


def test_a_deck_without_a_way_of_laying_is_to_do(boat):
    change(boat / "boat.toml", "ways = [ ", "ways = []\nstock = [ ")
    row = start.steps(open_boat(boat)).rows[LAYING]
    assert row[2:4] == ("05_laying", "to do") and "ways of laying are not written under [laying]" in row[4]


def test_papers_that_are_gone_or_altered_are_named(boat):
    (boat / "out" / "shop_sheets.pdf").unlink()
    (boat / "out" / "beams.csv").write_text("by another hand", encoding="utf-8")
    rows = start.steps(open_boat(boat)).rows
    assert rows[PAPERS][4] == "shop_sheets.pdf is gone or not as written: write them again"
    assert rows[TABLES][4] == "beams.csv is gone or not as written: write them again"


@pytest.mark.parametrize(
    "record", ["", "{", "[]", "7", '{"version": "1"}', '{"version": 1, "rests_on": 3, "files": {}}']
)
def test_a_damaged_record_is_not_believed(boat, record):
    (boat / "out" / "papers_made_from.json").write_text(record, encoding="utf-8")
    row = start.steps(open_boat(boat)).rows[PAPERS]
    assert row[3:] == ("stale", "what the papers were made from is not on record: write them again")


def test_papers_of_another_version_are_stale(boat):
    file = boat / "out" / "papers_made_from.json"
    file.write_text(json.dumps(json.loads(file.read_text(encoding="utf-8")) | {"version": "0.0.1"}), encoding="utf-8")
    assert "they were written by version 0.0.1, and this is " in start.steps(open_boat(boat)).rows[PAPERS][4]


def test_a_change_between_reading_and_writing_is_not_lost(boat):
    """The record is of what was read; what was typed while the papers were being made shows as a change."""
    from deckgeom.results import write_results

    job = open_boat(boat)
    change(boat / "offsets.csv", "5-3-4", "5-3-5")
    write_results(job, boat / "out")
    assert "offsets.csv has changed since the tables were written" in start.steps(open_boat(boat)).rows[TABLES][4]


def test_a_record_is_whole_or_not_at_all(boat, monkeypatch):
    from deckgeom.boat.made import record_made

    before = read_made(boat / "out", "tables")
    monkeypatch.setattr(made_room.json, "dumps", lambda *_, **__: "{" + "x" * 10**6)
    monkeypatch.setattr(made_room.Path, "replace", lambda *_: (_ for _ in ()).throw(OSError(28, "No space left")))
    with pytest.raises(OSError, match="No space left"):
        record_made(open_boat(boat).boat, boat / "out", "tables", [])
    assert read_made(boat / "out", "tables") == before
    assert not list((boat / "out").glob("*.part"))


def test_the_digest_is_the_standards():
    # NIST FIPS 180-4, its example for the message "abc": ba7816bf 8f01cfea 414140de 5dae2223 b00361a3 ...
    assert digest(b"abc") == "ba7816bf8f01cfea414140de5dae2223"


def test_keys_in_another_order_are_the_same(tmp_path):
    first, second = tmp_path / "a", tmp_path / "b"
    for folder, text in ((first, 'name = "x"\n[beams]\nsiding = 4\nmoulding = 6\n'),
                         (second, '[beams]\nmoulding = 6 # deep\nsiding = 4\n')):  # fmt: skip
        folder.mkdir()
        (folder / "boat.toml").write_text(text, encoding="utf-8")
    assert content_digests(first)["boat.toml [beams]"] == content_digests(second)["boat.toml [beams]"]
    assert content_digests(first)["boat.toml"] != content_digests(second)["boat.toml"]
