"""Lengths, slopes and places as typed: every notation, every doubt, there and back."""

from __future__ import annotations

import math
import pickle
from fractions import Fraction

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from deckgeom.units import (
    MM_PER_INCH,
    NOTATIONS,
    UNITS,
    LengthError,
    echo,
    format_length,
    parse_length,
    parse_offcentre,
    parse_slope,
    write_length,
)

INCH = 25.4


def refused(text, units="mm") -> LengthError:
    """The error that reading a text raises."""
    with pytest.raises(LengthError) as caught:
        parse_length(text, units)
    return caught.value


# --- printed values -------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "inches"),
    [
        ("2-3-4", 27.5),  # feet-inches-eighths, common practice, seen in builders' texts
        ("3-8-4", 44.5),
        ("0-6-2+", 6.3125),  # a plus is one sixteenth more, common practice
        ("1-7-3+", 19.4375),
        ("1-7-4-", 19.4375),  # a minus one sixteenth less: the same length as the line before
        ("10-1-6", 121.75),  # feet times twelve and the rest; one page in print reads it 121.375
    ],
)
def test_feet_inches_eighths_as_printed(text, inches):
    for units in UNITS:
        assert parse_length(text, units) == float(Fraction(inches) * Fraction(127, 5))


def test_a_plus_and_a_minus_meet_at_the_printed_millimetres():
    assert parse_length("0-6-2+") == pytest.approx(160.3375, abs=1e-12)
    assert parse_length("1-7-3+") == parse_length("1-7-4-") == 493.7125


def test_one_page_in_print_misreads_ten_foot_one_and_six_eighths():
    # the printed page took sixteenths for eighths: 121.375 in is 10-1-3
    assert parse_length("10-1-3") == parse_length("121.375 in")
    assert parse_length("10-1-6") - parse_length("10-1-3") == pytest.approx(0.375 * INCH, abs=1e-9)


@pytest.mark.parametrize(("text", "ratio"), [('1/4"/ft', (1, 48)), ('3/8"/ft', (1, 32)), ('1/2"/ft', (1, 24))])
def test_inches_per_foot_are_exact_ratios(text, ratio):
    # derived: a foot is 12 in
    assert parse_slope(text) == ratio[0] / ratio[1] == parse_slope(f"1:{ratio[1]}")


def test_three_eighths_per_foot_in_millimetres_per_metre():
    assert parse_slope("3/8 in per foot") == parse_slope("31.25 mm/m") == 0.03125  # derived: 1000 / 32


def test_an_inch_and_a_half_on_five_feet_is_one_in_forty():
    assert parse_length('1 1/2"') / parse_length("5 ft") == pytest.approx(1 / 40, abs=1e-15)  # derived: 1.5 / 60


def test_the_inch():
    assert MM_PER_INCH == 25.4  # the international inch of 1959, by definition


# --- every notation -------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "text",
    [
        "1-7-4+", "1-7-4 1/2", "1-7-4½", "1-7-4.5", "1 - 7 - 4+", "1–7–4+", "1—7—4 +", "1‑7‑4+", "1-7-5-",
        "1' 7 9/16\"", "1′ 7 9⁄16″", "1’ 7 9/16”", "1'-7 9/16\"", "1'7-9/16\"", "1' 7 9/16", "1'-7-4+", "1'7\"-4+",
        "1 ft 7 9/16 in", "1ft 7 9/16in", "1ft. 7 9/16 in.", "1 foot 7 9/16 inches", "1 FT 7 9/16 IN", "1-7-9/16",
        "1-7 9/16", "19 9/16 in", "19 9/16\"", "19 9/16''", "19-9/16 in", "19 9 / 16 in", "19.5625in", "19,5625 in",
        "19 9/16 inch", "\t19 9/16 in ", "496.8875 mm", "496,8875mm", "49.68875 cm", "0.4968875 m",
        "496.8875 millimetres", "49.68875 centimeters", "+1-7-4+", "1 7/10 ft -0",
    ][:-1],
)  # fmt: skip
@pytest.mark.parametrize("units", UNITS)
def test_two_spellings_of_one_length_are_equal(text, units):
    assert parse_length(text, units) == 496.8875 == parse_length("1-7-4+", units)


@pytest.mark.parametrize(
    ("text", "units", "mm"),
    [
        ("497", "mm", 497), ("19 9/16", "in", 496.8875), ("19 9/16", "ft-in-8", 496.8875), ("19½", "in", 495.3),
        ("19.56in", "mm", 496.824), ("49.7cm", "in", 497), ("49,7 cm", "mm", 497), ("4.2m", "mm", 4200),
        ("4,2 m", "mm", 4200), ("12", "in", 304.8), ("12", "ft-in-8", 304.8), ("5'", "mm", 1524), ("7\"", "mm", 177.8),
        ("5 ft", "mm", 1524), ("4 1/2 ft", "mm", 1371.6), ("4.5 feet", "mm", 1371.6), ("1 m 20 cm", "mm", 1200),
        ("2 m 5 mm", "in", 2005), ("3⅛ in", "mm", 79.375), ("¾\"", "mm", 19.05), ("3⁄8 in", "mm", 9.525),
        ("-1-7-4", "mm", -495.3), ("−497", "mm", -497), ("- 12", "in", -304.8), ("–0-0-1", "mm", -3.175),
        ("0-0-1", "mm", 3.175), ("0", "mm", 0), ("0-0-0", "in", 0), ("-0", "mm", 0), (".5", "mm", 0.5), ("5.", "mm", 5),
        ("4\u00a0m", "mm", 4000), ("1\u202f1/2\u2009in", "mm", 38.1),
        ("1.234,5", "mm", 1234.5), ("1,234.5", "mm", 1234.5), ("12,345.6 mm", "mm", 12345.6), ("0,125", "in", 3.175),
        ("1,234 m", "mm", 1234), ("1234,567", "mm", 1234.567), ("1-7\"", "mm", 482.6), ("０-６-２", "mm", 158.75),
        (497, "mm", 497), (497.5, "mm", 497.5), (19.5625, "in", 496.8875), (12, "ft-in-8", 304.8), (-3, "mm", -3),
        ("1/3 in", "mm", 25.4 / 3), ("½ mm", "mm", 0.5),
    ],
)  # fmt: skip
def test_notations(text, units, mm):
    assert parse_length(text, units) == pytest.approx(mm, rel=1e-15, abs=1e-300)
    assert math.copysign(1, parse_length(text, units)) > 0 or mm < 0


def test_numbers_of_other_libraries_are_read():
    numpy = pytest.importorskip("numpy")
    assert parse_length(numpy.float64(0.1), "in") == parse_length("0.1 in") == parse_length(0.1, "in")
    assert parse_length(numpy.int32(7)) == 7.0


def test_more_digits_than_a_float_are_rounded_once():
    exact = Fraction("12345.678901234567890123") * Fraction(127, 5)
    assert parse_length("12345.678901234567890123 in") == float(exact)


# --- doubt: a question that names each reading ----------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "units", "readings", "says"),
    [
        ("1,234", "mm", [1234, 1.234], "1234 (1234 mm, 48 9/16 in), or 1.234 (1 mm, 1/16 in)?"),
        ("1,234", "in", [31343.6, 31.3436], "Write 1234 or 1.234, with no comma."),
        ("1-7", "ft-in-8", [482.6, 47.625], "1 ft 7 in (1' 7\", 483 mm), or 1 in and 7 eighths (1 7/8\", 48 mm)?"),
        ("1-7", "mm", [482.6, 47.625], "Write 1' 7\" for feet and inches or 0-1-7 for inches and eighths."),
        ("1-9", "mm", [533.4, 39.6875], "1 ft 9 in (533 mm, 21 in), or 1 in and 9 sixteenths (40 mm, 1 9/16 in)?"),
        ("1-7 1/2", "mm", [495.3, 49.2125], "or 1 in and 7 1/2 eighths"),
        ("1-13-2", "mm", [641.35, 387.35], "13 in and 2 eighths (641 mm, 25 1/4 in), or 1-3-2 (387 mm, 15 1/4 in)"),
        ("1-7-9", "mm", [511.175, 496.8875], "9 eighths (511 mm, 20 1/8 in), or 1 ft 7 in and 9 sixteenths (497 mm"),
        ("1-7-25", "mm", [561.975, 488.95], "25 hundredths (489 mm, 19 1/4 in)?"),
        ("19 9/16", "mm", [496.8875, 19.5625], "19 9/16 in (497 mm, 19 9/16 in), or 19 9/16 mm (20 mm, 3/4 in)?"),
        ("9/16", "mm", [14.2875, 0.5625], "The folder is in mm, where fractions are not usual."),
        ("19½", "mm", [495.3, 19.5], "19½ in (495 mm, 19 1/2 in)"),
        ("19-9/16", "ft-in-8", [496.8875, 5805.4875], "Write 19 9/16\" or 19' 9/16\"."),
        ("13/8", "in", [41.275, 34.925], "13/8 in (1 5/8 in, 41 mm), or 1 3/8 in (1 3/8 in, 35 mm)?"),
        ("1' 14\"", "mm", [660.4, 406.4], "1 ft and 14 in (660 mm, 26 in), or 1 ft 4 in (406 mm, 16 in)?"),
        ("1'234", "mm", [6248.4, 1234], "1234 with a thousands mark (1234 mm"),
        ("1m20", "mm", [1200, 1020], "1 m 20 cm (1200 mm, 47 1/4 in), or 1 m 20 mm (1020 mm, 40 3/16 in)?"),
        ("-1-7", "mm", [-482.6, -47.625], "minus 1 ft 7 in (-483 mm, -19 in)"),
        ("12 9/16", "mm", [319.0875, 12.5625], "?"),
    ],
)  # fmt: skip
def test_a_doubtful_text_is_a_question_with_both_readings(text, units, readings, says):
    error = refused(text, units)
    assert [mm for _, mm in error.readings] == pytest.approx(readings, abs=1e-9)
    assert "?" in str(error)
    assert says in str(error)
    for words, _ in error.readings:
        assert words in str(error)


def test_only_the_folder_makes_a_fraction_doubtful():
    assert parse_length("19 9/16", "in") == parse_length("19 9/16 in", "mm")
    assert refused("19 9/16", "mm").readings


def test_a_comma_that_can_be_only_one_thing_is_not_asked_about():
    assert refused("1,234,567").rule == "no length on a boat is over a kilometre"
    assert parse_length("123,456 m") == 123456.0  # as a thousands mark it would be 123 km


# --- not a length ---------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "rule", "slip"),
    [
        ("", "a length is wanted and nothing stands here", ""),
        ("  \u00a0", "a length is wanted and nothing stands here", ""),
        ("abc", "a length holds a number and none stands here", "a note in a column of numbers"),
        ("-", "a length holds a number and none stands here", "a note in a column of numbers"),
        ("12.5-3-2", "feet and inches are whole numbers in feet-inches-eighths", "a decimal point in the wrong place"),
        ("2004-07-01", "not a length", "a spreadsheet has turned feet-inches-eighths into a date"),
        ("1/7/04", "not a length", "a spreadsheet has turned feet-inches-eighths into a date"),
        ("7-Jan", "not a length", "a spreadsheet has turned feet-inches-eighths into a date"),
        ("1.2E+03", "not a length", "a spreadsheet has shortened a long number"),
        ("1O0", "not a length", "a letter o or l for a nought or a one"),
        ("0-0-x", "not a length", "a letter or an unknown unit in a number"),
        ("497 furlongs", "not a length", "a letter or an unknown unit in a number"),
        ("1 234", "not a length", "two numbers in one cell, or a space as a thousands mark"),
        ("497+", "not a length", "the + (a sixteenth more) belongs after eighths only"),
        ("19 9/61 in", "a rule is not divided into parts of 1/61", "a digit too many or too few"),
        ("5/0 in", "a rule is not divided into parts of 1/0", "a digit too many or too few"),
        ("19 17/16 in", "the fraction after a whole number is less than one", "a digit too many above the line"),
        ("19.5 1/2 in", "a fraction follows a whole number", ""),
        ("1.5' 3\"", "feet are a whole number when inches follow", "a decimal point in the wrong place"),
        ("1.7.4", "thousands are marked off in threes", "points or commas used between feet, inches and eighths"),
        ("12,34,5", "thousands are marked off in threes", "points or commas"),
        ("497,", "a comma stands between two digits", "two cells run together"),
        ("1 m 200 cm", "the smaller unit counts less than one of the larger", "a digit too many"),
        ("9" * 40, "no length on a boat is over a kilometre", "a wrong unit"),
        ("9" * 61, "a length is written in at most 60 characters", "a note or a whole row in one cell"),
        ("1001 m", "no length on a boat is over a kilometre", "a wrong unit"),
    ],
)  # fmt: skip
def test_what_is_not_a_length_says_the_rule_and_the_slip(text, rule, slip):
    error = refused(text)
    assert rule in error.rule
    assert slip in error.slip
    assert error.text == text
    assert not error.readings
    assert str(error).startswith(f"'{text[:60]}': ")


@pytest.mark.parametrize("number", [math.nan, math.inf, -math.inf, True, None, 10**400, 1j, b"12", [1]])
def test_numbers_that_are_no_length(number):
    assert refused(number).rule


def test_a_number_of_thousands_of_digits_is_refused_without_writing_it():
    for number in (10**5000, -(10**5000)):
        assert refused(number).text == "a number of more than 40 digits"


def test_units_that_no_folder_has():
    with pytest.raises(ValueError, match="units is 'cm'; a boat folder is kept in one of mm, ft-in-8, in"):
        parse_length("12", "cm")
    with pytest.raises(ValueError, match="notation is 'yards'"):
        write_length(12, "yards")


def test_an_error_can_be_sent_between_processes():
    error = refused("1-7")
    again = pickle.loads(pickle.dumps(error))
    assert (str(again), again.readings) == (str(error), error.readings)


# --- writing --------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("mm", "units", "words"),
    [
        (93.75, "mm", "94 mm"), (93.75, "in", "3 11/16 in"), (93.75, "ft-in-8", '3 11/16"'), (0, "mm", "0 mm"),
        (0, "in", "0 in"), (0, "ft-in-8", '0"'), (-0.2, "mm", "0 mm"), (-0.2, "in", "0 in"), (0.5, "mm", "1 mm"),
        (-0.5, "mm", "-1 mm"), (1.5, "mm", "2 mm"), (2.5, "mm", "3 mm"), (493.7125, "ft-in-8", "1' 7 7/16\""),
        (609.6, "ft-in-8", "2' 0\""), (609.5, "ft-in-8", "2' 0\""), (304.0, "ft-in-8", "11 15/16\""),
        (1233.4875, "ft-in-8", "4' 0 9/16\""), (-495.3, "ft-in-8", "-1' 7 1/2\""), (-12.7, "in", "-1/2 in"),
        (127, "in", "5 in"),
    ],
)  # fmt: skip
def test_tape_language(mm, units, words):
    assert format_length(mm, units) == words


def test_detail_for_a_why_is_finer():
    assert format_length(93.756, fine=True) == "93.76 mm"
    assert format_length(93.75, "in", fine=True) == "3.691 in"
    assert format_length(493.7125, "ft-in-8", fine=True) == "1' 7.438\""


def test_echo_names_the_boats_own_units_first():
    # a round of beam of 94 mm or 3 11/16 in: the example that a builder is to be answered with
    assert echo(93.75) == "94 mm (3 11/16 in)"
    assert echo(93.75, "in") == "3 11/16 in (94 mm)"
    assert echo(493.7125, "ft-in-8") == "1' 7 7/16\" (494 mm)"


@pytest.mark.parametrize("mm", [math.nan, math.inf])
def test_what_is_not_finite_is_not_written(mm):
    with pytest.raises(ValueError, match="only a finite number of millimetres"):
        format_length(mm)


lengths = st.floats(-20_000, 20_000, allow_nan=False)


@given(lengths, st.sampled_from(UNITS))
@example(-0.4, "mm")
@example(304.79, "ft-in-8")
def test_what_is_written_is_read_back_within_half_a_step(mm, units):
    again = parse_length(format_length(mm, units), units)
    assert abs(again - mm) <= (0.5 if units == "mm" else INCH / 32) * (1 + 1e-12)
    assert format_length(again, units) == format_length(mm, units)
    assert "-0 " not in format_length(mm, units)


@given(lengths, st.sampled_from(NOTATIONS), st.sampled_from(UNITS))
def test_every_notation_is_written_and_read(mm, notation, units):
    text = write_length(mm, notation)
    again = parse_length(text, units)
    step = 1.0 if notation in ("mm", "cm", "m") else INCH / 16
    assert abs(again - mm) <= step / 2 + (0.005 * INCH if notation == "decimal in" else 0) + 1e-9
    assert write_length(again, notation) == text


@given(st.integers(0, 100), st.integers(0, 11), st.integers(0, 15), st.sampled_from(["", "-"]))
def test_a_table_entry_is_the_same_in_every_spelling(feet, inches, sixteenths, sign):
    eighths, half = divmod(sixteenths, 2)
    exact = float((1 if not sign else -1) * Fraction(192 * feet + 16 * inches + sixteenths, 16) * Fraction(127, 5))
    below = f"{sign}{feet}-{inches}-{eighths}"
    spellings = [
        below + ("+" if half else ""),
        below + (" 1/2" if half else ""),
        f"{sign}{feet}' {inches} {sixteenths}/16\"",
        f"{sign}{12 * feet + inches} {sixteenths}/16 in",
        f"{sign}{12 * feet + inches + sixteenths / 16} in",
        f"{sign}{feet} ft {inches + sixteenths / 16} in",
    ]
    if half and eighths < 7:
        spellings.append(f"{sign}{feet}-{inches}-{eighths + 1}-")
    for text in spellings:
        assert {parse_length(text, units) for units in UNITS} == {exact}, text


@given(st.decimals(-5000, 5000, places=3))
def test_bare_numbers_are_in_the_folders_units(number):
    text = f"{number:f}"
    assert parse_length(text, "mm") == float(number)
    assert parse_length(text, "in") == parse_length(text, "ft-in-8") == float(Fraction(number) * Fraction(127, 5))
    assert parse_length(text.replace(".", ",") + "0", "mm") == float(number)


notes = st.text(st.sampled_from("0123456789-+/.,'\" \u00bd\u2032\u2033\u2013\u00a0mcftinPS:%°x"), max_size=14)


@given(st.one_of(st.text(max_size=70), notes, st.integers(), st.floats()), st.sampled_from(UNITS))
@example("1,", "mm")
@example("٣", "mm")
@example("1\ud800", "mm")
@example("²", "mm")
def test_any_text_is_a_length_or_a_clear_refusal(text, units):
    for read in (parse_length, parse_offcentre):
        try:
            value = read(text, units)
        except LengthError as error:
            assert error.rule
            assert len(error.readings) != 1
        else:
            assert value in ("port edge", "starboard edge") or math.isfinite(value)
    try:
        assert math.isfinite(parse_slope(text))
    except LengthError as error:
        assert error.rule


@pytest.mark.parametrize(
    ("most", "one_more"),
    [("1-7-7", "1-7-8"), ("1-11-4", "1-12-4"), ("1' 11 15/16\"", "1' 12\""), ("1 7/8 in", "1 8/8 in")],
)
def test_a_part_as_large_as_its_whole_is_asked_about(most, one_more):
    """Eight eighths, twelve inches: the last that goes, and the first that does not."""
    assert parse_length(most, "ft-in-8") > 0
    with pytest.raises(LengthError):
        parse_length(one_more, "ft-in-8")


@pytest.mark.parametrize("sign", ["", "-"])
def test_no_length_is_believed_that_is_over_a_kilometre(sign):
    assert abs(parse_length(f"{sign}1000 m")) == 1e6
    with pytest.raises(LengthError, match="over a kilometre"):
        parse_length(f"{sign}1001 m")
