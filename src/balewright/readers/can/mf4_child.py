"""A process of its own that reads an MF4, run as a module with a path and a folder for copies.

It writes a line of JSON `{"start": microseconds, "all": frames}` or `{"fault": text}`; then blocks,
each a line `{"frames": n, "fd": n}` and n records of `RECORD`, or `{"damaged": text}` where the
rest of a group cannot be read; at last `{"end": true}`. What a damaged or hostile file costs in
time and memory it costs here.
"""

from __future__ import annotations

import json
import logging
import sys
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any, BinaryIO, Final

import numpy as np
from numpy.typing import NDArray

from balewright.readers.can.frames import BLOCK_FRAMES

RECORD: Final = np.dtype(
    [("at_us", "<i8"), ("id", "<u4"), ("extended", "?"), ("length", "u1"), ("data", "u1", (8,))]
)
MEMORY_BYTES: Final = 2 << 30
_EPOCH: Final = datetime(1970, 1, 1, tzinfo=UTC)
_FRAMES: Final = "CAN_DataFrame"


def main(path: str, folder: str) -> int:
    """Write the frames to the standard output; the exit code."""
    out = sys.stdout.buffer
    _limit_memory(Path(path).stat().st_size)
    logging.disable()
    try:
        for line, records in _tell(path, folder):
            _write(out, line, records)
    except Exception as error:  # whatever the library meets
        _write(out, {"fault": f"{type(error).__name__}: {error}"[:120]}, None)
    out.flush()
    return 0


def _write(out: BinaryIO, line: dict[str, Any], records: NDArray[Any] | None) -> None:
    out.write(json.dumps(line).encode() + b"\n")
    if records is not None:
        out.write(records.tobytes())


def _limit_memory(size_bytes: int) -> None:
    try:
        import resource  # noqa: PLC0415  not on every system
    except ImportError:
        return
    # The library maps the file, and a copy of one that its recorder did not finish.
    most = MEMORY_BYTES + 3 * size_bytes
    resource.setrlimit(resource.RLIMIT_AS, (most, most))


def _tell(path: str, folder: str) -> Iterator[tuple[dict[str, Any], NDArray[Any] | None]]:
    from asammdf import MDF  # noqa: PLC0415 -- an optional extra, and slow to load

    mdf: Any = MDF(path, temporary_folder=folder)
    start: datetime = mdf.header.start_time
    start = start.astimezone(UTC) if start.tzinfo else start.replace(tzinfo=UTC)
    groups = [
        (index, int(group.channel_group.cycles_nr))
        for index, group in enumerate(mdf.groups)
        if any(channel.name == _FRAMES for channel in group.channels)
    ]
    begun = (start - _EPOCH) // timedelta(microseconds=1)
    yield {"start": begun, "all": sum(count for _, count in groups)}, None
    for index, count in groups:
        for offset in range(0, count, BLOCK_FRAMES):
            try:
                samples = mdf.get(_FRAMES, index, record_offset=offset, record_count=BLOCK_FRAMES)
                records, fd = _records(samples)
            except Exception as error:  # whatever the library meets in a damaged group
                yield {"damaged": f"{type(error).__name__}: {error}"[:120]}, None
                break
            if not len(samples.timestamps):
                break
            yield {"frames": len(records), "fd": fd}, records
    yield {"end": True, "groups": len(groups)}, None


def _records(samples: Any) -> tuple[NDArray[Any], int]:
    """Classic frames of some samples, and how many others there are."""
    table = samples.samples
    fields = {name.removeprefix(f"{_FRAMES}."): name for name in table.dtype.names}

    def column(name: str, otherwise: int) -> Any:
        return table[fields[name]] if name in fields else np.full(len(table), otherwise)

    length = column("DataLength", 8).astype(np.int64)
    given = table[fields["DataBytes"]]
    classic = (length <= 8) & (column("EDL", 0) == 0)
    data = np.zeros((len(table), 8), np.uint8)
    width = min(8, given.shape[1])
    data[:, :width] = given[:, :width]
    data[np.arange(8) >= length[:, None]] = 0
    raw = column("ID", 0).astype(np.int64)
    records = np.zeros(len(table), RECORD)
    records["at_us"] = np.rint(np.asarray(samples.timestamps) * 1e6).astype(np.int64)
    records["id"] = raw & 0x1FFFFFFF
    # Some recorders keep the kind of identifier in its highest bit only.
    records["extended"] = (column("IDE", 1) != 0) | (raw > 0x7FF)
    records["length"] = np.minimum(length, 8)
    records["data"] = data
    return records[classic], int((~classic).sum())


if __name__ == "__main__":
    sys.exit(main(sys.argv[1], sys.argv[2]))
