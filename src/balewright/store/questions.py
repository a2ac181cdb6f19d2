"""Questions about bales, as ibis expressions that mean the same on every engine.

Portable subset: windows totally ordered, whole numbers for times (microseconds) and masses
(grams), no time arithmetic, no NaN, no hash. They ask the resolved rows: which rows are one bale
is said in `records.identity` and nowhere else.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import UTC, datetime, timedelta
from typing import TYPE_CHECKING, Any, Final
from zoneinfo import ZoneInfo

import pyarrow as pa

from balewright.store.engine import Question

if TYPE_CHECKING:
    import ibis

_US_PER_DAY: Final = 86_400_000_000
_LATEST_US: Final = 84_006 * _US_PER_DAY  # 2200-01-01
BOOK_SCHEMA: Final = pa.schema(
    [
        ("job", pa.string()),
        ("source", pa.string()),  # the file whose word `job` is, null where there is no job
        ("machine", pa.string()),
        ("day", pa.int64()),  # days since 1970-01-01 on the machine's own calendar
        ("bales", pa.int64()),
        ("burst", pa.int64()),
        ("tests", pa.int64()),
        ("rewrapped", pa.int64()),
        ("mass_g", pa.int64()),  # of those weighed, null when none is
        ("weighed", pa.int64()),
    ]
)
COUNT_SCHEMA: Final = pa.schema([("machine", pa.string()), ("bales", pa.int64())])


def ask_book(
    offsets: pa.Table,
    machine: str | None = None,
    job: str | None = None,
    span_us: tuple[int | None, int | None] = (None, None),
) -> Question:
    """Bales by job, machine and local day; jobs by word and the file that says it.

    offsets: from `zone_offsets`; machine, job: only these, None for all; span_us: only bales
    from the first time (inclusive) to the second (exclusive), UTC microseconds.
    """

    def build(bales: ibis.Table, beside: Mapping[str, ibis.Table]) -> ibis.Table:
        return _book(_filtered(_heads(bales), job, span_us), beside["offsets"])

    return Question(build, BOOK_SCHEMA, {"offsets": offsets}, machine)


def ask_counts(machine: str | None = None) -> Question:
    """Distinct bales by machine, whatever became of them."""

    def build(bales: ibis.Table, _: Mapping[str, ibis.Table]) -> ibis.Table:
        told = _heads(bales)
        return told.group_by("machine").agg(bales=told.counts.sum()).order_by("machine")

    return Question(build, COUNT_SCHEMA, {}, machine)


def _heads(bales: ibis.Table) -> ibis.Table:
    """One row a bale (or a pass over the wrapper), as the book says it.

    Columns: machine, job, source (of the job), status, mass_kg, bale_us, passes (0/1), counts
    (0/1: a bale of the book).
    """
    one = bales.filter(bales.is_first == 1)
    return one.select(
        "machine",
        "bale_us",
        "passes",
        "counts",
        job=one.book_job,
        source=one.book_source,
        status=one.book_status,
        mass_kg=one.book_mass_kg,
    )


def _filtered(one: Any, job: str | None, span_us: tuple[int | None, int | None]) -> Any:
    since_us, until_us = span_us
    if job is not None:
        one = one.filter(one.job == job)
    if since_us is not None:
        one = one.filter(one.bale_us >= since_us)
    if until_us is not None:
        one = one.filter(one.bale_us < until_us)
    return one


def _book(one: Any, offsets: Any) -> Any:
    """Count by job, machine and local day; a pass that is no bale adds to `rewrapped` alone."""
    import ibis  # noqa: PLC0415

    zoned = one.left_join(
        offsets,
        [
            one.machine == offsets.zoned_machine,
            one.bale_us >= offsets.from_us,
            one.bale_us < offsets.until_us,
        ],
    )
    local_us = zoned.bale_us + ibis.coalesce(zoned.offset_us, 0)
    counted = zoned.counts == 1
    grams = (zoned.mass_kg * 1000 + 0.5).floor().cast("int64")
    rows = zoned.mutate(
        # Remainders of negative numbers differ between languages; this one is never negative.
        day=(local_us - (local_us % _US_PER_DAY + _US_PER_DAY) % _US_PER_DAY) / _US_PER_DAY,
        burst=(counted & (zoned.status == "burst")).cast("int64"),
        test=(counted & (zoned.status == "test")).cast("int64"),
        mass=ibis.ifelse(counted, grams, ibis.null("int64")),
    )
    rows = rows.mutate(day=rows.day.floor().cast("int64"))
    book = rows.group_by(["job", "source", "machine", "day"]).agg(
        bales=rows.counts.sum(),
        burst=ibis.coalesce(rows.burst.sum(), 0),
        tests=ibis.coalesce(rows.test.sum(), 0),
        rewrapped=rows.passes.sum(),
        mass_g=rows.mass.sum(),
        weighed=rows.mass.count(),
    )
    return book.order_by(["machine", "day", "job", "source"])


def zone_offsets(zones: Mapping[str, str], first_us: int, last_us: int) -> pa.Table:
    """What each machine's clock is ahead of UTC, piece by piece, over a span of time.

    zones: IANA name by machine. A machine that is not listed is taken to live in UTC. Looked at
    once a day and then to the second, so that the change of the clock is exact. Bales of a clock
    that went mad (before 1970, after 2200) keep UTC.
    """
    first_us, last_us = max(first_us, 0), min(max(first_us, last_us), _LATEST_US)
    found = {zone: _pieces(ZoneInfo(zone), first_us, last_us) for zone in set(zones.values())}
    rows = [(machine, *piece) for machine, zone in sorted(zones.items()) for piece in found[zone]]
    names = ("zoned_machine", "from_us", "until_us", "offset_us")
    types = (pa.string(), pa.int64(), pa.int64(), pa.int64())
    columns = [[row[place] for row in rows] for place in range(4)]
    return pa.table(
        {name: pa.array(c, t) for name, c, t in zip(names, columns, types, strict=True)}
    )


def _pieces(zone: ZoneInfo, first_us: int, last_us: int) -> list[tuple[int, int, int]]:
    second, day = 1_000_000, _US_PER_DAY
    start, end = first_us - first_us % day - day, last_us + 2 * day
    pieces = []
    since, offset = start, _offset_us(zone, start)
    for at in range(start + day, end + day, day):
        if _offset_us(zone, at) == offset:
            continue
        low, high = at - day, at
        while high - low > second:
            middle = low + (high - low) // 2 // second * second
            low, high = (middle, high) if _offset_us(zone, middle) == offset else (low, middle)
        pieces.append((since, high, offset))
        since, offset = high, _offset_us(zone, high)
    return [*pieces, (since, end + day, offset)]


def _offset_us(zone: ZoneInfo, at_us: int) -> int:
    at = datetime(1970, 1, 1, tzinfo=UTC) + timedelta(microseconds=at_us)
    ahead = at.astimezone(zone).utcoffset() or timedelta(0)
    return ahead // timedelta(microseconds=1)
