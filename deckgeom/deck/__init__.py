"""
The deck: camber curves and figures, how the crown changes along the boat, the surface, the beams and their spiling.
"""

from __future__ import annotations
