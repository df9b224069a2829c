"""The fairing problem written out for a general solver (Clarabel), and random problems with every option."""

from __future__ import annotations

import numpy as np
from scipy import sparse

from deckgeom.fairing.assembly import Band, Rows, lay_out
from deckgeom.fairing.basis import axis_for
from deckgeom.fairing.law import Law


def energy_matrix(band: Band):
    """The banded energy as a sparse symmetric matrix."""
    rows = [band.energy[: band.size - d, d] for d in range(band.width + 1)]
    offsets = [*range(band.width + 1), *range(-1, -band.width - 1, -1)]
    return sparse.diags([*rows, *rows[1:]], offsets, shape=(band.size, band.size), format="csc")


def program(band: Band, law: Law) -> tuple:
    """The same problem as a quadratic program in c, e, d, p, f: P, q, A, b, equalities, inequalities."""
    m = len(law.z)
    rows = band.rows if law.at is None else band.rows[law.at]
    parts = [
        np.flatnonzero(mask)
        for mask in (np.isfinite(law.spring), law.band > 0, np.isfinite(law.high), np.isfinite(law.low))
    ]
    eye = sparse.identity(m, format="csc")
    e, d, p, f = (eye[:, part] for part in parts)
    ne, nd, np_, nf = (len(part) for part in parts)
    size = band.size + ne + nd + np_ + nf
    P = sparse.block_diag(
        [energy_matrix(band), sparse.diags(law.spring[parts[0]]), sparse.csc_matrix((nd + np_ + nf,) * 2)]
    )
    q = np.concatenate([np.zeros(band.size + ne + nd), law.high[parts[2]], law.low[parts[3]]])
    first = band.size + ne
    pick = sparse.identity(size, format="csc")
    A = sparse.vstack(
        [sparse.hstack([rows, e, d, p, -f]), -pick[first + nd :], pick[first : first + nd], -pick[first : first + nd]]
    )
    b = np.concatenate([law.z, np.zeros(np_ + nf), law.band[parts[1]], law.band[parts[1]]])
    return P.tocsc(), q, A.tocsc(), b, m, np_ + nf + 2 * nd


def clarabel_answer(band: Band, law: Law, tolerance: float = 1e-9):
    """Unknowns as Clarabel finds them, or None if it gives up."""
    import clarabel

    P, q, A, b, equal, unequal = program(band, law)
    settings = clarabel.DefaultSettings()
    settings.verbose, settings.max_threads = False, 1
    settings.tol_gap_abs = settings.tol_gap_rel = settings.tol_feas = tolerance
    cones = [clarabel.ZeroConeT(equal), clarabel.NonnegativeConeT(unequal)]
    answer = clarabel.DefaultSolver(sparse.triu(P, format="csc"), q, A, b, cones, settings).solve()
    return np.array(answer.x)[: band.size] if str(answer.status) in ("Solved", "AlmostSolved") else None


def objective(band: Band, law: Law, c: np.ndarray) -> float:
    """Cost of some unknowns, from the definition."""
    fitted = band.fit(c)
    return 0.5 * c @ energy_matrix(band) @ c + law.cost(law.z - (fitted if law.at is None else fitted[law.at])).sum()


def random_band(rng: np.random.Generator) -> Band:
    """A small deck with or without whole-beam terms, regular or not; sometimes one beam or one line."""
    beams, points = int(rng.integers(1, 9)), int(rng.integers(1, 7))
    x = np.repeat(np.cumsum(rng.uniform(0.1, 1.0, beams)), points) * 1000
    y = np.tile(np.linspace(-1, 1, points), beams) * 1200 if points > 1 else np.zeros(beams)
    y = y + rng.normal(0, 20, len(y)) * (points > 1)
    along, across = axis_for(x, beams, rng.uniform(800, 4000)), axis_for(y, points, rng.uniform(1500, 6000))
    beam = np.repeat(np.arange(beams), points)
    terms = np.full(beams, min(3, points - 1)) * int(rng.random() < 0.5)
    layout = lay_out(along, across, along.values(x[::points])[0], terms)
    rows = layout.surface_rows(x, y)
    energy = [(1.0, (3, 2000.0), (0, 1.0)), (1.0, (0, 1.0), (3, 3000.0)), (1e-6, (0, 1.0), (0, 1.0))]
    if not terms.any():
        return Band(layout, [rows], energy, len(x))
    places = layout.terms[beam]
    shapes = np.where(places >= 0, np.stack([np.ones_like(y), y / 1200, 1 - (y / 1200) ** 2], axis=1), 0.0)
    rows = Rows(
        np.hstack([rows.columns, np.where(places >= 0, places, rows.columns[:, :1])]), np.hstack([rows.values, shapes])
    )
    own = layout.terms[layout.terms >= 0]
    return Band(layout, [rows, Rows(own[:, None], np.full((len(own), 1), points**0.5))], energy, len(x))


def random_law(rng: np.random.Generator, band: Band) -> Law:
    """Prices, dead bands, fixed points, walls (some contradicting each other), slips."""
    n = band.rows.shape[0]
    z = rng.normal(0, 1, n) + rng.choice([0, 0, 0, 0, 15.0], n) * rng.choice([-1, 1], n)
    spring = np.full(n, rng.choice([1.0, 20.0]))
    high, low = np.full(n, rng.choice([0.7, 1.4, 3.0])), np.full(n, rng.choice([0.7, 1.4, 3.0, 50.0]))
    dead = np.full(n, rng.choice([0.0, 0.0, 1.0, 2.5]))
    exact = rng.random(n) < rng.choice([0, 0, 0.2])
    spring[exact], high[exact], low[exact], dead[exact] = 1e7, np.inf, np.inf, 0.0
    own = np.diff(band.rows.indptr) == 1
    spring[own], high[own], low[own], dead[own], z[own] = np.inf, 1.5, 1.5, 0.0, 0.0
    if rng.random() < 0.5:
        return Law(z, spring, high, low, dead)
    walled = np.flatnonzero((rng.random(n) < 0.7) & ~own)
    kind = rng.choice(["lo", "hi", "both"], len(walled))
    half = np.where(kind == "both", rng.uniform(0.5, 4.0, len(walled)), 0.0)
    shift = rng.uniform(-2, 2, len(walled))
    wall = (
        z[walled] + shift,
        np.full(len(walled), np.inf),
        np.where(kind == "lo", 0.0, 1000.0),
        np.where(kind == "hi", 0.0, 1000.0),
        half,
    )
    joined = [np.concatenate(pair) for pair in zip((z, spring, high, low, dead), wall, strict=True)]
    return Law(*joined, at=np.concatenate([np.arange(n), walled]))
