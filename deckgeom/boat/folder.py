"""
A boat folder: everything that a person typed, read once, with everything that is wrong or doubtful about it.
"""

from __future__ import annotations

import difflib
from dataclasses import dataclass, field
from pathlib import Path

from deckgeom.complaint import Complaint, needs_mending
from deckgeom.deck.beam_marks import BeamMark
from deckgeom.fairing.readings import Reading
from deckgeom.hull.offsets import OffsetTable
from deckgeom.hull.strings import MeasuringLine

from .beams_file import read_beams
from .build import build_settings, check_set_aside, default_settings
from .digests import content_digests
from .fittings_file import Fitting, read_fittings
from .lines_file import read_lines
from .log import Log
from .marks_file import LevelMark, read_marks
from .offsets_file import read_offsets
from .own_rows_file import own_rows
from .plausible import ask_about_beams, ask_about_sizes
from .readings_file import read_readings
from .settings import Settings
from .timber_setting import with_timber
from .toml_file import read_keys

FILES = ("boat.toml", "offsets.csv", "beams.csv", "readings.csv", "lines.csv", "fittings.csv", "marks.csv",
         "figures.csv")  # fmt: skip
"""The files that a boat folder may hold; any may be missing."""


@dataclass(frozen=True, eq=False)
class Boat:
    """
    A boat as her folder describes her.

    Parameters
    ----------
    folder : Path
        Where the files stand.
    settings : Settings
        What boat.toml says, and the labelled defaults of what it does not.
    offsets : OffsetTable or None
        The table of offsets; None where there is none that can be used.
    beams : tuple of BeamMark
        The list of beams, in the order of the file.
    readings : tuple of Reading
        Heights of beam tops as taken.
    lines : tuple of MeasuringLine
        What they were taken from.
    fittings : tuple of Fitting
        What stands on the deck or goes through it.
    marks : tuple of LevelMark
        Heights that tell whether she has moved.
    complaints : tuple of Complaint
        Everything wrong, doubtful or worth knowing about the files.
    digests : dict of str to str
        Of what the files held, as `content_digests` has them; results are recorded with them.
    figures : tuple of dict
        The owner's own figures for glue, resin and paint, as `own_rows` gives them.

    Examples
    --------
    >>> import pathlib, tempfile
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     _ = pathlib.Path(folder, "boat.toml").write_text('name = "Wherry"')
    ...     boat = read_boat(folder)
    >>> boat.settings.name, boat.offsets, boat.mended
    ('Wherry', None, True)
    """

    folder: Path
    settings: Settings
    offsets: OffsetTable | None = None
    beams: tuple[BeamMark, ...] = ()
    readings: tuple[Reading, ...] = ()
    lines: tuple[MeasuringLine, ...] = ()
    fittings: tuple[Fitting, ...] = ()
    marks: tuple[LevelMark, ...] = ()
    complaints: tuple[Complaint, ...] = ()
    digests: dict[str, str] = field(default_factory=dict)
    figures: tuple[dict, ...] = ()

    @property
    def name(self) -> str:
        """What the boat is called."""
        return self.settings.name

    @property
    def units(self) -> str:
        """Units of bare numbers in the folder, and of what is shown."""
        return self.settings.units

    @property
    def mended(self) -> bool:
        """Whether nothing in the files needs mending."""
        return not needs_mending(self.complaints)

    def echo(self) -> list[str]:
        """
        Say what was understood.

        Returns
        -------
        list of str
            One sentence or two each: units, conventions, deck, offsets, beams, camber, readings, defaults.

        Examples
        --------
        >>> from deckgeom.boat import default_settings
        >>> print(Boat(Path("punt"), default_settings("in", "Punt")).echo()[0])
        Punt. The folder is in inches: a bare number is inches, lengths are shown to 1/16 in.
        """
        from .echo import echo_lines

        return echo_lines(self)


def read_boat(folder: str | Path) -> Boat:
    """
    Read a boat folder. Nothing in it is written to.

    Parameters
    ----------
    folder : str or Path
        Holds any of boat.toml, offsets.csv, beams.csv, readings.csv, lines.csv, fittings.csv, marks.csv, figures.csv.

    Returns
    -------
    Boat
        With all complaints; what is wrong is left out and the rest is there.

    Raises
    ------
    FileNotFoundError, NotADirectoryError
        Where there is no such folder.

    Examples
    --------
    >>> read_boat("no such folder")
    Traceback (most recent call last):
    ...
    FileNotFoundError: no such folder: there is no boat folder of that name. Copy one to begin with.
    """
    folder = Path(folder)
    if not folder.exists():
        raise FileNotFoundError(f"{folder}: there is no boat folder of that name. Copy one to begin with.")
    if not folder.is_dir():
        raise NotADirectoryError(
            f"{folder}: a boat is a folder, and this is a file. Give the folder that it stands in."
        )
    log = Log()
    _look_round(folder, log)
    name = folder.resolve().name
    typed = read_keys(folder / "boat.toml", log)
    digests = content_digests(folder, typed)  # before the tables are read: a change meanwhile then shows as a change
    settings = build_settings(typed, name, log)
    if settings is None:
        return Boat(folder, default_settings("mm", name), complaints=log.complaints(), digests=digests)
    units = settings.units
    offsets = read_offsets(folder / "offsets.csv", units, log)
    check_set_aside(settings.offsets.set_aside, offsets, typed, log)
    figures = own_rows(folder / "figures.csv", log)
    if typed is not None:
        ask_about_sizes(settings, typed, log)
    own = settings.beams
    beams = read_beams(folder / "beams.csv", units, own, log)
    stated = [one for one in beams if (one.siding, one.moulding) != (own.siding, own.moulding)]
    ask_about_beams(stated, units, log)
    settings = with_timber(settings, figures, typed, log)
    return Boat(
        folder,
        settings,
        offsets,
        beams,
        read_readings(folder / "readings.csv", units, log),
        read_lines(folder / "lines.csv", units, log),
        read_fittings(folder / "fittings.csv", units, log),
        read_marks(folder / "marks.csv", units, log),
        log.complaints(),
        digests,
        figures,
    )


def holds_a_boat(folder: str | Path) -> bool:
    """
    Whether a folder holds what a person typed of a boat: results of the same names must not be written there.

    Parameters
    ----------
    folder : str or Path
        It may be missing.

    Returns
    -------
    bool

    Examples
    --------
    >>> holds_a_boat("no such folder")
    False
    """
    return any(Path(folder, name).exists() for name in FILES if name != "beams.csv")  # results have a beams.csv too


def _look_round(folder: Path, log: Log) -> None:
    """Complain about a file that is likely one of ours under another name."""
    names = sorted(path.name for path in folder.iterdir() if not path.name.startswith("."))
    for name in names:
        if name in FILES or not name.lower().endswith((".csv", ".toml", ".txt", ".tsv", ".xls", ".xlsx", ".ods")):
            continue
        stem = name.lower().rpartition(".")[0]
        meant = next((file for file in FILES if _like(stem, file.rpartition(".")[0])), None)
        if meant and meant not in names:
            log.ask(name, None, "", "", f"this file is not read; the file is called {meant}", f"{meant} was meant")
    if not any(file in names for file in FILES):
        log.mend("boat.toml", None, "", "", f"a boat folder holds some of {', '.join(FILES)}", "the wrong folder")


def _like(stem: str, known: str) -> bool:
    """Whether a name holds a known one, in the singular at least, or is nearly it."""
    return known.rstrip("s") in stem or bool(difflib.get_close_matches(stem, [known], 1, 0.75))
