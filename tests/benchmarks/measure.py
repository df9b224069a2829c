"""Times of routes that take turns, so that what else the machine does falls on all alike; medians with their spread."""

from __future__ import annotations

import time
from collections.abc import Callable, Mapping
from dataclasses import dataclass

import numpy as np

#: Seconds that a route gets at the least, and runs that it gets at the least and at the most.
LEAST, FEWEST, MOST = 0.5, 3, 60


@dataclass(frozen=True)
class Times:
    """Seconds of each run of one route."""

    runs: tuple[float, ...]

    @property
    def median(self) -> float:
        """The middle run. [s]"""
        return float(np.median(self.runs))

    def words(self) -> str:
        """Median and, in brackets, the quarters of the runs below and above it."""
        if len(self.runs) == 1:
            return f"{clock(self.median)} (one run)"
        low, high = np.quantile(self.runs, [0.25, 0.75])
        return f"{clock(self.median)} ({clock(low)} to {clock(high)})"


def clock(seconds: float) -> str:
    """A time in three figures: 12.3 ms, 1.23 s."""
    return f"{seconds * 1e3:.3g} ms" if seconds < 0.9995 else f"{seconds:.3g} s"


def race(routes: Mapping[str, Callable], least: float = LEAST, fewest: int = FEWEST) -> dict[str, Times]:
    """
    Run routes in turn until each had enough time and runs; the first run of each warms up and does not count.

    Only a route whose first run took over twenty seconds has no other.
    """
    runs: dict[str, list[float]] = {name: [] for name in routes}
    first = {name: _seconds(route) for name, route in routes.items()}
    while True:
        open_ = [name for name in routes if not _enough(runs[name], first[name], least, fewest)]
        if not open_:
            return {name: Times(tuple(taken or [first[name]])) for name, taken in runs.items()}
        for name in open_:
            runs[name].append(_seconds(routes[name]))


def _enough(taken: list[float], first: float, least: float, fewest: int) -> bool:
    if first > 20:
        return True
    return len(taken) >= MOST or (len(taken) >= fewest and sum(taken) >= least)


def _seconds(route: Callable) -> float:
    begun = time.perf_counter()
    route()
    return time.perf_counter() - begun


def exponent(sizes, seconds) -> float:
    """The k of time = c n^k that lies nearest on logarithmic scales; 1 is growth in line with the size."""
    return float(np.polyfit(np.log(sizes), np.log(seconds), 1)[0])
