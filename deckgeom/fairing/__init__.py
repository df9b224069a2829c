"""
Beam tops as measured: true readings, which beam is wrong, what to plane and what to pack.

The engine goes in three stages: `estimate` finds the fair surface that the readings speak for, `judge` says of every
reading and every beam what to do and why, `plan_work` plans the least work within the builder's choices
(`PlanChoices`); `fewest_beams` chooses the fewest beams to touch and `leave_beam_out` asks what changes if one beam
is not believed.
"""

from __future__ import annotations

import importlib

_WHERE = {
    "BeamTops": "beam_tops",
    "FairingError": "beam_tops",
    "PlanChoices": "choices",
    "estimate": "fair",
    "fewest_beams": "fewest",
    "judge": "verdict",
    "leave_beam_out": "left_out",
    "plan_work": "plan",
}

__all__ = list(_WHERE)


def __getattr__(name: str):
    """Bring a name in when it is asked for, so that the package itself costs nothing to import."""
    if name not in _WHERE:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    return getattr(importlib.import_module(f"{__name__}.{_WHERE[name]}"), name)
