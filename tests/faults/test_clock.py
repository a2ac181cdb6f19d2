"""A computer's clock that is set back and forward while work goes on: the records stay the same."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any, Final

import pytest

from balewright.flows.compact_journal import compact_journal
from balewright.flows.correct_bales import Asked, correct_bales, withdraw_correction
from balewright.flows.examine_house import examine_house
from balewright.flows.keep_originals import apply_retention, see_originals, set_retention
from balewright.flows.read_book import BookQuery, read_book
from balewright.flows.senders import make_sender
from balewright.flows.take_in_delivery import (
    Verdict,
    keep_delivery,
    stage_delivery,
    sweep_deliveries,
    take_in_delivery,
)
from balewright.flows.take_in_file import take_in_file
from balewright.flows.take_in_pieces import UploadRequest, add_piece, begin_upload, sweep_uploads
from balewright.flows.workplace import Workplace
from balewright.store.arriving import DeliveryState
from balewright.store.health.lines import HealthState
from faults.intake_truth import MACHINES, check_home, open_home, write_season

NOW: Final = datetime(2031, 6, 14, 12, tzinfo=UTC)
STEADY: Final = (0, 1, 2, 3, 4, 5, 6, 7)
"""Hours after NOW, step by step."""

WILD: Final = {
    "back": (0, -24, -24 * 365, -24 * 365, -24 * 4_000, -24 * 8_000, -1, 0),
    "forward": (0, 24 * 365, 24 * 18_000, 24 * 18_000, 24 * 18_001, 24 * 18_002, 1, 2),
    "to and fro": (0, -24 * 400, 24 * 9_000, -24 * 9_000, 3, -3, 24, -24),
}


def _go_through(folder: Path, hours: Sequence[int]) -> dict[str, Any]:
    """Three files, corrections, merging, a device and an upload, each step at its own hour."""
    season = write_season(folder / "files", 3, 120, 40)
    place = open_home(folder / "home")
    steps = iter(hours)

    def at() -> Workplace:
        now = NOW + timedelta(hours=next(steps))
        return replace(place, clock=lambda: now)

    take_in_file(at(), season.files[0])
    first = correct_bales(at(), Asked("HAZE-1", ("3",), "mass_kg", "700", "weighed", mark="c1"))
    correct_bales(at(), Asked("HAZE-1", ("3", "6"), "mass_kg", "701", "again", mark="c2"))
    compact_journal(at())
    here = at()
    take_in_file(here, season.files[1])
    correct_bales(here, Asked("HAZE-1", ("6",), "mass_kg", "702", "third", mark="c3"))
    here = at()
    compact_journal(here)
    withdraw_correction(here, "c2", "wrong scale", mark="c4")
    sender = make_sender(here, "HAZE-2", "box").entry
    own = [line for line in season.files[2].read_text().splitlines()
           if line.startswith(("machine", "HAZE-2"))]  # fmt: skip
    body = ["\n".join(own).encode()]
    staged = stage_delivery(here, sender, "batch-1", ".csv", body)
    assert staged is not None
    entry, verdict = keep_delivery(here, staged)
    assert verdict is Verdict.NEW
    here = at()
    sweep_deliveries(here)
    told = take_in_delivery(here, entry.id)
    again = stage_delivery(here, sender, "batch-1", ".csv", body)
    assert again is not None
    once_more, verdict = keep_delivery(here, again)
    if verdict is Verdict.NEW:  # it was received by a clock so far behind that it is forgotten
        anew = take_in_delivery(here, once_more.id)
        assert anew is not None
        assert anew.state is DeliveryState.ALREADY_TAKEN
    here = at()
    take_in_file(here, season.files[2])
    assert take_in_file(here, season.files[0]).state == "already taken"
    state = {
        "delivery": None if told is None else told.state,
        "masses": place.journal.read_bales("HAZE-1").column("mass_kg").tolist(),
        "numbers": {m: place.journal.read_bales(m).column("bale_no").tolist() for m in MACHINES},
        "lifetimes": [place.register.load_lifetime(machine) for machine in MACHINES],
        "book": read_book(place, BookQuery()),
        "first": first.bales,
    }
    place.register.close()
    return state


@pytest.mark.law
@pytest.mark.parametrize("wild", WILD)
def test_the_records_do_not_ask_what_the_clock_says(tmp_path: Path, wild: str) -> None:
    """The same steps under a steady clock and under one that jumps give the same bales, marks,
    book, and of corrections the same ones count: the later, whatever the clock said."""
    for name in ("steady", "wild"):
        (tmp_path / name).mkdir()
    steady = _go_through(tmp_path / "steady", STEADY)
    assert _go_through(tmp_path / "wild", WILD[wild]) == steady
    third, sixth = (steady["numbers"]["HAZE-1"].index(number) for number in (3, 6))
    assert (steady["masses"][third], steady["masses"][sixth]) == (700, 702)


@pytest.mark.law
def test_nothing_is_thrown_away_because_the_clock_went_back(tmp_path: Path) -> None:
    """Originals under a rule, and an upload on its way, outlast a clock that is set back by
    years; the health says that the clock is behind."""
    season = write_season(tmp_path / "files", 1, 60, 20)
    place = replace(open_home(tmp_path / "home"), clock=lambda: NOW)
    take_in_file(place, season.files[0])
    set_retention(place, 30)
    asked = UploadRequest("a.csv", 40, "0" * 64, "somebody", 100)
    entry, _ = begin_upload(place, asked)
    add_piece(place, entry, 0, iter([b"x" * 20]))
    early = replace(place, clock=lambda: NOW - timedelta(days=4_000))
    assert see_originals(early).due == apply_retention(early) == ()
    assert sweep_uploads(early) == ()
    assert begin_upload(early, asked)[1] == 20
    state = {line.key: line.state for line in examine_house(early).lines}
    assert state["clock"] is HealthState.LOOK
    place.register.close()
    check_home(tmp_path / "home", season, {season.files[0].name})
