"""The exercises worked by hand from what is printed come out right, and known slips never do."""

from __future__ import annotations

import math
import re
from functools import lru_cache

import pytest

from deckgeom.lessons.check import NOT_YET, RIGHT, check
from deckgeom.lessons.class_work import PairWork, pair_work
from deckgeom.units import UNITS, LengthError, parse_length, write_length
from tests.lessons.answer_copies import ANSWERS, COPIES, as_stored, cells_of
from tests.lessons.by_hand import figure, worked

SEEDS = range(20)
LEVELS = ("easy", "normal", "hard")


@lru_cache
def works(level: str) -> tuple[PairWork, ...]:
    """Twenty works of a level, of all units and of pairs 1 to 5."""
    return tuple(pair_work(seed, 1 + seed % 5, level, UNITS[seed % 3]) for seed in SEEDS)


def said(work: PairWork, key: str) -> str:
    """Where a fault was found."""
    return f"seed {work.hull.seed}, pair {work.hull.pair}, {work.hull.level}, {work.hull.units}, box {key}"


@pytest.mark.parametrize("level", LEVELS)
def test_every_box_comes_out_right_by_hand(level):
    for work in works(level):
        for exercise in work.exercises:
            typed = worked(exercise, work.hull.units)
            assert list(typed) and set(typed) == {box.key for box in exercise.answers}
            wrong = [
                f"{said(work, box.key)}: {typed[box.key]} {reply.says}"
                for box in exercise.answers
                if (reply := check(box, typed[box.key])).state != RIGHT
            ]
            assert not wrong


@pytest.mark.parametrize("level", LEVELS)
def test_every_known_slip_gets_its_own_words_and_is_never_accepted(level):
    seen = set()
    for work in works(level):
        for box in work.answers:
            for slip in box.slips:
                typed = slip.value if box.kind == "choice" else f"{slip.value:.6f}"
                reply = check(box, f"{typed} mm" if box.kind == "length" else typed)
                alike = {one.name for one in box.slips if same(one.value, slip.value)}
                assert reply.state == NOT_YET and reply.slip, said(work, box.key)
                assert slip.name in alike and reply.slip.name in alike and reply.says == reply.slip.says
                seen.add(reply.slip.name)
                assert check(box, box.written(slip.value)).state == NOT_YET, said(work, box.key)
    assert len(seen) >= 15


def same(one: float | str, other: float | str) -> bool:
    return one == other if isinstance(one, str) else math.isclose(one, other, abs_tol=1e-5)


@pytest.mark.parametrize("level", LEVELS)
def test_a_right_length_is_right_in_every_notation_fine_enough(level):
    for work in works(level):
        for box in work.answers:
            if box.kind == "length" and box.tolerance >= 1 and 30 < box.value < 3000:
                for notation in ("mm", "cm", "in", "ft-in-8", "ft-in"):
                    on_the_tape = write_length(box.value, notation)
                    if abs(parse_length(on_the_tape) - box.value) <= box.tolerance:
                        assert check(box, on_the_tape).state == RIGHT, (said(work, box.key), on_the_tape)


@pytest.mark.parametrize("level", LEVELS)
def test_no_words_give_the_answer_away(level):
    for work in works(level):
        for box in work.answers:
            if box.kind in ("choice", "degrees"):
                continue
            words = [*box.hints, *(slip.says for slip in box.slips)]
            found = [one for one in words if re.search(rf"(?<![\w/]){re.escape(box.shown)}(?![\w/])", one)]
            assert not found, said(work, box.key)


@pytest.mark.parametrize("level", LEVELS)
def test_figures_are_typed_into_sums_as_the_package_reads_them(level):
    """A second route: the reader of lengths."""
    counted = 0
    for work in works(level):
        units = work.hull.units
        inch = 1 if units == "mm" else 25.4
        for exercise in work.exercises:
            for cell in (cell for given in exercise.given for row in given.rows for cell in row[1:]):
                try:
                    read = parse_length(cell, units)
                except LengthError:
                    continue
                if not cell.isdigit():
                    assert eval(figure(cell, units)) * inch == pytest.approx(read), cell
                    counted += 1
    assert counted > 1000


@pytest.mark.parametrize(("printed", "units", "typed"), [
    ("1540 mm", "mm", "1540"), ("75.9 cm", "mm", "75.9 * 10"), ("1.215 m", "mm", "1.215 * 1000"),
    ("2-11-4+", "mm", "(2 * 12 + 11 + 4/8 + 1/16) * 25.4"), ("5' 3 3/16\"", "in", "5 * 12 + 3 + 3/16"),
    ("7/16\"", "in", "7/16"), ("27 7/8 in", "in", "27 + 7/8"), ("8' 0\"", "ft-in-8", "8 * 12 + 0"),
])  # fmt: skip
def test_a_figure_is_typed_as_it_is_said(printed, units, typed):
    assert figure(printed, units) == typed


def test_what_is_no_length_is_refused():
    with pytest.raises(ValueError, match="'two feet' is no length"):
        figure("two feet", "mm")
    with pytest.raises(ValueError, match="'94 mm' is metric"):
        figure("94 mm", "in")


@pytest.mark.parametrize("copy", COPIES)
def test_an_answer_copy_holds_these_sums_and_never_asks_the_package_for_an_answer(copy):
    stored = (ANSWERS / f"{copy}.ipynb").read_text(encoding="utf-8")
    assert stored == as_stored(copy), "the hulls of the class have changed: run python -m tests.lessons.answer_copies"
    code = [text for kind, text in cells_of(copy) if kind in ("code", "folded")]
    asked = set(re.findall(r"class_exercises\.(\w+)", "\n".join(code)))
    assert asked == {"parts", "hull", "task", "must_be_right"}
    assert not re.search(r"\.(value|shown|work|exercise|slips)\b", "\n".join(code))
    assert all(len(text.splitlines()) <= 12 for text in code)
    assert sum("must_be_right" in text for text in code) == 8


def test_the_copies_are_three_settings():
    assert {path.stem for path in ANSWERS.glob("*.ipynb")} == set(COPIES)
    assert {(one[3], one[4]) for one in COPIES.values()} == {("normal", "mm"), ("hard", "ft-in-8"), ("easy", "in")}
