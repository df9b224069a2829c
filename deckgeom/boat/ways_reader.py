"""
How the ways of laying a deck are read: each a list of a name and its layers, the lowest first.
"""

from __future__ import annotations

import re

from deckgeom.laying.ways import KINDS, DeckLayer, Way
from deckgeom.units import LengthError

from .key_readers import size
from .log import nearest

EXAMPLE = 'Write [["two skins", "ply 9 mm", "ply 6 mm", "cloth"]].'
_ALSO = {"plank": "planks", "planking": "planks", "laid": "planks", "plywood": "ply", "skin": "ply",
         "sheathing": "cloth"}  # fmt: skip
_BEFORE = {"king plank": "king", "king": "king", "covering board": "covering_board", "plank sheer": "covering_board"}


def ways(typed, units: str) -> tuple[Way, ...]:
    """
    Read the ways of laying a deck.

    Parameters
    ----------
    typed : list of list of str
        As TOML gives it: for each way its name, then its layers from the lowest up.
    units : str
        The folder's units.

    Returns
    -------
    tuple of Way

    Examples
    --------
    >>> ways([["overlay", "planks 12 mm, 3 in wide", "ply 6 mm", "cloth"]], "mm")[0].layers[0].width
    76.2
    """
    lists = isinstance(typed, list) and all(isinstance(one, list) for one in typed)
    if not lists or any(not isinstance(part, str) for one in typed for part in one):
        rule = "a list of ways is wanted, each a list of texts: its name, then its layers from the lowest up"
        raise LengthError(_short(typed), rule, "one pair of brackets left out", EXAMPLE)
    found = tuple(_way(one, units) for one in typed)
    names = [way.name for way in found]
    twice = next((name for k, name in enumerate(names) if name in names[:k]), None)
    if twice is not None:
        raise LengthError(twice, "each way has a name of its own", "a line copied and not renamed")
    return found


def _way(parts: list[str], units: str) -> Way:
    if len(parts) < 2 or not parts[0].strip():
        raise LengthError(_short(parts), "a way has a name and at least one layer", "the name left out", EXAMPLE)
    layers = tuple(_layer(part, units) for part in parts[1:])
    kinds = [layer.kind for layer in layers]
    if kinds.count("planks") > 1 or kinds.count("cloth") > 1 or "cloth" in kinds[:-1]:
        rule = "a way has planks once, any number of ply skins, and cloth last"
        raise LengthError(_short(parts), rule, "two ways in one list, or layers from the top down", EXAMPLE)
    return Way(" ".join(parts[0].split()), layers)


def _layer(text: str, units: str) -> DeckLayer:
    first, *more = re.split(r",\s+", text.strip())
    word, _, thick = first.partition(" ")
    kind = _ALSO.get(word.lower(), word.lower())
    if kind not in KINDS:
        near = nearest(kind, (*KINDS, *_ALSO))
        slip = f'"{_ALSO.get(near, near)}" was meant' if near else "the thickness written first"
        raise LengthError(text, 'a layer begins with "planks", "ply" or "cloth"', slip, EXAMPLE)
    if kind != "cloth" and not thick.strip():
        raise LengthError(text, "planks and ply have a thickness", "it was left out", EXAMPLE)
    values = {"thickness": size(thick, units) if thick.strip() else 0.0}
    for option in more:
        if kind != "planks":
            raise LengthError(text, f"{kind} has no more than its thickness", "an option of planks", EXAMPLE)
        values |= _option(option, text, units)
    if kind == "planks" and not values.get("width"):
        advice = 'Write "planks 12 mm, 50 mm wide, sprung, king plank 120 mm, covering board 120 mm".'
        raise LengthError(text, "planks have a width", "it was left out", advice)
    return DeckLayer(kind, **values)


def _option(option: str, text: str, units: str) -> dict:
    """One of: so much wide, straight, sprung, king plank so much, covering board so much."""
    plain = " ".join(option.split())
    if plain.lower() in ("straight", "sprung"):
        return {"lay": plain.lower()}
    if plain.lower().endswith(" wide"):
        return {"width": size(plain[:-5], units)}
    for words, key in _BEFORE.items():
        if plain.lower().startswith(words + " "):
            return {key: size(plain[len(words) + 1 :], units)}
    known = ("wide", "straight", "sprung", "king plank", "covering board")
    near = nearest(re.sub(r"[\d./'\"-]+|\b(mm|cm|in|ft)\b", "", plain).strip(), known)
    rule = f"planks may have {', '.join(known)}; {plain!r} is none of these"
    raise LengthError(text, rule, f"{near} was meant" if near else "", "")


def _short(typed) -> str:
    text = str(typed)
    return text if len(text) < 80 else text[:77] + "..."
