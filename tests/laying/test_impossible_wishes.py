"""Wishes that cannot be had, in copies of the demo boat: one line each, and the nearest plan up to the cards."""

from __future__ import annotations

import re
import shutil
from pathlib import Path

import pytest

from deckgeom.__main__ import _laying_lines, main
from deckgeom.bench import laying
from deckgeom.boat import read_boat
from deckgeom.job import do_job
from deckgeom.papers.laying import _beside, laying_pages
from deckgeom.papers.page import Page

DEMO = Path(__file__).parents[2] / "notebooks" / "boats" / "thimblewick"
PLANKS = '"planks 12.4mm, 3in wide", "ply 6.3mm", "cloth"'
SKINS = '"ply 9.2mm", "ply 9.2mm"'
LAID = '"ply 9.2mm", "planks 9.5mm, 2in wide, sprung, king plank 5in, covering board 5in"'


def folder(to: Path, layers: str = SKINS, toml=None, fittings=None, beams: str = "") -> Path:
    """The demo boat with one way of laying and one thing typed that cannot be, and without her readings."""
    shutil.copytree(DEMO, to, ignore=shutil.ignore_patterns("out", ".*", "readings.csv", "lines.csv", "marks.csv"))
    text = (to / "boat.toml").read_text(encoding="utf-8")
    text = re.sub(r"(?ms)^ways = \[.*?^\]", f"ways = [[\"one\", {layers}]]", text)
    text = text.replace('deck = ["12.4mm", "6.3mm"]', 'deck = ["18.7mm"]')
    for key, value in (toml or {}).items():
        text, found = re.subn(rf"(?m)^{key} = .*$", f"{key} = {value}", text)
        text += "" if found else f"{key} = {value}\n"
    (to / "boat.toml").write_text(text, encoding="utf-8")
    if fittings:
        told = (to / "fittings.csv").read_text(encoding="utf-8")
        assert fittings[0] in told
        (to / "fittings.csv").write_text(told.replace(*fittings), encoding="utf-8")
    if beams:
        (to / "beams.csv").write_text(beams, encoding="utf-8")
    return to


CASES = {
    "stock shorter than any bay": (
        {"layers": PLANKS, "toml": {"stock": '["8in"]'}},
        r'Stock of 8" at the longest does not plank this deck.*another unit\?.*This plan lists each plank in one'),
    "more shift than the stock allows": (
        {"layers": PLANKS, "toml": {"stock": '["20in"]'}},
        r"Planks port and starboard: .*The shift rules cannot be kept with this stock \(1' 8\" at the longest\)"),
    "a bay longer than a sheet": (
        {"beams": "beam,x\n1,1-4-0\n2,2-4-0\n3,20-0-0\n"},
        r"A sheet reaches .*less than the 17' 8\" from .*where no joint may lie on beams\. Is a beam missing.*This"),
    "a scarf longer than the sheet": (
        {"layers": '"ply 3in"', "toml": {"scarf": "40", "deck": '["3in"]', "fastening_lengths": '["4 1/2in"]'}},
        r"A scarf of 40:1 in 3\" is 10' 0\" long, and the sheet 4' 0\" .*Is the thickness in another unit\? This"),
    "an oversize as large as the sheet": (
        {"toml": {"oversize": '"3ft"'}},
        r"(Joints on beams cannot be had|An oversize of 3' 0\") .*This plan has"),
    "an opening off the deck": (
        {"fittings": ("hatch,12-8-6", "hatch,82-8-6")},
        r"hatch stands at 82' 8 3/4\" along the boat, and the deck runs from 0\" to 23' 0\"\. Is x in another unit"),
    "an opening over the edge": (
        {"fittings": ("hatch,12-8-6,0,", "hatch,12-8-6,S 3-2-0,")},
        r"hatch, 2' 3\" by 2' 4\", reaches 8 5/16\" over the edge of the deck to starboard.*swapped\? This plan"),
    "an opening wider than the deck": (
        {"fittings": ("2-3-0,2-4-0", "2-3-0,20-4-0")},
        r"hatch, 2' 3\" by 20' 4\", reaches .* over the edge .*Is its place wrong, or length and breadth swapped\?"),
    "an opening over a mast": (
        {"fittings": ("hatch,12-8-6", "hatch,7-6-0")},
        r"mast and hatch lie over each other by 1' 3\" along .*Is an x or a y that of another fitting\? This plan"),
    "an opening without a length": (
        {"fittings": ("2-3-0,2-4-0", ",2-4-0")},
        r"hatch has no length, and an opening has both\. Was the cell left blank\? This plan cuts nothing out"),
    "an opening with no beam abaft it": (
        {"fittings": ("hatch,12-8-6,0,", "hatch,20-10-0,0,"), "beams": "beam,x\n1,4-0-0\n2,12-0-0\n3,20-0-0\n"},
        r"hatch: no whole beam stands abaft it, .*Is a beam left out of beams\.csv.*No carlin is drawn"),
    "a chainplate off the deck": (
        {"fittings": ("P 3-0-4", "P 5-0-4")},
        r"chainplate port stands 5' 0 1/2\" port at 8' 2\".*the deck there runs from .*Is y a whole breadth, or the"),
    "planks wider than the deck": (
        {"layers": '"planks 12.4mm, 9ft wide", "ply 6.3mm"'},
        r"Planks 9' 0\" wide, and the deck has 3' 9 3/16\" .*another unit, or a length\? This plan has planks 3' 9"),
    "a covering board wider than half the deck": (
        {"layers": '"ply 9.2mm", "planks 9.5mm, 2in wide, sprung, king plank 5in, covering board 5ft"'},
        r"A covering board 5' 0\" broad, and the deck is 3' 9 3/16\" .*or the whole breadth\? This plan has no"),
    "a king plank wider than the deck": (
        {"layers": '"ply 9.2mm", "planks 9.5mm, 2in wide, sprung, king plank 12ft, covering board 5in"'},
        r"A king plank 12' 0\" broad, .*Is it in another unit\? This plan has no king plank"),
    "a roll narrower than its lap": (
        {"layers": PLANKS, "toml": {"cloth_width": '"10in"', "cloth_lap": '"12in"'}},
        r"The cloth is 10\" wide and its lap 1' 0\": a lap is less than the roll\. Are the two swapped.*This plan"),
    "a drop wider than the roll": (
        {"layers": PLANKS, "toml": {"cloth_drop": '"9ft"'}},
        r"The cloth is to hang 9' 0\" over the deck edge and the roll is 4' 2\" wide.*another unit\? This plan has"),
    "a pot that gels before one plank is down": (
        {"layers": LAID, "toml": {"pot_minutes": "1"}},
        r"\d+ of \d+ glue-ups do not fit the glue: .* alone takes \d+ minutes .*may leave 6 with 2 people.*of"),
    "one person and a huge sheet": (
        {"toml": {"people": "1", "sheet": '["24ft", "9ft"]', "pot_minutes": "10"}},
        r"2 of 2 glue-ups do not fit the glue: .* with 1 person at 18 degC\..*Do not start like this: \d people"),
    "a film that sets before the pot": (
        {"toml": {"film_minutes": "5"}},
        r"Spread out the glue is to last 5 minutes and in the pot 25: .*Are the two swapped\? This plan takes 4 to 5"),
    "no fastening that is long enough": (
        {"toml": {"fastening_lengths": '["1/4in"]'}},
        r"Beam 1 and \d+ more like it: No ring nail in stock will do"),
}  # fmt: skip

PRINTED = ("stock shorter than any bay", "a bay longer than a sheet", "an opening over a mast")
"""Of which all sheets are made, the other cases' first alone: that is quicker."""


@pytest.mark.parametrize("case", CASES)
def test_a_wish_that_cannot_be_has_one_line_and_the_nearest_plan(tmp_path, case):
    changes, wanted = CASES[case]
    job = do_job(read_boat(folder(tmp_path / "boat", **changes)))
    plan = job.laying
    told = [line for line in plan.cannot_be() if re.search(wanted, line)]
    assert len(told) == 1, plan.cannot_be()
    assert " mm" not in told[0]  # the folder is in feet and inches
    assert told[0] in laying.what_cannot_be(job).lines
    row = told[0].partition(":")[0]
    on_screen = [*_laying_lines(job), *(str(one) for one in job.complaints)]
    assert sum(told[0] in line or (row.startswith("fittings") and line.startswith(row)) for line in on_screen) == 1
    (way,) = plan.ways
    assert way.pieces and way.shopping and way.fastenings
    if len([layer for layer in way.way.layers if layer.kind != "cloth"]) > 1:
        assert way.cards and all(card.parts for _, made in way.cards for card in made)
    make = laying_pages if case in PRINTED else lambda job, start: _beside(job.laying, start)
    pages = make(job, lambda title, note="": Page(title, note=note))
    words = " ".join(part[1][2] for page in pages[:3] for part in page.drawn if part[0] == "words")
    assert "To settle first:" in words
    assert " ".join(told[0].split()[:5]) in words
    assert len(pages) > 8 or case not in PRINTED


def test_without_beams_the_command_says_what_comes_first(tmp_path):
    job = do_job(read_boat(folder(tmp_path / "boat", beams="beam,x\n")))
    assert _laying_lines(job) == [
        "Laying: not worked out, for there are no beams to lay the deck on. Write them in beams.csv."
    ]


def test_the_command_prints_the_line_and_writes_the_sheets(tmp_path, capsys):
    boat = folder(tmp_path / "boat", layers='"ply 18.7mm"', fittings=("hatch,12-8-6", "hatch,7-6-0"))
    assert main([str(boat), "--patterns", "none"]) == 0
    said = [line for line in capsys.readouterr().out.splitlines() if line.startswith("Laying: ")]
    assert len(said) == 1 and "mast and hatch lie over each other" in said[0]
    assert (boat / "out" / "laying.pdf").stat().st_size > 10_000
