"""A good folder is read whole; each file may be missing; a copy begins a new boat."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from deckgeom.boat import FILES, copy_boat, default_settings, read_boat
from deckgeom.boat.copying import renamed
from deckgeom.units import UNITS

PUBLISHED = Path(__file__).parents[1] / "published" / "boats"


def test_a_good_folder_is_read_whole(read):
    boat = read()
    assert boat.complaints == ()
    assert boat.mended
    assert (boat.name, boat.units) == ("Whimbrel", "mm")
    assert boat.offsets.stations == ("stem", "1", "2", "3")
    assert boat.offsets.rows.tolist() == [2, 3, 4, 5]
    assert boat.offsets.lines["half_breadth_port"].value.tolist() == [0, 420, 640, 560]
    assert boat.offsets.symmetric
    assert [(beam.name, beam.x, beam.siding, beam.moulding, beam.mark, beam.fixed) for beam in boat.beams] == [
        ("1", 600, 44, 70, "middle", False),
        ("2", 1000, 60, 70, "middle", True),
        ("3", 1400, 44, 70, "middle", False),
    ]
    assert [reading.signed_y for reading in boat.readings] == [-200, 0, 200, -300]
    assert [reading.row for reading in boat.readings] == [2, 3, 4, 5]
    assert boat.lines[0].middle_sag == 3
    assert (boat.fittings[0].what, boat.fittings[0].y, boat.fittings[0].length) == ("mast", 0, None)


def test_what_is_typed_and_what_is_default_can_be_told(read):
    settings = read().settings
    assert settings.deck_thickness == 15
    assert settings.source("camber.figure") == "typed in boat.toml"
    assert settings.source("camber.rule") == "common practice, no source"
    assert settings.source("fairing.cutoff") == "six beam spacings"
    assert settings.offsets.accuracy == 2
    assert settings.camber.figure.camber_at(1500) == 93.75


@pytest.mark.parametrize("missing", FILES)
def test_any_file_may_be_missing(read, lines, missing):
    boat = read(**{missing.replace(".", "_"): None})
    assert lines(boat) == []
    parts = [boat.offsets, boat.beams, boat.readings, boat.lines, boat.fittings, boat.marks,
             boat.figures]  # fmt: skip
    assert sum(part is None or not len(getattr(part, "stations", part)) for part in parts) == (missing != "boat.toml")
    if missing == "boat.toml":
        assert boat.name == "whimbrel"
        assert lines(boat, "note") == [
            "boat.toml: there is no boat.toml: bare numbers are taken as mm, and defaults for all the rest."
        ]


def test_an_echo_says_what_was_understood(read):
    assert read().echo() == [
        "Whimbrel, the long shed. The folder is in millimetres: a bare number is mm, lengths are shown to 1 mm.",
        "Heights are to the top of the deck; half-breadths to the outside of planking 15 mm (9/16 in). The deck is 2 "
        "layers, bottom first, 6 mm + 9 mm: 15 mm (9/16 in), as measured.",
        "Offsets: 4 stations from x = 0 mm to 2700 mm, port and starboard alike; the fair curve stays within 2 mm "
        "(1/16 in) of each.",
        "Beams: 3, x to the middle, 400 mm apart; 44 mm sided by 70 mm moulded, 60 mm sided by 70 mm moulded, sawn.",
        "Camber: circle, rule same proportion, 1:32 of the whole beam.",
        "Readings: 4 on 2 beams in 1 round, from 1 line.",
        "Fittings: 1 (mast). Masts and chainplates are taken as plumb.",
        "Marks on the hull: 4, of which 4 were measured twice.",
        "Not stated, so taken by default (common practice, no source): heights_to, half_breadths_to, "
        "offsets.set_aside, "
        "camber.curve, camber.rule, beams.made, beams.ordinates, fairing.tolerance, laying.sheet.",
    ]


def test_the_same_boat_in_inches_is_the_same_boat(read, tmp_path):
    boat = read()
    folder = copy_boat(boat.folder, tmp_path / "inches")
    (folder / "boat.toml").write_text('units = "in"\nplanking = "15 mm"\ndeck = ["6mm", "9mm"]\n')
    for name in ("offsets.csv", "beams.csv", "readings.csv"):
        path = folder / name
        heading, *rows = path.read_text().splitlines()
        lengths = {"x", "height", "half_breadth", "siding", "y"} & set(heading.split(","))
        places = [heading.split(",").index(one) for one in lengths]
        cells = [row.split(",") for row in rows]
        for row in cells:
            for place in places:
                row[place] = row[place] and f"{row[place]} mm"
        path.write_text("\n".join([heading, *map(",".join, cells)]))
    other = read_boat(folder)
    assert np.array_equal(other.offsets.x, boat.offsets.x)
    assert [b.x for b in other.beams] == [b.x for b in boat.beams]
    assert [r.height for r in other.readings] == [r.height for r in boat.readings]
    assert other.units == "in"


@pytest.mark.parametrize("units", UNITS)
def test_defaults_hold_in_every_unit(units):
    settings = default_settings(units)
    assert 40 < settings.beams.siding < 45
    assert 0.5 <= settings.offsets.accuracy <= 1.6
    assert settings.offsets.accuracy == settings.offsets.rounding / 2
    assert settings.laying.sheet[0] == pytest.approx(2440, abs=2)
    assert settings.camber.figure.ratio(1500) == 1 / 32


def test_a_folder_that_is_none(tmp_path):
    with pytest.raises(FileNotFoundError, match="there is no boat folder of that name"):
        read_boat(tmp_path / "nowhere")
    (tmp_path / "file").write_text("x")
    with pytest.raises(NotADirectoryError, match="a boat is a folder, and this is a file"):
        read_boat(tmp_path / "file")


def test_an_empty_folder_says_what_a_boat_folder_holds(tmp_path, lines):
    boat = read_boat(tmp_path)
    assert lines(boat) == [
        "boat.toml: a boat folder holds some of boat.toml, offsets.csv, beams.csv, readings.csv, lines.csv, "
        "fittings.csv, marks.csv, figures.csv. "
        "Likely slip: the wrong folder."
    ]


def test_a_file_under_another_name_is_pointed_at(tmp_path, lines):
    (tmp_path / "Offset table.csv").write_text("station,x\n")
    (tmp_path / "beams.xlsx").write_bytes(b"PK")
    (tmp_path / "boat.toml").write_text("")
    (tmp_path / "notes.txt").write_text("buy screws")
    assert lines(read_boat(tmp_path), "ask") == [
        "Offset table.csv: this file is not read; the file is called offsets.csv. Likely slip: offsets.csv was meant.",
        "beams.xlsx: this file is not read; the file is called beams.csv. Likely slip: beams.csv was meant.",
    ]


# --- a new boat from another's folder -------------------------------------------------------------------------------


def test_a_copy_holds_what_a_person_typed_and_no_results(read, tmp_path):
    source = read().folder
    (source / "out").mkdir()
    (source / "out" / "beams.csv").write_text("results")
    (source / "photograph.jpg").write_bytes(b"\xff\xd8")
    target = copy_boat(source, tmp_path / "sheds" / "new boat")
    assert sorted(path.name for path in target.iterdir()) == sorted(FILES)
    for name in FILES:
        assert (target / name).read_bytes() == (source / name).read_bytes()
    assert [path.name for path in target.parent.iterdir()] == ["new boat"]


def test_a_copy_never_overwrites(read, tmp_path):
    source = read().folder
    target = tmp_path / "mine"
    target.mkdir()
    (target / "boat.toml").write_text("mine")
    with pytest.raises(FileExistsError, match="something stands here already, and nothing is written over it"):
        copy_boat(source, target)
    assert (target / "boat.toml").read_text() == "mine"
    assert len(list(target.iterdir())) == 1
    with pytest.raises(FileExistsError):
        copy_boat(source, source)
    (tmp_path / "file").write_text("x")
    with pytest.raises(FileExistsError):
        copy_boat(source, tmp_path / "file")


def test_a_copy_into_an_empty_folder_and_from_none(read, tmp_path):
    (tmp_path / "empty").mkdir()
    assert (copy_boat(read().folder, tmp_path / "empty") / "boat.toml").exists()
    with pytest.raises(FileNotFoundError, match="no boat folder here, so nothing to copy"):
        copy_boat(tmp_path / "nowhere", tmp_path / "new")


# --- published tables -----------------------------------------------------------------------------------------------


def test_the_canoe_of_1883_is_read_as_printed():
    # American cruising canoe, W. P. Stephens, Canoe and Boat Building (1880s), plate XI; as printed, errors included
    boat = read_boat(PUBLISHED / "stephens-1883")
    assert boat.complaints == ()
    inches = np.array([1, 23, 60, 82, 98, 109, 115, 118, 116, 113, 104, 86, 62, 4, 1]) / 8
    assert boat.offsets.lines["half_breadth_port"].value == pytest.approx(inches * 25.4, abs=1e-9)
    # the misprint stands as printed: 0-0-4 at station 13
    assert boat.offsets.lines["half_breadth_port"].of("13") == 12.7
    # printed: greatest fourth difference 117 eighths, 9 once station 13 is put right
    eighths = boat.offsets.lines["half_breadth_port"].value / 3.175
    assert np.abs(np.diff(eighths, 4)).max() == pytest.approx(117)
    assert len(boat.beams) == 13
    assert boat.offsets.lines["height_port"].of("0") == 18 * 25.4


def test_the_rowboat_is_a_parabola_in_height():
    # 12 ft rowboat, C. H. Clark, Amateur Work, vol. 3 (1900s), gunwale
    boat = read_boat(PUBLISHED / "clark-rowboat")
    assert boat.complaints == ()
    assert boat.offsets.stations == ("1", "2", "3", "stern")
    assert np.diff(boat.offsets.lines["height_port"].value / 3.175, 2) == pytest.approx([19, 19])
    assert boat.offsets.x.tolist() == pytest.approx([914.4, 1828.8, 2743.2, 3657.6])


@pytest.mark.parametrize(
    ("toml", "now"),
    [(b'name="a \\"b\\" c" # x\r\n', b'name="K \\"2\\"" # x\r\n'), (b"name = 'x'\n", b'name = "K \\"2\\""\n'),
     (b'# name = "no"\nunits = "mm"\n', None), (b'units = "mm"\n[[laying.way]]\nname = "planks"\n', None), (b"", None)],
)  # fmt: skip
def test_a_copy_gets_her_own_name_and_nothing_else_changes(toml, now):
    assert renamed(toml, 'K "2"') == (toml if now is None else now)
