"""Moments as ISO 8601 in UTC, to the microsecond, so that one can be copied and given again."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

_EPOCH = datetime(1970, 1, 1, tzinfo=UTC)
_MICROSECOND = timedelta(microseconds=1)


def write_time(at_us: int) -> str:
    """`2031-06-14T09:11:00Z`, with a fraction only where there is one."""
    return (_EPOCH + timedelta(microseconds=at_us)).isoformat().removesuffix("+00:00") + "Z"


def read_time(text: str) -> int | None:
    """UTC microseconds of such a text, or of one with an offset; None for anything else."""
    try:
        moment = datetime.fromisoformat(text.strip())
    except ValueError:
        return None
    return None if moment.tzinfo is None else (moment - _EPOCH) // _MICROSECOND
