"""The answer check: right, not yet, which slip it looks like, and never the answer."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from deckgeom.lessons.check import NOT_TRIED, NOT_YET, RIGHT, check
from deckgeom.lessons.exercise import Answer, Exercise, Slip
from deckgeom.lessons.slips import KNOWN_SLIPS
from deckgeom.units import NOTATIONS, write_length

HALF = Slip("half-beam for beam", 47.0)
PLUS = Slip("plus ignored", 90.0)
CAMBER = Answer("A", "camber", "length", 94.0, 1.0, "mm", (HALF, PLUS), ("Which beam is widest?", "How wide is it?"))
BEVEL = Answer("B", "bevel", "degrees", 4.5, 0.5, "mm", (Slip("wrong direction", -4.5),))
COUNT = Answer("C", "strips of cloth", "number", 3, 0, "mm", (Slip("rounded down", 2),), unit="strips")
WAYS = ("plane", "pack")
WAY = Answer("D", "what to do", "choice", "plane", 0, "mm", (Slip("pack for plane", "pack"),), choices=WAYS)


@pytest.mark.parametrize("blank", [None, "", "   ", "\t"])
@pytest.mark.parametrize("box", [CAMBER, BEVEL, COUNT, WAY])
def test_a_blank_is_not_a_wrong_answer(box, blank):
    reply = check(box, blank)
    assert (reply.state, reply.says, reply.slip) == (NOT_TRIED, "", None)


@pytest.mark.parametrize("typed", ["94", "9.4 cm", "9,4cm", "93", "95", "3.7in", "94 mm"])
def test_a_length_is_right_in_any_notation_within_the_tolerance(typed):
    assert check(CAMBER, typed).state == RIGHT


@pytest.mark.parametrize(("typed", "box"), [("4.5", BEVEL), ("4,9°", BEVEL), ("4 degrees", BEVEL), ("3", COUNT),
                                            ("3 strips", COUNT), ("Plane", WAY), (" plane ", WAY)])  # fmt: skip
def test_degrees_numbers_and_choices_are_read_as_people_write_them(typed, box):
    assert check(box, typed).state == RIGHT


@pytest.mark.parametrize(("typed", "box", "name"), [
    ("47", CAMBER, "half-beam for beam"), ("46.2", CAMBER, "half-beam for beam"), ("90.4", CAMBER, "plus ignored"),
    ("-4.5", BEVEL, "wrong direction"), ("\u22124,5", BEVEL, "wrong direction"), ("2", COUNT, "rounded down"),
    ("pack", WAY, "pack for plane"),
])  # fmt: skip
def test_a_known_slip_is_named_in_the_learners_words(typed, box, name):
    reply = check(box, typed)
    assert (reply.state, reply.slip.name) == (NOT_YET, name)
    assert reply.says == KNOWN_SLIPS[name].says


def test_hints_come_in_order_and_the_last_one_stays():
    said = [check(CAMBER, "61", tries).says for tries in range(4)]
    assert said == ["Which beam is widest?", "How wide is it?", "How wide is it?", "How wide is it?"]
    assert check(BEVEL, "9").says.startswith("Work it through once more")


@pytest.mark.parametrize(("typed", "box", "word"), [
    ("9 4", CAMBER, "9 4"), ("ninety", CAMBER, "ninety"), ("steep", BEVEL, "degrees"), ("1e3", COUNT, "a number"),
    ("leave", WAY, "none of the choices"),
])  # fmt: skip
def test_what_cannot_be_read_is_said_and_counts_as_not_yet(typed, box, word):
    reply = check(box, typed)
    assert reply.state == NOT_YET and reply.slip is None
    assert word in reply.says


@given(st.floats(20, 4000), st.sampled_from(NOTATIONS), st.sampled_from(["mm", "in", "ft-in-8"]))
def test_no_reply_to_a_wrong_length_holds_the_answer(value, notation, units):
    box = Answer("A", "height", "length", value, 1.0, units, hints=("From the base line up.",))
    reply = check(box, write_length(value + 40, notation))
    assert reply.state == NOT_YET
    assert all(write_length(value, one) not in reply.says for one in NOTATIONS)


@pytest.mark.parametrize("value", [92.0, 93.5, 94.0, 96.0])
def test_a_slip_that_could_pass_for_the_answer_is_refused(value):
    with pytest.raises(ValueError, match="'plus ignored' comes out within twice the tolerance"):
        Answer("A", "camber", "length", 94.0, 1.0, "mm", (Slip("plus ignored", value),))
    assert Answer("A", "camber", "length", 94.0, 1.0, "mm", (Slip("plus ignored", 91.9),)).slips


def test_what_nobody_knows_is_refused_in_words():
    with pytest.raises(ValueError, match="'bad luck' is no known slip"):
        Slip("bad luck", 3.0)
    with pytest.raises(ValueError, match="one of length, degrees, number, choice"):
        Answer("A", "camber", "guess", 94.0, 1.0, "mm")
    with pytest.raises(ValueError, match="'leave' of 'D' is not among its choices"):
        Answer("D", "what to do", "choice", "leave", 0, "mm", choices=("plane", "pack"))
    with pytest.raises(KeyError, match="part 1 has no box 'Z': it has A"):
        Exercise(1, "0-10", "Two beams", (), (), (CAMBER,), "").answer("Z")


@pytest.mark.parametrize(("box", "shown", "tolerance"), [
    (CAMBER, "94 mm", "within 1 mm"), (BEVEL, "4.5 degrees", "within 0.5 degrees"),
    (COUNT, "3 strips", "exact"),
    (WAY, "plane", ""),
    (Answer("E", "camber", "length", 93.75, 1.6, "in"), "3 11/16 in", "within 1/16 in"),
])  # fmt: skip
def test_the_key_prints_the_answer_as_the_class_writes_it(box, shown, tolerance):
    assert (box.shown, box.tolerance_shown) == (shown, tolerance)
