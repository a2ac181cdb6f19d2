"""Say that a bale number is no count: the bale stays, its number is unknown from then on."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np

from balewright.flows.account_counts import account_counts
from balewright.flows.correct_bales import Asked, correct_bales
from balewright.flows.workplace import Workplace
from balewright.quantities.errors import BadInput, Fault
from balewright.records.corrections import Correction
from balewright.records.identity import TELLING

COLUMN: Final = "bale_no"


@dataclass(frozen=True)
class Struck:
    """bales: how many bear no number now; lifetime bales before and after."""

    correction: Correction
    bales: int
    before: int | None
    after: int | None


def strike_number(workplace: Workplace, serial: str, number: int, by: str | None = None) -> Struck:
    """Strike a number that leapt off, as the account of counts shows it.

    Raises BadInput where the account does not call it junk: a number that may be a bale's own is
    never struck this way. The counters' marks give way where that number made them.
    """
    told = account_counts(workplace, serial)
    junk = [one for counter in told.account.counters for one in counter.junk]
    if not any(one.first_no <= number <= one.last_no for one in junk):
        need = "a number that leapt away from those before and behind it"
        cure = "Look at the machine's counts again."
        raise BadInput(Fault(f"{serial}, bale {number}", need, str(number), cure))
    kept = workplace.journal.read_keyed_bales(serial, TELLING)
    struck = kept.bales.mask(COLUMN) & (kept.bales.column(COLUMN) == number)
    keys = tuple(dict.fromkeys(kept.keys[row] for row in np.flatnonzero(struck).tolist()))
    asked = Asked(serial, keys, COLUMN, "", f"{number} is no count", by)
    correction = correct_bales(workplace, asked)
    after = account_counts(workplace, serial).account.lifetime.bales
    return Struck(correction, len(keys), told.account.lifetime.bales, after)
