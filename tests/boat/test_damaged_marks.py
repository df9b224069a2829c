"""Marks on the hull, measured then and today: as people type them, and how they go wrong."""

from __future__ import annotations

import pytest

from deckgeom.job import do_job

HEAD = "mark,x,y,first,today,note\n"
FOUR = ("a,300,P 100,500,500,", "b,300,S 100,500,510,", "c,2400,port edge,500,500,", "d,2400,S 560,500,510,")


def marks(*rows):
    return HEAD + "\n".join(rows) + "\n"


def test_marks_at_places_and_at_the_deck_edge(read, lines):
    boat = read(marks_csv=marks(*FOUR))
    assert lines(boat) == []
    assert [(m.name, m.x, m.y, m.first, m.today, m.row) for m in boat.marks[1:3]] == [
        ("b", 300, 100, 500, 510, 3),
        ("c", 2400, "port edge", 500, 500, 4),
    ]


def test_a_list_is_found_and_said_in_words(read):
    # starboard marks 10 mm up by the same amount fore and aft on unequal breadths: a list and a twist, by hand
    rows = ("a,300,P 500,500,500,", "b,300,S 500,500,510,", "c,2400,P 500,500,500,", "d,2400,S 500,500,510,")
    move = do_job(read(marks_csv=marks(*rows))).move
    assert move.real == {"height": True, "trim": False, "list": True, "twist": False}
    assert move.reach[2] == pytest.approx(10.0)
    assert move.words()[0] == "She has moved."


@pytest.mark.parametrize(
    ("row", "line"),
    [
        ("c,2400,560,500,500,", "column y, '560': is it port (560 mm, 22 1/16 in), or starboard (560 mm, 22 1/16 in)? "
         "Write P or S with it: P 560."),
        ("c,,P 560,500,500,", "column x, '': a mark has its x; it is left out. Likely slip: a cell left blank."),
        ("a,2400,P 560,500,500,", "column mark, 'a': a mark stands once; the first, in row 2, is kept. Likely slip: a "
         "row copied and not changed."),
        ("c,2400,P 560,high,500,", "column first, 'high': a length holds a number and none stands here. Write it like "
         "one of 497, 49.7cm, 19 9/16 in, 1' 7 9/16\", 1-7-4+. Likely slip: a note in a column of numbers."),
    ],
)  # fmt: skip
def test_a_mark_that_is_not_clear_is_left_out(read, lines, row, line):
    boat = read(marks_csv=marks(FOUR[0], row))
    said = lines(boat) or lines(boat, "ask")
    assert [text.replace("column x:", "column x, '':") for text in said] == [f"marks.csv, row 3, {line}"]
    assert [mark.name for mark in boat.marks] == ["a"]


def test_three_marks_measured_twice_are_too_few(read):
    job = do_job(read(marks_csv=marks(*FOUR[:3], "d,2400,S 560,500,,")))
    assert job.move is None
    assert [str(c) for c in job.complaints if c.file == "marks.csv"] == [
        "marks.csv, column today: 1 of 4 marks are not measured twice yet.",
        "marks.csv: 3 marks, 3 places y, 3 heights then and 3 now: a re-check needs four marks or more, each with its "
        "place and both heights.",
    ]


def test_marks_without_today_wait_in_silence_but_for_a_note(read):
    job = do_job(read(marks_csv=marks("a,300,P 100,500,,", "b,300,S 100,500,,")))
    assert job.move is None
    assert [(c.kind, str(c)) for c in job.complaints if c.file == "marks.csv"] == [
        ("note", "marks.csv, column today: 2 of 2 marks are not measured twice yet.")
    ]


def test_a_mark_at_an_edge_needs_the_offsets(read):
    job = do_job(read(offsets_csv=None, marks_csv=marks(*FOUR)))
    told = [str(c) for c in job.complaints if c.file == "marks.csv"]
    assert told == [
        "marks.csv: a mark at a deck edge is placed by the offsets, and there are none. Write how far out it is."
    ]
