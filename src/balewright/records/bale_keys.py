"""A bale's name in words and addresses: the same whatever order files were taken in.

`812-e0`: number and epoch; `812-20310601T080000Z`: number and time, where nobody tells the epoch;
`812`: a number and nothing else; `20310601T080000Z-1`: the first without a number at that time;
`row-3c5f01d2a9b4-17`: a row nobody can place, by its file's hash and its place among the rows
kept. A further pass over the wrapper has `-w` behind it.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from balewright.records.bales import BaleTable
from balewright.records.identity import Marks, Sources, Whole, count_known, read_marks

_HASH_SIGNS = 12
_YEAR_10000_US = 253_402_300_800_000_000


def bale_keys(
    bales: BaleTable, sources: Sources | None = None, files: Sequence[str] = ()
) -> tuple[str, ...]:
    """The key of the bale that each row is of. Rows of one bale have one key.

    sources: where the rows come from, None for rows of one file in the order given; files: hash
    of each file by its number in `sources`.
    """
    sources = sources or _one_file(bales)
    marks = read_marks(bales, sources)
    return write_keys(marks, marks.epoch, sources, files)


def row_keys(marks: Marks, sources: Sources, files: Sequence[str] = ()) -> tuple[str, ...]:
    """The key each row would have if its file were the only one: no later intake changes it.

    A bale answers to the row keys of all its rows, and its own key is one of them.
    """
    return write_keys(marks, marks.told, sources, files)


def write_keys(
    marks: Marks, epoch: Whole, sources: Sources, files: Sequence[str] = ()
) -> tuple[str, ...]:
    """Keys from what rows are told apart by; epoch: which of a row's epochs counts."""
    rows = len(marks.number)
    ends = np.where(marks.passes, "-w", "").tolist()
    keys = [""] * rows
    by_time = np.flatnonzero(marks.timed & (epoch < 0) & marks.placed)
    times = dict(zip(by_time.tolist(), _time_texts(marks.time[by_time]), strict=True))
    numbered, number = marks.numbered.tolist(), marks.number.tolist()
    epochs, place, placed = epoch.tolist(), marks.place.tolist(), marks.placed.tolist()
    for row in range(rows):
        if not placed[row]:
            name = files[sources.file[row]][:_HASH_SIGNS] if len(files) else str(sources.file[row])
            key = f"row-{name}-{sources.row[row]}"
        elif not numbered[row]:
            key = f"{times[row]}-{place[row] + 1}"
        elif epochs[row] >= 0:
            key = f"{number[row]}-e{epochs[row]}"
        else:
            key = f"{number[row]}-{times[row]}" if row in times else str(number[row])
        keys[row] = key + ends[row]
    return tuple(keys)


def _time_texts(times_us: Whole) -> list[str]:
    """`20310601T080000Z`, with a fraction of six digits only where there is one."""
    common = (times_us >= 0) & (times_us < _YEAR_10000_US) & (times_us % 1_000_000 == 0)
    quick = common.all()
    texts = np.datetime_as_string(times_us.astype("datetime64[us]"), unit="s" if quick else "us")
    if quick and len(texts):  # all at once: 2031-06-01T08:00:00 without its four signs
        signs = texts.astype("U19").view("U1").reshape(-1, 19)
        kept = np.ascontiguousarray(signs[:, [0, 1, 2, 3, 5, 6, 8, 9, 10, 11, 12, 14, 15, 17, 18]])
        return [f"{text}Z" for text in kept.view("U15").ravel().tolist()]
    drop = str.maketrans("", "", "-:")
    return [
        text.translate(drop).removesuffix(".000000") + "Z" if text[0] != "-" else text + "Z"
        for text in texts.tolist()
    ]


def _one_file(bales: BaleTable) -> Sources:
    rows = np.arange(bales.rows, dtype=np.int64)
    return Sources(np.zeros(bales.rows, dtype=np.int64), rows, count_known(bales))
