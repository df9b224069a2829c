"""The folder of patterns: names that bite, disks that fill, and the whole set at once."""

from __future__ import annotations

import io
import xml.etree.ElementTree as ET
from dataclasses import replace
from pathlib import Path

import ezdxf
import numpy as np
import pytest
import shapely
from pypdf import PdfReader

from deckgeom.__main__ import DONE, MEND, WRONG_USE, main
from deckgeom.papers.machine import pattern_dxf, pattern_svg, proofed
from deckgeom.papers.page import Imprint
from deckgeom.papers.pattern import Line, Pattern
from deckgeom.papers.pattern_pdf import pattern_pdf
from deckgeom.papers.pattern_set import KINDS, patterns_of, safe_name, write_patterns
from tests.papers.boats import laminated

NAMES = ["../../etc/7", 'a "7" \\ b', "...", "CON", "Ω 7 Бимс", "x" * 200, "$x^2$ %%u <b>7</b> {} %s", "\u202e7\x00\n"]
DEMO = next(path.parent for path in (Path(__file__).parents[2] / "notebooks" / "boats").glob("*/boat.toml"))


@pytest.mark.parametrize("name", NAMES)
def test_a_name_that_bites_gives_a_safe_file_name(name):
    safe = safe_name(name)
    assert not set(safe) & set("/\\:*?\"<>|.\x00\n\r $%")
    assert len(safe.encode()) <= 60
    assert all(c.isalnum() or c == "-" for c in safe)


@pytest.mark.parametrize("ending", [" /../7", ' "7".', "Ωж", "x" * 200, "$x^2$ %%u <b>7</b>"])
def test_patterns_of_beams_with_such_names_are_written_inside_their_folder(tmp_path, ending):
    files = write_patterns(laminated(ending), tmp_path, ["A4", "svg", "dxf"])
    assert sorted(files) == sorted(path for path in tmp_path.rglob("*") if path.is_file())
    assert all(path.parent.parent == tmp_path / "patterns" for path in files)
    assert len(set(files)) == len(files)
    beams = [path for path in files if path.name.startswith("beam")]
    assert len(beams) == 3 * len(laminated(ending).beams)


HOSTILE = r"$\frac{1}{2}$ %%u %s <b>&amp; Ωж"
STRIP = Pattern(HOSTILE, (Line("top", [0, 400], [0, 20]),))
IMPRINT = Imprint(HOSTILE, "2026-05-01", (HOSTILE,), "0.1")


def test_words_are_drawn_as_they_stand_on_paper():
    text = PdfReader(io.BytesIO(pattern_pdf(STRIP, "A4", IMPRINT))).pages[1].extract_text()
    assert text.count(HOSTILE) == 3


def test_words_are_drawn_as_they_stand_in_svg():
    root = ET.fromstring(pattern_svg(proofed(STRIP, IMPRINT)).encode())
    words = [text.text for text in root.iter("{http://www.w3.org/2000/svg}text")]
    assert words[0] == HOSTILE
    assert {node.tag.split("}")[1] for node in root.iter()} == {"svg", "title", "g", "polyline", "text"}


def test_no_words_are_a_code_in_dxf():
    document = ezdxf.read(io.StringIO(pattern_dxf(proofed(STRIP, IMPRINT))))
    texts = [text for text in document.modelspace().query("TEXT") if "frac" in text.dxf.text]
    assert texts
    for text in texts:
        assert "% %" in text.dxf.text and "%%" not in text.dxf.text
        assert text.plain_text().split() == text.dxf.text.split()  # the reader finds no code to carry out
        assert HOSTILE.replace(" ", "") in text.dxf.text.replace(" ", "")


def test_a_disk_that_fills_leaves_whole_files_and_no_half(tmp_path, monkeypatch):
    written = []
    real = Path.write_bytes

    def full(self, data):
        if len(written) == 3:
            real(self, data[: len(data) // 2])
            raise OSError(28, "No space left on device")
        written.append(self)
        return real(self, data)

    monkeypatch.setattr(Path, "write_bytes", full)
    with pytest.raises(OSError, match="No space left"):
        write_patterns(laminated(), tmp_path, ["roll"])
    left = [path for path in tmp_path.rglob("*") if path.is_file()]
    assert len(left) == 3
    assert all(len(PdfReader(path).pages) == 1 for path in left)


def test_a_place_that_cannot_be_written_is_one_line(tmp_path, capsys):
    (tmp_path / "out").write_text("in the way")
    assert main([str(DEMO), "--out", str(tmp_path / "out")]) == WRONG_USE
    said = [line for line in capsys.readouterr().err.splitlines() if "nothing more can be written" in line]
    assert len(said) == 1
    assert (tmp_path / "out").read_text() == "in the way"


def test_patterns_that_are_no_longer_true_are_taken_away(tmp_path):
    old = tmp_path / "patterns" / "svg" / "beam_99_gone.svg"
    old.parent.mkdir(parents=True)
    old.write_text("old")
    own = old.with_name("mine.svg")
    own.write_text("keep")
    write_patterns(laminated(), tmp_path, ["svg"])
    assert not old.exists()
    assert own.read_text() == "keep"


@pytest.mark.slow
def test_the_command_writes_every_kind(demo_unlaid, tmp_path):
    assert main([str(demo_unlaid), "--out", str(tmp_path), "--patterns", "all", "--scale", "1.01"]) in (DONE, MEND)
    counts = {kind: len(list((tmp_path / "patterns" / kind).iterdir())) for kind in KINDS}
    assert len(set(counts.values())) == 1 and counts["A4"] > 24
    file = next((tmp_path / "patterns" / "A4").glob("beam_05*"))
    assert "Drawn 1.0100 across and 1.0100 up" in PdfReader(file).pages[1].extract_text()


def test_a_scale_that_cannot_be_says_what_it_is(capsys):
    assert main([str(DEMO), "--scale", "101"]) == WRONG_USE
    assert "'101': one or two numbers from 0.9 to 1.1" in capsys.readouterr().err


def test_an_unknown_kind_is_named_with_those_there_are(tmp_path):
    with pytest.raises(ValueError, match="patterns as 'A5': they come as A4, A3, Letter, Tabloid, roll, svg, dxf"):
        write_patterns(laminated(), tmp_path, ["A5"])


@pytest.mark.parametrize(
    ("strip", "said"),
    [(90.0, "inner edge of the strip, 90 mm broad"), (0.0, ""), (5000.0, "for one 5000 mm broad there is no room")],
)
def test_the_strip_along_the_edge_is_as_broad_as_asked_for(strip, said):
    job = laminated()
    boat = job.boat
    laying = replace(boat.settings.laying, edge_strip=strip)
    job = replace(job, boat=replace(boat, settings=replace(boat.settings, laying=laying)))
    (pattern,) = [pattern for name, pattern in patterns_of(job) if name == "edge_port"]
    assert said in " ".join(pattern.says)
    drawn = [line for line in pattern.lines if line.layer == "other edge"]
    assert len(drawn) == (strip == 90.0)
    if drawn:
        outer = np.column_stack([pattern.lines[0].x, pattern.lines[0].y])
        inner = shapely.LineString(np.column_stack([drawn[0].x, drawn[0].y]))
        off = [inner.distance(shapely.Point(point)) for point in outer[20:-20]]
        assert off == pytest.approx([90.0] * len(off), abs=0.5)
    else:
        assert ("strip" in " ".join(pattern.says)) is bool(strip)
