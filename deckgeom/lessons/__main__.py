"""
Print a class packet from the command line: `python -m deckgeom.lessons FOLDER --seed 17 --pairs 5`.
"""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

from deckgeom.lessons.hulls import LEVELS
from deckgeom.units import UNITS

DONE, WRONG_USE = 0, 2


def main(arguments: list[str] | None = None) -> int:
    """
    Write a packet and say where it lies.

    Parameters
    ----------
    arguments : list of str, optional
        Of the command line if not given.

    Returns
    -------
    int
        0 if it was written, 2 if it could not be.

    Examples
    --------
    >>> import tempfile
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     main([folder, "--pairs", "0"])
    2
    """
    from deckgeom.lessons.packets import write_packet

    asked = _parser().parse_args(arguments)
    try:
        files = write_packet(asked.seed, asked.pairs, asked.level, asked.units, asked.paper, out=asked.folder)
    except (ValueError, OSError) as problem:
        print(problem, file=sys.stderr)
        return WRONG_USE
    print(f"Written: {files[0]}, and its parts in {len(files) - 1} files beside it. Print at 100 %.")
    return DONE


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(prog="deckgeom.lessons", description="Write the packet of a class.")
    parser.add_argument("folder", type=Path, help="where to write it")
    parser.add_argument("--seed", type=int, default=17, help="the same seed gives the same packet")
    parser.add_argument("--pairs", type=int, default=5, help="how many pairs")
    parser.add_argument("--level", choices=LEVELS, default="normal")
    parser.add_argument("--units", choices=UNITS, default="mm")
    parser.add_argument("--paper", choices=("A4", "Letter"), default="A4")
    return parser


if __name__ == "__main__":
    sys.exit(main())
