"""The invented fleet, filled through the doors that real files use, and what is seen on it."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

import numpy as np
import pytest

from balewright.cards.sheet_json import sheet_to_json
from balewright.findings.finding import FindingKind, Weight
from balewright.flows.account_counts import account_counts
from balewright.flows.demo_fleet import BALES, DEMO_FLEET, DEMO_PRICES
from balewright.flows.demo_records import LISTENED, LISTENED_BALES, OLD_BALES, OLD_TABLE
from balewright.flows.fill_demo import fill_demo
from balewright.flows.find_bale import find_bale
from balewright.flows.find_in_file import find_in_file
from balewright.flows.find_misplaced_bales import find_misplaced_bales
from balewright.flows.hear_feedback import ChangeHeard, hear_machine
from balewright.flows.house_prices import house_prices
from balewright.flows.list_due import list_due
from balewright.flows.read_rolls import find_batch
from balewright.flows.read_today import read_today
from balewright.flows.review_machine import SHOWN_BALES, review_machine
from balewright.flows.workplace import Workplace
from balewright.quantities.errors import BadInput
from balewright.readers.bale_csv import write_bale_csv
from balewright.settings import load_settings, open_workplace
from balewright.words.say import say
from balewright.work.due import DueState

NOW = datetime(2031, 7, 15, 18, tzinfo=UTC)


def workplace_in(folder: Path) -> Workplace:
    """An empty workplace whose clock stands at NOW."""
    opened = open_workplace(load_settings({"BALEWRIGHT_HOME": str(folder)}))
    return replace(opened, clock=lambda: NOW, random=np.random.default_rng(1))


@pytest.fixture(scope="module")
def filled(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Workplace]:
    """A workplace with the demo in it."""
    workplace = workplace_in(tmp_path_factory.mktemp("demo"))
    fill_demo(workplace)
    yield workplace
    workplace.register.close()


# serial -> kinds that were planted there, and nothing else that geometry or counting settles
PLANTED: dict[str, set[FindingKind]] = {
    "MM-1001": {FindingKind.STRETCH_UNEQUAL},
    "MM-1002": {
        FindingKind.LAYERS_SHORT,
        FindingKind.BINDING_SHORT,
        FindingKind.GATE_OPENING_OFF,
    },
    "MM-1003": set(),
    "MM-1004": set(),  # its counter changed, and somebody told so
    "TT-2001": {FindingKind.WRAPPED_LATE},
    "TT-2002": {FindingKind.LAYERS_SHORT},
    "PP-3001": {FindingKind.COUNTER_CHANGED},
}


@pytest.mark.law
@pytest.mark.parametrize("serial", list(PLANTED))
def test_what_was_planted_is_found_and_nothing_else(filled: Workplace, serial: str) -> None:
    """Each demo machine tells its planted faults, each once; the one in order tells none. What
    charts tell beside them has a stated chance."""
    told = [one.finding for one in filled.register.load_episodes(serial) if one.is_told]
    settled = [one.kind for one in told if one.chance_frac is None]
    assert sorted(settled) == sorted(PLANTED[serial])


@pytest.mark.law
def test_a_review_tells_the_machine_as_it_stands(filled: Workplace) -> None:
    """Its last bales, their sheet, all bales counted, the lifetime count, findings and work."""
    review = review_machine(filled, "MM-1002")
    assert (review.bales.rows, review.counted) == (SHOWN_BALES, BALES)
    assert review.lifetime_bales == 2_940 + BALES - 1
    assert len(review.sheets) == 1
    told = {one.finding for one in review.episodes if one.is_told}
    assert set(review.findings) == told < set(filled.register.load_findings("MM-1002"))
    assert {one.item for one in review.due} >= {"grease-cartridge", "knives-turned"}
    assert [reason.key for reason in review.untold] == ["findings.untold.fat"]


@pytest.mark.own
def test_the_demo_tells_what_troubles_cost(filled: Workplace) -> None:
    """Prices are set in its invented currency, and some of what was found costs money a bale: with
    its interval, and never more than a bale costs."""
    assert house_prices(filled) == DEMO_PRICES
    costs = [
        (one.finding, one.finding.worth.money_bale)
        for one in filled.register.load_episodes()
        if one.finding.worth is not None and one.finding.worth.money_bale is not None
    ]
    assert costs
    assert all(money.low <= money.best <= money.high for _, money in costs)
    assert max(money.best for _, money in costs) < (DEMO_PRICES.bale_money or 0.0)


@pytest.mark.law
@pytest.mark.parametrize("serial", list(PLANTED))
def test_looking_again_writes_nothing(filled: Workplace, serial: str) -> None:
    """A second review of the same records keeps the time of the first; new findings are kept."""
    review_machine(filled, serial)
    before, found = filled.register.load_reviews(), filled.register.load_findings(serial)
    later = replace(filled, clock=lambda: NOW.replace(hour=19))
    review_machine(later, serial)
    assert filled.register.load_reviews() == before
    other = "MM-1001" if serial != "MM-1001" else "TT-2001"
    filled.register.save_findings(serial, filled.register.load_findings(other), NOW)
    review_machine(later, serial)
    assert filled.register.load_findings(serial) == found


@pytest.mark.law
def test_today_puts_harm_first_and_says_everything(filled: Workplace) -> None:
    """Weights fall down the list, each item has its sentence, the machine in order is calm."""
    today = read_today(filled)
    ranks = [list(Weight).index(item.weight) for item in today.items]
    assert ranks == sorted(ranks)
    assert today.items[0].weight is Weight.HARM
    assert all(say(item.words) for item in today.items)
    assert today.fleet == len(DEMO_FLEET) + 1
    found = {item.serial for item in today.items if item.kind == "findings"}
    assert found >= {serial for serial, kinds in PLANTED.items() if kinds}


@pytest.mark.law
def test_due_work_names_what_is_not_recorded(filled: Workplace) -> None:
    """Some work is overdue, some not recorded; only that machine's when one is asked for."""
    due = list_due(filled)
    assert {DueState.OVERDUE, DueState.UNKNOWN} <= {one.state for one in due}
    assert {one.machine for one in list_due(filled, "MM-1001")} == {"MM-1001"}


@pytest.mark.law
def test_bales_end_before_the_clock(filled: Workplace) -> None:
    """No demo bale lies in the future, and the newest is of yesterday."""
    for demo in DEMO_FLEET:
        tipped = filled.journal.read_bales(demo.entry.serial, columns=["tipped_at"])
        newest = datetime.fromtimestamp(int(tipped.column("tipped_at").max()) / 1e6, UTC)
        assert (NOW.date() - newest.date()).days == 1


@pytest.mark.law
def test_filling_again_changes_nothing(filled: Workplace) -> None:
    """The same seed on the same day is the same fleet: files are known and findings stay."""
    before = filled.register.load_findings()
    fill_demo(filled)
    assert filled.register.load_findings() == before
    assert filled.journal.read_bales("MM-1001").rows == BALES


@pytest.mark.law
def test_operators_said_something_of_the_sheets(filled: Workplace) -> None:
    """Answers of every kind stand beside the bales that were made, each once, of no name; a
    changed setting is told with what it was set to and how often.
    """
    heard = {demo.entry.serial: hear_machine(filled, demo.entry.serial) for demo in DEMO_FLEET}
    (first,), (second,), (third,) = (heard[f"MM-100{number}"] for number in (1, 2, 3))
    assert (first.worked, first.did_not, first.changed) == (2, 0, 2)
    assert first.changes == (ChangeHeard("speed_m_s", "8 km/h", 2),)
    assert (second.did_not, second.changed, third.worked) == (1, 1, 1)
    assert first.bales is not None
    assert first.bales.made == BALES
    assert all(answer.given_by is None for one in (first, second, third) for answer in one.newest)
    assert sum(map(len, heard.values())) == 3


@pytest.mark.law
def test_unknown_serial_is_refused(filled: Workplace) -> None:
    """A review of a machine nobody added says so."""
    with pytest.raises(BadInput, match="machine: needs a serial of the register"):
        review_machine(filled, "NOBODY")


@pytest.mark.law
def test_a_file_and_a_sheet_give_the_findings_of_the_register(
    filled: Workplace, tmp_path: Path
) -> None:
    """The same bales as a CSV with the sheet beside it show the same findings."""
    review = review_machine(filled, "MM-1001")
    path, sheet_path = tmp_path / "bales.csv", tmp_path / "sheet.json"
    with path.open("w", encoding="utf-8", newline="") as stream:
        write_bale_csv(filled.journal.read_bales("MM-1001"), stream)
    (sheet,) = review.sheets.values()
    sheet_path.write_text(json.dumps(sheet_to_json(sheet)), encoding="utf-8")
    seen = find_in_file(path, "mossgrinder-m2", sheet_path)
    assert seen.bales == BALES
    settled, by_chart = [], set()
    for one in review.findings:
        if one.chance_frac is None:
            settled.append(replace(one, sheet=None, worth=None))
        else:
            by_chart.add((one.kind, one.measure))
    seen_settled = [replace(one, sheet=None) for one in seen.findings if one.chance_frac is None]
    assert seen_settled == settled
    # a file's own charts are fewer than a fleet's, so no fewer of them are told
    assert {(one.kind, one.measure) for one in seen.findings if one.chance_frac} >= by_chart
    without = find_in_file(path, "mossgrinder-m2", None)
    assert all(one.chance_frac is not None for one in without.findings)
    assert "findings.untold.sheet" in {reason.key for reason in without.untold}
    with pytest.raises(BadInput, match="a sheet made for plainrow-p0"):
        find_in_file(path, "plainrow-p0", sheet_path)
    with pytest.raises(BadInput, match="a setup sheet as JSON"):
        find_in_file(path, "mossgrinder-m2", path)


@pytest.mark.own
def test_the_demo_shows_how_records_are_kept(filled: Workplace) -> None:
    """A wrong job with its split, batches of film, a bale in two files that differ, one put right,
    a swap told and one suggested, a table by a map, a trace with its codes, a device that sends;
    filled again, all of it is there once.
    """
    fill_demo(filled)
    (split,) = find_misplaced_bales(filled).splits
    assert (split.entry.serial, split.found.bales) == ("TT-2002", 11)
    assert (split.found.job, split.found.belongs_to) == ("TT-2002-3", "TT-2002-4")
    assert {line.machine for line in find_batch(filled, "HF-4701").lines} >= {"MM-1001", "MM-1002"}
    numbers = sorted(filled.journal.read_bales("MM-1003", ["bale_no"]).column("bale_no").tolist())
    twice = find_bale(filled, "MM-1003", str(numbers[120]))
    assert len(twice.sources) == 2
    assert [one.column for one in twice.values if one.differs] == ["mass_kg"]
    assert find_bale(filled, "MM-1003", str(numbers[200])).value("mass_kg") == 671.0
    assert len(filled.register.load_corrections("MM-1003")) == 1
    told, suggested = (account_counts(filled, serial).account for serial in ("MM-1004", "PP-3001"))
    assert (len(told.swaps.placed), told.suggested) == (1, ())
    assert told.recorded == LISTENED_BALES + OLD_BALES
    assert (told.lifetime.bales, told.lifetime.at_least) == (18_240 + LISTENED_BALES, False)
    assert [step.to_no for step in suggested.suggested] == [1]
    assert [one.map.name for one in filled.register.load_maps()] == [OLD_TABLE.name]
    codes = [event.item for event in filled.journal.read_events(LISTENED.serial) if event.item]
    assert codes == ["168/4", "168/4", "1208/3", "1208/3"]
    assert len(filled.register.load_senders()) == 1
