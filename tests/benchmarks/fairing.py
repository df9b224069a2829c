"""
The fairing solver beside general-purpose ones on the same problems: `python -m tests.benchmarks.fairing` prints one
table.

Every code gets the matrices ready made and is asked for the same accuracy; set-up of the code itself counts. One
thread each. Two problems: *two-way*, the robust estimate with whole-beam terms; *limits*, prices 1 and 2, nothing
lower than 1 and nothing higher than 8 reading errors, four fixed points.
"""

from __future__ import annotations

import sys
import time
import warnings

import numpy as np
from scipy import sparse

from deckgeom.fairing.beam_tops import BeamTops
from deckgeom.fairing.fair import _laws
from deckgeom.fairing.field import Field
from deckgeom.fairing.law import Law
from deckgeom.fairing.solver import solve
from tests.fairing.referee import program

SIZES = {
    "20 x 9": (20, 9, 400.0),
    "60 x 15": (60, 15, 400.0),
    "200 x 50": (200, 50, 400.0),
    "line of 200": (200, 1, 400.0),
    "scan 2000 x 50": (2000, 50, 10.0),
}
CODES = ("own", "Clarabel", "PIQP", "OSQP")


def deck(beams: int, points: int, spacing: float, seed: int = 0) -> tuple[BeamTops, np.ndarray]:
    """Readings and their heights in reading errors: noise, slips, beams out."""
    rng = np.random.default_rng(seed)
    beam = np.repeat(np.arange(beams), points)
    eta = np.tile(np.linspace(-0.95, 0.95, points) if points > 1 else [0.0], beams)
    n = beams * points
    tops = BeamTops(
        beam, tuple(str(k) for k in range(beams)), beam * spacing, eta * 1500, np.full(n, 1500.0), np.zeros(n)
    )
    z = rng.normal(0, 1, n) + 15 * (rng.random(n) < 0.02) + 5 * (beam % 9 == 4)
    return tops, z


def two_way(beams: int, points: int, spacing: float) -> tuple:
    """The robust estimate."""
    tops, z = deck(beams, points, spacing)
    field = Field(tops, 2400.0, 2400.0)
    fixed, whole = np.zeros(tops.count, bool), field.term_count.sum() > 0
    return field.with_terms(fixed) if whole else field.plain, _laws(field, field.detrend(z)[0], fixed, whole)


def limits(beams: int, points: int, spacing: float) -> tuple:
    """Prices, walls and fixed points."""
    tops, z = deck(beams, points, spacing)
    field = Field(tops, 2400.0, 2400.0)
    n = tops.count
    held = np.isin(np.arange(n), [0, points - 1, n - points, n - 1])
    spring, free = np.where(held, 1e7, 1.0), ~held
    high, low = np.where(held, np.inf, 1.0), np.where(held, np.inf, 2.0)
    walls = np.flatnonzero(free)
    m = len(walls)
    walled = (z[walls] - 3.5, np.full(m, np.inf), np.full(m, 1000.0), np.full(m, 1000.0), np.full(m, 4.5))
    laws = zip((z, spring, high, low, np.zeros(n)), walled, strict=True)
    return field.plain, Law(*(np.concatenate(pair) for pair in laws), at=np.concatenate([np.arange(n), walls]))


def by_own(band, law):
    return lambda: solve(band, law).c


def by_clarabel(band, law):
    import clarabel

    P, q, A, b, equal, unequal = program(band, law)
    P = sparse.triu(P, format="csc")
    settings = clarabel.DefaultSettings()
    settings.verbose, settings.max_threads = False, 1
    cones = [clarabel.ZeroConeT(equal), clarabel.NonnegativeConeT(unequal)]

    def run():
        answer = clarabel.DefaultSolver(P, q, A, b, cones, settings).solve()
        return np.array(answer.x)[: band.size] if str(answer.status) == "Solved" else None

    return run


def by_piqp(band, law):
    import piqp

    P, q, A, b, equal, unequal = program(band, law)
    A, G, b, h = A[:equal].tocsc(), A[equal:].tocsc(), b[:equal], b[equal:]

    def run():
        solver = piqp.SparseSolver()
        solver.settings.verbose = False
        solver.settings.eps_abs = solver.settings.eps_rel = 1e-8
        solver.setup(P, q, A, b, G, None, h)
        status = solver.solve()
        return solver.result.x[: band.size] if status == piqp.PIQP_SOLVED else None

    return run


def by_osqp(band, law):
    import osqp

    P, q, A, b, equal, unequal = program(band, law)
    P, lower = sparse.triu(P, format="csc"), np.concatenate([b[:equal], np.full(unequal, -np.inf)])

    def run():
        solver = osqp.OSQP()
        solver.setup(P, q, A, lower, b, verbose=False, eps_abs=1e-6, eps_rel=1e-6, polishing=True, max_iter=20_000)
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # of what a later release will do otherwise
            answer = solver.solve()
        return answer.x[: band.size] if answer.info.status_val == 1 else None

    return run


def timed(runs: dict, least: float = 0.3) -> dict[str, tuple[float, np.ndarray | None]]:
    """
    Best time of a call [s], and its answer, for each of some codes.

    They take turns of a few calls, so that what else the machine does falls on all alike; until every code had so much
    time, or enough calls.
    """
    answers, times = {name: run() for name, run in runs.items()}, {name: [] for name in runs}
    while any(sum(spent) < least and len(spent) < 200 for spent in times.values()):
        for name, run in runs.items():
            for _ in range(5 if sum(times[name]) < least else 1):
                if times[name] and sum(times[name]) > 20 * least:
                    break
                start = time.perf_counter()
                answers[name] = run()
                times[name].append(time.perf_counter() - start)
    return {name: (min(times[name]), answers[name]) for name in runs}


def compare(problem, size: tuple, codes=CODES, least: float = 0.3) -> dict[str, tuple[float, float]]:
    """Time [s] of each code and its largest difference from ours [reading errors]; NaN where it gave up."""
    from threadpoolctl import threadpool_limits

    band, law = problem(*size)
    makers = {"own": by_own, "Clarabel": by_clarabel, "PIQP": by_piqp, "OSQP": by_osqp}
    with threadpool_limits(1):
        measured = timed({code: makers[code](band, law) for code in codes}, least)
    found, ours = {}, measured[codes[0]][1]
    for code, (seconds, c) in measured.items():
        off = np.nan if c is None else float(np.abs(band.rows @ (c - ours)).max())
        found[code] = seconds if c is not None else np.nan, off
    return found


def main() -> None:
    """Print the table."""
    import platform

    print(f"Python {platform.python_version()}, numpy {np.__version__}, {platform.machine()}, one thread.")
    print("Milliseconds (times ours) [largest difference from ours, in reading errors]; nan: gave up.")
    print(f"{'problem':26s}" + "".join(f"{code:>32s}" for code in CODES))
    for name, problem in (("two-way", two_way), ("limits", limits)):
        for size, shape in SIZES.items():
            # of the general codes only one is let loose on a scan: the others take minutes or fall over
            codes = CODES[:2] if size.startswith("scan") else CODES
            found = compare(problem, shape, codes)
            cells = [f"{1e3 * s:9.2f} ({s / found['own'][0]:6.1f}) [{off:.0e}]" for s, off in found.values()]
            print(f"{name + ', ' + size:26s}" + "".join(f"{cell:>32s}" for cell in cells), flush=True)


if __name__ == "__main__":
    sys.exit(main())
