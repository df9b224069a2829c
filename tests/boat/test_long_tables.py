"""Tables longer than any boat's: quick, and no flood of complaints."""

from __future__ import annotations

import time

import pytest
from hypothesis import given
from hypothesis import strategies as st

from deckgeom.boat import read_boat


def timed(folder, seconds):
    start = time.perf_counter()
    boat = read_boat(folder)
    assert time.perf_counter() - start < seconds
    return boat


@pytest.mark.parametrize(
    ("name", "heading", "row", "most"),
    [
        ("offsets.csv", "station,x,height,half_breadth", "1,900,820,420", 10_000),
        ("beams.csv", "beam,x", "1,900", 5_000),
        ("readings.csv", "beam,side,y,height", "1,port,200,840", 250_000),
    ],
)
def test_a_million_rows_are_one_line(tmp_path, lines, name, heading, row, most):
    (tmp_path / "boat.toml").write_text('units = "mm"\n')
    (tmp_path / name).write_text(heading + "\n" + (row + "\n") * 10**6)
    boat = timed(tmp_path, 3)  # .1 s here; the rest is for a slow machine
    assert lines(boat) == [
        f"{name}: 1000000 rows stand here and at most {most} are believed; the file is left out. Likely slip: a "
        f"scan that "
        "wants thinning, or another table under this name."
    ]


def test_a_scan_of_a_hundred_thousand_readings_is_read(tmp_path):
    (tmp_path / "boat.toml").write_text('units = "mm"\n')
    rows = (f"{i // 1000},{'port' if i % 2 else 'starboard'},{i % 1000},{900 + i % 61 / 10}" for i in range(100_000))
    (tmp_path / "readings.csv").write_text("beam,side,y,height\n" + "\n".join(rows))
    boat = timed(tmp_path, 5)  # .5 s here
    assert boat.complaints == ()
    assert len(boat.readings) == 100_000
    assert (boat.readings[-1].beam, boat.readings[-1].signed_y) == ("99", -999)


def test_a_thousand_bad_cells_are_twenty_lines_and_a_count(tmp_path, lines):
    rows = "".join(f"{i},{i * 10},x{i},400\n" for i in range(1000))
    (tmp_path / "boat.toml").write_text('units = "mm"\n')
    (tmp_path / "offsets.csv").write_text("station,x,height,half_breadth\n" + rows)
    said = lines(read_boat(tmp_path))
    assert len(said) == 22
    assert said[0].startswith("offsets.csv, row 2, column height, 'x0': ")
    assert said[20].startswith("offsets.csv, column height: a curve needs two stations or more, and height has none.")
    assert (
        said[21] == "offsets.csv, column height: 980 more like the one before it in this column, the last in row 1001."
    )


@given(
    st.sampled_from(["boat.toml", "offsets.csv", "beams.csv", "readings.csv", "lines.csv", "fittings.csv"]),
    st.one_of(st.binary(max_size=200), st.text(max_size=200).map(lambda text: text.encode("utf-8", "surrogatepass"))),
    st.booleans(),
)
def test_any_bytes_are_read_or_complained_about(tmp_path_factory, name, content, headed):
    headings = {
        "offsets.csv": b"station,x,height,half_breadth\n", "beams.csv": b"beam,x,face,rake,from,to,fixed\n",
        "readings.csv": b"beam,side,y,height,below,line,round\n", "fittings.csv": b"what,x,y,length,breadth\n",
        "lines.csv": b"line,from,to,height_from,height_to,sag,weight,pull\n", "boat.toml": b"[beams]\nsiding = ",
    }  # fmt: skip
    folder = tmp_path_factory.mktemp("boat")
    (folder / name).write_bytes((headings[name] if headed else b"") + content)
    boat = read_boat(folder)
    assert all(len(str(complaint).splitlines()) == 1 for complaint in boat.complaints)
    assert boat.echo()


cells = st.sampled_from(
    ["", "1", "P 3", "900", "1-7", "1-7-4", "x", '"', "'", "#", "1,2", "\n", ";", "edge", "-5", "½", "\u2212"]
)


@given(st.lists(st.lists(cells, min_size=1, max_size=6), max_size=6))
def test_any_cells_are_read_or_complained_about(tmp_path_factory, rows):
    folder = tmp_path_factory.mktemp("boat")
    body = "\n".join(",".join(row) for row in rows)
    (folder / "offsets.csv").write_text(
        "station,x,height_port,height_starboard,half_breadth\n" + body, encoding="utf-8"
    )
    (folder / "beams.csv").write_text("beam,x,camber,from,to,fixed\n" + body, encoding="utf-8")
    (folder / "readings.csv").write_text("beam,side,y,height,note\n" + body, encoding="utf-8")
    (folder / "lines.csv").write_text("line,from,to,height_from,height_to\n" + body, encoding="utf-8")
    boat = read_boat(folder)
    if boat.offsets is not None:
        for line in boat.offsets.columns:
            assert line.what != "half_breadth" or (line.value >= 0).all()
    assert boat.echo()
