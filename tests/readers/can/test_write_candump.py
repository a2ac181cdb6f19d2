"""Signals written as a trace and read again."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from pathlib import Path

import can
import cantools
import numpy as np
import pytest

from balewright.readers import lines
from balewright.readers.can import trace_bales
from balewright.readers.can.signal_book import MAKES, read_signal_book, shipped_book
from balewright.readers.can.trace import open_trace
from balewright.readers.can.trace_bales import trace_batches
from balewright.readers.can.write_candump import CodeSaid, write_candump
from balewright.readers.profile import shipped_profiles
from balewright.readers.reading import Reading
from balewright.records.bales import concatenate
from balewright.records.cycles.cutting import cut_pieces
from balewright.records.cycles.cycles import Cycles
from balewright.records.cycles.rules import CycleRules
from balewright.records.signals import Signals
from balewright.rehearsal.signals.habits import RICH, Spread
from balewright.rehearsal.signals.troubles import Trouble, rehearse_day

CODE = CodeSaid(520_192 + 168, 31, 0, 0, 3)


def written(folder: Path) -> tuple[Path, Signals, int]:
    """A day of two bales as a log, its signals, and how many frames it should have."""
    day = rehearse_day(replace(RICH, life=70_000), 2, Trouble.NONE, np.random.default_rng(5))
    first_us = day.signals.first_us
    book = shipped_book("mossgrinder-m2")
    assert first_us is not None
    assert book is not None
    code = replace(CODE, came_us=first_us + 10_000_000, went_us=first_us + 30_000_000)
    path = folder / "day.log"
    with path.open("w", encoding="ascii", newline="\n") as stream:
        count = write_candump(day.signals, read_signal_book(book), stream, (code,))
    return path, day.signals, count


@pytest.mark.law
def test_signals_written_are_the_signals_read(tmp_path: Path) -> None:
    """Each signal of the book, speed and position come back as the newest value at their time, to
    the step of their field; a code comes and goes when it was said."""
    path, signals, count = written(tmp_path)
    trace = open_trace(path, Reading(machine="X", profile=shipped_profiles()["mossgrinder-m2"]))
    assert (trace.frames, trace.refusals) == (count, ())
    assert {"speed_m_s", "lat", "bale_no", "wrap_turns", "tip_on"} <= trace.signals.by_name.keys()
    steps = {"gate_opening_mm": 0.1, "chamber_fill_frac": 0.004, "supply_v": 0.05, "lat": 1e-7}
    for name, found in trace.signals.by_name.items():
        if name not in signals.by_name:
            assert not found.known.any(), name
            continue
        said = signals.by_name[name]
        newest = np.searchsorted(said.at_us, found.at_us, side="right") - 1
        # a message is stamped some milliseconds after the moment whose values it holds
        before = np.searchsorted(said.at_us, found.at_us - 10_000, side="right") - 1
        low, high = (said.values[np.maximum(place, 0)] for place in (before, newest))
        off = np.minimum(abs(found.values - low), abs(found.values - high))
        assert off[found.known & (before >= 0)].max() <= steps.get(name, 0.02) / 2 + 1e-9, name
    (code,) = trace.diagnostics
    assert (code.text, code.occurrence) == ("520360/31", 3)
    assert code.went_us is not None
    assert code.went_us - code.came_us == 20_000_000


@pytest.mark.reference
def test_another_program_reads_the_same_trace(tmp_path: Path) -> None:
    """python-can reads every frame, and cantools finds the machine's number and the bits of its
    wrapper where its DBC says."""
    path, signals, count = written(tmp_path)
    database = cantools.database.load_file(MAKES / "mossgrinder_m2.dbc")
    counters = next(one for one in database.messages if one.name == "Counters")
    frames = list(can.LogReader(str(path)))
    assert len(frames) == count
    numbers = [
        counters.decode(bytes(frame.data), decode_choices=False)["LifeBales"]
        for frame in frames
        if frame.arbitration_id >> 8 == counters.frame_id >> 8
    ]
    said = signals.by_name["bale_no"]
    assert set(numbers) - {2**32 - 1} == set(said.values.astype(int).tolist())


@pytest.mark.law
def test_a_long_trace_is_cut_in_pieces_and_gives_the_same_bales(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """With room for a few samples only: the same bales from the same messages, events, refusals
    and doubts; what is held stays small, and the bar moves on by bytes to its end."""
    habits = replace(RICH, life=500, fill_s=Spread(20.0, 60.0))
    day = rehearse_day(habits, 25, Trouble.GAPS, np.random.default_rng(11)).signals
    path, profile = tmp_path / "long.log", shipped_profiles()["mossgrinder-m2"]
    assert day.first_us is not None
    code = replace(CODE, came_us=day.first_us, went_us=day.first_us + 90_000_000)
    with path.open("w", encoding="ascii", newline="\n") as stream:
        write_candump(day, read_signal_book(MAKES / "mossgrinder_m2.toml"), stream, (code,))
    monkeypatch.setattr(lines._read_chunks, "__defaults__", (1 << 18,))
    told: list[tuple[int, int | None]] = []
    reading = Reading(machine="X", profile=profile)
    whole = list(trace_batches(path, reading))
    monkeypatch.setattr(trace_bales, "HELD_SAMPLES", 10_000)
    held: list[int] = []

    def watched(signals: Iterable[Signals], rules: CycleRules) -> Iterator[tuple[Cycles, Signals]]:
        for cycles, tail in cut_pieces(signals, rules):
            held.append(sum(one.samples for one in tail.by_name.values()))
            yield cycles, tail

    monkeypatch.setattr(trace_bales, "cut_pieces", watched)
    hearing = replace(reading, tell=lambda done, total: told.append((done, total)))
    parts = list(trace_batches(path, hearing))
    one, many = (concatenate([each.bales for each in found]) for found in (whole, parts))
    assert one.rows == many.rows >= 24
    for name in one.values:
        assert [one.cell(row, name) for row in range(one.rows)] == [
            many.cell(row, name) for row in range(many.rows)
        ], name
    places = [
        [at for each in found if each.places for at in each.places.at] for found in (whole, parts)
    ]
    assert places[0] == places[1]
    assert [each.events for each in whole if each.events] == [
        each.events for each in parts if each.events
    ]
    doubts = [sorted(str(d) for each in found for d in each.doubts) for found in (whole, parts)]
    assert doubts[0] == doubts[1]
    size = path.stat().st_size
    assert told[-1] == (2 * size, 2 * size)
    spilled = [done for done, total in told if total == 2 * size]
    assert spilled == sorted(spilled)
    assert len({done for done in spilled if done < size}) > 5
    assert len({done for done in spilled if size < done < 2 * size}) > 5
    samples = sum(one.samples for one in open_trace(path, reading).signals.by_name.values())
    assert max(held) < samples * 8 / 25  # the share of eight bales
