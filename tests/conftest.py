"""What every test shares: repeatable random cases, and no window ever opened by a drawing."""

from __future__ import annotations

import os
from pathlib import Path

from hypothesis import settings

os.environ.setdefault("MPLBACKEND", "Agg")

# what a test starts, a kernel or another Python, finds the package too, installed or not
os.environ["PYTHONPATH"] = os.pathsep.join(
    filter(None, [str(Path(__file__).parents[1]), os.environ.get("PYTHONPATH", "")])
)

# the same cases every time: a red test stays red until it is mended
settings.register_profile("deckgeom", derandomize=True, deadline=None, max_examples=50)
settings.load_profile("deckgeom")
