"""The disk full, or not to be written, at every call: the old stands or the new, nothing else, and it is told."""

from __future__ import annotations

import errno
import os
import shutil
from pathlib import Path

import pytest

from deckgeom.bench.choosing import CHOSEN
from deckgeom.bench.errors import one_line
from deckgeom.bench.type_in import TypeIn
from tests.nothing_lost.actions import BOAT, SHED, TYPING, Action, litter, make_shed, typed
from tests.nothing_lost.disk import failing, tree, watched


@pytest.fixture(autouse=True)
def quick(monkeypatch):
    """Nothing is forced out to the disk: here no electricity fails."""
    monkeypatch.setattr(os, "fsync", lambda handle: None)


@pytest.fixture
def shed(tmp_path) -> Path:
    return make_shed(tmp_path / "whole")


def dry_run(action: Action, shed: Path) -> tuple[dict, dict, list]:
    """Typed files before and after, and the steps between, where nothing fails."""
    do, before = action.ready(shed), typed(shed)
    with watched(shed) as disk:
        do()
    return before, typed(shed), disk.steps


@pytest.mark.parametrize(
    ("code", "stays"),
    [(errno.ENOSPC, False), (errno.ENOSPC, True), (errno.EROFS, True), (errno.EIO, False)],
    ids=["full once", "full from then on", "read only from then on", "broken once"],
)
@pytest.mark.parametrize("action", TYPING + SHED, ids=str)
def test_at_every_call_the_old_stands_or_the_new(action, code, stays, shed, tmp_path):
    start = shutil.copytree(shed, tmp_path / "start")
    before, after, steps = dry_run(action, shed)
    assert before != after and len(steps) > 4
    told = []
    for step in steps:
        here = shutil.copytree(start, tmp_path / "here")
        do = action.ready(here)
        was, kept = typed(here), tree(here / BOAT / ".last_good")
        try:
            with watched(here, failing(step.number, code, stays)) as disk:
                came = do()
        except OSError as error:
            told.append(one_line(error))
            assert typed(here) == was == before, f"{step}: told as not done, but something is changed"
            assert {k: v for k, v in tree(here / BOAT / ".last_good").items() if k in kept} == kept
            came = do()  # the disk is mended: what was typed is still in hand
        assert typed(here) | half_chosen(came, before) == after | half_chosen(came, before), f"{step}: told as done"
        assert step.call in ("unlink", "rmdir") or litter(here) == [], f"{step}"
        assert str(disk.steps[step.number - 1]).split()[:2] == str(step).split()[:2], "the same calls were made again"
        shutil.rmtree(here)
    assert len(told) > 3
    for line in set(told):
        held(line, action, code)


def half_chosen(came: object, before: dict) -> dict:
    """The choice may stay as it was where a new boat says so."""
    said = [line for line in getattr(came, "lines", ()) if line.startswith("She stands there, but is not chosen yet.")]
    return {CHOSEN: before[CHOSEN]} if said else {}


def held(line: str, action: Action, code: int) -> None:
    """A line that a person can use: one line, what it is about, why, and what to do next."""
    assert "\n" not in line and len(line) < 400
    assert Path(action.file).name in line
    why = {errno.ENOSPC: "No space left", errno.EROFS: "Read-only", errno.EIO: "Input/output error"}[code]
    next_step = {errno.ENOSPC: "make room", errno.EROFS: "only be read", errno.EIO: "Look whether"}[code]
    assert why in line and next_step in line, line


def test_on_the_page_words_that_find_no_room_stay_in_their_cells_and_go_in_with_the_next(shed, tmp_path):
    """At every call that a typed cell makes; the page is told which cells wait, and why, and what to do."""
    start = shutil.copytree(shed, tmp_path / "start")
    first, second = [[1, 3, "851"], [2, 4, "mine"]], [[0, 3, "841"]]
    with watched(shed) as disk:
        ask(TypeIn(shed / BOAT, "readings.csv"), first)
    waited = 0
    for step in disk.steps:
        here = shutil.copytree(start, tmp_path / "here")
        table = TypeIn(here / BOAT, "readings.csv")
        with watched(here, failing(step.number, errno.ENOSPC, stays=True)):
            ask(table, first)
        if table.trouble:
            waited += 1
            assert table.unsaved == {"1,3": "851", "2,4": "mine"} and table.state == "Not saved."
            assert "The disk is full: make room, then press Enter in the cell again." in table.trouble
            assert table.cells[1][3] == "850" and typed(here) == typed(start)
        ask(table, second)
        assert table.unsaved == {} and table.trouble == "" and table.state.startswith("Saved at ")
        assert [table.cells[0][3], table.cells[1][3], table.cells[2][4]] == ["841", "851", "mine"]
        shutil.rmtree(here)
    assert waited > 9


def ask(table: TypeIn, cells: list) -> None:
    """Type as the page does."""
    table._asked(table, {"do": "type", "cells": cells, "number": table.answered + 1, "turn": table.turn}, [])
