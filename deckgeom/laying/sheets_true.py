"""
True shapes fed back into a plan of sheets: whether each piece, laid flat, still goes on the sheet that it is cut from.

Seen from above a piece is smaller than it is: the deck's camber and sheer take their length in it.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np

from deckgeom.laying.lie_down_panel import Panel
from deckgeom.laying.sheets_pieces import pieces_of
from deckgeom.laying.sheets_wishes import nearest
from deckgeom.laying.true_shape import FlatPanel, true_shape
from deckgeom.units import format_length

__all__ = ["AsLaid", "candidates_as_laid", "cut_pieces", "cuts_as_laid", "true_cut"]

SIZE = 300.0
"""Of the triangles: as good as finer ones to a tenth of a millimetre on a deck. [mm]"""
NEAR = 0.985
"""Pieces whose middles take less of a sheet's length and breadth go on it. [1]"""
TRIES = 3
POINTS = 60.0
"""Between places at which a cut line is moved, at most. [mm]"""


@dataclass(frozen=True)
class AsLaid:
    """
    What true shapes change in a plan of sheets.

    Parameters
    ----------
    name : str
        Of the piece that does not go on its sheet, in the plan with the least joint seen from above.
    size, sheet : float
        Its true length or breadth with scarfs and margin, and the sheet's. [mm]
    closer : (float, float)
        By so much the sheet is taken as shorter and narrower, so that each piece goes on. [mm]
    fits : bool
        Whether a plan was found that goes on its sheets.

    Examples
    --------
    >>> AsLaid("A2", 1228, 1219, (0, 10)).words()
    'Laid flat, with scarfs and margin, A2 would be 1228 mm, and the sheet is 1219 mm: this plan has its joints closer.'
    """

    name: str
    size: float
    sheet: float
    closer: tuple[float, float] = (0.0, 0.0)
    fits: bool = True

    def words(self, units: str = "mm") -> str:
        """
        In a sentence.

        Parameters
        ----------
        units : {"mm", "ft-in-8", "in"}
        """
        say = lambda length: format_length(length, units)  # noqa: E731
        so = "this plan has its joints closer" if any(self.closer) else "plans with it are left out"
        so = so if self.fits else "no plan was found that goes on: leave less oversize, or cut a steeper scarf"
        return (f"Laid flat, with scarfs and margin, {self.name} would be {say(self.size)}, and the sheet is "
                f"{say(self.sheet)}: {so}.")  # fmt: skip


def true_cut(flat: FlatPanel, cut) -> np.ndarray:
    """
    A cut line laid flat with its panel: each place moves as the outline beside it does.

    Parameters
    ----------
    flat : FlatPanel
    cut : (n, 2) array
        Seen from above, on the outline or a little outside it. [mm]

    Returns
    -------
    (m, 2) array
        [mm]

    Examples
    --------
    >>> from deckgeom.deck.crown import SameProportion
    >>> from deckgeom.deck.even_hull import even_hull
    >>> from deckgeom.deck.surface import Deck
    >>> panel = Panel.rectangle("1", (-500, 500), (-600, 600))
    >>> flat = true_shape(Deck(even_hull(), SameProportion("circle", 0)), panel)
    >>> np.ptp(true_cut(flat, [[-520, -620], [520, -620], [520, 620], [-520, 620]]), axis=0).round(3).tolist()
    [1040.0, 1240.0]
    """
    cut = np.asarray(cut, float)
    ends = np.roll(cut, -1, axis=0)
    steps = np.maximum(1, np.ceil(np.hypot(*(ends - cut).T) / POINTS)).astype(int)
    points = np.vstack([a + np.arange(n)[:, None] / n * (b - a) for a, b, n in zip(cut, ends, steps, strict=True)])
    nodes = flat.mesh.outline()
    plan = np.column_stack([flat.mesh.x, flat.mesh.y])[nodes]
    moved = flat.flat[nodes] - plan
    run, more = np.roll(plan, -1, axis=0) - plan, np.roll(moved, -1, axis=0) - moved
    part = np.einsum("psc,sc->ps", points[:, None] - plan, run) / np.maximum((run**2).sum(axis=1), 1e-12)
    part = np.clip(part, 0, 1)
    off = ((plan + part[:, :, None] * run - points[:, None]) ** 2).sum(axis=2)
    best = off.argmin(axis=1)
    at = np.arange(len(points))
    return points + moved[best] + part[at, best][:, None] * more[best]


def cuts_as_laid(deck, skins) -> Callable[[dict], np.ndarray]:
    """
    What lays a raw piece's cut line flat.

    Parameters
    ----------
    deck : Deck
    skins : sequence of (float, float)
        Thickness of each skin, and of what lies under it. [mm]

    Returns
    -------
    callable
        laid(piece, roughly=False): from a piece of `pieces_of` to its cut line laid flat; as seen from above where the
        piece has no flat shape. Roughly, only its lengths along and across its middle are those over the deck.

    Examples
    --------
    >>> callable(cuts_as_laid(None, ()))
    True
    """

    def laid(piece: dict, roughly: bool = False) -> np.ndarray:
        thickness, under = skins[piece["skin"]]
        outline = np.asarray(piece["outline"], float)
        if roughly:
            return _by_girths(deck, outline, piece["cut"])
        try:
            flat = _flat(deck, outline.tobytes(), thickness, under + thickness / 2)
        except ValueError:
            return piece["cut"]
        return true_cut(flat, piece["cut"])

    return laid


def _by_girths(deck, outline: np.ndarray, cut) -> np.ndarray:
    """A cut line drawn out by the lengths over the deck along and across the middle of its piece."""
    low, high = outline.min(axis=0), outline.max(axis=0)
    middle = (low + high) / 2
    part = np.linspace(0, 1, 25)
    cut = np.asarray(cut, float).copy()
    for k in (0, 1):
        at = np.tile(middle, (25, 1))
        at[:, k] = low[k] + part * (high[k] - low[k])
        step = np.hypot(np.diff(at[:, k]), np.diff(deck.height(at[:, 0], at[:, 1])))
        cut[:, k] = middle[k] + (cut[:, k] - middle[k]) * step.sum() / (high[k] - low[k])
    return cut


@lru_cache(maxsize=256)
def _flat(deck, outline: bytes, thickness: float, lift: float) -> FlatPanel:
    """The same piece lies in several plans."""
    points = np.frombuffer(outline).reshape(-1, 2)
    return true_shape(deck, Panel.from_outline("piece", points, thickness=thickness, lift=lift), SIZE)


def candidates_as_laid(plan, beams, kept, found, laid) -> tuple:
    """
    Of the candidates those that go on their sheets laid flat; where none does, others with their joints closer.

    Parameters
    ----------
    plan : DeckPlan
    beams : (n,) array
        [mm]
    kept : SheetChoices
    found : (list of Answer, float)
        The candidates, least joint first, and the bound on their joints. [mm]
    laid : callable
        As from `cuts_as_laid`.

    Returns
    -------
    list of Answer
    list of list of dict
        Their pieces.
    float
        The bound. [mm]
    AsLaid or None
        None where all go on as they are.

    Examples
    --------
    >>> from deckgeom.laying.sheets_choice import SheetChoices
    >>> candidates_as_laid(None, (), SheetChoices(2440, 1220, (9,)), ([], 0.0), None)
    ([], [], 0.0, None)
    """
    size, less, first = np.array([kept.length, kept.width]), np.zeros(2), None
    answers, bound = found
    for _ in range(TRIES):
        raws = [pieces_of(plan, kept, answer) for answer in answers]
        over = [_over(raw, size, laid) for raw in raws]
        good = [k for k, (excess, _) in enumerate(over) if not np.any(excess > 1e-6)]
        first = first or next((note for _, note in over if note is not None), None)
        if good or not raws:
            note = None if first is None else replace(first, closer=tuple(less.tolist()))
            return [answers[k] for k in good], [raws[k] for k in good], bound, note
        less = less + np.ceil(min((excess for excess, _ in over), key=lambda excess: float(excess.sum())))
        try:
            smaller = replace(kept, length=kept.length - less[0], width=kept.width - less[1])
            again, answers, bound, _ = nearest(plan, beams, smaller)
        except ValueError:
            break
        if replace(again, length=kept.length, width=kept.width) != kept:
            break  # it would take more wishes given up
    answers, bound = found
    return answers, [pieces_of(plan, kept, answer) for answer in answers], bound, replace(first, fits=False)


def cut_pieces(pieces: list[dict], choices, laid, roughly: bool) -> list[dict]:
    """
    Raw pieces with their cut lines laid flat.

    Parameters
    ----------
    pieces : list of dict
    choices : SheetChoices
    laid : callable
    roughly : bool
        As for `laid`; a piece that is told too large so keeps its shape from above, for truly laid flat it goes on.

    Returns
    -------
    list of dict

    Examples
    --------
    >>> cut_pieces([], None, None, True)
    []
    """
    found = []
    for piece in pieces:
        cut = laid(piece, roughly=roughly)
        along = np.ptp(cut, axis=0)[:: 1 if piece["way"] == "fore-and-aft" else -1]
        goes = not roughly or np.all(along <= [choices.length, choices.width])
        found.append({**piece, "cut": cut if goes else piece["cut"]})
    return found


def _over(pieces: list[dict], size: np.ndarray, laid) -> tuple[np.ndarray, AsLaid | None]:
    """How far the pieces of a plan stand over length and breadth of their sheets, and the worst of them."""
    excess, worst = np.zeros(2), None
    for piece in pieces:
        along = np.s_[::1] if piece["way"] == "fore-and-aft" else np.s_[::-1]
        if np.any(np.ptp(laid(piece, roughly=True), axis=0)[along] > NEAR * size):
            true = np.ptp(laid(piece), axis=0)[along]
            k = int(np.argmax(true - size))
            if true[k] - size[k] > max(float(excess.max()), 1e-6):
                worst = AsLaid(piece["name"], math.ceil(true[k] * 10) / 10, float(size[k]))
            excess = np.maximum(excess, true - size)
    return excess, worst
