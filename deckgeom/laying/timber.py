"""
The beams' timber: how heavy it is by the table or by the owner's own row.
"""

from __future__ import annotations

import re

from deckgeom.tables import table

__all__ = ["Unknown", "gravity_of", "timber_words"]


class Unknown(ValueError):
    """
    A timber that neither the table nor the owner has.

    Parameters
    ----------
    near : tuple of str
        Names that share a word with it or are nearly it; all where none do.

    Examples
    --------
    >>> Unknown(("white oak",)).near
    ('white oak',)
    """

    def __init__(self, near: tuple[str, ...]) -> None:
        super().__init__(", ".join(near))
        self.near = near


def gravity_of(timber: str, own=()) -> tuple[str, float, str]:
    """
    Specific gravity of a timber.

    Parameters
    ----------
    timber : str
        In any case, with or without hyphens and commas.
    own : sequence of mapping
        The owner's own figures; those whose unit is "gravity" are timbers, and win.

    Returns
    -------
    (str, float, str)
        Its name as it stands in the table, the specific gravity [1], and where that is from.

    Raises
    ------
    Unknown
        With the near names.

    Examples
    --------
    >>> gravity_of("douglas fir coast")[:2]
    ('Douglas-fir, coast', 0.48)
    """
    rows = {_plain(row["timber"]): (row["timber"], float(row["gravity"]), _from(row))
            for row in table("timber_gravity")}  # fmt: skip
    rows |= {_plain(row["what"]): (row["what"], float(row["likely"]), row["source"])
             for row in own if row["unit"] == "gravity"}  # fmt: skip
    plain = _plain(timber)
    if plain not in rows:
        raise Unknown(_near(plain, rows))
    return rows[plain]


def timber_words(wishes) -> str:
    """
    Which timber the beams are, and by which figure; nothing where none is named.

    Parameters
    ----------
    wishes : LayingSettings

    Returns
    -------
    str

    Examples
    --------
    >>> from types import SimpleNamespace
    >>> oak = SimpleNamespace(timber="white oak", gravity=0.7, timber_gravity=0.68, timber_source="a book")
    >>> timber_words(oak)
    'The beams are white oak: specific gravity 0.7 as typed, which wins over 0.68 (a book).'
    """
    if not wishes.timber:
        return ""
    start = f"The beams are {wishes.timber}: specific gravity {wishes.gravity:g}"
    if wishes.timber_gravity is None:
        return f"{start}, which is not by the table: that timber is not in it."
    if abs(wishes.timber_gravity - wishes.gravity) < 5e-4:
        return f"{start} ({wishes.timber_source})."
    return f"{start} as typed, which wins over {wishes.timber_gravity:g} ({wishes.timber_source})."


def _from(row) -> str:
    return f"{row['source']}, from memory" if row["seen"] == "memory" else row["source"]


def _plain(name: str) -> str:
    return " ".join(re.findall(r"[^\W_]+", name.lower()))


def _near(plain: str, rows) -> tuple[str, ...]:
    from difflib import get_close_matches

    words = set(plain.split())
    close = set(get_close_matches(plain, rows, 3, 0.6))
    each = {word for word in words if len(word) > 2}

    def alike(key: str) -> bool:
        return key in close or any(word in key or get_close_matches(word, key.split(), 1, 0.8) for word in each)

    found = [name for key, (name, _, _) in rows.items() if alike(key)]
    return tuple(found) or tuple(name for name, _, _ in rows.values())
