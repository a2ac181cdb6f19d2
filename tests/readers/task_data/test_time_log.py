"""Binary time logs: what was written is read back, what is damaged is named and stepped over."""

from __future__ import annotations

import os
import tracemalloc

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.readers.task_data.making import CODES, DAY, Record, header

from balewright.readers.task_data.attributes import Ledger
from balewright.readers.task_data.layout import DAY_US, DAY_ZERO_US, LogHeader, head_type
from balewright.readers.task_data.log_header import read_header
from balewright.readers.task_data.logged import TimeLog
from balewright.readers.task_data.time_log import decode_log

COLUMNS = ["005B", "005A", "0063"]


def _header(columns: list[str] = COLUMNS, position: str = "ABD") -> LogHeader:
    found = read_header(header(columns, position).encode(), "TLG00001.XML", Ledger())
    assert found is not None
    return found


def _decode(data: bytes, position: str = "ABD", columns: list[str] = COLUMNS) -> TimeLog:
    return decode_log("TLG00001", data, _header(columns, position), "TLG00001.BIN")


def _day(n: int = 40) -> list[Record]:
    """Records a second apart with a value in every fourth."""
    return [Record(36_000 + s, {0: s // 4} if s % 4 == 0 else {}) for s in range(n)]


def _bytes(records: list[Record]) -> bytes:
    return b"".join(record.packed() for record in records)


@pytest.mark.published
def test_record_written_in_the_standard_is_read_to_the_bit() -> None:
    """One record by ISO 11783-10: 2031-06-16 10:00:00.250, 50.1234567 N, 7.7654321 E, count 5."""
    record = Record(36_000.25, {0: 5}, north=501_234_567, east=77_654_321)
    log = _decode(record.packed() * 3)
    assert log.at_us[0] == 1_939_370_400_250_000  # date -u -d 2031-06-16T10:00:00.25Z +%s%6N
    assert (log.lat[0], log.lon[0]) == (50.1234567, 7.7654321)
    assert [array.tolist() for array in log.written(0)] == [[0, 1, 2], [5, 5, 5]]
    assert not log.refusals
    assert not log.doubts


@pytest.mark.published
@pytest.mark.parametrize(
    ("position", "size"), [("", 7), ("ABD", 16), ("ABCD", 20), ("ABCDEFGHI", 31), ("ABCDH", 24)]
)
def test_size_of_a_record_follows_the_empty_attributes(position: str, size: int) -> None:
    """6 bytes of time, 4 each for A, B, C and H, 2 for E, F, I, 1 for D, G and the count."""
    assert head_type(position).itemsize == size


@pytest.mark.law
@settings(max_examples=60, deadline=None)
@given(
    position=st.lists(st.sampled_from("ABCDEFGHI"), unique=True).map(sorted).map("".join),
    times=st.lists(st.integers(0, 3600_000), min_size=1, max_size=30).map(sorted),
    data=st.data(),
)
def test_any_log_that_is_written_is_read_back_equal(
    position: str, times: list[int], data: st.DataObject
) -> None:
    """Times, places and every value come back, whatever fields the header leaves empty."""
    raw = st.integers(-(2**31), 2**31 - 1)
    values = st.dictionaries(st.integers(0, 2), raw, max_size=3)
    records = [
        Record(ms / 1000, data.draw(values), north=data.draw(st.integers(1, 9 * 10**8)))
        for ms in times
    ]
    log = _decode(b"".join(record.packed(position) for record in records), position)
    assert not log.refusals
    assert ((log.at_us - DAY_ZERO_US - DAY * DAY_US) // 1000).tolist() == times
    for column in range(3):
        written = [(n, r.values[column]) for n, r in enumerate(records) if column in r.values]
        assert list(zip(*log.written(column), strict=True)) == written
    if "A" in position and "B" in position:
        assert np.round(log.lat * 1e7).astype(int).tolist() == [r.north for r in records]
    else:
        assert np.isnan(log.lat).all()


@pytest.mark.law
@settings(max_examples=120, deadline=None)
@given(junk=st.binary(max_size=3000), good=st.integers(0, 12))
def test_junk_never_raises_and_every_byte_is_accounted_for(junk: bytes, good: int) -> None:
    """Whatever stands behind good records, those before it are kept and the log says the rest."""
    log = _decode(_bytes(_day(good)) + junk)
    assert log.rows >= good
    assert log.rows * 16 <= good * 21 + len(junk)
    assert log.rows > good or not junk or log.refusals or log.doubts


@pytest.mark.derived
def test_count_too_small_loses_the_values_and_nothing_else() -> None:
    """A record that says 0 values before one that stands there: 5 bytes are refused by place,
    the record is kept with a mark, all others are whole."""
    records = _day()
    records[0] = Record(36_000, {2: 79}, claimed=0)
    log = _decode(_bytes(records))
    assert log.rows == 40
    assert [(each.file, each.place) for each in log.refusals] == [("TLG00001.BIN", "byte 16")]
    assert "identifier 99 = 79; not taken" in log.refusals[0].reason
    assert [(each.kind, each.place) for each in log.doubts] == [("record damaged", "byte 0")]
    assert log.written(0)[1].tolist() == list(range(1, 10))


@pytest.mark.derived
def test_count_too_large_swallows_no_record() -> None:
    """A record that says 2 values where 1 stands would eat the next one's head: the next record
    is found at its true place, the values of the wrong one are left out."""
    records = _day()
    records[8] = Record(36_008, {0: 2}, claimed=2)
    log = _decode(_bytes(records))
    assert log.rows == 40
    assert log.written(0)[1].tolist() == [0, 1, 3, 4, 5, 6, 7, 8, 9]
    assert [each.kind for each in log.doubts] == ["record damaged"]


@pytest.mark.derived
@pytest.mark.parametrize("junk", [b"\x00" * 7, b"\xff" * 300, bytes(range(256)) * 3])
def test_junk_in_the_middle_is_stepped_over(junk: bytes) -> None:
    """Bytes that fit no record between two halves are refused with their place and length."""
    before, after = _bytes(_day(20)), _bytes([Record(36_100 + s) for s in range(20)])
    log = _decode(before + junk + after)
    assert log.rows == 40
    assert log.refusals[0].place == f"byte {len(before)}"
    assert f"{len(junk)} bytes fit no record" in log.refusals[0].reason


@pytest.mark.derived
@pytest.mark.parametrize("cut", [1, 5, 15])
def test_truncated_record_at_the_end_is_refused(cut: int) -> None:
    """A log cut off within its last record keeps the others and says how much was left out."""
    data = _bytes(_day(10))[:-cut]
    log = _decode(data)
    assert log.rows == 9
    assert "no whole record" in log.refusals[0].reason


@pytest.mark.derived
def test_empty_log_is_said() -> None:
    """A binary part of no bytes is no error, but it is said."""
    log = _decode(b"")
    assert log.rows == 0
    assert "empty" in log.refusals[0].reason


@pytest.mark.derived
def test_clock_that_runs_back_is_kept_with_a_mark() -> None:
    """Records in the wrong order of time are all kept; the place and the number are said."""
    log = _decode(_bytes([Record(s) for s in (100, 101, 50, 51, 52)]))
    assert log.rows == 5
    assert [each.kind for each in log.doubts] == ["times disordered"]
    assert "back by 51.0 s; 1 such places" in log.doubts[0].text


@pytest.mark.derived
def test_clock_that_leaps_days_ahead_is_kept_with_a_mark() -> None:
    """Twenty records on another day follow ten of this one: kept, with the leap said."""
    later = [Record(s, day=DAY + 30) for s in range(20)]
    log = _decode(_bytes([*_day(10), *later]))
    assert log.rows == 30
    assert [each.kind for each in log.doubts] == ["clock jumped"]


@pytest.mark.derived
def test_one_record_on_an_impossible_day_is_left_out() -> None:
    """A single record dated far off between good ones is damage, not a leap of the clock."""
    records = _day(20)
    records[9].day = 300
    log = _decode(_bytes(records))
    assert log.rows == 19
    assert log.refusals[0].place.startswith("byte ")


@pytest.mark.published
def test_place_zero_zero_and_the_not_available_mark_are_unknown() -> None:
    """0 N 0 E, and the largest int32 (not available), are no place: unknown, never zero."""
    zero = Record(1, north=0, east=0)
    unsaid = Record(2, north=2**31 - 1, east=2**31 - 1)
    log = _decode(_bytes([zero, unsaid, Record(3)]))
    assert np.isnan(log.lat).tolist() == [True, True, False]


@pytest.mark.derived
def test_header_without_tim_is_refused_with_its_file() -> None:
    """A header needs a TIM; without it the log cannot be read."""
    ledger = Ledger()
    assert read_header(b"<PTN/>", "TLG00001.XML", ledger) is None
    assert "needs an element TIM" in ledger.refusals[0].reason


@pytest.mark.published
def test_values_beyond_255_cannot_be_addressed_and_are_said() -> None:
    """The index of a value is one byte, so a record can name 255 values; the rest is doubted."""
    ledger = Ledger()
    found = read_header(header(["0001"] * 300).encode(), "TLG00001.XML", ledger)
    assert found is not None
    assert len(found.columns) == 255
    assert "300 values" in ledger.doubts[0].text


@pytest.mark.derived
def test_place_that_the_header_fixes_holds_for_every_record() -> None:
    """A PTN attribute with a value does not stand in the binary: it is the value of all."""
    text = header(COLUMNS, "D").replace("<PTN", '<PTN A="50.5" B="7.5"')
    found = read_header(text.encode(), "TLG00001.XML", Ledger())
    assert found is not None
    log = decode_log("T", b"".join(r.packed("D") for r in _day(4)), found, "T.BIN")
    assert set(log.lat) == {50.5}
    assert set(log.lon) == {7.5}


@pytest.mark.derived
def test_records_of_sixty_values_are_found_again() -> None:
    """A record of 60 values is 300 bytes long (more than a byte can say): found behind junk."""
    columns = ["0063"] * 60
    records = [Record(s, dict.fromkeys(range(60), s)) for s in range(12)]
    whole = _bytes(records)
    log = _decode(b"\xff" * 9 + whole, columns=columns)
    assert log.rows == 12
    assert log.refusals[0].place == "byte 0"


@pytest.mark.law
def test_large_junk_is_given_up_in_bounded_memory() -> None:
    """Sixteen mebibytes of junk behind a good hour: the hour is kept, memory stays below 8x."""
    data = _bytes(_day(100)) + os.urandom(16 * 1024 * 1024)
    tracemalloc.start()
    log = _decode(data)
    _, peak = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    assert log.rows >= 100
    assert log.refusals
    assert peak < 8 * len(data)


@pytest.mark.law
def test_a_log_damaged_everywhere_is_given_up_with_a_word() -> None:
    """After 200 damaged places the rest is not read, and that is said."""
    piece = _bytes(_day(6)) + b"\xff" * 11
    log = _decode(piece * 300)
    assert log.rows < 6 * 300
    assert "more than 200 damaged places" in log.refusals[-1].reason


@pytest.mark.published
def test_codes_of_writer_and_reader_were_written_apart() -> None:
    """The reader's table and the tests' hand-made codes agree on every field's size."""
    import struct

    for letter, code in CODES.items():
        assert head_type(letter).itemsize - 7 == struct.calcsize("<" + code)
