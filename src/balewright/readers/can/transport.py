"""Long messages put together from their packets: ISO 11783-3 / SAE J1939-21 transport, and the
fast packets of NMEA 2000. A message with a packet missing is noted, never filled up."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Final

from balewright.readers.can.frames import GLOBAL, Frames
from balewright.readers.can.notes import Notes
from balewright.records.quality import Mark

CONNECTION: Final = 60416
PACKET: Final = 60160
FAST_PACKETS: Final = frozenset({129029})

T1_US: Final = 750_000
"""Longest pause between two packets, ISO 11783-3."""

T2_US: Final = 1_250_000
"""Longest pause of a connection, in which each side waits for the other, ISO 11783-3."""

MOST_BYTES: Final = 1785
_MOST_FAST_BYTES: Final = 223
_RTS, _CTS, _END, _BAM, _ABORT = 16, 17, 19, 32, 255


@dataclass(frozen=True)
class LongMessage:
    """A whole message: when its last packet came, its group, addresses, bytes, and the number of
    the frame that completed it."""

    at_us: int
    pgn: int
    source: int
    destination: int
    data: bytes
    number: int


@dataclass
class _Session:
    pgn: int
    size: int
    packets: int
    heard_us: int
    number: int
    resent: bool = False
    contradicted: bool = False
    parts: dict[int, bytes] = field(default_factory=dict)

    def add(self, packet: int, part: bytes) -> None:
        """Keep one packet; a second one that differs makes the message worthless, unless the
        receiver had asked for it again."""
        if not 1 <= packet <= self.packets or (
            packet in self.parts and self.parts[packet] != part and not self.resent
        ):
            self.contradicted = True
        else:
            self.parts[packet] = part

    @property
    def whole(self) -> bool:
        return len(self.parts) == self.packets

    def content(self) -> bytes:
        return b"".join(self.parts[one] for one in range(1, self.packets + 1))[: self.size]


class Transport:
    """Follows every conversation on the bus by its two addresses."""

    def __init__(self, notes: Notes) -> None:
        self._notes = notes
        self._open: dict[tuple[int, int], _Session] = {}
        self.lost: list[LongMessage] = []
        """Messages that never became whole, without data, since last asked: when last heard."""

    def follow(self, frames: Frames) -> list[LongMessage]:
        """The messages that become whole with these frames of CONNECTION and PACKET."""
        done = []
        rows = zip(
            frames.at_us.tolist(),
            frames.pgn.tolist(),
            zip(frames.source.tolist(), frames.destination.tolist(), strict=True),
            frames.number.tolist(),
            (frames.data[row, : frames.length[row]].tobytes() for row in range(frames.rows)),
            strict=True,
        )
        for at_us, pgn, key, number, data in rows:
            if len(data) < 8:
                self._notes.refuse(f"message {number}", data.hex(), "A packet has eight bytes.")
            elif pgn == CONNECTION:
                self._control(at_us, key, number, data)
            else:
                whole = self._packet(at_us, key, number, data)
                done += [] if whole is None else [whole]
        return done

    def end(self) -> None:
        """Note what is still open where the trace ends."""
        for key in list(self._open):
            self._lose(key, "the trace ends within it")

    def _control(self, at_us: int, key: tuple[int, int], number: int, data: bytes) -> None:
        kind, back = data[0], (key[1], key[0])
        if kind in (_RTS, _BAM):
            self._begin(at_us, key, number, data)
        elif kind == _CTS and back in self._open:
            session = self._open[back]
            session.heard_us = at_us
            session.resent |= data[2] in session.parts
        elif kind == _END and back in self._open:
            self._lose(back, "its receiver has it, this recording has not")
        elif kind == _ABORT:
            for one in (key, back):
                if one in self._open:
                    self._lose(one, f"it was broken off, reason {data[1]}")

    def _begin(self, at_us: int, key: tuple[int, int], number: int, data: bytes) -> None:
        broadcast = data[0] == _BAM
        if broadcast != (key[1] == GLOBAL):
            said = "A message to all is announced to one, or the other way round."
            self._notes.refuse(f"message {number}", data.hex(), said)
            return
        size, packets = int.from_bytes(data[1:3], "little"), data[3]
        pgn = int.from_bytes(data[5:8], "little") & 0x3FFFF
        if not 1 <= size <= MOST_BYTES or packets != -(-size // 7):
            said = f"A message of {size} bytes in {packets} packets cannot be."
            self._notes.refuse(f"message {number}", data.hex(), said)
            return
        before = self._open.get(key)
        if before is not None and (before.parts or before.pgn != pgn):
            self._lose(key, "another one began before its end")
        self._open[key] = _Session(pgn, size, packets, at_us, number)

    def _packet(
        self, at_us: int, key: tuple[int, int], number: int, data: bytes
    ) -> LongMessage | None:
        session = self._open.get(key)
        if session is not None and at_us - session.heard_us > (
            T1_US if key[1] == GLOBAL else T2_US
        ):
            self._lose(key, f"nothing came for {(at_us - session.heard_us) / 1e6:.2f} s")
            session = None
        if session is None:
            self._notes.left_out["packet of no message"] += 1
            return None
        session.heard_us = at_us
        session.add(data[0], data[1:])
        if session.contradicted:
            self._lose(key, f"its packet {data[0]} contradicts it")
            return None
        if not session.whole:
            return None
        del self._open[key]
        return LongMessage(at_us, session.pgn, key[0], key[1], session.content(), number)

    def _lose(self, key: tuple[int, int], why: str) -> None:
        session = self._open.pop(key)
        lost = LongMessage(session.heard_us, session.pgn, key[0], key[1], b"", session.number)
        self.lost.append(lost)
        said = (
            f"group {session.pgn} from address {key[0]:#04x}: {len(session.parts)} of "
            f"{session.packets} packets, {why}"
        )
        self._notes.doubt(f"message {session.number}", Mark.MESSAGE_INCOMPLETE, said)


class FastPackets:
    """Puts fast packets of the groups FAST_PACKETS together."""

    def __init__(self, notes: Notes) -> None:
        self._notes = notes
        self._open: dict[tuple[int, int, int], _Session] = {}

    def follow(self, frames: Frames) -> list[LongMessage]:
        """The messages that become whole with these frames."""
        done = []
        rows = zip(
            frames.at_us.tolist(),
            frames.pgn.tolist(),
            frames.source.tolist(),
            frames.number.tolist(),
            (frames.data[row, : frames.length[row]].tobytes() for row in range(frames.rows)),
            strict=True,
        )
        for at_us, pgn, source, number, data in rows:
            if len(data) < 2:
                self._notes.refuse(
                    f"message {number}", data.hex(), "A packet has two bytes or more."
                )
                continue
            key, counter = (source, pgn, data[0] >> 5), data[0] & 0x1F
            if counter == 0:
                self._begin(at_us, key, number, data)
            session = self._open.get(key)
            if session is not None and at_us - session.heard_us > T1_US:
                self._lose(key, f"nothing came for {(at_us - session.heard_us) / 1e6:.2f} s")
                session = None
            if session is None:
                self._notes.left_out["packet of no message"] += 1
                continue
            session.heard_us = at_us
            session.add(counter + 1, data[2:] if counter == 0 else data[1:])
            if session.contradicted:
                self._lose(key, f"its packet {counter} contradicts it")
            elif session.whole:
                del self._open[key]
                content = session.content()
                if len(content) < session.size:
                    said = f"A message of {session.size} bytes holds {len(content)}."
                    self._notes.refuse(f"message {number}", data.hex(), said)
                else:
                    done.append(LongMessage(at_us, pgn, source, GLOBAL, content, number))
        return done

    def end(self) -> None:
        """Note what is still open where the trace ends."""
        for key in list(self._open):
            self._lose(key, "the trace ends within it")

    def _begin(self, at_us: int, key: tuple[int, int, int], number: int, data: bytes) -> None:
        if key in self._open:
            self._lose(key, "another one began before its end")
        size = data[1]
        if not 1 <= size <= _MOST_FAST_BYTES:
            said = f"A fast packet of {size} bytes cannot be."
            self._notes.refuse(f"message {number}", data.hex(), said)
            return
        packets = 1 + max(0, -(-(size - 6) // 7))
        self._open[key] = _Session(key[1], size, packets, at_us, number)

    def _lose(self, key: tuple[int, int, int], why: str) -> None:
        session = self._open.pop(key)
        said = (
            f"group {key[1]} from address {key[0]:#04x}: {len(session.parts)} of "
            f"{session.packets} packets, {why}"
        )
        self._notes.doubt(f"message {session.number}", Mark.MESSAGE_INCOMPLETE, said)
