"""The bench of the plank: a plank or a batten on the beam tops as measured and as planned."""

from __future__ import annotations

import numpy as np

from deckgeom.bench.asked import fairing_of
from deckgeom.bench.batten import DENSITY, LINES, MODULUS_MPA
from deckgeom.bench.tables import Table, Words
from deckgeom.drawings import Picture
from deckgeom.drawings.plank import LEAST_FORCE, draw_plank, lies_words
from deckgeom.drawings.words import gap_words
from deckgeom.fairing.forces import force_words, parse_force
from deckgeom.fairing.on_tops import OnTops, lay_on_tops
from deckgeom.fairing.strip import Strip
from deckgeom.job import Job
from deckgeom.units import echo, parse_length

__all__ = ["lie", "picture", "says", "table"]

#: Breadth and depth where none is given. [mm]
PLANK = {"mm": (100.0, 20.0), "in": (4 * parse_length("1in"), parse_length("3/4in"))}
PLANK["ft-in-8"] = PLANK["in"]


def lie(
    job: Job,
    line: str = "centreline",
    breadth: str | float = "",
    depth: str | float = "",
    hold: str | float = "",
    loose: bool = False,
) -> OnTops:
    """
    Lay a softwood plank along a line of beam tops, as they were measured and as they will be after the work.

    Parameters
    ----------
    job : Job
        Of :func:`deckgeom.bench.open_boat`.
    line : str
        A key of :data:`deckgeom.bench.batten.LINES`.
    breadth, depth : str or float
        Its section, in any notation; 100 x 20 mm or 4 x 3/4 in if not given.
    hold : str or float
        The most that the fastenings at one beam hold, such as ``"500 N"`` or ``"110 lbf"``; without it, it is drawn
        down to every beam.
    loose : bool
        A batten that is held down at both ends only.

    Returns
    -------
    OnTops
        Doubtful readings are left out of it.

    Examples
    --------
    >>> from deckgeom.bench.example import example_fairing
    >>> [round(most, 1) for most in lie(example_fairing()).worst]
    [3.8, 0.1]
    """
    if line not in LINES:
        raise ValueError(f"there is no line {str(line)[:60]!r}; there are {', '.join(LINES)}.")
    done, units = fairing_of(job), job.boat.units
    sizes = (parse_length(given, units) if given else own for given, own in
             zip((breadth, depth), PLANK[units], strict=True))  # fmt: skip
    strip = Strip(*sizes, MODULUS_MPA, DENSITY, name="batten" if loose else "plank")
    most = parse_force(hold, units) if hold != "" else None
    return lay_on_tops(done.verdicts, done.plan, LINES[line], strip, most, fastened=not loose)


def picture(
    job: Job,
    line: str = "centreline",
    breadth: str | float = "",
    depth: str | float = "",
    hold: str | float = "",
    loose: bool = False,
) -> Picture:
    """
    Draw how the plank stands off the fair line before and after the work; arguments as :func:`lie`.

    Returns
    -------
    Picture
        Two panes to one scale.

    Examples
    --------
    >>> from deckgeom.bench.example import example_fairing
    >>> picture(example_fairing()).alt.partition(".")[0]
    'A plank along the centreline, 100 mm x 20 mm, fastened at every beam'
    """
    on = lie(job, line, breadth, depth, hold, loose)
    return draw_plank(on, line, job.boat.units, fairing_of(job).verdicts.tolerance)


def table(
    job: Job,
    line: str = "centreline",
    breadth: str | float = "",
    depth: str | float = "",
    hold: str | float = "",
    loose: bool = False,
) -> Table:
    """
    List gaps, the pull on each fastening and what prints through, before and after; arguments as :func:`lie`.

    Returns
    -------
    Table
        One row a beam.

    Examples
    --------
    >>> from deckgeom.bench.example import example_fairing
    >>> table(example_fairing()).rows[4][:4]
    ('5', 'touches', '', '4 mm high')
    """
    on, units = lie(job, line, breadth, depth, hold, loose), job.boat.units
    columns = []
    for laid, shown in ((on.measured, on.shown_measured), (on.planned, on.shown_planned)):
        between = [*on.most_between(shown), None]
        columns += [
            ["touches" if gap < 0.5 else gap_words(gap, units) for gap in laid.gap],
            [force_words(pull, units) if pull >= LEAST_FORCE else "" for pull in laid.pull],
            ["" if most is None else _off(most, units) for most in between],
        ]
    rows = list(zip(on.measured.names, *columns, strict=True))
    heads = ["beam", *(f"{when}: {what}" for when in ("measured", "planned") for what in
                       ("gap", "pull", "shows abaft it"))]  # fmt: skip
    strip = on.measured.strip
    title = f"Under a {strip.name} {echo(strip.breadth, units)} by {echo(strip.depth, units)}, {line}"
    limit = f"One beam's fastenings hold {force_words(parse_force(hold, units), units)}. " if hold != "" else ""
    note = (
        f"{limit}Shows abaft it: the most that it stands off the fair line from this beam to the next one aft. On the "
        "tops as measured the error of each reading bends the strip too; a stout one pulls hard for it."
    )
    strong = [k for k, drawn in enumerate(on.measured.drawn | on.planned.drawn) if drawn and on.fastened]
    return Table(title, heads, rows, words=(0, 1, 3, 4, 6), note=note, strong=strong)


def says(
    job: Job,
    line: str = "centreline",
    breadth: str | float = "",
    depth: str | float = "",
    hold: str | float = "",
    loose: bool = False,
) -> Words:
    """
    Say how the plank lies before the work and after it; arguments as :func:`lie`.

    Returns
    -------
    Words
        Touching points, gaps, the hardest pulls and what shows.

    Examples
    --------
    >>> from deckgeom.bench.example import example_fairing
    >>> says(example_fairing()).lines[-1].partition(" and pulls ")[0]
    'As planned: it touches 9 of 9 beams, follows the fair line within 1 mm'
    """
    on, units = lie(job, line, breadth, depth, hold, loose), job.boat.units
    return Words.of(*(f"As {when}: {lies_words(on, when, units)}." for when in ("measured", "planned")))


def _off(most: float, units: str) -> str:
    said = gap_words(most, units)
    return "fair" if said.startswith("less") else f"{said} {'high' if np.sign(most) > 0 else 'low'}"
