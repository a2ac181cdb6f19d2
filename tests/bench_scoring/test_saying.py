"""The tables say what was counted."""

from __future__ import annotations

from dataclasses import replace

import pytest
from bench.findings.saying import (
    could,
    delay_rows,
    faulty,
    found_rows,
    mix_rows,
    number,
    severity_rows,
    share,
    table,
    wolf_rows,
)
from bench.findings.theory import least_bales

from bench_scoring.seasons_by_hand import BOOK, season, told


@pytest.mark.derived
def test_a_weak_row_is_marked_and_comes_first() -> None:
    """One of two moderate faults found is short of the aim; the severe one, found, is not."""
    bad = season()
    severe = replace(season(told()), fault=replace(bad.fault, severity="severe"))
    rows = found_rows([severe, season(told()), bad], BOOK)
    assert [row[:3] for row in rows] == [
        ["stretch slips (*)", "moderate", "1 of 2"],
        ["stretch slips", "severe", "1 of 1"],
    ]
    assert rows[0][6] == "10 / never"
    assert [row[0] for row in severity_rows([severe, bad], BOOK)] == ["moderate", "severe"]


@pytest.mark.derived
def test_what_records_cannot_show_is_not_missed() -> None:
    """A fault in a column that the machine does not write is in no row."""
    bad = season()
    unseen = replace(bad, fault=replace(bad.fault, shown=False))
    assert faulty([bad, unseen]) == [bad]


@pytest.mark.derived
def test_a_season_too_short_could_not_tell() -> None:
    """Ten bales are left for a step of one spread: the best chart needs some 25."""
    bad = season()
    level = replace(bad.fault, family="level", size=1.0, growth="step")
    assert could(replace(bad, fault=level))
    assert not could(replace(bad, fault=replace(level, start=890)))
    (row,) = delay_rows([replace(season(told(alarm=150)), fault=level)], BOOK)
    assert row[:4] == ["level", "step", "moderate", "1"]
    assert row[5] == "50 / 50"
    assert float(row[7]) == pytest.approx(50 / least_bales(level), abs=0.005)


@pytest.mark.derived
def test_clean_weeks_and_mixes_stand_apart() -> None:
    """False findings by make, over all, and by the mix of stress."""
    plain = season(told(), fault=False, weeks=50)
    hard = replace(season(told(), told(), fault=False, weeks=10), mix="holes")
    assert [row[6] for row in wolf_rows([plain], BOOK)] == ["20", "20"]
    rows = mix_rows([plain, hard], BOOK)
    assert [row[:4] for row in rows] == [
        ["plain", "50", "1", "20"], ["holes", "10", "2", "200"], ["whole pack", "10", "2", "200"],
    ]  # fmt: skip


@pytest.mark.derived
def test_numbers_in_a_table() -> None:
    """Unknown, never and shares with their interval."""
    assert (number(None), number(float("inf")), number(2.5, 1)) == ("-", "never", "2.5")
    assert share(81, 263) == "31% (26%-37%)"
    assert table(("a", "b"), [("1", "2")]) == ["| a | b |", "|---|---|", "| 1 | 2 |"]
