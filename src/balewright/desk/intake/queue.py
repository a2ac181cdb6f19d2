"""From an upload that is whole to work that waits for the worker."""

from __future__ import annotations

import uuid
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


def put_form_in_queue(file: UploadedFile[Any], made_by: str, machine: str | None) -> str:
    """Move a file of the plain form to where the worker finds it and queue it; the ticket."""
    workplace, key = the_workplace(), uuid.uuid4().hex
    place = waiting_place(workplace, key)
    name = file.name or key
    entry = UploadEntry(key, name, file.size or 0, workplace.clock(), made_by, machine=machine)
    workplace.register.save_upload(entry)
    if isinstance(file, TemporaryUploadedFile):
        Path(file.temporary_file_path()).rename(place)  # Django does not mind that it has gone
    else:
        place.write_bytes(file.read())
    return put_in_queue(entry)
