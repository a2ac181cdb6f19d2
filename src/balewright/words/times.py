"""UTC microseconds and an IANA zone to the local time people read."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import Final
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from balewright.quantities.errors import BadInput, Fault
from balewright.words.values import UNKNOWN

_EPOCH: Final = datetime(1970, 1, 1, tzinfo=UTC)


def zone_named(name: str) -> ZoneInfo:
    """The time zone of an IANA name; BadInput when there is none."""
    try:
        return ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError, OSError):
        cure = "Write it as in the IANA list, Etc/UTC for instance."
        raise BadInput(Fault("zone", "a time zone of the IANA list", repr(name), cure)) from None


def local_time(value_us: int, zone: ZoneInfo) -> datetime:
    """The moment `value_us` (microseconds since 1970, UTC) on the clock of a zone."""
    return (_EPOCH + timedelta(microseconds=value_us)).astimezone(zone)


def say_time(value_us: int | None, zone: ZoneInfo) -> str:
    """Local date and time to the minute, with the offset where a clock change makes it double."""
    if value_us is None:
        return UNKNOWN
    moment = local_time(value_us, zone)
    other = moment.replace(fold=1 - moment.fold)
    said = moment.strftime("%Y-%m-%d %H:%M")
    return f"{said} ({moment.strftime('%z')})" if other.utcoffset() != moment.utcoffset() else said


def say_clock(value_us: int | None, zone: ZoneInfo) -> str:
    """Local time of day with seconds."""
    return UNKNOWN if value_us is None else local_time(value_us, zone).strftime("%H:%M:%S")


def say_day(value_us: int | None, zone: ZoneInfo) -> str:
    """Local date."""
    return UNKNOWN if value_us is None else local_time(value_us, zone).strftime("%Y-%m-%d")


def say_duration(duration_s: float | None) -> str:
    """A length of time in the two largest units that matter: "1 h 05 min", "4 min 30 s", "12 s"."""
    if duration_s is None:
        return UNKNOWN
    whole = round(abs(duration_s))
    sign = "-" if duration_s < 0 and whole else ""
    hours, rest = divmod(whole, 3600)
    minutes, seconds = divmod(rest, 60)
    if hours:
        return f"{sign}{hours} h {minutes:02d} min"
    return f"{sign}{minutes} min {seconds:02d} s" if minutes else f"{sign}{seconds} s"
