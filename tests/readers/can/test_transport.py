"""Long messages from packets: the standard's example, another stack, and everything that goes
wrong on a bus."""

from __future__ import annotations

import struct

import j1939
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.readers.can.making import BALER, TRACTOR, Bus, identifier

from balewright.readers.can.frames import Frames, OneFrame, frames_of
from balewright.readers.can.notes import Notes
from balewright.readers.can.transport import FastPackets, LongMessage, Transport


def frames(bus: Bus) -> Frames:
    """A bus as one block."""
    some = sorted(bus.frames, key=lambda frame: frame[0])
    ones = [OneFrame(round(at * 1e6), number, True, data) for at, number, data in some]
    return frames_of(ones, np.arange(1, len(ones) + 1))


def follow(bus: Bus) -> tuple[list[LongMessage], Notes]:
    """Long messages of a bus and what was noted."""
    notes = Notes("bus")
    transport = Transport(notes)
    done = transport.follow(frames(bus))
    transport.end()
    return done, notes


@pytest.mark.derived
def test_broadcast_is_put_together_as_the_standard_lays_it_out() -> None:
    """By the layout of SAE J1939-21: size, packets and group in the announcement, packets numbered
    from 1, the last filled up with FF. Here 17 bytes of group 65260 (a machine's number)."""
    bus = Bus()
    bus.say(0.00, 60416, bytes.fromhex("201100 03ff ecfe00"))
    bus.say(0.05, 60160, b"\x01ABCDEFG")
    bus.say(0.10, 60160, b"\x02HIJKLMN")
    bus.say(0.15, 60160, b"\x03OPQ\xff\xff\xff\xff")
    done, notes = follow(bus)
    assert [(one.pgn, one.source, one.data, one.number) for one in done] == [
        (65260, BALER, b"ABCDEFGHIJKLMNOPQ", 4)
    ]
    assert (notes.refused_total, notes.doubtful_total) == (0, 0)


@pytest.mark.reference
@settings(max_examples=25)
@given(
    some=st.lists(
        st.tuples(st.integers(9, 200), st.integers(0, 250)),
        min_size=1,
        max_size=5,
        unique_by=lambda x: x[1],
    )
)
@pytest.mark.check(model="long messages of a bus", source="can-j1939")
def test_interleaved_broadcasts_equal_another_stack(some: list[tuple[int, int]]) -> None:
    """Broadcasts of several senders, packet between packet: the messages of can-j1939, in its
    order."""
    bus = Bus()
    for at, (size, source) in enumerate(some):
        data = bytes((source + 3 * byte) % 251 for byte in range(size))
        bus.broadcast(0.007 * at, 65280 + at, data, source)
    done, notes = follow(bus)
    wanted: list[tuple[int, int, bytes]] = []
    stack = j1939.ElectronicControlUnit(send_message=lambda *_: None)
    try:
        stack.subscribe(lambda prio, pgn, sa, at, data: wanted.append((pgn, sa, bytes(data))))
        for at_s, number, data in sorted(bus.frames, key=lambda frame: frame[0]):
            stack.notify(number, bytearray(data), at_s)
    finally:
        stack.stop()
    assert [(one.pgn, one.source, one.data) for one in done] == wanted
    assert len(done) == len(some)
    assert notes.doubtful_total == 0


def connection(bus: Bus, data: bytes, give_end: bool = True, at_s: float = 0.0) -> int:
    """A connection from the baler to the tractor, two packets at a time; gives the packets."""
    packets = -(-len(data) // 7)
    group = (65226).to_bytes(3, "little")
    head = struct.pack("<BHBB", 16, len(data), packets, 2) + group
    bus.say(at_s, 60416, head, BALER, TRACTOR)
    for number in range(1, packets + 1):
        if number % 2:
            clear = bytes([17, min(2, packets - number + 1), number, 255, 255]) + group
            bus.say(at_s + 0.01 * number, 60416, clear, TRACTOR, BALER)
        part = data[7 * number - 7 : 7 * number].ljust(7, b"\xff")
        bus.say(at_s + 0.01 * number + 0.002, 60160, bytes([number]) + part, BALER, TRACTOR)
    if give_end:
        end = struct.pack("<BHBB", 19, len(data), packets, 255) + group
        bus.say(at_s + 0.01 * packets + 0.005, 60416, end, TRACTOR, BALER)
    return packets


@pytest.mark.derived
def test_connection_between_two_is_overheard() -> None:
    """Request, clearances, packets and the receiver's end, while the same sender broadcasts."""
    bus, data = Bus(), bytes(range(40))
    connection(bus, data)
    bus.broadcast(0.003, 65227, bytes(range(100, 120)))
    done, notes = follow(bus)
    assert sorted((one.pgn, one.destination, one.data) for one in done) == [
        (65226, TRACTOR, data),
        (65227, 0xFF, bytes(range(100, 120))),
    ]
    assert notes.doubtful_total == 0


def lost_packet(bus: Bus) -> None:
    """The second of four packets is not heard, and another message begins."""
    bus.broadcast(0, 65226, bytes(range(26)), skip={2})
    bus.broadcast(0.5, 65226, bytes(range(26)))


def late_packet(bus: Bus) -> None:
    """0.8 s between two packets: the standard allows 0.75 s."""
    bus.broadcast(0, 65226, bytes(range(14)), skip={2})
    bus.say(0.86, 60160, b"\x02" + bytes(range(7, 14)))


def broken_off(bus: Bus) -> None:
    """The receiver breaks the connection off."""
    connection(bus, bytes(range(40)), give_end=False)
    bus.frames = bus.frames[:4]
    group = (65226).to_bytes(3, "little")
    bus.say(0.5, 60416, bytes([255, 3, 255, 255, 255]) + group, TRACTOR, BALER)


def contradiction(bus: Bus) -> None:
    """Packet 1 comes a second time with other bytes, not asked for."""
    bus.broadcast(0, 65226, bytes(range(14)), skip={2})
    bus.say(0.1, 60160, b"\x01" + bytes(7))


def end_of_file(bus: Bus) -> None:
    """The recording stops within the message."""
    bus.broadcast(0, 65226, bytes(range(26)), skip={4})


def packet_too_many(bus: Bus) -> None:
    """A packet with a number that the message does not have."""
    bus.broadcast(0, 65226, bytes(range(14)), skip={2})
    bus.say(0.1, 60160, b"\x07" + bytes(7))


@pytest.mark.derived
@pytest.mark.parametrize(
    ("spoil", "whole", "said"),
    [
        (lost_packet, 1, "3 of 4 packets, another one began before its end"),
        (late_packet, 0, "1 of 2 packets, nothing came for 0.81 s"),
        (broken_off, 0, "packets, it was broken off, reason 3"),
        (contradiction, 0, "its packet 1 contradicts it"),
        (end_of_file, 0, "3 of 4 packets, the trace ends within it"),
        (packet_too_many, 0, "its packet 7 contradicts it"),
    ],
)
def test_incomplete_message_is_a_doubt_and_never_filled_up(
    spoil: object, whole: int, said: str
) -> None:
    """What is missing is said with its cause; no byte of it is used."""
    bus = Bus()
    spoil(bus)  # type: ignore[operator]
    done, notes = follow(bus)
    assert len(done) == whole
    assert [doubt.kind for doubt in notes.doubts] == ["message incomplete"]
    assert said in notes.doubts[0].text


@pytest.mark.derived
def test_packets_twice_and_out_of_order_make_the_message() -> None:
    """A packet heard twice with the same bytes is one, and their order does not matter."""
    bus = Bus()
    bus.say(0, 60416, bytes.fromhex("20110003ffecfe00"))
    for at, packet in enumerate(
        [b"\x02HIJKLMN", b"\x01ABCDEFG", b"\x02HIJKLMN", b"\x03OPQ\xff\xff\xff\xff"]
    ):
        bus.say(0.05 * (at + 1), 60160, packet)
    done, notes = follow(bus)
    assert [one.data for one in done] == [b"ABCDEFGHIJKLMNOPQ"]
    assert notes.doubtful_total == 0


@pytest.mark.derived
@pytest.mark.parametrize(
    "announced", ["20ffff03ffecfe00", "20110009ffecfe00", "20000000ffecfe00", "1011000303ecfe00"]
)
def test_announcement_that_cannot_be_is_refused(announced: str) -> None:
    """Sizes that no message has, or that the packets contradict, or a request to everybody."""
    bus = Bus()
    bus.say(0, 60416, bytes.fromhex(announced))
    bus.say(0.05, 60160, b"\x01ABCDEFG")
    done, notes = follow(bus)
    assert done == []
    assert notes.refused_total == 1
    assert notes.left_out["packet of no message"] == 1


@pytest.mark.law
@settings(max_examples=50)
@given(
    some=st.lists(st.tuples(st.sampled_from([60416, 60160]), st.binary(max_size=8)), max_size=80)
)
def test_no_packets_whatever_break_the_reader(some: list[tuple[int, bytes]]) -> None:
    """Any frames of the two groups, whole or short: no error, and no message out of nothing."""
    bus = Bus()
    for at, (pgn, data) in enumerate(some):
        bus.say(0.01 * at, pgn, data, BALER, 0xFF if at % 2 else TRACTOR)
    done, _ = follow(bus)
    assert all(len(one.data) <= 7 * len(some) for one in done)


@pytest.mark.derived
def test_fast_packets_are_put_together_and_their_loss_is_said() -> None:
    """Six bytes in the first packet, seven in each other; two senders and two counts at once;
    one whose packet is lost is a doubt."""
    message = bytes(range(43))
    bus = Bus()

    def send(at_s: float, source: int, count: int, skip: int | None = None) -> None:
        parts = [bytes([43]) + message[:6]]
        parts += [message[6 + 7 * at : 13 + 7 * at].ljust(7, b"\xff") for at in range(6)]
        for number, part in enumerate(parts):
            if number != skip:
                head = bytes([count << 5 | number])
                bus.frames.append((at_s + 0.002 * number, identifier(129029, source), head + part))

    send(0.0, 3, 1)
    send(0.001, 4, 1)
    send(1.0, 3, 2, skip=4)
    send(2.0, 3, 3)
    notes = Notes("bus")
    fast = FastPackets(notes)
    done = fast.follow(frames(bus))
    fast.end()
    assert [(one.source, one.data) for one in done] == [(3, message), (4, message), (3, message)]
    assert ["6 of 7 packets" in doubt.text for doubt in notes.doubts] == [True]
