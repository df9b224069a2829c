"""
A boat folder: read, checked, echoed, copied; nothing that a person typed is ever written to.
"""

from __future__ import annotations

from .build import default_settings
from .copying import copy_boat
from .fittings_file import Fitting
from .folder import FILES, Boat, holds_a_boat, read_boat
from .marks_file import LevelMark
from .settings import (
    BeamSettings,
    CamberSettings,
    FairingSettings,
    LayingSettings,
    OffsetSettings,
    Settings,
)
from .templates import new_boat, templates

__all__ = [
    "FILES",
    "BeamSettings",
    "Boat",
    "CamberSettings",
    "FairingSettings",
    "Fitting",
    "LayingSettings",
    "LevelMark",
    "OffsetSettings",
    "Settings",
    "copy_boat",
    "default_settings",
    "holds_a_boat",
    "new_boat",
    "read_boat",
    "templates",
]
