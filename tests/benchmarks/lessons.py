"""Jobs of the class: its packet, and the sliders of its lessons."""

from __future__ import annotations

import tempfile
from collections.abc import Callable
from itertools import cycle
from pathlib import Path

#: Lessons with a slider, the slider that is moved, and its values.
SLIDERS = {
    "layout": ("step", (1, 2, 3, 4)),
    "layouts over each other": ("camber", (60, 80, 100, 120)),
    "crown line": ("sheer", (0, 50, 100, 150)),
    "ducks": ("duck3", (-16, 0, 6, 16)),
    "spring-back": ("layers", (2, 3, 4, 6)),
    "bevel": ("sheer", (-60, -20, 0, 40)),
}


def slider(name: str, _k: int) -> Callable:
    """A lesson's slider moved, in the kernel alone."""
    from deckgeom.bench import lesson_bent, lesson_crown, lessons

    makers = {"layout": lambda beam: lessons.layout_panel(beam, "quarter-circle"),
              "layouts over each other": lessons.gaps_panel, "crown line": lesson_crown.crown_panel,
              "ducks": lesson_bent.ducks_panel, "spring-back": lesson_bent.spring_back_panel,
              "bevel": lesson_bent.bevel_panel}  # fmt: skip
    live, (key, values) = makers[name](lessons.beam(1500, 94)), SLIDERS[name]
    turn = cycle(values)
    return lambda: live.set(**{key: next(turn)})


def packet(_k: int) -> Callable:
    """Hulls, exercises, keys and all sheets of a class of ten pairs."""
    from deckgeom.lessons.packets import write_packet

    def work():
        with tempfile.TemporaryDirectory() as folder:
            write_packet(17, 10, "normal", "mm", out=Path(folder))

    return work
