"""Stage A: the fair surface that the readings speak for, slips and beams that are out not believed."""

from __future__ import annotations

import numpy as np

from deckgeom.fairing.beam_tops import BeamTops, FairingError, closed
from deckgeom.fairing.field import SPACINGS, Field, default_cutoff, field_for
from deckgeom.fairing.found import Estimate, Surface
from deckgeom.fairing.law import Law, Solution
from deckgeom.fairing.leverage import NearInverse
from deckgeom.fairing.reading_error import LEAST_ERROR, reading_error_from_repeats
from deckgeom.fairing.solver import solve
from deckgeom.fairing.which_beams import FEWEST_BENT, MOST_TOGETHER

#: Greatest pull of one reading, in reading errors: past this it is believed no more (Huber's constant is 1.345 to 1.5).
READING_PRICE = 1.4
#: Greatest pull of a whole beam's height, tilt or crown, in reading errors of that term.
BEAM_PRICE = 1.5
#: Energy of the surface over what its freedom accounts for, past which the deck's own shape is taken to be cut off.
BENDS_MORE = 1.5
#: So much more energy along the boat is let pass where the verdict lets the deck's shared sheer bend freely.
SHARED_FREE = 4.0
#: The cut-off is never shortened below this many mean beam spacings: a beam would hide its own error.
SHORTEST = 4.0
#: Spring of a fixed point, in readings.
HELD = 1e7
#: A beam let go by this many reading errors more than its price says nothing about the reading error.
_OUT = 1.5
#: Degrees of freedom that repeats need before they alone tell the reading error.
REPEATS_NEEDED = 5
#: A reading error found larger than this is hardly the tape's. [mm] Common practice, no source.
LARGE_ERROR = 3.0


def estimate(
    tops: BeamTops,
    cutoff: float | None = None,
    reading_error: float | None = None,
    design: np.ndarray | None = None,
    whole_beam: bool = True,
    fixed: np.ndarray | None = None,
    cutoff_across: float | None = None,
) -> Estimate:
    """
    Fair surface through measured beam tops.

    Parameters
    ----------
    tops : BeamTops
        Readings, list and trim and string sag already taken off or not: what a datum does changes nothing but the
        heights.
    cutoff : float, optional
        Wavelength along the boat that is half kept; shorter is unfairness. Six mean beam spacings if not given. [mm]
    reading_error : float, optional
        Standard deviation of one reading. From repeats, or else from the readings, if not given. [mm]
    design : (n,) array, optional
        Height of the designed beam top at each reading; then the departure from it is faired. [mm]
    whole_beam : bool
        Whether a beam may be out as a whole (height, tilt, crown) without pulling its neighbours.
    fixed : (n,) array of bool, optional
        Readings that the surface must pass through: sheer, pads, coamings.
    cutoff_across : float, optional
        The same across the boat; `field.default_cutoff` if not given. [mm]

    Returns
    -------
    Estimate

    Notes
    -----
    The surface minimises its mean square change of curvature, weighed so that a wave of the cut-off length is half
    kept, plus Huber's cost of each misfit with constant 1.4 reading errors, plus 1.5 reading errors per unit of each
    beam's height, tilt and crown (an L1 price: most beams have none). Parabolas, and so camber and sheer, cost nothing.

    References
    ----------
    .. [1] P.J. Huber, Ann. Math. Statist. 35 (1964) 73-101 (from memory).
    .. [2] ISO 16610-22 (spline profile filter): the cut-off is where half the amplitude is kept.

    Examples
    --------
    >>> y, x = np.tile([-900.0, -450, 0, 450, 900], 7), np.repeat(np.arange(7) * 400.0, 5)
    >>> z = 100 - y**2 / 16200
    >>> z[17] += 10
    >>> tops = BeamTops(np.repeat(np.arange(7), 5), tuple("1234567"), x, y, np.full(35, 900.0), z)
    >>> found = estimate(tops, reading_error=1.0)
    >>> int(np.argmax(found.residual)), bool(found.used[17])
    (17, False)
    """
    field = field_for(tops, cutoff, cutoff_across)
    design = _design(tops, design)
    fixed = np.zeros(tops.count, bool) if fixed is None else np.array(fixed, dtype=bool).reshape(-1)
    if len(fixed) != tops.count:
        raise FairingError(f"{len(fixed)} marks", f"there are {tops.count} readings, each fixed or not")
    sigma, source, notes = _reading_error(tops, reading_error)
    whole_beam = whole_beam and field.term_count.sum() > 0
    may_shorten = cutoff is None and 2 * fixed.sum() <= tops.count
    field, sigma, solution, free = _settle(field, tops.z - design, sigma, fixed, whole_beam, may_shorten)
    source = source or "readings"
    notes += _notes(field, sigma, source, solution)
    notes += _shortened(field, tops) if cutoff is None else []
    return _gather(tops, field, design, fixed, whole_beam, free, sigma, source, solution, notes)


def _settle(field: Field, z: np.ndarray, sigma, fixed, whole_beam: bool, may_shorten: bool) -> tuple:
    """
    Field, reading error, solution and free shapes, the cut-off shortened until the deck's own shape passes under it.

    A surface of n free bends has an energy of about n squared reading errors if it holds no more shape than the
    cut-off allows. More says that a fair deck of this shape would be planed: the cut-off goes down by the sixth root.
    """
    least = SHORTEST / SPACINGS * np.array([field.cutoff, field.cutoff_across])
    shared = whole_beam and FEWEST_BENT <= len(field.beams) <= MOST_TOGETHER
    bend_freely = np.array([SHARED_FREE if shared else 1.0, 1.0])
    for attempt in range(4):
        rest, free = field.detrend(z)
        if sigma is None:
            found, solution = _error_from_readings(field, rest, fixed, whole_beam)
        else:
            found, solution = sigma, _solve(field, rest / sigma, fixed, whole_beam)
        layout = field.layout_with_terms if whole_beam else field.layout
        surface = np.empty(field.layout.size)
        surface[field.layout.surface] = solution.c[layout.surface]
        if attempt == 3 or not may_shorten or field.bends < 4.0:
            break
        excess = np.array(field.excess(surface)) / bend_freely
        cutoffs = np.array([field.cutoff, field.cutoff_across])
        worst = int(np.argmax(np.where(cutoffs > least, excess, 0.0)))
        if excess.sum() < BENDS_MORE or cutoffs[worst] <= least[worst] or excess[worst] < 0.5 * BENDS_MORE:
            break
        cutoffs[worst] = max(least[worst], cutoffs[worst] * max((excess * bend_freely)[worst], 1.1) ** (-1 / 6))
        field = field_for(field.tops, *cutoffs)
    return field, found, solution, free


def _design(tops: BeamTops, design: np.ndarray | None) -> np.ndarray:
    """Designed heights, checked; nought without a design."""
    if design is None:
        return np.zeros(tops.count)
    design = np.array(design, dtype=float).reshape(-1)
    if len(design) != tops.count or not np.all(np.isfinite(design)):
        raise FairingError(
            f"{len(design)} designed heights",
            f"each of the {tops.count} readings needs one, a number",
            "a reading outside the drawn deck",
            "leave the design out, or draw the deck as far as it is measured",
        )
    return design


def _reading_error(tops: BeamTops, given: float | None) -> tuple[float | None, str, list[str]]:
    """Reading error that is known before any surface is, who says so, and what to remark."""
    if given is not None:
        if not (np.isfinite(given) and given > 0):
            raise FairingError(
                f"reading error {given}",
                "must be a length above nought",
                "nought for 'very good'",
                "a tape read to the millimetre is good to 0.3 mm at best",
            )
        return float(given), "given", []
    repeats = reading_error_from_repeats(tops)
    notes = [f"Measured twice and not the same: {slip}." for slip in repeats.slips]
    if repeats.sd is not None and repeats.freedom >= REPEATS_NEEDED:
        return repeats.sd, "repeats", notes
    return None, "", notes


def _laws(field: Field, z: np.ndarray, fixed: np.ndarray, whole_beam: bool) -> Law:
    """Spring laws of stage A; heights in reading errors."""
    n, extra = len(z), int(field.term_count.sum()) if whole_beam else 0
    spring, price, rest = np.ones(n + extra), np.full(n + extra, READING_PRICE), np.zeros(n + extra)
    spring[n:], price[n:], rest[:n] = np.inf, BEAM_PRICE, z
    spring[:n][fixed], price[:n][fixed] = HELD, np.inf
    return Law(rest, spring, price, price, np.zeros(n + extra))


def _solve(field: Field, z: np.ndarray, fixed: np.ndarray, whole_beam: bool) -> Solution:
    band = field.with_terms(fixed) if whole_beam else field.plain
    return solve(band, _laws(field, z, fixed, whole_beam))


def _error_from_readings(field: Field, z: np.ndarray, fixed: np.ndarray, whole_beam: bool) -> tuple[float, Solution]:
    """
    Reading error from how the readings scatter about the surface, and the surface with it.

    The median misfit, each set right for its leverage, times 1.4826: half of the readings may be defects and it still
    holds. The surface depends on the error and the error on the surface; three rounds or so settle it to a few
    hundredths.
    """
    band = field.plain
    plain = z - band.fit(band.resolve(band.factor(np.ones(len(z))), band.pull(z)))
    sigma = max(1.4826 * float(np.median(np.abs(plain))), LEAST_ERROR)
    for _ in range(6):
        solution = _solve(field, z / sigma, fixed, whole_beam)
        new = max(sigma * _scatter(field, solution, fixed, whole_beam), LEAST_ERROR)
        if abs(new - sigma) < 0.03 * sigma:
            break
        sigma = new
    return sigma, solution


def _scatter(field: Field, solution: Solution, fixed: np.ndarray, whole_beam: bool) -> float:
    """Robust standard deviation of the readings about the surface and their beams, in the unit of the solve."""
    n = field.tops.count
    layout = field.layout_with_terms if whole_beam else field.layout
    rows = layout.surface_rows(field.tops.x, field.across)
    reach = (rows.columns.max(axis=1) - rows.columns.min(axis=1)).max()
    inverse = NearInverse(solution.factor, int(reach))
    leverage = np.where(solution.tangent[:n] > 0, inverse.variance(rows.columns, rows.values), 0.0)
    judge = ~fixed & (leverage < 0.95)
    if whole_beam:
        beam = np.nonzero(layout.terms >= 0)[0]
        out = np.isin(field.tops.beam, beam[np.abs(solution.residual[n:]) > _OUT])
        judge = judge & ~out if (judge & ~out).sum() >= n / 2 else judge
    if not judge.any():
        return 0.0
    size = np.abs(solution.residual[:n][judge]) / np.sqrt(1.0 - leverage[judge])
    scatter = 1.4826 * float(np.median(size))
    for _ in range(3):  # without bumps and slips: of a normal scatter cut at 2.5 the median is .665
        scatter = float(np.median(size[size <= 2.5 * scatter])) / 0.665
    return scatter


def _notes(field: Field, sigma: float, source: str, solution: Solution) -> list[str]:
    """Remarks about the readings as a whole."""
    notes = []
    if solution.stalled:
        notes.append(solution.words)
    if len(field.beams) < 3:
        notes.append(
            f"{len(field.beams)} beam{'s' if len(field.beams) > 1 else ''} cannot show which is out: measure three "
            "more at least."
        )
    x = np.sort(field.tops.beam_x[field.beams])
    if len(x) > 2 and np.diff(x).max() > field.cutoff / 2:
        notes.append(f"There is a gap of {np.diff(x).max() / 1000:.1f} m between beams: what stands in it is not seen.")
    if source == "readings" and sigma > LARGE_ERROR:
        notes.append(
            f"The readings scatter by {sigma:.0f} mm about any fair surface. That is more than a tape does: check the "
            "datum, the columns and the units before anything is planed."
        )
    return notes


def _shortened(field: Field, tops: BeamTops) -> list[str]:
    """What to say if the cut-off had to be shortened."""
    usual, notes = default_cutoff(tops), []
    for way, length, before in (("along", field.cutoff, usual[0]), ("across", field.cutoff_across, usual[1])):
        if length < 0.999 * before:
            notes.append(
                f"The deck's own shape bends more sharply {way} the boat than six spacings allow, so the cut-off that "
                f"way was shortened to {length / 1000:.1f} m. A designed deck to measure from would tell more."
            )
    return notes


def _gather(tops, field, design, fixed, whole_beam, free, sigma, source, solution, notes) -> Estimate:
    """Put the answer back into millimetres and the boat's own frame."""
    n = tops.count
    layout = field.layout_with_terms if whole_beam else field.layout
    coefficients = np.empty(field.layout.size)
    coefficients[field.layout.surface] = solution.c[layout.surface] * sigma
    surface = Surface(field, closed(coefficients), closed(free))
    terms = np.zeros((len(tops.beam_names), 3))
    if whole_beam:
        has = layout.terms >= 0
        terms[has] = solution.c[layout.terms[has]] * sigma
    fair = field.plain.fit(coefficients) + field.free_values(tops.x, tops.y) @ free + design
    out = np.abs(tops.z - fair) if not whole_beam else np.abs(solution.residual[:n])
    missed = fixed & (out > 0.5)
    if missed.any():
        worst = int(np.argmax(np.where(missed, out, 0)))
        notes.append(
            f"{missed.sum()} fixed points cannot all lie on one fair surface; worst {tops.where(worst)}, by "
            f"{out[worst]:.0f} mm."
        )
    return Estimate(
        fair=fair,
        residual=tops.z - fair,
        used=solution.tangent[:n] > 0,
        reading_error=sigma,
        reading_error_source=source,
        cutoff=field.cutoff,
        cutoff_across=field.cutoff_across,
        beam_terms=terms,
        surface=surface,
        optimality=(solution.stationarity, solution.gap),
        notes=tuple(notes),
        tops=tops,
        field=field,
        solution=solution,
        fixed=fixed,
        design=design,
    )
