"""The command that does a boat's job without a notebook: files, words, exit status."""

from __future__ import annotations

import csv
import shutil
from pathlib import Path

import pytest
from pypdf import PdfReader

from deckgeom.__main__ import main
from deckgeom.boat import copy_boat, read_boat
from deckgeom.job import do_job
from deckgeom.results import COLUMNS, write_results

TOP = Path(__file__).resolve().parents[1]
DEMO = TOP / "notebooks" / "boats" / "thimblewick"
PUBLISHED = TOP / "tests" / "published" / "boats"

#: The columns that other programs may rely on, in mm and degrees.
CONTRACT = {
    "beams": "beam, x, half_breadth_port, half_breadth_starboard, camber, crown_height, edge_height_port, "
    "edge_height_starboard, edge_slope_deg, jig_camber",
    "ordinates": "beam, face, y, height, drop_below_crown",
    "bevels": "beam, y, bevel_deg, rise_over_siding, high_edge",
    "spiling": "edge, side, along, offset",
    "fairing": "beam, y, measured, fair, plane_off, pack_up, uncertainty, verdict, reason",
    "suspects": "file, row, column, value, expected, reason",
}


def rows_of(file: Path) -> list[dict]:
    lines = [line for line in file.read_text(encoding="utf-8").splitlines() if not line.startswith("#")]
    return list(csv.DictReader(lines))


@pytest.fixture(scope="module")
def demo_out(written_demo, tmp_path_factory):
    return Path(shutil.copytree(written_demo / "out", tmp_path_factory.mktemp("demo") / "out"))


def test_the_demo_boat_gives_every_table_with_its_contract(demo_out):
    for table, columns in CONTRACT.items():
        text = (demo_out / f"{table}.csv").read_text(encoding="utf-8")
        assert text.startswith("# Thimblewick. mm and degrees; y off the centreline, starboard positive."), table
        head = next(line for line in text.splitlines() if not line.startswith("#"))
        wanted = columns.split(", ")
        assert head.split(",")[: len(wanted)] == wanted
        assert rows_of(demo_out / f"{table}.csv") or table == "suspects"


def test_the_demo_boat_has_24_beams_of_which_two_are_in_halves_and_one_is_raked(demo_out):
    beams = rows_of(demo_out / "beams.csv")
    assert len({row["beam"].rstrip("PS") for row in beams}) == 24
    assert [row["beam"] for row in beams if row["beam"][-1] in "PS"] == ["13P", "13S", "14P", "14S"]
    assert [row["beam"] for row in beams if row["rake_deg"] != "0"] == ["24"]


def test_tables_agree_with_each_other(demo_out):
    """Crown less edge line is the camber; the mould is the higher face; the bevel is the rise over the siding."""
    beams = {row["beam"]: row for row in rows_of(demo_out / "beams.csv")}
    for row in beams.values():
        if row["rake_deg"] != "0":
            continue
        port, starboard = float(row["half_breadth_port"]), float(row["half_breadth_starboard"])
        low, high = float(row["edge_height_port"]), float(row["edge_height_starboard"])
        line = low + (high - low) * port / (port + starboard)
        assert float(row["crown_height"]) - line == pytest.approx(float(row["camber"]), abs=0.5)
    heights: dict = {}
    for row in rows_of(demo_out / "ordinates.csv"):
        heights.setdefault((row["beam"], row["y"]), {})[row["face"]] = float(row["height"])
    # a raked beam's mould is carried square across to its own face, so its heights differ by the lean
    both = [faces for (beam, _), faces in heights.items() if len(faces) == 3 and beam != "24"]
    assert len(both) > 200
    assert all(abs(faces["mould"] - max(faces["forward"], faces["after"])) < 2e-3 for faces in both)
    bevels = {(row["beam"], row["y"]): row for row in rows_of(demo_out / "bevels.csv")}
    for key, faces in heights.items():
        if len(faces) == 3 and key[0] != "24":
            rise = float(bevels[key]["rise_over_siding"])
            assert abs(rise) == pytest.approx(abs(faces["forward"] - faces["after"]), abs=3e-3)


def test_the_papers_of_the_demo_boat_hold_each_beam_and_the_conventions(demo_out):
    book = PdfReader(demo_out / "shop_sheets.pdf")
    texts = [page.extract_text() for page in book.pages]
    titles = {text.splitlines()[k] for text in texts for k in range(4)}
    assert {f"Beam {n}" for n in range(1, 13)} <= titles
    assert all("heights up from the base line" in text for text in texts)
    assert all(f"page {n} of {len(texts)}" in text for n, text in enumerate(texts, 1))


@pytest.fixture(scope="module")
def published_out(tmp_path_factory):
    outs = {boat: tmp_path_factory.mktemp(boat) / "papers to be" for boat in ("clark-rowboat", "stephens-1883")}
    assert [main([str(PUBLISHED / boat), "--out", str(out)]) for boat, out in outs.items()] == [0, 0]
    return outs


@pytest.mark.parametrize("boat", ["clark-rowboat", "stephens-1883"])
def test_published_tables_go_through(published_out, boat):
    out = published_out[boat]
    assert {"shop_sheets.pdf"} | {f"{table}.csv" for table in CONTRACT} <= {file.name for file in out.iterdir()}
    assert len(rows_of(out / "beams.csv")) >= 7


def test_the_misprints_of_1883_are_named_first(published_out):
    # W. P. Stephens, Canoe and Boat Building (1880s), plate XI: station 13 is a misprint beyond doubt, station 1 is
    # suspect, the height at station 4 about 1/8 in low.
    tmp_path = published_out["stephens-1883"]
    suspects = rows_of(tmp_path / "suspects.csv")
    assert [(row["column"], row["reason"].split(",")[0]) for row in suspects] == [
        ("half_breadth", "Station 13"),
        ("half_breadth", "Station 1"),
        ("height", "Station 4"),
    ]
    assert float(suspects[2]["expected"]) - float(suspects[2]["value"]) == pytest.approx(3.2, abs=1.6)


def test_wrong_use_is_told_from_wrong_data(tmp_path, capsys, monkeypatch):
    monkeypatch.setattr("deckgeom.__main__._papers", lambda *_: [])
    assert main([str(tmp_path / "nowhere")]) == 2
    assert "there is no boat folder of that name" in capsys.readouterr().err
    assert main(["--no-such-option"]) == 2
    assert main(["--help"]) == 0
    boat = tmp_path / "boat"
    shutil.copytree(DEMO, boat, ignore=shutil.ignore_patterns("out"))
    table = boat / "offsets.csv"
    table.write_text(table.read_text().replace("5,8-0-0,4-3-3", "5,8-0-0,four foot three"))
    assert main([str(boat), "--out", str(tmp_path / "out")]) == 1
    line = next(line for line in capsys.readouterr().err.splitlines() if "four foot three" in line)
    assert line.startswith("offsets.csv, row 11, column height_port, 'four foot three': ")
    assert len(rows_of(tmp_path / "out" / "beams.csv")) == 26


def test_whatever_is_missing_the_rest_is_done(tmp_path, capsys, monkeypatch):
    monkeypatch.setattr("deckgeom.__main__._papers", lambda *_: [])
    for left_out in ("boat.toml", "offsets.csv", "beams.csv", "readings.csv", "lines.csv", "fittings.csv"):
        boat = tmp_path / left_out.replace(".", "-")
        shutil.copytree(DEMO, boat, ignore=shutil.ignore_patterns("out", left_out))
        assert main([str(boat)]) in (0, 1)
        assert {file.stem for file in (boat / "out").glob("*.csv")} == set(COLUMNS)
    beams = rows_of(tmp_path / "readings-csv" / "out" / "beams.csv")
    assert len(beams) == 26
    capsys.readouterr()


def test_an_unwritable_folder_gives_one_line_and_no_half_file(tmp_path, capsys):
    blocked = tmp_path / "out"
    blocked.write_text("a file where the folder should be")
    assert main([str(DEMO), "--out", str(blocked)]) == 2
    err = capsys.readouterr().err
    assert "nothing more can be written there" in err and "Traceback" not in err
    assert blocked.read_text() == "a file where the folder should be"


def test_nothing_that_was_typed_is_touched(demo_out):
    before = {file: (file.read_bytes(), file.stat().st_mtime_ns) for file in DEMO.iterdir() if file.is_file()}
    write_results(do_job(read_boat(DEMO)), demo_out)
    assert before == {file: (file.read_bytes(), file.stat().st_mtime_ns) for file in before}


def test_asked_if_changed_it_writes_only_what_would_be_other(tmp_path, capsys):
    boat, out = copy_boat(PUBLISHED / "clark-rowboat", tmp_path / "boat"), tmp_path / "out"

    def written() -> bool:
        assert main([str(boat), "--out", str(out), "--if-changed"]) == 0
        return "Written: " in capsys.readouterr().out

    assert written() and not written()
    (out / "shop_sheets.pdf").unlink()
    assert written() and not written()
    beams = boat / "beams.csv"
    text = beams.read_text()
    assert "\n5,9-0-0" in text
    beams.write_text(text.replace("\n5,9-0-0", "\n5,9-0-1"))
    assert written() and not written()
