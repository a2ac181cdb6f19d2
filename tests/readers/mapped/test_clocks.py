"""Clock times of other programs: the nights the clock changes, held against zoneinfo and Python."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import numpy as np
import pyarrow as pa
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from balewright.readers.mapped.clocks import read_moments
from balewright.readers.mapped.numbers import Writing
from balewright.readers.mapped.raw import RawColumn
from balewright.readers.mapped.zones import Series, settle_twice, to_utc, zone_of
from balewright.records.column_map import Twice

EPOCH = datetime(1970, 1, 1)  # noqa: DTZ001
ZONES = ("Europe/Berlin", "America/New_York", "Australia/Lord_Howe", "America/Sao_Paulo",
         "Pacific/Apia", "Africa/Casablanca", "Asia/Kathmandu", "Europe/Dublin")  # fmt: skip
PLAIN = Writing(".", "", ("n/a",))


def us(moment: datetime) -> int:
    """Microseconds of a clock since 1970, without any zone."""
    return (moment.replace(tzinfo=None, fold=0) - EPOCH) // timedelta(microseconds=1)


def cells(*texts: str | None) -> RawColumn:
    """A column of texts."""
    return RawColumn(pa.array(texts, pa.string()))


@pytest.mark.reference
@settings(max_examples=25)
@given(
    st.sampled_from(ZONES),
    st.lists(st.integers(us(datetime(1971, 1, 1)), us(datetime(2037, 1, 1))), max_size=20),  # noqa: DTZ001
)
def test_clocks_become_utc_as_zoneinfo_says(name: str, local: list[int]) -> None:
    """Every clock of eight zones with odd rules: both meanings, gaps and doubled hours."""
    zone = ZoneInfo(name)
    found = to_utc(np.array(local, dtype=np.int64), zone)
    for row, clock_us in enumerate(local):
        clock = EPOCH + timedelta(microseconds=clock_us)
        both = [clock.replace(tzinfo=zone, fold=fold).utcoffset() for fold in (0, 1)]
        assert both[0] is not None
        assert both[1] is not None
        assert found.first_us[row] == clock_us - both[0] // timedelta(microseconds=1)
        assert found.is_gap[row] == (both[1] > both[0])
        assert found.is_twice[row] == (both[1] < both[0])


@pytest.mark.reference
@pytest.mark.parametrize("name", ZONES[:4])
def test_the_nights_of_change_are_found(name: str) -> None:
    """Every quarter of an hour of a year whose UTC comes back through zoneinfo, or is a gap."""
    zone = ZoneInfo(name)
    start = us(datetime(2017, 1, 1))  # noqa: DTZ001
    local = start + np.arange(365 * 96, dtype=np.int64) * 900_000_000
    found = to_utc(local, zone)
    for row in np.flatnonzero(found.is_gap | found.is_twice).tolist():
        clock = EPOCH + timedelta(microseconds=int(local[row]))
        backs = [
            (datetime.fromtimestamp(at / 1e6, UTC).astimezone(zone)).replace(tzinfo=None, fold=0)
            for at in (int(found.first_us[row]), int(found.second_us[row]))
        ]
        assert (clock in backs) != found.is_gap[row]
        assert found.is_gap[row] or backs == [clock, clock]
    assert found.is_gap.any()
    assert found.is_twice.any()
    assert int(found.is_gap.sum()) == int(found.is_twice.sum())


@pytest.mark.derived
@pytest.mark.parametrize("newest_first", [False, True])
def test_the_doubled_hour_is_settled_by_the_order_of_the_bales(newest_first: bool) -> None:
    """Clocks 2:10 2:50 2:05 2:40 3:10 in an autumn night: the third bale is an hour later."""
    zone = zone_of("Europe/Berlin")
    assert zone is not None
    clocks = ["01:55", "02:10", "02:50", "02:05", "02:40", "03:10"]
    local = [us(datetime.fromisoformat(f"2031-10-26T{one}:00")) for one in clocks]
    truth = ["23:55", "00:10", "00:50", "01:05", "01:40", "02:10"]
    if newest_first:
        local, truth = local[::-1], truth[::-1]
    zoned = to_utc(np.array(local), zone)
    series = Series(np.zeros(len(local), dtype=np.int64), ("Z-1",))
    settled = settle_twice(zoned, Twice.BY_ORDER, series, {})
    assert [f"{datetime.fromtimestamp(at / 1e6, UTC):%H:%M}" for at in settled] == truth
    first = settle_twice(zoned, Twice.FIRST, series, {})
    second = settle_twice(zoned, Twice.SECOND, series, {})
    assert (second - first).max() == 3_600_000_000


@pytest.mark.derived
def test_the_order_is_kept_over_blocks_and_apart_by_machine() -> None:
    """The last time before a block decides its first doubled clock; machines do not mix."""
    zone = zone_of("Europe/Berlin")
    assert zone is not None
    before: dict[str, int] = {}
    early = to_utc(np.array([us(datetime(2031, 10, 26, 2, 50))]), zone)  # noqa: DTZ001
    late = to_utc(np.array([us(datetime(2031, 10, 26, 2, 5))] * 2), zone)  # noqa: DTZ001
    settle_twice(early, Twice.BY_ORDER, Series(np.array([0]), ("Z-1",)), before)
    found = settle_twice(late, Twice.BY_ORDER, Series(np.array([0, 1]), ("Z-1", "Z-2")), before)
    assert (found - late.first_us).tolist() == [3_600_000_000, 0]


@pytest.mark.reference
@settings(max_examples=25)
@given(
    st.lists(
        st.tuples(
            st.datetimes(datetime(1971, 1, 1), datetime(2098, 1, 1)),  # noqa: DTZ001
            st.sampled_from(["%d.%m.%Y %H:%M:%S", "%Y-%m-%d %H:%M:%S.%f", "%-d.%-m.%Y %H:%M",
                             "%d %B %Y %H:%M:%S", "%Y%m%d%H%M%S", "%d/%m/%Y %I:%M:%S %p"]),
        ),
        min_size=1,
        max_size=60,
    )
)  # fmt: skip
def test_dates_read_as_python_reads_them(written: list[tuple[datetime, str]]) -> None:
    """Many forms mixed in one column, alone and among many alike: each as `strptime` has it."""
    texts = [moment.strftime(form) for moment, form in written]
    found = read_moments(cells(*texts), "", "dmy", PLAIN)
    expected = [
        us(datetime.strptime(text, form.replace("%-", "%")))  # noqa: DTZ007
        for text, (_, form) in zip(texts, written, strict=True)
    ]
    assert found.known.all()
    assert found.local_us.tolist() == expected


@pytest.mark.derived
@pytest.mark.parametrize(
    ("text", "form", "order"),
    [
        ("31.02.2031 09:00", "", "dmy"),
        ("06/14/2031 09:00", "", "dmy"),
        ("14/06/2031 09:00", "", "mdy"),
        ("14.06.2031", "", "dmy"),
        ("14.06.2031 24:00", "", "dmy"),
        ("14.06.2031 09:60", "", "dmy"),
        ("14.06.2031 13:00 PM", "", "dmy"),
        ("14.06.2031 09:00", "date", "dmy"),
        ("25:10", "clock", "dmy"),
        ("gestern", "", "dmy"),
        ("12e400", "epoch_s", "dmy"),
    ],
)
def test_what_is_no_time_fails(text: str, form: str, order: str) -> None:
    """A day that is not, a wrong order, a date without clock: failed, alone or among many."""
    for column in (cells(text), cells(*[text] * 50)):
        found = read_moments(column, form, order, PLAIN)
        assert found.failed.all()
        assert not found.known.any()


@pytest.mark.derived
def test_offsets_and_blanks() -> None:
    """A time with its offset is UTC already; blanks and "n/a" are not known, and no fault."""
    found = read_moments(
        cells("2031-06-14T11:30:00+02:00", "14.06.2031 11:30:00 Z", " ", "N/A", None),
        *("", "dmy", PLAIN),
    )
    assert found.is_utc.tolist() == [True, True, False, False, False]
    assert found.known.tolist() == [True, True, False, False, False]
    assert not found.failed.any()
    assert found.local_us[1] - found.local_us[0] == 2 * 3_600_000_000
    assert zone_of("CEST") is None
    assert zone_of("../etc/passwd") is None
    assert zone_of("+25:00") is None
