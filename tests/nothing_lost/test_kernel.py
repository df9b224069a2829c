"""A real notebook kernel, typed into as the page does, and killed meanwhile."""

from __future__ import annotations

import os
import random
import signal
import time
from pathlib import Path

import pytest
from jupyter_client.manager import start_new_kernel

from deckgeom.bench.type_in import TypeIn
from tests.nothing_lost.actions import BOAT, make_shed, typed
from tests.nothing_lost.moments import Typing

pytestmark = pytest.mark.skipif(os.name != "posix", reason="the kernel is killed by its number here")
KERNELS, BURST = 5, 60
OPEN = """
import os
from deckgeom.bench import entries, open_boat
table = entries.readings(open_boat({folder!r}))
_ = table._repr_mimebundle_()
"""


def kernel_of(folder: Path) -> tuple:
    """A kernel with the table open, its number, and the channel's name of the table."""
    manager, client = start_new_kernel(kernel_name="python3", startup_timeout=60)
    client.execute(OPEN.format(folder=str(folder)), reply=True, timeout=60)
    asked = {"pid": "os.getpid()", "comm": "table.comm.comm_id"}
    told = client.execute("", user_expressions=asked, reply=True, timeout=60)["content"]["user_expressions"]
    pid, comm = (told[name]["data"]["text/plain"].strip("'") for name in asked)
    return manager, client, int(pid), comm


def answered(client) -> int:
    """The last question that the kernel has told the page to be answered."""
    last = 0
    while client.iopub_channel.msg_ready():
        content = client.get_iopub_msg(timeout=1)["content"]
        last = content.get("data", {}).get("state", {}).get("answered", last) if "comm_id" in content else last
    return last


def first_answer(client) -> int:
    """Wait until the kernel is at work."""
    end = time.monotonic() + 60
    while not (told := answered(client)):
        assert time.monotonic() < end, "the kernel never answered"
        time.sleep(0.01)
    return told


def test_a_kernel_killed_while_cells_are_typed_loses_nothing_that_it_told_to_be_saved(tmp_path):
    folder, typing, pick = make_shed(tmp_path / "shed") / BOAT, Typing(8, KERNELS * BURST), random.Random(8)
    path = folder / "readings.csv"
    path.write_bytes(typing.states[0])
    others = {name: data for name, data in typed(folder.parent).items() if "readings" not in name}
    at, landed, heard = 0, [], 0
    for _ in range(KERNELS):
        manager, client, pid, comm = kernel_of(folder)
        try:
            for number, operation in enumerate(typing.operations[at : at + BURST], 1):
                data = {"method": "custom", "content": {**operation, "number": number}}
                client.shell_channel.send(client.session.msg("comm_msg", {"comm_id": comm, "data": data}))
            told = first_answer(client)
            time.sleep(pick.uniform(0.0, 0.7))
            os.kill(pid, signal.SIGKILL)
            time.sleep(0.2)
            told = max(told, answered(client))
        finally:
            client.stop_channels()
            manager.shutdown_kernel(now=True)
        now = typing.states.index(path.read_bytes())
        assert at + told <= now <= at + BURST, "what was told to be saved is not there"
        landed.append(now - at)
        heard += told
        at = now
        table = TypeIn(folder, "readings.csv")
        assert table._editing.table.data == typing.states[at] and table.trouble == ""
        assert {name: data for name, data in typed(folder.parent).items() if "readings" not in name} == others
    assert heard > KERNELS, "the kernels never told of a saved cell"
    assert sum(0 < one < BURST for one in landed) >= 2, f"the kills fell before or after the typing: {landed}"
