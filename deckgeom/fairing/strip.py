"""
A strip of timber or ply as a beam, and how it lies.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from deckgeom.fairing.beam_tops import FairingError, closed
from deckgeom.fairing.contact import Settled
from deckgeom.fairing.forces import force_words
from deckgeom.units import format_length

__all__ = ["LaidStrip", "Strip"]

GRAVITY = 9.80665
"""Standard gravity, exact by definition. [m/s2]"""

STANDS_OFF = 0.5
"""A gap less than this is called touching in words. [mm] Common practice, no source."""


@dataclass(frozen=True)
class Strip:
    """
    A batten, a plank or a strip of ply as a beam: timber and section.

    Parameters
    ----------
    breadth, depth : float
        Section: across the boat, and up and down, the way it bends. [mm]
    modulus_mpa : float
        Modulus of elasticity along it. [MPa]
    density : float
        Nought for a strip whose weight does not matter. [kg/m3]
    name : str
        What it is called.

    Notes
    -----
    .. math:: EI = E b d^3 / 12

    Examples
    --------
    >>> batten = Strip(breadth=20, depth=20, modulus_mpa=10000, density=500, name="batten")
    >>> round(batten.stiffness / 1e6, 1), round(batten.weight * 1000, 2)
    (133.3, 1.96)
    """

    breadth: float
    depth: float
    modulus_mpa: float
    density: float = 0.0
    name: str = "strip"

    def __post_init__(self) -> None:
        for name in ("breadth", "depth", "modulus_mpa"):
            if not (np.isfinite(getattr(self, name)) and getattr(self, name) > 0):
                raise FairingError(
                    f"{name} {getattr(self, name)}",
                    "a strip has a section and a modulus above nought",
                    "a blank cell",
                    "give breadth and depth in mm and the modulus in MPa",
                )
        if not (np.isfinite(self.density) and self.density >= 0):
            raise FairingError(f"density {self.density}", "a density is nought or more", "a sign")

    @property
    def stiffness(self) -> float:
        """EI. [N mm2]"""
        return self.modulus_mpa * self.breadth * self.depth**3 / 12.0

    @property
    def weight(self) -> float:
        """Of a millimetre of it. [N/mm]"""
        return self.density * 1e-9 * GRAVITY * self.breadth * self.depth

    def stress_mpa(self, moment) -> np.ndarray:
        """
        Return the bending stress in the outer fibre.

        Parameters
        ----------
        moment : array_like
            Bending moment. [N mm]

        Returns
        -------
        ndarray
            Its size, without sign. [MPa]

        Examples
        --------
        >>> float(Strip(100, 20, 12000).stress_mpa(40000.0))
        6.0
        """
        return np.abs(np.asarray(moment, float)) * 6.0 / (self.breadth * self.depth**2)


@dataclass(frozen=True, eq=False)
class LaidStrip:
    """
    A strip as it lies on the beams, in the order of x.

    Parameters
    ----------
    strip : Strip
        Timber and section.
    names : tuple of str
        The beams.
    x, z : ndarray, shape (n,)
        Place and height of each beam top. [mm]
    gap : ndarray, shape (n,)
        How far the strip stands off each beam. [mm]
    touching : ndarray of bool, shape (n,)
        Where it lies on the beam.
    force : ndarray, shape (n,)
        Of beam and fastening on the strip: pushed up positive, pulled down negative. [N]
    stress_mpa : ndarray, shape (n,)
        Bending stress at each beam. [MPa]
    hold : ndarray, shape (n,)
        The most that each fastening holds; nought for a loose batten, infinite where held down. [N]
    nodes : ndarray, shape (m,)
        Places between which the strip is one smooth curve. [mm]
    settled : Settled
        Shape and forces at the nodes.

    Examples
    --------
    >>> from deckgeom.fairing.batten import lay_batten
    >>> batten = Strip(20, 20, 10000, 500)
    >>> laid = lay_batten([0, 400, 800, 1200], [0, 0, -3, 0], batten)
    >>> laid.gap.round(2).tolist(), laid.touching.tolist()
    ([0.0, 0.0, 2.96, 0.0], [True, True, False, True])
    """

    strip: Strip
    names: tuple[str, ...]
    x: np.ndarray
    z: np.ndarray
    gap: np.ndarray
    touching: np.ndarray
    force: np.ndarray
    stress_mpa: np.ndarray
    hold: np.ndarray
    nodes: np.ndarray
    settled: Settled

    def __post_init__(self) -> None:
        object.__setattr__(self, "touching", closed(self.touching, bool))
        for name in ("x", "z", "gap", "force", "stress_mpa", "hold", "nodes"):
            object.__setattr__(self, name, closed(getattr(self, name)))

    @property
    def push(self) -> np.ndarray:
        """How hard each beam pushes the strip up, shape (n,). [N]"""
        return np.maximum(self.force, 0.0)

    @property
    def pull(self) -> np.ndarray:
        """How hard each fastening, or hand, pulls the strip down, shape (n,). [N]"""
        return np.maximum(-self.force, 0.0)

    @property
    def drawn(self) -> np.ndarray:
        """True where a fastening pulls with all that it holds and the strip still stands off, shape (n,)."""
        return ~self.touching & (self.hold > 0)

    def height(self, x, order: int = 0) -> np.ndarray:
        """
        Return the height of the strip's underside, or a derivative of it.

        Parameters
        ----------
        x : array_like
            Along the boat; between the ends of the strip. [mm]
        order : {0, 1, 2}
            Derivative.

        Returns
        -------
        ndarray
            Shape of x. [mm, mm/mm or 1/mm]

        Examples
        --------
        >>> from deckgeom.fairing.batten import fasten_strip
        >>> laid = fasten_strip([0, 400, 800], [0, 2, 0], Strip(100, 22, 12000))
        >>> float(laid.height(200.0))
        1.375
        """
        x = np.asarray(x, float)
        nodes, shape = self.nodes, self.settled
        if np.any(x < nodes[0] - 1e-6) or np.any(x > nodes[-1] + 1e-6):
            reach = f"the strip lies from {nodes[0]:.0f} to {nodes[-1]:.0f} mm"
            raise FairingError(
                f"x from {np.min(x):.0f} to {np.max(x):.0f} mm", reach, "", "ask between its ends, or lay a longer one"
            )
        e = np.clip(np.searchsorted(nodes, x, side="right") - 1, 0, nodes.size - 2)
        h, s = nodes[e + 1] - nodes[e], x - nodes[e]
        left, right, q, ei = shape.moment[e], shape.moment[e + 1], self.strip.weight, self.strip.stiffness
        if order == 2:
            return (left + (right - left) * s / h + q * s * (h - s) / 2) / ei
        if order == 1:
            turn = left * s + (right - left) * s**2 / (2 * h) + q * s**2 * (h / 4 - s / 6)
            return shape.slope[e] + turn / ei
        if order != 0:
            raise FairingError(f"order {order}", "a derivative of order 0, 1 or 2")
        sink = left * s**2 / 2 + (right - left) * s**3 / (6 * h) + q * s**3 * (h / 12 - s / 24)
        return shape.height[e] + shape.slope[e] * s + sink / ei

    def words(self, units: str = "mm") -> tuple[str, ...]:
        """
        Return how it lies, a sentence for each beam that it stands off, and for the fastenings that pull hardest.

        Parameters
        ----------
        units : {"mm", "ft-in-8", "in"}
            For the gaps.

        Returns
        -------
        tuple of str

        Examples
        --------
        >>> from deckgeom.fairing.batten import lay_batten
        >>> lay_batten([0, 400, 800, 1200], [0, 0, -3, 0], Strip(20, 20, 10000, 500), names="ABCD").words()
        ('The strip touches beams A, B, D.', 'It stands 3 mm off beam C.')
        """
        return tuple(_laid_words(self, units))


def _laid_words(laid: LaidStrip, units: str):
    close = laid.gap < STANDS_OFF
    yield f"The {laid.strip.name} touches " + _beams(laid, close) + "."
    for i in np.flatnonzero(~close):
        off = f"It stands {_off(laid.gap[i], units)} off beam {laid.names[i]}"
        if laid.hold[i] > 0:
            off += f": the fastening there holds {force_words(laid.hold[i], units)} and cannot draw it down"
        yield off + "."
    held = laid.pull > 0.5
    for i in np.flatnonzero(held & close)[np.argsort(-laid.pull[held & close])][:3]:
        what = "It must be pressed" if laid.hold.min() == 0 else "The fastening must hold"
        yield f"{what} with {force_words(laid.pull[i], units)} at beam {laid.names[i]}."


def _off(gap: float, units: str) -> str:
    said = format_length(gap, units)
    return said if said != format_length(0.0, units) else "a hair"


def _beams(laid: LaidStrip, which) -> str:
    names = [name for name, yes in zip(laid.names, which, strict=True) if yes]
    if len(names) == len(laid.names):
        return f"all {len(names)} beams"
    return f"beam{'s' if len(names) > 1 else ''} {', '.join(names)}"
