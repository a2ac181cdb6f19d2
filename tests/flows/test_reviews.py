"""Reviews: only what is new is watched, what was found lives on, and the fleet is admitted by."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field, replace
from datetime import UTC, datetime, timedelta
from functools import cache
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray

from balewright.findings.episode import AsideEnd, EpisodeState
from balewright.findings.episodes import follow
from balewright.findings.finding import Finding, FindingKind
from balewright.findings.judged import Judged, judge
from balewright.findings.watch.honest import Shown
from balewright.findings.watch.kind import Kind
from balewright.findings.watch.state import STATE_VERSION
from balewright.findings.watch.state_bytes import kind_to_bytes
from balewright.flows.admit_findings import (
    DiscoveryRule,
    admit_open,
    discovery_rule,
    set_discovery_rule,
)
from balewright.flows.compare_batches import compare_batches
from balewright.flows.correct_bales import Asked, correct_bales
from balewright.flows.demo_fleet import DEMO_FLEET
from balewright.flows.erase_personal import Erasing, ErasureKind, erase_personal
from balewright.flows.find_evidence import find_evidence
from balewright.flows.kept_batches import batches_worse
from balewright.flows.read_today import read_today
from balewright.flows.review_fleet import review_fleet
from balewright.flows.review_machine import review_machine
from balewright.flows.set_aside_finding import set_aside_finding, take_back_aside
from balewright.flows.set_targets import set_targets
from balewright.flows.take_in_file import Handed, take_in_file
from balewright.flows.take_in_then_review import take_in_then_review
from balewright.flows.watch_bales import About, ChartEngine, Looked, Step, is_ever_told, watch_bales
from balewright.flows.workplace import Workplace
from balewright.plan.sheet.rules import plan_bale
from balewright.quantities.errors import BadInput
from balewright.readers.profile import shipped_profiles
from balewright.records.bales import BaleTable, concatenate
from balewright.rehearsal.days import SeasonPlan
from balewright.rehearsal.season import Player, rehearse_season
from balewright.settings import load_settings, open_workplace
from balewright.store.entries import MachineEntry
from balewright.store.reviews import KindState, WatchState
from findings.episodes_by_hand import MACHINE, by_chart, found, judged_bales

NOW = datetime(2031, 6, 20, 18, tzinfo=UTC)
PROFILE = "mossgrinder-m2"


@dataclass
class Counting:
    """An engine that counts what it is handed, and tells every bale with fewer than 12 turns: as
    a chart, and as a check against the plan of the last chapter only.
    """

    version: int = 1
    chance_frac: float = 1e-4
    handed: list[int] = field(default_factory=list)
    stops_at: str = ""

    def keep_from(self, body: bytes) -> int:
        """The last fifty bales are looked back at."""
        return max(json.loads(body)["judged"] - 50, 0)

    def watch(self, bales: BaleTable, about: About, past: bytes | None) -> Step:
        """Its state is how many bales it saw, and which of them it tells."""
        if about.serial == self.stops_at:
            raise KeyboardInterrupt
        self.handed.append(bales.rows)
        known = {"judged": 0, "told": []} if past is None else json.loads(past)
        first = 0 if past is None else self.keep_from(past)
        new = bales.take(np.arange(known["judged"] - first, bales.rows))
        few = new.mask("wrap_turns") & (new.column("wrap_turns") < 12)
        told = known["told"] + new.column("bale_no")[few].tolist()
        state = {"judged": first + bales.rows, "told": told}
        charts = [self._told(about.serial, number) for number in told]
        chapter = known["judged"] // 1000 * 1000
        by_plan = [replace(one, measure="", chance_frac=None) for one in charts]
        recent = [one for one in by_plan if (one.since_bale or 0) > chapter]
        return Step((*recent, *charts), json.dumps(state).encode(), 7)

    def learn(self, bodies: Iterable[bytes]) -> bytes | None:
        """How many bales its machines made."""
        return json.dumps(sum(json.loads(body)["judged"] for body in bodies)).encode()

    def _told(self, serial: str, number: int) -> Finding:
        one = found(number, number, FindingKind.LAYERS_SHORT, evidence=("wrap_turns",))
        return replace(by_chart(one, "wrap_turns", self.chance_frac), machine=serial)


def _bales(count: int, few: tuple[int, ...], without: frozenset[int] = frozenset()) -> Judged:
    judged = judged_bales(count, without=without)
    turns = np.where(np.isin(judged.watched.bales.column("bale_no"), few), 9.0, 14.0)
    bales = judged.watched.bales
    table = BaleTable(bales.rows, {**bales.values, "wrap_turns": turns}, bales.known)
    return judge(MACHINE, shipped_profiles()[PROFILE], table)


ABOUT = About(MACHINE, shipped_profiles()[PROFILE], {})


def _watch(
    judged: Judged, kept: tuple[WatchState, ...] = (), before: tuple[Finding, ...] = ()
) -> tuple[Looked, int]:
    engine = Counting()
    looked = watch_bales(engine, ABOUT, judged, kept, before)
    return looked, sum(engine.handed)


@pytest.mark.law
def test_new_bales_cost_only_themselves_and_change_nothing_told() -> None:
    """Handed in are the new bales and what the engine looks back at; a late bale costs what came
    after the last state before it, a changed old one everything; findings are always those of a
    watch over all bales at once."""
    few = (300, 1400, 2300, 2450, 2580)
    first, cost = _watch(_bales(2500, few, frozenset({2300})))
    assert [one.bales for one in first.states] == [1000, 2000, 2499]
    assert cost == 2499 + 2 * 50

    def goes_on(judged: Judged, was: Looked, at_most: int) -> Looked:
        looked, cost = _watch(judged, was.states, was.findings)
        assert cost <= at_most
        at_once, _ = _watch(judged)
        assert set(looked.findings) == set(at_once.findings)
        assert {is_ever_told(one) for one in looked.findings} == {True, False}
        return looked

    more = goes_on(_bales(2600, few, frozenset({2300})), first, 150)
    assert more.first_new == 2499
    late = goes_on(_bales(2600, few), more, 650)
    goes_on(_bales(2600, (*few, 10)), late, 2800)
    far = goes_on(_bales(5100, few), late, 2700)
    assert [one.bales for one in far.states] == [3000, 4000, 5000, 5100]


@pytest.mark.law
def test_the_watch_never_sees_who_drove() -> None:
    """States are kept, so the engine is not shown operators; that some bales have one changes
    nothing of what was watched."""
    judged = _bales(60, ())
    bales = judged.watched.bales
    values = {**bales.values, "operator": np.full(bales.rows, "Ann", dtype=object)}
    known = {**bales.known, "operator": np.ones(bales.rows, dtype=np.bool_)}
    driven = judge(MACHINE, ABOUT.machine, BaleTable(bales.rows, values, known))
    seen: list[BaleTable] = []

    class Looking(Counting):
        def watch(self, bales: BaleTable, about: About, past: bytes | None) -> Step:
            seen.append(bales)
            return super().watch(bales, about, past)

    watch_bales(Looking(), ABOUT, driven, (), ())
    assert not any(table.has("operator") for table in seen)
    assert concatenate(seen).rows == 60


@cache
def _season() -> tuple[About, BaleTable]:
    """2,300 rehearsed bales with short binding, a gate that closes early, and a lost roll."""
    demo = next(one for one in DEMO_FLEET if one.entry.serial == "MM-1002")
    machine = shipped_profiles()[demo.entry.profile_key]
    sheet = plan_bale(machine, demo.conditions, MACHINE, "test")
    player = Player(
        serial=MACHINE,
        machine=machine,
        targets=set_targets(machine, sheet),
        sites=demo.sites,
        sheet="kept",
        first_number=100,
        planted=demo.planted,
        confusers=demo.confusers,
        lost=demo.lost,
        silent=demo.silent,
    )
    plan = SeasonPlan(start_us=1_900_000_000_000_000, bales=2300, daily_bales=120)
    season = rehearse_season((player,), plan, np.random.default_rng(3))
    return About(MACHINE, machine, {"kept": sheet}, tuple(season.events)), season.bales


@pytest.mark.law
@pytest.mark.parametrize(
    ("cuts", "late"), [((700, 1500), ()), ((990, 1010, 1990, 2010), ()), ((2300,), (1200, 1260))]
)
def test_a_season_cut_into_reviews_tells_what_one_review_tells(
    cuts: tuple[int, ...], late: tuple[int, ...]
) -> None:
    """With the real watch: reviewed as it came, or with sixty bales taken in late, the findings and
    the episodes are those of one review, and physics and charts are among them."""
    about, bales = _season()
    rows = np.arange(bales.rows)
    without = rows[(rows < late[0]) | (rows >= late[1])] if late else rows
    engine = ChartEngine()

    def look(taken: NDArray[np.intp], was: Looked) -> tuple[Looked, Judged]:
        judged = judge(MACHINE, about.machine, bales.take(taken))
        return watch_bales(engine, about, judged, was.states, was.findings), judged

    nothing = Looked((), (), 0, 0)
    whole, judged = look(rows, nothing)
    was = nothing
    for cut in cuts:
        was, _ = look(without[:cut], was)
    told, _ = look(rows, was)
    assert set(told.findings) == set(whole.findings)
    assert follow((), told.findings, 0, judged) == follow((), whole.findings, 0, judged)
    assert {is_ever_told(one) for one in told.findings} == {True, False}
    assert told.states[-1].body == whole.states[-1].body


HEAD = "machine,bale_no,closed_at,tipped_at,wrap_turns,status\n"


def _csv(folder: Path, serial: str, numbers: Iterable[int], burst: Iterable[int] = ()) -> Path:
    begun = datetime(2031, 6, 1, 6, tzinfo=UTC)
    rows = []
    for number in numbers:
        closed = begun + timedelta(minutes=2 * number)
        status = "burst" if number in set(burst) else "ok"
        rows.append(
            f"{serial},{number},{closed.isoformat()},"
            f"{(closed + timedelta(seconds=90)).isoformat()},14,{status}\n"
        )
    folder.mkdir(exist_ok=True)
    path = folder / f"{serial}-{min(numbers)}-{len(rows)}.csv"
    path.write_text(HEAD + "".join(rows), encoding="utf-8")
    return path


@pytest.fixture
def workplace(tmp_path: Path) -> Iterator[Workplace]:
    """An empty workplace with two machines, and one of a profile nobody has."""
    opened = open_workplace(load_settings({"BALEWRIGHT_HOME": str(tmp_path / "home")}))
    opened = replace(opened, clock=lambda: NOW, random=np.random.default_rng(1))
    for serial, profile in (("A-1", PROFILE), ("B-2", PROFILE), ("Z-9", "nobodys")):
        opened.register.save_machine(MachineEntry(serial, f"Machine {serial}", profile))
    yield opened
    opened.register.close()


def _take_in(workplace: Workplace, path: Path) -> None:
    take_in_then_review(workplace, Handed(path, path.name))


def _later(workplace: Workplace, **ahead: float) -> Workplace:
    return replace(workplace, clock=lambda: NOW + timedelta(**ahead))


@pytest.mark.law
def test_a_trouble_is_one_episode_over_many_files(workplace: Workplace, tmp_path: Path) -> None:
    """Bales burst in two files: one key, told once; fifty good ones close it; the page of the
    unchanged machine writes nothing; correcting the bales away closes it too."""
    _take_in(workplace, _csv(tmp_path, "A-1", range(1, 61), (50, 55)))
    (first,) = workplace.register.load_episodes("A-1")
    assert (first.key, first.state) == ("A-1:burst:::1", EpisodeState.OPEN)
    _take_in(_later(workplace, hours=1), _csv(tmp_path, "A-1", range(61, 71), (65,)))
    review = review_machine(_later(workplace, hours=2), "A-1")
    (again,) = review.episodes
    assert (again.key, again.told_us, again.finding.until_bale) == (first.key, first.told_us, 65)
    reviewed = workplace.register.load_reviews()
    review_machine(_later(workplace, hours=3), "A-1")
    assert workplace.register.load_reviews() == reviewed
    _take_in(_later(workplace, hours=4), _csv(tmp_path, "A-1", range(71, 121)))
    (closed,) = workplace.register.load_episodes("A-1")
    assert (closed.key, closed.state) == (first.key, EpisodeState.CLOSED)
    take_in_file(workplace, _csv(tmp_path, "B-2", range(1, 31), (20,)))
    assert [one.state for one in review_machine(workplace, "B-2").episodes] == [EpisodeState.OPEN]
    evidence = find_evidence(workplace, "B-2:burst:::1")
    key = evidence.keys[evidence.ordinals.index(evidence.first)]
    correct_bales(workplace, Asked("B-2", (key,), "status", "ok", "it did not burst", "ann"))
    assert [one.state for one in review_machine(workplace, "B-2").episodes] == [EpisodeState.CLOSED]
    assert workplace.register.load_findings("B-2") == ()


@pytest.mark.law
def test_a_fleet_that_is_stopped_goes_on_where_it_was(workplace: Workplace, tmp_path: Path) -> None:
    """Killed at the second machine, the first is kept whole and the second untouched; the next
    review ends as one that ran through. A machine of an unknown profile is told and left out."""
    for serial in ("A-1", "B-2"):
        take_in_file(workplace, _csv(tmp_path, serial, range(1, 61), (50,)))
    stopping = Counting(stops_at="B-2")
    with pytest.raises(KeyboardInterrupt):
        review_fleet(workplace, stopping)
    assert [one.machine for one in workplace.register.load_reviews()] == ["A-1"]
    assert workplace.register.load_watch_states("B-2") == ()
    engine = Counting()
    fleet = review_fleet(workplace, engine)
    assert engine.handed == [60]  # the first machine cost nothing more
    assert (fleet.machines, fleet.changed, fleet.charts) == (2, ("B-2",), 14)
    assert [fault.place for fault in fleet.faults] == ["Z-9"]
    kind = workplace.register.load_kind(PROFILE)
    assert kind is not None
    assert (kind.machines, json.loads(kind.body)) == (2, 120)
    assert review_fleet(workplace, engine).changed == ()


@pytest.mark.law
def test_erasing_a_driver_takes_the_states_and_leaves_the_findings(
    workplace: Workplace, tmp_path: Path
) -> None:
    """No state of any machine is left; the next review watches anew and tells the same."""
    path = _csv(tmp_path, "A-1", range(1, 61), (50,))
    text = path.read_text(encoding="utf-8").replace(",ok\n", ",ok,Ann\n")
    text = text.replace(",burst\n", ",burst,Ann\n").replace("status\n", "status,operator\n")
    path.write_text(text, encoding="utf-8")
    _take_in(workplace, path)
    before = workplace.register.load_episodes()
    assert len(workplace.register.load_watch_states("A-1")) == 1
    erase_personal(workplace, Erasing(ErasureKind.OPERATOR, "Ann"))
    assert workplace.register.load_watch_states("A-1") == ()
    assert review_machine(workplace, "A-1").episodes == before


@pytest.mark.law
def test_alarms_are_admitted_over_the_fleet(workplace: Workplace, tmp_path: Path) -> None:
    """Two alarms of fourteen charts, each one in a hundred by chance: one in ten false lets both
    be told, one in a hundred none; the rule is kept, and what is none is refused."""
    csv = _csv(tmp_path, "A-1", range(1, 61)).read_text(encoding="utf-8").replace(",14,", ",9,", 1)
    (tmp_path / "a.csv").write_text(csv, encoding="utf-8")
    (tmp_path / "b.csv").write_text(csv.replace("A-1", "B-2"), encoding="utf-8")
    for name in ("a.csv", "b.csv"):
        take_in_file(workplace, tmp_path / name)
    engine = Counting(chance_frac=0.01)
    engine._told = lambda serial, number: replace(  # type: ignore[method-assign]
        Counting._told(engine, serial, number), until_bale=60, until_us=None
    )
    fleet = review_fleet(workplace, engine)
    told = {one.key: one.admitted for one in workplace.register.load_episodes()}
    by_chart_told = [yes for key, yes in told.items() if ":wrap_turns:" in key]
    assert by_chart_told == [True, True]
    assert (fleet.open_alarms, fleet.waiting) == (4, 0)
    set_discovery_rule(workplace, DiscoveryRule(0.01), "ann")
    assert discovery_rule(workplace) == DiscoveryRule(0.01)
    told = {one.key: one.admitted for one in workplace.register.load_episodes()}
    assert {yes for key, yes in told.items() if ":wrap_turns:" in key} == {False}
    assert {yes for key, yes in told.items() if ":wrap_turns:" not in key} == {True}
    assert read_today(workplace).waiting == 2
    with pytest.raises(BadInput, match="a share between 0 and 1"):
        set_discovery_rule(workplace, DiscoveryRule(1.5))


@pytest.mark.law
def test_what_the_fleet_often_shows_is_admitted_less(workplace: Workplace, tmp_path: Path) -> None:
    """The same alarms wait once the kind says that many charts of the measure show as much."""
    csv = _csv(tmp_path, "A-1", range(1, 61)).read_text(encoding="utf-8").replace(",14,", ",9,", 1)
    (tmp_path / "a.csv").write_text(csv, encoding="utf-8")
    take_in_file(workplace, tmp_path / "a.csv")
    engine = Counting(chance_frac=0.001)
    engine._told = lambda serial, number: replace(  # type: ignore[method-assign]
        Counting._told(engine, serial, number), until_bale=60, until_us=None
    )
    review_fleet(workplace, engine)
    open_now = workplace.register.load_episodes()
    alarm = next(one for one in open_now if one.finding.chance_frac is not None)
    assert alarm.admitted
    profile_key = workplace.register.load_machines()[0].profile_key
    often = Kind({}, {}, 40, {alarm.finding.measure: Shown(1_000, 200)})
    body = kind_to_bytes(often)
    workplace.register.save_kind(KindState(profile_key, STATE_VERSION, 40, NOW, body))
    admit_open(workplace)
    kept = {one.key: one.admitted for one in workplace.register.load_episodes()}
    assert not kept[alarm.key]


@pytest.mark.law
def test_what_is_set_aside_leaves_today_and_comes_back(
    workplace: Workplace, tmp_path: Path
) -> None:
    """With a reason and until a day; the reason stays when it is taken back or the day comes, which
    a review notices though no record changed."""
    _take_in(workplace, _csv(tmp_path, "A-1", range(1, 61), (50,)))
    key = "A-1:burst:::1"
    assert [one.key for one in read_today(workplace).items if one.kind == "findings"] == [key]
    with pytest.raises(BadInput, match="reason: needs 1 to 500 characters"):
        set_aside_finding(workplace, key, "  ", "ann")
    with pytest.raises(BadInput, match="the key of a finding"):
        set_aside_finding(workplace, "nobody's", "why not", "ann")
    with pytest.raises(BadInput, match="a time to come"):
        set_aside_finding(workplace, key, "why not", "ann", NOW)
    aside = set_aside_finding(workplace, key, "net was old", "ann", NOW + timedelta(days=2))
    assert aside.state is EpisodeState.SET_ASIDE
    assert not [one for one in read_today(workplace).items if one.kind == "findings"]
    assert review_machine(workplace, "A-1").episodes == (aside,)
    back = take_back_aside(workplace, key, "ben")
    assert (back.state, back.aside_before[0].ended_by) == (EpisodeState.OPEN, "ben")
    set_aside_finding(workplace, key, "net is on order", "ann", NOW + timedelta(days=2))
    (woken,) = review_machine(_later(workplace, days=3), "A-1").episodes
    assert woken.state is EpisodeState.OPEN
    assert [one.reason for one in woken.aside_before] == ["net was old", "net is on order"]
    assert woken.aside_before[-1].ended_why is AsideEnd.TIME


@pytest.mark.law
def test_a_finding_opens_to_its_bales_and_files(workplace: Workplace, tmp_path: Path) -> None:
    """The bales around it in order, with where each lies, its key, and the name of its file."""
    path = _csv(tmp_path, "A-1", range(1, 401), (300,))
    _take_in(workplace, path)
    evidence = find_evidence(workplace, "A-1:burst:::1")
    assert (evidence.first, evidence.last) == (299, 299)
    assert evidence.ordinals == tuple(range(149, 360))
    assert evidence.bales.column("bale_no").tolist() == list(range(150, 361))
    assert evidence.columns == ("status",)
    assert {evidence.files[one] for sources in evidence.sources for one in sources} == {path.name}
    assert len(set(evidence.keys)) == evidence.bales.rows


@pytest.mark.law
def test_a_batch_that_breaks_is_told_over_the_fleet(workplace: Workplace, tmp_path: Path) -> None:
    """Twenty breaks in a hundred bales of LOT-9 against one in a hundred of the rest on the same
    machine; the other machine noted no batch and says nothing."""
    path = _csv(tmp_path, "A-1", range(1, 201))
    lines = path.read_text(encoding="utf-8").splitlines()
    breaks = [int(n == 50 or (n > 100 and n % 5 == 0)) for n in range(1, 201)]
    rows = [f"{line},{count}" for line, count in zip(lines[1:], breaks, strict=True)]
    path.write_text("\n".join([f"{lines[0]},film1_breaks", *rows]), encoding="utf-8")
    events = tmp_path / "rolls.csv"
    events.write_text(
        "machine,bale,kind,item,batch\n"
        "A-1,1,film roll changed,film1,GOOD\nA-1,101,film roll changed,film1,LOT-9\n",
        encoding="utf-8",
    )
    for one in (path, events, _csv(tmp_path, "B-2", range(1, 61))):
        take_in_file(workplace, one)
    (batch,) = review_fleet(workplace).batches
    assert (batch.kind, batch.part) == (FindingKind.ROLL_WORSE, "lot-9")
    compared = compare_batches(workplace)
    assert [(one.name, one.breaks) for one in compared] == [("lot-9", 20), ("good", 1)]
    assert batches_worse(workplace) == compared[:1]  # kept as found, for pages
