"""What every test shares: repeatable random cases, and no window ever opened by a drawing."""

from __future__ import annotations

import os
import shutil
from pathlib import Path

import pytest
from hypothesis import settings

os.environ.setdefault("MPLBACKEND", "Agg")

# what a test starts, a kernel or another Python, finds the package too, installed or not
os.environ["PYTHONPATH"] = os.pathsep.join(
    filter(None, [str(Path(__file__).parents[1]), os.environ.get("PYTHONPATH", "")])
)

# the same cases every time: a red test stays red until it is mended
settings.register_profile("deckgeom", derandomize=True, deadline=None, max_examples=50)
settings.load_profile("deckgeom")


@pytest.fixture(scope="session")
def written_demo(tmp_path_factory) -> Path:
    """The demo boat in a folder of its own, with all that the command writes: to read or copy, never to change."""
    from deckgeom.__main__ import main

    demo = Path(__file__).parents[1] / "notebooks" / "boats" / "thimblewick"
    folder = tmp_path_factory.mktemp("written") / "boat"
    shutil.copytree(demo, folder, ignore=shutil.ignore_patterns("out", ".*"))
    assert main([str(folder)]) == 0
    return folder


@pytest.fixture
def demo_unlaid(tmp_path) -> Path:
    """A copy of the demo boat that says nothing of how the deck is laid: that takes longest to work out and print."""
    from deckgeom.boat import copy_boat

    folder = copy_boat(Path(__file__).parents[1] / "notebooks" / "boats" / "thimblewick", tmp_path / "own boat")
    toml = folder / "boat.toml"
    before, found, _ = toml.read_text(encoding="utf-8").partition("[laying]")
    assert found
    toml.write_text(before, encoding="utf-8")
    return folder
