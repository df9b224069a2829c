"""
Lines along which fastenings go: what they are driven into, and even steps over the runs of a line that are clear.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from deckgeom.laying.sheets_outline import Box, DeckPlan

__all__ = ["FasteningRow", "Support", "clear_places", "even_row", "follow", "supports_of"]

#: Lines are followed in steps about this long. [mm]
STEP = 2.0


@dataclass(frozen=True, eq=False)
class FasteningRow:
    """
    One row of fastenings.

    Parameters
    ----------
    name : str
        Of its beam, edge or joint.
    kind : str
        One of `KINDS` of the module `fastenings`.
    x, y : (n,) array
        Where each goes; y starboard positive. [mm]
    length : float
        Over the deck from first to last, openings left out. [mm]
    on : str
        The beam that a row beside a joint is driven into; empty for all others.

    Examples
    --------
    >>> FasteningRow("4", "beam", np.zeros(3), np.array([-100.0, 0, 100]), 200.0).count
    3
    """

    name: str
    kind: str
    x: np.ndarray
    y: np.ndarray
    length: float
    on: str = ""

    @property
    def count(self) -> int:
        """How many."""
        return len(self.x)

    @property
    def called(self) -> str:
        """Its name on a page."""
        return f"beam {self.name}" if self.kind == "beam" else self.name


class Support(NamedTuple):
    """
    A beam or carlin under the deck, in plan.

    Attributes
    ----------
    name : str
        As the list of beams has it, or the carlin's.
    kind : {"beam", "carlin"}
    x0, x1, y0, y1 : float
        Its faces; ends beyond the deck are taken as at its edge. [mm]

    Examples
    --------
    >>> Support("4", "beam", 1000, 1044, -900, 900).middle
    1022.0
    """

    name: str
    kind: str
    x0: float
    x1: float
    y0: float
    y1: float

    @property
    def middle(self) -> float:
        """Of a beam along the boat, of a carlin off the centreline. [mm]"""
        return (self.x0 + self.x1) / 2 if self.kind == "beam" else (self.y0 + self.y1) / 2

    @property
    def siding(self) -> float:
        """[mm]"""
        return self.x1 - self.x0 if self.kind == "beam" else self.y1 - self.y0


def supports_of(bearers) -> tuple[Support, ...]:
    """
    Beams and carlins among what a deck lies on.

    Parameters
    ----------
    bearers : sequence of Bearer
        Pads are left out: what stands on them is bolted through them.

    Returns
    -------
    tuple of Support

    Examples
    --------
    >>> from deckgeom.laying.dry_fit import Bearer
    >>> [one.name for one in supports_of([Bearer.across("beam 4", 1000, 1044), Bearer.across("pad", 0, 9)])]
    ['4']
    """
    found = []
    for bearer in bearers:
        word, _, rest = bearer.name.partition(" ")
        if word in ("beam", "carlin"):
            (x0, y0), (x1, y1) = bearer.outline.min(axis=0).tolist(), bearer.outline.max(axis=0).tolist()
            found.append(Support(rest if word == "beam" else bearer.name, word, x0, x1, y0, y1))
    return tuple(found)


def follow(deck, x, y) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """
    A line in plan in small steps, with the true length over the deck to each.

    Parameters
    ----------
    deck : Deck
    x, y : (n,) array
        [mm]

    Returns
    -------
    x, y, run : (m,) array
        [mm]

    Examples
    --------
    >>> from deckgeom.deck.crown import SameProportion
    >>> from deckgeom.deck.even_hull import even_hull
    >>> from deckgeom.deck.surface import Deck
    >>> float(follow(Deck(even_hull(), SameProportion("circle", 0)), [0, 300], [0, 400])[2][-1].round(6))
    500.0
    """
    x, y = np.asarray(x, float), np.asarray(y, float)
    steps = np.maximum(1, np.ceil(np.hypot(np.diff(x), np.diff(y)) / STEP)).astype(int)
    at = np.concatenate([[0.0], *(k + np.arange(1, n + 1) / n for k, n in enumerate(steps))])
    x, y = (np.interp(at, np.arange(len(steps) + 1), v) for v in (x, y))
    z = deck.height(x, y)
    run = np.sqrt(np.diff(x) ** 2 + np.diff(y) ** 2 + np.diff(z) ** 2)
    return x, y, np.concatenate([[0.0], np.cumsum(run)])


def _to_box(x, y, box: Box) -> np.ndarray:
    """Distance in plan to a rectangle, nought inside."""
    off = np.maximum(box.x0 - x, x - box.x1), np.maximum(box.y0 - y, y - box.y1)
    return np.hypot(np.maximum(off[0], 0), np.maximum(off[1], 0))


def clear_places(plan: DeckPlan, edge: float, x, y) -> np.ndarray:
    """
    Which places keep their distance from the deck edge and from openings.

    Parameters
    ----------
    plan : DeckPlan
    edge : float
        [mm]
    x, y : (n,) array
        [mm]

    Returns
    -------
    (n,) bool array

    Examples
    --------
    >>> clear_places(DeckPlan([0, 1000], [500, 500], [500, 500]), 20, np.array([500.0, 990]), np.zeros(2)).tolist()
    [True, False]
    """
    good = np.ones(len(x), bool)
    for box in (*plan.openings, *plan.clear_of):
        good &= _to_box(x, y, box) >= edge - 1e-9
    for half, sign in ((plan.port, -1.0), (plan.starboard, 1.0)):
        first, last = np.searchsorted(plan.x, [x.min() - edge, x.max() + edge]) if len(x) else (0, 0)
        ends = np.column_stack([plan.x, sign * half])[max(first - 1, 0) : last + 1]
        for (ax, ay), (bx, by) in zip(ends[:-1], ends[1:], strict=True):
            near = (x > min(ax, bx) - edge) & (x < max(ax, bx) + edge) & (sign * y > min(sign * ay, sign * by) - edge)
            if near.any():
                px, py, dx, dy = x[near] - ax, y[near] - ay, bx - ax, by - ay
                part = np.clip((px * dx + py * dy) / (dx * dx + dy * dy), 0, 1)
                good[near] &= np.hypot(px - part * dx, py - part * dy) >= edge - 0.05
    inside = (y > -np.interp(x, plan.x, plan.port) - 1e-6) & (y < np.interp(x, plan.x, plan.starboard) + 1e-6)
    return good & inside & (x >= plan.start + edge - 1e-6) & (x <= plan.end - edge + 1e-6)


def even_row(deck, plan: DeckPlan, name: str, kind: str, line, spacing: float, edge: float,
             keep: Callable | None = None, on: str = "") -> FasteningRow | None:  # fmt: skip
    """
    Even steps no longer than the spacing over each clear run of a line, both ends of the run fastened.

    Parameters
    ----------
    deck : Deck
    plan : DeckPlan
    name, kind, on : str
        Of the row.
    line : (x, y)
        (n,) array each. [mm]
    spacing, edge : float
        [mm]
    keep : callable, optional
        keep(x, y): which places more are to be kept, such as those clear of seams.

    Returns
    -------
    FasteningRow or None
        None where nothing of the line is clear.

    Examples
    --------
    >>> from deckgeom.deck.crown import SameProportion
    >>> from deckgeom.deck.even_hull import even_hull
    >>> from deckgeom.deck.surface import Deck
    >>> from deckgeom.laying.sheets_outline import deck_plan
    >>> deck = Deck(even_hull(), SameProportion("circle", 0))
    >>> even_row(deck, deck_plan(deck), "4", "beam", ([0, 0], [-300, 300]), 150, 20).count
    5
    """
    x, y, run = follow(deck, *line)
    good = clear_places(plan, edge, x, y)
    if keep is not None:
        good &= keep(x, y)
    bounds = np.flatnonzero(np.diff(np.r_[0, good.astype(int), 0]))
    found, length = [], 0.0
    for a, b in zip(bounds[::2], bounds[1::2] - 1, strict=True):
        whole = run[b] - run[a]
        count = max(int(math.ceil(whole / spacing - 1e-6)), 1) + 1 if whole > 2 * edge else 1
        at = np.linspace(run[a], run[b], count) if count > 1 else np.array([(run[a] + run[b]) / 2])
        found.append((np.interp(at, run, x), np.interp(at, run, y)))
        length += whole
    if not found:
        return None
    x, y = (np.concatenate(part) for part in zip(*found, strict=True))
    return FasteningRow(name, kind, x, y, float(length), on)
