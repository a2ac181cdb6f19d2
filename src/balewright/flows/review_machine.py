"""Look at one machine: its bales against their sheets, its work due; keep what was found."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Final

import numpy as np

from balewright.cards.sheet_json import sheet_from_json
from balewright.findings.against_plan import cannot_tell, find_against_plan
from balewright.findings.finding import Finding, FindingKind
from balewright.findings.recorded import RecordedFilm, record_film
from balewright.flows.lifetime_of import lifetime_in
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
from balewright.work.due import WorkDue, forecast_work
from balewright.work.usage import read_usage

SHOWN_BALES: Final = 600
_NEAR_US: Final = 3_600 * MICROSECONDS_PER_S
"""A bale's time may be that of another of its phases."""


@dataclass(frozen=True, eq=False)
class MachineReview:
    """One machine as it stands.

    bales: its last SHOWN_BALES; sheets: by the key its bales name; untold: what its records say
    nothing about; lifetime: by its counters, None where it has none; counted: bales in the
    journal; film: layers on those bales, as recorded.
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

    @property
    def lifetime_bales(self) -> int | None:
        """By its counters, None where it has none; at least so many where `lifetime` says so."""
        return self.lifetime.bales


def review_machine(workplace: Workplace, serial: str) -> MachineReview:
    """Review one machine of the register; its findings are kept where they changed.

    Looking again at the same records writes nothing. Raises BadInput for a serial, or a
    profile, that is not known here.
    """
    entry = workplace.register.load_machine(serial)
    if entry is None:
        cure = "Add the machine, or check the serial."
        raise BadInput(Fault("machine", "a serial of the register", repr(serial), cure))
    machine = workplace.profiles.get(entry.profile_key)
    if machine is None:
        cure = "Add that profile, or give the machine another one."
        raise BadInput(Fault(serial, "a known profile", repr(entry.profile_key), cure))
    bales = workplace.journal.read_bales(serial)
    sheets = _sheets_named(workplace, bales)
    events = workplace.journal.read_events(serial)
    swaps = place_swaps(events, bales).placed
    findings = tuple(
        one for one in find_against_plan(bales, machine, sheets) if not _is_told(one, swaps)
    )
    now = workplace.clock()
    now_us = round(now.timestamp() * MICROSECONDS_PER_S)
    usage = read_usage(serial, machine, bales, events, now_us)
    _keep_changed(workplace, serial, findings, now)
    return MachineReview(
        entry=entry,
        machine=machine,
        bales=bales.take(np.arange(max(0, bales.rows - SHOWN_BALES), bales.rows)),
        sheets=sheets,
        findings=findings,
        due=forecast_work(machine, usage),
        untold=cannot_tell(bales, machine, sheets),
        lifetime=lifetime_in(workplace, serial, bales, events),
        counted=bales.rows,
        film=record_film(bales, machine, sheets, SHOWN_BALES),
    )


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


def _keep_changed(
    workplace: Workplace, serial: str, findings: tuple[Finding, ...], now: datetime
) -> None:
    """Save what differs from the last review; a first review is kept though it found nothing."""
    register = workplace.register
    reviewed = any(review.machine == serial for review in register.load_reviews())
    if not reviewed or register.load_findings(serial) != findings:
        register.save_findings(serial, findings, now)


def _sheets_named(workplace: Workplace, bales: BaleTable) -> dict[str, Sheet]:
    """The kept sheets that the bales name; a key nobody kept stays out."""
    named = set(bales.column("sheet")[bales.mask("sheet")].tolist())
    kept = {key: workplace.register.load_sheet(key) for key in sorted(named)}
    return {key: sheet_from_json(entry.json) for key, entry in kept.items() if entry is not None}
