"""The list of broken lines is alive, and breaking one is seen."""

from __future__ import annotations

import pytest

from tests.mutation.__main__ import row
from tests.mutation.breaking import GREEN, TOP, copy_tree, mutants, run_tests, try_one

ROOMS = ("hull", "deck", "fairing", "laying", "units")
QUICK = ("bare numbers of a folder of feet", "legs swapped")


def test_every_old_text_stands_once_in_its_file():
    assert {f"{m.file}: {m.old}": m.times() for m in mutants() if m.times() != 1} == {}


def test_every_mutant_is_another_text_and_named_once():
    every = mutants()
    assert [m for m in every if m.old == m.new] == []
    assert len({(m.file, m.old, m.new) for m in every}) == len({(m.file, m.what, m.old) for m in every}) == len(every)


def test_every_named_test_is_there():
    assert [t for m in mutants() for t in m.tests if not (TOP / "tests" / t).is_file()] == []


def test_the_list_is_long_and_spread_over_the_rooms():
    rooms = [m.file.partition("/")[0] for m in mutants()]
    assert len(rooms) >= 90
    assert set(rooms) == set(ROOMS)
    assert min(rooms.count(room) for room in ROOMS) >= 10


@pytest.fixture(scope="module")
def copy(tmp_path_factory):
    return copy_tree(tmp_path_factory.mktemp("broken"))


@pytest.mark.parametrize("what", QUICK)
def test_a_broken_line_is_caught(copy, what):
    (mutant,) = [m for m in mutants() if m.what == what]
    file = copy / "deckgeom" / mutant.file
    before = file.read_bytes()
    found = try_one(copy, mutant)
    assert found.caught and found.by.startswith(mutant.tests), found
    assert found.by in row(found)
    assert file.read_bytes() == before == (TOP / "deckgeom" / mutant.file).read_bytes()


def test_without_a_broken_line_the_same_tests_are_green(copy):
    chosen = [m for m in mutants() if m.what in QUICK]
    assert run_tests(copy, dict.fromkeys(t for m in chosen for t in m.tests)) == (GREEN, "")
