"""
Blank forms to fill in at the boat, in the order in which somebody walks round her; each row is a row of her files.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from functools import partial
from pathlib import Path

from deckgeom.job import Job
from deckgeom.papers.forms import level_check_form
from deckgeom.papers.page import Page, imprint_of, write_pdf
from deckgeom.papers.tables import columns, table_pages
from deckgeom.units import format_length

__all__ = ["blank_forms", "write_forms"]

BLANK = "________"
STATIONS, BEAMS, TRIED = 14, 16, 3
DROPS = ("middle", "1/4", "1/2", "3/4", "end")
_UNITS = {
    "mm": "millimetres, to the nearest 1 mm",
    "in": "inches, to the nearest 1/16",
    "ft-in-8": "feet-inches-eighths, with + for a sixteenth more: 1-7-4+ is 1 ft 7 9/16 in",
}


def blank_forms(job: Job, start) -> list[Page]:
    """
    All forms of a boat: sheer and half-breadths, level check, old beams, trial beam, beam tops.

    Parameters
    ----------
    job : Job
        What is known already is printed on them: stations, beams, where to measure.
    start : callable
        Makes an empty sheet: start(title, note=...).

    Returns
    -------
    list of Page
        In walking order.

    Examples
    --------
    >>> from pathlib import Path
    >>> from deckgeom.boat import Boat, default_settings
    >>> from deckgeom.job import do_job
    >>> [page.title for page in blank_forms(do_job(Boat(Path("punt"), default_settings())), Page)][::2]
    ['Form 1. Sheer and half-breadths', 'Form 3. Trial beam']
    """
    level = level_check_form(job, start)
    return [*_sheer(job, start), *level, *_old_beams(job, start), *_trial(job, start), *_tops(job, start)]


def write_forms(job: Job, out: Path, paper: str = "A4", day: date | None = None) -> list[Path]:
    """
    Write the forms of a boat as one PDF.

    Parameters
    ----------
    job : Job
        Anything may be missing: a form has blanks then.
    out : Path
        Folder that is there.
    paper : {"A4", "Letter"}
    day : date, optional
        Printed on every sheet; today if not given.

    Returns
    -------
    list of Path
        One PDF.

    Examples
    --------
    >>> import tempfile
    >>> from deckgeom.boat import Boat, default_settings
    >>> from deckgeom.job import do_job
    >>> with tempfile.TemporaryDirectory() as out:
    ...     [file.name for file in write_forms(do_job(Boat(Path("punt"), default_settings())), Path(out))]
    ['blank_forms.pdf']
    """
    start = partial(Page, paper=paper)
    return [write_pdf(out / "blank_forms.pdf", blank_forms(job, start), imprint_of(job, day))]


def _say(job: Job):
    return partial(format_length, units=job.boat.units)


def _sheet(start, title: str, note: str, heads: Sequence[str], rows: Sequence[Sequence[str]], align: str, ends) -> list:
    pages = table_pages(lambda: start(title, note=note), columns(heads, rows, align), size=13)
    last = pages[-1]
    if last.room < 9 * (len(ends) + 1):
        last = start(title, note=note)
        pages.append(last)
    last.cursor -= 6
    last.words([*ends, f"Date {BLANK}   weather {BLANK}   who {BLANK}   checked by {BLANK}"])
    return pages


def _sheer(job: Job, start) -> list[Page]:
    table, say = job.boat.offsets, _say(job)
    known = [] if table is None else list(zip(table.stations, table.x, strict=True))
    rows = [(name, say(float(x)), BLANK, BLANK, BLANK, BLANK) for name, x in known]
    rows = rows or [(BLANK, BLANK, BLANK, BLANK, BLANK, BLANK) for _ in range(STATIONS)]
    settings = job.boat.settings
    note = (
        f"From forward, one station after the other, both sides. Heights up from the base line to the "
        f"{settings.heights_to}; half-breadths square off the centreline to the {settings.half_breadths_to}. Write in "
        f"{_UNITS[job.boat.units]}. The rows go into offsets.csv as they stand."
    )
    heads = ("station", "aft of\nzero", "height\nport", "height\nstarboard", "half-breadth\nport",
             "half-breadth\nstarboard")  # fmt: skip
    ends = (
        "Base line, levelled against: ____________________________   zero of the boat: __________________________",
        "Measure one height and one half-breadth five times: ________  ________  ________  ________  ________",
    )
    return _sheet(start, "Form 1. Sheer and half-breadths", note, heads, rows, "lrrrrr", ends)


def _old_beams(job: Job, start) -> list[Page]:
    note = (
        "Stretch a string or lay a straight-edge from end to end of the beam's top. Measure how far the top stands "
        f"above it, at the middle and at parts of the way out to each end. Write in {_UNITS[job.boat.units]}. Note "
        "rot, repairs and fastenings: a tired beam is not the shape that it was built to."
    )
    names = [beam.name for beam in job.beams or ()][:12]
    rows = [(name, BLANK, *(BLANK for _ in DROPS), BLANK) for name in names or [BLANK] * 10]
    parts = (f"{part}\nway out" for part in DROPS[1:-1])
    heads = ("beam", "whole\nbreadth", "rise at the\nmiddle", *parts, "at the\nend", "sound?")
    ends = (
        'In boat.toml: [camber] curve = "drawn", section = [[off the centreline, drop below the middle], ...]. The '
        "drop is the rise at the middle less the rise there.",
    )
    return _sheet(start, "Form 2. Drops of old beams", note, heads, rows, "lrrrrrrl", ends)


def _trial(job: Job, start) -> list[Page]:
    beams = job.beams if job.beams is not None and len(job.beams) else None
    widest = max(beams, key=lambda beam: beam.half_breadth_port + beam.half_breadth_starboard) if beams else None
    note = (
        "Glue one beam of the timber, layers and glue that all the others will have, leave it in the jig as "
        f"long as the others, then let it go. Write in {_UNITS[job.boat.units]}."
    )
    asked = "" if widest is None else f" (beam {widest.name}: finished {_say(job)(widest.camber)})"
    rows = [
        (f"rise in the jig, over the same length{asked}", *[BLANK] * TRIED),
        ("length between the points measured", *[BLANK] * TRIED),
        ("number of layers, and thickness of one", *[BLANK] * TRIED),
        ("rise an hour after release", *[BLANK] * TRIED),
        ("rise a day after release", *[BLANK] * TRIED),
        ("rise a week after release", *[BLANK] * TRIED),
        ("warmth and damp of the shed", *[BLANK] * TRIED),
    ]
    heads = ("", *(f"trial {k + 1}" for k in range(TRIED)))
    ends = (
        "In boat.toml: [beams] trial_jig = the first figure, trial_released = the last. They take the place of the sum "
        "by layers, and the allowance is made once.",
        "Take care: glue harms skin and lungs, and a large pot grows hot: gloves, air, small pots, the maker's sheet.",
    )
    return _sheet(start, "Form 3. Trial beam", note, heads, rows, "lrrr", ends)


def _tops(job: Job, start) -> list[Page]:
    say = _say(job)
    beams = list(job.beams) if job.beams is not None and len(job.beams) else []
    rows = [(beam.name, *_half_way(beam, say), *[BLANK] * 5) for beam in beams]
    rows = rows or [(BLANK, BLANK, *[BLANK] * 5) for _ in range(BEAMS)]
    note = (
        "From forward, beam after beam, from port to starboard: heights up from the base line, or down from a named "
        f"string (write its name at the foot). Write in {_UNITS[job.boat.units]}. Half way out is the distance off the "
        "centreline that is printed. Measure every fifth point twice, on another day if you can: it tells how good one "
        "reading is."
    )
    heads = ("beam", "half way\nout", "port\nedge", "port\nhalf way", "centre-\nline", "starboard\nhalf way",
             "starboard\nedge")  # fmt: skip
    ends = (
        "Down from: __________________   heights of its two ends: _________ and _________   sag in between: ________",
        "Readings taken twice (beam, place, height): ___________________________________________________________",
    )
    return _sheet(start, "Form 4. Beam tops", note, heads, rows, "lrrrrrr", ends)


def _half_way(beam, say) -> tuple[str]:
    half = min(beam.half_breadth_port, beam.half_breadth_starboard) / 2
    return (say(half),) if beam.mark.whole else ("as it is",)
