"""What fuzzing found is tried again in every run, and the checks themselves can fail."""

from __future__ import annotations

import contextlib
import importlib
import math
import sys
from dataclasses import replace

import pytest

from deckgeom.units import reading, writing
from tests.fuzz import targets
from tests.fuzz.kept import Kept, keep, read_kept
from tests.fuzz.mutate import mutated
from tests.fuzz.targets import TARGETS, Broken

KEPT = read_kept()


@pytest.mark.parametrize("name", TARGETS)
def test_where_the_hunt_begins_all_holds(name):
    target = TARGETS[name]
    for number, seed in enumerate(target.seeds):
        target.check(("mm", "in", "ft-in-8")[number % 3], seed.encode("utf-8"))


@pytest.mark.parametrize("name", TARGETS)
def test_what_was_found_is_mended_and_what_was_reached_holds(name):
    kept = [one for one in KEPT if one.target == name]
    for one in kept:
        TARGETS[name].check(one.units, one.data)
    assert len({(one.units, one.data) for one in kept}) == len(kept)
    assert all(len(one.data) <= TARGETS[name].longest for one in kept)


def test_every_kept_input_has_a_target():
    assert KEPT
    assert {one.target for one in KEPT} <= set(TARGETS)


@pytest.mark.parametrize("name", [name for name in TARGETS if TARGETS[name].tabular])
def test_changed_tables_are_refused_or_read(name):
    """A few of the changes that the hunt makes, the same in every run."""
    target = TARGETS[name]
    words = tuple(word.encode("utf-8", "replace") for word in target.words)
    different = set()
    for number in range(12 if name == "job" else 60):
        data = mutated(target.seeds[0].encode("utf-8"), words, number)[: target.longest]
        different.add(data)
        target.check("mm", data)
    assert len(different) > 8


def test_an_input_is_kept_as_it_was_and_once(tmp_path):
    odd = [Kept("length", "mm", 'a"\\b\n\x7f\x00ä\u202e'.encode(), "it's"), Kept("job", "in", b"\xff\xfe\x00")]
    assert [keep(one, tmp_path) for one in (*odd, odd[0])] == [True, True, False]
    assert sorted(read_kept(tmp_path), key=lambda one: one.target != "length") == odd


def test_the_hunt_finds_a_planted_slip_makes_it_small_and_goes_on(tmp_path, monkeypatch, capsys):
    """Without atheris, as on a machine that has none: the words of the target lead to it."""
    monkeypatch.setitem(sys.modules, "atheris", None)
    monkeypatch.delitem(sys.modules, "tests.fuzz.hunt", raising=False)
    hunt = importlib.import_module("tests.fuzz.hunt")
    monkeypatch.delitem(sys.modules, "tests.fuzz.hunt")

    def stumbles(units, data):
        if b"9/16" in data:
            raise KeyError("planted")

    monkeypatch.setitem(TARGETS, "length", replace(TARGETS["length"], check=stumbles))
    ours = hunt.Hunt("length", tmp_path, tmp_path / "kept")
    with contextlib.closing(ours.current):
        hunt.unguided(ours, 1, 7)
    [found] = read_kept(tmp_path / "kept")
    assert found.data == b"9/16" and found.found.startswith("KeyError in ")
    assert ours.tried > 300
    assert capsys.readouterr().out.count("\n") == 1


def test_a_check_fails_where_a_length_is_written_wrongly(monkeypatch):
    targets.length("in", b"3 9/16")
    monkeypatch.setattr(targets, "write_length", lambda mm, notation: writing.write_length(mm + 2, notation))
    with pytest.raises(Broken, match="is read as"):
        targets.length("in", b"3 9/16")


def test_a_check_fails_where_another_error_comes_out(monkeypatch):
    def stumble(text, plain, units):
        raise ZeroDivisionError

    monkeypatch.setattr(reading, "_metric_sum", stumble)
    with pytest.raises(ZeroDivisionError):
        targets.length("in", b"3 apples and more")


def test_a_check_fails_where_a_complaint_names_no_row_of_its_file(monkeypatch):
    good = targets.GOOD["beams.csv"]
    targets.table("beams.csv")("mm", good.replace("600", "six").encode())
    monkeypatch.setattr(targets, "_most_rows", lambda path: 1)
    with pytest.raises(Broken, match="no such row"):
        targets.table("beams.csv")("mm", good.replace("600", "six").encode())


def test_a_check_fails_where_a_value_is_no_number(monkeypatch):
    monkeypatch.setattr(targets, "parse_slope", lambda text: math.nan)
    with pytest.raises(Broken, match="is no slope"):
        targets.slope("mm", b"1:32")
