"""
What was understood of a boat folder, in words.
"""

from __future__ import annotations

import numpy as np

from deckgeom.deck.framing_bores import leaning_words
from deckgeom.deck.framing_list import kind_of
from deckgeom.laying.timber import timber_words
from deckgeom.units import echo, format_length

from .build import not_stated
from .settings import COMMON

_UNITS = {
    "mm": "in millimetres: a bare number is mm, lengths are shown to 1 mm",
    "in": "in inches: a bare number is inches, lengths are shown to 1/16 in",
    "ft-in-8": "in feet, inches and eighths: a bare number is inches, lengths are shown to 1/16 in",
}


def echo_lines(boat) -> list[str]:
    """
    Say what was understood of a boat folder.

    Parameters
    ----------
    boat : Boat
        As read.

    Returns
    -------
    list of str
        One or two sentences each.

    Examples
    --------
    >>> from pathlib import Path
    >>> from deckgeom.boat import Boat, default_settings
    >>> echo_lines(Boat(Path("punt"), default_settings()))[1].split(";")[0]
    'Heights are to the top of the deck'
    """
    settings = boat.settings
    place = f", {settings.place}" if settings.place else ""
    lines = [
        f"{settings.name or 'A boat without a name'}{place}. The folder is {_UNITS[settings.units]}.",
        _conventions(settings),
        _offsets(boat),
        _beams(boat),
        _camber(settings),
        _readings(boat),
        _fittings(boat),
        timber_words(settings.laying),
        _marks(boat),
        _defaults(settings),
    ]
    return [line for line in lines if line]


def _conventions(settings) -> str:
    units = settings.units
    skin = f" {echo(settings.planking, units)}" if settings.planking else ", whose thickness is not stated"
    words = f"Heights are to the {settings.heights_to.replace('top of', 'top of the')}; half-breadths to the "
    words += f"{settings.half_breadths_to}{skin}. "
    if not settings.deck:
        return words + "No deck thickness is stated: none is taken off."
    layers = " + ".join(format_length(layer, units) for layer in settings.deck)
    many = f"{len(settings.deck)} layers, bottom first, {layers}" if len(settings.deck) > 1 else "one layer"
    return words + f"The deck is {many}: {echo(settings.deck_thickness, units)}, as measured."


def _offsets(boat) -> str:
    table = boat.offsets
    if table is None:
        return "There are no offsets."
    units = boat.units
    sides = "port and starboard alike" if table.symmetric else "port and starboard apart"
    where = f"from x = {format_length(table.x[0], units)} to {format_length(table.x[-1], units)}"
    near = boat.settings.offsets.accuracy
    held = f"the fair curve stays within {echo(near, units)} of each" if near else "the fair curve goes through each"
    return f"Offsets: {len(table.stations)} stations {where}, {sides}; {held}."


def _beams(boat) -> str:
    beams = boat.beams
    if not beams:
        return "There is no list of beams."
    units = boat.units
    halves = sum(not beam.whole for beam in beams)
    raked = sum(bool(beam.rake_deg) for beam in beams)
    kinds = [f"{count} {word}" for count, word in ((halves, "half"), (raked, "raked")) if count]
    marks = ", ".join(f"the {mark}" for mark in dict.fromkeys(beam.mark for beam in beams))
    sizes = dict.fromkeys((beam.siding, beam.moulding) for beam in beams)
    sided = ", ".join(
        f"{format_length(a, units)} sided by {format_length(b, units)} moulded" for a, b in list(sizes)[:3]
    )
    made = boat.settings.beams.made
    some = f" ({', '.join(kinds)})" if kinds else ""
    words = f"Beams: {len(beams)}{some}, x to {marks}{_apart(beams, units)}; {sided}, {made}"
    if made == "laminated" and boat.settings.beams.layers:
        words += f" in {boat.settings.beams.layers} layers"
    return words + "."


def _camber(settings) -> str:
    camber, units = settings.camber, settings.units
    least = f", at least {camber.least.short(units)} left to drain" if camber.least else ""
    return f"Camber: {camber.curve}, rule {camber.rule}, {camber.figure.short(units)}{least}."


def _apart(beams, units: str) -> str:
    steps = np.diff(sorted({beam.x for beam in beams}))
    if not len(steps):
        return ""
    low, high = (format_length(value, units) for value in (steps.min(), steps.max()))
    return f", {low} apart" if low == high else f", {low} to {high} apart"


def _readings(boat) -> str:
    if not boat.readings:
        return ""
    rounds = len({reading.round for reading in boat.readings})
    beams = len({reading.beam for reading in boat.readings})
    lines = f", from {len(boat.lines)} line{'s' * (len(boat.lines) > 1)}" if boat.lines else ""
    return f"Readings: {len(boat.readings)} on {beams} beams in {rounds} round{'s' * (rounds > 1)}{lines}."


def _fittings(boat) -> str:
    names = list(dict.fromkeys(fitting.what for fitting in boat.fittings))
    if not names:
        return ""
    off = [f"{fitting.what} {leaning_words(fitting.rake_deg, fitting.lean_deg)}" for fitting in boat.fittings
           if fitting.rake_deg or fitting.lean_deg]  # fmt: skip
    through = [one for one in boat.fittings if kind_of(one.what) in ("mast", "chainplate")]
    words = f"Fittings: {len(boat.fittings)} ({', '.join(names[:8])})."
    if off:
        words += f" Off plumb: {'; '.join(off[:8])}."
    return words + (" Masts and chainplates are taken as plumb." if through and not off else "")


def _marks(boat) -> str:
    twice = sum(mark.first is not None and mark.today is not None for mark in boat.marks)
    return f"Marks on the hull: {len(boat.marks)}, of which {twice} were measured twice." if boat.marks else ""


def _defaults(settings) -> str:
    missing = not_stated(settings)
    common = [key for key in missing if settings.source(key) == COMMON]
    if not common:
        return ""
    return f"Not stated, so taken by default ({COMMON}): {', '.join(common)}."
