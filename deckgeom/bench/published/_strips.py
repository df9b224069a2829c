"""Ways to work out the values of group J: planks and battens over beams."""

from __future__ import annotations

import numpy as np

from deckgeom.fairing.batten import fasten_strip, lay_batten
from deckgeom.fairing.strip import Strip

_LIGHT = (100.0, 20.0, 13400.0)
_SPAN = 400.0


def _loaded(spans):
    strip = Strip(*_LIGHT, 600.0)
    return strip, lay_batten(np.arange(int(spans) + 1) * _SPAN, np.zeros(int(spans) + 1), strip)


def even_load_reaction(spans, support):
    strip, laid = _loaded(spans)
    return laid.force[int(support) - 1] / (strip.weight * _SPAN)


def even_load_moment(spans, support):
    strip, laid = _loaded(spans)
    return -laid.height(laid.x[int(support) - 1], 2) * strip.stiffness / (strip.weight * _SPAN**2)


def _drawn_down(spans, low, breadth=_LIGHT[0], thickness=_LIGHT[1], modulus=_LIGHT[2], span=_SPAN):
    count = int(spans) + 1
    z = np.zeros(count)
    z[count // 2] = -low
    strip = Strip(breadth, thickness, modulus)
    return strip, fasten_strip(np.arange(count) * span, z, strip)


def pull_factor(spans):
    strip, laid = _drawn_down(spans, 3.0)
    return laid.pull.max() * _SPAN**3 / (strip.stiffness * 3.0)


def pull_down(breadth, thickness, modulus, span, low, spans):
    return _drawn_down(spans, low, breadth, thickness, modulus, span)[1].pull.max()


def force_on_beam(breadth, thickness, modulus, span, low, spans, beam):
    return _drawn_down(spans, low, breadth, thickness, modulus, span)[1].force[int(beam) - 1]


def batten_own_sag(breadth, thickness, density, modulus, span):
    laid = lay_batten([0.0, span], [0.0, 0.0], Strip(breadth, thickness, modulus, density))
    return -laid.height(span / 2)


def fastened_strip_height(beams, tops, at):
    x, z = (np.array([float(one) for one in text.split()]) for text in (beams, tops))
    return fasten_strip(x, z, Strip(*_LIGHT)).height(at)
