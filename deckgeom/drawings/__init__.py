"""
Every figure of the project, once, for screen, notebook and paper alike.

A drawing takes results and returns a :class:`~deckgeom.drawings.picture.Picture`: a figure with words that say what it
shows, made from the computed values. No mathematics is done here.
"""

from __future__ import annotations

from deckgeom.drawings.picture import Picture

__all__ = ["Picture"]
