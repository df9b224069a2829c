"""
What a beam's figures rest on, in words.
"""

from __future__ import annotations

from functools import partial

import numpy as np

from deckgeom.deck.bending import GRAIN_SOURCE, one_in
from deckgeom.deck.why import why_camber
from deckgeom.units import format_length


def _ordinal(y: float, units: str) -> str:
    """A distance off the centreline, with its side."""
    if abs(y) < 0.5:
        return "the centreline"
    return f"{format_length(abs(y), units)} {'port' if y < 0 else 'starboard'}"


def mould_face(beam) -> str:
    """Which face is the higher, and where that changes."""
    table = beam.ordinates
    ways = table.high_edge[table.on_both & (table.high_edge != "square")]
    if ways.size == 0:
        return "either face"
    runs = [ways[0], *ways[1:][ways[1:] != ways[:-1]]]
    faces = ["forward face" if way == "forward edge high" else "after face" for way in runs]
    if len(faces) == 1:
        return faces[0]
    stops = ["the port end", *(_ordinal(y, beam.beams.units) for y in beam.mould_changes), "the starboard end"]
    return "; ".join(f"{f} from {a} to {b}" for f, a, b in zip(faces, stops[:-1], stops[1:], strict=True))


def conventions(beams) -> tuple[str, ...]:
    """What all numbers are taken to."""
    deck, mm = beams.deck, partial(format_length, units=beams.units, fine=True)
    deck_off = plank_off = "nothing is taken off"
    if deck.depth("beam"):
        deck_off = f"the deck's {mm(deck.thickness)} is taken off square to the deck"
    if beams.half_breadths_to.startswith("outside"):
        plank_off = f"the planking's {mm(beams.planking)} is taken off square to the hull side"
    words = [
        "Heights are up from the base line to the top of the beams.",
        f"The offsets' heights go to the {deck.heights_to}: {deck_off}.",
        f"The offsets' half-breadths go to the {beams.half_breadths_to}: for the beams' ends {plank_off}.",
        "x runs aft, y is off the centreline with starboard positive, both from the boat's own zero.",
        "Camber is the rise at the centreline above the line joining the deck edges.",
        "A beam stands square to the centreline, plumb unless it has a rake; a raked beam is drawn in its own plane, "
        "and its x is taken on the centreline at the height of the line joining the deck edges.",
        "The mould is cut to the higher face at each point. The underside is parallel to the top at the moulding.",
    ]
    if beams.spring is not None:
        words.append(f"Jig cambers allow for spring-back once: {beams.spring.source}.")
    return tuple(words)


def why(beam, what: str, units: str) -> str:
    """The answer of `Beam.why`."""
    if what not in REASONS:
        raise KeyError(f"No reason is kept for {what!r}. There is one for: {', '.join(REASONS)}.")
    return REASONS[what](beam, partial(format_length, units=units, fine=True), units)


def _x(beam, mm, units) -> str:
    forward, after = beam.faces_x
    return (
        f"{beam.mark.mark} at {mm(beam.x)} in the beam list; sided {mm(beam.mark.siding)}, so the forward face stands "
        f"at {mm(forward)} and the after face at {mm(after)}."
    )


def _half_breadth(beam, mm, units) -> str:
    p, s = beam.half_breadth_port, beam.half_breadth_starboard
    return (
        f"Deck edge at {mm(beam.x)} on the fair sheer: {mm(p)} port, {mm(s)} starboard, {mm(p + s)} in all, to the "
        f"{beam.beams.half_breadths_to}."
    )


def _camber(beam, mm, units) -> str:
    c = beam.camber
    wide = beam.half_breadth_port + beam.half_breadth_starboard
    here = f"breadth here {mm(beam.half_breadth_port)} + {mm(beam.half_breadth_starboard)} = {mm(wide)}"
    ratio = f", so {mm(c)} is {one_in(c / wide)} of the whole beam" if c > 0 else ""
    if beam.mark.rake_deg:
        return f"Camber {mm(c)}: measured in the beam's own plane, raked {beam.mark.rake_deg:g} degrees; {here}{ratio}."
    if beam.beams.frames.own[beam.index] >= 0:
        return f"Camber {mm(c)}: this beam's own, from the beam list; {here}{ratio}."
    return why_camber(beam.beams.deck, beam.x, units)


def _edge_line(beam) -> tuple[float, float, float]:
    sheer, x = beam.beams.deck.sheer, beam.x
    return float(sheer.height("port", x)), float(sheer.height("starboard", x)), float(beam.beams.frames.z[beam.index])


def _crown_height(beam, mm, units) -> str:
    port, starboard, middle = _edge_line(beam)
    depth = beam.beams.deck.depth("beam")
    off = f", less the deck's {mm(depth)} square to it" if depth else ""
    return (
        f"Line joining the deck edges ({mm(port)} port, {mm(starboard)} starboard) at the centreline {mm(middle)}, "
        f"plus camber {mm(beam.camber)}{off}: {mm(beam.crown_height)}."
    )


def _edge_height(beam, mm, units) -> str:
    port, starboard, _ = _edge_line(beam)
    depth = beam.beams.deck.depth("beam")
    off = f", less the deck's {mm(depth)} measured square to its slope there" if depth else ""
    return (
        f"Fair sheer at {mm(beam.x)}: {mm(port)} port, {mm(starboard)} starboard{off}: {mm(beam.edge_height_port)} "
        f"port, {mm(beam.edge_height_starboard)} starboard."
    )


def _edge_slope(beam, mm, units) -> str:
    port, starboard = beam.beams.edge_slopes_deg[beam.index]
    return (
        f"The top falls outwards at the deck edge by {port:.2f} degrees port and {starboard:.2f} degrees starboard; "
        f"the steeper is given. It comes from a camber of {mm(beam.camber)} on {mm(beam.half_breadth_port)} and "
        f"{mm(beam.half_breadth_starboard)} half-breadth."
    )


def _jig_camber(beam, mm, units) -> str:
    spring = beam.beams.spring
    if spring is None:
        return "The beams are sawn: there is no jig."
    return (
        f"Camber wanted {mm(beam.camber)}, times {spring.factor:.4f} for spring-back, once: {mm(beam.jig_camber)}. "
        f"Spring-back: {spring.source}."
    )


def _mould_face(beam, mm, units) -> str:
    table = beam.ordinates
    middle = int(np.argmin(np.abs(table.y)))
    a, b = table.height[middle]
    return (
        f"The mould is cut to the higher face at each point: {mould_face(beam)}. At "
        f"{_ordinal(table.y[middle], units)} the forward face is {mm(a)} high and the after face {mm(b)}."
    )


def _bevel(beam, mm, units) -> str:
    table = beam.ordinates
    real = np.flatnonzero(table.on_both)
    most = real[np.argmax(table.bevel_deg[real])]
    return (
        "Rise over the siding = the faces' heights apart, square across the timber. Most at "
        f"{_ordinal(table.y[most], units)}: {mm(table.rise_over_siding[most])} over {mm(beam.mark.siding)} is "
        f"{table.bevel_deg[most]:.2f} degrees, {table.high_edge[most]}."
    )


def _end(beam, mm, units) -> str:
    beams, words = beam.beams, []
    flare = float(np.degrees(np.arctan(beams.flare[beam.index])))
    off = beams.planking if beams.half_breadths_to.startswith("outside") else 0.0
    for i, side in enumerate(("port", "starboard")):
        if beams.ends.limited[beam.index, i]:
            limit = _ordinal(beams.ends.y[beam.index, 0, i], units)
            words.append(f"{side} at the half beam's limit, {limit}, plumb and square")
            continue
        for face in ("forward", "after"):
            end = beam.end(side, face)
            words.append(f"{side} {face} {mm(end.top)} at the top, {mm(end.bottom)} at the bottom")
    return (
        f"From the centreline to the inside of the planking (fair sheer, less {mm(off)} of planking, flare {flare:g} "
        f"degrees): {'; '.join(words)}."
    )


def _end_angle(beam, mm, units) -> str:
    words = []
    for side in ("port", "starboard"):
        forward, after = beam.end(side, "forward"), beam.end(side, "after")
        gap = after.top - forward.top
        longer = "the after" if gap > 0 else "the forward"
        words.append(
            f"{side} {abs(forward.end_angle_deg):.2f} degrees off square: {longer} face is longer by {mm(abs(gap))} "
            f"over a siding of {mm(beam.mark.siding)}"
        )
    return "; ".join(words) + "."


def _stock_depth(beam, mm, units) -> str:
    rise = beam.ordinates.offset.max()
    return (
        f"The mould rises {mm(rise)} above the line joining its ends, and its underside lies {mm(beam.mark.moulding)} "
        f"inside it: a straight plank of {mm(beam.stock_depth)} holds both."
    )


def _grain_slope(beam, mm, units) -> str:
    return (
        f"Sawn from straight stock, the grain runs out steepest at the beam's end, {one_in(beam.grain_slope)}: the "
        "slope of the top there against the line joining the ends."
    )


def _strength_left(beam, mm, units) -> str:
    table = f"({GRAIN_SOURCE}; between its rows on the straight line between them)"
    if beam.strength_left is None:
        steep = f"Slope of grain {one_in(beam.grain_slope)} is steeper than 1:5"
        return f"{steep}: less than 55 %, and the table goes no further {table}."
    return (
        f"Slope of grain {one_in(beam.grain_slope)} leaves {beam.strength_left:.0f} % of the bending strength of "
        f"straight grain {table}. Whether that is enough is for the local rules and a licensed designer or surveyor."
    )


REASONS = {
    "x": _x,
    "half_breadth": _half_breadth,
    "camber": _camber,
    "crown_height": _crown_height,
    "edge_height": _edge_height,
    "edge_slope": _edge_slope,
    "jig_camber": _jig_camber,
    "mould_face": _mould_face,
    "bevel": _bevel,
    "end": _end,
    "end_angle": _end_angle,
    "stock_depth": _stock_depth,
    "grain_slope": _grain_slope,
    "strength_left": _strength_left,
}
