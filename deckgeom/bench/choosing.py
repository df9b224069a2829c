"""Which boat the notebooks open: the folders beside them, and the one that was chosen."""

from __future__ import annotations

from pathlib import Path

from deckgeom.bench.tables import Table, Words
from deckgeom.boat import FILES, copy_boat, new_boat
from deckgeom.boat.keeping import NotSaved, advice, write_whole

__all__ = ["boats", "check_name", "choose", "chosen_boat", "copy", "list_boats", "make"]

#: The folder beside the notebooks that boats stand in.
SHED = "boats"
#: The file in it that names the chosen boat.
CHOSEN = "chosen.txt"
#: The boat that is opened where none was chosen, if it is there.
DEMO = "thimblewick"
_REMARK = "# The boat that every notebook opens, unless its inputs box names another. Written by the first notebook."
_NOT_IN_NAMES = '<>:"/\\|?*'
_LONGEST = 60


def boats(shed: str | Path = SHED) -> tuple[str, ...]:
    """
    Name the boat folders that stand beside the notebooks.

    Parameters
    ----------
    shed : str or Path
        The folder that they stand in.

    Returns
    -------
    tuple of str
        In the order of the alphabet; none where there is no such folder.

    Examples
    --------
    >>> boats("no such shed")
    ()
    """
    shed = Path(shed)
    if not shed.is_dir():
        return ()
    folders = (path for path in shed.iterdir() if path.is_dir() and not path.name.startswith("."))
    return tuple(sorted(path.name for path in folders if any((path / name).is_file() for name in FILES)))


def chosen_boat(shed: str | Path = SHED) -> Path:
    """
    Tell which boat was chosen.

    Parameters
    ----------
    shed : str or Path
        The folder that boats stand in. Its file chosen.txt names one of them, and may be written by hand.

    Returns
    -------
    Path
        The chosen boat's folder; where none was chosen the demo boat, or else the first.

    Raises
    ------
    FileNotFoundError
        Where the chosen boat is not there any more, or there is no boat at all.

    Examples
    --------
    >>> chosen_boat("no such shed")
    Traceback (most recent call last):
    ...
    FileNotFoundError: no such shed: there is no boat folder here. Open 00_start_here and make one.
    """
    shed, there = Path(shed), boats(shed)
    name = _written(shed / CHOSEN)
    if name:
        if (shed / name).is_dir():
            return shed / name
        known = f"There are: {', '.join(there)}. " if there else ""
        raise FileNotFoundError(
            f"{shed / CHOSEN} names the boat {name!r}, and no folder of that name stands in {shed}. Was it renamed or "
            f"moved? {known}Choose one in 00_start_here."
        )
    if not there:
        raise FileNotFoundError(f"{shed}: there is no boat folder here. Open 00_start_here and make one.")
    return shed / (DEMO if DEMO in there else there[0])


def _written(file: Path) -> str:
    """The first line that is no remark; nothing where there is no such file."""
    try:
        lines = file.read_text(encoding="utf-8-sig", errors="replace").splitlines()
    except FileNotFoundError:
        return ""
    return next((line.strip() for line in lines if line.strip() and not line.lstrip().startswith("#")), "")


def choose(name: str, shed: str | Path = SHED) -> Words:
    """
    Choose the boat that every notebook opens; the choice is written to chosen.txt beside the boats.

    Parameters
    ----------
    name : str
        One of :func:`boats`.
    shed : str or Path
        The folder that boats stand in.

    Returns
    -------
    Words
        What was chosen, and what to do next.

    Examples
    --------
    >>> import tempfile
    >>> with tempfile.TemporaryDirectory() as shed:
    ...     _ = new_boat(Path(shed, "wherry"))
    ...     choose("wherry", shed).lines[0]
    'Chosen: wherry. Every notebook opens it now; run this page again from the top.'
    """
    shed, there = Path(shed), boats(shed)
    if name not in there:
        known = f"there are {', '.join(there)}" if there else "there is none yet: make one"
        raise ValueError(f"{str(name)[:80]!r} is no boat in the folder {shed}; {known}.")
    _keep(shed / CHOSEN, f"{_REMARK}\n{name}\n")
    return Words.of(f"Chosen: {name}. Every notebook opens it now; run this page again from the top.")


def _keep(file: Path, text: str) -> None:
    """Write a small file, the whole of it or nothing."""
    try:
        write_whole(file, text.encode("utf-8"))
    except OSError as problem:
        why = problem.strerror or type(problem).__name__
        raise NotSaved(
            f"{file}: the choice cannot be written there ({why}), and the old one stands. "
            f"{advice(problem, 'choose again')} Or name the boat in the inputs box of each notebook."
        ) from problem


def copy(source: str, name: str, shed: str | Path = SHED) -> Words:
    """
    Copy a boat's folder under a new name, and choose the copy. Nothing is ever written over.

    Parameters
    ----------
    source : str
        One of :func:`boats`. Only the files that a person types are copied.
    name : str
        What the new folder is to be called.
    shed : str or Path
        The folder that boats stand in.

    Returns
    -------
    Words
        Where the new folder stands.

    Examples
    --------
    >>> import tempfile
    >>> with tempfile.TemporaryDirectory() as shed:
    ...     _ = new_boat(Path(shed, "wherry"))
    ...     copy("wherry", "skiff", shed).lines[0].rpartition("/")[2], boats(shed)
    ('skiff.', ('skiff', 'wherry'))
    """
    shed, there = Path(shed), boats(shed)
    if source not in there:
        raise ValueError(f"{str(source)[:80]!r} is no boat in the folder {shed}; there are {', '.join(there)}.")
    name = check_name(name)
    new = copy_boat(shed / source, shed / name, name)
    said = (
        f"She is called {name} in boat.toml; all the rest is still the copied boat's. Read below what was understood, "
        "and change it in her files."
    )
    return Words.of(f"Copied: {source} to {new.as_posix()}.", said, *_next(new, shed))


def make(name: str, units: str = "mm", shed: str | Path = SHED) -> Words:
    """
    Make an empty boat folder, with every file and remarks in it, and choose it.

    Parameters
    ----------
    name : str
        What the new folder is to be called.
    units : {"mm", "ft-in-8", "in"}
        What a bare number is to mean.
    shed : str or Path
        The folder that boats stand in.

    Returns
    -------
    Words
        Where the new folder stands.

    Examples
    --------
    >>> import tempfile
    >>> with tempfile.TemporaryDirectory() as shed:
    ...     _ = make("wherry", "in", shed)
    ...     boats(shed), chosen_boat(shed).name
    (('wherry',), 'wherry')
    """
    new = new_boat(Path(shed) / check_name(name), units)
    return Words.of(f"Made: the empty boat {new.as_posix()}.", *_next(new, Path(shed)))


def _next(new: Path, shed: Path) -> tuple[str, ...]:
    try:
        chosen = choose(new.name, shed).lines[0]
    except OSError as problem:
        chosen = f"She stands there, but is not chosen yet. {problem}"
    return chosen, "Nothing in a boat's folder is ever written over by this: type your numbers into the new one."


def check_name(name: str) -> str:
    """
    Check a name for a new folder.

    Parameters
    ----------
    name : str
        As typed.

    Returns
    -------
    str
        Without blanks at its ends.

    Examples
    --------
    >>> check_name(" wherry ")
    'wherry'
    >>> check_name("a/b")
    Traceback (most recent call last):
    ...
    ValueError: 'a/b' cannot be the name of a folder: '/' does not go into one. Use letters, figures, - and _.
    """
    plain = name.strip()
    if not plain:
        raise ValueError("The new boat has no name yet: type one, such as wherry, and try again.")
    why = ""
    wrong = next((c for c in plain if c in _NOT_IN_NAMES or ord(c) < 32), None)
    if wrong is not None:
        why = f"{wrong!r} does not go into one"
    elif plain[0] == "." or plain[-1] == ".":
        why = "it begins or ends with a dot"
    elif len(plain) > _LONGEST:
        why = f"it is longer than {_LONGEST} letters"
    elif plain.upper().partition(".")[0] in ("CON", "PRN", "AUX", "NUL", "COM1", "LPT1"):
        why = "some computers keep that name for themselves"
    if why:
        raise ValueError(f"{plain[:80]!r} cannot be the name of a folder: {why}. Use letters, figures, - and _.")
    return plain


def list_boats(shed: str | Path = SHED) -> Table | Words:
    """
    List the boats beside the notebooks, and which is chosen.

    Parameters
    ----------
    shed : str or Path
        The folder that boats stand in.

    Returns
    -------
    Table or Words
        One row a boat.

    Examples
    --------
    >>> list_boats("no such shed")
    There is no boat yet. Make an empty one.
    """
    there = boats(shed)
    if not there:
        return Words.of("There is no boat yet. Make an empty one.")
    try:
        now, note = chosen_boat(shed).name, ""
    except FileNotFoundError as problem:
        now, note = "", str(problem)
    rows = [(name, "chosen" if name == now else "no", _held(Path(shed) / name)) for name in there]
    strong = [k for k, row in enumerate(rows) if row[1] == "chosen"]
    heads = ("boat", "is it open?", "files")
    return Table(f"Boats in the folder {Path(shed)}", heads, rows, words=(0, 1, 2), strong=strong, note=note)


def _held(folder: Path) -> str:
    return ", ".join(name for name in FILES if (folder / name).is_file())
