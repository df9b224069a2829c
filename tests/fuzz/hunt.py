"""
One target for some seconds, in a Python of its own: `python -m tests.fuzz.hunt TARGET SECONDS SEED FOLDER KEPT`.

Guided by coverage where atheris is installed (`pip install atheris`), by hypothesis where it is not. What is found is
made smaller and kept, and the hunt goes on.
"""

from __future__ import annotations

import json
import os
import signal
import sys
import time
import traceback
import warnings
from pathlib import Path

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

try:
    import atheris
except ModuleNotFoundError:
    atheris = None

if atheris:
    with atheris.instrument_imports(include=["deckgeom"], enable_loader_override=False):
        from tests.fuzz.targets import TARGETS
else:
    from tests.fuzz.targets import TARGETS

from deckgeom.units import UNITS  # noqa: E402
from tests.fuzz.kept import Kept, keep  # noqa: E402
from tests.fuzz.mutate import mutated  # noqa: E402

TRIES = 400
"""So often a finding is tried smaller."""


class TooSlow(BaseException):
    """Raised by the alarm; not an Exception, so that nothing on the way takes it for one."""


def _alarm(*_):
    raise TooSlow


def where(problem: BaseException) -> str:
    """What went wrong and where: the same for every input that finds the same."""
    frames = [f for f in traceback.extract_tb(problem.__traceback__) if "/deckgeom/" in f.filename.replace("\\", "/")]
    place = f"{Path(frames[-1].filename).name}, {frames[-1].name}" if frames else "check"
    if type(problem).__name__ == "Broken":
        return f"Broken: {str(problem)[:160]}"
    return f"{type(problem).__name__} in {place}: {str(problem)[:100]}"


def kind(found: str) -> str:
    """A finding without its numbers and names, by which two are told to be the same."""
    return "".join(c for c in found.partition("'")[0] if not c.isdigit())[:70]


def outcome(name: str, data: bytes) -> str:
    """What one input finds; empty where all holds. Its first byte chooses the units."""
    target = TARGETS[name]
    _limit(target.limit)
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("error")
            target.check(UNITS[data[0] % len(UNITS)] if data else "mm", data[1:])
    except TooSlow as problem:
        return f"TooSlow: more than {target.limit:g} s in {where(problem)}"
    except Exception as problem:
        return where(problem)
    finally:
        _limit(0)
    return ""


def _limit(seconds: float) -> None:
    """An alarm after so long, 0 for none, where the system has alarms; elsewhere a hang is seen from outside."""
    if hasattr(signal, "setitimer"):
        signal.signal(signal.SIGALRM, _alarm)
        signal.setitimer(signal.ITIMER_REAL, seconds)


def smaller(name: str, data: bytes, found: str) -> bytes:
    """Take out of an input what it does not need to find the same."""
    tries, size = 0, max(1, (len(data) - 1) // 2)
    while size and tries < TRIES:
        k = 1
        while k < len(data) and tries < TRIES:
            less = data[:k] + data[k + size :]
            tries += 1
            if len(less) < len(data) and kind(outcome(name, less)) == kind(found):
                data = less
            else:
                k += size
        size //= 2
    return data


class Hunt:
    """What was tried and found."""

    def __init__(self, name: str, folder: Path, kept: Path) -> None:
        self.name, self.kept, self.tried, self.found = name, kept, 0, {}
        self.count = folder / f"{name}.count"
        self.known = folder / f"{name}.known"
        self.seen = set(json.loads(self.known.read_text())) if self.known.exists() else set()
        self.current = (folder / f"{name}.current").open("wb", buffering=0)
        self.said = 0.0

    def one(self, data: bytes) -> None:
        """Try one input; keep it if it finds something new."""
        self.current.seek(0)
        self.current.write(data)
        self.current.truncate()
        self.tried += 1
        found = outcome(self.name, data)
        if found and kind(found) not in self.seen:
            self.seen.add(kind(found))
            small = data if found.startswith("TooSlow") else smaller(self.name, data, found)
            found = outcome(self.name, small) or found
            self.seen.add(kind(found))
            keep(Kept(self.name, UNITS[small[0] % len(UNITS)], small[1:], found), self.kept)
            self.known.write_text(json.dumps(sorted(self.seen)))
            print(f"{self.name}: {found}", flush=True)
        if time.monotonic() - self.said > 2:
            self.said = time.monotonic()
            self.count.write_text(str(self.tried))


def guided(hunt: Hunt, seconds: int, seed: int, folder: Path) -> None:
    """By coverage; never returns."""
    target = TARGETS[hunt.name]
    corpus = folder / f"{hunt.name}.corpus"
    corpus.mkdir(exist_ok=True)
    for number, text in enumerate(target.seeds):
        for units in range(3):
            (corpus / f"seed{number}-{units}").write_bytes(bytes([units]) + text.encode("utf-8", "replace"))
    words = tuple(word.encode("utf-8", "replace") for word in target.words)
    dictionary = folder / f"{hunt.name}.dict"
    dictionary.write_text("".join('"' + "".join(f"\\x{b:02x}" for b in word[:60]) + '"\n' for word in words if word))

    def mutator(data: bytes, most: int, one_seed: int) -> bytes:
        if one_seed % 4 == 0 or not target.tabular:
            return atheris.Mutate(data, most)
        return (data[:1] + mutated(data[1:], words, one_seed))[:most]

    options = {
        "max_total_time": seconds,
        "max_len": target.longest,
        "seed": seed,
        "dict": dictionary,
        "artifact_prefix": f"{folder}/",
        "timeout": 0,
        "handle_alrm": 0,
        "report_slow_units": 3600,
        "rss_limit_mb": 3000,
        "verbosity": 0,
    }
    arguments = [sys.argv[0], str(corpus), *(f"-{name}={value}" for name, value in options.items())]
    more = {"custom_mutator": mutator} if target.tabular else {}
    atheris.Setup(arguments, hunt.one, **more)
    atheris.Fuzz()


def unguided(hunt: Hunt, seconds: int, seed: int) -> None:
    """By hypothesis: texts of the words, and seeds with changes, towards the longest time for one."""
    from hypothesis import HealthCheck, Phase, given, settings
    from hypothesis import seed as seeded
    from hypothesis import strategies as st
    from hypothesis import target as towards

    target = TARGETS[hunt.name]
    words = tuple(word.encode("utf-8", "replace") for word in target.words)
    pieces = st.lists(st.sampled_from(words) | st.text(max_size=3).map(str.encode), max_size=6).map(b"".join)
    changed = st.builds(
        lambda text, number: mutated(text.encode("utf-8", "replace"), words, number),
        st.sampled_from(target.seeds), st.integers(0, 2**32),
    )  # fmt: skip
    end = time.monotonic() + seconds

    @settings(max_examples=500, database=None, deadline=None, suppress_health_check=list(HealthCheck),
              phases=[Phase.generate, Phase.target])  # fmt: skip
    @given(st.integers(0, 2), pieces | changed)
    def run(units: int, data: bytes) -> None:
        start = time.perf_counter()
        hunt.one((bytes([units]) + data)[: target.longest])
        towards(time.perf_counter() - start)

    while time.monotonic() < end:
        seeded(seed)(run)()
        seed += 1


def main(name: str, seconds: str, seed: str, folder: str, kept: str) -> None:
    """As the module says."""
    hunt = Hunt(name, Path(folder), Path(kept))
    if atheris:
        guided(hunt, int(seconds), int(seed), Path(folder))
    else:
        unguided(hunt, int(seconds), int(seed))


if __name__ == "__main__":
    main(*sys.argv[1:])
