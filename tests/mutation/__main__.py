"""
`python -m tests.mutation [WORD ...]`: break each line of the list (or those with a word in file or slip), one by one.

The working tree is not touched. First the tests run on the whole copy: they must be green. The status is 1 if a mutant
survives without a reason, or one that has a reason is caught.
"""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path

from tests.mutation.breaking import GREEN, Outcome, copy_tree, mutants, run_tests, try_one


def row(outcome: Outcome) -> str:
    """One line of the table."""
    mutant = outcome.mutant
    by = outcome.by if outcome.caught else f"SURVIVES: {mutant.survives or 'no reason known'}"
    return f"| {mutant.file} | {mutant.what} | {by} | {outcome.seconds:.1f} |"


def main(words: list[str]) -> int:
    """Print the table and what survives."""
    chosen = [m for m in mutants() if not words or any(word in m.file or word in m.what for word in words)]
    with tempfile.TemporaryDirectory() as folder:
        copy = copy_tree(Path(folder))
        every = dict.fromkeys(test for mutant in chosen for test in mutant.tests)
        status, red = run_tests(copy, every, 1800)
        if status != GREEN:
            print(f"Before anything is broken {red} is red already: mend that first.")
            return 2
        print("| file | broken | caught by | s |\n|---|---|---|---|", flush=True)
        found = []
        for mutant in chosen:
            found.append(try_one(copy, mutant))
            print(row(found[-1]), flush=True)
    alive = [f for f in found if not f.caught]
    unexplained = [f for f in alive if not f.mutant.survives]
    print(f"\n{len(found)} broken, {len(found) - len(alive)} caught, {len(alive)} survive, ", end="")
    print(f"{len(unexplained)} of them without a reason; {sum(f.seconds for f in found):.0f} s in all.")
    return 1 if unexplained or any(f.caught and f.mutant.survives for f in found) else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
