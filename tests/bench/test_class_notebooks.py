"""The pages of the class have the shape of all others, lead to each other, and run untouched."""

from __future__ import annotations

import re

import pytest

from deckgeom.bench.class_exercises import parts
from deckgeom.lessons.class_work import pair_work
from tests.bench import test_notebooks as shape

PAGES = sorted(path.stem for path in (shape.BOOKS / "class").glob("*.ipynb"))
NAMES = [f"class/{page}" for page in PAGES]
COPIES = [f"class/answers/{path.stem}" for path in sorted((shape.BOOKS / "class" / "answers").glob("*.ipynb"))]


def test_the_lessons_are_there():
    assert {"00_the_class", "01_layouts", "02_crown_line", "03_bending", "04_exercises"} <= set(PAGES)
    assert "05_for_the_teacher" in PAGES and len(COPIES) == 3


@pytest.mark.parametrize("name", NAMES)
def test_shape_words_and_cells(name):
    shape.test_no_outputs_are_stored_and_ids_are_stable(name)
    shape.test_cells_are_short_and_hold_no_geometry(name)
    shape.test_boxes_that_only_show_something_are_folded_and_no_others(name)
    shape.test_words_are_plain(name)
    first, words = shape.cells(name)[0][1], shape.words(name)
    assert first.startswith("# ") and "| what goes in | what comes out | how long |" in first
    assert "**After this page you can**" in first
    for part in ("## Inputs", "## What to check on the boat", "> **Take care.**", "## Summary"):
        assert part in words, part
    inputs = next(text for kind, text in shape.cells(name) if kind == "code")
    assert 'units = "mm"' in inputs and "import" not in inputs


@pytest.mark.parametrize("name", NAMES)
def test_a_panel_is_never_the_only_way(name):
    code = [text for kind, text in shape.cells(name) if kind == "code"]
    panels = [k for k, text in enumerate(code) if re.search(r"panel\([^)]*\)\s*$", text.strip())]
    assert panels
    for k in panels:
        own = r"(beam|part_\d|taught)\b"
        near = re.search(rf"\b(steps|\w*table)\({own}", code[k + 1]) or re.search(rf"table\({own}", code[k + 2])
        assert near, code[k]


def test_links_lead_somewhere_and_every_page_is_reached_from_the_first():
    for name in NAMES + COPIES:
        for link in re.findall(r"\]\(([^)]+)\)", shape.words(name)):
            assert ((shape.BOOKS / name).parent / link).exists(), f"{name} links to {link}"
    teacher = shape.words("class/05_for_the_teacher")
    assert all(f"({copy.removeprefix('class/')}.ipynb)" in teacher for copy in COPIES)
    start = shape.words("class/00_the_class")
    assert all(f"({page}.ipynb)" in start for page in PAGES if page != "00_the_class")
    assert "(class/00_the_class.ipynb)" in shape.words("00_start_here")


def test_the_page_of_exercises_has_every_part_and_every_box_of_the_hardest_level():
    """Title and minutes stand on the page in words, boxes as blanks to type into."""
    words, code = shape.words("class/04_exercises"), "\n".join(text for _, text in shape.cells("class/04_exercises"))
    for exercise in pair_work(17, 1, "hard").exercises:
        start, end = exercise.minutes.split("-")
        assert f"## Part {exercise.part}. {exercise.title}\n\nMinutes {start} to {end}. " in words
        blanks = re.search(rf"answers = \{{(.+)\}}\nclass_exercises.reply_table\(part_{exercise.part}, answers\)", code)
        assert blanks[1] == ", ".join(f'"{box.key}": ""' for box in exercise.answers)


def test_untouched_every_box_is_not_tried_yet():
    """The plain cells of the page, run as they stand."""
    cells = [text for kind, text in shape.cells("class/04_exercises") if kind == "code" and "reply_table" in text]
    assert len(cells) == 8
    for level in ("easy", "normal", "hard"):
        made = {f"part_{part.exercise.part}": part for part in parts(17, 1, level)}
        for cell in cells:
            room: dict = {}
            blanks, call = cell.split("\n")
            exec(f"from deckgeom.bench import class_exercises\n{blanks}\nshown = {call}", dict(made), room)
            assert {row[3] for row in room["shown"].rows} == {"not tried yet"}
            assert {row[2] for row in room["shown"].rows} == {""}


@pytest.mark.parametrize("name", COPIES)
def test_answer_copies_have_the_shape_of_a_page(name):
    shape.test_no_outputs_are_stored_and_ids_are_stable(name)
    shape.test_boxes_that_only_show_something_are_folded_and_no_others(name)
    shape.test_words_are_plain(name)
    first, words = shape.cells(name)[0][1], shape.words(name)
    assert first.startswith("# Answer copy: ") and "| what goes in | what comes out | how long |" in first
    for part in ("**After this page you can**", "## Inputs", "## What to check on the boat", "> **Take care.**",
                 "## Summary"):  # fmt: skip
        assert part in words, part
