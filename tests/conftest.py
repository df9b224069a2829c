"""What every test shares: repeatable random cases, and no window ever opened by a drawing."""

from __future__ import annotations

import os

from hypothesis import settings

os.environ.setdefault("MPLBACKEND", "Agg")

# the same cases every time: a red test stays red until it is mended
settings.register_profile("deckgeom", derandomize=True, deadline=None, max_examples=50)
settings.load_profile("deckgeom")
