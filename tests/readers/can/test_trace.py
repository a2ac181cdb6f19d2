"""Whole traces: every form gives the same day, the right sender counts, bales come out."""

from __future__ import annotations

import struct
from collections.abc import Mapping
from pathlib import Path

import can
import numpy as np
import pytest
from tests.readers.can.days import LEVELS, SHIFT_US, SWITCHES, two_bales_day
from tests.readers.can.making import BALER, T0, TRACTOR, WRITERS, Bus
from tests.readers.can.test_codes import ACTIVE, NOTHING, alone, code
from tests.records.cycles.hand_made import two_bales

from balewright.quantities.errors import BadInput, Stopped
from balewright.readers.can.trace import Trace, open_trace
from balewright.readers.open_records import TRACE, open_records
from balewright.readers.profile import shipped_profiles
from balewright.readers.reading import Reading
from balewright.records.intake import Batch
from balewright.records.signals import Signal

SERIAL = "M2-0001"
M2 = Reading(machine=SERIAL, profile=shipped_profiles()["mossgrinder-m2"])


@pytest.fixture(scope="module")
def traces(tmp_path_factory: pytest.TempPathFactory) -> Mapping[str, Trace]:
    """The same day in every form that python-can writes."""
    folder, day = tmp_path_factory.mktemp("day"), two_bales_day()
    start_us = round(T0 * 1e6)
    reading = Reading(machine=SERIAL, profile=M2.profile, begins_us=start_us)
    return {form: open_trace(day.write(folder, form), reading) for form in WRITERS}


def equal(one: Signal, other: Signal, within_us: int) -> bool:
    """Whether two signals have the same samples, their times within so much."""
    return (
        np.array_equal(one.values, other.values)
        and np.array_equal(one.known, other.known)
        and np.array_equal(one.error, other.error)
        and np.array_equal(one.at, other.at)
        and bool((np.abs(one.at_us - other.at_us) <= within_us).all())
    )


@pytest.mark.law
@pytest.mark.parametrize("form", [form for form in WRITERS if form != "candump"])
def test_every_form_gives_the_same_signals(traces: Mapping[str, Trace], form: str) -> None:
    """Values, masks and message numbers of a day are equal whatever form it was recorded in;
    times to the millisecond that the heads of ASC, BLF and TRC hold."""
    wanted, found = traces["candump"], traces[form]
    assert found.signals.by_name.keys() == wanted.signals.by_name.keys()
    for name, signal in wanted.signals.by_name.items():
        within_us = 1 if form == "csv" else 1000
        assert equal(signal, found.signals.by_name[name], within_us), name
    assert found.frames == wanted.frames
    assert found.frames_by_group == wanted.frames_by_group
    assert found.refused_total == 0


@pytest.mark.derived
def test_signals_are_what_was_drawn(traces: Mapping[str, Trace]) -> None:
    """Each own signal of the book, the tractor's speed and the position, with their resolution;
    what was sent as not available is not known."""
    trace, drawn = traces["candump"], two_bales()
    for name in [*SWITCHES.values(), *LEVELS.values(), "speed_m_s"]:
        signal = trace.signals.by_name[name]
        # times lie up to 60 ms behind the tenth of a second whose value they carry
        places = (signal.at_us - SHIFT_US - drawn[name].at_us[0]) // 100_000
        assert signal.known.all()
        assert signal.values == pytest.approx(drawn[name].values[places], abs=0.0101), name
    assert not trace.signals.by_name["gate_opening_mm"].known.any()
    lat = trace.signals.by_name["lat"]
    assert lat.values[[0, 199]] == pytest.approx([51.5, 51.50199], abs=5.1e-8)
    assert trace.origins["speed_m_s"].text == "ground speed from address 0xf0"
    assert [(one.address, one.is_baler) for one in trace.nodes] == [
        *((0x1C, False), (BALER, True), (TRACTOR, False)),
    ]


def batches(path: Path, reading: Reading) -> list[Batch]:
    """All batches, by the door that intake uses."""
    records = open_records(path, reading)
    assert records.form == TRACE
    return list(records.batches)


@pytest.mark.derived
def test_trace_is_taken_in_as_bales_with_their_codes(tmp_path: Path) -> None:
    """Two bales with their numbers, each with its message in the file and the codes that were
    there during its cycle; each code that came and went is an event."""
    day = two_bales_day()
    for at in range(120, 131):
        day.say(at + 0.3, ACTIVE, alone(code(520_201, 5, 3), lamps=0b0100))
    day.say(131.3, ACTIVE, NOTHING)
    first, second = batches(day.write(tmp_path), M2)
    assert [(one.kind, one.item, one.value, one.at_us) for one in first.events] == [
        ("code came", "520201/5", 3.0, round((T0 + 120.3) * 1e6)),
        ("code went", "520201/5", 3.0, round((T0 + 131.3) * 1e6)),
    ]
    assert first.events[0].note == "address 0x2a; lamps: amber warning"
    bales = second.bales
    assert bales.column("machine").tolist() == [SERIAL, SERIAL]
    assert bales.column("bale_no").tolist() == [701, 702]
    assert [bales.cell(row, "codes") for row in (0, 1)] == [None, "520201/5"]
    assert second.places is not None
    assert second.places.unit == "message"
    frames = sorted(day.frames, key=lambda frame: frame[0])
    for row, number in enumerate(second.places.at.tolist()):
        tipped_s = bales.cell(row, "gate_open_at") / 1e6 - T0
        assert abs(frames[number - 1][0] - tipped_s) < 60


@pytest.mark.derived
def test_intake_asks_for_what_it_needs(tmp_path: Path) -> None:
    """Without a machine, or without a date, a trace is refused with the cure; nothing is kept."""
    path = Bus([(0.1, 0x18FEF12A, b"\0")]).write(tmp_path)
    with pytest.raises(BadInput, match="--machine SERIAL"):
        batches(path, Reading())
    undated = tmp_path / "undated.log"
    undated.write_text("(1.000000) can0 18FEF12A#00\n")
    with pytest.raises(BadInput, match="--begins 2031"):
        batches(undated, Reading(machine=SERIAL))
    dated = Reading(machine=SERIAL, begins_us=round(T0 * 1e6))
    assert [batch.bales.rows for batch in batches(undated, dated)] == [0]


@pytest.mark.derived
def test_make_without_a_book_says_so(tmp_path: Path) -> None:
    """The Plainrow P0 has no signal book: standard messages are read, and that is said."""
    path = Bus([(0.1, 0x18FEF12A, b"\0")]).write(tmp_path)
    poor = Reading(machine="P0-1", profile=shipped_profiles()["plainrow-p0"])
    (only,) = batches(path, poor)
    assert "no signal book" in only.doubts[-1].text


@pytest.mark.derived
def test_only_the_baler_speaks_for_itself(tmp_path: Path) -> None:
    """Where a forage machine claimed an address, another control that sends the same message is
    left out; where two claim it or none does, the one that knows most counts, with a doubt."""

    def told(*claims: int) -> tuple[float, list[str]]:
        bus = Bus()
        name = struct.pack("<Q", 1 | 9 << 49 | 2 << 60)
        for source in claims:
            bus.say(0.0, 60928, name, source)
        for at in range(6):
            for source, bale in ((BALER, 700), (0x55, 900)):
                if source == BALER or at < 4:
                    bus.say(at + 1.0, 0xFF14, struct.pack("<IHH", bale, 1, 0xFFFF), source)
        trace = open_trace(bus.write(tmp_path), M2)
        return float(trace.signals.by_name["bale_no"].values[0]), [one.kind for one in trace.doubts]

    assert told(BALER) == (700.0, [])
    assert told(0x55) == (900.0, [])
    assert told() == (700.0, ["sender doubted", "sender doubted"])
    assert told(BALER, 0x55)[0] == 700.0


@pytest.mark.derived
def test_process_data_of_the_baler_become_signals(tmp_path: Path) -> None:
    """Values by the data dictionary: bales, moisture in ppm, mass in grams; a request or a value
    from elsewhere is none."""
    bus = Bus()
    bus.say(0.0, 60928, struct.pack("<Q", 1 | 9 << 49 | 2 << 60))
    for at, (ddi, raw) in enumerate([(214, 4711), (99, 165_000), (223, 612_500), (999, 5)]):
        bus.say(1.0 + at, 0xCB00, struct.pack("<BBHi", 0x23, 0, ddi, raw), BALER, TRACTOR)
    bus.say(6.0, 0xCB00, struct.pack("<BBHi", 0x22, 0, 214, 0), TRACTOR, BALER)
    trace = open_trace(bus.write(tmp_path))
    found = {name: signal.values.tolist() for name, signal in trace.signals.by_name.items()}
    assert found == {
        "bale_no": [4711.0],
        "moisture_frac": [pytest.approx(0.165)],
        "mass_kg": [pytest.approx(612.5)],
    }
    assert [(one.identifier, one.element, one.last_raw) for one in trace.process_data] == [
        *((99, 2, 165_000), (214, 2, 4711), (223, 2, 612_500), (999, 2, 5)),
    ]


@pytest.mark.derived
def test_reading_can_be_stopped_and_tells_how_far_it_is(tmp_path: Path) -> None:
    """Progress in bytes of the file, only forward; who stops it stops it."""
    path = two_bales_day().write(tmp_path)
    told: list[tuple[int, int | None]] = []
    open_trace(path, Reading(tell=lambda done, total: told.append((done, total))))
    assert told[-1] == (path.stat().st_size,) * 2
    assert [done for done, _ in told] == sorted(done for done, _ in told)

    def stop(done: int, total: int | None) -> None:
        raise Stopped

    with pytest.raises(Stopped):
        open_trace(path, Reading(tell=stop))


@pytest.mark.real_data
@pytest.mark.derived
def test_real_positions_by_hand(data_dir: Path) -> None:
    """The position log: 717 messages, of which all but 100 carry the error marker; the first good
    one, and ten spread over them, by struct; the satellite clock is two hours from the head's."""
    path = data_dir / "can" / "nmea2000-position.trc"
    trace = open_trace(path)
    rows: list[tuple[int, int]] = []
    for line in path.read_text(encoding="latin-1").splitlines():
        words = line.split()
        if len(words) > 12 and words[2] == "Rx" and words[3].startswith("09F801"):
            data = bytes(int(word, 16) for word in words[5:13])
            rows.append(struct.unpack("<ii", data))  # type: ignore[arg-type]
    lat, lon = trace.signals.by_name["lat"], trace.signals.by_name["lon"]
    assert lat.samples == len(rows) == 717
    wanted = np.array(rows)
    marked = wanted[:, 0] == 0x7FFFFFFE
    assert np.array_equal(lat.error, marked)
    assert np.array_equal(lat.known, ~marked)
    assert int(marked.sum()) == 617
    places = np.flatnonzero(~marked)[::10]
    assert len(places) == 10
    assert lat.values[places] == pytest.approx(wanted[places, 0] * 1e-7, abs=1e-12)
    assert lon.values[places] == pytest.approx(wanted[places, 1] * 1e-7, abs=1e-12)
    (off,) = [doubt for doubt in trace.doubts if doubt.kind == "clock off"]
    assert off.text == "satellite time is -7200 s from the recorder's clock"


@pytest.mark.real_data
@pytest.mark.derived
def test_real_fast_packets_by_hand(data_dir: Path, tmp_path: Path) -> None:
    """The last good long position of the log, its seven packets taken apart by hand, says where
    and when: so do we."""
    path = data_dir / "can" / "nmea2000-position.trc"
    parts: dict[int, bytes] = {}
    whole = (0, 0, 0, 0)
    with can.TRCReader(str(path)) as frames:
        for frame in frames:
            if (frame.arbitration_id >> 8) & 0x3FFFF != 129029:
                continue
            data = bytes(frame.data)
            if data[0] & 0x1F == 0:
                parts = {}
            parts[data[0] & 0x1F] = data[2:] if data[0] & 0x1F == 0 else data[1:]
            if len(parts) == 7:
                one = b"".join(parts[number] for number in range(7))
                found = struct.unpack_from("<HIqq", one, 1)
                whole = found if found[1] < 864_000_000 and found[2] < 1 << 62 else whole
    days, steps, lat, lon = whole
    assert (days, steps // 10_000 // 3600) == (16607, 16)  # 2015-06-21, 16 h
    assert open_trace(path).whole_messages[129029] == 72
    # Alone, as the short messages would go before.
    lines = path.read_text(encoding="latin-1").splitlines(keepends=True)
    alone = tmp_path / "long.trc"
    alone.write_text("".join(line for line in lines if line[0] == ";" or "F805" in line[20:40]))
    trace = open_trace(alone)
    known = np.flatnonzero(trace.signals.by_name["lat"].known)[-1]
    assert trace.signals.by_name["lat"].values[known] == pytest.approx(lat * 1e-16, abs=1e-13)
    assert trace.signals.by_name["lon"].values[known] == pytest.approx(lon * 1e-16, abs=1e-13)
    assert trace.origins["lat"].text.startswith("position, long from address")


@pytest.mark.derived
def test_mf4_without_its_extra_names_the_cure(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Where asammdf is not installed, an MF4 is refused with the command that installs it."""
    monkeypatch.setitem(__import__("sys").modules, "asammdf", None)
    path = tmp_path / "day.mf4"
    path.write_bytes(b"MDF     4.11    " + bytes(200))
    with pytest.raises(BadInput, match=r"pip install balewright\[mf4\]"):
        open_trace(path)


@pytest.mark.derived
def test_damaged_mf4_is_refused(tmp_path: Path) -> None:
    """A head without a body is said to be damaged; no error of the library gets out."""
    path = tmp_path / "day.mf4"
    path.write_bytes(b"MDF     4.11    " + bytes(200))
    with pytest.raises(BadInput, match="a whole MF4 file"):
        open_trace(path)
