"""Slopes and places off the centreline as typed."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from deckgeom.units import (
    UNITS,
    LengthError,
    echo_slope,
    format_offcentre,
    format_slope,
    parse_offcentre,
    parse_slope,
)

INCH = 25.4

lengths = st.floats(-20_000, 20_000, allow_nan=False)


def refused(text, read) -> LengthError:
    """The error that reading a text raises."""
    with pytest.raises(LengthError) as caught:
        read(text)
    return caught.value


@pytest.mark.parametrize(
    "text",
    [
        '3/8"/ft', '3/8″/ft', "3/8 in/ft", "3/8 in per ft", "3/8 per foot", "3/8 inch to the foot", "3/8 in. per ft.",
        "3/8 in in 1 ft", "0.375 in per foot", "0,375 in a foot", "1:32", "1 : 32", "1/32", "1 in 32", "31.25 mm/m",
        "31,25 mm per metre", "31.25 mm a metre", "3.125 cm/m", "3.125%", "3.125 per cent", "1/32 in/in",
    ],
)  # fmt: skip
def test_slopes(text):
    assert parse_slope(text) == pytest.approx(1 / 32, rel=1e-15)
    assert parse_slope("-" + text) == pytest.approx(-1 / 32, rel=1e-15)


@pytest.mark.parametrize(
    ("text", "says", "readings"),
    [
        ("0.375", "0.375 in in a foot (31 mm/m)", [0.000375, 0.03125, 0.375]),
        ("31", "31 mm in a metre (31 mm/m), or 31 in in a foot", [0.031, 31 / 12, 31]),
        (0.03, "0.03 up on 1 along (30 mm/m)", [0.00003, 0.0025, 0.03]),
        ("32:1", "32 up on 1 along (32000 mm/m), or 1 up on 32 along (31 mm/m)?", [32, 1 / 32]),
        ("steep", "this is not a slope in any known form", []),
        ("1:0", "a slope rises over a length, and that is nought", []),
        ("1-7/ft", "the rise '1-7' is not clear", []),
        ("1,234 mm/m", "a comma may be a decimal or a thousands mark", []),
        (True, "not a slope", []),
    ],
)
def test_a_slope_that_is_not_clear(text, says, readings):
    error = refused(text, parse_slope)
    assert says in str(error)
    assert [value for _, value in error.readings] == pytest.approx(readings)


def test_slopes_in_words():
    assert format_slope(1 / 32) == "31 mm/m"
    assert format_slope(1 / 32, "ft-in-8") == '3/8"/ft'
    assert echo_slope(1 / 48, "in") == '1/4"/ft (21 mm/m, 1:48)'
    assert echo_slope(0) == '0 mm/m (0"/ft, no rise)'
    assert echo_slope(-1 / 40).endswith("falling 1:40)")


@given(st.floats(-0.5, 0.5), st.sampled_from(UNITS))
def test_slopes_there_and_back(slope, units):
    again = parse_slope(format_slope(slope, units))
    assert abs(again - slope) <= (0.0005 if units == "mm" else 1 / 384) + 1e-12


@pytest.mark.parametrize(
    ("text", "units", "y"),
    [
        ("P 1-2-0", "mm", -355.6), ("1-2-0 P", "mm", -355.6), ("300 S", "mm", 300), ("300s", "mm", 300),
        ("p300", "mm", -300), ("port 12", "in", -304.8), ("12 in starboard", "mm", 304.8), ("300 stbd", "mm", 300),
        ("Starboard: 300", "mm", 300), ("0", "mm", 0), ("0-0-0", "in", 0), ("P 0", "mm", 0), ("centre", "mm", 0),
        ("CL", "mm", 0), ("port edge", "mm", "port edge"), ("edge, starboard", "mm", "starboard edge"),
        ("P edge", "mm", "port edge"), ("starboard deck edge", "mm", "starboard edge"), (0, "mm", 0),
    ],
)  # fmt: skip
def test_places(text, units, y):
    assert parse_offcentre(text, units) == y


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("300", "is it port (300 mm, 11 13/16 in), or starboard (300 mm, 11 13/16 in)? Write P or S with it: P 300."),
        ("-300", "Write P or S with it: P 300."),
        (300, "Write P or S with it: P 300."),
        ("-300 S", "a place with a side has no minus. Likely slip: the side named twice, by word and by sign."),
        (
            "port",
            "'port': a side alone is not a place. Likely slip: the number left out. Write port 300, or port edge.",
        ),
        ("P 1-7", "1 in and 7 eighths"),
        ("P S 30", "not a length"),
    ],
)
def test_places_that_are_not_clear(text, says):
    assert says in str(refused(text, parse_offcentre))


def test_the_side_asked_about_keeps_its_sign():
    assert refused("300", parse_offcentre).readings == (("port", -300.0), ("starboard", 300.0))


@given(lengths, st.sampled_from(UNITS))
def test_places_there_and_back(y, units):
    again = parse_offcentre(format_offcentre(y, units), units)
    assert abs(again - y) <= (0.5 if units == "mm" else INCH / 32) * (1 + 1e-12)
    words = format_offcentre(y, units)
    assert "-" not in words
    assert words.endswith("port" if again < 0 else "starboard" if again > 0 else "centreline")


def test_as_much_up_as_along_is_no_question():
    assert parse_slope("1:1") == 1.0
