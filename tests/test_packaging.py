"""The files around the package say the same thing, hold no address, and keep to the house's limits."""

from __future__ import annotations

import ast
import doctest
import json
import re
import subprocess
import tomllib
from pathlib import Path

import pytest
from packaging.markers import default_environment
from packaging.requirements import Requirement
from packaging.version import Version

TOP = Path(__file__).parents[1]
PROJECT = tomllib.loads((TOP / "pyproject.toml").read_text(encoding="utf-8"))["project"]
EXTRAS = PROJECT["optional-dependencies"]
LOCKS = {"requirements.lock": ("workbook",), "requirements-test.lock": ("workbook", "test")}
OLDEST = "requirements-oldest.lock"


def tracked(*patterns: str) -> list[Path]:
    """Files under version control; in a copy without git, all but what is made here."""
    listed = subprocess.run(["git", "ls-files", "-z", *patterns], cwd=TOP, capture_output=True, text=True)
    if listed.returncode == 0:
        return [TOP / name for name in listed.stdout.split("\0") if name and (TOP / name).is_file()]
    made = {".venv", "out", "build", ".ipynb_checkpoints"}
    return [path for pattern in patterns for path in TOP.rglob(pattern) if not made & set(path.parts)]


# ------------------------------------------------------------ dependencies and locks


def test_environment_asks_for_what_the_project_asks_for():
    text = (TOP / "environment.yml").read_text(encoding="utf-8")
    asked = re.findall(r"^  - (\S+)$", text.split("dependencies:")[1], re.MULTILINE)
    python = "python" + PROJECT["requires-python"]
    assert sorted(asked) == sorted([python, *PROJECT["dependencies"], *EXTRAS["workbook"]])


def test_the_core_is_three_libraries():
    assert {Requirement(line).name for line in PROJECT["dependencies"]} == {"numpy", "scipy", "threadpoolctl"}


def test_every_room_and_its_data_go_into_the_package():
    settings = tomllib.loads((TOP / "pyproject.toml").read_text(encoding="utf-8"))["tool"]["setuptools"]
    packed = {pattern.removeprefix("*") for pattern in settings["package-data"]["*"]} | {".py"}
    files = tracked("deckgeom/*")
    assert files
    assert [path.name for path in files if path.suffix not in packed] == []
    assert [str(path.parent) for path in files if not (path.parent / "__init__.py").exists()] == []


def pins(lock: str) -> list[Requirement]:
    """Every pinned package of a lock, with its marker."""
    text = (TOP / lock).read_text(encoding="utf-8")
    return [Requirement(line.rstrip(" \\")) for line in text.splitlines() if line and not line[0].isspace()]


@pytest.mark.parametrize("lock", [*LOCKS, OLDEST])
def test_every_locked_package_has_one_version_and_hashes(lock):
    text = (TOP / lock).read_text(encoding="utf-8")
    blocks = re.split(r"\n(?=\S)", text.strip())
    assert len(blocks) > 50
    for block in blocks:
        head, *hashes = block.split(" \\\n")
        assert re.fullmatch(r"[a-z0-9._-]+==[\w.]+( ; .+)?", head), head
        assert hashes, head
        assert all(re.fullmatch(r"    --hash=sha256:[0-9a-f]{64}", line) for line in hashes), head


@pytest.mark.parametrize("python", ["3.11", "3.12", "3.13"])
@pytest.mark.parametrize("platform", ["linux", "darwin", "win32"])
@pytest.mark.parametrize("lock", LOCKS)
def test_lock_meets_the_project_on_every_python_and_system(lock, platform, python):
    system = {"linux": "Linux", "darwin": "Darwin", "win32": "Windows"}[platform]
    where = {
        **default_environment(), "extra": "", "python_version": python, "python_full_version": f"{python}.9",
        "sys_platform": platform, "platform_system": system, "os_name": "nt" if platform == "win32" else "posix",
    }  # fmt: skip
    chosen = [pin for pin in pins(lock) if pin.marker is None or pin.marker.evaluate(where)]
    names = [pin.name for pin in chosen]
    assert len(names) == len(set(names)), "a package is pinned twice for one Python"
    version = {pin.name: str(pin.specifier).removeprefix("==") for pin in chosen}
    for line in PROJECT["dependencies"] + [line for extra in LOCKS[lock] for line in EXTRAS[extra]]:
        wanted = Requirement(line)
        assert wanted.specifier.contains(version[wanted.name]), f"{line}: {lock} holds {version[wanted.name]}"


def test_the_oldest_lock_holds_the_oldest_versions_that_are_allowed():
    held = {pin.name: Version(str(pin.specifier).removeprefix("==")) for pin in pins(OLDEST)}
    asked = [Requirement(line) for line in PROJECT["dependencies"] + EXTRAS["workbook"] + EXTRAS["test"]]
    oldest = {one.name: Version(str(one.specifier).removeprefix(">=")) for one in asked}
    assert {name: held[name] for name in oldest} == oldest


def test_lock_for_tests_holds_the_lock_for_use():
    use = {(pin.name, str(pin.specifier)) for pin in pins("requirements.lock")}
    test = {(pin.name, str(pin.specifier)) for pin in pins("requirements-test.lock")}
    assert use <= test


ADDRESS = re.compile(
    r"https?:|ftp:|file:|git\+|//|--(extra-)?index-url|--find-links|"
    r"\b[\w-]+\.(com|org|net|io|dev|cloud|internal|local|example)\b"
)


def test_no_lock_and_no_settings_file_holds_an_address():
    files = tracked("*.lock", "*.toml", "*.yml")
    assert {"requirements.lock", "pyproject.toml", "environment.yml"} <= {path.name for path in files}
    found = [
        f"{path.relative_to(TOP)}:{number}: {line}"
        for path in files
        for number, line in enumerate(path.read_text(encoding="utf-8-sig").splitlines(), 1)
        if ADDRESS.search(line)
    ]
    assert found == []


@pytest.mark.parametrize("line", ["--index-url https://a.b/simple", "url = 'mirror.example'", "x @ git+ssh:a/b"])
def test_an_address_would_be_seen(line):
    assert ADDRESS.search(line)


# ------------------------------------------------------------ notebooks and words


NOTEBOOKS = tracked("*.ipynb")


@pytest.mark.parametrize("path", NOTEBOOKS, ids=[path.stem for path in NOTEBOOKS])
def test_notebook_is_stored_without_results_and_with_short_cells(path):
    book = json.loads(path.read_text(encoding="utf-8"))
    code = [cell for cell in book["cells"] if cell["cell_type"] == "code"]
    assert code, "a notebook without code teaches nothing"
    assert [cell["outputs"] for cell in code if cell["outputs"]] == []
    assert [cell["execution_count"] for cell in code if cell["execution_count"] is not None] == []
    assert "widgets" not in book["metadata"]
    long = {number: len("".join(cell["source"]).splitlines()) for number, cell in enumerate(code)}
    assert {number: lines for number, lines in long.items() if lines > 12} == {}


BELITTLING = re.compile(r"\b(simply|just|obviously|of course|trivial(ly)?|easily)\b", re.IGNORECASE)


def words_for_people() -> list[tuple[str, str]]:
    """Every page that a person reads, and every markdown cell of the notebooks."""
    pages = [(path.name, path.read_text(encoding="utf-8")) for path in tracked("*.md")]
    for path in NOTEBOOKS:
        cells = json.loads(path.read_text(encoding="utf-8"))["cells"]
        pages += [(path.name, "".join(cell["source"])) for cell in cells if cell["cell_type"] == "markdown"]
    return pages


def test_nobody_is_told_that_it_is_easy():
    pages = words_for_people()
    assert pages
    assert [(name, found[0]) for name, text in pages if (found := BELITTLING.search(text))] == []


# ------------------------------------------------------------ README


def test_readme_is_short_and_its_quick_start_is_true(monkeypatch):
    monkeypatch.chdir(TOP)
    readme = TOP / "README.md"
    assert len(readme.read_text(encoding="utf-8").splitlines()) <= 120
    failed, tried = doctest.testfile(
        str(readme), module_relative=False, encoding="utf-8", optionflags=doctest.NORMALIZE_WHITESPACE
    )
    assert tried >= 3
    assert failed == 0


# ------------------------------------------------------------ size


def functions_in(path: Path) -> list[tuple[str, int]]:
    """Name and number of lines of the body, without its docstring, of every function in a file."""
    found = []
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, (ast.FunctionDef, ast.AsyncFunctionDef)):
            body = node.body[1:] if ast.get_docstring(node) and len(node.body) > 1 else node.body
            lines = body[-1].end_lineno - body[0].lineno + 1
            found.append((f"{path.relative_to(TOP)}:{node.lineno} {node.name}", lines))
    return found


def test_no_file_and_no_function_is_too_long_to_read():
    files = [path for path in tracked("*.py") if "deckgeom" in path.relative_to(TOP).parts or path.parent == TOP]
    assert files
    assert [f"{path.relative_to(TOP)}: {n}" for path in files
            if (n := len(path.read_text(encoding="utf-8").splitlines())) > 400] == []  # fmt: skip
    assert [(name, lines) for path in files for name, lines in functions_in(path) if lines > 60] == []
