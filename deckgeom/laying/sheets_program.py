"""
Where sheets meet: the least total length of joint, as an integer program with one yes or no for each place of a
joint. Layouts are tried in the order of the least that each could come to, until no other can beat those found.
"""

from __future__ import annotations

import heapq
import itertools
import time
from dataclasses import dataclass

import numpy as np

from deckgeom.laying.sheets_choice import Layout, SheetChoices

__all__ = ["Answer", "choose_joints", "solve_layouts"]

#: A layout is left when its joints are proved to be within this part of the least.
GAP = 0.003


@dataclass(frozen=True, eq=False)
class Answer:
    """
    One choice of layouts and joints.

    Parameters
    ----------
    layouts : tuple of Layout
        One a skin.
    chosen : tuple of tuple of tuple of int
        For each skin and band the places of its joints, ends included.
    length : float
        Of all joints. [mm]
    bound : float
        No choice with these layouts is shorter. [mm]

    Examples
    --------
    >>> Answer((), (), 0.0, 0.0).length
    0.0
    """

    layouts: tuple[Layout, ...]
    chosen: tuple
    length: float
    bound: float


def _seams_clash(one: Layout, two: Layout, stagger: float) -> bool:
    return any(abs(a - b) < stagger for a in one.seams for b in two.seams)


def _names(layouts) -> list[tuple]:
    return [(layout.way, layout.seams) for layout in layouts]


def choose_joints(skins: list[list[Layout]], choices: SheetChoices) -> tuple[list[Answer], float]:
    """
    The best choices of layouts and joints over all skins.

    Parameters
    ----------
    skins : list of list of Layout
        What may be had for each skin.
    choices : SheetChoices

    Returns
    -------
    answers : list of Answer
        Shortest first, as many as wanted where there are as many.
    bound : float
        No choice among these layouts is shorter than this. [mm]

    Examples
    --------
    >>> choose_joints([[Layout("athwart", (), (), 0.0, 0.0)]], SheetChoices(2440, 1220, (9,), wanted=1))[0][0].length
    0.0
    """
    begun, order = time.perf_counter(), itertools.count()
    heap = []
    alike = len(set(choices.skins)) == 1
    for layouts in itertools.product(*skins):
        if alike and _names(layouts) > _names(layouts[::-1]):
            continue  # the same skins the other way up
        if not any(_seams_clash(a, b, choices.stagger) for a, b in itertools.pairwise(layouts)):
            heap.append((sum(layout.bound for layout in layouts), next(order), layouts, ()))
    heapq.heapify(heap)
    answers: list[Answer] = []
    again: list = []
    left = np.inf
    while heap or (again and len(answers) < choices.wanted):
        if not heap:
            again.sort(key=lambda entry: entry[:2])
            heap = [again.pop(0)]
        bound, _, layouts, barred = heapq.heappop(heap)
        worst = sorted(a.length for a in answers)[choices.wanted - 1] if len(answers) >= choices.wanted else np.inf
        spent = time.perf_counter() - begun
        if bound >= worst - 1e-6 or spent > choices.seconds:
            left = bound
            break
        answer = solve_layouts(layouts, choices, barred, max((choices.seconds - spent) / 3, 0.5))
        if answer is not None:
            answers.append(answer)
            again.append((answer.length, next(order), layouts, (*barred, answer.chosen)))
    answers.sort(key=lambda a: a.length)
    return answers[: choices.wanted], min([left, *(a.bound for a in answers)])


def solve_layouts(layouts: tuple[Layout, ...], choices: SheetChoices, barred=(), seconds: float = 5.0) -> Answer | None:
    r"""
    Choose the joints of all bands of all skins at once.

    Parameters
    ----------
    layouts : tuple of Layout
        One a skin.
    choices : SheetChoices
    barred : sequence
        Choices that are not wanted again.
    seconds : float
        Time for it. [s]

    Returns
    -------
    Answer or None
        None where there is no choice.

    Notes
    -----
    .. math:: \min \sum c_j y_j, \quad \sum_{x_j \in (x, x + R]} y_j \ge 1, \quad \sum_{x_j \in [x, x + s)} y_j \le 1

    with y yes or no for a joint at x and c its length. The first holds along each band for the reach R of a sheet, the
    second over each two bands that lie on each other for the stagger s.

    References
    ----------
    Q. Huangfu, J.A.J. Hall, Math. Prog. Comp. 10 (2018) 119-142 (from memory): the solver, scipy's HiGHS.

    Examples
    --------
    >>> solve_layouts((Layout("athwart", (), (), 500.0, 500.0),), SheetChoices(2440, 1220, (9,))).bound
    500.0
    """
    from scipy.optimize import LinearConstraint, milp
    from scipy.sparse import csr_matrix

    seams = sum(layout.seam_length for layout in layouts)
    bands = [(k, b, band) for k, layout in enumerate(layouts) for b, band in enumerate(layout.bands)]
    if not bands:
        return Answer(layouts, tuple(() for _ in layouts), seams, seams)
    start = np.cumsum([0, *(len(band.at) for _, _, band in bands)])
    rows = _Rows()
    for n, (_, _, band) in enumerate(bands):
        _within_reach(rows, band, start[n])
        _spaced(rows, band.spacing, (band, start[n]))
    for (n, (k, _, one)), (m, (j, _, two)) in itertools.combinations(enumerate(bands), 2):
        if abs(k - j) == 1 and min(one.high, two.high) > max(one.low, two.low):
            _spaced(rows, choices.stagger, (one, start[n]), (two, start[m]))
    for chosen in barred:
        _not_again(rows, bands, start, chosen)
    cost = np.concatenate([band.cost for _, _, band in bands])
    entries = tuple(np.concatenate(part) for part in (rows.value, rows.row, rows.column))
    matrix = csr_matrix((entries[0], entries[1:]), shape=(rows.count, start[-1]))
    held = LinearConstraint(matrix, rows.low, rows.high)
    options = {"time_limit": float(seconds), "mip_rel_gap": GAP}
    found = milp(
        cost, constraints=held, bounds=(0, 1), integrality=np.ones(len(cost)), options=options
    )
    if found.x is None:
        return None
    chosen = _chosen(layouts, bands, start, found.x > 0.5)
    bound = found.mip_dual_bound
    least = found.fun if bound is None else bound
    return Answer(layouts, chosen, seams + float(cost @ (found.x > 0.5)), seams + float(least))


class _Rows:
    """Rows of the program as they are written down."""

    def __init__(self) -> None:
        self.value, self.row, self.column = [], [], []
        self.low, self.high, self.count = [], [], 0

    def add(self, columns, values, low: float, high: float) -> None:
        columns = np.atleast_1d(columns)
        self.value.append(np.broadcast_to(np.asarray(values, float), columns.shape))
        self.row.append(np.full(len(columns), self.count))
        self.column.append(columns)
        self.low.append(low)
        self.high.append(high)
        self.count += 1


def _within_reach(rows: _Rows, band, start: int) -> None:
    """Both ends of the band count as joints, and from each place the next is within reach."""
    last = len(band.at) - 1
    rows.add([start, start + last], 1.0, 2.0, 2.0)
    for place in range(last):
        far, end = band.next_places(place)
        if end < 0:
            rows.add(start + np.arange(place + 1, far + 1), 1.0, 1.0, np.inf)


def _spaced(rows: _Rows, spacing: float, *runs) -> None:
    """Of all joints of these bands within a length no more than one is there."""
    for first in np.unique(np.concatenate([band.at[1:-1] for band, _ in runs])):
        columns = []
        for band, start in runs:
            inside = (band.at >= first) & (band.at < first + spacing - 1e-9)
            inside[[0, -1]] = False
            columns.append(start + np.flatnonzero(inside))
        together = np.concatenate(columns)
        if len(together) > 1 and all(len(part) for part in columns):
            rows.add(together, 1.0, 0.0, 1.0)


def _not_again(rows: _Rows, bands, start, chosen) -> None:
    columns = np.concatenate([start[n] + np.array(chosen[k][b]) for n, (k, b, _) in enumerate(bands)])
    rows.add(columns, 1.0, 0.0, len(columns) - 1.0)


def _chosen(layouts, bands, start, taken) -> tuple:
    found = [[None] * len(layout.bands) for layout in layouts]
    for n, (k, b, _) in enumerate(bands):
        found[k][b] = tuple(np.flatnonzero(taken[start[n] : start[n + 1]]).tolist())
    return tuple(tuple(skin) for skin in found)
