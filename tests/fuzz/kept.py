"""Inputs that found something, kept as small texts and tried again by `test_kept.py` whenever the tests run."""

from __future__ import annotations

import json
import tomllib
from dataclasses import dataclass
from pathlib import Path

FOLDER = Path(__file__).parent / "kept"


@dataclass(frozen=True)
class Kept:
    """One input: what it was for, the units of the folder, its bytes, and what it found (empty for a seed)."""

    target: str
    units: str
    data: bytes
    found: str = ""

    def __str__(self) -> str:
        """As a table of TOML: a text where it is one, else in hexadecimal."""
        lines = ["[[input]]", f"target = {json.dumps(self.target)}", f'units = "{self.units}"']
        try:
            text = self.data.decode("utf-8")
            lines.append(f"text = {json.dumps(text)}".replace("\x7f", "\\u007f"))
            tomllib.loads(lines[-1])
        except ValueError:
            lines[3:] = [f'hex = "{self.data.hex()}"']
        if self.found:
            lines.append(f"found = {json.dumps(self.found)}".replace("\x7f", "\\u007f"))
        return "\n".join(lines) + "\n"


def read_kept(folder: Path = FOLDER) -> list[Kept]:
    """Everything that is kept, in the order of the files."""
    found = []
    for path in sorted(folder.glob("*.toml")):
        for row in tomllib.loads(path.read_text(encoding="utf-8")).get("input", []):
            data = row["text"].encode("utf-8") if "text" in row else bytes.fromhex(row["hex"])
            found.append(Kept(row["target"], row["units"], data, row.get("found", "")))
    return found


def keep(new: Kept, folder: Path = FOLDER) -> bool:
    """Add one, unless it stands there already."""
    if any((new.target, new.units, new.data) == (one.target, one.units, one.data) for one in read_kept(folder)):
        return False
    folder.mkdir(exist_ok=True)
    with (folder / f"{new.target.replace('.', '_')}.toml").open("a", encoding="utf-8", newline="\n") as file:
        file.write(f"\n{new}")
    return True
