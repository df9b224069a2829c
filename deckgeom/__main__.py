"""
All papers of a boat without opening a notebook: `python -m deckgeom BOAT_FOLDER --out FOLDER`.
"""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

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
    from deckgeom.boat import read_boat

    try:
        boat = read_boat(asked.boat)
    except OSError as problem:
        print(problem, file=sys.stderr)
        return WRONG_USE
    return _do(boat, asked.out or boat.folder / "out", asked.paper)


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(prog="deckgeom", description="Work out a boat's deck and write its papers.")
    parser.add_argument("boat", type=Path, help="the boat folder")
    parser.add_argument("--out", type=Path, help="where to write; the boat's own out/ if not given")
    parser.add_argument("--paper", choices=("A4", "Letter"), default="A4", help="size of the sheets")
    return parser


def _do(boat, out: Path, paper: str) -> int:
    from deckgeom.job import do_job
    from deckgeom.results import summary, write_results

    job = do_job(boat)
    for complaint in job.complaints:
        print(complaint, file=sys.stderr)
    print("\n".join(summary(job)))
    try:
        files = write_results(job, out)
        files += _papers(job, out, paper)
    except OSError as problem:
        print(
            f"{out}: nothing more can be written there ({problem.strerror or problem}). Is it full, or not yours?",
            file=sys.stderr,
        )
        return WRONG_USE
    print(f"Written: {len(files)} files in {out}")
    return DONE if job.mended else MEND


def _papers(job, out: Path, paper: str) -> list[Path]:
    try:
        import matplotlib  # noqa: F401
    except ModuleNotFoundError:
        print(
            "No papers: they need matplotlib (pip install 'deckgeom[workbook]'). The CSV files hold every number.",
            file=sys.stderr,
        )
        return []
    from deckgeom.papers.blank_forms import write_forms
    from deckgeom.papers.shop import write_papers

    return write_papers(job, out, paper) + write_forms(job, out, paper)


if __name__ == "__main__":
    sys.exit(main())
