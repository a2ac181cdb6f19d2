"""Records that were kept -> the columns of a time log, and what is odd in them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from balewright.readers.task_data.attributes import Ledger
from balewright.readers.task_data.layout import DAY_US, DAY_ZERO_US, POSITION, VALUE_TYPE
from balewright.readers.task_data.log_chain import Offsets, RecordChain
from balewright.readers.task_data.logged import NO_FIX, NOT_MEASURED, Receiver, TimeLog
from balewright.records.quality import Mark

_MOST_DEGREES: Final = {"A": 90.0, "B": 180.0}


@dataclass(eq=False)
class Piece:
    """Some records in a row: the byte of each, its head, and how many of its values are kept;
    taken: row and value of each, None where they are still to be taken."""

    offsets: Offsets
    heads: NDArray[Any]
    counts: Offsets
    taken: tuple[NDArray[np.int32], NDArray[Any]] | None = None


def assemble(
    name: str, chain: RecordChain, pieces: Sequence[Piece], file: str, ledger: Ledger
) -> TimeLog:
    """The log that these pieces are, in the order of the file.

    name: of the log; chain: its bytes and header; file: its binary part; ledger: what was odd on
    the way, to which clock and positions are added.
    """
    empty = Piece(np.zeros(0, np.int64), np.zeros(0, chain.head), np.zeros(0, np.int64))
    offsets = np.concatenate([empty.offsets, *(each.offsets for each in pieces)])
    heads = np.concatenate([empty.heads, *(each.heads for each in pieces)])
    at_us = heads["day"].astype(np.int64)
    at_us *= DAY_US
    at_us += heads["ms"].astype(np.int64) * 1000 + DAY_ZERO_US
    fixed = MappingProxyType(chain.header.fixed)
    receiver = Receiver(heads, fixed)
    lat, lon = _degrees(receiver, chain.header.position, fixed)
    lat, lon = _without_fix(receiver, (lat, lon), offsets, (file, ledger))
    _note_clock(at_us, offsets, file, ledger)
    rows, indexes, raws = _values(chain, pieces)
    return TimeLog(
        name=name,
        file=file,
        columns=chain.header.columns,
        at_us=at_us,
        lat=lat,
        lon=lon,
        offsets=offsets,
        value_row=rows,
        value_index=indexes,
        value_raw=raws,
        receiver=receiver,
        refusals=tuple(ledger.refusals),
        doubts=tuple(ledger.doubts),
    )


def _values(
    chain: RecordChain, pieces: Sequence[Piece]
) -> tuple[NDArray[np.int32], NDArray[np.uint8], NDArray[np.int32]]:
    """Row, index and raw value of everything written, piece by piece."""
    rows = [np.zeros(0, np.int32)]
    values = [np.zeros(0, VALUE_TYPE)]
    before = 0
    for piece in pieces:
        mine, found = piece.taken or chain.values(piece.offsets, piece.counts)
        rows.append(mine + np.int32(before))
        values.append(found)
        before += len(piece.offsets)
    joined = np.concatenate(values)
    return np.concatenate(rows), joined["index"].copy(), joined["raw"].copy()


def _degrees(
    receiver: Receiver, position: str, fixed: Mapping[str, float]
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Latitude and longitude, NaN where the log has none: not said, or both exactly zero."""
    found = []
    for letter, most in _MOST_DEGREES.items():
        part = POSITION[letter]
        if letter in position:
            degrees = receiver.heads[part.name] / float(round(1 / part.step_factor))
        else:
            degrees = np.full(len(receiver.heads), fixed.get(letter, np.nan))
        found.append(np.where(np.abs(degrees) <= most, degrees, np.nan))
    lat, lon = found
    unknown = np.isnan(lat) | np.isnan(lon) | ((lat == 0.0) & (lon == 0.0))
    return np.where(unknown, np.nan, lat), np.where(unknown, np.nan, lon)


def _without_fix(
    receiver: Receiver,
    places: tuple[NDArray[np.float64], NDArray[np.float64]],
    offsets: Offsets,
    into: tuple[str, Ledger],
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Places without those of which the receiver itself says that it has none."""
    file, ledger = into
    lat, lon = places
    status = receiver.status()
    made = np.flatnonzero(np.isin(status, NOT_MEASURED) & ~np.isnan(lat))
    if len(made):
        how = "simulated" if status[made[0]] == NOT_MEASURED[1] else "entered by hand"
        said = f"{len(made)} positions are {how}, says the receiver; kept; this is the first"
        ledger.doubt(file, f"byte {offsets[made[0]]}", Mark.PLACE_DOUBTED, said)
    lost = np.isin(status, NO_FIX) & ~np.isnan(lat)
    if not lost.any():
        return lat, lon
    said = (
        f"{int(lost.sum())} positions stand beside a status of no fix or error: left unknown; "
        "this is the first"
    )
    ledger.doubt(file, f"byte {offsets[np.argmax(lost)]}", Mark.PLACE_DOUBTED, said)
    return np.where(lost, np.nan, lat), np.where(lost, np.nan, lon)


def _note_clock(at_us: Offsets, offsets: Offsets, file: str, ledger: Ledger) -> None:
    steps = np.diff(at_us)
    back = np.flatnonzero(steps < 0)
    if len(back):
        said = (
            f"the clock runs back by {-steps[back[0]] / 1e6:.1f} s; {len(back)} such places in "
            "this log; records are kept in the order written"
        )
        ledger.doubt(file, f"byte {offsets[back[0] + 1]}", Mark.TIMES_DISORDERED, said)
    ahead = np.flatnonzero(steps > DAY_US)
    if len(ahead):
        said = f"the clock leaps {steps[ahead[0]] / DAY_US:.1f} days ahead"
        ledger.doubt(file, f"byte {offsets[ahead[0] + 1]}", Mark.CLOCK_JUMPED, said)
