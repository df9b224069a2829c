"""The set-up script itself, from nothing, on a tiny project with one hand-made package and without a network."""

from __future__ import annotations

import base64
import hashlib
import json
import os
import shutil
import subprocess
import sys
import zipfile
from pathlib import Path

SCRIPT = Path(__file__).parents[2] / "start.py"


def make_wheel(folder: Path) -> str:
    """A package of one module in installable form, written by hand; its sha256."""
    files = {
        "part.py": b"WORDS = 'part is here'\n",
        "part-1.0.dist-info/METADATA": b"Metadata-Version: 2.1\nName: part\nVersion: 1.0\n",
        "part-1.0.dist-info/WHEEL": b"Wheel-Version: 1.0\nGenerator: hand\nRoot-Is-Purelib: true\nTag: py3-none-any\n",
    }
    rows = [
        f"{name},sha256={base64.urlsafe_b64encode(hashlib.sha256(data).digest()).rstrip(b'=').decode()},{len(data)}"
        for name, data in files.items()
    ]
    files["part-1.0.dist-info/RECORD"] = "\n".join([*rows, "part-1.0.dist-info/RECORD,,\n"]).encode()
    path = folder / "part-1.0-py3-none-any.whl"
    with zipfile.ZipFile(path, "w") as archive:
        for name, data in files.items():
            archive.writestr(name, data)
    return hashlib.sha256(path.read_bytes()).hexdigest()


class Tiny:
    """A project of three files with the real start.py, run in a Python of its own."""

    def __init__(self, folder: Path):
        self.top, self.wheels = folder / "a boat, Sjöbod", folder / "wheels"
        (self.top / "deckgeom").mkdir(parents=True)
        self.wheels.mkdir()
        shutil.copy(SCRIPT, self.top)
        (self.top / "deckgeom" / "__init__.py").write_text("", encoding="utf-8")
        job = "import part, sys\nprint(part.WORDS, sys.argv[1:])\n"
        (self.top / "deckgeom" / "__main__.py").write_text(job, encoding="utf-8")
        self.sha = make_wheel(self.wheels)
        self.lock(self.sha)

    def lock(self, sha: str) -> None:
        """Write both locks with this hash."""
        for name in ("requirements.lock", "requirements-test.lock"):
            (self.top / name).write_text(f"part==1.0 \\\n    --hash=sha256:{sha}\n", encoding="utf-8")

    def run(self, **settings: str) -> subprocess.CompletedProcess:
        """Run the script; pip sees the folder with the package and nothing else."""
        kept = {key: value for key, value in os.environ.items() if not key.upper().startswith("PIP_")}
        pip = {"PIP_CONFIG_FILE": os.devnull, "PIP_NO_INDEX": "1", "PIP_FIND_LINKS": str(self.wheels)}
        return subprocess.run(
            [sys.executable, "start.py", "--no-browser"], cwd=self.top, env={**kept, **pip, **settings},
            stdin=subprocess.DEVNULL, capture_output=True, text=True, encoding="utf-8", timeout=300,
        )  # fmt: skip


def test_bad_days_in_a_row_end_in_one_line_each_and_then_all_is_well(tmp_path):
    tiny = Tiny(tmp_path)

    # port 9 of this machine, where nothing listens, stands for a network that is not there
    dead = tiny.run(PIP_NO_INDEX="0", PIP_FIND_LINKS="", PIP_INDEX_URL="http://127.0.0.1:9/simple")
    assert dead.returncode == 1
    assert dead.stderr.strip() == (
        "start.py: The network gave no answer for part==1.0. Packages are fetched once, the first time. "
        "Check the connection, or pip's proxy setting, and run start.py again."
    )

    tiny.lock("0" * 64)
    changed = tiny.run()
    assert changed.returncode == 1
    assert "part==1.0 did not arrive as the lock says" in changed.stderr
    assert len(changed.stderr.strip().splitlines()) == 1

    tiny.lock(tiny.sha)
    well = tiny.run()
    assert well.returncode == 0, well.stderr
    assert "part is here" in well.stdout
    assert "thimblewick" in well.stdout
    record = tiny.top / ".venv" / "deckgeom-installed.json"
    written = record.stat().st_mtime_ns

    again = tiny.run(PYTHONPATH=str(tmp_path / "nowhere"), PIP_USER="1")
    assert again.returncode == 0, again.stderr
    assert ".venv is as requirements.lock says." in again.stdout
    assert record.stat().st_mtime_ns == written

    # as a killed run leaves it: the record unfinished and a package half there
    record.write_text(json.dumps({"place": "not finished"}), encoding="utf-8")
    next((tiny.top / ".venv").rglob("part.py")).unlink()
    mended = tiny.run()
    assert mended.returncode == 0, mended.stderr
    assert "Mending .venv" in mended.stdout
    assert "part is here" in mended.stdout
