"""A recording cut in pieces is the recording cut in one."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from types import MappingProxyType

import numpy as np
import pytest
from tests.records.cycles.hand_made import recording, spoken, switch, two_bales

from balewright.records.bales import concatenate
from balewright.records.cycles.bale_rows import to_bales
from balewright.records.cycles.cutting import cut_cycles, cut_pieces
from balewright.records.cycles.cycles import Cycles
from balewright.records.cycles.rules import CycleRules
from balewright.records.signals import Signal, Signals
from balewright.rehearsal.signals.habits import POOR, POOREST, RICH, Habits
from balewright.rehearsal.signals.troubles import Trouble, rehearse_day

ARRAYS = (
    "at_us", "work_us", "earliest_us", "latest_us", "sure", "by", "bale_no", "numbered",
    "again", "tries", "starts", "wrapped", "came", "counted", "at", "since_us", "until_us",
)  # fmt: skip


def pieces_of(signals: Signals, cuts: Sequence[int]) -> Iterator[Signals]:
    """The same recording in pieces, each up to a message."""
    for low, high in zip([0, *cuts], [*cuts, 1 << 60], strict=True):
        by_name = {}
        for name, one in signals.by_name.items():
            first, behind = np.searchsorted(one.at, [low, high])
            columns = (one.at_us, one.values, one.known, one.error, one.at)
            if behind > first:
                by_name[name] = Signal(*(column[first:behind] for column in columns))
        yield Signals(signals.file, signals.machine, MappingProxyType(by_name))


def require_cycles_of_the_whole(
    signals: Signals, cuts: Sequence[int], rules: CycleRules
) -> tuple[Cycles, list[tuple[Cycles, Signals]]]:
    """Cycles, clock and the doubts about it are the same to the bit."""
    whole = cut_cycles(signals, rules)
    parts = list(cut_pieces(pieces_of(signals, cuts), rules))
    for name in ARRAYS:
        joined = np.concatenate([getattr(cycles, name) for cycles, _ in parts])
        assert np.array_equal(joined, getattr(whole, name)), name
    assert parts[-1][0].clock == whole.clock
    doubts = [doubt for cycles, _ in parts for doubt in cycles.doubts]
    assert sorted(map(str, doubts)) == sorted(map(str, whole.doubts))
    return whole, parts


def require_pieces_give_the_whole(signals: Signals, cuts: Sequence[int], rules: CycleRules) -> None:
    """Cycles, and every cell of the bales, are the same to the bit."""
    whole, parts = require_cycles_of_the_whole(signals, cuts, rules)
    bales, _, _ = to_bales(whole, signals)
    joined_bales = concatenate([to_bales(*part)[0] for part in parts])
    for name in bales.values:
        rows = range(bales.rows)
        cells = [joined_bales.cell(row, name) for row in rows]
        assert cells == [bales.cell(row, name) for row in rows], name


@pytest.mark.law
@pytest.mark.parametrize(
    ("habits", "trouble"),
    [
        (RICH, Trouble.BOUNCE), (RICH, Trouble.GAPS), (RICH, Trouble.HOUR_TWICE),
        (RICH, Trouble.REWRAPPED), (POOR, Trouble.DARK_WRAPPING), (POOR, Trouble.UNKNOWN),
        (POOREST, Trouble.DROPPED),
    ],
)  # fmt: skip
def test_pieces_give_what_one_recording_gives(habits: Habits, trouble: Trouble) -> None:
    """Wherever a day is cut, even within a bounce, cycles and bales are the same to the bit."""
    chance = np.random.default_rng(5_000 + len(trouble))
    day = rehearse_day(habits, 12, trouble, chance).signals
    rules = CycleRules(keep_us=86_400_000_000)
    most = max(int(one.at[-1]) for one in day.by_name.values())
    cuts = np.sort(chance.choice(most, 30, replace=False)).tolist()
    require_pieces_give_the_whole(day, cuts, rules)


@pytest.mark.law
def test_a_sensor_that_speaks_only_later_changes_no_bale_before() -> None:
    """Breaks are those of the rolls whose sensors had spoken; a later first word alters none."""
    day = two_bales()
    day["film1_there"] = switch([(0, 70), (71, 200)], 200.0)
    day["film2_there"] = spoken(np.arange(1960, 2000) / 10.0, np.ones(40))
    signals = recording(day)
    require_pieces_give_the_whole(signals, [1950], CycleRules())
    bales, _, _ = to_bales(cut_cycles(signals), signals)
    assert [bales.cell(row, "film_breaks") for row in range(2)] == [1, 0]


@pytest.mark.law
def test_what_is_kept_between_pieces_is_bounded() -> None:
    """However long the day, only the samples of a few bales are kept."""
    day = rehearse_day(POOR, 60, Trouble.NONE, np.random.default_rng(5_100)).signals
    every = sum(one.samples for one in day.by_name.values())
    most = max(int(one.at[-1]) for one in day.by_name.values())
    kept = [
        sum(one.samples for one in signals.by_name.values())
        for _, signals in cut_pieces(pieces_of(day, range(most // 60, most, most // 60)))
    ]
    assert max(kept[20:]) < every / 6


@pytest.mark.law
def test_a_signal_that_fell_silent_is_not_waited_for_longer_than_is_kept() -> None:
    """Its next change may be as old as its last sample, but samples are kept for `keep_us` only."""
    day = rehearse_day(POOR, 60, Trouble.NONE, np.random.default_rng(5_300)).signals
    most = max(int(one.at[-1]) for one in day.by_name.values())
    silent = next(pieces_of(replace(day, by_name={"wrap_turns": day.by_name["wrap_turns"]}),
                            [most // 10])).by_name  # fmt: skip
    signals = replace(day, by_name=MappingProxyType({**day.by_name, **silent}))
    every = sum(one.samples for one in signals.by_name.values())
    rules = CycleRules(keep_us=600_000_000)
    cut = list(cut_pieces(pieces_of(signals, range(most // 60, most, most // 60)), rules))
    assert sum(cycles.rows for cycles, _ in cut) == cut_cycles(signals, rules).rows
    kept = [sum(one.samples for one in each.by_name.values()) for _, each in cut]
    assert max(kept[20:]) < every / 6


@pytest.mark.law
def test_a_contact_without_rest_holds_nothing_up() -> None:
    """A sensor that chatters all day costs its own phase, and bales are told as the day goes on."""
    day = rehearse_day(RICH, 20, Trouble.NONE, np.random.default_rng(5_200)).signals
    full = day.by_name["chamber_full"]
    restless = replace(full, values=np.arange(full.samples) % 2 * 1.0)
    signals = replace(day, by_name=MappingProxyType({**day.by_name, "chamber_full": restless}))
    most = max(int(one.at[-1]) for one in day.by_name.values())
    cuts = list(range(most // 20, most, most // 20))
    told = [cycles for cycles, _ in cut_pieces(pieces_of(signals, cuts))]
    whole = cut_cycles(signals)
    assert sum(cycles.rows for cycles in told) == whole.rows == 20
    assert np.array_equal(np.concatenate([each.work_us for each in told]), whole.work_us)
    assert sum(cycles.rows for cycles in told[:15]) >= 10
    assert set(whole.by[:, 1].tolist()) == {"chamber_fill_frac rises"}
