"""
The table of offsets: heights and half-breadths of the deck edge by station, port and starboard apart.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from deckgeom.hull.differences import divided_differences, rounding_bound

__all__ = ["SIDES", "OffsetLine", "OffsetTable", "divided_differences", "rounding_bound"]

SIDES = ("port", "starboard")
"""Keys of the two sides, in the order in which they are shown."""

WHATS = ("height", "half_breadth")
"""What an offset may be: up from the base line, or out from the centreline."""


@dataclass(frozen=True, eq=False)
class OffsetLine:
    """
    One column of the table without its blanks, from forward to aft.

    Parameters
    ----------
    name : str
        Name of the column in the file: "half_breadth", or "half_breadth_port" where the sides differ.
    stations : tuple of str, length n
        Names of the stations that have a value.
    x : array_like, shape (n,)
        Where they stand, not falling. [mm]
    value : array_like, shape (n,)
        Height or half-breadth. [mm]
    rows : array_like of int, shape (n,)
        Line of the file that each came from, from 1. [-]

    Examples
    --------
    >>> line = OffsetLine("height", ("1", "2"), [0, 900], [610, 540], [2, 3])
    >>> line.of("2"), len(line)
    (540.0, 2)
    """

    name: str
    stations: tuple[str, ...]
    x: np.ndarray
    value: np.ndarray
    rows: np.ndarray

    def __post_init__(self):
        object.__setattr__(self, "stations", tuple(str(station) for station in self.stations))
        for name, kind in (("x", float), ("value", float), ("rows", int)):
            _close(self, name, np.array(getattr(self, name), dtype=kind))
        sizes = {len(self.stations), self.x.size, self.value.size, self.rows.size}
        if len(sizes) > 1:
            raise ValueError(f"column {self.name}: {sizes} stations, places, values and rows; there is one of each.")

    def __len__(self) -> int:
        return self.x.size

    @property
    def what(self) -> str:
        """
        "height" or "half_breadth".

        Examples
        --------
        >>> OffsetLine("height_port", (), [], [], []).what
        'height'
        """
        return next((what for what in WHATS if self.name.startswith(what)), self.name)

    def of(self, station: str) -> float:
        """
        Value at a station. [mm]

        Examples
        --------
        >>> OffsetLine("height", ("1",), [0], [610], [2]).of("1")
        610.0
        """
        if str(station) not in self.stations:
            raise KeyError(f"station {station} has no {self.name}; there are {', '.join(self.stations[:20])}")
        return float(self.value[self.stations.index(str(station))])


@dataclass(frozen=True, eq=False)
class OffsetTable:
    """
    A boat's offsets, stations from forward to aft.

    Parameters
    ----------
    stations : tuple of str, length n
        Names of the stations.
    x : array_like, shape (n,)
        Where they stand, not falling. [mm]
    lines : dict of str to OffsetLine
        Keys height_port, height_starboard, half_breadth_port, half_breadth_starboard, as far as there are values;
        both sides hold the very same line where the file has one column for both.
    rows : array_like of int, shape (n,)
        Line of the file of each station, from 1. [-]

    Examples
    --------
    >>> table = OffsetTable.from_rows(
    ...     {"x": [0, 900, 1800], "height": [610, 540, 520], "half_breadth": [0, 410, None]}, ["stem", "1", "2"])
    >>> table.lines["half_breadth_port"].value.tolist(), table.symmetric
    ([0.0, 410.0], True)
    """

    stations: tuple[str, ...]
    x: np.ndarray
    lines: dict[str, OffsetLine]
    rows: np.ndarray

    def __post_init__(self):
        object.__setattr__(self, "stations", tuple(str(station) for station in self.stations))
        object.__setattr__(self, "lines", dict(self.lines))
        _close(self, "x", np.array(self.x, dtype=float))
        _close(self, "rows", np.array(self.rows, dtype=int))

    @classmethod
    def from_rows(cls, columns, stations=None, rows=None) -> OffsetTable:
        """
        Take the columns of a file as they stand, blanks as None or NaN.

        Parameters
        ----------
        columns : dict of str to sequence of float or None
            "x" and any of "height", "half_breadth" (both sides) or the same with "_port" and "_starboard"; all of
            one length. [mm] A row without x is left out; where only one side has values the other takes them over.
        stations : sequence of str, optional
            Names of the stations, in the order of the file; counted from 0 where there are none.
        rows : sequence of int, optional
            Line of the file of each row; counted from 2 (under a heading) where they are not given.

        Returns
        -------
        OffsetTable
            Stations sorted from forward to aft; `rows` still tells the order of the file.

        Examples
        --------
        >>> table = OffsetTable.from_rows({"x": [900, 0], "height_port": [540, 610]}, ["1", "stem"])
        >>> table.stations, table.rows.tolist(), sorted(table.lines)
        (('stem', '1'), [3, 2], ['height_port', 'height_starboard'])
        """
        columns = dict(columns)
        if "x" not in columns:
            raise ValueError(f"no column x among {', '.join(columns) or 'none'}: where do the stations stand?")
        place = _numbers(columns.pop("x"))
        stations = [str(k) for k in range(place.size)] if stations is None else [str(name) for name in stations]
        rows = np.arange(2, place.size + 2) if rows is None else np.asarray(rows, dtype=int)
        order = np.argsort(place, kind="stable")
        order = order[np.isfinite(place[order])]
        stations = [stations[k] for k in order]
        lines = {}
        for name, values in columns.items():
            values = _numbers(values)
            if values.size != place.size:
                raise ValueError(f"column {name} has {values.size} rows and column x has {place.size}.")
            values = values[order]
            there = np.flatnonzero(np.isfinite(values))
            if there.size:
                lines[name] = OffsetLine(
                    name, [stations[k] for k in there], place[order][there], values[there], rows[order][there]
                )
        return cls(tuple(stations), place[order], _by_side(lines), rows[order])

    @property
    def symmetric(self) -> bool:
        """
        Whether both sides are the same line.

        Examples
        --------
        >>> OffsetTable.from_rows({"x": [0, 1], "height": [5, 6]}).symmetric
        True
        """
        return all(self._line(what, "port") is self._line(what, "starboard") for what in WHATS)

    @property
    def columns(self) -> tuple[OffsetLine, ...]:
        """
        The lines, each once, heights first and port before starboard.

        Examples
        --------
        >>> [line.name for line in OffsetTable.from_rows({"x": [0, 1], "height": [5, 6]}).columns]
        ['height']
        """
        found = []
        for what in WHATS:
            for side in SIDES:
                line = self._line(what, side)
                if line is not None and not any(line is other for other in found):
                    found.append(line)
        return tuple(found)

    def _line(self, what, side):
        return self.lines.get(f"{what}_{side}")

    def alarms(self, accuracy=0.0, quantum=0.0, units="mm"):
        """
        What cannot be right in the table as a whole: order, repeats, sides, units, steps.

        Parameters
        ----------
        accuracy : float, optional
            How far an honest offset may be off. [mm]
        quantum : float, optional
            What the table is rounded to. [mm]
        units : str, optional
            For the words only: "mm", "ft-in-8" or "in".

        Returns
        -------
        tuple of Complaint
            See `deckgeom.hull.alarms.alarms`; single wrong values are the part of `find_suspects`.

        Examples
        --------
        >>> table = OffsetTable.from_rows({"x": [0, 900, 900], "height": [610, 540, 520]}, ["1", "2", "2"])
        >>> [complaint.row for complaint in table.alarms()]
        [4]
        """
        from deckgeom.hull.alarms import alarms

        return alarms(self, accuracy, quantum, units)

    def swapped(self) -> OffsetTable:
        """
        The same boat seen in a mirror: port values to starboard and the other way.

        Examples
        --------
        >>> table = OffsetTable.from_rows({"x": [0, 1], "height_port": [5, 6], "height_starboard": [7, 8]})
        >>> table.swapped().lines["height_port"].value.tolist()
        [7.0, 8.0]
        """
        lines = {}
        for what in WHATS:
            for side, other in (SIDES, SIDES[::-1]):
                line = self._line(what, other)
                if line is not None:
                    name = line.name if line.name == what else swap_side(line.name)
                    lines[f"{what}_{side}"] = OffsetLine(name, line.stations, line.x, line.value, line.rows)
            if self._line(what, "port") is self._line(what, "starboard") and f"{what}_port" in lines:
                lines[f"{what}_port"] = lines[f"{what}_starboard"]
        return OffsetTable(self.stations, self.x, lines, self.rows)


def swap_side(name: str) -> str:
    """
    The name of the same column on the other side; a name without a side stays.

    Examples
    --------
    >>> swap_side("height_port"), swap_side("height")
    ('height_starboard', 'height')
    """
    if name.endswith("_port"):
        return name.removesuffix("_port") + "_starboard"
    if name.endswith("_starboard"):
        return name.removesuffix("_starboard") + "_port"
    return name


def _numbers(values):
    return np.array([np.nan if value is None else value for value in values], dtype=float)


def _close(record, name, array):
    array.flags.writeable = False
    object.__setattr__(record, name, array)


def _by_side(named):
    """Lines under their four keys; a column for both sides, or the only side there is, serves both."""
    lines = {}
    for what in WHATS:
        both = named.pop(what, None)
        port, starboard = (named.pop(f"{what}_{side}", None) for side in SIDES)
        if both is not None and (port is not None or starboard is not None):
            raise ValueError(f"columns {what} and {what}_port or {what}_starboard together: which one holds?")
        port, starboard = port or both or starboard, starboard or both or port
        if port is not None:
            lines[f"{what}_port"], lines[f"{what}_starboard"] = port, starboard
    if named:
        raise ValueError(f"unknown column {next(iter(named))}; it is height or half_breadth, plain or with a side.")
    return lines
