"""What is typed one after another, and the bytes of the file after each, worked out by other code than the package."""

from __future__ import annotations

import random
from dataclasses import dataclass, field

HEAD = "\ufeff# mine; not yours\r\nbeam;side;y;height;note\r\n"
WORDS = ("49,7cm", "1-7-4+", "a; b", "ü", '" 6', "# no remark", "842", "0.5 m", "")


@dataclass
class Typing:
    """Operations as a page asks for them, and the bytes of the file before the first and after each."""

    seed: int
    count: int
    operations: list[dict] = field(default_factory=list)
    states: list[bytes] = field(default_factory=list)

    def __post_init__(self) -> None:
        pick = random.Random(self.seed)
        rows = [[str(k % 3 + 1), "port", str(100 + 9 * k), str(1000 + k), ""] for k in range(14)]
        self.states.append(written(rows))
        for number in range(self.count):
            kind = pick.choices(("cell", "paste", "out"), (8, 2, 1 if len(rows) > 8 else 0))[0]
            if kind == "out":
                row = pick.randrange(len(rows))
                del rows[row]
                self.operations.append({"do": "remove", "which": [row]})
            else:
                cells = self._cells(pick, number, kind, len(rows))
                for row, column, words in cells:
                    while row >= len(rows):
                        rows.append([""] * 5)
                    rows[row][column] = words
                self.operations.append({"do": "type", "cells": cells})
            self.states.append(written(rows))

    def _cells(self, pick: random.Random, number: int, kind: str, have: int) -> list:
        if kind == "cell":
            words = f"{pick.choice(WORDS)} {number}".strip()
            return [[pick.randrange(have), pick.choice((3, 4)), words]]
        first = have - pick.randrange(3)
        block = [[row, column, f"{number}{row}{column}"] for row in range(first, first + 3) for column in (3, 4)]
        return [[row, 0, "2"] for row in range(have, first + 3)] + block


def written(rows: list[list[str]]) -> bytes:
    """The file that a spreadsheet reads these rows from."""
    text = HEAD + "".join(";".join(map(_cell, row)) + "\r\n" for row in rows)
    return text.encode()


def _cell(words: str) -> str:
    return '"' + words.replace('"', '""') + '"' if ";" in words or words[:1] in ('"', "#") else words
