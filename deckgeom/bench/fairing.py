"""The bench of fairing: which reading to take again, where to plane, where to pack, and how a batten lies."""

from __future__ import annotations

import numpy as np

from deckgeom.bench.asked import again, beam_number, fairing_of, tolerance_slider
from deckgeom.bench.boat import complaints
from deckgeom.bench.controls import STRIDE, Choice, Slider
from deckgeom.bench.fewest import fewest_panel, fewest_work
from deckgeom.bench.panel import Answer, Panel
from deckgeom.bench.tables import Table, Words
from deckgeom.bench.wishes import fewest, plan_panel, rounds, without, work
from deckgeom.drawings import Picture
from deckgeom.drawings.plan import draw_plan
from deckgeom.drawings.tops import draw_tops, reading_words, tops_board
from deckgeom.drawings.words import gap_words, off_words
from deckgeom.job import Job
from deckgeom.units import format_length, parse_offcentre

__all__ = [
    "beam", "beam_panel", "beams", "complaints", "fewest", "fewest_panel", "fewest_work", "first", "hull", "moved",
    "plan", "plan_panel", "rounds", "sheet", "verdict", "why", "without", "work",
]  # fmt: skip

TURNS = {"plane": "plane", "pack": "pack", "measure again": "measure again", "doubtful reading": "measure again first"}


def hull(job: Job) -> Words:
    """
    Say how the hull stood when the tops were measured, and how good a reading is.

    Parameters
    ----------
    job : Job
        Of :func:`deckgeom.bench.open_boat`.

    Returns
    -------
    Words
        List, trim, twist, and the reading error.

    Examples
    --------
    >>> from deckgeom.bench.example import example_fairing
    >>> hull(example_fairing()).lines[-1]
    'Humps shorter than 2400 mm are called unfair. A softwood batten about 20 mm square, pressed lightly, tells the
    same.'
    """
    done = fairing_of(job)
    units = job.boat.units
    found = done.estimate
    return Words.of(*done.true.level_words, found.error_words(units), *found.notes, found.batten_words(units))


def moved(job: Job) -> Words:
    """
    Say whether the hull has moved, by the marks on her.

    Parameters
    ----------
    job : Job
        Of :func:`deckgeom.bench.open_boat`.

    Returns
    -------
    Words
        Moved or not, how, and what to do.

    Examples
    --------
    >>> from deckgeom.bench.example import example_fairing
    >>> moved(example_fairing())
    Whether she has moved is not known: no four marks on her were measured twice. Fill in the form "Has she moved?" and
    write it into marks.csv.
    """
    if job.move is None:
        return Words.of(
            "Whether she has moved is not known: no four marks on her were measured twice. Fill in the form "
            '"Has she moved?" and write it into marks.csv.'
        )
    return Words.of(*job.move.words(job.boat.units))


def verdict(job: Job) -> Words:
    """
    Say in a few lines what to measure again, plane, pack and leave.

    Parameters
    ----------
    job : Job
        Of :func:`deckgeom.bench.open_boat`.

    Returns
    -------
    Words
        One line a matter.

    Examples
    --------
    >>> from deckgeom.bench.example import example_fairing
    >>> verdict(example_fairing()).lines[1]
    'Beam 5: plane. As a whole it stands 4 mm high; that is known to 0.3 mm.'
    """
    return Words.each(fairing_of(job).words(job.boat.units))


def first(job: Job) -> Table | Words:
    """
    List the readings to take again before anything is planed.

    Parameters
    ----------
    job : Job
        Of :func:`deckgeom.bench.open_boat`.

    Returns
    -------
    Table or Words
        The doubtful ones first; words where there is none.

    Examples
    --------
    >>> from deckgeom.bench.example import example_fairing
    >>> first(example_fairing())
    No reading need be taken again.
    """
    done, units = fairing_of(job), job.boat.units
    told = done.verdicts
    if not told.first:
        return Words.of("No reading need be taken again.")
    rows = []
    for i in told.first:
        typed = done.readings[done.true.tops_source[i]]
        place = off_words(float(done.tops.y[i]), units)
        name = done.tops.beam_names[done.tops.beam[i]]
        rows.append((name, place, "" if typed.row is None else typed.row, str(told.word[i]), told.why(i, units)))
    heads = ("beam", "off the centreline", "row of readings.csv", "verdict", "why")
    return Table("Measure these again first", heads, rows, words=(0, 1, 3, 4), wrap=(4,))


def plan(job: Job) -> Picture:
    """
    Draw the deck from above with what is to be done at each reading.

    Parameters
    ----------
    job : Job
        Of :func:`deckgeom.bench.open_boat`.

    Returns
    -------
    Picture
        Plane, pack, leave, measure again.

    Examples
    --------
    >>> from deckgeom.bench.example import example_fairing
    >>> plan(example_fairing()).alt.partition(":")[0]
    'The deck from above, 45 readings'
    """
    done = fairing_of(job)
    return draw_plan(done.verdicts, job.sheer, job.boat.units, done, job.boat.fittings)


def beam(job: Job, name: str) -> Picture:
    """
    Draw one beam as measured against the batten line.

    Parameters
    ----------
    job : Job
        Of :func:`deckgeom.bench.open_boat`.
    name : str
        The beam.

    Returns
    -------
    Picture
        Plane here, pack there.

    Examples
    --------
    >>> from deckgeom.bench.example import example_fairing
    >>> beam(example_fairing(), "5").alt[:46]
    'Beam 5 as measured, against a batten line: pla'
    """
    done = fairing_of(job)
    return draw_tops(done.verdicts, beam_number(done, name), job.boat.units, done, _designed(job, name))


def beams(job: Job) -> Table:
    """
    List what to do with each beam, and why.

    Parameters
    ----------
    job : Job
        Of :func:`deckgeom.bench.open_boat`.

    Returns
    -------
    Table
        One row a beam; those with work are in bold.

    Examples
    --------
    >>> from deckgeom.bench.example import example_fairing
    >>> beams(example_fairing()).rows[4][:2]
    ('5', 'plane')
    """
    done, units = fairing_of(job), job.boat.units
    told, rows = done.verdicts, []
    for b, (name, word) in enumerate(zip(done.tops.beam_names, told.beam_word, strict=True)):
        rows.append((name, word, told.why_beam(b, units).partition(". ")[2]))
    bold = [k for k, row in enumerate(rows) if row[1] in TURNS]
    return Table("Beam by beam", ("beam", "do", "why"), rows, words=(0, 1, 2), wrap=(2,), strong=bold)


def sheet(job: Job, every: bool = False) -> Table:
    """
    Make the fairing sheet: what to plane and what to pack, reading by reading.

    Parameters
    ----------
    job : Job
        Of :func:`deckgeom.bench.open_boat`.
    every : bool
        All readings; otherwise only those that ask for something.

    Returns
    -------
    Table
        Two columns, plane off and pack up; never a sign.

    Examples
    --------
    >>> from deckgeom.bench.example import example_fairing
    >>> sheet(example_fairing()).rows[0]
    ('5', '900 mm port', '1004 mm', '1000 mm', '4 mm', '', 'plane 4 mm')
    """
    done, units = fairing_of(job), job.boat.units
    tops, told, rows = done.tops, done.verdicts, []
    order = np.lexsort((tops.y, tops.beam))
    for i in order:
        if not every and told.word[i] not in TURNS and not max(done.plane_off[i], done.pack_up[i]):
            continue
        off, up = (gap_words(a[i], units) if a[i] > 0 else "" for a in (done.plane_off, done.pack_up))
        heights = (format_length(float(z), units) for z in (tops.z[i], done.estimate.fair[i]))
        place = off_words(float(tops.y[i]), units)
        rows.append((tops.beam_names[tops.beam[i]], place, *heights, off, up, reading_words(told, i, units, done)))
    heads = ("beam", "off the centreline", "measured", "fair", "plane off", "pack up", "what to do")
    left = tops.count - len(rows)
    note = "Heights to the top of the beam, above the base line, list and trim taken off."
    note += f" {left} readings are left as they are." if left and not every else ""
    return Table(f"Fairing sheet of {job.boat.name}", heads, rows, words=(0, 1, 6), note=note)


def why(job: Job, name: str) -> Words:
    """
    Say why each reading of a beam has its verdict.

    Parameters
    ----------
    job : Job
        Of :func:`deckgeom.bench.open_boat`.
    name : str
        The beam.

    Returns
    -------
    Words
        One line for the beam, then one a reading, from port.

    Examples
    --------
    >>> from deckgeom.bench.example import example_fairing
    >>> why(example_fairing(), "5").lines[0]
    'Beam 5: plane. As a whole it stands 4 mm high; that is known to 0.3 mm.'
    """
    done, units = fairing_of(job), job.boat.units
    number = beam_number(done, name)
    rows = np.flatnonzero(done.tops.beam == number)
    rows = rows[np.argsort(done.tops.y[rows], kind="stable")]
    return Words.of(done.verdicts.why_beam(number, units), *(done.verdicts.why(int(i), units) for i in rows))


def beam_panel(job: Job) -> Panel:
    """
    Make the live beam: choose one, and how much may stay.

    Parameters
    ----------
    job : Job
        Of :func:`deckgeom.bench.open_boat`.

    Returns
    -------
    Panel
        A choice, how much may stay, and a place to read the beam at.

    Examples
    --------
    >>> from deckgeom.bench.example import example_fairing
    >>> beam_panel(example_fairing()).set(beam="4").words.splitlines()[0]
    'Beam 4: leave. Nothing on it stands out more than chance and the tolerance of 2.0 mm allow.'
    """
    units, done, board = job.boat.units, fairing_of(job), tops_board()
    last = done
    measured = [name for b, name in enumerate(done.tops.beam_names) if np.any(done.tops.beam == b)]

    stride = STRIDE[units]
    reach = stride * np.ceil(float(np.max(done.tops.half_breadth)) / stride)

    def respond(beam: str, tolerance: float, place: float) -> Answer:
        nonlocal last
        last = now = again(job, last, tolerance=tolerance, cutoff=done.estimate.cutoff)
        number = beam_number(now, beam)
        rows = np.flatnonzero(now.tops.beam == number)
        nearest = int(rows[np.argmin(np.abs(now.tops.y[rows] - place))])
        at = float(now.tops.y[nearest])
        drawn = draw_tops(now.verdicts, number, units, now, _designed(job, beam), board, at)
        read = f"The reading nearest to {off_words(place, units)}: {now.verdicts.why(nearest, units)}"
        return Answer(drawn, f"{now.verdicts.why_beam(number, units)}\n{read}")

    def say(place: float) -> str:
        return off_words(place, units)

    def read(text: str) -> float:
        return float(parse_offcentre(text, units))

    worst = [name for name in measured if done.verdicts.beam_word[beam_number(done, name)] in ("plane", "pack")]
    controls = [
        Choice("beam", "Beam", measured, (worst or measured)[0]),
        tolerance_slider(job),
        Slider("place", "Read it at", -reach, reach, stride, 0.0, say, read),
    ]
    return Panel("Choose a beam", controls, respond)


def _designed(job: Job, name: str) -> tuple[np.ndarray, np.ndarray] | None:
    """The beam's top as designed, at its mark's face, if it is in the list of beams."""
    if job.beams is None or name not in job.beams.names:
        return None
    one = job.beams[name]
    across = np.linspace(one.ordinates.y[0], one.ordinates.y[-1], 81)
    return across, one.height_at(across, "after" if one.mark.mark == "after face" else "forward")
