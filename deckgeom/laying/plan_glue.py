"""
Glue, resin and paint of one way of laying: cards for the glue-ups, and what to buy.
"""

from __future__ import annotations

import numpy as np

from deckgeom.laying.bedding import plank_hold
from deckgeom.laying.dry_fit import dry_fit
from deckgeom.laying.fastenings import KINDS, FasteningRow
from deckgeom.laying.glue import Layer, amount, figures
from deckgeom.laying.glue_sessions import GlueCard, Part, glue_cards
from deckgeom.laying.glue_shopping import Need, Purchase, shopping
from deckgeom.laying.glue_time import Crew, Tin
from deckgeom.laying.quantities import Band
from deckgeom.laying.scarfs import Scarf
from deckgeom.units import format_length

__all__ = ["buy", "cards_of", "resin_layers"]

SKINS = "epoxy, spread for gluing skins"
BEAMS = "thickened glue on beams and pads"
BEDDING = "bedding under laid planks"
SEALING = "epoxy, sealing coat on bare wood"
BOXES = (100, 250, 500)
"""Fastenings in a box: common practice, no source."""


def covers_of(what: str, wishes, own=()) -> float | tuple[float, float, float]:
    """
    What a litre covers.

    Parameters
    ----------
    what : str
        A row of the tables "coverage" and "resin" in m2/L or mm.
    wishes : LayingSettings
        Their own figure for glue between skins wins.
    own : sequence of mapping
        The user's own rows, as in `figures`.

    Returns
    -------
    float or (float, float, float)
        Low, likely and high. [m2/L]

    Examples
    --------
    >>> from types import SimpleNamespace
    >>> covers_of(SKINS, SimpleNamespace(glue_covers=None))
    (2.0, 3.0, 4.0)
    """
    if what == SKINS and wishes.glue_covers:
        return wishes.glue_covers
    row = figures(own)[what]
    values = [float(row[key]) for key in ("low", "likely", "high")]
    return tuple(values) if row["unit"] == "m2/L" else tuple(round(1 / value, 2) for value in values[::-1])


def cards_of(found, wishes, bearers, deck) -> tuple[tuple[str, tuple[GlueCard, ...]], ...]:
    """
    Cards of every glue-up, by layer from the lowest up.

    Parameters
    ----------
    found : WayPlan
        With its panels, planks and fastenings.
    wishes : LayingSettings
    bearers : sequence of Bearer
    deck : Deck

    Returns
    -------
    tuple of (str, tuple of GlueCard)
        What is glued, and its cards. Planks that lie on the beams are nailed and not glued.

    Examples
    --------
    >>> from deckgeom.laying.plan_way import WayPlan
    >>> from deckgeom.laying.ways import Way
    >>> from types import SimpleNamespace
    >>> wishes = SimpleNamespace(pot_minutes=20, pot_degc=25, film_minutes=None, people=2)
    >>> cards_of(WayPlan(Way("bare", ()), None, (), "mm", 20.0), wishes, (), None)
    ()
    """
    tin = Tin(wishes.pot_minutes, wishes.pot_degc, wishes.film_minutes)
    crew, cards, number = Crew(wishes.people), [], 0
    for k, layer in enumerate(found.way.layers):
        if layer.kind == "cloth":
            continue
        if layer.kind == "ply":
            panels, number = [p for p in found.panels if p.skin == number], number + 1
            what = SKINS if k else BEAMS
            lying = [(panel, _glued(panel, bearers if k == 0 else None, deck)) for panel in panels]
            parts = [_panel_part(panel, found, area) for panel, area in lying if area > 0]
        else:
            what = BEDDING
            pieces = found.planks.pieces if k and found.planks else ()
            parts = _bedded(found, deck, pieces)
        parts = [part for part in parts if part.area > 0]
        if parts:
            made = glue_cards(parts, covers_of(what, wishes, found.own), tin, wishes.degc, crew, wishes.batch,
                              own=found.own)  # fmt: skip
            cards.append((f"{layer.words(found.units)}, {'on the beams' if k == 0 else 'on what lies below'}", made))
    return tuple(cards)


def _bedded(found, deck, pieces) -> list[Part]:
    """Planks that are bedded, each held along its seam until the bedding has set."""
    butts = [name for name, _ in found.planks.butt_places] if pieces else []
    parts = []
    for number, piece in enumerate(pieces):
        screws, weight = plank_hold(deck, piece, butts.count(piece.name))
        how = "" if number else "Press each down and wedge it up to the last."
        parts.append(Part(piece.name, _area(piece), place=3.0, how=how, temporary=screws, weight=weight))
    return parts


def _glued(panel, bearers, deck) -> float:
    """What of a sheet is glued: all of it, or where it lands on bearers. [m2]"""
    return panel.panel.area if bearers is None else dry_fit(panel.piece, bearers, deck).contact / 1e6


def _panel_part(panel, found, area: float) -> Part:
    piece = panel.piece
    counts: dict[float | None, int] = {}
    for layer, plan, sizes in found.fastenings:
        if layer == panel.skin_layer:
            for row in plan.rows:
                long = sizes.lengths[row.name].length if row.name in sizes.lengths else None
                counts[long] = counts.get(long, 0) + _inside(panel.panel, row)
    longs = {long: n for long, n in counts.items() if long and n}
    sized = " and ".join(f"{n} are {format_length(long, found.units)} long" for long, n in longs.items())
    sized = f"Each is {format_length(*longs, found.units)} long" if len(longs) == 1 and None not in counts else sized
    how = {"goes down": "", "goes down with force": "It takes force: props and clamps at hand."}
    how = how.get(panel.verdict.verdict, "It will not go down as it is: see above.")
    return Part(piece.name, area, sum(counts.values()), how=" ".join(filter(None, [f"{sized}." if sized else "", how])))


def _inside(panel, row: FasteningRow) -> int:
    """Fastenings of a row that stand within a panel."""
    on = (row.x >= panel.x[0]) & (row.x < panel.x[-1])
    low, high = panel.edges(row.x)
    return int(np.sum(on & (row.y >= low) & (row.y < high)))


def _area(piece) -> float:
    """Of a plank in plan. [m2]"""
    x, y = piece.outline.T
    return abs(float(np.dot(x, np.roll(y, -1)) - np.dot(y, np.roll(x, -1)))) / 2e6


def resin_layers(found, wishes) -> tuple[Layer, ...]:
    """
    Resin beside the glue-ups: scarfs, sealing and sheathing.

    Parameters
    ----------
    found : WayPlan
    wishes : LayingSettings

    Returns
    -------
    tuple of Layer

    Examples
    --------
    >>> from deckgeom.laying.plan_way import WayPlan
    >>> from deckgeom.laying.ways import Way
    >>> resin_layers(WayPlan(Way("bare", ()), None, (), "mm", 20.0), None)
    ()
    """
    layers = []
    if found.sheets is not None and found.sheets.plans and wishes.scarf:
        best = found.sheets.best
        for skin, thickness in enumerate(best.choices.skins):
            length = sum(joint.length for joint in best.joints if joint.skin == skin)
            if length:
                area = length * Scarf(thickness, wishes.scarf).slope_length / 1e6
                layers.append(Layer(f"scarfs of the {'first second third fourth'.split()[min(skin, 3)]} skin", area,
                                    "glue in a scarf"))  # fmt: skip
    if found.sheathing is not None:
        area, cloth = found.sheathing.area, wishes.cloth
        wet = "glass cloth, wetting out" if cloth == "glass" else "acrylic or polyester cloth, wetting out"
        layers.append(Layer("sealing under the cloth", area, SEALING))
        layers.append(Layer("cloth", area, wet, cloth=wishes.cloth_mass))
        layers.append(Layer("filling the weave", area, "filling the weave, one coat", 2))
    return tuple(layers)


def buy(found, wishes) -> tuple[Purchase, ...]:
    """
    All that comes in tins and boxes.

    Parameters
    ----------
    found : WayPlan
        With everything else in it.
    wishes : LayingSettings

    Returns
    -------
    tuple of Purchase

    Examples
    --------
    >>> from deckgeom.laying.plan_way import WayPlan
    >>> from deckgeom.laying.ways import Way
    >>> buy(WayPlan(Way("bare", ()), None, (), "mm", 20.0), None)
    ()
    """
    needs = [Need("epoxy, resin and hardener together", card.glue, wishes.tins) for _, made in found.cards
             for card in made]  # fmt: skip
    needs += [Need("epoxy, resin and hardener together", amount(layer, found.own), wishes.tins)
              for layer in found.resin]  # fmt: skip
    needs += [Need("epoxy, resin and hardener together", seal.resin, wishes.tins) for seal in found.sealing]
    for job in found.paint:
        needs += [Need("paint", litres, wishes.tins) for litres in job.litres]
    needs += [need for fastened in found.fastenings for need in _fastenings(found, wishes, *fastened)]
    return shopping([need for need in needs if need.band.likely > 0])


def _fastenings(found, wishes, layer: int, plan, sizes) -> list[Need]:
    """By length; those of boards that lie on other wood apart: who beds the boards alone leaves them out."""
    bedded = layer > 0 and found.way.layers[layer].kind == "planks"
    last = ", for covering boards and king plank, plugged; none where these are bedded alone" if bedded else ""
    needs, rest = [], plan.count() - sum(sizes.counts.values())
    for length, count in [*sizes.counts.items(), (None, rest)]:
        long = f", {format_length(length, found.units)} long" if length else ", of a length that is not in stock"
        kinds = ", ".join(KINDS[kind] for kind in KINDS if plan.count(kind))
        if count:
            needs.append(Need(f"{wishes.fastening}s{long}{last}", Band(count, count, count, "pieces", f"along {kinds}"),
                              BOXES, plan.choices.spares))  # fmt: skip
    return needs
