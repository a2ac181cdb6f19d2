"""Starting and ending the desk."""

from __future__ import annotations

import os
import signal
import socket
import subprocess
import sys
import time
import urllib.request
from pathlib import Path

import pytest

from balewright.cli.serve import free_port
from balewright.quantities.errors import BadInput

pytestmark = pytest.mark.own


def test_a_taken_port_leads_to_the_next_free_one() -> None:
    """Another program on the port is no reason to fail."""
    with socket.socket() as other:
        other.bind(("127.0.0.1", 0))
        other.listen()
        taken = other.getsockname()[1]
        assert free_port("127.0.0.1", taken) > taken


def test_an_address_of_another_computer_is_refused() -> None:
    """The cure is named."""
    with pytest.raises(BadInput, match=r"Give another --port, or --host 127\.0\.0\.1"):
        free_port("192.0.2.1", 8000)


def test_the_open_desk_is_refused_beyond_this_computer() -> None:
    """An open desk that others could reach never starts."""
    command = [sys.executable, "-m", "balewright", "serve", "--host", "0.0.0.0", "--open-desk"]
    answer = subprocess.run(command, capture_output=True, text=True, check=False)
    assert answer.returncode == 2
    assert "only this machine can reach" in answer.stderr


def test_the_desk_starts_says_where_it_is_and_ends_with_its_worker(tmp_path: Path) -> None:
    """One command from an empty home to an answering page; a signal ends every process."""
    environ = {**os.environ, "BALEWRIGHT_HOME": str(tmp_path / "home")}
    port = str(free_port("127.0.0.1", 8300))
    command = [sys.executable, "-m", "balewright", "serve", "--port", port]
    with subprocess.Popen(command, env=environ, stdout=subprocess.PIPE, text=True) as desk:
        assert desk.stdout is not None
        said = ""
        for line in desk.stdout:
            said += line
            if "the desk is at" in line:
                break
        address = said.rpartition("the desk is at ")[2].split()[0]
        with urllib.request.urlopen(f"{address}/help", timeout=20) as page:
            assert b"Help and cautions" in page.read()
        _kill_the_worker_and_wait_for_another(desk.pid)
        children = _children_of(desk.pid)
        desk.send_signal(signal.SIGTERM)
        assert desk.wait(30) == 0
    assert "password" in said
    assert len(children) == 2
    until = time.monotonic() + 10
    while any(map(_is_alive, children)) and time.monotonic() < until:
        time.sleep(0.1)
    assert not any(map(_is_alive, children))


def _kill_the_worker_and_wait_for_another(desk: int) -> None:
    """A killed worker is started again, once it had run for a while."""
    time.sleep(4)
    worker = next(pid for pid in _children_of(desk) if b"desk.worker" in _command_of(pid))
    os.kill(worker, signal.SIGKILL)
    until = time.monotonic() + 10
    while time.monotonic() < until:
        workers = [pid for pid in _children_of(desk) if b"desk.worker" in _command_of(pid)]
        if workers and workers != [worker]:
            return
        time.sleep(0.1)
    raise AssertionError("no other worker was started")


def _command_of(pid: int) -> bytes:
    return Path(f"/proc/{pid}/cmdline").read_bytes()


def _children_of(pid: int) -> list[int]:
    return [int(word) for word in Path(f"/proc/{pid}/task/{pid}/children").read_text().split()]


def _is_alive(pid: int) -> bool:
    try:
        os.kill(pid, 0)
    except ProcessLookupError:
        return False
    return True
