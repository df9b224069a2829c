"""Changes to a table or a folder as a person or a program makes them: cells, rows, headings; not bytes at random."""

from __future__ import annotations

import random
import re

_CELL = re.compile(rb"[^,;\t|\n]*")
_NUMBER = re.compile(rb"[0-9]+(?:\.[0-9]+)?")


def _pick(data: bytes, pattern, rng: random.Random):
    found = [match for match in pattern.finditer(data) if match.group()]
    return rng.choice(found) if found else None


def _cell(data, words, rng):
    place = _pick(data, _CELL, rng)
    return data[: place.start()] + rng.choice(words) + data[place.end() :] if place else rng.choice(words)


def _number(data, words, rng):
    place = _pick(data, _NUMBER, rng)
    if not place:
        return data
    factor = rng.choice((10, 0.1, 12, 25.4, 1 / 25.4, 0.5, 2, -1, 0, 1e3, 1e-3, 1.02))
    return data[: place.start()] + f"{float(place.group()) * factor:g}".encode() + data[place.end() :]


def _lines(data, words, rng):
    lines = data.split(b"\n")
    k, m = rng.randrange(len(lines)), rng.randrange(len(lines))
    doing = rng.randrange(5)
    if doing == 0:
        lines.insert(k, lines[m])
    elif doing == 1:
        del lines[k]
    elif doing == 2:
        lines[k], lines[m] = lines[m], lines[k]
    elif doing == 3:
        lines[k:] = []
    else:
        lines[k] = lines[k] + rng.choice((b",", b",,7", b' "', b"\r", b" # x"))
    return b"\n".join(lines)


def _word(data, words, rng):
    k = rng.randrange(len(data) + 1)
    return data[:k] + rng.choice(words) + data[k:]


def _column(data, words, rng):
    """One column of a block of rows blanked, or copied from another."""
    lines = data.split(b"\n")
    k, m, from_row = rng.randrange(8), rng.randrange(8), rng.randrange(len(lines))
    for number in range(from_row, min(from_row + rng.choice((2, 5, 50)), len(lines))):
        cells = lines[number].split(b",")
        if len(cells) > max(k, m):
            cells[k] = cells[m] if k != m else b""
            lines[number] = b",".join(cells)
    return b"\n".join(lines)


WAYS = (_cell, _cell, _number, _number, _lines, _word, _column)


def mutated(data: bytes, words: tuple[bytes, ...], seed: int) -> bytes:
    """A few changes in a row, the same for the same seed."""
    rng = random.Random(seed)
    for _ in range(rng.choice((1, 1, 1, 2, 3, 6))):
        data = rng.choice(WAYS)(data, words, rng)
    return data
