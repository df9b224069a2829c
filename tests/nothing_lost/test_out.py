"""No room while tables and papers are written: each file is the old or the new, and no mixture is taken for done."""

from __future__ import annotations

import errno
import os
import shutil

import pytest

from tests.nothing_lost import out
from tests.nothing_lost.actions import BOAT, litter, make_shed
from tests.nothing_lost.disk import failing, watched


@pytest.fixture
def quick(monkeypatch):
    with out.quick_papers():
        yield


@pytest.mark.parametrize("code", [errno.ENOSPC, errno.EROFS], ids=errno.errorcode.get)
def test_all_through_the_command_each_file_is_old_or_new_and_no_mixture_is_done(quick, tmp_path, code):
    start = make_shed(tmp_path / "start")
    old, new = out.made_and_changed(start)
    shutil.copytree(start, tmp_path / "dry")
    with watched(tmp_path / "dry") as disk:
        assert out.write(tmp_path / "dry")[0] == 0
    assert out.papers_in(tmp_path / "dry" / BOAT / "out") == new
    assert out.taken_as(out.NEW, tmp_path / "dry", start) == (True, True)
    assert len(disk.steps) > 60
    refused = 0
    for step in disk.steps[:: 2 if code == errno.ENOSPC else 5]:
        here = shutil.copytree(start, tmp_path / "here")
        with watched(here, failing(step.number, code, stays=True)):
            exit_code, said = out.write(here)
        out.check(here, start, old, new)
        if exit_code:
            refused += 1
            assert exit_code == 2 and said.count("\n") == 1
            assert f"{BOAT}/out: nothing more can be written there ({os.strerror(code)})" in said
            assert "do not work from it" in said and ("make room" in said or "only be read" in said)
        if refused % 8 == 1:  # the disk has room again
            assert out.write(here) == (0, "")
            assert out.papers_in(here / BOAT / "out") == new and litter(here) == []
        shutil.rmtree(here)
    assert refused > 12
