"""Stage A: the fair surface that the readings speak for, slips and beams that are out not believed."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from deckgeom.fairing.beam_tops import BeamTops, FairingError, closed
from deckgeom.fairing.field import Field, field_for
from deckgeom.fairing.law import Law, Solution
from deckgeom.fairing.leverage import NearInverse
from deckgeom.fairing.reading_error import LEAST_ERROR, reading_error_from_repeats
from deckgeom.fairing.solver import solve

#: Greatest pull of one reading, in reading errors: past this it is believed no more (Huber's constant is 1.345 to 1.5).
READING_PRICE = 1.4
#: Greatest pull of a whole beam's height, tilt or crown, in reading errors of that term.
BEAM_PRICE = 1.5
#: Spring of a fixed point, in readings.
HELD = 1e7
#: Degrees of freedom that repeats need before they alone tell the reading error.
REPEATS_NEEDED = 5
#: A reading error found larger than this is hardly the tape's. [mm] Common practice, no source.
LARGE_ERROR = 3.0


@dataclass(frozen=True, eq=False)
class Surface:
    """
    The fair surface, to be asked anywhere on the deck.

    Parameters
    ----------
    field : Field
        Coordinates and splines.
    coefficients : (size,) array
        Spline coefficients. [mm]
    free : (shapes,) array
        How much of each shape that a datum can do. [mm]

    Examples
    --------
    >>> tops = BeamTops(np.repeat([0, 1, 2], 3), ("1", "2", "3"), np.repeat([0, 400, 800], 3),
    ...                 np.tile([-900, 0, 900], 3), np.full(9, 900.0), np.tile([40, 90, 40], 3))
    >>> estimate(tops, reading_error=1.0).surface.height([200], [0], [900]).round(6)
    array([90.])
    """

    field: Field
    coefficients: np.ndarray
    free: np.ndarray

    def height(self, x: np.ndarray, y: np.ndarray, half_breadth: np.ndarray) -> np.ndarray:
        """
        Fair height above the base line (above the design, if readings were taken as departures from one).

        Parameters
        ----------
        x, y, half_breadth : (n,) array
            Place, and the half-breadth there on that side. [mm]

        Returns
        -------
        (n,) array
            [mm]
        """
        x, y, b = np.broadcast_arrays(*(np.atleast_1d(np.asarray(a, dtype=float)) for a in (x, y, half_breadth)))
        rows = self.field.layout.surface_rows(x, y / b * self.field.widest)
        return (
            np.einsum("ij,ij->i", rows.values, self.coefficients[rows.columns])
            + self.field.free_values(x, y) @ self.free
        )


@dataclass(frozen=True, eq=False)
class Estimate:
    """
    What stage A found.

    Parameters
    ----------
    fair : (n,) array
        Fair height at each reading, above the base line. [mm]
    residual : (n,) array
        Measured less fair: stands high if positive. [mm]
    used : (n,) array of bool
        False where the reading was so far out that it was not believed.
    reading_error : float
        Standard deviation of one reading. [mm]
    reading_error_source : str
        "given", "repeats" or "readings"; `error_words` says it in full.
    cutoff, cutoff_across : float
        Wavelength half kept, along the boat and across it. [mm]
    beam_terms : (beams, 3) array
        Height, tilt and crown by which each beam as a whole was let go. [mm]
    surface : Surface
        To ask anywhere.
    optimality : (float, float)
        Out of balance and gap of the solve, relative; checked against `law.TOLERANCE`.
    notes : tuple of str
        What the person should know before reading on.

    Examples
    --------
    >>> tops = BeamTops(np.repeat([0, 1, 2], 3), ("1", "2", "3"), np.repeat([0, 400, 800], 3),
    ...                 np.tile([-900, 0, 900], 3), np.full(9, 900.0), np.tile([40, 90, 40], 3))
    >>> estimate(tops, reading_error=1.0).residual.round(6).max()
    np.float64(0.0)
    """

    fair: np.ndarray
    residual: np.ndarray
    used: np.ndarray
    reading_error: float
    reading_error_source: str
    cutoff: float
    cutoff_across: float
    beam_terms: np.ndarray
    surface: Surface
    optimality: tuple[float, float]
    notes: tuple[str, ...]
    tops: BeamTops
    field: Field
    solution: Solution
    fixed: np.ndarray
    design: np.ndarray

    def __post_init__(self) -> None:
        for name in ("fair", "residual", "beam_terms"):
            object.__setattr__(self, name, closed(getattr(self, name)))
        for name in ("used", "fixed"):
            object.__setattr__(self, name, closed(getattr(self, name), bool))

    @property
    def error_words(self) -> str:
        """How large the reading error is and who says so."""
        told = {
            "given": "as you gave it",
            "repeats": "from points measured more than once",
            "readings": "estimated from the readings themselves, as hardly a point was measured twice",
        }
        told = told[self.reading_error_source]
        return f"One reading is good to {self.reading_error:.1f} mm (standard deviation), {told}."

    @property
    def batten_words(self) -> str:
        """What the cut-off length means in timber."""
        stiffness = 6000.0 * (self.cutoff / 2000.0 / np.pi) ** 4
        side = 1000.0 * (12.0 * stiffness / 10e9) ** 0.25
        return (
            f"Humps shorter than {self.cutoff / 1000:.1f} m are called unfair. A softwood batten about {side:.0f} mm "
            "square, pressed lightly, tells the same."
        )


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
    whole_beam = whole_beam and field.term_count.sum() > 0
    rest, free = field.detrend(tops.z - design)
    sigma, source, notes = _reading_error(tops, reading_error)
    if sigma is None:
        sigma, solution = _error_from_readings(field, rest, fixed, whole_beam)
        source = "readings"
    else:
        solution = _solve(field, rest / sigma, fixed, whole_beam)
    notes += _notes(field, sigma, source, solution)
    return _gather(tops, field, design, fixed, whole_beam, free, sigma, source, solution, notes)


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
    holds. The surface depends on the error and the error on the surface; three rounds settle it to a few hundredths.
    """
    sigma = max(1.4826 * float(np.median(np.abs(z))), LEAST_ERROR)
    for _ in range(6):
        solution = _solve(field, z / sigma, fixed, whole_beam)
        new = max(sigma * _scatter(field, solution, fixed, whole_beam), LEAST_ERROR)
        settled = abs(new - sigma) < 0.02 * sigma
        if settled:
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
    if not judge.any():
        return 0.0
    return 1.4826 * float(np.median(np.abs(solution.residual[:n][judge]) / np.sqrt(1.0 - leverage[judge])))


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
