"""The notebooks open the boat that was chosen; nothing that stands is written over, and no slip is passed over."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from deckgeom.bench import choosing, open_boat, start
from deckgeom.boat import new_boat, read_boat

DEMO = Path(__file__).parents[2] / "notebooks" / "boats" / "thimblewick"


@pytest.fixture
def shed(tmp_path):
    """Three boats, something that is none, and a hidden folder."""
    folder = tmp_path / "boats"
    for name in ("wherry", "Æbleskib", "thimblewick"):
        new_boat(folder / name)
    (folder / "photographs").mkdir()
    new_boat(folder / ".last_good")
    return folder


def contents(folder: Path) -> dict[str, bytes]:
    return {str(path): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


def test_only_folders_with_a_boats_files_are_boats(shed):
    assert choosing.boats(shed) == ("thimblewick", "wherry", "Æbleskib")


def test_without_a_choice_the_demo_boat_is_opened_or_else_the_first(shed, tmp_path):
    assert choosing.chosen_boat(shed).name == "thimblewick"
    new_boat(tmp_path / "yard" / "skiff")
    new_boat(tmp_path / "yard" / "dory")
    assert choosing.chosen_boat(tmp_path / "yard").name == "dory"
    assert not (shed / "chosen.txt").exists()


def test_every_notebook_opens_the_chosen_boat_unless_its_box_names_another(shed, monkeypatch):
    monkeypatch.chdir(shed.parent)
    choosing.choose("Æbleskib")
    assert open_boat().boat.name == open_boat("").boat.name == "Æbleskib"
    assert open_boat("boats/wherry").boat.name == "wherry"
    choosing.choose("wherry")
    assert open_boat("").boat.name == "wherry"


@pytest.mark.parametrize("text", ["wherry", "  wherry \r\n", "\ufeff# mine\n\nwherry\nÆbleskib\n"])
def test_the_choice_may_be_written_by_hand(shed, text):
    (shed / "chosen.txt").write_text(text, encoding="utf-8")
    assert choosing.chosen_boat(shed).name == "wherry"


def test_a_chosen_boat_that_is_gone_is_told_and_not_passed_over(shed):
    choosing.choose("wherry", shed)
    (shed / "wherry").rename(shed / "ketch")
    words = r"chosen.txt names the boat 'wherry', and no folder of that name stands in .* There are: ketch, thimblewick"
    with pytest.raises(FileNotFoundError, match=words):
        choosing.chosen_boat(shed)
    assert "names the boat 'wherry'" in choosing.list_boats(shed).note
    choosing.choose("ketch", shed)
    assert choosing.chosen_boat(shed).name == "ketch"


def test_a_boat_that_is_not_there_cannot_be_chosen(shed, tmp_path):
    with pytest.raises(ValueError, match=r"'photographs' is no boat in the folder .*; there are thimblewick, wherry"):
        choosing.choose("photographs", shed)
    with pytest.raises(ValueError, match="there is none yet: make one"):
        choosing.choose("wherry", tmp_path / "elsewhere")
    assert not (shed / "chosen.txt").exists()


def test_a_copy_is_chosen_and_the_old_boat_stands_as_it_was(shed):
    before = contents(shed / "wherry")
    said = choosing.copy("wherry", " ketch ", shed)
    assert contents(shed / "wherry") == before
    copied = {Path(k).name: v for k, v in contents(shed / "ketch").items()}
    toml = copied.pop("boat.toml")
    assert copied == {Path(k).name: v for k, v in before.items() if Path(k).name != "boat.toml"}
    assert read_boat(shed / "ketch").name == "ketch"
    was, now = next(v for k, v in before.items() if Path(k).name == "boat.toml").splitlines(), toml.splitlines()
    assert sum(a != b for a, b in zip(was, now, strict=True)) <= 1
    assert choosing.chosen_boat(shed).name == "ketch" and said.lines[2].startswith("Chosen: ketch.")


def test_nothing_is_written_over(shed):
    before = contents(shed)
    for ask in (lambda: choosing.copy("wherry", "thimblewick", shed), lambda: choosing.make("wherry", "in", shed)):
        with pytest.raises(FileExistsError, match="something stands here already, and nothing is written over it"):
            ask()
    assert contents(shed) == before


@pytest.mark.parametrize(
    ("name", "why"),
    [
        ("", "has no name yet"), ("   ", "has no name yet"), ("../away", "'/' does not go into one"),
        ("a\\b", "does not go into one"),
        ("tab\there", "does not go into one"), (".hidden", "begins or ends with a dot"),
        ("ends.", "begins or ends with a dot"),
        ("nul.txt", "keep that name for themselves"), ("w" * 61, "longer than 60"),
        ("C:boat", "':' does not go into one"),
    ],
)  # fmt: skip
def test_names_that_cannot_be_a_folders_are_refused_with_the_reason(shed, name, why):
    before = contents(shed)
    for ask in (lambda: choosing.make(name, "mm", shed), lambda: choosing.copy("wherry", name, shed)):
        with pytest.raises(ValueError, match=why):
            ask()
    assert contents(shed) == before


def test_a_full_disk_is_told_and_the_old_choice_stands(shed, monkeypatch):
    choosing.choose("wherry", shed)
    before = contents(shed)

    def full(*_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "replace", full)
    with pytest.raises(OSError, match=r"chosen.txt: the choice cannot be written there \(No space left on device\)"):
        choosing.choose("thimblewick", shed)
    assert contents(shed) == before


def test_the_panel_chooses_copies_and_makes(shed):
    live = start.boat_panel(shed)
    assert [form["label"] for form in live.forms] == ["Open this boat", "Copy it", "Make an empty boat"]
    assert live.do("choose", boat="wherry").words.startswith("Chosen: wherry.")
    live.do("copy", source="wherry", name="ketch")
    assert choosing.chosen_boat(shed).name == "ketch"
    offered = live.forms[0]["fields"][0]["options"]
    assert "ketch" in offered and live.forms[0]["start"]["boat"] == "ketch"
    live.do("make", name="punt", units="ft-in-8")
    assert read_boat(shed / "punt").units == "ft-in-8" and choosing.chosen_boat(shed).name == "punt"
    live.do("make", name="punt", units="mm")
    assert "something stands here already" in live.trouble and read_boat(shed / "punt").units == "ft-in-8"
    live.do("choose", boat="gone")
    assert "Boat cannot be 'gone': choose one of" in live.trouble


def test_the_panel_without_any_boat_offers_to_make_one(tmp_path):
    live = start.boat_panel(tmp_path / "boats")
    assert [form["key"] for form in live.forms] == ["make"]
    live.do("make", name="punt", units="mm")
    assert [form["key"] for form in live.forms] == ["choose", "copy", "make"]


def test_showing_the_panel_writes_nothing(shed):
    before = contents(shed)
    start.boat_panel(shed)
    choosing.list_boats(shed)
    assert contents(shed) == before
