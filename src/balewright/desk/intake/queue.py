"""From an upload that is whole to work that waits for the worker."""

from __future__ import annotations

import uuid
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from django.core.files.uploadedfile import TemporaryUploadedFile, UploadedFile

from balewright.desk.intake.tasks import take_in
from balewright.desk.workplace import the_workplace
from balewright.flows.take_in_pieces import waiting_place
from balewright.store.arriving import UploadEntry


def put_in_queue(entry: UploadEntry) -> str:
    """Queue an upload that came whole; the ticket."""
    queued = take_in.enqueue(entry.key, entry.name, entry.machine, entry.map_key)
    the_workplace().register.queue_upload(entry.key, str(queued.id))
    return str(queued.id)


@dataclass(frozen=True)
class Said:
    """What the form says of its files: who sends them, whose they are, how they are read, when a
    recording began."""

    made_by: str
    machine: str | None
    map_key: str | None
    begins_us: int | None = None


def put_form_in_queue(file: UploadedFile[Any], said: Said) -> str:
    """Move a file of the plain form to where the worker finds it and queue it; the ticket."""
    workplace, key = the_workplace(), uuid.uuid4().hex
    place = waiting_place(workplace, key)
    entry = UploadEntry(
        key,
        file.name or key,
        file.size or 0,
        workplace.clock(),
        said.made_by,
        machine=said.machine,
        map_key=said.map_key,
        begins_us=said.begins_us,
    )
    workplace.register.save_upload(entry)
    if isinstance(file, TemporaryUploadedFile):
        Path(file.temporary_file_path()).rename(place)  # Django does not mind that it has gone
    else:
        place.write_bytes(file.read())
    return put_in_queue(entry)
