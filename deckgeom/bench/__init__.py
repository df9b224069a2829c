"""
What a notebook shows: described figures, tables and live panels, one bench module a notebook.

No mathematics is done here.
"""

from __future__ import annotations

from deckgeom.bench.boat import open_boat

__all__ = ["open_boat"]
