"""Surfaces whose flat shape is known, with what the laying asks of a deck."""

from __future__ import annotations

import numpy as np

from deckgeom.deck.surface import Curvature, _curvature


class Surface:
    """A height z(x, y) with exact derivatives, given as one function."""

    def __init__(self, partials):
        self._of = partials

    def partials(self, x, y, order=2, which="deck"):
        x, y = np.broadcast_arrays(np.asarray(x, float), np.asarray(y, float))
        return tuple(value + 0.0 * x for value in self._of(x, y))

    def curvature(self, x, y, which="deck"):
        return Curvature(*_curvature(self.partials(x, y), 0.0))


def cylinder(radius, angle_deg=0.0):
    """A cylinder, crown up, whose axis lies level, turned in plan off the fore-and-aft line."""
    c, s = np.cos(np.radians(angle_deg)), np.sin(np.radians(angle_deg))

    def partials(x, y):
        v = -s * x + c * y
        z = np.sqrt(radius**2 - v**2)
        first, second = -v / z, -(radius**2) / z**3
        return z, -s * first, c * first, s * s * second, -s * c * second, c * c * second

    return Surface(partials)


def cone(slope):
    """A cone with a level axis along x and its tip at the origin: radius slope * x."""

    def partials(x, y):
        z = np.sqrt((slope * x) ** 2 - y**2)
        zx, zy = slope**2 * x / z, -y / z
        return z, zx, zy, (slope**2 - zx * zx) / z, -zx * zy / z, (-1 - zy * zy) / z

    return Surface(partials)


def sphere(radius):
    """A dome with its top at the origin."""

    def partials(x, y):
        z = np.sqrt(radius**2 - x * x - y * y)
        return z, -x / z, -y / z, -(z * z + x * x) / z**3, -x * y / z**3, -(z * z + y * y) / z**3

    return Surface(partials)


def saddle(a, b):
    """Bends up one way and down the other: z = x^2 / 2a - y^2 / 2b."""
    return Surface(lambda x, y: (x * x / 2 / a - y * y / 2 / b, x / a, -y / b, 1 / a + 0 * x, 0 * x, -1 / b + 0 * x))
