"""The bench of the sheer: offsets, suspects, the fair deck edge, and how far it passes from each offset."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from deckgeom.bench.boat import complaints
from deckgeom.bench.controls import STRIDE, Choice, Slider
from deckgeom.bench.panel import Answer, Panel
from deckgeom.bench.tables import Table, Words
from deckgeom.drawings import Picture
from deckgeom.drawings.sheer import draw_distances, draw_sheer, sheer_board
from deckgeom.drawings.words import gap_words
from deckgeom.hull.sheer import Sheer
from deckgeom.job import Job
from deckgeom.units import echo, format_length, parse_length

__all__ = [
    "along", "complaints", "distances", "distances_table", "lengths", "offsets", "panel", "picture", "suspects",
]  # fmt: skip

SIDES = ("port", "starboard")
KEPT = {"set aside those beyond doubt": "beyond doubt", "keep every offset": "none"}


def offsets(job: Job) -> Table:
    """
    Show the table of offsets as it was understood.

    Parameters
    ----------
    job : Job
        Of :func:`deckgeom.bench.open_boat`.

    Returns
    -------
    Table
        One row a station, port and starboard side by side.

    Examples
    --------
    >>> from deckgeom.bench.example import example_job
    >>> offsets(example_job()).rows[1]
    ('1', '1500 mm', '640 mm', '640 mm', '760 mm', '760 mm')
    """
    units, table = job.boat.units, _table(job)
    keys = [f"{what}_{side}" for what in ("height", "half_breadth") for side in SIDES]
    values = {key: dict(zip(table.lines[key].stations, table.lines[key].value, strict=True))
              for key in keys if key in table.lines}  # fmt: skip
    rows = [
        (station, format_length(x, units), *(_length(values.get(key, {}).get(station), units) for key in keys))
        for station, x in zip(table.stations, table.x, strict=True)
    ]
    settings = job.boat.settings
    note = f"Heights to the {settings.heights_to}, half-breadths to the {settings.half_breadths_to}."
    heads = (
        "station",
        "aft of zero",
        "height, port",
        "height, starboard",
        "half-breadth, port",
        "half-breadth, starboard",
    )
    return Table(f"Offsets of {job.boat.name}", heads, rows, note=note)


def suspects(job: Job) -> Table | Words:
    """
    List the offsets that are probably wrong, the surest first.

    Parameters
    ----------
    job : Job
        Of :func:`deckgeom.bench.open_boat`.

    Returns
    -------
    Table or Words
        One row a suspect; words where there is none.

    Examples
    --------
    >>> from deckgeom.bench.example import example_job
    >>> suspects(example_job())
    No offset stands out as a slip.
    """
    if not job.suspects:
        return Words.of("No offset stands out as a slip.")
    units = job.boat.units
    rows = [
        (one.station, _column(one.column), one.row, format_length(one.value, units), format_length(one.expected, units),
         one.strength, one.slip, one.reason)
        for one in job.suspects
    ]  # fmt: skip
    heads = ("station", "column", "row", "as written", "would be fair", "how sure", "likely slip", "why")
    return Table("Look at these offsets again", heads, rows, words=(0, 1, 5, 6, 7), wrap=(7,))


def picture(job: Job) -> Picture:
    """
    Draw the fair deck edge in profile and in plan with its offsets.

    Parameters
    ----------
    job : Job
        Of :func:`deckgeom.bench.open_boat`.

    Returns
    -------
    Picture
        Suspects are ringed.

    Examples
    --------
    >>> from deckgeom.bench.example import example_job
    >>> picture(example_job()).alt[:45]
    'The deck edge in profile and in plan, from 0 '
    """
    return draw_sheer(_sheer(job), job.suspects, job.boat.units)


def distances(job: Job) -> Picture:
    """
    Draw how far each offset lies from the fair deck edge.

    Parameters
    ----------
    job : Job
        Of :func:`deckgeom.bench.open_boat`.

    Returns
    -------
    Picture
        Drawn large enough to see.

    Examples
    --------
    >>> from deckgeom.bench.example import example_job
    >>> distances(example_job()).alt[:40]
    'How far each offset lies from the fair d'
    """
    return draw_distances(_sheer(job), job.boat.settings.offsets.accuracy, job.boat.units)


def distances_table(job: Job) -> Table:
    """
    List how far each offset lies from the fair deck edge.

    Parameters
    ----------
    job : Job
        Of :func:`deckgeom.bench.open_boat`.

    Returns
    -------
    Table
        One row a station.

    Examples
    --------
    >>> from deckgeom.bench.example import example_job
    >>> distances_table(example_job()).rows[0][:2]
    ('stem', '720 mm (1 mm above)')
    """
    return _distances_table(_sheer(job), job.boat.units)


def _distances_table(sheer: Sheer, units: str) -> Table:
    cells: dict[str, dict[str, str]] = {}
    columns, strong = [], []
    for row in sheer.distances():
        if row.column not in columns:
            columns.append(row.column)
        aside = ", set aside" if row.set_aside else ""
        station = cells.setdefault(row.station, {})
        station[row.column] = f"{format_length(row.curve, units)} ({_lies(row, units)}{aside})"
        if aside and row.station not in strong:
            strong.append(row.station)
    rows = [(station, *(of.get(column, "") for column in columns)) for station, of in cells.items()]
    bold = [k for k, station in enumerate(cells) if station in strong]
    heads = ("station", *(_column(column) for column in columns))
    note = "In brackets: how the offset as written lies to the curve."
    return Table("The fair curve at each offset", heads, rows, words=range(len(heads)), strong=bold, note=note)


def _lies(row: Any, units: str) -> str:
    if abs(row.distance) < 0.05:
        return "on it"
    way = ("outside", "inside") if row.column.startswith("half") else ("above", "below")
    return f"{gap_words(row.distance, units)} {way[row.distance > 0]}"


def lengths(job: Job) -> Table:
    """
    Give the true length of the deck edge, as a tape bent along it reads.

    Parameters
    ----------
    job : Job
        Of :func:`deckgeom.bench.open_boat`.

    Returns
    -------
    Table
        One row a side.

    Examples
    --------
    >>> from deckgeom.bench.example import example_job
    >>> lengths(example_job()).rows[0]
    ('port', '4631 mm (182 5/16 in)', '4628 mm (182 3/16 in)')
    """
    sheer, units = _sheer(job), job.boat.units
    rows = [(side, echo(sheer.true_length(side), units), echo(sheer.plan_length(side), units)) for side in SIDES]
    heads = ("side", "true length, bent along the edge", "length in plan, seen from above")
    return Table("Length of the deck edge", heads, rows)


def along(job: Job, places: Sequence[str | float]) -> Table:
    """
    Give height and half-breadth of the fair deck edge at chosen places.

    Parameters
    ----------
    job : Job
        Of :func:`deckgeom.bench.open_boat`.
    places : sequence of str or float
        Along the boat, in any notation; a bare number is in the folder's units.

    Returns
    -------
    Table
        One row a place.

    Examples
    --------
    >>> from deckgeom.bench.example import example_job
    >>> along(example_job(), [1500]).rows
    (('1500 mm', '641 mm', '641 mm', '760 mm', '760 mm'),)
    """
    sheer, units = _sheer(job), job.boat.units
    lengths = [parse_length(place, units) for place in places]
    for place, x in zip(places, lengths, strict=True):
        if not sheer.start <= x <= sheer.end:
            reach = f"from {format_length(sheer.start, units)} to {format_length(sheer.end, units)}"
            raise ValueError(f"{place}: that is {echo(x, units)}, and the deck edge runs {reach}. Is the unit wanting?")
    rows = [(format_length(x, units), *_at(sheer, x, units)) for x in lengths]
    heads = ("aft of zero", "height, port", "height, starboard", "half-breadth, port", "half-breadth, starboard")
    return Table("The fair deck edge", heads, rows)


def panel(job: Job) -> Panel:
    """
    Make the live panel: how near the curve keeps to the offsets, and a place to read it at.

    Parameters
    ----------
    job : Job
        Of :func:`deckgeom.bench.open_boat`.

    Returns
    -------
    Panel
        Two sliders and a choice.

    Examples
    --------
    >>> from deckgeom.bench.example import example_job
    >>> panel(example_job()).set(place=1500).words.partition(". ")[0]
    'At 1500 mm aft: height 641 mm port, 641 mm starboard; half-breadth 760 mm port, 760 mm starboard'
    """
    sheer, units, own = _sheer(job), job.boat.units, job.boat.settings.offsets
    step = _step(own.accuracy, own.rounding)
    stride = STRIDE[units]
    middle = sheer.start + stride * round((sheer.end - sheer.start) / stride / 2)
    board = sheer_board()

    def respond(accuracy: float, set_aside: str, place: float) -> Answer:
        aside = job.suspects if KEPT[set_aside] == "beyond doubt" else ()
        aside = [one for one in aside if one.strength == "beyond doubt"]
        fair = Sheer.from_offsets(_table(job), accuracy, aside)
        drawn = draw_sheer(fair, job.suspects, units, board, place)
        return Answer(drawn, _read(fair, place, units), _distances_table(fair, units))

    def say(length: float) -> str:
        return format_length(length, units)

    def read(text: str) -> float:
        return parse_length(text, units)

    kept = list(KEPT)[0 if own.set_aside == "beyond doubt" else 1]
    controls = [
        Slider("accuracy", "The curve keeps within", 0.0, 8 * step, step, own.accuracy, say, read),
        Slider("place", "Read the deck edge at", sheer.start, sheer.end, stride, middle, say, read),
        Choice("set_aside", "Offsets that are plainly slips", list(KEPT), kept),
    ]
    return Panel("Fair the deck edge", controls, respond)


def _read(sheer: Sheer, place: float, units: str) -> str:
    port_z, starboard_z, port_b, starboard_b = _at(sheer, place, units)
    kept = [row for row in sheer.distances() if not row.set_aside]
    worst = max(kept, key=lambda row: abs(row.distance))
    where = f"{_column(worst.column)} at station {worst.station}"
    return (
        f"At {format_length(place, units)} aft: height {port_z} port, {starboard_z} starboard; half-breadth {port_b} "
        f"port, {starboard_b} starboard. The curve passes furthest from the offset {where}: "
        f"{gap_words(worst.distance, units)}."
    )


def _at(sheer: Sheer, place: float, units: str) -> tuple[str, ...]:
    values = [ask(side, place) for ask in (sheer.height, sheer.half_breadth) for side in SIDES]
    return tuple(format_length(float(value), units) for value in values)


def _step(accuracy: float, rounding: float) -> float:
    return accuracy / 2 if accuracy else max(rounding / 2, 0.5)


def _table(job: Job) -> Any:
    if job.boat.offsets is None:
        raise ValueError("There are no offsets to show: offsets.csv is not there, or holds no table that can be used.")
    return job.boat.offsets


def _sheer(job: Job) -> Sheer:
    if job.sheer is None:
        raise ValueError("The deck edge could not be faired. The table of what wants mending, above, says why.")
    return job.sheer


def _column(name: str) -> str:
    what, _, side = name.rpartition("_")
    return f"{what.replace('_', '-')}, {side}" if side in SIDES else name.replace("_", "-")


def _length(value: float | None, units: str) -> str:
    return "" if value is None else format_length(float(value), units)
