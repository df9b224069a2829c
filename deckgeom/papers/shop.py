"""
Shop sheets: the numbers of a job on paper that goes to the boat, one idea a sheet.
"""

from __future__ import annotations

from datetime import date
from functools import partial
from pathlib import Path

import numpy as np

from deckgeom.boat.made import record_made
from deckgeom.complaint import Complaint
from deckgeom.deck.framing_list import last_chance
from deckgeom.deck.story_stick import story_stick
from deckgeom.drawings.plan import draw_plan
from deckgeom.drawings.style import clean
from deckgeom.job import Job
from deckgeom.papers.fairing_sheet import fairing_pages
from deckgeom.papers.forms import level_check_form, next_round_form
from deckgeom.papers.laying import laying_pages
from deckgeom.papers.page import Page, imprint_of, write_pdf
from deckgeom.papers.pattern import beam_pattern
from deckgeom.papers.small import LEANS_HIGH, place_leans, place_pattern
from deckgeom.papers.tables import columns, table_pages, word_pages
from deckgeom.papers.words import both_units, off_centreline
from deckgeom.results import conventions, summary
from deckgeom.units import echo, format_length

__all__ = ["write_papers"]

CAUTIONS = (
    "Wood dust harms the lungs and some of it causes cancer (IARC group 1): extract it, wear a mask. Epoxy sensitises "
    "skin.",
    "This paper knows shapes. It knows nothing of strength, rot or what looks right: beams, fittings and hatches are "
    "sized by local rules and a licensed designer or surveyor.",
)


def write_papers(job: Job, out: Path, paper: str = "A4", day: date | None = None) -> list[Path]:
    """
    Write the shop sheets of a job.

    Parameters
    ----------
    job : Job
    out : Path
        Folder that is there.
    paper : {"A4", "Letter"}
    day : date, optional
        Printed on every sheet; today if not given.

    Returns
    -------
    list of Path
        The shop sheets, and a book of their own for the laying of the deck where boat.toml says how; none where nothing
        could be worked out.

    Examples
    --------
    >>> from deckgeom.boat import Boat, default_settings
    >>> from deckgeom.job import do_job
    >>> write_papers(do_job(Boat(Path("punt"), default_settings())), Path("."))
    []
    """
    start = partial(Page, paper=paper)
    pages: list[Page] = []
    if job.deck is not None:
        pages += _first_sheets(job, start) + _suspect_sheets(job, start)
    if job.beams is not None and len(job.beams):
        pages += _crown_sheets(job, start) + _stick_sheets(job, start) + _end_sheets(job, start)
        pages += [sheet for beam in job.beams for sheet in _beam_sheets(beam, job.boat.units, start)]
    pages += [sheet for edge in job.spiles for sheet in _spile_sheets(edge, job.boat.units, start)]
    if job.fairing is not None:
        pages += fairing_pages(job.fairing, job.boat.units, start) + _plan_sheets(job, start)
    if job.beams is not None and len(job.beams):
        pages += _last_chance_sheets(job, start)
    pages += next_round_form(job, start) + level_check_form(job, start)
    if not pages:
        return []
    files = [write_pdf(out / "shop_sheets.pdf", pages, imprint_of(job, day))]
    laying = laying_pages(job, start)
    files += [write_pdf(out / "laying.pdf", laying, imprint_of(job, day))] if laying else []
    record_made(job.boat, out, "papers", files)
    return files


def _first_sheets(job: Job, start) -> list[Page]:
    beams = job.beams.conventions() if job.beams is not None and len(job.beams) else ()
    taken = ("What the numbers are taken to:", *(f"  {line}" for line in conventions(job)))
    return word_pages(lambda: start("Read this first"), [summary(job)[1:], taken, beams, ("Take care:", *CAUTIONS)])


def _suspect_sheets(job: Job, start) -> list[Page]:
    units = job.boat.units
    say = partial(format_length, units=units)
    rows = [(s.column.replace("_", " "), s.station, say(s.value), say(s.expected), s.strength) for s in job.suspects]
    questions = [c for c in job.complaints if c.kind != "note"]
    if not rows and not questions:
        return []
    pages = []
    if rows:
        note = "Measure again, surest first. Nothing was changed in your table."
        heads = ("line", "station", "it says", "fair would be", "how sure")
        pages = table_pages(lambda: start("Offsets to look at again", note=note), columns(heads, rows, "llrrl"))
    return pages + _complaint_sheets(questions, start)


def _complaint_sheets(complaints: list[Complaint], start) -> list[Page]:
    if not complaints:
        return []
    return word_pages(
        lambda: start("To mend or to answer in the boat's files"), [(str(one),) for one in complaints], size=10
    )


def _crown_sheets(job: Job, start) -> list[Page]:
    beams, say = job.beams, partial(both_units, units=job.boat.units)
    jig = beams.jig_camber
    rows = [
        (
            beam.name,
            say(beam.x),
            say(beam.half_breadth_port),
            say(beam.half_breadth_starboard),
            say(beam.camber),
            say(beam.jig_camber) if jig is not None else "sawn",
            say(beam.crown_height),
            say(beam.edge_height_port),
            say(beam.edge_height_starboard),
        )
        for beam in beams
    ]
    heads = ("beam", "mark", "half-br.\nport", "half-br.\nstarb'd", "camber", "jig\ncamber", "crown\nheight",
             "edge\nport", "edge\nstarb'd")  # fmt: skip
    note = "Half-breadths to the deck edge. Camber: crown above the line joining the edges. Jig: sprung back once."
    return table_pages(lambda: start("Crown table", note=note), columns(heads, rows), size=11, groups=5)


def _stick_sheets(job: Job, start) -> list[Page]:
    stick, say = story_stick(job.beams), partial(both_units, units=job.boat.units)
    spaces = stick.spaces()
    rows = [
        (name, mark, say(x), say(space), say(port), say(starboard))
        for name, mark, x, space, port, starboard in zip(
            stick.names, stick.marks, stick.x, spaces, stick.along_port, stick.along_starboard, strict=False
        )
    ]
    rows.append(("end", "", say(stick.end), say(spaces[-1]), say(stick.whole_port), say(stick.whole_starboard)))
    heads = ("beam", "mark at", "from zero", "space", "bent along\nport edge", "bent along\nstarb'd edge")
    note = (
        f"The spaces add up to {echo(float(np.sum(spaces)), job.boat.units)}, the whole deck edge along the centreline."
    )
    pages = table_pages(lambda: start("Story stick", note=note), columns(heads, rows, "rlrrrr"), groups=5)
    across = [(d.forward, d.after, say(d.port_to_starboard), say(d.starboard_to_port)) for d in stick.diagonals]
    if across:
        note = "Deck edge to deck edge on the beam tops. Where both agree with the tape the beams stand square."
        heads = ("from beam", "to beam", "port to\nstarb'd", "starb'd to\nport")
        pages += table_pages(lambda: start("Diagonals", note=note), columns(heads, across), groups=5)
    return pages


def _end_sheets(job: Job, start) -> list[Page]:
    say = partial(both_units, units=job.boat.units)
    rows = []
    for beam in job.beams:
        for side in ("port", "starboard"):
            forward, after = beam.end(side, "forward"), beam.end(side, "after")
            sign = -1.0 if side == "port" else 1.0
            at = (forward.top, forward.bottom, after.top, after.bottom)
            rows.append(
                (beam.name, side, *(say(v) if v > 0 else off_centreline(sign * v, job.boat.units) for v in at),
                 f"{abs(forward.end_angle_deg):.1f}°", f"{forward.cut_deg:.1f}°")
            )  # fmt: skip
    heads = ("beam", "end", "forward\ntop", "forward\nbottom", "after\ntop", "after\nbottom", "off square\nin plan",
             "cut with\nthe top")  # fmt: skip
    note = "Centreline to the end of the beam on each face, at its top and its bottom."
    return table_pages(lambda: start("Beam ends", note=note), columns(heads, rows, "rlrrrrrr"), size=11, groups=2)


def _beam_sheets(beam, units: str, start) -> list[Page]:
    say = partial(both_units, units=units)
    table, spring = beam.ordinates, beam.beams.spring
    rows = [
        (
            off_centreline(table.y[k], units),
            *(say(h) if on else "" for h, on in zip(table.height[k], table.on_face[k], strict=True)),
            say(table.mould_drop[k]),
            *([say(table.offset[k] * spring.factor)] if spring else []),
            f"{abs(table.bevel_deg[k]):.1f}°" if table.on_both[k] else "",
            _with_edge(say(abs(table.rise_over_siding[k])), table.high_edge[k]) if table.on_both[k] else "",
        )
        for k in range(len(table))
    ]
    heads = ("off the\ncentreline", "height\nforward face", "height\nafter face", "mould: drop\nbelow crown")
    heads += (("jig: up from\nline of ends",) if spring else ()) + ("bevel", "over the siding")
    jig = f", jig camber {echo(beam.jig_camber, units)}" if spring else ""
    note = f"Mould for the {beam.mould_face}. Camber {echo(beam.camber, units)}{jig}."

    def first() -> Page:
        page = start(f"Beam {beam.name}")
        page.words([note])
        return page

    pages = table_pages(first, columns(heads, rows, "lrrrrrl" if spring else "lrrrrl"), size=11)
    pages[-1].cursor -= 4
    if pages[-1].room < 45 + LEANS_HIGH:
        pages.append(first())
    place_leans(pages[-1], beam, units)
    place_pattern(pages[-1], beam_pattern(beam, units))
    pages[-1].words([_in_the_picture(beam)], size=9)
    return pages


def _with_edge(rise: str, edge: str) -> str:
    """The words of the edge go on the first line, beside the set's own units."""
    own, _, other = rise.partition("\n")
    return f"{own} {edge}\n{other}"


def _in_the_picture(beam) -> str:
    jig = " Long dashes: the same in the jig." if beam.jig_camber is not None else ""
    return (
        f"Seen from aft, starboard to the right. Full line: the mould, for the {beam.mould_face}. Dotted: deck edges. "
        f"Dashed across: level.{jig} Above: which edge is high, cut fore and aft; the lean is drawn larger than it is."
    )


def _plan_sheets(job: Job, start) -> list[Page]:
    if job.fairing.verdicts is None:
        return []
    page = start("The beam tops from above", note="Where to plane, where to pack, what to measure again.")
    page.place(draw_plan(job.fairing.verdicts, job.sheer, job.boat.units, plan=job.fairing, fittings=job.boat.fittings))
    return [page]


def _last_chance_sheets(job: Job, start) -> list[Page]:
    """One line to tick for everything that is out of reach once the deck is down."""
    lines = last_chance(job.beams, job.boat.fittings).words(job.boat.units)
    note = "Before the deck closes: go round with a pencil, tick each line, and sign below. Forward to aft."
    pages = word_pages(
        lambda: start("Last chance", note=note), [(f"[   ]  {clean(line, 400)}",) for line in lines], size=11
    )
    pages[-1].cursor -= 4
    pages[-1].words(["Seen by ______________________   date ______________"])
    return pages


def _spile_sheets(edge, units: str, start) -> list[Page]:
    say = partial(both_units, units=units)
    rows = [(say(x), say(along), say(offset)) for x, along, offset in zip(edge.x, edge.along, edge.offset, strict=True)]
    chord, length = echo(edge.chord, units), echo(edge.length, units)
    note = f"Laid flat. Straight line between its ends {chord}; along the edge {length}."
    heads = ("on the boat\nfrom zero", "along the\nstraight line", "off the line,\noutward")
    title = f"{edge.edge[:1].upper()}{edge.edge[1:]}, {edge.side}"
    return table_pages(lambda: start(title, note=note), columns(heads, rows), groups=5)
