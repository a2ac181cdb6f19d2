"""What people said of sheets, beside the bales that were made by them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

import numpy as np

from balewright.flows.workplace import Workplace
from balewright.records.bales import BaleTable
from balewright.records.identity import BALE_TIMES, REWRAPPED, bale_times
from balewright.store.entries import FeedbackEntry, Outcome

NEWEST: Final = 3


@dataclass(frozen=True)
class BalesMade:
    """Bales whose records name a sheet. made: distinct bales; burst: of them; first_us, last_us:
    when, None where no bale has a time.
    """

    made: int
    burst: int
    first_us: int | None
    last_us: int | None


@dataclass(frozen=True)
class ChangeHeard:
    """A setting that people set otherwise: what to, and how many of them said so."""

    line: str
    value: str
    times: int


@dataclass(frozen=True)
class Heard:
    """What was said of one sheet.

    worked, did_not, changed: answers of each kind; changes: most often told first; newest: the
    last few answers; bales: made by it, None for a sheet of no machine.
    """

    sheet_id: str
    worked: int
    did_not: int
    changed: int
    changes: tuple[ChangeHeard, ...]
    newest: tuple[FeedbackEntry, ...]
    bales: BalesMade | None

    @property
    def answers(self) -> int:
        """How many answers there are in all."""
        return self.worked + self.did_not + self.changed


def hear_sheet(workplace: Workplace, sheet_id: str) -> Heard:
    """What was said of one sheet; nothing yet is zero answers."""
    said = workplace.register.load_feedback(sheet_id)
    kept = workplace.register.load_sheet(sheet_id)
    serial = kept.machine if kept is not None else None
    bales = None if serial is None else _bales_made(_read(workplace, serial), sheet_id)
    return _heard(sheet_id, said, bales)


def hear_machine(workplace: Workplace, serial: str) -> tuple[Heard, ...]:
    """What was said of each sheet of a machine, the sheet with the newest answer first."""
    by_sheet: dict[str, list[FeedbackEntry]] = {}
    for entry in workplace.register.load_feedback_of(serial):
        by_sheet.setdefault(entry.sheet_id, []).append(entry)
    if not by_sheet:
        return ()
    bales = _read(workplace, serial)
    return tuple(_heard(key, said, _bales_made(bales, key)) for key, said in by_sheet.items())


def _read(workplace: Workplace, serial: str) -> BaleTable:
    return workplace.journal.read_bales(serial, ("sheet", "status", *BALE_TIMES))


def _bales_made(bales: BaleTable, sheet_id: str) -> BalesMade:
    status = bales.column("status")
    own = bales.mask("sheet") & (bales.column("sheet") == sheet_id)
    own &= ~(bales.mask("status") & (status == REWRAPPED))
    times, timed = bale_times(bales)
    when = times[own & timed]
    return BalesMade(
        made=int(np.count_nonzero(own)),
        burst=int(np.count_nonzero(own & bales.mask("status") & (status == "burst"))),
        first_us=int(when.min()) if len(when) else None,
        last_us=int(when.max()) if len(when) else None,
    )


def _heard(sheet_id: str, said: Iterable[FeedbackEntry], bales: BalesMade | None) -> Heard:
    said = tuple(said)
    kinds = Counter(entry.outcome for entry in said)
    changes = Counter(
        (change.line, change.value.casefold()) for entry in said for change in entry.changes
    )
    return Heard(
        sheet_id=sheet_id,
        worked=kinds[Outcome.WORKED],
        did_not=kinds[Outcome.DID_NOT],
        changed=kinds[Outcome.CHANGED],
        changes=tuple(
            ChangeHeard(line, value, times) for (line, value), times in changes.most_common()
        ),
        newest=said[:NEWEST],
        bales=bales,
    )
