"""What the speed tests share: the machine's numbers above the table, and a target that the best run must meet."""

from __future__ import annotations

import os
import platform
from pathlib import Path

import numpy
import psutil
import pytest
import scipy
import threadpoolctl


def processor() -> str:
    """Name of this machine's processor, as far as the system tells."""
    info = Path("/proc/cpuinfo")
    if info.exists():
        for line in info.read_text(encoding="utf-8").splitlines():
            if line.startswith("model name"):
                return line.partition(":")[2].strip()
    return platform.processor() or platform.machine()


def pytest_report_header() -> list[str]:
    """The numbers of the machine that the times below were taken on."""
    blas = {f"{pool['internal_api']} {pool['version']}" for pool in threadpoolctl.threadpool_info()}
    memory = psutil.virtual_memory().total / 2**30
    return [
        f"machine: {processor()}, {os.cpu_count()} cores, {memory:.0f} GiB, {platform.system()} {platform.release()}",
        f"with: Python {platform.python_version()}, numpy {numpy.__version__}, scipy {scipy.__version__}, "
        f"{', '.join(sorted(blas)) or 'no BLAS seen'}",
    ]


@pytest.fixture(autouse=True)
def one_thread():
    """One BLAS thread: the matrices are small, and the times then mean the same on every machine."""
    with threadpoolctl.threadpool_limits(1):
        yield


@pytest.fixture
def within(benchmark):
    """Time a call and hold its best run to a target: within(seconds, function, *arguments); five runs if it is slow."""

    def timed(seconds: float, function, *arguments):
        if seconds < 0.2:
            result = benchmark(function, *arguments)
        else:
            result = benchmark.pedantic(function, arguments, rounds=5, warmup_rounds=1)
        best = benchmark.stats.stats.min
        benchmark.extra_info["target"] = seconds
        assert best <= seconds, f"best of the runs {best * 1e3:.1f} ms, target {seconds * 1e3:.0f} ms"
        return result

    return timed
