"""The packet of a class, from the teacher's page: at the press of a button, or by a call."""

from __future__ import annotations

import os
from collections.abc import Sequence
from pathlib import Path

from deckgeom.bench.actions import Action, Actions
from deckgeom.bench.class_teacher import TaughtClass
from deckgeom.bench.long_work import LongWork
from deckgeom.bench.papers import Written
from deckgeom.bench.tables import Words
from deckgeom.lessons.packets import write_packet

__all__ = ["PACKET", "packet_panel", "write", "written_table"]

#: Where packets are written, beside the page.
PACKET = Path("out", "class_packet")


def packet_panel(taught: TaughtClass, folder: str | Path = PACKET) -> Actions:
    """
    Write the packet at the press of a button.

    Parameters
    ----------
    taught : TaughtClass
        Of :func:`deckgeom.bench.class_teacher.taught`.
    folder : str or Path
        Where to.

    Returns
    -------
    Actions

    Examples
    --------
    >>> from deckgeom.bench.class_teacher import taught
    >>> packet_panel(taught(17, 1)).forms[0]["label"]
    'Write the packet'
    """
    out = Path(folder).absolute()

    def act() -> LongWork:
        def landed(files: Sequence[Path]) -> Words:
            _take_away_others(out, [file.name for file in files])
            return Words.of(f"Written: {len(files)} files in {out}. Run the next box for a link to each.")

        return LongWork(write_packet, *taught.settings, about="writing the packet", out=out, tells=True, finish=landed)

    seed, pairs, level, units, paper = taught.settings
    hint = f"Seed {seed}, {pairs} pairs, {level}, {units}, on {paper}: into {out}."
    return Actions("The packet", lambda: [Action("write", "Write the packet", act, (), hint)])


def write(taught: TaughtClass, now: bool = True, folder: str | Path = PACKET) -> Written | Words:
    """
    Write the packet without a button, and give a link to each file.

    Parameters
    ----------
    taught : TaughtClass
        Of :func:`deckgeom.bench.class_teacher.taught`.
    now : bool
        Whether to write; a page that is run from top to bottom writes nothing unasked.
    folder : str or Path
        Where to.

    Returns
    -------
    Written or Words

    Examples
    --------
    >>> import tempfile
    >>> from deckgeom.bench.class_teacher import taught
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     write(taught(17, 1, "easy"), folder=folder).files[0].name
    'packet.pdf'
    """
    if not now:
        return Words.of("Nothing is written: put True in place of False and run this box again.")
    out = Path(folder).absolute()
    files = write_packet(*taught.settings, out=out)
    _take_away_others(out, [file.name for file in files])
    return Written(out, tuple(files))


def written_table(taught: TaughtClass, folder: str | Path = PACKET) -> Written | Words:
    """
    Give a link to each file of the packet that was written last.

    Parameters
    ----------
    taught : TaughtClass
        Of :func:`deckgeom.bench.class_teacher.taught`.
    folder : str or Path
        Where it lies.

    Returns
    -------
    Written or Words

    Examples
    --------
    >>> from deckgeom.bench.class_teacher import taught
    >>> written_table(taught(17, 1), "no_such_folder")
    No packet was written yet: press the button above, then run this box again.
    """
    found = tuple(sorted(Path(folder).absolute().glob("*.pdf")))
    if found:
        return Written(found[0].parent, found)
    return Words.of("No packet was written yet: press the button above, then run this box again.")


def _take_away_others(out: Path, names: Sequence[str]) -> None:
    """Handouts of pairs that another class had."""
    for file in out.glob("pair_*.pdf"):
        if file.name not in names:
            os.unlink(file)
