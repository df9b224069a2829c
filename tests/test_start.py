"""The set-up script on good days and bad: every bad day ends in one clear line and never in a traceback."""

from __future__ import annotations

import ast
import importlib.util
import json
import sys
import tomllib
from pathlib import Path

import pytest

SCRIPT = Path(__file__).parents[1] / "start.py"


@pytest.fixture
def start(tmp_path, monkeypatch):
    """The script as a module that works in a temporary folder, whose name holds a space."""
    spec = importlib.util.spec_from_file_location("start_under_test", SCRIPT)
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    top = tmp_path / "my boat shed"
    top.mkdir()
    for name, path in {"TOP": top, "VENV": top / ".venv"}.items():
        monkeypatch.setattr(module, name, path)
    monkeypatch.setattr(module, "RECORD", top / ".venv" / "deckgeom-installed.json")
    monkeypatch.setattr(module, "LOG", top / ".venv" / "install.log")
    for lock in (module.USE_LOCK, module.TEST_LOCK):
        (top / lock).write_text("part==1.0 \\\n    --hash=sha256:" + "0" * 64 + "\n", encoding="utf-8")
    return module


# ------------------------------------------------------------ the Python that runs it


@pytest.mark.parametrize("version", [(3, 6, 15), (3, 8, 10), (3, 10, 13)])
def test_an_old_python_is_refused_in_one_line(start, version):
    with pytest.raises(SystemExit) as stop:
        start.refuse_old_python(version)
    words = str(stop.value)
    assert f"This is Python {'.'.join(map(str, version))}, and deckgeom needs 3.11 or newer." in words
    assert "Install a newer Python" in words
    assert "\n" not in words


def test_a_tried_python_is_not_refused(start):
    for version in [(3, 11, 0), (3, 12, 1), (3, 13, 0), (3, 14, 0)]:
        assert start.refuse_old_python(version) is None


def test_an_old_python_can_read_as_far_as_the_refusal():
    tree = ast.parse(SCRIPT.read_text(encoding="utf-8"), feature_version=(3, 7))
    refusal = next(
        number for number, node in enumerate(tree.body)
        if isinstance(node, ast.Expr) and getattr(getattr(node.value, "func", None), "id", "") == "refuse_old_python"
    )  # fmt: skip
    before = [node for node in tree.body[:refusal] if isinstance(node, (ast.Import, ast.ImportFrom))]
    assert [name.name for node in before for name in node.names] == ["sys"]


def test_only_the_standard_library_is_used():
    names = set()
    for node in ast.walk(ast.parse(SCRIPT.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            names |= {name.name.split(".")[0] for name in node.names}
        elif isinstance(node, ast.ImportFrom):
            names.add(node.module.split(".")[0])
    assert names
    assert names <= sys.stdlib_module_names


# ------------------------------------------------------------ bad days, played out


def one_line(capfd) -> str:
    """The one line that the script wrote as its complaint."""
    words = capfd.readouterr().err.strip()
    assert "Traceback" not in words
    assert words.startswith("start.py: ")
    assert "\n" not in words
    return words


@pytest.mark.parametrize("missing", ["venv", "ensurepip"])
def test_a_missing_venv_module_is_named_with_the_package_that_has_it(start, monkeypatch, capfd, missing):
    found = importlib.util.find_spec
    monkeypatch.setattr(start.importlib.util, "find_spec", lambda name: None if name == missing else found(name))
    assert start.main(["--no-browser"]) == 1
    words = one_line(capfd)
    assert f"has no '{missing}' module" in words
    assert "sudo apt install python{}.{}-venv".format(*sys.version_info) in words
    assert not start.VENV.exists()


def test_a_file_in_the_place_of_the_folder_is_left_alone(start, capfd):
    start.VENV.write_text("mine", encoding="utf-8")
    assert start.main([]) == 1
    assert "is a file or a link" in one_line(capfd)
    assert start.VENV.read_text(encoding="utf-8") == "mine"


def test_a_folder_that_cannot_be_written_gives_one_line(start, monkeypatch, capfd):
    def refuse(*_):
        raise PermissionError(13, "Permission denied", str(start.VENV))

    monkeypatch.setattr(start.Path, "mkdir", refuse)
    assert start.main([]) == 1
    words = one_line(capfd)
    assert "Permission denied" in words
    assert "rights" in words


def test_an_interruption_gives_one_line(start, monkeypatch, capfd):
    def stop(*_):
        raise KeyboardInterrupt

    monkeypatch.setattr(start, "set_up", stop)
    assert start.main([]) == 130
    assert "Run it again" in capfd.readouterr().err


# what pip 23 and 24 print, shortened
DEAD = """WARNING: Retrying (Retry(total=1)) after connection broken by 'NewConnectionError(': Failed to establish a new
ERROR: Could not find a version that satisfies the requirement part==1.0 (from versions: none)
ERROR: No matching distribution found for part==1.0
"""
NO_WHEEL = """ERROR: Could not find a version that satisfies the requirement part==1.0 (from versions: 0.9)
ERROR: No matching distribution found for part==1.0
"""
WRONG_HASH = """ERROR: THESE PACKAGES DO NOT MATCH THE HASHES FROM THE REQUIREMENTS FILE. If you have updated
    part==1.0 from (from -r requirements.lock (line 1)):
        Expected sha256 00
             Got        11
"""


@pytest.mark.parametrize(
    ("said", "words"),
    [
        (DEAD, "The network gave no answer for part==1.0."),
        (NO_WHEEL, "There is no ready-made package of part==1.0 for this Python"),
        (WRONG_HASH, "part==1.0 did not arrive as the lock says"),
        ("ERROR: [Errno 28] No space left on device", "The disk is full"),
        ("ERROR: something new", "pip did not finish: ERROR: something new"),
        ("", "pip did not finish: no reason given"),
    ],
)
def test_what_pip_says_becomes_one_line(start, said, words):
    line = start.why_pip_failed(said)
    assert line.startswith(words)
    assert "\n" not in line


# ------------------------------------------------------------ when a .venv is whole


def finished(start) -> None:
    """Lay down a .venv as a finished installation leaves it."""
    site = start.VENV / ("Lib/site-packages" if start.WINDOWS else "lib/python3.11/site-packages")
    (site / "part-1.0.dist-info").mkdir(parents=True)
    (site / "part-1.0.dist-info" / "RECORD").write_text("", encoding="ascii")
    start.venv_python().parent.mkdir()
    start.venv_python().write_text("", encoding="ascii")
    start.add_settings()
    locks = {start.USE_LOCK: start.digest(start.USE_LOCK)}
    start.write_record({"place": str(start.TOP), "locks": locks, "packages": start.packages_present()})


def test_a_finished_installation_is_ready_for_use_but_not_yet_for_tests(start):
    finished(start)
    assert start.is_ready(start.USE_LOCK)
    assert not start.is_ready(start.TEST_LOCK)


def forget_a_package(start):
    next(start.VENV.rglob("RECORD")).unlink()


def change_the_lock(start):
    (start.TOP / start.USE_LOCK).write_text("part==2.0\n", encoding="utf-8")


def lose_the_python(start):
    start.venv_python().unlink()


def spoil_the_record(start):
    start.RECORD.write_text("{half", encoding="utf-8")


def move_it(start):
    start.RECORD.write_text(json.dumps({**start.read_record(), "place": "elsewhere"}), encoding="utf-8")


def lose_the_link(start):
    next(start.VENV.rglob("deckgeom.pth")).unlink()


@pytest.mark.parametrize(
    "harm", [forget_a_package, change_the_lock, lose_the_python, spoil_the_record, move_it, lose_the_link]
)
def test_any_harm_to_it_is_seen(start, harm):
    finished(start)
    harm(start)
    assert not start.is_ready(start.USE_LOCK)


@pytest.mark.parametrize("harm", [lose_the_python, move_it])
def test_one_that_was_moved_or_lost_its_python_is_made_anew(start, harm):
    finished(start)
    harm(start)
    assert not start.can_be_kept()


def test_line_ends_do_not_change_the_fingerprint_of_a_lock(start):
    lock = start.TOP / start.USE_LOCK
    before = start.digest(start.USE_LOCK)
    lock.write_bytes(lock.read_bytes().replace(b"\n", b"\r\n"))
    assert start.digest(start.USE_LOCK) == before


def test_the_link_to_the_package_is_plain_ascii_and_leads_to_it(start):
    finished(start)
    link = next(start.VENV.rglob("deckgeom.pth"))
    line = link.read_bytes().decode("ascii").strip()
    assert (link.parent / line).resolve() == start.TOP.resolve()


# ------------------------------------------------------------ what is asked for


@pytest.fixture
def asked(start, monkeypatch):
    """What the script runs, with nothing really set up or run."""
    seen = []
    monkeypatch.setattr(start, "set_up", lambda lock: seen.append(lock))
    monkeypatch.setattr(start, "run", lambda *arguments: seen.append(tuple(map(str, arguments))) or 0)
    return seen


def test_without_a_word_the_demo_is_done_and_the_workbook_opened(start, asked):
    assert start.main([]) == 0
    demo = str(start.DEMO)
    assert asked[:2] == [start.USE_LOCK, ("-m", "deckgeom", demo, "--out", str(start.DEMO / "out"), "--if-changed")]
    assert asked[2][:2] == ("-m", "jupyterlab")
    assert asked[2][-1] == str(start.FIRST_NOTEBOOK)


def test_no_browser_leaves_the_workbook_closed(start, asked):
    assert start.main(["--no-browser"]) == 0
    assert len(asked) == 2


def test_a_demo_that_fails_is_said(start, asked, monkeypatch, capfd):
    monkeypatch.setattr(start, "run", lambda *arguments: 1)
    assert start.main([]) == 1
    assert "The demo boat's job did not end well" in one_line(capfd)


def test_a_boat_folder_is_done_wherever_it_is(start, asked, tmp_path, monkeypatch):
    (tmp_path / "my boat").mkdir()
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr(start, "run", lambda *arguments: asked.append(tuple(map(str, arguments))) or 1)
    assert start.main(["my boat"]) == 1
    boat = tmp_path / "my boat"
    assert asked == [start.USE_LOCK, ("-m", "deckgeom", str(boat), "--out", str(boat / "out"))]


def test_a_boat_folder_that_is_not_there_is_wrong_use(start, asked, capfd):
    with pytest.raises(SystemExit) as stop:
        start.main(["no such boat"])
    assert stop.value.code == 2
    assert "no such boat: no such folder. Give a boat's folder" in capfd.readouterr().err
    assert asked == []


def test_the_demo_is_there(start):
    assert (SCRIPT.parent / start.DEMO / "boat.toml").is_file()


# ------------------------------------------------------------ the test command


def test_every_check_is_run_and_one_failure_is_enough(start, monkeypatch, capfd):
    seen = []
    monkeypatch.setattr(start, "run", lambda *arguments: seen.append(arguments) or int("notebooks" in arguments))
    assert start.run_checks() == 1
    assert [arguments for _, arguments in start.CHECKS] == seen
    assert "Failed: notebooks." in capfd.readouterr().out
    monkeypatch.setattr(start, "run", lambda *arguments: 0)
    assert start.run_checks() == 0
    assert "Every check passed." in capfd.readouterr().out


def test_the_checks_reach_every_folder_of_tests(start):
    named = {word for _, arguments in start.CHECKS for word in arguments}
    assert {"ruff", "pytest", "--nbval-lax", "notebooks"} <= named
    settings = tomllib.loads((SCRIPT.parent / "pyproject.toml").read_text(encoding="utf-8"))
    left_out = settings["tool"]["pytest"]["ini_options"]["norecursedirs"]
    folders = {path.name for path in (SCRIPT.parent / "tests").iterdir() if path.is_dir() and path.name in left_out}
    assert {f"tests/{name}" for name in folders} <= named
