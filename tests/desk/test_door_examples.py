"""The examples of the devices' door, run as they stand in the documentation, over a real socket."""

from __future__ import annotations

import json
import re
import shlex
import threading
import urllib.request
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any
from wsgiref.simple_server import WSGIRequestHandler, make_server

import pytest
from tests.desk.test_door import CSV, Device, bales_of, nobody_came_yet
from tests.desk.test_intake import work

if TYPE_CHECKING:
    from tests.desk.conftest import Desk

__all__ = ["nobody_came_yet"]

PAGE = Path(__file__).parents[2] / "docs" / "intake.md"
BLOCK = re.compile(r"^```sh\n(curl .*?)^```$", re.MULTILINE | re.DOTALL)


class _Quiet(WSGIRequestHandler):
    def log_message(self, format: str, *args: Any) -> None:
        """Say nothing."""


@pytest.fixture
def served(desk: Desk) -> Iterator[str]:
    """The desk on a socket of this computer."""
    from django.core.wsgi import get_wsgi_application
    from django.db import connections

    server = make_server("127.0.0.1", 0, get_wsgi_application(), handler_class=_Quiet)

    def serve() -> None:
        server.serve_forever(0.05)
        connections.close_all()

    thread = threading.Thread(target=serve)
    thread.start()
    yield f"http://127.0.0.1:{server.server_port}"
    server.shutdown()
    thread.join()
    server.server_close()


def run(command: str, folder: Path) -> Any:
    """What curl does with `-H` and `--data-binary @FILE`; no other option stands in the page."""
    words = shlex.split(command)
    assert words[0] == "curl"
    request = urllib.request.Request(words[1])
    for option, value in zip(words[2::2], words[3::2], strict=True):
        if option == "-H":
            name, _, said = value.partition(": ")
            request.add_header(name, said)
        else:
            assert option == "--data-binary"
            request.data = (folder / value.removeprefix("@")).read_bytes()
    with urllib.request.urlopen(request, timeout=20) as answer:
        return answer.status, json.load(answer)


@pytest.mark.own
def test_the_examples_do_what_the_page_says(desk: Desk, served: str, tmp_path: Path) -> None:
    """A batch as CSV, its state, a batch as JSON lines: accepted, taken in and told."""
    (tmp_path / "bales.csv").write_bytes(CSV)
    (tmp_path / "bales.jsonl").write_text('{"bale_no": 9, "closed_at": "2031-06-01T11:00:00Z"}\n')
    device = Device()
    sent, asked, lines = (
        example.replace("\\\n", " ")
        .replace("http://127.0.0.1:8000", served)
        .replace("SENDER", device.made.entry.key)
        .replace("TOKEN", device.made.token)
        for example in BLOCK.findall(PAGE.read_text())
    )
    status, told = run(sent, tmp_path)
    assert (status, told["state"]) == (202, "waiting")
    asked = asked.replace("/1 ", f"/{told['id']} ")
    work()
    status, told = run(asked, tmp_path)
    assert (status, told["state"], told["report"]["kept"]) == (200, "taken", 2)
    assert run(lines, tmp_path)[0] == 202
    work()
    assert bales_of() == 3
