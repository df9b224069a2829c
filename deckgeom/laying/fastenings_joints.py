"""
Rows of fastenings beside butts, on a beam or through a strap, and the lines of beams, carlins and deck edges.
"""

from __future__ import annotations

import math

import numpy as np

from deckgeom.laying.fastenings_lines import FasteningRow, Support, even_row
from deckgeom.laying.planks import inside_edge
from deckgeom.laying.sheets_outline import DeckPlan

__all__ = ["clear_of_joints", "fastened_edge", "joint_rows", "support_line"]

#: A strap ends so far short of a beam. Own default. [mm]
SHORT = 5.0
#: Wood left outside a row that is moved out from an opening on a carlin. Own default. [mm]
OUTSIDE = 10.0


def support_line(plan: DeckPlan, one: Support, edge: float):
    """
    The line of fastenings on a beam or a carlin.

    Parameters
    ----------
    plan : DeckPlan
    one : Support
    edge : float
        Kept from openings: on a carlin that lies along one the line is moved out so far, where the carlin is broad
        enough. [mm]

    Returns
    -------
    ((2,) array, (2,) array) or None
        x and y of its ends; None where it lies outside the deck. [mm]

    Examples
    --------
    >>> deck = DeckPlan([0, 2000], [500, 500], [500, 500])
    >>> [v.tolist() for v in support_line(deck, Support("4", "beam", 980, 1020, -900, -100), 20)]
    [[1000.0, 1000.0], [-500.0, -100.0]]
    """
    if one.kind == "carlin":
        y = one.middle
        for box in plan.openings:
            if box.x0 < one.x1 and one.x0 < box.x1:
                if box.y1 - 1 <= y < box.y1 + edge:
                    y = min(box.y1 + edge, one.y1 - OUTSIDE)
                elif box.y0 - edge < y <= box.y0 + 1:
                    y = max(box.y0 - edge, one.y0 + OUTSIDE)
        return np.array([one.x0 + edge, one.x1 - edge]), np.array([y, y])
    x = one.middle
    low = max(one.y0, -float(np.interp(x, plan.x, plan.port)))
    high = min(one.y1, float(np.interp(x, plan.x, plan.starboard)))
    if not (plan.start <= x <= plan.end and high - low > 2 * edge):
        return None
    return np.full(2, float(x)), np.array([low, high])


def fastened_edge(deck, plan: DeckPlan, side: str, edge: float) -> tuple[np.ndarray, np.ndarray]:
    """
    The line along a deck edge, so far inside it that a fastening keeps its distance.

    Parameters
    ----------
    deck : Deck
    plan : DeckPlan
    side : {"port", "starboard"}
    edge : float
        In plan. [mm]

    Returns
    -------
    (n,) array, (n,) array
        x and y; port negative. [mm]

    Examples
    --------
    >>> from deckgeom.deck.crown import OneMould
    >>> from deckgeom.deck.even_hull import even_hull
    >>> from deckgeom.deck.surface import Deck
    >>> from deckgeom.laying.sheets_outline import deck_plan
    >>> deck = Deck(even_hull(length=6000, half_breadth=1000), OneMould("circle", 60))
    >>> round(float(fastened_edge(deck, deck_plan(deck), "port", 20)[1].min()))
    -980
    """
    x = np.linspace(plan.start, plan.end, 97)
    steep = float(np.abs(deck.slopes(x, deck.edge(side, x)[0])[1]).max())
    x, y = inside_edge(deck, side, edge * math.hypot(1, steep) + 0.5)
    return x, (-y if side == "port" else y)


def clear_of_joints(x, y, joints, beside: float) -> np.ndarray:
    """
    Which places stand clear of butts.

    Parameters
    ----------
    x, y : (n,) array
        [mm]
    joints : sequence of Joint
    beside : float
        Kept from each. [mm]

    Returns
    -------
    (n,) bool array

    Examples
    --------
    >>> from deckgeom.laying.sheets import Joint
    >>> joint = Joint(0, "along", 0.0, 100.0, 900.0, 100.0)
    >>> clear_of_joints(np.array([450.0, 450.0]), np.array([90.0, 120.0]), [joint], 15).tolist()
    [False, True]
    """
    good = np.ones(len(x), bool)
    for joint in joints:
        run = np.array([joint.x1 - joint.x0, joint.y1 - joint.y0])
        part = np.clip(((x - joint.x0) * run[0] + (y - joint.y0) * run[1]) / max(run @ run, 1e-9), 0, 1)
        good &= np.hypot(x - joint.x0 - part * run[0], y - joint.y0 - part * run[1]) >= beside - 1e-9
    return good


def joint_rows(deck, plan: DeckPlan, joints, supports, choices) -> tuple[list[FasteningRow | None], tuple[float, ...]]:
    """
    A row on each side of every butt: on the beam that it lies on, else through a strap between the beams.

    Parameters
    ----------
    deck : Deck
    plan : DeckPlan
    joints : sequence of Joint
    supports : sequence of Support
    choices : FasteningChoices

    Returns
    -------
    list of FasteningRow or None
    tuple of float
        Length of each strap. [mm]

    Examples
    --------
    >>> joint_rows(None, None, (), (), None)
    ([], ())
    """
    rows, straps = [], []
    beams = [one for one in supports if one.kind == "beam"]
    for number, joint in enumerate(joints, 1):
        others = [j for j in joints if j is not joint]

        def keep(x, y, others=others):
            return clear_of_joints(x, y, others, choices.beside)

        across, bare = joint.run == "across", _without_beams(joint, beams)
        for beam in beams if across else ():
            low, high = max(joint.y0, beam.y0), min(joint.y1, beam.y1)
            if abs(joint.x0 - beam.middle) < beam.siding / 2 and low < high:
                off = min(choices.beside, beam.siding / 4)
                for step, side in ((-off, "forward"), (off, "abaft")):
                    line = np.full(2, joint.x0 + step), np.array([low, high])
                    rows.append(even_row(deck, plan, f"joint {number} on beam {beam.name}, {side}", "joint", line,
                                         choices.spacing, choices.edge, keep, beam.name))  # fmt: skip
        for a, b in bare if choices.strap else ():
            straps.append(b - a)
            for side, name in ((-1, "forward" if across else "port"), (1, "abaft" if across else "starboard")):
                fixed = np.full(2, (joint.x0 if across else joint.y0) + side * choices.strap / 4)
                ends = np.array([a + min(choices.beside, (b - a) / 4), b - min(choices.beside, (b - a) / 4)])
                line = (fixed, ends) if across else (ends, fixed)
                rows.append(even_row(deck, plan, f"strap of joint {number}, {name}", "strap", line,
                                     choices.spacing / 2, choices.edge, keep))  # fmt: skip
    return rows, tuple(straps)


def _without_beams(joint, beams) -> list[tuple[float, float]]:
    """Runs of a joint that no beam carries, ended short of the beams that it crosses."""
    across = joint.run == "across"
    left = [(joint.y0, joint.y1) if across else (joint.x0, joint.x1)]
    for beam in beams:
        if across:
            on = abs(joint.x0 - beam.middle) < beam.siding / 2
            low, high = beam.y0 - SHORT, beam.y1 + SHORT
        else:
            on, low, high = beam.y0 < joint.y0 < beam.y1, beam.x0 - SHORT, beam.x1 + SHORT
        if on:
            left = [part for a, b in left for part in ((a, min(b, low)), (max(a, high), b)) if part[1] - part[0] > 0]
    return [(a, b) for a, b in left if b - a > 4 * SHORT]
