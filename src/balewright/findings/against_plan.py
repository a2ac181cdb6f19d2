"""Every bale against its sheet, by physics and counting: the first look at any record."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from typing import Final

import numpy as np

from balewright.findings.advance import find_advance
from balewright.findings.balance import find_balance
from balewright.findings.binding import find_binding
from balewright.findings.chamber import find_density, find_gate, find_moisture
from balewright.findings.clock import find_times
from balewright.findings.counters import find_counters
from balewright.findings.delay import find_delay
from balewright.findings.finding import Finding, Weight
from balewright.findings.hold import find_hold
from balewright.findings.layers import find_layers
from balewright.findings.measures.book import is_recorded, measures_of
from balewright.findings.metres import find_metres
from balewright.findings.phases import find_phases
from balewright.findings.planned import plan_of
from balewright.findings.said import find_said
from balewright.findings.shape import find_shape
from balewright.findings.silence import WATCHED_COLUMNS, find_silence
from balewright.findings.statuses import find_statuses
from balewright.findings.stretch import find_stretch
from balewright.findings.watched import Found, Watched, tell, watch_machine
from balewright.plan.machine import Machine, MetresCounted
from balewright.plan.sheet.sheet import Sheet
from balewright.quantities.reason import Reason, because
from balewright.records.bales import BaleTable
from balewright.records.text_codes import code_texts

CHECKS: Final[tuple[Callable[[Watched], Iterator[Found]], ...]] = (
    find_layers,
    find_advance,
    find_stretch,
    find_metres,
    find_binding,
    find_gate,
    find_shape,
    find_hold,
    find_density,
    find_balance,
    find_moisture,
    find_delay,
    find_times,
    find_phases,
    find_said,
    find_counters,
    find_statuses,
    find_silence,
)
_MAIN: Final = (
    ("fill_s",),
    ("bind_s", "bind_turn_s"),
    ("gate_cycle_s",),
    ("transfer_s",),
    ("wrap_turn_s",),
    ("chamber_bar",),
    ("film_breaks", "film1_breaks", "film2_breaks"),
)
"""What the main systems are watched by, each by one of these measures; the first names it."""
_RANK: Final = {Weight.HARM: 0, Weight.COST: 1, Weight.NOTE: 2}


def find_against_plan(
    bales: BaleTable, machine: Machine, sheets: Mapping[str, Sheet]
) -> tuple[Finding, ...]:
    """Where bales differ from the sheet in force at them.

    bales: of one or more machines of the profile `machine`, in any order; sheets: by the key that
    the column `sheet` holds. A bale without a known sheet is judged only on what needs none. What
    a machine does not record is not guessed (`cannot_tell` lists it). Findings come by machine,
    worst first, then by when they began.
    """
    plans = plan_of(sheets, machine)
    findings: list[Finding] = []
    for serial, own in _by_machine(bales):
        watched = watch_machine(serial, machine, own, plans)
        findings += [tell(watched, found) for found in check_all(watched)]
    return worst_first(findings)


def check_all(watched: Watched) -> Iterator[Found]:
    """Everything every check finds on one machine."""
    for check in CHECKS:
        yield from check(watched)


def worst_first(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """By machine, worst first, then by when they began."""
    return tuple(sorted(findings, key=_worst_first))


def _by_machine(bales: BaleTable) -> Iterator[tuple[str, BaleTable]]:
    """Each machine's bales; rows that name none are one machine's by the serial ""."""
    codes, serials = code_texts(np.where(bales.mask("machine"), bales.column("machine"), ""))
    for code, serial in enumerate(serials):
        yield serial, bales if len(serials) == 1 else bales.take(codes == code)


def _worst_first(finding: Finding) -> tuple[str, int, int, int, str, str]:
    return (
        finding.machine,
        _RANK[finding.weight],
        finding.since_us if finding.since_us is not None else 0,
        finding.since_bale if finding.since_bale is not None else 0,
        finding.kind.value,
        finding.words.key,
    )


def cannot_tell(
    bales: BaleTable, machine: Machine, sheets: Mapping[str, Sheet]
) -> tuple[Reason, ...]:
    """What these records say nothing about, so that no finding is not taken for all well.

    bales: of one machine. Arguments as in `find_against_plan`.
    """
    if bales.rows == 0:
        return (because("findings.untold.nothing"),)
    said = []
    named = np.where(bales.mask("sheet"), bales.column("sheet"), "").tolist()
    without = sum(name not in sheets for name in named)
    if without:
        said.append(because("findings.untold.sheet", bales=without, looked_at=bales.rows))
    wrapper = machine.wrapper
    if wrapper is not None:
        metres = [name for name in ("film1_m", "film2_m", "film_m") if bales.has(name)]
        if not bales.has("wrap_turns") and not metres:
            said.append(because("findings.untold.layers"))
        elif not bales.has("diameter_m"):
            said.append(because("findings.untold.fat"))
        if wrapper.metres_counted is MetresCounted.AFTER_STRETCH or not metres:
            said.append(because("findings.untold.stretch"))
        elif wrapper.dispensers == 2 and "film2_m" not in metres:
            said.append(because("findings.untold.dispenser"))
        if not (bales.has("full_at") and (bales.has("wrap_end_at") or bales.has("tipped_at"))):
            said.append(because("findings.untold.delay"))
    if not (bales.has("binding_turns") or bales.has("binding_m")):
        said.append(because("findings.untold.binding"))
    if not bales.has("gate_opening_mm"):
        said.append(because("findings.untold.gate"))
    if not bales.has("mass_kg"):
        said.append(because("findings.untold.density"))
    if not bales.has("moisture_frac"):
        said.append(because("findings.untold.moisture"))
    return (*said, *_unwatched(bales, machine))


def _unwatched(bales: BaleTable, machine: Machine) -> Iterator[Reason]:
    """Main measures that fit the machine and that its records do not hold, in one sentence."""
    fitting = {one.key: one for one in measures_of(machine)}
    missing = [
        keys[0]
        for keys in _MAIN
        if keys[0] in fitting
        and not any(is_recorded(fitting[key], bales) for key in keys if key in fitting)
    ]
    if missing:
        yield because("findings.untold.watch", measures=", ".join(missing))


__all__ = ["WATCHED_COLUMNS", "cannot_tell", "check_all", "find_against_plan", "worst_first"]
