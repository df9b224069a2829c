"""
Forms to fill in at the boat: has she moved since, and the next round on the beams that were touched.
"""

from __future__ import annotations

from functools import partial

import numpy as np

from deckgeom.job import Job
from deckgeom.papers.page import Page
from deckgeom.papers.tables import columns, table_pages
from deckgeom.papers.words import off_centreline
from deckgeom.units import format_length

__all__ = ["level_check_form", "next_round_form"]

BLANK = "__________"


def level_check_form(job: Job, start) -> list[Page]:
    """
    Four marks at the deck edges, far apart: measured again, they tell whether she has moved.

    Parameters
    ----------
    job : Job
        With beams.
    start : callable
        Makes an empty sheet: start(title, note=...).

    Returns
    -------
    list of Page
        None with fewer than two whole beams.

    Examples
    --------
    >>> from pathlib import Path
    >>> from deckgeom.boat import Boat, default_settings
    >>> from deckgeom.job import do_job
    >>> level_check_form(do_job(Boat(Path("punt"), default_settings())), Page)
    []
    """
    say = partial(format_length, units=job.boat.units)
    if job.boat.marks:
        return _marks_again(job, start, say)
    whole = [beam for beam in job.beams or () if job.beams.marks[beam.index].whole]
    if len(whole) < 2:
        return []
    ends = (min(whole, key=lambda beam: beam.x), max(whole, key=lambda beam: beam.x))
    rows = [
        (beam.name, f"deck edge, {side}", say(getattr(beam, f"edge_height_{side}")), BLANK, BLANK)
        for beam in ends
        for side in ("port", "starboard")
    ]
    heads = ("beam", "mark", "by the offsets", "first time", "today")
    note = "Measure the four beam tops up from the base line, now and whenever you come back to her. Write them into "
    note += "marks.csv with their place along her and off the centreline."
    return _told(table_pages(lambda: start("Has she moved?", note=note), columns(heads, rows, "llrrr"), size=14))


def _marks_again(job: Job, start, say) -> list[Page]:
    """The marks that she has, with what they were the first time."""
    rows = []
    for mark in job.boat.marks:
        place = mark.y if isinstance(mark.y, str) else off_centreline(mark.y, job.boat.units)
        rows.append((mark.name, say(mark.x), place, BLANK if mark.first is None else say(mark.first), BLANK))
    heads = ("mark", "along her", "at", "first time", "today")
    note = "Measure every mark up from the same base line as the first time, and write it into marks.csv under today."
    return _told(table_pages(lambda: start("Has she moved?", note=note), columns(heads, rows, "lrlrr"), size=14))


def _told(pages: list[Page]) -> list[Page]:
    pages[-1].cursor -= 6
    pages[-1].words([
        "If all four changed alike, the base line or the props moved. If one side changed, she has listed. If the ends "
        "changed by different amounts, trim. If only one corner changed, she twists: or that mark was knocked.",
        f"Date {BLANK}   weather {BLANK}   who {BLANK}",
    ])  # fmt: skip
    return pages


def next_round_form(job: Job, start) -> list[Page]:
    """
    The touched beams alone, with the height that each mark should have when the work is done.

    Parameters
    ----------
    job : Job
        With measured tops.
    start : callable
        Makes an empty sheet: start(title, note=...).

    Returns
    -------
    list of Page
        None where no beam is to be touched.

    Examples
    --------
    >>> from pathlib import Path
    >>> from deckgeom.boat import Boat, default_settings
    >>> from deckgeom.job import do_job
    >>> next_round_form(do_job(Boat(Path("punt"), default_settings())), Page)
    []
    """
    plan = job.fairing.plan if job.fairing is not None else None
    if plan is None or not plan.touched:
        return []
    tops, say = plan.tops, partial(format_length, units=job.boat.units)
    rows = [
        (
            tops.beam_names[tops.beam[i]],
            off_centreline(tops.y[i], job.boat.units),
            say(tops.z[i]),
            say(plan.after[i]),
            BLANK,
        )
        for i in np.flatnonzero(np.isin(tops.beam, plan.touched))
    ]
    heads = ("beam", "at", "true height\nread", "should be", "measured")
    note = "When the work is done measure these beams only, and write them into readings.csv as the next round."
    return table_pages(lambda: start("Next round", note=note), columns(heads, rows, "llrrr"), size=14)
