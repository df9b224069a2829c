"""
The last-chance list: what must be done before the deck closes over the framing.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from deckgeom.deck.framing_bores import bore, leaning_words, off_square
from deckgeom.deck.framing_places import Place, beams_under, place_of
from deckgeom.units import format_length

__all__ = ["LastChance", "LastChanceItem", "kind_of", "last_chance"]

#: Words by which a fitting is known, in the order in which they are looked for.
KINDS = (
    ("chainplate", ("chainplate", "chain plate", "shroud", "forestay", "backstay")),
    ("mast", ("mast",)),
    ("opening", ("hatch", "opening", "skylight", "companion", "vent", "deadlight", "portlight", "cockpit")),
    ("pad", ("pad", "cleat", "winch", "windlass", "stanchion", "bollard", "bitt", "samson", "eye", "track", "lead")),
)
#: What to do for each kind; common practice, no source.
WORK = {
    "chainplate": "packer fitted, its slot cut and its end grain sealed; room to reach the nuts from below",
    "mast": "partners fitted and bored as the mast stands, the hole's end grain sealed; a way for wires past it",
    "opening": "carlins and half beams in, corners square by the diagonals, sides marked to be found from above",
    "pad": "pad let in, faired to the beams and sealed; its bolts' places marked on the edge of the deck",
    "unknown": "say what it is: does it go through the deck, or stand on a pad?",
}
#: For every deck; common practice, no source.
ALWAYS = (
    "Tops of beams, carlins and pads faired and measured again after the last planing.",
    "End grain and the backs of clamps and carlins sealed while a brush still reaches them.",
    "Underside of the deck painted before it goes down, the landings masked so that glue holds there.",
    "Places of beams, carlins, pads and bolts carried over to the hull side, so that they are found from above.",
    "Wires, pipes and vent holes through the beams run, or strings left for them; drains at the low places.",
    "Photographs and a tape's readings of everything that will be hidden.",
    "Temporary props, screws and clamps that would be shut in taken out; tools counted.",
    "Diagonals, sheer and crown measured once more: the hull may have moved.",
)


@dataclass(frozen=True)
class LastChanceItem:
    """
    One line of the list.

    Parameters
    ----------
    place : Place or None
        None for what holds for every deck.
    kind : str
        "chainplate", "mast", "opening", "pad", "unknown" or "always".
    text : str
    alarm : str
        What is wrong as drawn; empty where nothing is.

    Examples
    --------
    >>> LastChanceItem(None, "always", "Tools counted.").alarm
    ''
    """

    place: Place | None
    kind: str
    text: str
    alarm: str = ""


@dataclass(frozen=True)
class LastChance:
    """
    What to do before the deck closes. Made by `last_chance`.

    Parameters
    ----------
    items : tuple of LastChanceItem
        Fittings from forward aft, then what holds for every deck.
    units : str

    Examples
    --------
    >>> LastChance((LastChanceItem(None, "always", "Tools counted."),)).words()
    ('Tools counted.',)
    """

    items: tuple[LastChanceItem, ...]
    units: str = "mm"

    @property
    def alarms(self) -> tuple[str, ...]:
        """What is wrong as drawn."""
        return tuple(item.alarm for item in self.items if item.alarm)

    def words(self, units: str | None = None) -> tuple[str, ...]:
        """One sentence for each line of the list."""
        out = []
        for item in self.items:
            where = f"{item.place.words(units or self.units)}: " if item.place else ""
            out.append(f"{where}{item.text}{'' if item.text.endswith(('.', '?')) else '.'}"
                       + (f" {item.alarm}" if item.alarm and item.alarm != item.text else ""))  # fmt: skip
        return tuple(out)


def kind_of(what: str) -> str:
    """
    What kind of fitting a name stands for.

    Parameters
    ----------
    what : str

    Returns
    -------
    str
        "chainplate", "mast", "opening", "pad" or "unknown".

    Examples
    --------
    >>> kind_of("fore hatch"), kind_of("mooring cleat pad"), kind_of("thing")
    ('opening', 'pad', 'unknown')
    """
    low = what.lower()
    return next((kind for kind, names in KINDS if any(name in low for name in names)), "unknown")


def last_chance(beams, fittings) -> LastChance:
    """
    The last-chance list of a boat.

    Parameters
    ----------
    beams : BeamSet
    fittings : sequence of Fitting
        Anything with what, x, y, length and breadth. [mm]

    Returns
    -------
    LastChance

    Examples
    --------
    >>> from deckgeom.deck.beams import BeamMark, lay_out_beams
    >>> from deckgeom.deck.crown import SameProportion
    >>> from deckgeom.deck.even_hull import even_hull
    >>> from deckgeom.deck.surface import Deck
    >>> beams = lay_out_beams(Deck(even_hull(), SameProportion("circle", "1:30")), [BeamMark("4", 0)])
    >>> last_chance(beams, [Place("chainplate", 10, 1400, 90, 10)]).alarms
    ('It runs through beam 4: move one of them.',)
    """
    found = []
    for fitting in fittings:
        kind = kind_of(fitting.what)
        try:
            place = place_of(beams.deck, fitting)
            hole = _hole(beams, fitting, place) if kind in ("mast", "chainplate") else None
        except ValueError as fault:
            found.append((float(fitting.x), LastChanceItem(None, kind, str(fault), str(fault))))
            continue
        text = WORK[kind] + (_stands(fitting, hole) if hole else "")
        found.append((place.x, LastChanceItem(place, kind, text, _alarm(beams, place, kind, hole))))
    found.sort(key=lambda each: each[0])
    always = tuple(LastChanceItem(None, "always", text) for text in ALWAYS)
    return LastChance(tuple(item for _, item in found) + always, beams.units)


def _hole(beams, fitting, place: Place):
    """The middle line of what goes through the deck and the framing under it."""
    depth = beams.deck.thickness + float(np.max(beams.frames.moulding))
    return bore(beams.deck, place.x, place.y, depth, getattr(fitting, "rake_deg", 0.0),
                getattr(fitting, "lean_deg", 0.0))  # fmt: skip


def _stands(fitting, hole) -> str:
    off = leaning_words(getattr(fitting, "rake_deg", 0.0), getattr(fitting, "lean_deg", 0.0))
    return f"; it stands {off}: against the deck {off_square(hole.aft_deg, hole.starboard_deg)}"


def _alarm(beams, place: Place, kind: str, hole=None) -> str:
    """What a builder would rather know now."""
    a, b = max(place.length, 1.0) / 2, max(place.breadth, 1.0) / 2
    reach = hole.reach(a, b) if hole else ((place.x - a, place.x + a), (place.y - b, place.y + b))
    hit = beams_under(beams, *reach)
    names = " and ".join(hit)
    if kind in ("chainplate", "mast") and hit:
        return f"It runs through beam {names}: move one of them."
    if kind == "opening":
        if not (place.length and place.breadth):
            return "It has no length or breadth in the list of fittings."
        if hit:
            size = format_length(place.breadth, beams.units)
            return f"It cuts beam {names}: half beams, and carlins {size} apart, take over there."
    if kind == "pad" and not hit:
        return "No beam runs under it: it needs blocking between the beams beside it."
    return ""
