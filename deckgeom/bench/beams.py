"""The bench of beams and spiling: moulds, bevels, ends, jigs, and the deck edge laid flat."""

from __future__ import annotations

import numpy as np

from deckgeom.bench.boat import complaints
from deckgeom.bench.controls import Choice, Slider
from deckgeom.bench.panel import Answer, Panel
from deckgeom.bench.tables import Table, Words
from deckgeom.deck.beam import FACES, SIDES, Beam
from deckgeom.deck.beams import BeamSet
from deckgeom.drawings import Picture
from deckgeom.drawings.beam import beam_board, draw_beam
from deckgeom.job import Job
from deckgeom.units import format_length, format_offcentre, parse_length, parse_offcentre

__all__ = [
    "beams_of", "bevels", "complaints", "conventions", "cut_list", "ends", "jig", "mould", "ordinates", "panel", "why",
]  # fmt: skip

STRIDE = {"mm": 10.0, "in": parse_length("1/2in"), "ft-in-8": parse_length("1/2in")}


def conventions(job: Job) -> Words:
    """
    Say what every figure of a beam is taken to.

    Parameters
    ----------
    job : Job
        Of :func:`deckgeom.bench.open_boat`.

    Returns
    -------
    Words
        One line a convention.

    Examples
    --------
    >>> from deckgeom.bench.example import example_job
    >>> conventions(example_job()).lines[0]
    'Heights are up from the base line to the top of the beams.'
    """
    return Words.each(beams_of(job).conventions())


def cut_list(job: Job) -> Table:
    """
    List every beam with what it takes to make it.

    Parameters
    ----------
    job : Job
        Of :func:`deckgeom.bench.open_boat`.

    Returns
    -------
    Table
        One row a beam.

    Examples
    --------
    >>> from deckgeom.bench.example import example_job
    >>> cut_list(example_job()).rows[0][:5]
    ('1', '1400 mm', '44 mm x 60 mm', '1496 mm', '46 mm')
    """
    beams, units = beams_of(job), job.boat.units
    laminated = beams.jig_camber is not None
    rows = [_cut_row(beam, laminated, units) for beam in beams]
    heads = ["beam", "its mark at", "sided x moulded", "longest", "camber", *(["jig camber"] if laminated else []),
             "mould for", "greatest bevel", "high edge", *([] if laminated else ["stock, deep"])]  # fmt: skip
    note = f"Made {'over a jig' if laminated else 'from sawn stock'}. Marks are each beam's {_marks(beams)}."
    side = [k for k, head in enumerate(heads) if head in ("beam", "mould for", "high edge")]
    return Table(f"Beams of {job.boat.name}", heads, rows, words=side, note=note)


def _cut_row(beam: Beam, laminated: bool, units: str) -> tuple[str, ...]:
    table, mark = beam.ordinates, beam.mark
    real = np.flatnonzero(table.on_both)
    k = real[np.argmax(table.bevel_deg[real])] if real.size else None
    bevel = ("", "") if k is None else (f"{table.bevel_deg[k]:.1f}°", table.high_edge[k])
    faces = "changes over" if beam.mould_changes else beam.mould_face
    return (
        beam.name,
        format_length(beam.x, units),
        f"{format_length(mark.siding, units)} x {format_length(mark.moulding, units)}",
        format_length(float(table.y[-1] - table.y[0]), units),
        format_length(beam.camber, units),
        *([format_length(beam.jig_camber, units)] if laminated else []),
        faces,
        *bevel,
        *([] if laminated else [format_length(beam.stock_depth, units)]),
    )


def _marks(beams: BeamSet) -> str:
    said = sorted({mark.mark for mark in beams.marks})
    return said[0] if len(said) == 1 else "own mark, as beams.csv says"


def mould(job: Job, beam: str) -> Picture:
    """
    Draw a beam: both faces, the mould with its drops, and the bevels.

    Parameters
    ----------
    job : Job
        Of :func:`deckgeom.bench.open_boat`.
    beam : str
        Its name.

    Returns
    -------
    Picture
        Seen from aft.

    Examples
    --------
    >>> from deckgeom.bench.example import example_job
    >>> mould(example_job(), "2").alt[:39]
    'Beam 2 seen from aft: camber 53 mm, cro'
    """
    return draw_beam(beams_of(job)[beam], job.boat.units)


def ordinates(job: Job, beam: str) -> Table:
    """
    List the ordinates of a beam: drops below the crown for the mould, heights at both faces.

    Parameters
    ----------
    job : Job
        Of :func:`deckgeom.bench.open_boat`.
    beam : str
        Its name.

    Returns
    -------
    Table
        One row an ordinate, from port to starboard.

    Examples
    --------
    >>> from deckgeom.bench.example import example_job
    >>> ordinates(example_job(), "2").heads[1]
    'mould: drop below the crown'
    """
    one, units = beams_of(job)[beam], job.boat.units
    table = one.ordinates
    rows = [
        (
            format_offcentre(float(table.y[k]), units),
            format_length(float(table.mould_drop[k]), units),
            *(format_length(float(table.height[k, f]), units) if table.on_face[k, f] else "" for f in (0, 1)),
        )
        for k in range(len(table))
    ]
    heads = ("off the centreline", "mould: drop below the crown", "height, forward face", "height, after face")
    note = f"The mould is cut to the higher face at each point: {one.mould_face}. Heights to the top of the beam."
    return Table(f"Ordinates of beam {beam}", heads, rows, note=note)


def bevels(job: Job, beam: str) -> Table:
    """
    List the bevels along the top of a beam.

    Parameters
    ----------
    job : Job
        Of :func:`deckgeom.bench.open_boat`.
    beam : str
        Its name.

    Returns
    -------
    Table
        One row a place where both faces reach.

    Examples
    --------
    >>> from deckgeom.bench.example import example_job
    >>> bevels(example_job(), "2").heads
    ('off the centreline', 'bevel', 'rise over the siding', 'which edge')
    """
    one, units = beams_of(job)[beam], job.boat.units
    table = one.ordinates
    rows = [
        (format_offcentre(float(table.y[k]), units), f"{table.bevel_deg[k]:.1f}°",
         format_length(float(table.rise_over_siding[k]), units), table.high_edge[k])
        for k in np.flatnonzero(table.on_both)
    ]  # fmt: skip
    heads = ("off the centreline", "bevel", "rise over the siding", "which edge")
    note = f"Siding {format_length(one.mark.siding, units)}. Hold the gauge square across the beam, from the high edge."
    return Table(f"Bevels of beam {beam}", heads, rows, words=(0, 3), note=note)


def ends(job: Job, beam: str) -> Table:
    """
    List the lengths and angles of a beam's ends.

    Parameters
    ----------
    job : Job
        Of :func:`deckgeom.bench.open_boat`.
    beam : str
        Its name.

    Returns
    -------
    Table
        One row an end and face.

    Examples
    --------
    >>> from deckgeom.bench.example import example_job
    >>> len(ends(example_job(), "2").rows)
    4
    """
    one, units = beams_of(job)[beam], job.boat.units
    rows = []
    for side in SIDES:
        for face in FACES:
            end = one.end(side, face)
            longer = "square" if abs(end.end_angle_deg) < 0.05 else f"{abs(end.end_angle_deg):.1f}°"
            lengths = (_out(length, side, units) for length in (end.top, end.bottom))
            rows.append((side, face, *lengths, longer, f"{end.cut_deg:.1f}°"))
    heads = ("end", "face", "off the centreline, top", "bottom", "off square in plan", "top to end cut, on the face")
    note = "Ends as they meet the inside of the planking. Leave a little over, and cut to the hull."
    return Table(f"Ends of beam {beam}", heads, rows, words=(0, 1), note=note)


def _out(length: float, side: str, units: str) -> str:
    other = "starboard" if side == "port" else "port"
    return f"{format_length(abs(length), units)} {side if length >= 0 else other}"


def jig(job: Job, beam: str) -> Words:
    """
    Say what camber the jig of a laminated beam has, and why; or what stock and grain a sawn one gives.

    Parameters
    ----------
    job : Job
        Of :func:`deckgeom.bench.open_boat`.
    beam : str
        Its name.

    Returns
    -------
    Words
        With the numbers that it came from.

    Examples
    --------
    >>> from deckgeom.bench.example import example_job
    >>> len(jig(example_job(), "2").lines)
    3
    """
    one, units = beams_of(job)[beam], job.boat.units
    if beams_of(job).jig_camber is not None:
        return Words.of(one.why("jig_camber", units))
    return Words.each(one.why(what, units) for what in ("stock_depth", "grain_slope", "strength_left"))


def why(job: Job, beam: str, *figures: str) -> Table:
    """
    Say where figures of a beam come from.

    Parameters
    ----------
    job : Job
        Of :func:`deckgeom.bench.open_boat`.
    beam : str
        Its name.
    *figures : str
        Which: camber, crown_height, edge_height, bevel, end, and so on; the commonest if none is named.

    Returns
    -------
    Table
        One row a figure.

    Examples
    --------
    >>> from deckgeom.bench.example import example_job
    >>> why(example_job(), "2", "camber").rows[0][0]
    'camber'
    """
    one = beams_of(job)[beam]
    asked = figures or ("x", "half_breadth", "camber", "crown_height", "edge_height", "mould_face", "bevel", "end")
    rows = [(what.replace("_", " "), one.why(what, job.boat.units)) for what in asked]
    return Table(f"Why? Beam {beam}", ("figure", "where it comes from"), rows, words=(0, 1), wrap=(1,))


def panel(job: Job) -> Panel:
    """
    Make the live panel: choose a beam, and read its mould and bevel at any place across it.

    Parameters
    ----------
    job : Job
        Of :func:`deckgeom.bench.open_boat`.

    Returns
    -------
    Panel
        A choice and a slider.

    Examples
    --------
    >>> from deckgeom.bench.example import example_job
    >>> panel(example_job()).set(beam="3", place=0).words.partition(":")[0]
    'Beam 3 on the centreline'
    """
    beams, units = beams_of(job), job.boat.units
    stride, board = STRIDE[units], beam_board()
    reach = stride * np.ceil(max(float(np.max(np.abs(beams.ordinates.y))), stride) / stride)

    def respond(beam: str, place: float) -> Answer:
        one = beams[beam]
        across = float(np.clip(place, one.ordinates.y[0], one.ordinates.y[-1]))
        drawn = draw_beam(one, units, board, across)
        return Answer(drawn, _read(one, across, units), ordinates(job, beam))

    def say(place: float) -> str:
        return format_offcentre(place, units)

    def read(text: str) -> float:
        return float(parse_offcentre(text, units))

    whole = [one.name for one in beams if one.mark.whole] or list(beams.names)
    middle = whole[len(whole) // 2]
    controls = [
        Choice("beam", "Beam", beams.names, middle),
        Slider("place", "Read it at", -reach, reach, stride, 0, say, read),
    ]
    return Panel("Choose a beam", controls, respond)


def _read(beam: Beam, across: float, units: str) -> str:
    here = "on the centreline" if abs(across) < 0.5 else f"at {format_offcentre(across, units)}"
    drop = format_length(float(beam.drop_at([across])[0]), units)
    jig = f", in the jig {format_length(beam.jig_camber, units)}" if beam.jig_camber is not None else ""
    return (
        f"Beam {beam.name} {here}: the mould drops {drop} below its crown. Camber of the beam "
        f"{format_length(beam.camber, units)}{jig}. The mould is for the {beam.mould_face}. {beam.why('bevel', units)}"
    )


def beams_of(job: Job) -> BeamSet:
    """
    Return the beams of a job, or say why there are none.

    Parameters
    ----------
    job : Job
        Of :func:`deckgeom.bench.open_boat`.

    Returns
    -------
    BeamSet
        At least one beam.

    Examples
    --------
    >>> from deckgeom.bench.example import example_job
    >>> len(beams_of(example_job()))
    3
    """
    if job.beams is None or not len(job.beams):
        raise ValueError(
            "There are no beams: beams.csv is not there, or could not be laid out. The complaints say why."
        )
    return job.beams
