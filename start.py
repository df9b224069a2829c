"""
Set deckgeom up in this folder and run it. Needs Python 3.11 or newer with its venv module, and nothing else.

    python3 start.py                 make .venv, do the demo boat, open the workbook
    python3 start.py --no-browser    the same without opening the workbook
    python3 start.py BOAT_FOLDER     do the main job of a boat of your own
    python3 start.py test            install what the tests need and run every one

Only the standard library is used, and the syntax is kept old enough that an old Python reads as far as the message
that says so: no future import of annotations here.
"""

import sys

OLDEST = (3, 11)
NEWEST_TRIED = (3, 13)


def refuse_old_python(version):
    """End with one line if this Python, a tuple such as (3, 8, 10), is too old."""
    if tuple(version[:2]) < OLDEST:
        sys.exit(
            "This is Python {}.{}.{}, and deckgeom needs {}.{} or newer. Install a newer Python (your system's "
            "packages or python.org have one) and run start.py with that one, for example: python3.12 start.py".format(
                *version[:3], *OLDEST
            )
        )


refuse_old_python(sys.version_info)

import argparse  # noqa: E402
import hashlib  # noqa: E402
import importlib.util  # noqa: E402
import json  # noqa: E402
import os  # noqa: E402
import re  # noqa: E402
import shutil  # noqa: E402
import subprocess  # noqa: E402
import time  # noqa: E402
from pathlib import Path  # noqa: E402

TOP = Path(__file__).resolve().parent
VENV = TOP / ".venv"
RECORD = VENV / "deckgeom-installed.json"
LOG = VENV / "install.log"
USE_LOCK = "requirements.lock"
TEST_LOCK = "requirements-test.lock"
DEMO = Path("notebooks", "boats", "thimblewick")
FIRST_NOTEBOOK = Path("notebooks", "00_start_here.ipynb")
WINDOWS = os.name == "nt"
THIS = "{}.{}".format(*sys.version_info)
TRIED = "{}.{} to {}.{}".format(*OLDEST, *NEWEST_TRIED)
QUIET = {"stdin": subprocess.DEVNULL, "stdout": subprocess.DEVNULL, "stderr": subprocess.DEVNULL}


class Stop(Exception):
    """Something that only the person at the keyboard can put right, said in one line."""


def say(words):
    """Print one line at once, also when the output is a file."""
    print(words, flush=True)


# ---------------------------------------------------------------- the virtual environment


def venv_python():
    """Path of the Python inside .venv."""
    return VENV / ("Scripts/python.exe" if WINDOWS else "bin/python")


def clean_environment():
    """This process's environment without the settings that would lead a virtual environment astray."""
    astray = {"PYTHONHOME", "PYTHONPATH", "PIP_TARGET", "PIP_PREFIX", "PIP_ROOT", "PIP_NO_BINARY", "PIP_REQUIREMENT"}
    kept = {key: value for key, value in os.environ.items() if key.upper() not in astray}
    return {**kept, "PYTHONNOUSERSITE": "1", "PYTHONUTF8": "1", "PIP_USER": "0", "PIP_DISABLE_PIP_VERSION_CHECK": "1"}


def read_record():
    """What the last finished installation wrote down; empty if there is none or it cannot be read."""
    try:
        record = json.loads(RECORD.read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return {}
    return record if isinstance(record, dict) else {}


def write_record(record):
    """Write the record in one piece, so that an interruption leaves the old one or the new one."""
    half = RECORD.with_suffix(".half")
    half.write_text(json.dumps(record, indent=1), encoding="utf-8")
    os.replace(half, RECORD)


def digest(lock):
    """Fingerprint of a lock file, whatever its line ends."""
    return hashlib.sha256((TOP / lock).read_bytes().replace(b"\r\n", b"\n")).hexdigest()


def site_packages():
    """The folder inside .venv that packages are installed into."""
    if WINDOWS:
        return VENV / "Lib" / "site-packages"
    found = sorted((VENV / "lib").glob("python3*/site-packages"))
    return found[-1] if found else VENV / "lib" / "site-packages"


def packages_present():
    """Names of the packages in .venv whose installation was finished."""
    return sorted(record.parent.name for record in site_packages().glob("*.dist-info/RECORD"))


def is_ready(lock):
    """True if .venv is whole, belongs to this folder, and holds what this lock says."""
    record = read_record()
    return (
        record.get("place") == str(TOP)
        and record.get("locks", {}).get(lock) == digest(lock)
        and set(record.get("packages", ())) <= set(packages_present())
        and venv_python().exists()
        and (site_packages() / "deckgeom.pth").exists()
    )


def can_be_kept():
    """True if the .venv that stands here is whole enough to install into; a half-made or moved one is not."""
    if not venv_python().exists():
        return False
    if RECORD.exists() and read_record().get("place") != str(TOP):
        return False
    ask = f"import sys, pip; sys.exit(sys.version_info[:2] < {OLDEST!r})"
    try:
        return subprocess.call([str(venv_python()), "-c", ask], env=clean_environment(), **QUIET) == 0
    except OSError:
        return False


def make_venv():
    """Make .venv, or make it anew if the one that is there was never finished."""
    for module in ("venv", "ensurepip"):
        if importlib.util.find_spec(module) is None:
            raise Stop(
                f"This Python {THIS} has no '{module}' module, which makes .venv. On Debian or Ubuntu: "
                f"sudo apt install python{THIS}-venv. Elsewhere: install a full Python. Then run start.py again."
            )
    if VENV.is_symlink() or VENV.is_file():
        raise Stop(f"{VENV} is a file or a link; the packages go into a folder of that name. Move it away, run again.")
    if VENV.exists():
        say("Mending .venv: the one that is here was never finished, or was moved. Making it anew ...")
        shutil.rmtree(VENV)
    else:
        say("Making .venv, a folder of its own for the packages ...")
    VENV.mkdir()
    write_record({"place": "not finished"})
    base = getattr(sys, "_base_executable", None) or sys.executable
    made = subprocess.run(
        [base, "-m", "venv", str(VENV)],
        env=clean_environment(),
        stdin=subprocess.DEVNULL,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
    )
    if made.returncode:
        last = made.stdout.decode("utf-8", "replace").strip().splitlines()[-1:] or ["no reason given"]
        raise Stop(f"Python could not make {VENV}: {last[0]} Look at that folder's rights and space, then run again.")


# ---------------------------------------------------------------- installing


NO_NETWORK = (
    "NewConnectionError",
    "NameResolutionError",
    "ConnectTimeout",
    "ReadTimeout",
    "timed out",
    "Max retries exceeded",
    "Connection refused",
    "Network is unreachable",
    "ProxyError",
    "SSLError",
    "Connection broken",
    "Connection aborted",
    "Retrying (",
)


def why_pip_failed(text):
    """
    One line for what pip said, with what to do about it.

    >>> why_pip_failed("ERROR: Could not install packages due to an OSError: [Errno 28] No space left on device")
    'The disk is full; the packages need about 700 MB. Make room and run start.py again.'
    """
    if "No space left on device" in text or "not enough space on the disk" in text:
        return "The disk is full; the packages need about 700 MB. Make room and run start.py again."
    if "DO NOT MATCH THE HASHES" in text:
        name = re.search(r"^\s+(\S+)(?: from .*)?:$", text.split("DO NOT MATCH THE HASHES")[1], re.MULTILINE)
        return (
            f"{name.group(1) if name else 'A package'} did not arrive as the lock says, so it was not installed: "
            "a broken download, or something on the line that changes files. Run start.py again, or on another network."
        )
    wanted = re.search(r"No matching distribution found for (\S+)", text)
    if any(sign in text for sign in NO_NETWORK):
        return (
            f"The network gave no answer{' for ' + wanted.group(1) if wanted else ''}. Packages are fetched once, the "
            "first time. Check the connection, or pip's proxy setting, and run start.py again."
        )
    if wanted:
        return (
            f"There is no ready-made package of {wanted.group(1)} for this Python {THIS} on this machine. "
            f"The lock covers a 64-bit Python {TRIED}: run start.py with one of those."
        )
    last = [line for line in text.strip().splitlines() if line.startswith("ERROR")][:1] or ["no reason given"]
    return f"pip did not finish: {last[0]} All that it said is in {LOG}."


def install(lock):
    """Install exactly what the lock holds: every file checked against its hash, ready-made packages only."""
    write_record({"place": "not finished"})
    count = len(re.findall(r"(?m)^[A-Za-z0-9]", (TOP / lock).read_text(encoding="utf-8")))
    say(f"Installing up to {count} packages from {lock} (minutes on a slow line) ...")
    command = [str(venv_python()), "-m", "pip", "install", "--require-hashes", "--only-binary", ":all:", "--no-input"]
    command += ["--retries", "2", "--progress-bar", "off", "-r", str(TOP / lock)]
    pip = subprocess.Popen(
        command,
        cwd=str(TOP),
        env=clean_environment(),
        stdin=subprocess.DEVNULL,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
    )
    try:
        text = follow(pip)
    except BaseException:
        pip.terminate()
        pip.wait()
        raise
    LOG.write_text(text, encoding="utf-8")
    if pip.returncode:
        if "Installing collected packages" not in text:
            write_record({"place": str(TOP)})  # nothing was touched, so the next run goes on with this .venv
        raise Stop(why_pip_failed(text))
    add_settings()
    # the lock for tests holds everything that the lock for use holds
    locks = {name: digest(name) for name in {USE_LOCK, lock}}
    write_record({"place": str(TOP), "locks": locks, "packages": packages_present()})


def follow(pip):
    """Read what pip says to its end; at a terminal, show how many packages have come so far."""
    lines, come = [], 0
    for raw in pip.stdout:
        line = raw.decode("utf-8", "replace")
        lines.append(line)
        if line.startswith("Collecting") and sys.stdout.isatty():
            come += 1
            print(f"\r  {come} found ", end="", flush=True)
    pip.wait()
    if come:
        print("\r" + " " * 20 + "\r", end="", flush=True)
    return "".join(lines)


def add_settings():
    """Let .venv find the package in this folder, and tell JupyterLab not to ask the internet for its news."""
    # relative, so that a folder with letters outside ASCII in its name works on every Python and system
    up = os.path.relpath(str(TOP), str(site_packages()))
    (site_packages() / "deckgeom.pth").write_text(up + "\n", encoding="ascii")
    settings = VENV / "share" / "jupyter" / "lab" / "settings"
    settings.mkdir(parents=True, exist_ok=True)
    quiet = {"@jupyterlab/apputils-extension:notification": {"fetchNews": "false", "checkForUpdates": False}}
    (settings / "overrides.json").write_text(json.dumps(quiet, indent=1), encoding="utf-8")


def set_up(lock):
    """Leave .venv whole and as the lock says; quick if it is already."""
    if is_ready(lock):
        say(f"{VENV.name} is as {lock} says.")
        return
    if sys.version_info[:2] > NEWEST_TRIED:
        say(f"Note: Python {THIS} is newer than those tried here ({TRIED}).")
    if not can_be_kept():
        make_venv()
    install(lock)


# ---------------------------------------------------------------- what it is for


def run(*arguments):
    """Run .venv's Python in this folder with its output shown; the exit status."""
    return subprocess.call([str(venv_python()), *map(str, arguments)], cwd=str(TOP), env=clean_environment())


def do_boat(folder, *more):
    """Do a boat's main job, with all that it writes in the boat's own out/; the exit status."""
    say(f"Doing the boat in {folder} ...")
    return run("-m", "deckgeom", folder, "--out", folder / "out", *more)


def open_workbook():
    """Open JupyterLab on the first notebook and stay until it is closed."""
    say("Opening the workbook in your browser. To end it: Ctrl-C here, twice.")
    root = ["--allow-root"] if hasattr(os, "geteuid") and os.geteuid() == 0 else []
    return run("-m", "jupyterlab", *root, FIRST_NOTEBOOK)


CHECKS = (
    ("style", ("-m", "ruff", "check", ".")),
    ("package, papers and examples", ("-m", "pytest", "-n", "logical", "--dist", "loadfile")),
    ("set-up", ("-m", "pytest", "tests/setup")),
    ("notebooks", ("-m", "pytest", "--nbval-lax", "notebooks")),
    ("browser", ("-m", "pytest", "tests/browser")),
    ("speed", ("-m", "pytest", "tests/benchmarks", "-s")),
)


def run_checks(checks=CHECKS):
    """Run every check to its end, whatever the ones before it said; 1 if any failed."""
    failed = []
    for name, arguments in checks:
        say(f"\n=== {name}: python {' '.join(arguments)}")
        begun = time.monotonic()
        status = run(*arguments)
        say(f"=== {name}: {'ok' if status == 0 else f'FAILED, status {status}'} in {time.monotonic() - begun:.0f} s")
        failed += [name] if status else []
    say("\nEvery check passed." if not failed else f"\nFailed: {', '.join(failed)}.")
    return 1 if failed else 0


def main(arguments=None):
    """Do what the command line asks; the exit status."""
    parser = argparse.ArgumentParser(prog="start.py", description="Set deckgeom up in this folder and run it.")
    parser.add_argument("what", nargs="?", metavar="test | BOAT_FOLDER", help="run every test; or do this boat's job")
    parser.add_argument("--no-browser", action="store_true", help="do all but open the workbook")
    asked = parser.parse_args(arguments)
    testing, boat = asked.what == "test", None if asked.what in (None, "test") else Path(asked.what).absolute()
    if boat and not boat.is_dir():
        parser.error(f"{asked.what}: no such folder. Give a boat's folder, such as {DEMO}, or the word test.")
    try:
        set_up(TEST_LOCK if testing else USE_LOCK)
        if testing:
            return run_checks()
        if boat:
            return do_boat(boat)
        if do_boat(DEMO, "--if-changed"):
            raise Stop("The demo boat's job did not end well; the lines above say why.")
        if asked.no_browser:
            say("To open the workbook: python3 start.py")
            return 0
        return open_workbook()
    except Stop as stop:
        print(f"start.py: {stop}", file=sys.stderr)
    except OSError as error:
        print(f"start.py: {error}. Look at that place's rights, room and open programs, run again.", file=sys.stderr)
    except KeyboardInterrupt:
        print("\nstart.py: interrupted. Run it again and it puts itself right.", file=sys.stderr)
        return 130
    return 1


if __name__ == "__main__":
    sys.exit(main())
