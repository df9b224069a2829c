"""
The answer copies of the page of exercises, made of the sums of `by_hand`.

`python -m tests.lessons.answer_copies` writes them anew when the hulls of the class have changed.
"""

from __future__ import annotations

import json
from pathlib import Path

from deckgeom.lessons.class_work import pair_work
from tests.lessons.by_hand import PARTS, START, TAPE, working

ANSWERS = Path(__file__).parents[2] / "notebooks" / "class" / "answers"
#: Each copy: what it is called, and seed, pair, level, units.
COPIES = {
    "01_millimetres_normal": ("millimetres, normal", 17, 1, "normal", "mm"),
    "02_feet_and_inches_hard": ("feet and inches, hard", 23, 2, "hard", "ft-in-8"),
    "03_inches_easy": ("inches, easy", 40, 4, "easy", "in"),
}
FIRST = """# Answer copy: {name}

| what goes in | what comes out | how long |
|---|---|---|
| the figures printed for seed {seed}, pair {pair} | every box worked out by hand, and checked | 20 minutes to read |

The figures that the page of exercises prints are typed into plain sums here, as one would on paper: nothing is asked of
the package but whether an answer is right. They hold for these inputs alone; with others the page stops and says which
box is not right.

**After this page you can**

- follow each answer from the printed figure to the last line."""
LAST = """## What to check on the boat

- A sum that was followed once with the finger is right more often than one that was believed.

> **Take care.** These figures belong to no boat: nothing here is to be built.

## Summary

Every box of the eight parts is right by hand. Back to:

- [04_exercises](../04_exercises.ipynb)
- [05_for_the_teacher](../05_for_the_teacher.ipynb)
- [00_the_class](../00_the_class.ipynb)"""


PARTS_MADE = """from deckgeom.bench import class_exercises

part_1, part_2, part_3, part_4, part_5, part_6, part_7, part_8 = class_exercises.parts(seed, pair, level, units)
class_exercises.hull(part_1)"""


def cells_of(copy: str) -> list[tuple[str, str]]:
    """Kind and text of every cell of an answer copy; a kind of "folded" is code that only shows."""
    name, seed, pair, level, units = COPIES[copy]
    cells = [
        ("markdown", FIRST.format(name=name, seed=seed, pair=pair)),
        ("markdown", "## Inputs"),
        ("code", f'units = "{units}"\nseed = {seed}\npair = {pair}\nlevel = "{level}"'),
        ("folded", PARTS_MADE),
        ("markdown", "What sums need, and how an answer is written down:"),
        ("code", f"{START}\n\n{TAPE[units]}"),
    ]
    for exercise in pair_work(seed, pair, level, units).exercises:
        number = exercise.part
        cells.append(("markdown", f"## Part {number}. {exercise.title}\n\n{PARTS[number].__doc__}"))
        cells.append(("folded", f"class_exercises.task(part_{number})"))
        cells += [("code", cell) for cell in working(exercise, units)]
        cells.append(("folded", f"class_exercises.must_be_right(part_{number}, answers)"))
    return [*cells, ("markdown", LAST)]


def book_of(copy: str) -> dict:
    """An answer copy as it is stored."""
    cells = []
    for k, (kind, text) in enumerate(cells_of(copy)):
        cell = {
            "cell_type": "markdown" if kind == "markdown" else "code",
            "id": f"{copy[:2]}-{k:02d}",
            "metadata": {"jupyter": {"source_hidden": True}} if kind == "folded" else {},
            "source": text.splitlines(keepends=True),
        }
        cells.append(cell if kind == "markdown" else {**cell, "execution_count": None, "outputs": []})
    kernel = {"display_name": "Python 3", "language": "python", "name": "python3"}
    metadata = {"kernelspec": kernel, "language_info": {"name": "python"}}
    return {"cells": cells, "metadata": metadata, "nbformat": 4, "nbformat_minor": 5}


def as_stored(copy: str) -> str:
    """The text of an answer copy's file."""
    return json.dumps(book_of(copy), indent=1, ensure_ascii=False, sort_keys=True) + "\n"


if __name__ == "__main__":
    ANSWERS.mkdir(exist_ok=True)
    for copy in COPIES:
        (ANSWERS / f"{copy}.ipynb").write_text(as_stored(copy), encoding="utf-8")
