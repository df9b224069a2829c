"""
Decks with known faults: the fair deck, what is wrong with each beam, and what a tape would read.

Everything is invented and seeded. A deck is a sheer that rises to both ends, a plan shape that narrows to the stem
and a little to the stern, and a camber that either is one mould or keeps its proportion to the breadth. Faults are
added to that, then list, trim, the tape's error and its slips.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from deckgeom.fairing.beam_tops import BeamTops


@dataclass(frozen=True, eq=False)
class SimulatedDeck:
    """What was measured and what is so: `defect` is how far the beam top really stands above fair at each reading."""

    tops: BeamTops
    fair: np.ndarray
    defect: np.ndarray
    slip: np.ndarray
    design: np.ndarray
    beam_out: dict[int, tuple[str, float]]


@dataclass(frozen=True)
class Faults:
    """How many of each; lengths in mm. Fractions are of all readings."""

    set_off: int = 2
    set_off_by: tuple[float, float] = (1.5, 4.0)
    wrong_crown: int = 1
    twisted: int = 1
    bumps: float = 0.05
    bumps_by: tuple[float, float] = (1.5, 5.0)
    slips: float = 0.02
    slips_by: tuple[float, float] = (8.0, 30.0)
    sagged: int = 0
    knots: int = 0
    clamp_drop: int = 0
    ends_spared: int = 0


def fair_deck(x, eta, length, widest, camber, proportional):
    """Half-breadth and height of the fair deck: (b, z)."""
    u = x / length
    b = widest * (0.30 + 0.70 * np.sin(np.pi * (0.10 + 0.72 * u)) ** 0.9)
    sheer = 900 + (260 * (u - 0.62) ** 2 / 0.38 + 40 * (1 - u) ** 3) * length / 7600
    return b, sheer + crown(eta * b, b, widest, camber, proportional)


def crown(y, b, widest, camber, proportional):
    """Height above the deck edges: a parabola in proportion to the breadth, or one mould that is an arc of a circle."""
    if proportional:
        return camber * b / widest * (1 - (y / b) ** 2)
    radius = (widest**2 + camber**2) / (2 * camber)
    return np.sqrt(radius**2 - y**2) - np.sqrt(radius**2 - b**2)


def powder_horn(x, eta, length, widest, camber, proportional):
    """A sheer that rises forward and droops aft of the middle, an S in profile."""
    b, _ = fair_deck(x, eta, length, widest, camber, proportional)
    u = x / length
    sheer = 900 + (200 * (1 - u) ** 2 - 130 * np.clip(u - 0.3, 0, None) ** 3) * length / 7600
    return b, sheer + crown(eta * b, b, widest, camber, proportional)


def peaked(x, eta, length, widest, camber, proportional):
    """A camber nearly straight from the edge to a rounded ridge."""
    b, z = fair_deck(x, eta, length, widest, camber, proportional)
    straight = camber * (b / widest) * (1 - np.sqrt(eta**2 + 0.09) + np.sqrt(1.09) - 1)
    return b, z - crown(eta * b, b, widest, camber, proportional) + straight


def simulate(
    seed: int,
    beams: int = 20,
    points: int = 9,
    spacing: float = 400.0,
    sigma: float = 0.7,
    faults: Faults | None = None,
    proportional: bool = False,
    missing: float = 0.05,
    wave: float = 8.0,
    camber: float = 110.0,
    shape=None,
    widest: float | None = None,
) -> SimulatedDeck:
    """One deck."""
    rng = np.random.default_rng(seed)
    faults = faults or Faults()
    length = spacing * (beams - 1)
    widest = widest or float(np.clip(0.2 * length, 600, 1500))
    camber = camber * widest / 1500
    beam_x = np.arange(beams) * spacing + rng.uniform(-0.15, 0.15, beams) * spacing
    beam = np.repeat(np.arange(beams), points)
    eta = np.linspace(-0.96, 0.96, points)
    eta = (eta + rng.uniform(-0.2, 0.2, (beams, points)) * 1.92 / max(points - 1, 1)).clip(-0.99, 0.99).ravel()
    keep = rng.random(len(beam)) >= missing
    for k in range(beams):
        if keep[beam == k].sum() < min(3, points):
            keep[beam == k] = True
    beam, eta = beam[keep], eta[keep]
    x = beam_x[beam]
    b, z = (shape or fair_deck)(x, eta, length, widest, camber, proportional)
    defect, out = _defects(rng, faults, beam, eta, beams, x, spacing)
    slip = np.zeros(len(beam))
    chosen = rng.random(len(beam)) < faults.slips
    slip[chosen] = rng.uniform(*faults.slips_by, chosen.sum()) * rng.choice([-1, 1], chosen.sum())
    y = eta * b
    datum = 3.0 + 0.012 * y + 0.006 * x + 6.0 * (x / length) * (1 - x / length)
    design = z + wave * np.sin(2 * np.pi * x / length + rng.uniform(0, 2 * np.pi))
    measured = z + defect + slip + datum + rng.normal(0, sigma, len(beam))
    tops = BeamTops(beam, tuple(str(k + 1) for k in range(beams)), x, y, b, measured)
    return SimulatedDeck(tops, z + datum, defect, slip, design + datum, out)


def _defects(rng, faults, beam, eta, beams, x, spacing):
    """True departures from fair at each reading, and what was done to which beam."""
    defect, out = np.zeros(len(beam)), {}
    free = list(rng.permutation(np.arange(faults.ends_spared, beams - faults.ends_spared)))
    size = lambda: rng.uniform(*faults.set_off_by) * rng.choice([-1, 1])  # noqa: E731
    shapes = (
        ("height", faults.set_off, lambda e: np.ones_like(e)),
        ("crown", faults.wrong_crown, lambda e: 1 - e**2),
        ("tilt", faults.twisted, lambda e: e),
        ("sag", faults.sagged, lambda e: np.maximum(0, 1 - (e / 0.6) ** 2) ** 2),
    )
    for kind, count, shape in shapes:
        for _ in range(count):
            k, amount = int(free.pop()), size()
            defect[beam == k] += amount * shape(eta[beam == k])
            out[k] = (kind, amount)
    chosen = rng.random(len(beam)) < faults.bumps
    defect[chosen] += rng.uniform(*faults.bumps_by, chosen.sum()) * rng.choice([-1, 1], chosen.sum())
    for _ in range(faults.knots):
        i = rng.integers(len(beam))
        defect[i] += rng.uniform(2.0, 4.0)
    for _ in range(faults.clamp_drop):
        first, side = int(rng.integers(3, beams - 7)), rng.choice([-1, 1])
        here = (beam >= first) & (beam < first + 4) & (side * eta > 0)
        drop = np.sin(np.pi * (beam[here] - first + 1) / 5)
        defect[here] -= rng.uniform(3.0, 6.0) * drop * np.abs(eta[here])
        out.update(dict.fromkeys(range(first, first + 4), ("clamp", -4.0)))
    return defect, out
