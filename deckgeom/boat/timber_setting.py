"""
The beams' timber by its name in boat.toml: gives the specific gravity where none is typed.
"""

from __future__ import annotations

from dataclasses import replace

from deckgeom.laying.timber import Unknown, gravity_of

from .build import FILE
from .log import Log
from .settings import Settings
from .toml_file import Typed

LEAST, MOST = 0.1, 1.4
"""No wood is lighter or heavier: balsa and lignum vitae. From memory. [1]"""


def with_timber(settings: Settings, figures, typed: Typed | None, log: Log) -> Settings:
    """
    Take the specific gravity of the timber that is named, unless one is typed.

    Parameters
    ----------
    settings : Settings
    figures : sequence of mapping
        The owner's own rows, as `own_rows` gives them.
    typed : Typed or None
        What boat.toml says, for the line.
    log : Log
        Takes the complaints.

    Returns
    -------
    Settings

    Examples
    --------
    >>> from deckgeom.boat import default_settings
    >>> with_timber(default_settings(), (), None, Log()).laying.gravity
    0.5
    """
    laying = settings.laying
    if not laying.timber:
        return settings
    row = typed.rows.get("laying.timber") if typed is not None else None
    try:
        name, gravity, source = gravity_of(laying.timber, figures)
    except Unknown as unknown:
        used = f"{laying.gravity:g} is used" + (", as typed" if settings.typed("laying.gravity") else "")
        rule = (f"this timber is not in the table; its specific gravity of {used}. There are "
                f"{', '.join(repr(name) for name in unknown.near)}. Choose one of these, or give yours a row in "
                "figures.csv with the unit gravity, kg/m3 or lb/ft3")  # fmt: skip
        log.mend(FILE, row, "laying.timber", laying.timber, rule, "spelt another way, or a trade name")
        return settings
    if not LEAST <= gravity <= MOST:
        rule = f"no wood has a specific gravity of {gravity:g}; {laying.gravity:g} is used"
        log.mend(FILE, row, "laying.timber", laying.timber, rule, "another unit in figures.csv")
        return settings
    sources = settings.sources
    if not settings.typed("laying.gravity"):
        laying, sources = replace(laying, gravity=gravity), {**sources, "laying.gravity": source}
    elif abs(laying.gravity - gravity) > 5e-4:
        rule = f"this is typed, so it wins over {gravity:g} of {name} ({source})"
        log.note(FILE, typed.rows.get("laying.gravity"), "laying.gravity", f"{laying.gravity:g}", rule)
    laying = replace(laying, timber=name, timber_gravity=gravity, timber_source=source)
    return replace(settings, laying=laying, sources=sources)
