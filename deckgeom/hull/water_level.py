"""
The water level, and what a difference of temperature does to it.
"""

from __future__ import annotations

import numpy as np

__all__ = ["water_density", "water_level_error"]


def water_density(celsius) -> np.ndarray:
    """
    Return the density of clean water at the pressure of the air.

    Parameters
    ----------
    celsius : array_like
        Temperature, 0 to 60. [degrees C]

    Returns
    -------
    ndarray
        Density. [kg/m3]

    Notes
    -----
    The ratio of polynomials fitted by Kell [1]_; coefficients from memory, checked against two values of other tables.

    References
    ----------
    .. [1] G. S. Kell, Density, thermal expansivity, and compressibility of liquid water from 0 to 150 C,
       *Journal of Chemical and Engineering Data* 20 (1975) 97-105.

    Examples
    --------
    >>> round(float(water_density(15)), 2)
    999.1
    """
    t = np.asarray(celsius, float)
    top = (999.83952, 16.945176, -7.9870401e-3, -46.170461e-6, 105.56302e-9, -280.54253e-12)
    return np.polynomial.polynomial.polyval(t, top) / (1.0 + 16.879850e-3 * t)


def water_level_error(riser, colder_c, warmer_c) -> np.ndarray:
    """
    Return how much too high the warmer leg of a water level stands.

    Parameters
    ----------
    riser : array_like
        Height of the water standing in the colder leg above the part of the hose that both share. [mm]
    colder_c, warmer_c : array_like
        Temperature of the water in the two legs. [degrees C]

    Returns
    -------
    ndarray
        Height of the warmer column above the colder one that it balances. [mm]

    Notes
    -----
    .. math:: e = h (\\rho_{cold} / \\rho_{warm} - 1)

    as both columns weigh the same. Move the water to and fro before reading, and keep the hose out of the sun.

    Examples
    --------
    >>> round(float(water_level_error(1000, 15, 25)), 2)
    2.06
    """
    return np.asarray(riser, float) * (water_density(colder_c) / water_density(warmer_c) - 1.0)
