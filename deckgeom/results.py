"""
The results of a job as plain files: one CSV a table, in millimetres, each saying what its numbers are taken to.
"""

from __future__ import annotations

import csv
import io
import re
from pathlib import Path

from deckgeom.boat.made import record_made
from deckgeom.complaint import one_line
from deckgeom.deck.beams import COLUMNS as BEAM_COLUMNS
from deckgeom.deck.humps import crown_line
from deckgeom.fairing.work import COLUMNS as FAIRING_COLUMNS
from deckgeom.job import Job
from deckgeom.laying.quantities import deck_area, sheets
from deckgeom.units import echo, format_length

__all__ = ["COLUMNS", "conventions", "summary", "table_rows", "write_results"]

_FORMULA = ("=", "+", "-", "@")
_NUMBER = re.compile(r"[+-]?[0-9.]+")

#: Tables that are written, and their columns in order: other programs may rely on them.
COLUMNS = {
    "beams": BEAM_COLUMNS["beams"],
    "ordinates": BEAM_COLUMNS["ordinates"],
    "bevels": BEAM_COLUMNS["bevels"],
    "ends": BEAM_COLUMNS["ends"],
    "jigs": BEAM_COLUMNS["jigs"],
    "spiling": ("edge", "side", "along", "offset"),
    "fairing": FAIRING_COLUMNS,
    "suspects": ("file", "row", "column", "value", "expected", "reason"),
}

_SAID = {
    "beams": "camber: rise of the beam top at the centreline above the line joining that beam's deck edges. "
    "jig_camber: over the same breadth, spring-back allowed for once",
    "ordinates": "height: of the beam top above the base line. drop_below_crown: in the beam's own plane, from that "
    "face's height on the centreline. mould: the higher of both faces",
    "bevels": "bevel_deg and rise_over_siding: across the siding, with the edge that is high",
    "ends": "top and bottom: centreline to the end of the beam",
    "jigs": "along the straight line joining the ends of the beam, port end first, and up from it to the jig: "
    "spring-back allowed for once",
    "spiling": "edge laid flat: along the straight line joining its ends from forward, offset square to it, outwards",
    "fairing": "measured and fair: true heights, list and trim and sag taken off. uncertainty: standard deviation of "
    "measured minus fair",
    "suspects": "surest first; nothing was changed in your files",
}


def conventions(job: Job) -> tuple[str, ...]:
    """
    What every number of a job is taken to, one short sentence each.

    Parameters
    ----------
    job : Job

    Returns
    -------
    tuple of str

    Examples
    --------
    >>> from pathlib import Path
    >>> from deckgeom.boat import Boat, default_settings
    >>> from deckgeom.job import do_job
    >>> conventions(do_job(Boat(Path("punt"), default_settings())))[0]
    'x aft from the zero of the offsets'
    """
    settings = job.boat.settings
    thick = settings.deck_thickness
    taken = f"{echo(thick, job.boat.units)} of deck taken off square to it" if thick else "no deck thickness stated"
    tops = "as given" if settings.heights_to == "top of beams" else taken
    return (
        "x aft from the zero of the offsets",
        "heights up from the base line",
        f"offsets: heights to {settings.heights_to}, half-breadths to {settings.half_breadths_to}",
        f"heights here are of the beam tops ({tops})",
        "port and starboard looking forward",
    )


def table_rows(job: Job, table: str) -> list[tuple]:
    """
    Rows of one table.

    Parameters
    ----------
    job : Job
    table : str
        A key of `COLUMNS`.

    Returns
    -------
    list of tuple
        Numbers in mm and degrees, y signed with starboard positive; empty where it could not be worked out.

    Examples
    --------
    >>> from pathlib import Path
    >>> from deckgeom.boat import Boat, default_settings
    >>> from deckgeom.job import do_job
    >>> table_rows(do_job(Boat(Path("punt"), default_settings())), "beams")
    []
    """
    if table == "spiling":
        return [row for edge in job.spiles for row in edge.rows()]
    if table == "fairing":
        return job.fairing.rows() if job.fairing else []
    if table == "suspects":
        offsets = [("offsets.csv", s.row, s.column, s.value, s.expected, _because(s)) for s in job.suspects]
        return offsets + (job.fairing.doubtful_rows() if job.fairing else [])
    return job.beams.rows(table) if job.beams else []


def _because(suspect) -> str:
    slip = f" Likely slip: {suspect.slip}." if suspect.slip else ""
    return f"Station {suspect.station}, {suspect.strength}: {suspect.reason}{slip}"


def write_results(job: Job, out: Path) -> list[Path]:
    """
    Write every table as a CSV file, whole or not at all, and a record of what they were made from.

    Parameters
    ----------
    job : Job
    out : Path
        Folder to write into; made if it is not there.

    Returns
    -------
    list of Path
        The files, also those that hold a heading only.

    Examples
    --------
    >>> import tempfile
    >>> from pathlib import Path
    >>> from deckgeom.boat import Boat, default_settings
    >>> from deckgeom.job import do_job
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     [file.name for file in write_results(do_job(Boat(Path("punt"), default_settings())), Path(folder))][:2]
    ['beams.csv', 'ordinates.csv']
    """
    out.mkdir(parents=True, exist_ok=True)
    head = (
        f"# {job.boat.name}. mm and degrees; y off the centreline, starboard positive. {'; '.join(conventions(job))}."
    )
    files = []
    for table, columns in COLUMNS.items():
        text = io.StringIO()
        text.write(f"{one_line(head)}\n# {_SAID[table]}.\n")
        writer = csv.writer(text, lineterminator="\n")
        writer.writerow(columns)
        writer.writerows([_cell(value) for value in row] for row in table_rows(job, table))
        files.append(_write(out / f"{table}.csv", text.getvalue()))
    record_made(job.boat, out, "tables", files)
    return files


def _cell(value):
    if isinstance(value, float):
        return f"{value:.3f}".rstrip("0").rstrip(".") if abs(value) >= 5e-4 else "0"
    if isinstance(value, str) and value[:1] in _FORMULA and not _NUMBER.fullmatch(value):
        return f"'{one_line(value)}"  # a spreadsheet would work it out, or run it
    return "" if value is None else one_line(value) if isinstance(value, str) else value


def _write(path: Path, text: str) -> Path:
    half = path.with_name(path.name + ".part")
    try:
        half.write_text(text, encoding="utf-8")
        half.replace(path)
    finally:
        half.unlink(missing_ok=True)
    return path


def summary(job: Job) -> list[str]:
    """
    The job in words, half a screen of it.

    Parameters
    ----------
    job : Job

    Returns
    -------
    list of str
        One line each.

    Examples
    --------
    >>> from pathlib import Path
    >>> from deckgeom.boat import Boat, default_settings
    >>> from deckgeom.job import do_job
    >>> summary(do_job(Boat(Path("punt"), default_settings())))[0]
    'punt'
    """
    boat, units = job.boat, job.boat.units
    place = f", {boat.settings.place}" if boat.settings.place else ""
    lines = [f"{boat.name or boat.folder.name}{place}"]
    lines += [_suspect_words(job)] if boat.offsets is not None else []
    if job.sheer is not None:
        port, starboard = (echo(job.sheer.true_length(side), units) for side in ("port", "starboard"))
        lines.append(f"Sheer: true length {port} port, {starboard} starboard.")
    if job.deck is not None:
        camber, law = boat.settings.camber, job.deck.law
        lines.append(
            f"Camber: {camber.curve}, {camber.rule}, {camber.figure.words(units, law.widest_half, camber_shape(job))}"
        )
        lines.append(f"Crown line: {crown_line(job.deck).words(units)}")
        area = deck_area(job.deck)
        lines.append(f"{area.words(units)} Plywood: {sheets(area.true, boat.settings.laying.sheet).words()}.")
    if job.beams is not None and len(job.beams):
        lines += _beam_words(job.beams, units)
    if job.move is not None:
        lines.append(" ".join(job.move.words(units)[: 2 if job.move.moved else 1]))
    if job.fairing is not None:
        lines += job.fairing.words(units)
    return lines


def camber_shape(job: Job):
    """
    The curve of a job's beams, as the crown rule holds it.

    Parameters
    ----------
    job : Job
        With a deck.

    Examples
    --------
    >>> from deckgeom.deck.crown import SameProportion
    >>> SameProportion("circle", "1:32").shape
    'circle'
    """
    return job.deck.law.rule.shape


def _suspect_words(job: Job) -> str:
    if not job.suspects:
        return "Offsets: no slip stands out."
    first, units = job.suspects[0], job.boat.units
    more = f", and {len(job.suspects) - 1} more in suspects.csv" if len(job.suspects) > 1 else ""
    aside = f" {len(job.aside)} set aside: not changed, but not pulling the curve." if job.aside else ""
    value, fair = format_length(first.value, units), format_length(first.expected, units)
    return (
        f"Offsets: look first at {first.column.replace('_', ' ')} of station {first.station}: "
        f"{value}, where {fair} would be fair ({first.strength}){more}.{aside}"
    )


def _beam_words(beams, units: str) -> list[str]:
    small, large = (echo(value, units) for value in (beams.camber.min(), beams.camber.max()))
    steepest = int(abs(beams.ordinates.bevel_deg).argmax())
    bevel, edge = abs(beams.ordinates.bevel_deg[steepest]), beams.ordinates.high_edge[steepest]
    name = beams.names[beams.ordinates.beam_index[steepest]]
    jig = f" Jig cambers allow for spring-back once: {beams.spring.source}." if beams.spring else ""
    return [
        f"Beams: {len(beams)}, camber {small} to {large}. Deepest stock {echo(beams.stock_depth.max(), units)}.{jig}",
        f"Steepest bevel: {bevel:.1f} degrees on beam {name}, {edge}.",
    ]
