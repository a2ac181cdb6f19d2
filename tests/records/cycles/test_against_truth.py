"""Invented days with their truth beside them: what is found, and how well its doubt holds.

The seeds here were never used to choose a threshold; those of `docs/cycles.md` neither.
"""

from __future__ import annotations

import numpy as np
import pytest
from tests.records.cycles import report
from tests.records.cycles.scoring import Score, add_day, pair

from balewright.records.cycles.bale_rows import to_bales
from balewright.records.cycles.cutting import cut_cycles
from balewright.records.cycles.phases import Sureness
from balewright.rehearsal.signals.habits import POOR, POOREST, RICH, Habits
from balewright.rehearsal.signals.troubles import Trouble, rehearse_day

HARMLESS = (
    Trouble.NONE, Trouble.BOUNCE, Trouble.CLOCK_BACK, Trouble.HOUR_TWICE, Trouble.DROPPED,
    Trouble.TWICE, Trouble.ROLL_END, Trouble.ONE_FILM, Trouble.BY_HAND, Trouble.BUSY,
    Trouble.WEIGHED_LATER,
)  # fmt: skip
"""What must cost no bale on any machine."""


def score_of(habits: Habits, trouble: Trouble, seed: int) -> Score:
    """One day of 25 bales."""
    day = rehearse_day(habits, 25, trouble, np.random.default_rng(seed))
    score = Score()
    add_day(score, cut_cycles(day.signals), day.truth)
    return score


@pytest.mark.derived
@pytest.mark.parametrize("habits", [RICH, POOR, POOREST], ids=["rich", "poor", "poorest"])
@pytest.mark.parametrize("trouble", HARMLESS, ids=[each.name for each in HARMLESS])
def test_no_bale_is_lost_or_invented(habits: Habits, trouble: Trouble) -> None:
    """Each bale once, with its own number, and nothing told that did not happen."""
    score = score_of(habits, trouble, 9_000 + len(trouble))
    assert (score.missed, score.invented, score.made_up) == (0, 0, 0)
    assert (score.numbers_wrong, score.numbers_unknown) == (0, 0)
    assert sum(score.inside.values()) >= 0.97 * score.told


@pytest.mark.derived
def test_a_rich_machine_tells_every_boundary() -> None:
    """All nine of every bale, seen, within two samples."""
    score = score_of(RICH, Trouble.NONE, 9_100)
    assert score.told == score.boundaries == 225
    assert score.of[Sureness.SEEN] == score.inside[Sureness.SEEN] == 225
    assert max(score.errors_us) < 200_000


@pytest.mark.derived
@pytest.mark.parametrize(
    ("trouble", "status"), [(Trouble.BURST, "burst"), (Trouble.REWRAPPED, "re-wrapped")]
)
def test_what_became_of_bales_is_told(trouble: Trouble, status: str) -> None:
    """Burst bales and further passes are named, and no others."""
    day = rehearse_day(RICH, 25, trouble, np.random.default_rng(9_200))
    cycles = cut_cycles(day.signals)
    bales, _, _ = to_bales(cycles, day.signals)
    true = {
        row: "burst" if fate == "burst" else "re-wrapped"
        for row, fate in enumerate(day.truth.fates)
        if fate in ("burst", "again")
    }
    rows = pair(cycles, day.truth)
    told = {row: bales.cell(place, "status") for row, place in rows.items()}
    assert {row for row, said in told.items() if said is not None} == set(true)
    assert set(true.values()) == {status}
    assert all(told[row] == true[row] for row in true)


@pytest.mark.derived
def test_a_bale_weighed_later_gets_its_own_mass() -> None:
    """The mass that comes seconds after the tip belongs to the bale that was tipped."""
    day = rehearse_day(RICH, 25, Trouble.WEIGHED_LATER, np.random.default_rng(9_300))
    cycles = cut_cycles(day.signals)
    bales, _, _ = to_bales(cycles, day.signals)
    rows = pair(cycles, day.truth)
    masses = [bales.cell(rows[row], "mass_kg") for row in range(24)]
    assert masses == [round(each) for each in day.truth.mass_kg[:24]]


@pytest.mark.derived
def test_a_roll_that_ends_is_seen_on_its_bale() -> None:
    """Film gone at dispenser 1 while the ring turns: that roll, once, on the bales it befell."""
    day = rehearse_day(RICH, 25, Trouble.ROLL_END, np.random.default_rng(9_400))
    cycles = cut_cycles(day.signals)
    bales, _, _ = to_bales(cycles, day.signals)
    rows = pair(cycles, day.truth)
    lost = {row for row, place in rows.items() if bales.cell(place, "roll_lost") == 1}
    assert lost == {row for row, fate in enumerate(day.truth.fates) if fate == "roll end"}
    assert lost
    assert all(bales.cell(rows[row], "film1_breaks") == 1 for row in lost)
    assert all(bales.cell(rows[row], "film_start_tries") == 2 for row in lost)


@pytest.mark.derived
def test_a_clock_set_back_is_told_and_nothing_moved() -> None:
    """Times stand as the recorder showed them; the doubt says where its clock was set."""
    day = rehearse_day(RICH, 25, Trouble.HOUR_TWICE, np.random.default_rng(9_500))
    cycles = cut_cycles(day.signals)
    _, doubts, _ = to_bales(cycles, day.signals)
    assert len(cycles.clock.jumps) == 1
    assert "clock jumped" in {doubt.kind for doubt in doubts}
    assert abs(cycles.clock.jumps[0].step_us + 3_600_000_000) < 200_000


@pytest.mark.own
def test_the_page_says_what_is_measured() -> None:
    """Rows of `docs/cycles.md`, measured anew, stand there as they are."""
    page = report.PAGE.read_text(encoding="utf-8")
    for habits, make, trouble in (
        (POOREST, "poorest", Trouble.GAPS),
        (POOR, "poor", Trouble.REWRAPPED),
        (RICH, "rich", Trouble.DARK_WRAPPING),
    ):
        score = report.score_of(habits, trouble, f"{make} {trouble.value}")
        assert report.row_of(trouble.value, score) in page
