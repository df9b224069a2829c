"""The same table saved by any program is the same table; what is no table is said in one line."""

from __future__ import annotations

import pytest

TABLE = "station,x,height,half_breadth\nstem,0,900.5,0\nau maître,900,820,420.25\n2,1800,780,640\n3,2700,790,560\n"


@pytest.fixture
def plain(read):
    """The table as it stands in UTF-8."""
    return {"height": [900.5, 820, 780, 790], "half_breadth": [0, 420.25, 640, 560]}


def values(boat):
    return {what: boat.offsets.lines[f"{what}_port"].value.tolist() for what in ("height", "half_breadth")}


def semicolons(text):
    return text.replace(",", ";").replace(".", ",")


@pytest.mark.parametrize(
    "content",
    [
        TABLE.encode("utf-8"),
        b"\xef\xbb\xbf" + TABLE.encode("utf-8"),
        TABLE.replace("\n", "\r\n").encode("utf-8"),
        b"\xef\xbb\xbf" + TABLE.replace("\n", "\r\n").encode("utf-8"),
        TABLE.replace("\n", "\r").encode("utf-8"),
        semicolons(TABLE).encode("utf-8"),
        b"\xef\xbb\xbf" + semicolons(TABLE).replace("\n", "\r\n").encode("utf-8"),
        TABLE.replace(",", "\t").encode("utf-8"),
        TABLE.replace(",", "|").encode("utf-8"),
        TABLE.replace(",", ", ").encode("utf-8"),
        "\n".join(",".join(f'"{cell}"' for cell in row.split(",")) for row in TABLE.split("\n")[:-1]).encode("utf-8"),
        TABLE.rstrip("\n").encode("utf-8"),
        TABLE.replace("\n", ",,\n").encode("utf-8"),
    ],
    ids=[
        "utf-8", "byte order mark", "windows line ends", "both", "old line ends", "semicolons", "semicolons and both",
        "tabs", "bars", "spaces", "all quoted", "no last line end", "empty cells after each row",
    ],
)  # fmt: skip
def test_without_a_word(read, lines, plain, content):
    boat = read(offsets_csv=content)
    assert boat.complaints == ()
    assert values(boat) == plain
    assert boat.offsets.stations[1] == "au maître"
    assert boat.offsets.rows.tolist() == [2, 3, 4, 5]


@pytest.mark.parametrize(
    ("encoding", "note"),
    [
        ("utf-16", "the file is in UTF-16 and is read as such"),
        ("utf-16-be", "the file is in UTF-16 without its mark and is read as such"),
        ("utf-16-le", "the file is in UTF-16 without its mark and is read as such"),
        ("cp1252", "the file is not in UTF-8 and is read as Western European (Windows-1252)"),
    ],
)
def test_with_a_note(read, lines, plain, encoding, note):
    boat = read(offsets_csv=TABLE.encode(encoding))
    assert lines(boat) == []
    assert lines(boat, "note") == [f"offsets.csv: {note}."]
    assert values(boat) == plain
    assert boat.offsets.stations[1] == "au maître"


def test_fractions_and_primes_in_an_older_encoding(read, lines):
    boat = read(offsets_csv="station,x,height,half_breadth\n1,1 m,19½ in,8¼ in\n2,2 m,20¾ in,9 in\n".encode("cp1252"))
    assert lines(boat) == []
    assert values(boat) == {"height": [495.3, 527.05], "half_breadth": [209.55, 228.6]}


@pytest.mark.parametrize(
    ("content", "rule", "slip"),
    [
        (
            b"PK\x03\x04" + bytes(200),
            "the file is plain text",
            "a spreadsheet saved in its own format, not as CSV",
        ),
        (
            b"\xd0\xcf\x11\xe0" + bytes(99),
            "the file is plain text",
            "a spreadsheet saved in its own format, not as CSV",
        ),
        (bytes(5000), "the file is plain text", "a picture, a scan or a program's own format"),
        (b"\xff\xfe\x00", "the file is plain text", "a picture, a scan or a program's own format"),
        (
            b"\x89PNG\r\n\x1a\n\x00\x00\x00\rIHDR",
            "the file is plain text",
            "a picture, a scan or a program's own format",
        ),
    ],
    ids=["workbook", "old workbook", "nothing but noughts", "half a character", "picture"],
)
def test_what_is_no_text(read, lines, content, rule, slip):
    boat = read(offsets_csv=content)
    assert lines(boat) == [f"offsets.csv: {rule}. Likely slip: {slip}."]
    assert boat.offsets is None
    assert len(boat.beams) == 3


def test_a_decimal_comma_that_may_be_a_thousands_mark_is_asked_about(read, lines):
    boat = read(offsets_csv="station;x;height;half_breadth\n1;900,5;1,234;420\n2;1800,5;780,5;640\n3;2700;790;560\n")
    assert lines(boat) == [
        "offsets.csv, row 2, column height, '1,234': is it 1234 (1234 mm, 48 9/16 in), or 1.234 (1 mm, 1/16 in)? "
        "Write 1234 or 1.234, with no comma."
    ]
    assert boat.offsets.x.tolist() == [900.5, 1800.5, 2700]
    assert values(boat)["height"] == [780.5, 790]


def test_decimal_commas_between_commas(read, lines):
    boat = read(offsets_csv="station,x,height,half_breadth\n1,900,5,820,420\n2,1800,780,640\n3,2700,790,560\n")
    assert len(lines(boat)) == 1
    assert "Likely slip: a decimal comma in a comma-separated table" in lines(boat)[0]
    assert values(boat)["height"] == [780, 790]


def test_boat_toml_saved_by_another_program(read, lines):
    text = 'name = "Whimbrel"\r\nunits = "in"\r\n\r\n[beams]\r\nsiding = "1½"\r\n'
    boat = read(boat_toml=b"\xef\xbb\xbf" + text.encode("utf-8"))
    assert (lines(boat), boat.units, boat.settings.beams.siding) == ([], "in", 38.1)


def test_boat_toml_in_utf_16(read, lines):
    boat = read(boat_toml='units = "in"\n'.encode("utf-16"))
    assert lines(boat) == []
    assert boat.units == "in"
