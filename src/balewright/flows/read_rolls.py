"""Which bales each roll wrapped, and which bales have film or net of a batch."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from balewright.flows.known_machine import known_machine
from balewright.flows.orders import Orders
from balewright.flows.workplace import Workplace
from balewright.plan.machine import MetresCounted
from balewright.records.bales import BaleTable
from balewright.records.events import EventKind
from balewright.records.identity import REWRAPPED, bale_times
from balewright.records.number_runs import NumberRun, number_runs
from balewright.records.rolls import ROLLS, RollAccount, RollRange, account_rolls, plain_name
from balewright.store.told_events import machines_with_batch

_COLUMNS: Final = (
    *("machine", "bale_no", "counter_epoch", "status", "job", "mode", "binding", "binding_m"),
    *("wrap_turns", "film1_m", "film2_m", "film1_breaks", "film2_breaks", "bind_start_at"),
    *("bind_end_at", "gate_open_at", "wrap_start_at", "wrap_end_at", "tipped_at", "full_at"),
    *("closed_at", "on_wrapper_at"),
)


@dataclass(frozen=True)
class RollTold:
    """A range of one roll: numbers of its bales as runs, first and last time, and how many bales
    have no number. bales: distinct ones; passes: further passes over the wrapper, no bales."""

    range: RollRange
    numbers: tuple[NumberRun, ...]
    unnumbered: int
    bales: int
    passes: int
    first_us: int | None
    last_us: int | None


@dataclass(frozen=True)
class RollsTold:
    """ranges: by kind, item and time; unplaced: changes that nothing places; untimed: bales
    without a time, which stand on no roll."""

    ranges: tuple[RollTold, ...]
    unplaced: int
    untimed: int


@dataclass(frozen=True)
class BatchLine:
    """Bales of one machine and job that have material of a batch.

    shared: of them, those a change of roll fell into: wrapped from two rolls.
    """

    machine: str
    kind: EventKind
    item: str
    batch: str
    job: str | None
    customer: str | None
    field: str | None
    bales: int
    numbers: tuple[NumberRun, ...]
    unnumbered: int
    shared: int
    first_us: int | None
    last_us: int | None


@dataclass(frozen=True)
class BatchTold:
    """lines: by machine, roll and job; bales: distinct ones, as one on two rolls of the batch
    stands in two lines."""

    lines: tuple[BatchLine, ...]
    bales: int

    @property
    def machines(self) -> int:
        """How many machines."""
        return len({line.machine for line in self.lines})


def read_rolls(workplace: Workplace, serial: str) -> RollsTold:
    """The rolls of one machine. Raises BadInput for a machine that nothing is known of."""
    known_machine(workplace, serial)
    bales, account = _account(workplace, serial)
    ranges = tuple(_told(bales, one, one.rows) for one in account.ranges)
    return RollsTold(ranges, len(account.unplaced), len(account.untimed))


def find_batch(workplace: Workplace, batch: str, kind: EventKind | None = None) -> BatchTold:
    """Every bale, of any machine, with film or net of a batch: for when a batch is called back.

    batch: as it was noted, letter case and spaces apart; kind: film or net, None for both.
    """
    wanted = plain_name(batch)
    orders = Orders(workplace.register.load_jobs())
    serials = sorted(machines_with_batch(workplace.journal, wanted))
    lines: list[BatchLine] = []
    bales_in_all = 0
    for done, serial in enumerate(serials):
        workplace.progress("looking", done, len(serials))
        bales, account = _account(workplace, serial)
        rows: set[int] = set()
        for one in account.ranges:
            if kind in (None, one.kind) and one.batch and plain_name(one.batch) == wanted:
                lines += _lines(bales, one, orders)
                rows.update(one.rows)
        bales_in_all += sum(bales.cell(row, "status") != REWRAPPED for row in rows)
    return BatchTold(tuple(lines), bales_in_all)


def _account(workplace: Workplace, serial: str) -> tuple[BaleTable, RollAccount]:
    events = workplace.journal.read_events(serial)
    if not any(event.kind in ROLLS for event in events):
        return workplace.journal.read_bales(serial, ["machine"], 0), RollAccount((), (), ())
    entry = workplace.register.load_machine(serial)
    profile = None if entry is None else workplace.profiles.get(entry.profile_key)
    wrapper = None if profile is None else profile.wrapper
    counted = None if wrapper is None else wrapper.metres_counted
    before = None if counted is None else counted is MetresCounted.BEFORE_STRETCH
    bales = workplace.journal.read_bales(serial, _COLUMNS)
    return bales, account_rolls(serial, bales, events, before)


def _told(bales: BaleTable, one: RollRange, rows: tuple[int, ...]) -> RollTold:
    times, timed = bale_times(bales)
    when = [int(times[row]) for row in rows if timed[row]]
    made = [row for row in rows if bales.cell(row, "status") != REWRAPPED]
    numbers = [bales.cell(row, "bale_no") for row in made]
    known = [number for number in numbers if number is not None]
    return RollTold(
        range=one,
        numbers=number_runs(known),
        unnumbered=len(numbers) - len(known),
        bales=len(made),
        passes=len(rows) - len(made),
        first_us=min(when, default=None),
        last_us=max(when, default=None),
    )


def _lines(bales: BaleTable, one: RollRange, orders: Orders) -> Iterator[BatchLine]:
    """One line for each job on the roll."""
    by_job: dict[str | None, list[int]] = {}
    for row in one.rows:
        by_job.setdefault(bales.cell(row, "job"), []).append(row)
    for job, rows in sorted(by_job.items(), key=lambda pair: pair[1][0]):
        told, order = _told(bales, one, tuple(rows)), orders.find(job, None)
        yield BatchLine(
            machine=one.machine,
            kind=one.kind,
            item=one.item,
            batch=one.batch or "",
            job=job,
            customer=order.customer,
            field=order.field,
            bales=told.bales,
            numbers=told.numbers,
            unnumbered=told.unnumbered,
            shared=sum(1 for row in rows if row in one.rows[: one.shared]),
            first_us=told.first_us,
            last_us=told.last_us,
        )
