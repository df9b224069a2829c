"""Tables and papers written by the command, with pages that take no time to draw: it is the files that matter here."""

from __future__ import annotations

import contextlib
import io
import tempfile
from collections.abc import Iterator
from dataclasses import replace
from functools import lru_cache
from pathlib import Path

import pytest

from deckgeom import __main__ as command
from deckgeom.bench.steps import steps
from deckgeom.boat import read_boat
from deckgeom.boat.digests import content_digests
from deckgeom.job import Job, do_job
from deckgeom.papers import blank_forms, pattern_set, shop
from deckgeom.papers.canvas import write_whole
from tests.nothing_lost.actions import BOAT

OLD, NEW = b"1,600", b"1,605"
"""A beam's place as the papers have it that stand in out, and as the boat has it now."""


@contextlib.contextmanager
def quick_papers() -> Iterator[None]:
    """Papers that hold the place of the first beam and nothing else, and two patterns."""
    drawn = pattern_set.patterns_of

    def page(job_or_pages: object, *_: object) -> bytes:
        return b"%PDF " + repr(job_or_pages).encode() * 300

    with pytest.MonkeyPatch.context() as put:
        for name in ("stick", "end", "crown", "beam", "spile", "last_chance", "suspect", "plan"):
            put.setattr(shop, f"_{name}_sheets", lambda *_: [])
        put.setattr(shop, "_first_sheets", lambda job, start: [job.boat.beams[0]])
        put.setattr(shop, "next_round_form", lambda *_: [])
        put.setattr(shop, "level_check_form", lambda *_: [])
        put.setattr(blank_forms, "blank_forms", lambda job, start: [job.boat.beams[0]])
        for module in (shop, blank_forms):
            put.setattr(module, "write_pdf", lambda path, pages, imprint: write_whole(path, page(pages)))
        put.setattr(pattern_set, "patterns_of", lambda job: [*drawn(job)][:2])
        put.setattr(pattern_set, "_drawn", lambda pattern, *_: page(pattern.bounds))
        yield


def write(shed: Path, *words: str) -> tuple[int, str]:
    """Run the command on the boat; its exit code, and what it said of errors."""
    said = io.StringIO()
    with contextlib.redirect_stderr(said), contextlib.redirect_stdout(io.StringIO()):
        code = command.main([str(shed / BOAT), *words])
    return code, said.getvalue()


def made_and_changed(shed: Path) -> tuple[dict, dict]:
    """Write everything, then move a beam; what stands in out, and what would if it were written again."""
    (shed / BOAT / "readings.csv").unlink()
    beams, out = shed / BOAT / "beams.csv", shed / BOAT / "out"
    was = beams.read_bytes()
    assert OLD in was
    beams.write_bytes(was.replace(OLD, NEW))
    assert write(shed)[0] == 0
    new = papers_in(out)
    beams.write_bytes(was)
    assert write(shed)[0] == 0
    old = papers_in(out)
    beams.write_bytes(was.replace(OLD, NEW))
    assert old.keys() == new.keys() and all(old[name] != new[name] for name in old if name in MUST_DIFFER)
    return old, new


MUST_DIFFER = {"beams.csv", "shop_sheets.pdf", "blank_forms.pdf", "patterns/A4/beam_01_1.pdf"}


def papers_in(out: Path) -> dict[str, bytes]:
    """Every file that a person may work from, by its place in out."""
    found = {str(path.relative_to(out)): path.read_bytes() for path in out.rglob("*") if path.is_file()}
    return {name: data for name, data in found.items() if not name.endswith((".json", ".part"))}


@lru_cache
def _job(start: Path, beam: bytes) -> Job:
    """The boat worked out, with her first beam at this place."""
    with tempfile.TemporaryDirectory() as folder:
        for path in (start / BOAT).iterdir():
            if path.is_file():
                Path(folder, path.name).write_bytes(path.read_bytes().replace(NEW, beam))
        return do_job(read_boat(folder))


def taken_as(beam: bytes, shed: Path, start: Path) -> tuple[bool, bool]:
    """Whether the command, and the workbook's list of steps, take what stands in out for this boat's."""
    job = _job(start, beam)
    beams, text = shed / BOAT / "beams.csv", (shed / BOAT / "beams.csv").read_bytes()
    beams.write_bytes(text.replace(NEW, beam))
    boat = replace(job.boat, folder=shed / BOAT)
    assert content_digests(boat.folder) == boat.digests
    last = [row[3] for row in steps(replace(job, boat=boat)).rows[-2:]]
    beams.write_bytes(text)
    return command._stands(boat, boat.folder / "out"), last == ["done", "done"]


def check(shed: Path, start: Path, old: dict, new: dict) -> None:
    """Every file is whole, and no mixture is ever taken for done, neither for this boat nor for the one before."""
    now = papers_in(shed / BOAT / "out")
    assert now.keys() == old.keys()
    for name, data in now.items():
        assert data in (old[name], new[name]), f"{name} is neither the old nor the new one"
    for beam, whole in ((NEW, new), (OLD, old)):
        assert not any(taken_as(beam, shed, start)) or now == whole, f"a mixture is taken for the boat's with {beam}"
