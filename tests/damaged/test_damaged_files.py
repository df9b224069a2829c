"""Whole files that are damaged: encodings, sizes, kinds; and a few folders by the command itself."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from tests.damaged import files
from tests.damaged.checking import DAMAGES, faults, run, snapshot, told
from tests.damaged.folders import TOP, good

NAMES = {damage[0] for damage in files.DAMAGES}
WANTED = [want for want in told() if want.name in NAMES]
WITH_PAPERS = [want for want in told() if not want.boat.startswith("demo")]
"""The small boats: all papers of one are written in a second or two."""

FROM_OUTSIDE = (
    "offsets-x-word", "boat.toml-zip", "readings.csv-pipe", "offsets.csv-utf-16", "offsets.csv-symlink-loop",
        "key-units",
)  # fmt: skip


@pytest.mark.parametrize("want", WANTED, ids=lambda want: want.name)
def test_a_damaged_file_gets_its_complaint(want, tmp_path):
    assert faults(want, tmp_path) == []


@pytest.mark.slow
@pytest.mark.parametrize("want", WITH_PAPERS, ids=lambda want: want.name)
def test_with_all_papers_it_is_the_same(want, tmp_path):
    assert faults(want, tmp_path, papers=True) == []


@pytest.mark.parametrize("name", [name for name in FROM_OUTSIDE if name in DAMAGES])
def test_the_command_itself_ends_with_its_status_and_without_a_traceback(name, tmp_path):
    """In a Python of its own, its streams in an old encoding, as a window of an old system has it."""
    folder = tmp_path / "boat"
    DAMAGES[name].make(folder)
    before = snapshot(tmp_path)
    command = [sys.executable, "-m", "deckgeom", str(folder), "--patterns", "none"]
    environment = os.environ | {"PYTHONPATH": str(TOP), "PYTHONIOENCODING": "cp1252"}
    done = subprocess.run(command, capture_output=True, timeout=120, env=environment, cwd=tmp_path)
    want = next(want for want in told() if want.name == name)
    assert (done.returncode, b"Traceback" in done.stderr) == (want.status, False), done.stderr[-500:]
    assert want.says.encode("ascii") in done.stderr
    assert snapshot(tmp_path) == before


@pytest.mark.parametrize("file", ["boat.toml", "readings.csv"])
def test_a_file_that_must_not_be_read_is_said_and_left(file, tmp_path, monkeypatch):
    folder = good("demo", tmp_path / "boat")
    read = Path.read_bytes

    def locked(path):
        if path.name == file:
            raise PermissionError(13, "Permission denied", str(path))
        return read(path)

    monkeypatch.setattr(Path, "read_bytes", locked)
    done = run(folder)
    assert done.status == 1
    assert f"{file}: the file cannot be read (Permission denied). Likely slip: no leave to read it" in "\n".join(
        done.err
    )


def test_where_out_is_a_file_nothing_is_lost(tmp_path):
    folder = good("clark-rowboat", tmp_path / "boat")
    (folder / "out").write_text("mine")
    done = run(folder)
    assert done.status == 2
    assert (folder / "out").read_text() == "mine"
    assert any("nothing more can be written there" in line for line in done.err)


@pytest.mark.parametrize("there", ["boat", "boat/../boat", "other", *["link"] * (os.name == "posix")])
def test_results_are_never_written_among_what_was_typed(there, tmp_path):
    """They have a beams.csv too: with --out BOAT_FOLDER it would take the place of the list of beams."""
    folder, _ = good("clark-rowboat", tmp_path / "boat"), good("new", tmp_path / "other")
    if there == "link":
        (tmp_path / "link").symlink_to(folder, target_is_directory=True)
    before = snapshot(tmp_path)
    done = run(folder, False, "--out", str(tmp_path / there))
    assert done.status == 2
    assert len(done.err) == 1 and "a boat's own files stand there" in done.err[0]
    assert snapshot(tmp_path) == before


def test_a_folder_that_holds_nothing_but_beams_is_no_place_for_results(tmp_path):
    folder = tmp_path / "boat"
    folder.mkdir()
    (folder / "beams.csv").write_text("beam,x\n1,600\n")
    assert run(folder, False, "--out", str(folder)).status == 2
    assert (folder / "beams.csv").read_text() == "beam,x\n1,600\n"


def test_a_folder_that_is_none_is_told_from_wrong_data(tmp_path):
    (tmp_path / "a file").write_text("")
    for name in ("nowhere", "a file", "a\nname", "x" * 5000):
        done = run(tmp_path / name)
        assert done.status == 2, name
        assert len(done.err) == 1 or "\n" in name
    assert [path.name for path in tmp_path.iterdir()] == ["a file"]
