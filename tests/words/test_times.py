"""Times on local clocks; expected values from the published rules of summer time."""

from __future__ import annotations

import pytest

from balewright.quantities.errors import BadInput
from balewright.words.times import say_clock, say_day, say_duration, say_time, zone_named

HOUR_US = 3_600_000_000


@pytest.mark.reference
def test_local_time_in_summer_and_winter() -> None:
    """Central European summer time is two hours, winter time one hour ahead of UTC."""
    zone = zone_named("CET")
    july_us = 1_909_994_400_000_000  # 2030-07-11 10:00 UTC
    january_us = 1_894_356_000_000_000  # 2030-01-11 10:00 UTC
    assert say_time(july_us, zone) == "2030-07-11 12:00"
    assert say_time(january_us, zone) == "2030-01-11 11:00"
    assert say_clock(july_us, zone) == "12:00:00"


@pytest.mark.reference
def test_the_hour_that_comes_twice_says_which() -> None:
    """On 27 October 2030 the hour from 2 to 3 comes twice; the offset tells them apart."""
    zone = zone_named("CET")
    first_us = 1_919_291_400_000_000  # 2030-10-27 00:30 UTC
    assert say_time(first_us, zone) == "2030-10-27 02:30 (+0200)"
    assert say_time(first_us + HOUR_US, zone) == "2030-10-27 02:30 (+0100)"


@pytest.mark.derived
def test_a_day_ends_at_local_midnight() -> None:
    """23:30 UTC in July is already the next day two hours east."""
    late_us = 1_909_956_600_000_000  # 2030-07-10 23:30 UTC
    assert say_day(late_us, zone_named("Etc/UTC")) == "2030-07-10"
    assert say_day(late_us, zone_named("CET")) == "2030-07-11"


@pytest.mark.own
def test_unknown_stays_unknown() -> None:
    """No time is said as unknown, and a zone that does not exist is refused."""
    zone = zone_named("Etc/UTC")
    assert {say_time(None, zone), say_clock(None, zone), say_day(None, zone)} == {"unknown"}
    assert say_duration(None) == "unknown"
    with pytest.raises(BadInput, match="zone: needs a time zone of the IANA list"):
        zone_named("Tinhen/Nowhere")
    with pytest.raises(BadInput, match="zone"):
        zone_named("../etc/passwd")


@pytest.mark.derived
@pytest.mark.parametrize(
    ("duration_s", "said"),
    [(12.4, "12 s"), (270, "4 min 30 s"), (3900, "1 h 05 min"), (-12, "-12 s"), (0, "0 s")],
)
def test_durations(duration_s: float, said: str) -> None:
    """A length of time is said in its two largest units."""
    assert say_duration(duration_s) == said
