"""A file that comes piece by piece: each piece has its place, so that it can go on after a break.

The same file from the same person (name, size and the hash of its beginning) is the same upload.
"""

from __future__ import annotations

import fcntl
import hashlib
import json
import os
import shutil
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import timedelta
from pathlib import Path
from typing import Final

from balewright.flows.workplace import Workplace
from balewright.quantities.errors import BadInput, Fault
from balewright.store.arriving import UploadEntry, UploadState
from balewright.store.running import cannot_write

KEPT_DAYS: Final = 3
"""An upload to which no piece came for so long is swept away."""

SPARE_BYTES: Final = 256 << 20
"""Left free on the disk for everything else."""

FREE_TIMES: Final = 3
"""Of a file's own size: as it comes, its copy that is kept, and its column files."""

_HASH_LETTERS: Final = 64


class WrongPlace(Exception):
    """A piece came that is not the next one; offset: where the next begins."""

    def __init__(self, offset: int) -> None:
        super().__init__(offset)
        self.offset = offset


@dataclass(frozen=True)
class UploadRequest:
    """A file that is about to come.

    first_sha256: of its beginning, so that another file of that name and size is told apart;
    most_bytes: the largest that is taken.
    """

    name: str
    size_bytes: int
    first_sha256: str
    made_by: str
    most_bytes: int
    machine: str | None = None
    map_key: str | None = None
    begins_us: int | None = None


def begin_upload(workplace: Workplace, request: UploadRequest) -> tuple[UploadEntry, int]:
    """Begin an upload, or go on with the same one; and where its next piece begins, in bytes.

    Raises BadInput for a size that is not taken and for a disk without room.
    """
    faults = list(_faults(request))
    if faults:
        raise BadInput(*faults)
    sweep_uploads(workplace)
    make_room(_folder(workplace), request.size_bytes)
    said = (request.made_by, request.name, request.size_bytes, request.first_sha256)
    entry = UploadEntry(
        key=hashlib.sha256(json.dumps(said).encode()).hexdigest(),
        name=request.name,
        size_bytes=request.size_bytes,
        made_at=workplace.clock(),
        made_by=request.made_by,
        map_key=request.map_key,
        machine=request.machine,
        begins_us=request.begins_us,
    )
    kept = workplace.register.save_upload(entry)
    otherwise = _reading(kept) != _reading(entry)
    if kept.state is UploadState.ENDED or (kept.state is UploadState.COMING and otherwise):
        workplace.register.drop_upload(entry.key)  # anew, or to be read otherwise
        kept = workplace.register.save_upload(entry)
    return kept, arrived(workplace, kept)


def _reading(entry: UploadEntry) -> tuple[str | int | None, ...]:
    return entry.map_key, entry.machine, entry.begins_us


def _faults(request: UploadRequest) -> Iterable[Fault]:
    if request.size_bytes <= 0:
        cure = "Copy it from the machine again, and choose that one."
        yield Fault(request.name, "a file with something in it", "an empty file", cure)
    elif request.size_bytes > request.most_bytes:
        need = f"a file of at most {request.most_bytes >> 20} MiB"
        cure = "Take it in on the desk's own computer with `balewright take-in`."
        yield Fault(request.name, need, f"{request.size_bytes >> 20} MiB", cure)
    if not request.name.strip():
        yield Fault("name", "the file's name", "none", "Choose the file again.")
    if len(request.first_sha256) != _HASH_LETTERS:
        yield Fault("first", "a sha-256 in hex", repr(request.first_sha256), "Choose it again.")


def make_room(folder: Path, size_bytes: int) -> None:
    """Pass where the disk has room for a file to be taken in; BadInput that says how much."""
    need_bytes = FREE_TIMES * size_bytes + SPARE_BYTES
    free_bytes = shutil.disk_usage(folder).free
    if free_bytes < need_bytes:
        need = f"{need_bytes >> 20} MB free on the desk's disk"
        cure = "Free space there, then send it again."
        raise BadInput(Fault("disk", need, f"{free_bytes >> 20} MB", cure))


def arrived(workplace: Workplace, entry: UploadEntry) -> int:
    """How many bytes have come; all of them once it waits to be taken in."""
    if entry.state is not UploadState.COMING:
        return entry.size_bytes
    try:
        return _coming(workplace, entry).stat().st_size
    except FileNotFoundError:
        return 0


def add_piece(
    workplace: Workplace, entry: UploadEntry, offset: int, chunks: Iterable[bytes]
) -> int:
    """Write a piece where it belongs; how many bytes have come then.

    What came of a piece before the line broke stays. Raises WrongPlace where another offset is
    the next, and BadInput where more comes than was said or it cannot be written.
    """
    if entry.state is not UploadState.COMING:
        raise WrongPlace(entry.size_bytes)
    path = _coming(workplace, entry)
    if not path.exists() and offset > 0:
        raise WrongPlace(0)
    try:
        handle = os.open(path, os.O_RDWR | os.O_CREAT, 0o600)
    except OSError as error:
        raise cannot_write(path.parent, error) from error
    try:
        for chunk in chunks:
            offset = _append(handle, offset, chunk, entry)
        if os.fstat(handle).st_size != offset:
            raise WrongPlace(os.fstat(handle).st_size)
    except OSError as error:
        raise cannot_write(path.parent, error) from error
    finally:
        os.close(handle)
    workplace.register.touch_upload(entry.key, workplace.clock())
    return offset


def _append(handle: int, offset: int, chunk: bytes, entry: UploadEntry) -> int:
    """Of two that send the same file at once, each chunk is written once."""
    fcntl.flock(handle, fcntl.LOCK_EX)
    try:
        if os.fstat(handle).st_size != offset:
            raise WrongPlace(os.fstat(handle).st_size)
        if offset + len(chunk) > entry.size_bytes:
            need = f"the {entry.size_bytes} bytes that were said"
            cure = "The file changed while it was sent: send it again."
            raise BadInput(Fault(entry.name, need, "more", cure))
        left = memoryview(chunk)
        while left:  # a disk that is nearly full takes a part and says nothing
            written = os.pwrite(handle, left, offset)
            offset, left = offset + written, left[written:]
    finally:
        fcntl.flock(handle, fcntl.LOCK_UN)
    return offset


def finish_upload(workplace: Workplace, entry: UploadEntry, sha256: str) -> Path:
    """Check the whole file by its hash and give it the name under which it waits.

    Raises BadInput, and forgets what came, where a byte was lost on the way or it changed.
    """
    path = _coming(workplace, entry)
    size_bytes = arrived(workplace, entry)
    if size_bytes != entry.size_bytes:
        raise WrongPlace(size_bytes)
    with path.open("rb") as file:
        found = hashlib.file_digest(file, "sha256").hexdigest()
        os.fsync(file.fileno())
    if found != sha256:
        drop_upload(workplace, entry)
        cure = "It was damaged on its way, or changed meanwhile: send it again."
        raise BadInput(Fault(entry.name, f"a file of sha-256 {sha256}", found, cure))
    target = waiting_place(workplace, entry.key)
    path.rename(target)
    return target


def drop_upload(workplace: Workplace, entry: UploadEntry) -> None:
    """Forget an upload that has not been taken in, and what came of it."""
    _coming(workplace, entry).unlink(missing_ok=True)
    waiting_place(workplace, entry.key).unlink(missing_ok=True)
    workplace.register.drop_upload(entry.key)


def sweep_uploads(workplace: Workplace) -> tuple[str, ...]:
    """Forget uploads that were abandoned for KEPT_DAYS, and those that ended so long ago; their
    names.
    """
    before = workplace.clock() - timedelta(days=KEPT_DAYS)
    swept = workplace.register.load_uploads_before(before)
    for entry in swept:
        drop_upload(workplace, entry)
    known = workplace.register.load_upload_keys()
    for path in _folder(workplace).iterdir():
        if path.stem not in known and path.stat().st_mtime < before.timestamp():
            path.unlink(missing_ok=True)  # left by a process that was killed
    return tuple(entry.name for entry in swept)


def waiting_place(workplace: Workplace, key: str) -> Path:
    """Where a whole file waits for the worker."""
    return _folder(workplace) / Path(key).name


def _coming(workplace: Workplace, entry: UploadEntry) -> Path:
    return _folder(workplace) / f"{Path(entry.key).name}.part"


def _folder(workplace: Workplace) -> Path:
    folder = workplace.home / "uploads"
    try:
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    except OSError as error:
        raise cannot_write(folder, error) from error
    return folder
