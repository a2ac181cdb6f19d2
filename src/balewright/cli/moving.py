"""One line that moves while long work goes on, on a screen only."""

from __future__ import annotations

import sys
import time
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from balewright.flows.workplace import Progress

_EVERY_S: Final = 0.1


def moving_line(as_json: bool) -> Progress | None:
    """What a workplace's `progress` may be: None where nobody looks (JSON, a pipe, a log)."""
    if as_json or not sys.stderr.isatty():
        return None
    last_s = 0.0

    def show(stage: str, done: int, total: int | None) -> None:
        nonlocal last_s
        is_last = done == total
        now_s = time.monotonic()
        if now_s - last_s < _EVERY_S and not is_last:
            return
        last_s = now_s
        of = "" if total is None else f" of {total:,}"
        text = "" if is_last else f"{stage} {done:,}{of}"
        print(f"\r\x1b[K{text}", end="", file=sys.stderr, flush=True)

    return show
