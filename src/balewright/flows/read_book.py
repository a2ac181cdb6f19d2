"""The bale book: bales by customer, job, machine and day, and lifetime bales that never go down."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import Any, Final

from balewright.flows.lifetime_of import fallen_machines, lifetime_of, swapped_machines
from balewright.flows.orders import Orders
from balewright.flows.workplace import Workplace
from balewright.store.engine_choice import open_engine
from balewright.store.entries import Dataset, MachineEntry
from balewright.store.questions import ask_book, ask_counts, zone_offsets

UTC: Final = "UTC"
_FIRST_DAY: Final = date(1970, 1, 1)


@dataclass(frozen=True)
class BookQuery:
    """What of the book is asked for; None means all.

    since_us (inclusive), until_us (exclusive): UTC microseconds; since_day, until_day (both
    inclusive): days on each machine's own calendar. Bales without a time are left out by any.
    """

    customer: str | None = None
    job: str | None = None
    machine: str | None = None
    since_us: int | None = None
    until_us: int | None = None
    since_day: date | None = None
    until_day: date | None = None


@dataclass(frozen=True)
class BookRow:
    """One line. customer, farm, field: by the job and the file that names it, None where unknown.

    day: on the machine's calendar (`zone`), None where the bales have no time; bales: distinct
    bales made = ok + burst + tests; ok: to be billed (a status nobody told is taken as ok);
    rewrapped: further passes over the wrapper, no bales of their own; mass_kg: of the `weighed`
    bales, None when none was weighed.
    """

    customer: str | None
    job: str | None
    machine: str | None
    day: date | None
    zone: str
    bales: int
    ok: int
    burst: int
    rewrapped: int
    tests: int
    mass_kg: float | None
    weighed: int
    farm: str | None = None
    field: str | None = None


@dataclass(frozen=True)
class Lifetime:
    """Bales of one machine's whole life.

    lifetime_bales: by its counters, never less than `counted` and never going down; None where
    it gives no numbers; counted: distinct bales in the journal; in_register: whether it is known;
    at_least: whether there may have been more.
    """

    machine: str
    lifetime_bales: int | None
    counted: int
    in_register: bool
    at_least: bool = False


@dataclass(frozen=True)
class Book:
    """Lines by customer, job, machine and day; lifetimes of the machines the lines are of."""

    rows: tuple[BookRow, ...]
    lifetimes: tuple[Lifetime, ...]

    @property
    def bales(self) -> int:
        """Distinct bales in all lines."""
        return sum(row.bales for row in self.rows)


def read_book(workplace: Workplace, query: BookQuery | None = None) -> Book:
    """Read the book; an empty one where nothing was taken in."""
    query = query or BookQuery()
    machines = {entry.serial: entry for entry in workplace.register.load_machines()}
    orders = Orders(workplace.register.load_jobs())
    engine = open_engine(workplace.journal, workplace.engine_address)
    asked = ask_book(
        _offsets(workplace, machines),
        machine=query.machine,
        job=query.job,
        span_us=(query.since_us, query.until_us),
    )
    lines = _join([_row(line, orders, machines) for line in engine.ask(asked).to_pylist()])
    rows = sorted((row for row in lines if _is_asked(row, query)), key=_order)
    shown = {row.machine for row in rows if row.machine is not None}
    counted = Counter[str | None]()
    if query.job is None and query.since_us is None and query.until_us is None:
        for row in lines:  # the whole book was asked for: it counts every bale
            counted[row.machine] += row.bales
    elif shown:
        for line in engine.ask(ask_counts(query.machine)).to_pylist():
            counted[line["machine"]] += line["bales"]
    swapped, fallen = swapped_machines(workplace), fallen_machines(workplace)
    lifetimes = []
    for serial in shown:
        told = lifetime_of(workplace, serial, counted[serial], swapped, fallen)
        known = serial in machines
        lifetimes.append(Lifetime(serial, told.bales, counted[serial], known, told.at_least))
    return Book(tuple(rows), tuple(sorted(lifetimes, key=lambda one: one.machine)))


def _offsets(workplace: Workplace, machines: Mapping[str, MachineEntry]) -> Any:
    zones = {serial: entry.zone for serial, entry in machines.items()}
    parts = workplace.register.load_parts(Dataset.BALES)
    first = min((part.first_us for part in parts if part.first_us is not None), default=0)
    last = max((part.last_us for part in parts if part.last_us is not None), default=0)
    return zone_offsets(zones, first, last)


def _row(line: Mapping[str, Any], orders: Orders, machines: Mapping[str, MachineEntry]) -> BookRow:
    order, machine = orders.find(line["job"], line["source"]), machines.get(line["machine"])
    return BookRow(
        customer=order.customer,
        farm=order.farm,
        field=order.field,
        job=line["job"],
        machine=line["machine"],
        day=None if line["day"] is None else _FIRST_DAY + timedelta(days=line["day"]),
        zone=UTC if machine is None else machine.zone,
        bales=line["bales"],
        ok=line["bales"] - line["burst"] - line["tests"],
        burst=line["burst"],
        rewrapped=line["rewrapped"],
        tests=line["tests"],
        mass_kg=None if line["mass_g"] is None else line["mass_g"] / 1000,
        weighed=line["weighed"],
    )


def _join(rows: list[BookRow]) -> list[BookRow]:
    """One line for each order, machine and day, whichever files its bales came in."""
    joined: dict[tuple[object, ...], BookRow] = {}
    for row in rows:
        key = (row.customer, row.farm, row.field, row.job, row.machine, row.day)
        joined[key] = row if key not in joined else _add(joined[key], row)
    return list(joined.values())


def _add(one: BookRow, other: BookRow) -> BookRow:
    masses = [row.mass_kg for row in (one, other) if row.mass_kg is not None]
    counts = {
        name: getattr(one, name) + getattr(other, name)
        for name in ("bales", "ok", "burst", "rewrapped", "tests", "weighed")
    }
    return replace(one, mass_kg=sum(masses) if masses else None, **counts)


def _is_asked(row: BookRow, query: BookQuery) -> bool:
    if query.customer is not None and row.customer != query.customer:
        return False
    if query.since_day is not None and (row.day is None or row.day < query.since_day):
        return False
    return query.until_day is None or (row.day is not None and row.day <= query.until_day)


def _order(row: BookRow) -> tuple[str, ...]:
    return tuple(
        _unknown_last(x) for x in (row.customer, row.job, row.farm, row.field, row.machine, row.day)
    )


def _unknown_last(value: object) -> str:
    return "1" if value is None else f"0{value}"
