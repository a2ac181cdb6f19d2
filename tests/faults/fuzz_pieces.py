"""An upload in pieces as any sender may do it: in any order, twice, too much, after days."""

from __future__ import annotations

import functools
import hashlib
import tempfile
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any, Final

SIZE: Final = 200
CONTENT: Final = hashlib.shake_256(b"a season").digest(SIZE)
STEPS: Final = 60
BEGIN, NEXT, ANYWHERE, FOREIGN, END, WRONG_END, DROP, DAYS = range(8)
IN_ORDER: Final = bytes([BEGIN, 0, NEXT, 90, NEXT, 90, NEXT, 90, END, 0])
"""Steps that bring the file in: a byte what, a byte how much or where."""


@dataclass
class _Clock:
    now: datetime = datetime(2031, 6, 14, tzinfo=UTC)

    def __call__(self) -> datetime:
        return self.now


@dataclass
class _Sending:
    """What the sender holds, and what must be true of the other side."""

    place: Any
    clock: _Clock
    entry: Any = None
    is_foreign: bool = False
    came: int = 0
    faults: list[Exception] = field(default_factory=list)


@functools.cache
def _workplace() -> Any:
    from balewright.settings import load_settings, open_workplace

    memory = Path("/dev/shm")
    home = tempfile.mkdtemp(dir=memory if memory.is_dir() else None)
    return open_workplace(load_settings({"BALEWRIGHT_HOME": home}))


def send_pieces(data: bytes, _: Path) -> None:
    """Do what the bytes say, two a step; the other side must hold what came, in order, and call
    a file whole only when it is. Ends with the first error of the house where nothing came whole.
    """
    from balewright.flows.take_in_pieces import WrongPlace, drop_upload
    from balewright.quantities.errors import BadInput

    clock, refused_at = _Clock(), [0]
    sending = _Sending(replace(_workplace(), clock=clock), clock)
    try:
        for what, much in _pairs(data):
            try:
                _step(sending, what % 8, much)
            except WrongPlace as wrong:
                refused_at.append(wrong.offset)
            except BadInput as error:
                sending.faults.append(error)
            _check(sending)
        assert max(refused_at) <= SIZE
    finally:
        if sending.entry is not None:
            drop_upload(sending.place, sending.entry)
    if sending.faults:
        raise sending.faults[0]


def _pairs(data: bytes) -> Iterator[tuple[int, int]]:
    yield from zip(data[0 : 2 * STEPS : 2], data[1 : 2 * STEPS : 2], strict=False)


def _step(sending: _Sending, what: int, much: int) -> None:
    from balewright.flows import take_in_pieces as pieces

    if what == BEGIN or sending.entry is None:
        asked = pieces.UploadRequest("a.csv", SIZE, "0" * 64, "somebody", SIZE)
        sending.entry, begins = pieces.begin_upload(sending.place, asked)
        assert begins <= SIZE
    elif what in (NEXT, ANYWHERE, FOREIGN):
        at = much if what == ANYWHERE else pieces.arrived(sending.place, sending.entry)
        sent = bytes(much) if what == FOREIGN else CONTENT[at : at + much]
        sending.is_foreign |= what == FOREIGN and much > 0  # a refused piece may have come in part
        came = pieces.add_piece(sending.place, sending.entry, at, iter([sent[:40], sent[40:]]))
        assert came == at + len(sent)
    elif what in (END, WRONG_END):
        said = hashlib.sha256(CONTENT if what == END else b"").hexdigest()
        path = pieces.finish_upload(sending.place, sending.entry, said)
        assert path.read_bytes() == CONTENT
        path.unlink()
    elif what == DROP:
        pieces.drop_upload(sending.place, sending.entry)
    else:
        sending.clock.now += timedelta(days=much - 128)
        pieces.sweep_uploads(sending.place)


def _check(sending: _Sending) -> None:
    """What came of it lies there from its beginning, without a hole."""
    if sending.entry is None:
        return
    part = sending.place.home / "uploads" / f"{sending.entry.key}.part"
    held = part.read_bytes() if part.exists() else b""
    if not held:
        sending.is_foreign = False
    assert len(held) <= SIZE
    assert sending.is_foreign or held == CONTENT[: len(held)]
