"""Binary time logs -> columns. Damaged records are stepped over, named, and the rest is kept.

Records differ in length, so the file is a chain: each record says how long it is. The chain is
followed in blocks; each block is checked at once with numpy; where it breaks, the next byte that
begins a believable chain on the same day is looked for.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from balewright.readers.task_data.attributes import Ledger
from balewright.readers.task_data.layout import VALUE_TYPE, LogHeader
from balewright.readers.task_data.log_chain import Offsets, RecordChain, Search
from balewright.readers.task_data.log_columns import Piece, assemble
from balewright.readers.task_data.logged import TimeLog
from balewright.records.quality import Mark

_BLOCK: Final = 1 << 15
_BLOCK_AFTER_DAMAGE: Final = 32
_MAX_DAMAGES: Final = 200


@dataclass
class _Walk:
    """A log being read: what was kept so far, and on which day it stands."""

    chain: RecordChain
    file: str
    ledger: Ledger = field(default_factory=Ledger)
    pieces: list[Piece] = field(default_factory=list)
    day: int | None = None
    damages: int = 0


def decode_log(
    name: str, data: bytes, header: LogHeader, file: str, search: Search | None = None
) -> TimeLog:
    """Decode the binary part of a time log.

    name: of the log; data: its bytes; header: from `read_header`; file: for messages; search: what
    may be spent on damage, None for a log's own share. Never raises for what the bytes hold:
    damage is in the log's refusals and doubts.
    """
    walk = _Walk(RecordChain(data, header, search), file)
    at, end = 0, len(data)
    if end == 0:
        walk.ledger.refuse(file, "byte 0", "", "the log is empty: no record was written")
    block = _BLOCK
    while at < end:
        offsets, behind = walk.chain.follow(at, block)
        heads = walk.chain.heads(offsets)
        judged = walk.chain.judge(offsets, heads)
        kept = _count_good(walk, offsets, heads, judged.good)
        if kept:
            _keep(walk, offsets[:kept], heads[:kept])
        if kept == len(offsets) and kept:
            walk.pieces[-1].taken = (judged.rows, judged.values)
        if kept == len(offsets) and kept:
            at, block = behind, min(2 * block, _BLOCK)
            continue
        block = _BLOCK_AFTER_DAMAGE
        at = _step_over(walk, int(offsets[kept]) if kept < len(offsets) else at)
    return assemble(name, walk.chain, walk.pieces, file, walk.ledger)


def _count_good(walk: _Walk, offsets: Offsets, heads: NDArray[Any], good: NDArray[np.bool_]) -> int:
    """How many records from the first on can be kept, before the chain breaks."""
    if not len(offsets):
        return 0
    days = heads["day"].astype(np.int64)
    before = np.concatenate(([days[0] if walk.day is None else walk.day], days[:-1]))
    for place in np.flatnonzero(~good | (np.abs(days - before) > 1)):
        if not good[place] or not walk.chain.confirmed(int(offsets[place]), None):
            return int(place)
    return len(offsets)


def _keep(walk: _Walk, offsets: Offsets, heads: NDArray[Any]) -> None:
    walk.pieces.append(Piece(offsets, heads, heads["count"].astype(np.int64)))
    walk.day = int(heads["day"][-1])


def _step_over(walk: _Walk, broken: int) -> int:
    """Name the damage at byte `broken`; give the byte where reading goes on (or the end)."""
    walk.damages += 1
    end = len(walk.chain.data)
    size = walk.chain.head.itemsize
    inside = int(walk.pieces[-1].offsets[-1]) + size if walk.pieces else 0
    start = min(broken, inside) + 1 if walk.pieces else broken + 1
    found = None if walk.damages > _MAX_DAMAGES else walk.chain.find(start, walk.day)
    if found is not None and found < broken:
        _cut_last(walk, found)
        return found
    if found is not None and _head_stands(walk, broken, found):
        alone = np.array([broken], dtype=np.int64)
        walk.pieces.append(Piece(alone, walk.chain.heads(alone), np.zeros(1, dtype=np.int64)))
        _cut_last(walk, found)
        return found
    shown = walk.chain.data[broken : broken + 16].hex(" ")
    if found is None:
        reason = (
            f"more than {_MAX_DAMAGES} damaged places: the rest was not read"
            if walk.damages > _MAX_DAMAGES
            else f"the last {end - broken} bytes are no whole record and were left out"
        )
        walk.ledger.refuse(walk.file, f"byte {broken}", shown, reason)
        return end
    looks = _guess_values(walk, broken, found)
    reason = (
        f"{found - broken} bytes fit no record and were left out; "
        f"reading goes on at byte {found}{looks}"
    )
    walk.ledger.refuse(walk.file, f"byte {broken}", shown, reason)
    if looks and walk.pieces:
        said = (
            f"says {walk.pieces[-1].counts[-1]} values, but {found - broken} bytes more stand "
            "before the next record; kept with the values it says"
        )
        place = f"byte {walk.pieces[-1].offsets[-1]}"
        walk.ledger.doubt(walk.file, place, Mark.RECORD_DAMAGED, said)
    return found


def _head_stands(walk: _Walk, broken: int, found: int) -> bool:
    """Whether the head at `broken` can be true by itself, on the day, with whole values behind
    it up to `found`: then only its count is wrong."""
    behind = found - broken - walk.chain.head.itemsize
    if behind < 0 or behind % VALUE_TYPE.itemsize or walk.day is None:
        return False
    head = walk.chain.heads(np.array([broken], dtype=np.int64))
    near = 0 <= int(head["day"][0]) - walk.day <= 1
    return near and bool(walk.chain.believable_heads(head)[0])


def _cut_last(walk: _Walk, found: int) -> None:
    at = int(walk.pieces[-1].offsets[-1])
    walk.pieces[-1].counts[-1] = 0
    walk.pieces[-1].taken = None
    said = (
        f"says more values than stand before the next record at byte {found}; "
        "its time and place were kept, its values left out"
    )
    walk.ledger.doubt(walk.file, f"byte {at}", Mark.RECORD_DAMAGED, said)


def _guess_values(walk: _Walk, broken: int, found: int) -> str:
    """What the bytes left out would be as values, for a person to judge; never taken."""
    if (found - broken) % VALUE_TYPE.itemsize or found - broken > 5 * VALUE_TYPE.itemsize:
        return ""
    values = np.frombuffer(walk.chain.data[broken:found], dtype=VALUE_TYPE)
    if (values["index"] >= len(walk.chain.header.columns)).any():
        return ""
    read = ", ".join(
        f"identifier {walk.chain.header.columns[value['index']].number} = {value['raw']}"
        for value in values
    )
    return f" (they look like {read}; not taken)"
