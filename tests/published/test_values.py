"""Every row of the file that the notebooks of published values show: agreed with, and shown to be able to fail."""

from __future__ import annotations

import re
from collections import Counter
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from deckgeom.bench.published.registry import WAYS
from deckgeom.bench.published.rows import COLUMNS, SEEN, Row, given, read_values

VALUES = Path(__file__).parents[2] / "notebooks" / "published" / "values.csv"
ROWS = read_values(VALUES)
IDS = [row.id for row in ROWS]


@pytest.fixture(scope="module")
def ours() -> dict[str, float | str]:
    """What the package gives for every row, worked out once."""
    return {row.id: row.ours for row in ROWS}


@pytest.mark.parametrize("row", ROWS, ids=IDS)
def test_published_value(row: Row, ours):
    """The source stands in the row; for those seen "M" it is memory or common practice, and the row says so."""
    found = ours[row.id]
    assert row.agreed(found), f"{row.id}, {row.what}: {row.expected} {row.unit} given, {found} here ({row.source})"


@pytest.mark.parametrize("row", ROWS, ids=IDS)
def test_a_wrong_value_would_be_seen(row: Row, ours):
    """Each row spoilt: a number out by two and a half tolerances either way, or by a hundredth; a word by a letter."""
    if isinstance(row.value, str):
        assert not replace(row, expected=row.expected + "x").agreed(ours[row.id])
        return
    for spoilt in (row.value + 2.5 * row.tolerance, row.value - 2.5 * row.tolerance):
        assert not replace(row, expected=repr(spoilt)).agreed(ours[row.id])
    coarse = row.id in ("A8b", "C2a", "C2b", "C2c", "C2d", "C2e", "C2f", "D6d")  # printed to few digits
    spoilt = row.value * (1.8 if coarse else 1.01) + 0.01 * (row.value == 0)
    assert not replace(row, expected=repr(spoilt)).agreed(ours[row.id]), "the tolerance hides one part in a hundred"


def changed_inputs(row: Row):
    """The inputs of a row with one number moved, and those of the other rows that are worked out in the same way."""
    inputs = given(row.inputs)
    for name, value in inputs.items():
        if not isinstance(value, str):
            yield {**inputs, name: value * 0.8 if value else 0.2}
            yield {**inputs, name: value + 1}
        elif re.search(r"\d/\d", value):  # words with a fraction: half as much of each, and one by one
            yield {**inputs, name: re.sub(r"/(\d+)", lambda found: f"/{2 * int(found[1])}", value)}
            yield {**inputs, name: re.sub(r"/(\d+)", lambda found: f"/{2 * int(found[1])}", value, count=1)}
        elif len(value.split()) > 3 and value[0].isdigit():
            yield {**inputs, name: " ".join(value.split()[1:])}
            if "-" not in value:
                yield {**inputs, name: " ".join(f"{2 * float(one):g}" for one in value.split())}
        elif value.endswith("+"):
            yield {**inputs, name: value[:-1]}
    yield from (given(other.inputs) for other in ROWS if other.how == row.how and other.inputs != row.inputs)


#: Answers that stay what they are: noughts and counts that hold for every hull, and constants of practice.
HOLD_ALWAYS = {"B5a", "B5b", "B5c", "F4a", "F4c", "H3", "H5a", "H5b", "H8", "I2", "I3", "I4", "I5a", "I5b"}


@pytest.mark.parametrize("row", [pytest.param(row, id=row.id) for row in ROWS if row.id not in HOLD_ALWAYS])
def test_the_answer_follows_from_the_inputs(row: Row, ours):
    """No answer is written down anywhere: other inputs give another one."""
    known = WAYS[row.how](**given(row.inputs))
    assert any(differs(row, inputs, known) for inputs in changed_inputs(row)), "the same answer whatever goes in"


def differs(row: Row, inputs: dict, known) -> bool:
    """Whether other inputs give another answer; what they cannot give one for tells nothing."""
    try:
        other = WAYS[row.how](**inputs)
    except (ValueError, IndexError):
        return False
    return other != known if isinstance(other, str) else not np.isclose(float(other), float(known), 1e-9, 0)


def test_there_are_ninety_rows_apart_from_those_from_memory():
    count = Counter(row.seen for row in ROWS)
    assert count["S"] + count["S*"] + count["D"] >= 90 and count["M"] >= 1
    assert {row.group for row in ROWS} == set("ABCDEFGHIJ")


def test_every_row_says_where_it_is_from_and_why_it_may_differ():
    for row in ROWS:
        assert all(getattr(row, name).strip() for name in COLUMNS if name != "unit"), row.id
        assert row.within == "exact" or row.tolerance > 0
        assert row.how in WAYS, row.id
        if row.seen in ("M",):
            assert any(word in row.source for word in ("memory", "common practice")), row.id
        if "from memory" in row.source or "no source" in row.source:
            assert row.seen == "M", row.id
    assert {row.how for row in ROWS} == set(WAYS), "a way that no row uses"


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"seen": "X"}, "row A1a: seen 'X' is none of S, S\\*, D, M"),
        ({"unit": "cubit"}, "row A1a: the unit 'cubit' is none of mm"),
    ],
)
def test_a_row_that_cannot_be_is_refused(change, words):
    with pytest.raises(ValueError, match=words):
        replace(ROWS[0], **change)


def test_inputs_and_ways_that_cannot_be_read_are_named():
    with pytest.raises(ValueError, match="'camber 3' is not written as name = value"):
        given("half-breadth = 2; camber 3")
    with pytest.raises(KeyError, match="row A1a: no way 'guess'"):
        _ = replace(ROWS[0], how="guess").ours


def test_a_number_twice_is_refused(tmp_path):
    lines = VALUES.read_text(encoding="utf-8").splitlines()
    (tmp_path / "values.csv").write_text("\n".join([*lines[:3], lines[1]]), encoding="utf-8")
    with pytest.raises(ValueError, match="rows A1a stand there twice"):
        read_values(tmp_path / "values.csv")


def test_units_are_the_package_s_own():
    """Foot and pound by definition; the inputs are written in the units of the source."""
    assert given("a = 1 ft; b = 1 lb; c = 0.01 per m2; d = 1/4 in; e = 1-7-3+") == pytest.approx(
        {"a": 304.8, "b": 0.45359237 * 9.80665, "c": 1e-8, "d": 6.35, "e": "1-7-3+"}
    )
    assert list(SEEN) == ["S", "S*", "D", "M"]
