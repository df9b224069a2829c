"""The bench of spiling: moulds and deck edges as offsets from a straight line."""

from __future__ import annotations

from deckgeom.bench.beams import beams_of
from deckgeom.bench.tables import Table
from deckgeom.drawings import Picture
from deckgeom.drawings.spiling import draw_spiled_edges
from deckgeom.job import Job
from deckgeom.units import echo, format_length

__all__ = ["edge_picture", "edge_table", "spile"]


def spile(job: Job, beam: str) -> Table:
    """
    Spile the mould of a beam: offsets from the straight line that joins its ends.

    Parameters
    ----------
    job : Job
        Of :func:`deckgeom.bench.open_boat`.
    beam : str
        Its name.

    Returns
    -------
    Table
        One row a mark, from the port end.

    Examples
    --------
    >>> from deckgeom.bench.example import example_job
    >>> spile(example_job(), "2").rows[0]
    ('0 mm', '0 mm')
    """
    spiled, units = beams_of(job)[beam].spile(), job.boat.units
    rows = [(format_length(float(a), units), format_length(float(o), units))
            for a, o in zip(spiled.along, spiled.offset, strict=True)]  # fmt: skip
    title = f"Mould of beam {beam} from the straight line joining its ends, {echo(spiled.length, units)} long"
    return Table(title, ("along the line, from port", "square off the line"), rows, words=())


def edge_picture(job: Job) -> Picture:
    """
    Draw both deck edges laid flat.

    Parameters
    ----------
    job : Job
        Of :func:`deckgeom.bench.open_boat`.

    Returns
    -------
    Picture
        With the offsets of the port edge.

    Examples
    --------
    >>> from deckgeom.bench.example import example_job
    >>> edge_picture(example_job()).alt[:24]
    'The deck edge laid flat.'
    """
    return draw_spiled_edges(_spiles(job), job.boat.units)


def edge_table(job: Job) -> Table:
    """
    List the offsets of both deck edges laid flat.

    Parameters
    ----------
    job : Job
        Of :func:`deckgeom.bench.open_boat`.

    Returns
    -------
    Table
        Port and starboard side by side.

    Examples
    --------
    >>> from deckgeom.bench.example import example_job
    >>> edge_table(example_job()).rows[0]
    ('0 mm', '0 mm', '0 mm', '0 mm')
    """
    units, edges = job.boat.units, _spiles(job)
    rows = [tuple(format_length(float(v), units) for edge in edges for v in (edge.along[k], edge.offset[k]))
            for k in range(len(edges[0].along))]  # fmt: skip
    heads = [f"{what}, {edge.side}" for edge in edges for what in ("along the line", "offset")]
    said = "; ".join(f"{e.side}: the line is {echo(e.chord, units)}, the edge {echo(e.length, units)}" for e in edges)
    return Table("Deck edge laid flat, from forward", heads, rows, words=(), note=f"{said}.")


def _spiles(job: Job) -> tuple:
    if not job.spiles:
        raise ValueError("The deck edge could not be laid flat: the deck edge and the camber come first.")
    return job.spiles
