"""
How quick everything is, in one table: `python -m tests.benchmarks [WORD ...]` (rows whose job has one of the words).

Each route is timed in turn with the one that somebody would take instead, in one run; `instead / ours` above 1 means
that ours is quicker. Times are medians, with the quarters of the runs in brackets. *grows* is k in time = c n^k.
Nothing here is a test: a machine that is not idle says other numbers.
"""

from __future__ import annotations

import sys

from threadpoolctl import threadpool_limits

from tests.benchmarks import workbook
from tests.benchmarks.cases import Case, cases
from tests.benchmarks.conftest import pytest_report_header
from tests.benchmarks.measure import clock, exponent, race

HEAD = ("job", "target", "ours at n", "instead", "its time at n", "instead / ours: n", "2n", "4n", "ours at 2n", "4n",
        "ours grows", "instead grows")  # fmt: skip


def measured(case: Case) -> tuple[str, ...]:
    """The cells of one row."""
    found = []
    for k in case.sizes:
        routes = {"ours": case.ours(k)} | ({"theirs": case.theirs(k)} if case.theirs else {})
        found.append(race(routes))
    ours = [each["ours"] for each in found]
    theirs = [each["theirs"] for each in found] if case.theirs else []
    ratios = [f"{t.median / o.median:.2g}" for o, t in zip(ours, theirs, strict=False)]
    grow = [
        f"n^{exponent(case.sizes, [t.median for t in line]):.2f}" if len(line) > 1 else "" for line in (ours, theirs)
    ]
    cells = [case.job, case.target, ours[0].words(), case.others, theirs[0].words() if theirs else ""]
    cells += (ratios + [""] * 3)[:3] + ([clock(t.median) for t in ours[1:]] + [""] * 2)[:2]
    return (*cells, *grow)


def line(cells) -> str:
    """One line of the table."""
    return "| " + " | ".join(cells) + " |"


def main(words: list[str]) -> int:
    """Print the table."""
    print("\n".join(pytest_report_header()), "one BLAS thread.\n")
    print(line(HEAD), line(["---"] * len(HEAD)), sep="\n", flush=True)
    with threadpool_limits(1):
        for case in cases():
            if not words or any(word in case.job for word in words):
                print(line(measured(case)), flush=True)
    if not words or "notebook" in words:
        for job, target, times, other, other_times in workbook.rows():
            ratio = f"{other_times.median / times.median:.2g}" if other_times else ""
            cells = [job, target, times.words(), other, other_times.words() if other_times else "", ratio]
            print(line(cells + [""] * (len(HEAD) - len(cells))), flush=True)
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
