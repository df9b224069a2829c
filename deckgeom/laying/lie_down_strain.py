"""
What a flat sheet must stretch and squeeze to lie on a surface that bends both ways, strip by strip.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

__all__ = ["MembraneStrain", "membrane_strain", "pucker_spacing", "pucker_strain"]

#: Points across a strip, and rows of them along it.
ACROSS, ROWS = 9, 21


class MembraneStrain(NamedTuple):
    """
    Strain in the middle of a sheet that is forced onto a surface.

    Attributes
    ----------
    stretch, squeeze : float
        Greatest of each, both nought or more. [1]
    range : float
        The greatest found across any one strip, from most squeezed to most stretched. [1]

    Examples
    --------
    >>> MembraneStrain(0.0006, 0.0012, 0.0018).range
    0.0018
    """

    stretch: float
    squeeze: float
    range: float


def membrane_strain(gaussian, width) -> MembraneStrain:
    r"""
    Strain along strips that lie side by side along a surface, from the Gaussian curvature across each.

    Parameters
    ----------
    gaussian : (n, m) array
        Of n strips, at the m Gauss points across each. [1/mm^2]
    width : (n,) array
        Of each. [mm]

    Returns
    -------
    MembraneStrain

    Notes
    -----
    .. math:: \varepsilon'' = -K, \quad \int \varepsilon\,ds = \int \varepsilon s\,ds = 0

    across a strip with free edges: compatibility, and no force and no edgewise moment in the strip. With K the same all
    over this is K W^2/24 in the middle, -K W^2/12 at the edges. It holds for a strip that is long against its
    width; a square sheet strains less, so it errs on the careful side.

    References
    ----------
    S. Timoshenko and J. N. Goodier, *Theory of Elasticity*, on compatibility; derived here.

    Examples
    --------
    >>> strain = membrane_strain(np.full((1, 9), 0.01e-6), np.array([1200.0]))
    >>> [round(value, 6) for value in strain]
    [0.0006, 0.0012, 0.0018]
    """
    legendre = np.polynomial.legendre
    gaussian, width = np.asarray(gaussian, float), np.asarray(width, float)
    node, weight = legendre.leggauss(gaussian.shape[1])
    degrees = np.arange(gaussian.shape[1])
    by_degree = (2 * degrees + 1) / 2 * legendre.legvander(node, degrees[-1]) * weight[:, None]
    strain = legendre.legint(-(gaussian @ by_degree) * (width[:, None] / 2) ** 2, 2, axis=1)
    strain[:, :2] = 0.0
    across = legendre.legval(np.linspace(-1, 1, 201), strain.T)
    most, least = across.max(axis=1), across.min(axis=1)
    return MembraneStrain(max(float(most.max()), 0.0), max(float(-least.min()), 0.0), float((most - least).max()))


def pucker_strain(thickness: float, spacing: float) -> float:
    r"""
    How far a sheet may be squeezed between two fastenings before it springs up between them.

    Parameters
    ----------
    thickness, spacing : float
        [mm]

    Returns
    -------
    float
        [1]

    Notes
    -----
    .. math:: \varepsilon = \frac{\pi^2}{12} \left( \frac{t}{s} \right)^2

    References
    ----------
    Euler's column with pinned ends.

    Examples
    --------
    >>> f"{pucker_strain(9, 300):.3g}"
    '0.00074'
    """
    if not (thickness > 0 and spacing > 0):
        raise ValueError(f"{thickness:g} mm thick, fastened {spacing:g} mm apart: both are above 0. Is one left blank?")
    return float(np.pi**2 / 12 * (thickness / spacing) ** 2)


def pucker_spacing(thickness: float, squeeze: float) -> float:
    """
    Widest spacing of fastenings at which a sheet squeezed so far stays down between them.

    Parameters
    ----------
    thickness : float
        [mm]
    squeeze : float
        [1]

    Returns
    -------
    float
        Infinite where nothing is squeezed. [mm]

    Examples
    --------
    >>> round(pucker_spacing(9, pucker_strain(9, 300)), 9)
    300.0
    """
    return float(thickness * np.pi / np.sqrt(12 * squeeze)) if squeeze > 0 else np.inf
