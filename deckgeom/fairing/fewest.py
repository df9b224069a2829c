"""Fewest beams touched: a choice of whole beams, behind a button, with how far it is proved."""

from __future__ import annotations

import contextlib
import os
import sys
import time
from dataclasses import dataclass, replace

import numpy as np

from deckgeom.fairing.beam_tops import BeamTops
from deckgeom.fairing.choices import PlanChoices
from deckgeom.fairing.field import Field
from deckgeom.fairing.found import Estimate
from deckgeom.fairing.plan import believed_tops, plan_work
from deckgeom.fairing.verdict import Verdicts
from deckgeom.fairing.work_plan import WorkPlan

#: The planned surface may change its curvature this much faster, at worst, than the fair surface does.
AS_FAIR = 1.25
#: How far a beam may be worked where no limit is given: this many times the farthest that any stands off. [1]
FAR = 2.0
#: How `milp` says that the time ran out.
_TIME_UP = 1


@dataclass(frozen=True, eq=False)
class FewestBeams:
    """
    The fewest beams that must be touched.

    Parameters
    ----------
    beams : tuple of int
        Which, from 0.
    at_least : int
        No choice of fewer beams than this can do.
    gap : float
        How far the number may be above the fewest, as a fraction; 0 if proved. [1]
    seconds : float
        What it took. [s]
    possible : bool
        False if no choice of beams meets the wishes; `plan` then says which are broken.
    plan : WorkPlan
        The work on those beams alone.

    Examples
    --------
    See `fewest_beams`.

    >>> FewestBeams.__name__
    'FewestBeams'
    """

    beams: tuple[int, ...]
    at_least: int
    gap: float
    seconds: float
    possible: bool
    plan: WorkPlan

    @property
    def words(self) -> str:
        """The number of beams and whether it is proved, lengths in mm."""
        return self.said("mm")

    def said(self, units: str = "mm") -> str:
        """
        The number of beams and whether it is proved.

        Parameters
        ----------
        units : {"mm", "ft-in-8", "in"}
            For lengths.

        Returns
        -------
        str
        """
        if not self.possible:
            return "No choice of beams meets these wishes. " + " ".join(self.plan.breach_words(units)[:3])
        if not self.beams:
            return "No beam need be touched: one fair surface passes all of them within what is let pass."
        number = f"{len(self.beams)} {'beam' if len(self.beams) == 1 else 'beams'}"
        names = ", ".join(self.plan.tops.beam_names[b] for b in self.beams)
        listed = f": {names}" if names else ""
        if self.gap <= 1e-9:
            return f"{number} at the fewest{listed}. Proved: fewer cannot do."
        return f"{number}{listed}. Fewer than {self.at_least} cannot do; time was up before the rest was settled."


def fewest_beams(
    tops: BeamTops,
    estimate: Estimate,
    verdicts: Verdicts | None = None,
    choices: PlanChoices | None = None,
    seconds: float = 10.0,
) -> FewestBeams:
    """
    Choose the fewest beams to touch so that the rest is fair as it stands.

    Parameters
    ----------
    tops : BeamTops
        The readings.
    estimate : Estimate
        Stage A.
    verdicts : Verdicts, optional
        Stage B, as for `plan_work`.
    choices : PlanChoices, optional
        What the builder will and will not do.
    seconds : float
        Time to give it. [s]

    Returns
    -------
    FewestBeams

    Notes
    -----
    One yes or no for each beam. A beam that is not touched must lie within the dead band of a surface whose change of
    curvature is nowhere much greater than that of the fair surface; a touched one within its limits. Solved by
    scipy's HiGHS [1]_; the work on the chosen beams is then planned as usual.

    References
    ----------
    .. [1] Q. Huangfu, J.A.J. Hall, Math. Prog. Comp. 10 (2018) 119-142 (from memory).

    Examples
    --------
    >>> from deckgeom.fairing.fair import estimate
    >>> from deckgeom.fairing.verdict import judge
    >>> y, x = np.tile([-900.0, 0, 900], 9), np.repeat(np.arange(9) * 400.0, 3)
    >>> beam = np.repeat(np.arange(9), 3)
    >>> z = 1000 + 20 * np.sin(x / 4000) - y**2 / 16200 + 5.0 * (beam == 4)
    >>> tops = BeamTops(beam, tuple("123456789"), x, y, np.full(27, 900.0), z)
    >>> found = estimate(tops, reading_error=0.7)
    >>> fewest_beams(tops, found, judge(tops, found)).words
    '1 beam at the fewest: 5. Proved: fewer cannot do.'
    """
    begun = time.perf_counter()
    choices = choices or PlanChoices()
    dead = 2.0 * estimate.reading_error if choices.dead_band is None else choices.dead_band
    answer, chosen = _choose(tops, estimate, verdicts, choices, dead, seconds)
    plan = plan_work(tops, estimate, verdicts, choices)
    if chosen is None and answer.status == _TIME_UP and not plan.breaches:
        chosen = plan.touched  # the usual plan is a choice too, only not the fewest
    possible = chosen is not None
    if possible:
        others = tuple(tops.beam_names[b] for b in range(len(tops.beam_names)) if b not in chosen)
        choices = replace(choices, fixed_beams=tuple(set(choices.fixed_beams) | set(others)))
        plan = plan_work(tops, estimate, verdicts, choices)
    bound = answer.mip_dual_bound if possible else None
    at_least = int(np.ceil(bound - 1e-6)) if bound is not None and np.isfinite(bound) else 0
    gap = (len(chosen) - at_least) / max(len(chosen), 1) if possible else 1.0
    return FewestBeams(chosen or (), at_least, max(0.0, gap), time.perf_counter() - begun, possible, plan)


def _choose(tops: BeamTops, estimate: Estimate, verdicts, choices: PlanChoices, dead: float, seconds: float) -> tuple:
    """Solve the yes-or-no program: HiGHS's answer and the beams chosen, None if there is no choice."""
    from scipy.optimize import Bounds, LinearConstraint, milp
    from scipy.sparse import csr_matrix, hstack

    field = estimate.field
    believed, used = believed_tops(tops, estimate, verdicts)
    used = used | choices.held(tops)
    base = field.free_values(tops.x, tops.y) @ estimate.surface.free + estimate.design
    fair = estimate.surface if verdicts is None else verdicts.findings.surface
    stands = believed - field.plain.fit(fair.coefficients) - base
    rows, n, beams = field.plain.rows[used], int(used.sum()), len(tops.beam_names)
    z = (believed - base)[used]
    much = FAR * np.abs(stands[used]).max() + 4 * dead
    off, up = (
        np.where(lone, 0.0, np.minimum(choices.limit(name, tops)[used], much))
        for lone, name in ((choices.pack_only, "most_off"), (choices.plane_only, "most_up"))
    )
    held = choices.held(tops)[used]
    off, up, band = np.where(held, 0.0, off), np.where(held, 0.0, up), np.where(held, 1e-3, dead)
    touch = [csr_matrix((a, (np.arange(n), tops.beam[used])), shape=(n, beams)) for a in (off, up)]
    bends, most = _bends(field, fair.coefficients)
    empty = csr_matrix((bends.shape[0], beams))
    constraints = [
        LinearConstraint(hstack([rows, touch[0]]), z - band, np.inf),
        LinearConstraint(hstack([rows, -touch[1]]), -np.inf, z + band),
        LinearConstraint(hstack([bends, empty]), -most, most),
    ]
    size = field.plain.size
    cost = np.concatenate([np.zeros(size), np.ones(beams)])
    bounds = Bounds(np.r_[np.full(size, -np.inf), np.zeros(beams)], np.r_[np.full(size, np.inf), np.ones(beams)])
    with _quiet():
        answer = milp(cost, constraints=constraints, bounds=bounds, integrality=cost, options={"time_limit": seconds})
    chosen = None if answer.x is None else tuple(int(b) for b in np.flatnonzero(answer.x[size:] > 0.5))
    return answer, chosen


@contextlib.contextmanager
def _quiet():
    """Keep the library's own debug lines, which it prints past Python, off the screen."""
    try:
        sys.stdout.flush()
        kept = os.dup(1)
    except (OSError, ValueError, AttributeError):
        yield
        return
    try:
        with open(os.devnull, "wb") as nowhere:
            os.dup2(nowhere.fileno(), 1)
        yield
    finally:
        os.dup2(kept, 1)
        os.close(kept)


def _bends(field: Field, fair: np.ndarray):
    """Rows for the third derivatives of the surface, cell by cell, and the most that each may be. [mm]"""
    from scipy.sparse import csr_matrix, vstack

    blocks, most = [], []
    knots = [a.start + a.cell * np.arange(a.cells + 1.0) for a in (field.axis_along, field.axis_across)]
    middles = [k[:-1] + np.diff(k) / 2 for k in knots]
    for axis, order, cutoff, x, y in (
        (field.axis_along, (3, 0), field.cutoff, middles[0], knots[1]),
        (field.axis_across, (0, 3), field.cutoff_across, knots[0], middles[1]),
    ):
        if axis.degree < 3:
            continue
        rows = field.layout.surface_rows(np.repeat(x, len(y)), np.tile(y, len(x)), order)
        values = rows.values * (cutoff / (2 * np.pi)) ** 3
        shape = (rows.count, field.layout.size)
        block = csr_matrix(
            (values.ravel(), rows.columns.ravel(), np.arange(0, values.size + 1, values.shape[1])), shape=shape
        )
        blocks.append(block)
        own = np.abs(block @ fair)
        most.append(AS_FAIR * np.maximum(own, np.median(own)) + 1e-6)
    if not blocks:
        return csr_matrix((0, field.layout.size)), np.zeros(0)
    return vstack(blocks, format="csr"), np.concatenate(most)
