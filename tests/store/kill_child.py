"""What the killed process does: take every file in, and say so once each is in. See test_kills."""

from __future__ import annotations

import importlib
import os
import signal
from pathlib import Path
from typing import Any


def main(home: Path, files: list[Path], said: Path, stop_at: str = "") -> None:
    """Take the files in, in order; write each one's name to `said` after it was committed.

    stop_at: `before` or `after`, module, class and method: there this process kills itself.
    """
    from balewright.flows.compact_journal import compact_journal
    from balewright.flows.take_in_file import take_in_file
    from balewright.settings import load_settings, open_workplace

    if stop_at:
        open_workplace(load_settings({"BALEWRIGHT_HOME": str(home)}))  # sets Django up
        _lay_mine(*stop_at.split())
    workplace = open_workplace(load_settings({"BALEWRIGHT_HOME": str(home)}))
    for file in files:
        report = take_in_file(workplace, file)
        assert report.state != "refused", report.refusals
        handle = os.open(said, os.O_WRONLY | os.O_APPEND | os.O_CREAT)
        os.write(handle, f"{file.name}\n".encode())
        os.close(handle)
    if stop_at:
        compact_journal(workplace)  # a mine may lie there


def _lay_mine(when: str, module: str, owner: str, method: str) -> None:
    """Let a method kill this process, before or after it does its work."""
    place = getattr(importlib.import_module(module), owner)
    work = getattr(place, method)

    def deadly(*given: Any, **named: Any) -> None:
        if when == "after":
            work(*given, **named)
        os.kill(os.getpid(), signal.SIGKILL)

    setattr(place, method, deadly)


if "asked" in globals():  # given by the process that runs this file
    main(*globals()["asked"])
