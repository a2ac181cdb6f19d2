"""Machines, jobs and the counters' high-water marks."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Final
from zoneinfo import ZoneInfo

from django.db import transaction
from django.db.models import QuerySet

from balewright.quantities.errors import BadInput, Fault
from balewright.records.counters import CounterSpan, Remarked, lifetime_bales, widen
from balewright.records.intake import JobSeen
from balewright.store import models
from balewright.store.entries import JobEntry, MachineEntry

_EPOCH_UNKNOWN: Final = -1
_AT_ONCE: Final = 100


class MachineShelf:
    """Who the machines are, what they were ordered for, how far their counters went."""

    alias: str

    def save_machine(self, entry: MachineEntry) -> None:
        """Enter a machine, or change what is known of it. Raises BadInput for a bad zone."""
        _check_machine(entry)
        with transaction.atomic(using=self.alias):
            models.Machine.objects.using(self.alias).update_or_create(
                serial=entry.serial,
                defaults={
                    "name": entry.name,
                    "profile_key": entry.profile_key,
                    "zone": entry.zone,
                    "customer": self._customer(entry.customer),
                },
            )

    def load_machine(self, serial: str) -> MachineEntry | None:
        """The machine, None when the register does not know it."""
        row = self._machines().filter(serial=serial).first()
        return None if row is None else _machine_entry(row)

    def load_machines(self) -> tuple[MachineEntry, ...]:
        """Every machine, by serial."""
        return tuple(_machine_entry(row) for row in self._machines().order_by("serial"))

    def save_job(self, entry: JobEntry) -> None:
        """Enter an order, or change what is known of it."""
        with transaction.atomic(using=self.alias):
            models.Job.objects.using(self.alias).update_or_create(
                job=entry.job,
                source=entry.source or "",
                defaults={
                    "customer": self._customer(entry.customer),
                    "farm": entry.farm,
                    "field": entry.field,
                    "crop": entry.crop,
                },
            )

    def _add_jobs(self, jobs: Iterable[JobSeen], source: str) -> None:
        """Enter the orders a file names, for its own bales; those of others stay as they are."""
        for seen in jobs:
            self.save_job(JobEntry(seen.job, seen.customer, seen.farm, seen.field, source=source))

    def load_job(self, job: str, source: str | None = None) -> JobEntry | None:
        """The order as a file names it, or as somebody entered it; None when nobody did."""
        row = self._jobs().filter(job=job, source=source or "").first()
        return None if row is None else _job_entry(row)

    def load_jobs(self) -> tuple[JobEntry, ...]:
        """Every order, by its word; what somebody entered before what files say."""
        return tuple(_job_entry(row) for row in self._jobs().order_by("job", "source"))

    def load_spans(self, machine: str | None = None) -> dict[str, tuple[CounterSpan, ...]]:
        """The counters' marks by machine, of one machine or of all."""
        rows = models.CounterSpan.objects.using(self.alias).order_by("machine", "epoch")
        if machine is not None:
            rows = rows.filter(machine=machine)
        spans: dict[str, tuple[CounterSpan, ...]] = {}
        for row in rows:
            epoch = None if row.epoch == _EPOCH_UNKNOWN else row.epoch
            span = CounterSpan(epoch, row.lowest_no, row.highest_no)
            spans[row.machine] = (*spans.get(row.machine, ()), span)
        return spans

    def load_lifetime(self, machine: str) -> int | None:
        """The machine's lifetime bales by its counters, None where it gives no numbers.

        No file takes it down: marks are only widened, and epochs add up. A correction that
        strikes a number does, where that number made the mark.
        """
        return lifetime_bales(self.load_spans(machine).get(machine, ()))

    def _widen_spans(self, spans: Mapping[str, tuple[CounterSpan, ...]]) -> None:
        """Widen the marks; call inside the transaction of an intake. Never narrows one."""
        kept = models.CounterSpan.objects.using(self.alias)
        seen = {
            (machine, _EPOCH_UNKNOWN if span.epoch is None else span.epoch): span
            for machine, found in spans.items()
            for span in widen(found)
        }
        kept.bulk_create(
            [
                models.CounterSpan(
                    machine=machine, epoch=epoch, lowest_no=one.lowest_no, highest_no=one.highest_no
                )
                for (machine, epoch), one in seen.items()
            ],
            batch_size=_AT_ONCE,
            ignore_conflicts=True,  # those that are there already are widened below
        )
        names = sorted(spans)
        wider = []
        for start in range(0, len(names), _AT_ONCE):
            here = names[start : start + _AT_ONCE]
            for row in kept.select_for_update().filter(machine__in=here):
                span = seen.get((row.machine, row.epoch))
                if span is None:
                    continue
                low, high = row.lowest_no, row.highest_no
                row.lowest_no, row.highest_no = min(low, span.lowest_no), max(high, span.highest_no)
                if (low, high) != (row.lowest_no, row.highest_no):
                    wider.append(row)
        kept.bulk_update(wider, ["lowest_no", "highest_no"], batch_size=_AT_ONCE)

    def _set_spans(self, machine: str, marks: Remarked) -> None:
        """Set a machine's marks anew; call inside the transaction of what strikes a number.

        A mark that an intake widened since it was read stays as it is: it is looked at again
        after that intake.
        """
        kept = models.CounterSpan.objects.using(self.alias)
        before = {_epoch_number(span): span for span in marks.before}
        for row in kept.select_for_update().filter(machine=machine):
            was = before.get(row.epoch)
            ends = (row.lowest_no, row.highest_no)
            if was is not None and ends == (was.lowest_no, was.highest_no):
                row.delete()
        self._widen_spans({machine: marks.after})

    def _customer(self, name: str | None) -> models.Customer | None:
        if name is None:
            return None
        return models.Customer.objects.using(self.alias).get_or_create(name=name)[0]

    def _machines(self) -> QuerySet[models.Machine]:
        return models.Machine.objects.using(self.alias).select_related("customer")

    def _jobs(self) -> QuerySet[models.Job]:
        return models.Job.objects.using(self.alias).select_related("customer")


def _check_machine(entry: MachineEntry) -> None:
    faults = []
    if not entry.serial.strip():
        faults.append(Fault("serial", "a serial", repr(entry.serial), "Give the machine's own."))
    try:
        ZoneInfo(entry.zone)
    except (KeyError, ValueError, OSError):
        cure = "Use an IANA name such as Europe/Dublin or UTC."
        faults.append(Fault("zone", "a time zone's IANA name", repr(entry.zone), cure))
    if faults:
        raise BadInput(*faults)


def _machine_entry(row: models.Machine) -> MachineEntry:
    customer = None if row.customer is None else row.customer.name
    return MachineEntry(row.serial, row.name, row.profile_key, row.zone, customer)


def _job_entry(row: models.Job) -> JobEntry:
    customer = None if row.customer is None else row.customer.name
    return JobEntry(row.job, customer, row.farm, row.field, row.crop, row.source or None)


def _epoch_number(span: CounterSpan) -> int:
    return _EPOCH_UNKNOWN if span.epoch is None else span.epoch
