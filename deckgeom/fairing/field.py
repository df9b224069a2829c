"""What is fixed once beams and cut-off are known: coordinates, splines, whole-beam terms and their matrices."""

from __future__ import annotations

import functools
from collections import OrderedDict

import numpy as np

from deckgeom.fairing.assembly import Band, Layout, Rows, lay_out
from deckgeom.fairing.basis import axis_for
from deckgeom.fairing.beam_tops import BeamTops, FairingError
from deckgeom.fairing.leverage import NearInverse

#: Default cut-off in mean beam spacings: below five or six a beam hides its own error.
SPACINGS = 6.0
#: A section shape that all beams share is given more freedom than one that changes from beam to beam: cut-off of the
#: change in cut-offs across (tuned on simulated decks).
SECTION_CHANGE = 2.0
#: Pull towards the detrended nought, in readings: holds what no reading touches, bends nothing that one does.
RIDGE = 1e-8
#: Whole-beam terms are left out where more beams than this stand on one knot: scan lines are not beams.
MOST_BEAMS_ON_A_KNOT = 4.0
_KEPT: OrderedDict = OrderedDict()
_KEEP, _KEEP_READINGS = 6, 50_000


def default_cutoff(tops: BeamTops) -> tuple[float, float]:
    """
    Cut-off lengths to begin with, along the boat and across it.

    Parameters
    ----------
    tops : BeamTops

    Returns
    -------
    (float, float)
        Six mean spacings of the beams, and of the readings on a beam, so that no reading hides its own error either
        way; but no less than the widest half-breadth. [mm] Common practice, no source.

    Examples
    --------
    >>> tops = BeamTops(np.repeat([0, 1, 2], 3), ("1", "2", "3"), np.repeat([0, 400, 800], 3),
    ...                 np.tile([-900, 0, 900], 3), np.full(9, 900.0), np.zeros(9))
    >>> default_cutoff(tops)
    (2400.0, 5400.0)
    """
    least = float(tops.half_breadth.max())
    return max(SPACINGS * tops.spacing, least), max(SPACINGS * _spacing_across(tops), least)


def _distinct_across(tops: BeamTops) -> np.ndarray:
    """How many different places were measured on each beam, (beams,)."""
    _, first = np.unique(tops.points(), return_index=True)
    return np.bincount(tops.beam[first], minlength=len(tops.beam_names))


def _spacing_across(tops: BeamTops) -> float:
    """Usual distance between readings on a beam, as on the widest beam. [mm]"""
    distinct = _distinct_across(tops)
    eta = tops.eta
    low, high = np.full(len(distinct), np.inf), np.full(len(distinct), -np.inf)
    np.minimum.at(low, tops.beam, eta)
    np.maximum.at(high, tops.beam, eta)
    some = distinct > 1
    if not some.any():
        return 0.0
    return float(np.median((high - low)[some] / (distinct[some] - 1)) * tops.half_breadth.max())


class Field:
    """
    Geometry of one set of readings under one pair of cut-off lengths, ready to be solved for any heights.

    Parameters
    ----------
    tops : BeamTops
        Its heights are not used.
    cutoff : float
        Wavelength half kept along the boat. [mm]
    cutoff_across : float
        Wavelength half kept across it. [mm]

    Notes
    -----
    The energy of a surface s is the mean over the x-eta rectangle, times the number of readings, of

    .. math:: (L/2\\pi)^6 s_{xxx}^2 + (A/2\\pi)^6 s_{yyy}^2 + (L/2\\pi)^2 (2A/2\\pi)^6 s_{xyyy}^2

    with L and A the cut-offs along and across: a wave of length L along the boat is half kept by evenly spread readings
    however many they are and whatever the unit; a section that all beams share is hardly resisted, one beam's own is.

    Coordinates are x and eta = y/half-breadth, the latter times the widest half-breadth. What a datum can do (height,
    list, trim, twist, parabolic sag, constant camber: x^a y^b with a, b up to 2) is fitted first by plain least
    squares and taken off, then put back: so it can never change a verdict, whatever else the readings hold.

    Examples
    --------
    >>> tops = BeamTops(np.repeat([0, 1, 2], 3), ("1", "2", "3"), np.repeat([0, 400, 800], 3),
    ...                 np.tile([-900, 0, 900], 3), np.full(9, 900.0), np.zeros(9))
    >>> Field(tops, 2400.0, 5400.0).layout.surface.shape
    (5, 5)
    """

    def __init__(self, tops: BeamTops, cutoff: float, cutoff_across: float) -> None:
        for name, value in (("cutoff", cutoff), ("cutoff_across", cutoff_across)):
            if not (np.isfinite(value) and value > 0):
                raise FairingError(
                    f"{name} {value}", "the cut-off must be a length above nought", "", "try six beam spacings"
                )
        self._with_terms: tuple | None = None
        self._with_curvature: tuple | None = None
        self.tops, self.cutoff, self.cutoff_across = tops, float(cutoff), float(cutoff_across)
        self.widest = float(tops.half_breadth.max())
        self.across = tops.eta * self.widest
        self.distinct = _distinct_across(tops)
        self.beams = np.flatnonzero(self.distinct)
        self.axis_along = axis_for(tops.x, len(self.beams), self.cutoff)
        self.axis_across = axis_for(self.across, int(self.distinct.max()), self.cutoff_across)
        self.origin = np.array([tops.x.mean(), 0.0])
        self.scale = np.array([max(np.ptp(tops.x) / 2, 1.0), self.widest])
        self._powers = [(a, b) for a in range(min(3, len(self.beams))) for b in range(min(3, int(self.distinct.max())))]
        self._free = self.free_values(tops.x, tops.y)
        q, r = np.linalg.qr(self._free)
        self._take_off = np.linalg.pinv(r, rcond=1e-10) @ q.T

    def free_values(self, x: np.ndarray, y: np.ndarray, curvature: bool = False) -> np.ndarray:
        """
        Free shapes x^a y^b at some places, (n, shapes), or their second derivatives athwartships.
        """
        u, v = ((np.asarray(t, dtype=float) - o) / s for t, o, s in zip((x, y), self.origin, self.scale, strict=True))
        if curvature:
            return np.stack([u**a * (2.0 / self.scale[1] ** 2 if b == 2 else 0.0) for a, b in self._powers], axis=1)
        return np.stack([u**a * v**b for a, b in self._powers], axis=1)

    def detrend(self, z: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """
        Heights with the free shapes taken off, (n,), and how much of each shape there was.
        """
        much = self._take_off @ z
        return z - self._free @ much, much

    @property
    def energy(self) -> list:
        """Pieces of energy: amount, (derivative, cut-off) along, (derivative, cut-off) across."""
        along, across = self.cutoff, self.cutoff_across
        return [
            (1.0, (3, along), (0, 1.0)),
            (1.0, (0, 1.0), (3, across)),
            (1.0, (1, along), (3, SECTION_CHANGE * across)),
            (RIDGE, (0, 1.0), (0, 1.0)),
        ]

    @functools.cached_property
    def term_count(self) -> np.ndarray:
        """
        How many terms of its own each beam may have, (beams,): one fewer than places measured, 3 at most.
        """
        count = np.clip(self.distinct - 1, 0, 3)
        crowded = len(self.beams) > max(MOST_BEAMS_ON_A_KNOT * self.axis_along.cells, 60)
        return np.zeros_like(count) if crowded or len(self.beams) < 4 else count

    def _layout(self, terms: np.ndarray) -> Layout:
        cell = np.zeros(len(terms), dtype=int)
        cell[self.beams] = self.axis_along.values(self.tops.beam_x[self.beams])[0]
        return lay_out(self.axis_along, self.axis_across, cell, terms)

    @functools.cached_property
    def layout(self) -> Layout:
        """Places of the unknowns without whole-beam terms."""
        return self._layout(np.zeros(len(self.distinct), dtype=int))

    @functools.cached_property
    def plain(self) -> Band:
        """Matrices without whole-beam terms."""
        rows = self.layout.surface_rows(self.tops.x, self.across)
        return Band(self.layout, [rows], self.energy, self.tops.count)

    @functools.cached_property
    def bends(self) -> float:
        """How many bends the readings settle beyond the free shapes, if all were believed: effective freedom."""
        band = self.plain
        near = NearInverse(band.factor(np.ones(self.tops.count)), band.width).near[: band.size, : band.width + 1]
        held = 2.0 * np.sum(band.energy * near) - np.sum(band.energy[:, 0] * near[:, 0])
        return float(band.size - held - len(self._powers))

    def excess(self, coefficients: np.ndarray) -> tuple[float, float]:
        """
        Energy of a surface along and across over what its freedom accounts for; about 1 or less if the cut-offs let
        it pass.

        Parameters
        ----------
        coefficients : (size,) array
            Of the splines. [reading errors]

        Returns
        -------
        (float, float)
            [1]
        """
        c = coefficients[self.layout.surface]
        pieces = [
            float(np.sum(c * _times(along, _times(across, c.T).T)))
            for _, along, across in (
                (amount, self.axis_along.gram(*a), self.axis_across.gram(*b)) for amount, a, b in self.energy[:3]
            )
        ]
        count = self.tops.count / max(self.bends, 1.0)
        return count * pieces[0], count * (pieces[1] + pieces[2])

    @functools.cached_property
    def layout_with_terms(self) -> Layout:
        """Places of the unknowns with whole-beam terms."""
        return self._layout(self.term_count)

    @functools.cached_property
    def shapes(self) -> np.ndarray:
        """Height, tilt and crown at each reading for one unit of each term, (n, 3)."""
        eta = self.tops.eta
        return np.stack([np.ones_like(eta), eta, 1.0 - eta**2], axis=1)

    def with_curvature(self) -> tuple[Band, tuple[tuple[int, int], tuple[int, int]]]:
        """
        Matrices with rows for the surface's curvature at every knot, and which rows are across and which along.

        Curvatures are made lengths by the cut-offs over 2 pi squared. No rows where the splines do not bend.
        """
        if self._with_curvature is None:
            x, y = (a.start + a.cell * np.arange(a.cells + 1.0) for a in (self.axis_along, self.axis_across))
            x, y = np.repeat(x, len(y)), np.tile(y, len(x))
            blocks, ends = [self.layout.surface_rows(self.tops.x, self.across)], [self.tops.count]
            for axis, order, length in (
                (self.axis_across, (0, 2), self.cutoff_across),
                (self.axis_along, (2, 0), self.cutoff),
            ):
                rows = self.layout.surface_rows(x, y, order)
                some = slice(None) if axis.degree == 3 else slice(0)
                blocks.append(Rows(rows.columns[some], rows.values[some] * (length / (2 * np.pi)) ** 2))
                ends.append(ends[-1] + blocks[-1].count)
            band = Band(self.layout, blocks, self.energy, self.tops.count)
            self._with_curvature = band, ((ends[0], ends[1]), (ends[1], ends[2]))
        return self._with_curvature

    def with_terms(self, fixed: np.ndarray) -> Band:
        """
        Matrices with whole-beam terms: readings first, then one row for each term.

        Parameters
        ----------
        fixed : (n,) array of bool
            Readings that the surface itself must meet, whatever their beam does.

        Returns
        -------
        Band
            Kept until another choice of fixed readings is asked for.
        """
        if self._with_terms is None or self._with_terms[0] != fixed.tobytes():
            self._with_terms = fixed.tobytes(), self._build_with_terms(fixed)
        return self._with_terms[1]

    def _build_with_terms(self, fixed: np.ndarray) -> Band:
        layout, tops = self.layout_with_terms, self.tops
        rows = layout.surface_rows(tops.x, self.across)
        places = layout.terms[tops.beam]
        free = (places >= 0) & ~fixed[:, None]
        shapes = np.where(free, self.shapes, 0.0)
        rows = Rows(
            np.hstack([rows.columns, np.where(free, places, rows.columns[:, :1])]),
            np.hstack([rows.values, shapes]),
            tail=3,
        )
        beam, term = np.nonzero(layout.terms >= 0)
        size = np.zeros(layout.terms.shape)
        np.add.at(size, tops.beam, np.where(places >= 0, self.shapes, 0.0) ** 2)
        own = Rows(layout.terms[beam, term][:, None], np.sqrt(size[beam, term])[:, None])
        return Band(layout, [rows, own], self.energy, tops.count)


def _times(band: np.ndarray, c: np.ndarray) -> np.ndarray:
    """Symmetric band matrix, diagonals as rows, times a matrix."""
    out = band[0][:, None] * c
    for d in range(1, min(len(band), len(c))):
        row = band[d][: len(c) - d, None]
        out[:-d] += row * c[d:]
        out[d:] += row * c[:-d]
    return out


def field_for(tops: BeamTops, cutoff: float | None = None, cutoff_across: float | None = None) -> Field:
    """
    Field of some readings, kept for the next call with the same places and cut-offs.

    Parameters
    ----------
    tops : BeamTops
        Readings.
    cutoff, cutoff_across : float, optional
        `default_cutoff` if not given. [mm]

    Returns
    -------
    Field

    Examples
    --------
    >>> tops = BeamTops([0, 0], ("1",), [0, 0], [-500, 500], [900, 900], [40, 41])
    >>> field_for(tops) is field_for(tops)
    True
    """
    usual = default_cutoff(tops) if cutoff is None or cutoff_across is None else (0.0, 0.0)
    along = usual[0] if cutoff is None else float(cutoff)
    across = usual[1] if cutoff_across is None else float(cutoff_across)
    key = (
        along,
        across,
        len(tops.beam_names),
        *(getattr(tops, a).tobytes() for a in ("beam", "x", "y", "half_breadth")),
    )
    if key in _KEPT:
        _KEPT.move_to_end(key)
        return _KEPT[key]
    field = Field(tops, along, across)
    _KEPT[key] = field
    while len(_KEPT) > _KEEP or (len(_KEPT) > 1 and sum(f.tops.count for f in _KEPT.values()) > _KEEP_READINGS):
        _KEPT.popitem(last=False)
    return field
