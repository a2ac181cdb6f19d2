"""What the worker does with a file, how far it is, and whether somebody asked it to stop."""

from __future__ import annotations

import dataclasses
import time
from contextlib import suppress
from pathlib import Path
from typing import Any, Final

from django.conf import settings
from django.core.cache import cache
from django_tasks import TaskContext, task

from balewright.desk.workplace import the_workplace
from balewright.flows.hold_table import hold_table, is_unknown_table
from balewright.flows.reading_of import reading_of
from balewright.flows.take_in_file import Handed
from balewright.flows.take_in_then_review import take_in_then_review
from balewright.quantities.errors import BadInput, Stopped
from balewright.store.arriving import UploadState
from balewright.store.entries import IntakeState

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
    """A workplace's progress that the page can read from another process; at most 4 a second.

    upload: its key; once it is marked to be stopped the next word raises Stopped.
    """

    def __init__(self, ticket: str, upload: str | None = None) -> None:
        self._key, self._upload = f"progress-{ticket}", upload
        self._last: tuple[str, float] = ("", 0.0)

    def __call__(self, stage: str, done: int, total: int | None) -> None:
        """Note it, unless the same stage was noted a moment ago."""
        now = time.monotonic()
        if stage == self._last[0] and now - self._last[1] < TELL_EVERY_S and done != total:
            return
        if self._upload is not None and stage != "reviewing" and is_stopping(self._upload):
            raise Stopped(self._upload)
        self._last = (stage, now)
        with suppress(OSError):  # no room for a word of progress is no reason to stop
            cache.set(self._key, {"stage": stage, "done": done, "total": total}, KEEP_PROGRESS_S)


def is_stopping(upload: str) -> bool:
    """Whether somebody asked the work of an upload to stop."""
    entry = the_workplace().register.load_upload(upload)
    return entry is not None and entry.state is UploadState.STOPPING


@task(takes_context=True)  # type: ignore[untyped-decorator,unused-ignore]
def take_in(
    context: TaskContext,
    upload: str,
    name: str,
    machine: str | None = None,
    map_key: str | None = None,
) -> dict[str, Any]:
    """Take one uploaded file in, then review the machines it speaks of."""
    tell = TellPage(str(context.task_result.id), upload)
    workplace = dataclasses.replace(the_workplace(), progress=tell)
    path = uploads() / Path(upload).name
    if not path.is_file():
        stopped = is_stopping(upload)
        workplace.register.end_upload(upload)
        return {"state": "stopped" if stopped else "gone"}
    entry = workplace.register.load_upload(upload)
    begins_us = None if entry is None else entry.begins_us
    reading = dataclasses.replace(reading_of(workplace, machine, map_key), begins_us=begins_us)
    handed = Handed(path, name, reading=reading)
    answer: dict[str, Any]
    try:
        report = take_in_then_review(workplace, handed)
        answer = {"state": str(report.state), "sha256": report.sha256, "machine": machine}
        if report.state is IntakeState.REFUSED and is_unknown_table(report.refusals):
            answer["columns"] = hold_table(workplace, path, name).key
    except Stopped:
        answer = {"state": "stopped"}
    except BadInput as error:
        answer = {"state": "refused", "faults": [str(fault) for fault in error.faults]}
    except Exception:
        workplace.register.end_upload(upload)  # a fault of ours: the same file may be sent anew
        raise
    path.unlink(missing_ok=True)
    workplace.register.end_upload(upload)
    return answer
