"""Stage C: the least work that makes the tops fair within the builder's choices, and what cannot be had."""

from __future__ import annotations

import numpy as np

from deckgeom.fairing.assembly import Band
from deckgeom.fairing.beam_tops import BeamTops, FairingError, closed
from deckgeom.fairing.choices import PlanChoices
from deckgeom.fairing.fair import HELD
from deckgeom.fairing.field import Field
from deckgeom.fairing.found import Estimate, Surface
from deckgeom.fairing.law import Law, Solution
from deckgeom.fairing.solver import solve
from deckgeom.fairing.verdict import PACK, PLANE, Verdicts
from deckgeom.fairing.work_plan import Breach, WorkPlan, totals_of

#: Pull of a beam top outside its dead band at a price of 1, in reading errors: low, so that the fair line moves
#: little to save wood.
PRICE = 0.4
#: Price of breaking a limit, in prices of work: dearer than any work, but not so dear that the fair line is bent to
#: meet a limit that cannot be met fairly; then it is said by how much it is missed.
WALL = 10.0
#: Price of a hollow where none is wanted, in prices of work.
HOLLOW = 1000.0
#: Spring, and greatest pull in prices of work, that keep the surface in the middle of the dead band where nothing
#: else decides.
GENTLE, GENTLE_MOST = 1.0, 0.5
#: Breaches smaller than this are rounding. [mm]
LEAST_BREACH = 0.05
#: A top this little beyond its dead band stands at its edge, where the least work brings many: it is left. Without it
#: the last digit of the solve would decide whether the whole dead band is planed away. [mm]
AT_THE_EDGE = 1e-3
#: A fore-and-aft line that bends one way over this share of its bending is made to do so all along.
ONE_WAY = 0.9


def plan_work(
    tops: BeamTops, estimate: Estimate, verdicts: Verdicts | None = None, choices: PlanChoices | None = None
) -> WorkPlan:
    """
    Plan what to plane off and what to pack up.

    Parameters
    ----------
    tops : BeamTops
        The readings.
    estimate : Estimate
        Stage A.
    verdicts : Verdicts, optional
        Stage B. With it the plan works from what was found (doubtful readings and those to be measured again left
        out, noise not planed); without it from the readings as they are, those not believed left out: a quick look.
    choices : PlanChoices, optional
        What the builder will and will not do; both ways at equal prices if not given.

    Returns
    -------
    WorkPlan

    Notes
    -----
    The planned surface minimises its change of curvature plus the price of all wood planed and packed outside the
    dead band, plus a gentle pull to the middle of the band, which decides where nothing else does. Limits are elastic
    walls, so an impossible wish is answered with the places that break it and by how much. What is outside the dead
    band is worked to the line, as far as the limits let it.

    Examples
    --------
    >>> from deckgeom.fairing.fair import estimate
    >>> from deckgeom.fairing.verdict import judge
    >>> y, x = np.tile([-900.0, -450, 0, 450, 900], 9), np.repeat(np.arange(9) * 400.0, 5)
    >>> beam = np.repeat(np.arange(9), 5)
    >>> z = 1000 + 20 * np.sin(x / 4000) - y**2 / 16200 + 4.0 * (beam == 4)
    >>> tops = BeamTops(beam, tuple("123456789"), x, y, np.full(45, 900.0), z)
    >>> found = estimate(tops, reading_error=0.7)
    >>> plan = plan_work(tops, found, judge(tops, found, tolerance=1.5))
    >>> print(plan.beam_words(4))
    Beam 5: plane 4 mm off its whole top.
    >>> plan.totals.beams_touched, plan.breaches
    (1, ())
    """
    choices = choices or PlanChoices()
    if estimate.tops is not tops and not np.array_equal(estimate.tops.z, tops.z):
        raise FairingError("the estimate", "it was made from other readings", "", "estimate again from these readings")
    dead = 2.0 * estimate.reading_error if choices.dead_band is None else choices.dead_band
    believed, used = believed_tops(tops, estimate, verdicts)
    held = choices.held(tops)
    used = used | held
    surface, solution, hollow = _surface(estimate, believed, used, held, dead, choices)
    planned = surface.at_readings() + estimate.design
    stands = believed - planned
    outside = (np.abs(stands) > dead + AT_THE_EDGE) & ~held
    off = np.where((stands > 0) & outside, np.minimum(stands, choices.limit("most_off", tops)), 0.0)
    up = np.where((stands < 0) & outside, np.minimum(-stands, choices.limit("most_up", tops)), 0.0)
    off, up = (off * (not choices.pack_only) * used, up * (not choices.plane_only) * used)
    breaches = _breaches(tops, np.where(used, stands - off + up, 0.0), np.where(held, 0.0, dead), choices, held, hollow)
    notes = [solution.words] if solution.stalled else []
    waiting = () if verdicts is None else verdicts.first
    totals = totals_of(tops, off, up, choices.siding)
    return WorkPlan(
        tops,
        choices,
        off,
        up,
        planned,
        believed,
        dead,
        breaches,
        waiting,
        totals,
        surface,
        (solution.stationarity, solution.gap),
        tuple(notes),
    )


def believed_tops(tops: BeamTops, estimate: Estimate, verdicts: Verdicts | None) -> tuple[np.ndarray, np.ndarray]:
    """
    Height that each beam top is taken to have, and whether the reading counts at all.

    Parameters
    ----------
    tops : BeamTops
        The readings.
    estimate : Estimate
        Stage A.
    verdicts : Verdicts or None
        Stage B.

    Returns
    -------
    heights : (n,) array
        [mm]
    used : (n,) array of bool
        With verdicts all: a doubtful reading is replaced by what its beam says.

    Examples
    --------
    >>> from deckgeom.fairing.fair import estimate
    >>> tops = BeamTops([0], ("1",), [0], [0], [900], [1000])
    >>> believed_tops(tops, estimate(tops, reading_error=0.7), None)
    (array([1000.]), array([ True]))
    """
    if verdicts is None:
        far = np.abs(estimate.residual) > 6.0 * np.maximum(estimate.reading_error, 1.0)
        return tops.z, estimate.used | ~far | estimate.fixed
    findings = verdicts.findings
    whole = findings.whole_at_readings * findings.judgeable[:, None]
    out = findings.grouped.gather(whole * estimate.reading_error, np.zeros(tops.count))
    worked = (verdicts.word == PLANE) | (verdicts.word == PACK)
    out = np.where(worked, verdicts.deviation, out)
    return np.where(estimate.fixed, tops.z, verdicts.fair + out), np.ones(tops.count, dtype=bool)


def _surface(
    estimate: Estimate, believed, used, held, dead: float, choices: PlanChoices
) -> tuple[Surface, Solution, float]:
    """Planned surface, its solve, and the worst hollow left in spite of the choice. [mm]"""
    field, sigma = estimate.field, estimate.reading_error
    free = estimate.surface.free
    base = field.free_values(estimate.tops.x, estimate.tops.y) @ free + estimate.design
    z = (believed - base) / sigma
    band, hollow = _no_hollow(field, base / sigma, z) if choices.no_hollow else (field.plain, None)
    laws = [_laws(estimate.tops, z, used, held, dead / sigma, choices), _gentle(z, used, choices)]
    laws += [hollow] if choices.no_hollow else []
    walls = _walls(estimate.tops, z, used & ~held, dead / sigma, choices, sigma)
    # most limits are never come near: a wall is put up only where the surface went past it
    up = np.zeros(len(walls[0]), dtype=bool)
    while True:
        joined = [np.concatenate(column) for column in zip(*laws, [a[up] for a in walls], strict=True)]
        solution = solve(band, Law(*joined[1:], at=joined[0].astype(int)))
        stands = walls[1] - band.fit(solution.c)[walls[0]]
        past = ~up & (np.where(walls[3] > 0, stands, -stands) > 1e-6)
        if not past.any():
            break
        up |= past
    left = 0.0
    if choices.no_hollow and len(hollow[0]):
        bent = hollow[1] - band.fit(solution.c)[hollow[0]]
        left = float(max(0.0, np.where(hollow[3] > 0, bent, -bent).max()) * sigma)
    return Surface(field, closed(solution.c * sigma), free), solution, left


def _laws(tops: BeamTops, z, used, held, dead: float, choices: PlanChoices) -> tuple:
    """Laws of the readings (row, z, spring, high, low, band): nothing in the dead band, the price of work outside."""
    rows = np.flatnonzero(used)
    prices = {"most_off": choices.price_off, "most_up": choices.price_up}
    never = {"most_off": choices.pack_only, "most_up": choices.plane_only}
    dear = WALL * max(prices.values())
    high, low = (
        PRICE * np.where((choices.limit(name, tops) == 0) | never[name], dear, prices[name])[rows] for name in prices
    )
    spring = np.where(held[rows], HELD, np.inf)
    high, low = np.where(held[rows], np.inf, high), np.where(held[rows], np.inf, low)
    return rows, z[rows], spring, high, low, np.where(held[rows], 0.0, dead)


def _gentle(z, used, choices: PlanChoices) -> tuple:
    """Laws that keep the surface in the middle of the dead band."""
    rows = np.flatnonzero(used)
    most = np.full(len(rows), GENTLE_MOST * PRICE * min(choices.price_off, choices.price_up))
    return rows, z[rows], np.full(len(rows), GENTLE), most, most, np.zeros(len(rows))


def _walls(tops: BeamTops, z, free, dead: float, choices: PlanChoices, sigma: float) -> tuple:
    """Laws of the limits on what comes off and goes on."""
    parts = []
    dear = PRICE * WALL * max(choices.price_off, choices.price_up)
    for way, name in ((1.0, "most_off"), (-1.0, "most_up")):
        most = choices.limit(name, tops) / sigma
        rows = np.flatnonzero(free & np.isfinite(most) & (most > 0))
        price = np.full(len(rows), dear)
        high, low = (price, 0 * price) if way > 0 else (0 * price, price)
        edge = z[rows] - way * (dead + most[rows])
        parts.append((rows, edge, np.full(len(rows), np.inf), high, low, np.zeros(len(rows))))
    return tuple(np.concatenate(pair) for pair in zip(*parts, strict=True))


def _no_hollow(field: Field, base: np.ndarray, z: np.ndarray) -> tuple[Band, tuple]:
    """
    Matrices with rows for the curvature at every knot, and the laws that keep it from turning.

    The whole surface's curvature is that of the spline plus that of what was taken off before (free shapes, design),
    fitted by splines once more. Across, no knot may be hollow; along, a line that bends one way for nine tenths keeps
    to it.
    """
    band, rows = field.with_curvature()
    count = field.tops.count
    weight = np.concatenate([np.ones(count), np.zeros(band.count - count)])
    factor = band.factor(weight)
    taken, whole = (
        band.fit(band.resolve(factor, band.pull(weight * np.concatenate([h, np.zeros(band.count - count)]))))
        for h in (base, base + z)
    )
    across, along = rows
    laws_rows, sign = [np.arange(*across)], [np.full(across[1] - across[0], -1.0)]
    lines = whole[along[0] : along[1]].reshape(-1, field.axis_across.cells + 1)
    total, size = lines.sum(axis=0), np.abs(lines).sum(axis=0)
    way = np.where(np.abs(total) > (2 * ONE_WAY - 1) * size, np.sign(total), 0.0)
    laws_rows.append(np.arange(*along)[np.tile(way != 0, len(lines))])
    sign.append(np.tile(way, len(lines))[np.tile(way != 0, len(lines))])
    at, sign = np.concatenate(laws_rows), np.concatenate(sign)
    m = len(at)
    # the law's residual is the curvature with its sign turned: high where it must not be hollow upwards, low where
    # not down
    prices = np.where(sign > 0, HOLLOW, 0.0), np.where(sign > 0, 0.0, HOLLOW)
    return band, (at, -taken[at], np.full(m, np.inf), *prices, np.zeros(m))


def _breaches(tops: BeamTops, left, dead, choices: PlanChoices, held, hollow: float) -> tuple[Breach, ...]:
    """Wishes that cannot be met, worst first."""
    over = np.abs(left) - dead
    rows = np.flatnonzero(over > LEAST_BREACH)
    untouched = choices.untouched(tops)
    found = []
    for i in rows[np.argsort(-over[rows])]:
        high = left[i] > 0
        if held[i]:
            wish = "the surface should pass through this fixed point"
        elif untouched[i]:
            wish = "this beam should not be touched"
        elif high:
            wish = "nothing should be planed" if choices.pack_only else "no more than its limit should come off"
        else:
            wish = "nothing should be packed" if choices.plane_only else "no more than its limit should be packed"
        found.append(Breach(int(i), wish, bool(high), float(over[i])))
    if hollow > LEAST_BREACH:
        found.append(Breach(-1, "no hollow should be left", False, hollow))
    return tuple(found)
