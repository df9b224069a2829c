"""
The damaged folders: `python -m tests.damaged.make FOLDER [NAME ...]` writes them, to be looked at or tried by hand.

The same folders every time: what chance decides hangs on the name of the damage alone. `complaints.csv` says what each
must be told; `test_damaged.py` holds the program to it.
"""

from __future__ import annotations

import random
import sys
from dataclasses import dataclass
from pathlib import Path

from tests.damaged import files, keys, tables
from tests.damaged.folders import Damaging, good


@dataclass(frozen=True)
class Damage:
    """One damaged folder: its name, the good one that it is made from, what is done to that in words, and how."""

    name: str
    boat: str
    what: str
    do: Damaging

    def make(self, folder: Path) -> int | None:
        """Write the folder, and give the line that was damaged, if it was one."""
        good(self.boat, folder)
        return self.do(folder, random.Random(self.name))


DAMAGES: dict[str, Damage] = {
    name: Damage(name, boat, what, do) for name, boat, what, do in (*tables.DAMAGES, *keys.DAMAGES, *files.DAMAGES)
}
"""Every damage by its name."""


def main(arguments: list[str]) -> int:
    """Write the folders that are named, or all."""
    if not arguments or set(arguments[1:]) - set(DAMAGES):
        print(__doc__.strip(), file=sys.stderr)
        return 2
    for name in arguments[1:] or DAMAGES:
        DAMAGES[name].make(Path(arguments[0], name))
    print(f"{len(arguments[1:]) or len(DAMAGES)} folders in {arguments[0]}")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
