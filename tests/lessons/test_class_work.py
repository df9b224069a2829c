"""The work of a class: 200 seeds at each level, every key and every slip; hulls that differ, are fair and hump."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.spatial import ConvexHull

from deckgeom.lessons.check import NOT_TRIED, NOT_YET, RIGHT, check
from deckgeom.lessons.class_work import MOST_PAIRS, class_work, pair_work
from deckgeom.lessons.dice import dice
from deckgeom.lessons.hulls import LEVELS, RULES, DrawAgain, draw_hull
from deckgeom.units import NOTATIONS, UNITS, parse_length, write_length

SEEDS = 200
CHUNK = 25


def answer_is_told_from_its_slips(box) -> None:
    """The key's own words are right, the slips' are not and are named, and nothing that is said holds the answer."""
    assert check(box, "").state == NOT_TRIED
    assert check(box, box.shown).state == RIGHT, (box.key, box.shown)
    said = [*box.hints]
    for slip in box.slips:
        reply = check(box, box.written(slip.value))
        assert reply.state == NOT_YET, (box.key, slip.name)
        assert reply.slip is not None and reply.says == reply.slip.says, (box.key, slip.name)
        same = box.written(reply.slip.value) == box.written(slip.value)
        assert same or abs(reply.slip.value - slip.value) <= 2 * box.tolerance
        said.append(reply.says)
    if box.kind == "length":
        assert all(box.shown not in words for words in said), box.key
    assert box.hints, f"{box.key} has no hint"


@pytest.mark.parametrize("level", LEVELS)
@pytest.mark.parametrize("first", range(0, SEEDS, CHUNK))
def test_no_slip_is_confused_with_a_right_answer_at_200_seeds(level, first):
    keys = set()
    for seed in range(first, first + CHUNK):
        work = pair_work(seed, 1 + seed % 10, level, UNITS[seed % len(UNITS)])
        assert [part.part for part in work.exercises] == [1, 2, 3, 4, 5, 6, 7, 8]
        for box in work.answers:
            answer_is_told_from_its_slips(box)
            keys.add(box.key)
    assert {"1A", "2A", "3D", "4I", "5E", "6F", "7F", "8D"} <= keys
    assert ("2F" in keys) == (level == "hard") and ("2D" in keys) == (level != "easy")


def test_the_check_that_tells_slips_apart_can_fail():
    from dataclasses import replace

    box = pair_work(3, 1, "easy").part(4).answers[0]
    near = replace(box, slips=())
    object.__setattr__(near, "slips", (box.slips[0].__class__(box.slips[0].name, box.value),))
    with pytest.raises(AssertionError):
        answer_is_told_from_its_slips(near)


@pytest.mark.parametrize("units", UNITS)
def test_no_two_pairs_have_the_same_hull_and_the_same_seed_gives_the_same(units):
    works = class_work(8, 10, "normal", units)
    assert len({work.hull.half_breadth.tobytes() for work in works}) == 10
    again = pair_work(8, 4, "normal", units)
    assert again.hull.height.tolist() == works[3].hull.height.tolist()
    assert [part.given for part in again.exercises] == [part.given for part in works[3].exercises]
    assert pair_work(9, 4, "normal", units).hull.height.tolist() != again.hull.height.tolist()


def test_half_breadths_differ_between_all_pairs_of_a_seed():
    found = set()
    for pair in range(1, MOST_PAIRS + 1):
        for attempt in range(400):
            try:
                found.add(draw_hull(1, pair, "easy", "mm", attempt).widest)
                break
            except DrawAgain:
                continue
    assert len(found) == MOST_PAIRS


def test_dice_are_the_same_on_every_machine():
    """The stream that the standard library promises for a seed of text (its documentation of `random.seed`)."""
    import random

    assert dice(17, 1, "easy").random() == random.Random("17/1/easy").random()
    throws = [dice("throws", k).whole(1, 6) for k in range(600)]
    assert min(throws) == 1 and max(throws) == 6 and 60 < throws.count(3) < 140


def gap_over_straight(x, z) -> float:
    """Greatest height of a line above its lower convex hull, by scipy's Quickhull. [mm]"""
    points = np.column_stack([x, z])
    hull = ConvexHull(np.vstack([points, [[x[0], z.max() + 1e3], [x[-1], z.max() + 1e3]]]))
    lower = np.array(sorted(k for k in hull.vertices if k < len(x)))
    return float(np.max(z - np.interp(x, x[lower], z[lower])))


@pytest.mark.parametrize("level", LEVELS)
def test_humps_are_where_they_were_wanted(level):
    kinds = set()
    for work in class_work(23, 8, level, "mm"):
        hull = work.hull
        x = np.linspace(hull.x[0], hull.x[-1], 400)
        mould = hull.camber * np.interp(x, x, hull.sheer.half_breadth("port", x)) ** 2 / hull.widest**2
        same = hull.camber * hull.sheer.half_breadth("port", x) / hull.widest
        edge = hull.sheer.height("port", x)
        has = {"one mould": gap_over_straight(x, edge + mould), "same proportion": gap_over_straight(x, edge + same)}
        wanted = {"one mould only": ["one mould"], "both": list(RULES), "neither": []}[hull.humps]
        for rule, gap in has.items():
            assert (gap > 3.5) if rule in wanted else (gap < 0.8), (hull.pair, rule, gap)
        said = {"one mould": work.part(5).answer("5B").value, "same proportion": work.part(5).answer("5C").value}
        assert said == {rule: "yes" if rule in wanted else "no" for rule in RULES}
        kinds.add(hull.humps)
    assert kinds == {"one mould only", "both", "neither"}


@pytest.mark.parametrize("level", LEVELS)
@pytest.mark.parametrize("units", UNITS)
def test_hulls_are_fair_but_for_what_is_planted(level, units):
    """Fourth differences of a cubic are nought: what is left is rounding, at most 16 halves of a mark (derived)."""
    hull = pair_work(31, 2, level, units).hull
    bound = 8 * hull.tape * 1.01
    for name, column in hull.columns.items():
        step = 1.0 if hull.notation[name] in ("mm", "cm", "m") else 25.4 / 16
        assert np.max(np.abs(np.diff(column, 4))) < bound + 8 * step
    out = np.abs(np.diff(hull.printed["height"], 4)).max()
    assert (out > 60) == (level != "easy")  # six times a misprint of 20 mm, less the rounding
    assert np.all(np.diff(hull.half_breadth, 2) < 0) and np.all(np.diff(hull.height, 2) > 0)


@pytest.mark.parametrize("level", LEVELS)
@pytest.mark.parametrize("units", UNITS)
def test_what_is_printed_reads_back_as_what_was_meant(level, units):
    hull = pair_work(12, 3, level, units).hull
    for name, column in hull.printed.items():
        for station in range(len(hull.x)):
            # a figure without a unit is in the notation of its column, as the handout says
            read = parse_length(hull.cell(name, station), "mm" if hull.notation[name] == "mm" else "ft-in-8")
            assert abs(read - column[station]) < 0.01, (name, station, hull.cell(name, station))


def test_answers_are_right_in_every_notation():
    box = pair_work(2, 1, "hard", "ft-in-8").part(5).answer("5A")
    for notation in NOTATIONS:
        assert check(box, write_length(box.value, notation)).state == RIGHT, notation


@pytest.mark.parametrize(("arguments", "says"), [
    ((1, 0), "pair is 0; it is a whole number, from 1."), ((-1, 1), "seed is -1; it is a whole number, 0 or more."),
    ((1, 1, "harder"), "level is 'harder'; it is one of easy, normal, hard."),
    ((1, 1, "easy", "furlongs"), "units is 'furlongs'; it is one of mm, ft-in-8, in."),
])  # fmt: skip
def test_what_nobody_can_draw_is_refused_in_one_line(arguments, says):
    with pytest.raises(ValueError) as refused:
        pair_work(*arguments)
    assert str(refused.value) == says


@pytest.mark.parametrize("pairs", [0, 42, 2.5, True])
def test_a_class_has_pairs(pairs):
    with pytest.raises(ValueError, match="a class has from 1 to 41 pairs"):
        class_work(1, pairs)
