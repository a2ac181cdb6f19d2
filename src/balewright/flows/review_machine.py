"""Look at one machine: its bales against their sheets, its work due; keep what was found."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from balewright.cards.sheet_json import sheet_from_json
from balewright.findings.against_plan import cannot_tell, worst_first
from balewright.findings.episode import Episode, EpisodeState
from balewright.findings.episodes import follow
from balewright.findings.finding import Finding, FindingKind
from balewright.findings.judged import Judged, judge
from balewright.findings.recorded import RecordedFilm, record_film
from balewright.findings.unlike_kind import over_all_bales
from balewright.findings.worth import NOTHING_KNOWN, Usual, usual_of, worth_of
from balewright.flows.admit_findings import admit_open
from balewright.flows.house_prices import NO_PRICES, HousePrices, house_prices
from balewright.flows.lifetime_of import lifetime_in
from balewright.flows.watch_bales import About, ChartEngine, Engine, mark_of, watch_bales
from balewright.flows.workplace import Workplace
from balewright.plan.machine import Machine
from balewright.plan.sheet.sheet import Sheet
from balewright.quantities.errors import BadInput, Fault
from balewright.quantities.reason import Reason
from balewright.quantities.si import MICROSECONDS_PER_S
from balewright.records.bales import BaleTable
from balewright.records.counts.account import LifetimeCount
from balewright.records.counts.swaps import Swap, place_swaps
from balewright.store.entries import MachineEntry
from balewright.store.reviews import ReviewEntry
from balewright.work.due import WorkDue, forecast_work
from balewright.work.usage import read_usage

SHOWN_BALES: Final = 600
ENGINE: Final[Engine] = ChartEngine()
_NEAR_US: Final = 3_600 * MICROSECONDS_PER_S
"""A bale's time may be that of another of its phases."""


@dataclass(frozen=True, eq=False)
class MachineReview:
    """One machine as it stands.

    bales: its last SHOWN_BALES; sheets: by the key its bales name; episodes: all that ever lived on
    of what was found; findings: theirs, without those that are set aside, withdrawn, told by
    another or not admitted, worst first; untold: what its records say nothing about; lifetime: by
    its counters, None where it has none; counted: bales in the journal; film: layers on those
    bales, as recorded.
    """

    entry: MachineEntry
    machine: Machine
    bales: BaleTable
    sheets: Mapping[str, Sheet]
    findings: tuple[Finding, ...]
    due: tuple[WorkDue, ...]
    untold: tuple[Reason, ...]
    lifetime: LifetimeCount
    counted: int
    film: RecordedFilm
    episodes: tuple[Episode, ...] = ()

    @property
    def lifetime_bales(self) -> int | None:
        """By its counters, None where it has none; at least so many where `lifetime` says so."""
        return self.lifetime.bales


@dataclass(frozen=True, eq=False)
class MachineRecords:
    """What a review looks at: a machine's bales and all that is known beside them."""

    entry: MachineEntry
    about: About
    bales: BaleTable
    judged: Judged


def review_machine(workplace: Workplace, serial: str) -> MachineReview:
    """Review one machine of the register; what was found is kept where its records changed.

    Looking again at the same records watches nothing and writes nothing. Raises BadInput for a
    serial, or a profile, that is not known here.
    """
    records = read_records(workplace, serial)
    about, bales = records.about, records.bales
    if keep_review(workplace, records):
        admit_open(workplace, (serial,))
    episodes = workplace.register.load_episodes(serial)
    machine, sheets, events = about.machine, about.sheets, about.events
    usage = read_usage(serial, machine, bales, events, now_us_of(workplace))
    return MachineReview(
        entry=records.entry,
        machine=machine,
        bales=bales.take(np.arange(max(0, bales.rows - SHOWN_BALES), bales.rows)),
        sheets=sheets,
        findings=worst_first([one.finding for one in episodes if one.may_be_shown]),
        due=forecast_work(machine, usage),
        untold=cannot_tell(bales, machine, sheets),
        lifetime=lifetime_in(workplace, serial, bales, events),
        counted=bales.rows,
        film=record_film(bales, machine, sheets, SHOWN_BALES),
        episodes=episodes,
    )


def read_records(workplace: Workplace, serial: str, engine: Engine = ENGINE) -> MachineRecords:
    """All that a review of this machine looks at; what was learnt of its kind by another version
    of the engine is left out. Raises BadInput as `review_machine`."""
    entry = workplace.register.load_machine(serial)
    if entry is None:
        cure = "Add the machine, or check the serial."
        raise BadInput(Fault("machine", "a serial of the register", repr(serial), cure))
    machine = workplace.profiles.get(entry.profile_key)
    if machine is None:
        cure = "Add that profile, or give the machine another one."
        raise BadInput(Fault(serial, "a known profile", repr(entry.profile_key), cure))
    bales = workplace.journal.read_bales(serial)
    sheets, events = _sheets_named(workplace, bales), workplace.journal.read_events(serial)
    kind = workplace.register.load_kind(entry.profile_key)
    learnt = None if kind is None or kind.version != engine.version else kind.body
    about = About(serial, machine, sheets, events, learnt)
    return MachineRecords(entry, about, bales, judge(serial, machine, bales))


def keep_review(workplace: Workplace, records: MachineRecords, engine: Engine = ENGINE) -> bool:
    """Watch what changed since the last review and keep it, whole or not at all; whether anything
    was kept.
    """
    register, about = workplace.register, records.about
    now, serial = workplace.clock(), records.entry.serial
    prices = house_prices(workplace)
    mark = _priced_mark(mark_of(engine, about, records.judged), prices)
    last = register.load_review(serial)
    if last is not None and last.mark == mark and not _may_wake(workplace, serial):
        return False
    before = () if last is None else register.load_findings(serial)
    looked = watch_bales(engine, about, records.judged, register.load_watch_states(serial), before)
    swaps = place_swaps(about.events, records.bales).placed
    usual = {key: usual_of(sheet, about.machine) for key, sheet in about.sheets.items()}
    findings = tuple(
        replace(one, worth=worth_of(one, prices.for_findings, _usual_at(one, usual)))
        for one in (*looked.findings, *_unlike(before, records.judged))
        if not _is_told(one, swaps)
    )
    judged = replace(records.judged, first_new=looked.first_new)
    register.keep_review(
        ReviewEntry(serial, now, findings, mark, looked.charts, looked.states),
        lambda episodes: follow(episodes, findings, now_us_of(workplace), judged),
    )
    return True


def _unlike(before: Sequence[Finding], judged: Judged) -> tuple[Finding, ...]:
    """What the last comparison of the fleet found: so until the next one says otherwise."""
    return over_all_bales(
        [one for one in before if one.kind is FindingKind.UNLIKE_ITS_KIND], judged
    )


def _priced_mark(mark: str, prices: HousePrices) -> str:
    """The mark of a review with these prices: others make what was found cost something else."""
    if prices == NO_PRICES:
        return mark
    return hashlib.sha256(f"{mark} {prices!r}".encode()).hexdigest()


def _usual_at(finding: Finding, usual: Mapping[str, Usual]) -> Usual:
    """What a bale takes by the sheet in force at a finding."""
    return NOTHING_KNOWN if finding.sheet is None else usual.get(finding.sheet, NOTHING_KNOWN)


def _may_wake(workplace: Workplace, serial: str) -> bool:
    """Whether the time ended for which something was set aside."""
    return any(
        one.set_aside is not None
        and one.set_aside.until_us is not None
        and one.set_aside.until_us <= now_us_of(workplace)
        for one in workplace.register.load_episodes(serial, (EpisodeState.SET_ASIDE,))
    )


def now_us_of(workplace: Workplace) -> int:
    """The present time, UTC microseconds."""
    return round(workplace.clock().timestamp() * MICROSECONDS_PER_S)


def _is_told(finding: Finding, swaps: Sequence[Swap]) -> bool:
    """Whether somebody told of the one change of the counter that was found."""
    changes = None if finding.seen is None else finding.seen.best
    if finding.kind is not FindingKind.COUNTER_CHANGED or changes != 1:
        return False
    after, since_us = dict(finding.words.values).get("after"), finding.since_us
    return any(
        swap.bale_no == after and (since_us is None or abs(swap.at_us - since_us) < _NEAR_US)
        for swap in swaps
    )


def _sheets_named(workplace: Workplace, bales: BaleTable) -> dict[str, Sheet]:
    """The kept sheets that the bales name; a key nobody kept stays out."""
    named = set(bales.column("sheet")[bales.mask("sheet")].tolist())
    kept = {key: workplace.register.load_sheet(key) for key in sorted(named)}
    return {key: sheet_from_json(entry.json) for key, entry in kept.items() if entry is not None}
