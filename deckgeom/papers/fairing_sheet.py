"""
The fairing sheet: what to measure again first, then what to plane and what to pack, then what to leave.
"""

from __future__ import annotations

from functools import partial

import numpy as np

from deckgeom.fairing.verdict import DOUBTFUL
from deckgeom.fairing.work import Fairing
from deckgeom.papers.page import Page
from deckgeom.papers.tables import columns, table_pages, word_pages
from deckgeom.papers.words import off_centreline
from deckgeom.units import format_length

__all__ = ["fairing_pages"]

#: Work smaller than this is not written on the sheet. [mm]
SHOWN = 0.5


def fairing_pages(fairing: Fairing, units: str, start) -> list[Page]:
    """
    Sheets for the person with the plane.

    Parameters
    ----------
    fairing : Fairing
    units : {"mm", "ft-in-8", "in"}
    start : callable
        Makes an empty sheet: start(title, note=...).

    Returns
    -------
    list of Page
        None where not one reading could be used.

    Examples
    --------
    >>> SHOWN  # [mm]
    0.5
    """
    if fairing.verdicts is None:
        return []
    again = _again_pages(fairing, units, start)
    return [*again, *_work_pages(fairing, units, start, bool(again)), *_in_words(fairing, units, start)]


def _again_pages(fairing: Fairing, units: str, start) -> list[Page]:
    tops, verdicts = fairing.tops, fairing.verdicts
    say = partial(format_length, units=units)
    rows = []
    for i in verdicts.first:
        times = "slip of the tape?" if verdicts.word[i] == DOUBTFUL else f"{verdicts.again[i]} more"
        place = off_centreline(tops.y[i], units)
        rows.append(
            (tops.beam_names[tops.beam[i]], place, say(tops.z[i]), say(verdicts.expected[i]), times, "________")
        )
    if not rows:
        return []
    heads = ("beam", "at", "true height\nread", "the others\nsay", "measure", "now")
    note = "Before anything is planed: these readings do not agree with what stands round them."
    return table_pages(lambda: start("Measure again first", note=note), columns(heads, rows, "rlrrll"))


def _work_pages(fairing: Fairing, units: str, start, after: bool) -> list[Page]:
    tops = fairing.tops
    say = partial(format_length, units=units)
    rows = [
        (tops.beam_names[tops.beam[i]], off_centreline(tops.y[i], units), *(
            say(depth) if depth >= SHOWN else "" for depth in (fairing.plane_off[i], fairing.pack_up[i])
        ))
        for i in np.flatnonzero(np.maximum(fairing.plane_off, fairing.pack_up) >= SHOWN)
    ]  # fmt: skip
    first = "When those are measured again: p" if after else "P"
    if not rows:
        page = start("Plane and pack")
        page.words(["Nothing to plane and nothing to pack: what is left is within your reading error."])
        return [page]
    heads = ("beam", "at", "plane off", "pack up")
    note = f"{first}lane or pack at these marks and fair between them. Stop at the least depth and at fastenings."
    return table_pages(lambda: start("Plane and pack", note=note), columns(heads, rows, "rlrr"), size=14)


def _in_words(fairing: Fairing, units: str, start) -> list[Page]:
    lines = (*fairing.true.level_words, *fairing.verdicts.notes, fairing.estimate.batten_words(units))
    return word_pages(lambda: start("The beam tops in words"), [fairing.words(units), lines])
