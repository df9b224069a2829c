"""
All papers of a boat without opening a notebook: `python -m deckgeom BOAT_FOLDER --out FOLDER`.
"""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

from deckgeom.complaint import one_line

DONE, MEND, WRONG_USE = 0, 1, 2


def main(arguments: list[str] | None = None) -> int:
    """
    Do the main job of one boat and write its papers.

    Parameters
    ----------
    arguments : list of str, optional
        As typed after the command.

    Returns
    -------
    int
        0 done; 1 the boat's data need mending; 2 wrong use.

    Examples
    --------
    >>> main(["no such folder"])
    2
    """
    try:
        asked = _parser().parse_args(arguments)
    except SystemExit as stop:
        return WRONG_USE if stop.code else DONE
    from deckgeom.boat import holds_a_boat, read_boat

    try:
        boat = read_boat(asked.boat)
        out = asked.out or boat.folder / "out"
        if holds_a_boat(out) or out.resolve() == boat.folder.resolve():
            rule = "a boat's own files stand there, and results of the same name would be written over them"
            _say(f"{out}: {rule}. Name another folder with --out, or none.", sys.stderr)
            return WRONG_USE
    except (OSError, RuntimeError) as problem:
        _say(problem, sys.stderr)
        return WRONG_USE
    return _do(boat, out, asked)


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(prog="deckgeom", description="Work out a boat's deck and write its papers.")
    parser.add_argument("boat", type=Path, help="the boat folder")
    parser.add_argument("--out", type=Path, help="where to write; the boat's own out/ if not given")
    parser.add_argument("--paper", choices=("A4", "Letter"), default="A4", help="size of the sheets")
    parser.add_argument("--patterns", choices=("A4", "A3", "Letter", "Tabloid", "all", "none"),
                        help="paper of the full-size patterns; that of the sheets if not given")  # fmt: skip
    parser.add_argument("--scale", type=_scale, default=(1.0, 1.0), metavar="ACROSS,UP",
                        help="patterns on paper drawn so many times larger, for a printer that shrinks")  # fmt: skip
    parser.add_argument("--if-changed", action="store_true",
                        help="write nothing where all stands as it was written from the same files")  # fmt: skip
    return parser


def _stands(boat, out: Path) -> bool:
    """Whether everything in out was written by this version from these files, and is still as it was written."""
    from deckgeom import __version__
    from deckgeom.boat.made import altered, read_made

    for kind in ("tables", "papers"):
        made = read_made(out, kind)
        if made is None or (made.version, made.rests_on) != (__version__, boat.digests) or altered(made, out):
            return False
    return any((out / "patterns").rglob("*.pdf"))


def _scale(text: str) -> tuple[float, float]:
    """Two numbers near 1; one stands for both."""
    try:
        numbers = [float(part) for part in text.split(",")]
    except ValueError:
        numbers = []
    if len(numbers) not in (1, 2) or not all(0.9 <= number <= 1.1 for number in numbers):
        raise argparse.ArgumentTypeError(
            f"{text!r}: one or two numbers from 0.9 to 1.1, such as 1.012,1.006. A bar of 100 mm that measures 98.8 "
            "asks for 1.012. Is it a percentage?"
        )
    return numbers[0], numbers[-1]


def _say(words, stream) -> None:
    """One line, in what the window can show."""
    line = one_line(str(words))
    shown = getattr(stream, "encoding", None) or "utf-8"
    print(line.encode(shown, "replace").decode(shown), file=stream)


def _do(boat, out: Path, asked) -> int:
    from deckgeom.job import do_job
    from deckgeom.results import summary, write_results

    job = do_job(boat)
    for complaint in job.complaints:
        _say(complaint, sys.stderr)
    for line in summary(job):
        _say(line, sys.stdout)
    if asked.if_changed and _stands(boat, out):
        _say(f"Nothing has changed since the tables and papers in {out} were written.", sys.stdout)
        return DONE if job.mended else MEND
    for line in _laying_lines(job):
        _say(line, sys.stdout)
    try:
        files = write_results(job, out)
        files += _papers(job, out, asked)
    except OSError as problem:
        _say(_no_room(out, problem), sys.stderr)
        return WRONG_USE
    _say(f"Written: {len(files)} files in {out}", sys.stdout)
    return DONE if job.mended else MEND


def _no_room(out: Path, problem: OSError) -> str:
    from deckgeom.boat.keeping import advice

    again = "run the command again, or name another folder with --out"
    return (
        f"{out}: nothing more can be written there ({problem.strerror or problem}). What stands there may be of an "
        f"earlier run: do not work from it. {advice(problem, again)}"
    )


def _laying_lines(job) -> list[str]:
    """What of the laying cannot be had as wished, a line each; of a row that is complained of already, nothing more."""
    if not job.boat.settings.laying.ways:
        return []
    if job.laying is None:
        return ["Laying: not worked out, for there are no beams to lay the deck on. Write them in beams.csv."]
    said = {f"{one.file}, row {one.row}" for one in job.complaints if one.row is not None}
    return [f"Laying: {line}" for line in job.laying.cannot_be() if line.partition(":")[0] not in said]


def _papers(job, out: Path, asked) -> list[Path]:
    try:
        import ezdxf  # noqa: F401
        import matplotlib  # noqa: F401
        import reportlab  # noqa: F401
    except ModuleNotFoundError as missing:
        print(
            f"No papers: they need {missing.name} (pip install 'deckgeom[workbook]'). The CSV files hold every number.",
            file=sys.stderr,
        )
        return []
    from deckgeom.boat.made import forget_made
    from deckgeom.papers.blank_forms import write_forms
    from deckgeom.papers.pattern_set import KINDS, write_patterns
    from deckgeom.papers.shop import write_papers

    wanted = asked.patterns or asked.paper
    kinds = {"all": KINDS, "none": ()}.get(wanted, (wanted, "roll", "svg", "dxf"))
    forget_made(out, "papers")
    beside = write_forms(job, out, asked.paper) + write_patterns(job, out, kinds, asked.scale)
    return write_papers(job, out, asked.paper) + beside  # these last: they come with the record of all


if __name__ == "__main__":
    sys.exit(main())
