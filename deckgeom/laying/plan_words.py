"""
What one way of laying takes, as rows and sentences.
"""

from __future__ import annotations

from functools import partial

from deckgeom.laying.glue_shopping import Purchase
from deckgeom.units import format_length

__all__ = ["dry_fit_words", "scarf_hold_words", "to_buy"]


def to_buy(found) -> list[tuple[str, str, str]]:
    """
    Everything to buy, one row each.

    Parameters
    ----------
    found : WayPlan

    Returns
    -------
    list of (str, str, str)
        What, how much, and low, likely and high where it is a band.

    Examples
    --------
    >>> from deckgeom.laying.plan_way import WayPlan
    >>> from deckgeom.laying.ways import Way
    >>> to_buy(WayPlan(Way("bare", ()), None, (), "mm", 20.0))
    []
    """
    units, rows = found.units, []
    if found.sheet_count:
        length, width = (format_length(size, units) for size in _sheet(found))
        for thickness, nest in found.sheets.best.nests:
            rows.append((f"ply {format_length(thickness, units)}", f"{nest.sheets} sheets of {length} by {width}", ""))
    if found.planks is not None:
        counts: dict[float, int] = {}
        for butts in found.planks.butts.values():
            counts = {length: counts.get(length, 0) + n for length, n in butts.counts.items()}
        said = ", ".join(f"{n} of {format_length(length, units)}" for length, n in counts.items() if n)
        layer = found.planks.layer
        name = f"planks {format_length(layer.thickness, units)}, {format_length(layer.width, units)} wide"
        rows.append((name, said, ""))
        rows += _boards(found)
    if found.sheathing is not None:
        wide = format_length(found.sheathing.cloth.width, units)
        rows.append(("cloth", f"{format_length(found.sheathing.roll_length, units)} off a roll {wide} wide", ""))
    if found.bedding is not None:
        rows.append(("temporary screws with washers", f"{found.bedding.to_buy}, at most "
                     f"{format_length(found.bedding.longest, units)} long; drawn and used again along the deck", ""))
    cleats = max((len(hold.at) for hold in found.scarf_holds), default=0)
    if cleats:
        rows.append(("cleats over a scarf", f"{cleats}, with a temporary screw at each end of each: the longest joint; "
                     "used again from joint to joint", ""))  # fmt: skip
    return rows + [_straps(found, *fastened) for fastened in found.fastenings if fastened[1].straps] + [
        _row(one) for one in found.shopping]


def _boards(found) -> list[tuple[str, str, str]]:
    """What covering boards and king plank are sawn from, each length with its broadest piece."""
    say = partial(format_length, units=found.units)
    rows = []
    for what, word in (("boards for the covering boards", "covering board"), ("boards for the king plank", "king")):
        pieces = [piece for plan in found.planks.boards if word in plan.name for piece in plan.pieces]
        sizes: dict[float, list[float]] = {}
        for piece in sorted(pieces, key=lambda piece: piece.stock):
            sizes.setdefault(piece.stock, []).append(piece.breadth)
        listed = (f"{len(each)} of {say(long)}, {say(max(each))} broad or more" for long, each in sizes.items())
        rows += [(what, "; ".join(listed), "")] if pieces else []
    return rows


def _straps(found, layer: int, plan, sizes) -> tuple[str, str, str]:
    """Straps under butts of sheets, or blocks under butts of planks."""
    say = partial(format_length, units=found.units)
    deep = next((depth for what, depth in sizes.below.items() if "butt" in what), None)
    thick = f", {say(deep)} deep or more" if deep else ""
    if found.way.layers[layer].kind == "ply":
        return ("straps under butts", f"{len(plan.straps)} of ply or board {say(plan.choices.strap)} broad{thick}, "
                f"{say(sum(plan.straps))} in all", "")  # fmt: skip
    wide = say(found.way.layers[layer].width + 2 * plan.choices.edge)
    return "butt blocks", f"{len(plan.straps)} of {say(plan.straps[0])} by {wide}{thick}", ""


def _row(one: Purchase) -> tuple[str, str, str]:
    kinds = ("tin of {:g} L", "tins of {:g} L") if one.band.unit == "litres" else ("box of {:g}", "boxes of {:g}")
    tins, more = (" and ".join(f"{n} {kinds[n > 1].format(size)}" for size, n in each.items())
                  for each in (one.tins, one.if_high))  # fmt: skip
    words = tins + (f"; should it turn out high, {more} more" if more else "")
    band = one.band
    return one.product, words, f"{band.low:g}, {band.likely:g}, {band.high:g}" if band.low < band.high else ""


def scarf_hold_words(found) -> tuple[str, ...]:
    """
    How scarfs are held while they set, as they have no fastenings of their own.

    Parameters
    ----------
    found : WayPlan

    Returns
    -------
    tuple of str

    Examples
    --------
    >>> from deckgeom.laying.plan_way import WayPlan
    >>> from deckgeom.laying.ways import Way
    >>> scarf_hold_words(WayPlan(Way("bare", ()), None, (), "mm", 20.0))
    ()
    """
    holds = found.scarf_holds
    if not holds:
        return ()
    longest = max(holds, key=lambda hold: len(hold.at))
    step = longest.at[1] - longest.at[0] if len(longest.at) > 1 else 0.0
    apart = f", {format_length(step, found.units)} apart on the longest" if step else ""
    return (f"Scarfs have no rows of their own: the rows of the beams below go through them. While they set they are "
            f"held by cleats over thin plastic{apart}, a temporary screw at each end of each: "
            f"{sum(len(hold.at) for hold in holds)} places on {len(holds)} joints, {len(longest.at)} cleats and "
            f"{2 * len(longest.at)} screws at once (common practice, no source).",)  # fmt: skip


def dry_fit_words(found) -> tuple[str, ...]:
    """
    How the dry fit is held, and in which order the deck is lifted.

    Parameters
    ----------
    found : WayPlan

    Returns
    -------
    tuple of str

    Examples
    --------
    >>> from deckgeom.laying.plan_way import WayPlan
    >>> from deckgeom.laying.ways import Way
    >>> dry_fit_words(WayPlan(Way("bare", ()), None, (), "mm", 20.0))
    ()
    """
    lines = []
    if found.temporary:
        lines.append(
            f"Dry fit with {found.temporary} temporary screws, each in a hole that a permanent fastening takes later: "
            "no hole is bored twice."
        )
    for layer in (layer for k, layer in enumerate(found.way.layers) if layer.kind == "planks" and k):
        words = layer.words(found.units)
        lines.append(f"{words[:1].upper()}{words[1:]}: the planks are bedded on the wood below without permanent "
                     "fastenings (common practice, no source).")  # fmt: skip
        lines += found.bedding.words(found.units) if found.bedding is not None else ()
    if found.relief:
        lines.append(
            f"{found.relief} relief holes in the sheets that lie on other wood, between the fastenings, let air and "
            "glue out (spacing: common practice, no source)."
        )
    if found.halves is not None:
        if found.halves.lifted_first:
            lines += found.halves.words(found.units)
        else:
            lines.append(
                "Every piece lies across the centreline: lift them one by one from the last laid, pile them in that "
                "order, and glue from the first."
            )
    return tuple(lines)


def _sheet(found) -> tuple[float, float]:
    return found.sheets.best.choices.length, found.sheets.best.choices.width
