"""What the worker does with an upload, and how far it is, so that the page can tell."""

from __future__ import annotations

import dataclasses
import time
from pathlib import Path
from typing import Any, Final

from django.conf import settings
from django.core.cache import cache
from django_tasks import TaskContext, task

from balewright.desk.workplace import the_workplace
from balewright.flows.review_machine import review_machine
from balewright.flows.take_in_file import take_in_file
from balewright.quantities.errors import BadInput

TELL_EVERY_S: Final = 0.25
KEEP_PROGRESS_S: Final = 24 * 3600


def uploads() -> Path:
    """Where files wait until the worker takes them."""
    return settings.BALEWRIGHT.home / "uploads"


def progress_of(ticket: str) -> dict[str, Any] | None:
    """How far a piece of work is: stage, done, total; None when it told nothing yet."""
    found: dict[str, Any] | None = cache.get(f"progress-{ticket}")
    return found


class TellPage:
    """A workplace's progress that the page can read from another process; at most 4 a second."""

    def __init__(self, ticket: str) -> None:
        self._key = f"progress-{ticket}"
        self._last: tuple[str, float] = ("", 0.0)

    def __call__(self, stage: str, done: int, total: int | None) -> None:
        """Note it, unless the same stage was noted a moment ago."""
        now = time.monotonic()
        if stage == self._last[0] and now - self._last[1] < TELL_EVERY_S and done != total:
            return
        self._last = (stage, now)
        cache.set(self._key, {"stage": stage, "done": done, "total": total}, KEEP_PROGRESS_S)


@task(takes_context=True)  # type: ignore[untyped-decorator,unused-ignore]
def take_in(context: TaskContext, upload: str, name: str) -> dict[str, Any]:
    """Take one uploaded file in, then review the machines it speaks of."""
    tell = TellPage(str(context.task_result.id))
    workplace = dataclasses.replace(the_workplace(), progress=tell)
    path = uploads() / Path(upload).name
    if not path.is_file():
        return {"state": "gone"}
    try:
        report = take_in_file(workplace, path, name)
    except BadInput as error:
        path.unlink()
        return {"state": "refused", "faults": [str(fault) for fault in error.faults]}
    serials = [serial for serial in report.machines if serial not in report.unknown_machines]
    for place, serial in enumerate(serials):
        tell("reviewing", place, len(serials))
        review_machine(workplace, serial)
    path.unlink()
    return {"state": str(report.state), "sha256": report.sha256}
