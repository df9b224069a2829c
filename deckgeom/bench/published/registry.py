"""Every way to work a published value out with the package, by the name that `values.csv` calls it."""

from __future__ import annotations

from deckgeom.bench.published import _camber, _crown, _hull, _strips, _wood

__all__ = ["WAYS"]

#: Name to function; each takes the inputs of a row and gives mm, degrees, N, MPa, or words.
WAYS = {
    name: way
    for module in (_camber, _crown, _hull, _wood, _strips)
    for name, way in vars(module).items()
    if callable(way) and getattr(way, "__module__", "") == module.__name__ and not name.startswith("_")
}
