"""Messages of python-can as frames: classic data frames are kept, the others counted."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from can import Message
from numpy.typing import NDArray

from balewright.readers.can.frames import MOST_IDENTIFIER, Frames, OneFrame
from balewright.readers.can.notes import Notes

_MOST_US = 1 << 62


def one_frame(message: Message, notes: Notes) -> OneFrame | None:
    """A library's message as a frame; None, and counted, where it is no classic data frame.

    Raises ValueError where its parts contradict each other.
    """
    kind = (
        "error frame"
        if message.is_error_frame
        else "request for data"
        if message.is_remote_frame
        else "frame of CAN FD"
        if message.is_fd
        else None
    )
    if kind is not None:
        notes.left_out[kind] += 1
        return None
    data = bytes(message.data or b"")
    most = MOST_IDENTIFIER if message.is_extended_id else 0x7FF
    if not 0 <= message.arbitration_id <= most:
        raise ValueError(f"the identifier {message.arbitration_id:X} is too large")
    if len(data) > 8 or len(data) != message.dlc:
        raise ValueError(f"{len(data)} bytes of data where its length says {message.dlc}")
    at_us = round(message.timestamp * 1e6)
    if not 0 <= at_us < _MOST_US:
        raise ValueError("its time cannot be")
    return OneFrame(at_us, message.arbitration_id, message.is_extended_id, data)


def frames_of_messages(messages: Sequence[Message], last_number: int, notes: Notes) -> Frames:
    """Many messages as one block, numbered on from `last_number`; broken ones are refused."""
    plain = [
        one for one in messages if not (one.is_error_frame or one.is_remote_frame or one.is_fd)
    ]
    if len(plain) < len(messages):
        for other in messages:
            if other.is_error_frame or other.is_remote_frame or other.is_fd:
                one_frame(other, notes)
    length = _column([len(one.data) for one in plain])
    dlc = _column([one.dlc for one in plain])
    extended = np.array([one.is_extended_id for one in plain], np.bool_)
    identifier = _column([one.arbitration_id for one in plain])
    seconds = np.array([one.timestamp for one in plain], np.float64)
    data = b"".join([bytes(one.data[:8]).ljust(8, b"\0") for one in plain])
    good = (
        (length <= 8) & (length == dlc) & (identifier <= np.where(extended, MOST_IDENTIFIER, 0x7FF))
    )
    good &= (seconds >= 0) & (seconds < _MOST_US / 1e6)
    number = last_number + np.cumsum(good)
    for row in np.flatnonzero(~good):
        said = f"{length[row]} bytes, length {dlc[row]}, identifier {identifier[row]:X}"
        notes.refuse(f"after message {number[row]}", "", f"A frame that cannot be: {said}.")
    return Frames(
        np.rint(np.where(good, seconds, 0) * 1e6).astype(np.int64),
        identifier.astype(np.uint32),
        extended,
        length.astype(np.uint8),
        np.frombuffer(data, np.uint8).reshape(-1, 8),
        number.astype(np.int64),
    ).take(good)


def _column(values: list[int]) -> NDArray[np.int64]:
    return np.array(values, np.int64)
