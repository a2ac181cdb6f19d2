"""What was put right on a machine, and how many bales it has made since."""

from __future__ import annotations

import numpy as np

from balewright.cause.known_free import PutRight
from balewright.flows.list_cases import list_cases
from balewright.flows.review_machine import MachineRecords
from balewright.flows.workplace import Workplace
from balewright.records.bales import BaleTable
from balewright.records.events import Event


def since_events(records: MachineRecords) -> list[tuple[Event, float]]:
    """Every event of a machine whose place among its bales is known, with the bales since."""
    found = []
    for event in records.about.events:
        run_bales = _since(records, event.bale_no, event.at_us)
        if run_bales is not None:
            found.append((event, run_bales))
    return found


def put_right(workplace: Workplace, records: MachineRecords) -> list[PutRight]:
    """Causes of this machine's cases whose cure is proved, with the bales since the repair."""
    found = []
    for line in list_cases(workplace, records.entry.serial):
        case = line.case
        if case.is_proved and case.cause is not None and case.cause.cause and case.repairs:
            run_bales = _since(records, case.repairs[-1].at_bale, None)
            if run_bales is not None:
                found.append(PutRight(case.cause.cause, run_bales))
    return found


def _since(records: MachineRecords, bale_no: int | None, at_us: int | None) -> float | None:
    """Bales made since a bale number or a time; None where neither places it."""
    bales: BaleTable = records.judged.watched.bales
    if bale_no is not None and bales.mask("bale_no").any():
        known = bales.mask("bale_no") & (bales.column("bale_no") >= bale_no)
        return float(np.count_nonzero(known))
    if at_us is None:
        return None
    watched = records.judged.watched
    return float(np.count_nonzero(watched.timed & (watched.made_us >= at_us)))
