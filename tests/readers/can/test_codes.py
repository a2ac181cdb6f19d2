"""Codes of DM1 and DM2: their layout, when they come and go, and a real log beside other eyes."""

from __future__ import annotations

import struct
from pathlib import Path

import j1939
import pytest
from hypothesis import given
from hypothesis import strategies as st
from j1939.diagnostic_messages import DTC
from tests.readers.can.making import BALER, T0, TRACTOR, Bus

from balewright.readers.can.diagnostics import CodeEpisode, Ended, read_diagnosis
from balewright.readers.can.nodes import read_name
from balewright.readers.can.trace import open_trace

ACTIVE, PREVIOUS = 65226, 65227


def code(spn: int, fmi: int, count: int = 1, old: bool = False) -> bytes:
    """Four bytes of a code by ISO 11783-12: SPN in bits 0-15 and 21-23, FMI 16-20, count 24-30,
    conversion 31."""
    bits = (spn & 0xFFFF) | fmi << 16 | (spn >> 16) << 21 | count << 24 | old << 31
    return struct.pack("<I", bits)


def alone(*codes: bytes, lamps: int = 0) -> bytes:
    """A message of codes that fits one frame, or more."""
    return (bytes([lamps, 0xFF]) + b"".join(codes)).ljust(8, b"\xff")


NOTHING = alone(code(0, 0, 0))


@pytest.mark.practice
@pytest.mark.check(model="diagnostic codes", source="j1939-73-codes")
def test_code_is_laid_out_as_the_standard_says() -> None:
    """SAE J1939-73, version 4, from memory: SPN 1208 failing by 3, come 10 times, reads
    B8 04 03 0A; the red stop lamp stands in bits 5 and 6 of the first byte."""
    found = read_diagnosis(bytes.fromhex("10ff b804030a ffff"))
    assert [(one.spn, one.fmi, one.occurrence, one.old_form) for one in found.codes] == [
        (1208, 3, 10, False)
    ]
    assert found.lamps == ("red stop",)


@pytest.mark.reference
@given(bits=st.integers(1, 0xFFFFFFFE))
@pytest.mark.check(model="diagnostic codes", source="can-j1939")
def test_any_code_reads_as_in_another_stack(bits: int) -> None:
    """SPN, FMI, count and conversion of every 32 bits are those of can-j1939."""
    other = DTC(dtc=bits)
    found = read_diagnosis(b"\x00\x00" + struct.pack("<I", bits)).codes
    if other.spn == 0 and other.fmi == 0:
        assert found == ()
        return
    count = None if other.oc == 127 else other.oc
    assert [(one.spn, one.fmi, one.occurrence, one.old_form) for one in found] == [
        (other.spn, other.fmi, count, bool(other.cm))
    ]


def episodes(bus: Bus, folder: Path) -> list[CodeEpisode]:
    """Codes of a bus, told from a trace of it."""
    return list(open_trace(bus.write(folder)).diagnostics)


def seconds(us: int | None) -> float | None:
    """Since the bus began."""
    return None if us is None else round(us / 1e6 - T0, 3)


def keep_alive(bus: Bus, until_s: float) -> None:
    """Something else speaks all the time."""
    for at in range(int(until_s)):
        bus.say(at + 0.5, 65096, bytes(8), TRACTOR)


@pytest.mark.derived
def test_codes_come_and_go_as_they_are_said(tmp_path: Path) -> None:
    """A code comes with its first message and goes with the first one without it; the largest
    count and all lamps are kept; 0/0 is no code."""
    bus = Bus()
    keep_alive(bus, 12)
    bus.say(1.0, ACTIVE, NOTHING)
    bus.say(2.0, ACTIVE, alone(code(520_201, 5, 3), lamps=0b0100))
    bus.say(3.0, ACTIVE, alone(code(520_201, 5, 4), lamps=0b0001))
    bus.broadcast(4.0, ACTIVE, alone(code(520_201, 5, 4), code(97, 3, 127)))
    bus.say(5.0, ACTIVE, alone(code(97, 3, 127)))
    bus.say(6.0, ACTIVE, NOTHING)
    found = episodes(bus, tmp_path)
    assert [
        (one.text, seconds(one.came_us), seconds(one.went_us), one.ended, one.occurrence)
        for one in found
    ] == [
        ("520201/5", 2.0, 5.0, Ended.SAID, 4),
        ("97/3", 4.1, 6.0, Ended.SAID, None),
    ]
    assert found[0].lamps == ("protect", "amber warning")
    assert (found[0].source, found[0].messages) == (BALER, 3)


@pytest.mark.derived
def test_silence_ends_a_code_and_a_pause_of_the_recording_does_not(tmp_path: Path) -> None:
    """On an implement silence means no fault, counted from the last message; where the whole bus
    was not recorded, or where the message was lost on the way, nothing is known."""
    silent, paused, lost = Bus(), Bus(), Bus()
    for bus in (silent, paused, lost):
        bus.say(1.0, ACTIVE, alone(code(97, 3)))
    keep_alive(silent, 20)
    paused.say(60.0, ACTIVE, alone(code(97, 3)))
    keep_alive(lost, 9)
    for at in range(2, 9):
        lost.broadcast(float(at), ACTIVE, alone(code(97, 3), code(98, 4)), skip={2})
    told = [(one.ended, seconds(one.went_us)) for one in episodes(silent, tmp_path)]
    assert told == [(Ended.SILENT, 1.0)]
    assert [one.ended for one in episodes(paused, tmp_path)] == [Ended.STILL_THERE]
    assert [one.ended for one in episodes(lost, tmp_path)] == [Ended.STILL_THERE]


@pytest.mark.derived
def test_codes_of_a_moment_are_those_then_there(tmp_path: Path) -> None:
    """Asked for a moment or a span: active codes only, of both controls; what had been there
    (DM2) is kept apart."""
    bus = Bus()
    keep_alive(bus, 12)
    bus.say(2.0, ACTIVE, alone(code(97, 3)))
    bus.say(4.0, ACTIVE, NOTHING)
    bus.say(3.0, ACTIVE, alone(code(100, 1)), TRACTOR)
    bus.say(8.5, ACTIVE, alone(code(100, 1)), TRACTOR)
    bus.say(3.5, PREVIOUS, alone(code(55, 2)))
    trace = open_trace(bus.write(tmp_path))

    def there(from_s: float, to_s: float | None = None) -> list[str]:
        ends = [round((T0 + at) * 1e6) for at in (from_s, from_s if to_s is None else to_s)]
        return [one.text for one in trace.diagnostics_between(*ends)]

    assert there(1.0) == []
    assert there(3.0) == ["97/3", "100/1"]
    assert there(7.0) == []
    assert there(0.0, 2.5) == ["97/3"]
    assert [one.text for one in trace.diagnostics if not one.active] == ["55/2"]
    assert trace.diagnostics_at(round((T0 + 3.0) * 1e6)) == trace.diagnostics[:2]


@pytest.mark.derived
def test_code_numbered_by_an_old_form_says_so(tmp_path: Path) -> None:
    """The conversion bit: the SPN may read differently, which is kept with the code."""
    bus = Bus()
    bus.say(1.0, ACTIVE, alone(code(97, 3, 1, old=True)))
    bus.say(1.1, ACTIVE, b"\x00\xff\x01")
    trace = open_trace(bus.write(tmp_path))
    assert [one.old_form for one in trace.diagnostics] == [True]
    assert [refusal.place for refusal in trace.refusals] == ["message 2"]


@pytest.mark.real_data
@pytest.mark.reference
def test_real_codes_are_those_that_another_stack_reads(data_dir: Path) -> None:
    """127 broadcasts of four active codes: every one of them put together by can-j1939 from the
    same frames has the bytes that gave our codes, and the episodes count them all."""
    import can

    path = data_dir / "can" / "j1939-active-dm1-multipacket.mf4"
    trace = open_trace(path)
    heard: list[bytes] = []
    stack = j1939.ElectronicControlUnit(send_message=lambda *_: None)
    try:
        stack.subscribe(
            lambda prio, pgn, sa, at, data: heard.append(bytes(data)) if pgn == ACTIVE else None
        )
        with can.MF4Reader(str(path)) as frames:
            for frame in frames:
                if (frame.arbitration_id >> 16) & 0xFF in {0xEC, 0xEB}:
                    stack.notify(frame.arbitration_id, frame.data, frame.timestamp)
    finally:
        stack.stop()
    assert len(heard) == trace.whole_messages[ACTIVE] == 127
    codes = [
        DTC(dtc=int.from_bytes(data[at : at + 4], "little"))
        for data in heard
        for at in range(2, len(data), 4)
    ]
    by_stack = {(one.spn, one.fmi) for one in codes}
    assert len(codes) == 4 * 127
    assert {(one.spn, one.fmi) for one in trace.diagnostics} == by_stack
    assert [(one.text, one.occurrence, one.messages) for one in trace.diagnostics] == [
        *(("609/9", 1, 127), ("609/12", 3, 127), ("980/9", 126, 127), ("3216/20", 2, 127)),
    ]
    assert {one.ended for one in trace.diagnostics} == {Ended.STILL_THERE}


@pytest.mark.real_data
@pytest.mark.derived
def test_first_real_codes_by_hand(data_dir: Path) -> None:
    """The first broadcast of the log, its packets taken apart by hand, gives these four codes."""
    import can

    packets: dict[int, bytes] = {}
    head = b""
    with can.MF4Reader(str(data_dir / "can" / "j1939-active-dm1-multipacket.mf4")) as frames:
        for frame in frames:
            kind = (frame.arbitration_id >> 16) & 0xFF
            data = bytes(frame.data)
            if kind == 0xEC and data[0] == 32 and data[5:8] == b"\xca\xfe\x00":
                head, packets = data, {}
            elif kind == 0xEB and head:
                packets[data[0]] = data[1:]
                if len(packets) == head[3]:
                    break
    size = head[1] | head[2] << 8
    content = b"".join(packets[number] for number in sorted(packets))[:size]
    assert size == 18
    numbers = []
    for at in (2, 6, 10, 14):
        low, middle, high, count = content[at : at + 4]
        numbers.append((low + 256 * middle + 65536 * (high // 32), high % 32, count % 128))
    assert sorted(numbers) == [(609, 9, 1), (609, 12, 3), (980, 9, 126), (3216, 20, 2)]


@pytest.mark.reference
@given(raw=st.integers(0, 2**64 - 1))
def test_name_of_a_control_reads_as_in_another_stack(raw: int) -> None:
    """All fields of a NAME are those of can-j1939."""
    data = struct.pack("<Q", raw)
    other = j1939.Name(bytes=data)
    ours = read_name(data)
    assert (
        *(ours.identity, ours.maker, ours.ecu_instance, ours.function_instance, ours.function),
        *(ours.device_class, ours.class_instance, ours.industry, ours.configurable),
    ) == (
        *(other.identity_number, other.manufacturer_code, other.ecu_instance),
        *(other.function_instance, other.function, other.vehicle_system),
        *(other.vehicle_system_instance, other.industry_group),
        bool(other.arbitrary_address_capable),
    )
