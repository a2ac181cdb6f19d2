"""Whose clock a log stands on: the task's periods and the receiver's own time."""

from __future__ import annotations

import struct
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.readers.task_data.making import DAY, MadeSet, header, task

from balewright.readers.task_data import TaskData, open_task_data
from balewright.readers.task_data.attributes import Ledger
from balewright.readers.task_data.log_clock import receiver_lag
from balewright.readers.task_data.log_header import read_header
from balewright.readers.task_data.logged import TimeLog
from balewright.readers.task_data.time_log import decode_log

pytestmark = pytest.mark.derived

TEN = 36_000_000
"""10:00 in milliseconds of the day; the day is 2031-06-16."""
AT_TEN_US = 1_939_370_400_000_000
"""date -u -d 2031-06-16T10:00:00Z +%s000000"""


def _bytes(lag_ms: int, position: str = "ABHI", moving: bool = True, first_ms: int = TEN) -> bytes:
    """Ten records a second apart whose receiver's time is `lag_ms` behind the log's."""
    found = b""
    for second in range(10):
        ms = first_ms + 1000 * second
        gps_ms = (ms if moving else first_ms) - lag_ms
        day = DAY + gps_ms // 86_400_000
        found += struct.pack("<IHii", ms, DAY, 500_000_000, 70_000_000)
        found += struct.pack("<I", gps_ms % 86_400_000)
        found += struct.pack("<H", day) if "I" in position else b""
        found += b"\0"
    return found


def _log(data: bytes, position: str = "ABHI") -> TimeLog:
    found = read_header(header([], position).encode(), "T.XML", Ledger())
    assert found is not None
    return decode_log("T", data, found, "T.BIN")


def _set(folder: Path, data: bytes, periods: str = "", position: str = "ABHI") -> TaskData:
    made = MadeSet(folder, [task(["TLG00001"], periods=periods)])
    made.log("TLG00001", data, [], position)
    return open_task_data(made.write())


def test_log_two_hours_ahead_of_its_receiver_is_set_to_utc(tmp_path: Path) -> None:
    """Whole quarter hours are a zone: no period names one, but the receiver knows UTC."""
    (record,) = _set(tmp_path, _bytes(2 * 3_600_000)).tasks
    assert record.logs[0].begins_us == AT_TEN_US - 7_200_000_000
    assert record.logs[0].decoded().at_us[0] == AT_TEN_US - 7_200_000_000
    (doubt,) = record.doubtful
    assert (doubt.kind, "2 h ahead of its receiver's UTC" in doubt.text) == ("clock off", True)


def test_clock_that_is_minutes_off_is_said_and_left(tmp_path: Path) -> None:
    """Minutes that are no zone: nobody knows by which clock the day was booked. Times stay."""
    (record,) = _set(tmp_path, _bytes(-34 * 60_000)).tasks
    assert record.logs[0].begins_us == AT_TEN_US
    (doubt,) = record.doubtful
    assert "its clock is 34.0 min behind its receiver's" in doubt.text


def test_right_clock_says_nothing(tmp_path: Path) -> None:
    """Half a minute is no doubt."""
    (record,) = _set(tmp_path, _bytes(29_000)).tasks
    assert not record.doubtful


def test_receiver_whose_time_stands_still_tells_nothing(tmp_path: Path) -> None:
    """A time that never moves, or is not available, is no clock."""
    assert receiver_lag(_log(_bytes(7_200_000, moving=False))) is None
    assert receiver_lag(_log(_bytes(7_200_000, "ABH"), "ABH")) == 7_200_000_000


def test_periods_in_utc_are_asked_first(tmp_path: Path) -> None:
    """A period in UTC says two hours, and so does the receiver: set once, said once."""
    periods = '<TIM A="2031-06-16T08:00:00Z" B="2031-06-16T09:00:00Z" D="4"/>'
    (record,) = _set(tmp_path, _bytes(7_200_000), periods).tasks
    assert record.logs[0].begins_us == AT_TEN_US - 7_200_000_000
    assert [str(each.kind) for each in record.doubtful] == ["clock jumped"]


def test_log_that_lies_in_a_period_in_utc_is_in_utc_whatever_the_receiver_says(
    tmp_path: Path,
) -> None:
    """The period names its zone and holds the log: a receiver two hours off is only said."""
    periods = '<TIM A="2031-06-16T10:00:00Z" B="2031-06-16T11:00:00Z" D="4"/>'
    (record,) = _set(tmp_path, _bytes(7_200_000), periods).tasks
    assert record.logs[0].begins_us == AT_TEN_US
    assert "its clock is 120.0 min ahead of its receiver's" in record.doubtful[0].text


def test_log_that_no_task_names_is_set_by_its_receiver_too(tmp_path: Path) -> None:
    """A log on its own has no periods; its receiver still knows UTC."""
    made = MadeSet(tmp_path)
    made.log("TLG00001", _bytes(7_200_000), [], "ABHI")
    data = open_task_data(made.write())
    assert data.loose_logs[0].begins_us == AT_TEN_US - 7_200_000_000
    kinds = [str(each.kind) for each in data.doubts if each.file == "TLG00001.BIN"]
    assert kinds == ["clock off", "identity unknown"]


@pytest.mark.law
@settings(max_examples=60, deadline=None)
@given(
    lag_s=st.integers(-43_000, 43_000),
    first_ms=st.integers(0, 86_380_000),
    dated=st.booleans(),
)
def test_lag_of_a_clock_is_found_at_any_hour(lag_s: int, first_ms: int, dated: bool) -> None:
    """Also over midnight, and, within half a day, where the receiver gives no date."""
    position = "ABHI" if dated else "ABH"
    log = _log(_bytes(lag_s * 1000, position, first_ms=first_ms), position)
    assert receiver_lag(log) == lag_s * 1_000_000
