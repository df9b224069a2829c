"""
Sizes that can be read but that no wooden boat has: asked about, and used as they stand.

A number without its unit is the commonest cause: millimetres in a folder of inches, inches in a folder of millimetres.
"""

from __future__ import annotations

from deckgeom.units import echo

from .log import Log
from .settings import Settings
from .toml_file import Typed

SIZES = {
    "planking": (3, 150),
    "deck": (1, 100),
    "offsets.accuracy": (0, 50),
    "offsets.rounding": (0, 50),
    "beams.siding": (6, 400),
    "beams.moulding": (6, 400),
    "beams.least_depth": (6, 400),
    "beams.trial_jig": (3, 1000),
    "beams.ordinates": (10, 1000),
    "fairing.tolerance": (0, 25),
    "fairing.reading_error": (0, 25),
    "fairing.cutoff": (200, 50_000),
    "fairing.most_off": (0, 100),
    "fairing.most_up": (0, 200),
    "laying.sheet": (200, 12_500),
    "laying.stagger": (0, 3000),
    "laying.oversize": (0, 200),
    "laying.stock": (300, 15_000),
    "laying.fastening_diameter": (0.8, 15),
    "laying.fastening_lengths": (5, 200),
    "laying.spacing": (15, 1000),
    "laying.edge_spacing": (15, 1000),
    "laying.cloth_width": (50, 4000),
    "laying.cloth_lap": (0, 500),
    "laying.cloth_drop": (0, 600),
}
"""Between which the sizes of small and middling wooden boats lie: common practice, no source. [mm]"""

LEAST_SPRUNG = 0.5
"""A trial beam keeps more than this part of its rise: two layers alone keep three quarters of it. [-]"""

SLIP = "millimetres in a folder of inches, or the other way about; write the unit with it"


def ask_about_sizes(settings: Settings, typed: Typed, log: Log) -> None:
    """
    Ask about each stated size that lies outside what boats have.

    Parameters
    ----------
    settings : Settings
        As read.
    typed : Typed
        What was stated, and where.
    log : Log
        Takes the questions.

    Examples
    --------
    >>> from .build import default_settings
    >>> from dataclasses import replace
    >>> log, settings = Log(), replace(default_settings("in"), planking=16 * 25.4)
    >>> ask_about_sizes(settings, Typed("boat.toml", {"planking": 16}, {"planking": 3}), log)
    >>> print(log.complaints()[0])
    boat.toml, row 3, column planking, '16': 16 in (406 mm) is more than boats have here, 5 7/8 in (150 mm) at most
    (common practice). Likely slip: millimetres in a folder of inches, or the other way about; write the unit with it.
    """
    for key, (least, most) in SIZES.items():
        if key in typed.values:
            for size in _sizes(settings, key):
                rule = _outside(size, least, most, settings.units)
                if rule:
                    log.ask(typed.file, typed.rows.get(key), key, _shown(typed.values[key]), rule, SLIP)
                    break
    jig, released = settings.beams.trial_jig, settings.beams.trial_released
    if jig and released is not None and released < LEAST_SPRUNG * jig:
        key, units = "beams.trial_released", settings.units
        rule = f"the trial beam lost more than half of its rise, {echo(released, units)} of {echo(jig, units)}"
        log.ask(typed.file, typed.rows.get(key), key, typed.values.get(key), rule, "a glue that had not set")


def ask_about_beams(marks, units: str, log: Log) -> None:
    """
    Ask about sidings and mouldings of single beams that lie outside what boats have.

    Parameters
    ----------
    marks : sequence of BeamMark
        Beams whose sizes stand in the list itself.
    units : str
        The folder's units.
    log : Log
        Takes the questions.

    Examples
    --------
    >>> from deckgeom.deck.beam_marks import BeamMark
    >>> log = Log()
    >>> ask_about_beams([BeamMark("4", 1200, siding=1625.6, moulding=60, row=5)], "in", log)
    >>> [(one.row, one.column, one.value) for one in log.complaints()]
    [(5, 'siding', '64 in (1626 mm)')]
    """
    for mark in marks:
        for column in ("siding", "moulding"):
            size = getattr(mark, column)
            rule = _outside(size, *SIZES[f"beams.{column}"], units)
            if rule:
                log.ask("beams.csv", mark.row, column, echo(size, units), rule, SLIP)


def _sizes(settings: Settings, key: str) -> tuple:
    section, _, name = key.rpartition(".")
    found = getattr(getattr(settings, section) if section else settings, name)
    return found if isinstance(found, tuple) else () if found is None else (found,)


def _outside(size: float, least: float, most: float, units: str) -> str:
    if size > most:
        return f"{echo(size, units)} is more than boats have here, {echo(most, units)} at most (common practice)"
    if 0 < size < least:
        return f"{echo(size, units)} is less than boats have here, {echo(least, units)} at least (common practice)"
    return ""


def _shown(typed) -> str:
    return ", ".join(map(str, typed)) if isinstance(typed, list) else str(typed)
