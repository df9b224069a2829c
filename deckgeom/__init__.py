"""
From a table of offsets to deck beams, bevels, spilings and fairing work for wooden boats.

Lengths inside are millimetres; x runs aft, y to starboard, z up from the base line.
"""

from __future__ import annotations

__version__ = "0.1.0"
