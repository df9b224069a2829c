"""An empty boat folder has a place for everything that the program reads, and nothing in it wants mending."""

from __future__ import annotations

import re

import pytest

from deckgeom.boat import FILES, new_boat, read_boat, templates
from deckgeom.boat.beams_file import COLUMNS as BEAMS
from deckgeom.boat.fittings_file import COLUMNS as FITTINGS
from deckgeom.boat.keys import KEYS
from deckgeom.boat.lines_file import COLUMNS as LINES
from deckgeom.boat.marks_file import COLUMNS as MARKS
from deckgeom.boat.offsets_file import COLUMNS as OFFSETS
from deckgeom.boat.own_rows_file import COLUMNS as FIGURES
from deckgeom.boat.readings_file import COLUMNS as READINGS
from deckgeom.units import UNITS

TABLES = {"offsets": OFFSETS, "beams": BEAMS, "readings": READINGS, "lines": LINES, "fittings": FITTINGS,
          "marks": MARKS, "figures": FIGURES}  # fmt: skip
ROWS = re.compile(r"A row looks like this:   (.*)")


@pytest.mark.parametrize("units", UNITS)
def test_every_file_is_there_and_nothing_wants_mending(tmp_path, units):
    boat = read_boat(new_boat(tmp_path / "wherry", units))
    assert sorted(file.name for file in boat.folder.iterdir()) == sorted(FILES)
    assert boat.mended and boat.units == units and boat.name == "wherry"
    assert not [c for c in boat.complaints if c.kind == "ask"], [str(c) for c in boat.complaints]


def test_every_key_has_its_line():
    section, found = "", set()
    for line in templates("Wherry")["boat.toml"].splitlines():
        if line.startswith("["):
            section = line.strip("[]") + "."
        elif key := re.match(r"(?:# )?(\w+) = ", line):
            found.add(section + key[1])
    assert found == {key.name for key in KEYS}


@pytest.mark.parametrize("units", UNITS)
def test_every_key_can_be_used_as_it_stands_in_its_remark(tmp_path, units):
    folder = new_boat(tmp_path / "wherry", units)
    text = (folder / "boat.toml").read_text(encoding="utf-8")
    (folder / "boat.toml").write_text(re.sub(r"(?m)^# (?=\w+ = )", "", text), encoding="utf-8")
    boat = read_boat(folder)
    said = [str(c) for c in boat.complaints if c.file == "boat.toml" and c.kind != "note"]
    assert all("plane_only" in one or "trial" in one or "layers" in one for one in said), said
    assert boat.settings.beams.layers == 5 and boat.settings.fairing.most_off > 0


@pytest.mark.parametrize("name", TABLES)
def test_every_column_has_its_head(name):
    """Columns that take the place of others are told of in a remark instead."""
    text = templates("Wherry")[f"{name}.csv"]
    head = text.splitlines()[-1].split(",")
    known = [column.name for column in TABLES[name]]
    other = {"offsets": ("height", "half_breadth"), "beams": ("spacing",)}.get(name, ())
    assert all(f"column {other[-1]}" in text or f"and {other[-1]}" in text for _ in other)
    known = [column for column in known if column not in other]
    assert sorted(head) == sorted(known)


@pytest.mark.parametrize("units", UNITS)
@pytest.mark.parametrize("name", TABLES)
def test_the_row_in_the_remark_is_read_without_a_complaint(tmp_path, name, units):
    folder = new_boat(tmp_path / "wherry", units)
    file = folder / f"{name}.csv"
    text = file.read_text(encoding="utf-8")
    row = ROWS.search(text)[1]
    assert len(row.split(",")) == len(text.splitlines()[-1].split(","))
    file.write_text(text + row + "\n", encoding="utf-8")
    boat = read_boat(folder)
    said = [str(c) for c in boat.complaints if c.kind != "note" and "two stations" not in c.rule]
    assert not [one for one in said if "not in beams.csv" not in one], said
    held = {"offsets": () if boat.offsets is None else boat.offsets.stations, "beams": boat.beams, "lines": boat.lines,
            "readings": boat.readings, "fittings": boat.fittings, "marks": boat.marks,
            "figures": boat.figures}  # fmt: skip
    assert len(held[name]) == 1


def test_a_name_with_quotes_comes_back_as_it_was(tmp_path):
    name = 'The "Old" Wherry \\ Æ'
    assert read_boat(new_boat(tmp_path / "wherry", name=name)).name == name


def test_nothing_is_written_over(tmp_path):
    folder = new_boat(tmp_path / "wherry")
    (folder / "offsets.csv").write_text("mine", encoding="utf-8")
    with pytest.raises(FileExistsError, match="wherry: something stands here already"):
        new_boat(folder)
    assert (folder / "offsets.csv").read_text(encoding="utf-8") == "mine"
    with pytest.raises(ValueError, match="units 'cm': a folder's units are mm, ft-in-8, in. Choose one of them"):
        new_boat(tmp_path / "other", "cm")
    assert [path.name for path in tmp_path.iterdir()] == ["wherry"]
