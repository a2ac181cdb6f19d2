"""A bale's name in words and addresses: the same whatever order files were taken in.

`812-e0`: number and epoch; `812-20310601T080000Z`: number and time, where nobody tells the epoch;
`812`: a number and nothing else; `20310601T080000Z-1`: the first without a number at that time;
`row-3c5f01d2a9b4-17`: a row nobody can place, by its file's hash and its place among the rows
kept. A further pass over the wrapper has `-w` behind it.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

import numpy as np

from balewright.records.bales import BaleTable, Mask
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

    A bale answers to the row keys of all its rows, and its own key is one of them, or that of a
    further pass (without its `-w`) where only the pass tells the epoch.
    """
    return write_keys(marks, marks.told, sources, files)


def write_keys(
    marks: Marks, epoch: Whole, sources: Sources, files: Sequence[str] = ()
) -> tuple[str, ...]:
    """Keys from what rows are told apart by; epoch: which of a row's epochs counts."""
    keys = np.full(len(marks.number), "", dtype=object)
    numbered, told = marks.placed & marks.numbered, epoch >= 0

    def write(which: Mask, form: str, *parts: Callable[[Whole], Sequence[Any]]) -> None:
        rows = np.flatnonzero(which)
        keys[rows] = list(map(form.__mod__, zip(*(part(rows) for part in parts), strict=True)))

    def number(rows: Whole) -> list[int]:
        found: list[int] = marks.number[rows].tolist()
        return found

    def time(rows: Whole) -> list[str]:
        return _time_texts(marks.time[rows])

    def file(rows: Whole) -> Sequence[Any]:
        names = sources.file[rows].tolist()
        return [files[name][:_HASH_SIGNS] for name in names] if len(files) else names

    write(numbered & told, "%d-e%d", number, lambda rows: epoch[rows].tolist())
    write(numbered & ~told & marks.timed, "%d-%s", number, time)
    write(numbered & ~told & ~marks.timed, "%d", number)
    at_one_time = marks.placed & ~marks.numbered
    write(at_one_time, "%s-%d", time, lambda rows: (marks.place[rows] + 1).tolist())
    write(~marks.placed, "row-%s-%d", file, lambda rows: sources.row[rows].tolist())
    keys[marks.passes] += "-w"
    return tuple(keys.tolist())


def _time_texts(times_us: Whole) -> list[str]:
    """`20310601T080000Z`, with a fraction of six digits only where there is one."""
    seconds, fraction_us = np.divmod(times_us, 1_000_000)
    if bool(((times_us >= 0) & (times_us < _YEAR_10000_US) & (fraction_us == 0)).all()):
        return _second_texts(seconds)
    texts = np.datetime_as_string(times_us.astype("datetime64[us]"), unit="us")
    drop = str.maketrans("", "", "-:")
    return [
        text.translate(drop).removesuffix(".000000") + "Z" if text[0] != "-" else text + "Z"
        for text in texts.tolist()
    ]


def _second_texts(seconds: Whole) -> list[str]:
    """Whole seconds of the years 1970 to 9999, all at once by their digits."""
    date = (seconds // 86_400).astype("datetime64[D]")
    month, year = date.astype("datetime64[M]"), date.astype("datetime64[Y]")
    day_no, month_no = (date - month).astype(np.int64) + 1, (month - year).astype(np.int64) + 1
    ymd = (year.astype(np.int64) + 1970) * 10_000 + month_no * 100 + day_no
    hms = seconds // 3600 % 24 * 10_000 + seconds // 60 % 60 * 100 + seconds % 60
    signs = np.empty((len(seconds), 16), dtype=np.uint8)
    for number, first, behind in ((ymd, 0, 8), (hms, 9, 15)):
        left = number.astype(np.int32)
        for place in range(behind - 1, first - 1, -1):
            left, signs[:, place] = np.divmod(left, 10)
    signs += ord("0")
    signs[:, 8], signs[:, 15] = ord("T"), ord("Z")
    return signs.view("S16").ravel().astype("U16").tolist()


def _one_file(bales: BaleTable) -> Sources:
    rows = np.arange(bales.rows, dtype=np.int64)
    return Sources(np.zeros(bales.rows, dtype=np.int64), rows, count_known(bales))
