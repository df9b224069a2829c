"""
Sheets for the laying of a deck: what goes where, what is cut from what, and one card for each glue-up.
"""

from __future__ import annotations

from functools import partial
from itertools import zip_longest

from deckgeom.drawings.laying import draw_planks, draw_sheets
from deckgeom.job import Job
from deckgeom.laying.boards import BOARD_HEADS, board_rows
from deckgeom.laying.fastenings import driving_words
from deckgeom.laying.plan import LayingPlan
from deckgeom.laying.plan_pieces import beam_middles
from deckgeom.laying.plan_way import WayPlan, scarf_of
from deckgeom.laying.plan_words import dry_fit_words, scarf_hold_words, to_buy
from deckgeom.laying.timber import timber_words
from deckgeom.papers.laying_landings import landing_pages, once_for_both, room_after
from deckgeom.papers.laying_shapes import shape_pages
from deckgeom.papers.page import Page
from deckgeom.papers.tables import columns, table_pages, word_pages
from deckgeom.units import format_length

__all__ = ["laying_pages"]

ABREAST = 7
"""Beams in one table of plank edges."""


def laying_pages(job: Job, start) -> list[Page]:
    """
    Every sheet for the laying of a deck, way by way.

    Parameters
    ----------
    job : Job
    start : callable
        Makes an empty sheet: start(title, note=...).

    Returns
    -------
    list of Page
        None where boat.toml names no way of laying, or there are no beams.

    Examples
    --------
    >>> from deckgeom.papers.page import Page
    >>> from pathlib import Path
    >>> from deckgeom.boat import Boat, default_settings
    >>> from deckgeom.job import do_job
    >>> laying_pages(do_job(Boat(Path("punt"), default_settings())), Page)
    []
    """
    if not job.boat.settings.laying.ways or job.laying is None:
        return []
    plan = job.laying
    pages = _beside(plan, start)
    for way in plan.ways:
        pages += _sheets(job, way, start) + shape_pages(way, start) + _planks(job, way, start)
        pages += _fastenings(job, way, start) + _cloth(way, start) + _cards(way, start)
        pages += _landings(way, start) + _buy(way, start)
    return pages + _framing(plan, start)


def _beside(plan: LayingPlan, start) -> list[Page]:
    names = [way.way.name for way in plan.ways]
    head = [way.way.words(plan.units) for way in plan.ways]
    wrong = plan.cannot_be()
    table = columns(("what it takes", *names), plan.quantities(), "l" + "r" * len(names))
    pages = table_pages(lambda: start("Laying the deck: the ways side by side"), table, size=11)
    pages[-1].cursor -= 4
    pages[-1].words([*head, *(["To settle first:"] if wrong else []), *wrong], size=10)
    return pages


def _sheets(job: Job, way: WayPlan, start) -> list[Page]:
    if not way.sheet_count:
        return []
    best, units, pages = way.sheets.best, way.units, []
    beams = [x for _, x in beam_middles(job.beams)]
    for skin in range(len(best.choices.skins)):
        page = start(f"Sheets: {way.way.name}", note=f"Skin {chr(65 + skin)}, the plan with the least joint.")
        page.place(draw_sheets(best, job.sheer, beams, units, skin))
        page.cursor -= 3
        scarf = scarf_of(way)
        said = [*best.words(units)] + ([way.sheets.as_laid.words(units)] if way.sheets.as_laid is not None else [])
        page.words(list(dict.fromkeys([*said, *(scarf[skin].words(units) if scarf else ())])), size=9.5)
        pages.append(page)
    rows = [(panel.panel.name, panel.verdict.verdict, format_length(panel.verdict.radius, units),
             f"{min(panel.verdict.bend_use, 99):.0%}") for panel in way.panels]  # fmt: skip
    heads = ("sheet", "will it go down?", "sharpest bend,\nradius", "of what\nit takes")
    note = ("The sheets are counted with their true shapes, laid flat, and what is left over at edges and scarfs. Try "
            "an offcut of the same sheet on the beams first.")  # fmt: skip
    return pages + table_pages(lambda: start(f"Will it go down? {way.way.name}", note=note),
                               columns(heads, rows, "llrr"))  # fmt: skip


def _planks(job: Job, way: WayPlan, start) -> list[Page]:
    if way.planks is None:
        return []
    units, say = way.units, partial(format_length, units=way.units)
    page = start(f"Planks: {way.way.name}", note=f"{way.planks.layer.words(units)}.")
    page.place(draw_planks(way.planks, job.sheer, way.planks.openings, units))
    said = [*way.planks.planking.words(units), *way.planks.notes]
    said += [f"{side.capitalize()}: {line}" for side, butts in way.planks.butts.items() for line in butts.words(units)]
    page.words(said, size=10)
    return [page, *_edges(job, way, start), *_lengths(way, say, start), *_boards(way, start)]


def _boards(way: WayPlan, start) -> list[Page]:
    """What covering boards and king plank are sawn from."""
    plans = way.planks.boards
    if not plans:
        return []
    note = "Laid flat, scarfs and trim in it. Sweep: the outer edge off the straight line joining its ends."
    pages = table_pages(lambda: start(f"Covering boards and king plank: {way.way.name}", note=note),
                        columns(BOARD_HEADS, board_rows(plans, way.units), "lllrrrr"), size=11, groups=5)  # fmt: skip
    pages[-1].cursor -= 3
    pages[-1].words(list(dict.fromkeys(line for plan in plans for line in plan.words(way.units))), size=10)
    return pages


def _edges(job: Job, way: WayPlan, start) -> list[Page]:
    """Where every plank edge crosses every whole beam, over the camber."""
    say, pages = partial(format_length, units=way.units), []
    beams = [(beam.name, sum(beam.faces_x) / 2) for beam in job.beams if beam.mark.whole]
    note = "From the centreline over the camber, at the middle of each beam. Edge 0 is the first to be laid to."
    if way.planks.planking.choices.lay == "straight":
        lays = {side: [(str(e.number), say(e.over[0])) for e in way.planks.planking.of(side)]
                for side in ("port", "starboard")}  # fmt: skip
        rows = max(lays.values(), key=len)
        ends = ", ".join(f"{side} to edge {mine[-1][0]}" for side, mine in lays.items() if mine)
        note = f"From the centreline over the camber, the same on every beam and on both sides: {ends}."
        table = columns(("edge", "over the camber"), rows, "lr")
        return table_pages(lambda: start(f"Plank edges: {way.way.name}", note=note), table, 11, 5) if rows else []
    sides = {side: _edge_rows(way.planks.planking.of(side), beams, say) for side in ("port", "starboard")}
    if sides["port"] == sides["starboard"]:
        sides = {"both sides": sides["port"]}
    for side, tables in sides.items():
        mine: list[Page] = []
        title = f"Plank edges, {side}: {way.way.name}"
        for some, rows in tables:
            if rows:
                heads = ("edge", *(f"beam {name}" for name, _ in some))
                following = room_after(mine, len(rows), partial(start, title, note=note), 10)
                made = table_pages(following, columns(heads, rows, "l" + "r" * len(some)), size=10, groups=5)
                mine += [page for page in made if page not in mine]
        pages += mine
    return pages


def _edge_rows(edges, beams, say) -> list[tuple[list, list]]:
    """Some beams and the rows of their table: each edge that lies on one of them."""
    tables = []
    for k in range(0, len(beams), ABREAST):
        some = beams[k : k + ABREAST]
        found = [(str(edge.number), *(edge.at(x) for _, x in some)) for edge in edges]
        tables.append((some, [(name, *("" if at is None else say(at[1]) for at in row))
                              for name, *row in found if any(row)]))  # fmt: skip
    return tables


def _lengths(way: WayPlan, say, start) -> list[Page]:
    rows: list[tuple[str, ...]] = []
    for side, butts in way.planks.butts.items():
        mine = [piece.name for piece in way.planks.pieces if piece.name.startswith(f"{side} plank")]
        rows += [(mine[one.plank], say(one.x0), say(one.x1), say(one.length), say(one.stock)) for one in butts.pieces]
    rows = once_for_both(rows)
    heads = ("plank", "from", "to", "length", "cut from")
    note = "Along the boat from zero. Planks end at openings (a, b from forward); leave what a slanting end takes."
    return table_pages(lambda: start(f"Plank lengths: {way.way.name}", note=note), columns(heads, rows, "lrrrr"),
                       size=11, groups=5)  # fmt: skip


def _fastenings(job: Job, way: WayPlan, start) -> list[Page]:
    pages, say = [], partial(format_length, units=way.units)
    for layer, plan, sizes in way.fastenings:
        rows = []
        for row in plan.rows:
            size = sizes.lengths.get(row.name)
            long = say(size.length) if size is not None and size.length is not None else "none in stock"
            rows.append((row.called, str(row.count), long))
        note = f"{way.way.layers[layer].words(way.units)}. {plan.to_buy()} in all with spares."
        heads, half = ("row", "fastenings", "length") * 2, -(-len(rows) // 2)
        both = [(*one, *two) for one, two in zip_longest(rows[:half], rows[half:], fillvalue=("", "", ""))]
        pages += table_pages(lambda n=note: start(f"Fastenings: {way.way.name}", note=n),
                             columns(heads, both, "lrr" * 2), size=11, groups=5)  # fmt: skip
        pages[-1].cursor -= 3
        wishes = job.boat.settings.laying
        driven = driving_words(wishes.fastening, wishes.fastening_diameter, wishes.gravity, way.units, wishes.timber)
        driven = (*filter(None, [timber_words(wishes)]), *driven)
        scarfs = scarf_hold_words(way) if way.way.layers[layer].kind == "ply" else ()
        said = [*driven, *plan.words(way.units), *scarfs, *sizes.below_words(way.units)]
        pages[-1].words(said, size=9.5)
    return pages


def _cloth(way: WayPlan, start) -> list[Page]:
    if way.sheathing is None:
        return []
    sessions = [f"Session {k}: {one.words(way.units)}" for k, one in enumerate(way.cloth, 1)]
    return word_pages(lambda: start(f"Sheathing: {way.way.name}"), [way.sheathing.words(way.units), sessions], size=12)


def _cards(way: WayPlan, start) -> list[Page]:
    pages = []
    for name, made in way.cards:
        for card in made:
            title = f"Glue-up {card.number} of {len(made)}: {way.way.name}"
            pages += word_pages(lambda t=title, n=name: start(t, note=f"{n}."), [card.words(way.units)], size=11.5)
    return pages


def _landings(way: WayPlan, start) -> list[Page]:
    if not way.landings:
        return []
    pages = landing_pages(way.landings, f"Landings: {way.way.name}", way.units, start)
    more = [*dry_fit_words(way), *(one.words(way.units) for one in way.sealing),
            *(line for job in way.paint for line in job.words(way.units))]  # fmt: skip
    return pages + word_pages(lambda: start(f"Dry fit, sealing and paint: {way.way.name}"), [(line,) for line in more])


def _buy(way: WayPlan, start) -> list[Page]:
    rows = to_buy(way)
    page = start(f"What to buy: {way.way.name}", note="Spares are in it. Low, likely and high where nobody can know.")
    for what, amount, band in rows:
        page.words([f"[   ]  {what}: {amount}" + (f" (low, likely, high: {band})" if band else "")], size=12)
        page.cursor -= 1.5
    basis = [f"{one.product}: {one.band.basis}" for one in way.shopping]
    page.cursor -= 4
    page.words(["What the amounts rest on:", *basis], size=8)
    return [page]


def _framing(plan: LayingPlan, start) -> list[Page]:
    units = plan.units
    pages, say = [], partial(format_length, units=units)
    for clamp in plan.framing.clamps:
        rows = [(name, say(x), say(below), say(down), f"{abs(bevel):.1f}° {'standing' if bevel > 0 else 'under'}")
                for name, x, below, down, bevel in zip(clamp.names, clamp.x, clamp.below_sheer, clamp.down_side,
                                                       clamp.bevel_deg, strict=True)]  # fmt: skip
        heads = ("beam", "from zero", "below the sheer,\nplumb", "down\nthe side", "bevel off\na square")
        note = f"Top outer corner, below the sheer as given ({clamp.heights_to}). Template three stations first."
        pages += table_pages(lambda s=clamp.side, n=note: start(f"Clamp, {s}", note=n), columns(heads, rows, "lrrrl"),
                             size=11, groups=5)  # fmt: skip
    pages += _holes(plan, start)
    timbers = [timber.words(units) for timber in plan.framing.timbers]
    more = [plan.framing.complaints] if plan.framing.complaints else []
    return pages + (word_pages(lambda: start("Framing under the deck"), timbers + more) if timbers or more else [])


def _holes(plan: LayingPlan, start) -> list[Page]:
    """Masts and chainplates: how to bore for each, a block of lines a hole."""
    names = ("raked", "leaning", "against the deck, along it", "against the deck, across it",
             "hole, on top and below", "its middle on top", "its middle below")  # fmt: skip
    rows = [(what if k == 0 else "", name, cell) for what, *cells in plan.framing.hole_rows(plan.units)
            for k, (name, cell) in enumerate(zip(names, cells, strict=True))]  # fmt: skip
    if not rows:
        return []
    note = ("The way its top lies: off plumb, by level and bevel, and against the deck, by a bevel stood on it. The "
            "underside runs with the deck.")  # fmt: skip
    return table_pages(lambda: start("Holes for mast and chainplates", note=note),
                       columns(("what", "", ""), rows, "lll"), size=11, groups=len(names))  # fmt: skip
