"""Rooms may import only from rooms before them, and heavy libraries only where they belong."""

from __future__ import annotations

import ast
import subprocess
import sys
from pathlib import Path

import pytest

PACKAGE = Path(__file__).parents[1] / "deckgeom"

ROOMS = (
    "units", "complaint", "tables", "hull", "deck", "fairing", "laying", "boat", "job", "results",
    "drawings", "papers", "lessons", "bench", "__main__",
)  # fmt: skip
CORE_LIBRARIES = {"numpy", "scipy", "threadpoolctl"}
FROM_ROOM = {"matplotlib": "drawings", "pypdf": "papers", "reportlab": "papers", "ezdxf": "papers",
             "pypdfium2": "papers",
             "ipywidgets": "bench",
             "anywidget": "bench", "IPython": "bench", "traitlets": "bench"}  # fmt: skip
NO_MATHEMATICS = ("drawings", "papers", "bench")


def room_of(path: Path, package: Path) -> str:
    """Room that a file of the package belongs to."""
    return path.relative_to(package).parts[0].removesuffix(".py")


def imports_of(path: Path, package: Path) -> list[tuple[int, str]]:
    """Line and full dotted name of every import in a file, wherever in the file it stands."""
    found = []
    here = (package.name, *path.relative_to(package).with_suffix("").parts)
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            found += [(node.lineno, name.name) for name in node.names]
        elif isinstance(node, ast.ImportFrom):
            base = ".".join(here[: len(here) - node.level]) if node.level else ""
            module = ".".join(part for part in (base, node.module) if part)
            found += [(node.lineno, f"{module}.{name.name}") for name in node.names]
    return found


def wrong_imports(package: Path) -> list[str]:
    """Every import that goes against the order of the rooms or brings a library in too early, in words."""
    wrong = []
    for path in sorted(package.rglob("*.py")):
        room = room_of(path, package)
        if path == package / "__init__.py":
            continue
        if room not in ROOMS:
            wrong.append(f"{path.relative_to(package)}: the room '{room}' has no place in ROOMS")
            continue
        for line, name in imports_of(path, package):
            fault = fault_of(room, name.split("."), package.name)
            if fault:
                wrong.append(f"{path.relative_to(package)}:{line}: {room} {fault}")
    return wrong


def fault_of(room: str, name: list[str], package: str) -> str:
    """What is wrong with a room importing this dotted name; empty if nothing is."""
    if name[0] == package:
        other = name[1]
        if other == "__version__" or other == room:
            return ""
        if other not in ROOMS:
            return f"imports '{other}' from the package itself, not from a room"
        return "" if ROOMS.index(other) < ROOMS.index(room) else f"imports {other}, which comes after it"
    library = name[0]
    if library in sys.stdlib_module_names:
        return ""
    if library in CORE_LIBRARIES:
        return f"imports {library}, but does no mathematics" if library == "scipy" and room in NO_MATHEMATICS else ""
    first = FROM_ROOM.get(library)
    if first is None:
        return f"imports {library}, which is no dependency of the package"
    return "" if ROOMS.index(room) >= ROOMS.index(first) else f"imports {library}, known from {first} on"


def test_every_import_goes_to_a_room_before():
    assert len(list(PACKAGE.rglob("*.py"))) > 1
    assert wrong_imports(PACKAGE) == []


@pytest.mark.parametrize(
    ("file", "line", "words"),
    [
        ("hull/sheer.py", "from deckgeom.deck.camber import Circle", "hull imports deck, which comes after it"),
        ("hull/sheer.py", "def f():\n    from ..deck import camber", "hull imports deck, which comes after it"),
        ("hull/sheer.py", "from . import offsets", ""),
        ("hull/sheer.py", "import matplotlib.pyplot as plt", "hull imports matplotlib, known from drawings on"),
        ("drawings/plan.py", "from matplotlib.figure import Figure", ""),
        ("drawings/plan.py", "import ipywidgets", "drawings imports ipywidgets, known from bench on"),
        ("drawings/plan.py", "from scipy.interpolate import CubicSpline", "drawings imports scipy, but does no"),
        ("boat.py", "import pandas", "boat imports pandas, which is no dependency"),
        ("job.py", "from deckgeom import read_boat", "job imports 'read_boat' from the package itself"),
        ("papers/sheet.py", "from deckgeom import __version__", ""),
        ("attic/old.py", "import math", "the room 'attic' has no place in ROOMS"),
    ],
)
def test_a_wrong_import_is_named(tmp_path, file, line, words):
    path = tmp_path / "deckgeom" / file
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(line, encoding="utf-8")
    wrong = wrong_imports(tmp_path / "deckgeom")
    assert len(wrong) == bool(words)
    assert words in "".join(wrong)


def loaded_by(statement: str) -> set[str]:
    """Top-level modules that a fresh Python holds after the statement."""
    code = f"{statement}\nimport sys\nprint(' '.join({{name.split('.')[0] for name in sys.modules}}))"
    done = subprocess.run([sys.executable, "-c", code], cwd=PACKAGE.parent, capture_output=True, text=True, check=True)
    return set(done.stdout.split())


HEAVY = {"matplotlib", "ipywidgets", "anywidget", "IPython", "tomlkit"}


def test_importing_the_package_brings_no_drawing_and_no_widget():
    loaded = loaded_by("import deckgeom")
    assert "deckgeom" in loaded
    assert not loaded & HEAVY


def test_the_main_job_brings_no_drawing_and_no_widget():
    before_drawings = [room for room in ROOMS[: ROOMS.index("drawings")] if (PACKAGE / room).exists()
                       or (PACKAGE / f"{room}.py").exists()]  # fmt: skip
    assert before_drawings
    loaded = loaded_by("import " + ", ".join(f"deckgeom.{room}" for room in before_drawings))
    assert not loaded & HEAVY
