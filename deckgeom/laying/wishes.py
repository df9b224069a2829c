"""
Wishes that cannot be had as they stand: each told in one line, and the nearest that can be had put in its place.

A line says the value, the rule, the likely slip, and what this plan has instead or what to do next.
"""

from __future__ import annotations

import itertools
import re
from dataclasses import dataclass, replace
from functools import partial

import numpy as np

from deckgeom.deck.framing_list import kind_of
from deckgeom.deck.framing_places import place_of
from deckgeom.laying.ways import DeckLayer, Way
from deckgeom.units import format_length, format_offcentre

__all__ = [
    "Standing", "butt_lines", "cards_line", "cloth_that_laps", "layers_that_fit", "standing", "times_that_go",
]  # fmt: skip

THROUGH = ("opening", "mast", "chainplate")
"""Kinds of fitting that go through the deck."""


@dataclass(frozen=True)
class Standing:
    """
    Fittings as the plan takes them. Made by `standing`.

    Parameters
    ----------
    fittings : tuple of Fitting
        Those on the deck; an opening that reached over its edge is cut there.
    lines : tuple of str
        One for each that is left out, cut or in the way of another.

    Examples
    --------
    >>> Standing(()).lines
    ()
    """

    fittings: tuple
    lines: tuple[str, ...] = ()


def standing(deck, fittings, units: str = "mm", edge: float = 0.0) -> Standing:
    """
    Fittings that stand on the deck, and a line for each that does not, or that lies over another.

    Parameters
    ----------
    deck : Deck
    fittings : sequence of Fitting
    units : {"mm", "ft-in-8", "in"}
    edge : float
        Deck left outside an opening that is cut: room for its carlin. [mm]

    Returns
    -------
    Standing

    Examples
    --------
    >>> from deckgeom.deck.crown import SameProportion
    >>> from deckgeom.deck.even_hull import even_hull
    >>> from deckgeom.deck.framing_places import Place
    >>> from deckgeom.deck.surface import Deck
    >>> deck = Deck(even_hull(), SameProportion("circle", "1:30"))
    >>> found = standing(deck, [Place("hatch", 9000, 0, 600, 600), Place("vent", 0, 0, 100, 100)])
    >>> [one.what for one in found.fittings], len(found.lines)
    (['vent'], 1)
    """
    kept, lines = [], []
    for fitting in fittings:
        one, line = _stood(deck, fitting, units, edge)
        kept += [one] if one is not None else []
        lines += [line] if line else []
    return Standing(tuple(kept), (*lines, *_over_each_other(deck, kept, units)))


def _row(fitting) -> str:
    row = getattr(fitting, "row", None)
    return f"fittings.csv, row {row}: " if row else ""


def _stood(deck, fitting, units: str, edge: float):
    """The fitting as it is taken, or None, and the line about it."""
    mm, sheer, what = partial(format_length, units=units), deck.sheer, fitting.what
    if not sheer.start <= fitting.x <= sheer.end:
        line = (f"{what} stands at {mm(fitting.x)} along the boat, and the deck runs from {mm(sheer.start)} to "
                f"{mm(sheer.end)}. Is x in another unit, or from another zero? This plan leaves it out.")  # fmt: skip
        return None, _row(fitting) + line
    try:
        place = place_of(deck, fitting)
    except ValueError:
        port, starboard = (mm(abs(float(deck.edge(side, fitting.x)[0]))) for side in ("port", "starboard"))
        line = (f"{what} stands {format_offcentre(float(fitting.y), units)} at {mm(fitting.x)} along the boat, and the "
                f"deck there runs from {port} port to {starboard} starboard. Is y a whole breadth, or the side wrong? "
                "This plan leaves it out.")  # fmt: skip
        return None, _row(fitting) + line
    kind = kind_of(what)
    if kind == "opening" and not (place.length and place.breadth):
        line = (f"{what} has no {'length' if not place.length else 'breadth'}, and an opening has both. Was the cell "
                "left blank? This plan cuts nothing out for it and has no carlins there.")  # fmt: skip
        return fitting, _row(fitting) + line
    return _within(deck, fitting, place, mm, edge) if kind == "opening" else (fitting, "")


def _within(deck, fitting, place, mm, edge: float):
    """An opening cut where it reaches over the deck's edge or end."""
    sheer, (a, b) = deck.sheer, (place.length / 2, place.breadth / 2)
    x = np.clip(np.linspace(place.x - a, place.x + a, 33), sheer.start, sheer.end)
    port, starboard = (deck.edge(side, x)[0] for side in ("port", "starboard"))
    over = {"forward": sheer.start - (place.x - a), "aft": place.x + a - sheer.end,
            "to port": float(port.max()) - (place.y - b),
            "to starboard": place.y + b - float(starboard.min())}  # fmt: skip
    worst = max(over, key=over.get)
    if over[worst] <= 1e-6:
        return fitting, ""
    said = (f"{_row(fitting)}{fitting.what}, {mm(place.length)} by {mm(place.breadth)}, reaches {mm(over[worst])} over "
            f"the edge of the deck {worst}, and an opening lies within it. Is its place wrong, or length and breadth "
            "swapped?")  # fmt: skip
    x0, x1 = max(place.x - a, sheer.start + edge), min(place.x + a, sheer.end - edge)
    y0, y1 = max(place.y - b, float(port.max()) + edge), min(place.y + b, float(starboard.min()) - edge)
    if min(x1 - x0, y1 - y0) <= 0:
        return None, f"{said} Nothing of it is left inside: this plan leaves it out."
    cut = replace(fitting, x=(x0 + x1) / 2, y=(y0 + y1) / 2, length=x1 - x0, breadth=y1 - y0)
    return cut, f"{said} This plan cuts it to {mm(x1 - x0)} by {mm(y1 - y0)}, inside the edge."


def _over_each_other(deck, fittings, units: str) -> list[str]:
    """Things that go through the deck at one place, or a pad in an opening."""
    mm, lines, places = partial(format_length, units=units), [], []
    for fitting in fittings:
        kind = kind_of(fitting.what)
        if kind in (*THROUGH, "pad"):
            places.append((kind, fitting, place_of(deck, fitting)))
    for (one, first, a), (two, second, b) in itertools.combinations(places, 2):
        if "pad" in (one, two) and "opening" not in (one, two):
            continue
        long = (a.length + b.length) / 2 - abs(a.x - b.x)
        broad = (a.breadth + b.breadth) / 2 - abs(a.y - b.y)
        if long > 1.0 and broad > 1.0:
            lines.append(
                f"{_row(second)}{first.what} and {second.what} lie over each other by {mm(long)} along the boat and "
                f"{mm(broad)} across, and two things cannot stand in one place. Is an x or a y that of another "
                "fitting? This plan cuts out both: move one."
            )
    return lines


def layers_that_fit(deck, way: Way, units: str = "mm") -> tuple[Way, tuple[str, ...]]:
    """
    A way of laying with boards and planks no wider than the deck.

    Parameters
    ----------
    deck : Deck
    way : Way
    units : {"mm", "ft-in-8", "in"}

    Returns
    -------
    Way
    tuple of str
        One line for each width that had to give way.

    Examples
    --------
    >>> from deckgeom.deck.crown import SameProportion
    >>> from deckgeom.deck.even_hull import even_hull
    >>> from deckgeom.deck.surface import Deck
    >>> deck = Deck(even_hull(half_breadth=900), SameProportion("circle", "1:30"))
    >>> found, lines = layers_that_fit(deck, Way("a", (DeckLayer("planks", 12, 50, covering_board=1500),)))
    >>> found.layers[0].covering_board, len(lines)
    (0.0, 1)
    """
    x = np.linspace(deck.sheer.start, deck.sheer.end, 201)
    half = min(float(np.max(deck.sheer.half_breadth(side, x))) for side in ("port", "starboard"))
    layers, lines = [], []
    for layer in way.layers:
        made, line = _planks_that_fit(layer, half, partial(format_length, units=units))
        layers.append(made)
        lines += [line] if line else []
    return (replace(way, layers=tuple(layers)) if lines else way), tuple(lines)


def _planks_that_fit(layer: DeckLayer, half: float, mm) -> tuple[DeckLayer, str]:
    if layer.kind != "planks":
        return layer, ""
    if layer.covering_board >= half:
        return replace(layer, covering_board=0.0), (
            f"A covering board {mm(layer.covering_board)} broad, and the deck is {mm(half)} from the centreline to its "
            "edge at the widest: nothing is left for planks. Is it in another unit, or the whole breadth? This plan "
            "has no covering board."
        )
    if layer.king / 2 >= half - layer.covering_board:
        return replace(layer, king=0.0), (
            f"A king plank {mm(layer.king)} broad, and the deck has {mm(2 * (half - layer.covering_board))} between "
            "its covering boards at the widest: nothing is left for planks. Is it in another unit? This plan has no "
            "king plank."
        )
    room = half - layer.covering_board - layer.king / 2
    if layer.width > room:
        return replace(layer, width=room * 0.999), (
            f"Planks {mm(layer.width)} wide, and the deck has {mm(room)} for them on each side at the widest: not one "
            f"goes on. Is it in another unit, or a length? This plan has planks {mm(room)} wide, one to a side."
        )
    return layer, ""


def cards_line(cards) -> str:
    """
    Glue-ups that do not fit the time that the glue leaves, in one line.

    Parameters
    ----------
    cards : sequence of (str, sequence of GlueCard)
        By layer.

    Returns
    -------
    str
        Empty where all fit.

    Examples
    --------
    >>> cards_line(())
    ''
    """
    every = [card for _, made in cards for card in made]
    late = [card for card in every if not card.fits]
    if not late:
        return ""
    worst = max(late, key=lambda card: card.minutes / card.time.film[0])
    helps = worst.remedy.partition("What helps: ")[2]
    return (
        f"{len(late)} of {len(every)} glue-ups do not fit the glue: {worst.parts[0].name} alone takes "
        f"{worst.minutes:.0f} minutes from the first glue to the last fastening, and spread out it may leave "
        f"{worst.time.film[0]:.0f} with {worst.people} {'person' if worst.people == 1 else 'people'} at "
        f"{worst.time.degc:.0f} degC. Is the time in the pot of another tin, or in hours? Do not start like this: "
        f"{helps or 'a slower hardener, or more hands.'} The cards carry it piece by piece."
    )


def butt_lines(butts) -> tuple[str, ...]:
    """
    What cannot be had of the butts, one line; both sides together where the same is true of both.

    Parameters
    ----------
    butts : dict of str to ButtPlan
        By side.

    Returns
    -------
    tuple of str

    Examples
    --------
    >>> from types import SimpleNamespace
    >>> short = SimpleNamespace(complaints=("Stock too short: 500 mm.", "No shift is kept."))
    >>> butt_lines({"port": short, "starboard": short})
    ('Planks port and starboard: Stock too short: 500 mm. No shift is kept.',)
    """
    said = {side: " ".join(plan.complaints) for side, plan in butts.items() if plan.complaints}
    kinds: dict[str, list[str]] = {}
    for side, line in said.items():
        kinds.setdefault(re.sub(r"\d+", "#", line), []).append(side)
    return tuple(f"Planks {' and '.join(sides)}: {said[sides[0]]}" for sides in kinds.values())


def cloth_that_laps(lines: list[str], wishes):
    """
    Wishes with a lap that the roll is broad enough for.

    Parameters
    ----------
    lines : list of str
        What cannot be is added here.
    wishes : LayingSettings

    Returns
    -------
    LayingSettings

    Examples
    --------
    >>> from deckgeom.boat import default_settings
    >>> told = []
    >>> cloth_that_laps(told, replace(default_settings().laying, cloth_lap=1500.0)).cloth_lap, len(told)
    (127.0, 1)
    """
    width, lap, drop = wishes.cloth_width, wishes.cloth_lap, wishes.cloth_drop
    if lap >= width:
        lap = width / 10
        lines.append(
            f"The cloth is {width:g} mm wide and its lap {wishes.cloth_lap:g} mm: a lap is less than the roll. Are the "
            f"two swapped, or is one in another unit? This plan has a lap of {lap:g} mm."
        )
    if drop >= width:
        lines.append(
            f"The cloth is to hang {drop:g} mm over the deck edge and the roll is {width:g} mm wide: it would hang on "
            f"the topside alone. Is the drop in another unit? This plan has a drop of {width / 10:g} mm."
        )
        drop = width / 10
    same = (lap, drop) == (wishes.cloth_lap, wishes.cloth_drop)
    return wishes if same else replace(wishes, cloth_lap=lap, cloth_drop=drop)


def times_that_go(lines: list[str], wishes):
    """
    Wishes with a time spread out that is longer than the one in the pot.

    Parameters
    ----------
    lines : list of str
        What cannot be is added here.
    wishes : LayingSettings

    Returns
    -------
    LayingSettings

    Examples
    --------
    >>> from deckgeom.boat import default_settings
    >>> times_that_go([], replace(default_settings().laying, film_minutes=5)).film_minutes is None
    True
    """
    if wishes.film_minutes is None or wishes.film_minutes >= wishes.pot_minutes:
        return wishes
    lines.append(
        f"Spread out the glue is to last {wishes.film_minutes:g} minutes and in the pot {wishes.pot_minutes:g}: spread "
        "out it lasts longer. Are the two swapped? This plan takes 4 to 5 times the time in the pot: look at the tin."
    )
    return replace(wishes, film_minutes=None)
