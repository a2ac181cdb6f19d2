"""Frames of every form of trace, held against the readers of python-can and asammdf."""

from __future__ import annotations

import random
from datetime import UTC, datetime
from pathlib import Path

import can
import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.readers.can.making import T0, WRITERS, Row, rows_by_library, rows_of, write_messages

from balewright.quantities.errors import BadInput
from balewright.readers.can.forms import TraceForm, tell_form
from balewright.readers.can.notes import Notes
from balewright.readers.can.open_frames import open_frames

FRAMES = st.lists(
    st.tuples(
        st.integers(0, 0x1FFFFFFF), st.booleans(), st.binary(max_size=8), st.integers(0, 10**9)
    ),
    min_size=1,
    max_size=40,
)


def read(path: Path) -> tuple[list[Row], Notes]:
    """All frames of a trace and what was noted."""
    notes = Notes(path.name)
    return rows_of(open_frames(path, notes).frames), notes


def stripped(path: Path, into: Path) -> Path:
    """A copy without comment lines, which python-can's candump reader stops at."""
    kept = [line for line in path.read_bytes().splitlines() if not line.startswith(b"#")]
    copy = into / path.name
    copy.write_bytes(b"\n".join(kept))
    return copy


@pytest.mark.real_data
@pytest.mark.reference
@pytest.mark.parametrize(
    ("name", "frames", "left_out"),
    [
        ("nmea2000-fastpacket.candump.log", 106, {}),
        ("nmea2000-with-comments.candump.log", 2368, {"comment line": 9}),
    ],
)
@pytest.mark.check(model="frames of a bus", source="python-can")
def test_real_candump_equals_the_library_frame_by_frame(
    data_dir: Path, tmp_path: Path, name: str, frames: int, left_out: dict[str, int]
) -> None:
    """Time, identifier and bytes of every frame are python-can's; comments are counted."""
    path = data_dir / "can" / name
    found, notes = read(path)
    by_library = rows_by_library(can.CanutilsLogReader(str(stripped(path, tmp_path))))
    assert found == by_library
    assert len(found) == frames
    assert dict(notes.left_out) == left_out
    assert notes.refused_total == 0


@pytest.mark.real_data
@pytest.mark.reference
def test_real_trc_equals_the_library_frame_by_frame(data_dir: Path) -> None:
    """All 12,274 frames of the position log; its head names no zone, which is a doubt."""
    path = data_dir / "can" / "nmea2000-position.trc"
    found, notes = read(path)
    assert found == rows_by_library(can.TRCReader(str(path)))
    assert len(found) == 12_274
    assert [doubt.kind for doubt in notes.doubts] == ["zone unknown"]


@pytest.mark.real_data
@pytest.mark.derived
def test_real_mf4_equals_the_library_frame_by_frame(data_dir: Path) -> None:
    """The diagnostic log's frames are those that python-can makes of the same columns: asammdf
    opens the file for both."""
    path = data_dir / "can" / "j1939-active-dm1-multipacket.mf4"
    found, _ = read(path)
    with can.MF4Reader(str(path)) as by_library:
        assert found == rows_by_library(by_library)
    assert len(found) == 57_849


def messages_of(some: list[tuple[int, bool, bytes, int]], step_us: int = 1) -> list[can.Message]:
    """Messages whose times only rise."""
    at_us = round(T0 * 1e6)
    messages = []
    for number, extended, data, step in some:
        at_us += step // 1000 // step_us * step_us
        messages.append(
            can.Message(
                timestamp=at_us / 1e6,
                arbitration_id=number if extended else number & 0x7FF,
                is_extended_id=extended,
                data=data,
            )
        )
    return messages


@pytest.mark.law
@given(some=FRAMES)
def test_what_the_library_writes_is_read_back(
    some: list[tuple[int, bool, bytes, int]], tmp_path_factory: pytest.TempPathFactory
) -> None:
    """Any frames, written by python-can in each form, come back with every bit and their time to
    what the form can hold: a microsecond, in TRC and the start of ASC and BLF a millisecond."""
    folder = tmp_path_factory.mktemp("round")
    messages = messages_of(some, step_us=1000)
    wanted = rows_by_library(messages)
    for form in WRITERS:
        path = write_messages(folder, form, messages)
        found, notes = read(path)
        assert [row[1:] for row in found] == [row[1:] for row in wanted], form
        first = found[0][0] - wanted[0][0]
        apart = [row[0] - want[0] - first for row, want in zip(found, wanted, strict=True)]
        assert max(map(abs, apart)) <= 1000 if form == "trc" else max(map(abs, apart)) <= 1, form
        assert notes.refused_total == 0
        head = path.read_bytes()
        assert tell_form(head) == TraceForm(form)


LINES = st.sampled_from(
    [
        *("(1938763800.000001) can0 18FEF12A#0011223344556677", "(1.5) can1 123#", "# a comment"),
        *("(1938763800.100000) can0 18FEF12A#R", "(1938763800.2) vcan10 7FF#AB T", ""),
        *("(1938763800.300000) can0 18FEF12A##1001122", "(1938763800.4) can0 20000080#00"),
        *("(1938763800.5) can0 18FEF12A#00112233 R", "(12.25) 7 1ABCDEF0#0102"),
    ]
)


@pytest.mark.reference
@given(lines=st.lists(LINES, min_size=1, max_size=30))
def test_fast_way_gives_what_the_library_gives(
    lines: list[str], tmp_path_factory: pytest.TempPathFactory
) -> None:
    """Lines of every kind that the library reads, mixed at random: the same frames in the same
    order, and every line is a frame, left out by its kind, or empty."""
    folder = tmp_path_factory.mktemp("twin")
    plain, mixed = folder / "plain.log", folder / "mixed.log"
    lines = ["(0.000000) can0 123#00", *lines]
    mixed.write_text("\n".join(lines) + "\n")
    plain.write_text("\n".join(line for line in lines if not line.startswith("#")) + "\n")
    found, notes = read(mixed)
    assert found == rows_by_library(can.CanutilsLogReader(str(plain)))
    empty = sum(not line for line in lines)
    assert len(found) + sum(notes.left_out.values()) + empty == len(lines)


BROKEN = {
    "identifier": "(1938763800.1) can0 18FEXX2A#00",
    "too large": "(1938763800.1) can0 3FFFFFF2A#00",
    "odd digits": "(1938763800.1) can0 18FEF12A#001",
    "nine bytes": "(1938763800.1) can0 18FEF12A#001122334455667788",
    "no data": "(1938763800.1) can0",
    "no number": "(nan) can0 18FEF12A#00",
    "text": "hello",
    "bytes": "\x00\x01\x02\xff",
    "long": "(1938763800.1) can0 18FEF12A#" + "0" * 1_000_000,
}


@pytest.mark.derived
@pytest.mark.parametrize("line", BROKEN.values(), ids=BROKEN.keys())
def test_broken_line_is_refused_and_the_next_is_read(line: str, tmp_path: Path) -> None:
    """A line that is no frame is listed with its number; the lines around it are kept."""
    good = "(1938763800.0) can0 18FEF12A#0011"
    path = tmp_path / "broken.log"
    path.write_text(f"{good}\n{line}\n{good}\n", encoding="latin-1")
    found, notes = read(path)
    assert [row[4] for row in found] == [1, 2]
    assert [refusal.place for refusal in notes.refusals] == ["line 2"]
    assert len(notes.refusals[0].text) <= 80


TRC_FILES = {
    "1.0": (";   a trace\n;---+--   ----+----  --+--  ----+---  +  -+ -- --\n",
            "     1)      1841  18FEF12A  8  00 11 22 33 44 55 66 77 \n"
            "     2)   1900  0123  2  AA BB\n"),
    "1.1": (";$FILEVERSION=1.1\n;$STARTTIME=48008.5\n",
            "     1)      1841.0  Rx     18FEF12A  8  00 11 22 33 44 55 66 77 \n"
            "     2)      1842.5  Warng  FFFFFFFF  4  00 00 00 08  BUSHEAVY\n"
            "    10)      1900.3  Tx         0123  2  AA BB\n"),
    "1.3": (";$FILEVERSION=1.3\n;$STARTTIME=48008.5\n",
            "      1)      1841.000 1  Rx        0123 -  2    AA BB \n"
            "      2)      1900.300 1  Rx    18FEF12A -  8    00 11 22 33 44 55 66 77 \n"),
    "2.0": (";$FILEVERSION=2.0\n;$STARTTIME=48008.5\n;$COLUMNS=N,O,T,I,d,l,D\n",
            "      1      1841.000 DT     0123 Rx 2  AA BB \n"
            "      2      1900.300 DT 18FEF12A Rx 8  00 11 22 33 44 55 66 77 \n"),
    "2.1": (";$FILEVERSION=2.1\n;$STARTTIME=48008.5\n;$COLUMNS=N,O,T,B,I,d,R,L,D\n",
            "      1      1841.000 DT 1      0123 Rx -  2    AA BB \n"
            "      2      1900.300 DT 1  18FEF12A Rx -  8    00 11 22 33 44 55 66 77 \n"),
}  # fmt: skip


@pytest.mark.reference
@pytest.mark.parametrize("version", TRC_FILES)
def test_every_version_of_trc_equals_the_library(version: str, tmp_path: Path) -> None:
    """Versions 1.0 to 2.1: the same frames as python-can; other lines are counted."""
    head, body = TRC_FILES[version]
    path = tmp_path / "some.trc"
    path.write_text(head + body)
    found, notes = read(path)
    assert found == rows_by_library(can.TRCReader(str(path)))
    assert len(found) == 2
    assert notes.left_out["other line"] == (1 if version == "1.1" else 0)


@pytest.mark.derived
def test_unknown_version_of_trc_is_refused(tmp_path: Path) -> None:
    """A version that the library would misread is refused by name."""
    path = tmp_path / "some.trc"
    path.write_text(";$FILEVERSION=1.2\n;$STARTTIME=48008.5\n")
    with pytest.raises(BadInput, match=r"1\.1, 1\.3, 2\.0 or 2\.1"):
        read(path)


ASC = """date Mon Jun 09 11:30:00.250 am 2031
base {base}  timestamps {times}
internal events logged
// version 9.0.0
Begin Triggerblock Mon Jun 09 11:30:00.250 am 2031
   0.000000 Start of measurement
   0.010000 1  {one}x       Rx   d 2 {data}  Length = 1 BitCount = 2 ID = 3x
   0.010000 1  Statistic: D 0 R 0 XD 0 XR 0 E 0 O 0 B 0.00%
   0.020000 1  {one}x       Rx   d 2 {data}  Length = 12 BitCount = 2 ID = 3x
End TriggerBlock
"""


@pytest.mark.derived
@pytest.mark.parametrize("base", ["hex", "dec"])
@pytest.mark.parametrize("times", ["absolute", "relative"])
def test_asc_says_its_own_clock_and_base(base: str, times: str, tmp_path: Path) -> None:
    """Hexadecimal and decimal numbers, times from the start or from the line before, and the
    date of the head (11:30 in a zone two hours ahead is 9:30 UTC) are taken as the head says."""
    one, data = ("18FEF12A", "0A FF") if base == "hex" else (str(0x18FEF12A), "10 255")
    path = tmp_path / "some.asc"
    path.write_text(ASC.format(base=base, times=times, one=one, data=data))
    notes = Notes(path.name)
    found = rows_of(open_frames(path, notes, zone="Europe/Berlin").frames)
    start_us = round(datetime(2031, 6, 9, 9, 30, 0, 250_000, UTC).timestamp() * 1e6)
    second_us = 20_000 if times == "absolute" else 40_000
    assert found == [
        (start_us + 10_000, 0x18FEF12A, True, b"\x0a\xff", 1),
        (start_us + second_us, 0x18FEF12A, True, b"\x0a\xff", 2),
    ]
    assert notes.doubts == []
    assert notes.left_out["event line"] == 2
    unsaid = Notes(path.name)
    rows_of(open_frames(path, unsaid).frames)
    assert [doubt.kind for doubt in unsaid.doubts] == ["zone unknown"]


SCREEN = """ (000.000000)  can0  18FEF12A   [8]  00 11 22 33 44 55 66 77
 (000.250000)  can0  18FEF12A   [2]  AA BB
 (000.100000)  can0       7FF   [3]  01 02 03   '...'
 (000.050000)  can0  20000080   [8]  00 00 00 00 00 00 00 00   ERRORFRAME
 (000.100000)  can0  18FEF12A   [0]  remote request
 (000.500000)  can0  18FEF12A   [2]  AA
 (000.100000)  can0  18FEF12A   [1]  CC
"""


@pytest.mark.derived
def test_candump_of_the_screen_is_read(tmp_path: Path) -> None:
    """What candump shows is read as what it logs; times from line to line are added up, those of
    the lines between among them."""
    path = tmp_path / "screen.txt"
    path.write_text(SCREEN)
    notes = Notes(path.name)
    found = rows_of(open_frames(path, notes, begins_us=round(T0 * 1e6)).frames)
    wanted = [
        (0, 0x18FEF12A, True, bytes.fromhex("0011223344556677")),
        (250_000, 0x18FEF12A, True, b"\xaa\xbb"),
        (350_000, 0x7FF, False, b"\x01\x02\x03"),
        (1_100_000, 0x18FEF12A, True, b"\xcc"),
    ]
    assert [(row[0] - round(T0 * 1e6), *row[1:4]) for row in found] == wanted
    assert notes.left_out == {"error frame": 1, "request for data": 1}
    assert [refusal.place for refusal in notes.refusals] == ["line 6"]
    absolute = tmp_path / "absolute.txt"
    absolute.write_text(f" ({T0 + 1:.6f})  can0  18FEF12A   [2]  AA BB\n")
    assert read(absolute)[0] == [(round((T0 + 1) * 1e6), 0x18FEF12A, True, b"\xaa\xbb", 1)]


@pytest.mark.derived
def test_trace_without_a_date_asks_for_its_beginning(tmp_path: Path) -> None:
    """Times from 0 count from the start; whoever gives the start gets dated frames."""
    path = tmp_path / "relative.log"
    path.write_text("(0.500000) can0 18FEF12A#00\n(1.000000) can0 18FEF12A#01\n")
    notes = Notes(path.name)
    undated = open_frames(path, notes)
    assert [row[0] for row in rows_of(undated.frames)] == [500_000, 1_000_000]
    assert not undated.dated()
    assert notes.doubts[0].kind == "start unknown"
    dated = open_frames(path, Notes(path.name), begins_us=round(T0 * 1e6))
    assert next(row[0] for row in rows_of(dated.frames)) == round(T0 * 1e6) + 500_000
    assert dated.dated()


@pytest.mark.derived
def test_jumps_and_gaps_of_the_clock_are_doubts(tmp_path: Path) -> None:
    """A step back of seconds, a pause and two channels slightly out of step: each is said."""
    times = [100.0, 100.2, 100.1, 100.3, 60.0, 60.1, 90.0]
    path = tmp_path / "clock.log"
    path.write_text("".join(f"({T0 + at:.6f}) can0 18FEF12A#00\n" for at in times))
    found, notes = read(path)
    assert len(found) == 7
    assert [(doubt.place, doubt.kind) for doubt in notes.doubts] == [
        ("message 5", "clock jumped"),
        ("message 7", "recording gap"),
        ("whole file", "times disordered"),
    ]


@pytest.mark.derived
@pytest.mark.parametrize("kind", ["cut", "junk", "huge object", "bomb", "odd bomb", "head"])
def test_damaged_blf_keeps_what_was_before(kind: str, tmp_path: Path) -> None:
    """A BLF cut, overwritten or lying about sizes gives its sound part and says what is lost;
    a container that unpacks without end is not unpacked."""
    import struct
    import zlib

    messages = messages_of([(1, True, bytes(8), 1_000_000)] * 9000)
    path = write_messages(tmp_path, "blf", messages)
    content = bytearray(path.read_bytes())
    second = content.index(b"LOBJ", 160)
    if kind == "cut":
        content = content[: len(content) // 2]
    elif kind == "junk":
        content[second : second + 16] = random.Random(1).randbytes(16)
    elif kind == "huge object":
        struct.pack_into("<I", content, second + 8, 0xFFFFFFF0)
    elif "bomb" in kind:
        window = 15 if kind == "bomb" else 9  # which is told by its first byte
        packer = zlib.compressobj(9, zlib.DEFLATED, window)
        packed = packer.compress(bytes(80 << 20)) + packer.flush()
        head = struct.pack("<4sHHII", b"LOBJ", 16, 1, 32 + len(packed), 10)
        content[second:] = head + struct.pack("<H6xL4x", 2, 80 << 20) + packed
    else:
        content = content[:60]
    path.write_bytes(content)
    if kind == "head":
        with pytest.raises(BadInput, match="cut in its head"):
            read(path)
        return
    found, notes = read(path)
    assert len(found) < 9000
    assert found == rows_by_library(messages)[: len(found)]
    assert notes.refused_total + notes.doubtful_total >= 1


@pytest.mark.own
@pytest.mark.parametrize("version", [1, 9])
def test_object_without_length_ends_a_blf(version: int, tmp_path: Path) -> None:
    """An object that says it is 0 bytes long would be read again for ever: the rest is refused."""
    import struct

    messages = messages_of([(n, True, bytes(8), 1_000_000 * n) for n in range(1, 10)])
    writer = can.BLFWriter(tmp_path / "a.blf", compression_level=0)
    for message in messages:
        writer.on_message_received(message)
    writer.stop()
    content = bytearray((tmp_path / "a.blf").read_bytes())
    last = content.rindex(b"LOBJ")
    struct.pack_into("<HI", content, last + 6, version, 0)
    (tmp_path / "a.blf").write_bytes(content)
    found, notes = read(tmp_path / "a.blf")
    assert len(found) < 9
    assert notes.refused_total == 1
