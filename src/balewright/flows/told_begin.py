"""When a recording began, as a person says it beside a file that cannot."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

from balewright.flows.workplace import Workplace
from balewright.quantities.errors import BadInput, Fault

_EPOCH = datetime(1970, 1, 1, tzinfo=UTC)


def read_begin(workplace: Workplace, text: str, machine: str | None = None) -> int | None:
    """UTC microseconds of the time that a person entered, None for nothing entered.

    text: ISO 8601; without Z or an offset it is of the machine's own clock, UTC where no machine
    of the register is named. Raises BadInput for what is no time, and for one that the machine's
    clock shows twice or never, as it is put on or back.
    """
    if not text.strip():
        return None
    cure = "Write it as in 2031-06-14T09:30, or 2031-06-14T09:30:00Z for UTC."
    try:
        told = datetime.fromisoformat(text.strip())
    except ValueError:
        raise BadInput(Fault("begin", "a day and a time", repr(text[:40]), cure)) from None
    if told.tzinfo is None:
        entry = None if machine is None else workplace.register.load_machine(machine)
        zone = ZoneInfo("UTC" if entry is None else entry.zone)
        told = told.replace(tzinfo=zone)
        if told.utcoffset() != told.replace(fold=1).utcoffset():
            need = f"a time that a clock of {zone.key} shows once"
            cure = "Write it with its offset, as in 2031-06-14T09:30+02:00."
            raise BadInput(Fault("begin", need, repr(text[:40]), cure))
    try:
        return (told.astimezone(UTC) - _EPOCH) // timedelta(microseconds=1)
    except OverflowError:
        raise BadInput(Fault("begin", "a day and a time", repr(text[:40]), cure)) from None
