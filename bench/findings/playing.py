"""Plays a case: the season is rehearsed, put under stress, reviewed day by day, and summed up."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import lru_cache, partial

import numpy as np
from bench.findings.borne_out import is_fair, is_true
from bench.findings.facts import Fault, Season
from bench.findings.reviewing import Records, review_season
from bench.findings.seasons import OF_ITS_KIND, Case
from bench.findings.told_by import TOLD_BY
from bench.findings.under_test import watching

from balewright.findings.finding import Finding
from balewright.findings.measures.book import MEASURES
from balewright.findings.watch.kind import Kind, learn_kind
from balewright.findings.watch.watch import WatchedMachine, watch
from balewright.flows.set_targets import set_targets
from balewright.plan.crop import Crop
from balewright.plan.film.strip import Film
from balewright.plan.sheet.rules import plan_bale
from balewright.plan.sheet.sheet import Conditions, Sheet
from balewright.readers.profile import shipped_profiles
from balewright.records.columns import BY_NAME
from balewright.records.events import Event
from balewright.rehearsal.book import FAULT_BOOK
from balewright.rehearsal.days import SeasonPlan
from balewright.rehearsal.drawing import draw_field, draw_player
from balewright.rehearsal.faults import FaultKind, Growth, Planted
from balewright.rehearsal.notes import Family, FaultNote
from balewright.rehearsal.readings import usual_severities
from balewright.rehearsal.season import Player, Rehearsal, rehearse_season
from balewright.rehearsal.sensed import can_show, writes
from balewright.rehearsal.stress.pack import STRESS_PACK
from balewright.rehearsal.stress.play import advance_of, stress_season

BALES, DAILY_BALES = 2_000, 120.0
STARTS = (500, 900)
"""A fault begins at a bale drawn from here."""
LATE_STARTS = (1_450, 1_600)
"""The same where the first 1,200 bales are not kept."""
SEEN_BEFORE = 100
"""Bales that must be on record before a fault for it to be a change at all."""
GROWTH_BALES = (150, 400)
"""A fault that grows is whole after so many bales, drawn from here."""
LEARNT_FROM, LEARNT_BALES = 16, 700
"""Other machines of the make that tell what is usual, and bales of each."""
SIZED_BALES = 400
"""Bales in order from which the spread of a machine is taken."""
START_US = 1_900_000_000_000_000 - 1_900_000_000_000_000 % 86_400_000_000
POOR_SHARE = 0.3
"""A machine is called poor where it lacks more of the columns its make could write than this."""
DRAWS = 400
"""Machines drawn at most until one can show the fault and has the sensors asked for."""
SIZES = {"moderate": 1.0, "severe": 2.0}
"""Of a level, in its spread from bale to bale."""


@dataclass(frozen=True)
class Drawn:
    """A machine as it goes into its season."""

    key: str
    sheet: Sheet
    player: Player

    @property
    def poor(self) -> bool:
        """Whether it records little."""
        machine = self.player.machine
        names = [name for name in BY_NAME if writes(machine, name)]
        return sum(name in self.player.silent for name in names) > POOR_SHARE * len(names)


def draw(case: Case, chance: np.random.Generator) -> Drawn:
    """The machine of a case: makes in turn, every third one poor, of those that can show the fault.

    Raises ValueError where no machine drawn can.
    """
    keys = [*shipped_profiles()]
    want_poor = case.turn % 3 == 2
    fallback: Drawn | None = None
    for nth, own in enumerate(chance.spawn(DRAWS)):
        key = keys[(case.turn + nth) % len(keys)]
        drawn = draw_one(key, own)
        player = drawn.player
        if case.fault and not can_show(case.fault, player.machine, player.silent):
            continue
        if drawn.poor == want_poor:
            return drawn
        fallback = fallback or drawn
        if nth > DRAWS // 4:
            break
    if fallback is None:
        raise ValueError(f"{case.key}: none of {DRAWS} machines can show it")
    return fallback


def draw_one(key: str, chance: np.random.Generator) -> Drawn:
    """A machine of a make with its field and the sheet for it."""
    machine = shipped_profiles()[key]
    field = draw_field(chance, machine)
    sheet = _sheet_for(key, field.crop, field.moisture_frac, round(field.windrow_kg_m))
    return Drawn(key, sheet, draw_player(chance, machine, "M", set_targets(machine, sheet), "s"))


@lru_cache(maxsize=1024)
def _sheet_for(key: str, crop: str, moisture_frac: float, windrow_kg_m: int) -> Sheet:
    machine = shipped_profiles()[key]
    film = Film(0.75, 25e-6, 1500.0, 0.70) if machine.wrapper else None
    conditions = Conditions(
        Crop(crop), moisture_frac, float(windrow_kg_m), 2.5, 0.0, False, False, film, 3000.0, 6.0,
        BALES,
    )  # fmt: skip
    return plan_bale(machine, conditions, None, "bench")


def plant(case: Case, drawn: Drawn, chance: np.random.Generator) -> Planted | None:
    """The fault of a case: how bad by its severity, from when and how fast by chance."""
    if case.fault is None:
        return None
    growth = case.growth or FAULT_BOOK[case.fault].grows
    low, high = LATE_STARTS if _begins_late(case.mix) else STARTS
    start = int(chance.integers(low, high))
    slow = growth in (Growth.RAMP, Growth.JUMP_CREEP)
    grows = int(chance.integers(*GROWTH_BALES)) if slow else 0
    calm = replace(drawn.player, habit=None)
    usual = rehearse_season(
        (calm,), season_plan(SIZED_BALES), np.random.default_rng([case.seed, 2])
    )
    sizes = usual_severities(case.fault, usual, "M")
    if sizes is None:
        raise ValueError(f"{case.key}: the machine drawn does not record it")
    slips = -1.0 if case.fault is FaultKind.STRETCH else 1.0
    size = slips * sizes[case.severity == "severe"]
    return Planted(case.fault, start, size, grows, growth=growth)


def _begins_late(mix: str) -> bool:
    return bool(mix) and STRESS_PACK[mix].severity("short history") > 0.5


def season_plan(bales: int = BALES) -> SeasonPlan:
    """When a season begins, and of how many bales it is."""
    return SeasonPlan(START_US, bales, DAILY_BALES)


def play(case: Case) -> Season:
    """One season from its seed to what was told in it."""
    chance = np.random.default_rng([case.seed, 1])
    drawn = draw(case, chance)
    planted = plant(case, drawn, chance)
    player = replace(drawn.player, planted=() if planted is None else (planted,))
    if case.mix:
        player = replace(player, slipping=advance_of(STRESS_PACK[case.mix]))
    played = rehearse_season((player,), season_plan(), np.random.default_rng([case.seed, 2]))
    records, events = _records(case, played)
    records = replace(records, exact=_exact(planted))
    about = WatchedMachine(
        "M", drawn.player.machine, {"s": drawn.sheet}, events, kind_of(drawn.key)
    )
    told, reviews = review_season(records, watching(about))
    charts = watch(records.bales, about).charts
    truth = played.truth[0]
    fault = None if planted is None else _tell(case, planted, records, (drawn.key, played))
    return Season(
        case.key, case.seed, drawn.player.machine.title, "poor" if drawn.poor else "rich", case.mix,
        BALES, truth.weeks, fault, told, reviews, charts,
    )  # fmt: skip


def _exact(planted: Planted | None) -> Callable[[Finding, int, int], bool]:
    """The bale of an alarm counts for the fault's own findings and on the day the fault begins."""

    def exact(finding: Finding, before: int, made: int) -> bool:
        if planted is None:
            return False
        own = any(way.kind == finding.kind for way in TOLD_BY[planted.kind])
        return own or before <= planted.start < made

    return exact


def _records(case: Case, played: Rehearsal) -> tuple[Records, tuple[Event, ...]]:
    """What arrives day by day, each bale once: the book takes a record that stands twice as one."""
    truth = played.truth[0]
    if not case.mix:
        bales, events = played.bales, played.events
        made = np.arange(bales.rows)
        true = partial(is_true, truth)
    else:
        chance = np.random.default_rng([case.seed, 3])
        hard = stress_season(STRESS_PACK[case.mix], played.bales, played.events, chance)
        made, once = np.unique(hard.origin, return_index=True)
        bales, events = hard.bales.take(once), hard.events

        def true(finding: Finding, since: int, until: int) -> bool:
            return is_true(truth, finding, since, until) or is_fair(hard.spans, finding, since)

    return Records(bales, made, truth.day[made], columns_of, true), events


def columns_of(measure: str) -> tuple[str, ...]:
    """Columns that a measure of the book rests on; none for what is no measure."""
    return _COLUMNS.get(measure, ())


_COLUMNS = {measure.key: measure.columns for measure in MEASURES}


def _tell(
    case: Case, planted: Planted, records: Records, season: tuple[str, Rehearsal]
) -> Fault | None:
    """The fault as it came out. None, and so a clean season, where it never came."""
    key, played = season
    truth = played.truth[0]
    present = truth.faults[0]
    if present.first_bale is None:
        return None
    note = FAULT_BOOK[planted.kind]
    size = {Family.LEVEL: SIZES[case.severity], Family.RATE: planted.severity}.get(note.family)
    rate = truth.chances.get(_CHANCES.get(planted.kind, ""))
    before = None if rate is None else float(np.mean(rate[: present.first_bale]))
    shown = _is_shown(note, records, played, present.first_bale)
    slack = 0.0 if before is None else 1.0 / before
    if planted.kind is FaultKind.GREASE_STUCK:
        slack = max(i.every_bales or 0 for i in shipped_profiles()[key].service)
    return Fault(
        str(planted.kind), case.severity, str(planted.grows), present.first_bale,
        planted.growth_bales if planted.grows is not Growth.SPELLS else 0, str(note.family), size,
        before, shown, float(slack),
    )  # fmt: skip


def _is_shown(note: FaultNote, records: Records, played: Rehearsal, start: int) -> bool:
    """Whether enough came before the fault to see a change, and stress left a third of a way."""
    if int((records.made < start).sum()) < SEEN_BEFORE:
        return False
    hard, plain = records.bales, played.bales
    kept = [
        min((hard.mask(name).sum() + 1) / (plain.mask(name).sum() + 1) for name in way)
        * plain.rows / max(hard.rows, 1)
        for way in note.ways
        if all(plain.has(name) for name in way)
    ]  # fmt: skip
    left = float(max(kept, default=0.0))
    return not note.ways or note.family is Family.SILENCE or left > 1.0 / 3.0


_CHANCES = {
    FaultKind.OVERLOADS: "overloads", FaultKind.BINDING_MISSED: "binding missed",
    FaultKind.FILM_STARTS: "film starts", FaultKind.FILM_BREAKS: "film breaks 1",
    FaultKind.ROLL_BATCH: "film breaks 1", FaultKind.BY_HAND: "by hand",
    FaultKind.CODES_MORE: "codes", FaultKind.SPEED_CODES: "codes",
}  # fmt: skip
"""Where the truth keeps the chance a bale of what a fault makes commoner."""


@lru_cache(maxsize=16)
def kind_of(key: str) -> Kind:
    """What is usual for a make, from a season of other machines of it, honest ones."""
    states = []
    for nth in range(LEARNT_FROM):
        seed = OF_ITS_KIND + 100 * [*shipped_profiles()].index(key) + nth
        drawn = draw_one(key, np.random.default_rng([seed, 1]))
        played = rehearse_season(
            (drawn.player,), season_plan(LEARNT_BALES), np.random.default_rng([seed, 2])
        )
        about = WatchedMachine("M", drawn.player.machine, {"s": drawn.sheet}, played.events)
        states.append(watch(played.bales, about).state)
    return learn_kind(states)
