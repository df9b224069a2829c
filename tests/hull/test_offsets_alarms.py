"""Every alarm of a whole table: raised by its own slip, silent on a sound boat, and one line each."""

from __future__ import annotations

import time

import numpy as np
import pytest

from deckgeom.complaint import Complaint
from deckgeom.hull.alarms import MOST_ALIKE
from deckgeom.hull.offsets import OffsetTable

X = 600.0 * np.arange(11)
HALF_BREADTH = np.round(900 - 0.00008 * (X - 3200) ** 2)
HEIGHT = np.round(700 + 0.00004 * (X - 3500) ** 2)


def changed(values, index, value):
    values = np.array(values, dtype=float)
    values[index] = value
    return values


def alarms(stations=None, units="mm", **columns):
    rows = {"x": X, "height": HEIGHT, "half_breadth": HALF_BREADTH} | columns
    rows = {name: values for name, values in rows.items() if values is not None}
    found = OffsetTable.from_rows(rows, stations).alarms(1.0, 1.0, units)
    assert all(isinstance(one, Complaint) and one.file == "offsets.csv" and "\n" not in str(one) for one in found)
    return found


def sided(**columns):
    rows = {"half_breadth": None, "half_breadth_port": HALF_BREADTH + 8, "half_breadth_starboard": HALF_BREADTH - 4}
    return alarms(**(rows | columns))


@pytest.mark.parametrize(
    "columns",
    [
        {},
        {"x": X[::-1], "height": HEIGHT[::-1], "half_breadth": HALF_BREADTH[::-1]},
        {"height": np.full(11, 650.0)},
        {"height": HEIGHT - 700},
        {"half_breadth": changed(HALF_BREADTH, 0, 0.0)},
        {"x": X - 300},
        {"height": [*HEIGHT[:5], None, *HEIGHT[6:]]},
    ],
    ids=["plain", "from aft", "flat", "base at the sheer", "nought at the stem", "zero abaft the stem", "a blank"],
)
def test_a_sound_table_raises_nothing(columns):
    assert alarms(**columns) == ()


def test_a_station_named_twice():
    [alarm] = alarms(stations=[*"0123456789", "4"])
    assert (alarm.row, alarm.column, alarm.value, alarm.kind) == (12, "station", "4", "mend")
    assert "station 4 stands in the table twice; the other is in row 6" in alarm.rule


def test_two_stations_at_one_place():
    [alarm] = alarms(x=changed(X, 5, 2400))
    assert (alarm.row, alarm.column, alarm.value) == (7, "x", "2400 mm")
    assert "stations 4 and 5 stand at the same place" in alarm.rule


@pytest.mark.parametrize(("index", "place", "row"), [(4, 240.0, 6), (4, 5700.0, 6), (10, 300.0, 12)])
def test_one_station_out_of_order(index, place, row):
    """Forward of where it belongs, aft of it, and the last one."""
    orders = [one for one in alarms(x=changed(X, index, place)) if "out of order" in one.rule]
    assert [(one.row, one.column) for one in orders] == [(row, "x")]
    assert f"station {index} stands out of order" in orders[0].rule


def test_out_of_order_in_a_table_from_aft():
    x = changed(X[::-1], 3, 100.0)
    orders = [one for one in alarms(x=x, height=None, half_breadth=HALF_BREADTH[::-1]) if "out of order" in one.rule]
    assert [one.row for one in orders] == [5]


def test_a_nought_too_much_in_x():
    [alarm] = alarms(x=changed(X, 10, 60_000))
    assert (alarm.row, alarm.column, alarm.kind) == (12, "x", "ask")
    assert "54600 mm from the one before; the stations mostly are 600 mm apart" in alarm.rule


def test_a_negative_half_breadth():
    [alarm] = alarms(half_breadth=changed(HALF_BREADTH, 4, -HALF_BREADTH[4]))
    assert (alarm.row, alarm.column, alarm.kind) == (6, "half_breadth", "mend")
    assert alarm.value == f"-{HALF_BREADTH[4]:.0f} mm" and alarm.slip == "a stray minus sign"


def test_a_whole_side_negative_is_said_once():
    [alarm] = sided(half_breadth_port=-HALF_BREADTH - 8)[:1]
    assert (alarm.column, alarm.slip) == ("half_breadth_port", "a side was marked by a minus sign")


@pytest.mark.parametrize(
    ("columns", "column", "slip"),
    [
        ({"height": np.round(HEIGHT / 25.4)}, "height", "inches in a table of millimetres"),
        ({"height": np.round(HEIGHT * 25.4)}, "height", "millimetres in a table of inches"),
        ({"height": np.round(HEIGHT / 10)}, "height", "centimetres in a table of millimetres"),
        ({"half_breadth": np.round(HALF_BREADTH / 25.4)}, "half_breadth", "inches in a table of millimetres"),
        ({"half_breadth": np.round(3 * HALF_BREADTH)}, "half_breadth", "whole breadths for half-breadths"),
    ],
)
def test_a_whole_column_in_another_unit(columns, column, slip):
    """Bounds of what boats are like: common practice, no source."""
    [first] = [one for one in alarms(**columns) if one.column == column][:1]
    assert first.kind == "ask" and first.row is None
    assert first.slip.startswith(slip) and "common practice" in first.rule


def test_lengths_are_said_in_the_units_of_the_folder():
    [alarm] = alarms(units="ft-in-8", half_breadth=changed(HALF_BREADTH, 4, -25.4 * 20))
    assert alarm.value == "-1' 8\""


@pytest.mark.parametrize("apart", [12, 24])
def test_sides_changed_at_one_station(apart):
    """Told by its neighbours even where each side alone looks fair."""
    port, starboard = HALF_BREADTH + apart / 2, HALF_BREADTH - apart / 2
    both = {
        "half_breadth_port": changed(port, 5, starboard[5]),
        "half_breadth_starboard": changed(starboard, 5, port[5]),
    }
    [alarm] = sided(**both)
    assert (alarm.row, alarm.column, alarm.kind) == (7, "half_breadth_port", "ask")
    assert f"port is {apart} mm narrower than starboard at station 5" in alarm.rule
    assert f"its neighbours make it {apart} mm wider" in alarm.rule
    assert alarm.slip == "port and starboard changed places at this station"


def test_one_side_out_at_one_station():
    [alarm] = sided(half_breadth_port=changed(HALF_BREADTH + 8, 5, HALF_BREADTH[5] + 33))
    assert alarm.row == 7 and alarm.slip == "a slip on one of the two sides"
    assert "port is 37 mm wider than starboard" in alarm.rule


def test_sides_apart_all_along():
    [alarm] = sided(half_breadth_port=HALF_BREADTH + 120, half_breadth_starboard=HALF_BREADTH - 40)
    assert alarm.row is None and alarm.slip == "the centreline is off the middle"
    assert "port is 160 mm wider than starboard nearly all along" in alarm.rule


@pytest.mark.parametrize("jump", [30.0, -18.0])
def test_a_step(jump):
    [alarm] = alarms(height=np.where(X >= 3600, HEIGHT + jump, HEIGHT))
    assert (alarm.row, alarm.column, alarm.kind) == (8, "height", "ask")
    said = float(alarm.rule.split(" are ")[1].split(" mm")[0])
    assert said == pytest.approx(abs(jump), abs=1.5)
    assert ("higher" if jump > 0 else "lower") in alarm.rule
    assert alarm.slip == "the base line or the tape was moved half way"


def test_every_alarm_at_once():
    found = alarms(
        stations=[*"0123456789", "4"],
        half_breadth=changed(HALF_BREADTH, 4, -5.0),
        height=np.where(X >= 3600, HEIGHT + 30, HEIGHT),
    )
    assert [one.column for one in found] == ["station", "half_breadth", "height"]


def test_a_table_of_readings_is_answered_in_few_lines():
    n = 200_000
    columns = {
        "x": 6.0 * np.arange(n),
        "half_breadth_port": np.where(np.arange(n) % 2, -500.0, 500.0),
        "half_breadth_starboard": np.full(n, 900.0),
    }
    table = OffsetTable.from_rows(columns)
    start = time.perf_counter()
    found = table.alarms(1.0, 1.0)
    assert time.perf_counter() - start < 5
    assert len(found) <= 4 * (MOST_ALIKE + 1)
    assert f"{n // 2 - MOST_ALIKE} more rows like the last one" in [one.rule for one in found]
    assert sum("more than 400 are not searched" in one.rule for one in found) == 2
