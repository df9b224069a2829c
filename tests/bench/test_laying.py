"""The page of laying: each call shows its plan, and a boat that lacks a part of it is told so instead of stopping."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import pytest

from deckgeom.bench import laying, laying_work, open_boat
from deckgeom.bench.example import example_job, example_laying
from deckgeom.bench.tables import Words
from deckgeom.boat.ways_reader import ways
from deckgeom.job import do_job

DEMO = Path(__file__).parents[2] / "notebooks" / "boats" / "thimblewick"


@pytest.fixture(scope="module")
def demo():
    return open_boat(DEMO)


def with_ways(*texts):
    boat = example_laying().boat
    wishes = replace(boat.settings.laying, ways=ways(list(texts), "mm"))
    return do_job(replace(boat, settings=replace(boat.settings, laying=wishes)))


def test_a_boat_without_beams_is_told_what_comes_first():
    job = replace(example_job(), beams=None)
    with pytest.raises(ValueError, match="the deck edge and the list of beams come first"):
        laying.beside(job)


def test_a_boat_without_a_way_is_told_where_to_write_it():
    said = laying.what_cannot_be(example_job())
    assert "Neither a way of laying nor the deck's thickness" in said.lines[0]
    with pytest.raises(ValueError, match="write one under \\[laying\\] in boat.toml"):
        laying.goes_down(example_job())


@pytest.mark.parametrize("call", [laying.on_sheets, laying.sheets, laying.candidates, laying.shape, laying.shape_table,
                                  laying.goes_down_words])  # fmt: skip
def test_a_way_without_sheets_is_told_so(call):
    assert call(with_ways(["planked", "planks 12 mm, 60 mm wide"])) == Words.of(laying.NO_SHEETS)


@pytest.mark.parametrize("call", [laying_work.planks, laying_work.butts, laying_work.plank_edges])
def test_a_way_without_planks_is_told_so(call):
    assert call(with_ways(["skins", "ply 12 mm"])) == Words.of(laying_work.NO_PLANKS)


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda job: laying.goes_down(job, "laid planks"), "there is no way 'laid planks'; there are skins, laid"),
        (lambda job: laying.on_sheets(job, 9), "plan 9: there are plans 1 to"),
        (lambda job: laying.on_sheets(job, 1, "skins", 3), "skin 3: there are skins 1 to 2"),
        (lambda job: laying.shape(job, "Q1"), "there is no sheet 'Q1' in this way of laying; there are A1"),
        (lambda job: laying_work.plank_edges(job, "99"), "no beam is called '99'; there are 1, 2, 3"),
        (lambda job: laying_work.card(job, 99), "glue-up 99: this way of laying has"),
        (lambda job: laying_work.dry_fit(job, "Q1"), "no piece 'Q1' lies on the beams in this way of laying; there"),
    ],
)
def test_a_name_that_is_not_known_is_answered_with_those_that_are(call, words):
    with pytest.raises(ValueError, match=re.escape(words)):
        call(example_laying())


def test_planks_are_those_of_the_last_way_that_has_any(demo):
    assert laying_work.butts(demo).lines[0] == 'Planks 2" as laid, sprung.'
    assert laying_work.butts(demo, "planks, ply and cloth").lines[0] == 'Planks 3" as laid, straight.'


def test_the_table_of_sheets_says_of_each_what_the_verdict_says(demo):
    table = laying.goes_down(demo)
    panels = laying.plan_of(demo).ways[0].panels
    assert [row[:2] for row in table.rows] == [(panel.panel.name, panel.verdict.verdict) for panel in panels]
    assert [panels[k].verdict.verdict for k in table.strong] == ["will not go down"] * len(table.strong)
    for row, panel in zip(table.rows, panels, strict=True):
        assert ("over it on" in row[3]) is (panel.verdict.bend_use > 1)
    assert all(row[5].endswith(".") and ". ." not in row[5] for row in table.rows)


def test_the_pictures_count_what_they_show(demo):
    way = laying.plan_of(demo).ways[0]
    alt = laying.on_sheets(demo).alt
    assert f"{len(way.panels)} pieces" in alt and all(f"{p.panel.name} on sheet" in alt for p in way.panels)
    assert laying.candidates(demo).alt.startswith(f"{len(way.sheets.plans)} plans of sheets, the least joint first")
    butts = {side: len(plan.butts) for side, plan in laying.plan_of(demo).ways[1].planks.butts.items()}
    assert f"{butts['port']} butts port, {butts['starboard']} butts starboard" in laying_work.planks(demo).alt


def test_the_panel_changes_the_plan_and_gives_the_table(demo):
    panel = laying.panel(demo)
    second = laying.plan_of(demo).ways[0].sheets.plans[1]
    panel.set(number=2)
    assert panel.words.startswith("Plan 2: ") and f"{second.sheets} sheets" in panel.words
    panel.set(way="laid planks over ply")
    assert panel.trouble == "" and 'Skin A, 3/8"' in panel.alt


def test_a_half_beam_has_a_clamp_on_its_own_side_only(demo):
    sides = [row[1] for row in laying_work.clamp(demo).rows if row[0] == "13P"]
    assert sides == ["port"]


def test_quantities_are_those_that_the_list_buys(demo):
    rows = {name: cells for name, *cells in laying.beside(demo).rows}
    bought = {row[0]: row for row in laying_work.shopping(demo).rows}
    assert rows["cloth off the roll"][0] in bought["cloth"][1]
    likely = bought["epoxy, resin and hardener together"][2].split(", ")[1]
    assert rows["epoxy, litres: low, likely, high"][0].split(", ")[1] == f"{float(likely):.1f}"
