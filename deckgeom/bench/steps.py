"""Where each step of the work stands: done, to do, or stale since something that it rests on has changed, and why."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from deckgeom import __version__
from deckgeom.bench.tables import Table
from deckgeom.boat.digests import content_digests
from deckgeom.boat.made import Made, altered, differing, read_made
from deckgeom.job import Job

__all__ = ["steps"]

DONE, TO_DO, STALE = "done", "to do", "stale"
_SHEER = ("boat.toml", "boat.toml [offsets]", "offsets.csv")
_DECK = (*_SHEER, "boat.toml [camber]")
_BEAMS = (*_DECK, "boat.toml [beams]", "beams.csv")
_FAIRING = (*_BEAMS, "boat.toml [fairing]", "readings.csv", "lines.csv", "marks.csv")
_LAYING = (*_BEAMS, "boat.toml [laying]", "fittings.csv", "figures.csv")
_PAPERS = (*_FAIRING, "boat.toml [laying]", "fittings.csv", "figures.csv")
#: What was written, the step's words for it, and a file by which it is known.
_WRITTEN = (("tables", "write the tables", _FAIRING, "beams.csv"), ("papers", "print the papers", _PAPERS,
            "shop_sheets.pdf"))  # fmt: skip


def steps(job: Job, out: str | Path | None = None) -> Table:
    """
    Say of each step of the work whether it is done, to do, or stale, and why.

    Parameters
    ----------
    job : Job
        Of :func:`deckgeom.bench.open_boat`.
    out : str or Path, optional
        Where tables and papers were written; the boat's own folder ``out`` if not given.

    Returns
    -------
    Table
        One row a step. Whether something has changed is told by what the files hold, never by the clock.

    Examples
    --------
    >>> from deckgeom.boat import Boat, default_settings
    >>> from deckgeom.job import do_job
    >>> table = steps(do_job(Boat(Path("punt"), default_settings())))
    >>> table.rows[0]
    ('1', 'fair the deck edge', '01_sheer', 'to do', 'offsets.csv is not there, or holds no table that can be used')
    >>> table.rows[6][3:]
    ('to do', 'no papers are in punt/out yet')
    """
    out = job.boat.folder / "out" if out is None else Path(out)
    now = content_digests(job.boat.folder)
    since = differing(job.boat.digests, now)
    made = read_made(out, "tables")
    rows = [_worked_out(job, None if one[1] == "05_laying" else made, since, *one) for one in _worked(job)]
    rows += [_written(job, out, now, *one) for one in _WRITTEN]
    return Table(
        f"Where the work on {job.boat.name} stands",
        ("step", "what", "page", "how it stands", "what is known, or wanting"),
        [(k, *row) for k, row in enumerate(rows, 1)],
        words=(0, 1, 2, 3, 4),
        wrap=(4,),
        strong=[k for k, row in enumerate(rows) if row[2] == STALE],
    )


def _worked(job: Job) -> list[tuple]:
    """What is done on the pages: words, page, result, what is known of it, what is wanting, what it rests on."""
    deck = (*_DECK, "beams.csv") if job.boat.settings.camber.rule == "beam by beam" else _DECK
    return [
        ("fair the deck edge", "01_sheer", job.sheer, _sheer_words(job), "offsets.csv is not there, or holds no table "
         "that can be used", _SHEER),
        ("choose the camber, look at the crown line", "02_camber", job.deck, _camber_words(job), "the deck edge comes "
         "first", deck),
        ("lay out beams, bevels, spilings", "03_beams_and_spiling", job.beams, f"{len(job.beams or ())} beams",
         "beams.csv is not there, or the deck edge comes first", _BEAMS),
        ("measure the beam tops, plane and pack", "04_fairing", job.fairing, f"{len(job.boat.readings)} readings",
         "readings.csv is not there: print the blank form and walk round the boat", _FAIRING),
        ("lay the deck", "05_laying", job.boat.settings.laying.ways if job.beams is not None else None,
         _laying_words(job), "ways of laying are not written under [laying] in boat.toml, or the beams come first",
         _LAYING),
    ]  # fmt: skip


def _worked_out(
    job: Job, made: Made | None, since: Sequence[str], what, page, result, known, wanting, rests_on
) -> tuple:
    changed = [name for name in rests_on if name in since]
    if changed:
        return what, page, STALE, f"{_changed(changed)} since this page read it: run the page again"
    if result is None or result == ():
        return what, page, TO_DO, wanting
    changed = differing(made.rests_on, job.boat.digests, rests_on) if made else ()
    if changed:
        return what, page, STALE, f"{known}; {_changed(changed)} since the tables were written: what they say is old"
    return what, page, DONE, known


def _written(
    job: Job, out: Path, now: dict[str, str], kind: str, what: str, rests_on: Sequence[str], known: str
) -> tuple:
    made, page = read_made(out, kind), "python -m deckgeom"
    if made is None and not (out / known).exists():
        return what, page, TO_DO, f"no {kind} are in {out.as_posix()} yet"
    if made is None:
        return what, page, STALE, f"what the {kind} were made from is not on record: write them again"
    lost = altered(made, out)
    reasons = [
        f"{_changed(names)} since the {kind} were written"
        if (names := differing(made.rests_on, now, rests_on))
        else "",
        f"{_and(lost[:3])} {'is' if len(lost) == 1 else 'are'} gone or not as written" if lost else "",
        f"they were written by version {made.version}, and this is {__version__}"
        if made.version != __version__
        else "",
    ]
    why = "; ".join(reason for reason in reasons if reason)
    if why:
        return what, page, STALE, f"{why}: write them again"
    return what, page, DONE, f"{len(made.files)} {'file' if len(made.files) == 1 else 'files'} in {out.as_posix()}"


def _changed(names: Sequence[str]) -> str:
    return f"{_and([_plain(name) for name in names])} {'has' if len(names) == 1 else 'have'} changed"


def _plain(name: str) -> str:
    file, _, section = name.partition(" ")
    if section:
        return f"the section {section} of {file}"
    return "boat.toml above its sections" if file == "boat.toml" else file


def _and(names: Sequence[str]) -> str:
    return " and ".join([part for part in (", ".join(names[:-1]), names[-1]) if part])


def _sheer_words(job: Job) -> str:
    count = len(job.suspects)
    found = {0: "no offset stands out as a slip", 1: "one offset is suspect"}.get(count, f"{count} offsets are suspect")
    return f"{found}; {len(job.aside)} set aside" if job.aside else found


def _camber_words(job: Job) -> str:
    camber = job.boat.settings.camber
    return f"{camber.curve}, {camber.rule}, {camber.figure.short(job.boat.units)}"


def _laying_words(job: Job) -> str:
    return " and ".join(way.name for way in job.boat.settings.laying.ways)
