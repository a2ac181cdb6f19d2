"""The chain of records in a binary time log: followed, judged, and found again where it broke."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import repeat
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from balewright.readers.task_data.layout import (
    DAY_MS,
    POSITION,
    VALUE_TYPE,
    LogHeader,
    head_type,
)

_WINDOW_LEAST: Final = 1 << 10
_WINDOW_MOST: Final = 1 << 18
_BLIND_SEARCH: Final = 1 << 20
_MOST_TRIED: Final = 5000
_BYTES_OF_A_TRY: Final = 4096
"""So many bytes are looked through in the time that one place is tried."""
_CONFIRM: Final = 3
_CONFIRM_BLIND: Final = 8
_DAYS: Final = (1, 47_481)
"""1980-01-02 to 2109-12-31: a day outside is no day of any machine."""

Bytes = NDArray[np.uint8]
Offsets = NDArray[np.int64]


@dataclass(frozen=True, eq=False)
class Judged:
    """Records that were looked at: good, which can be believed; rows and values, of each value
    its record's place and itself."""

    good: NDArray[np.bool_]
    rows: NDArray[np.int32]
    values: NDArray[Any]


@dataclass
class Search:
    """How much may still be spent on finding records again behind damage, in places tried; shared
    by the logs of a set, so that one made of damage ends in seconds."""

    left: int = 20_000


class RecordChain:
    """The bytes of a log seen as records: each says how long it is, and so where the next is."""

    def __init__(self, data: bytes, header: LogHeader, search: Search | None = None) -> None:
        self.data = data
        self.header = header
        self.search = search or Search()
        self.head = head_type(header.position)
        self.bytes: Bytes = np.frombuffer(data, dtype=np.uint8)
        # A head, and a value, as seen from every byte: nothing is copied until one is taken.
        self._heads = _at_every_byte(data, self.head)
        self._values = _at_every_byte(data, VALUE_TYPE)
        self._lengths = [self.head.itemsize + VALUE_TYPE.itemsize * n for n in range(256)]
        self._sizes = np.array(self._lengths, dtype=np.int64)

    def follow(self, at: int, most: int) -> tuple[Offsets, int]:
        """Offsets of at most `most` records from `at` on, and the byte behind the last."""
        data, lengths = self.data, self._lengths
        counts = bytearray()
        keep = counts.append
        place = at + self.head.itemsize - 1
        # The one loop over records: it holds their counts only, so that no number is kept as an
        # object; where each record begins is summed up behind it.
        try:
            for _ in repeat(None, most):
                count = data[place]
                keep(count)
                place += lengths[count]
        except IndexError:
            pass  # no whole head is left
        sizes = self._sizes[np.frombuffer(counts, dtype=np.uint8)]
        behind = at + np.cumsum(sizes)
        if len(behind) and behind[-1] > len(data):
            sizes, behind = sizes[:-1], behind[:-1]
        return behind - sizes, int(behind[-1]) if len(behind) else at

    def heads(self, offsets: Offsets) -> NDArray[Any]:
        """The heads at these offsets, as a structured array."""
        return np.asarray(self._heads[offsets])

    def values(self, offsets: Offsets, counts: Offsets) -> tuple[NDArray[np.int32], NDArray[Any]]:
        """For each value of these records: the record's place in `offsets`, and the value."""
        before = np.cumsum(counts) - counts
        first = offsets + self.head.itemsize - VALUE_TYPE.itemsize * before
        places = np.repeat(first, counts)
        places += VALUE_TYPE.itemsize * np.arange(len(places))
        rows = np.repeat(np.arange(len(offsets), dtype=np.int32), counts)
        return rows, np.asarray(self._values[places])

    def judge(self, offsets: Offsets, heads: NDArray[Any]) -> Judged:
        """Which records can be what they claim: a time of day, a day, a place, known values."""
        good = self.believable_heads(heads)
        rows, values = self.values(offsets, heads["count"].astype(np.int64))
        good[rows[values["index"] >= len(self.header.columns)]] = False
        return Judged(good, rows, values)

    def believable(self, offsets: Offsets, heads: NDArray[Any]) -> NDArray[np.bool_]:
        """As `judge`, without the values."""
        return self.judge(offsets, heads).good

    def believable_heads(self, heads: NDArray[Any]) -> NDArray[np.bool_]:
        """Which heads can be true by themselves: a time of day, a day, a place."""
        good = (heads["ms"] < DAY_MS) & (heads["day"] >= _DAYS[0]) & (heads["day"] <= _DAYS[1])
        for letter, most in (("A", 90), ("B", 180)):
            if letter in self.header.position:
                raw = heads[POSITION[letter].name].astype(np.int64)
                unsaid = (raw == 2**31 - 1) | (raw == -(2**31))
                good &= (np.abs(raw) <= most * 10**7) | unsaid
        return np.asarray(good, dtype=np.bool_)

    def confirmed(self, at: int, day: int | None) -> bool:
        """Whether a chain that can be believed starts at `at`, on `day` or the one after."""
        need = _CONFIRM_BLIND if day is None else _CONFIRM
        offsets, behind = self.follow(at, need)
        to_the_end = len(offsets) < need and (
            behind == len(self.data) or (day is not None and len(offsets) > 0)
        )
        if not len(offsets) or (len(offsets) < need and not to_the_end):
            return False
        heads = self.heads(offsets)
        days = heads["day"].astype(np.int64)
        start = int(days[0]) if day is None else day
        same = bool(((days >= start) & (days <= start + 1)).all())
        return same and bool(self.believable(offsets, heads).all())

    def find(self, start: int, day: int | None) -> int | None:
        """The first byte from `start` on where a believable chain begins, on `day` if it can be;
        None if there is none. Blind, only the next mebibyte is looked through."""
        if day is not None:
            found = self._search(start, len(self.data), day)
            if found is not None:
                return found
        return self._search(start, min(len(self.data), start + _BLIND_SEARCH), None)

    def _search(self, start: int, stop: int, day: int | None) -> int | None:
        last_start = len(self.data) - self.head.itemsize + 1
        low, width, end = start, _WINDOW_LEAST, min(stop, last_start)
        tried = 0
        while low < end and self.search.left > 0:
            high = min(low + width, end)
            self.search.left -= 1 + (high - low) // _BYTES_OF_A_TRY
            for place in self._likely(low, high, day):
                tried += 1
                self.search.left -= 1
                if self.confirmed(place, day):
                    return place
                if tried > _MOST_TRIED or self.search.left <= 0:
                    return None
            low, width = high, min(2 * width, _WINDOW_MOST)
        return None

    def _likely(self, low: int, high: int, day: int | None) -> list[int]:
        """The bytes from `low` to `high` where a head may begin: a time of day, a day that can
        be, and the same day or the next where the record after it would begin."""
        first, last = _DAYS if day is None else (day, day + 1)
        days = _sixteen_bits(self.bytes, low + 4, high + 4)
        top_of_ms = _sixteen_bits(self.bytes, low + 2, high + 2)
        places = np.flatnonzero((days >= first) & (days <= last) & (top_of_ms <= DAY_MS >> 16))
        size = self.head.itemsize
        counts = self.bytes[places + low + size - 1].astype(np.int64)
        behind = places + low + size + VALUE_TYPE.itemsize * counts
        there = behind + 6 <= len(self.data)
        inside = np.where(there, behind, 0)
        after = self.bytes[inside + 4] | self.bytes[inside + 5].astype(np.int64) << 8
        ahead = after - days[places]
        return [int(place) + low for place in places[~there | (ahead == 0) | (ahead == 1)]]


def _at_every_byte(data: bytes, kind: np.dtype[np.void]) -> NDArray[Any]:
    places = max(0, len(data) - kind.itemsize + 1)
    return np.ndarray((places,), dtype=kind, buffer=data if places else b"", strides=(1,))


def _sixteen_bits(data: Bytes, low: int, high: int) -> NDArray[np.int64]:
    return data[low:high].astype(np.int64) | data[low + 1 : high + 1].astype(np.int64) << 8
