"""Times as ISO 8601 text <-> UTC whole microseconds since 1970-01-01.

A time says where it stands: `Z` or an offset is needed, since a bare local time is one of two
every autumn. Years 1970 to 2099, seconds 0 to 59, at most six decimals of a second.
"""

from __future__ import annotations

import re
from datetime import UTC, datetime, timedelta
from typing import Final

import numpy as np
from numpy.typing import NDArray

TIME_NEED: Final = "a time such as 2031-06-14T09:30:00Z, years 1970 to 2099"

_TIME: Final = re.compile(
    r"(\d{4}-\d\d-\d\d)[T ](\d\d)(?::(\d\d)(?::(\d\d)(?:\.(\d{1,6}))?)?)?"
    r"(?:Z|([+-])([01]\d|2[0-3])(?::?([0-5]\d))?)",
    re.ASCII,
)
_NO_ZONE: Final = re.compile(r"\d{4}-\d\d-\d\d[T ]\d\d:\d\d(:\d\d([.,]\d+)?)?", re.ASCII)
_LONG: Final = re.compile(r".*\.\d{7,}(Z|[+-]\d\d:?\d\d)", re.ASCII)
_EPOCH: Final = datetime(1970, 1, 1, tzinfo=UTC)
_MICROSECOND: Final = timedelta(microseconds=1)
_FIRST_US: Final = 0
_END_US: Final = (datetime(2100, 1, 1, tzinfo=UTC) - _EPOCH) // _MICROSECOND


def parse_time(text: str) -> int | None:
    """UTC microseconds of one ISO 8601 time, None where it is none that can be believed."""
    found = _TIME.fullmatch(text.strip())
    if found is None:
        return None
    day, hour, minute, second, decimals, sign, offset_h, offset_min = found.groups()
    clock = f"{hour}:{minute or '00'}:{second or '00'}.{(decimals or '0').ljust(6, '0')}"
    stamp = f"{day}T{clock}{sign or '+'}{offset_h or '00'}:{offset_min or '00'}"
    try:
        moment = (datetime.fromisoformat(stamp) - _EPOCH) // _MICROSECOND
    except (ValueError, OverflowError):
        return None
    return moment if _FIRST_US <= moment < _END_US else None


def explain_time(text: str) -> str:
    """The cure for a text that is no time."""
    plain = text.strip()
    if _NO_ZONE.fullmatch(plain):
        return "Add Z for UTC or the offset, such as +02:00: without it the moment is not known."
    if _LONG.fullmatch(plain):
        return "Write at most six decimals of a second."
    return "Write year-month-day, T, hours:minutes:seconds and Z; leave it empty where unknown."


def format_time(moment_us: int) -> str:
    """ISO 8601 in UTC, with six decimals where there are any."""
    moment = _EPOCH + moment_us * _MICROSECOND
    return moment.isoformat(timespec="auto").replace("+00:00", "Z")


def moment_is_believable(moments_us: NDArray[np.int64]) -> NDArray[np.bool_]:
    """Where moments lie in the years that a time may have."""
    return (moments_us >= _FIRST_US) & (moments_us < _END_US)
