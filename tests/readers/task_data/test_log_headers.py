"""Headers of time logs: empty and fixed attributes, repeats, and what the receiver said."""

from __future__ import annotations

import struct
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.readers.task_data.making import CODES, DAY, MadeSet, Record, header

from balewright.readers.task_data import open_task_data
from balewright.readers.task_data.attributes import Ledger
from balewright.readers.task_data.layout import LoggedValue
from balewright.readers.task_data.log_header import fitting_header, read_headers
from balewright.readers.task_data.logged import UNKNOWN_US, TimeLog
from balewright.readers.task_data.time_log import decode_log

RAW = {
    "A": st.integers(-900_000_000, 900_000_000),
    "B": st.integers(-1_800_000_000, 1_800_000_000),
    "C": st.integers(-100_000, 9_000_000),
    "D": st.sampled_from([1, 2, 3, 4, 5, 6, 15]),
    "E": st.integers(0, 65_534),
    "F": st.integers(0, 65_534),
    "G": st.integers(0, 254),
    "H": st.integers(0, 86_399_999),
    "I": st.integers(1, 40_000),
}
"""What a receiver can say, raw, by attribute."""
SHOWN = {"A": 1e-7, "B": 1e-7, "C": 1.0, "D": 1, "E": 0.1, "F": 0.1, "G": 1, "H": 1, "I": 1}
"""How a header shows a raw value: degrees, millimetres, dilution; the rest as it is."""


@dataclass
class Written:
    """A log that was written by hand: its header, its bytes, and each record's raw values."""

    text: str
    data: bytes
    rows: list[dict[str, int]]
    values: list[list[tuple[int, int]]]


@st.composite
def written(draw: st.DrawFn) -> Written:
    """A log of any header: each attribute of PTN absent, empty or fixed; 0 to 255 values."""
    kinds = {letter: draw(st.sampled_from(["absent", "empty", "fixed"])) for letter in CODES}
    fixed = {letter: draw(RAW[letter]) for letter, kind in kinds.items() if kind == "fixed"}
    attributes = [
        f'{letter}=""' if kind == "empty" else f'{letter}="{fixed[letter] * SHOWN[letter]!r}"'
        for letter, kind in kinds.items()
        if kind != "absent"
    ]
    columns = draw(st.sampled_from([0, 1, 3, 255]))
    values = "".join(f'<DLV A="{n + 1:04x}" B="" C="DET-{n}"/>' for n in range(columns))
    ptn = f"<PTN {' '.join(attributes)}/>" if draw(st.booleans()) or attributes else ""
    rows, pairs, data = [], [], b""
    for place in range(draw(st.integers(1, 8))):
        row = {
            letter: draw(RAW[letter]) if kind == "empty" else fixed[letter]
            for letter, kind in kinds.items()
            if kind != "absent"
        }
        indexes = st.lists(st.integers(0, columns - 1), unique=True, max_size=min(columns, 5))
        picked = draw(indexes) if columns else []
        mine = [(index, draw(st.integers(-(2**31), 2**31 - 1))) for index in picked]
        data += struct.pack("<IH", 1000 * place, DAY)
        data += b"".join(
            struct.pack("<" + CODES[letter], row[letter])
            for letter, kind in kinds.items()
            if kind == "empty"
        )
        data += bytes([len(mine)]) + b"".join(struct.pack("<Bi", *each) for each in mine)
        rows.append(row)
        pairs.append(mine)
    return Written(f'<TIM A="" D="4">{ptn}{values}</TIM>', data, rows, pairs)


def _read(text: str, data: bytes) -> tuple[TimeLog, Ledger]:
    ledger = Ledger()
    headers = read_headers(text.encode(), "TLG00001.XML", ledger)
    return decode_log("TLG00001", data, fitting_header(data, headers), "TLG00001.BIN"), ledger


@pytest.mark.law
@settings(max_examples=150, deadline=None)
@given(written())
def test_any_header_reads_back_what_was_written(made: Written) -> None:
    """Every attribute of every record, whether it stands in the header or in the record, and
    every value: as they were written by other code."""
    log, ledger = _read(made.text, made.data)
    assert not log.refusals
    assert not ledger.refusals
    assert log.rows == len(made.rows)
    said = log.receiver
    found = {
        "C": said.up_m() * 1000,
        "D": said.status(),
        "E": said.pdop() * 10,
        "F": said.hdop() * 10,
        "G": said.satellites(),
        "H": said.gps_ms(),
    }
    for letter, array in found.items():
        if letter in made.rows[0]:
            expected = [row[letter] for row in made.rows]
            assert np.round(array.astype(float)).astype(int).tolist() == expected, letter
    for row, lat, lon in zip(made.rows, log.lat, log.lon, strict=True):
        if "A" in row and "B" in row and (row["A"] or row["B"]):
            assert [round(lat * 1e7), round(lon * 1e7)] == [row["A"], row["B"]]
        else:
            assert np.isnan(lat)
    pairs = sorted(
        (int(row), int(index), int(raw))
        for row, index, raw in zip(log.value_row, log.value_index, log.value_raw, strict=True)
    )
    assert pairs == sorted((row, *each) for row, mine in enumerate(made.values) for each in mine)


@pytest.mark.published
def test_what_the_receiver_said_is_kept_per_record() -> None:
    """ISO 11783-10: dilutions in tenths, time of day in ms, days since 1980-01-01 (15074 is
    2021-04-09); 65535 and 255 are not available: unknown, never a number."""
    body = struct.pack(
        "<iiiBHHBIH", 500_000_000, 70_000_000, 93_120, 4, 11, 6, 24, 55_683_799, 15_074
    )
    none = struct.pack("<iiiBHHBIH", 1, 1, 2**31 - 1, 15, 65_535, 65_535, 255, 2**32 - 1, 65_535)
    data = b"".join(
        struct.pack("<IH", 1000 * n, DAY) + each + b"\0" for n, each in enumerate((body, none))
    )
    log, _ = _read(header([], "ABCDEFGHI"), data)
    said = log.receiver
    assert said.status().tolist() == [4, 15]
    assert [said.pdop()[0], said.hdop()[0], said.satellites()[0]] == [1.1, 0.6, 24]
    assert said.up_m()[0] == 93.12
    moment = datetime(2021, 4, 9, 15, 28, 3, 799_000, UTC)
    assert int(said.gps_at_us()[0]) == round(moment.timestamp() * 1000) * 1000
    for array in (said.pdop(), said.hdop(), said.satellites(), said.up_m()):
        assert np.isnan(array[1])
    assert said.gps_at_us()[1] == UNKNOWN_US


@pytest.mark.published
@pytest.mark.parametrize("status", [0, 14])
def test_position_without_a_fix_is_unknown_and_said(status: int) -> None:
    """Status 0 (no fix) and 14 (error): the numbers beside it are no place; 15 (not said) is."""
    good = [Record(s).packed() for s in range(3)]
    data = good[0] + bytes(good[1][:14]) + bytes([status]) + good[1][15:] + good[2]
    log, _ = _read(header(["005B"]), data)
    assert np.isnan(log.lat).tolist() == [False, True, False]
    assert [(each.kind, each.place) for each in log.doubts] == [("place doubted", "byte 16")]


@pytest.mark.derived
def test_simulated_positions_are_kept_with_a_mark() -> None:
    """Status 8: a place, but one that a simulator made; said once for the log."""
    data = b"".join(Record(s).packed()[:14] + b"\x08\0" for s in range(3))
    log, _ = _read(header(["005B"]), data)
    assert not np.isnan(log.lat).any()
    assert "3 positions are simulated" in log.doubts[0].text


@pytest.mark.derived
def test_value_that_the_header_fixes_holds_from_the_first_record() -> None:
    """A DLV with a value that no record writes stands once, at the beginning."""
    text = header(["005B", "028A"]).replace('A="028A" B=""', 'A="028A" B="750"')
    log, _ = _read(text, b"".join(Record(s, {0: s}).packed() for s in range(3)))
    assert [array.tolist() for array in log.written(1)] == [[0], [750]]
    assert log.written(0)[1].tolist() == [0, 1, 2]


@pytest.mark.published
def test_value_cut_from_a_message_keeps_its_message_and_bits() -> None:
    """Identifier 57342 (DFFE): D, E and F of its DLV are the message, first and last bit."""
    text = '<TIM A=""><DLV A="DFFE" B="" C="DET-1" D="65093" E="8" F="23"/></TIM>'
    log, _ = _read(text, struct.pack("<IHBBi", 0, DAY, 1, 0, 7))
    assert log.columns == (LoggedValue(0xDFFE, "DET-1", None, 65_093, (8, 23)),)
    assert log.written(0)[1].tolist() == [7]


@pytest.mark.derived
def test_of_repeated_layouts_the_one_that_fits_the_bytes_is_taken() -> None:
    """Two TIM that differ, or a PTN in two parts: the log's own bytes tell, and it is said."""
    log, ledger = _read(
        f"<XFC>{_tim('ABCDEFGHI')}{_tim('AB')}</XFC>",
        b"".join(Record(s, {0: s}).packed("AB") for s in range(5)),
    )
    assert log.written(0)[1].tolist() == [0, 1, 2, 3, 4]
    assert "the one that fits the log is taken" in ledger.doubts[-1].text
    parted = _tim("AB").replace('<PTN A="" B=""/>', '<PTN A="" B=""/><PTN D=""/>')
    log, ledger = _read(parted, b"".join(Record(s, {0: s}).packed("ABD") for s in range(5)))
    assert log.written(0)[1].tolist() == [0, 1, 2, 3, 4]
    assert not np.isnan(log.lat).any()
    assert "2 elements PTN" in ledger.doubts[0].text


def _tim(position: str) -> str:
    return header(["005B"], position).partition("?>")[2]


@pytest.mark.derived
@pytest.mark.parametrize("name", ["TLG0001", "TLG00001", "TLG00000001", "tlg00001"])
def test_logs_of_any_name_are_found(tmp_path: Path, name: str) -> None:
    """Four, five and eight digits, upper and lower case: each is the log the task names."""
    made = MadeSet(tmp_path)
    made.log(name, [Record(s, {0: s, 1: 0}) for s in range(3)])
    made.tasks.append(f'<TSK A="TSK1" B="T" G="4"><TLG A="{name.upper()}"/></TSK>')
    (record,) = open_task_data(made.write()).tasks
    assert (record.rows, record.bales) == (3, 2)
